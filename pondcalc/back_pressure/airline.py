"""How hard must the compressor push to get the air to the bottom?

Four pressures add up on the way down: the weight of the water over the
diffuser, the wet diffuser itself, friction in the line, and the parts between.
Static head is nearly always the largest. Friction is the one a buyer chooses,
because it falls with almost the fifth power of the inside diameter.

The line itself is the business of :mod:`pondcalc.back_pressure.lineflow`; several diffusers on one
compressor that of :mod:`pondcalc.back_pressure.branches`. Inside the package pressures are Pa, free
air is m3/s at 20 C, 1 atm, dry.

What this leaves out: the weight of the air in the line (about 0.1 kPa at 6 m),
and water lying in a sag, which costs its own depth in head.

Compressed air can burst a pipe. PVC above ground is the known danger (U.S. OSHA,
Hazard Information Bulletin of 13 December 1990); use metal or rated hose there,
and follow the local code and the label on the pipe.
"""

import warnings
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air, water
from ..catalogue import usual
from ..refusals import Refused
from ..units import quantities
from .lineflow import Chokes, Line, pressure_loss

__all__ = ["Line", "PressureBudget", "static_pressure", "pressure_budget", "system_curve", "system_flow"]

# defaults of the budget, explained at pressure_budget: Pa, times, Pa, velocity heads
WET_PRESSURE, AGED, CHECK_VALVE, FITTINGS = usual("line", "wet_pressure"), 2.0, 2000.0, 5.0


# how a diffuser of each age is called
NEW_DIFFUSER, AGED_DIFFUSER = "with a new diffuser", "with an aged diffuser"


class PressureBudget(NamedTuple):
    """The gauge pressures that add up at the compressor (Pa inside the package).

    `working` is what the gauge should read with this diffuser; `total` adds the
    margin and is the pressure to look for when choosing a compressor.
    """

    static: Any
    diffuser: Any
    line: Any
    fittings: Any
    check_valve: Any
    working: Any
    margin: Any
    total: Any


@quantities(depth="m", temperature="degC", gives="Pa")
def static_pressure(depth, temperature=20.0):
    """Gauge pressure of the water standing over the diffuser.

    Parameters
    ----------
    depth : float or array
        m, zero or more: the depth of the *diffuser* below the water surface.
    temperature : float or array, optional
        Water temperature, C, default 20. From 0 to 30 C it changes the answer by 0.4 %.

    Returns
    -------
    float or array
        Pa, gauge.

    Raises
    ------
    ValueError
        If the depth is negative.

    Notes
    -----
    p = rho g h, with g = 9.80665 m/s2.
    """
    if np.any(~(np.asarray(depth, float) >= 0)):
        raise Refused(f"the diffuser depth is {depth} m. Depth counts downward from the water surface, so it must be 0 "
                      "or more.", by="static_pressure")
    return water.density.si(temperature) * air.GRAVITY * depth


def _check_parts(wet_pressure, ageing, check_valve_pressure, loss_coefficient, margin=0.0):
    """Refuse a part of the budget that cannot be."""
    for name, value, least in (("wet_pressure", wet_pressure, 0), ("ageing", ageing, 1),
                               ("check_valve_pressure", check_valve_pressure, 0),
                               ("loss_coefficient", loss_coefficient, 0), ("margin", margin, 0)):
        if np.any(~(np.asarray(value, float) >= least)):
            raise Refused(f"{name} is {value}, but it must be {least} or more. Leave it out to use the default.",
                          by="pressure_budget")


def _over_diffuser(depth, elevation, water_temperature):
    """Pa of the water over the diffuser, and of that and the air above it, absolute."""
    static = static_pressure.si(depth, water_temperature)
    return static, air.pressure_by_elevation.si(elevation) + static


@quantities(depth="m", flow_free_air="m^3/s", wet_pressure="Pa", ageing="", check_valve_pressure="Pa",
            loss_coefficient="", margin="", elevation="m", water_temperature="degC", air_temperature="degC",
            gives=("Pa",) * 8)
def pressure_budget(depth, line, flow_free_air, wet_pressure=WET_PRESSURE, ageing=AGED,
                    check_valve_pressure=CHECK_VALVE, loss_coefficient=FITTINGS, margin=0.15, elevation=0.0,
                    water_temperature=20.0, air_temperature=20.0):
    """Gauge pressure the compressor must hold, item by item.

    Parameters
    ----------
    depth : float or array
        m, of the diffuser below the water surface.
    line : Line or sequence of Line
        The run from compressor to diffuser; a list where the bore changes on the way.
    flow_free_air : float or array
        m3/s of free air.
    wet_pressure : float or array, optional
        Pa, loss of the *new* diffuser when wet and working, beyond the water over it. Default
        2750 Pa (0.4 psi), the middle of 1.5-5 kPa for a membrane: from memory, not verified.
        Use the maker's curve at your flow.
    ageing : float or array, optional
        How many times the wet pressure grows; 1 for new, default 2 for aged: in half of the plants
        evaluated in one survey the loss was twice that of new diffusers (Krampe 2011).
    check_valve_pressure : float or array, optional
        Pa to hold a spring or ball check valve open. Default 2000 Pa (0.3 psi), inside 0.1-0.5 psi:
        common practice, no source. Use the real part's figure; 0 for none.
    loss_coefficient : float or array, optional
        Sum of K of the fittings. Default 5: four elbows, a ball valve and the side way of a tee
        in half-inch pipe make 4 x 0.77 + 0.08 + 1.53 = 4.7 (Crane, K = n f_T; n from memory). They count
        in the bore of the first segment.
    margin : float or array, optional
        Share added to the sum, default 0.15; published advice is 10 to 25 % (Machine Design 2002).
    elevation : float or array, optional
        m above sea level.
    water_temperature, air_temperature : float or array, optional
        C; the air is at `air_temperature` in the line.

    Returns
    -------
    PressureBudget
        Pa, gauge. `working` = static + diffuser + line + fittings + check_valve;
        `total` = working + margin.

    Raises
    ------
    ValueError
        If a pressure, factor or margin is negative, or `ageing` is under 1.

    References
    ----------
    J. Krampe, 2011, Assessment of diffuser pressure loss on WWTPs in Baden-Wurttemberg,
    Water Sci. Technol. 63(12):3027-3033 (abstract seen; author from memory).
    Machine Design, 15 November 2002, Compressors (trade magazine, not a standard).
    """
    _check_parts(wet_pressure, ageing, check_valve_pressure, loss_coefficient, margin)
    static, above = _over_diffuser(depth, elevation, water_temperature)
    wet = wet_pressure * ageing
    friction = pressure_loss.si(line, flow_free_air, above + wet, air_temperature)
    fittings = pressure_loss.si(line, flow_free_air, above + wet, air_temperature, loss_coefficient) - friction
    working = static + wet + friction + fittings + check_valve_pressure
    return PressureBudget(static, wet, friction, fittings, check_valve_pressure, working,
                          margin * working, (1 + margin) * working)


@quantities(depth="m", wet_pressure="Pa", ageing="", check_valve_pressure="Pa", loss_coefficient="",
            elevation="m", water_temperature="degC", air_temperature="degC")
def system_curve(depth, line, wet_pressure=WET_PRESSURE, ageing=AGED, check_valve_pressure=CHECK_VALVE,
                 loss_coefficient=FITTINGS, elevation=0.0, water_temperature=20.0,
                 air_temperature=20.0) -> Callable:
    """What pressure this pond and line ask for, as a function of the air flow.

    The parameters are those of :func:`pressure_budget`, and the answer its `working`: no margin is
    added, since this is what the gauge reads. Hand the result to
    :func:`pondcalc.back_pressure.compressor.operating_point`.

    Returns
    -------
    callable
        Plain numbers in and out: m3/s of free air (float or array) to Pa gauge.
    """
    _check_parts(wet_pressure, ageing, check_valve_pressure, loss_coefficient)
    static, above = _over_diffuser(depth, elevation, water_temperature)     # once: a solver asks for many flows
    wet = wet_pressure * ageing

    def pressure_gauge(flow_free_air):
        lost = pressure_loss.si(line, flow_free_air, above + wet, air_temperature, loss_coefficient)
        return static + wet + lost + check_valve_pressure
    return pressure_gauge


@quantities(pressure_gauge="Pa", most="m^3/s", gives="m^3/s")
def system_flow(system, pressure_gauge, most=1.0):
    """Air that a pond and its line take at a gauge pressure; undoes :func:`system_curve`.

    Parameters
    ----------
    system : callable
        As :func:`system_curve` makes.
    pressure_gauge : float
        Pa gauge at the compressor.
    most : float, optional
        m3/s of free air to look up to. A flow that chokes the line counts as too much.

    Returns
    -------
    float
        m3/s of free air; 0 if the pressure cannot open the way.
    """
    def surplus(flow):
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                return float(system(flow)) - pressure_gauge
        except Chokes:
            return 1e12
    if surplus(0.0) >= 0:
        return 0.0
    return brentq(surplus, 0.0, float(most), xtol=1e-13) if surplus(most) > 0 else float(most)
