"""What does a year do to this pond, with and without air, and where can fish be?

A one-dimensional year, hour by hour (or in other steps): the pond is a stack of level layers with its true areas. Sun,
sky and wind act on the top, mud on every layer, plants make oxygen where there is light, everything uses it, ice comes
and goes, and a bubble plume from the bottom can be switched on by date and by hour. It shows how the pieces fit
together; it is not a forecast for one pond.

In summer the top may be too warm and the bottom without oxygen; what is left between is where fish can be. Limits
differ with size, health and how fast things change, so the ones here draw a picture; they do not promise survival.

Left out on purpose: inflow and outflow, a changing water level, rain, weeds, salt, snow that comes and goes, and any
difference from one side of the pond to the other.
"""

from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..bubbles_and_oxygen import plume as bubble_plume
from ..catalogue import usual
from ..how_much_oxygen.fishlimits import KINDS_OF_FISH
from ..how_much_oxygen.sources import FORMULAS
from ..spellings import either
from ..units import QuantityError, length_text, record
from ..warm_over_cold import layers
from ..warm_over_cold.overturn import STAGNANT, friction_velocity
from . import yearsteps


class UsableYear(NamedTuple):
    """A year of habitat: least share of the volume each day, and the days it was squeezed."""

    day: np.ndarray
    share: np.ndarray
    squeezed_days: int


ENOUGH = 0.1        # share of the volume below which the fish count as squeezed; our choice


def usable_year(run, kind="bass and bluegill"):
    """Share of the pond that fish can use, day by day through a modelled year.

    kind: A key of ``fishlimits.KINDS_OF_FISH``.
    Returns: UsableYear: The share at each day's worst hour. Fish that can ride out an hour may do better.
    """
    if kind not in KINDS_OF_FISH:
        raise QuantityError(f"{kind!r} has no limits here. Choose from {', '.join(KINDS_OF_FISH)}.")
    limits = KINDS_OF_FISH[kind]
    good = (run.temperature <= limits.warmest) & (run.dissolved_oxygen >= limits.level)
    share = good @ run.volume / run.volume.sum()
    least = run.by_day(share).min(axis=1)
    day = (run.by_day(run.hour)[:, 0] // 24).astype(int) % 365 + 1
    return UsableYear(day, least, int((least < ENOUGH).sum()))


SUN_AT_TOP = 0.4            # of sunlight gone in the first inches (infrared); from memory, 0.35 to 0.5
ICE_KEEPS = 0.3             # of the light that enters open water, warms thick ice; our choice
BARE, COVERED = 0.5, 0.1    # share of light that passes ice without snow, and under it; our choice
SNOW = 0.25                 # depth of snow over that of the ice; Trout Bog, Wisconsin, 2019 to 2021: 0.27, 0 to 0.6
LAYERED, MIXED = 5.0, 0.5   # J/m2, stability from which a pond counts as layered, and below which as mixed; our choice
LAYERED_DAYS = 3            # it must have been layered in a row before an overturn counts; our choice
MUD_HEAT = 3.0e6            # J/(m2 K), a meter of wet mud; from memory


@record(depth="m", area="m^2", secchi_depth="m", sediment_demand="g/m^2/day", respiration="mg/L/day",
        production="mg/L/hour", half_light="W/m^2", least_mixing="m^2/s", mud_conductance="W/m^2/K")
class PondModel:
    """A pond as the year sees it.

    depth, area (arrays of quantity): The pond's shape, from 0 to the deepest point.
    secchi_depth (quantity): Depth where a white disk is lost to sight, default 1 m (3.3 ft).
    shelter: Share of the open wind that reaches the pond, default 0.6; 0.3 in woods, 1 on the plains.
    stirring: Share of the wind's energy that stirs, default that of :func:`yearsteps.sheltered_energy`.
    sediment_demand (quantity): Oxygen the mud uses at 20 C, default 0.8 g/(m2 day); 0.1 sand to 2 soft muck.
    respiration (quantity): Oxygen that the water's own life uses at 20 C, default 1.5 mg/L a day.
    production (quantity): Most oxygen that its plants make in full light at 20 C, default 0.35 mg/L an hour.
    half_light (quantity): Light scale of plants, default 100 W/m2 of sunlight: tanh(light/scale).
    least_mixing (quantity): Mixing that is always there besides molecules, default 1e-7 m2/s; without ice
        :func:`yearsteps.deep_mixing` stands in its place where that is more.
    mud_conductance (quantity): Heat between water and a meter of mud, default 3 W/(m2 K); the mud holds 3 MJ/(m2 K).
    ice_light: Share of the light entering open water that passes ice of 4 in or more, default 0.35; 0.5 for black
        ice, 0.1 under snow. Our choice. From 0.5 down to 0.1 more snow lies on the ice, up to :data:`SNOW` of its
        thickness, and keeps the cold from it.
    debt_share: Share of the mud's unmet demand that stays in the water as a debt paid at once, default 0.15.
    layers: Number of layers, 4 to 60, default 18.
    """

    depth: Any
    area: Any
    secchi_depth: Any = 1.0
    shelter: float = usual("year", "shelter")
    sediment_demand: Any = 0.8
    respiration: Any = 1.5
    production: Any = 0.35
    half_light: Any = 100.0
    least_mixing: Any = 1.0e-7
    mud_conductance: Any = 3.0
    ice_light: float = 0.35
    debt_share: float = 0.15
    layers: int = 18
    stirring: Any = None

    def check(self):
        """Refuse a pond that cannot be."""
        depth, area = layers.checked_shape(self.depth, self.area)
        object.__setattr__(self, "depth", depth)
        object.__setattr__(self, "area", area)
        if not 4 <= self.layers <= 60:
            raise QuantityError(f"A pond is cut into 4 to 60 layers; it was given {self.layers}.")
        if not 0.5 <= depth[-1] <= 60:
            raise QuantityError(f"The pond is {length_text(depth[-1])} deep; this model is for "
                                f"{either('1.6 to 197 ft', '0.5 to 60 m')}. Check feet against meters.")
        if self.stirring is None:
            object.__setattr__(self, "stirring", yearsteps.sheltered_energy(float(area[0])))
        for name in ("secchi_depth", "shelter", "half_light", "least_mixing"):
            if getattr(self, name) <= 0:
                raise QuantityError(f"{name} must be above zero; it was given {getattr(self, name):g}.")
        for name in ("sediment_demand", "respiration", "production", "mud_conductance", "ice_light", "debt_share",
                     "stirring"):
            if getattr(self, name) < 0:
                raise QuantityError(f"{name} cannot be below zero; it was given {getattr(self, name):g}.")


@record(lifted_flow="m^3/s", oxygen_rate="kg/s", submergence="m", open_water="m^2")
class Aeration:
    """A bottom diffuser and when it runs.

    lifted_flow (quantity): Water its bubbles lift to the surface.
    oxygen_rate (quantity): Oxygen its bubbles give to water that holds none, default 0.
    submergence (quantity): Depth of the diffuser; by default the deepest point.
    first_day, last_day: Days of the year it starts and stops, default 1 and 365; may wrap past New Year.
    start_hour, end_hour: Hours of the day it runs between, default 0 and 24; may wrap past midnight.
    first_hours (tuple of float): Hours a day on the first days, from `start_hour` on; a first-start schedule.
    open_water (quantity): Area it keeps free of ice, default 30 m2.
    plunge: Surface water drawn down with each unit of water lifted, default 1; an assumption, 0.5 to 2.
    diffusers: How many share the lift, default 1; each plume stops under a warm layer by the rule of workbook 03.
    """

    lifted_flow: Any
    oxygen_rate: Any = 0.0
    submergence: Any = None
    first_day: float = 1
    last_day: float = 365
    start_hour: float = 0.0
    end_hour: float = 24.0
    first_hours: tuple = ()
    open_water: Any = 30.0
    plunge: float = 1.0
    diffusers: float = 1

    def check(self):
        """Refuse a diffuser that cannot be."""
        if self.lifted_flow <= 0 or self.oxygen_rate < 0 or self.plunge < 0 or self.open_water < 0:
            raise QuantityError("A diffuser lifts some water; oxygen, plunge and open water are zero or more.")
        if self.diffusers < 1:
            raise QuantityError(f"One diffuser or more share the lift; it was given {self.diffusers:g}.")
        if not (0 <= self.start_hour <= 24 and 0 <= self.end_hour <= 24):
            raise QuantityError("Hours of the day run from 0 to 24.")

    def down_to(self, bottom):
        """Depth of the diffuser (m) in a pond so deep (m)."""
        if self.submergence is None:
            return bottom
        if not 0 < self.submergence <= 1.001 * bottom:
            raise QuantityError(f"The diffuser is {length_text(self.submergence)} down in a pond "
                                f"{length_text(bottom)} deep.")
        return min(self.submergence, bottom)

    def running(self, hour, step=1.0):
        """Share of each step it runs; `hour` is the middle of each, from the start of the year, `step` in hours."""
        day, clock = np.floor(np.asarray(hour) / 24) % 365 + 1, np.asarray(hour) % 24
        first, last = self.first_day, self.last_day
        in_season = (day >= first) & (day <= last) if first <= last else (day >= first) | (day <= last)
        begin, end = self.start_hour, self.end_hour
        within = (clock >= begin) & (clock < end) if begin < end else (clock >= begin) | (clock < end)
        on = (in_season & within).astype(float)
        since = (day - first) % 365
        for n, hours in enumerate(self.first_hours):
            today = in_season & (since == n)
            past = (clock - step / 2 - begin) % 24              # hours since the day's start
            on[today] = np.clip((hours - past[today]) / step, 0.0, 1.0)
        return on


class Budget(NamedTuple):
    """What a pond held at first and at last, what came in less what went out, and the mismatch."""

    start: float
    end: float
    net_in: float
    error: float
    parts: dict


class SeasonRun(NamedTuple):
    """A run: one row an hour (or other step), one column a layer (SI; oxygen in mg/L)."""

    hour: np.ndarray
    faces: np.ndarray
    depth: np.ndarray
    volume: np.ndarray
    temperature: np.ndarray
    dissolved_oxygen: np.ndarray
    owed: np.ndarray
    ice: np.ndarray
    settled: np.ndarray
    running: np.ndarray
    heat: Budget
    oxygen: Budget
    pond: PondModel
    aeration: Any

    def by_day(self, values):
        """Values of each row laid out as (days, rows a day, ...)."""
        rows = round(24 / (self.hour[1] - self.hour[0]))
        days = len(self.hour) // rows
        return values[:days * rows].reshape(days, rows, *values.shape[1:])


class Overturn(NamedTuple):
    """A day of the year on which the pond mixed through after it had been in layers, and its temperature (degC)."""

    day: int
    temperature: float


def _pond(model, aeration):
    """Arrays of one pond for the step loop."""
    n = model.layers
    faces = np.linspace(0.0, model.depth[-1], n + 1)
    volume = np.diff(layers.volume_above(model.depth, model.area, faces))
    if (volume <= 0).any():
        raise QuantityError("The pond's lowest layer holds no water: its area is zero too far up from the "
                            "deepest point. Use fewer layers or check the soundings.")
    area = np.interp(faces, model.depth, model.area)
    spacing = faces[1]
    fade = air.light_fade(model.secchi_depth)
    left = (1 - SUN_AT_TOP) * np.exp(-fade * faces)
    reach = left.copy()
    reach[0] = 1.0
    share = (area[:-1] * reach[:-1] - area[1:] * reach[1:]) / area[0]
    share[-1] += area[-1] * reach[-1] / area[0]
    mud = area[:-1] - area[1:]
    mud[-1] += area[-1]
    mean_light = (left[:-1] - left[1:]) / (fade * spacing)

    def prepare(w):
        wind = model.shelter * w.wind_speed
        vapor, warmth = air.bulk_factors(wind, w.air_temperature, w.air_pressure)
        sun = (1 - air.REFLECTED) * w.sunlight
        return SimpleNamespace(shear=friction_velocity(wind), vapor=vapor, warmth=warmth,
                               plant_light=np.tanh(sun[:, None] * mean_light / model.half_light),
                               gas_speed=gas_speed(wind))
    ones = np.ones(n)
    pond = SimpleNamespace(
        volume=volume, face_area=area[1:-1], spacing=spacing, area=float(area[0]), faces=faces,
        middle=0.5 * (faces[:-1] + faces[1:]),
        sun_share=share, bed_area=mud, bed_conductance=model.mud_conductance * ones, bed_heat=MUD_HEAT * mud,
        least_mixing=model.least_mixing, stirring=model.stirring,
        mud_rate=model.sediment_demand / 86400 * ones,
        water_rate=model.respiration / 86400, plant_rate=model.production / 3600, debt_share=model.debt_share,
        ice_light=model.ice_light, ice_keeps=ICE_KEEPS,
        snow=SNOW * min(1.0, max(0.0, (BARE - model.ice_light) / (BARE - COVERED))), plume=None, prepare=prepare)
    if aeration is not None:
        deep = aeration.down_to(faces[-1])
        drags, limit = _layering(aeration, deep, faces)
        pond.plume = SimpleNamespace(
            flow=float(aeration.lifted_flow), drags=drags, limit=limit,
            tables=[yearsteps.plume_tables(faces, deep, aeration.plunge, top) for top in range(n)],
            on=None, fullest=0.0, oxygen_rate=aeration.oxygen_rate * 1000.0, open_water=aeration.open_water)
    return pond


def _layering(aeration, deep, faces):
    """What a step in lightness at each inner face, lowest first, weighs on the plume, and how much of it stops it."""
    height = np.maximum(deep - faces[-2:0:-1], 0.0)
    each = bubble_plume.air_that_lifts(aeration.lifted_flow / aeration.diffusers, deep)
    buoyancy = air.GRAVITY * bubble_plume.gas_flow_at_depth(each, deep)
    limit = np.full(len(height), np.inf)
    limit[height > 0] = bubble_plume.layering_limit(height[height > 0], buoyancy)
    return height ** (5 / 3) * air.GRAVITY / yearsteps.A4, limit


def gas_speed(wind_speed):
    """Speed (m/s) at which the surface brings oxygen toward saturation, in 20 C water, under a wind (m/s, 10 m high).

    "Cole 1998" of ``sources.FORMULAS`` times (530.5/600)^-0.5: 0.5 m/d in calm air, where other formulas say 0. Small
    sheltered lakes measured 0.35 to 0.74 m/d (Cole and others 2010, abstract).
    """
    fit = FORMULAS["Cole 1998"]
    return fit.speed(np.asarray(wind_speed, float), None)[()] * (530.5 / fit.schmidt) ** -0.5


def _tables(pressure):
    """Saturation, factor on the gas speed and vapor pressure for every hundredth of a degree from 0 C."""
    t = np.arange(0, 60.01, 0.01)
    cool = np.minimum(t, 40.0)
    full = water.oxygen_saturation(cool, pressure)
    factor = (water.schmidt_number_oxygen(cool) / water.schmidt_number_oxygen(20.0)) ** -0.5
    return full.tolist(), factor.tolist(), water.vapor_pressure(t).tolist()


def run_year(ponds, weather_hours, temperature=4.0, dissolved_oxygen=None):
    """Run one or more ponds through the same weather, side by side.

    ponds (list of (PondModel, Aeration or None)): All with the same number of layers.
    temperature (quantity or array): Temperature at the start, one or one a layer, top first; default 4 C.
    dissolved_oxygen (quantity or array): Oxygen at the start; default saturation.
    Returns: list of SeasonRun: Plain SI arrays, temperature in degC and oxygen in mg/L.
    Raises QuantityError: If the ponds differ in the number of layers, or a diffuser lies deeper than its pond.

    The step is that of the weather; heat and oxygen are booked so that each Budget's error is rounding. Run the year
    twice, the second time from where the first ended, to forget the start.
    """
    built = [_pond(model, aeration) for model, aeration in ponds]
    if len({len(p.volume) for p in built}) != 1:
        raise QuantityError("Ponds run side by side need the same number of layers.")
    if dissolved_oxygen is None:
        dissolved_oxygen = water.oxygen_saturation(np.clip(temperature, 0.0, 40.0), weather_hours.air_pressure)
    full, factor, steam = _tables(weather_hours.air_pressure)
    for (model, aeration), pond in zip(ponds, built, strict=True):
        if aeration is not None:
            pond.plume.on = aeration.running(weather_hours.hour, weather_hours.step).tolist()
            deep = aeration.down_to(model.depth[-1])
            pond.plume.fullest = full[2000] * (1 + 0.4 * deep / 10.33)      # saturation at 0.4 depth, 20 C
    column = yearsteps.Column(built, weather_hours, temperature, dissolved_oxygen)
    heat, gas = column.heat(), column.stored()
    (t, c, b), ice, settled = column.run(full, factor, steam)
    heat_end, gas_end = column.heat(), column.stored()
    runs = []
    for s, ((model, aeration), pond) in enumerate(zip(ponds, built, strict=True)):
        parts = {key: float(amount[s]) for key, amount in column.oxygen_in.items()}
        net = sum(parts.values()) - 2 * (parts["used in water"] + parts["used by mud"] + parts["owed"])
        runs.append(SeasonRun(
            weather_hours.hour, pond.faces, 0.5 * (pond.faces[1:] + pond.faces[:-1]), pond.volume, t[:, s],
            c[:, s], b[:, s], ice[:, s], settled[:, s],
            np.zeros(len(weather_hours.hour)) if aeration is None else np.asarray(pond.plume.on),
            Budget(heat[s], heat_end[s], column.heat_in[s], heat_end[s] - heat[s] - column.heat_in[s], {}),
            Budget(gas[s], gas_end[s], net, gas_end[s] - gas[s] - net, parts), model, aeration))
    return runs


def overturn_days(run):
    """Days on which the pond mixed through after it had lain in layers: a list of Overturn."""
    rho = water.density(run.temperature)
    middle = np.average(run.depth, weights=run.volume)
    work = layers.GRAVITY * ((run.depth - middle) * run.volume * rho).sum(axis=1) / run.pond.area[0]
    least, warmth = run.by_day(work).min(axis=1), run.by_day(run.temperature).mean(axis=(1, 2))
    day, found, streak = run.by_day(run.hour)[:, 0] // 24, [], 0
    for d in range(len(least)):
        if least[d] >= MIXED:
            streak += least[d] >= LAYERED
            continue
        if streak >= LAYERED_DAYS:
            found.append(Overturn(int(day[d]) % 365 + 1, float(warmth[d])))
        streak = 0
    return found


def bottom_oxygen_days(run, layer=-1):
    """Days a year on which the lowest layer, or another one, is stagnant at some hour."""
    return int((run.by_day(run.dissolved_oxygen[:, layer]).min(axis=1) < STAGNANT).sum())
