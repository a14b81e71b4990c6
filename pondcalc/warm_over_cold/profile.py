"""What did the thermometer say on the way down?

A profile is a list of readings at depths: temperature always, dissolved oxygen when a meter was there. A thermometer
on a marked string is enough. The reader of typed or saved readings asks when Fahrenheit or Celsius, feet or metres are
in doubt, because either slip looks like a reasonable pond.
"""

import datetime
import math
import re
import warnings
from typing import Any

import numpy as np

from ..columns import read_moment
from ..refusals import Caution
from ..spellings import quoted, say_left_out
from ..tables import Column, read, typed
from ..units import QuantityError, length_text, quantities, read_quantity, record
from ..water import SEA_LEVEL

HOTTEST = 45.0          # degC; warmer than any pond that holds fish
COLDEST = -0.5          # degC; a thermometer may read a little low in ice water


@record(depth="m", temperature="degC", dissolved_oxygen="mg/L")
class Profile:
    """Readings from the water surface downward.

    depth (array of quantity): Depth of each reading (m inside), rising, at least two.
    temperature (array of quantity): Temperature at each depth (degC inside), -0.5 to 45 degC.
    dissolved_oxygen (array of quantity): Dissolved oxygen at each depth (mg/L inside); not-a-number where it was not
        read.
    when: Day of the reading, for titles.
    notes (tuple of str): What the reader of the file did about oddities.
    """

    depth: Any
    temperature: Any
    dissolved_oxygen: Any = None
    when: str = ""
    notes: tuple = ()

    def check(self):
        """Refuse readings that no pond can have."""
        depth = np.atleast_1d(np.asarray(self.depth, float))
        temperature = np.atleast_1d(np.asarray(self.temperature, float))
        if len(depth) != len(temperature):
            raise QuantityError(f"A profile needs one temperature for each depth; it was given {len(depth)} depths and "
                                f"{len(temperature)} temperatures.")
        if len(depth) < 2:
            raise QuantityError("A profile needs at least two readings. Write one near the surface and one near the "
                                "bottom; five or more show where the layers part.")
        if not (np.isfinite(depth).all() and np.isfinite(temperature).all()):
            raise QuantityError("A profile has a depth or temperature that is not a number. Leave it out.")
        if depth[0] < 0:
            raise QuantityError(f"A depth is {length_text(depth[0])}, and depths count down from "
                                "the water surface. Check its sign.")
        if (np.diff(depth) <= 0).any():
            raise QuantityError("Depths must rise from one reading to the next, each depth once. "
                                "read_profile sorts readings and averages repeats for you.")
        if temperature.max() > HOTTEST or temperature.min() < COLDEST:
            raise QuantityError(_temperature_doubt(temperature))
        object.__setattr__(self, "depth", depth)
        object.__setattr__(self, "temperature", temperature)
        if self.dissolved_oxygen is not None:
            oxygen = np.atleast_1d(np.asarray(self.dissolved_oxygen, float))
            if len(oxygen) != len(depth):
                raise QuantityError(f"There are {len(oxygen)} oxygen readings for {len(depth)} depths. Put "
                                    "not-a-number where oxygen was not read.")
            known = oxygen[np.isfinite(oxygen)]
            if len(known) < 2:
                raise QuantityError("Oxygen needs at least two readings, or leave it out.")
            if known.min() < 0 or known.max() > 30:
                raise QuantityError(f"Dissolved oxygen runs from {known.min():g} to {known.max():g} mg/L; a "
                                    "pond holds 0 to about 25. Numbers near 100 are percent saturation: "
                                    "switch the meter to mg/L.")
            object.__setattr__(self, "dissolved_oxygen", oxygen)

    def temperature_at(self, depth):
        """Temperature (degC) at depths (m): straight lines between readings, level beyond them."""
        return np.interp(depth, self.depth, self.temperature)

    def oxygen_at(self, depth):
        """Dissolved oxygen (mg/L) at depths (m); not-a-number everywhere when none was read."""
        if self.dissolved_oxygen is None:
            return np.full(np.shape(depth), math.nan)
        known = np.isfinite(self.dissolved_oxygen)
        return np.interp(depth, self.depth[known], self.dissolved_oxygen[known])


def _temperature_doubt(celsius):
    low, high = float(np.min(celsius)), float(np.max(celsius))
    if high > HOTTEST:
        return (f"The readings run from {low:.3g} to {high:.3g} °C, hotter than any pond. Were they taken in "
                "°F? Then write the heading as 'temperature (F)'.")
    fahrenheit = f"{low * 1.8 + 32:.3g} to {high * 1.8 + 32:.3g} °F"
    return (f"The readings run from {low:.3g} to {high:.3g} °C ({fahrenheit}); water is ice below 32 °F. "
            "Were they taken in °C and marked °F? Then mend the unit.")


def _tidy(depth, temperature, oxygen, notes):
    """Sorted readings, one a depth; says what it did."""
    if len(depth) and (depth <= 0).all() and (depth < 0).any():
        depth = -depth
        notes.append("Depths were written below zero; they are taken as depths down from the surface.")
    if (np.diff(depth) < 0).any():
        notes.append("The readings were not in order of depth; they are sorted.")
    levels = np.unique(np.round(depth, 6))
    if len(levels) < len(depth):
        spread = max(float(np.ptp(temperature[np.isclose(depth, z, atol=1e-6)])) for z in levels)
        notes.append(f"{len(depth) - len(levels)} depth(s) were read more than once; the mean is used "
                     f"(repeats differ by up to {spread * 1.8:.1f} F°).")

    def mean_at(values):
        out = np.full(len(levels), math.nan)
        for i, z in enumerate(levels):
            here = values[np.isclose(depth, z, atol=1e-6)]
            if np.isfinite(here).any():
                out[i] = np.nanmean(here)
        return out
    return levels, mean_at(temperature), mean_at(oxygen)


_DEPTH = Column("depth", (r"\bdepth", r"^z\b"), "meter", ("ft", "m"), required=True, gaps=False)
_WARM = Column("temperature", unit="degree_Celsius", offer=("F", "C"), kind="water", required=True, gaps=False)
_OXYGEN = Column("dissolved oxygen", offer=("mg/L",), low="0 mg/L", high="40 mg/L", kind="oxygen",
                 beside="temperature")


def _make(table, when, pond_depth):
    """The profile of a table, with what was mended said as warnings too; `pond_depth` a quantity or None."""
    notes = [*table.notes, *say_left_out(table.left_out)]
    pond_depth = None if pond_depth is None else pond_depth.m_as("meter")
    depth, temperature, oxygen = _tidy(table["depth"], table["temperature"], table["dissolved oxygen"], notes)
    if len(temperature) and (temperature.max() > HOTTEST or temperature.min() < COLDEST):
        raise QuantityError(_temperature_doubt(temperature))
    if pond_depth is not None and len(depth) and depth[-1] > 1.15 * pond_depth:
        hint = (" Are the depths in feet and marked meters? Then mend the unit." if depth[-1] > 2 * pond_depth else
                " Was the line slanted, or is a number slipped? If the pond is deeper than was known, mend its depth "
                "in workbook 01.")
        raise QuantityError(f"The reading at {length_text(depth[-1])} is deeper than this pond's deepest point, "
                            f"{length_text(pond_depth)}.{hint}")
    if pond_depth is None and len(depth) and depth[-1] > 25:
        notes.append(f"The deepest reading is {length_text(depth[-1], 2)}, deep for a pond. Check feet against meters.")
    for note in notes:
        warnings.warn(Caution(note), stacklevel=3)
    some = np.isfinite(oxygen).sum() >= 2
    return Profile(depth, temperature, oxygen if some else None, when, tuple(notes))


def read_profile(source, pond_depth=None, when="", water=SEA_LEVEL):
    """Read a profile from a file or from pasted text.

    source (Path, open file, bytes or str): A str is the text itself. Needs headings for depth and temperature, and
        may have one for oxygen; units in the headings, such as ``depth (ft)``, ``temperature (F)``.
    pond_depth (quantity): Greatest depth of the pond; catches feet marked as metres.
    when: Day of the reading.
    water (Water): Its air pressure is for oxygen written in percent of saturation.
    Returns: Profile: Sorted, one reading a depth; ``notes`` says what was mended, and how oxygen in other units was
        turned into mg/L.
    Raises QuantityError: If the table is empty, a column or a unit is missing, or the numbers cannot be a pond.

    >>> p = read_profile("depth (ft), temperature (F)\\n0, 77\\n10, 59")
    >>> p.temperature.round(2).tolist()
    [25.0, 15.0]
    """
    table = read(source, (_DEPTH, _WARM, _OXYGEN), "profile", "depth (ft),temperature (F)", strict=True,
                 water=water)
    warmest = np.max(table["temperature"], initial=-math.inf)
    if table.unit["temperature"] == "degree_Fahrenheit" and warmest > HOTTEST:
        raise QuantityError(f"A temperature of {warmest * 1.8 + 32:.4g} °F is hotter than any pond. Check that line "
                            "for a slip of the pen.")
    return _make(table, when, read_quantity(pond_depth) if isinstance(pond_depth, str) else pond_depth)


def profile_from_readings(readings):
    """Profile from typed readings such as ``[("1 ft", "76 F", "8 mg/L"), ("14 ft", "58 F", "0.3 mg/L")]``.

    readings (list of tuple of str): Depth, temperature and, where read, oxygen, each with its unit.
    """
    return _make(typed(readings, (_DEPTH, _WARM, _OXYGEN), "profile", "1 ft, 76 F, 8 mg/L"), "", None)


def read_day(text):
    """Day of the readings, as year-month-day; nothing stays nothing.

    text: Such as ``2025-07-24``, ``7/24/2025`` or ``July 24, 2025``.
    Raises QuantityError: Where no day can be read from it, or one that is still to come.
    """
    if not text.strip():
        return ""
    moment = read_moment(text)
    if moment is None or moment.year == 1:
        raise QuantityError(f"The day of the readings is given as {quoted(text)}. Write day, month and year, such as "
                            "2025-07-24 or July 24, 2025, or leave it empty.")
    if moment.date() > datetime.date.today() + datetime.timedelta(days=1):
        raise QuantityError(f"The day of the readings is {moment.date()}, which cannot be. Check the year.")
    return moment.date().isoformat()


def read_lines(text, system="US", pond_depth=None, when="", water=SEA_LEVEL):
    """Read what somebody typed: one reading a line, such as ``0 ft 80 F 7.5``, or a table with headings.

    text: Depth, temperature and, where it was read, oxygen (mg/L); units may be left out.
    system ({"US", "metric"}): Units of numbers without one: feet and °F, or metres and °C.
    pond_depth, when, water: As for :func:`read_profile`.
    Returns: Profile: ``notes`` says which units were assumed.
    Raises QuantityError: With the number of the line that cannot be read.

    >>> read_lines("0 ft 77 F 8\\n10 ft 59 F 0.5").temperature.round(2).tolist()
    [25.0, 15.0]
    """
    first = next((line for line in text.splitlines() if line.strip() and line.lstrip()[0] != "#"), "")
    if re.search("depth|temp", first, re.IGNORECASE):
        return read_profile(text, pond_depth=pond_depth, when=when, water=water)
    us = system == "US"
    columns = (_DEPTH._replace(bare="foot" if us else "meter"),
               _WARM._replace(bare="degree_Fahrenheit" if us else "degree_Celsius"), _OXYGEN)
    return _make(typed(text, columns, "profile", "0 ft 80 F 7.5" if us else "0 m 27 C 7.5", water), when, pond_depth)


@quantities(surface="degC", bottom="degC", warm_depth="m", blend="m", deepest="m", top_oxygen="mg/L",
            bottom_oxygen="mg/L")
def two_layers(surface, bottom, warm_depth, blend, deepest, top_oxygen=None, bottom_oxygen=None):
    """Profile of an upper and a lower layer with a straight change between them.

    surface, bottom (quantity): Temperature of the two layers.
    warm_depth (quantity): Depth where the upper layer ends.
    blend (quantity): Thickness of the water between the layers; zero for a sharp step.
    deepest (quantity): Greatest depth of the pond; the profile ends there.
    top_oxygen, bottom_oxygen (quantity): Dissolved oxygen of the two layers.
    """
    if deepest <= 0 or warm_depth < 0 or blend < 0:
        raise QuantityError(f"Depths of layers are zero or more and the pond is deeper than zero; they were given "
                            f"{warm_depth:g}, {blend:g} and {deepest:g} m.")
    corners = np.array([warm_depth, warm_depth + max(blend, 1e-8)])
    depth = np.unique(np.concatenate([[0.0], corners[corners < deepest], [deepest]]))
    share = np.clip((depth - corners[0]) / np.diff(corners), 0.0, 1.0)
    oxygen = None if top_oxygen is None else top_oxygen + (bottom_oxygen - top_oxygen) * share
    return Profile(depth, surface + (bottom - surface) * share, oxygen)


@quantities(surface="degC")
def with_surface(profile, surface):
    """The same layers earlier or later in the season: the bottom as it was, the surface at another temperature.

    profile (Profile): Its top and bottom must differ.
    surface (quantity): Temperature of the uppermost reading.
    Returns: Profile: Every difference from the bottom temperature grown or shrunk in the same ratio.
    """
    top, bottom = profile.temperature[0], profile.temperature[-1]
    if abs(top - bottom) < 0.05:
        raise QuantityError(f"Top and bottom of this profile are alike ({top:.3g} °C, {top * 1.8 + 32:.3g} °F), so "
                            "there are no layers to strengthen or weaken.")
    ratio = (surface - bottom) / (top - bottom)
    return Profile(profile.depth, bottom + (profile.temperature - bottom) * ratio, profile.dissolved_oxygen,
                   profile.when)
