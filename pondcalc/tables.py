"""What does a table of readings say, column by column, and how does its text get in?

A reader of one kind of file declares its columns (:class:`Column`); what comes back is a :class:`Table`: SI numbers by
column, what was taken for what (`notes`), and every row that was left out, with its number and the reason
(`left_out`). People write the unit into the heading, into a row beneath it, or into the cell. It is never guessed.
"""

import contextlib
import itertools
import re
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from . import columns as heads
from .columns import read_moments
from .spellings import either, quoted, setting
from .textfiles import BLANKS, NUMBER, FieldDataError, Table, open_table, tidy, typed_cells, typed_lines, with_points
from .units import QuantityError, parse_unit, read_number, read_quantity, registry, unit_label
from .water import SEA_LEVEL


class Column(NamedTuple):
    """What one column holds, how people head it, and what its cells may be."""

    name: str                       # in messages, and in the table
    words: tuple = ()               # patterns of its heading, the surest first
    unit: str | None = None         # the one its numbers are turned into
    offer: tuple = ()               # units that are named where a heading has none
    low: str = ""                   # quantities outside which it cannot be
    high: str = ""
    kind: str = "number"            # or "oxygen" (in any unit), "water", "air" (temperatures), "moment", "text"
    required: bool = False          # a table without it is refused
    gaps: bool = True               # a row without an entry is kept
    without: str = ""               # a heading with such a word holds something else
    beside: str = ""                # of oxygen: the column of the water's temperature
    bare: str | None = None         # unit of numbers where nothing says one; of moments, "clock" or "date" will do
    hint: str = ""                  # goes with the name where the column is missing
    argument: str = ""              # the one that says its unit too
    read: Callable | None = None    # number of a cell that is no bare number, or ValueError
    wanted: str = ""                # what `read` takes, in words


# ---- which column holds what, and in what unit ----

def find(table, columns, told=None):
    """Find the declared columns among the headings; notes say what was taken for what where several look alike.

    table (Table), columns (iterable of Column).
    told (dict of str to str): Unit of the bare numbers of a column, by its name, where the heading has none.
    Raises FieldDataError: If a required column is missing, two look alike, or a heading is in a unit that measures
        something else.
    """
    for column in columns:
        with _named(table):
            _FINDERS.get(column.kind, _find_by_words)(table, column)
            if column.required and column.name not in table.cells:
                shown = ", ".join(quoted(heading, 30) for heading in table.headings[:8])
                raise FieldDataError(f"no column is headed {column.name}{column.hint and f' ({column.hint})'}; the "
                                     f"headings are {shown}. Write the heading of that column as {_offer(column)}.")
            if column.name in table.cells and column.unit:
                unit = heads.unit_in(table.heading[column.name], column.unit, column.name)
                asked = (told or {}).get(column.name)
                table.unit[column.name] = unit or (parse_unit(asked) if asked else None)


@contextlib.contextmanager
def _named(table):
    """A refusal inside begins with the name of the table."""
    try:
        yield
    except QuantityError as problem:
        words = str(problem)
        raise FieldDataError(words if not table.name or words.startswith(table.name)
                             else f"{table.name}: {words}") from None


def _offer(column):
    return " or ".join(f"'{column.name} ({unit})'" for unit in column.offer) or f"'{column.name}'"


def _argument(column):
    """The other way to say the unit of a column, in words."""
    if not column.argument:
        return ""
    written = " or ".join(f"{column.argument}='{unit}'" for unit in column.offer)
    return f", or answer here with {setting(column.argument, written)}"


def _keep(table, column, place):
    table.cells[column.name], table.heading[column.name] = table.columns[place], table.headings[place]


def _find_by_words(table, column):
    ranked = []
    for place, heading in enumerate(table.headings):
        said = heads.tokens(heading)
        kind = heads.is_oxygen(heading) or heads.is_temperature(heading) and column.unit != "degree_Celsius"
        rank = next((at for at, words in enumerate(column.words) if re.search(words, said)), None)
        kind = kind or any(table.columns[place] is cells for cells in table.cells.values())
        if rank is not None and not kind and not (column.without and re.search(column.without, said)):
            ranked.append((_misfits(heading, column), rank, place))
    ranked.sort()
    if len(ranked) > 1 and ranked[0][:2] == ranked[1][:2]:
        one, other = (quoted(table.headings[place]) for *_, place in ranked[:2])
        raise FieldDataError(f"two columns give the {column.name}: {one} and {other}. Rename or take out one of them.")
    if ranked:
        _keep(table, column, ranked[0][2])


def _misfits(heading, column):
    """Whether a heading names a unit of something else."""
    if column.unit is None:
        return False
    try:
        heads.unit_in(heading, column.unit, column.name)
    except QuantityError:
        return True
    return False


def _find_temperature(table, column):
    place, notes = heads.pick_temperature(table.headings, column.kind)
    if place is not None:
        _keep(table, column, place)
    elif column.required and notes:
        raise FieldDataError(f"no column is headed {column.name}. {' '.join(notes)} Write the heading of that column "
                             f"as {_offer(column)}.")
    table.notes += notes


def _find_oxygen(table, column):
    here = [place for place, heading in enumerate(table.headings)
            if not column.words or any(re.search(words, heads.tokens(heading)) for words in column.words)]
    place, unit, notes = heads.pick_oxygen([table.headings[at] for at in here])
    if place is not None:
        _keep(table, column, here[place])
        table.unit[column.name] = unit
    table.notes += notes


def _find_moment(table, column):
    found = heads.pick_moment(table.headings, table.columns, column.bare != "date")
    if found:
        table.cells[column.name], table.heading[column.name], notes = found
        table.notes += notes


_FINDERS = {"oxygen": _find_oxygen, "water": _find_temperature, "air": _find_temperature, "moment": _find_moment}


# ---- from cells to numbers ----

def take(table, column):
    """Turn a column that was found into numbers, leaving out (or, if strict, refusing) rows that have none.

    Raises FieldDataError: If no unit can be found, a comma may mark thousands or decimals, or a cell of a strict
        table cannot be read.
    """
    with _named(table):
        {"moment": _take_moments, "text": _take_text}.get(column.kind, _take_numbers)(table, column)


def _take_text(table, column):
    table.values[column.name] = np.array([cell.strip() for cell in table.cells[column.name]], object)


def _take_moments(table, column):
    cells = table.cells[column.name]
    found, notes = read_moments(list(cells))
    dated = any(moment is not None and moment.year > 1 for moment in found)
    table.notes += notes
    table.values[column.name] = np.array(found, object)
    alone = column.bare == "clock" and not dated
    faults = {}
    for at, moment in enumerate(found):
        if moment is None or moment.year == 1 and not dated and not alone:
            faults[at] = (f"the {column.name} is {quoted(cells[at])}, not a {column.name} this set can read; write "
                          + ("'2025-07-14 19:00' or '7:00 PM'" if column.bare == "clock" else "2026-07-01 13:00"),
                          f"the {column.name} cannot be read")
        elif moment.year == 1 and dated:
            faults[at] = (f"the {column.name} {quoted(cells[at])} has no date, and other rows have one",
                          f"the {column.name} has no date, and other rows have one")
    _fault(table, faults, " or take the row out")


def _fault(table, faults, advice):
    """Leave out the rows with a fault, by index; a strict table refuses the first that is more than a gap."""
    hard = [at for at in sorted(faults) if not faults[at][1].startswith("no ")]
    if hard and table.strict:
        raise FieldDataError(f"{table.place(hard[0])}: {faults[hard[0]][0]}{advice}.")
    bad, gone = np.isin(np.arange(len(table)), list(faults)), len(table.left_out)
    table.drop(bad, lambda at: faults[at][0])
    table.left_out[gone:] = [row._replace(cause=faults[at][1])
                             for row, at in zip(table.left_out[gone:], sorted(faults), strict=True)]


def _take_numbers(table, column):
    name, unit = column.name, table.unit.get(column.name) if column.unit else None
    bare = unit or column.bare
    texts = with_points(table, column)
    values, own, faults = _plain(texts), {}, {}
    if values is None:
        values, own, faults = _cell_by_cell(table, column, texts, unit)
    numbers = np.isfinite(values)
    numbers[list(own)] = False
    if column.unit and bare is None and numbers.any():
        shown = values[numbers]
        if name not in table.heading:
            at = np.flatnonzero(numbers)[0]
            raise FieldDataError(f"{table.place(at)}: the {name}, {quoted(texts[at])}, has no unit. Write it behind "
                                 f"the number, such as {texts[at].strip()} {' or '.join(column.offer)}.")
        raise FieldDataError(f"the {name} column, {quoted(table.heading[name], 40)}, has no unit this set "
                             f"knows. Its values run from {shown.min():g} to {shown.max():g}. Write its heading as "
                             f"{_offer(column)}{_argument(column)}.")
    if column.unit and unit is None and numbers.any():
        heading, label = table.heading.get(name), unit_label(bare)
        table.notes.append(f"The heading {quoted(heading)} names no unit, so its numbers were read as {label}."
                           if heading else f"No unit after a {name}: it was read as {_AS_WORDS.get(label, label)}.")
    shown = values.copy()
    if column.unit and bare:
        values = np.asarray(registry.Quantity(values, bare).m_as(column.unit), float)
    for at, value in own.items():
        values[at] = value
    if own and bare and name in table.heading:
        table.notes.append(f"Row {table.row[min(own)]} gives the {name} as {quoted(texts[min(own)])}, in a column of "
                           f"{unit_label(bare)}; it counts with its own unit"
                           f"{f', and so do {len(own) - 1} more' if len(own) > 1 else ''}.")
    endless = np.flatnonzero(np.isinf(values))
    faults |= {at: (f"the {name} is {quoted(texts[at])}, not {_wanted(column)}", f"the {name} is not a number")
               for at in endless}
    if not column.gaps:
        faults |= {at: (f"no {name} is given",) * 2 for at in np.flatnonzero(np.isnan(values)) if at not in faults}
    table.values[name] = values
    if column.kind == "oxygen":
        _in_mg_per_liter(table, column, faults)
        return
    low, high = (read_quantity(end).m_as(column.unit) if end else None for end in (column.low, column.high))
    if low is not None:
        ends = _ends(column, bare) if bare else either(*(_ends(column, parse_unit(unit)) for unit in column.offer))
        with np.errstate(invalid="ignore"):
            for at in np.flatnonzero((values < low) | (values > high)):
                given = quoted(texts[at]) if at in own else f"{shown[at]:.4g} {unit_label(bare)}"
                faults.setdefault(at, (f"the {name} is {given}, outside {ends}", f"the {name} is outside {ends}"))
    _fault(table, faults, _MEND)


_MEND = ". Check the number, and the unit in the heading, or leave the cell empty"


def _ends(column, unit):
    """The lowest and the highest a column may hold, in a unit."""
    low, high = (read_quantity(end).m_as(unit) for end in (column.low, column.high))
    return f"{low:.4g} to {high:.4g} {unit_label(unit)}"


def _wanted(column):
    """What may stand in a cell, in words."""
    return column.wanted or ("a length such as 5.5, '5.5 ft' or '5 ft 6 in'" if column.unit == "meter" else "a number")


_AS_WORDS = {"ft": "feet", "m": "meters"}


def _plain(texts):
    """The whole column as numbers in one go, or None if any cell needs a closer look."""
    try:
        return None if "_" in "\n".join(texts) else texts.astype(float)         # 1_000 is a number to Python alone
    except ValueError:
        return None


def _cell_by_cell(table, column, texts, unit):
    """Bare numbers, SI numbers of cells with a unit of their own by index, and faults by index."""
    values, own, faults = np.full(len(texts), np.nan), {}, {}
    for at, cell in enumerate(texts):
        text = cell.strip()
        if text.lower() in BLANKS:
            continue
        try:
            values[at] = float(text.replace("−", "-") if "_" not in text else "x")
            continue
        except ValueError:
            pass
        try:
            if re.match(r"[<>≤≥~≈]", text):
                raise QuantityError("Write the number alone, 0 for less than a meter can tell, or leave it empty.")
            if column.kind == "oxygen":
                values[at] = _oxygen_cell(table, column, text)
            elif column.read:
                values[at] = column.read(text)
            elif text.endswith("°") and (unit or column.bare) in ("degree_Fahrenheit", "degree_Celsius"):
                values[at] = float(text.rstrip("° "))
            else:
                found = read_quantity(text, unit or column.bare)
                if unit and found.units == registry.Unit(unit):
                    values[at] = found.magnitude
                else:
                    own[at] = read_number(text, column.unit, unit or column.bare)
        except ValueError as problem:
            told = isinstance(problem, QuantityError) and re.search(r"\d", text)
            why = f" ({str(problem).rstrip('.')})" if told else ""
            faults[at] = (f"the {column.name} is {quoted(text)}, not {_wanted(column)}{why}",
                          f"the {column.name} is not a number")
    return values, own, faults


def _oxygen_cell(table, column, text):
    """Number of a cell of oxygen with a unit of its own, in the unit of its column."""
    found = re.fullmatch(r"([-+−]?[\d.]+)\s*(.+)", text)
    unit, head = found and heads.unit_word(found[2]), table.unit.get(column.name)
    if not found or unit is None:
        raise QuantityError("Write the number alone, and its unit into the heading.")
    if unit == "%" and head is None:
        if not all(cell.strip().endswith("%") or cell.strip().lower() in BLANKS for cell in table.cells[column.name]):
            raise QuantityError("It is in percent of saturation and others are not; write one unit for all.")
        table.unit[column.name] = head = "%"
    if (unit == "%") != (head == "%"):
        raise QuantityError("Its unit is not that of its column; write one unit for all.")
    return float(found[1].replace("−", "-")) * (1.0 if unit == head else heads.ONE[unit] / heads.ONE[head or "mg/L"])


def _warmth(celsius):
    return either(f"{celsius * 1.8 + 32:.3g} °F", f"{celsius:.3g} °C")


def _in_mg_per_liter(table, column, faults):
    """Turn a column of oxygen into mg/L; rows where it cannot be are left out or refused."""
    name, heading, unit = column.name, table.heading.get(column.name, ""), table.unit.get(column.name)
    written, warm = table.values[name].copy(), table[column.beside] if column.beside else np.full(len(table), np.nan)
    written[list(faults)] = np.nan
    warm = np.where(np.isfinite(warm), warm, table.water.temperature)
    if not heading and unit is None:            # typed: no heading could name it
        bare = next((cell for cell in table.cells[name] if NUMBER.fullmatch(cell)), None)
        table.notes += [f"Oxygen without a unit, such as {quoted(bare)}, was read as mg/L."] if bare else []
        unit = heads.MG_PER_L
    low, high = (read_quantity(end).m_as("mg/L") for end in (column.low, column.high))
    with np.errstate(invalid="ignore"):
        likely = np.where((written < low) | (written > high), np.nan, written) if unit == heads.MG_PER_L else written
    oxygen, notes = heads.in_mg_per_liter(likely, unit, table.water.at(warm), heading or name, "bottom" in column.name)
    oxygen = np.where(np.isnan(likely), written, oxygen)
    table.notes += notes
    table.values[name] = oxygen
    faults |= {at: ("its oxygen in percent has no water temperature beside it" if np.isnan(warm[at]) else
                    f"its oxygen in percent stands beside {_warmth(warm[at])}, no temperature of water",) * 2
               for at in np.flatnonzero(np.isfinite(written) & np.isnan(oxygen))}
    with np.errstate(invalid="ignore"):
        for at in np.flatnonzero((oxygen < low) | (oxygen > high)):
            faults.setdefault(at, (f"the {name} is {oxygen[at]:.4g} mg/L, outside {max(low, 0):g} to {high:g} mg/L",
                                   f"the {name} is outside {max(low, 0):g} to {high:g} mg/L"))
    _fault(table, faults, _MEND)
    doubt = heads.doubt_of(table[name], table[column.beside]) if column.beside else None
    table.notes += [doubt] if doubt else []


def read(source, columns, what, example, each="reading", strict=False, told=None, water=SEA_LEVEL):
    """Read a table by its declared columns.

    source, what, example, each, strict: As for :func:`open_table`.
    columns (iterable of Column): Taken in this order; a column of oxygen after that of its temperature.
    told (dict of str to str): As for :func:`find`.
    water (Water): For oxygen in percent of saturation; its temperature counts in rows without one.
    Returns: Table.
    Raises FieldDataError: As :func:`open_table`, :func:`find` and :func:`take`.
    """
    table = open_table(source, what, example, each, strict)
    table.water = water
    find(table, columns, told)
    for column in columns:
        if column.name in table.cells:
            take(table, column)
    return table


# ---- typed lines, which have no heading ----

def typed(text, columns, what, example, water=SEA_LEVEL):
    """Read typed lines without a heading: on each the declared columns in order, those with gaps may be left off.

    text (str or list of sequence of str): Lines, or the entries of each. Lines that begin with ``#`` are passed over.
    columns (sequence of Column).
    what, example: What the lines hold, and a line that would do.
    water: As for :func:`read`.
    Returns: Table.
    Raises FieldDataError: If there is no line, or one cannot be read; says which.
    """
    counts = range(sum(not column.gaps for column in columns), len(columns) + 1)
    whole = isinstance(text, str)
    lines = tidy(text).splitlines() if whole else [", ".join(map(str, row)) for row in text]
    rows, notes, number = [], [], []
    for at, line in typed_lines(text) if whole else enumerate(lines, 1):
        try:
            cells, note = typed_cells(line, counts) if whole else ([str(cell or "").strip() for cell in text[at - 1]],
                                                                   None)
            if len(cells) not in counts:
                raise FieldDataError(f"{quoted(line)} cannot be read.")
        except FieldDataError as problem:
            raise FieldDataError(f"Line {at}: {problem} A line holds {_said_in_order(columns)}, for example "
                                 f"{example}.") from None
        notes += [note] if note and note not in notes else []
        rows.append(cells)
        number.append(at)
    if not rows:
        raise FieldDataError(f"There are no readings yet. Write one a line: {_said_in_order(columns)}, for example "
                             f"{example}.")
    columns_of = [np.array(cells, object) for cells in itertools.zip_longest(*rows, fillvalue="")]
    table = Table("", lines, np.array(number), [], columns_of, None, True, notes=notes, water=water)
    for column, cells in zip(columns, columns_of, strict=False):
        table.cells[column.name], table.unit[column.name] = cells, None
    for column in columns:
        if column.name in table.cells:
            take(table, column)
    return table


def _said_in_order(columns):
    said = [f"the {column.name}" for column in columns if not column.gaps]
    more = [f"the {column.name}" for column in columns if column.gaps]
    return " and ".join(said) + (f" and, if you have it, {', '.join(more)}" if more else "")
