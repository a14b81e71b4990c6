"""What do sun, sky, wind and damp do to the water's surface?

Heat enters a pond as sunlight and as the glow of the sky; it leaves as the water's own glow,
as vapor and as warm air. Hours are solar time: noon is when the sun stands highest.
"""

import math
from typing import NamedTuple

import numpy as np

from . import air, water
from .limits import positive
from .units import quantities

__all__ = ["SurfaceHeat", "day_top_of_air_sun", "clear_sun", "cloud_share", "sky_emissivity", "light_fade",
           "wind_at_2m", "bulk_factors", "surface_heat", "exchange_coefficient", "equilibrium_temperature"]

SIGMA = 5.670374e-8             # W/(m2 K4)
EMISSIVITY = 0.97               # of water; from memory, published 0.96 to 0.98
REFLECTED = 0.06                # of sunlight by open water, day mean; from memory, 0.05 to 0.10
SOLAR_CONSTANT = 1367.0         # W/m2; FAO-56 uses 0.0820 MJ/(m2 min)
BULK = 1.3e-3                   # transfer coefficient at 10 m; from memory, published 1.1e-3 to 1.9e-3
CALM = 2.9                      # m/s; rising damp air stirs a calm: gives Edinger's 9.2 W/(m2 mmHg)
ZERO_C = water.ZERO_C


class SurfaceHeat(NamedTuple):
    """Heat through the water surface, W/m2, positive into the water."""

    sunlight: float
    sky_glow: float
    water_glow: float
    evaporation: float
    warm_air: float
    net: float


def _declination(day):
    return 0.409 * np.sin(2 * np.pi * day / 365 - 1.39)


def _sun_distance(day):
    return 1 + 0.033 * np.cos(2 * np.pi * day / 365)


@quantities(latitude="degree", gives="J/m^2")
def day_top_of_air_sun(latitude, day):
    """Sun's energy in one day on a level square metre above the air.

    Parameters
    ----------
    latitude : quantity
    day : float or array
        Day of the year, 1 to 366.

    References
    ----------
    Allen, Pereira, Raes and Smith, 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper
    56, equations 21 to 25.
    """
    phi, delta = np.radians(latitude), _declination(np.asarray(day, float))
    sunset = np.arccos(np.clip(-np.tan(phi) * np.tan(delta), -1, 1))
    return (86400 / np.pi * SOLAR_CONSTANT * _sun_distance(np.asarray(day, float))
            * (sunset * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(sunset)))[()]


def _sun_height(latitude, day, hour):
    """Sine of the sun's height at solar hours; below zero at night."""
    phi, delta = np.radians(latitude), _declination(day)
    return np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(np.pi * (hour - 12) / 12)


@quantities(latitude="degree", elevation="m", gives="W/m^2")
def clear_sun(latitude, day, hour, elevation=0.0):
    """Sunlight on level ground under a clear sky.

    Parameters
    ----------
    latitude : quantity
    day, hour : float or array
        Day of the year and solar hour.
    elevation : quantity, optional

    Notes
    -----
    1098 sin(h) exp(-0.059/sin(h)) W/m2, h the sun's height; raised by 2.7 % per km of elevation as
    FAO-56 equation 37 does. Clear-sky models differ by about 7 %.

    References
    ----------
    B. Haurwitz, 1945, Journal of Meteorology 2:154-166, as coded in pvlib.
    """
    height = np.maximum(_sun_height(latitude, np.asarray(day, float), np.asarray(hour, float)), 1e-4)
    return (1098 * height * np.exp(-0.059 / height) * (1 + 2e-5 / 0.75 * elevation))[()]


def cloud_share(cloud):
    """Share of clear-sky light that comes through a sky covered by `cloud` (0 to 1): 1 - 0.65 cloud.

    References
    ----------
    D. P. Larson, L. Nonnenmacher and C. F. M. Coimbra, 2016 (as coded in pvlib). FAO-56 equation 35
    gives 1 - 0.667 cloud for a day's mean.
    """
    return 1 - 0.65 * np.asarray(cloud, float)


@quantities(temperature="degC", vapor_pressure="Pa")
def sky_emissivity(temperature, vapor_pressure, cloud=0.0):
    """How brightly the sky glows against a black body at air temperature, 0 to 1.

    Parameters
    ----------
    temperature : quantity
        Air near the ground.
    vapor_pressure : quantity
        Of that air.
    cloud : float or array, optional
        Share of the sky covered.

    Notes
    -----
    Clear sky 1.24 (e/T)^(1/7), e in hPa; clouds add up to 17 % as 1 + 0.17 cloud^2 (from memory, not
    verified), never above 1. Formulas for clear skies differ by 5 % (16 W/m2).

    References
    ----------
    W. Brutsaert, 1975, Water Resources Research 11:742-744 (formula seen second-hand).
    """
    clear = 1.24 * (np.asarray(vapor_pressure, float) / 100
                    / (np.asarray(temperature, float) + ZERO_C)) ** (1 / 7)
    return np.minimum(1.0, clear * (1 + 0.17 * np.asarray(cloud, float) ** 2))[()]


@quantities(secchi_depth="m", gives="1/m")
def light_fade(secchi_depth):
    """How fast light fades with depth, from the depth where a white disk is lost to sight.

    Notes
    -----
    K = 1.7/Secchi depth; muddy water is nearer 1.44/Secchi depth (Holmes 1970).

    References
    ----------
    H. H. Poole and W. R. G. Atkins, 1929, Journal of the Marine Biological Association 16:297-324.
    """
    positive("light_fade", secchi_depth=secchi_depth)
    return 1.7 / secchi_depth


@quantities(wind_speed="m/s", gives="m/s")
def wind_at_2m(wind_speed):
    """Wind 2 m over the water from that at 10 m: a log profile over 0.1 mm roughness, 0.86 of it."""
    return np.asarray(wind_speed, float)[()] * math.log(2 / 1e-4) / math.log(10 / 1e-4)


def bulk_factors(wind_speed, air_temperature, air_pressure, calm=CALM):
    """Factors of vapor (W/(m2 Pa)) and warm air (W/(m2 K)) at a wind, SI arrays."""
    rho = air_pressure / (air.R_AIR * (air_temperature + ZERO_C))
    wind = np.sqrt(wind_speed ** 2 + calm ** 2)
    heat = water.latent_heat.si(np.maximum(air_temperature, 0.0))
    return rho * heat * BULK * wind * 0.622 / air_pressure, rho * 1005.0 * BULK * wind


@quantities(temperature="degC", air_temperature="degC", vapor_pressure="Pa", wind_speed="m/s",
            sunlight="W/m^2", sky_glow="W/m^2", air_pressure="Pa", calm="m/s", gives=("W/m^2",) * 6)
def surface_heat(temperature, air_temperature, vapor_pressure, wind_speed, sunlight, sky_glow,
                 air_pressure=101325.0, calm=CALM):
    """Five streams of heat through open water, and their sum.

    Parameters
    ----------
    temperature : quantity
        Of the water's surface.
    air_temperature, vapor_pressure, wind_speed : quantity
        Of the air; wind at 10 m over the pond.
    sunlight, sky_glow : quantity
        Falling on the surface.
    air_pressure : quantity, optional
        Absolute.
    calm : quantity, optional
        Stirring by the air's own rise, added to the wind as squares.

    Returns
    -------
    SurfaceHeat
        Positive into the water.

    Notes
    -----
    Evaporation rho L C U 0.622 (e_s - e_a)/p, warm air rho c C U (T - T_a), C = 1.3e-3; water glows as
    0.97 sigma T^4 and reflects 6 % of the sun and 3 % of the sky's glow. None of these is calibrated
    to one pond: check against readings.
    """
    vapor, warmth = bulk_factors(np.asarray(wind_speed, float), np.asarray(air_temperature, float),
                                  air_pressure, calm)
    sun = (1 - REFLECTED) * np.asarray(sunlight, float)[()]
    sky = EMISSIVITY * np.asarray(sky_glow, float)[()]
    out = -EMISSIVITY * SIGMA * (np.asarray(temperature, float)[()] + ZERO_C) ** 4
    steam = -vapor * (water.vapor_pressure.si(temperature) - vapor_pressure)
    warm = -warmth * (temperature - air_temperature)
    return SurfaceHeat(sun, sky, out, steam, warm, sun + sky + out + steam + warm)


def _edinger(temperature, dew_point, wind_speed):
    """Wind function (W/(m2 mmHg)), slope (mmHg/K) and exchange coefficient (W/(m2 K))."""
    f = 9.2 + 0.46 * wind_speed ** 2
    middle = 0.5 * (temperature + dew_point)
    slope = 0.35 + 0.015 * middle + 0.0012 * middle ** 2
    return 4.5 + 0.05 * temperature + slope * f + 0.47 * f


@quantities(temperature="degC", dew_point="degC", wind_speed="m/s", gives="W/m^2/delta_degC")
def exchange_coefficient(temperature, dew_point, wind_speed):
    """How strongly the surface is pulled toward its resting temperature, a second opinion on the bulk law.

    Parameters
    ----------
    temperature : quantity
        Water surface.
    dew_point : quantity
    wind_speed : quantity
        At 7 m.

    References
    ----------
    J. E. Edinger, D. K. Brady and J. C. Geyer, 1974, Heat exchange and transport in the environment
    (formula seen second-hand in five public codes).
    """
    return _edinger(temperature, dew_point, wind_speed)


@quantities(temperature="degC", dew_point="degC", wind_speed="m/s", sunlight="W/m^2", gives="degC")
def equilibrium_temperature(temperature, dew_point, wind_speed, sunlight):
    """Temperature at which the surface would gain and lose the same: T_d + H_s/K (Edinger 1974).

    Parameters as for :func:`exchange_coefficient`, and the mean sunlight absorbed.
    """
    return dew_point + sunlight / _edinger(temperature, dew_point, wind_speed)
