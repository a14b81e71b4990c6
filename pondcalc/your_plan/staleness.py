"""Which results in a pond record rest on something that was found out again later?

Each workbook saves one section with a stamp. A line chosen for a diffuser at 12 ft is worth little after the
diffuser has moved to 9 ft. This module compares the stamps along a small table of what rests on what.

What this leaves out: whether the numbers changed enough to matter. It says what to look at again.
"""

import datetime
from typing import NamedTuple

from ..findings import METERED

__all__ = ["NEEDS", "WORKBOOKS", "Stale", "came_from", "stale"]

# section -> the sections its numbers start from; a later section never stands in an earlier one's list
NEEDS = {"water": (), "oxygen": ("site", "water"), "air": ("site", "water", "oxygen"),
         "line": ("site", "water", "air"), "layers": ("water",), "power": ("site", "line"),
         "year": ("site", "water", "air", "layers")}
WORKBOOKS = {"site": "00", "water": "01", "oxygen": "02", "air": "03", "line": "04", "layers": "05", "power": "06",
             "year": "07"}


class Stale(NamedTuple):
    """A section that is out of date, the sections it should follow, and a sentence that says what to redo."""

    section: str
    because: tuple
    words: str


def came_from(record, section):
    """Number of the workbook that finds a section, with how it was found where the record says so: ``01, by hand``."""
    return ", ".join(filter(None, [WORKBOOKS[section], record.get(section, "found")]))


def _saved(record, section):
    """When a section was saved, or None where the stamp is missing or cannot be read."""
    stamp = record.stamps.get(section)
    try:
        moment = datetime.datetime.fromisoformat(stamp["saved"])
    except (TypeError, KeyError, ValueError):
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=datetime.UTC)


def stale(record):
    """Sections that rest on something saved after them, or on a section that does so itself.

    Parameters
    ----------
    record : record.PondRecord

    Returns
    -------
    tuple of Stale
        In the order in which to redo them; empty when nothing is out of date. A section without a readable
        stamp is neither blamed nor trusted to blame another.
    """
    found = {}
    for section, needs in NEEDS.items():
        if not record.has(section):
            continue
        mine = _saved(record, section)
        if section == "power" and record.get("power", "found") == METERED:
            needs = tuple(need for need in needs if need != "line")         # its watts do not come from the line
        newer = tuple(need for need in needs if record.has(need) and mine and (_saved(record, need) or mine) > mine)
        shaky = tuple(need for need in needs if need in found and need not in newer)
        if newer or shaky:
            found[section] = Stale(section, newer + shaky, _words(section, newer, shaky))
    return tuple(found.values())


def _named(sections):
    return " and ".join(f"“{name}”" for name in sections)


def _words(section, newer, shaky):
    reasons = []
    if newer:
        reasons.append(f"{_named(newer)} was saved after it" if len(newer) == 1
                       else f"{_named(newer)} were saved after it")
    if shaky:
        reasons.append(f"it rests on {_named(shaky)}, which should be done again first")
    return (f"“{section}” is out of date: {'; '.join(reasons)}. Do workbook {WORKBOOKS[section]} again and save.")
