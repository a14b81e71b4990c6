"""Can this wind mix the pond?

The wind pulls on the water, piles it up at one end and stirs it; the layers' weight pushes
back. Two numbers weigh one against the other: below about 1 the wind wins. Both rest on the
wind over the water, which banks and trees may cut to a third of that at an open station, so
the answer is always a range.
"""

import math
import warnings
from typing import NamedTuple

import numpy as np

from ..refusals import Caution
from ..units import Range, length_text, quantities
from . import layers

__all__ = ["WindTest", "drag_coefficient", "wind_stress", "friction_velocity", "wedderburn_number", "lake_number",
           "wind_test"]


class WindTest(NamedTuple):
    """Wind against layers, for a sheltered and an open pond: below 1 the wind wins."""

    wedderburn: Range
    lake_number: Range
    friction_velocity: Range


@quantities(wind_speed="m/s")
def drag_coefficient(wind_speed):
    """Drag of the wind on open water, a pure number.

    Parameters
    ----------
    wind_speed : quantity
        Wind 10 m above the water.

    Returns
    -------
    float or array
        0.0010 below 5 m/s (11 mph), 0.0015 above.

    References
    ----------
    B. B. Hicks, 1972 (from memory, not verified). Published values spread from 0.0008 to 0.002.
    """
    return np.where(np.asarray(wind_speed, float) < 5.0, 1.0e-3, 1.5e-3)[()]


@quantities(wind_speed="m/s", air_density="kg/m^3", gives="Pa")
def wind_stress(wind_speed, drag=None, air_density=1.2):
    """Pull of the wind on the water, per area.

    Parameters
    ----------
    wind_speed : quantity
        Wind at 10 m, 0 to about 30 m/s.
    drag : float, optional
        Drag coefficient; by default that of :func:`drag_coefficient`.
    air_density : quantity, optional

    Returns
    -------
    quantity
        Stress, Pa: air density times drag times wind speed squared.
    """
    drag = drag_coefficient.si(wind_speed) if drag is None else drag
    return air_density * drag * np.asarray(wind_speed, float)[()] ** 2


@quantities(stress="Pa", gives="m/s")
def friction_velocity(stress):
    """Speed scale of the water's stirring under a wind stress: sqrt(stress/1000 kg/m3)."""
    return np.sqrt(np.asarray(stress, float) / 1000.0)[()]


@quantities(upper_density="kg/m^3", lower_density="kg/m^3", upper_thickness="m", friction_velocity="m/s",
            length="m")
def wedderburn_number(upper_density, lower_density, upper_thickness, friction_velocity, length):
    """Layer's weight against the wind's push along the pond: below about 1, deep water reaches the top.

    Parameters
    ----------
    upper_density, lower_density : quantity
        Densities of the two layers.
    upper_thickness : quantity
        Thickness of the upper layer.
    friction_velocity : quantity
        From :func:`friction_velocity`, above zero.
    length : quantity
        Length of open water along the wind.

    Returns
    -------
    float

    Notes
    -----
    W = g' h^2/(u*^2 L), g' = g (rho2 - rho1)/rho2.

    References
    ----------
    R. O. R. Y. Thompson and J. Imberger, 1980 (from memory, not verified).
    """
    reduced = layers.GRAVITY * (lower_density - upper_density) / lower_density
    return reduced * upper_thickness ** 2 / (friction_velocity ** 2 * length)


@quantities(stability="J/m^2", layer_depth="m", stress="Pa", area="m^2", volume_centre="m")
def lake_number(stability, layer_depth, stress, area, volume_centre):
    """Whole pond's stability against the wind's turning force: below about 1, wind mixes it through.

    Parameters
    ----------
    stability : quantity
        From :func:`pondcalc.warm_over_cold.layers.stability`.
    layer_depth : quantity
        Depth of the steepest layer's middle.
    stress : quantity
        Wind stress, above zero.
    area : quantity
        Area of the water surface.
    volume_centre : quantity
        Depth of the centre of the pond's volume.

    Returns
    -------
    float

    Notes
    -----
    L = S zT/(tau sqrt(A0) zv), with depths from the surface: the published form turned from heights
    above the bottom into depths, and from stability in kg m into J/m2.

    References
    ----------
    J. Imberger and J. C. Patterson, 1990, Physical limnology, Advances in Applied Mechanics
    27:303-475 (equation from memory, not verified).
    """
    return stability * layer_depth / (stress * math.sqrt(area) * volume_centre)


@quantities(depth="m", area="m^2", wind_speed="m/s", length="m", gives=(None, None, "m/s"))
def wind_test(depth, area, profile, wind_speed, length=None, shelter=(0.3, 0.6, 1.0)):
    """Test a wind against the layers of a pond, with the shelter of its banks as a range.

    Parameters
    ----------
    depth, area : arrays of quantity
        The pond's shape.
    profile : Profile
    wind_speed : quantity
        Wind at an open station, 10 m high.
    length : quantity, optional
        Open water along the wind; by default the width of a round pond of the same area.
    shelter : three floats, optional
        Share of that wind that reaches the water: least, usual and most.

    Returns
    -------
    WindTest
        Wedderburn and Lake numbers and friction velocity, each as a Range (low, usual, high).
        Infinite without wind, zero without layers.
    """
    surface = float(np.asarray(area)[0])
    layer = layers.steepest_layer.si(profile)
    middle = 0.5 * (layer.top + layer.bottom)
    s = layers.slices(depth, area, profile, (middle,))
    upper = s.centre < middle
    if upper.all() or not upper.any():
        raise ValueError(f"The steepest layer, at {length_text(middle)}, is below the pond's deepest point. "
                         "Check that the profile and the soundings use the same unit and water level.")
    top = float(np.average(s.density[upper], weights=s.volume[upper]))
    low = float(np.average(s.density[~upper], weights=s.volume[~upper]))
    centre = float(np.average(s.centre, weights=s.volume))
    work = layers.stability.si(depth, area, profile)
    length = 2 * math.sqrt(surface / math.pi) if length is None else length
    winds = wind_speed * np.asarray(shelter, float)
    stress = wind_stress.si(winds)
    u = friction_velocity.si(stress)
    with np.errstate(divide="ignore", invalid="ignore"):
        w = np.nan_to_num(wedderburn_number.si(top, low, middle, u, length), nan=0.0, posinf=math.inf)
        n = np.nan_to_num(lake_number.si(work, middle, stress, surface, centre), nan=0.0, posinf=math.inf)
    if layer.density_gradient <= 0:
        warnings.warn(Caution("No layer in this profile gets heavier with depth; the numbers mean nothing here."),
                      stacklevel=2)
    return WindTest(Range(*map(float, w[::-1])), Range(*map(float, n[::-1])), Range(*map(float, u)))
