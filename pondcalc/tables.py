"""How is a table that a person typed read without guessing?

Spreadsheets and notebooks write tables in many ways: with commas, semicolons
or tabs, with an invisible mark at the start, with a comma for the decimal
point, with units in the headings or none. This reader takes what it can be
sure of and asks about the rest; it never guesses a unit.
"""

import csv
import math
import re
import warnings
from typing import NamedTuple

from .refusals import Caution
from .spellings import ABSOLUTE
from .textfiles import COMMA_HINT, FieldDataError, decode, overlong, told_mark
from .units import QuantityError, absolute_words, parse_unit, read_quantity, registry, unit_label
from .wording import quoted

__all__ = ["TypedTable", "Column", "read_table", "find_column", "needed_column", "no_column", "column_numbers"]


class Column(NamedTuple):
    """One heading: where it stands, its words in lower case, its unit or None, and all of it as it was written."""

    index: int
    words: str
    unit: str | None
    heading: str = ""


class TypedTable(NamedTuple):
    """A table as text: its columns, its rows, the line of the file each row came from, the mark between cells."""

    columns: tuple
    rows: tuple
    lines: tuple
    mark: str | None


_SUNLIGHT = dict.fromkeys(("w/m2", "w/m^2", "w/m²"), "watt / meter ** 2")       # in weather files only
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2},\d{3}$")       # 1,250 may be 1250 or, with a decimal comma, 1.25
_NUMBER = re.compile(r"^[-+−]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?$")


def _separator(lines):
    """The mark that splits the first lines into the same number of cells, semicolon before comma."""
    for mark in (";", "\t", ","):
        counts = {line.count(mark) for line in lines[:5]}
        if max(counts) and (len(counts) == 1 or mark != ","):
            return mark
    return "," if any("," in line for line in lines[:5]) else None


def _heading(index, text):
    """Words and unit of a heading such as ``Depth (ft)``, ``depth_ft``, ``temp, F`` or ``DO mg/L``."""
    text = text.strip().strip('"')
    bracket = re.search(r"[\(\[]\s*([^\)\]]+?)\s*[\)\]]", text)
    words, unit = text, bracket[1] if bracket else None
    if bracket:
        words = text[:bracket.start()] + text[bracket.end():]
    else:
        parts = re.split(r"[\s_,]+|(?<=[a-z]{3})(?=[A-Z])", text)         # depth_ft, temp F, tempF
        if len(parts) > 1:
            unit, words = parts[-1], " ".join(parts[:-1])
    if unit is not None:
        try:
            unit = _SUNLIGHT.get(unit.lower()) or parse_unit(unit)
        except QuantityError:
            words, unit = (text, None) if not bracket else (words + " " + unit, None)
    return Column(index, re.sub(r"[\s_]+", " ", words).strip().lower(), unit, text)


def _cells(line, mark):
    """The entries of one line; a mark inside quotation marks does not part them."""
    try:
        row = next(csv.reader([line], delimiter=mark, skipinitialspace=True)) if mark else line.split()
    except csv.Error:
        row = line.split(mark)
    return [cell.strip().strip('"').strip() for cell in row]


def read_table(source, what="table"):
    """Split text or a file into headings and rows.

    Parameters
    ----------
    source : Path, open file, bytes or str
        A str is the text itself, not the name of a file.
    what : str, optional
        What the table holds, for the messages.

    Returns
    -------
    TypedTable

    Raises
    ------
    QuantityError
        If the file cannot be opened, the text is empty, has no headings, or a row has more entries than
        there are headings.
    """
    try:
        text, _ = decode(source, what)
    except FieldDataError as problem:
        raise QuantityError(str(problem)) from None
    numbered = [(n, line.strip()) for n, line in enumerate(text.splitlines(), 1)]
    numbered = [(n, line) for n, line in numbered if line.strip(" ,;\t\"") and not line.startswith("#")]
    mark = told_mark(numbered[0][1]) if numbered else None
    numbered = numbered[1:] if mark else numbered
    if not numbered:
        raise QuantityError(f"The {what} is empty. Write a line of headings and then a line for each reading.")
    mark = mark or _separator([line for _, line in numbered])
    cells = [_cells(line, mark) for _, line in numbered]
    if all(_NUMBER.match(cell) for cell in cells[0] if cell):
        raise QuantityError(f"The {what} starts with numbers. Put a line of headings above them that names "
                            "each column and its unit, for example: depth (ft), temperature (F).")
    columns = tuple(_heading(i, cell) for i, cell in enumerate(cells[0]))
    long = next((n for (n, _), row in zip(numbered, cells, strict=True) if overlong(row, len(columns))), None)
    if long is not None:
        raise QuantityError(f"Line {long} of the {what} has more entries than there are headings ({len(columns)}). "
                            f"Give every column a heading.{COMMA_HINT if mark == ',' else ''}")
    rows = tuple(tuple(row + [""] * (len(columns) - len(row))) for row in cells[1:])
    if not rows:
        raise QuantityError(f"The {what} has headings but no readings under them. Add a line for each reading, and "
                            "check that the file was saved after they were typed in.")
    return TypedTable(columns, rows, tuple(n for n, _ in numbered[1:]), mark)


def needed_column(table, what, example, *names, without=()):
    """As :func:`find_column`, but refuses a table without the column; `example` is a heading that would do."""
    column = find_column(table, *names, without=without)
    if column is None:
        raise no_column(table, what, example)
    return column


def no_column(table, what, example, besides=""):
    """The refusal of a table without a column it needs; `besides` is said of a column that will not do."""
    heads = ", ".join(quoted(column.words, 20) for column in table.columns[:8])
    return QuantityError(f"No column is headed {what}; the headings are {heads}. "
                         f"{besides + ' ' if besides else ''}Write the heading of that column as '{example}'.")


def find_column(table, *names, without=()):
    """First column whose heading holds one of `names`, in the order of `names`, or None."""
    for name in names:
        for column in table.columns:
            words = column.words.split() if len(name) <= 3 else column.words
            if name in words and not any(bad in column.words for bad in without):
                return column
    return None


def column_numbers(table, column, unit, what, given_unit=None, choices=(), span=None):
    """Numbers of a column in `unit`; an empty cell or a dash is not-a-number.

    Parameters
    ----------
    table : TypedTable
    column : Column
    unit : str
        Unit wanted, as pint names it.
    what : str
        What the column holds, for the messages.
    given_unit : str, optional
        Unit to use when the heading has none.
    choices : tuple of str, optional
        Units to offer when there is none at all.
    span : tuple of str, optional
        Lowest and highest quantity that can be, such as ``("0 mg/L", "40 mg/L")``.

    Raises
    ------
    QuantityError
        If a cell is not a number or outside `span`, or no unit can be found, or it is of the wrong kind.
    """
    _refuse_thousands(table, column, what)
    if ABSOLUTE.search(column.heading) and registry.Unit(unit).is_compatible_with("pascal"):
        raise QuantityError(f"In the heading, {absolute_words(column.heading)}")
    values = []
    for row, line in zip(table.rows, table.lines, strict=True):
        cell = row[column.index].replace("−", "-")
        if cell.lower() in ("", "-", "--", "na", "n/a", "nan", "none"):
            values.append(math.nan)
        elif _NUMBER.match(cell) and math.isfinite(float(cell.replace(",", "."))):
            values.append(float(cell.replace(",", ".")))
        else:
            raise QuantityError(f"Line {line}: {what} is {quoted(cell)}, which is not a number. Put the unit in "
                                "the heading and only the number in the cell, or leave the cell empty.")
    found = column.unit or (parse_unit(given_unit) if given_unit else None)
    if found is None:
        shown = [v for v in values if not math.isnan(v)]
        runs = f" The values run from {min(shown):g} to {max(shown):g}." if shown else ""
        raise QuantityError(f"The {what} column has no unit.{runs} Write the heading as {_offer(what, choices)}.")
    if registry.Unit(found).dimensionality != registry.Unit(unit).dimensionality:
        raise QuantityError(f"The {what} column is in {unit_label(found)}, which does not measure {what}. Write the "
                            f"heading as {_offer(what, choices)}.")
    if span is not None:
        low, high = (read_quantity(end).m_as(found) for end in span)
        for value, line in zip(values, table.lines, strict=True):
            if value < low or value > high:
                raise QuantityError(f"Line {line}: {what} is {value:g} {unit_label(found)}, outside {low:.4g} to "
                                    f"{high:.4g} {unit_label(found)}. Check the number, and the unit in the heading.")
    return registry.Quantity(values, found).m_as(unit)


def _refuse_thousands(table, column, what):
    """Refuse a column whose commas may mark thousands or decimals; beside semicolons they mark decimals, and it says "
      "so."""
    found = [(row[column.index], line) for row, line in zip(table.rows, table.lines, strict=True)
             if "," in row[column.index]]
    pointed = any("." in row[column.index] for row in table.rows)
    if found and all(_THOUSANDS.match(cell) for cell, _ in found):
        cell, line = found[0]
        if table.mark == ";" and not pointed:
            warnings.warn(Caution(f"Commas such as the one in {quoted(cell)} ({what}) were read as decimals, as is "
                                  "usual beside semicolons. Check one value."), stacklevel=4)
            return
        raise QuantityError(f"Line {line}: {what} is {quoted(cell)}, whose comma may mark thousands or decimals. Write "
                            f"{quoted(cell.replace(',', ''))} or {quoted(cell.replace(',', '.'))}.{COMMA_HINT}")


def _offer(what, choices):
    return " or ".join(f"'{what} ({choice})'" for choice in choices)
