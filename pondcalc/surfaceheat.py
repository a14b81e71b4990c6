"""What do sun, sky, wind and damp do to the water's surface?

Heat enters a pond as sunlight and as the glow of the sky; it leaves as the water's own glow,
as vapor and as warm air. Hours are solar time: noon is when the sun stands highest.
"""

import math

import numpy as np

from . import air, water
from .limits import positive
from .units import quantities

__all__ = ["clear_sun", "cloud_share", "sky_emissivity", "light_fade", "wind_at_2m", "bulk_factors"]

SIGMA = 5.670374e-8             # W/(m2 K4)
EMISSIVITY = 0.97               # of water; from memory, published 0.96 to 0.98
REFLECTED = 0.06                # of sunlight by open water, day mean; from memory, 0.05 to 0.10
BULK = 1.3e-3                   # transfer coefficient at 10 m; from memory, published 1.1e-3 to 1.9e-3
CALM = 2.9                      # m/s; rising damp air stirs a calm: gives Edinger's 9.2 W/(m2 mmHg)
ZERO_C = water.ZERO_C


def _declination(day):
    return 0.409 * np.sin(2 * np.pi * day / 365 - 1.39)


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


def bulk_factors(wind_speed, air_temperature, air_pressure):
    """Factors of vapor (W/(m2 Pa)) and warm air (W/(m2 K)) at a wind 10 m over the pond, SI arrays.

    Notes
    -----
    Evaporation is rho L C U 0.622 (e_s - e_a)/p and warm air rho c C U (T - T_a) with C = 1.3e-3; U has
    the air's own rise added as squares. Not calibrated to one pond: check against readings.
    """
    rho = air_pressure / (air.R_AIR * (air_temperature + ZERO_C))
    wind = np.sqrt(wind_speed ** 2 + CALM ** 2)
    heat = water.latent_heat.si(np.maximum(air_temperature, 0.0))
    return rho * heat * BULK * wind * 0.622 / air_pressure, rho * 1005.0 * BULK * wind
