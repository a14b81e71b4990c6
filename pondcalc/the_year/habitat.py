"""How much of the pond can fish live in, and for how many days is there too little of it?

In summer the top may be too warm and the bottom without oxygen; what is left between is
where fish can be. Limits differ with size, health and how fast things change, so the ones
here draw a picture; they do not promise survival.
"""

from typing import NamedTuple

import numpy as np

from ..how_much_oxygen.fishlimits import KINDS_OF_FISH
from ..units import QuantityError

__all__ = ["UsableYear", "usable_year"]


class UsableYear(NamedTuple):
    """A year of habitat: least share of the volume each day, and the days it was squeezed."""

    day: np.ndarray
    share: np.ndarray
    squeezed_days: int
    worst_day: int


ENOUGH = 0.1        # share of the volume below which the fish count as squeezed; our choice


def usable_year(run, kind="bass and bluegill"):
    """Share of the pond that fish can use, day by day through a modelled year.

    Parameters
    ----------
    run : pondcalc.the_year.seasons.SeasonRun
    kind : str, optional
        A key of ``fishlimits.KINDS_OF_FISH``.

    Returns
    -------
    UsableYear
        The share at each day's worst hour. Fish that can ride out an hour may do better.
    """
    if kind not in KINDS_OF_FISH:
        raise QuantityError(f"{kind!r} has no limits here. Choose from {', '.join(KINDS_OF_FISH)}.")
    limits = KINDS_OF_FISH[kind]
    good = (run.temperature <= limits.warmest) & (run.dissolved_oxygen >= limits.level)
    share = good @ run.volume / run.volume.sum()
    least = run.by_day(share).min(axis=1)
    day = (run.by_day(run.hour)[:, 0] // 24).astype(int) % 365 + 1
    return UsableYear(day, least, int((least < ENOUGH).sum()), int(day[least.argmin()]))
