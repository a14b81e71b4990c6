"""What is the air like at this height, and how much heat passes between it and the water?

What is the air like at this height, and what happens when it is squeezed?

A "cfm" means little until the air it counts is named. In this set *free air* is dry air
at 20 C (68 F) and 1 atm; :data:`FREE_AIR_DENSITY` turns a flow of it into kilograms, and
mass is what neither depth nor height can change. :func:`actual_to_free_air` brings any
other basis to this one; the usual ones differ by up to 10 %.

Inside the package temperatures are degC, pressures Pa (absolute or gauge as the name
says), flows m3/s, the rest SI. Air is an ideal gas here, which is right within 0.2 %
from 0 to 60 C up to 3 atm. Numbers and arrays of any shape work alike.

What this leaves out: leaks, heat lost while compressing, and the weather, which moves air
pressure by some 3 % round its mean (common experience, no source).

Compressed air and the metal that carries it get hot enough to burn skin and to soften
plastic. Follow the label, the local code and the maker's limits for line and fittings.

What do sun, sky, wind and damp do to the water's surface?

Heat enters a pond as sunlight and as the glow of the sky; it leaves as the water's own glow,
as vapor and as warm air. Hours are solar time: noon is when the sun stands highest.
"""


import math

import numpy as np

from . import water
from .refusals import Refused
from .spellings import either
from .units import positive, quantities

R_AIR = 287.05287                       # J/(kg K) of dry air, U.S. Standard Atmosphere 1976 and ISO 2533
HEAT_RATIO = 1.4                        # specific heat at constant pressure over that at constant volume
GRAVITY = 9.80665                       # m/s2, standard
SPECIFIC_HEAT = 1006.0                  # J/(kg K) of dry air at constant pressure, 0 to 60 C
MOLAR_MASS = 28.9644                    # g/mol of dry air, U.S. Standard Atmosphere 1976
OXYGEN_MASS_SHARE = water.OXYGEN_SHARE * water.OXYGEN_MOLAR_MASS / MOLAR_MASS      # 0.2314 of dry air
# free air, stated once for the whole set
FREE_AIR_TEMPERATURE = 20.0             # C, 68 F
FREE_AIR_PRESSURE = water.ATMOSPHERE    # Pa, 1 atm
FREE_AIR_DENSITY = FREE_AIR_PRESSURE / (R_AIR * (FREE_AIR_TEMPERATURE + water.ZERO_C))     # 1.2041 kg/m3


def _check(owner, name, value, low, high, unit, advice, scale=1.0):
    """Refuse a number outside low to high, with one cheap comparison when all is well; gaps pass."""
    if not water.inside(value, low, high):
        bad = water.first_outside(value, low, high)
        if bad is not None:
            raise Refused(f"{name} is {bad * scale:.5g}{unit}, but it must be {low * scale:g} to "
                          f"{high * scale:g}{unit}. {advice}", by=owner)


def _kelvin(temperature, owner):
    _check(owner, "the air's temperature", temperature, -60.0, 400.0, " °C", "Check the number and its unit.")
    return water.number(temperature) + water.ZERO_C


def _absolute(pressure, owner):
    _check(owner, "absolute pressure", pressure, 20e3, 5e6, " kPa",
           f"Open air is near {either('14.7 psi', '101 kPa')} at sea level; add that to a gauge reading.", 1e-3)
    return water.number(pressure)


def _ratio(pressure_gauge, inlet_pressure_absolute, owner):
    """Outlet over inlet pressure, both absolute."""
    _check(owner, "gauge pressure", pressure_gauge, 0.0, 5e6, " kPa", "A gauge reads 0 in open air.", 1e-3)
    return 1 + water.number(pressure_gauge) / _absolute(inlet_pressure_absolute, owner)


@quantities(elevation="m", gives="Pa")
def pressure_by_elevation(elevation):
    """Usual air pressure at a height above sea level.

    elevation (float or array): m above sea level, -500 to 9000.
    Returns: float or array: Pa, absolute, on an average day.
    Raises ValueError: Outside -500 to 9000 m, where no pond lies.

    P = 101325 (1 - 0.0065 H/288.15)^5.2559, with H the geopotential height, r h/(r + h), r = 6356.766 km.
    References: NOAA, NASA and USAF, 1976, U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562.
    """
    _check("pressure_by_elevation", "the elevation", elevation, -500.0, 9000.0, " m",
           "It is the height of the pond above sea level; check feet against meters.")
    h = water.number(elevation)
    height = 6356766.0 * h / (6356766.0 + h)
    return 101325.0 * (1 - 0.0065 / 288.15 * height) ** (GRAVITY * 0.0289644 / (8.31432 * 0.0065))


@quantities(elevation="m", temperature="degC")
def pond_water(elevation, temperature=math.nan):
    """Fresh water (:class:`water.Water`) of a temperature (C), under the usual air at a height (m above sea level)."""
    return water.Water(temperature, pressure_by_elevation(elevation))


@quantities(temperature="degC", pressure_absolute="Pa", gives="kg/m^3")
def density(temperature, pressure_absolute=FREE_AIR_PRESSURE):
    """Density of dry air; saturated air of 25 C is 1 % lighter.

    temperature (float or array): C, -60 to 400.
    pressure_absolute (float or array): Pa absolute, default 1 atm.
    Returns: float or array: kg/m3, P/(R T).
    """
    return _absolute(pressure_absolute, "density") / (R_AIR * _kelvin(temperature, "density"))


@quantities(temperature="degC", gives="Pa*s")
def viscosity(temperature):
    """Dynamic viscosity of air; it does not change with pressure here.

    temperature (float or array): C, -60 to 400.
    Returns: float or array: Pa s; 0.3 to 0.8 % below newer values from -20 to 100 C.
    References: NOAA, NASA and USAF, 1976, U.S. Standard Atmosphere, 1976: 1.458e-6 T^1.5/(T + 110.4).
    """
    kelvin = _kelvin(temperature, "viscosity")
    return 1.458e-6 * kelvin * np.sqrt(kelvin) / (kelvin + 110.4)


@quantities(flow_free_air="m^3/s", temperature="degC", pressure_absolute="Pa", gives="m^3/s")
def free_air_to_actual(flow_free_air, temperature, pressure_absolute=FREE_AIR_PRESSURE):
    """Volume flow that a flow of free air becomes in other conditions: scfm to icfm or acfm.

    flow_free_air (float or array): m3/s of free air (dry, 20 C, 1 atm), zero or more.
    temperature, pressure_absolute: Of the air where it is counted, as for :func:`density`: at a compressor's inlet, or
        in a line. Damp takes up room besides: 3 % in saturated air of 25 C.
    Returns: float or array: m3/s there, Q P0/P T/T0. The oxygen carried is the same.
    """
    _check_flow(flow_free_air, "free_air_to_actual")
    return flow_free_air * (FREE_AIR_DENSITY / density(temperature, pressure_absolute))


@quantities(flow_actual="m^3/s", temperature="degC", pressure_absolute="Pa", gives="m^3/s")
def actual_to_free_air(flow_actual, temperature, pressure_absolute=FREE_AIR_PRESSURE):
    """Flow of free air held in a volume flow counted in other conditions; undoes :func:`free_air_to_actual`.

    flow_actual (float or array): m3/s where it is counted, zero or more.
    temperature, pressure_absolute: Of the air there, as for :func:`density`. For a data sheet in "scfm" they are the
        conditions its small print names.
    Returns: float or array: m3/s of free air.
    """
    _check_flow(flow_actual, "actual_to_free_air")
    return flow_actual * (density(temperature, pressure_absolute) / FREE_AIR_DENSITY)


def _check_flow(flow, owner):
    _check(owner, "the flow", flow, 0.0, 1e3, " m³/s", "A flow is 0 or more; check the sign and the unit.")


@quantities(flow_free_air="m^3/s", gives="kg/s")
def mass_flow(flow_free_air):
    """Mass of air in a flow of free air, kg/s: 1.2041 kg in each m3 (0.0752 lb in each cubic foot)."""
    _check_flow(flow_free_air, "mass_flow")
    return flow_free_air * FREE_AIR_DENSITY


@quantities(flow_free_air="m^3/s", gives="kg/s")
def oxygen_mass_flow(flow_free_air):
    """Mass of oxygen in a flow of free air, kg/s: 23.1 % of its mass.

    This is what passes, not what dissolves; a pond keeps a small part of it.
    """
    return mass_flow(flow_free_air) * OXYGEN_MASS_SHARE


@quantities(pressure_gauge="Pa", temperature="degC", inlet_pressure_absolute="Pa", gives="J/kg")
def adiabatic_work(pressure_gauge, temperature=FREE_AIR_TEMPERATURE,
                   inlet_pressure_absolute=FREE_AIR_PRESSURE):
    """Work that squeezes a kilogram of air so fast that its heat cannot leave.

    pressure_gauge (float or array): At the outlet, Pa gauge, zero or more.
    temperature (float or array): Of the air drawn in, C, default 20.
    inlet_pressure_absolute (float or array): Open air, Pa absolute, default 1 atm; use :func:`pressure_by_elevation`.
    Returns: float or array: J/kg. Efficiencies of small compressors are reckoned against this.

    R T k/(k - 1) [(P2/P1)^((k-1)/k) - 1], k = 1.4.
    References: E. Oberg and others, 2020, Machinery's Handbook, 31st ed., p. 2816 (its Table 35 agrees within 0.8 %).
    """
    a = (HEAT_RATIO - 1) / HEAT_RATIO
    ratio = _ratio(pressure_gauge, inlet_pressure_absolute, "adiabatic_work")
    return R_AIR * _kelvin(temperature, "adiabatic_work") / a * (ratio**a - 1)


@quantities(flow_free_air="m^3/s", work="J/kg", gives="W")
def compression_power(flow_free_air, work):
    """Power that goes into the air, W: its mass flow times :func:`adiabatic_work`.

    The cord delivers several times this; see ``compressor.wire_power``.
    """
    return mass_flow(flow_free_air) * work


@quantities(pressure_gauge="Pa", temperature="degC", efficiency="", gives="degC")
def discharge_temperature(pressure_gauge, temperature, efficiency):
    """Temperature of the air as it leaves a compressor at sea level that sheds no heat.

    pressure_gauge (float or array): At the outlet, Pa gauge, zero or more.
    temperature (float or array): Of the air drawn in, C; inside a cabinet that is hotter than the shade.
    efficiency (float or array): Adiabatic work over the work that really goes into the air, over 0 to 1; 0.5 to 0.7
        is common for small machines (from memory, not verified).
    Returns: float or array: C. Real machines lose some heat through the casing, so they run cooler than this at the
        outlet.
    Raises ValueError: If the efficiency is not over 0 to 1.

    T1 (1 + [(P2/P1)^((k-1)/k) - 1]/efficiency), absolute temperatures.
    """
    _check("discharge_temperature", "the efficiency", efficiency, 0.01, 1.0, "",
           "Write '60 %' or 0.6, not 60.")
    kelvin = _kelvin(temperature, "discharge_temperature")
    ratio = _ratio(pressure_gauge, FREE_AIR_PRESSURE, "discharge_temperature")
    rise = kelvin * (ratio ** ((HEAT_RATIO - 1) / HEAT_RATIO) - 1) / efficiency
    return kelvin + rise - water.ZERO_C


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

    latitude (quantity).
    day, hour (float or array): Day of the year and solar hour.
    elevation (quantity).

    1098 sin(h) exp(-0.059/sin(h)) W/m2, h the sun's height; raised by 2.7 % per km of elevation as
    FAO-56 equation 37 does. Clear-sky models differ by about 7 %.
    References: B. Haurwitz, 1945, Journal of Meteorology 2:154-166, as coded in pvlib.
    """
    height = np.maximum(_sun_height(latitude, np.asarray(day, float), np.asarray(hour, float)), 1e-4)
    return (1098 * height * np.exp(-0.059 / height) * (1 + 2e-5 / 0.75 * elevation))[()]


def cloud_share(cloud):
    """Share of clear-sky light that comes through a sky covered by `cloud` (0 to 1): 1 - 0.65 cloud.

    References: D. P. Larson, L. Nonnenmacher and C. F. M. Coimbra, 2016 (as coded in pvlib). FAO-56 equation 35 gives
        1 - 0.667 cloud for a day's mean.
    """
    return 1 - 0.65 * np.asarray(cloud, float)


@quantities(temperature="degC", vapor_pressure="Pa")
def sky_emissivity(temperature, vapor_pressure, cloud=0.0):
    """How brightly the sky glows against a black body at air temperature, 0 to 1.

    temperature (quantity): Air near the ground.
    vapor_pressure (quantity): Of that air.
    cloud (float or array): Share of the sky covered.

    Clear sky 1 - (1 + w) exp(-sqrt(1.2 + 3 w)), w = 46.5 e/T of water above in cm, e in hPa; clouds add up to 17 % as
    1 + 0.17 cloud^2 (from memory, not verified), never above 1. Formulas for clear skies differ by 5 % (16 W/m2) in
    summer. In frost the older 1.24 (e/T)^(1/7) of Brutsaert (1975) lies 6 to 9 % below the rest, and froze ponds early.
    References: A. J. Prata, 1996, Quarterly Journal of the Royal Meteorological Society 122:1127-1151 (from memory).
    """
    w = 0.465 * np.asarray(vapor_pressure, float) / (np.asarray(temperature, float) + ZERO_C)
    clear = 1 - (1 + w) * np.exp(-np.sqrt(1.2 + 3 * w))
    return np.minimum(1.0, clear * (1 + 0.17 * np.asarray(cloud, float) ** 2))[()]


@quantities(secchi_depth="m", gives="1/m")
def light_fade(secchi_depth):
    """How fast light fades with depth, from the depth where a white disk is lost to sight.

    K = 1.7/Secchi depth; muddy water is nearer 1.44/Secchi depth (Holmes 1970).
    References: H. H. Poole and W. R. G. Atkins, 1929, Journal of the Marine Biological Association 16:297-324.
    """
    positive("light_fade", secchi_depth=secchi_depth)
    return 1.7 / secchi_depth


def bulk_factors(wind_speed, air_temperature, air_pressure):
    """Factors of vapor (W/(m2 Pa)) and warm air (W/(m2 K)) at a wind 10 m over the pond, SI arrays.

    Evaporation is rho L C U 0.622 (e_s - e_a)/p and warm air rho c C U (T - T_a) with C = 1.3e-3; U has
    the air's own rise added as squares. Not calibrated to one pond: check against readings.
    """
    rho = air_pressure / (R_AIR * (air_temperature + ZERO_C))
    wind = np.sqrt(wind_speed ** 2 + CALM ** 2)
    heat = water.latent_heat(np.maximum(air_temperature, 0.0))
    return rho * heat * BULK * wind * 0.622 / air_pressure, rho * 1005.0 * BULK * wind
