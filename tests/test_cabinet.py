"""Heat, sun and moving air in a cabinet against handbook forms and by hand.

Decibels by the definition, and the U.S. workplace table.
"""

import math

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from pondcalc.door import cabinet
from pondcalc.power_and_housing.cabinet import Cabinet, FanCurve
from pondcalc.units import Quantity

CFM, FT, INCH = 4.71947e-4, 0.3048, 0.0254


def f(t):
    return (t - 32) / 1.8


@pytest.mark.parametrize("watts, rise, cfm", [(200, 20, 31.6), (300, 20, 47.4), (300, 15, 63.2)])
def test_air_for_heat_by_the_trade_rule(watts, rise, cfm):
    # cfm = 3.16 W / F rise (two fan application pages, seen); 3.412/(0.075 x 0.24 x 60) = 3.159
    found = cabinet.air_for_heat(f"{watts} W", f"{rise} F°", "70 °F")
    assert found.m_as("cfm") == pytest.approx(cfm, rel=0.003)
    # 1.08 with *watts* in place of Btu/h is a known slip and gives a fan 3.4 times too small
    assert found.m_as("cfm") > 3 * watts / (1.08 * rise)


def test_air_for_heat_against_coolprop():
    # enthalpy of dry air, J/kg, over its density at 35 C and 83.4 kPa, 5000 ft
    rise = HAPropsSI("H", "T", 318.15, "P", 84300, "R", 0) - HAPropsSI("H", "T", 308.15, "P", 84300, "R", 0)
    density = 1 / HAPropsSI("V", "T", 308.15, "P", 84307, "R", 0)
    assert cabinet.air_for_heat.si(250.0, 10.0, 35.0, 1524.0) == pytest.approx(250 / rise / density, rel=0.005)
    # U.S. Standard Atmosphere 1976: 14.696/12.23 = 1.20 times the flow at 5000 ft
    sea = cabinet.air_for_heat.si(250.0, 10.0, 35.0)
    assert cabinet.air_for_heat.si(250.0, 10.0, 35.0, 1524.0) / sea == pytest.approx(14.696 / 12.23, rel=2e-3)


@pytest.mark.parametrize("share, over_h", [(0.9, 0.30), (0.45, 0.15)])
def test_sol_air_against_the_printed_form(share, over_h):
    # ASHRAE form: T + (absorptance/ho) I - 7 F on a roof, absorptance/ho 0.30 dark and 0.15 light, h ft2 F/Btu
    # (from memory; the form seen). 1000 W/m2 is 317 Btu/(h ft2): 183 and 136 F at 95 F.
    by_hand = 95 + over_h * 317 - 7
    found = cabinet.sol_air_temperature("95 °F", Quantity(1000.0, "W/m^2"), share)
    assert found.m_as("degF") == pytest.approx(by_hand, abs=1.0)


def test_sun_through_a_roof():
    # 6 ft2, U = 0.5 Btu/(h ft2 F), 110 F inside: 6 x 0.5 x (183 - 110) = 219 Btu/h = 64 W
    u = 0.5 * 5.678263
    assert cabinet.sun_heat.si(6 * FT**2, u, f(183), f(110)) == pytest.approx(219 / 3.412142, rel=1e-3)


def test_stack_flow_by_the_handbook():
    # ASHRAE, 1997, Fundamentals, p. 25.13, eq. 37: 60 C A sqrt(2 x 32.174 h (Ti - To)/Ti), A 1 ft2, h 3 ft from vent to
    # neutral level (so 6 ft between two equal vents), 115 F in, 95 F out, C 0.65: 101.1 cfm
    by_hand = 60 * 0.65 * math.sqrt(2 * 32.174 * 3 * 20 / (115 + 459.67))
    found = cabinet.stack_flow.si(FT**2, FT**2, 6 * FT, f(115), f(95)) / CFM
    assert found == pytest.approx(by_hand, rel=1e-3) == pytest.approx(101.1, rel=2e-3)
    assert cabinet.stack_flow.si(0.01, 0.01, 1.0, 30.0, 35.0) == 0
    # one vent much wider than the other passes what the narrow one alone does, over the whole height
    narrow = cabinet.stack_flow.si(0.01, 10.0, 1.0, 45.0, 35.0)
    assert narrow == pytest.approx(0.65 * 0.01 * math.sqrt(2 * 9.80665 * 10 / 318.15), rel=1e-4)


@pytest.mark.parametrize("watts, height, square_inches", [(200, 2, 85), (300, 3, 104)])
def test_vents_without_a_fan(watts, height, square_inches):
    # 34.3 and 51.4 cfm through two equal vents, 20 F over 95 F, C 0.65 (handbook form, by hand): area each
    cfm = watts * 3.412142 / (0.24 * 60 * 20) / (0.0749 * 529.67 / 574.67)
    by_hand = cfm / (60 * 0.65 * math.sqrt(2 * 32.174 * height / 2 * 20 / 574.67)) * 144
    found = cabinet.vent_area_for_heat.si(watts, 20 / 1.8, height * FT, f(95)) / INCH**2
    assert found == pytest.approx(by_hand, rel=0.01) == pytest.approx(square_inches, rel=0.015)


def test_fan_against_a_vent_by_the_square_law():
    # straight fan curve P = P0 (1 - Q/Q0) against P = k Q^2: a quadratic
    fan, vent, density = FanCurve([0.0, 0.05], [40.0, 0.0]), 0.02, 1.15
    k = density / 2 / (0.65 * vent) ** 2
    expected = np.roots([k, 40 / 0.05, -40]).max()
    flow = cabinet.fan_and_vents.si(fan, vent, density)
    assert flow == pytest.approx(expected, rel=1e-6)
    assert cabinet.vent_pressure(flow, vent, density) == pytest.approx(k * expected**2, rel=1e-6)
    assert flow < 0.05, "less than the flow printed on the box"


def test_line_as_a_radiator():
    # 4 scfm, 1 in bare metal line, U 10: excess falls by e in m cp/(pi D U) = 9.4 ft (by hand, 1006 J/(kg K))
    mass = 4 * CFM * 101325 / (287.05287 * 293.15)
    length = mass * 1006 / (math.pi * INCH * 10)
    assert length / FT == pytest.approx(9.4, abs=0.1)
    end, heat = cabinet.cooled_along.si(120.0, 40.0, 4 * CFM, INCH, length, 10.0)
    assert end == pytest.approx(40 + 80 / math.e, rel=1e-6)
    assert heat == pytest.approx(mass * 1006 * (120 - end), rel=1e-6)


BOX = Cabinet(0.56, 2.2, 2.8, 0.05, 0.05, 0.6)
FAN = FanCurve([0.0, 0.03, 0.06], [40.0, 25.0, 0.0])


def test_cabinet_balance_without_a_fan():
    # all heat by the vents: no walls, no sun; then the vent sum alone must give the same rise
    bare = Cabinet(0.0, 0.0, 0.0, 0.05, 0.05, 0.6)
    now = cabinet.cabinet_temperature.si(bare, 200.0, 35.0)
    area = cabinet.vent_area_for_heat.si(200.0, now.temperature - 35.0, 0.6, 35.0)
    assert area == pytest.approx(0.05, rel=1e-3)
    # no vents to speak of: steady conduction, power/(U A) by hand
    shut = Cabinet(0.5, 2.0, 3.0, 1e-7, 1e-7, 0.6)
    now = cabinet.cabinet_temperature.si(shut, 150.0, 30.0)
    assert now.temperature == pytest.approx(30 + 150 / (3 * 2.5), abs=0.01)


def test_a_hot_day_with_and_without_a_fan():
    # what comes in goes out, and each part is as its own function says
    for fan in (None, FAN):
        now = cabinet.cabinet_temperature.si(BOX, 300.0, 38.0, 1000.0, fan, 1.9e-3, 60.0)
        assert 300 + now.shell_heat == pytest.approx(now.vent_heat + now.line_heat, abs=0.01)
    still = cabinet.cabinet_temperature.si(BOX, 300.0, 38.0, 1000.0)
    blown = cabinet.cabinet_temperature.si(BOX, 315.0, 38.0, 1000.0, FAN)
    assert still.temperature - 38 > 1.8 * (blown.temperature - 38) > 0
    shade = cabinet.cabinet_temperature.si(BOX, 300.0, 38.0)
    assert shade.temperature < still.temperature


def test_a_box_too_hot_warns():
    with pytest.warns(UserWarning, match="40 °C"):
        cabinet.cabinet_temperature.si(Cabinet(0.5, 2.0, 1.0, 0.001, 0.001, 0.3), 400.0, 38.0)


@pytest.mark.parametrize("make, says", [
    (lambda: cabinet.air_for_heat("200 W", "0 F°"), "more than 0"),
    (lambda: cabinet.sol_air_temperature("95 °F", Quantity(1000.0, "W/m^2"), 30), "0 to 1"),
    (lambda: FanCurve([0.0, 0.05], [40.0, 10.0]), "no flow to no pressure"),
    (lambda: FanCurve([0.0], [40.0]), "two or more"),
    (lambda: Cabinet(1.0, 1.0, 1.0, 0.0, 0.1, 1.0), "low vent")])
def test_bad_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()


def test_small_fan_and_rise_of_air():
    fan = cabinet.small_fan("100 cfm")
    assert fan.flow[-1] / CFM == pytest.approx(100, rel=1e-5) and fan.pressure[0] == 40
    with pytest.raises(ValueError, match="small_fan"):
        cabinet.small_fan("0 cfm")
    # half of 200 W into 4 cfm of free air: 100/(4 x 4.71947e-4 x 1.2041 x 1006) = 43.7 C (density at 20 C, 1 atm)
    rise = cabinet.rise_of_air("200 W", "4 cfm", 0.5).m_as("delta_degC")
    assert rise == pytest.approx(100 / (4 * CFM * 1.2041 * 1006), rel=2e-3)


def test_levels_add_as_powers():
    assert cabinet.add_levels(65, 65) == pytest.approx(68.01, abs=0.005)          # 10 log10 2 = 3.01
    assert cabinet.add_levels(65, 60) == pytest.approx(66.2, abs=0.05)            # 10 log10(10^6.5 + 10^6)
    assert cabinet.add_levels(50) == pytest.approx(50)


def test_distance():
    assert cabinet.level_at(65, "3 ft", "6 ft") == pytest.approx(65 - 6.02, abs=0.01)     # 20 log10 2
    assert cabinet.level_at(65, "3 ft", "50 ft") == pytest.approx(40.6, abs=0.05)         # 20 log10(50/3) = 24.4
    far = cabinet.distance_for_level(65, "3 ft", 45)
    assert cabinet.level_at(65, "3 ft", far) == pytest.approx(45)


def test_bad_distance_is_refused():
    with pytest.raises(ValueError, match="3 ft or 1 m"):
        cabinet.level_at(65, "0 ft", "6 ft")
    with pytest.raises(ValueError, match="one level"):
        cabinet.add_levels()


def test_day_night_average_hour_by_hour():
    # EPA 550/9-74-004: ten dB more from 22 to 7 o'clock; summed here hour by hour
    level = 48.6
    hours = [level + (10 if hour >= 22 or hour < 7 else 0) for hour in range(24)]
    by_hand = 10 * math.log10(sum(10 ** (h / 10) for h in hours) / 24)
    assert cabinet.day_night_level(level) == pytest.approx(by_hand) == pytest.approx(55.0, abs=0.05)
