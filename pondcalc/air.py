"""What is the air like at this height, and what happens when it is squeezed?

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
"""

import numpy as np

from . import water
from .refusals import Refused
from .units import quantities
from .wording import either

__all__ = ["pressure_by_elevation", "density", "viscosity", "free_air_to_actual", "actual_to_free_air",
           "mass_flow", "oxygen_mass_flow", "adiabatic_work", "compression_power", "discharge_temperature",
           "R_AIR", "HEAT_RATIO", "OXYGEN_MASS_SHARE", "FREE_AIR_TEMPERATURE", "FREE_AIR_PRESSURE",
           "FREE_AIR_DENSITY"]

R_AIR = 287.05287                       # J/(kg K) of dry air, U.S. Standard Atmosphere 1976 and ISO 2533
HEAT_RATIO = 1.4                        # specific heat at constant pressure over that at constant volume
GRAVITY = 9.80665                       # m/s2, standard
SPECIFIC_HEAT = 1006.0                  # J/(kg K) of dry air at constant pressure, 0 to 60 C
MOLAR_MASS = 28.9644                    # g/mol of dry air, U.S. Standard Atmosphere 1976
VAPOR_RATIO = 18.01528 / MOLAR_MASS     # weight of a water molecule over a mean air molecule
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


def _vapor(temperature, relative_humidity, owner):
    """Pa of water vapor in air of this humidity."""
    if isinstance(relative_humidity, float) and relative_humidity == 0.0:
        return 0.0
    _check(owner, "relative humidity", relative_humidity, 0.0, 1.0, "",
           "Write '60 %' or 0.6, not 60.")
    return water.number(relative_humidity) * water.vapor_pressure.si(temperature)


@quantities(elevation="m", gives="Pa")
def pressure_by_elevation(elevation):
    """Usual air pressure at a height above sea level.

    Parameters
    ----------
    elevation : float or array
        m above sea level, -500 to 9000.

    Returns
    -------
    float or array
        Pa, absolute, on an average day.

    Raises
    ------
    ValueError
        Outside -500 to 9000 m, where no pond lies.

    Notes
    -----
    P = 101325 (1 - 0.0065 H/288.15)^5.2559, with H the geopotential height, r h/(r + h), r = 6356.766 km.

    References
    ----------
    NOAA, NASA and USAF, 1976, U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562.
    """
    _check("pressure_by_elevation", "the elevation", elevation, -500.0, 9000.0, " m",
           "It is the height of the pond above sea level; check feet against meters.")
    h = water.number(elevation)
    height = 6356766.0 * h / (6356766.0 + h)
    return 101325.0 * (1 - 0.0065 / 288.15 * height) ** (GRAVITY * 0.0289644 / (8.31432 * 0.0065))


@quantities(temperature="degC", pressure_absolute="Pa", relative_humidity="", gives="kg/m^3")
def density(temperature, pressure_absolute=FREE_AIR_PRESSURE, relative_humidity=0.0):
    """Density of air, dry or moist; damp air is the lighter.

    Parameters
    ----------
    temperature : float or array
        C, -60 to 400; with humidity -60 to 100.
    pressure_absolute : float or array, optional
        Pa absolute, default 1 atm.
    relative_humidity : float or array, optional
        0 to 1, default dry.

    Returns
    -------
    float or array
        kg/m3.

    Notes
    -----
    (P - e)/(R T) + 0.622 e/(R T), e the pressure of the vapor; Dalton's law for ideal gases.
    """
    kelvin = _kelvin(temperature, "density")
    vapor = _vapor(temperature, relative_humidity, "density")
    return (_absolute(pressure_absolute, "density") - (1 - VAPOR_RATIO) * vapor) / (R_AIR * kelvin)


@quantities(temperature="degC", gives="Pa*s")
def viscosity(temperature):
    """Dynamic viscosity of air; it does not change with pressure here.

    Parameters
    ----------
    temperature : float or array
        C, -60 to 400.

    Returns
    -------
    float or array
        Pa s; 0.3 to 0.8 % below newer values from -20 to 100 C.

    References
    ----------
    NOAA, NASA and USAF, 1976, U.S. Standard Atmosphere, 1976: 1.458e-6 T^1.5/(T + 110.4).
    """
    kelvin = _kelvin(temperature, "viscosity")
    return 1.458e-6 * kelvin * np.sqrt(kelvin) / (kelvin + 110.4)


def _expansion(temperature, pressure_absolute, relative_humidity, owner):
    """Volume that 1 m3 of free air takes up, moisture and all, in these conditions."""
    kelvin = _kelvin(temperature, owner)
    dry = _absolute(pressure_absolute, owner) - _vapor(temperature, relative_humidity, owner)
    return FREE_AIR_PRESSURE / dry * kelvin / (FREE_AIR_TEMPERATURE + water.ZERO_C)


@quantities(flow_free_air="m^3/s", temperature="degC", pressure_absolute="Pa", relative_humidity="",
            gives="m^3/s")
def free_air_to_actual(flow_free_air, temperature, pressure_absolute=FREE_AIR_PRESSURE,
                       relative_humidity=0.0):
    """Volume flow that a flow of free air becomes in other conditions: scfm to icfm or acfm.

    Parameters
    ----------
    flow_free_air : float or array
        m3/s of free air (dry, 20 C, 1 atm), zero or more.
    temperature, pressure_absolute, relative_humidity
        Of the air where it is counted, as for :func:`density`: at a compressor's inlet, or in a line.

    Returns
    -------
    float or array
        m3/s there. The oxygen carried is the same.

    Notes
    -----
    Q P0/(P - e) T/T0: only the dry part counts as free air.
    """
    _check_flow(flow_free_air, "free_air_to_actual")
    return flow_free_air * _expansion(temperature, pressure_absolute, relative_humidity, "free_air_to_actual")


@quantities(flow_actual="m^3/s", temperature="degC", pressure_absolute="Pa", relative_humidity="",
            gives="m^3/s")
def actual_to_free_air(flow_actual, temperature, pressure_absolute=FREE_AIR_PRESSURE, relative_humidity=0.0):
    """Flow of free air held in a volume flow counted in other conditions; undoes :func:`free_air_to_actual`.

    Parameters
    ----------
    flow_actual : float or array
        m3/s where it is counted, zero or more.
    temperature, pressure_absolute, relative_humidity
        Of the air there, as for :func:`density`. For a data sheet in "scfm" they are the conditions
        its small print names.

    Returns
    -------
    float or array
        m3/s of free air.
    """
    _check_flow(flow_actual, "actual_to_free_air")
    return flow_actual / _expansion(temperature, pressure_absolute, relative_humidity, "actual_to_free_air")


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
    return mass_flow.si(flow_free_air) * OXYGEN_MASS_SHARE


@quantities(pressure_gauge="Pa", temperature="degC", inlet_pressure_absolute="Pa", gives="J/kg")
def adiabatic_work(pressure_gauge, temperature=FREE_AIR_TEMPERATURE,
                   inlet_pressure_absolute=FREE_AIR_PRESSURE):
    """Work that squeezes a kilogram of air so fast that its heat cannot leave.

    Parameters
    ----------
    pressure_gauge : float or array
        At the outlet, Pa gauge, zero or more.
    temperature : float or array, optional
        Of the air drawn in, C, default 20.
    inlet_pressure_absolute : float or array, optional
        Open air, Pa absolute, default 1 atm; use :func:`pressure_by_elevation`.

    Returns
    -------
    float or array
        J/kg. Efficiencies of small compressors are reckoned against this.

    Notes
    -----
    R T k/(k - 1) [(P2/P1)^((k-1)/k) - 1], k = 1.4.

    References
    ----------
    E. Oberg and others, 2020, Machinery's Handbook, 31st ed., p. 2816 (its Table 35 agrees within 0.8 %).
    """
    a = (HEAT_RATIO - 1) / HEAT_RATIO
    ratio = _ratio(pressure_gauge, inlet_pressure_absolute, "adiabatic_work")
    return R_AIR * _kelvin(temperature, "adiabatic_work") / a * (ratio**a - 1)


@quantities(flow_free_air="m^3/s", work="J/kg", gives="W")
def compression_power(flow_free_air, work):
    """Power that goes into the air, W: its mass flow times :func:`adiabatic_work`.

    The cord delivers several times this; see ``compressor.wire_power``.
    """
    return mass_flow.si(flow_free_air) * work


@quantities(pressure_gauge="Pa", temperature="degC", efficiency="", inlet_pressure_absolute="Pa",
            gives="degC")
def discharge_temperature(pressure_gauge, temperature=FREE_AIR_TEMPERATURE, efficiency=1.0,
                          inlet_pressure_absolute=FREE_AIR_PRESSURE):
    """Temperature of the air as it leaves a compressor that sheds no heat.

    Parameters
    ----------
    pressure_gauge, inlet_pressure_absolute
        As for :func:`adiabatic_work`.
    temperature : float or array, optional
        Of the air drawn in, C; inside a cabinet that is hotter than the shade.
    efficiency : float or array, optional
        Adiabatic work over the work that really goes into the air, over 0 to 1; 0.5 to 0.7 is common
        for small machines (from memory, not verified).

    Returns
    -------
    float or array
        C. Real machines lose some heat through the casing, so they run cooler than this at the outlet.

    Raises
    ------
    ValueError
        If the efficiency is not over 0 to 1.

    Notes
    -----
    T1 (1 + [(P2/P1)^((k-1)/k) - 1]/efficiency), absolute temperatures.
    """
    _check("discharge_temperature", "the efficiency", efficiency, 0.01, 1.0, "",
           "Write '60 %' or 0.6, not 60.")
    kelvin = _kelvin(temperature, "discharge_temperature")
    ratio = _ratio(pressure_gauge, inlet_pressure_absolute, "discharge_temperature")
    rise = kelvin * (ratio ** ((HEAT_RATIO - 1) / HEAT_RATIO) - 1) / efficiency
    return kelvin + rise - water.ZERO_C
