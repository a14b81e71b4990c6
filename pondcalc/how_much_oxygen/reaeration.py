"""How much oxygen does the wind bring in, or take out, through the surface?

Wind stirs the top film of the water; the faster it is renewed, the faster oxygen passes. The
speed of that passage, a few decimeters a day, has been fitted many times on lakes, tanks and
the sea, and the fits disagree by a factor of ten on a calm night: some say nothing passes without
wind, others half a meter a day. So this module answers with a band, not one number.

Inside the package speeds are m/s, oxygen mg/L (= g/m3).

What this leaves out: rain on the surface, water cooling and sinking at night (which keeps some
exchange going without wind), oily films (which slow it), and the shelter of trees and banks.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..limits import not_negative
from ..refusals import Caution, Refused
from ..units import DAY, Range, quantities

__all__ = ["FORMULAS", "ExchangeFormula", "schmidt_number", "exchange_speed", "exchange_band"]

CENTIMETER_PER_HOUR = 0.01 / 3600


class ExchangeFormula(NamedTuple):
    """One published fit: the speed it gives, at which Schmidt number, and where it comes from."""

    speed: Any          # function of wind (m/s at 10 m) and area (m2), giving m/s
    schmidt: Any        # Schmidt number the speed is meant for; None for oxygen at 20 C; 0 if built in
    source: str
    status: str


# The band of a farm pond. Left out: the open-sea fit (Wanninkhof 1992), and the two straight lines of Crusius 2003,
# which repeat its power law.
FORMULAS = {
    "Banks 1977": ExchangeFormula(
        lambda u, area: (0.728 * np.sqrt(u) - 0.317 * u + 0.0372 * u * u) / DAY, None,
        "R. B. Banks and F. F. Herrera, 1977, Effect of wind and rain on surface reaeration, J. "
        "Environ. Eng. Div. ASCE 103:489-504", "second-hand"),
    "Wanninkhof 1991": ExchangeFormula(
        lambda u, area: 0.0986 * u**1.64 / DAY, None,
        "R. Wanninkhof, J. R. Ledwell and J. Crusius, 1991, Gas transfer velocities on lakes", "second-hand"),
    "Cole 1998": ExchangeFormula(
        lambda u, area: (2.07 + 0.215 * u**1.7) * CENTIMETER_PER_HOUR, 600.0,
        "J. J. Cole and N. F. Caraco, 1998, Limnol. Oceanogr. 43:647-656 (a small wind-sheltered lake)",
        "second-hand"),
    "Crusius 2003 power": ExchangeFormula(
        lambda u, area: (0.168 + 0.228 * u**2.2) * CENTIMETER_PER_HOUR, 600.0,
        "J. Crusius and R. Wanninkhof, 2003, Limnol. Oceanogr. 48:1010-1017 (a small lake, low wind)",
        "second-hand"),
    "Vachon 2013": ExchangeFormula(
        lambda u, area: np.maximum(0.0, 2.51 + 1.48 * u + 0.39 * u * np.log10(area / 1e6))
        * CENTIMETER_PER_HOUR, 600.0,
        "D. Vachon and Y. T. Prairie, 2013, Can. J. Fish. Aquat. Sci. 70:1757-1764 (lakes by size)",
        "second-hand"),
    "Ro 2006": ExchangeFormula(
        lambda u, area: 0.24 * 170.6 / DAY * u**1.81, 0.0,
        "K. S. Ro and P. G. Hunt, 2006, Trans. ASABE 49:1615-1622 (stationary water)", "second-hand"),
}


def _check_wind(wind_speed, owner):
    u = np.asarray(wind_speed, float)
    not_negative(owner, wind_speed=u)
    if np.any(u > 20):
        warnings.warn(Caution(f"{float(np.max(u)):.3g} m/s is past 20 m/s; the fits for small waters end near 10 m/s "
                              "(Vachon and Prairie 2013, Crusius and Wanninkhof 2003).", by=owner), stacklevel=3)
    return u


@quantities(temperature="degC", gives="")
def schmidt_number(temperature):
    """Schmidt number of oxygen that the exchange formulas were fitted with, a pure number.

    Parameters
    ----------
    temperature : float or array
        Fresh water, 0 to 30 C; past 30 C it follows ``water.schmidt_number_oxygen`` in proportion,
        because the cubic must not be stretched.

    References
    ----------
    R. Wanninkhof, 1992, Relationship between wind speed and gas exchange over the ocean, J. Geophys.
    Res. 97:7373-7382, Table A1 (second-hand).
    """
    t = np.minimum(np.asarray(temperature, float), 30.0)
    cubic = 1800.6 + t * (-120.10 + t * (3.7818 - t * 0.047608))
    hot = np.asarray(temperature, float) > 30
    if np.any(hot):
        beyond = np.where(hot, temperature, 30.0)
        cubic = cubic * water.schmidt_number_oxygen.si(beyond) / water.schmidt_number_oxygen.si(30.0)
    return cubic


@quantities(wind_speed="m/s", temperature="degC", area="m^2", gives="m/s")
def exchange_speed(wind_speed, temperature, formula, area=4046.86):
    """Speed at which oxygen passes the surface, by one published fit.

    Parameters
    ----------
    wind_speed : float or array
        m/s at 10 m, 0 to about 10.
    temperature : float or array
        Water, C, 0 to 40.
    formula : str
        A key of :data:`FORMULAS`.
    area : float, optional
        m2 of water; only "Vachon 2013" asks for it. Default one acre.

    Returns
    -------
    float or array
        m/s. One m/d is 1.16e-5 m/s.

    Raises
    ------
    ValueError
        For negative wind, an unknown formula, or no area.

    Notes
    -----
    Fits at Schmidt number 600 are brought to oxygen by (Sc/600)^-0.5; a smooth surface would
    call for -0.67, which is 8 % at 20 C (both from memory, not verified). "Banks 1977" and
    "Wanninkhof 1991" are for oxygen at 20 C and follow the same rule.
    "Ro 2006" carries the diffusivity and the density of air itself.
    """
    if formula not in FORMULAS:
        raise Refused(f"there is no formula {formula!r}. Choose one of: {', '.join(FORMULAS)}.", by="exchange_speed")
    if np.any(np.asarray(area) <= 0):
        raise Refused("the area must be more than 0.", by="exchange_speed")
    fit = FORMULAS[formula]
    speed = fit.speed(_check_wind(wind_speed, "exchange_speed"), area)
    if fit.schmidt == 0:
        spread = water.oxygen_diffusivity.si(temperature) / water.kinematic_viscosity.si(temperature)
        weight = air.density.si(np.asarray(temperature, float)) / water.density.si(temperature)
        return speed * np.sqrt(spread * weight)
    fitted_at = schmidt_number.si(20.0) if fit.schmidt is None else fit.schmidt
    return speed * np.sqrt(fitted_at / schmidt_number.si(temperature))


@quantities(wind_speed="m/s", temperature="degC", area="m^2", gives="m/s")
def exchange_band(wind_speed, temperature, area=4046.86):
    """Lowest, middle and highest of the published exchange speeds in :data:`FORMULAS`.

    Parameters
    ----------
    wind_speed, temperature, area
        As for :func:`exchange_speed`.

    Returns
    -------
    Range
        m/s. Without wind the low end is 0: three of the fits give nothing, the others up to 0.6 m/d.

    References
    ----------
    Field anchor: Cole and others, 2010, Limnol. Oceanogr. Methods 8:285-293 (abstract seen): lakes of
    0.3 to 45 ha under less than 3 m/s of mean wind showed 0.35 to 0.74 m/d at Schmidt number 600.
    """
    speeds = np.array(np.broadcast_arrays(*(exchange_speed.si(wind_speed, temperature, name, area)
                                            for name in FORMULAS)))
    return Range(speeds.min(0), np.median(speeds, axis=0), speeds.max(0))
