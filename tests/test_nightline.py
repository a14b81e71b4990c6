"""Dusk to dawn from two readings."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pondcalc.how_much_oxygen import nightline


def test_straight_line_by_hand():
    # 10.2 at 19:00 and 8.7 at 22:00: 0.5 mg/L an hour, 8 hours on to 06:00 gives 4.7 (arithmetic)
    line = nightline.night_line("10.2 mg/L", "8.7 mg/L", "3 h", "8 h")
    assert line.straight.usual.m_as("mg/L") == pytest.approx(4.7)
    assert line.fall.m_as("mg/L/hour") == pytest.approx(0.5)


def test_curve_is_the_differential_equation():
    # the same share lost each hour: dC/dt = -k C, k from the two readings; scipy solve_ivp
    k = np.log(10.2 / 8.7) / 3
    run = solve_ivp(lambda t, c: -k * c, (0, 8), [8.7], rtol=1e-10, atol=1e-12)
    assert nightline.falling_curve.si(10.2, 8.7, 3 * 3600.0, 8 * 3600.0) == pytest.approx(run.y[0, -1], rel=1e-8)


def test_curve_lies_above_the_line_late_and_below_it_early():
    # Madenjian, Rogers and Fast (1987): over whole nights the curve was better; a line is pessimistic late,
    # optimistic between the readings
    for hours in (1.0, 4.0, 8.0, 12.0):
        assert (nightline.falling_curve.si(10.0, 9.0, 3.0, hours) > nightline.straight_line.si(10.0, 9.0, 3.0, hours))
    k = np.log(10 / 9) / 3
    assert 10 * np.exp(-k * 1.5) < 9.5


def test_meter_error_grows():
    # readings off by e and -e: straight line moves by e (1 + 2 x 8/3) = 6.33 e for 3 h apart and 8 h on
    line = nightline.night_line.si(10.2, 8.7, 3.0 * 3600, 8.0 * 3600, 0.1)
    assert line.straight.high - line.straight.usual == pytest.approx(0.1 * (1 + 16 / 3))
    assert line.straight.usual - line.straight.low == pytest.approx(0.1 * (1 + 16 / 3))
    assert line.curve.low < line.curve.usual < line.curve.high
    exact = nightline.night_line.si(10.2, 8.7, 3.0 * 3600, 8.0 * 3600, 0.0)
    assert exact.straight.low == exact.straight.high


def test_a_rise_is_refused_and_no_end_lies_above_the_second_reading():
    # in the dark nothing makes oxygen: readings that rise were not both taken at night, or they are swapped
    with pytest.raises(ValueError, match="rose, from 1 to 8.7 mg/L.*swapped"):
        nightline.night_line("1 mg/L", "8.7 mg/L", "3 h", "8 h")
    # slips of 1 mg/L would turn 10.2 and 9.9 into a rise to 164 mg/L by the curve; the reading and its slip bound it
    line = nightline.night_line.si(10.2, 9.9, 1800.0, 8 * 3600.0, 1.0)
    assert line.straight.high == line.curve.high == pytest.approx(9.9 + 1.0)
    level = nightline.night_line.si(8.0, 8.0, 3600.0, 8 * 3600.0, 0.0)
    assert level.straight.usual == level.curve.usual == pytest.approx(8.0)


def test_never_below_nothing():
    assert nightline.straight_line.si(6.0, 3.0, 3600.0, 36000.0) == 0
    assert nightline.falling_curve.si(6.0, 3.0, 3600.0, 36000.0) > 0


@pytest.mark.parametrize("first, second, between, "
                         "on", [(-1, 5, 3, 8), (5, 4, 0, 8), (5, 4, 3, 30), (0, 0, 3, 8)])
def test_impossible_readings_are_refused(first, second, between, on):
    with pytest.raises(ValueError, match="reading|after|24 hours|above 0"):
        nightline.falling_curve.si(first, second, between * 3600.0, on * 3600.0)
