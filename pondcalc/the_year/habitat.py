"""How much of the pond can fish live in, and for how many days is there too little of it?

In summer the top may be too warm and the bottom without oxygen; what is left between is
where fish can be. Limits differ with size, health and how fast things change, so the ones
here draw a picture; they do not promise survival.
"""

from typing import NamedTuple

import numpy as np

from ..units import QuantityError

__all__ = ["FishLimits", "FISH", "UsableYear", "fish_limits", "usable_year"]


class FishLimits(NamedTuple):
    """Warmest water (degC) and least oxygen (mg/L) that a kind of fish can use, and where that is from."""

    kind: str
    warmest: float
    least_oxygen: float
    source: str


class UsableYear(NamedTuple):
    """A year of habitat: least share of the volume each day, and the days it was squeezed."""

    day: np.ndarray
    share: np.ndarray
    squeezed_days: int
    worst_day: int


ENOUGH = 0.1        # share of the volume below which the fish count as squeezed; our choice
_EPA_HEAT = "U.S. EPA weekly-mean limit (Brungs and Jones 1977) as quoted by Nevada DEP, 2015-16"
FISH = (
    FishLimits("trout", 19.0, 5.0, f"heat: {_EPA_HEAT}; oxygen: Minnesota DNR in the Mankato Free Press, "
                                   "2014"),
    FishLimits("bass and bluegill", 32.0, 3.0, f"heat: {_EPA_HEAT}; oxygen: Texas A&M AgriLife AquaPlant, "
                                               "stress below 3 mg/L"),
    FishLimits("channel catfish", 32.0, 3.0, "heat: EPA, from memory, not verified; oxygen: critical level "
                                             "in a review of catfish ponds (abstract)"),
)


def fish_limits(kind):
    """Limits of a kind of fish, by name, or a :class:`FishLimits` passed through.

    Raises
    ------
    QuantityError
        If the name is not in :data:`FISH`; the message lists those that are.
    """
    if isinstance(kind, FishLimits):
        return kind
    for limits in FISH:
        if limits.kind == kind:
            return limits
    raise QuantityError(f"{kind!r} has no limits here. Choose from {', '.join(f.kind for f in FISH)}, or "
                        "make a FishLimits of your own.")


def usable_year(run, kind="bass and bluegill"):
    """Share of the pond that fish can use, day by day through a modelled year.

    Parameters
    ----------
    run : pondcalc.the_year.seasons.SeasonRun
    kind : str or FishLimits, optional

    Returns
    -------
    UsableYear
        The share at each day's worst hour. Fish that can ride out an hour may do better.
    """
    limits = fish_limits(kind)
    good = (run.temperature <= limits.warmest) & (run.dissolved_oxygen >= limits.least_oxygen)
    share = good @ run.volume / run.volume.sum()
    least = run.by_day(share).min(axis=1)
    day = (run.by_day(run.hour)[:, 0] // 24).astype(int) % 365 + 1
    return UsableYear(day, least, int((least < ENOUGH).sum()), int(day[least.argmin()]))
