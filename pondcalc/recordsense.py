"""Can what a record says be true of any pond? A record is a file that people mend by hand.

Only what no pond has is refused: a length below zero, two lists that belong together and differ in length, a
latitude of 999. A record that the forms wrote always passes.
"""

import itertools
from typing import NamedTuple

from .catalogue import ROWS
from .how_much_oxygen.photosynthesis import WATER_COLORS
from .how_much_oxygen.respiration import MUD_KINDS
from .units import show
from .wording import quoted

__all__ = ["NEEDED", "Trouble", "impossible", "unusable"]

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


def unusable(sections):
    """The first :class:`Trouble` that workbooks could not work with, or None: as :func:`impossible`, and besides what
    may be written while a record grows: an unknown word, a missing list, a diffuser below the bottom."""
    found = impossible(sections)
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


def impossible(sections):
    """The first :class:`Trouble` of a record that cannot be true of any pond; None where all may be.

    Parameters
    ----------
    sections : mapping of str to mapping
        As read from the file.
    """
    for section, values in sections.items():
        for field, value in values.items():
            trouble = _beyond(ROWS[section, field], value)
            if trouble:
                return Trouble(section, (field,), trouble)
    for section, rising, *others in TOGETHER:
        trouble = _unlike(section, rising, others, sections.get(section, {}))
        if trouble:
            return Trouble(section, tuple(name for name in (rising, *others) if name in sections[section]), trouble)
    return None


def _beyond(row, value):
    """Why a value is no number that its row can have, or None."""
    if row.kind == "text":
        return None
    parts = tuple(value) if isinstance(value, (list, tuple)) else (value,)
    wrong = next((part for part in parts if not row.holds(part)), None)
    if wrong is None:
        return None
    low, high = (show(end, row.kind, both=True) for end in row.limits())
    return f"{row.section}.{row.name} is {quoted(f'{wrong:.6g~P}'.strip())}, outside {low} to {high}."


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
