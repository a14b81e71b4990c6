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

from .. import columns, water
from ..fieldsheet import Dropped
from ..moments import read_moments, refuse_world_time
from ..refusals import Refused
from ..textfiles import COMMA_HINT, FieldDataError, decode, is_number, overlong, split_rows
from ..units import QuantityError, read_number
from ..wording import either, quoted, shortened

__all__ = ["LogError", "OxygenLog", "read_log", "hand_log", "nights"]

_WORDS = {"depth": ("depth", "z"), "time": ("time", "datetime", "timestamp", "when"), "date": ("date", "day")}
_EXAMPLE = "time,oxygen_mg_L,temperature_F"


class LogError(Refused):
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


def _find(headings):
    """Place of each column by what it holds, the unit of the oxygen, and notes on columns that look alike."""
    oxygen, unit, notes = columns.pick_oxygen(headings)
    temperature, said = columns.pick_temperature(headings)
    found = {what: place for what, place in (("oxygen", oxygen), ("temperature", temperature)) if place is not None}
    for place, heading in enumerate(headings):
        words = re.findall(r"[a-z0-9]+", heading.lower())
        if not (columns.is_oxygen(heading) or columns.is_temperature(heading)):
            what = next((what for what in _WORDS if set(words) & set(_WORDS[what])), None)
            found.setdefault(what, place)
    found.pop(None, None)
    return found, unit, [*notes, *said]


def _heading_unit(heading, meaning):
    words = re.findall(r"[a-z]+", re.sub(r"(?<=[a-z]{3})(?=[A-Z])", " ", heading).lower())
    if meaning == "temperature":
        return next((unit for unit, names in (("degree_Fahrenheit", ("f", "degf", "fahrenheit")),
                                              ("degree_Celsius", ("c", "degc", "celsius")))
                     if any(word in names for word in words)), None)
    if meaning == "depth":
        return next((unit for unit, names in (("foot", ("ft", "feet", "foot")), ("inch", ("in", "inch", "inches")),
                                              ("centimeter", ("cm",)), ("meter", ("m", "meters", "metres")))
                     if any(word in names for word in words)), None)
    return "milligram / liter" if meaning == "oxygen" else None


def read_log(source, temperature_unit=None, water_temperature=None, pressure_absolute=water.ATMOSPHERE):
    """Read a log from a CSV file.

    Parameters
    ----------
    source : pathlib.Path, open file, bytes or str
        A str is the text itself. The first line that is not a ``#`` comment is the heading.
    temperature_unit : {"F", "C"}, optional
        For a heading that does not say.
    water_temperature : float, optional
        C, for oxygen in percent of saturation in a log without temperatures.
    pressure_absolute : float, optional
        Of the air over the pond, Pa, for oxygen in percent of saturation; default sea level.

    Returns
    -------
    OxygenLog
        Oxygen in other units is turned into mg/L, and a note says so.

    Raises
    ------
    LogError
        Without readable heading, time or oxygen, or if its oxygen cannot be turned into mg/L.
    """
    try:
        text, name = decode(source, "oxygen log")
        rows, number, mark = split_rows(text, name, "reading", _EXAMPLE)
    except FieldDataError as problem:
        raise LogError(str(problem)) from None
    headings = [cell.strip() for cell in rows[0]]
    try:
        found, unit, notes = _find(headings)
        refuse_world_time(headings[found["time"]] if "time" in found else "")
    except QuantityError as problem:
        raise LogError(f"{name}: {problem}") from None
    if "oxygen" not in found or not {"time", "date"} & set(found):
        raise LogError(f"{name}: the heading {quoted(mark.join(headings))} does not name a time and an oxygen column. "
                       f"Write a first line such as {_EXAMPLE}.")
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

    def in_mg_per_liter(oxygen, warm):
        if water_temperature is not None:
            warm = np.where(np.isfinite(warm), warm, water_temperature)
        return columns.in_mg_per_liter(oxygen, unit, warm, pressure_absolute, headings[found["oxygen"]])
    return _assemble(readings, units, dropped, name, notes, None if unit == columns.MG_PER_L else in_mg_per_liter)


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
                           f"7:00 PM, 10.2 mg/L, {either('80 °F', '27 °C')}.")
        cells = {"oxygen": str(row[1]), "temperature": str(row[2]) if len(row) == 3 else ""}
        rows.append((n, ", ".join(map(str, row)), str(row[0]), cells, False))
    units = {"oxygen": "milligram / liter", "temperature": None}
    bare = next((cells["oxygen"] for *_, cells, _ in rows if is_number(cells["oxygen"])), None)
    notes = [f"Oxygen without a unit, such as {quoted(bare)}, was read as mg/L."] if bare else []
    return _assemble(rows, units, [], "the list of readings", notes)


# unit inside, lowest and highest that can be, and the two in words
_KINDS = {"oxygen": ("milligram / liter", -0.5, 40.0, ("0 to 40 mg/L", "")),
          "temperature": ("degree_Celsius", -1.0, 45.0, ("30 to 113 °F", "-1 to 45 °C")),
          "depth": ("meter", 0.0, 100.0, ("0 to 328 ft", "0 to 100 m"))}


_NONE = ("", "na", "n/a", "nan", "null", "none", "-", "--", "?")


def _assemble(rows, units, dropped, name, notes=(), turn=None):
    """The log of rows of text; `turn` makes mg/L of the oxygen as written, where it is in another unit."""
    kept, last, bare_days = [], None, 0
    try:
        moments, said = read_moments([when for _, _, when, _, _ in rows])
    except QuantityError as problem:
        raise LogError(f"{name}: {problem}") from None
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
        values, reason = _values(cells, units, comma, turn is not None)
        if reason:
            dropped.append(Dropped(n, shortened(line), reason))
            continue
        last = moment
        kept.append((moment, values["oxygen"], values["temperature"], values["depth"], n, line))
    if kept and turn is not None:
        kept, turned = _turned(kept, dropped, turn, name)
        notes = [*notes, *turned]
    if not kept:
        raise LogError(f"{name} has no usable reading. The first was left out because "
                       f"{dropped[0].reason if dropped else 'there are none'}. Mend the rows and read it again.")
    return _log(kept, sorted(dropped), [*said, *notes])


def _values(cells, units, comma, later):
    """The numbers of a row by what they are, and why it cannot be used; with `later` oxygen is as it was written."""
    values = {}
    for what, (unit, low, high, allowed) in _KINDS.items():
        text = cells.get(what, "").replace(",", ".") if comma else cells.get(what, "")
        if text.lower() in _NONE:
            if what == "oxygen":
                return values, "no oxygen is given"
            values[what] = np.nan
            continue
        raw = what == "oxygen" and later
        try:
            values[what] = float(read_number(text.rstrip("% "), "dimensionless", "dimensionless") if raw else
                                 read_number(text, unit, units.get(what)))
        except QuantityError as problem:
            return values, f"the {what} is {quoted(text)}: {str(problem).rstrip('.')}"
        if not raw and not low <= values[what] <= high:
            return values, f"the {what} of {quoted(text)} is outside {either(*allowed) if allowed[1] else allowed[0]}"
    return values, None


def _turned(kept, dropped, turn, name):
    """The rows with their oxygen in mg/L; those it cannot be for go to `dropped`; and notes."""
    low, high, allowed = _KINDS["oxygen"][1:]
    try:
        oxygen, notes = turn(np.array([row[1] for row in kept]), np.array([row[2] for row in kept]))
    except QuantityError as problem:
        raise LogError(f"{name}: {problem}") from None
    made = []
    for row, value in zip(kept, oxygen, strict=True):
        if low <= value <= high:
            made.append((row[0], float(value), *row[2:]))
        else:
            reason = (f"the oxygen of '{row[1]:g}' is {value:.3g} mg/L, outside {allowed}" if np.isfinite(value) else
                      "its oxygen in percent has no water temperature beside it")
            dropped.append(Dropped(row[4], shortened(row[5]), reason))
    return made, notes


def _log(kept, dropped, notes):
    order = sorted(range(len(kept)), key=lambda i: kept[i][0])
    if order != list(range(len(kept))):
        notes = ["The rows were not in order of time; they were sorted.", *notes]
    kept = [kept[i] for i in order]
    start = kept[0][0]
    hours = np.array([(row[0] - start).total_seconds() / 3600 for row in kept])
    if len(hours) > 1 and np.any(np.diff(hours) == 0):
        notes.append("Some readings share one time; they count as repeats.")
    clock = (start.hour + start.minute / 60 + start.second / 3600 + hours) % 24
    oxygen_read, temperature, depth = (np.array([row[i] for row in kept], float) for i in (1, 2, 3))
    doubt = columns.doubt_of(oxygen_read, temperature)
    notes += [doubt] if doubt else []
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
        raise Refused("dusk is a clock hour from 12 to 24, dawn from 0 to 12.", by="nights")
    dark = (log.clock >= dusk - 1e-6) | (log.clock <= dawn + 1e-6)
    first = log.clock[0]
    number = np.floor((first + log.hours - 12) / 24).astype(int)     # noon to noon
    found = [np.flatnonzero(dark & (number == which)) for which in np.unique(number[dark])]
    return [rows for rows in found if len(rows) >= 2]
