"""What did the thermometer say on the way down?

A profile is a list of readings at depths: temperature always, dissolved oxygen
when a meter was there. A thermometer on a marked string is enough. The reader
of typed or saved readings asks when Fahrenheit or Celsius, feet or metres are in
doubt, because either slip looks like a reasonable pond.
"""

import datetime
import math
import re
import warnings
from typing import Any

import numpy as np

from .. import columns, water
from ..refusals import Caution
from ..tables import column_numbers, needed_column, no_column, read_table
from ..textfiles import tidy
from ..units import Quantity, QuantityError, length_text, quantities, read_number, read_quantity, record
from ..wording import MOST_NAMED, listed, quoted

__all__ = ["Profile", "read_profile", "profile_from_readings", "read_lines", "read_day", "two_layers", "with_surface"]

HOTTEST = 45.0          # degC; warmer than any pond that holds fish
COLDEST = -0.5          # degC; a thermometer may read a little low in ice water


@record(depth="m", temperature="degC", dissolved_oxygen="mg/L")
class Profile:
    """Readings from the water surface downward.

    Parameters
    ----------
    depth : array of quantity
        Depth of each reading (m inside), rising, at least two.
    temperature : array of quantity
        Temperature at each depth (degC inside), -0.5 to 45 degC.
    dissolved_oxygen : array of quantity, optional
        Dissolved oxygen at each depth (mg/L inside); not-a-number where it was not read.
    when : str, optional
        Day of the reading, for titles.
    notes : tuple of str, optional
        What the reader of the file did about oddities.
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
            raise QuantityError(f"A profile needs one temperature for each depth; it was given {len(depth)} "
                                f"depths and {len(temperature)} temperatures.")
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
    keep = np.isfinite(depth) & np.isfinite(temperature)
    if not keep.all():
        notes.append(f"{(~keep).sum()} reading(s) without a depth or a temperature were left out.")
    depth, temperature, oxygen = depth[keep], temperature[keep], oxygen[keep]
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


def _make(depth, temperature, oxygen, when, pond_depth, notes=()):
    notes = list(notes)
    depth, temperature, oxygen = _tidy(depth, temperature, oxygen, notes)
    if len(temperature) and (temperature.max() > HOTTEST or temperature.min() < COLDEST):
        raise QuantityError(_temperature_doubt(temperature))
    if pond_depth is not None and len(depth) and depth[-1] > 1.15 * pond_depth:
        hint = (" Are the depths in feet and marked meters? Then mend the unit." if depth[-1] > 2 * pond_depth else
                " Was the line slanted, or is a number slipped? If the pond is deeper than was known, mend its depth "
                "in workbook 01.")
        raise QuantityError(f"The reading at {length_text(depth[-1])} is deeper than this pond's deepest point, "
                            f"{length_text(pond_depth)}.{hint}")
    if pond_depth is None and len(depth) and depth[-1] > 25:
        notes.append(f"The deepest reading is {length_text(depth[-1], 2)}, deep for a "
                     "pond. Check feet against meters.")
    doubt = columns.doubt_of(oxygen, temperature)
    for note in (notes := [*notes, doubt] if doubt else notes):
        warnings.warn(Caution(note), stacklevel=3)
    some = np.isfinite(oxygen).sum() >= 2
    return Profile.si(depth, temperature, oxygen if some else None, when, tuple(notes))


def read_profile(source, depth_unit=None, temperature_unit=None, pond_depth=None, when="",
                 pressure_absolute=water.ATMOSPHERE):
    """Read a profile from a file or from pasted text.

    Parameters
    ----------
    source : Path, open file, bytes or str
        A str is the text itself. Needs headings for depth and temperature, and may have one for
        oxygen; units in the headings, such as ``depth (ft)``, ``temperature (F)``.
    depth_unit, temperature_unit : str, optional
        Units for columns whose heading has none.
    pond_depth : quantity, optional
        Greatest depth of the pond; catches feet marked as metres.
    when : str, optional
        Day of the reading.
    pressure_absolute : float, optional
        Of the air over the pond, Pa, for oxygen written in percent of saturation; default sea level.

    Returns
    -------
    Profile
        Sorted, one reading a depth; ``notes`` says what was mended, and how oxygen in other units was turned into
        mg/L.

    Raises
    ------
    QuantityError
        If the table is empty, a column or a unit is missing, or the numbers cannot be a pond.

    Examples
    --------
    >>> p = read_profile("depth (ft), temperature (F)\\n0, 77\\n10, 59")
    >>> p.temperature.round(2).tolist()
    [25.0, 15.0]
    """
    table = read_table(source, "profile")
    depth = needed_column(table, "depth", "depth (ft)", "depth", "z")
    headings = [column.heading for column in table.columns]
    place, notes = columns.pick_temperature(headings)
    if place is None:
        raise no_column(table, "water temperature", "temperature (F)", " ".join(notes))
    temperature = table.columns[place]
    z = column_numbers(table, depth, "meter", "depth", depth_unit, ("ft", "m"))
    t = column_numbers(table, temperature, "degree_Celsius", "temperature", temperature_unit, ("F", "C"))
    if temperature.unit == "degree_Fahrenheit" and np.nanmax(t, initial=-math.inf) > HOTTEST:
        raise QuantityError(f"A temperature of {np.nanmax(t) * 1.8 + 32:.4g} °F is hotter than any pond. Check that "
                            "line for a slip of the pen.")
    c = np.full(len(z), math.nan)
    place, unit, said = columns.pick_oxygen(headings)
    notes += said
    if place is not None:
        written = column_numbers(table, table.columns[place]._replace(unit=None), "dimensionless", "dissolved oxygen",
                                 "dimensionless")
        c, turned = columns.in_mg_per_liter(written, unit, t, pressure_absolute, headings[place])
        notes += turned
    z, t, c, left = _whole(table, *map(np.asarray, (z, t, c)))
    notes += left
    if isinstance(pond_depth, str):
        pond_depth = read_quantity(pond_depth)
    if isinstance(pond_depth, Quantity):
        pond_depth = pond_depth.m_as("meter")
    return _make(z, t, c, when, pond_depth, notes)


def _whole(table, depth, temperature, oxygen):
    """The rows that have depth and temperature, and a note that names the lines of the others, each by what it "
      "lacks."""
    keep, notes = np.isfinite(depth) & np.isfinite(temperature), []
    for values, what in ((depth, "depth"), (temperature, "temperature")):
        lines = [table.lines[at] for at in np.flatnonzero(~np.isfinite(values))]
        notes += [f"{listed('Line', part)} {'was' if len(part) == 1 else 'were'} left out: no {what} is given."
                  for part in (lines[at:at + MOST_NAMED] for at in range(0, len(lines), MOST_NAMED))]
    return depth[keep], temperature[keep], oxygen[keep], notes


def profile_from_readings(readings, when=""):
    """Profile from typed readings such as ``[("1 ft", "76 F", "8 mg/L"), ("14 ft", "58 F", "0.3 mg/L")]``.

    Parameters
    ----------
    readings : list of tuple of str
        Depth, temperature and, where read, oxygen, each with its unit.
    when : str, optional

    Returns
    -------
    Profile
    """
    if not readings:
        raise QuantityError("There are no readings. Write each as a depth and a temperature, for example "
                            "('1 ft', '76 F').")

    def number(row, place, unit, what):
        if len(row) <= place or row[place] in (None, ""):
            return math.nan
        try:
            return read_number(row[place], unit)
        except QuantityError as problem:
            raise QuantityError(f"Reading {quoted(', '.join(map(str, row)))}: {what}: {problem}") from None
    z = np.array([number(row, 0, "meter", "depth") for row in readings])
    t = np.array([number(row, 1, "degree_Celsius", "temperature") for row in readings])
    c = np.array([number(row, 2, "milligram / liter", "dissolved oxygen") for row in readings])
    return _make(z, t, c, when, None)


_TYPED = re.compile(r"\s*([-+−]?(?:\d+\.?\d*|\.\d+))\s*((?:°\s*)?[A-Za-z%'°]+(?:\s*/\s*[A-Za-z]+)?)?[\s,;:]*")
_WANTED = (("depth", "meter", ("foot", "meter")), ("temperature", "degree_Celsius", ("degree_Fahrenheit",
           "degree_Celsius")), ("dissolved oxygen", "milligram / liter", ("milligram / liter",) * 2))


def _typed_number(text, unit, which, metric, line):
    what, inside, usual = _WANTED[which]
    if unit == "%":
        raise QuantityError(f"Line {line}: a number in percent. Oxygen is needed in mg/L: switch the meter.")
    try:
        return read_number(f"{text} {unit}".rstrip(" °" if unit == "°" else " "), inside, usual[metric])
    except QuantityError as problem:
        raise QuantityError(f"Line {line}, the {what}: {problem} A line holds depth, temperature and, if you have it, "
                            "oxygen.") from None


def _as_taken(line):
    """A typed line with its degrees, dots, dashes, bars, feet with inches and the word "surface" in one spelling."""
    line = re.sub(r"°?\s*\bdeg(?:rees?)?\b\.?\s*(?=[FC]\b)", "°", line.replace("º", "°"), flags=re.IGNORECASE)
    line = re.sub(r"(?<=[A-Za-z])\.(?=[\s,;:|]|$)|\s[-–—|](?=\s)", " ", line)
    line = re.sub(r"^\s*surface\b", "0 m", line, flags=re.IGNORECASE)
    return re.sub(r"(\d+)\s*(?:ft|feet|foot|')\s*(\d+\.?\d*)\s*(?:in\b|inch(?:es)?\b|\"|'')",
                  lambda found: f"{int(found[1]) + float(found[2]) / 12:.5g} ft ", line)


def _commas_apart(line, number):
    """The line with its commas as blanks; a comma that may be a decimal point is refused."""
    numbers = re.sub(r"\s*[A-Za-z%'°/]+", "", line)
    if re.search(r"\d,\d", numbers) and "." not in numbers and re.search(r"\d[\s;:]+\d", numbers):
        raise QuantityError(f"Line {number} has a comma that may be a decimal point: {quoted(line)}. Write 26.5 with a "
                            "point, and part numbers by a space or by a comma and a space.")
    return line.replace(",", " ")


_DAYS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%d.%m.%Y", "%B %d %Y", "%b %d %Y", "%d %B %Y", "%d %b %Y")


def read_day(text):
    """Day of the readings, as year-month-day; nothing stays nothing.

    Parameters
    ----------
    text : str
        Such as ``2025-07-24``, ``7/24/2025`` or ``July 24, 2025``.

    Raises
    ------
    QuantityError
        Where no day can be read from it, or one that is still to come.
    """
    word = " ".join(text.replace(",", " ").split())
    if not word:
        return ""
    for form in _DAYS:
        try:
            day = datetime.datetime.strptime(word, form).date()
        except ValueError:
            continue
        if day.year < 1900 or day > datetime.date.today() + datetime.timedelta(days=1):
            raise QuantityError(f"The day of the readings is {day}, which cannot be. Check the year.")
        return day.isoformat()
    raise QuantityError(f"The day of the readings is given as {quoted(text)}. Write day, month and year, such as "
                        "2025-07-24 or July 24, 2025, or leave it empty.")


def read_lines(text, system="US", pond_depth=None, when="", pressure_absolute=water.ATMOSPHERE):
    """Read what somebody typed: one reading a line, such as ``0 ft 80 F 7.5``, or a table with headings.

    Parameters
    ----------
    text : str
        Depth, temperature and, where it was read, oxygen (mg/L); units may be left out.
    system : {"US", "metric"}, optional
        Units of numbers without one: feet and °F, or metres and °C.
    pond_depth, when, pressure_absolute
        As for :func:`read_profile`.

    Returns
    -------
    Profile
        ``notes`` says which units were assumed.

    Raises
    ------
    QuantityError
        With the number of the line that cannot be read.

    Examples
    --------
    >>> read_lines("0 ft 77 F 8\\n10 ft 59 F 0.5").temperature.round(2).tolist()
    [25.0, 15.0]
    """
    text, example = tidy(text), "0 ft 80 F 7.5" if system == "US" else "0 m 27 C 7.5"
    lines = [(n, line.strip()) for n, line in enumerate(text.splitlines(), 1)]
    lines = [(n, line) for n, line in lines if line and not line.startswith("#")]
    if not lines:
        raise QuantityError("There are no readings yet. Write one a line: depth, temperature, oxygen, for example "
                            f"{example}")
    if re.search("depth|temp", lines[0][1], re.IGNORECASE):
        return read_profile(text, pond_depth=pond_depth, when=when, pressure_absolute=pressure_absolute)
    rows, bare = [], set()
    for number, line in lines:
        line = _commas_apart(_as_taken(line), number)
        found = list(_TYPED.finditer(line))
        if "".join(match[0] for match in found) != line or len(found) not in (2, 3):
            raise QuantityError(f"Line {number} cannot be read: {quoted(line)}. It needs a depth, a temperature and, "
                                f"if you have it, oxygen, for example {example}")
        bare |= {which for which, match in enumerate(found[:2]) if not match[2]}
        row = [_typed_number(match[1], match[2] or "", which, system != "US", number)
               for which, match in enumerate(found)]
        rows.append(row + [math.nan] * (3 - len(row)))
    notes = [f"No unit after a {_WANTED[which][0]}: it was read as {('°C' if which else 'meters')}."
             if system != "US" else
             f"No unit after a {_WANTED[which][0]}: it was read as {('°F' if which else 'feet')}."
             for which in sorted(bare)]
    if isinstance(pond_depth, Quantity):
        pond_depth = pond_depth.m_as("meter")
    return _make(*np.array(rows, float).T, when, pond_depth, notes)


@quantities(surface="degC", bottom="degC", warm_depth="m", blend="m", deepest="m", top_oxygen="mg/L",
            bottom_oxygen="mg/L")
def two_layers(surface, bottom, warm_depth, blend, deepest, top_oxygen=None, bottom_oxygen=None):
    """Profile of an upper and a lower layer with a straight change between them.

    Parameters
    ----------
    surface, bottom : quantity
        Temperature of the two layers.
    warm_depth : quantity
        Depth where the upper layer ends.
    blend : quantity
        Thickness of the water between the layers; zero for a sharp step.
    deepest : quantity
        Greatest depth of the pond; the profile ends there.
    top_oxygen, bottom_oxygen : quantity, optional
        Dissolved oxygen of the two layers.

    Returns
    -------
    Profile
    """
    if deepest <= 0 or warm_depth < 0 or blend < 0:
        raise QuantityError(f"Depths of layers are zero or more and the pond is deeper than zero; they were given "
                            f"{warm_depth:g}, {blend:g} and {deepest:g} m.")
    corners = np.array([warm_depth, warm_depth + max(blend, 1e-8)])
    depth = np.unique(np.concatenate([[0.0], corners[corners < deepest], [deepest]]))
    share = np.clip((depth - corners[0]) / np.diff(corners), 0.0, 1.0)
    oxygen = None if top_oxygen is None else top_oxygen + (bottom_oxygen - top_oxygen) * share
    return Profile.si(depth, surface + (bottom - surface) * share, oxygen)


@quantities(surface="degC")
def with_surface(profile, surface):
    """The same layers earlier or later in the season: the bottom as it was, the surface at another temperature.

    Parameters
    ----------
    profile : Profile
        Its top and bottom must differ.
    surface : quantity
        Temperature of the uppermost reading.

    Returns
    -------
    Profile
        Every difference from the bottom temperature grown or shrunk in the same ratio.
    """
    top, bottom = profile.temperature[0], profile.temperature[-1]
    if abs(top - bottom) < 0.05:
        raise QuantityError(f"Top and bottom of this profile are alike ({top:.3g} °C, {top * 1.8 + 32:.3g} °F), so "
                            "there are no layers to strengthen or weaken.")
    ratio = (surface - bottom) / (top - bottom)
    return Profile.si(profile.depth, bottom + (profile.temperature - bottom) * ratio, profile.dissolved_oxygen,
                      profile.when)
