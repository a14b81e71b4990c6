"""What is the water like at this temperature: how heavy, how runny, how much air can it hold?

Every function takes the water's temperature, at 1 atm and without salt unless it says
otherwise. Inside the package temperatures are degC, pressures Pa *absolute*, dissolved
gases mg/L (= g/m3), the rest SI; numbers and arrays of any shape work alike. A missing
temperature (not-a-number) gives not-a-number.

:class:`Water` holds what is known of one water, temperature, air pressure and salt, and is handed on as one
thing; height enters through the air pressure (``air.pond_water``).

What this leaves out: the weight that salt adds (about 0.76 kg/m3 for each g/kg), the
squeeze of depth (0.03 kg/m3 at 6 m), and mud in suspension.
"""

import dataclasses
import warnings
from typing import Any

import numpy as np

from .refusals import Caution, Refused
from .spellings import either
from .units import quantities, record

ATMOSPHERE = 101325.0                                   # Pa, 1 atm
ZERO_C = 273.15                                         # K at 0 C
OXYGEN_SHARE, NITROGEN_SHARE = 0.20946, 0.78084         # of the molecules of dry air
OXYGEN_MOLAR_MASS, NITROGEN_MOLAR_MASS = 31.9988, 28.0134   # g/mol
GAS_CONSTANT = 8.314462618                              # J/(mol K)
HEAVIEST = 3.983035                                     # C, Tanaka and others (2001)

# what a law covers: lowest and highest C, and its source
_TANAKA = (0.0, 40.0, "Tanaka and others (2001)")
_IAPWS_LIQUID = (-5.0, 60.0, "IAPWS SR6-08 (2011)")
_VAPOR = (-40.0, 100.0, "Wagner and Pruss (2002), tried on supercooled water down to there")
_HARRISON = (0.0, 60.0, "Harrison (1963)")
_BENSON = (0.0, 40.0, "Benson and Krause (1984)")
_HAMME = (0.0, 40.0, "the equation of Hamme and Emerson (2004) tried against Weiss (1970)")
_HAN = (-0.5, 60.0, "Han and Bartels (1996)")
_GRACE = 0.01       # C, so that 32 °F, turned into -0.0000000001 C, is not called too cold


def inside(value, low, high):
    """Whether every number lies from low to high, in one cheap look; not-a-number counts as outside."""
    if isinstance(value, float):
        return low <= value <= high
    value = np.asarray(value)
    return not value.size or bool(value.min() >= low and value.max() <= high)


def first_outside(values, low, high):
    """First number outside low to high, or None; not-a-number is no number."""
    values = np.asarray(values, float)
    outside = values[(values < low) | (values > high)]
    return float(outside.flat[0]) if outside.size else None


def number(value):
    """A float as it is; anything else as an array of floats."""
    return value if isinstance(value, float) else np.asarray(value, float)


def _celsius(temperature, law, owner, possible=(-5.0, 60.0)):
    """Temperature as a float or array, checked once and cheaply; the slow path explains."""
    t = number(temperature)
    if not inside(t, law[0] - _GRACE, law[1] + _GRACE):
        _explain(t, law, owner, possible)
    return t


def _explain(t, law, owner, possible):
    """Refuse an impossible water temperature; warn of one past the law's range; let gaps pass."""
    def both(*celsius):
        return either(f"{' to '.join(f'{1.8 * c + 32:.4g}' for c in celsius)} °F",
                      f"{' to '.join(f'{c:.4g}' for c in celsius)} °C")

    def meant(worst):
        if not 40 < worst <= 120:
            return "Check the number, its sign and its unit."
        return f"Was {worst:.4g} °F meant? That is {(worst - 32) / 1.8:.3g} °C: write '{worst:.4g} °F'."

    worst = first_outside(t, *possible)
    if worst is not None:
        raise Refused(f"a temperature of {both(worst)} is outside what is allowed, {both(*possible)}. {meant(worst)}",
                      by=owner)
    worst = first_outside(t, law[0] - _GRACE, law[1] + _GRACE)
    if worst is not None:
        warnings.warn(Caution(f"{both(worst)} is outside {both(*law[:2])}, the range of {law[2]}; the result is "
                              f"stretched past it. {meant(worst)}", by=owner), stacklevel=4)


def _dry_ratio(pressure_absolute, vapor, owner):
    """Dry air pressure over that at 1 atm, after checking that the pressure is an absolute one."""
    if not inside(pressure_absolute, 50e3, 112e3):
        bad, odd = first_outside(pressure_absolute, 20e3, 2e6), first_outside(pressure_absolute, 50e3, 112e3)
        if bad is not None:
            raise Refused(f"an absolute air pressure of {bad / 1000:.4g} kPa ({bad / 6894.757:.3g} psi) is outside "
                          f"what is allowed, 20 to 2000 kPa. Open air is near {either('14.7 psi', '101 kPa')} at sea "
                          "level; add that to a gauge reading.", by=owner)
        if odd is not None:
            warnings.warn(Caution(f"{odd / 1000:.4g} kPa is no air pressure over a pond (50 to 112 kPa), which is what "
                                  "the law of Benson and Krause (1984) is meant for.", by=owner), stacklevel=3)
    return (pressure_absolute - vapor) / (ATMOSPHERE - vapor)


def _check_salinity(salinity, owner):
    if inside(salinity, 0.0, 40.0):
        return
    bad, odd = first_outside(salinity, 0.0, 300.0), first_outside(salinity, 0.0, 40.0)
    if bad is not None:
        raise Refused(f"a salinity of {bad:.4g} g/kg is outside what is allowed, 0 to 300 g/kg. Sea water is 35 g/kg; "
                      "1000 mg/L of salt is 1 g/kg.", by=owner)
    if odd is not None:
        warnings.warn(Caution(f"{odd:.4g} g/kg is outside 0 to 40 g/kg, the range of Benson and Krause (1984).",
                              by=owner), stacklevel=3)


@quantities(temperature="degC", gives="kg/m^3")
def density(temperature):
    """Density of fresh water at 1 atm.

    temperature (float or array): C, 0 to 40.
    Returns: float or array: kg/m3; greatest, 999.975, at 3.98 C (39.2 F). Within 0.002 of the IAPWS standard.
    Raises ValueError: Below -5 C or above 60 C; the message asks whether Fahrenheit was meant.
    References: M. Tanaka, G. Girard, R. Davis, A. Peuto and N. Bignell, 2001, Recommended table for the density of
        water between 0 C and 40 C based on recent experimental reports, Metrologia 38:301-309.
    """
    t = _celsius(temperature, _TANAKA, "density")
    off = t - HEAVIEST
    return 999.974950 * (1 - off * off * (t + 301.797) / (522528.9 * (t + 69.34881)))


@quantities(temperature="degC", gives="Pa*s")
def viscosity(temperature):
    """Dynamic viscosity of water: how hard it resists being sheared.

    temperature (float or array): C, -5 to 60.
    Returns: float or array: Pa s; halves between 0 and 25 C.
    References: IAPWS SR6-08(2011), Revised supplementary release on properties of liquid water at 0.1 MPa, eq. 7.
    """
    x = (_celsius(temperature, _IAPWS_LIQUID, "viscosity") + ZERO_C) / 300
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40)


@quantities(temperature="degC", gives="m^2/s")
def kinematic_viscosity(temperature):
    """Viscosity over density, m2/s, for water of 0 to 40 C; see :func:`viscosity` and :func:`density`."""
    return viscosity(temperature) / density(temperature)


@quantities(temperature="degC", gives="Pa")
def vapor_pressure(temperature):
    """Pressure of water vapor in balance with liquid water; also of air that is saturated with it.

    temperature (float or array): C, -40 to 100, of the water or the air. Below 0 C it is that over supercooled water,
        as relative humidity is reckoned by weather services.
    Returns: float or array: Pa, absolute.
    Raises ValueError: Below -60 C or above 100 C.
    References: W. Wagner and A. Pruss, 2002, The IAPWS formulation 1995 for the thermodynamic properties of ordinary
        water substance, J. Phys. Chem. Ref. Data 31:387-535. Below 0 C it stays within 0.8 % of D. M. Murphy and T.
        Koop, 2005, Q. J. R. Meteorol. Soc. 131:1539-1565, down to -40 C.
    """
    ratio = (_celsius(temperature, _VAPOR, "vapor_pressure", (-60.0, 100.0)) + ZERO_C) / 647.096
    x = 1 - ratio
    root, square = np.sqrt(x), x * x
    inner = -11.7866497 + 22.6807411 * root - 15.9618719 * x + 1.80122502 * square * square * root
    power = x * (-7.85951783 + 1.84408259 * root + square * inner)
    return 22.064e6 * np.exp(power / ratio)


@quantities(temperature="degC", gives="J/kg")
def latent_heat(temperature):
    """Heat that turns a kilogram of water to vapor at this temperature.

    temperature (float or array): C of the water's surface, 0 to 60.
    Returns: float or array: J/kg; within 0.05 % of the IAPWS standard up to 40 C.
    References: L. P. Harrison, 1963, Fundamental concepts and definitions relating to humidity, in A. Wexler (ed.),
        Humidity and Moisture vol. 3: 2.501 - 0.002361 t MJ/kg, as in FAO Irrigation and Drainage Paper 56.
    """
    return 2.501e6 - 2361.0 * _celsius(temperature, _HARRISON, "latent_heat")


def _oxygen_at_1_atm(t, salinity=0.0):
    """mg/L under moist air at 1 atm, Benson and Krause (1984)."""
    k = 1 / (t + ZERO_C)
    power = -139.34411 + k * (1.575701e5 + k * (-6.642308e7 + k * (1.243800e10 - k * 8.621949e11)))
    if not (isinstance(salinity, float) and salinity == 0.0):
        power = power - salinity * (1.7674e-2 + k * (-10.754 + k * 2140.7))
    return np.exp(power)


def _vapor(t, salinity):
    """Pressure of vapor over water with salt, Pa."""
    return vapor_pressure(t) * (1 - 0.000537 * salinity)


def _theta(t):
    """Pressure coefficient of Benson and Krause (1984), 1/atm; t in *Celsius* (kelvin is a known slip)."""
    return 0.000975 + t * (-1.426e-5 + t * 6.436e-8)


@quantities(temperature="degC", pressure_absolute="Pa", salinity="g/kg", gives="mg/L")
def oxygen_saturation(temperature, pressure_absolute=ATMOSPHERE, salinity=0.0):
    """Oxygen that water at the surface holds when it is at rest with the air.

    temperature (float or array): Water, C, 0 to 40.
    pressure_absolute (float or array): Air over the pond, Pa absolute, default 1 atm; use
        ``air.pressure_by_elevation``. A weather report's "sea-level" barometer reading is not it.
    salinity (float or array): g/kg, 0 to 40; 0 for a farm pond.
    Returns: float or array: mg/L (= g/m3).
    Raises ValueError: For water below -5 C or above 60 C, pressure that cannot be absolute, or impossible salinity.

    C P [(1 - pv/P)(1 - theta P)] / [(1 - pv)(1 - theta)], P and pv in atm. The vapor pressure pv is
    that of :func:`vapor_pressure`, which changes the result by less than 0.001 mg/L from the
    paper's own down to half an atmosphere.
    References: B. B. Benson and D. Krause, 1984, The concentration and isotopic fractionation of oxygen dissolved in
        freshwater and seawater in equilibrium with the atmosphere, Limnol. Oceanogr. 29:620-632.
    """
    t = _celsius(temperature, _BENSON, "oxygen_saturation")
    _check_salinity(salinity, "oxygen_saturation")
    vapor = _vapor(t, salinity)
    dry = _dry_ratio(pressure_absolute, vapor, "oxygen_saturation")
    theta = _theta(t)
    return _oxygen_at_1_atm(t, salinity) * dry * (1 - theta * (pressure_absolute / ATMOSPHERE)) / (1 - theta)


@record(temperature="degC", pressure_absolute="Pa", salinity="g/kg")
class Water:
    """One water and the air over it, as it is handed on.

    temperature (float or array): C; not-a-number where nobody has said.
    pressure_absolute (float or array): Air over the water, Pa absolute, default 1 atm.
    salinity (float or array): g/kg, default 0. It counts in the gases that the water holds, not in its weight.
    """

    temperature: Any
    pressure_absolute: Any = ATMOSPHERE
    salinity: Any = 0.0

    def at(self, temperature):
        """The same water at another temperature (C)."""
        return dataclasses.replace(self, temperature=temperature)

    @property
    def density(self):
        """kg/m3; see :func:`density`."""
        return density(self.temperature)

    @property
    def saturation(self):
        """Oxygen that it holds at rest with the air, mg/L; see :func:`oxygen_saturation`."""
        return oxygen_saturation(self.temperature, self.pressure_absolute, self.salinity)


STANDARD = Water(20.0)              # fresh, 20 C, 1 atm: what machines are rated in
SEA_LEVEL = Water(np.nan)              # fresh, at sea level, of a temperature that nobody has said


def _nitrogen_per_kilogram(t, salinity=0.0):
    """umol/kg under moist air at 1 atm, Hamme and Emerson (2004), Table 4."""
    x = np.log((298.15 - t) / (ZERO_C + t))
    return np.exp(6.42931 + x * (2.92704 + x * (4.32531 + x * 4.69149))
                  + salinity * (-7.44129e-3 + x * (-8.02566e-3 - x * 1.46775e-2)))


@quantities(temperature="degC", salinity="g/kg", gives="mol/m^3/Pa")
def henry_oxygen(temperature, salinity=0.0):
    """Oxygen that water holds for each pascal of oxygen gas over it.

    temperature (float or array): Water, C, 0 to 40.
    salinity (float or array): g/kg, 0 to 40; 0 for a farm pond.
    Returns: float or array: mol/(m3 Pa). Some books give mol/(m3 bar), 100,000 times this.

    Saturation at 1 atm over the pressure of oxygen there, 0.20946 (1 atm - vapor pressure), so it
    agrees with :func:`oxygen_saturation` exactly at 1 atm and within 0.05 % from 0.5 to 1.1 atm.
    """
    t = _celsius(temperature, _BENSON, "henry_oxygen")
    return _oxygen_at_1_atm(t, salinity) / (OXYGEN_MOLAR_MASS * OXYGEN_SHARE * (ATMOSPHERE - _vapor(t, salinity)))


@quantities(temperature="degC", salinity="g/kg", gives="mol/m^3/Pa")
def henry_nitrogen(temperature, salinity=0.0):
    """Nitrogen that water holds for each pascal of nitrogen gas over it, mol/(m3 Pa), 0 to 40 C; salt in g/kg.

    Built as :func:`henry_oxygen` is, from saturation at 1 atm and 0.78084 of dry air.

    References: R. C. Hamme and S. R. Emerson, 2004, The solubility of neon, nitrogen and argon in distilled water and
        seawater, Deep-Sea Res. I 51:1517-1528, Table 4.
    """
    t = _celsius(temperature, _HAMME, "henry_nitrogen")
    return (_nitrogen_per_kilogram(t, salinity) * density(t) * 1e-6
            / (NITROGEN_SHARE * (ATMOSPHERE - _vapor(t, salinity))))


@quantities(temperature="degC", gives="m^2/s")
def oxygen_diffusivity(temperature):
    """How fast dissolved oxygen spreads through still water.

    temperature (float or array): Water, C, -0.5 to 60.
    Returns: float or array: m2/s. Other published values run up to 18 % higher (Ferrell and Himmelblau 1967; Hayduk
        and Laudie 1974); gas transfer goes with the square root, so up to 9 %.
    References: P. Han and D. M. Bartels, 1996, Temperature dependence of oxygen diffusion in H2O and D2O, J. Phys.
        Chem. 100:5597-5602.
    """
    k = 1 / (_celsius(temperature, _HAN, "oxygen_diffusivity") + ZERO_C)
    return np.exp(np.log(10) * (-8.410 + k * (773.8 - k * 506.4**2)))


@quantities(temperature="degC", gives="")
def schmidt_number_oxygen(temperature):
    """Kinematic viscosity of water over diffusivity of oxygen, a pure number, 0 to 40 C.

    Wanninkhof (1992) gives 530 at 20 C from a larger diffusivity, 3 to 11 % less than this. Gas transfer
    by wind goes with the square root, so 2 to 6 %. His cubic ends at 30 C and must not be stretched: at 40 C
    it falls below 1.
    """
    return kinematic_viscosity(temperature) / oxygen_diffusivity(temperature)
