"""What does this log of a tub test say? Reads a class's own file, or numbers typed into a box.

A log has a time, an oxygen reading, and perhaps a water temperature, with their
units in the headings: ``Time (min), DO (mg/L), Water temp (F)``. Files as people
really save them are taken: commas, semicolons or tabs, decimal commas, a byte
mark at the front, notes after ``#``.
"""

import math
import re
from typing import Any

import numpy as np

from ..fieldsheet import uses_decimal_comma
from ..textfiles import COMMA_HINT, FieldDataError, decode, is_number, overlong, split_rows, tidy
from ..units import Q, QuantityError, parse_unit, record
from ..wording import quoted

__all__ = ["LogError", "BucketLog", "read_log", "typed_log"]


MOST_NOTES = 6          # rows left out that are named one by one


class LogError(QuantityError):
    """A tub log that cannot be used: says where, why, and what to do."""


@record(time="s", dissolved_oxygen="mg/L", temperature="degC")
class BucketLog:
    """Readings of one tub test.

    Parameters
    ----------
    time : array, s
        Counted from the first reading.
    dissolved_oxygen : array, mg/L
    temperature : float, degC, optional
        Mean water temperature, None if the log has none.
    name : str, optional
        What to call it.
    notes : tuple of str, optional
        What was done to the file on the way in; rows left out, and why.
    """

    time: Any
    dissolved_oxygen: Any
    temperature: Any = None
    name: str = "typed readings"
    notes: tuple = ()


_MEANING = (("time", r"\b(time|clock|elapsed|minutes?|seconds?|hours?)\b"),
            ("oxygen", r"\b(do|d\.o\.|oxygen|o2|conc\w*)(?=$|[^a-z])"),
            ("temperature", r"\b(temp|temperature|water temp\w*)\b"))
_DEFAULT_UNIT = {"temperature": "degree_Celsius"}
_TEACH = {"time": "'Time (min)'", "oxygen": "'DO (mg/L)'", "temperature": "'Temp (F)'"}
_GOOD = {"time": ("second", "minute", "hour", "day"), "oxygen": ("milligram / liter",),
         "temperature": ("degree_Celsius", "degree_Fahrenheit", "kelvin")}


def _heading(text):
    """What a heading means, and its unit; either may be None."""
    low = re.sub(r"[_\s]+", " ", text.strip().lower().replace("°", ""))
    meaning = next((name for name, pattern in _MEANING if re.search(pattern, low)), None)
    if meaning is None:
        return None, None
    if meaning == "oxygen" and ("%" in low or "percent" in low or re.search(r"\bsat", low)):
        return "percent", None
    inside = re.search(r"[(\[]([^)\]]*)[)\]]", low)
    words = [inside[1]] if inside else re.split(r"[ ,]+", low)[::-1]
    for word in words:
        try:
            unit = parse_unit(word)
        except QuantityError:
            continue
        if unit in _GOOD[meaning]:
            return meaning, unit
    if inside and inside[1].strip():
        raise LogError(f"The unit in the heading {quoted(text)} is not one that fits. Write it like "
                       f"{_TEACH[meaning]}.")
    return meaning, None


def _number(text, decimal_comma):
    text = text.strip().strip('"').replace("−", "-")
    if decimal_comma:
        text = text.replace(",", ".")
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("Only numbers that can be drawn on a graph are readings.")
    return number


def _clock(text):
    """Seconds of ``10:05``, ``10:05:30`` or ``2:05:30 PM``; None if it is not a clock time."""
    found = re.fullmatch(r"\s*(?:\S+[ T])?(\d{1,2}):(\d{2})(?::(\d{2}(?:\.\d+)?))?\s*([ap])?\.?m?\.?\s*",
                         text, re.I)
    if not found:
        return None
    hour = int(found[1])
    if found[4]:
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    return 3600.0 * hour + 60 * int(found[2]) + float(found[3] or 0)


def read_log(source, temperature=None):
    """Read the log of a tub test.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        A str is the text of the log itself, not the name of a file.
    temperature : float, degC, optional
        Water temperature, for a log without a temperature column.

    Returns
    -------
    BucketLog

    Raises
    ------
    LogError
        If there is no time or no oxygen column, a unit is missing, or fewer than 2 rows can be read.
    """
    try:
        text, name = decode(source, "tub log")
        rows, number, mark = split_rows(text, name, "reading", "Time (min),DO (mg/L)")
    except FieldDataError as problem:
        raise LogError(str(problem)) from None
    header, notes = rows[0], []
    if all(is_number(cell) or _clock(cell) is not None for cell in header if cell.strip()):
        raise LogError(f"{name}: the first row is numbers. Put a heading above it that says which column is which, "
                       "with units, for example 'Time (min),DO (mg/L)'.")
    comma = uses_decimal_comma([[cell for row in rows[1:] for cell in row]], mark, notes)
    column, unit = {}, {}
    for i, cell in enumerate(header):
        meaning, found = _heading(cell)
        if meaning in column and meaning != "percent":
            raise LogError(f"{name}: two columns look like {meaning}: {quoted(header[column[meaning]])} and "
                           f"{quoted(cell)}. Rename or take out one of them.")
        if meaning and meaning not in column:
            column[meaning], unit[meaning] = i, found or _DEFAULT_UNIT.get(meaning)
    if "oxygen" not in column and "percent" in column:
        raise LogError(f"{name}: oxygen is in percent ({quoted(header[column['percent']])}). The fit needs "
                       "mg/L: set the meter to mg/L and log again, or export that column.")
    for meaning in ("time", "oxygen"):
        if meaning not in column:
            raise LogError(f"{name}: no {meaning} column. The heading reads "
                           f"{quoted(', '.join(c.strip() for c in header))}; call one column something like "
                           f"{_TEACH[meaning]}.")
    by_clock = any(_clock(row[column["time"]]) is not None for row in rows[1:] if len(row) > column["time"])
    if by_clock:
        unit["time"] = "second"
    for meaning in ("time", "oxygen"):
        if unit[meaning] is None:
            raise LogError(f"{name}: the heading {quoted(header[column[meaning]])} has no unit. Write it "
                           f"like {_TEACH[meaning]}.")
    kept, left = [], []
    for n, row in zip(number[1:], rows[1:], strict=True):
        try:
            if overlong(row, len(header)):
                raise LogError("has more entries than there are headings."
                               f"{COMMA_HINT if mark == ',' else ' Give every column a heading.'}")
            when = row[column["time"]]
            when = 0.0 + _clock(when) if by_clock else _number(when, comma)
            kept.append((when, _number(row[column["oxygen"]], comma), n, row))
        except LogError as problem:
            left.append(f"Row {n} was left out: {quoted(mark.join(row))} {problem}")
        except (ValueError, IndexError, TypeError):
            left.append(f"Row {n} was left out: {quoted(mark.join(row))} lacks a time or an oxygen number. Write "
                        "numbers alone; their units go into the heading.")
    if len(kept) < 2:
        raise LogError(f"{name}: {len(kept)} row{'s' * (len(kept) != 1)} could be read. "
                       + (left[0] if left else "Add a row for each reading below the heading."))
    notes += left[:MOST_NOTES]
    if len(left) > MOST_NOTES:
        notes.append(f"{len(left) - MOST_NOTES} more rows were left out. When so many fail, look for one common cause.")
    time = Q(np.array([k[0] for k in kept]), unit["time"]).m_as("second")
    if by_clock:                                   # past midnight the clock starts again
        time = time + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(time) < -43200)])
    oxygen = np.array([k[1] for k in kept])
    if "temperature" in column:
        temperature = _mean_temperature([row for *_, row in kept], column["temperature"], unit["temperature"], comma,
                                        notes, temperature)
    if temperature is None:
        notes.append("The log has no water temperature; without it kLa cannot be carried to 20 C (68 F).")
    return BucketLog.si(time - time[0], oxygen, temperature, name, tuple(notes))


def _mean_temperature(rows, place, unit, comma, notes, otherwise):
    """Mean water temperature, degC; a note is added if it drifted."""
    read = []
    for row in rows:
        try:
            read.append(_number(row[place], comma))
        except (ValueError, IndexError):
            continue
    found = Q(np.array(read), unit).m_as("degC")
    can_be = (found > -1) & (found < 45)
    if not can_be.all():
        notes.append(f"{np.sum(~can_be)} water temperature{'s' * int(np.sum(~can_be) > 1)} outside 30 to 113 °F (-1 to "
                     "45 °C) were left out. Check the numbers, and the unit in the heading.")
        found = found[can_be]
    if not found.size:
        return otherwise
    if np.ptp(found) > 2:
        warm = found * 1.8 + 32
        notes.append(f"Water temperature went from {found.min():.1f} to {found.max():.1f} C ({warm.min():.0f} to "
                     f"{warm.max():.0f} F) during the log; kLa and saturation both move with it. Keep it within 2 C.")
    return float(found.mean())


def typed_log(text, time_unit="min", temperature=None):
    """Read numbers typed into a box: on each line a time and an oxygen reading in mg/L.

    Parameters
    ----------
    text : str
        Such as ``"0 0.3\\n1 1.1\\n2 1.9"``; commas, semicolons, tabs or blanks part the two.
    time_unit : str, optional
        Unit of the times.
    temperature : float, degC, optional
        Of the water.

    Returns
    -------
    BucketLog
    """
    time, oxygen = [], []
    for n, line in enumerate(tidy(text).splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        apart = r"[;\t ]+" if re.search(r"[;\t]|\S +\S", line.strip()) else ","
        parts = [p.strip(", ") for p in re.split(apart, line.strip()) if p.strip(", ")]
        try:
            first, second = parts
            first, second = _number(first, True), _number(second, True)
        except ValueError:
            raise LogError(f"Line {n}, {quoted(line)}: write a time and an oxygen reading, such "
                           "as '2 1.9'.") from None
        time.append(first)
        oxygen.append(second)
    if len(time) < 2:
        raise LogError("Type at least two lines, each with a time and an oxygen reading, such as '2 1.9'.")
    time = Q(np.array(time), time_unit).m_as("second")
    return BucketLog.si(time - time[0], np.array(oxygen), temperature)
