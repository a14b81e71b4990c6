"""Energy and money by plain arithmetic, power against published worked examples, electricity as sellers tell it."""

import pytest

from pondcalc import record
from pondcalc.door import housing
from pondcalc.power_and_housing import housing as plate


@pytest.mark.parametrize("watts, kwh, dollars", [(100, 876, 144.36), (180, 1577, 259.86), (250, 2190, 360.91),
                                                 (400, 3504, 577.46)])
def test_a_year_of_running(watts, kwh, dollars):
    # 8760 h x watts, at 16.48 cents/kWh, the U.S. residential average of 2024 (EIA, Electric Power Annual,
    # table 2.4, second-hand)
    energy = housing.energy_per_year(f"{watts} W")
    assert energy.m_as("kWh") == pytest.approx(kwh, abs=0.5)
    cost = housing.cost_per_year(f"{watts} W", "16.48 cents/kWh")
    assert cost.m_as("dollar/year") == pytest.approx(dollars, abs=0.006)


def test_average_bill_of_a_home():
    # EIA 2024: 863 kWh a month at 16.48 cents; the bill it prints is $142.26 (second-hand). Over 730 h.
    a_year = housing.cost_per_year.si(863 / 730 * 1000, 0.1648 / 3.6e6)
    assert a_year / 12 == pytest.approx(142.26, rel=5e-4)


def test_part_time():
    # 200 W, 12 h a day, 180 days: 0.2 x 12 x 180 = 432 kWh
    assert housing.energy_per_year("200 W", "12 h", "180 d").m_as("kWh") == pytest.approx(432)
    cost = housing.cost_per_year("200 W", "$0.10/kWh", "12 h", "180 d")
    assert cost.m_as("dollar/year") == pytest.approx(43.2)


def test_volts_times_amps_is_not_watts():
    # 115 V, 4.4 A (NEC table 430.248, 1/6 hp), power factor 0.60: 303.6 W, not 506
    assert housing.apparent_power.si(115, 4.4) == pytest.approx(506)
    assert housing.true_power("115 V", "4.4 A", 0.60).m_as("W") == pytest.approx(303.6)
    assert housing.true_power("115 V", "4.4 A", "60 %").m_as("W") == pytest.approx(303.6)


@pytest.mark.parametrize("call, says", [
    (lambda: housing.true_power("115 V", "4 A", 60), "share"),
    (lambda: housing.true_power("115 V", "-4 A", 0.6), "current"),
    (lambda: housing.energy_per_year("100 W", "25 h"), "24 h"),
    (lambda: housing.energy_per_year("-100 W"), "power"),
    (lambda: housing.cost_per_year("100 W", "$-0.1/kWh"), "price")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_power_factor_from_three_readings():
    # 303.6 W of 506 VA is 0.60, the other way round
    assert housing.power_factor_of("303.6 W", "115 V", "4.4 A").m_as("dimensionless") == pytest.approx(0.60)
    assert housing.power_factor_of.si(515, 115, 4.4) == 1.0, "a meter may be off by a few percent"
    with pytest.raises(ValueError, match="506 VA"):
        housing.power_factor_of("600 W", "115 V", "4.4 A")
    with pytest.raises(ValueError, match="more than 0"):
        housing.power_factor_of("10 W", "0 V", "4.4 A")


def test_power_from_what_was_read():
    # nothing but the plate: 0.5 to 1.0 of 506 VA, since it does not say which kind of motor; a plain one 0.5 to 0.8
    # (common practice, no source), one with a run capacitor 0.85 (a public comparison of motors) to 1.0 (from memory)
    plate = housing.power_from_readings("115 V", "4.4 A")
    assert [v.m_as("W") for v in plate] == pytest.approx([253, 379.5, 506])
    for kind, ends in ((housing.PLAIN_MOTOR, (253, 404.8)), (housing.RUN_CAPACITOR, (430.1, 506))):
        found = housing.power_from_readings("115 V", "4.4 A", motor=kind)
        assert (found.low.m_as("W"), found.high.m_as("W")) == pytest.approx(ends)
        assert plate.low <= found.low and found.high <= plate.high
    metered = housing.power_from_readings("115 V", "4.4 A", "300 W")
    assert [v.m_as("W") for v in metered] == pytest.approx([285, 300, 315])
    assert metered.usual.m > plate.low.m and metered.high.m - metered.low.m < plate.high.m - plate.low.m
    assert housing.power_from_readings("115 V", "4.4 A", power_factor=0.6).usual.m_as("W") == pytest.approx(303.6)
    with pytest.raises(ValueError, match="VA"):
        housing.power_from_readings("115 V", "4.4 A", "700 W")


# ---- electricity ----

@pytest.mark.parametrize("text, low, high", [
    ("475 W", 0.95 * 475, 1.05 * 475), ("0.475 kW", 0.95 * 475, 1.05 * 475), ("about 475 watts", 451.25, 498.75),
    # 4.4 A x 120 V = 528 VA: 0.5 to 1.0 where nobody says which motor, 0.85 to 1.0 with a run capacitor
    ("4.4 A at 120 V", 264, 528), ("120 V, 4.4 A", 264, 528), ("4.4A 120V", 264, 528),
    ("4.4 amps × 120 volts", 264, 528), ("528 VA", 264, 528),
    ("120 V 60 Hz 4.4 A single phase", 264, 528), ("4.4 A, 120 V, PSC motor", 448.8, 528),
    ("4.4 A at 120 V with run capacitor", 448.8, 528), ("4.4 A at 120 V, split phase", 264, 422.4),
    ("4.4 A at 120 V, power factor 0.9", 0.95 * 475.2, 1.05 * 475.2), ("4.4 A at 120 V, pf 90 %", 451.44, 498.96)])
def test_watts_or_amps_and_volts(text, low, high):
    found = plate.read_electricity(text).power
    assert (found.low, found.high) == pytest.approx((low, high)) and low <= found.usual <= high


@pytest.mark.parametrize("text, shaft", [("1/2 hp (370 W)", 372.85), ("0.55 kW, 3/4 hp", 559.27), ("1/2 hp", 372.85),
                                         ("0.5 HP", 372.85), ("½ hp", 372.85), ("1/3 hp", 248.57)])
def test_horsepower_is_at_the_shaft(text, shaft):
    # 1 hp is 745.70 W at the shaft; 10 CFR 431.446 asks 72.4 to 76.2 % of a new capacitor motor of 1/2 hp, and a table
    # of motors for heat gains (seen on the web) has 55 to 70 % for 0.10 to 0.40 kW: the cord carries more
    found = plate.read_electricity(text)
    assert found.power.low == pytest.approx(shaft / 0.76, rel=1e-3) and found.power.low > shaft / 0.762 - 1
    assert found.power.low < shaft / 0.70 < shaft / 0.55 <= found.power.usual * 1.001 < found.power.high
    assert "at the shaft" in found.words and not found.watts


@pytest.mark.parametrize("text, says", [
    ("4.4 A", "add the volts"), ("120 V", "add the amps"), ("475", "no unit"), ("0 W", "not more than 0"),
    ("-5 W", "not more than 0"), ("9000 W", "outside 1 to 5,000 W"),
    ("600 W, 4.4 A, 120 V", "more than volts times amps"),
    ("12 cents", "no electricity"), ("5 W, 6 W", "another of its kind"), ("fine", "number"), ("1e999 W", "too large"),
    ("4.4 A at 120 V, power factor 0.05", "0.2 to 1"),
    # a plate whose pair is not told
    ("115/230 V 2.2 A", "which amps go with which volts.*Write"),
    ("115 V 4.4/2.2 A", "which amps go with which volts.*Write"), ("115/230 V 4.4/4 A", "not one motor.*Write"),
    ("230 V 3.6 A, 3 phase", "three-phase.*Write"), ("115 V, -2 A", "no electricity.*Write"),
    ("0 V 2 A", "not more than 0.*Write"), ("115/230 V", "add the amps.*Write")])
def test_what_is_no_electricity_says_what_to_write(text, says):
    with pytest.raises(ValueError, match=f"(?s){says}") as refusal:
        plate.read_electricity(text)
    assert "Check" in str(refusal.value) or plate.EXAMPLE in str(refusal.value) or "Write" in says


def test_rated_watts_are_less_sure_than_those_at_the_pressure():
    near, rated = plate.read_electricity("475 W").power, plate.read_electricity("475 W", False).power
    assert rated.low < near.low < near.high < rated.high


@pytest.mark.parametrize("text, low, high", [
    # a motor for two voltages: 115 V x 4.4 A = 230 V x 2.2 A = 506 VA, never 115 V x 2.2 A
    ("115/230 V 4.4/2.2 A", 506, 506), ("230/115V, 2.2/4.4A", 506, 506), ("115 V/230 V 2.2/4.4 amps", 506, 506),
    ("115 V 4.4 A / 230 V 2.2 A, 60 Hz", 506, 506), ("115 / 230 VAC 4.4 / 2.2 FLA", 506, 506),
    # 208 V x 4.6 A = 956.8; 115 V x 8.8 A = 230 V x 4.4 A = 1012
    ("115/208-230 V 8.8/4.6-4.4 A", 956.8, 1012), ("1/2 hp 115/230 V 8.8/4.4 A", 1012, 1012),
    ("Volts: 115/230, Amps: 4.4/2.2", 506, 506), ("Voltage 115/230, Amps 4.4/2.2", 506, 506),
    ("V 115/230, A 4.4/2.2, 60 Hz", 506, 506), ("rated current 4.4 A, voltage: 115 V", 506, 506),
    ("110-120 V 4.4 A", 484, 528), ("0.528 kVA", 528, 528), ("1,050 VA", 1050, 1050), ("4,4 A at 120 V", 528, 528)])
def test_volts_go_with_their_own_amps_and_volt_amperes_are_no_watts(text, low, high):
    found = plate.read_electricity(text)
    assert (found.power.low, found.power.high) == pytest.approx((0.5 * low, high)) and found.power.usual < high
    assert "not watts, but the most these can be" in found.words and not found.watts


@pytest.mark.parametrize("text", ["475 W max", "max. 475 W", "rated 475 W", "475 W at 10 psi", "475 W @ 0.7 bar"])
def test_the_most_that_a_machine_draws_is_not_what_it_draws_here(text):
    assert plate.read_electricity(text).power == plate.read_electricity("475 W", False).power


# ---- days of air ----

@pytest.mark.parametrize("year, days, says", [
    ({}, 365, "no months with air are saved"), ({"air_from": "Mar 26", "air_to": "Nov 6"}, 226, "226 days a year"),
    ({"air_from": "Mar 26", "air_to": "Nov 6", "winter": "no air in winter"}, 226, "Mar 26 to Nov 6"),
    ({"air_from": "Mar 26", "air_to": "Nov 6", "winter": "air, with signs and rope"}, 365, "winter too"),
    ({"air_from": "Nov 1", "air_to": "Feb 1"}, 93, "93 days"),
    ({"air_from": "in spring", "air_to": "fall"}, 365, "all year")])
def test_days_of_air_are_counted_by_the_calendar(year, days, says):
    # March 26 to November 6 without leap day: 6 + 30 + 31 + 30 + 31 + 31 + 30 + 31 + 6
    found = plate.air_days(record.PondRecord("x", sections={"year": year} if year else {}))
    assert found.running == days and found.seconds == days * 86400 and says in found.words
