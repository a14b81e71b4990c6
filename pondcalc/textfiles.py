"""How does a table get from a file into text?

Spreadsheets save in four encodings, with commas, semicolons or tabs between the cells. Reading tries them in turn.
"""

import csv
import re
from pathlib import Path

from .refusals import Refused
from .wording import quoted, setting, shortened

_BOOK = "Open it and save the sheet as CSV (comma separated), then read that."
# how a file of another kind begins; what it is; what to do. The first that fits counts.
_OTHER_KINDS = (
    (r"PK\x03\x04|\xd0\xcf\x11\xe0", "a spreadsheet workbook or a packed (zip) file, not a CSV file", _BOOK),
    (r"\s*%PDF", "a PDF page, not a table", "Save the readings as CSV in the program that made it, or type them."),
    (r"\s*\{\\rtf", "a word processor's file (RTF), not a table",
     "Put the readings into a spreadsheet and save the sheet as CSV, or type them."),
    (r"\x89PNG|\xff\xd8\xff|GIF8|BM.{4}\0{4}", "a picture, not a table", "Type the readings, or save them as CSV."),
    (r"\x1f\x8b|Rar!|7z\xbc\xaf", "a packed file", "Unpack it and read the CSV file inside."),
    (r"(?s)\s*(?:<\?xml.{0,2000}?)?<(?:kml|gpx|gx:)", "a map file (KML or GPX), not a table",
     "Save its points as CSV from the map program, with latitude, longitude and depth."),
    (r"(?is)\s*<(?:!doctype html|html|head|body|table)", "a web page, not a table",
     "Copy its table into a spreadsheet and save the sheet as CSV."),
    (r"(?s)\s*<(?:\?xml|[A-Za-z][\w:]*[\s>])", "an XML file, not a table",
     f"Was it made by a spreadsheet program? {_BOOK}"),
    (r"\s*[\[{]\s*[\"{\[]", "a settings or data file (JSON), not a table", "Save the readings as CSV, with a heading."))


class FieldDataError(Refused):
    """Readings from the field that cannot be used: says what came, what is allowed, what to do next."""


def decode(source, what="soundings"):
    """Text of a file, and what to call it.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        A str is the text itself, not the name of a file.
    what : str, optional
        Name used for text that has no file name.

    Returns
    -------
    tuple of str
        Text and name.

    Raises
    ------
    FieldDataError
        If there is no such file, it is a workbook of a spreadsheet program, or a str is a file name.
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
    _refuse_other_kinds(raw[:4000].decode("latin-1").removeprefix("\xef\xbb\xbf"), name)
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
    text = re.sub(r"^\0+|\0+$", "", text.removeprefix("\ufeff"), flags=re.MULTILINE)
    return re.sub(r"[\u00a0\u2007\u2009\u202f]", " ", text).replace("\0", "\ufffd")


def _is_noise(text):
    """True if the beginning holds many signs that no text has."""
    head = text[:2000]
    odd = sum(sign == "\ufffd" or (sign < " " and sign not in "\t\n\r\f\v") or "\x7f" <= sign < "\xa0" for sign in head)
    return odd > max(4, 0.05 * len(head))


def _refuse_other_kinds(head, name):
    """Refuse, by its first signs, a file that is no table of text, and say what it is."""
    for begins, kind, cure in _OTHER_KINDS:
        if re.match(begins, head[:4000]):
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


def lines_of(text):
    """The lines of a text, whatever marks their ends."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def told_mark(line):
    """The mark between columns that a first line such as ``sep=;`` names, or None."""
    found = re.fullmatch(r"sep=([;,\t|])\s*", line)
    return found and found[1]


def split_rows(text, name, what, example):
    """Rows of cells of a table, with the line number of each as an editor counts.

    Lines that begin with ``#`` and rows without any entry are passed over. A first line such as
    ``sep=;`` names the mark between columns; else it is a semicolon, a tab or a comma, whichever the
    heading has.

    Parameters
    ----------
    text : str
    name : str
        What to call it in messages.
    what : str
        One row of it in words, such as ``"place"``.
    example : str
        A heading that would do.

    Returns
    -------
    tuple of (list of list of str, list of int, str)
        Rows, the heading first; their line numbers; the mark between columns.

    Raises
    ------
    FieldDataError
        If it is empty, has one column, no heading, or nothing below the heading.
    """
    lines = lines_of(text)
    kept = [n for n, line in enumerate(lines, 1) if line.strip(" \t,;\"") and line.lstrip(' "')[:1] != "#"]
    forced = told_mark(lines[kept[0] - 1]) if kept else None
    if forced:
        kept = kept[1:]
    if not kept:
        raise FieldDataError(f"{name} is empty. It needs a heading such as {example!r} and one row for each {what}.")
    heading = lines[kept[0] - 1]
    bare = re.sub(r'"[^"]*"', "", heading)
    mark = forced or next((mark for mark in ";\t," if mark in bare), None)
    if mark is None:
        raise FieldDataError(f"{name}: the heading {quoted(heading)} has one column only. Columns are parted by "
                             f"commas, semicolons or tabs, for example {example!r}. Save the sheet as CSV.")
    reader = csv.reader([lines[n - 1] for n in kept], delimiter=mark, skipinitialspace=True)
    rows, number = [], []
    try:
        for row in reader:
            rows.append(row)
            number.append(kept[reader.line_num - 1])
    except csv.Error:
        raise FieldDataError(f"{name} cannot be taken apart into columns: a row is far too long or a quotation mark is "
                             "not closed. Mend it, or save the sheet as CSV again.") from None
    if all(is_number(cell) or not cell.strip() for cell in rows[0]):
        raise FieldDataError(f"{name}: the first row, {quoted(heading)}, is numbers. It has no heading to say which "
                             f"column is which. Put a first line such as {example!r} above it.")
    if len(rows) == 1:
        raise FieldDataError(f"{name} has a heading but no rows below it. Add one row for each {what}, or check that "
                             "the file was saved after the numbers were typed in.")
    return rows, number, mark


COMMA_HINT = " If commas mark your decimals (3,2 for 3.2), save with semicolons between the columns."


def overlong(row, width):
    """Whether a row has entries past the `width` columns of its heading, so that no one can tell which is which."""
    return any(cell.strip() for cell in row[width:])


def is_number(text):
    """Whether a cell holds a bare number, whatever marks its decimals."""
    return re.fullmatch(r"\s*[-+]?[\d.,]+\s*", text) is not None
