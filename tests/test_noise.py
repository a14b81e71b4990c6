"""Decibels by the definition, and the U.S. workplace table."""

import math

import pytest

from pondcalc.power_and_housing import noise


def test_levels_add_as_powers():
    assert noise.add_levels(65, 65) == pytest.approx(68.01, abs=0.005)          # 10 log10 2 = 3.01
    assert noise.add_levels(65, 60) == pytest.approx(66.2, abs=0.05)            # 10 log10(10^6.5 + 10^6)
    assert noise.add_levels(50) == pytest.approx(50)


def test_distance():
    assert noise.level_at(65, "3 ft", "6 ft") == pytest.approx(65 - 6.02, abs=0.01)     # 20 log10 2
    assert noise.level_at(65, "3 ft", "50 ft") == pytest.approx(40.6, abs=0.05)         # 20 log10(50/3) = 24.4
    far = noise.distance_for_level(65, "3 ft", 45)
    assert noise.level_at(65, "3 ft", far) == pytest.approx(45)


def test_bad_distance_is_refused():
    with pytest.raises(ValueError, match="3 ft or 1 m"):
        noise.level_at(65, "0 ft", "6 ft")
    with pytest.raises(ValueError, match="one level"):
        noise.add_levels()


def test_day_night_average_hour_by_hour():
    # EPA 550/9-74-004: ten dB more from 22 to 7 o'clock; summed here hour by hour
    level = 48.6
    hours = [level + (10 if hour >= 22 or hour < 7 else 0) for hour in range(24)]
    by_hand = 10 * math.log10(sum(10 ** (h / 10) for h in hours) / 24)
    assert noise.day_night_level(level) == pytest.approx(by_hand) == pytest.approx(55.0, abs=0.05)
