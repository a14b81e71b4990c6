"""Water against printed tables and, in the same run, the libraries gsw, CoolProp and iapws."""

import inspect
import warnings

import CoolProp.CoolProp as CP
import gsw
import iapws
import numpy as np
import pytest
from iapws._iapws import _Henry, _Liquid
from scipy.optimize import minimize_scalar

from pondcalc.door import water
from pondcalc.units import Q, QuantityError

ATM = 101325.0
MMHG = ATM / 760
T = np.linspace(0, 40, 41)
LIQUID = np.maximum(T, 0.01)            # CoolProp starts at the triple point
# Warnings count as failures here: within its range no function may warn.
pytestmark = pytest.mark.filterwarnings("error")


def coolprop(name, t, second="P", value=ATM):
    return CP.PropsSI(name, "T", np.asarray(t) + 273.15, second, value, "Water")


def each(function, t):
    return np.array([function(x + 273.15) for x in t])


# ---------------------------------------------------------------- density

def test_density_against_two_libraries():
    # TEOS-10 (gsw) and IAPWS-95 (CoolProp): within 0.002 kg/m3, 0 to 40 C
    assert water.density.si(T) == pytest.approx(gsw.rho_t_exact(0, T, 0), abs=0.002)
    assert water.density.si(LIQUID) == pytest.approx(coolprop("D", LIQUID), abs=0.002)


@pytest.mark.parametrize("t", [4.0, 24.4, 30.0])
def test_density_against_a_third_library(t):
    assert water.density.si(t) == pytest.approx(iapws.IAPWS95(T=t + 273.15, P=ATM / 1e6).rho, abs=0.002)


# ISO 4064, water density in kg/L at 1 atm (annex, copied in public code that was read). The copy cuts the
# last digit off where it should round (998.207 became 0.99820), so one unit of that digit is allowed.
@pytest.mark.parametrize("t, table", [(4, 0.99997), (5, 0.99996), (8, 0.99985), (10, 0.99970), (13, 0.99938),
                                      (16, 0.99894), (20, 0.99820), (22, 0.99777), (23, 0.99754)])
def test_density_against_the_iso_4064_table(t, table):
    assert water.density.si(float(t)) / 1000 == pytest.approx(table, abs=1e-5)


def test_temperature_of_greatest_density():
    # gsw's own peak 3.979 C, IAPWS-95 3.978; the law used peaks 0.005 C higher
    heaviest = water.HEAVIEST
    for rho in (lambda t: gsw.rho_t_exact(0, t, 0), lambda t: coolprop("D", t)):
        peak = minimize_scalar(lambda t, rho=rho: -rho(t), bounds=(3, 5), method="bounded").x
        assert heaviest == pytest.approx(peak, abs=0.01)
    near = heaviest + np.array([-0.05, 0, 0.05])
    assert np.argmax(water.density.si(near)) == 1
    assert water.HEAVIEST * 1.8 + 32 == pytest.approx(39.17, abs=0.01)


def test_trap_conservative_temperature_is_not_temperature():
    # gsw.rho fed with a thermometer reading is 0.2 kg/m3 off and makes layers look 10 % weaker
    ours = water.density.si(12.0) - water.density.si(24.0)
    assert ours == pytest.approx(gsw.rho_t_exact(0, 12, 0) - gsw.rho_t_exact(0, 24, 0), abs=0.001)
    wrong = gsw.rho(0, 12, 0) - gsw.rho(0, 24, 0)
    assert wrong < 0.92 * ours
    assert gsw.rho(0, 20, 0) - water.density.si(20.0) > 0.15


def test_trap_misprinted_denominator_is_far_away():
    # Kell (1975) with 16.897850e-3, a misprint seen in public code, for 16.879850e-3
    def kell(t, last):
        top = np.polyval([-280.54253e-12, 105.56302e-9, -46.170461e-6, -7.9870401e-3, 16.945176, 999.83952],
                         t)
        return top / (1 + last * t)
    assert water.density.si(20.0) == pytest.approx(kell(20.0, 16.879850e-3), abs=0.004)
    assert abs(water.density.si(20.0) - kell(20.0, 16.897850e-3)) > 0.2


def test_what_density_leaves_out_is_as_small_as_the_module_says():
    salt = gsw.rho_t_exact(1, 20, 0) - gsw.rho_t_exact(0, 20, 0)
    squeeze = gsw.rho_t_exact(0, 20, 6) - gsw.rho_t_exact(0, 20, 0)
    assert (salt, squeeze) == pytest.approx((0.76, 0.03), abs=0.005)


# ---------------------------------------------------------------- flow, surface, heat

# Engineering table of water (general reference, table read): mPa s and 1e-6 m2/s
TABLE = [(0, 1.787, 1.787), (5, 1.519, 1.519), (10, 1.307, 1.307), (20, 1.002, 1.004), (30, 0.798, 0.801),
         (40, 0.653, 0.658)]


@pytest.mark.parametrize("t, mu, nu", TABLE)
def test_viscosity_against_a_printed_table(t, mu, nu):
    assert water.viscosity.si(float(t)) * 1e3 == pytest.approx(mu, rel=0.003)
    assert water.kinematic_viscosity.si(float(t)) * 1e6 == pytest.approx(nu, rel=0.003)


def test_viscosity_against_two_libraries():
    assert water.viscosity.si(LIQUID) == pytest.approx(coolprop("V", LIQUID), rel=1e-4)
    assert water.viscosity.si(T) == pytest.approx(each(lambda k: _Liquid(k)["mu"], T), rel=1e-9)
    nu = coolprop("V", LIQUID) / coolprop("D", LIQUID)
    assert water.kinematic_viscosity.si(LIQUID) == pytest.approx(nu, rel=1e-4)
    assert water.kinematic_viscosity.si(T) == pytest.approx(
        each(lambda k: _Liquid(k)["mu"] / _Liquid(k)["rho"], T), rel=1e-5)


# Vapor pressure in kPa: London South Bank University, Water structure and science, data table (read)
@pytest.mark.parametrize("t, kpa", [(0, 0.611), (10, 1.228), (20, 2.339), (30, 4.247), (40, 7.385),
                                    (60, 19.947)])
def test_vapor_pressure_against_a_printed_table(t, kpa):
    assert water.vapor_pressure.si(float(t)) / 1000 == pytest.approx(kpa, abs=0.0006)


def test_vapor_pressure_against_two_libraries():
    t = np.linspace(0.01, 100, 40)
    assert water.vapor_pressure.si(t) == pytest.approx(coolprop("P", t, "Q", 0), rel=2e-4)
    saturated = [iapws.IAPWS97(T=x + 273.15, x=0).P * 1e6 for x in t[::8]]
    assert water.vapor_pressure.si(t[::8]) == pytest.approx(saturated, rel=3e-4)


def test_vapor_pressure_over_supercooled_water():
    # Murphy and Koop (2005), Q. J. R. Meteorol. Soc. 131:1539, eq. 10 (coefficients read in public code)
    k = np.linspace(-40, 20, 31) + 273.15
    bend = np.tanh(0.0415 * (k - 218.8)) * (53.878 - 1331.22 / k - 9.44523 * np.log(k) + 0.014025 * k)
    theirs = np.exp(54.842763 - 6763.22 / k - 4.210 * np.log(k) + 0.000367 * k + bend)
    assert water.vapor_pressure.si(k - 273.15) == pytest.approx(theirs, rel=0.008)


def test_latent_heat():
    # CoolProp, and the cubic of Landolt-Boernstein new series V/3a p. 256 (read in a USGS toolbox listing)
    steps = coolprop("H", LIQUID, "Q", 1) - coolprop("H", LIQUID, "Q", 0)
    assert water.latent_heat.si(LIQUID) == pytest.approx(steps, rel=5e-4)
    cubic = 2.50039e6 - 2.3683e3 * T + 0.431 * T**2 - 1.131e-2 * T**3
    assert water.latent_heat.si(T) == pytest.approx(cubic, rel=5e-4)


# ---------------------------------------------------------------- oxygen and nitrogen

# Benson and Krause (1984) as in a numerical-methods textbook's exercise set (read second-hand), mg/L
@pytest.mark.parametrize("t, table", [(0, 14.621), (8, 11.843), (16, 9.870), (24, 8.418), (32, 7.305),
                                      (40, 6.413)])
def test_oxygen_saturation_against_the_textbook_set(t, table):
    assert water.oxygen_saturation.si(float(t)) == pytest.approx(table, abs=0.0006)


# EN 25814 / ISO 5814 table, reprinted (read second-hand), to half the last digit
@pytest.mark.parametrize("t, table", [(0, "14.6"), (5, "12.8"), (10, "11.3"), (15, "10.1"), (20, "9.09"),
                                      (25, "8.26"), (30, "7.56")])
def test_oxygen_saturation_against_the_iso_5814_table(t, table):
    half = 0.5 * 10.0 ** -len(table.split(".")[1])
    assert water.oxygen_saturation.si(float(t)) == pytest.approx(float(table), abs=half)


def test_oxygen_saturation_of_the_canadian_guideline():
    # CCME (1999), Canadian water quality guidelines, dissolved oxygen: 12.77 mg/L at 5 C (read)
    assert water.oxygen_saturation.si(5.0) == pytest.approx(12.77, abs=0.005)


def test_oxygen_saturation_against_gsw():
    # Garcia and Gordon's (1992) separate fit to the same measurements, within 0.03 %
    theirs = gsw.O2sol_SP_pt(0, T) * 31.9988e-3 * gsw.rho_t_exact(0, T, 0) / 1000
    assert water.oxygen_saturation.si(T) == pytest.approx(theirs, rel=3e-4)


@pytest.mark.parametrize("salinity", [5.0, 20.0, 35.0])
def test_oxygen_saturation_of_salt_water_against_gsw(salinity):
    absolute = gsw.SA_from_SP(salinity, 0, -30, 30)
    theirs = gsw.O2sol_SP_pt(salinity, T) * 31.9988e-3 * gsw.rho_t_exact(absolute, T, 0) / 1000
    assert water.oxygen_saturation.si(T, ATM, salinity) == pytest.approx(theirs, rel=1e-3)


def test_oxygen_saturation_against_weiss():
    # Weiss (1970), Deep-Sea Res. 17:721 (read in public code), mL/L x 1.42905: older measurements, 0.3 %
    k = (T + 273.15) / 100
    for s in (0.0, 35.0):
        theirs = 1.42905 * np.exp(-173.4292 + 249.6339 / k + 143.3483 * np.log(k) - 21.8492 * k
                                  + s * (-0.033096 + 0.014259 * k - 0.0017000 * k**2))
        assert water.oxygen_saturation.si(T, ATM, s) == pytest.approx(theirs, rel=0.006 if s else 0.003)


def test_trap_theta_takes_celsius():
    # by hand: 0.000975 - 1.426e-5 x 20 + 6.436e-8 x 400 = 0.00071554; kelvin would give 0.00233
    assert water._theta(20.0) == pytest.approx(7.1554e-4, abs=1e-8)


def green_carritt(t, s):
    """atm; Green and Carritt (1967), the vapor pressure that the 1984 paper uses (read in public code)."""
    k = t + 273.15
    return (1 - 0.000537 * s) * np.exp(
        18.1973 * (1 - 373.16 / k) + 3.1813e-7 * (1 - np.exp(26.1205 * (1 - k / 373.16)))
        - 0.018726 * (1 - np.exp(8.03945 * (1 - 373.16 / k))) + 5.02802 * np.log(373.16 / k))


def apha(t):
    """atm; the vapor pressure of APHA Standard Methods 4500-O (read in public code)."""
    k = t + 273.15
    return np.exp(11.8571 - 3840.70 / k - 216961 / k**2)


@pytest.mark.parametrize("salinity", [0.0, 10.0, 35.0])
@pytest.mark.parametrize("pressure", [0.5, 0.7, 0.85, 1.1])
def test_oxygen_saturation_at_other_pressures(pressure, salinity):
    # the 1984 pressure equation written out, with each of the two vapor pressures in use; within 0.001 mg/L
    theta = 0.000975 - 1.426e-5 * T + 6.436e-8 * T**2
    for vapor in (green_carritt(T, salinity), apha(T) * (1 - 0.000537 * salinity)):
        factor = pressure * (1 - vapor / pressure) * (1 - theta * pressure) / ((1 - vapor) * (1 - theta))
        expected = water.oxygen_saturation.si(T, ATM, salinity) * factor
        assert water.oxygen_saturation.si(T, pressure * ATM, salinity) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize("mmhg", [750, 700, 650, 525])
def test_oxygen_saturation_against_the_simple_pressure_form(mmhg):
    # (P - u)/(760 - u), u the vapor pressure in mmHg, of older handbooks leaves out theta, so it differs by
    # theta (1 - P/760), at most 0.000975 x 0.31 = 0.03 %. Scaling by P/760 alone is 1.0 % high at 525 mmHg.
    u = coolprop("P", LIQUID, "Q", 0) / MMHG
    ours = water.oxygen_saturation.si(LIQUID, mmhg * MMHG)
    assert ours == pytest.approx(water.oxygen_saturation.si(LIQUID) * (mmhg - u) / (760 - u), rel=3.1e-4)
    if mmhg == 525:
        plain = 9.092 * 525 / 760
        assert plain / water.oxygen_saturation.si(20.0, 525 * MMHG) == pytest.approx(1.010, abs=0.001)


def test_nitrogen_published_check_value():
    # Hamme and Emerson (2004): 500.885 umol/kg at S = 35, 10 C (check value in their published program)
    assert water._nitrogen_per_kilogram(10.0, 35.0) == pytest.approx(500.885, abs=0.001)


def test_nitrogen_against_the_teos_10_page():
    # gsw_N2sol_SP_pt, example printed on its TEOS-10 page (read); the Python library lacks this function
    salinity = np.array([34.7118, 34.8915, 35.0256, 34.8472, 34.7366, 34.7324])
    t = np.array([28.8099, 28.4392, 22.7862, 10.2262, 6.8272, 4.3236])
    page = [369.1117025637774, 370.5575018006895, 401.8436454952399, 499.2639689279047, 535.0383122250682,
            564.4762851263093]
    assert water._nitrogen_per_kilogram(t, salinity) == pytest.approx(page, rel=1e-6)


def nitrogen_saturation(t):
    """mg/L under moist air at 1 atm, by Henry's law."""
    return water.henry_nitrogen.si(t) * 28.0134 * 0.78084 * (ATM - water.vapor_pressure.si(t))


def test_nitrogen_saturation():
    # Weiss (1970) in umol/kg (read in a program of the Monterey Bay Aquarium Research Institute): older
    # measurements, 1 to 2 % lower; and IAPWS G7-04 with Raoult's and Dalton's laws, within 1.5 %
    k = (T + 273.15) / 100
    older = np.exp(-177.0212 + 254.6078 / k + 146.3611 * np.log(k) - 22.0933 * k) * 1000 / 22.404
    mg = older * 28.0134e-6 * gsw.rho_t_exact(0, T, 0)
    ratio = nitrogen_saturation(T) / mg
    assert np.all((ratio > 1) & (ratio < 1.022))
    t = np.arange(6, 31, 4.0)
    theirs = henry_iapws("N2", t) * 28.0134 * 0.78084 * (ATM - coolprop("P", t, "Q", 0))
    assert nitrogen_saturation(t) == pytest.approx(theirs, rel=0.02)


def henry_iapws(gas, t):
    """mol/(m3 Pa) from IAPWS G7-04: kH is MPa per mole fraction, and 1 m3 of water is rho/M mol."""
    return np.array([coolprop("D", x) / 18.015268e-3 / (_Henry(x + 273.15, gas) * 1e6) for x in t])


def test_henry_oxygen():
    # IAPWS G7-04, fitted to all published data, within 1.2 %; Benson and Krause (1980), within 0.2 %:
    # ln k(atm per mole fraction) = 3.71814 + 5596.17/T - 1049668/T^2 (from memory, not verified)
    t = np.arange(4, 31, 2.0)
    assert water.henry_oxygen.si(t) == pytest.approx(henry_iapws("O2", t), rel=0.012)
    k = t + 273.15
    mole = np.exp(3.71814 + 5596.17 / k - 1049668 / k**2) * ATM
    assert water.henry_oxygen.si(t) == pytest.approx(coolprop("D", t) / 18.015268e-3 / mole, rel=0.002)


def test_henry_nitrogen():
    t = np.arange(6, 31, 4.0)
    assert water.henry_nitrogen.si(t) == pytest.approx(henry_iapws("N2", t), rel=0.02)


def test_henry_constants_in_the_unit_of_the_big_compilation():
    # Sander (2023), Atmos. Chem. Phys. 23:10901, 298.15 K: O2 1.3e-5, N2 6.4e-6 mol/(m3 Pa), two digits (page
    # of the compilation read). Pascal, not bar: a factor of 100,000.
    assert water.henry_oxygen.si(25.0) == pytest.approx(1.3e-5, rel=0.05)
    assert water.henry_nitrogen.si(25.0) == pytest.approx(6.4e-6, rel=0.02)


def test_henry_constants_agree_with_saturation():
    for pressure in (0.5, 1.0, 1.1):
        held = water.henry_oxygen.si(T) * 0.20946 * (pressure * ATM - water.vapor_pressure.si(T)) * 31.9988
        assert held == pytest.approx(water.oxygen_saturation.si(T, pressure * ATM), rel=5e-4)


def test_henry_constants_of_salt_water():
    # gsw for oxygen (Garcia and Gordon 1992); 500.885 umol/kg of nitrogen at 35 g/kg, 10 C (Hamme and Emerson 2004)
    theirs = gsw.O2sol_SP_pt(35, T) * 1e-6 * gsw.rho_t_exact(gsw.SA_from_SP(35, 0, -30, 30), T, 0)
    vapor = coolprop("P", LIQUID, "Q", 0) * (1 - 0.018)     # Raoult's law: 35 g/kg is 1.8 % of the particles
    assert water.henry_oxygen.si(T, 35.0) * 0.20946 * (ATM - vapor) == pytest.approx(theirs, rel=1.5e-3)
    vapor = CP.PropsSI("P", "T", 283.15, "Q", 0, "Water") * (1 - 0.018)
    assert water.henry_nitrogen.si(10.0, 35.0) * 0.78084 * (ATM - vapor) \
        == pytest.approx(500.885e-6 * coolprop("D", 10.0), rel=1e-4)


def test_one_water_is_handed_on():
    # at 1000 ft, 97.717 kPa, 25 C: 7.960 mg/L, by hand below; sea water by gsw
    here = water.Water("77 °F", "97.717 kPa")
    assert here.saturation == pytest.approx(7.960, abs=0.001)
    assert here.density == pytest.approx(gsw.rho_t_exact(0, 25, 0), abs=0.002)
    sea = gsw.O2sol_SP_pt(35, 20) * 31.9988e-3 * gsw.rho_t_exact(gsw.SA_from_SP(35, 0, -30, 30), 20, 0) / 1000
    assert water.Water("77 °F", salinity="35 g/kg").at(20.0).saturation == pytest.approx(sea, rel=1e-3)
    assert np.isnan(water.SEA_LEVEL.saturation)


# ---------------------------------------------------------------- diffusion

def hayduk_laudie(t, molar_volume):
    """m2/s; Hayduk and Laudie (1974), AIChE J. 20:611 (read in public code), viscosity from CoolProp."""
    return 13.26e-9 / ((coolprop("V", t) * 1e3) ** 1.14 * molar_volume**0.589)


def ferrell_himmelblau(t, a, e):
    """m2/s; Ferrell and Himmelblau (1967), J. Chem. Eng. Data 12:111, constants read in public code."""
    return a * np.exp(-e / 8.314462618 / (t + 273.15))


def test_oxygen_diffusivity():
    # Han and Bartels (1996), J. Phys. Chem. 100:5597, formula in the abstract (read); 2.249e-9 at 30 C in
    # text that quotes them
    k = T + 273.15
    ours = water.oxygen_diffusivity.si(T)
    assert ours == pytest.approx(1e-4 * 10 ** (-4.410 + 773.8 / k - (506.4 / k) ** 2), rel=1e-9)
    assert water.oxygen_diffusivity.si(30.0) == pytest.approx(2.249e-9, rel=1e-3)
    # other laboratories: higher, by no more than the docstring says
    for theirs in (ferrell_himmelblau(T, 4.286e-6, 18700), hayduk_laudie(LIQUID, 25.6)):
        assert np.all((theirs > ours) & (theirs < 1.18 * ours))


def test_schmidt_number_of_oxygen():
    t = np.linspace(0, 30, 31)
    older = 1800.6 - 120.10 * t + 3.7818 * t**2 - 0.047608 * t**3
    assert older[20] == pytest.approx(530, abs=0.6)     # Wanninkhof (1992) prints 530 at 20 C, fresh water
    ratio = older / water.schmidt_number_oxygen.si(t)
    assert np.all((ratio > 0.88) & (ratio < 0.98))
    # CoolProp's viscosity over another laboratory's diffusivity: lower by as much as that is higher
    ours = water.schmidt_number_oxygen.si(T)
    other = coolprop("V", LIQUID) / coolprop("D", LIQUID) / ferrell_himmelblau(LIQUID, 4.286e-6, 18700)
    assert np.all((other < ours) & (other > ours / 1.18))
    assert ours[-1] > 200           # the cubic of 1992 falls to 0.6 at 40 C; this must not


# ---------------------------------------------------------------- the door, ranges, shapes

def test_quantities_at_the_door():
    assert water.density("75.92 °F").m_as("kg/m^3") == pytest.approx(gsw.rho_t_exact(0, 24.4, 0), abs=0.002)
    # at 1000 ft, 97.717 kPa, 25 C: 8.263 (97.717 - 3.170)/(101.325 - 3.170) = 7.959, and 0.03 % of theta
    assert water.oxygen_saturation("77 °F", "97.717 kPa").m_as("mg/L") == pytest.approx(7.960, abs=0.001)
    sea = gsw.O2sol_SP_pt(35, 20) * 31.9988e-3 * gsw.rho_t_exact(gsw.SA_from_SP(35, 0, -30, 30), 20, 0) / 1000
    assert water.oxygen_saturation("68 °F", salinity="35 g/kg").m_as("mg/L") == pytest.approx(sea, rel=1e-3)
    assert water.henry_oxygen("20 °C").m_as("mol/m^3/bar") == pytest.approx(1.370, abs=0.002)
    assert water.density(Q([4.0, 20.0], "degC")).shape == (2,)
    with pytest.raises(QuantityError, match="temperature needs a unit"):
        water.density(20.0)


LAWS = [pytest.param(law.si, id=name) for name, law in ((name, getattr(water, name)) for name in sorted(dir(water)))
        if inspect.isfunction(getattr(law, "si", None)) and "temperature" in law.units]


@pytest.mark.parametrize("law", LAWS)
def test_numbers_and_arrays_agree_and_gaps_pass(law):
    grid = np.array([[0.0, 5.0, 20.0], [25.0, 30.0, 40.0]])
    assert law(grid).shape == grid.shape
    assert [law(float(t)) for t in grid.flat] == pytest.approx(list(law(grid).flat), rel=1e-12)
    assert law(20) == pytest.approx(law(20.0), rel=1e-12)
    gaps = law(np.array([np.nan, 20.0]))
    assert np.isnan(gaps[0]) and gaps[1] == pytest.approx(law(20.0), rel=1e-12)
    assert law(np.array([])).shape == (0,)


@pytest.mark.parametrize("law", LAWS)
def test_impossible_temperatures_are_refused(law):
    for t in (-300.0, 5000.0, np.inf, np.array([20.0, -np.inf])):
        with pytest.raises(ValueError, match="outside what is allowed"):
            law(t)


def test_fahrenheit_given_as_celsius_is_asked_about():
    with pytest.raises(ValueError, match="Was 77 °F meant. That is 25 °C: write '77 °F'"):
        water.density("77 °C")
    with pytest.raises(ValueError, match="Was 77 °F meant"):
        water.oxygen_saturation.si(77.0)
    with pytest.warns(UserWarning, match="Was 50 °F meant. That is 10 °C"):
        water.density.si(50.0)


def test_out_of_range_warns_with_range_and_source():
    with pytest.warns(UserWarning, match=r"32 to 104 °F \(0 to 40 °C\).*Tanaka"):
        water.density.si(-1.0)
    with pytest.warns(UserWarning, match="Benson and Krause"):
        water.oxygen_saturation.si(41.0)
    with pytest.warns(UserWarning, match="0 to 40 g/kg"):
        water.oxygen_saturation.si(20.0, ATM, 50.0)
    with pytest.warns(UserWarning, match="50 to 112 kPa"):
        water.oxygen_saturation.si(20.0, 40e3)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        water.density("32 °F")              # 32 °F may turn into a hair below 0 C
        water.density("104 °F")


def test_gauge_pressure_and_impossible_salt_are_refused():
    with pytest.raises(ValueError, match="gauge reading"):
        water.oxygen_saturation("20 °C", "0 psi")
    with pytest.raises(ValueError, match="allowed, 0 to 300 g/kg"):
        water.oxygen_saturation.si(20.0, ATM, -1.0)
