"""How does a table get from a file into text, and safely back?

Spreadsheets save in four encodings and may hold a file open; a program may stop half way. Reading
tries the encodings in turn. Writing makes a full new file and then swaps it for the old one.
"""

import csv
import io
import os
import re
from pathlib import Path


class SurveyError(ValueError):
    """A survey that cannot be used: says what came, what is allowed, what to do next."""


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
    SurveyError
        If there is no such file, it is a workbook of a spreadsheet program, or a str is a file name.
    """
    name = f"the {what} text"
    if isinstance(source, Path):
        name = source.name
        try:
            source = source.read_bytes()
        except OSError as problem:
            near = sorted(p.name for p in source.parent.glob("*.csv")) if source.parent.is_dir() else []
            raise SurveyError(f"The {what} file {name!r} could not be opened ({problem.strerror}). CSV files "
                              f"in that folder: {', '.join(near) or 'none'}. Check the name and the "
                              "folder.") from None
    elif hasattr(source, "read"):
        name = Path(str(getattr(source, "name", name))).name
        source = source.read()
    if isinstance(source, str):
        if re.fullmatch(r"[^\n,;\t]+\.(csv|txt|tsv)", source.strip(), re.IGNORECASE):
            raise SurveyError(f"{source.strip()!r} looks like the name of a file. Text is read as the {what} "
                              f"themselves, so write Path({source.strip()!r}) to open the file.")
        return source.removeprefix("\ufeff"), name
    return _decode_bytes(bytes(source), name), name


def _decode_bytes(raw, name):
    if raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise SurveyError(f"{name} is a spreadsheet workbook, not a CSV file. Open it and save the sheet "
                          "as CSV (comma separated), then read that.")
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


def write_rows(path, header, rows, comment=""):
    """Write a CSV file in one step: a full new file takes the place of the old, or nothing changes.

    Parameters
    ----------
    path : path
    header : list of str
    rows : iterable of sequences
    comment : str, optional
        Line to put on top after ``#``.

    Raises
    ------
    SurveyError
        If the file cannot be replaced, for example because another program holds it open.
    """
    path = Path(path)
    sheet = io.StringIO()
    if comment:
        sheet.write(f"# {comment}\n")
    writer = csv.writer(sheet, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    fresh = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        fresh.write_text(sheet.getvalue(), encoding="utf-8", newline="\n")
        os.replace(fresh, path)
    except OSError as problem:
        raise SurveyError(f"{path.name} could not be written ({problem.strerror}); what was there before is "
                          "unchanged. Close it in other programs, or choose another name or "
                          "folder.") from None
    finally:
        fresh.unlink(missing_ok=True)
    return path
