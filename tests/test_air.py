"""Air against printed tables and, in the same run, the libraries fluids and CoolProp."""

import CoolProp.CoolProp as CP
import fluids
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from pondcalc.door import air
from pondcalc.units import Q, QuantityError

FT, PSI, CFM, ATM = 0.3048, 6894.757, 4.71947e-4, 101325.0
LB = 0.45359237
# Warnings count as failures here: within its range no function may warn.
pytestmark = pytest.mark.filterwarnings("error")


def celsius(f):
    return (f - 32) / 1.8


def fahrenheit(c):
    return 1.8 * c + 32


# ---------------------------------------------------------------- pressure by elevation

# U.S. Standard Atmosphere 1976, psia by feet (table of a general engineering site, read). Its 4000 ft entry,
# 12.682, is off its own formula and left out; the rest agrees to 0.02 %.
@pytest.mark.parametrize("feet, psia", [(-1000, 15.236), (0, 14.696), (500, 14.430), (1000, 14.175),
                                        (2000, 13.664), (3000, 13.173), (5000, 12.230), (7000, 11.341),
                                        (10000, 10.108)])
def test_pressure_against_the_table_in_feet(feet, psia):
    assert air.pressure_by_elevation(Q(feet, "ft")).m_as("psi") == pytest.approx(psia, rel=3e-4)


# Mechanical Engineers' Handbook vol. 4, table 6, bar by meters of true height (page read)
@pytest.mark.parametrize("meters, bar", [(0, 1.0133), (1000, 0.8988), (2000, 0.7950), (3000, 0.7012),
                                         (4000, 0.6166), (5000, 0.5405)])
def test_pressure_against_the_table_in_meters(meters, bar):
    assert air.pressure_by_elevation.si(float(meters)) / 1e5 == pytest.approx(bar, abs=0.51e-4)


def test_pressure_against_fluids():
    heights = np.linspace(-500, 5000, 23)
    theirs = [fluids.ATMOSPHERE_1976(h).P for h in heights]
    assert air.pressure_by_elevation.si(heights) == pytest.approx(theirs, rel=1e-6)


# ---------------------------------------------------------------- free air, density, viscosity

def test_free_air_is_stated_once_and_weighs_what_it_should():
    # 68 F, 14.7 psia, dry: 0.0752 lb/ft3 (real gas, CoolProp); ideal gas 0.04 % less
    assert (air.FREE_AIR_TEMPERATURE, air.FREE_AIR_PRESSURE) == (20.0, ATM)
    assert air.FREE_AIR_DENSITY == pytest.approx(CP.PropsSI("D", "T", 293.15, "P", ATM, "Air"), rel=5e-4)
    assert air.mass_flow("1 cfm").m_as("lb/min") == pytest.approx(0.0752, abs=5e-5)
    assert air.FREE_AIR_DENSITY == pytest.approx(air.density.si(20.0), rel=1e-12)


# kg/m3 of dry air: 15 C 1.225 (ISO 2533 sea level), 0 C 1.2931 (normal conditions), both at 1 atm (read)
@pytest.mark.parametrize("t, table", [(15.0, 1.225), (0.0, 1.2931)])
def test_density_of_dry_air_against_standards(t, table):
    assert air.density.si(t) == pytest.approx(table, rel=8e-4)


def test_density_of_dry_air_against_coolprop():
    # "right within 0.2 % from 0 to 60 C up to 3 atm" is what the module promises
    for t in (0.0, 20.0, 60.0):
        for pressure in (80e3, ATM, 2e5, 3e5):
            theirs = CP.PropsSI("D", "T", t + 273.15, "P", pressure, "Air")
            assert air.density.si(t, pressure) == pytest.approx(theirs, rel=2e-3)


def test_damp_takes_as_little_as_the_words_say():
    # saturated air of 25 C by CoolProp: 1 % lighter, and its dry part takes 3 % more room
    room = CP.HAPropsSI("V", "T", 298.15, "P", ATM, "R", 1.0)            # m3 for each kg of dry air
    vapor = CP.HAPropsSI("W", "T", 298.15, "P", ATM, "R", 1.0)
    assert (1 + vapor) / room / air.density.si(25.0) == pytest.approx(0.99, abs=0.005)
    assert room * air.density.si(25.0) == pytest.approx(1.03, abs=0.005)


def test_viscosity_of_air():
    # CoolProp; and a table of the U.S. Standard Atmosphere (general engineering site, read), slug/ft/s:
    # 3.737e-7 at 59 F, 3.637e-7 at 41.17 F, 3.534e-7 at 23.36 F
    t = np.arange(-20.0, 101.0, 10.0)
    ratio = air.viscosity.si(t) / CP.PropsSI("V", "T", t + 273.15, "P", ATM, "Air")
    assert np.all((ratio > 0.992) & (ratio < 0.998))
    slug_foot = 14.59390 / FT
    for f, table in ((59, 3.737), (41.17, 3.637), (23.36, 3.534)):
        assert air.viscosity.si(celsius(f)) == pytest.approx(table * 1e-7 * slug_foot, rel=2e-4)


# ---------------------------------------------------------------- which cfm?

# air in one "standard" volume, kg/m3, by basis: F, psia (encyclopedic pages on SCFM read, masses from CoolProp; the
# pressure of the first from memory, not verified)
BASES = [(68, 14.5038, 1.1889), (70, 14.696, 1.2004), (60, 14.696, 1.2232), (32, 14.696, 1.2931)]


@pytest.mark.parametrize("f, psia, mass", BASES)
def test_every_dry_basis_of_cfm_becomes_free_air(f, psia, mass):
    free = air.actual_to_free_air.si(1.0, celsius(f), psia * PSI)
    assert air.mass_flow.si(free) == pytest.approx(mass, rel=1e-3)
    theirs = CP.PropsSI("D", "T", celsius(f) + 273.15, "P", psia * PSI, "Air")
    assert air.mass_flow.si(free) == pytest.approx(theirs, rel=1e-3)


def test_published_example_of_a_thousand_kilograms_an_hour():
    # 1000 kg/h of air is 455 scfm at 32 F and 481 scfm at 60 F, 1 atm (encyclopedic page on SCFM, read)
    free = brentq(lambda q: air.mass_flow.si(q) - 1000 / 3600, 0.01, 1.0)
    for f, table in ((32, 455), (60, 481)):
        assert air.free_air_to_actual.si(free, celsius(f)) / CFM == pytest.approx(table, abs=0.6)


def test_line_conversion():
    # 4 scfm inside a line at 10 psig, 68 F: Boyle's law, 4 x 14.696/24.696 = 2.380; and CoolProp's real gas
    acfm = air.free_air_to_actual("4 cfm", "68 °F", "24.696 psi").m_as("cfm")
    assert acfm == pytest.approx(4 * 14.696 / 24.696, rel=1e-4)
    real = [CP.PropsSI("D", "T", 293.15, "P", p, "Air") for p in (ATM, 24.696 * PSI)]
    assert acfm == pytest.approx(4 * real[0] / real[1], rel=1e-3)


def test_conversions_undo_each_other():
    flow, t = np.array([1e-4, 2e-3]), np.array([5.0, 35.0])
    there = air.free_air_to_actual.si(flow, t, 90e3)
    assert air.actual_to_free_air.si(there, t, 90e3) == pytest.approx(flow, rel=1e-12)


def test_oxygen_in_a_cfm():
    # 20.946 % of the molecules, by hand 1.04 lb/h and 25.0 lb/d
    assert air.oxygen_mass_flow("1 cfm").m_as("lb/h") == pytest.approx(1.04, abs=0.005)
    assert air.oxygen_mass_flow("1 cfm").m_as("lb/d") == pytest.approx(25.0, abs=0.1)
    moles = ATM / (8.314462618 * 293.15) * CFM              # ideal gas, mol/s
    assert air.oxygen_mass_flow.si(CFM) == pytest.approx(moles * 0.20946 * 31.9988e-3, rel=1e-4)
    share = 0.20946 * CP.PropsSI("M", "Oxygen") / CP.PropsSI("M", "Air")
    assert air.OXYGEN_MASS_SHARE == pytest.approx(share, rel=1e-3)


# ---------------------------------------------------------------- work and heat of compression

# Machinery's Handbook, 31st ed. (2020), p. 2816, Table 35 (read), ft-lb for each ft3 at 14.7 psia. Adiabatic
# to 1 %: the handbook's older constants. (Its Table 36 contradicts this one at low pressure and is not used.)
TABLE_35 = [(5, 649.5), (10, 1192.0), (15, 1661.2), (20, 2074.0)]


@pytest.mark.parametrize("psig, adiabatic", TABLE_35)
def test_work_against_machinerys_handbook(psig, adiabatic):
    inlet = 14.7 * PSI
    foot_pound = air.density.si(20.0, inlet) * FT**3 / 1.3558179
    assert air.adiabatic_work.si(psig * PSI, 20.0, inlet) * foot_pound == pytest.approx(adiabatic, rel=0.01)


@pytest.mark.parametrize("psig", [5.0, 10.0, 20.0])
def test_work_against_fluids(psig):
    inlet, outlet, t = 84e3, 84e3 + psig * PSI, 35.0
    mole = 28.9644e-3
    theirs = fluids.isentropic_work_compression(T1=t + 273.15, k=1.4, P1=inlet, P2=outlet, eta=1.0) / mole
    assert air.adiabatic_work.si(psig * PSI, t, inlet) == pytest.approx(theirs, rel=1e-4)


def test_work_is_the_area_under_the_curve():
    # integral of volume by pressure, with P V^1.4 constant
    p1, p2, v1 = ATM, ATM + 8 * PSI, 287.05287 * 293.15 / ATM
    hot, _ = quad(lambda p: v1 * (p1 / p) ** (1 / 1.4), p1, p2)
    assert air.adiabatic_work.si(8 * PSI) == pytest.approx(hot, rel=1e-9)


def test_adiabatic_work_against_real_air():
    start = CP.PropsSI("H", "T", 293.15, "P", ATM, "Air")
    entropy = CP.PropsSI("S", "T", 293.15, "P", ATM, "Air")
    end = CP.PropsSI("H", "S", entropy, "P", ATM + 10 * PSI, "Air")
    assert air.adiabatic_work.si(10 * PSI) == pytest.approx(end - start, rel=2e-3)


def test_compression_power():
    # 4 scfm at 10 psig: 0.0359 hp per cfm (Machinery's Handbook, Table 35, 1 %), and fluids
    power = air.compression_power("4 cfm", air.adiabatic_work("10 psi")).m_as("W")
    assert power == pytest.approx(4 * 0.0359 * 745.7, rel=0.01)
    joules = fluids.isentropic_work_compression(T1=293.15, k=1.4, P1=ATM, P2=ATM + 10 * PSI, eta=1.0)
    assert power == pytest.approx(4 * CFM * ATM / (8.314462618 * 293.15) * joules, rel=1e-4)


@pytest.mark.parametrize("efficiency", [1.0, 0.7, 0.5])
@pytest.mark.parametrize("psig", [5, 8, 10, 12, 15])
def test_discharge_temperature_against_fluids(psig, efficiency):
    theirs = fluids.isentropic_T_rise_compression(T1=celsius(70) + 273.15, P1=ATM, P2=ATM + psig * PSI,
                                                  k=1.4, eta=efficiency)
    ours = air.discharge_temperature.si(psig * PSI, celsius(70), efficiency)
    assert ours == pytest.approx(theirs - 273.15, abs=1e-6)


def test_discharge_temperature_against_real_air():
    # CoolProp's air at constant entropy; 70 F to 10 psig is near 155 F
    k1, p2 = celsius(70) + 273.15, ATM + 10 * PSI
    real = CP.PropsSI("T", "S", CP.PropsSI("S", "T", k1, "P", ATM, "Air"), "P", p2, "Air") - 273.15
    ours = air.discharge_temperature("10 psi", "70 °F", 1.0)
    assert ours.m_as("degC") == pytest.approx(real, abs=0.2)
    assert ours.m_as("degF") == pytest.approx(155, abs=0.5)


# ---------------------------------------------------------------- the door, ranges, shapes

def test_the_message_names_the_slip():
    with pytest.raises(ValueError, match="Write '60 %' or 0.6, not 60"):
        air.discharge_temperature.si(7e4, 20.0, 60.0)
    with pytest.raises(ValueError, match="add that to a gauge reading"):
        air.density("20 °C", "2 psi")
    with pytest.raises(ValueError, match="check feet against meters"):
        air.pressure_by_elevation("12000 m")
    with pytest.raises(ValueError, match="A gauge reads 0 in open air"):
        air.adiabatic_work("-3 psi")
    with pytest.raises(ValueError, match="A flow is 0 or more"):
        air.mass_flow("-1 cfm")
    with pytest.raises(QuantityError, match="psig"):
        air.density("20 °C", "10 psig")
    with pytest.raises(QuantityError, match="needs a unit"):
        air.pressure_by_elevation(300)


@pytest.mark.parametrize("call", [
    lambda x: air.pressure_by_elevation.si(100 * x), lambda x: air.density.si(x, 101e3),
    lambda x: air.viscosity.si(x), lambda x: air.free_air_to_actual.si(x, 20.0),
    lambda x: air.actual_to_free_air.si(x, 20.0),
    lambda x: air.mass_flow.si(x), lambda x: air.oxygen_mass_flow.si(x),
    lambda x: air.compression_power.si(x, 6e4),
    lambda x: air.adiabatic_work.si(1e4 * x), lambda x: air.discharge_temperature.si(1e4 * x, 20.0, 1.0)])
def test_numbers_and_arrays_agree_and_gaps_pass(call):
    grid = np.array([[1.0, 5.0], [12.0, 30.0]])
    assert call(grid).shape == grid.shape
    assert [call(float(x)) for x in grid.flat] == pytest.approx(list(call(grid).flat), rel=1e-9)
    gaps = call(np.array([np.nan, 5.0]))
    assert np.isnan(gaps[0]) and gaps[1] == pytest.approx(call(5.0), rel=1e-9)
