"""How hard must the compressor push to get the air through the line to the bottom?

Pressures add up on the way down: the weight of the water over the diffuser, the wet diffuser itself, friction in the
line, fittings and check valve. Static head is nearly always the largest. Friction is the one a buyer chooses, because
it falls with almost the fifth power of the inside diameter.

Friction is that of a gas that expands as it goes, at one temperature (isothermal), worked out from the *outlet* back
to the compressor, because the pond sets the outlet pressure. The Darcy friction factor depends on the roughness of the
wall and on the Reynolds number, which in a line does not change with pressure. A line may be a chain: a list of
:class:`Line`, from the compressor to the diffuser, each with its own bore. Air cannot leave a pipe faster than a limit
near the speed of sound. Past it, pushing harder packs the air denser but no faster: the line is *choked*.

Inside the package pressures are Pa, free air is m3/s at 20 C, 1 atm, dry. Several diffusers on one compressor are the
business of :mod:`pondcalc.back_pressure.branches`.

What this leaves out: the weight of the air in the line (about 0.1 kPa at 6 m), heat passed through the wall, the first
metre after the inlet, where the flow is still settling, and water lying in a sag, which costs its own depth in head.

Compressed air can burst a pipe. PVC above ground is the known danger (U.S. OSHA, Hazard Information Bulletin of
13 December 1990); use metal or rated hose there, and follow the local code and the label on the pipe.
"""

import warnings
from collections.abc import Callable
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.optimize import brentq
from scipy.special import wrightomega

from .. import air, water
from ..catalogue import usual
from ..refusals import Caution, Refused
from ..units import ADD_AIR_PRESSURE, Q, not_negative, positive, quantities, record, show

LAMINAR, TURBULENT = 2000.0, 4000.0     # Reynolds numbers between which flow is neither one nor the other
HALF_LN10 = np.log(10.0) / 2


def check_flow(flow_free_air, owner):
    """The flow as an array of floats, refused in the reader's unit where it is below zero or no number."""
    flow = np.asarray(flow_free_air, float)
    if np.any(~(flow >= 0)):
        raise Refused(f"the air flow is {show(np.min(flow), 'air flow')}. It must be 0 or more; air "
                      "only goes one way, toward the diffuser.", by=owner)
    return flow


@quantities(flow_free_air="m^3/s", inside_diameter="m", temperature="degC", gives="")
def reynolds_number(flow_free_air, inside_diameter, temperature=20.0):
    """Reynolds number of air in a round line, which pressure does not change.

    flow_free_air (float or array): m3/s of free air, zero or more.
    inside_diameter (float or array): m.
    temperature (float or array): Air temperature in the line, C.

    Re = 4 m / (pi D mu), m the mass flow. Density cancels, so pressure does too.
    """
    mass = air.mass_flow(check_flow(flow_free_air, "reynolds_number"))
    return 4 * mass / (np.pi * np.asarray(inside_diameter, float) * air.viscosity(temperature))


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

    reynolds_number (float or array): More than 0. Over 1e8 is past Moody's chart and warns.
    relative_roughness (float or array): Roughness over inside diameter, 0 to 0.05.
    Returns: float or array: Darcy (not Fanning) friction factor.
    Raises ValueError: If a Reynolds number is not positive or a roughness is negative.

    Below Re = 2000, f = 64/Re. Above 4000, the full Colebrook-White equation
    1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))). Between, real flow flickers from
    one to the other and no formula is right; f slides from the first to the second
    with weight s = 3 t^2 - 2 t^3, t = (Re - 2000)/2000, so that neither f nor its slope
    jumps. Take it as good to about 20 % there; at pond flows the loss is then tiny.
    References: C. F. Colebrook, 1939, Turbulent flow in pipes, J. Inst. Civil Engineers 11:133-156 (from memory). D.
        Clamond, 2009, Efficient resolution of the Colebrook equation, Ind. Eng. Chem. Res. 48:3665-3671 (form of the
        equation).
    """
    reynolds = np.asarray(reynolds_number, float)
    rough = np.asarray(relative_roughness, float)
    if np.any(~(reynolds > 0)) or np.any(~(rough >= 0)):
        raise Refused(f"Reynolds number {reynolds_number} and relative roughness {relative_roughness} must be over 0 "
                      "and not below 0. Check the flow and the bore.", by="friction_factor")
    if np.any(reynolds > 1e8) or np.any(rough > 0.05):
        warnings.warn(Caution("outside Re up to 1e8 and relative roughness up to 0.05, the range Moody (1944) charted "
                              "for the Colebrook equation.", by="friction_factor"), stacklevel=2)
    t = np.clip((reynolds - LAMINAR) / (TURBULENT - LAMINAR), 0, 1)
    share = t * t * (3 - 2 * t)
    return (1 - share) * 64 / reynolds + share * _colebrook(np.maximum(reynolds, LAMINAR), rough)


HEAD = water.density(20.0) * air.GRAVITY         # Pa for each metre of water
FAST = 0.3          # share of the speed limit past which one temperature along the line is a poor guess


@record(length="m", inside_diameter="m", roughness="m", loss_coefficient="")
class Line:
    """One straight run of air line: how long, how wide inside, how rough.

    Ask for the *measured* inside diameter. A "3/4 inch" line can be anything from
    0.67 to 0.85 in inside, and the loss between those two differs three times; see
    :mod:`pondcalc.back_pressure.pipesizes`.

    length (float or array): m, zero or more: the length of the tube, not the depth of the pond.
    inside_diameter (float or array): m, more than zero.
    roughness (float or array): m, zero or more; default 1.5e-6 m for drawn tube and smooth plastic (Moody 1944).
    loss_coefficient (float or array): Sum of K of the fittings in this segment, velocity heads in its own bore;
        default none.
    References: L. F. Moody, 1944, Friction factors for pipe flow, Trans. ASME 66:671-684 (from memory; the library
        fluids lists 1.52e-6 m for drawn tube and glass).
    """

    length: Any
    inside_diameter: Any
    roughness: Any = 1.5e-6
    loss_coefficient: Any = 0.0

    def check(self):
        """Refuse a line without a bore, or with a negative length or roughness."""
        for name, kind, unit in (("length", "distance", "m"), ("roughness", "bore", "m"),
                                 ("inside_diameter", "bore", "m"), ("loss_coefficient", "number", "dimensionless")):
            value = np.asarray(getattr(self, name), float)
            bore = name == "inside_diameter"
            bad = ~(value > 0) if bore else ~(value >= 0)
            if np.any(bad | ~np.isfinite(value)):
                allowed = "more than 0" if bore else "0 or more"
                wrong = Q(float(value[bad | ~np.isfinite(value)][0] if value.ndim else value), unit)
                raise Refused(f"{name.replace('_', ' ')} is {show(wrong, kind, both=True)}, but it must be {allowed}. "
                              "Measure the line again, or take the inside size from its data sheet.", by="Line")
        if np.any(np.asarray(self.roughness) > 0.05 * np.asarray(self.inside_diameter)):
            warnings.warn(Caution("roughness is over 5 % of the inside diameter, past the range Moody (1944) charted "
                                  "for the Colebrook equation.", by="Line"), stacklevel=3)


class FastAir(Caution):
    """Air runs so fast that its loss is less sure than it looks."""


class Chokes(Refused):
    """So much air cannot pass this line at any pressure before it."""


class LineFlow(NamedTuple):
    """What a line passes between two pressures: m3/s of free air, whether it chokes, Pa absolute inside
    the far end (above the pressure outside when choked)."""

    flow_free_air: Annotated[Any, "m^3/s"]
    choked: Any
    outlet_pressure_absolute: Annotated[Any, "Pa"]


class _Walk(NamedTuple):
    pressures: list         # Pa absolute at both ends of each segment, from the inlet on
    speed_share: list       # speed over the limit at the outlet of each segment, from the inlet on


def segments(line):
    """The segments of a line as a tuple, from the compressor to the diffuser.

    line (Line or sequence of Line).
    Returns: tuple of Line.
    Raises ValueError: If there is none, or something else is among them.
    """
    chain = (line,) if isinstance(line, Line) else tuple(line)
    if not chain or not all(isinstance(piece, Line) for piece in chain):
        raise ValueError("A line is one Line or a list of them, from the compressor to the diffuser, such as "
                         "[Line('300 ft', '1.049 in'), Line('100 ft', '5/8 in')].")
    return chain


def _check(owner, pressure_absolute, loss_coefficient):
    positive(owner, ADD_AIR_PRESSURE, absolute_pressure=pressure_absolute)
    not_negative(owner, "It counts velocity heads lost in fittings.", loss_coefficient=loss_coefficient)


@quantities(inside_diameter_upstream="m", inside_diameter_downstream="m", gives="")
def contraction_loss(inside_diameter_upstream, inside_diameter_downstream):
    """Velocity heads, in the narrow bore, lost where a line narrows at a step; 0 where it does not.

    K = 0.5 (1 - b^2), b the narrow bore over the wide one: Crane Co., Technical Paper 410, as the library
    fluids has it.
    """
    beta = np.minimum(np.divide(inside_diameter_downstream, inside_diameter_upstream), 1.0)
    return 0.5 * (1 - beta**2)


@quantities(inside_diameter_upstream="m", inside_diameter_downstream="m", gives="")
def enlargement_loss(inside_diameter_upstream, inside_diameter_downstream):
    """Velocity heads, in the narrow bore, lost where a line widens at a step; 0 where it does not.

    K = (1 - b^2)^2, b the narrow bore over the wide one (Borda and Carnot).
    """
    beta = np.minimum(np.divide(inside_diameter_upstream, inside_diameter_downstream), 1.0)
    return (1 - beta**2) ** 2


def speed_limit(temperature=20.0):
    """Fastest that air at one temperature can leave a line: sqrt(R T), 290 m/s at 20 C.

    It is a little under the speed of sound, which for air is sqrt(1.4 R T).
    """
    return np.sqrt(air.R_AIR * (np.asarray(temperature, float) + water.ZERO_C))


def _walk(line, flow, outlet, temperature, loss_coefficient):
    """Pressures from the far end back to the start of a chain.

    Where the air would beat the limit, the outlet pressure of that segment is raised until it meets it.
    """
    limit2 = speed_limit(temperature) ** 2
    mass = air.mass_flow(flow)
    chain = segments(line)
    pressure, pressures, shares, below = outlet, [], [], None
    for place in range(len(chain) - 1, -1, -1):
        piece = chain[place]
        bore = np.asarray(piece.inside_diameter, float)
        flux = mass / (np.pi / 4 * bore**2)
        if below is not None:                   # the step between this bore and the next one down
            lost = np.where(bore > below[0], contraction_loss(bore, below[0]) * below[1] ** 2,
                            enlargement_loss(bore, below[0]) * flux**2)
            pressure = pressure + (below[1] ** 2 - flux**2 + lost) * limit2 / pressure / 2
        c = (flux / pressure) ** 2 * limit2
        shares.append(np.sqrt(c))
        pressure = np.where(c > 1, flux * np.sqrt(limit2), pressure)
        pressures.append(pressure)
        k = piece.loss_coefficient + (loss_coefficient if place == 0 else 0.0)
        pressure = pressure * np.sqrt(_squared_ratio(piece, flow, bore, np.minimum(c, 1.0), temperature, k))
        pressures.append(pressure)
        below = bore, flux
    return _Walk(pressures[::-1], shares[::-1])


def _squared_ratio(piece, flow, bore, c, temperature, loss_coefficient):
    """(P1/P2)^2 of one segment: the root of s - c ln s = 1 + c (f L/D + K) above 1."""
    reynolds = np.maximum(reynolds_number(flow, bore, temperature), 1e-9)
    resistance = friction_factor(reynolds, piece.roughness / bore) * piece.length / bore + loss_coefficient
    target = 1 + c * resistance
    s = target * 1.0
    for _ in range(60):
        slope = 1 - c / s
        step = (s - c * np.log(s) - target) / np.where(slope > 0, slope, 1.0)
        s = s - step
        if np.all(np.abs(step) <= 1e-15 * s):
            break
    return s


def push_needed(line, flow, outlet, temperature=20.0, loss_coefficient=0.0):
    """The inlet pressure of :func:`inlet_pressure` for a solver: plain numbers, no checks, no warning.

    Past choking it goes on rising with flow: the pressure in the far end rises until the air fits.
    """
    return _walk(line, flow, outlet, temperature, loss_coefficient).pressures[0]


def _names(place, count):
    return "the line" if count == 1 else f"segment {place + 1} of the line"


@quantities(flow_free_air="m^3/s", outlet_pressure_absolute="Pa", temperature="degC", loss_coefficient="",
            gives="Pa")
def inlet_pressure(line, flow_free_air, outlet_pressure_absolute, temperature=20.0, loss_coefficient=0.0):
    """Absolute pressure needed at the start of a line to send air out of its far end.

    line (Line or sequence of Line): A chain goes from the compressor to the diffuser; it may hold one bore in many
        segments.
    flow_free_air (float or array): m3/s of free air, zero or more.
    outlet_pressure_absolute (float or array): Pa, absolute, just inside the far end of the line.
    temperature (float or array): Air temperature in the line, C. A buried or sunk line is at ground or water
        temperature.
    loss_coefficient (float or array): Sum of the K of the fittings, each a number of velocity heads in the bore of
        the *first* segment. Fittings further down belong to their own segment: ``Line(..., loss_coefficient=...)``.
    Returns: float or array: Pa, absolute.
    Raises ValueError: If the flow is negative, a pressure is not positive, or the air would choke: no steady
        isothermal flow that fast exists.
    Warns UserWarning: If air goes faster than 0.3 of the isothermal limit, where it cools on the way.

    In each segment G^2 R T [f L/D + K + 2 ln(P1/P2)] = P1^2 - P2^2, G the mass flow per area. With
    s = (P1/P2)^2 and c = G^2 R T / P2^2 it reads s - c ln s = 1 + c (f L/D + K). The left
    side rises and bends upward for c < 1, so Newton's steps from s = 1 + c (...) close in
    on the one root. The friction factor needs no iteration: Re does not depend on pressure.
    Where the bore steps, the velocity head changes and :func:`contraction_loss` or
    :func:`enlargement_loss` is paid, at the density on the downstream side.
    References: Crane Co., Technical Paper 410, Flow of Fluids (isothermal flow; equation number not seen). D. C.
        Rennels and H. M. Hudson, 2012, Pipe Flow (as cited by the library fluids).
    """
    flow = check_flow(flow_free_air, "inlet_pressure")
    _check("inlet_pressure", outlet_pressure_absolute, loss_coefficient)
    walk = _walk(line, flow, outlet_pressure_absolute, temperature, loss_coefficient)
    chain = segments(line)
    for place in range(len(chain) - 1, -1, -1):
        share = walk.speed_share[place]
        if np.any(share >= 1):
            worst = np.unravel_index(np.argmax(share), np.shape(share))
            asked = float(np.broadcast_to(flow, np.shape(share))[worst])
            bore = float(np.broadcast_to(chain[place].inside_diameter, np.shape(share))[worst])
            end = float(np.broadcast_to(walk.pressures[2 * place + 1], np.shape(share))[worst])
            end = end / float(share[worst])
            raise Chokes(
                f"{show(asked, 'air flow', both=True)} of free air cannot get through a "
                f"{show(bore, 'bore', both=True)} bore at this outlet pressure: {_names(place, len(chain))} "
                "chokes, since the air would have to beat the speed of sound. At "
                f"{show(end, 'pressure', both=True)} absolute this bore passes "
                f"{show(asked / float(share[worst]), 'air flow', both=True)} at most. Choose a wider line "
                "or less air.", by="inlet_pressure")
    if any(np.any(share > FAST) for share in walk.speed_share):
        warnings.warn(FastAir("air leaves the line at over 0.3 of the isothermal speed limit; it cools on the way, and "
                              "the loss is less sure (Crane TP-410).", by="inlet_pressure"), stacklevel=2)
    return walk.pressures[0]


@quantities(flow_free_air="m^3/s", outlet_pressure_absolute="Pa", temperature="degC", loss_coefficient="",
            gives="Pa")
def pressure_loss(line, flow_free_air, outlet_pressure_absolute, temperature=20.0, loss_coefficient=0.0):
    """Pressure lost along a line; see :func:`inlet_pressure` for the parameters and the equation.
    """
    return inlet_pressure(line, flow_free_air, outlet_pressure_absolute, temperature,
                          loss_coefficient) - outlet_pressure_absolute


@quantities(inlet_pressure_absolute="Pa", outlet_pressure_absolute="Pa", loss_coefficient="", gives=LineFlow)
def flow_through(line, inlet_pressure_absolute, outlet_pressure_absolute, loss_coefficient=0.0):
    """Air of 20 C that a line passes between two pressures; undoes :func:`inlet_pressure`, goes on past choking.

    line (Line or sequence of Line): One line, not an array of them.
    inlet_pressure_absolute, outlet_pressure_absolute: Pa, absolute; the first at least the second.
    loss_coefficient: As for :func:`inlet_pressure`.
    Returns: LineFlow: Where `choked` is true, a lower outlet pressure would bring no more air.
    Raises ValueError: If a pressure is not positive, or the inlet pressure is the lower one.

    The inlet pressure needed rises with flow, and P1^2 - P2^2 goes nearly as a power of it, so the root is
    sought in the logarithms of both. A bore passes no more than area x inlet pressure/sqrt(R T), which bounds
    the answer from above.
    """
    _check("flow_through", outlet_pressure_absolute, loss_coefficient)
    inlet, outlet = float(inlet_pressure_absolute), float(outlet_pressure_absolute)
    if not inlet >= outlet:
        raise Refused("the inlet pressure is below the outlet pressure, so air would flow back. Give the compressor "
                      "side first.", by="flow_through")
    if inlet == outlet:
        return LineFlow(0.0, False, outlet)
    target, temperature = np.log(inlet**2 - outlet**2), air.FREE_AIR_TEMPERATURE

    def miss(x):
        needs = float(push_needed(line, np.exp(x), outlet, temperature, loss_coefficient))
        return np.log(max(needs**2 - outlet**2, 1e-12)) - target
    smallest = min(float(piece.inside_diameter) for piece in segments(line))
    high = np.log(np.pi / 4 * smallest**2 * inlet / speed_limit(temperature) / air.FREE_AIR_DENSITY) + 1e-9
    flow = float(np.exp(brentq(miss, high - 40.0, high, xtol=1e-12)))
    walk = _walk(line, flow, outlet, temperature, loss_coefficient)
    return LineFlow(flow, bool(max(walk.speed_share) >= 1 - 1e-9), float(walk.pressures[-1]))


# Parts of the budget. Pa of a new wet diffuser, and how many times it grows with age: in half of the plants evaluated
# in one survey the loss was twice that of new diffusers (Krampe 2011). The middle of 1.5-5 kPa for a membrane is from
# memory, not verified. A spring or ball check valve takes 0.1-0.5 psi to hold open: common practice, no source. Four
# elbows, a ball valve and the side way of a tee in half-inch pipe make K = 4 x 0.77 + 0.08 + 1.53 = 4.7 (Crane,
# K = n f_T; n from memory). Published advice on the margin is 10 to 25 % (Machine Design 2002).
WET_PRESSURE, AGED, CHECK_VALVE, FITTINGS, MARGIN = usual("line", "wet_pressure"), 2.0, 2000.0, 5.0, 0.15
# how a diffuser of each age is called
NEW_DIFFUSER, AGED_DIFFUSER = "with a new diffuser", "with an aged diffuser"


class PressureBudget(NamedTuple):
    """The gauge pressures that add up at the compressor (Pa inside the package).

    `working` is what the gauge should read with this diffuser; `total` adds the
    margin and is the pressure to look for when choosing a compressor.
    """

    static: Annotated[Any, "Pa"]
    diffuser: Annotated[Any, "Pa"]
    line: Annotated[Any, "Pa"]
    fittings: Annotated[Any, "Pa"]
    check_valve: Annotated[Any, "Pa"]
    working: Annotated[Any, "Pa"]
    margin: Annotated[Any, "Pa"]
    total: Annotated[Any, "Pa"]


@quantities(depth="m", gives="Pa")
def static_pressure(depth):
    """Gauge pressure of the water standing over the diffuser.

    depth (float or array): m, zero or more: the depth of the *diffuser* below the water surface.
    Returns: float or array: Pa, gauge.
    Raises ValueError: If the depth is negative.

    p = rho g h, with water of 20 C (from 0 to 30 C it changes by 0.4 %) and g = 9.80665 m/s2.
    """
    if np.any(~(np.asarray(depth, float) >= 0)):
        raise Refused(f"the diffuser depth is {depth} m. Depth counts downward from the water surface, so it must be 0 "
                      "or more.", by="static_pressure")
    return HEAD * depth


def _check_parts(wet_pressure, ageing):
    """Refuse a part of the budget that cannot be."""
    for name, value, least in (("wet_pressure", wet_pressure, 0), ("ageing", ageing, 1)):
        if np.any(~(np.asarray(value, float) >= least)):
            raise Refused(f"{name} is {value}, but it must be {least} or more. Leave it out to use the default.",
                          by="pressure_budget")


def _over_diffuser(depth, elevation):
    """Pa of the water over the diffuser, and of that and the air above it, absolute."""
    static = static_pressure(depth)
    return static, air.pressure_by_elevation(elevation) + static


@quantities(depth="m", flow_free_air="m^3/s", wet_pressure="Pa", ageing="", elevation="m", gives=PressureBudget)
def pressure_budget(depth, line, flow_free_air, wet_pressure=WET_PRESSURE, ageing=AGED, elevation=0.0):
    """Gauge pressure the compressor must hold, item by item, with water and air at 20 C.

    depth (float or array): m, of the diffuser below the water surface.
    line (Line or sequence of Line): The run from compressor to diffuser; a list where the bore changes on the way.
    flow_free_air (float or array): m3/s of free air.
    wet_pressure (float or array): Pa, loss of the *new* diffuser when wet and working, beyond the water over it;
        default 2750 (0.4 psi). Use the maker's curve at your flow.
    ageing (float or array): How many times the wet pressure grows; 1 for new, default 2 for aged.
    elevation (float or array): m above sea level.
    Returns: PressureBudget: Pa, gauge. `working` = static + diffuser + line + fittings + check_valve; `total` =
        working + margin. The fittings (:data:`FITTINGS`) count in the bore of the first segment.
    Raises ValueError: If a pressure is negative, or `ageing` is under 1.
    References: J. Krampe, 2011, Assessment of diffuser pressure loss on WWTPs in Baden-Wurttemberg, Water Sci.
        Technol. 63(12):3027-3033 (abstract seen; author from memory). Machine Design, 15 November 2002, Compressors
        (trade magazine, not a standard).
    """
    _check_parts(wet_pressure, ageing)
    static, above = _over_diffuser(depth, elevation)
    wet = wet_pressure * ageing
    friction = pressure_loss(line, flow_free_air, above + wet)
    fittings = pressure_loss(line, flow_free_air, above + wet, loss_coefficient=FITTINGS) - friction
    working = static + wet + friction + fittings + CHECK_VALVE
    margin = MARGIN * working
    return PressureBudget(static, wet, friction, fittings, CHECK_VALVE, working, margin, working + margin)


@quantities(depth="m", wet_pressure="Pa", ageing="", elevation="m")
def system_curve(depth, line, wet_pressure=WET_PRESSURE, ageing=AGED, elevation=0.0) -> Callable:
    """What pressure this pond and line ask for, as a function of the air flow.

    The parameters are those of :func:`pressure_budget`, and the answer its `working`: no margin is
    added, since this is what the gauge reads. Hand the result to
    :func:`pondcalc.back_pressure.compressor.operating_point`.

    Returns: callable: Plain numbers in and out: m3/s of free air (float or array) to Pa gauge.
    """
    _check_parts(wet_pressure, ageing)
    static, above = _over_diffuser(depth, elevation)            # once: a solver asks for many flows
    wet = wet_pressure * ageing

    def pressure_gauge(flow_free_air):
        return static + wet + pressure_loss(line, flow_free_air, above + wet, loss_coefficient=FITTINGS) + CHECK_VALVE
    return pressure_gauge


@quantities(pressure_gauge="Pa", most="m^3/s", gives="m^3/s")
def system_flow(system, pressure_gauge, most=1.0):
    """Air that a pond and its line take at a gauge pressure; undoes :func:`system_curve`.

    system: As :func:`system_curve` makes.
    pressure_gauge: Pa gauge at the compressor.
    most: m3/s of free air to look up to. A flow that chokes the line counts as too much.
    Returns: float: m3/s of free air; 0 if the pressure cannot open the way.
    """
    def surplus(flow):
        try:
            with warnings.catch_warnings(action="ignore"):
                return float(system(flow)) - pressure_gauge
        except Chokes:
            return 1e12
    if surplus(0.0) >= 0:
        return 0.0
    return brentq(surplus, 0.0, float(most), xtol=1e-13) if surplus(most) > 0 else float(most)
