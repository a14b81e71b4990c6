"""How does a table get from a file, or from a box, into cells of text?

Spreadsheets save in four encodings, with commas, semicolons or tabs between the cells. Reading tries them in turn, and
names the kind of a file that is no table.
"""

import contextlib
import csv
import dataclasses
import itertools
import re
from pathlib import Path
from typing import NamedTuple

import numpy as np

from . import columns as heads
from .columns import read_moment
from .spellings import quoted, setting, shortened
from .units import QuantityError, parse_unit
from .water import SEA_LEVEL, Water

COMMA_HINT = " If commas mark your decimals (3,2 for 3.2), save with semicolons between the columns."
BLANKS = {"", "na", "n/a", "n.a.", "nan", "null", "none", "-", "--", "---", "–", "—", "?", "missing", ".", "..."}
NUMBER = re.compile(r"\s*[-+−]?(?:\d[\d.,]*|[.,]\d+)(?:[eE][-+]?\d+)?\s*")
_SUMMARY = re.compile(r"\s*(?:grand )?(?:totals?|averages?|avg|means?|sum|min(?:imum)?|max(?:imum)?|median|count|"
                      r"st\.? ?dev\.?|std\.?)\b[\s:.]*$", re.IGNORECASE)
_THOUSANDS = re.compile(r"\s*[-+]?[1-9]\d{0,2},\d{3}\s*")          # 1,250 may be 1250 or, with a decimal comma, 1.25
_POINTED_THOUSANDS = re.compile(r"\s*[-+]?[1-9]\d{0,2}(?:\.\d{3})+\s*")
_SURELY_THOUSANDS = re.compile(r"\s*[-+]?[1-9]\d{0,2}(?:,\d{3})+\.\d*\s*|\s*[-+]?[1-9]\d{0,2}(?:,\d{3}){2,}\s*")
MOST_SUMMARIES = 5          # rows at the end that may be totals; more are readings of a place so named; our choice
_CLOCK_PATTERN = re.compile(r"[(\[]?(?:[ymdhs]{1,4}[-/.: ]?)+(?:am/pm|24 ?h)?[)\]]?|local|text", re.IGNORECASE)


class FieldDataError(QuantityError):
    """Readings from the field that cannot be used: says what came, what is allowed, what to do next."""


class Dropped(NamedTuple):
    """One row left out: its number as in the file, its text, why, and the kind of reason that others share."""

    row: int
    text: str
    reason: str
    cause: str = ""


@dataclasses.dataclass
class Table:
    """A table taken apart; :meth:`drop` is the only way a row leaves it.

    `row` holds the line of each row as an editor counts, `cells` its text and `values` its numbers by the name of the
    column, `heading` the heading as written and `unit` the unit its bare numbers were read in. A `strict` table
    refuses a cell that cannot be read where another leaves out its row.
    """

    name: str
    lines: list
    row: np.ndarray
    headings: list
    columns: list
    mark: str | None = None
    strict: bool = False
    cells: dict = dataclasses.field(default_factory=dict)
    heading: dict = dataclasses.field(default_factory=dict)
    unit: dict = dataclasses.field(default_factory=dict)
    values: dict = dataclasses.field(default_factory=dict)
    notes: list = dataclasses.field(default_factory=list)
    left_out: list = dataclasses.field(default_factory=list)
    commas: str = "ask"
    water: Water = SEA_LEVEL

    def __len__(self):
        return len(self.row)

    def __getitem__(self, name):
        """Numbers of a column, not-a-number where the table has none."""
        return self.values.get(name, np.full(len(self), np.nan))

    def has(self, *names):
        """Whether the table has every one of these columns."""
        return all(name in self.cells for name in names)

    def drop(self, bad, reason, cause=""):
        """Leave out the rows marked in `bad`; `reason` is text, or a function of the index."""
        bad = np.asarray(bad, bool)
        if not bad.any():
            return
        for i in np.flatnonzero(bad):
            said = reason(i) if callable(reason) else reason
            self.left_out.append(Dropped(int(self.row[i]), self.lines[self.row[i] - 1].strip(), said, cause or said))
        self.row = self.row[~bad]
        self.columns = [cells[~bad] for cells in self.columns]
        for kept in (self.cells, self.values):
            for name in kept:
                kept[name] = kept[name][~bad]

    def place(self, at):
        """A row in words, for a refusal."""
        return f"{self.name}, line {self.row[at]}" if self.name else f"Line {self.row[at]}"


_BOOK = "Open it and save the sheet as CSV (comma separated), then read that."
_WORD = "Put the readings into a spreadsheet and save the sheet as CSV, or type them."
# how a file of another kind begins; what it is; what to do. The first that fits counts.
_OTHER_KINDS = (
    (r"(?s)PK\x03\x04.*?(?:word/|opendocument\.text)", "a word processor's file, not a table", _WORD),
    (r"(?s)PK\x03\x04.*?\.kml", "a map file (KMZ), not a table",
     "Save its points as CSV from the map program, with latitude, longitude and depth."),
    (r"(?s)PK\x03\x04.*?(?:xl/|opendocument\.spreadsheet)", "a spreadsheet workbook, not a CSV file", _BOOK),
    (r"PK\x03\x04|\xd0\xcf\x11\xe0", "a spreadsheet workbook or a packed (zip) file, not a CSV file", _BOOK),
    (r"\s*%PDF", "a PDF page, not a table", "Save the readings as CSV in the program that made it, or type them."),
    (r"\s*\{\\rtf", "a word processor's file (RTF), not a table", _WORD),
    (r"\x89PNG|\xff\xd8\xff|GIF8|BM.{4}\0{4}|II\*\0|MM\0\*|.{4}ftyp(?:heic|mif1|avif)|RIFF.{4}WEBP",
     "a picture, not a table", "Type the readings, or save them as CSV."),
    (r"\x1f\x8b|Rar!|7z\xbc\xaf", "a packed file", "Unpack it and read the CSV file inside."),
    (r"(?s)\s*(?:<\?xml.{0,2000}?)?<(?:kml|gpx|gx:)", "a map file (KML or GPX), not a table",
     "Save its points as CSV from the map program, with latitude, longitude and depth."),
    (r"(?is)\s*<(?:!doctype html|html|head|body|table)", "a web page, not a table",
     "Copy its table into a spreadsheet and save the sheet as CSV."),
    (r"(?s)\s*<(?:\?xml|[A-Za-z][\w:]*[\s>])", "an XML file, not a table",
     f"Was it made by a spreadsheet program? {_BOOK}"),
    (r"\s*[\[{]\s*[\"{\[]", "a settings or data file (JSON), not a table", "Save the readings as CSV, with a heading."))
_HEAD = 20_000      # signs of a file that are looked at for its kind


def decode(source, what="soundings"):
    """Text of a file, and what to call it; a str is the text itself, not the name of a file.

    source (pathlib.Path, open file, bytes or str).
    what: Name used for text that has no file name.
    Raises FieldDataError: If there is no such file, it is of a kind that holds no text, or a str is a file name.
    """
    name = setting(f"{what} text", f"the {what} text")
    if isinstance(source, Path):
        name = shortened(source.name)
        try:
            source = source.read_bytes()
        except OSError as problem:
            near = sorted(p.name for p in source.parent.glob("*.csv")) if source.parent.is_dir() else []
            raise FieldDataError(f"The {what} file {quoted(name)} could not be opened ({problem.strerror}). CSV files "
                                 f"in that folder: {', '.join(near) or 'none'}. Check the name and the "
                                 "folder.") from None
    elif hasattr(source, "read"):
        name = shortened(Path(str(getattr(source, "name", name))).name)
        source = source.read()
    if isinstance(source, str):
        if re.fullmatch(r"[^\n,;\t]{1,200}\.(csv|txt|tsv)", source.strip(), re.IGNORECASE):
            given = quoted(source)
            raise FieldDataError(f"{given} looks like the name of a file, but text is taken for the {what} itself. "
                                 f"Choose the file with the upload button, or write Path({given}) in code.")
        _refuse_other_kinds(source, name)
        return tidy(source), name
    raw = bytes(source)
    _refuse_other_kinds(raw[:_HEAD].decode("latin-1").removeprefix("\xef\xbb\xbf"), name)
    text = tidy(_decode_bytes(raw))
    _refuse_other_kinds(text, name)
    if _is_noise(text):
        raise FieldDataError(f"{name} does not hold text: it may be a picture, a PDF or a meter's own format. Save or "
                             "export the readings as CSV (comma separated), then read that.")
    return text, name


def tidy(text):
    """Text without the marks that programs and web pages leave in it; a lost sign shows as a replacement sign.

    A byte mark at the start goes, blanks of odd kinds become plain blanks, and zero bytes that pad the ends
    of lines go. A zero byte inside a line may stand for a lost digit, so it stays to be seen.
    """
    text = text.removeprefix("\ufeff")
    if "\0" in text:
        text = re.sub(r"^\0+|\0+$", "", text, flags=re.MULTILINE).replace("\0", "\ufffd")
    return re.sub(r"[\u00a0\u2007\u2009\u202f]", " ", text)


def _is_noise(text):
    """True if the beginning holds many signs that no text has."""
    head = text[:2000]
    odd = sum(sign == "\ufffd" or (sign < " " and sign not in "\t\n\r\f\v") or "\x7f" <= sign < "\xa0" for sign in head)
    return odd > max(4, 0.05 * len(head))


def _refuse_other_kinds(head, name):
    """Refuse, by its first signs, a file that is no table of text, and say what it is."""
    for begins, kind, cure in _OTHER_KINDS:
        if re.match(begins, head[:_HEAD]):
            raise FieldDataError(f"{name} is {kind}. {cure}")


def _decode_bytes(raw):
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    head = raw[:400]
    if head.count(0) > len(head) // 4:
        little = head[1::2].count(0) > head[::2].count(0)
        return raw.decode("utf-16-le" if little else "utf-16-be", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def open_table(source, what, example, each="reading", strict=False):
    """A table taken apart into cells; nothing is turned into numbers yet.

    Lines that begin with ``#`` and rows without any entry are passed over, and a first line such as ``sep=;`` names
    the mark between columns. A row of units beneath the heading joins it. A heading repeated further down, totals at
    the end and rows with more entries than headings are left out, with their reason.

    source, what: As for :func:`decode`.
    example: A heading that would do.
    each: One row of it in words.
    strict: True to refuse a cell that cannot be read, False to leave out its row.
    Raises FieldDataError: If it is empty, has one column, no heading, or nothing below the heading.
    """
    text, name = decode(source, what)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    kept = [n for n, line in enumerate(lines, 1) if line.strip(" \t,;\"")]
    if "#" in text:
        kept = [n for n in kept if not re.match(r'[ "]*#(?!"?[,;\t])', lines[n - 1])]     # "#,time" heads a column
    told = re.fullmatch(r"sep=([;,\t|])\s*", lines[kept[0] - 1]) if kept else None
    kept = kept[1:] if told else kept
    if not kept:
        raise FieldDataError(f"{name} is empty. It needs a heading such as {example!r} and one row for each {each}.")
    head, cells, number, mark = parted([lines[n - 1] for n in kept], kept, told and told[1], name, example)
    head = [cell.strip().strip('"').strip() for cell in head]
    while head and not head[-1]:
        head.pop()
    if all(NUMBER.fullmatch(cell) or _moment_or_none(cell) for cell in head if cell):
        raise FieldDataError(f"{name}: the first row, {quoted(lines[kept[0] - 1])}, is numbers. It has no heading to "
                             f"say which column is which. Put a first line such as {example!r} above it.")
    if len(number) == 1:
        raise FieldDataError(f"{name} has a heading but no rows below it. Add one row for each {each}, or check that "
                             "the file was saved after the numbers were typed in.")
    head = _join_split_unit(head, max((at for at, column in enumerate(cells, 1) if column[0].strip()), default=0))
    cells += [np.full(len(number) - 1, "", object)] * (len(head) - len(cells))
    table = Table(name, lines, np.array(number[1:], int), head, cells, mark, strict)
    _take_units_row(table)
    _leave_out_headings_and_totals(table)
    _leave_out_overlong(table)
    if not len(table):
        raise FieldDataError(f"{name} has a heading but no rows below it that hold a {each}. Add one row for each.")
    return table


def _moment_or_none(cell):
    with contextlib.suppress(QuantityError):
        return re.match(r"\s*\d", cell) and read_moment(cell)


def parted(lines, number, mark, name, example):
    """Cells of the heading, columns of the cells beneath it, line numbers of all, and the mark between the cells."""
    bare = re.sub(r'"[^"]*"', "", lines[0])
    mark = mark or next((mark for mark in ";\t," if mark in bare), None)
    if mark is None:
        rows = [re.split(r"\s+(?![(\[{])", line.strip()) for line in lines]
        if len(rows[0]) < 2 or len(rows) < 2 or any(len(row) != len(rows[0]) for row in rows[:6]):
            raise FieldDataError(f"{name}: the heading {quoted(lines[0])} has one column only. Columns are parted by "
                                 f"commas, semicolons or tabs, for example {example!r}. Save the sheet as CSV.")
    elif '"' not in "".join(lines) and len({line.count(mark) for line in lines}) == 1:      # a plain one, in one go
        head, width = lines[0].split(mark), lines[0].count(mark) + 1
        return head, list(np.array(mark.join(lines[1:]).split(mark) if lines[1:] else [], object)
                          .reshape(-1, width).T), number, mark
    else:
        reader = csv.reader(lines, delimiter=mark, skipinitialspace=True)
        try:
            rows, ends = zip(*((row, reader.line_num) for row in reader), strict=True)
        except csv.Error:
            raise FieldDataError(f"{name} cannot be taken apart into columns: a row is far too long or a quotation "
                                 "mark is not closed. Mend it, or save the sheet as CSV again.") from None
        number = [number[end - 1] for end in ends]
    return rows[0], [np.array(column, object) for column in itertools.zip_longest(*rows[1:], fillvalue="")], \
        number, mark


def _join_split_unit(head, width):
    """Put ``Depth, feet`` together again where the comma in the heading was taken for a new column."""
    while len(head) > width:
        at = next((i for i, cell in enumerate(head) if i and _is_unit(cell)), None)
        if at is None:
            break
        head[at - 1: at + 1] = [f"{head[at - 1]} {head[at]}"]
    return head


def _is_unit(cell):
    """Whether a cell is a unit and nothing else."""
    word = cell.strip().strip("()[]{} ")
    if not word or len(word) > 25 or re.match(r"\d", word):
        return False
    with contextlib.suppress(QuantityError):
        return bool(parse_unit(word)) or True
    return heads.unit_word(word) is not None or re.fullmatch(r"psia|bar\(?a\)?", word, re.IGNORECASE) is not None


def _take_units_row(table):
    """Join a row of units beneath the heading to it."""
    first = [cells[0].strip() for cells in table.columns[:len(table.headings)]]
    given = [cell for cell in first if cell.lower() not in BLANKS]
    units = [cell for cell in given if _is_unit(cell)]
    if not units or not all(_is_unit(cell) or _CLOCK_PATTERN.fullmatch(cell) for cell in given):
        return
    for place, cell in enumerate(first):
        if _is_unit(cell):
            table.headings[place] += f" ({cell.strip('()[]{} ')})"
    table.notes.append(f"Row {table.row[0]} was read as the units of the columns above it: "
                       f"{shortened(', '.join(units))}.")
    again = np.ones(len(table), bool)
    for place in range(len(first)):
        again &= table.columns[place] == table.columns[place][0]
    gone = len(table.left_out)
    table.drop(again, "it repeats the row of units")
    del table.left_out[gone]                    # the first of them was used, not left out


def _leave_out_headings_and_totals(table):
    """Leave out a heading that comes again further down, and totals or averages at the end."""
    plain = [heads.tokens(heading) for heading in table.headings]
    short, first = plain[0].split(" ")[0], table.columns[0]
    again = np.zeros(len(table), bool)
    likely = enumerate(first) if short and short in "\n".join(first).lower() else ()
    for at in [at for at, cell in likely if cell.lower().startswith(short)]:
        said = [heads.tokens(cells[at]) for cells in table.columns]
        again[at] = all(head.startswith(cell) for cell, head in zip(said, plain, strict=False))
    table.drop(again, "it repeats the heading")
    ends = 0
    while ends < len(table) and _SUMMARY.match(next((cells[-1 - ends] for cells in table.columns
                                                     if cells[-1 - ends].strip()), "")):
        ends += 1
    if 0 < ends <= MOST_SUMMARIES and ends < len(table):
        table.drop(np.arange(len(table)) >= len(table) - ends, "it is a total or an average, not a reading")


def _leave_out_overlong(table):
    """Leave out, or refuse, rows with more entries than headings: no one can tell which is which."""
    width, extra = len(table.headings), table.columns[len(table.headings):]
    table.columns = table.columns[:width]
    if not extra:
        return
    over = np.array([any(cell.strip() for cell in row) for row in zip(*extra, strict=True)])
    hint = COMMA_HINT if table.mark == "," else " Give every column a heading."
    reason = f"it has more entries than the {width} columns in the heading.{hint}"
    if over.all():
        raise FieldDataError(f"{table.name}: every row has more entries than the {width} columns in the heading "
                             f"({shortened(', '.join(table.headings), 120)}).{hint}")
    if table.strict and over.any():
        raise FieldDataError(f"{table.place(np.flatnonzero(over)[0])}: {reason}")
    table.drop(over, reason.rstrip("."))


def with_points(table, column):
    """Cells of a column with a point for decimals; commas that may mark thousands or decimals are asked about."""
    cells = table.cells[column.name]
    commas = [cell for cell in cells if "," in cell and NUMBER.fullmatch(cell)] if "," in "\n".join(cells) else ()
    if not commas:
        _ask_about_points(table, column, cells)
        return cells
    numbers = {cell for other in table.columns for cell in other[:2000] if "." in cell and NUMBER.fullmatch(cell)}
    pointed = any(cell.count(".") == 1 for cell in numbers)
    in_doubt = all(map(_THOUSANDS.fullmatch, commas))
    example = commas[0].strip()
    if any(map(_SURELY_THOUSANDS.fullmatch, commas)) or in_doubt and table.commas == "thousands" and table.mark != ";":
        if table.mark == "\t" and in_doubt:
            _note_commas(table, example, "thousands")
        return np.array([cell.replace(",", "") if _THOUSANDS.fullmatch(cell) or _SURELY_THOUSANDS.fullmatch(cell)
                         else cell for cell in cells], object)
    if in_doubt and (pointed or table.mark != ";"):
        _ask_about(table, column, example, "comma", COMMA_HINT)
    if in_doubt:
        _note_commas(table, example, "decimals, as is usual beside semicolons")
    elif table.mark == "," and any("." in cell and NUMBER.fullmatch(cell) for cell in cells):
        return cells                            # both marks in one column: those with a comma are left out
    return np.array([re.sub(r"(?<=\d),(?=\d)|^,(?=\d)", ".", cell) for cell in cells], object)


def _ask_about_points(table, column, cells):
    """Refuse 1.250 where other columns mark decimals with commas, so that its point may mark thousands."""
    pointed = [cell for cell in cells if "." in cell] if table.mark in (";", "\t") and "." in "".join(cells) else ()
    if pointed and not column.read and all(_POINTED_THOUSANDS.fullmatch(cell) for cell in pointed) and any(
            "," in cell and NUMBER.fullmatch(cell) and not _THOUSANDS.fullmatch(cell)
            for other in table.columns for cell in other[:2000]):
        _ask_about(table, column, pointed[0].strip(), "point")


def _ask_about(table, column, example, mark, hint=""):
    at = next(at for at, cell in enumerate(table.cells[column.name]) if cell.strip() == example)
    plain = re.sub("[.,]", "", example)
    raise FieldDataError(f"{table.place(at)}: the {column.name} is {quoted(example)}, whose {mark} may mark thousands "
                         f"or decimals. Write {quoted(plain)} or {quoted(f'{plain[:-3]}.{plain[-3:]}')}"
                         f"{' in a table whose decimals are marked by points' if mark == 'point' else ''}.{hint}")


def _note_commas(table, example, taken):
    if not any(note.startswith("Commas such as") for note in table.notes):
        table.notes.append(f"Commas such as the one in {quoted(example)} could mark thousands or decimals. They were "
                           f"read as {taken}. Check one value against your field notes.")


def typed_lines(text):
    """Number and text of each typed line; blank lines and those that begin with ``#`` are passed over."""
    lines = [(number, line.strip(" ")) for number, line in enumerate(tidy(text).replace("−", "-").splitlines(), 1)]
    return [(number, line) for number, line in lines if line.strip() and line.strip()[0] != "#"]


def _refuse_thousands(line):
    """Refuse a comma before three digits, which may mark thousands or decimals."""
    doubt = re.search(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d,])", line)
    if doubt:
        raise FieldDataError(f"In {quoted(line)} the comma of {doubt[0]} may mark thousands or decimals. Write "
                             f"{doubt[0].replace(',', '')} or {doubt[0].replace(',', '.')}.")


def line_cells(line, gaps=False):
    """The cells of a typed line, parted by a semicolon, a tab, a comma or wide blanks.

    With `gaps` also the empty ones, and blanks part nothing, since they would close up over a missing entry.
    """
    mark = next((mark for mark in ";\t" if mark in line), None)
    if mark:                            # these part the cells, so a comma between digits marks decimals
        _refuse_thousands(line)
        cells = [re.sub(r"(?<=\d),(?=\d)", ".", cell) for cell in line.split(mark)]
    else:
        cells = line.split(",") if gaps or "," in line else re.split(r"\s{2,}", line)
    return [cell.strip() for cell in cells if gaps or cell.strip()]


_TYPED = re.compile(r"\s*([-+−]?(?:\d+\.?\d*|\.\d+)\s*"                                        # a number
                    r"(?:(?:°\s*)?[A-Za-z%'°µ]+(?:\s*/\s*[A-Za-z]+)?)?)(?:[\s;]|:(?!\d))*")     # its unit, and a mark


def _as_taken(line):
    """A typed line with its degrees, dots, dashes, bars, feet with inches and the word "surface" in one spelling."""
    line = re.sub(r"(?:°\s*)?\bdeg(?:rees?)?\b\.?\s*(?=[FC]\b)", "°", line.replace("º", "°"), flags=re.IGNORECASE)
    line = re.sub(r"(?<!\.[A-Za-z])(?<=[A-Za-z])\.(?=[\s,;:|]|$)", " ", line)
    line = re.sub(r"(?<=[^\s,;:|])\s+[-–—|]\s+(?=[^\s,;:|])", " , ", line)         # a mark beside it: no entry there
    line = re.sub(r"^\s*surface\b", "0 m", line, flags=re.IGNORECASE)
    return re.sub(r"(?<![\d.,])(\d{1,5})\s*(?:ft|feet|foot|')\s*(\d{1,3}(?:\.\d{0,5})?)\s*(?:in\b|inch(?:es)?\b|\"|'')",
                  lambda found: f"{int(found[1]) + float(found[2]) / 12:.5g} ft ", line)


def typed_cells(line, counts):
    """The entries of a typed line, parted by semicolons, tabs, commas or blanks, and a note on a decimal comma.

    line (str).
    counts (container of int): How many entries there may be. Where a comma may mark decimals or part two numbers,
        only the way that gives one of these counts is taken.
    Raises FieldDataError: If both ways do, or neither.
    """
    line = _as_taken(line.strip())
    if re.search(r"\d\s+\d", line):
        _refuse_thousands(line)
    if re.search(r"[;\t]", line.strip("; \t")):
        return line_cells(line), None
    cells = line_cells(line)
    pieces = _pieces(line.replace(",", " "))
    decimal = re.search(r"(?<!\d)\d+,\d+", line)
    joined = _pieces(re.sub(r"(?<=\d),(?=\d)", ".", line).replace(",", " ")) if decimal else None
    ways = [way for way in (pieces, joined) if way and len(way) in counts]
    if len(ways) == 2 and re.search(r"\d\s*[A-Za-z%°'/]*\s*,?\s+\d", line):
        raise FieldDataError(f"{quoted(line)} has a comma that may be a decimal point, in {decimal[0]}. Write "
                             f"{decimal[0].replace(',', '.')} with a point, or part the numbers by a comma and a "
                             "blank.")
    if ways:
        way = ways[0]
        return way, None if way is pieces else (f"The comma in {decimal[0]} was read as a decimal point.")
    if len(cells) in counts:
        return cells, None
    raise FieldDataError(f"{quoted(line)} cannot be read.")


def _pieces(line):
    """Numbers with their units, where the line holds nothing else; else None."""
    found = list(_TYPED.finditer(line))
    return [match[1].strip() for match in found] if "".join(match[0] for match in found) == line else None
