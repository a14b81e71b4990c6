"""In how many imagined ponds that fit a description does dawn oxygen fall below a level?

Most ponds were never measured. So each unknown is given as low, usual and high; ponds are drawn from
these; each meets its own spells of weather; and the answer is the share of them that fall below the
level. It is a share of imagined ponds, tried on no real one, and no forecast for any. The same draws say
how much oxygen an hour would have saved each pond, and which unknown matters most, which is the one
to measure.

A draw lies below "usual" as often as above it, and the ends are rare: between low and usual, and
between usual and high, draws grow evenly denser toward usual. What belongs to one pond is drawn once for it,
and what changes from night to night is drawn anew for each spell. Doubts that go together in truth are drawn
to go together (:data:`COMPANY`).
"""

from typing import Any, NamedTuple

import numpy as np
from scipy import stats

from ..refusals import Refused
from ..units import QuantityError, Range, quantities
from . import daynight, oxygen, photosynthesis, respiration

__all__ = ["COMPANY", "NIGHTLY", "SPELLS", "DawnChance", "DeliveryChance", "usual_doubts", "draw", "keep_company",
           "dawn_chance", "delivery_chance"]

RUNS = 1000
NIGHTLY = ("clear_share", "dissolved_oxygen")   # drawn anew for each spell of weather; all else belongs to the pond
SPELLS = 2                                      # of weather that each drawn pond meets; our choice
# Spearman's rank correlation of doubts that keep company. The reasons are common knowledge of ponds, the numbers our
# choice, no source: 0.3 for a loose tie, 0.5 for a close one.
COMPANY = {
    ("chlorophyll", "mud_20c"): 0.5,                    # algae sink, and rich mud gives back what feeds them
    ("chlorophyll", "load"): 0.5,                       # feed is fertilizer
    ("chlorophyll", "fish_mass_per_area"): 0.3,         # fish stir up and fertilize, and rich water carries more
    ("mud_20c", "load"): 0.3,                           # waste sinks
    ("mud_20c", "fish_mass_per_area"): 0.3,
    ("load", "fish_mass_per_area"): 0.5,                # more fish, more waste
    ("chlorophyll", "weed_production"): -0.3,           # green water shades the weeds
    ("weed_production", "weed_use_20c"): 0.5,           # what a bed makes is used in it
    ("clear_share", "dissolved_oxygen"): 0.5,           # dark days leave less at dusk
}
# "a dark week may come": share of clear-sky light on the worst day; judgment, no source
DARK_DAY = Range(0.15, 0.4, 1.0)


class DawnChance(NamedTuple):
    """Share (0 to 1) of drawn ponds and spells below the level, its sampling error, lows (mg/L) at 5, 50, 95 %.

    `always` is the share of ponds that fall below in every spell of weather, `ever` in at least one. `lows` is the
    low of every run, `drawn` the inputs drawn, `weight` rank correlation of each with the low, greatest first: near
    -1 a high value brings the oxygen down.
    """

    chance: float
    always: float
    ever: float
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
        raise Refused(f"low, usual and high must rise; it was given {low:.4g}, {usual:.4g}, {high:.4g}.", by="draw")
    u = np.asarray(share, float)
    return np.where(u < 0.5, low + (usual - low) * np.sqrt(2 * u), high - (high - usual) * np.sqrt(2 * (1 - u)))


def keep_company(shares, names, company=None):
    """Shares reordered, column by column, until doubts that go together do so.

    Parameters
    ----------
    shares : array
        Draws by doubts, 0 to 1. Each column keeps its values, and so its evenness.
    names : sequence of str
        Of the columns.
    company : mapping of (str, str) to float, optional
        Spearman's rank correlations; default :data:`COMPANY`. Pairs that are not both in `names` do not count.

    Notes
    -----
    Normal scores are mixed by a root of the wanted correlation, 2 sin(pi r/6) for rank correlation r, after chance
    correlation is taken out; each column then takes the order of its mixed score.

    References
    ----------
    R. L. Iman and W. J. Conover, 1982, A distribution-free approach to inducing rank correlation among input
    variables, Commun. Stat. Simul. Comput. 11:311-334 (from memory, not verified).
    """
    wanted, place = np.eye(len(names)), {name: i for i, name in enumerate(names)}
    for (one, other), rank in (COMPANY if company is None else company).items():
        if one in place and other in place:
            wanted[place[one], place[other]] = wanted[place[other], place[one]] = 2 * np.sin(np.pi * rank / 6)
    if np.array_equal(wanted, np.eye(len(names))):
        return shares
    scores = stats.norm.ppf(np.clip(shares, 1e-9, 1 - 1e-9))
    if len(shares) > 4 * len(names):
        scores = np.linalg.solve(np.linalg.cholesky(np.corrcoef(scores.T)), scores.T).T
    mixed = scores @ np.linalg.cholesky(wanted).T
    return np.take_along_axis(np.sort(shares, axis=0), np.argsort(np.argsort(mixed, axis=0), axis=0), axis=0)


def _plain(name, doubt):
    """A Range in the units of Conditions, from quantities or plain SI numbers."""
    unit = daynight.Conditions.units.get(name, "")
    if len(doubt) != 3:
        raise QuantityError(f"{name} needs a Range of low, usual and high.", by="dawn_chance")
    return Range(*(float(part.m_as(unit or "dimensionless")) if hasattr(part, "m_as") else float(part)
                   for part in doubt))


def _draws(conditions, doubts, runs, seed):
    """Conditions with arrays in the place of each doubt, and the arrays by name."""
    unknown = sorted(set(doubts) - set(daynight.Conditions.__dataclass_fields__) - {"dissolved_oxygen"})
    if unknown:
        raise Refused(f"there is no condition {unknown[0]!r}. Doubts may be: dissolved_oxygen, "
                      f"{', '.join(daynight.Conditions.__dataclass_fields__)}.", by="dawn_chance")
    for name in ("latitude", "day"):
        if name in doubts:
            raise Refused(f"{name} must be one number; it cannot be in doubt.", by="dawn_chance")
    if not 10 <= runs <= 100000:
        raise Refused("runs must be 10 to 100,000.", by="dawn_chance")
    random, drawn = np.random.default_rng(seed), {}
    nightly = [name for name in doubts if name in NIGHTLY]
    spells = SPELLS if nightly else 1
    for names, times in (([name for name in doubts if name not in NIGHTLY], spells), (nightly, 1)):
        if names:
            shares = stats.qmc.LatinHypercube(len(names), rng=random).random(-(-runs // times))
            shares = np.repeat(keep_company(shares, names), times, axis=0)[:runs]
            drawn |= {name: draw(_plain(name, doubts[name]), shares[:, i]) for i, name in enumerate(names)}
    first = drawn.get("dissolved_oxygen")
    fields = {name: values[None, :] if name == "clear_share" else values
              for name, values in drawn.items() if name != "dissolved_oxygen"}
    return conditions.with_values(**fields), drawn, first, spells


def _rank_correlations(values, others):
    """Spearman's rank correlation of `values` with each of `others`; 0 where nothing varies."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.nan_to_num(np.corrcoef(stats.rankdata([values, *others], axis=1))[0, 1:]).tolist()


@quantities(level="mg/L", dissolved_oxygen="mg/L", delivery="kg/s")
def dawn_chance(pond, conditions, doubts, level=oxygen.FLOOR, runs=RUNS, seed=1, dissolved_oxygen=None,
                delivery=0.0, **more):
    """Share of drawn ponds in which the lowest oxygen of the run falls below a level.

    Parameters
    ----------
    pond : daynight.PondShape
    conditions : daynight.Conditions
        What is known.
    doubts : mapping of str to Range
        What is not: fields of Conditions, or "dissolved_oxygen" at the start (mg/L); plain SI numbers
        or quantities. See :func:`usual_doubts`. A doubtful "clear_share" is the same every day of a spell.
    level : float, optional
        mg/L; default ``oxygen.FLOOR``.
    runs, seed : int, optional
        How many draws, each pond counted once for each of its :data:`SPELLS`, and where the random numbers begin: the
        same seed gives the same answer.
    dissolved_oxygen, delivery, more
        For ``daynight.simulate``.

    Returns
    -------
    DawnChance

    Notes
    -----
    Latin hypercube draws (scipy.stats.qmc), put in order by :func:`keep_company`. `error` is that of plain random
    draws of as many ponds, sqrt(p (1 - p)/ponds), which these do not exceed by much.
    """
    drawn_conditions, drawn, first, spells = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first
    run = daynight.simulate.si(pond, drawn_conditions, dissolved_oxygen=start, delivery=delivery + np.zeros(runs),
                               **more)
    lows = daynight.dawn_low(run)
    low = lows < level
    chance, by_pond = float(np.mean(low)), [low[i:i + spells] for i in range(0, runs, spells)]
    weight = dict(zip(drawn, _rank_correlations(lows, drawn.values()), strict=True))
    weight = dict(sorted(weight.items(), key=lambda item: -abs(item[1])))
    return DawnChance(chance, float(np.mean([each.all() for each in by_pond])),
                      float(np.mean([each.any() for each in by_pond])),
                      float(np.sqrt(chance * (1 - chance) / len(by_pond))),
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
        raise Refused("enough_for must be more than 0 and at most 1.", by="delivery_chance")
    drawn_conditions, _, first, _ = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first

    def short(rate):
        run = daynight.simulate.si(pond, drawn_conditions, dissolved_oxygen=start, delivery=rate, **more)
        return daynight.dawn_low(run) - floor, run.dissolved_oxygen[0]

    low = np.zeros(runs)
    miss_low, begin = short(low)
    if np.any(begin < floor):
        raise Refused(f"{np.mean(begin < floor):.0%} of the drawn ponds start below the {floor:.3g} mg/L to keep. Keep "
                      "less, or start from a measured reading above it.", by="delivery_chance")
    saved = miss_low >= 0
    high = np.full(runs, pond.volume * 1e-3 / 86400.0)              # 1 mg/L a day
    for _ in range(12):
        miss_high, _ = short(high)
        if np.all(miss_high >= -1e-9):
            break
        high = np.where(miss_high < 0, 2 * high, high)
    else:
        raise Refused("no believable delivery keeps that much oxygen. It may be above saturation.",
                      by="delivery_chance")
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
