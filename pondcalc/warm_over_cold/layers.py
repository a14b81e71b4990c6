"""Is the pond in layers, and how hard is it to mix?

Water layers by density, not by temperature alone: near 4 C (39 F) a big step in temperature is no step in weight, and
below it the colder water floats. So the steepest layer is found from density, and the work to mix the pond is summed
over its true shape, slice by slice: two arrays, depths from the surface to the deepest point and the area at each,
with straight lines between.
"""

from typing import Annotated, NamedTuple

import numpy as np

from .. import water
from ..air import GRAVITY
from ..units import quantities

HEAT_CAPACITY = 4.18e6          # J/(m3 K), water near 20 C, density times specific heat
READING_ERROR = 0.3             # C (0.5 F), of one reading of a thermometer
SLICES = 400                    # slices a pond is cut into, before the readings' own depths are added


class Slices(NamedTuple):
    """A pond cut into level slices, top first (SI; dissolved_oxygen in mg/L = g/m3)."""

    edges: np.ndarray
    volume: np.ndarray
    centre: np.ndarray
    temperature: np.ndarray
    dissolved_oxygen: np.ndarray
    density: np.ndarray


class SteepestLayer(NamedTuple):
    """Where density rises fastest: its top and bottom, and how fast things change inside it."""

    top: Annotated[float, "m"]
    bottom: Annotated[float, "m"]
    temperature_gradient: Annotated[float, "delta_degC/m"]
    density_gradient: Annotated[float, "kg/m^4"]
    buoyancy_frequency_squared: Annotated[float, "1/s^2"]


def checked_shape(depth, area):
    """Depths and areas as arrays, refused unless they can be those of a pond."""
    depth, area = np.asarray(depth, float), np.asarray(area, float)
    if depth.ndim != 1 or depth.shape != area.shape or len(depth) < 2:
        raise ValueError("The pond's shape needs the same number of depths and areas, at least two of each.")
    if depth[0] != 0 or (np.diff(depth) <= 0).any():
        raise ValueError("Depths of the pond's shape start at 0, the surface, and rise; "
                         f"these start at {depth[0]:g} m.")
    if (area < 0).any() or area[0] <= 0 or (np.diff(area) > 1e-9 * area[0]).any():
        raise ValueError("The area is largest at the surface and never grows with depth.")
    return depth, area


def volume_above(depth, area, level):
    """Water (m3) above one level (m) or many, in a pond of so large areas (m2) at rising depths (m)."""
    at = np.unique(np.concatenate([depth, np.atleast_1d(level)]))
    a = np.interp(at, depth, area)
    return np.interp(level, at, np.concatenate([[0.0], np.cumsum(0.5 * (a[1:] + a[:-1]) * np.diff(at))]))


@quantities(area="m^2", max_depth="m")
def plain_shapes(area, max_depth):
    """Three ponds of the same area and greatest depth: a cone, a bowl and one with straight walls.

    area, max_depth (quantity): Of the water surface; greatest.
    Returns: dict: Name to (depth, area), each an array of 401 numbers (m, m2): mean depth a third, a half and all of
        the greatest. Real ponds lie between the cone and the straight walls.
    """
    if not (area > 0 and max_depth > 0):
        raise ValueError(f"A pond needs an area and a depth above zero; it was given {area:g} m2 and {max_depth:g} m.")
    depth = np.linspace(0.0, max_depth, SLICES + 1)
    shrink = 1 - depth / max_depth
    return {name: (depth, area * shrink ** power) for name, power in (("cone", 2), ("bowl", 1), ("straight walls", 0))}


def slices(depth, area, profile, extra=()):
    """Cut a pond into slices that carry the profile's readings.

    depth, area: The pond's shape: depths (m) from 0 to the deepest point, and the area (m2) at each.
    extra (sequence of float): More depths (m) to cut at.

    Within a slice the area and the readings run in straight lines, so its volume, the depth of its volume centre, and
    its mean temperature (that at the centre) are exact.
    """
    depth, area = checked_shape(depth, area)
    inside = [z for z in (*profile.depth, *extra) if 0 < z < depth[-1]]
    edges = np.unique(np.concatenate([depth, inside, np.linspace(0, depth[-1], SLICES + 1)]))
    a = np.interp(edges, depth, area)
    upper, lower, thick = a[:-1], a[1:], np.diff(edges)
    volume = 0.5 * (upper + lower) * thick
    keep = volume > 0
    upper, lower, thick = upper[keep], lower[keep], thick[keep]
    centre = edges[:-1][keep] + thick * (upper + 2 * lower) / (3 * (upper + lower))
    temperature = profile.temperature_at(centre)
    return Slices(np.append(edges[:-1][keep], edges[1:][keep][-1]), volume[keep], centre, temperature,
                  profile.oxygen_at(centre), water.density(temperature))


@quantities(gives="kg/m^3")
def density_profile(profile):
    """Density of the water at each reading of a Profile, kg/m3, at 1 atm and no salt."""
    return water.density(profile.temperature)


@quantities(gives="1/s^2")
def buoyancy_frequency(profile):
    """Square of the buoyancy frequency between readings: how stiffly the water resists being lifted.

    Returns: array one shorter than the readings of the Profile: N2 = (g/rho) d rho/dz, z downward, 1/s2; negative
        where heavy water lies over light.
    """
    rho = density_profile(profile)
    return GRAVITY * np.diff(rho) / np.diff(profile.depth) / (0.5 * (rho[:-1] + rho[1:]))


@quantities(upper="degC", lower="degC", like="degC")
def resistance_to_mixing(upper, lower, like=(5.0, 4.0)):
    """How many times harder these two waters are to mix than a pair to compare with.

    upper, lower (quantity): Temperature of the upper and the lower water, 0 to 40 degC.
    like (two quantities): Upper and lower temperature to compare with, default 5 over 4 degC (41 over 39.2 F).
    Returns: float or array: Ratio of the two differences in density: negative where the upper water is the heavier
        and sinks.
    """
    step = water.density(like[1]) - water.density(like[0])
    return (water.density(lower) - water.density(upper)) / step


@quantities(gives=SteepestLayer)
def steepest_layer(profile):
    """Layer between two readings where density rises fastest with depth.

    Returns: SteepestLayer: Top and bottom (m), temperature change per metre down (negative in summer), density change
        per metre (kg/m4) and N squared (1/s2).

    Found from density. The steepest fall of temperature alone misleads near 4 C, where 1 C weighs almost nothing, and
    in winter, when the layer that parts the pond is one where it gets warmer.
    """
    rho = density_profile(profile)
    step = np.diff(profile.depth)
    gradient = np.diff(rho) / step
    i = int(np.argmax(gradient))
    return SteepestLayer(profile.depth[i], profile.depth[i + 1], float(np.diff(profile.temperature)[i] / step[i]),
                         float(gradient[i]), float(buoyancy_frequency(profile)[i]))


@quantities(gives="m")
def warm_layer(profile):
    """Depth of the warm upper layer: the top of the first layer that cools by 1 C a metre or more.

    Returns: m; the deepest reading of the Profile when no such layer is found.

    Birge's rule of 1 C per metre (0.55 F per foot). A fall below 4 C makes water lighter, so it does not count: the
    density must rise as well. Use :func:`steepest_layer` in winter.
    References: E. A. Birge's rule as given in encyclopedias under "thermocline".
    """
    step = np.diff(profile.depth)
    rho = density_profile(profile)
    found = (-np.diff(profile.temperature) / step >= 1.0) & (np.diff(rho) > 0)
    return float(profile.depth[:-1][found][0]) if found.any() else float(profile.depth[-1])


def kind_of_layers(profile):
    """Say in one phrase how the pond is layered, allowing for the thermometer's error (:data:`READING_ERROR`).

    Returns: str: ``"warm over cold"``, ``"cold over warm"`` (winter), ``"mixed"`` (no layer the thermometer can be
        sure of) or ``"upside down"`` (the upper water is surely heavier: doubt a reading, or the deep water is salty
        or muddy).
    """
    t = profile.temperature

    def limits(value):
        ends = np.array([value - READING_ERROR, value + READING_ERROR])
        rho = water.density(np.clip(ends, 0, None))
        peak = water.density(3.98) if ends[0] <= 3.98 <= ends[1] else rho.max()
        return rho.min(), peak
    all_limits = np.array([limits(value) for value in t])
    lightest_above = np.minimum.accumulate(all_limits[:, 1])        # the most it may weigh
    heaviest_above = np.maximum.accumulate(all_limits[:, 0])        # the least it may weigh
    if (heaviest_above[:-1] > all_limits[1:, 1]).any():
        return "upside down"
    if not (lightest_above[:-1] < all_limits[1:, 0]).any():
        return "mixed"
    return "warm over cold" if t[0] > t[-1] else "cold over warm"


@quantities(depth="m", area="m^2", gives="J/m^2")
def stability(depth, area, profile):
    """Work needed to mix the pond, per square metre of its surface.

    depth, area (arrays of quantity): Depths of the pond's shape, from 0 to the deepest point, and the area at each.
    Returns: quantity: Stability, J/m2; 0 for a mixed pond.

    S = (g/A0) integral (z - zv) rho A dz, zv the depth of the pond's volume centre. Mixing lowers nothing and lifts
    the heavy deep water to zv, which is what this counts. It is the least work: wind and bubbles waste most of theirs,
    so never turn it into a run time without a measured efficiency.
    References: S. B. Idso, 1973, On the concept of lake stability, Limnology and Oceanography 18:681-683.
    """
    s = slices(depth, area, profile)
    middle = np.sum(s.centre * s.volume) / s.volume.sum()
    return GRAVITY * float(np.sum((s.centre - middle) * s.density * s.volume)) / float(np.asarray(area)[0])


@quantities(density_difference="kg/m^3", upper_thickness="m", lower_thickness="m", gravity="m/s^2", gives="J/m^2")
def two_layer_stability(density_difference, upper_thickness, lower_thickness, gravity=GRAVITY):
    """Stability of two layers in a pond with straight walls, the one case to work by hand.

    density_difference (quantity): Lower less upper density.
    upper_thickness, lower_thickness (quantity), gravity (quantity).
    Returns: quantity: J/m2: mixing lifts the lower layer's extra weight by half the upper layer's thickness.

    S = g drho h1 h2/2. A pond that narrows downward has much less: :func:`stability`.
    """
    return gravity * density_difference * upper_thickness * lower_thickness / 2


@quantities(depth="m", area="m^2", gives="J")
def mixing_energy(depth, area, profile):
    """Least work (J) to mix the whole pond top to bottom, as :func:`stability`. One kilowatt-hour is 3.6 million J."""
    return stability(depth, area, profile) * float(np.asarray(area)[0])
