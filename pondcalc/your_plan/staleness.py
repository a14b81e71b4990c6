"""Which results in a pond record rest on something that was found out again later?

Each workbook saves one section with a stamp. A line chosen for a diffuser at 12 ft is worth little after the
diffuser has moved to 9 ft. This module compares the stamps along the catalogue's table of what rests on what. It also
compares the air of workbook 03 with that of 04, because water lifted and run times hang on it.

What this leaves out: whether any other number changed enough to matter. It says what to look at again.
"""

import datetime
from typing import NamedTuple

from ..catalogue import SECTIONS
from ..findings import METERED
from ..how_much_oxygen import oxygencase
from ..units import show

OTHER_AIR = 0.2         # share by which the air of 04 may differ from that of 03, which is kept a fifth either way
NO_PLACE = ("Workbook 02 took an oxygen reading at dusk for the whole pond, and nobody asked where it was read: do 02 "
            "again, choose where, and save. Until then its imagined ponds and its delivery are left out.")
SAME_AIR = 0.05         # share within which the air, and the depth, of 03 and 04 count as the same; our choice


class Stale(NamedTuple):
    """A section that is out of date, the sections it should follow, and a sentence that says what to redo.

    `mend` is what the sentence says about another air in 04 than in 03, or empty.
    """

    section: str
    because: tuple
    words: str
    mend: str = ""


def came_from(record, section):
    """Number of the workbook that finds a section, with how it was found where the record says so: ``01, by hand``."""
    return ", ".join(filter(None, [SECTIONS[section].found_in, record.get(section, "found")]))


def _saved(record, section):
    """When a section was saved, or None where the stamp is missing or cannot be read."""
    stamp = record.stamps.get(section)
    try:
        moment = datetime.datetime.fromisoformat(stamp["saved"])
    except (TypeError, KeyError, ValueError):
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=datetime.UTC)


def saved_after(record, section, other):
    """Whether one section was saved after another, by their stamps; not where one of them is missing."""
    first, second = _saved(record, section), _saved(record, other)
    return first is not None and second is not None and first > second


def unseen(opened, now, section):
    """Sections that one starts from and that were saved since a record was opened, and the moment just before.

    opened, now (record.PondRecord): As a page knows it, and as it stands in the file.
    section (str).
    Returns: tuple of (tuple of str, datetime.datetime or None).
    """
    newer = tuple(need for need in _needs(now, section) if now.has(need) and opened.stamps.get(need)
                  and now.stamps.get(need) != opened.stamps.get(need))
    moments = [moment for need in newer if (moment := _saved(now, need))]
    return newer, min(moments) - datetime.timedelta(seconds=1) if moments else None


def _ratio(record, key):
    """The number of workbook 04 over that of 03, or None where one of them is not there."""
    ends = record.get("line", key), record.get("air", key)
    if None in ends:
        return None
    first, second = (getattr(end, "usual", end).to_base_units().magnitude for end in ends)
    return first / second if second > 0 else None


def _agree(record):
    """Whether 03 and 04 reckon with the same air at the same depth, so that neither spoils the other."""
    found = [_ratio(record, key) for key in ("flow_free_air", "submergence")]
    return None not in found and all(abs(ratio - 1) <= SAME_AIR for ratio in found)


def _other_air(record, line_is_old):
    """What to mend where 04 sends another air than 03 was worked out for; empty where nothing is to mend.

    Where 04 holds no machine and is to be done again for the air of 03 anyway, that comes first.
    """
    ratio = _ratio(record, "flow_free_air")
    machine = record.get("line", "curve_flow")
    if ratio is None or abs(ratio - 1) <= OTHER_AIR + 1e-9 or (line_is_old and not machine):
        return ""
    flow = show(record.get("line", "flow_free_air"), "air flow", record.system, digits=2, both=True)
    who = "The machine of workbook 04 sends" if machine else "Workbook 04 reckons with"
    return (f"{who} {ratio:.2g} times the air that workbook 03 was worked out for: go to 03, take that air ({flow}), "
            "save, then do 07 again. More air lifts more stagnant water, so do not start by the old run times.")


def _needs(record, section):
    """The sections that the numbers of this one start from."""
    metered = section == "power" and record.get("power", "found") == METERED
    needs = SECTIONS[section].rests_on
    return tuple(need for need in needs if not (metered and need == "line"))     # watts off a meter or plate


def _newer(record, section):
    """Those of them that were saved after it."""
    mine = _saved(record, section)
    return tuple(need for need in _needs(record, section) if record.has(need) and mine
                 and (_saved(record, need) or mine) > mine
                 and not ((section, need) == ("line", "air") and _agree(record)))


def stale(record):
    """Sections that rest on something saved after them, or on a section that does so itself.

    record (record.PondRecord).
    Returns: tuple of Stale: In the order in which to redo them; empty when nothing is out of date. A section without
        a readable stamp is neither blamed nor trusted to blame another. Air that differs between 03 and 04 puts 03
        out of date, and all that rests on it but 04.
    """
    found = {}
    for section in filter(record.has, SECTIONS):
        needs, newer = _needs(record, section), _newer(record, section)
        # the other air of 04 makes 03 wait for 04, so 04 does not wait for 03
        shaky = tuple(need for need in needs if need in found and need not in newer
                      and not (section == "line" and found[need].because == ("line",)))
        mend = (_other_air(record, "air" in _newer(record, "line")) if section == "air" else
                NO_PLACE if section == "oxygen" and not oxygencase.rests_on_a_place(record) else "")
        if newer or shaky or mend:
            words = [_words(section, newer, shaky)] if newer or shaky else []
            found[section] = Stale(section, newer + shaky + (("line",) if mend and section == "air" else ()),
                                   " ".join([*words, *filter(None, [mend])]), mend)
    return tuple(found.values())


def on_paper(found):
    """The same in short, for a printed page: one line for all, and what to mend about the air.

    found (sequence of Stale).
    Returns: tuple of str.
    """
    mend = tuple(item.mend for item in found if item.mend)
    steps = ", ".join(f"{SECTIONS[item.section].found_in} “{item.section}”" for item in found)
    return mend + ((f"OUT OF DATE (OLD below), do again in this order: workbook {steps}. Workbook 08 says why.",)
                   if found else ())


def named(sections):
    """Sections in words."""
    return " and ".join(f"“{name}”" for name in sections)


def _words(section, newer, shaky):
    reasons = []
    if newer:
        reasons.append(f"{named(newer)} was saved after it" if len(newer) == 1
                       else f"{named(newer)} were saved after it")
    if shaky:
        reasons.append(f"it rests on {named(shaky)}, which should be done again first")
    return (f"“{section}” is out of date: {'; '.join(reasons)}. Do workbook {SECTIONS[section].found_in} again "
            "and save.")
