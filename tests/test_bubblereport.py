"""Words about bubbles, lift and a tub: the numbers in them are those of the modules and of hand reckoning."""

import re

import pytest

from pondcalc import datafiles
from pondcalc.bubbles_and_oxygen import bubblereport, bucketlog, buckettest


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*\.?\d*", text)]


def test_rise_time_by_hand():
    # 14 ft at 0.23 m/s (Wuest, Brooks and Imboden 1992) is 18.55 s; with 0.80 ft/s of water 14/(0.7546 + 0.80) = 9.01 s
    assert numbers(bubblereport.say_bubble("2 mm", "14 ft"))[0] == pytest.approx(14 * 0.3048 / 0.23, abs=0.05)
    moving = bubblereport.say_bubble("2 mm", "14 ft", "0.8 ft/s")
    assert numbers(moving)[:2] == pytest.approx([0.80, 14 / (0.23 / 0.3048 + 0.80)], abs=0.01)


def test_skin_by_hand():
    # 1 cubic foot as 2 mm balls: 6 V/d = 6 x 1 / (2/304.8) ft2
    assert numbers(bubblereport.say_skin("1 ft3", ["2 mm"]))[1] == pytest.approx(6 * 304.8 / 2, rel=0.005)


def test_field_rate_by_hand():
    # 28 C: theta^8 = 1.2089; saturation 7.828 mg/L against 9.092 (Benson and Krause 1984), tau 0.861
    text = bubblereport.say_field("0.26 lb/h", "3 mg/L", "28 degC", "0 ft", "1 atm", 0.9)
    alpha, warmth, shortage, total, rate, _ = numbers(text)
    assert warmth == pytest.approx(1.2089, abs=0.001)
    assert shortage == pytest.approx((0.861 * 0.98 * 9.092 - 3) / 9.092, abs=0.003)
    assert total == pytest.approx(alpha * warmth * shortage, abs=0.001)
    assert rate == pytest.approx(0.26 * total, abs=0.005)


def test_lift_names_three_reckonings_inside_one_range():
    label, first, second = bubblereport.say_lift("4 cfm", "14 ft", 4).splitlines()
    assert label == "4.0 cfm, 4 diffusers:"
    usual, low, high = numbers(second)
    assert all(low <= each <= high for each in numbers(first)) and low < usual < high


def test_tub_words():
    log = bucketlog.read_log(datafiles.path("demo-bucket-test.csv"))
    fit = buckettest.fit_bucket.si(log.time, log.dissolved_oxygen, log.temperature)
    kla, _, _, low, high = numbers(bubblereport.say_fit(fit))[:5]
    assert low < 6.0 < high and kla == pytest.approx(6.0, abs=0.1)          # 6 per hour made the log
    said = bubblereport.say_left_out(log, fit)
    assert "minute 21: a single reading" in said and "minute 0, 1, 2, 3, 4" in said
    rates = bubblereport.say_rates(fit, "18 gal", "0.14 cfm", "16 in", "73.4 F")
    # oxygen blown in: 0.14 cfm x 0.4734 kg/h a cfm; 6 per hour x 8.6 mg/L x 68.1 L carried to 20 C
    assert numbers(rates)[3] == pytest.approx(0.14 * 473.4, rel=0.005)
    assert numbers(rates)[0] == pytest.approx(6 / 1.024**3 * 8.6 / 0.943 * 0.0681, rel=0.02)
