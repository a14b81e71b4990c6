"""Heat through open water, written out once more for several tests: the bulk law and Edinger's."""

import numpy as np

from pondcalc import air, water


def edinger_pull(temperature, dew_point, wind_speed):
    """Exchange coefficient, W/(m2 K), of Edinger, Brady and Geyer (1974); wind in m/s at 7 m.

    J. E. Edinger, D. K. Brady and J. C. Geyer, 1974, Heat exchange and transport in the environment (formula seen
    second-hand in five public codes).
    """
    f = 9.2 + 0.46 * wind_speed ** 2
    middle = 0.5 * (temperature + dew_point)
    slope = 0.35 + 0.015 * middle + 0.0012 * middle ** 2
    return 4.5 + 0.05 * temperature + slope * f + 0.47 * f


def edinger_rest(temperature, dew_point, wind_speed, sunlight):
    """Temperature at which a surface gains and loses the same, C: dew point and sunlight over the pull."""
    return dew_point + sunlight / edinger_pull(temperature, dew_point, wind_speed)


def open_water_heat(temperature, air_temperature, vapor_pressure, wind_speed, sky_glow, air_pressure=101325.0):
    """Heat into open water other than sunlight, W/m2: the sky's glow, the water's own, vapor and warm air."""
    vapor, warmth = air.bulk_factors(np.asarray(wind_speed, float), np.asarray(air_temperature, float),
                                     air_pressure)
    glow = 0.97 * (sky_glow - 5.670374e-8 * (np.asarray(temperature) + 273.15) ** 4)
    steam = vapor * (water.vapor_pressure(temperature) - vapor_pressure)
    return glow - steam - warmth * (temperature - air_temperature)
