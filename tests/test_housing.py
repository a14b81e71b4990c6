"""Energy and money by plain arithmetic, power against published worked examples."""

import pytest

from pondcalc.door import housing


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
