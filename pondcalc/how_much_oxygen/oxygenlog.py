"""What did the learner measure? Reads a log of oxygen and temperature, from a file or typed by hand.

A logger writes a row every ten minutes; a person writes five rows in a notebook. Both come as
time, oxygen, temperature, sometimes depth. Headings may carry the unit ("temp F", "DO mg/L");
times may be "2025-07-14 19:00" or "7:00 PM". Every row that cannot be used is listed with the reason.

Inside the package oxygen is mg/L, temperature degC, depth m, time hours since the first reading.
"""

import datetime
import re
from typing import Any, NamedTuple

import numpy as np

from ..fieldsheet import Dropped
from ..moments import read_moment
from ..textfiles import COMMA_HINT, FieldDataError, decode, overlong, split_rows
from ..units import QuantityError, read_number
from ..wording import quoted, shortened

__all__ = ["LogError", "OxygenLog", "read_log", "hand_log", "nights"]

_WORDS = {"time": ("time", "datetime", "timestamp", "when"), "date": ("date", "day"),
          "oxygen": ("do", "oxygen", "o2", "dissolved"), "temperature": ("temperature", "temp", "t"),
          "depth": ("depth", "z")}
_EXAMPLE = "time,oxygen_mg_L,temperature_F"


class LogError(ValueError):
    """A log that cannot be used: says what came, what is allowed, what to do next."""


class OxygenLog(NamedTuple):
    """Readings in order of time; temperature and depth are not-a-number where they were not written.

    `hours` since the first reading, `clock` hour of the day, `dissolved_oxygen` mg/L, `temperature` C,
    `depth` m, `start` date and time of the first (year 1 if only clock times were given), `dropped`
    rows left out with the reason, `notes` for the reader.
    """

    hours: Any
    clock: Any
    dissolved_oxygen: Any
    temperature: Any
    depth: Any
    start: Any
    dropped: list
    notes: list


def _meaning(heading):
    words = re.findall(r"[a-z0-9%°]+", heading.lower().replace("d.o.", "do"))
    return next((what for what in ("oxygen", "temperature", "depth", "time", "date")
                 if any(word in _WORDS[what] for word in words)), None)


def _heading_unit(heading, meaning):
    words = re.findall(r"[a-z%]+", heading.lower())
    if meaning == "temperature":
        return next((unit for unit, names in (("degree_Fahrenheit", ("f", "degf", "fahrenheit")),
                                              ("degree_Celsius", ("c", "degc", "celsius")))
                     if any(word in names for word in words)), None)
    if meaning == "depth":
        return next((unit for unit, names in (("foot", ("ft", "feet", "foot")), ("meter", ("m", "meters", "metres")))
                     if any(word in names for word in words)), None)
    return "milligram / liter" if meaning == "oxygen" else None


def read_log(source, temperature_unit=None):
    """Read a log from a CSV file.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        A str is the text itself. The first line that is not a ``#`` comment is the heading.
    temperature_unit : {"F", "C"}, optional
        For a heading that does not say.

    Returns
    -------
    OxygenLog

    Raises
    ------
    LogError
        Without readable heading, time or oxygen, or if oxygen is given in percent of saturation.
    """
    try:
        text, name = decode(source, "oxygen log")
        rows, number, mark = split_rows(text, name, "reading", _EXAMPLE)
    except FieldDataError as problem:
        raise LogError(str(problem)) from None
    headings, found = rows[0], {}
    for i, cell in enumerate(headings):
        what = _meaning(cell)
        if what and what not in found:
            found[what] = i
    if "oxygen" not in found or not {"time", "date"} & set(found):
        raise LogError(f"{name}: the heading {quoted(mark.join(headings))} does not name a time and an oxygen column. "
                       f"Write a first line such as {_EXAMPLE}.")
    if "%" in headings[found["oxygen"]] or "sat" in headings[found["oxygen"]].lower():
        raise LogError(f"{name}: the oxygen column {quoted(headings[found['oxygen']])} is in percent of saturation. "
                       "Use the column in mg/L; percent hides what warm or high water can hold.")
    units = {what: _heading_unit(headings[i], what) for what, i in found.items()}
    if "temperature" in found and units["temperature"] is None:
        if temperature_unit not in ("F", "C"):
            raise LogError(f"{name}: the heading {quoted(headings[found['temperature']])} does not say °F or °C. "
                           "Change it to 'temperature_F' or 'temperature_C'.")
        units["temperature"] = {"F": "degree_Fahrenheit", "C": "degree_Celsius"}[temperature_unit]
    if "depth" in found and units["depth"] is None:
        raise LogError(f"{name}: the heading {quoted(headings[found['depth']])} does not say feet or meters. Change "
                       "it to 'depth_ft' or 'depth_m'.")
    readings, dropped = [], []
    for n, row in zip(number[1:], rows[1:], strict=True):
        line = mark.join(row)
        if overlong(row, len(headings)):
            dropped.append(Dropped(n, line, f"it has more entries than the {len(headings)} columns in the heading."
                                            f"{COMMA_HINT if mark == ',' else ''}".rstrip(".")))
            continue
        cells = {what: row[i].strip() if i < len(row) else "" for what, i in found.items()}
        when = " ".join(cells[what] for what in ("date", "time") if cells.get(what))
        readings.append((n, line, when, cells, mark != ","))
    return _assemble(readings, units, dropped, name)


def hand_log(readings):
    """Make a log of a few readings typed by hand.

    Parameters
    ----------
    readings : list of tuples
        Time, oxygen and, if there is one, temperature: ``("7:00 PM", "10.2 mg/L", "80 °F")``. A clock
        time earlier than the one before it belongs to the next day.

    Returns
    -------
    OxygenLog
    """
    rows = []
    for n, row in enumerate(readings, 1):
        if not 2 <= len(row) <= 3:
            raise LogError(f"Reading {n} needs a time, the oxygen and perhaps the temperature, such as "
                           "7:00 PM, 10.2 mg/L, 80 °F (27 °C).")
        cells = {"oxygen": str(row[1]), "temperature": str(row[2]) if len(row) == 3 else ""}
        rows.append((n, ", ".join(map(str, row)), str(row[0]), cells, False))
    units = {"oxygen": "milligram / liter", "temperature": None}
    return _assemble(rows, units, [], "the list of readings")


# unit inside, lowest and highest that can be, and the two in words
_KINDS = {"oxygen": ("milligram / liter", -0.5, 40.0, "0 to 40 mg/L"),
          "temperature": ("degree_Celsius", -1.0, 45.0, "30 to 113 °F (-1 to 45 °C)"),
          "depth": ("meter", 0.0, 100.0, "0 to 328 ft (0 to 100 m)")}


def _moments(rows, name):
    """Date and time of each row, None where there is none."""
    found = []
    for n, _, when, _, _ in rows:
        try:
            found.append(read_moment(when))
        except QuantityError as problem:
            raise LogError(f"{name}, row {n}: {problem}") from None
    return found


def _assemble(rows, units, dropped, name):
    kept, last, bare_days, notes = [], None, 0, []
    moments = _moments(rows, name)
    dated = any(moment is not None and moment.year > 1 for moment in moments)
    for (n, line, when, cells, comma), moment in zip(rows, moments, strict=True):
        if moment is None:
            dropped.append(Dropped(n, shortened(line), f"the time is {quoted(when)}; write '2025-07-14 19:00' or "
                                                       "'7:00 PM'"))
            continue
        if moment.year == 1 and dated:
            dropped.append(Dropped(n, shortened(line), f"the time {quoted(when)} has no date, and other rows have one"))
            continue
        if moment.year == 1:
            moment += datetime.timedelta(days=bare_days)
            if last is not None and moment < last:
                bare_days += 1
                moment += datetime.timedelta(days=1)
        values, reason = {}, None
        for what, (unit, low, high, allowed) in _KINDS.items():
            text = cells.get(what, "")
            if comma:
                text = text.replace(",", ".")
            if text.lower() in ("", "na", "n/a", "nan", "null", "none", "-", "--", "?"):
                values[what] = np.nan
                reason = "no oxygen is given" if what == "oxygen" else reason
                continue
            try:
                values[what] = float(read_number(text, unit, units.get(what)))
            except QuantityError as problem:
                reason = f"the {what} is {quoted(text)}: {str(problem).rstrip('.')}"
                break
            if not low <= values[what] <= high:
                reason = f"the {what} of {quoted(text)} is outside {allowed}"
                break
        if reason:
            dropped.append(Dropped(n, shortened(line), reason))
            continue
        last = moment
        kept.append((moment, values["oxygen"], values["temperature"], values["depth"]))
    if not kept:
        raise LogError(f"{name} has no usable reading. The first was left out because "
                       f"{dropped[0].reason if dropped else 'there are none'}. Mend the rows and read it again.")
    order = sorted(range(len(kept)), key=lambda i: kept[i][0])
    if order != list(range(len(kept))):
        notes.append("The rows were not in order of time; they were sorted.")
    kept = [kept[i] for i in order]
    start = kept[0][0]
    hours = np.array([(row[0] - start).total_seconds() / 3600 for row in kept])
    if len(hours) > 1 and np.any(np.diff(hours) == 0):
        notes.append("Some readings share one time; they count as repeats.")
    clock = (start.hour + start.minute / 60 + start.second / 3600 + hours) % 24
    oxygen_read, temperature, depth = (np.array([row[i] for row in kept], float) for i in (1, 2, 3))
    return OxygenLog(hours, clock, np.maximum(oxygen_read, 0.0), temperature, depth, start, dropped, notes)


def nights(log, dusk=20.0, dawn=6.0):
    """Row numbers of each night's readings, from dusk to dawn, nights with two or more only.

    Parameters
    ----------
    log : OxygenLog
    dusk, dawn : float, optional
        Clock hours between which no light feeds the plants; dusk in the evening, dawn in the morning.
    """
    if not (12 <= dusk < 24 and 0 < dawn <= 12):
        raise ValueError("nights: dusk is a clock hour from 12 to 24, dawn from 0 to 12.")
    dark = (log.clock >= dusk - 1e-6) | (log.clock <= dawn + 1e-6)
    first = log.clock[0]
    number = np.floor((first + log.hours - 12) / 24).astype(int)     # noon to noon
    found = [np.flatnonzero(dark & (number == which)) for which in np.unique(number[dark])]
    return [rows for rows in found if len(rows) >= 2]
