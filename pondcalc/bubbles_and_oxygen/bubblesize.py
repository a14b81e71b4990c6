"""How big are the bubbles that a hole, a stone or a membrane makes?

At a trickle, surface tension holds a bubble to the rim of the hole until
buoyancy tears it off. At a stream, the water round the growing bubble has to be
pushed aside, and size follows the gas flow instead. Both laws are exact for the
picture they draw; a real stone or membrane has thousands of unlike pores, so for
those the table :data:`MATERIALS` gives plain ranges.
"""

import warnings
from typing import NamedTuple

import numpy as np

from .. import air
from ..air import GRAVITY
from ..refusals import Caution
from ..units import Q, QuantityError, Range, quantities
from ..water import ATMOSPHERE
from ..wording import either
from .bubbles import liquid
from .plume import gas_flow_at_depth

__all__ = ["Material", "MATERIALS", "material", "tate_diameter", "stream_diameter", "bubble_diameter_at_hole",
           "hole_weber_number", "bubble_diameter_from_pipe"]

JETTING = 2.0       # gas Weber number of a hole above which bubbles give way to a jet (from memory)


class Material(NamedTuple):
    """One kind of diffuser; sizes in m, pressures in Pa."""

    name: str
    bubble_diameter: Range          # at usual air flow; grows with air flow
    wet_pressure: Range             # pressure spent pushing air through the wet material, new
    plugging: str
    cracking: str
    pressure: str
    cleaning: str
    source: str


def _range(low, usual, high, unit):
    return Range(*(Q(value, unit).m_as("m" if unit == "mm" else "Pa") for value in (low, usual, high)))


_PRACTICE = "common practice, no source"
MATERIALS = {entry.name: entry for entry in (
    Material("stone", _range(2, 3, 6, "mm"), _range(4, 8, 20, "inH2O"),
             "Pores fill from both sides: slime and scale outside, dust and oil from the air side.",
             "Breaks when dropped or frozen; glued joints can let go, and then the air leaves in one place.",
             "Rises slowly as pores fill; the gauge shows it.",
             "Soak and brush; acid only by its label, outdoors, with goggles and gloves, never mixed with "
             "bleach.",
             _PRACTICE),
    Material("membrane", _range(1, 2.5, 5, "mm"), _range(6, 12, 20, "inH2O"),
             "Slits close when the air stops, so little water gets back in; slime still builds outside.",
             "Rubber stiffens, stretches and in time splits, mostly at the clamp and along old slits.",
             "Often about double after some years (Krampe 2011: at half of the plants evaluated).",
             "Wipe with a soft cloth; flex it by a short burst of more air.",
             _PRACTICE),
    Material("drilled pipe", _range(5, 8, 15, "mm"), _range(1, 4, 12, "inH2O"),
             "Large holes seldom plug, but mud and water run in when the air stops.",
             "Hardly any; it fails by coming loose, floating up or kinking.",
             "Low, and so the air goes to the shallowest holes: the pipe must lie level.",
             "Flush; re-drill holes that have scaled over.",
             _PRACTICE),
)}


def material(name):
    """The entry of :data:`MATERIALS` for a kind of diffuser."""
    if name not in MATERIALS:
        raise QuantityError(f"{name!r} is not a kind of diffuser this set knows. Choose: "
                            f"{', '.join(MATERIALS)}.")
    return MATERIALS[name]


def _check(hole_diameter, flow_at_depth):
    hole, flow = np.asarray(hole_diameter, float), np.asarray(flow_at_depth, float)
    if not (np.all(hole > 0) and np.all(hole <= 0.02)):
        raise QuantityError(f"A hole must be above 0 and at most {either('0.8 in', '20 mm')} across; it was given "
                            f"{np.max(hole) * 1000:g} mm.")
    if not np.all(flow >= 0):
        raise QuantityError("Air flow through a hole cannot be below zero; it was "
                            f"given {np.min(flow)} m3/s.")
    return hole, flow


@quantities(hole_diameter="m", temperature="degC", gives="m")
def tate_diameter(hole_diameter, temperature=20.0):
    """Bubble that surface tension lets go of at a hole when air comes very slowly.

    Notes
    -----
    Weight of water displaced against the pull round the rim: ``d = (6 sigma d_hole/(g rho))**(1/3)``.
    Holds where water wets the material; rubber and oily plastic make larger bubbles.
    """
    hole, _ = _check(hole_diameter, 0.0)
    fluid = liquid(temperature)
    return np.cbrt(6 * fluid.surface_tension * hole / (GRAVITY * fluid.density))[()]


@quantities(flow_at_depth="m^3/s", added_mass="", gives="m")
def stream_diameter(flow_at_depth, added_mass=11 / 16):
    """Bubble that a steady stream of gas makes at a hole, where only the water's inertia resists.

    Parameters
    ----------
    flow_at_depth : float or array, m3/s
        Gas through ONE hole, at the pressure there.
    added_mass : float, optional
        Share of the bubble's own volume of water that has to move with it: 11/16 next to a wall
        gives ``V = 1.378 Q^1.2 g^-0.6``, 1/2 far from one gives 1.138.

    Notes
    -----
    ``d/dt(k rho V ds/dt) = rho V g`` with ``V = Q t`` has the solution ``s = g t^2/(4 k)``; the
    bubble leaves when its middle has risen by its own radius.

    References
    ----------
    Davidson, J.F. & Schüler, B.O.G. (1960). Bubble formation at an orifice in an inviscid liquid.
    Trans. Instn Chem. Engrs 38, 335-342.
    """
    _, flow = _check(1e-3, flow_at_depth)
    volume = ((3 / (4 * np.pi)) ** (1 / 3) * 4 * added_mass) ** 0.6 * flow**1.2 * GRAVITY**-0.6
    return np.cbrt(6 * volume / np.pi)[()]


@quantities(hole_diameter="m", flow_at_depth="m^3/s", temperature="degC", gives="m")
def bubble_diameter_at_hole(hole_diameter, flow_at_depth, temperature=20.0):
    """Bubble made at one round hole for any steady gas flow: the two laws' volumes added.

    Parameters
    ----------
    hole_diameter : float or array, m
        Up to 20 mm.
    flow_at_depth : float or array, m3/s
        Gas through ONE hole, at the pressure there.
    temperature : float, degC

    Warns
    -----
    UserWarning
        If the gas leaves as a jet (:func:`hole_weber_number` above 2): it then breaks into a mix of
        sizes, and the formula gives only a rough upper end.

    Notes
    -----
    Adding the volumes is how force-balance models join the two; at the changeover the answer is
    26 % above either law.
    """
    hole, flow = _check(hole_diameter, flow_at_depth)
    # a light check: gas density at 1 atm, so it is not a reason to worry at depth
    if np.any(hole_weber_number.si(hole, flow, 0.0, temperature) > JETTING):
        warnings.warn(Caution("Gas leaves this hole as a jet (Weber number above 2); the size is a rough upper end "
                              "(Davidson & Schüler 1960 treat single bubbles)."), stacklevel=3)
    return np.cbrt(tate_diameter.si(hole, temperature) ** 3 + stream_diameter.si(flow) ** 3)[()]


@quantities(hole_diameter="m", flow_at_depth="m^3/s", depth="m", temperature="degC", gives="")
def hole_weber_number(hole_diameter, flow_at_depth, depth=0.0, temperature=20.0):
    """Push of the gas stream against surface tension at a hole: rho_gas u^2 d / sigma.

    Notes
    -----
    Below about 2 single bubbles form, above it a jet (threshold from memory, not verified).
    """
    hole, flow = _check(hole_diameter, flow_at_depth)
    fluid = liquid(temperature)
    gas_density = (ATMOSPHERE + fluid.density * GRAVITY * depth) / (air.R_AIR * (temperature + 273.15))
    return (gas_density * (flow / (np.pi / 4 * hole**2)) ** 2 * hole / fluid.surface_tension)[()]


@quantities(flow_free_air="m^3/s", depth="m", hole_diameter="m", holes="", temperature="degC",
            surface_pressure_absolute="Pa", gives="m")
def bubble_diameter_from_pipe(flow_free_air, depth, hole_diameter, holes, temperature=20.0,
                              surface_pressure_absolute=ATMOSPHERE):
    """Bubble size from a drilled pipe whose holes share the air evenly.

    Parameters
    ----------
    flow_free_air : float or array, m3/s
    depth : float, m
    hole_diameter : float, m
    holes : int
    temperature : float, degC
    surface_pressure_absolute : float, Pa
    """
    if not np.all(np.asarray(holes) >= 1):
        raise QuantityError(f"A drilled pipe needs one hole or more; it was given {holes}.")
    each = gas_flow_at_depth.si(flow_free_air, depth, temperature, surface_pressure_absolute) / holes
    return bubble_diameter_at_hole.si(hole_diameter, each, temperature)
