"""What does a running compressor do with its electricity?

Some of it squeezes the air; the rest becomes heat in the motor, the seals and the valves. Nearly all of it
ends as heat, part of which leaves with the hot air. This module takes one operating point and says what the
shaft and the cord deliver, how hot the air leaves, how much heat stays in the cabinet, and whether the
machine is inside the points of its data sheet.

What this leaves out: heat lost through the casing before the air leaves, so real outlets are cooler than
the numbers here. Metal at the outlet can burn skin and soften plastic: keep the first few feet of line
metal or rated hose, and follow the label.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air
from ..refusals import Refused
from ..units import Q, Range, quantities, show
from .compressor import WIRE_EFFICIENCY, BelowCurve, adiabatic_power, derated, operating_point, wire_power

__all__ = ["Running", "shaft_power", "cabinet_heat", "running", "where_on_curve", "MOTOR_EFFICIENCY",
           "INTERNAL_EFFICIENCY"]

# From memory, not verified: open ranges of common practice for fractional-horsepower machines. The best motor is what
# 10 CFR 431.446 asks at least of a new capacitor motor of 1/2 hp, 72.4 to 76.2 % by its speed (reprint seen).
INTERNAL_EFFICIENCY = Range(0.40, 0.55, 0.70)       # adiabatic power over shaft power
MOTOR_EFFICIENCY = Range(0.40, 0.55, 0.76)          # shaft power over electric power


class Running(NamedTuple):
    """One compressor at work on one line.

    Flow is m3/s of free air, pressure Pa gauge, powers W, temperature C inside the package; the three
    Ranges go from the most efficient machine to the least.
    """

    flow_free_air: Any
    pressure_gauge: Any
    adiabatic_power: Any
    wire_power: Any
    discharge_temperature: Any
    cabinet_heat: Any
    words: str


def _check_shares(owner, shares):
    if not all(0 < value <= 1 for value in shares) or tuple(shares) != tuple(sorted(shares)):
        raise Refused(f"the efficiencies {tuple(shares)} must rise from over 0 to at most 1. Write Range(0.4, 0.55, "
                      "0.7).", by=owner)


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", elevation="m", temperature="degC", gives="W")
def shaft_power(flow_free_air, pressure_gauge, elevation=0.0, temperature=20.0,
                efficiency=INTERNAL_EFFICIENCY):
    """Mechanical power at the shaft, or at the driven part of a linear machine, as a range.

    Parameters
    ----------
    flow_free_air, pressure_gauge, elevation, temperature
        As for :func:`pondcalc.back_pressure.compressor.adiabatic_power`.
    efficiency : Range, optional
        Adiabatic power over shaft power; default 40, 55, 70 %: from memory, not verified.

    Returns
    -------
    Range
        W.
    """
    _check_shares("shaft_power", efficiency)
    power = adiabatic_power.si(flow_free_air, pressure_gauge, elevation, temperature)
    return Range(power / efficiency.high, power / efficiency.usual, power / efficiency.low)


@quantities(power="W", flow_free_air="m^3/s", discharge_temperature="degC", temperature="degC", gives="W")
def cabinet_heat(power, flow_free_air, discharge_temperature, temperature):
    """Heat a running compressor leaves behind in its cabinet.

    Parameters
    ----------
    power : float or array
        Electric power, W, zero or more.
    flow_free_air : float or array
        m3/s of free air.
    discharge_temperature : float or array
        C, of the air where its line leaves the cabinet.
    temperature : float or array
        C, of the air it draws in.

    Returns
    -------
    float or array
        W; never below zero. Taking the whole electric power is the cautious choice, right where the hot
        line gives its heat back inside the cabinet.

    Notes
    -----
    Electric power less the mass flow times 1006 J/(kg K) times the rise in temperature.
    """
    carried = air.mass_flow.si(flow_free_air) * air.SPECIFIC_HEAT * np.subtract(discharge_temperature, temperature)
    return np.maximum(power - np.maximum(carried, 0.0), 0.0)


def where_on_curve(curve, pressure_gauge, system="US"):
    """In words, whether an operating point is inside the points of the data sheet, and what lies past them.

    Parameters
    ----------
    curve : CompressorCurve
    pressure_gauge : float
        Pa gauge, a plain number, as :func:`pondcalc.back_pressure.compressor.operating_point.si` gives it.
    system : {"US", "metric"}, optional

    Returns
    -------
    str
    """
    first, last = curve.pressure_gauge[0], curve.pressure_gauge[-1]
    end = show(Q(float(last), "Pa"), "pressure", system)
    if pressure_gauge > last:
        return (f"Past the end of the curve, {end}. The sheet does not say what happens there: the flow "
                "falls, the machine runs hotter, and a relief valve may open or the motor stall. Do not run "
                "it there.")
    if pressure_gauge > last - 0.1 * (last - first):
        return (f"In the last tenth of the curve, which ends at {end}. Little is left for a diffuser that "
                "ages; as it clogs, the flow falls off and the machine heats.")
    if pressure_gauge < first:
        return ("Below the first point of the curve. The flow is about that of the first point; the sheet "
                "does not say more, and the machine is larger than this line needs.")
    spare = show(Q(float(last - pressure_gauge), "Pa"), "pressure", system, digits=2)
    return f"Inside the curve, {spare} below its end."


@quantities(elevation="m", temperature="degC",
            gives=("m^3/s", "Pa", "W", ("W",) * 3, ("degC",) * 3, ("W",) * 3, None))
def running(curve, system_curve, elevation=0.0, temperature=20.0, efficiency=WIRE_EFFICIENCY,
            system="US"):
    """A compressor at work on a pond's line: flow, gauge, watts, heat and words.

    Parameters
    ----------
    curve : CompressorCurve
        As rated at sea level and 20 C; it is moved for elevation and temperature first.
    system_curve : callable
        As :func:`pondcalc.back_pressure.airline.system_curve` makes.
    elevation : float, optional
        m above sea level.
    temperature : float, optional
        Of the air the inlet breathes, C.
    efficiency : Range, optional
        Adiabatic power over electric power; see :func:`pondcalc.back_pressure.compressor.wire_power`.
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    Running

    Raises
    ------
    CannotReach
        As :func:`pondcalc.back_pressure.compressor.operating_point`.
    """
    here = derated.si(curve, elevation, temperature)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", BelowCurve)
        flow, pressure = (float(value) for value in operating_point.si(here, system_curve))
    adiabatic = float(adiabatic_power.si(flow, pressure, elevation, temperature))
    wire = wire_power.si(flow, pressure, elevation, temperature, efficiency)
    inlet = air.pressure_by_elevation.si(elevation)
    out = Range(*(float(air.discharge_temperature.si(pressure, temperature, share, inlet))
                  for share in reversed(INTERNAL_EFFICIENCY)))
    heat = Range(*(float(cabinet_heat.si(watts, flow, hot, temperature))
                   for watts, hot in zip(wire, out, strict=True)))
    return Running(flow, pressure, adiabatic, Range(*map(float, wire)), out, heat,
                   where_on_curve(here, pressure, system))
