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

from .. import columns, water
from ..fieldsheet import uses_decimal_comma
from ..textfiles import COMMA_HINT, FieldDataError, decode, is_number, overlong, split_rows, tidy
from ..units import Q, QuantityError, parse_unit, record
from ..wording import MOST_NAMED, either, listed, quoted

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


_TEACH = {"time": "'Time (min)'", "oxygen": "'DO (mg/L)'", "temperature": "'Temp (F)'"}
_GOOD = {"time": ("second", "minute", "hour", "day"), "temperature": ("degree_Celsius", "degree_Fahrenheit", "kelvin")}
_TIME = re.compile(r"\b(time|clock|elapsed|minutes?|min|seconds?|sec|hours?)\b")
LOWEST, HIGHEST = -0.5, 40.0        # mg/L: a little below a meter's zero, and more than any tub holds; our choice
STEP_MOST, SPAN_MOST = 900.0, 6 * 3600.0        # s: a tub test read by the clock has shorter steps and ends sooner
STEP_LEAST, SPAN_LEAST = 5.0, 60.0              # s: one read by a stopwatch has longer steps and goes on; our choice


def _find(headings, name):
    """Place and unit of each column by what it holds, and notes."""
    try:
        oxygen, unit, notes = columns.pick_oxygen(headings)
        warm, said = columns.pick_temperature(headings)
    except QuantityError as problem:
        raise LogError(f"{name}: {str(problem)[0].lower()}{str(problem)[1:]}") from None
    times = [place for place, heading in enumerate(headings)
             if _TIME.search(heading.lower().replace("_", " "))
             and place not in (oxygen, warm) and not columns.is_oxygen(heading)]
    if len(times) > 1:
        raise LogError(f"{name}: two columns look like time: {quoted(headings[times[0]])} and "
                       f"{quoted(headings[times[1]])}. Rename or take out one of them.")
    place = {"time": times[0] if times else None, "oxygen": oxygen, "temperature": warm}
    units = {"oxygen": unit} | {what: _unit(headings[place[what]], what) for what in _GOOD if place[what] is not None}
    return place, units, [*notes, *said]


def _unit(text, meaning):
    """The unit in a heading of a time or a temperature, or None."""
    low = re.sub(r"[_\s]+", " ", text.strip().lower().replace("°", ""))
    inside = re.search(r"[(\[]([^)\]]*)[)\]]", low)
    for word in [inside[1]] if inside else re.split(r"[ ,]+", low)[::-1]:
        try:
            unit = parse_unit(word)
        except QuantityError:
            continue
        if unit in _GOOD[meaning]:
            return unit
    if inside and inside[1].strip() and not re.search(r"h\w*:m|m\w*:s|clock", low):
        raise LogError(f"The unit in the heading {quoted(text)} is not one that fits. Write it like "
                       f"{_TEACH[meaning]}.")
    return None


def _number(text, decimal_comma):
    text = text.strip().strip('"').replace("−", "-")
    if decimal_comma:
        text = text.replace(",", ".")
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("Only numbers that can be drawn on a graph are readings.")
    return number


_CLOCK = re.compile(r"\s*(?:\S+[ T])?(\d{1,3}):([0-5]\d)(?::([0-5]\d(?:\.\d+)?))?\s*([ap])?\.?m?\.?\s*", re.I)


def _clock(text):
    """Seconds of ``10:05``, ``10:05:30`` or ``2:05:30 PM``; None if it is not a clock time."""
    found = _CLOCK.fullmatch(text)
    if not found:
        return None
    hour = int(found[1])
    if found[4]:
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    return 3600.0 * hour + 60 * int(found[2]) + float(found[3] or 0)


def _by_stopwatch(cells, heading, name):
    """Whether times such as ``0:30`` are minutes and seconds, and a note where that was found out from the steps."""
    low, found = heading.lower(), [_CLOCK.fullmatch(cell) for cell in cells]
    found = [one for one in found if one]
    if any(one[3] or one[4] or " " in one[0].strip() for one in found):
        if any(one[3] for one in found) and not all(one[3] for one in found):
            raise LogError(f"{name}: some times have seconds and some have not, such as {quoted(cells[0])}. Write all "
                           "of them as hours, minutes and seconds: 0:05:30.")
        return False, []
    seconds = np.array([_clock(one[0]) for one in found])
    seconds = seconds + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(seconds) < -43200)])
    step = float(np.median(np.abs(np.diff(seconds)))) if len(seconds) > 1 else 0.0
    span, start = float(np.ptp(seconds)), float(seconds[0])
    by_clock = 0 < step <= STEP_MOST and span <= SPAN_MOST and seconds.max() < 2 * 86400
    by_watch = step / 60 >= STEP_LEAST and span / 60 >= SPAN_LEAST
    if re.search(r"h\w*:m", low):
        watch = False
    elif re.search(r"m\w*:s", low):
        watch = True
    elif re.search(r"clock|hour|\(h\)", low):
        watch = None if by_watch and not by_clock else False
    elif re.search(r"\bmin|\bsec", low.replace("_", " ")):
        watch = by_watch or not by_clock
    elif by_watch and not by_clock:         # a clock read every half hour from 8:00 looks like a stopwatch too
        watch = None if 3 * 3600 <= start < 86400 else True
    else:
        watch = False if by_clock and not (by_watch and start < 3600) else None
    if watch is None:
        raise LogError(f"{name}: times such as {quoted(cells[0])} and {quoted(cells[-1])} may be hours and minutes, or "
                       "minutes and seconds. Write the heading as 'Time (min:sec)' or 'Time (h:min)'.")
    if not watch and by_clock and not by_watch and start >= 3600:
        return watch, []
    return watch, [f"Times such as {quoted(cells[0])} were read as "
                   f"{'minutes and seconds' if watch else 'hours and minutes'}. If they are "
                   f"{'hours and minutes' if watch else 'minutes and seconds'}, write the heading as "
                   f"{'Time (h:min)' if watch else 'Time (min:sec)'}."]


def read_log(source, temperature=None, pressure_absolute=water.ATMOSPHERE):
    """Read the log of a tub test.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        A str is the text of the log itself, not the name of a file.
    temperature : float, degC, optional
        Water temperature, for a log without a temperature column.
    pressure_absolute : float, optional
        Of the air, Pa, for oxygen in percent of saturation; default sea level.

    Returns
    -------
    BucketLog
        Oxygen in other units is turned into mg/L, and a note says so.

    Raises
    ------
    LogError
        If there is no time or no oxygen column, a unit is missing or cannot be used, the time goes back, or fewer
        than 2 rows can be read.
    """
    try:
        text, name = decode(source, "tub log")
        rows, number, mark = split_rows(text, name, "reading", "Time (min),DO (mg/L)")
    except FieldDataError as problem:
        raise LogError(str(problem)) from None
    header = [cell.strip() for cell in rows[0]]
    if all(is_number(cell) or _clock(cell) is not None for cell in header if cell):
        raise LogError(f"{name}: the first row is numbers. Put a heading above it that says which column is which, "
                       "with units, for example 'Time (min),DO (mg/L)'.")
    column, unit, notes = _find(header, name)
    comma = uses_decimal_comma([[cell for row in rows[1:] for cell in row]], mark, notes)
    for meaning in ("time", "oxygen"):
        if column[meaning] is None:
            raise LogError(f"{name}: no {meaning} column. The heading reads {quoted(', '.join(header))}; call one "
                           f"column something like {_TEACH[meaning]}.")
    cells = [row[column["time"]] for row in rows[1:] if len(row) > column["time"]]
    clocks = [cell for cell in cells if _clock(cell) is not None]
    per = 1.0
    if clocks:
        stopwatch, said = _by_stopwatch(clocks, header[column["time"]], name)
        unit["time"], per, notes = "second", 60.0 if stopwatch else 1.0, [*notes, *said]
    for meaning in ("time", "oxygen"):
        if unit[meaning] is None:
            raise LogError(f"{name}: the heading {quoted(header[column[meaning]])} has no unit. Write it "
                           f"like {_TEACH[meaning]}.")
    kept, left = _rows(rows[1:], number[1:], column, (mark, comma, bool(clocks), per, len(header)))
    if column["temperature"] is not None and unit["temperature"] is None:
        unit["temperature"] = "degree_Celsius"
        notes.append(f"The heading {quoted(header[column['temperature']])} names no unit, so its numbers were read as "
                     "°C.")
    warm = _temperatures(kept, column["temperature"], unit.get("temperature"), comma)
    rough = np.where(np.isfinite(warm), warm, math.nan if temperature is None else temperature)
    try:
        oxygen, turned = columns.in_mg_per_liter([k[1] for k in kept], unit["oxygen"], rough, pressure_absolute,
                                                 header[column["oxygen"]])
    except QuantityError as problem:
        raise LogError(f"{name}: {problem}") from None
    can_be = (oxygen >= LOWEST) & (oxygen <= HIGHEST)
    left += [(k[2], f"its oxygen is {value:.3g} mg/L, outside 0 to {HIGHEST:g} mg/L. Check it.",
              f"their oxygen is outside 0 to {HIGHEST:g} mg/L.")
             for k, value in zip(kept, oxygen, strict=True) if not LOWEST <= value <= HIGHEST]
    kept, oxygen, warm = [k for k, good in zip(kept, can_be, strict=True) if good], oxygen[can_be], warm[can_be]
    if len(kept) < 2:
        raise LogError(f"{name}: {len(kept)} row{'s' * (len(kept) != 1)} could be read. "
                       + (_left_out(left[:1])[0] if left else "Add a row for each reading below the heading."))
    notes += [*turned, *_left_out(sorted(left))]
    time = Q(np.array([k[0] for k in kept]), unit["time"]).m_as("second")
    if clocks:                                     # past midnight the clock starts again
        time = time + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(time) < -43200)])
    back = next((k[2] for k, step in zip(kept[1:], np.diff(time), strict=True) if step < 0), None)
    if back is not None:
        raise LogError(f"{name}, row {back}: the time goes back. Put the rows in the order they were read, and check "
                       "the time of that row.")
    temperature = _mean_temperature(warm, notes, temperature)
    if temperature is None:
        notes.append("The log has no water temperature; without it kLa cannot be carried to 20 C (68 F).")
    return BucketLog.si(time - time[0], oxygen, temperature, name, tuple(notes))


def _rows(rows, number, column, how):
    """Time, oxygen, line number and cells of each row that has both numbers; and why others were left out."""
    mark, comma, by_clock, per, width = how
    kept, left = [], []
    for n, row in zip(number, rows, strict=True):
        try:
            if overlong(row, width):
                raise LogError("has more entries than there are headings."
                               f"{COMMA_HINT if mark == ',' else ' Give every column a heading.'}")
            when = row[column["time"]]
            when = (0.0 + _clock(when)) / per if by_clock else _number(when, comma)
            kept.append((when, _number(row[column["oxygen"]], comma), n, row))
        except LogError as problem:
            left.append((n, f"{quoted(mark.join(row))} {problem}", f"they {problem}".replace("they has", "they have")))
        except (ValueError, IndexError, TypeError):
            left.append((n, f"{quoted(mark.join(row))} lacks a time or an oxygen number. Write numbers alone; their "
                            "units "
                            "go into the heading.", "they lack a time or an oxygen number."))
    return kept, left


def _left_out(left):
    """Why rows were left out: the first few each in a sentence of its own, the others by number under each reason."""
    said = [f"Row {n} was left out: {reason}" for n, reason, _ in left[:MOST_NOTES]]
    for reason in dict.fromkeys(others for *_, others in left[MOST_NOTES:]):
        rows = [n for n, _, others in left[MOST_NOTES:] if others == reason]
        said += [f"{listed('Row', rows[at:at + MOST_NAMED])} {'were' if len(rows) > 1 else 'was'} left out as well: "
                 f"{reason}"
                 for at in range(0, len(rows), MOST_NAMED)]
    if len(left) > MOST_NOTES:
        said.append("When so many rows fail, look for one common cause.")
    return said


def _temperatures(kept, place, unit, comma):
    """Water temperature of each row, degC; not-a-number where there is none."""
    read = np.full(len(kept), math.nan)
    for i, (*_, row) in enumerate(kept if place is not None else ()):
        try:
            read[i] = _number(row[place], comma)
        except (ValueError, IndexError):
            continue
    return Q(read, unit).m_as("degC") if place is not None else read


def _mean_temperature(found, notes, otherwise):
    """Mean water temperature, degC; a note is added if it drifted."""
    found = found[np.isfinite(found)]
    can_be = (found > -1) & (found < 45)
    if not can_be.all():
        notes.append(f"{np.sum(~can_be)} water temperature{'s' * int(np.sum(~can_be) > 1)} outside "
                     f"{either('30 to 113 °F', '-1 to 45 °C')} were left out. Check the numbers, and the unit in the "
                     "heading.")
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
            if any(re.fullmatch(r"[1-9]\d{0,2},\d{3}", part) for part in parts):
                raise LogError(f"Line {n}, {quoted(line)}: a comma before three digits may mark thousands or decimals. "
                               "Write a point for decimals, and nothing for thousands.")
            first, second = _number(first, True), _number(second, True)
        except LogError:
            raise
        except ValueError:
            raise LogError(f"Line {n}, {quoted(line)}: write a time and an oxygen reading, such "
                           "as '2 1.9'.") from None
        if not LOWEST <= second <= HIGHEST:
            raise LogError(f"Line {n}, {quoted(line)}: oxygen is 0 to {HIGHEST:g} mg/L. Check the number; percent of "
                           "saturation does not serve, so set the meter to mg/L.")
        if time and first < time[-1]:
            raise LogError(f"Line {n}, {quoted(line)}: the time goes back. Put the lines in the order they were read.")
        time.append(first)
        oxygen.append(second)
    if len(time) < 2:
        raise LogError("Type at least two lines, each with a time and an oxygen reading, such as '2 1.9'.")
    time = Q(np.array(time), time_unit).m_as("second")
    return BucketLog.si(time - time[0], np.array(oxygen), temperature)
