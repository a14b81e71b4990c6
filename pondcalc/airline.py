"""How hard must the compressor push to get the air to the bottom?

Four pressures add up on the way down: the weight of the water over the
diffuser, the wet diffuser itself, friction in the line, and the parts between.
Static head is nearly always the largest. Friction is the one a buyer chooses,
because it falls with almost the fifth power of the inside diameter.

Losses are worked out for air that expands as it goes, at one temperature
(isothermal), from the *outlet* back to the compressor, because the outlet
pressure is the one the pond sets. Inside the package pressures are Pa, free air
is m3/s at 20 C, 1 atm, dry.

What this leaves out: the weight of the air in the line (about 0.1 kPa at 6 m),
several branches, and water lying in a sag, which costs its own depth in head.

Compressed air can burst a pipe. PVC above ground is the known danger (U.S. OSHA,
Hazard Information Bulletin of 13 December 1990); use metal or rated hose there,
and follow the local code and the label on the pipe.
"""

import warnings
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from scipy.special import wrightomega

from . import air, water
from .units import Q, quantities, record, show

__all__ = ["Line", "PressureBudget", "static_pressure", "reynolds_number", "friction_factor",
           "inlet_pressure", "pressure_loss", "velocity", "pressure_budget", "system_curve"]

LAMINAR, TURBULENT = 2000.0, 4000.0     # Reynolds numbers between which flow is neither one nor the other
HALF_LN10 = np.log(10.0) / 2
# defaults of the budget, explained at pressure_budget: Pa, times, Pa, velocity heads
WET_PRESSURE, AGED, CHECK_VALVE, FITTINGS = 2750.0, 2.0, 2000.0, 5.0


@record(length="m", inside_diameter="m", roughness="m")
class Line:
    """One straight run of air line: how long, how wide inside, how rough.

    Ask for the *measured* inside diameter. A "3/4 inch" line can be anything from
    0.68 to 0.85 in inside, and the loss between those two differs 2.8 times.

    Parameters
    ----------
    length : float or array
        m, zero or more: the length of the tube, not the depth of the pond.
    inside_diameter : float or array
        m, more than zero.
    roughness : float or array, optional
        m, zero or more; default 1.5e-6 m for drawn tube and smooth plastic (Moody 1944).

    References
    ----------
    L. F. Moody, 1944, Friction factors for pipe flow, Trans. ASME 66:671-684
    (from memory; the library fluids lists 1.52e-6 m for drawn tube and glass).
    """

    length: Any
    inside_diameter: Any
    roughness: Any = 1.5e-6

    def check(self):
        """Refuse a line without a bore, or with a negative length or roughness."""
        for name, allowed in (("length", "0 or more"), ("roughness", "0 or more"),
                              ("inside_diameter", "more than 0")):
            value = np.asarray(getattr(self, name), float)
            bad = ~(value > 0) if name == "inside_diameter" else ~(value >= 0)
            if np.any(bad | ~np.isfinite(value)):
                raise ValueError(f"Line: {name} is {value} m, but it must be {allowed}. "
                                 "Measure the line again, or take the inside size from its data sheet.")
        if np.any(np.asarray(self.roughness) > 0.05 * np.asarray(self.inside_diameter)):
            warnings.warn("Line: roughness is over 5 % of the inside diameter, past the range Moody (1944) "
                          "charted for the Colebrook equation.", stacklevel=3)


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
        raise ValueError(f"static_pressure: the diffuser depth is {depth} m. Depth counts downward from "
                         "the water surface, so it must be 0 or more.")
    return water.density.si(temperature) * air.GRAVITY * depth


def _check_flow(flow_free_air, owner):
    flow = np.asarray(flow_free_air, float)
    if np.any(~(flow >= 0)):
        raise ValueError(f"{owner}: the air flow is {show(Q(float(np.min(flow)), 'm3/s'), 'air flow')}. "
                         "It must be 0 or more; air only goes one way, toward the diffuser.")
    return flow


def _check_absolute(pressure_absolute, owner):
    if np.any(~(np.asarray(pressure_absolute, float) > 0)):
        raise ValueError(f"{owner}: an absolute pressure must be more than 0. Add the air pressure "
                         "(14.7 psi or 101 kPa at sea level) to a gauge reading.")


@quantities(flow_free_air="m^3/s", inside_diameter="m", temperature="degC", gives="")
def reynolds_number(flow_free_air, inside_diameter, temperature=20.0):
    """Reynolds number of air in a round line, which pressure does not change.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air, zero or more.
    inside_diameter : float or array
        m.
    temperature : float or array, optional
        Air temperature in the line, C.

    Returns
    -------
    float or array

    Notes
    -----
    Re = 4 m / (pi D mu), m the mass flow. Density cancels, so pressure does too.
    """
    mass = air.mass_flow.si(_check_flow(flow_free_air, "reynolds_number"))
    return 4 * mass / (np.pi * np.asarray(inside_diameter, float) * air.viscosity.si(temperature))


def _colebrook(reynolds, relative_roughness):
    """Colebrook-White in closed form: exact, no iteration.

    With x = 1/sqrt(f), x = -2 log10(a + b x), a = e/3.7, b = 2.51/Re. Put w = L (x + a/b),
    L = ln(10)/2; then w + ln w = L a/b + ln(L/b), whose answer is the Wright omega function.
    """
    b = 2.51 / reynolds
    shift = HALF_LN10 * relative_roughness / 3.7 / b
    return (HALF_LN10 / (wrightomega(shift + np.log(HALF_LN10 / b)) - shift)) ** 2


@quantities(reynolds_number="", relative_roughness="", gives="")
def friction_factor(reynolds_number, relative_roughness=0.0):
    """Darcy friction factor of a round line, laminar to fully rough.

    Parameters
    ----------
    reynolds_number : float or array
        More than 0. Over 1e8 is past Moody's chart and warns.
    relative_roughness : float or array, optional
        Roughness over inside diameter, 0 to 0.05.

    Returns
    -------
    float or array
        Darcy (not Fanning) friction factor.

    Raises
    ------
    ValueError
        If a Reynolds number is not positive or a roughness is negative.

    Notes
    -----
    Below Re = 2000, f = 64/Re. Above 4000, the full Colebrook-White equation
    1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))). Between, real flow flickers from
    one to the other and no formula is right; f slides from the first to the second
    with weight s = 3 t^2 - 2 t^3, t = (Re - 2000)/2000, so that neither f nor its slope
    jumps. Take it as good to about 20 % there; at pond flows the loss is then tiny.

    References
    ----------
    C. F. Colebrook, 1939, Turbulent flow in pipes, J. Inst. Civil Engineers 11:133-156 (from memory).
    D. Clamond, 2009, Efficient resolution of the Colebrook equation, Ind. Eng. Chem. Res. 48:3665-3671
    (form of the equation).
    """
    reynolds = np.asarray(reynolds_number, float)
    rough = np.asarray(relative_roughness, float)
    if np.any(~(reynolds > 0)) or np.any(~(rough >= 0)):
        raise ValueError(f"friction_factor: Reynolds number {reynolds_number} and relative roughness "
                         f"{relative_roughness} must be over 0 and not below 0. Check the flow and the bore.")
    if np.any(reynolds > 1e8) or np.any(rough > 0.05):
        warnings.warn("friction_factor: outside Re up to 1e8 and relative roughness up to 0.05, the range "
                      "Moody (1944) charted for the Colebrook equation.", stacklevel=2)
    t = np.clip((reynolds - LAMINAR) / (TURBULENT - LAMINAR), 0, 1)
    share = t * t * (3 - 2 * t)
    return (1 - share) * 64 / reynolds + share * _colebrook(np.maximum(reynolds, LAMINAR), rough)


@quantities(flow_free_air="m^3/s", outlet_pressure_absolute="Pa", temperature="degC", loss_coefficient="",
            gives="Pa")
def inlet_pressure(line, flow_free_air, outlet_pressure_absolute, temperature=20.0, loss_coefficient=0.0):
    """Absolute pressure needed at the start of a line to send air out of its far end.

    Parameters
    ----------
    line : Line
    flow_free_air : float or array
        m3/s of free air, zero or more.
    outlet_pressure_absolute : float or array
        Pa, absolute, just inside the far end of the line.
    temperature : float or array, optional
        Air temperature in the line, C. A buried or sunk line is at ground or water temperature.
    loss_coefficient : float or array, optional
        Sum of the K of the fittings, each a number of velocity heads.

    Returns
    -------
    float or array
        Pa, absolute.

    Raises
    ------
    ValueError
        If the flow is negative, a pressure is not positive, or the air would choke:
        no steady isothermal flow that fast exists.

    Warns
    -----
    UserWarning
        If air leaves faster than 0.3 of the isothermal limit, where it cools on the way.

    Notes
    -----
    G^2 R T [f L/D + K + 2 ln(P1/P2)] = P1^2 - P2^2, G the mass flow per area. With
    s = (P1/P2)^2 and c = G^2 R T / P2^2 it reads s - c ln s = 1 + c (f L/D + K). The left
    side rises and bends upward for c < 1, so Newton's steps from s = 1 + c (...) close in
    on the one root. The friction factor needs no iteration: Re does not depend on pressure.

    References
    ----------
    Crane Co., Technical Paper 410, Flow of Fluids (isothermal flow; equation number not seen).
    D. C. Rennels and H. M. Hudson, 2012, Pipe Flow (as cited by the library fluids).
    """
    flow = _check_flow(flow_free_air, "inlet_pressure")
    _check_absolute(outlet_pressure_absolute, "inlet_pressure")
    bore = np.asarray(line.inside_diameter, float)
    flux = air.mass_flow.si(flow) / (np.pi / 4 * bore**2)
    reynolds = np.maximum(reynolds_number.si(flow, bore, temperature), 1e-9)
    resistance = friction_factor.si(reynolds, line.roughness / bore) * line.length / bore + loss_coefficient
    c = (flux / outlet_pressure_absolute) ** 2 * air.R_AIR * (np.asarray(temperature) + water.ZERO_C)
    if np.any(c >= 1):
        raise ValueError(f"inlet_pressure: {show(Q(float(np.max(flow)), 'm3/s'), 'air flow')} of free air "
                         f"cannot get through a {show(Q(float(np.min(bore)), 'm'), 'bore')} bore at this "
                         "outlet pressure: it would have to beat the speed of sound. "
                         "Choose a wider line or less air.")
    if np.any(c > 0.09):
        warnings.warn("inlet_pressure: air leaves the line at over 0.3 of the isothermal speed limit; "
                      "it cools on the way, and the loss is less sure (Crane TP-410).", stacklevel=2)
    target = 1 + c * resistance
    s = target
    for _ in range(60):
        step = (s - c * np.log(s) - target) / (1 - c / s)
        s = s - step
        if np.all(np.abs(step) <= 1e-15 * s):
            break
    return outlet_pressure_absolute * np.sqrt(s)


@quantities(flow_free_air="m^3/s", outlet_pressure_absolute="Pa", temperature="degC", loss_coefficient="",
            gives="Pa")
def pressure_loss(line, flow_free_air, outlet_pressure_absolute, temperature=20.0, loss_coefficient=0.0):
    """Pressure lost along a line; see :func:`inlet_pressure` for the parameters and the equation.

    Returns
    -------
    float or array
        Pa.
    """
    return inlet_pressure.si(line, flow_free_air, outlet_pressure_absolute, temperature,
                             loss_coefficient) - outlet_pressure_absolute


@quantities(flow_free_air="m^3/s", inside_diameter="m", pressure_absolute="Pa", temperature="degC",
            gives="m/s")
def velocity(flow_free_air, inside_diameter, pressure_absolute, temperature=20.0):
    """Speed of the air at a place in the line where the pressure is known.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air, zero or more.
    inside_diameter : float or array
        m.
    pressure_absolute : float or array
        Pa, absolute, at that place.
    temperature : float or array, optional
        Air temperature there, C.

    Returns
    -------
    float or array
        m/s.
    """
    _check_absolute(pressure_absolute, "velocity")
    flow = air.free_air_to_actual.si(_check_flow(flow_free_air, "velocity"), temperature, pressure_absolute)
    return flow / (np.pi / 4 * np.asarray(inside_diameter, float) ** 2)


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
    line : Line
        The run from compressor to diffuser.
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
        in half-inch pipe make 4 x 0.77 + 0.08 + 1.53 = 4.7 (Crane, K = n f_T; n from memory).
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
    for name, value, least in (("wet_pressure", wet_pressure, 0), ("ageing", ageing, 1),
                               ("check_valve_pressure", check_valve_pressure, 0),
                               ("loss_coefficient", loss_coefficient, 0), ("margin", margin, 0)):
        if np.any(~(np.asarray(value, float) >= least)):
            raise ValueError(f"pressure_budget: {name} is {value}, but it must be {least} or more. "
                             "Leave it out to use the default.")
    static = static_pressure.si(depth, water_temperature)
    diffuser = wet_pressure * ageing
    outlet = air.pressure_by_elevation.si(elevation) + static + diffuser
    friction = pressure_loss.si(line, flow_free_air, outlet, air_temperature)
    fittings = pressure_loss.si(line, flow_free_air, outlet, air_temperature, loss_coefficient) - friction
    working = static + diffuser + friction + fittings + check_valve_pressure
    return PressureBudget(static, diffuser, friction, fittings, check_valve_pressure, working,
                          margin * working, (1 + margin) * working)


@quantities(depth="m", wet_pressure="Pa", ageing="", check_valve_pressure="Pa", loss_coefficient="",
            elevation="m", water_temperature="degC", air_temperature="degC")
def system_curve(depth, line, wet_pressure=WET_PRESSURE, ageing=AGED, check_valve_pressure=CHECK_VALVE,
                 loss_coefficient=FITTINGS, elevation=0.0, water_temperature=20.0,
                 air_temperature=20.0) -> Callable:
    """What pressure this pond and line ask for, as a function of the air flow.

    The parameters are those of :func:`pressure_budget`, which does the work; no margin is
    added, since this is what the gauge reads. Hand the result to
    :func:`pondcalc.compressor.operating_point`.

    Returns
    -------
    callable
        Plain numbers in and out: m3/s of free air (float or array) to Pa gauge.
    """
    def pressure_gauge(flow_free_air):
        return pressure_budget.si(
            depth, line, flow_free_air, wet_pressure, ageing, check_valve_pressure, loss_coefficient,
            elevation=elevation, water_temperature=water_temperature, air_temperature=air_temperature).working
    return pressure_gauge
