"""What does a landowner's word about a pond mean for its oxygen?

People know the color of their water, about how many fish, how soft the mud is. This module turns
that into what the day-night model asks for, says what is then still in doubt, and answers the
landowner's two questions: who makes and who uses the oxygen, and how much must aeration deliver.

Two honest answers to the second differ a great deal. Stacking every bad end of every doubt gives one
night that hardly ever comes. Drawing many imagined ponds and keeping 95 of 100 at the floor gives a smaller number,
and leaves five. Both are given, the second as a range: which ponds are imagined, and how their doubts go together,
is our choice, so the five left over are good to a factor of two (:func:`need_for`).

Inside the package oxygen is mg/L, rates of delivery kg/s, fish kg per m2 of surface, feed kg a day.
"""

from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..units import Range, length_text, quantities, record
from . import daynight, oxygen, oxygenchance, photosynthesis, respiration

__all__ = ["Described", "DayAndNight", "DeliveryNeed", "described_from", "shape_of", "water_below", "conditions_of",
           "doubts_of", "dark_hours", "day_and_night", "bad_dawn", "bad_ends", "delivery_need"]

STEP = 1800.0           # s; half an hour keeps the low of the night within 0.01 mg/L of ten-minute steps
RUNS = 300
FISH_SPREAD = (0.5, 1.0, 2.0)       # how far a guess of the fish may lie off; our choice
SECCHI_SPREAD = 2.0     # a Secchi depth fixes chlorophyll to about a factor of two; judgment, no source


@record(fish="kg/m^2", temperature="degC", secchi_depth="m", weed_cover="", feed_per_day="kg/day",
        wind_speed="m/s", night_wind_speed="m/s", dusk="mg/L", night="s", floor="mg/L")
class Described:
    """A pond in its owner's words.

    Parameters
    ----------
    fish : float
        kg of live fish per m2 of surface.
    temperature : float
        Water in the warmest weeks, C, 15 to 35.
    color : str
        A key of ``photosynthesis.WATER_COLORS``.
    secchi_depth : float, optional
        m; where a white disk is lost. Used in place of the color's own.
    mud : str
        A key of ``respiration.MUD_KINDS``.
    weed_cover : float
        Share of the surface over weed beds, 0 to 1.
    feed_per_day : float
        kg of feed a day.
    wind_speed, night_wind_speed : float
        m/s at 10 m over the water, by day and in a still night.
    dusk : float, optional
        mg/L measured at dusk, mean of several depths.
    night : float
        s without sun, for the budget of one night.
    floor : float
        mg/L to keep at the lowest hour.
    """

    fish: Any
    temperature: Any
    color: str = "green"
    secchi_depth: Any = None
    mud: str = "ordinary"
    weed_cover: Any = 0.0
    feed_per_day: Any = 0.0
    wind_speed: Any = 2.0
    night_wind_speed: Any = 0.5
    dusk: Any = None
    night: Any = 11 * 3600.0
    floor: Any = oxygen.FLOOR

    def check(self):
        """Refuse words the set does not know, and amounts that cannot be."""
        photosynthesis.chlorophyll_by_color(self.color)
        respiration.mud_respiration.si(20.0, self.mud)
        if not 14.99 <= self.temperature <= 35.01:
            raise ValueError(f"Described: {self.temperature:.3g} °C is not the warmest water of a warm-water pond; it "
                             "should be 15 to 35 °C (59 to 95 °F). Write '82 °F' or '28 °C'.")
        if not 0 <= self.fish <= 1:
            raise ValueError("Described: fish must be 0 to 1 kg a square meter (8,900 lb an acre).")
        if not 0 <= self.weed_cover <= 1:
            raise ValueError("Described: weeds cover a share of the pond, from '0 %' to '100 %'.")
        if not (self.feed_per_day >= 0 and self.wind_speed >= 0 and self.night_wind_speed >= 0):
            raise ValueError("Described: feed and wind must be 0 or more.")
        if self.secchi_depth is not None and not self.secchi_depth > 0.05:
            raise ValueError("Described: a white disk is seen deeper than 2 in (5 cm) even in thick soup.")
        if not 0 < self.night <= 86400:
            raise ValueError("Described: the hours without sun are more than 0 and at most 24, such as '11 h'.")
        if not 0 < self.floor < 15 or self.dusk is not None and not 0 < self.dusk <= 25:
            raise ValueError("Described: oxygen to keep must be 0 to 15 mg/L, and oxygen at dusk 0 to 25 mg/L.")


class DayAndNight(NamedTuple):
    """Hours of darkness, and what each part makes (+) or uses (-) by day and in the dark, kg."""

    dark: float
    day: dict
    night: dict


class DeliveryNeed(NamedTuple):
    """Delivery (kg/s) that keeps the floor: drawn ponds, all bad ends in the same model, the one-night budget.

    `drawn` is a Range: enough for 5, 50 and 95 of 100 draws; `each` holds every draw; `stacked` sets every
    doubt at its bad end; `budget` is ``oxygen.required_delivery``.
    """

    drawn: Any
    stacked: Any
    budget: Any
    each: Any


def described_from(pond):
    """A pond's own words as saved in its record, and common ones where nothing is saved.

    Parameters
    ----------
    pond : record.PondRecord

    Returns
    -------
    Described
    """
    fields = {"fish": "250 lb/acre", "temperature": "82 °F", "color": None, "secchi_depth": None, "mud": None,
              "weed_cover": None, "feed_per_day": None, "wind_speed": None, "night_wind_speed": None, "dusk": None,
              "night": None, "floor": None}
    kept = {name: pond.get("oxygen", name, otherwise) for name, otherwise in fields.items()}
    return Described(**{name: value for name, value in kept.items() if value is not None})


def shape_of(pond):
    """The water of a pond record as a shape for the model.

    Raises
    ------
    ValueError
        If workbook 01 has not been done for this pond.
    """
    if not pond.has("water"):
        raise ValueError("This pond has no volume yet. Do workbook 01 first; it takes about an hour.")
    depths, areas = pond.get("water", "level_depth"), pond.get("water", "level_area")
    place = pond.get("site", "elevation")
    levels = (None, None) if depths is None else (np.array([z.m_as("m") for z in depths]),
                                                  np.array([a.m_as("m^2") for a in areas]))
    return daynight.PondShape.si(pond.get("water", "volume").usual.m_as("m^3"),
                                 pond.get("water", "area").usual.m_as("m^2"), *levels,
                                 elevation=0.0 if place is None else place.m_as("m"))


@quantities(depth="m", gives=("m^3", "m^2"))
def water_below(shape, depth):
    """Volume of the water below a depth, and the area of its top: what is left under ice, or when the level drops."""
    tops, bottoms, areas = shape.slabs(200)
    if not 0 <= depth < bottoms[-1]:
        raise ValueError(f"water_below: the pond is {length_text(bottoms[-1])} deep, so "
                         "nothing is left below that.")
    share = np.clip((bottoms - depth) / (bottoms - tops), 0, 1)
    volume = float(np.sum(areas * (bottoms - tops) * share))
    area = shape.area if shape.level_depth is None else float(np.interp(depth, shape.level_depth, shape.level_area))
    return volume, area


def full_oxygen(shape, temperature):
    """Saturation (mg/L) of a pond's water at a temperature (degC) and the pond's height."""
    return float(water.oxygen_saturation.si(temperature, air.pressure_by_elevation.si(shape.elevation)))


def _waste(shape, said):
    """Oxygen (mg/L) that waste of steady feeding asks for in all: low, usual, high; and what is added a day."""
    fed = respiration.feed_load.si(said.feed_per_day)
    growth = oxygen.THETA_PLANKTON ** (said.temperature - 20)
    a_day = Range(*(load / shape.volume * 1e3 for load in fed))
    return Range(*(added / (respiration.LOAD_RATE.usual * growth) for added in a_day)), a_day.usual


def _chlorophyll(said):
    if said.secchi_depth is None:
        return photosynthesis.chlorophyll_by_color(said.color)
    middle = float(photosynthesis.chlorophyll_from_secchi.si(said.secchi_depth))
    return Range(middle / SECCHI_SPREAD, middle, middle * SECCHI_SPREAD)


def conditions_of(shape, said):
    """The usual pond behind the words: ``daynight.Conditions``.

    Parameters
    ----------
    shape : daynight.PondShape
    said : Described
    """
    waste, a_day = _waste(shape, said)
    return daynight.Conditions.si(
        said.temperature, chlorophyll=_chlorophyll(said).usual, secchi_depth=said.secchi_depth,
        mud_20c=respiration.MUD_KINDS[said.mud].usual, fish_mass_per_area=said.fish, wind_speed=said.wind_speed,
        night_wind_speed=said.night_wind_speed, load=waste.usual, load_per_day=a_day, weed_cover=said.weed_cover)


def doubts_of(shape, said):
    """What is still in doubt once the words are known, as Ranges in SI for the drawn ponds.

    Notes
    -----
    As ``oxygenchance.usual_doubts``, with the mud of the named kind, the size of the fish, waste of feed, weeds,
    and the oxygen at dusk (60, 80, 100 % of saturation) unless it was measured.
    """
    doubts = oxygenchance.usual_doubts()
    doubts["chlorophyll"] = _chlorophyll(said)
    doubts["mud_20c"] = respiration.MUD_KINDS[said.mud]
    if said.fish > 0:
        doubts["fish_mass"] = Range(*sorted(oxygen.FISH_SIZES))
        doubts["fish_mass_per_area"] = Range(*(share * said.fish for share in FISH_SPREAD))
    if said.feed_per_day > 0:
        doubts["load"] = _waste(shape, said)[0]
    if said.weed_cover > 0:
        doubts["weed_use_20c"] = respiration.WEED_USE
        doubts["weed_production"] = photosynthesis.WEED_PRODUCTION
    if said.dusk is None:
        full = full_oxygen(shape, said.temperature)
        doubts["dissolved_oxygen"] = Range(*(share * full for share in oxygen.DUSK_SHARE))
    return doubts


def dark_hours(latitude, day):
    """Clock hours, solar time, of sunset and sunrise; latitude in degrees, day of the year."""
    clock = np.arange(0, 24, 1 / 60)
    lit = clock[photosynthesis.light_below_surface.si(latitude, day, clock) > 0]
    if len(lit) in (0, len(clock)):
        raise ValueError(f"On day {day:g} of the year the sun does not rise or does not set at latitude {latitude:g}°. "
                         "Choose a place or a day with both.")
    return float(lit.max()), float(lit.min())


def _settled(shape, conditions, dusk):
    """Oxygen (mg/L) at dusk that comes back a day later: Aitken's rule on the dusks of three days, twice."""
    run = daynight.simulate.si(shape, conditions, 72.0, dusk, step=STEP)
    for _ in range(2):
        first, second, third = np.interp([24.0, 48.0, 72.0], run.hours, run.dissolved_oxygen[:, 0])
        bend = (second - first) - (third - second)
        now = third + (third - second) ** 2 / bend if 0 < (third - second) / (second - first or 1) < 0.95 else third
        run = daynight.simulate.si(shape, conditions, 72.0, dusk, dissolved_oxygen=max(now, 0.0), step=STEP)
    return run.dissolved_oxygen[-1]


def day_and_night(shape, conditions):
    """Who makes and who uses the oxygen, by day and in the dark, once the pond has settled into a run of like days.

    Returns
    -------
    DayAndNight
        kg. Parts: plants, air (through the surface, below 0 where it leaves), plankton, mud, fish, weeds, load.
        They add up to nothing within 0.5 % of what is used; 1.5 % where feed is given, whose waste is a usual store.
    """
    dusk, dawn = dark_hours(conditions.latitude, conditions.day)
    dark = 24 - dusk + dawn
    now, parts = _settled(shape, conditions, dusk), []
    for start, hours in ((dusk, dark), (dawn, 24 - dark)):
        run = daynight.simulate.si(shape, conditions, hours, start, dissolved_oxygen=now, step=STEP)
        now = run.dissolved_oxygen[-1]
        kilos = {name: float(total[0]) * shape.volume * 1e-3 for name, total in run.totals.items()}
        parts.append({"plants": kilos["made"], "air": kilos["exchanged"],
                      **{name: -kilos[name] for name in daynight.PARTS}})
    return DayAndNight(dark, parts[1], parts[0])


def bad_dawn(shape, said, level, runs=RUNS, seed=1):
    """Share of drawn ponds whose lowest oxygen in two nights is below a level (mg/L): ``oxygenchance.dawn_chance``."""
    return oxygenchance.dawn_chance.si(shape, conditions_of(shape, said), doubts_of(shape, said), level, runs, seed,
                                       dissolved_oxygen=said.dusk, step=STEP)


def need_for(each, share):
    """Delivery that saves a share of the drawn ponds, as a Range: for twice, once and half as many left over.

    Parameters
    ----------
    each : array
        As in :class:`DeliveryNeed`.
    share : float
        0.5 to 1.
    """
    left = 1 - share
    return Range(*(float(np.quantile(each, 1 - times * left)) for times in (2, 1, 0.5)))


# doubts whose low end brings the oxygen down (small fish breathe faster for their weight)
BAD_LOW = ("light_saturation", "prompt_use", "exchange_rank", "clear_share", "dissolved_oxygen", "fish_mass",
           "weed_production")


def bad_ends(doubts):
    """Every doubt at the end that brings the oxygen down, as Ranges without width."""
    return {name: Range(*(doubt.low if name in BAD_LOW else doubt.high,) * 3) for name, doubt in doubts.items()}


def delivery_need(shape, said, runs=RUNS, seed=1, step=STEP):
    """Steady delivery that keeps the floor through two nights with a day between them, by two honest ways.

    Parameters
    ----------
    shape : daynight.PondShape
    said : Described
    runs, seed : int, optional
    step : float, optional
        s.

    Returns
    -------
    DeliveryNeed
        kg/s inside the package; see there.

    Raises
    ------
    ValueError
        If the oxygen measured at dusk is below the floor: that pond needs help at once.

    Notes
    -----
    Where it was not measured, dusk is taken at the floor or above: no steady rate mends an evening that begins
    below it. Aeration runs the whole time. The whole pond counts as mixed.
    """
    conditions, doubts = conditions_of(shape, said), doubts_of(shape, said)
    if said.dusk is not None and said.dusk < said.floor:
        raise ValueError(f"the oxygen at dusk, {said.dusk:.3g} mg/L, is below the {said.floor:.3g} mg/L to keep. That "
                         "pond needs help before the night: stop feeding, get a surface aerator or pump going, and "
                         "call your extension office.")
    if said.dusk is None:
        doubts["dissolved_oxygen"] = Range(*(max(dusk, said.floor) for dusk in doubts["dissolved_oxygen"]))
    more = {"dissolved_oxygen": said.dusk, "step": step}
    drawn = oxygenchance.delivery_chance.si(shape, conditions, doubts, said.floor, 0.95, runs, seed, **more)
    stacked = oxygenchance.delivery_chance.si(shape, conditions, bad_ends(doubts), said.floor, 1.0, 10, seed, **more)
    budget = oxygen.required_delivery.si(shape.volume, shape.area, said.fish, np.clip(said.temperature, 15.0, 30.0),
                                         said.night, shape.elevation, said.floor, said.dusk)
    ends = Range(*(float(v) for v in np.quantile(drawn.each, (0.05, 0.5, 0.95))))
    return DeliveryNeed(ends, float(stacked.worst), budget, drawn.each)
