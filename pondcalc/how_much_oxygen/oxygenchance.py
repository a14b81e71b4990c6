"""What is the chance that dawn oxygen falls below a level, given all that is not known?

Most ponds were never measured. So each unknown is given as low, usual and high; a thousand ponds
are drawn from these; each is stepped through the same nights; and the answer is the share of them that
fall below the level. The same draws say how much oxygen an hour would have saved each pond, and
which unknown matters most, which is the one to measure.

A draw lies below "usual" as often as above it, and the ends are rare: between low and usual, and
between usual and high, the chance grows evenly toward usual.
"""

from typing import Any, NamedTuple

import numpy as np
from scipy import stats

from ..units import QuantityError, Range, quantities
from . import daynight, oxygen, photosynthesis, respiration

__all__ = ["DawnChance", "DeliveryChance", "usual_doubts", "draw", "dawn_chance", "delivery_chance"]

RUNS = 1000
# "a dark week may come": share of clear-sky light on the worst day; judgment, no source
DARK_DAY = Range(0.15, 0.4, 1.0)


class DawnChance(NamedTuple):
    """Chance (0 to 1) below the level, its sampling error, dawn lows (mg/L) at 5, 50, 95 %, what matters.

    `lows` is the low of every run, `drawn` the inputs drawn, `weight` rank correlation of each with the
    low, greatest first: near -1 a high value brings the oxygen down.
    """

    chance: float
    error: float
    dawn: Any
    lows: Any
    drawn: dict
    weight: dict


class DeliveryChance(NamedTuple):
    """Oxygen to deliver, kg/s: enough for half the draws, for the asked share, for the worst; all draws."""

    usual: Any
    enough: Any
    worst: Any
    each: Any


def usual_doubts(color=None):
    """What a landowner does not know, as Ranges in SI for fields of ``daynight.Conditions``.

    Parameters
    ----------
    color : str, optional
        Color of the water, a key of ``photosynthesis.WATER_COLORS``; without it algae are not in doubt.
    """
    doubts = {"assimilation": photosynthesis.ASSIMILATION, "light_saturation": photosynthesis.LIGHT_SATURATION,
              "prompt_use": photosynthesis.PROMPT_USE, "plankton_scatter": respiration.PLANKTON_SCATTER,
              "mud_20c": oxygen.MUD_20C, "exchange_rank": Range(0.0, 0.5, 1.0), "clear_share": DARK_DAY}
    if color is not None:
        doubts["chlorophyll"] = photosynthesis.chlorophyll_by_color(color)
    return doubts


def draw(doubt, share):
    """Value of a Range at shares 0 to 1: low, usual and high at 0, one half and 1, the ends rare.

    Parameters
    ----------
    doubt : Range
        Plain numbers in rising order.
    share : float or array
        0 to 1, evenly spread for a fair draw.
    """
    low, usual, high = doubt
    if not low <= usual <= high:
        raise ValueError(f"draw: low, usual and high must rise; it was given {low:.4g}, {usual:.4g}, "
                         f"{high:.4g}.")
    u = np.asarray(share, float)
    return np.where(u < 0.5, low + (usual - low) * np.sqrt(2 * u), high - (high - usual) * np.sqrt(2 * (1 - u)))


def _plain(name, doubt):
    """A Range in the units of Conditions, from quantities or plain SI numbers."""
    unit = daynight.Conditions.units.get(name, "")
    if len(doubt) != 3:
        raise QuantityError(f"dawn_chance: {name} needs a Range of low, usual and high.")
    return Range(*(float(part.m_as(unit or "dimensionless")) if hasattr(part, "m_as") else float(part)
                   for part in doubt))


def _draws(conditions, doubts, runs, seed):
    """Conditions with arrays in the place of each doubt, and the arrays by name."""
    unknown = sorted(set(doubts) - set(daynight.Conditions.__dataclass_fields__) - {"dissolved_oxygen"})
    if unknown:
        raise ValueError(f"dawn_chance: there is no condition {unknown[0]!r}. Doubts may be: dissolved_oxygen, "
                         f"{', '.join(daynight.Conditions.__dataclass_fields__)}.")
    for name in ("latitude", "day"):
        if name in doubts:
            raise ValueError(f"dawn_chance: {name} must be one number; it cannot be in doubt.")
    if not 10 <= runs <= 100000:
        raise ValueError("dawn_chance: runs must be 10 to 100,000.")
    sampler = stats.qmc.LatinHypercube(max(len(doubts), 1), rng=np.random.default_rng(seed))
    shares = sampler.random(runs)
    drawn = {name: draw(_plain(name, doubt), shares[:, i]) for i, (name, doubt) in enumerate(doubts.items())}
    first = drawn.get("dissolved_oxygen")
    fields = {name: values[None, :] if name == "clear_share" else values
              for name, values in drawn.items() if name != "dissolved_oxygen"}
    return conditions.with_values(**fields), drawn, first


def _rank_correlations(values, others):
    """Spearman's rank correlation of `values` with each of `others`; 0 where nothing varies."""
    ranks = stats.rankdata([values, *others], axis=1)
    ranks -= ranks.mean(axis=1, keepdims=True)
    length = np.sqrt((ranks**2).sum(axis=1))
    return [float(row @ ranks[0] / (size * length[0])) if size * length[0] > 0 else 0.0
            for row, size in zip(ranks[1:], length[1:], strict=True)]


@quantities(level="mg/L", dissolved_oxygen="mg/L", delivery="kg/s")
def dawn_chance(pond, conditions, doubts, level=oxygen.FLOOR, runs=RUNS, seed=1, dissolved_oxygen=None,
                delivery=0.0, **more):
    """Chance that the lowest oxygen of the run falls below a level.

    Parameters
    ----------
    pond : daynight.PondShape
    conditions : daynight.Conditions
        What is known.
    doubts : mapping of str to Range
        What is not: fields of Conditions, or "dissolved_oxygen" at the start (mg/L); plain SI numbers
        or quantities. See :func:`usual_doubts`. A doubtful "clear_share" is the same every day of a run.
    level : float, optional
        mg/L; default ``oxygen.FLOOR``.
    runs, seed : int, optional
        How many draws, and where the random numbers begin: the same seed gives the same answer.
    dissolved_oxygen, delivery, more
        For ``daynight.simulate``.

    Returns
    -------
    DawnChance

    Notes
    -----
    Latin hypercube draws (scipy.stats.qmc), each doubt on its own: if two go together in truth, as
    green water and rich mud do, the tails are fatter than shown. `error` is that of plain random draws,
    sqrt(p (1 - p)/runs), which these do not exceed by much.
    """
    drawn_conditions, drawn, first = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first
    run = daynight.simulate.si(pond, drawn_conditions, dissolved_oxygen=start, delivery=delivery + np.zeros(runs),
                               **more)
    lows = daynight.dawn_low(run)
    chance = float(np.mean(lows < level))
    weight = dict(zip(drawn, _rank_correlations(lows, drawn.values()), strict=True))
    weight = dict(sorted(weight.items(), key=lambda item: -abs(item[1])))
    return DawnChance(chance, float(np.sqrt(chance * (1 - chance) / runs)),
                      Range(*np.quantile(lows, (0.05, 0.5, 0.95))), lows, drawn, weight)


@quantities(floor="mg/L", dissolved_oxygen="mg/L", gives=("kg/s", "kg/s", "kg/s", "kg/s"))
def delivery_chance(pond, conditions, doubts, floor=oxygen.FLOOR, enough_for=0.95, runs=300, seed=1,
                    dissolved_oxygen=None, **more):
    """Steady oxygen delivery that keeps each drawn pond at the floor.

    Parameters
    ----------
    pond, conditions, doubts, seed, dissolved_oxygen, more
        As for :func:`dawn_chance`.
    floor : float, optional
        mg/L to keep at the lowest hour.
    enough_for : float, optional
        Share of the draws that `enough` must save, above 0 to 1.
    runs : int, optional
        Draws; each is solved by some ten runs, so 300 take as long as 3000 plain ones.

    Returns
    -------
    DeliveryChance
        kg/s. `enough` is the worst believable night if the ranges are honest.

    Raises
    ------
    ValueError
        If a pond starts below the floor: it needs help at once, and no rate can mend the first hour.

    Notes
    -----
    Delivery runs the whole time, and the lowest oxygen rises with it, so each draw is solved by bracketing:
    the bracket doubles until every pond is saved, then closes to within 0.01 mg/L above the floor.
    """
    if not 0 < enough_for <= 1:
        raise ValueError("delivery_chance: enough_for must be more than 0 and at most 1.")
    drawn_conditions, _, first = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first

    def short(rate):
        run = daynight.simulate.si(pond, drawn_conditions, dissolved_oxygen=start, delivery=rate, **more)
        return daynight.dawn_low(run) - floor, run.dissolved_oxygen[0]

    low = np.zeros(runs)
    miss_low, begin = short(low)
    if np.any(begin < floor):
        raise ValueError(f"delivery_chance: {np.mean(begin < floor):.0%} of the drawn ponds start below "
                         f"the {floor:.3g} mg/L to keep. Keep less, or start from a measured reading above it.")
    saved = miss_low >= 0
    high = np.full(runs, pond.volume * 1e-3 / 86400.0)              # 1 mg/L a day
    for _ in range(12):
        miss_high, _ = short(high)
        if np.all(miss_high >= -1e-9):
            break
        high = np.where(miss_high < 0, 2 * high, high)
    else:
        raise ValueError("delivery_chance: no believable delivery keeps that much oxygen. It may be "
                         "above saturation.")
    for turn in range(12):
        if np.all(saved | (miss_high < 0.01)):
            break
        aim = np.clip((0.004 - miss_low) / np.maximum(miss_high - miss_low, 1e-12), 0.02, 0.98)
        guess = low + (high - low) * (0.5 if turn % 4 == 3 else aim)
        miss, _ = short(guess)
        under = miss < 0
        low, miss_low = np.where(under, guess, low), np.where(under, miss, miss_low)
        high, miss_high = np.where(under, high, guess), np.where(under, miss_high, miss)
    each = np.where(saved, 0.0, high)
    return DeliveryChance(float(np.median(each)), float(np.quantile(each, enough_for)), float(each.max()), each)
