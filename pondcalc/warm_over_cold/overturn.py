"""What happens if the pond turns over, and how near is it to doing so?

A sudden overturn spreads the oxygen of the top through the whole pond and adds the hunger of the stagnant water, which
holds things that burn oxygen at once. Cold air, cold rain and wind bring it on. The surface sinks when it weighs more
than the water under it, at whatever temperature that is; 39 F has no part in it until the pond is that cold.
"""

import math
import warnings
from typing import Annotated, NamedTuple

import numpy as np

from .. import water
from ..catalogue import usual
from ..how_much_oxygen.fishlimits import FLOOR, KILL, STRESS
from ..refusals import Caution
from ..units import Range, quantities
from . import layers

AIR_DENSITY = 1.2                       # kg/m3, near 20 C at sea level
HEAVIEST = 3.98                         # degC, water at its heaviest (IAPWS-95 3.978, Tanaka 3.983)
STIRRING = Range(0.1, 0.4, 1.25)        # share of rho u*^3 that mixes; from memory, not verified, so wide
COOLING = (50.0, 100.0, 200.0)          # W/m2 lost over days of fall weather: slow, usual, fast; our choice
SHELTER = (0.3, 0.6, 1.0)               # share of the open wind that reaches the pond; our assumption
REDUCED_FLUX = Range(0.25, 0.37, 0.49)  # g oxygen /(m2 d); Mueller and others 2012: 0.37 +- 0.12
FAST_SHARE = Range(0.1, 0.25, 0.5)      # share of that which burns oxygen within a day; our assumption
# low, usual and high demand as shares of the usual one, from the two ranges above
DEMAND_SPREAD = Range(*(f * s / (REDUCED_FLUX.usual * FAST_SHARE.usual)
                        for f, s in zip(REDUCED_FLUX, FAST_SHARE, strict=True)))
STAGNANT = 1.0                          # mg/L; below this the water is called stagnant here
STAGNANT_DAYS = usual("layers", "stagnant", "day")      # without oxygen, where nobody says otherwise
ALL_MIXED = 0.95                        # share of the water; what mixes more than this has turned over
SOON = 5.0                              # days of fast cooling; an overturn within them is called near
# a guessed demand proves nothing, so these words never call the fish safe
NO_DANGER = "fish not shown to be in danger"


class Overturned(NamedTuple):
    """The pond after it has mixed from top to bottom."""

    temperature: Annotated[float, "degC"]
    dissolved_oxygen_before_demand: Annotated[float, "mg/L"]
    dissolved_oxygen: Annotated[Range, "mg/L"]
    stagnant_share: Annotated[float, ""]


class StormResult(NamedTuple):
    """The pond after a storm: how deep it mixed, and what the mixed water is like."""

    mixed_depth: Annotated[Range, "m"]
    mixed_share: Annotated[Range, ""]
    temperature: Annotated[Range, "degC"]
    dissolved_oxygen: Annotated[Range, "mg/L"]


class OverturnRisk(NamedTuple):
    """How near an overturn is and how much harm it would do."""

    margin_temperature: Annotated[float, "delta_degC"]
    days_of_cooling: Annotated[Range, "day"]
    after_storm: Annotated[StormResult, StormResult]
    after_overturn: Annotated[Overturned, Overturned]
    nearness: str
    harm: str


class WinterLayers(NamedTuple):
    """A pond under ice or near it: is the warmest water at the bottom, and what would mixing cost?"""

    kind: str
    stability: Annotated[float, "J/m^2"]
    bottom_temperature: Annotated[float, "degC"]
    mixed_temperature: Annotated[float, "degC"]
    share_above_mixed: Annotated[float, ""]
    mixed_dissolved_oxygen: Annotated[float, "mg/L"]


def _mean(values, volume):
    return float(np.average(values, weights=volume)) if len(volume) else math.nan


def stagnant_top(profile):
    """Depth (m) below which the pond is stagnant: oxygen under 1 mg/L, or else the steepest layer; inf if none."""
    if profile.dissolved_oxygen is not None:
        z = np.linspace(0.0, profile.depth[-1], 1000)
        low = profile.oxygen_at(z) < STAGNANT
        if not low[-1]:
            return math.inf
        return float(z[np.flatnonzero(~low)[-1]]) if not low.all() else 0.0
    layer = layers.steepest_layer(profile)
    return 0.5 * (layer.top + layer.bottom)


@quantities(depth="m", area="m^2", demand="mg/L", stagnant_below="m", gives=Overturned)
def mixed_after_overturn(depth, area, profile, demand=(0.0, 0.0, 0.0), stagnant_below=None):
    """Temperature and oxygen of the pond once it has mixed top to bottom.

    depth, area (arrays of quantity): The pond's shape, from 0 to the deepest point.
    profile (Profile): Readings; oxygen where there is any.
    demand (three quantities): Oxygen that each litre of stagnant water burns as soon as it meets some: low, usual,
        high (mg/L), from :func:`stagnant_demand` or :func:`demand_from_bottle`. Default none.
    stagnant_below (quantity): Depth below which water is stagnant; by default where oxygen falls below 1 mg/L, or the
        steepest layer when oxygen was not read.
    Returns: Overturned: Temperature, oxygen by volume alone, oxygen after the demand (a Range, not below zero), and
        the stagnant share of the volume.

    C = sum(C_i V_i)/sum(V_i), then less demand times the stagnant share. Deep slices are narrow, so the pond's shape
    decides: mixing by depth instead of by volume is wrong by far.
    """
    below = stagnant_top(profile) if stagnant_below is None else stagnant_below
    s = layers.slices(depth, area, profile, (below,))
    share = float(s.volume[s.centre > below].sum() / s.volume.sum())
    oxygen = _mean(s.dissolved_oxygen, s.volume)
    left = [max(0.0, oxygen - d * share) if math.isfinite(oxygen) else math.nan for d in sorted(demand)]
    return Overturned(_mean(s.temperature, s.volume), oxygen, Range(*left[::-1]), share)


@quantities(bed_area="m^2", volume="m^3", days="day", gives="mg/L")
def stagnant_demand(bed_area, volume, days):
    """Oxygen that stagnant water owes after lying over mud without any, as a wide range.

    bed_area (quantity): Area of the mud under the stagnant water; the pond's area at the top of it will do.
    volume (quantity): Volume of the stagnant water.
    days (quantity): Time it has had no oxygen.
    Returns: Range of quantity: mg/L of the stagnant water: low, usual, high.

    demand = flux days area share/volume: the flux is what the mud gives off, counted as the oxygen that will
    burn it, the share what burns within a day; the rest (mostly methane and ammonia) takes days to weeks. The
    flux comes from deep lakes and the share is our own assumption: a bottle test of your water
    (:func:`demand_from_bottle`) is worth more.
    References: B. Mueller, L. D. Bryant, A. Matzinger and A. Wuest, 2012, Hypolimnetic oxygen depletion in eutrophic
        lakes, Environmental Science and Technology (abstract: 0.37 +- 0.12 g O2/(m2 d) of reduced substances from the
        mud, 11 lakes).
    """
    if days < 0 or bed_area <= 0 or volume <= 0:
        raise ValueError(f"Stagnant water needs an area and a volume above zero and days of zero or more; it "
                         f"was given {bed_area:g} m2, {volume:g} m3 and {days:g} days.")
    return Range(*(float(f * days * bed_area / volume * share)
                   for f, share in zip(REDUCED_FLUX, FAST_SHARE, strict=True)))


@quantities(depth="m", area="m^2", days="day", stagnant_below="m", gives="mg/L")
def demand_of_profile(depth, area, profile, days, stagnant_below=None):
    """What a pond's stagnant water owes, from :func:`stagnant_demand` with this pond's own area and volume.

    Parameters are those of :func:`mixed_after_overturn`; `days` is how long the deep water has had no oxygen.

    Returns: Range of quantity: mg/L of the stagnant water: low, usual, high; zero when no water is stagnant.
    """
    below = stagnant_top(profile) if stagnant_below is None else stagnant_below
    if not below < depth[-1]:
        return Range(0.0, 0.0, 0.0)
    s = layers.slices(depth, area, profile, (below,))
    return stagnant_demand(float(np.interp(below, depth, area)), float(s.volume[s.centre > below].sum()), days)


@quantities(top_oxygen="mg/L", bottom_oxygen="mg/L", mixed_oxygen="mg/L", gives="mg/L")
def demand_from_bottle(top_oxygen, bottom_oxygen, mixed_oxygen, bottom_share=0.5):
    """Demand of stagnant water, measured with a bottle.

    Fill a bottle part with bottom water and the rest with top water, no air left in it, turn it over slowly, keep it
    dark and cool, and read the oxygen after an hour.

    top_oxygen, bottom_oxygen, mixed_oxygen (quantity): Oxygen of the two waters, and in the bottle after the wait.
    bottom_share: Share of bottom water, between 0 and 1.
    Returns: quantity: mg/L of bottom water, not below zero.

    demand = (share c_bottom + (1 - share) c_top - c_mixed)/share. If the bottle reads zero the true
    demand is larger: use less bottom water and try again.
    """
    if not 0 < bottom_share < 1:
        raise ValueError(f"The share of bottom water lies between 0 and 1; it was given {bottom_share:g}.")
    if mixed_oxygen <= 0.1:
        warnings.warn(Caution("The bottle ran out of oxygen, so the demand is larger than this. Use a smaller share of "
                              "bottom water."), stacklevel=2)
    return max(0.0, (bottom_share * bottom_oxygen + (1 - bottom_share) * top_oxygen - mixed_oxygen)
               / bottom_share)


@quantities(rain="m", rain_temperature="degC", layer_temperature="degC", thickness="m", gives="delta_degC")
def rain_cooling(rain, rain_temperature, layer_temperature, thickness):
    """How far rain cools the layer it mixes into; negative if the rain is warmer.

    rain, thickness (quantity): Depth of rain on the pond itself; volume of the layer over the pond's area.

    (T_layer - T_rain) rain/(rain + thickness). Runoff from the land can bring several times as much.
    """
    return (layer_temperature - rain_temperature) * rain / (rain + thickness)


def _warm(profile, s):
    """Volume (m3) and mean temperature (degC) of the warm upper layer, at least the topmost slice."""
    warm = s.centre < max(layers.warm_layer(profile), s.centre[0] + 1e-9)
    return s.volume[warm].sum(), _mean(s.temperature[warm], s.volume[warm])


def _cooling_needed(s):
    """Heat (J) to lose before cooling from above has mixed down to each slice."""
    t = np.maximum(np.minimum.accumulate(s.temperature), HEAVIEST)
    warm = np.maximum(s.temperature, HEAVIEST)
    return layers.HEAT_CAPACITY * (np.cumsum(s.volume * warm) - t * np.cumsum(s.volume))


def _mix_top(s, count, heat=0.0):
    """Slices with the top `count` mixed after losing `heat` (J)."""
    v = s.volume[:count]
    t, c = s.temperature.copy(), s.dissolved_oxygen.copy()
    t[:count] = np.average(t[:count], weights=v) - heat / (layers.HEAT_CAPACITY * v.sum())
    c[:count] = np.average(c[:count], weights=v)
    return s._replace(temperature=t, dissolved_oxygen=c, density=water.density(np.maximum(t, 0.0)))


def _cool(s, heat):
    if heat <= 0:
        return s, 1
    count = max(1, int(np.searchsorted(_cooling_needed(s), heat, side="right")))
    return _mix_top(s, count, heat), count


def _stir(s, energy):
    """Slices after `energy` (J) has gone into mixing downward from the surface."""
    v, m = np.cumsum(s.volume), np.cumsum(s.density * s.volume)
    middle = np.cumsum(s.centre * s.volume) / v
    needed = layers.GRAVITY * (np.cumsum(s.centre * s.density * s.volume) - middle * m)
    count = max(1, int(np.searchsorted(np.maximum.accumulate(needed), energy, side="right")))
    return _mix_top(s, count), count


@quantities(depth="m", area="m^2", gives="J/m^2")
def heat_to_overturn(depth, area, profile):
    """Heat (J) each square metre must lose before cooling alone mixes the pond to the bottom; 0 if it is mixed already.

    Sum of rho c (T - T_bottom) V over the pond, divided by its area: cooling from above brings each layer down to the
    temperature below before it reaches it. Nothing colder than 4 C (39 F) is needed.
    """
    s = layers.slices(depth, area, profile)
    return max(0.0, float(_cooling_needed(s)[-1])) / float(np.asarray(area)[0])


def friction_velocity(wind_speed):
    """Speed scale of the water's stirring under a wind 10 m above it: sqrt(stress/1000 kg/m3).

    Stress is air density times drag times wind speed squared; the drag of open water is 0.0010 below 5 m/s
    (11 mph) and 0.0015 above.
    References: B. B. Hicks, 1972 (from memory, not verified). Published values of the drag spread from 0.0008 to
        0.002.
    """
    drag = np.where(np.asarray(wind_speed) < 5.0, 1.0e-3, 1.5e-3)
    return np.sqrt(AIR_DENSITY * drag / 1000.0) * wind_speed


@quantities(depth="m", area="m^2", rain="m", rain_temperature="degC", wind_speed="m/s", duration="s",
            heat_loss="W/m^2", demand="mg/L", gives=StormResult)
def storm(depth, area, profile, rain=0.0, rain_temperature=15.0, wind_speed=0.0, duration=43200.0,
          heat_loss=100.0, demand=(0.0, 0.0, 0.0)):
    """What a storm does: cold rain, loss of heat and wind, in that order.

    depth, area, profile: The pond's shape and its readings.
    rain, rain_temperature (quantity): Depth of rain on the pond.
    wind_speed (quantity): Wind at an open station, 10 m high.
    duration (quantity): How long wind and cooling last, default 12 h.
    heat_loss (quantity): Net loss of heat through the surface, default 100 W/m2.
    demand (three quantities): Demand of stagnant water, as in :func:`mixed_after_overturn`.
    Returns: StormResult: Depth mixed from the top, share of the volume mixed, temperature and oxygen of the mixed
        water, each as a Range from a sheltered pond to an open one.

    Rain and heat loss are spread through the warm layer and mix down as far as the cooled water is heavier than what
    lies under it. Then wind adds the energy m rho u*^3 per area and time, m one of :data:`STIRRING`, for the share of
    the wind that :data:`SHELTER` lets through. The wind's tilting of the layers is not in this.
    """
    surface = float(np.asarray(area)[0])
    below = stagnant_top(profile)
    start = layers.slices(depth, area, profile, (below,))
    volume, warmth = _warm(profile, start)
    thickness = volume / surface
    fall = rain_cooling(rain, rain_temperature, warmth, thickness)
    heat = layers.HEAT_CAPACITY * fall * thickness * surface + heat_loss * duration * surface
    ends = []
    for shade, part, owed in zip(SHELTER, STIRRING, sorted(demand), strict=True):
        u = friction_velocity(shade * wind_speed)
        cooled, count = _cool(start, heat)
        stirred, wind_count = _stir(cooled, part * 1000.0 * u ** 3 * duration * surface)
        count = max(count, wind_count)
        v = start.volume[:count]
        stagnant = v[start.centre[:count] > below].sum()
        oxygen = max(0.0, stirred.dissolved_oxygen[0] - owed * stagnant / v.sum()) \
            if profile.dissolved_oxygen is not None else math.nan
        ends.append((float(start.edges[count]), float(v.sum() / start.volume.sum()),
                     float(stirred.temperature[0]), oxygen))
    return StormResult(*(Range(*sorted(map(float, column))) for column in zip(*ends, strict=True)))


def _near(kind, days, result):
    if kind == "cold over warm":
        return "winter layers"
    if result.mixed_share.usual > ALL_MIXED or days.usual < 1:
        return "at hand"
    if result.mixed_share.high > ALL_MIXED or days.low < SOON:
        return "near"
    return "not near"


def _harmful(overturned):
    low, high = overturned.dissolved_oxygen.low, overturned.dissolved_oxygen.high
    if math.isnan(low):
        return "unknown without oxygen readings"
    if high < KILL:
        return "fish kill likely"
    if low < KILL:
        return "fish kill possible"
    if low < FLOOR:
        return "fish stressed" if low < STRESS else "little margin"
    return f"{NO_DANGER}; do a bottle test" if overturned.stagnant_share > 0 else NO_DANGER


@quantities(depth="m", area="m^2", rain="m", rain_temperature="degC", wind_speed="m/s", duration="s",
            heat_loss="W/m^2", demand="mg/L", gives=OverturnRisk)
def overturn_risk(depth, area, profile, rain=0.0508, rain_temperature=15.0, wind_speed=8.9, duration=43200.0,
                  heat_loss=150.0, demand=(0.0, 0.0, 0.0)):
    """How near the pond is to turning over today, and what that would do to the fish.

    depth, area, profile: The pond's shape and its readings.
    rain, rain_temperature, wind_speed, duration, heat_loss (quantity): The storm to fear; default 2 in of rain at 59
        F, 20 mph for 12 h, losing 150 W/m2.
    demand (three quantities): Demand of stagnant water.
    Returns: OverturnRisk: Margin in temperature (warm layer less deepest water), days of cooling until it is gone, the
        storm's result, the pond after a full overturn, and two verdicts: nearness ("not near"; "near", if the storm
        mixes an open pond or five days of fast cooling would; "at hand", if it mixes the usual pond or one day would;
        "winter layers", see :func:`winter_layers`) and harm.

    The margin in degrees is how far the warm layer must cool to sink to the bottom; below 4 C (39 F) no more cooling
    is needed. Harm is judged against 2, 3 and 4 mg/L.
    References: Texas A&M AquaPlant: below 3 mg/L stresses most warmwater fish, below 2 kills some. Univ. of Kentucky,
        Pond Turnover: cold rain or strong wind triggers.
    """
    s = layers.slices(depth, area, profile)
    margin = max(0.0, _warm(profile, s)[1] - max(float(s.temperature[-1]), HEAVIEST))
    heat = heat_to_overturn(depth, area, profile)
    days = Range(*sorted(heat / (rate * 86400.0) for rate in COOLING))
    after = storm(depth, area, profile, rain, rain_temperature, wind_speed, duration, heat_loss, demand)
    overturned = mixed_after_overturn(depth, area, profile, demand)
    kind = layers.kind_of_layers(profile)
    return OverturnRisk(margin, days, after, overturned, _near(kind, days, after), _harmful(overturned))


@quantities(depth="m", area="m^2", gives=WinterLayers)
def winter_layers(depth, area, profile):
    """Winter layering: cold water over warmer, and what bubbles from the bottom would do to it.

    Returns: WinterLayers: Kind of layers, stability, bottom temperature, temperature when mixed, share of the volume
        that is now warmer than that (the fish's warm refuge), and oxygen when mixed.

    Below 4 C (39 F) colder water is lighter, so a pond under ice is warmest at the bottom, and the layers are weak: 32
    over 39 F is about a seventeenth as stable as 75 over 54 F. Mixing spends that warm refuge, and an open pond can
    then cool toward 32 F all through.
    """
    s = layers.slices(depth, area, profile)
    mixed = _mean(s.temperature, s.volume)
    above = float(s.volume[s.temperature > mixed + 1e-9].sum() / s.volume.sum())
    return WinterLayers(layers.kind_of_layers(profile), layers.stability(depth, area, profile),
                        float(s.temperature[-1]), mixed, above, _mean(s.dissolved_oxygen, s.volume))
