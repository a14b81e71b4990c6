"""How much water does a stream of bubbles lift, and how long does it take to turn a pond over?

Three independent ways of reckoning the same thing, shown as a range on purpose:
the exact solution for a buoyant plume, the integral plume whose bubbles slip
ahead of the water (``pondcalc.bubbles_and_oxygen.bubbleplume``), and a fit to tank measurements.
They disagree by a factor of two or three, and so do careful measurements. What
does not depend on the choice: the lift grows much more slowly than the air.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..air import GRAVITY
from ..refusals import Caution
from ..units import CFM, QuantityError, Range, quantities
from ..water import ATMOSPHERE
from ..wording import either
from .bubbleplume import plume_profile
from .column import uniform_column

__all__ = ["ENTRAINMENT", "PlumePoint", "gas_flow_at_depth", "buoyancy_flux", "classical_plume",
           "tank_fit_flow",
           "LiftEstimates", "lift_estimates", "lifted_water", "turnover_time",
           "plume_spacing"]

# Entrainment coefficient of a bubble plume, top-hat profile: low, usual, high.
ENTRAINMENT = Range(0.055, 0.083, 0.11)


def check_air(flow_free_air, depth, owner):
    """Refuse impossible air flow or depth, in the reader's terms."""
    if not np.all((np.asarray(flow_free_air) >= 0) & (np.asarray(flow_free_air) <= 1)):
        raise QuantityError("free air must be 0 to 1 m3/s (0 to 2,100 cfm) for one diffuser; it was given "
                            f"{np.max(flow_free_air) / CFM:.3g} cfm at most, {np.min(flow_free_air) / CFM:.3g} at "
                            "least.", by=owner)
    if not np.all((np.asarray(depth) > 0) & (np.asarray(depth) <= 100)):
        raise QuantityError(f"the diffuser must be under water, at most {either('330 ft', '100 m')} down; it was given "
                            f"{depth} m.",
                            by=owner)


class PlumePoint(NamedTuple):
    """A plume at one height."""

    flow: Any                   # m3/s of water
    radius: Any                 # m, top-hat
    speed: Any                  # m/s, top-hat


@quantities(flow_free_air="m^3/s", depth="m", temperature="degC", surface_pressure_absolute="Pa",
            gives="m^3/s")
def gas_flow_at_depth(flow_free_air, depth, temperature=20.0, surface_pressure_absolute=ATMOSPHERE):
    """Volume each second that a flow of free air takes up under water, at water temperature.

    Parameters
    ----------
    flow_free_air : float or array, m3/s
        Counted at 20 C, 1 atm, dry.
    depth : float or array, m
    temperature : float, degC
    surface_pressure_absolute : float, Pa

    Notes
    -----
    Water vapor (2 % at the surface) is neglected.
    """
    pressure = surface_pressure_absolute + water.density.si(temperature) * GRAVITY * np.asarray(depth, float)
    return air.free_air_to_actual.si(flow_free_air, temperature, pressure)


@quantities(flow_free_air="m^3/s", depth="m", temperature="degC", surface_pressure_absolute="Pa",
            gives="m^4/s^3")
def buoyancy_flux(flow_free_air, depth, temperature=20.0, surface_pressure_absolute=ATMOSPHERE):
    """Buoyancy flux of the air, averaged over the way from the diffuser to the surface.

    Notes
    -----
    ``B = g Q`` averaged: ``B = p Q ln(1 + rho g h / p) / (rho h)``, which is the power of slow
    (isothermal) expansion over ``rho h``.
    """
    check_air(flow_free_air, depth, "buoyancy_flux")
    head = water.density.si(temperature) * GRAVITY * np.asarray(depth, float)
    at_surface = gas_flow_at_depth.si(flow_free_air, 0.0, temperature, surface_pressure_absolute)
    ratio = head / surface_pressure_absolute
    return GRAVITY * at_surface * np.log1p(ratio) / ratio


@quantities(buoyancy="m^4/s^3", height="m", entrainment="", gives=("m^3/s", "m", "m/s"))
def classical_plume(buoyancy, height, entrainment=0.10):
    """Plume from a point source of steady buoyancy in uniform water, the exact solution.

    Parameters
    ----------
    buoyancy : float or array, m4/s3
    height : float or array, m
        Above the source.
    entrainment : float, optional
        Top-hat coefficient alpha: root two times the Gaussian one.

    Returns
    -------
    PlumePoint

    Notes
    -----
    ``b = 6 alpha z / 5``; ``u = 5/(6 alpha) (9 alpha B / (10 pi))**(1/3) z**(-1/3)``; flow ``pi b^2 u``.
    The bubbles here move with the water; slip is left to ``pondcalc.bubbles_and_oxygen.bubbleplume``.

    References
    ----------
    Morton, B.R., Taylor, G.I. & Turner, J.S. (1956). Turbulent gravitational convection from
    maintained and instantaneous sources. Proc. R. Soc. A 234, 1-23.
    """
    buoyancy, height = np.asarray(buoyancy, float), np.asarray(height, float)
    if not (np.all(buoyancy >= 0) and np.all(height > 0) and 0.01 <= entrainment <= 0.3):
        raise QuantityError("classical_plume needs buoyancy of 0 or more, a height above 0 and an "
                            f"entrainment coefficient of 0.01 to 0.3; it was given {buoyancy}, {height} m "
                            f"and {entrainment}.")
    radius = 6 * entrainment * height / 5
    speed = 5 / (6 * entrainment) * np.cbrt(9 * entrainment * buoyancy / (10 * np.pi)) / np.cbrt(height)
    return PlumePoint((np.pi * radius**2 * speed)[()], radius[()], speed[()])


@quantities(flow_free_air="m^3/s", depth="m", gives="m^3/s")
def tank_fit_flow(flow_free_air, depth):
    """Water lifted to the surface by one orifice, from a fit to tank measurements.

    Parameters
    ----------
    flow_free_air : float or array, m3/s
    depth : float or array, m
        Beyond 15 m a warning is given.

    Notes
    -----
    ``Q = 35.6 C (h + 0.8) sqrt(-V ln(1 - h/(h + 10.3)) / u)`` with ``C = 2 V + 0.05`` and
    ``u = 25 V + 0.7`` (SI). The form and its constants are from memory, not verified: they come
    by way of Lorenzen & Fast (1977), and they only fit one set of units. One estimate among several.

    References
    ----------
    Kobus, H.E. (1968). Analysis of the flow induced by air-bubble systems. Proc. 11th Conf.
    Coastal Engineering 2, 1016-1031.
    Lorenzen, M. & Fast, A. (1977). A guide to aeration/circulation techniques for lake
    management. EPA-600/3-77-004.
    """
    check_air(flow_free_air, depth, "tank_fit_flow")
    flow, depth = np.asarray(flow_free_air, float), np.asarray(depth, float)
    if np.any(depth > 15):
        warnings.warn(Caution(f"The tank fit (Kobus 1968) is stretched beyond {either('50 ft', '15 m')} of depth."),
                      stacklevel=3)
    return (35.6 * (2 * flow + 0.05) * (depth + 0.8)
            * np.sqrt(flow * -np.log1p(-depth / (depth + 10.3)) / (25 * flow + 0.7)))[()]


class LiftEstimates(NamedTuple):
    """Water lifted by one diffuser, reckoned in three ways."""

    exact: Range                # m3/s, exact plume with low, usual and high mixing
    slipping: Range             # m3/s, integral plume whose bubbles slip ahead of the water
    tank_fit: Any               # m3/s, fit to tank tests


@quantities(flow_free_air="m^3/s", depth="m", temperature="degC", surface_pressure_absolute="Pa",
            gives=("m^3/s", "m^3/s", "m^3/s"))
def lift_estimates(flow_free_air, depth, temperature=20.0, surface_pressure_absolute=ATMOSPHERE):
    """Every estimate behind :func:`lifted_water`, for one diffuser.

    Parameters
    ----------
    flow_free_air, depth : float or array
        m3/s and m; they broadcast together.
    temperature : float, degC
    surface_pressure_absolute : float, Pa

    Returns
    -------
    LiftEstimates
    """
    check_air(flow_free_air, depth, "lift_estimates")
    flow, depth = np.asarray(flow_free_air, float), np.asarray(depth, float)
    buoyancy = buoyancy_flux.si(flow, depth, temperature, surface_pressure_absolute)
    column = uniform_column.si(temperature, 0.0, 0.0, surface_pressure_absolute)
    mixing = np.array(ENTRAINMENT).reshape((-1,) + (1,) * len(np.broadcast_shapes(flow.shape, depth.shape)))
    slipping = plume_profile.si(flow, depth, column, entrainment=mixing).flow[-1]
    return LiftEstimates(Range(*(classical_plume.si(buoyancy, depth, alpha).flow for alpha in ENTRAINMENT)),
                         Range(*slipping), tank_fit_flow.si(flow, depth))


@quantities(flow_free_air="m^3/s", depth="m", diffusers="", temperature="degC",
            surface_pressure_absolute="Pa",
            gives="m^3/s")
def lifted_water(flow_free_air, depth, diffusers=1, temperature=20.0, surface_pressure_absolute=ATMOSPHERE):
    """Water brought to the surface by a total flow of air shared among equal diffusers.

    Parameters
    ----------
    flow_free_air : float or array, m3/s
        ALL the air, for all the diffusers together.
    depth : float or array, m
        Depth of the diffusers.
    diffusers : int or array of int, optional
        How many share the air; far enough apart not to draw on each other (:func:`plume_spacing`).
    temperature : float, degC
    surface_pressure_absolute : float, Pa

    Returns
    -------
    Range, m3/s
        The lowest, the middle (geometric mean of the three usual ones) and the highest estimate.

    Notes
    -----
    Uniform water. In layered water the plume may lift less; see ``pondcalc.bubbles_and_oxygen.bubbleplume``.
    """
    diffusers = np.asarray(diffusers, float)
    if not np.all((diffusers >= 1) & (diffusers == np.round(diffusers))):
        raise QuantityError(f"The number of diffusers must be 1, 2, 3 ...; it was given {diffusers}.")
    each = np.asarray(flow_free_air, float) / diffusers
    check_air(each, depth, "lifted_water")
    found = lift_estimates.si(each, depth, temperature, surface_pressure_absolute)
    every = np.array(np.broadcast_arrays(*found.exact, *found.slipping, found.tank_fit))
    usual = np.cbrt(found.exact.usual * found.slipping.usual * found.tank_fit)
    return Range(*((diffusers * value)[()] for value in (every.min(axis=0), usual, every.max(axis=0))))


@quantities(volume="m^3", lifted="m^3/s", gives="s")
def turnover_time(volume, lifted):
    """Time for the lifted water to add up to the volume of the pond.

    Parameters
    ----------
    volume : float or Range, m3
    lifted : float, array or Range, m3/s

    Returns
    -------
    float, array or Range
        A range of two ranges: the least volume over the most water lifted comes first.

    Notes
    -----
    Lifting one pond volume does not mean that every drop has moved: with perfect mixing 63 % of
    the water has been through the plume by then (1 - 1/e).
    """
    if not all(np.all(np.asarray(end) > 0) for given in (volume, lifted)
               for end in (given if isinstance(given, Range) else (given,))):
        raise QuantityError(f"turnover_time needs a volume and a flow above zero; it was given {volume} m3 "
                            f"and {lifted} m3/s.")
    if isinstance(volume, Range):
        return Range(volume.low / lifted.high, volume.usual / lifted.usual, volume.high / lifted.low)
    return volume / lifted


@quantities(depth="m", gives="m")
def plume_spacing(depth):
    """Distance apart at which plumes from one depth still draw on their own water.

    Returns
    -------
    float, m
        One water depth. Common practice, no source; for scale, the exact plume is
        ``2 * 1.2 * 0.11`` = a quarter of the depth wide when it arrives at the surface.
    """
    return 1.0 * depth
