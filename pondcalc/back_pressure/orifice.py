"""How much air passes a small hole?

A balancing orifice, a valve barely open and a leak are all small holes. Air speeds up toward a hole and
has no time to trade heat, so the flow is isentropic; below about half the upstream pressure it reaches the
speed of sound and a lower downstream pressure brings no more. Inside the package pressures are Pa absolute
and flow is m3/s of free air (20 C, 1 atm, dry).

What this leaves out: the speed of the air before the hole, which matters once the hole is wider than a
third of the line; and that a jet past a sharp edge can swell sideways, so that its coefficient rises a
little with the drop (3 % at a drop of a twelfth of the pressure, by ISO 5167-2). File a hole to its last
tenth by the gauge.
"""

import numpy as np

from .. import air, water
from ..limits import ADD_AIR_PRESSURE, not_negative, positive
from ..refusals import Refused
from ..units import quantities
from .friction import check_flow

__all__ = ["critical_pressure_ratio", "orifice_flow", "orifice_upstream_pressure", "orifice_bore",
           "DISCHARGE_COEFFICIENT"]

# Sharp-edged hole; 0.97 for a rounded entrance. Printed beside the table "Discharge of Air Through an
# Orifice" (S. A. Moss, 1906, reprinted in many handbooks). Other sources: 0.60 to 0.65 for a sharp edge.
DISCHARGE_COEFFICIENT = 0.65
K = air.HEAT_RATIO


def critical_pressure_ratio():
    """Downstream over upstream pressure at which a hole chokes: (2/(k+1))^(k/(k-1)), 0.528 for air."""
    return (2 / (K + 1)) ** (K / (K - 1))


def _check(owner, coefficient, **pressures):
    positive(owner, ADD_AIR_PRESSURE, **{f"{name}_pressure": value for name, value in pressures.items()})
    c = np.asarray(coefficient, float)
    if np.any(~((c > 0) & (c <= 1))):
        raise Refused(f"the discharge coefficient is {coefficient}, but it is over 0 to 1; 0.65 for a "
                      "sharp-edged hole.", by=owner)


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

    Parameters
    ----------
    bore : float or array
        m, zero or more.
    upstream_pressure_absolute, downstream_pressure_absolute : float or array
        Pa, absolute; the first at least the second.
    temperature : float or array, optional
        Of the air upstream, C.
    discharge_coefficient : float or array, optional
        Real flow over that of a perfect hole, over 0 to 1; default 0.65, a sharp edge.

    Returns
    -------
    float or array
        m3/s of free air.

    Raises
    ------
    ValueError
        If a pressure is not positive or the upstream one is the lower.

    Notes
    -----
    m = C A P1 sqrt{2k/((k-1) R T) [r^(2/k) - r^((k+1)/k)]}, r = P2/P1 but not below 0.528.

    References
    ----------
    S. A. Moss, 1906 (table "Discharge of Air Through an Orifice", reprinted; agrees within 0.6 %).
    """
    p1, p2 = np.asarray(upstream_pressure_absolute, float), np.asarray(downstream_pressure_absolute, float)
    _check("orifice_flow", discharge_coefficient, upstream=p1, downstream=p2)
    if np.any(p1 < p2):
        raise Refused("the upstream pressure is the lower one, so air would flow back. Give the compressor side first.",
                      by="orifice_flow")
    not_negative("orifice_flow", bore=bore)
    area = np.pi / 4 * np.asarray(bore, float) ** 2
    return discharge_coefficient * area * _flux(p1, p2, temperature) / air.FREE_AIR_DENSITY


@quantities(flow_free_air="m^3/s", upstream_pressure_absolute="Pa", downstream_pressure_absolute="Pa",
            temperature="degC", discharge_coefficient="", gives="m")
def orifice_bore(flow_free_air, upstream_pressure_absolute, downstream_pressure_absolute, temperature=20.0,
                 discharge_coefficient=DISCHARGE_COEFFICIENT):
    """Bore of the round hole that passes this much air between two pressures.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air, zero or more.
    upstream_pressure_absolute, downstream_pressure_absolute, temperature, discharge_coefficient
        As for :func:`orifice_flow`; here the first pressure must be the greater.

    Returns
    -------
    float or array
        m.
    """
    flow = check_flow(flow_free_air, "orifice_bore")
    p1, p2 = np.asarray(upstream_pressure_absolute, float), np.asarray(downstream_pressure_absolute, float)
    _check("orifice_bore", discharge_coefficient, upstream=p1, downstream=p2)
    if np.any(p1 <= p2):
        raise Refused("the upstream pressure must be more than the downstream one; without a drop no hole, however "
                      "wide, passes air.", by="orifice_bore")
    area = air.mass_flow.si(flow) / (discharge_coefficient * _flux(p1, p2, temperature))
    return np.sqrt(area * 4 / np.pi)


@quantities(flow_free_air="m^3/s", bore="m", downstream_pressure_absolute="Pa", temperature="degC",
            discharge_coefficient="", gives="Pa")
def orifice_upstream_pressure(flow_free_air, bore, downstream_pressure_absolute, temperature=20.0,
                              discharge_coefficient=DISCHARGE_COEFFICIENT):
    """Pressure that pushes this much air through a round hole; undoes :func:`orifice_flow`.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air, zero or more.
    bore : float or array
        m, more than zero.
    downstream_pressure_absolute, temperature, discharge_coefficient
        As for :func:`orifice_flow`.

    Returns
    -------
    float or array
        Pa, absolute, upstream.

    Notes
    -----
    A choked hole passes flow in proportion to upstream pressure. Otherwise, with x = (P1/P2)^((k-1)/k), the
    equation of :func:`orifice_flow` is x^2 - x = (m/(C A P2))^2 R T (k-1)/(2k), a quadratic.
    """
    flow = check_flow(flow_free_air, "orifice_upstream_pressure")
    p2 = np.asarray(downstream_pressure_absolute, float)
    _check("orifice_upstream_pressure", discharge_coefficient, downstream=p2)
    positive("orifice_upstream_pressure", bore=bore)
    flux = air.mass_flow.si(flow) / (discharge_coefficient * np.pi / 4 * np.asarray(bore, float) ** 2)
    when_choked = flux / _flux(1.0, 0.0, temperature)
    kelvin = np.asarray(temperature, float) + water.ZERO_C
    x = (1 + np.sqrt(1 + 2 * (K - 1) / K * air.R_AIR * kelvin * (flux / p2) ** 2)) / 2
    below = p2 * x ** (K / (K - 1))
    return np.where(when_choked * critical_pressure_ratio() >= p2, when_choked, below)[()]
