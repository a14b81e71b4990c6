"""What does a landowner's word about a pond mean for its oxygen, in many imagined ponds that fit it?

People know the color of their water, about how many fish, how soft the mud is. That is turned into what the day-night
model asks for, with what is then still in doubt, and answers the landowner's questions: who makes and who uses the
oxygen, how often is there too little at dawn, and how much must aeration deliver.

Most ponds were never measured. So each unknown is given as low, usual and high; ponds are drawn from these; each meets
its own spells of weather; and the answer is the share of them that fall below a level at dawn. It is a share of
imagined ponds, tried on no real one, and no forecast for any. The same draws say how much oxygen an hour would have
saved each pond, and which unknown matters most, which is the one to measure.

A draw lies below "usual" as often as above it, and the ends are rare: between low and usual, and between usual and
high, draws grow evenly denser toward usual. What belongs to one pond is drawn once for it, and what changes from night
to night is drawn anew for each spell. Doubts that go together in truth are drawn to go together (:data:`COMPANY`).

Two honest answers to how much to deliver differ a great deal. Stacking every bad end of every doubt gives one night
that hardly ever comes. Drawing many imagined ponds and keeping 95 of 100 at the floor gives a smaller number, and
leaves five. Both are given, the second as a range: which ponds are imagined, and how their doubts go together, is our
choice, so the five left over are good to a factor of two (:func:`need_for`).

Inside the package oxygen is mg/L, rates of delivery kg/s, fish kg per m2 of surface, feed kg a day.
"""

import dataclasses
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy import stats

from ..catalogue import ROWS, held, usual
from ..refusals import Refused
from ..units import DAY, QuantityError, Range, asked, length_text, quantities, record
from . import daynight, oxygen, sources

DRAWN = 1000
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
# what no landowner knows, as Ranges in SI for fields of ``daynight.Conditions``
DOUBTS = {"assimilation": sources.ASSIMILATION, "light_saturation": sources.LIGHT_SATURATION,
          "prompt_use": sources.PROMPT_USE, "plankton_scatter": sources.PLANKTON_SCATTER, "mud_20c": oxygen.MUD_20C,
          "exchange_rank": Range(0.0, 0.5, 1.0), "clear_share": DARK_DAY}


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

    usual: Annotated[Any, "kg/s"]
    enough: Annotated[Any, "kg/s"]
    worst: Annotated[Any, "kg/s"]
    each: Annotated[Any, "kg/s"]


def draw(doubt, share):
    """Value of a Range at shares 0 to 1: low, usual and high at 0, one half and 1, the ends rare.

    doubt (Range): Plain numbers in rising order.
    share (float or array): 0 to 1, evenly spread for a fair draw.
    """
    low, usual, high = doubt
    if not low <= usual <= high:
        raise Refused(f"low, usual and high must rise; it was given {low:.4g}, {usual:.4g}, {high:.4g}.", by="draw")
    u = np.asarray(share, float)
    return np.where(u < 0.5, low + (usual - low) * np.sqrt(2 * u), high - (high - usual) * np.sqrt(2 * (1 - u)))


def keep_company(shares, names):
    """Shares reordered, column by column, until doubts that go together do so.

    shares: Draws by doubts, 0 to 1. Each column keeps its values, and so its evenness.
    names (sequence of str): Of the columns.

    Normal scores are mixed by a root of the wanted correlation, 2 sin(pi r/6) for rank correlation r of
    :data:`COMPANY`, after chance correlation is taken out; each column then takes the order of its mixed score.
    References: R. L. Iman and W. J. Conover, 1982, A distribution-free approach to inducing rank correlation among
    input variables, Commun. Stat. Simul. Comput. 11:311-334 (from memory, not verified).
    """
    wanted, place = np.eye(len(names)), {name: i for i, name in enumerate(names)}
    for (one, other), rank in COMPANY.items():
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
def dawn_chance(pond, conditions, doubts, level=oxygen.FLOOR, runs=DRAWN, seed=1, dissolved_oxygen=None,
                delivery=0.0, **more):
    """Share of drawn ponds in which the lowest oxygen of the run falls below a level.

    conditions (daynight.Conditions): What is known.
    doubts (mapping of str to Range): What is not: fields of Conditions, or "dissolved_oxygen" at the start (mg/L);
        plain SI numbers or quantities. See :data:`DOUBTS`. A doubtful "clear_share" is the same every day of a
        spell.
    level: mg/L; default ``oxygen.FLOOR``.
    runs, seed: How many draws, each pond counted once for each of its :data:`SPELLS`, and where the random numbers
        begin: the same seed gives the same answer.
    dissolved_oxygen, delivery, more: For ``daynight.simulate``.

    Latin hypercube draws (scipy.stats.qmc), put in order by :func:`keep_company`. `error` is that of plain random
    draws of as many ponds, sqrt(p (1 - p)/ponds), which these do not exceed by much.
    """
    drawn_conditions, drawn, first, spells = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first
    run = daynight.simulate(pond, drawn_conditions, dissolved_oxygen=start, delivery=delivery + np.zeros(runs), **more)
    lows = daynight.dawn_low(run)
    low = lows < level
    chance, by_pond = float(np.mean(low)), [low[i:i + spells] for i in range(0, runs, spells)]
    weight = dict(zip(drawn, _rank_correlations(lows, drawn.values()), strict=True))
    weight = dict(sorted(weight.items(), key=lambda item: -abs(item[1])))
    return DawnChance(chance, float(np.mean([each.all() for each in by_pond])),
                      float(np.mean([each.any() for each in by_pond])),
                      float(np.sqrt(chance * (1 - chance) / len(by_pond))),
                      Range(*np.quantile(lows, (0.05, 0.5, 0.95))), lows, drawn, weight)


@quantities(floor="mg/L", dissolved_oxygen="mg/L", gives=DeliveryChance)
def delivery_chance(pond, conditions, doubts, floor=oxygen.FLOOR, enough_for=0.95, runs=300, seed=1,
                    dissolved_oxygen=None, **more):
    """Steady oxygen delivery that keeps each drawn pond at the floor.

    pond, conditions, doubts, seed, dissolved_oxygen, more: As for :func:`dawn_chance`.
    floor: mg/L to keep at the lowest hour.
    enough_for: Share of the draws that `enough` must save, above 0 to 1.
    runs: Draws; each is solved by some ten runs, so 300 take as long as 3000 plain ones.
    Returns: DeliveryChance: kg/s. `enough` is the worst believable night if the ranges are honest.
    Raises ValueError: If a pond starts below the floor: it needs help at once, and no rate can mend the first hour.

    Delivery runs the whole time, and the lowest oxygen rises with it, so each draw is solved by bracketing:
    the bracket doubles until every pond is saved, then closes to within 0.01 mg/L above the floor.
    """
    if not 0 < enough_for <= 1:
        raise Refused("enough_for must be more than 0 and at most 1.", by="delivery_chance")
    drawn_conditions, _, first, _ = _draws(conditions, doubts, runs, seed)
    start = dissolved_oxygen if first is None else first

    def short(rate):
        run = daynight.simulate(pond, drawn_conditions, dissolved_oxygen=start, delivery=rate, **more)
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


STEP = 1800.0           # s; half an hour keeps the low of the night within 0.01 mg/L of ten-minute steps
RUNS = 300
SWING = daynight.Conditions.temperature_swing       # C; near freezing no more than keeps the water liquid
FISH_SPREAD = (0.5, 1.0, 2.0)       # how far a guess of the fish may lie off; our choice
SECCHI_SPREAD = 2.0     # a Secchi depth fixes chlorophyll to about a factor of two; judgment, no source
# where the oxygen at dusk was read
SEVERAL, NEAR_TOP, NOT_KNOWN = WHERE_READ = ("mean of several depths", "near the top", "not known where")


@record(fish="kg/m^2", temperature="degC", secchi_depth="m", weed_cover="", feed_per_day="kg/day",
        wind_speed="m/s", night_wind_speed="m/s", dusk="mg/L", night="s", floor="mg/L")
class Described:
    """A pond in its owner's words.

    fish: kg of live fish per m2 of surface.
    temperature: Water in the warmest weeks, C, 0 to 35; measured rates end at 15 and 30, see ``oxygen.MEASURED``.
    color: A key of ``sources.WATER_COLORS``.
    secchi_depth: m; where a white disk is lost. Used in place of the color's own.
    mud: A key of ``sources.MUD_KINDS``.
    weed_cover: Share of the surface over weed beds, 0 to 1.
    feed_per_day: kg of feed a day.
    wind_speed, night_wind_speed: m/s at 10 m over the water, by day and in a still night.
    dusk: mg/L measured at dusk, at `dusk_where`.
    night: s without sun, for the budget of one night.
    floor: mg/L to keep at the lowest hour.
    dusk_where: One of :data:`WHERE_READ`. Anything but the mean of several depths bounds what the whole pond holds,
        no more.
    """

    fish: Any
    temperature: Any
    color: str = usual("oxygen", "color")
    secchi_depth: Any = None
    mud: str = usual("oxygen", "mud")
    weed_cover: Any = usual("oxygen", "weed_cover")
    feed_per_day: Any = usual("oxygen", "feed_per_day", "kg/day")
    wind_speed: Any = usual("oxygen", "wind_speed")
    night_wind_speed: Any = usual("oxygen", "night_wind_speed")
    dusk: Any = None
    night: Any = usual("oxygen", "night")
    floor: Any = usual("oxygen", "floor")
    dusk_where: str = SEVERAL

    def check(self):
        """Refuse words the set does not know, and amounts that cannot be."""
        sources.chlorophyll_by_color(self.color)
        sources.mud_respiration(20.0, self.mud)
        for name in self.units:
            if getattr(self, name) is not None:
                ROWS["oxygen", name].check(self.quantity(name))
        if self.dusk_where not in WHERE_READ:
            raise Refused(f"the oxygen at dusk was read at one of: {', '.join(WHERE_READ)}.", by="Described")

    @property
    def whole(self):
        """Oxygen of the whole pond at dusk as measured, mg/L; None where nobody did, or only near the top."""
        return self.dusk if self.dusk_where == SEVERAL else None

    def with_values(self, **values):
        """The same with some fields replaced, in SI numbers."""
        return dataclasses.replace(self, **values)


@record(**daynight.PondShape.units, spread="m^3")
class PondWater(daynight.PondShape):
    """The water of one pond, and how sure its volume is: `spread`, a Range in m3."""

    spread: Any = None


class DayAndNight(NamedTuple):
    """Hours of darkness, and what each part makes (+) or uses (-) by day and in the dark, kg."""

    dark: float
    day: dict
    night: dict


class DeliveryNeed(NamedTuple):
    """Delivery (kg/s) that keeps the floor: drawn ponds, all bad ends in the same model, the one-night budget.

    `drawn` is a Range: enough for 5, 50 and 95 of 100 draws; `each` holds every draw; `stacked` sets every
    doubt at its bad end; `budget` is the delivery of :func:`one_night`.
    """

    drawn: Any
    stacked: Any
    budget: Any
    each: Any


def described_from(pond):
    """A pond's own words as saved in its record (PondRecord), and common ones where nothing is saved: a Described."""
    kept = {name: pond.get("oxygen", name, ROWS["oxygen", name].usual)
            for name in Described.units | {"color": "", "mud": ""}}
    if kept["dusk"] is not None:        # old records do not say where
        where = pond.get("oxygen", "dusk_where")
        kept["dusk_where"] = where if where in WHERE_READ else NOT_KNOWN
    return asked(Described)(**{name: value for name, value in kept.items() if value is not None})


def rests_on_a_place(pond):
    """Whether what is saved on a pond's oxygen knows where its reading at dusk was taken, or needs none.

    Older records took any reading as that of the whole pond, so what they found may be too good.
    """
    return pond.get("oxygen", "dusk") is None or pond.get("oxygen", "dusk_where") is not None


def found(pond, name):
    """What workbook 02 found for a pond, ``dawn``, ``chance`` or ``delivery``; None where that cannot be trusted."""
    return pond.get("oxygen", name) if rests_on_a_place(pond) else None


def shape_of(pond):
    """The water of a pond record as a shape for the model.

    Raises ValueError: If workbook 01 has not been done for this pond.
    """
    if not pond.has("water"):
        raise ValueError("This pond has no volume yet. Do workbook 01 first; it takes about an hour.")
    depths, areas = pond.get("water", "level_depth"), pond.get("water", "level_area")
    levels = (None, None) if depths is None else (np.array([z.m_as("m") for z in depths]),
                                                  np.array([a.m_as("m^2") for a in areas]))
    spread = Range(*(v.m_as("m^3") for v in pond.get("water", "volume")))
    return PondWater(spread.usual, pond.get("water", "area").usual.m_as("m^2"), *levels,
                     elevation=held(pond, "site", "elevation"), spread=spread)


class Below(NamedTuple):
    """Water below a depth."""

    volume: Annotated[float, "m^3"]
    area: Annotated[float, "m^2"]       # of its top


@quantities(depth="m", gives=Below)
def water_below(shape, depth):
    """Volume of the water below a depth, and the area of its top: what is left under ice, or when the level drops."""
    tops, bottoms, areas = shape.slabs(200)
    if not 0 <= depth < bottoms[-1]:
        raise Refused(f"the pond is {length_text(bottoms[-1])} deep, so nothing is left below that.", by="water_below")
    share = np.clip((bottoms - depth) / (bottoms - tops), 0, 1)
    volume = float(np.sum(areas * (bottoms - tops) * share))
    area = shape.area if shape.level_depth is None else float(np.interp(depth, shape.level_depth, shape.level_area))
    return Below(volume, area)


def dusk_of(shape, said):
    """Oxygen of the whole pond at dusk (Range, mg/L), without width where it was measured over several depths.

    Else ``oxygen.DUSK_SHARE`` of saturation, or of the reading near the top where that is lower: by evening the top
    holds the most, so the whole pond may hold as much as the top or far less. A reading near the top can therefore
    make the answer worse but never better.
    """
    if said.whole is not None:
        return oxygen.as_range(said.whole)
    full = float(shape.water_at(said.temperature).saturation)
    most = full if said.dusk is None else min(said.dusk, full)
    return Range(*(share * most for share in oxygen.DUSK_SHARE))


def _waste(shape, said):
    """Oxygen (mg/L) that waste of steady feeding asks for in all: low, usual, high; and what is added a day."""
    fed = sources.feed_load(said.feed_per_day)
    growth = oxygen.THETA_PLANKTON ** (said.temperature - 20)
    a_day = Range(*(load / shape.volume * 1e3 for load in fed))
    return Range(*(added / (sources.LOAD_RATE.usual * growth) for added in a_day)), a_day.usual


def _chlorophyll(said):
    if said.secchi_depth is None:
        return sources.chlorophyll_by_color(said.color)
    middle = float(sources.chlorophyll_from_secchi(said.secchi_depth))
    return Range(middle / SECCHI_SPREAD, middle, middle * SECCHI_SPREAD)


def conditions_of(shape, said):
    """The usual pond (``daynight.Conditions``) behind the words (Described) for the water of a shape (PondShape)."""
    waste, a_day = _waste(shape, said)
    return daynight.Conditions(
        said.temperature, temperature_swing=min(SWING, 2 * max(said.temperature, 0.0)),
        chlorophyll=_chlorophyll(said).usual, secchi_depth=said.secchi_depth,
        mud_20c=sources.MUD_KINDS[said.mud].usual, fish_mass_per_area=said.fish, wind_speed=said.wind_speed,
        night_wind_speed=said.night_wind_speed, load=waste.usual, load_per_day=a_day, weed_cover=said.weed_cover)


def doubts_of(shape, said):
    """What is still in doubt once the words are known, as Ranges in SI for the drawn ponds.

    As :data:`DOUBTS`, with the algae, the mud of the named kind, the size of the fish, waste of feed, weeds,
    and the oxygen at dusk (:func:`dusk_of`) unless it was measured over several depths.
    """
    doubts = DOUBTS | {"chlorophyll": _chlorophyll(said), "mud_20c": sources.MUD_KINDS[said.mud]}
    if said.fish > 0:
        doubts["fish_mass"] = Range(*sorted(oxygen.FISH_SIZES))
        doubts["fish_mass_per_area"] = Range(*(share * said.fish for share in FISH_SPREAD))
    if said.feed_per_day > 0:
        doubts["load"] = _waste(shape, said)[0]
    if said.weed_cover > 0:
        doubts["weed_use_20c"] = sources.WEED_USE
        doubts["weed_production"] = sources.WEED_PRODUCTION
    if said.whole is None:
        doubts["dissolved_oxygen"] = dusk_of(shape, said)
    return doubts


def dark_hours(latitude, day):
    """Clock hours, solar time, of sunset and sunrise; latitude in degrees, day of the year."""
    clock = np.arange(0, 24, 1 / 60)
    lit = clock[sources.light_below_surface(latitude, day, clock) > 0]
    if len(lit) in (0, len(clock)):
        raise ValueError(f"On day {day:g} of the year the sun does not rise or does not set at latitude {latitude:g}°. "
                         "Choose a place or a day with both.")
    return float(lit.max()), float(lit.min())


def _settled(shape, conditions, dusk):
    """Oxygen (mg/L) at dusk that comes back a day later: Aitken's rule on the dusks of three days, twice."""
    run = daynight.simulate(shape, conditions, 72.0, dusk, step=STEP)
    for _ in range(2):
        first, second, third = np.interp([24.0, 48.0, 72.0], run.hours, run.dissolved_oxygen[:, 0])
        bend = (second - first) - (third - second)
        now = third + (third - second) ** 2 / bend if 0 < (third - second) / (second - first or 1) < 0.95 else third
        run = daynight.simulate(shape, conditions, 72.0, dusk, dissolved_oxygen=max(now, 0.0), step=STEP)
    return run.dissolved_oxygen[-1]


def day_and_night(shape, conditions):
    """Who makes and who uses the oxygen, by day and in the dark, once the pond has settled into a run of like days.

    Returns: DayAndNight: kg. Parts: plants, air (through the surface, below 0 where it leaves), plankton, mud, fish,
        weeds, load. They add up to nothing within 0.5 % of what is used; 1.5 % where feed is given, whose waste is a
        usual store.
    """
    dusk, dawn = dark_hours(conditions.latitude, conditions.day)
    dark = 24 - dusk + dawn
    now, parts = _settled(shape, conditions, dusk), []
    for start, hours in ((dusk, dark), (dawn, 24 - dark)):
        run = daynight.simulate(shape, conditions, hours, start, dissolved_oxygen=now, step=STEP)
        now = run.dissolved_oxygen[-1]
        kilos = {name: float(total[0]) * shape.volume * 1e-3 for name, total in run.totals.items()}
        parts.append({"plants": kilos["made"], "air": kilos["exchanged"],
                      **{name: -kilos[name] for name in daynight.PARTS}})
    return DayAndNight(dark, parts[1], parts[0])


def bad_dawn(shape, said, level, runs=RUNS):
    """Share of drawn ponds whose lowest oxygen in two nights is below a level (mg/L): ``oxygencase.dawn_chance``."""
    return dawn_chance(shape, conditions_of(shape, said), doubts_of(shape, said), level, runs,
                       dissolved_oxygen=said.whole, step=STEP)


def need_for(each, share):
    """Delivery that saves a share of the drawn ponds, as a Range: for twice, once and half as many left over.

    each: As in :class:`DeliveryNeed`.
    share: 0.5 to 1.
    """
    left = 1 - share
    return Range(*(float(np.quantile(each, 1 - times * left)) for times in (2, 1, 0.5)))


# doubts whose low end brings the oxygen down (small fish breathe faster for their weight)
BAD_LOW = ("light_saturation", "prompt_use", "exchange_rank", "clear_share", "dissolved_oxygen", "fish_mass",
           "weed_production")


def bad_ends(doubts):
    """Every doubt at the end that brings the oxygen down, as Ranges without width."""
    return {name: Range(*(doubt.low if name in BAD_LOW else doubt.high,) * 3) for name, doubt in doubts.items()}


def one_night(shape, said):
    """One warm night with every bad case stacked, in the owner's words: ``oxygen.night_budget``.

    shape (daynight.PondShape): A :class:`PondWater` brings the range of its volume along.
    Returns: oxygen.NightBudget: `delivery` and `dawn` reach over the range of the volume; the rest is for its usual
        value.

    Plankton: the low end of chlorophyll with the low end of ``sources.plankton_respiration``, usual with usual,
    high with high. Mud of the named kind. Weeds as ``sources.WEED_USE`` over their beds. Waste of feed uses each
    day what each day adds.
    """
    muds = sources.MUD_KINDS[said.mud]

    def plankton(volume):
        return Range(*(float(sources.plankton_respiration(
            green, said.temperature, said.secchi_depth, volume / shape.area, mud,
            weed_cover=said.weed_cover)[end])
            for end, (green, mud) in enumerate(zip(_chlorophyll(said), muds, strict=True))))
    growth = oxygen.THETA_PLANKTON ** (said.temperature - 20)
    weeds = [use * growth * said.weed_cover * shape.area * 1e-3 / DAY for use in sources.WEED_USE]
    waste = [load / DAY for load in sources.feed_load(said.feed_per_day)]
    besides = Range(*(float(a + b) for a, b in zip(weeds, waste, strict=True)))
    nights = [oxygen.night_budget(volume, shape.area, said.fish, shape.water_at(said.temperature), said.night,
                                  said.floor, dusk_of(shape, said), plankton(volume), muds, besides)
              for volume in getattr(shape, "spread", None) or oxygen.as_range(shape.volume)]
    ends = {name: Range(*(float(v) for v in (min(getattr(n, name).low for n in nights), getattr(nights[1], name).usual,
                                             max(getattr(n, name).high for n in nights))))
            for name in ("dawn", "delivery")}
    return nights[1]._replace(**ends)


def delivery_need(shape, said, runs=RUNS, seed=1, step=STEP):
    """Steady delivery that keeps the floor through two nights with a day between them, by two honest ways.

    Returns: DeliveryNeed: kg/s inside the package; see there. `step` is in s.
    Raises ValueError: If the oxygen measured at dusk, wherever, is below the floor: that pond needs help at once.

    Where it was not measured, dusk is taken at the floor or above: no steady rate mends an evening that begins
    below it. Aeration runs the whole time. The whole pond counts as mixed.
    """
    conditions, doubts = conditions_of(shape, said), doubts_of(shape, said)
    if said.dusk is not None and said.dusk < said.floor:
        raise ValueError(f"the oxygen at dusk, {said.dusk:.3g} mg/L, is below the {said.floor:.3g} mg/L to keep. That "
                         "pond needs help before the night: stop feeding, get a surface aerator or pump going, and "
                         "call your extension office. If the top reads well, and only deep water below the fish is "
                         "short, leave that box empty: the sizes here are for the pond once it is mixed. Workbook 05 "
                         "says what mixing at once would leave.")
    if said.whole is None:
        doubts["dissolved_oxygen"] = Range(*(max(dusk, said.floor) for dusk in doubts["dissolved_oxygen"]))
    more = {"dissolved_oxygen": said.whole, "step": step}
    drawn = delivery_chance(shape, conditions, doubts, said.floor, 0.95, runs, seed, **more)
    stacked = delivery_chance(shape, conditions, bad_ends(doubts), said.floor, 1.0, 10, seed, **more)
    ends = Range(*(float(v) for v in np.quantile(drawn.each, (0.05, 0.5, 0.95))))
    return DeliveryNeed(ends, float(stacked.worst), one_night(shape, said).delivery, drawn.each)
