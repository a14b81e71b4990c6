"""What does this field file say, row by row? Reads CSV the way people really save it.

Spreadsheets save commas, semicolons or tabs, decimal points or decimal commas, and four
encodings; people write the unit into the heading or into the cell. This module turns such a file
into a :class:`Sheet`: cells by meaning (``depth``, ``lat``, ``x``, ``track`` ...), numbers in metres
or degrees, the row number as in the file, and a list of every row that could not be used. What
the numbers mean for a pond is the business of :mod:`pondcalc.how_much_water.survey`.
"""

import dataclasses
import itertools
import re
from typing import NamedTuple

import numpy as np

from .textfiles import COMMA_HINT, FieldDataError, decode, is_number, lines_of, split_rows
from .units import SPELLINGS, QuantityError, parse_unit, read_quantity, unit_label
from .wording import quoted, setting, shortened

LENGTHS = ("foot", "inch", "yard", "meter", "centimeter", "millimeter")
METRES = {unit: read_quantity(f"1 {unit}").m_as("meter") for unit in LENGTHS}
_LENGTH_WORDS = {word.lower(): unit for unit in LENGTHS
                 for word in (SPELLINGS[unit][0], *SPELLINGS[unit][1].split()) if word.isalpha()}
# words that give a heading its meaning wherever they stand, and words that must stand alone
_STRONG = {"depth": "depth", "depths": "depth", "lat": "lat", "latitude": "lat", "lon": "lon", "long": "lon",
           "lng": "lon", "longitude": "lon", "x": "x", "easting": "x", "y": "y", "northing": "y",
           "distance": "distance", "dist": "distance", "track": "track", "transect": "track"}
_WEAK = {"z": "depth", "sounding": "depth", "soundings": "depth", "east": "x", "north": "y",
         "line": "track", "pass": "track", "station": "distance"}
_ENDS = {"0": "0", "start": "0", "1": "1", "end": "1"}
_BLANKS = {"", "na", "n/a", "nan", "null", "none", "-", "--", "?", "missing", "."}
NAMES = {"depth": "depth", "lat": "latitude", "lon": "longitude", "x": "x", "y": "y", "distance": "distance",
         "track": "track", "x0": "x of the start", "y0": "y of the start", "x1": "x of the end",
         "y1": "y of the end", "lat0": "latitude of the start", "lon0": "longitude of the start",
         "lat1": "latitude of the end", "lon1": "longitude of the end"}


class Dropped(NamedTuple):
    """One row left out: its number as in the file, its text, and why."""

    row: int
    text: str
    reason: str


@dataclasses.dataclass
class Sheet:
    """A field file taken apart; :meth:`drop` is the only way a row leaves it.

    Parameters
    ----------
    name : str
        What to call it in messages.
    lines : list of str
        The file, line by line.
    row : ndarray of int, shape (n,)
        Line number of each record, counted from 1 as an editor does.
    cells : dict of str to ndarray of str, each shape (n,)
        Text of each column by meaning.
    heading, unit : dict of str to str
        The heading as written, and the length unit in it (None if it has none).
    """

    name: str
    lines: list
    row: np.ndarray
    cells: dict
    heading: dict
    unit: dict
    decimal_comma: bool = False
    numbers: dict = dataclasses.field(default_factory=dict)
    dropped: list = dataclasses.field(default_factory=list)
    notes: list = dataclasses.field(default_factory=list)

    def __len__(self):
        return len(self.row)

    def has(self, *meanings):
        """Whether the file has every one of these columns."""
        return all(meaning in self.cells for meaning in meanings)

    def drop(self, bad, reason):
        """Leave out the rows marked in `bad`; `reason` is text, or a function of the index."""
        bad = np.asarray(bad, bool)
        if not bad.any():
            return
        for i in np.flatnonzero(bad):
            text = reason(i) if callable(reason) else reason
            self.dropped.append(Dropped(int(self.row[i]), self.lines[self.row[i] - 1].strip(), text))
        self.row = self.row[~bad]
        for columns in (self.cells, self.numbers):
            for meaning in columns:
                columns[meaning] = columns[meaning][~bad]


def meaning_of(heading):
    """What a column heading means, and the length unit in it.

    Returns
    -------
    tuple
        Meaning (a key of :data:`NAMES`) and unit (one of :data:`LENGTHS`), either of them None.

    Examples
    --------
    >>> meaning_of("Depth, feet"), meaning_of("depth_m"), meaning_of("start lat")
    (('depth', 'foot'), ('depth', 'meter'), ('lat0', None))
    """
    words = re.findall(r"[^\W\d_]+|\d+", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading).lower())
    units = [word for word in words if word in _LENGTH_WORDS]
    if len(units) > 1 and units[0] == "in":         # "depth in feet"
        units = units[1:]
    plain = [word for word in words if word not in _LENGTH_WORDS]
    found = next((_STRONG[word] for word in plain if word in _STRONG), None)
    if found is None and len(plain) == 1:
        found = _WEAK.get(plain[0])
    end = next((_ENDS[word] for word in plain if word in _ENDS), "")
    if found in ("x", "y", "lat", "lon"):
        found += end
    return found, _LENGTH_WORDS[units[0]] if found and len({_LENGTH_WORDS[u] for u in units}) == 1 else None


def _join_split_unit(header, width):
    """Put ``Depth, feet`` together again where the comma in the heading was taken for a new column."""
    while len(header) > width:
        at = next((i for i, cell in enumerate(header) if i and cell.strip().lower() in _LENGTH_WORDS), None)
        if at is None:
            break
        header[at - 1: at + 1] = [f"{header[at - 1]} {header[at].strip()}"]
    return header


def uses_decimal_comma(columns, delimiter, notes):
    """Whether a comma inside a cell marks decimals (``3,2``) rather than thousands (``3,200``)."""
    if delimiter == ",":
        return False
    with_comma = [cell for cells in columns for cell in cells[:2000] if "," in cell and is_number(cell)]
    with_point = any("." in cell and is_number(cell) for cells in columns for cell in cells[:2000])
    if not with_comma or with_point:
        return False
    thousands = all(re.fullmatch(r"\s*[-+]?[1-9]\d{0,2}(,\d{3})+\s*", cell) for cell in with_comma)
    if thousands:
        notes.append(f"Commas such as the one in {quoted(with_comma[0])} could mark thousands or decimals. They were "
                     f"read as {'decimals, as is usual beside semicolons' if delimiter == ';' else 'thousands'}. "
                     "Check one value against your field notes.")
    return not thousands or delimiter == ";"


def read_sheet(source, what="soundings"):
    """Take a CSV file apart; nothing is turned into numbers yet.

    Lines that begin with ``#`` and rows without any entry are passed over; every other row is
    either kept or listed in ``dropped``.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        As for :func:`decode`.
    what : str, optional
        ``"soundings"`` or ``"shoreline"``, for messages.

    Returns
    -------
    Sheet

    Raises
    ------
    FieldDataError
        If it is empty, has no heading, no rows, or two columns that mean the same.
    """
    text, name = decode(source, what)
    rows, row, delimiter = split_rows(text, name, "place", "lat,lon" if what == "shoreline" else "lat,lon,depth_ft")
    header, records, row = rows[0], rows[1:], np.array(row[1:], int)
    while header and not header[-1].strip():
        header.pop()
    header = _join_split_unit(header, len(_without_blanks(records[0])))
    columns = [np.array(cells, object) for cells in itertools.zip_longest(*records, fillvalue="")]
    columns += [np.full(len(row), "", object)] * (len(header) - len(columns))
    sheet = Sheet(name, lines_of(text), row, {}, {}, {})
    for heading, cells in zip(header, columns, strict=False):
        meaning, unit = meaning_of(heading)
        if meaning is None:
            continue
        if meaning in sheet.cells:
            raise FieldDataError(f"{name}: two columns give the {NAMES[meaning]}: {quoted(sheet.heading[meaning])} "
                                 f"and {quoted(heading)}. Rename or take out one of them.")
        sheet.cells[meaning], sheet.heading[meaning], sheet.unit[meaning] = cells, shortened(heading), unit
    sheet.heading[""] = shortened(", ".join(cell.strip() for cell in header), 120)
    sheet.decimal_comma = uses_decimal_comma(list(sheet.cells.values()), delimiter, sheet.notes)
    _drop_overlong(sheet, columns[len(header):], len(header), delimiter)
    return sheet


def _without_blanks(cells):
    return cells[:max((i for i, cell in enumerate(cells, 1) if cell.strip()), default=0)]


def _drop_overlong(sheet, extra, width, delimiter):
    """Leave out rows with more entries than the heading has columns: we cannot tell which is which."""
    if not extra:
        return
    over = np.zeros(len(sheet), bool)
    for cells in extra:
        over |= np.array([bool(cell.strip()) for cell in cells])
    hint = COMMA_HINT if delimiter == "," else ""
    if over.all():
        raise FieldDataError(f"{sheet.name}: every row has more entries than the {width} columns in the heading "
                             f"({sheet.heading['']}).{hint or ' Give every column a heading.'}")
    sheet.drop(over, f"has more entries than the {width} columns in the heading.{hint}".rstrip("."))


def column_unit(sheet, meaning, asked, argument):
    """Length unit of a column: from its heading, or as asked for; None if neither says.

    Raises
    ------
    FieldDataError
        If heading and argument disagree, or the argument is not a length.
    """
    unit = sheet.unit.get(meaning)
    if asked is None:
        return unit
    try:
        wanted = parse_unit(str(asked))
    except QuantityError:
        wanted = None
    if wanted not in METRES:
        raise FieldDataError(f"{argument}={asked!r} is not a length. Write {argument}='ft' or {argument}='m'.")
    if unit and unit != wanted:
        raise FieldDataError(f"{sheet.name}: the heading {quoted(sheet.heading[meaning])} says {unit_label(unit)}, "
                             f"but {setting(argument, f'{argument}={asked!r}')} was asked for. Leave that out, or "
                             "mend the heading if it is wrong.")
    return wanted


def _no_unit(sheet, meaning, argument):
    heading = sheet.heading[meaning]
    answer = setting(argument, f"{argument}='ft' or {argument}='m'")
    return FieldDataError(f"{sheet.name}: the heading {quoted(heading)} does not say feet or meters, and the two "
                          f"differ more than threefold. Change the heading to '{heading}_ft' or '{heading}_m', "
                          f"or answer here with {answer}.")


def take_lengths(sheet, meaning, asked=None, argument="depth_unit", optional=False):
    """Turn a column into metres, leaving out (and listing) rows that have no usable number.

    Parameters
    ----------
    sheet : Sheet
    meaning : str
        A key of :data:`NAMES`.
    asked : str, optional
        Unit of bare numbers where the heading has none.
    argument : str, optional
        Name of the argument that carries `asked`, for messages.
    optional : bool, optional
        Keep rows without an entry, as not-a-number.

    Returns
    -------
    str or None
        Unit of the column.
    """
    unit = column_unit(sheet, meaning, asked, argument)

    def convert(text):
        quantity = read_quantity(text, unit or "dimensionless")
        if unit is None and quantity.dimensionless:
            raise _no_unit(sheet, meaning, argument)
        return quantity.m_as("meter") if quantity.check("[length]") else None

    values = _plain(sheet, meaning)
    if values is not None:
        if unit is None:
            raise _no_unit(sheet, meaning, argument)
        sheet.numbers[meaning] = values * METRES[unit]
        _drop_not_finite(sheet, meaning, optional)
    else:
        _take_cells(sheet, meaning, METRES.get(unit), convert,
                    "a length such as 5.5, '5.5 ft' or '5 ft 6 in'", optional)
    return unit


def take_degrees(sheet, meaning, optional=False):
    """Turn a column into decimal degrees, leaving out (and listing) rows that have none."""
    sign = {"s": -1.0, "w": -1.0, "n": 1.0, "e": 1.0}

    def convert(text):
        found = re.fullmatch(r"([-+−]?\d+(?:\.\d*)?)\s*°?\s*([nsew]?)", text.lower())
        return float(found[1].replace("−", "-")) * sign.get(found[2], 1.0) if found else None

    values = _plain(sheet, meaning)
    if values is not None:
        sheet.numbers[meaning] = values
        _drop_not_finite(sheet, meaning, optional)
    else:
        _take_cells(sheet, meaning, 1.0, convert, "decimal degrees such as 39.0413 (not degrees, minutes and "
                                                  "seconds)",
                    optional)


def _texts(sheet, meaning):
    cells = sheet.cells[meaning]
    return np.array([cell.replace(",", ".") for cell in cells], object) if sheet.decimal_comma else cells


def _plain(sheet, meaning):
    """The whole column as numbers in one go, or None if any cell needs a closer look."""
    if any("_" in cell for cell in sheet.cells[meaning]):           # 1_000 is a number to Python only
        return None
    try:
        return _texts(sheet, meaning).astype(float)
    except ValueError:
        return None


def _drop_not_finite(sheet, meaning, optional):
    values, cells = sheet.numbers[meaning], sheet.cells[meaning]
    bad = ~np.isfinite(values) & ~(np.isnan(values) & optional)
    sheet.drop(bad, lambda i: f"the {NAMES[meaning]} is {quoted(cells[i])}, not a number")


def _float(text):
    try:
        return None if "_" in text else float(text)
    except ValueError:
        return None


def _take_cells(sheet, meaning, factor, convert, wanted, optional):
    """Cell by cell: bare numbers times `factor`, blanks, words, and numbers that carry their own unit."""
    values, reasons = np.full(len(sheet), np.nan), {}
    for i, cell in enumerate(_texts(sheet, meaning)):
        text = cell.strip()
        if text.lower() in _BLANKS:
            if not optional:
                reasons[i] = f"no {NAMES[meaning]} is given"
            continue
        value, detail = _float(text), ""
        if value is not None and factor is not None:
            value *= factor
        else:
            try:
                value = convert(text)
            except QuantityError as problem:
                value, detail = None, f" ({problem})" if any(map(str.isdigit, text)) else ""
        if value is None or not np.isfinite(value):
            reasons[i] = f"the {NAMES[meaning]} is {quoted(text)}, not {wanted}{detail}"
        else:
            values[i] = value
    sheet.numbers[meaning] = values
    sheet.drop(np.isin(np.arange(len(sheet)), list(reasons)), reasons.get)
