"""What did the learner measure? Reads a log of oxygen and temperature, from a file or typed by hand.

A logger writes a row every ten minutes; a person writes five rows in a notebook. Both come as
time, oxygen, temperature, sometimes depth. Headings may carry the unit ("temp F", "DO mg/L");
times may be "2025-07-14 19:00" or "7:00 PM". Every row that cannot be used is listed with the reason.

Inside the package oxygen is mg/L, temperature degC, depth m, time hours since the first reading.
"""

import datetime
from typing import Any, NamedTuple

import numpy as np

from .. import water
from ..refusals import Refused
from ..tables import Column, read, typed
from ..textfiles import FieldDataError
from ..wording import either

__all__ = ["OxygenLog", "read_log", "hand_log", "nights"]

_TIME = Column("time", kind="moment", required=True, gaps=False, bare="clock")
_WARM = Column("temperature", unit="degree_Celsius", offer=("F", "C"), low="-1 C", high="45 C", kind="water")
_OXYGEN = Column("oxygen", offer=("mg/L",), low="-0.5 mg/L", high="40 mg/L", kind="oxygen", required=True, gaps=False,
                 beside="temperature")
_DEPTH = Column("depth", (r"\bdepth\b", r"^z\b"), "meter", ("ft", "m"), "0 m", "100 m")


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
    FieldDataError
        Without readable heading, time or oxygen, or if its oxygen cannot be turned into mg/L.
    """
    return _log(read(source, (_TIME, _WARM, _OXYGEN, _DEPTH), "oxygen log", "time,oxygen_mg_L,temperature_F",
                     told={"temperature": temperature_unit}, water_temperature=water_temperature,
                     pressure_absolute=pressure_absolute))


def hand_log(readings):
    """Make a log of a few readings typed by hand.

    Parameters
    ----------
    readings : str, or list of sequence of str
        Lines of a time, oxygen and, if there is one, temperature, or the three:
        ``("7:00 PM", "10.2 mg/L", "80 °F")``. A clock time earlier than the one before it belongs to the next day.

    Returns
    -------
    OxygenLog
    """
    return _log(typed(readings, (_TIME, _OXYGEN, _WARM), "readings", f"7:00 PM, 10.2 mg/L, {either('80 °F', '27 °C')}"))


def _log(table):
    """The log of a table, in order of time."""
    if not len(table):
        raise FieldDataError(f"{table.name or 'The list of readings'} has no usable reading. The first was left out "
                             f"because {table.left_out[0].reason}. Mend the rows and read it again.")
    moments, notes, days = list(table["time"]), list(table.notes), 0
    for at in range(1, len(moments) if moments[0].year == 1 else 0):       # without a date they run past midnight
        days += moments[at] + datetime.timedelta(days=days) < moments[at - 1]
        moments[at] += datetime.timedelta(days=days)
    order = sorted(range(len(moments)), key=moments.__getitem__)
    if order != list(range(len(moments))):
        notes.insert(0, "The rows were not in order of time; they were sorted.")
    start = moments[order[0]]
    hours = np.array([(moments[at] - start).total_seconds() / 3600 for at in order])
    if len(hours) > 1 and np.any(np.diff(hours) == 0):
        notes.append("Some readings share one time; they count as repeats.")
    clock = (start.hour + start.minute / 60 + start.second / 3600 + hours) % 24
    oxygen_read, temperature, depth = (table[name][order] for name in ("oxygen", "temperature", "depth"))
    return OxygenLog(hours, clock, np.maximum(oxygen_read, 0.0), temperature, depth, start, sorted(table.left_out),
                     notes)


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
