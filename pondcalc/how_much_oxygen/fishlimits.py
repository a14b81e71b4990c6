"""How low may the oxygen go before fish suffer, and how warm the water?

There is no single line. A level that fish live through for an hour harms them in a week, eggs and fry need more than
grown fish, and trout need more than bass. Limits differ with size, health and how fast things change, so they draw a
picture and do not promise survival. ``data/fish-limits.csv`` holds who said what, and whether the text was seen.
"""

from typing import NamedTuple

from ..catalogue import usual
from ..datafiles import read_table
from ..refusals import Refused

__all__ = ["FLOOR", "KILL", "KINDS_OF_FISH", "LIMITS", "STRESS", "FishLimit", "limits_for", "meaning_of"]


class FishLimit(NamedTuple):
    """One published level: mg/L, which fish, what it means, who says so, whether the text was seen.

    `kind` names fish whose room in the year this level bounds, with `warmest` water (degC); else it is empty.
    """

    level: float
    fish: str
    meaning: str
    source: str
    status: str
    kind: str
    warmest: float | None


LIMITS = tuple(FishLimit(float(row["oxygen_mg_l"]), row["fish"], row["meaning"], row["source"], row["status"],
                         row["kind"], float(row["warmest_c"]) if row["warmest_c"] else None)
               for row in read_table("fish-limits.csv"))
KINDS_OF_FISH = {limit.kind: limit for limit in LIMITS if limit.kind}
FLOOR = usual("oxygen", "floor")        # mg/L to keep where nobody says otherwise


def limits_for(fish="warm"):
    """Levels for "warm" (bass, bluegill, catfish), "cool" (walleye, pike) or "cold" (trout) fish, falling."""
    found = sorted((limit for limit in LIMITS if limit.fish == fish), key=lambda limit: -limit.level)
    if not found:
        raise Refused(f"fish are 'warm', 'cool' or 'cold'; it was given {fish!r}.", by="limits_for")
    return tuple(found)


def _level(words):
    return next(limit.level for limit in limits_for("warm") if words in limit.meaning)


STRESS, KILL = _level("most are stressed"), _level("some die")


def meaning_of(low, floor=FLOOR):
    """What a lowest oxygen (mg/L) means for warm-water fish, in a few words; never that they are out of danger."""
    if low < KILL:
        return "some may die"
    if low < STRESS:
        return "most are stressed"
    return "less than you want to keep" if low < floor else "enough by these sums"
