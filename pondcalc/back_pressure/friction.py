"""How hard does a moving gas rub on the inside of a line?

One number, the Darcy friction factor, says how many velocity heads each diameter of length costs. It
depends on the Reynolds number, which for a gas in a line does not change with pressure, and on how rough
the wall is. Inside the package free air is m3/s at 20 C, 1 atm, dry.

What this leaves out: bends and fittings (see :mod:`pondcalc.back_pressure.fittings`), and the first metre after the
inlet, where the flow is still settling.
"""

import warnings

import numpy as np
from scipy.special import wrightomega

from .. import air
from ..refusals import Caution, Refused
from ..units import Q, quantities, show

__all__ = ["reynolds_number", "friction_factor", "check_flow"]

LAMINAR, TURBULENT = 2000.0, 4000.0     # Reynolds numbers between which flow is neither one nor the other
HALF_LN10 = np.log(10.0) / 2


def check_flow(flow_free_air, owner):
    """The flow as an array of floats, refused in the reader's unit where it is below zero or no number."""
    flow = np.asarray(flow_free_air, float)
    if np.any(~(flow >= 0)):
        raise Refused(f"the air flow is {show(Q(float(np.min(flow)), 'm3/s'), 'air flow')}. It must be 0 or more; air "
                      "only goes one way, toward the diffuser.", by=owner)
    return flow


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
    mass = air.mass_flow.si(check_flow(flow_free_air, "reynolds_number"))
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
        raise Refused(f"Reynolds number {reynolds_number} and relative roughness {relative_roughness} must be over 0 "
                      "and not below 0. Check the flow and the bore.", by="friction_factor")
    if np.any(reynolds > 1e8) or np.any(rough > 0.05):
        warnings.warn(Caution("outside Re up to 1e8 and relative roughness up to 0.05, the range Moody (1944) charted "
                              "for the Colebrook equation.", by="friction_factor"), stacklevel=2)
    t = np.clip((reynolds - LAMINAR) / (TURBULENT - LAMINAR), 0, 1)
    share = t * t * (3 - 2 * t)
    return (1 - share) * 64 / reynolds + share * _colebrook(np.maximum(reynolds, LAMINAR), rough)
