"""How low may the oxygen go before fish suffer?

There is no single line. A level that fish live through for an hour harms them in a week, eggs and
fry need more than grown fish, and trout need more than bass. This table says who said what, and
whether the text was seen.
"""

from typing import Any, NamedTuple

from ..refusals import Refused

__all__ = ["FLOOR", "KILL", "STRESS", "OxygenLimit", "LIMITS", "limits_for", "meaning_of"]


class OxygenLimit(NamedTuple):
    """One published level: mg/L, which fish, what it means, who says so, whether the text was seen."""

    level: Any
    fish: str
    meaning: str
    source: str
    status: str


_TEXAS = "Texas A&M AgriLife Extension, page on dissolved oxygen in ponds"
_CCME = "CCME (1999), Canadian water quality guidelines: dissolved oxygen (freshwater), Publ. 1299, Table 1"
_EPA = "U.S. EPA (1986), Ambient water quality criteria for dissolved oxygen, EPA 440/5-86-003"
LIMITS = (
    OxygenLimit(6.0, "warm", "guideline, eggs and fry", _CCME, "seen"),
    OxygenLimit(5.5, "warm", "guideline, past early life", _CCME, "seen"),
    OxygenLimit(4.0, "warm", "lowest mean of daily lows over 7 days, past early life", _EPA,
                "from memory, not verified"),
    OxygenLimit(3.0, "warm", "most are stressed below this", _TEXAS, "seen"),
    OxygenLimit(3.0, "warm", "critical level for catfish", "Boyd, Torrans and Tucker (2018), Dissolved oxygen and "
                "aeration in ictalurid catfish aquaculture, J. World Aquacult. Soc. 49", "seen (abstract)"),
    OxygenLimit(2.0, "warm", "some die below this", _TEXAS, "seen"),
    OxygenLimit(9.5, "cold", "guideline, eggs and fry", _CCME, "seen"),
    OxygenLimit(6.5, "cold", "guideline, past early life", _CCME, "seen"),
    OxygenLimit(5.0, "cold", "lowest mean of daily lows over 7 days, past early life", _EPA,
                "from memory, not verified"),
    OxygenLimit(4.0, "cold", "lowest single day, past early life", _EPA, "from memory, not verified"),
    OxygenLimit(3.0, "cold", "top of the range, 1 to 3, where fish lose their balance or die",
                "CCME (1999), Publ. 1299, text", "seen"),
    OxygenLimit(5.5, "cool", "walleye change what they do", "CCME (1999), Publ. 1299, text", "seen"),
    OxygenLimit(5.0, "cool", "enough for most stages of walleye", "CCME (1999), Publ. 1299, text", "seen"),
    OxygenLimit(0.75, "cool", "northern pike begin to die in winter", "CCME (1999), Publ. 1299, text", "seen"),
)

# Oxygen to keep where nobody says otherwise, mg/L: 1 above the line of stress, because no pond is evenly mixed. It
# equals the mean of daily lows of the U.S. EPA (1986) for warm-water fish past early life (from memory). It is not
# comfort: the Canadian guideline is 5.5 (CCME 1999; seen).
FLOOR = 4.0


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
