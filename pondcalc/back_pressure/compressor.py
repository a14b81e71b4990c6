"""How much air will this compressor really send down, and how much power does it take?

A compressor gives less air the harder it must push; a pond and its line ask for
more pressure the more air goes through. The two curves cross at one point, and
that is where the system runs. No crossing means no air.

Inside the package pressures are Pa gauge, flow is m3/s of free air (20 C, 1 atm,
dry), power W. The curve belongs to a machine at sea level and 20 C until
:func:`derated` moves it.

What this leaves out: pulsation, wear, inlet filters that clog, and the starting
current of the motor. Compressors run hot; guards, wiring and outlets follow the
label, the local code and a licensed electrician.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air
from ..limits import not_negative
from ..refusals import Caution, Refused
from ..units import Q, Range, quantities, record, show
from .lineflow import Chokes

__all__ = ["CompressorCurve", "OperatingPoint", "CannotReach", "linear_curve", "curve_flow",
           "operating_point", "derated", "adiabatic_power", "wire_power", "TOO_GOOD",
           "WIRE_EFFICIENCY"]

# Adiabatic power over electric power of small machines. From memory, not verified: an open range of
# common practice. Worst for small, lightly loaded motors. A plug-in watt meter beats it.
WIRE_EFFICIENCY = Range(0.15, 0.30, 0.45)
TOO_GOOD = 0.6          # efficiency at the cord past which a reading or a curve is likelier wrong; judgment, no source


class BelowCurve(Caution):
    """The line asks for less pressure than the first point of the curve."""


class CannotReach(Refused):
    """The compressor cannot push air to the diffuser at all."""


@record(pressure_gauge="Pa", flow_free_air="m^3/s")
class CompressorCurve:
    """Points read off a compressor's data sheet, joined by straight lines.

    Parameters
    ----------
    pressure_gauge : array, shape (n,)
        Pa gauge, two or more, each higher than the one before, none below zero.
    flow_free_air : array, shape (n,)
        m3/s of free air at each pressure; never rising.
    name : str, optional
        What to call it.

    Raises
    ------
    ValueError
        If the points do not make a falling curve; says which point.
    """

    pressure_gauge: Any
    flow_free_air: Any
    name: str = ""

    def check(self):
        """Refuse points that do not make a falling curve, and freeze the ones that do."""
        pressure, flow = (np.array(values, float) for values in (self.pressure_gauge, self.flow_free_air))
        if pressure.ndim != 1 or pressure.shape != flow.shape or len(pressure) < 2:
            raise Refused(f"{pressure.size} pressures and {flow.size} flows. Give two or more points, a flow for each "
                          "pressure.", by="CompressorCurve")
        if not (np.isfinite(pressure).all() and np.isfinite(flow).all()):
            raise Refused("a point has no number. Leave that point out.", by="CompressorCurve")
        if pressure[0] < 0 or np.any(flow < 0):
            raise Refused("a pressure or flow is below zero. Read the gauge pressure and the free air flow from the "
                          "data sheet; both are 0 or more.", by="CompressorCurve")
        for i in range(1, len(pressure)):
            if pressure[i] <= pressure[i - 1]:
                raise Refused(f"point {i + 1} is not at a higher pressure than point {i}. List the points from the "
                              "lowest pressure up, each once.", by="CompressorCurve")
            if flow[i] > flow[i - 1]:
                raise Refused(f"point {i + 1} has more flow than point {i}, at a higher pressure. A compressor gives "
                              "less air the harder it pushes; check the two.", by="CompressorCurve")
        if flow[0] == 0:
            raise Refused("no point has any flow. Check the flow column.", by="CompressorCurve")
        for name, values in (("pressure_gauge", pressure), ("flow_free_air", flow)):
            values.setflags(write=False)
            object.__setattr__(self, name, values)


class OperatingPoint(NamedTuple):
    """Where a compressor and a system agree: m3/s of free air and Pa gauge inside the package."""

    flow_free_air: Any
    pressure_gauge: Any


@quantities(flow_free_air_max="m^3/s", pressure_gauge_max="Pa", droop="")
def linear_curve(flow_free_air_max, pressure_gauge_max, droop=1.0, name="generic straight line"):
    """A made-up straight curve, for learning before a data sheet is in hand.

    Parameters
    ----------
    flow_free_air_max : float
        m3/s of free air with nothing in the way.
    pressure_gauge_max : float
        Pa gauge, the highest pressure of the machine.
    droop : float, optional
        Share of the flow lost at the highest pressure, over 0 to 1. Default 1, no flow left, as for a
        linear diaphragm machine; 0.2 to 0.5 for a rocking piston (both from memory, not verified).

    Returns
    -------
    CompressorCurve

    Notes
    -----
    Q = Qmax (1 - droop P/Pmax). No real machine is this straight.
    """
    if not 0 < droop <= 1:
        raise Refused(f"droop is {droop}. It is the share of flow lost at the highest pressure: more than 0, at "
                      "most 1.", by="linear_curve")
    if not (flow_free_air_max > 0 and pressure_gauge_max > 0):
        raise Refused("the largest flow and the highest pressure must both be more than 0.", by="linear_curve")
    flows = [flow_free_air_max, flow_free_air_max * (1 - droop)]
    return CompressorCurve.si([0.0, pressure_gauge_max], flows, name)


@quantities(pressure_gauge="Pa", gives="m^3/s")
def curve_flow(curve, pressure_gauge):
    """Free air a compressor gives at a gauge pressure.

    Parameters
    ----------
    curve : CompressorCurve
    pressure_gauge : float or array
        Pa gauge.

    Returns
    -------
    float or array
        m3/s of free air. Below the first point, the first flow. Past the last point 0 if the curve
        ended at no flow, else not-a-number: the data sheet does not say.
    """
    past = 0.0 if curve.flow_free_air[-1] == 0 else np.nan
    return np.interp(pressure_gauge, curve.pressure_gauge, curve.flow_free_air, right=past)


def _psi(pressure):
    return show(Q(float(pressure), "Pa"), "pressure", both=True)


@quantities(gives=("m^3/s", "Pa"))
def operating_point(curve, system, diffuser=""):
    """Flow and gauge pressure at which a compressor runs on a pond's air line.

    Parameters
    ----------
    curve : CompressorCurve
    system : callable
        Pa gauge needed for a flow in m3/s of free air, plain numbers, never falling;
        :func:`pondcalc.back_pressure.airline.system_curve` makes one.
    diffuser : str, optional
        For which diffuser that is, in words such as "with an aged diffuser", for a refusal.

    Returns
    -------
    OperatingPoint

    Raises
    ------
    CannotReach
        If the curve ends below the pressure needed to move any air, or below what the system
        asks for at the last flow listed.

    Warns
    -----
    UserWarning
        If the system asks for less pressure than the first point of the curve.

    Notes
    -----
    The root of system(flow(P)) - P between the first and last pressure of the curve, by Brent's
    bracketing method; the difference falls all the way, so there is one root at most.
    """
    highest, last = curve.pressure_gauge[-1], curve.flow_free_air[-1]
    static = system(0.0)
    if static >= highest:
        raise CannotReach(f"This compressor cannot reach the diffuser: {_psi(static)} is needed before the "
                          f"first bubble{' ' * bool(diffuser)}{diffuser}, and its curve ends at {_psi(highest)}. "
                          "Choose one rated for more pressure, or set the diffuser shallower.")

    def excess(pressure):
        try:
            return system(curve_flow.si(curve, pressure)) - pressure
        except Chokes:                  # so much air gets through at no pressure a line is worked out for
            return 1e9

    if excess(highest) > 0:
        try:
            asked = f"the line asks for {_psi(system(last))}"
        except Chokes:
            asked = "so much air does not get through the line at any pressure"
        raise CannotReach(f"At the last point of the curve, {show(Q(last, 'm3/s'), 'air flow', both=True)} at "
                          f"{_psi(highest)}, {asked}. Do not run a compressor past its listed points: use a wider "
                          "line, or one rated higher.")
    lowest = curve.pressure_gauge[0]
    if excess(lowest) <= 0:
        pressure = system(curve.flow_free_air[0])
        if pressure < lowest:
            warnings.warn(BelowCurve(f"the system asks for {_psi(pressure)}, below the first point of the curve; the "
                                     "flow there is taken as the flow at the first point.", by="operating_point"),
                          stacklevel=2)
        return OperatingPoint(curve.flow_free_air[0], pressure)
    pressure = brentq(excess, lowest, highest, xtol=1e-6, rtol=1e-13)
    return OperatingPoint(float(curve_flow.si(curve, pressure)), pressure)


@quantities(elevation="m", temperature="degC")
def derated(curve, elevation, temperature=20.0):
    """The curve of the same compressor higher up or in warmer air.

    Parameters
    ----------
    curve : CompressorCurve
        As rated at sea level and 20 C.
    elevation : float
        m above sea level.
    temperature : float, optional
        Temperature of the air the inlet breathes, C: that of the cabinet, not of the weather.

    Returns
    -------
    CompressorCurve

    Notes
    -----
    The machine sweeps the same volume of thinner air, so free air falls with inlet density,
    (P/P0)(293.15/T). The same pressure *ratio* then means less gauge pressure, so each point's
    gauge pressure falls by P/P0. That is the cautious reading, right for the air left in the
    clearance space; a machine limited by its motor alone keeps more. The pond's static head
    does not fall with elevation.
    """
    share = air.pressure_by_elevation.si(elevation) / air.FREE_AIR_PRESSURE
    density = 1 / air.free_air_to_actual.si(1.0, temperature, air.pressure_by_elevation.si(elevation))
    return CompressorCurve.si(curve.pressure_gauge * share, curve.flow_free_air * density, curve.name)


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", elevation="m", temperature="degC", gives="W")
def adiabatic_power(flow_free_air, pressure_gauge, elevation=0.0, temperature=20.0):
    """Least power that compresses this air quickly, with no losses and no cooling.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air, zero or more.
    pressure_gauge : float or array
        Pa gauge at the compressor outlet, zero or more.
    elevation : float or array, optional
        m above sea level. Higher up the same gauge pressure is a larger ratio.
    temperature : float or array, optional
        Inlet air temperature, C.

    Returns
    -------
    float or array
        W.

    Notes
    -----
    The mass flow times :func:`pondcalc.air.adiabatic_work`.

    References
    ----------
    E. Oberg and others, 2020, Machinery's Handbook, 31st ed., p. 2816, Table 35 (agrees within 0.8 %).
    """
    not_negative("adiabatic_power", flow_free_air=flow_free_air, pressure_gauge=pressure_gauge)
    work = air.adiabatic_work.si(pressure_gauge, temperature, air.pressure_by_elevation.si(elevation))
    return air.compression_power.si(flow_free_air, work)


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", elevation="m", temperature="degC", gives="W")
def wire_power(flow_free_air, pressure_gauge, elevation=0.0, temperature=20.0, efficiency=WIRE_EFFICIENCY):
    """Electric power a small compressor is likely to draw, as a range.

    Parameters
    ----------
    flow_free_air, pressure_gauge, elevation, temperature
        As for :func:`adiabatic_power`.
    efficiency : Range, optional
        Adiabatic power over electric power, low, usual and high, each over 0 to 1. Default 15, 30
        and 45 %: from memory, not verified.

    Returns
    -------
    Range
        W; the low power goes with the high efficiency.
    """
    low, usual, high = efficiency
    if not 0 < low <= usual <= high <= 1:
        raise Refused(f"the efficiencies {tuple(efficiency)} must rise from over 0 to at most 1. Write Range(0.15, "
                      "0.3, 0.45).", by="wire_power")
    power = adiabatic_power.si(flow_free_air, pressure_gauge, elevation, temperature)
    return Range(power / high, power / usual, power / low)
