"""How does the pond's oxygen rise by day and fall by night, and how low does it stand at dawn?

One stirred body of water: plants add oxygen in the light, everything alive uses it all day and all night, the surface
trades it with the air. Stepping through a few days shows the curve, its low at dawn, and what a run of dark days, a
bloom that dies, or a bottom layer that comes up does to it. A thousand ponds that differ in what is not known run side
by side: give any number of :class:`Conditions` as an array, one entry a run.

Inside the package oxygen is mg/L (= g/m3), time s, rates of use mg/L a day, wind m/s, light W/m2.

What this leaves out: uneven water (give the top layer alone with :meth:`PondShape.top` when the bottom is cut off),
oxygen that bubbles out far above saturation, growth of algae within the days, and the mud's memory.
"""

import dataclasses
import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air
from ..catalogue import usual
from ..refusals import Caution, Refused
from ..spellings import either
from ..units import DAY, HOUR, not_negative, positive, quantities, record, share
from ..warm_over_cold.layers import volume_above
from . import oxygen, sources

# mg/L at which use falls to half for want of oxygen; from memory, models take 0.1 to 1.4
HALF_USE = 0.2
WARMEST_HOUR = 16.0     # solar time, of the water; common experience
PARTS = ("plankton", "mud", "fish", "weeds", "load")


@record(volume="m^3", area="m^2", level_depth="m", level_area="m^2", bed_area="m^2", elevation="m")
class PondShape:
    """The water that takes part: volume, surface, area by depth.

    volume, area: m3, m2 of surface.
    level_depth, level_area: m below the surface, rising from 0, and m2 of water at each; as the pond record keeps
        them. Without them a box of the mean depth.
    bed_area: m2 of mud under this water, default the surface area.
    elevation: m above sea level.
    """

    volume: float
    area: float
    level_depth: Any = None
    level_area: Any = None
    bed_area: Any = None
    elevation: float = 0.0

    def check(self):
        """Refuse a shape that cannot be."""
        if not (np.all(np.asarray(self.volume) > 0) and np.all(np.asarray(self.area) > 0)):
            raise Refused("volume and area must be more than 0.", by="PondShape")
        if (self.level_depth is None) != (self.level_area is None):
            raise Refused("give both level_depth and level_area, or neither.", by="PondShape")
        if self.level_depth is not None:
            z, a = np.asarray(self.level_depth, float), np.asarray(self.level_area, float)
            if z.ndim != 1 or z.shape != a.shape or len(z) < 2 or z[0] != 0 or np.any(np.diff(z) <= 0):
                raise Refused("level_depth must rise from 0, one level_area for each.", by="PondShape")
            if np.any(np.diff(a) > 0) or a[-1] < 0:
                raise Refused("level_area must not grow with depth, nor be negative.", by="PondShape")

    def water_at(self, temperature):
        """The pond's water (:class:`water.Water`) at a temperature (C)."""
        return air.pond_water(self.elevation, temperature)

    def slabs(self, count=8):
        """Tops, bottoms (m) and mean areas (m2) of slabs that hold the pond's volume."""
        if self.level_depth is None:
            return np.array([0.0]), np.array([self.volume / self.area]), np.array([self.area])
        edges = np.linspace(0, self.level_depth[-1], count + 1)
        held = volume_above(self.level_depth, self.level_area, edges)
        return edges[:-1], edges[1:], np.diff(held) / np.diff(edges) * (self.volume / held[-1])

    def beds(self):
        """Depths (m) and areas (m2) of strips of the mud under this water."""
        total = self.area if self.bed_area is None else self.bed_area
        if self.level_depth is None:
            return np.array([self.volume / self.area]), np.array([total])
        edges = np.linspace(0, self.level_depth[-1], 9)
        strips = -np.diff(np.interp(edges, self.level_depth, self.level_area))
        flat = max(total - strips.sum(), 0.0)               # a level floor, where the shape has one
        return np.append((edges[1:] + edges[:-1]) / 2, edges[-1]), np.append(strips, flat)

    def top(self, depth):
        """The shape above a depth (m): the layer that is mixed in summer, with the mud it touches."""
        tops, bottoms, areas = self.slabs(200)
        if not 0 < depth <= bottoms[-1]:
            raise Refused(f"the depth must be more than 0 and at most {bottoms[-1]:.3g} m.", by="PondShape.top")
        share = np.clip((depth - tops) / (bottoms - tops), 0, 1)
        volume = float(np.sum(areas * (bottoms - tops) * share))
        if self.level_depth is None:
            return PondShape(volume, self.area, None, None, 0.0 if depth < bottoms[-1] else self.bed_area,
                             self.elevation)
        z, a = np.asarray(self.level_depth, float), np.asarray(self.level_area, float)
        cut = float(np.interp(depth, z, a))
        keep = z < depth
        bed = (self.area if self.bed_area is None else self.bed_area) - (cut if depth < z[-1] else 0.0)
        return PondShape(volume, self.area, np.append(z[keep], depth), np.append(a[keep], cut), max(bed, 0.0),
                         self.elevation)


@record(temperature="degC", temperature_swing="delta_degC", chlorophyll="mg/m^3", secchi_depth="m",
        assimilation="1/hour", light_saturation="W/m^2", mud_20c="g/m^2/day", fish_mass_per_area="kg/m^2",
        fish_mass="kg", fish_rate="mg/kg/hour", wind_speed="m/s", night_wind_speed="m/s",
        load="mg/L", load_per_day="mg/L/day", load_rate_20c="1/day", weed_production="g/m^2/hour",
        weed_use_20c="g/m^2/day", latitude="degree")
class Conditions:
    """What the landowner can know or guess of a pond for a few days; each a number or one a run.

    temperature: C, mean of the water, 5 to 35; `temperature_swing` C from coolest to warmest in a day.
    chlorophyll: mg/m3, see ``sources.WATER_COLORS``; `secchi_depth` m, default from chlorophyll.
    assimilation, light_saturation: Of algae, see ``sources.ASSIMILATION``; `prompt_use` the share used at once.
    plankton_scatter, mud_20c: Factor on what algae and small life use; g/m2 a day at 20 C.
    fish_mass_per_area, fish_mass: kg/m2 of live fish, kg of one, catfish-like; `fish_rate` mg/kg/h if they are not.
    wind_speed: m/s at 10 m by day; `night_wind_speed` from sunset to sunrise, default the same.
    exchange_rank: 0 to 1, where in the band of wind formulas: 0 lowest, 0.5 middle, 1 highest.
    load, load_per_day, load_rate_20c: mg/L of oxygen that soft waste will ask for; added; share used a day at 20 C.
    weed_cover: Share of the surface over weed beds, 0 to 1; `weed_production`, `weed_use_20c` there.
    clear_share: Share of clear-sky light day by day, one number or a list, last one repeated.
    latitude, day: For the sun; day of the year.
    """

    temperature: Any
    chlorophyll: Any = 55.0
    secchi_depth: Any = None
    temperature_swing: Any = 2.0
    assimilation: Any = sources.ASSIMILATION.usual
    light_saturation: Any = sources.LIGHT_SATURATION.usual
    prompt_use: Any = sources.PROMPT_USE.usual
    plankton_scatter: Any = sources.PLANKTON_SCATTER.usual
    mud_20c: Any = oxygen.MUD_20C.usual
    fish_mass_per_area: Any = 0.0
    fish_mass: Any = oxygen.FISH_SIZES.usual
    fish_rate: Any = None
    wind_speed: Any = usual("oxygen", "wind_speed")
    night_wind_speed: Any = None
    exchange_rank: Any = 0.5
    load: Any = 0.0
    load_per_day: Any = 0.0
    load_rate_20c: Any = sources.LOAD_RATE.usual
    weed_cover: Any = 0.0
    weed_production: Any = sources.WEED_PRODUCTION.usual
    weed_use_20c: Any = sources.WEED_USE.usual
    clear_share: Any = 1.0
    latitude: Any = sources.LATITUDE
    day: Any = sources.DAY_OF_YEAR

    def check(self):
        """Refuse negative amounts and shares outside 0 to 1."""
        def mine(*names):
            return {name: getattr(self, name) for name in names if getattr(self, name) is not None}
        not_negative("Conditions", **mine("chlorophyll", "mud_20c", "fish_mass_per_area", "wind_speed", "load",
                                          "load_per_day", "load_rate_20c", "assimilation", "plankton_scatter",
                                          "weed_production", "weed_use_20c", "temperature_swing"))
        share("Conditions", **mine("prompt_use", "exchange_rank", "weed_cover", "clear_share"))
        positive("Conditions", **mine("fish_mass", "light_saturation", "secchi_depth"))
        t = np.asarray(self.temperature, float)
        if np.any((t < 0) | (t > 40)):
            raise Refused(f"the water's temperature is {float(np.ravel(t)[0]):.3g} °C; it must be "
                          f"{either('32 to 104 °F', '0 to 40 °C')}. Was Fahrenheit meant? Then write '77 °F'.",
                          by="Conditions")

    def with_values(self, **values):
        """The same with some fields replaced, in SI numbers."""
        return dataclasses.replace(self, **values)


class BloomCrash(NamedTuple):
    """A bloom that dies: hour after the start, share that dies, days until it grows back."""

    hour: float
    share: float = 0.9
    days: float = 7.0       # in a catfish pond it took 7 days (Boyd, Prather and Parks 1975; abstract seen)


class DayNight(NamedTuple):
    """A run: hours after the start, oxygen and saturation (mg/L, hours by runs), and where oxygen went.

    `totals` holds mg/L over the whole run, each one a run: made, exchanged, delivered, and
    used by plankton, mud, fish, weeds and load. `start` is the clock hour of the first row.
    """

    hours: Any
    dissolved_oxygen: Any
    saturation: Any
    totals: dict
    start: float


def _fish_use(t, c):
    """mg/kg/h at each temperature: catfish, doubling for 10 C outside 15 to 30 C, unless a rate is given."""
    if c.fish_rate is not None:
        return np.asarray(c.fish_rate, float)
    return oxygen.fish_use(t, np.clip(c.fish_mass, 0.01, 0.7))


def _forcing(pond, c, clock, runs):
    """Everything that does not depend on oxygen, at each half step: arrays (time, runs)."""
    def wide(value):
        return np.broadcast_to(np.asarray(value, float), (runs,))

    cycle = np.cos(2 * np.pi * (clock - WARMEST_HOUR) / 24)[:, None]
    t = wide(c.temperature) + wide(c.temperature_swing) / 2 * cycle
    saturation = pond.water_at(t).saturation
    share = np.asarray(c.clear_share, float)
    share = share if share.ndim == 2 else share.reshape(-1, 1)
    per_day = share[np.minimum((clock // 24).astype(int), len(share) - 1)]
    if np.ndim(c.latitude) or np.ndim(c.day):
        raise Refused("latitude and day are one number each, the same for all runs.", by="Conditions")
    sun = sources.light_below_surface(c.latitude, c.day, clock % 24, 1.0, pond.elevation)
    lit = np.flatnonzero(sun > 0)
    light = sun[lit, None] * per_day[lit]
    chlorophyll, full = wide(c.chlorophyll), wide(c.light_saturation)
    secchi = sources.secchi_of(chlorophyll, None if c.secchi_depth is None else wide(c.secchi_depth))
    made = np.zeros((2, len(clock), runs))
    tops, bottoms, areas = pond.slabs()
    slabs = tops, bottoms, areas * (bottoms - tops) / pond.volume
    working = sum(part * sources.light_use(light, full, secchi, top, bottom)
                  for top, bottom, part in zip(*slabs, strict=True))
    growth = sources.GROWTH ** (t - 20)
    at_20 = sources.full_speed(chlorophyll, 20.0, wide(c.assimilation)) * (1 - wide(c.prompt_use))
    made[0, lit] = 24 * at_20 * growth[lit] * working
    beds = wide(c.weed_cover) * pond.area / pond.volume
    if np.any(beds > 0):
        made[1, lit] = 24 * beds * wide(c.weed_production) * sources.weed_light_use(light) * growth[lit]
    bed = pond.area if pond.bed_area is None else pond.bed_area
    bare = sources.BED_PRODUCTION * (1 - wide(c.weed_cover)) / pond.volume       # weeds take the light

    def on_bed(light):
        return bare * sum(area * sources.bed_light_use(light, full, secchi, depth)
                          for depth, area in zip(*pond.beds(), strict=True))
    cool = oxygen.THETA_PLANKTON ** (t - 20)
    use = np.zeros((4, len(clock), runs))
    mud = wide(c.mud_20c) * bed / pond.volume
    mean = wide(c.temperature) - 20
    sky = sources.clear_day(c.latitude, c.day, pond.elevation)
    kept = at_20 * sources.GROWTH ** mean * sources.clear_day_hours(sky, full, secchi, slabs)
    kept = kept + beds * sources.weeds_left(sky, mean, wide(c.weed_production), wide(c.weed_use_20c))
    asked = mud * oxygen.THETA_MUD ** mean
    film = on_bed(sky[0]).sum(0) * sky[1] * sources.GROWTH ** mean
    made[1, lit] += 24 * on_bed(light) * growth[lit] * sources.bed_share(kept, asked, film)
    plankton = sources.plankton_use(kept, asked)
    use[0] = wide(c.plankton_scatter) * plankton / sources.GROWTH ** mean * growth
    use[1] = mud * oxygen.THETA_MUD ** (t - 20)
    if np.any(wide(c.fish_mass_per_area) > 0):
        use[2] = wide(c.fish_mass_per_area) * pond.area / pond.volume * _fish_use(t, c) * 24e-3
    use[3] = beds * wide(c.weed_use_20c) * cool
    day = _exchange(wide(c.wind_speed), c, pond, runs)
    night = day if c.night_wind_speed is None else _exchange(wide(c.night_wind_speed), c, pond, runs)
    return saturation, made, use, np.where((sun > 0)[:, None], day, night), cool


def _exchange(wind, c, pond, runs):
    """Share of the shortfall made good by the surface each day, one a run."""
    band = sources.exchange_band(wind, np.broadcast_to(np.asarray(c.temperature, float), runs), pond.area)
    rank = np.asarray(c.exchange_rank, float)
    k = np.where(rank < 0.5, band.low + (band.usual - band.low) * 2 * rank,
                 band.usual + (band.high - band.usual) * (2 * rank - 1))
    return k * DAY * pond.area / pond.volume


def _step_count(hours, step, use, exchange, events):
    """Steps so short that the fastest user cannot run away, at least `step` fine."""
    fastest = (use.sum(0).max() + events) / HALF_USE + exchange.max()
    longest = min(step, 1.5 / max(fastest, 1e-9) * DAY)
    if longest < 10:
        raise Refused("oxygen would be used up within seconds. Check the demand, load and mud.", by="simulate")
    return int(np.ceil(hours * HOUR / longest - 1e-9))


def _run_count(c, delivery, dissolved_oxygen):
    """How many runs stand side by side: the longest of what was given as an array."""
    given = [delivery, dissolved_oxygen]
    given += [getattr(c, f.name) for f in dataclasses.fields(c) if f.name != "clear_share"]
    sizes = [np.size(value) for value in given if value is not None]
    return max(sizes + ([np.shape(c.clear_share)[1]] if np.ndim(c.clear_share) == 2 else []))


@quantities(dissolved_oxygen="mg/L", step="s", delivery="kg/s")
def simulate(pond, conditions, hours=48.0, start=18.0, dissolved_oxygen=None, delivery=0.0, crash=None,
             step=600.0):
    """Oxygen of the pond through a few days and nights.

    conditions (Conditions): Numbers, or arrays of one entry a run.
    hours: Length, more than 0 to 720. Default two days.
    start: Clock hour, solar time, 0 to 24. Default 18, about dusk.
    dissolved_oxygen (float or array): mg/L at the start, mean of the pond; default 80 % of saturation, a guess
        (``oxygen.DUSK_SHARE``).
    delivery (float or array): kg/s of oxygen added steadily by aeration, per run.
    crash (BloomCrash).
    step: s, longest step of the integrator.
    Returns: DayNight: Plain numbers in mg/L, one column a run.
    Raises ValueError: For a length or start out of range, or use so fast that no step is short enough.

    dC/dt = made + K (Cs - C) + delivery/V - used C/(C + 0.2), by the Runge-Kutta rule of fourth order with a
    fixed step. Loads follow dL/dt = added - r L C/(C + 0.2). Each term is summed with the same
    weights, so the balance closes to rounding.
    """
    if not 0 < hours <= 720 or not 0 <= start < 24:
        raise Refused("hours must be more than 0 and at most 720, start 0 to 24.", by="simulate")
    c = conditions
    runs = _run_count(c, delivery, dissolved_oxygen)
    n = int(np.ceil(hours * HOUR / step - 1e-9))
    clock = start + np.linspace(0, hours, 2 * n + 1)
    saturation, made, use, exchange, cool = _forcing(pond, c, clock, runs)
    dead = 0.0 if crash is None else np.max(sources.BLOOM_DEMAND.usual * 1e-3 * np.asarray(c.chlorophyll))
    rush = (np.max(c.load) + dead + 30 * np.max(c.load_per_day)) * np.max(c.load_rate_20c) * 2.2
    needed = _step_count(hours, step, use, exchange, rush)
    if needed > n:
        n = needed
        clock = start + np.linspace(0, hours, 2 * n + 1)
        saturation, made, use, exchange, cool = _forcing(pond, c, clock, runs)
    first = (oxygen.DUSK_SHARE.usual * saturation[0] if dissolved_oxygen is None
             else np.broadcast_to(np.asarray(dissolved_oxygen, float), (runs,)))
    not_negative("simulate", oxygen_at_the_start=first)
    gain = np.asarray(delivery, float) * DAY / pond.volume * 1e3 + np.zeros(runs)
    return _run(first, n, hours, start, saturation, made, use, exchange, cool, gain, c, crash)


def _run(first, n, hours, start, saturation, made, use, exchange, cool, gain, c, crash):
    """March through the steps; see :func:`simulate` for what the arrays are."""
    h, runs = hours / 24 / n, len(first)
    rates, loads, fed = (np.array(np.broadcast_to(each, runs), float)
                         for each in (c.load_rate_20c, c.load, c.load_per_day))
    pools = crash is not None or bool(np.any(loads) or np.any(fed))
    alive, crash_at = np.ones((n, 1, 1)), -1            # share of the bloom that lives, at each step
    if crash is not None:
        crash_at, back_at = (round(hour / hours * n) for hour in (crash.hour, crash.hour + 24 * crash.days))
        alive[max(crash_at, 0):max(back_at, 0)] = 1.0 - crash.share
    held, trade, cool = (_looks(each) for each in (saturation, exchange, cool))
    made = _looks(made[0]) * alive + _looks(made[1])
    use = [_looks(use[0]) * alive, *(_looks(each) for each in use[1:])]
    supply, burn = made + gain, sum(use)
    seen, asked = np.empty((n, 4, runs)), np.zeros((n, 4, runs))    # oxygen, and what loads ask, at each look
    out = np.empty((n + 1, runs))
    out[0] = oxygen_now = np.array(first, float)

    def slope(k, look, o, loads):
        seen[k, look] = o
        limit = o / (o + HALF_USE)
        rate = supply[k, look] + trade[k, look] * (held[k, look] - o) - burn[k, look] * limit
        if not pools:
            return rate, 0.0
        draw = rates * loads * limit * cool[k, look]
        asked[k, look] = draw
        return rate - asked[k, look], fed - draw

    for k in range(n):
        if k == crash_at:
            loads = loads + 1e-3 * sources.BLOOM_DEMAND.usual * crash.share * np.asarray(c.chlorophyll, float)
        a, la = slope(k, 0, oxygen_now, loads)
        b, lb = slope(k, 1, oxygen_now + h / 2 * a, loads + h / 2 * la)
        m, lm = slope(k, 2, oxygen_now + h / 2 * b, loads + h / 2 * lb)
        d, ld = slope(k, 3, oxygen_now + h * m, loads + h * lm)
        oxygen_now = oxygen_now + h / 6 * (a + 2 * (b + m) + d)
        loads = loads + h / 6 * (la + 2 * (lb + lm) + ld)
        out[k + 1] = oxygen_now
    if np.any(out < -1e-9):
        warnings.warn(Caution("oxygen fell below 0 by a slip of the stepping; use a shorter step.",
                              by="simulate"), stacklevel=3)

    def total(rate):
        """Sum over the run, with the weights of the steps."""
        return h / 6 * np.einsum("klr,l->r", rate, (1.0, 2.0, 2.0, 1.0))
    limit = seen / (seen + HALF_USE)
    totals = {"made": total(made), "exchanged": total(trade * (held - seen)), "delivered": gain * hours / 24,
              **dict(zip(PARTS, [*(total(each * limit) for each in use), total(asked)], strict=True))}
    return DayNight(np.linspace(0, hours, n + 1), out, saturation[::2], totals, start)


def _looks(values):
    """Values at half steps, as each step of the Runge-Kutta rule looks at them: start, middle twice, end."""
    return np.stack([values[:-1:2], values[1::2], values[1::2], values[2::2]], axis=1)


def dawn_low(run):
    """Lowest oxygen of each run (DayNight) over all its hours, mg/L."""
    return run.dissolved_oxygen.min(axis=0)
