"""What does this log of a tub test say? Reads a class's own file, or numbers typed into a box.

A log has a time, an oxygen reading, and perhaps a water temperature, with their
units in the headings: ``Time (min), DO (mg/L), Water temp (F)``. Files as people
really save them are taken: commas, semicolons or tabs, decimal commas, a byte
mark at the front, notes after ``#``.
"""

import re
from typing import Any

import numpy as np

from .. import water
from ..tables import Column, find, take, typed
from ..textfiles import FieldDataError, open_table
from ..units import record
from ..wording import quoted, say_left_out

__all__ = ["BucketLog", "read_log", "typed_log"]

STEP_MOST, SPAN_MOST = 900.0, 6 * 3600.0        # s: a tub test read by the clock has shorter steps and ends sooner
STEP_LEAST, SPAN_LEAST = 5.0, 60.0              # s: one read by a stopwatch has longer steps and goes on; our choice
# a little below a meter's zero, and more oxygen than any tub holds: our choice
_OXYGEN = Column("oxygen", offer=("mg/L",), low="-0.5 mg/L", high="40 mg/L", kind="oxygen", required=True, gaps=False,
                 beside="temperature")
_TIME = Column("time", (r"\b(time|clock|elapsed|minutes?|min|seconds?|sec|s|hours?)\b", r"^t\b"), "second",
               ("min", "s"), required=True, gaps=False)
_WARM = Column("temperature", unit="degree_Celsius", offer=("F", "C"), low="-1 C", high="45 C", kind="water",
               bare="degree_Celsius")
_TYPED_OXYGEN = _OXYGEN._replace(name="oxygen reading", beside="")


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
            raise FieldDataError(f"{name}: some times have seconds and some have not, such as {quoted(cells[0])}. "
                                 "Write all of them as hours, minutes and seconds: 0:05:30.")
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
        raise FieldDataError(f"{name}: times such as {quoted(cells[0])} and {quoted(cells[-1])} may be hours and "
                             "minutes, or minutes and seconds. Write the heading as 'Time (min:sec)' or "
                             "'Time (h:min)'.")
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
    FieldDataError
        If there is no time or no oxygen column, a unit is missing or cannot be used, the time goes back, or fewer
        than 2 rows can be read.
    """
    table = open_table(source, "tub log", "Time (min),DO (mg/L)")
    table.water_temperature, table.pressure_absolute = temperature, pressure_absolute
    find(table, (_WARM, _OXYGEN, _TIME))
    if table.unit["oxygen"] is None:
        raise FieldDataError(f"{table.name}: the heading {quoted(table.heading['oxygen'])} has no unit. Write it like "
                             "'DO (mg/L)'.")
    _take_times(table)
    for column in (_WARM, _OXYGEN):
        if column.name in table.cells:
            take(table, column)
    notes = [*table.notes, *say_left_out(table.left_out)]
    if len(table) < 2:
        raise FieldDataError(f"{table.name}: {len(table)} row{'s' * (len(table) != 1)} could be read. "
                             f"{' '.join(notes[-2:]) or 'Add a row for each reading below the heading.'} Check the "
                             "numbers, and the units in the heading.")
    _refuse_back(table)
    temperature = _mean_temperature(table["temperature"], notes, temperature)
    if temperature is None:
        notes.append("The log has no water temperature; without it kLa cannot be carried to 20 C (68 F).")
    return BucketLog.si(table["time"] - table["time"][0], table["oxygen"], temperature, table.name, tuple(notes))


def _take_times(table):
    """Seconds of each row, whether its time is a number, a clock's or a stopwatch's."""
    cells = table.cells["time"]
    clocks = [cell for cell in cells if _clock(cell) is not None]
    if not clocks:
        return take(table, _TIME)
    watch, notes = _by_stopwatch(clocks, table.heading["time"], table.name)
    table.notes += notes
    time = np.array([np.nan if (read := _clock(cell)) is None else read / (60 if watch else 1) for cell in cells])
    table.values["time"] = time
    table.drop(np.isnan(time), lambda at: f"the time is {quoted(cells[at])}, not a time such as {clocks[0]}",
               "the time cannot be read")
    time = table["time"]                        # past midnight the clock starts again
    table.values["time"] = time + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(time) < -43200)])
    return None


def _mean_temperature(found, notes, otherwise):
    """Mean water temperature, degC; a note is added if it drifted."""
    found = found[np.isfinite(found)]
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
    table = typed(text, (_TIME._replace(bare=time_unit), _TYPED_OXYGEN), "tub log", "2 1.9")
    if len(table) < 2:
        raise FieldDataError("Type at least two lines, each with a time and an oxygen reading, such as '2 1.9'.")
    _refuse_back(table)
    return BucketLog.si(table["time"] - table["time"][0], table["oxygen reading"], temperature)


def _refuse_back(table):
    """Refuse a time that goes back."""
    back = np.flatnonzero(np.diff(table["time"]) < 0)
    if back.size:
        raise FieldDataError(f"{table.place(back[0] + 1)}: the time goes back. Put the rows in the order they were "
                             "read, and check the time of that row.")
