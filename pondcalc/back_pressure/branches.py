"""Several diffusers, one compressor: how much air does each get, and how much passes a small hole?

At the manifold all branches feel the same pressure, and each takes the flow that this pressure can push through it. The
shallow diffuser needs the least, so without a throttle it takes most of the air, often all of it: a branch whose own
water, diffuser and check valve ask for more than the manifold has passes none. A valve or a small hole (an orifice) in
the easy branches balances them.

An orifice, a valve barely open and a leak are all small holes. Air speeds up toward one and has no time to trade heat,
so the flow is isentropic; below about half the upstream pressure it reaches the speed of sound, and a lower downstream
pressure brings no more. Inside the package pressures are Pa, free air is m3/s at 20 C, 1 atm, dry.

What this leaves out: pulsation, diffusers that age at different speeds, and valves that drift. A balance holds for one
flow only; check it with a gauge, and again when the diffusers have aged. Of a hole: the speed of the air before it,
which matters once it is wider than a third of the line; and that a jet past a sharp edge can swell sideways, so that
its coefficient rises a little with the drop (3 % at a drop of a twelfth of the pressure, by ISO 5167-2). File a hole to
its last tenth by the gauge.
"""

import dataclasses
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air, water
from ..refusals import Refused
from ..units import ADD_AIR_PRESSURE, not_negative, positive, quantities, record, show
from . import airline
from .compressor import CannotReach

# Sharp-edged hole; 0.97 for a rounded entrance. Printed beside the table "Discharge of Air Through an
# Orifice" (S. A. Moss, 1906, reprinted in many handbooks). Other sources: 0.60 to 0.65 for a sharp edge.
DISCHARGE_COEFFICIENT = 0.65
K = air.HEAT_RATIO


def critical_pressure_ratio():
    """Downstream over upstream pressure at which a hole chokes: (2/(k+1))^(k/(k-1)), 0.528 for air."""
    return (2 / (K + 1)) ** (K / (K - 1))


def _check(owner, **pressures):
    positive(owner, ADD_AIR_PRESSURE, **{f"{name}_pressure": value for name, value in pressures.items()})


def _flux(upstream, downstream, temperature):
    """kg/s through each m2 of a perfect hole."""
    ratio = np.clip(downstream / upstream, critical_pressure_ratio(), 1.0)
    kelvin = np.asarray(temperature, float) + water.ZERO_C
    return upstream * np.sqrt(2 * K / ((K - 1) * air.R_AIR * kelvin)
                              * (ratio ** (2 / K) - ratio ** ((K + 1) / K)))


@quantities(bore="m", upstream_pressure_absolute="Pa", downstream_pressure_absolute="Pa", temperature="degC",
            discharge_coefficient="", gives="m^3/s")
def orifice_flow(bore, upstream_pressure_absolute, downstream_pressure_absolute, temperature=20.0,
                 discharge_coefficient=DISCHARGE_COEFFICIENT):
    """Free air that passes a round hole.

    bore (float or array): m, zero or more.
    upstream_pressure_absolute, downstream_pressure_absolute (float or array): Pa, absolute; the first at least the
        second.
    temperature (float or array): Of the air upstream, C.
    discharge_coefficient (float or array): Real flow over that of a perfect hole, over 0 to 1; default 0.65, a sharp
        edge.
    Returns: float or array: m3/s of free air.
    Raises ValueError: If a pressure is not positive or the upstream one is the lower.

    m = C A P1 sqrt{2k/((k-1) R T) [r^(2/k) - r^((k+1)/k)]}, r = P2/P1 but not below 0.528.
    References: S. A. Moss, 1906 (table "Discharge of Air Through an Orifice", reprinted; agrees within 0.6 %).
    """
    p1, p2 = np.asarray(upstream_pressure_absolute, float), np.asarray(downstream_pressure_absolute, float)
    _check("orifice_flow", upstream=p1, downstream=p2)
    c = np.asarray(discharge_coefficient, float)
    if np.any(~((c > 0) & (c <= 1))):
        raise Refused(f"the discharge coefficient is {discharge_coefficient}, but it is over 0 to 1; 0.65 for a "
                      "sharp-edged hole.", by="orifice_flow")
    if np.any(p1 < p2):
        raise Refused("the upstream pressure is the lower one, so air would flow back. Give the compressor side first.",
                      by="orifice_flow")
    not_negative("orifice_flow", bore=bore)
    area = np.pi / 4 * np.asarray(bore, float) ** 2
    return discharge_coefficient * area * _flux(p1, p2, temperature) / air.FREE_AIR_DENSITY


@quantities(flow_free_air="m^3/s", upstream_pressure_absolute="Pa", downstream_pressure_absolute="Pa",
            gives="m")
def orifice_bore(flow_free_air, upstream_pressure_absolute, downstream_pressure_absolute):
    """Bore of the sharp-edged round hole that passes this much air of 20 C between two pressures.

    flow_free_air (float or array): m3/s of free air, zero or more.
    upstream_pressure_absolute, downstream_pressure_absolute: As for :func:`orifice_flow`; here the first must be the
        greater.
    """
    flow = airline.check_flow(flow_free_air, "orifice_bore")
    p1, p2 = np.asarray(upstream_pressure_absolute, float), np.asarray(downstream_pressure_absolute, float)
    _check("orifice_bore", upstream=p1, downstream=p2)
    if np.any(p1 <= p2):
        raise Refused("the upstream pressure must be more than the downstream one; without a drop no hole, however "
                      "wide, passes air.", by="orifice_bore")
    area = air.mass_flow(flow) / (DISCHARGE_COEFFICIENT * _flux(p1, p2, air.FREE_AIR_TEMPERATURE))
    return np.sqrt(area * 4 / np.pi)


@quantities(flow_free_air="m^3/s", bore="m", downstream_pressure_absolute="Pa", gives="Pa")
def orifice_upstream_pressure(flow_free_air, bore, downstream_pressure_absolute):
    """Pressure that pushes this much air of 20 C through a sharp-edged round hole; undoes :func:`orifice_flow`.

    flow_free_air (float or array): m3/s of free air, zero or more.
    bore (float or array): m, more than zero.
    downstream_pressure_absolute: As for :func:`orifice_flow`.
    Returns: float or array: Pa, absolute, upstream.

    A choked hole passes flow in proportion to upstream pressure. Otherwise, with x = (P1/P2)^((k-1)/k), the
    equation of :func:`orifice_flow` is x^2 - x = (m/(C A P2))^2 R T (k-1)/(2k), a quadratic.
    """
    flow = airline.check_flow(flow_free_air, "orifice_upstream_pressure")
    p2 = np.asarray(downstream_pressure_absolute, float)
    _check("orifice_upstream_pressure", downstream=p2)
    positive("orifice_upstream_pressure", bore=bore)
    flux = air.mass_flow(flow) / (DISCHARGE_COEFFICIENT * np.pi / 4 * np.asarray(bore, float) ** 2)
    when_choked = flux / _flux(1.0, 0.0, air.FREE_AIR_TEMPERATURE)
    kelvin = air.FREE_AIR_TEMPERATURE + water.ZERO_C
    x = (1 + np.sqrt(1 + 2 * (K - 1) / K * air.R_AIR * kelvin * (flux / p2) ** 2)) / 2
    below = p2 * x ** (K / (K - 1))
    return np.where(when_choked * critical_pressure_ratio() >= p2, when_choked, below)[()]


HIGHEST = 1e6       # Pa gauge, past any machine for a pond


@record(depth="m", wet_pressure="Pa", ageing="", check_valve_pressure="Pa", loss_coefficient="", orifice_bore="m")
class Branch:
    """One way from the manifold to one diffuser.

    depth: m, of the diffuser below the water surface, zero or more.
    line (Line or sequence of Line): From the manifold to the diffuser.
    wet_pressure, ageing, check_valve_pressure, loss_coefficient: Pa, times, Pa and velocity heads, as in
        :func:`pondcalc.back_pressure.airline.pressure_budget`.
    orifice_bore: m, bore of a sharp-edged hole at the manifold; none by default.
    name (str).
    """

    depth: Any
    line: Any
    wet_pressure: Any = airline.WET_PRESSURE
    ageing: Any = airline.AGED
    check_valve_pressure: Any = airline.CHECK_VALVE
    loss_coefficient: Any = airline.FITTINGS
    orifice_bore: Any = None
    name: str = ""

    def check(self):
        """Refuse what no branch can be."""
        airline.segments(self.line)
        for name, least in (("depth", 0), ("wet_pressure", 0), ("ageing", 1), ("check_valve_pressure", 0),
                            ("loss_coefficient", 0)):
            if not getattr(self, name) >= least:
                raise Refused(f"{name} is {getattr(self, name)}, but it must be {least} or more.", by="Branch")
        if self.orifice_bore is not None and not self.orifice_bore > 0:
            raise Refused("the orifice bore must be more than 0; leave it out for none.", by="Branch")


class BranchFlows(NamedTuple):
    """Flow of each branch (m3/s of free air, one a branch) and Pa gauge at the manifold."""

    flow_free_air: Annotated[Any, "m^3/s"]
    manifold_pressure_gauge: Annotated[Any, "Pa"]


class Balance(NamedTuple):
    """What balances the branches: Pa gauge at the manifold, Pa to throttle in each branch, m of orifice bore.

    The bore is not-a-number in the branch that needs none.
    """

    manifold_pressure_gauge: Annotated[Any, "Pa"]
    throttle: Annotated[Any, "Pa"]
    orifice_bore: Annotated[Any, "m"]


def _opening_pressure(branch):
    """Pa gauge at the far end of the line, and Pa that must be there before any air moves."""
    end = airline.static_pressure(branch.depth) + branch.wet_pressure * branch.ageing
    return end, end + branch.check_valve_pressure


@quantities(flow_free_air="m^3/s", elevation="m", gives="Pa")
def branch_pressure(branch, flow_free_air, elevation=0.0):
    """Gauge pressure at the manifold that pushes a flow through one branch.

    branch (Branch).
    flow_free_air (float or array): m3/s of free air, zero or more.
    elevation: m above sea level.
    Returns: float or array: Pa gauge, with water and air at 20 C. At no flow it is the pressure that opens the branch.
    Raises ValueError: If the flow would choke the line.
    """
    outlet = air.pressure_by_elevation(elevation) + _opening_pressure(branch)[0]
    airline.inlet_pressure(branch.line, flow_free_air, outlet, loss_coefficient=branch.loss_coefficient)
    return _needs(branch, flow_free_air, elevation)


def _needs(branch, flow_free_air, elevation):
    """Pa gauge at the manifold, without refusal or warning where a line is near choking or past it."""
    outside = air.pressure_by_elevation(elevation)
    end, opens = _opening_pressure(branch)
    inlet = airline.push_needed(branch.line, flow_free_air, outside + end, loss_coefficient=branch.loss_coefficient)
    gauge = inlet - outside - end + opens
    if branch.orifice_bore is not None:
        gauge = orifice_upstream_pressure(flow_free_air, branch.orifice_bore, gauge + outside) - outside
    return gauge


def branch_flow(branch, manifold_pressure_gauge, elevation=0.0):
    """Air that one branch takes at a manifold pressure; undoes :func:`branch_pressure`.

    branch (Branch), manifold_pressure_gauge (Pa gauge), elevation (m).
    Returns: float: m3/s of free air; 0 where the pressure does not open the branch. A line that chokes passes its
        limit.
    """
    outside = air.pressure_by_elevation(elevation)
    end, opens = _opening_pressure(branch)
    if manifold_pressure_gauge <= opens:
        return 0.0
    inlet = manifold_pressure_gauge - (opens - end) + outside
    most = float(airline.flow_through(branch.line, inlet, end + outside,
                                      loss_coefficient=branch.loss_coefficient).flow_free_air)
    if branch.orifice_bore is None:
        return most
    return brentq(lambda flow: float(_needs(branch, flow, elevation)) - manifold_pressure_gauge, 0.0, most,
                  xtol=1e-13, rtol=1e-11)


def _manifold(branches, flow, elevation):
    if not branches:
        raise Refused("there is no branch. Give a list of one or more.", by="solve_branches")

    def surplus(pressure):
        return sum(branch_flow(b, pressure, elevation) for b in branches) - flow
    low = min(_opening_pressure(branch)[1] for branch in branches)
    if flow == 0:
        return low
    # any branch that alone takes the whole flow gives an upper bound
    high = min(float(_needs(branch, flow, elevation)) for branch in branches) * (1 + 1e-9)
    if high > HIGHEST:
        high = HIGHEST
        if low >= high or surplus(high) < 0:
            raise CannotReach(
                f"{show(flow, 'air flow')} of free air does not fit through the branches at any pressure up "
                f"to {show(HIGHEST, 'pressure')}. Use wider lines, more branches or less air.",
                by="solve_branches")
    pressure, report = brentq(surplus, low, high, xtol=1e-4, rtol=1e-13, full_output=True, disp=False)
    if not report.converged:
        raise Refused(f"no answer found after {report.iterations} steps ({report.flag}). Check for a line of almost no "
                      "bore or an orifice like a pinhole.", by="solve_branches")
    return pressure


@quantities(flow_free_air="m^3/s", elevation="m", gives=BranchFlows)
def solve_branches(branches, flow_free_air, elevation=0.0):
    """Share of a given total flow that each branch takes, and the pressure that does it.

    branches (sequence of Branch).
    flow_free_air: m3/s of free air in all, zero or more.
    elevation: m above sea level.
    Returns: BranchFlows. A line from compressor to manifold takes its own pressure besides.
    Raises CannotReach: If the flow fits through at no pressure. ValueError: If there is no branch, or no answer was
        found.

    Each branch's flow rises with manifold pressure, so their sum does; the one pressure at which it
    equals the total lies between the lowest opening pressure and the lowest at which some branch alone
    takes it all. Brent's bracketing method needs no starting guess.
    """
    flow = float(flow_free_air)
    if not flow >= 0:
        raise Refused("the total flow must be 0 or more.", by="solve_branches")
    manifold = _manifold(branches, flow, elevation)
    return BranchFlows(np.array([branch_flow(branch, manifold, elevation) for branch in branches]), manifold)


@quantities(wanted_flow="m^3/s", elevation="m", gives=Balance)
def balance(branches, wanted_flow, elevation=0.0):
    """Pressure to throttle in each branch, and the orifice that does it, so that each gets what is wanted.

    branches (sequence of Branch): Their own orifice is left out of the reckoning.
    wanted_flow (float or array, shape (n,)): m3/s of free air in each branch, more than zero.
    elevation: m above sea level.
    Returns: Balance: The hungriest branch sets the manifold pressure and needs no throttle.
    Raises ValueError: If a wanted flow is not more than zero.
    """
    wanted = np.broadcast_to(np.asarray(wanted_flow, float), (len(branches),))
    if not np.all(wanted > 0):
        raise Refused("each wanted flow must be more than 0. Leave out a branch that is shut.", by="balance")
    needs = np.array([float(branch_pressure(dataclasses.replace(branch, orifice_bore=None), flow, elevation))
                      for branch, flow in zip(branches, wanted, strict=True)])
    manifold, outside = needs.max(), air.pressure_by_elevation(elevation)
    throttle = manifold - needs
    bores = np.full(len(branches), np.nan)
    for i in np.flatnonzero(throttle > 0):
        bores[i] = orifice_bore(wanted[i], manifold + outside, needs[i] + outside)
    return Balance(manifold, throttle, bores)
