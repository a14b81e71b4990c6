"""Can what a record says be true of any pond? A record is a file that people mend by hand.

Only what no pond has is refused: a length below zero, two lists that belong together and differ in length, a
latitude of 999. A record that the forms wrote always passes.
"""

import itertools
from typing import NamedTuple

from .how_much_oxygen.photosynthesis import WATER_COLORS
from .how_much_oxygen.respiration import MUD_KINDS
from .units import Q, Range, show
from .wording import quoted

__all__ = ["NEEDED", "Trouble", "impossible", "unusable"]

# kind -> lowest and highest that can be, far apart: only what no pond has lies outside; our choice
ENDS = {"depth": ("0 ft", "1000 ft"), "distance": ("0 ft", "100 mile"), "elevation": ("-1500 ft", "20000 ft"),
        "bore": ("0.01 in", "48 in"), "area": ("0 acre", "100000 acre"), "volume": ("0 acre_foot", "1e7 acre_foot"),
        "pressure": ("0 psi", "10000 psi"), "air flow": ("0 cfm", "1e5 cfm"), "water flow": ("0 gpm", "1e9 gpm"),
        "temperature": ("-1 C", "45 C"), "stocking": ("0 lb/acre", "1e6 lb/acre"), "share": ("0 %", "100 %"),
        "wind": ("0 mph", "200 mph"), "price": ("0 $/kWh", "100 $/kWh"), "power": ("0 W", "1e8 W"),
        "current": ("0 A", "1e6 A"), "oxygen a day": ("0 lb/d", "1e7 lb/d"), "days": ("0 d", "1e6 d")}
FIELD_ENDS = {"water.deepest": ("0.1 ft", "1000 ft"), "layers.reading_oxygen": ("0 mg/L", "60 mg/L"),
              "year.start_hours": ("0 h", "24 h"),
              "oxygen.night": ("0 h", "24 h")}
NUMBERS = {"air.diffusers": (0, 10000), "year.latitude": (-66.5, 66.5)}
# lists that belong together, each value of one to each of the others; the first must rise
TOGETHER = (("water", "level_depth", "level_area", "level_volume"), ("line", None, "segment_length", "segment_bore"),
            ("line", "curve_pressure", "curve_flow"), ("layers", "reading_depth", "reading_temperature"))
TOGETHER_OF = {(section, next(filter(None, names))): tuple(filter(None, names)) for section, *names in TOGETHER}
# lists that are needed together; words that a field can be
COLUMNS = (("water", "level_depth", "level_area", "level_volume"), ("line", "segment_length", "segment_bore"),
           ("line", "curve_pressure", "curve_flow"), ("layers", "reading_depth", "reading_temperature"))
# without these no workbook can use a section at all
NEEDED = {"water": ("area", "volume", "deepest", "level_depth", "level_area", "level_volume")}
WORDS = {"oxygen.color": tuple(WATER_COLORS), "oxygen.mud": tuple(MUD_KINDS),
         "layers.kind": ("warm over cold", "cold over warm", "mixed")}


class Trouble(NamedTuple):
    """Fields of a section that cannot be used, and why, in words."""

    section: str
    fields: tuple
    words: str


def unusable(sections, kinds):
    """The first :class:`Trouble` that workbooks could not work with, or None: as :func:`impossible`, and besides what
    may be written while a record grows: an unknown word, a missing list, a diffuser below the bottom."""
    found = impossible(sections, kinds)
    if found:
        return found
    for name, words in WORDS.items():
        section, field = name.split(".")
        held = sections.get(section, {}).get(field)
        if held is not None and held not in words:
            return Trouble(section, (field,), f"{name} is {quoted(held)}; it can be {', '.join(words)}.")
    for section, *needed in COLUMNS:
        there = tuple(name for name in TOGETHER_OF[section, needed[0]] if name in sections.get(section, {}))
        gone = [name for name in needed if name not in there]
        if there and gone:
            return Trouble(section, there, f"{' and '.join(f'{section}.{name}' for name in there)} cannot be used "
                                           f"without {section}.{gone[0]}, which is missing or cannot be read.")
    bottom = sections.get("water", {}).get("deepest")
    for section in ("air", "line") if bottom is not None else ():
        deep = sections.get(section, {}).get("submergence")
        if deep is not None and deep > bottom * 1.001:         # a thousandth for rounding; our choice
            return Trouble(section, ("submergence",), f"{section}.submergence is {show(deep, 'depth', both=True)}, "
                           f"below the bottom of the pond at {show(bottom, 'depth', both=True)}.")
    return None


def impossible(sections, kinds):
    """The first :class:`Trouble` of a record that cannot be true of any pond; None where all may be.

    Parameters
    ----------
    sections : mapping of str to mapping
        As read from the file.
    kinds : mapping of str to mapping
        Kind of each field, as ``record.FIELDS``.
    """
    for section, values in sections.items():
        for field, value in values.items():
            trouble = _beyond(f"{section}.{field}", kinds[section][field].split(" ", 1), value)
            if trouble:
                return Trouble(section, (field,), trouble)
    for section, rising, *others in TOGETHER:
        trouble = _unlike(section, rising, others, sections.get(section, {}))
        if trouble:
            return Trouble(section, tuple(name for name in (rising, *others) if name in sections[section]), trouble)
    return None


def _beyond(name, form, value):
    """Why a value is no number that its field can have, or None."""
    kind = form[1] if form[0] in ("range", "list") else " ".join(form)
    low, high = FIELD_ENDS.get(name) or ENDS.get(kind) or (None, None)
    if name in NUMBERS:
        least, most = NUMBERS[name]
        held = value.m_as("dimensionless")
        return None if least <= held <= most else f"{name} is {held:g}, outside {least:g} to {most:g}."
    if low is None:
        return None
    low, high = Q(low), Q(high)
    parts = tuple(value) if isinstance(value, (list, Range)) else (value,)
    wrong = next((part for part in parts if not low <= part <= high), None)
    return None if wrong is None else (f"{name} is {quoted(f'{wrong:.6g~P}')}, outside {show(low, kind, both=True)} to "
                                       f"{show(high, kind, both=True)}.")


def _unlike(section, rising, others, values):
    """Why lists that belong together do not, or None; lists that are not there say nothing."""
    names = [name for name in (rising, *others) if name in values]
    count = {name: len(values[name]) for name in names}
    if len(set(count.values())) > 1:
        return (f"the lists {', '.join(f'{section}.{name} ({many} values)' for name, many in count.items())} belong "
                "together and need as many values each.")
    if rising in values:
        steps = itertools.pairwise(values[rising])
        if not values[rising] or any(later <= earlier for earlier, later in steps):
            return f"the values of {section}.{rising} must rise, each greater than the one before."
    return None
