"""The table of diffuser materials.

Bubbles against the surface, fine against coarse, deep against shallow.

Words about bubbles, lift and a tub: the numbers in them are those of the modules and of hand reckoning.
"""

import re

import numpy as np
import pytest

from pondcalc import air, datafiles, water
from pondcalc.bubbles_and_oxygen import bubbles, buckettest
from pondcalc.bubbles_and_oxygen.comparison import (
    MATERIALS,
    carried_column,
    compare_paths,
    oxygen_by_bubbles,
    same_air,
    same_power,
    surface_uptake,
)
from pondcalc.bubbles_and_oxygen.plume import Column, uniform_column
from pondcalc.door import comparison
from pondcalc.units import QuantityError, asked
from pondcalc.water import STANDARD, Water


def test_materials_are_complete_ranges_and_say_where_they_come_from():
    assert {"stone", "membrane", "drilled pipe"} <= set(MATERIALS)
    for kind in MATERIALS.values():
        assert kind.bubble_diameter.low < kind.bubble_diameter.usual < kind.bubble_diameter.high
        assert kind.wet_pressure.low < kind.wet_pressure.usual < kind.wet_pressure.high
        assert kind.source == "common practice, no source"
        assert all(text.strip() for text in (kind.plugging, kind.cracking, kind.pressure, kind.cleaning))
    fine, coarse = comparison.material("membrane"), comparison.material("drilled pipe")
    assert fine.bubble_diameter.usual < coarse.bubble_diameter.low
    assert "label" in MATERIALS["stone"].cleaning and "bleach" in MATERIALS["stone"].cleaning
    with pytest.raises(QuantityError, match="Choose: stone"):
        comparison.material("sponge")


CFM = 0.3048**3 / 60
ACRE = 4046.86


def pond():
    return Column(np.array([0.0, 1.5, 2.5, 6.1]), Water(np.array([27.0, 27.0, 19.0, 16.0])),
                  np.array([8.0, 7.0, 1.0, 0.0]))


def test_surface_uptake_has_both_limits():
    # so much water that the surface rules: k A (Cs - C); so little that all of it fills: Q (Cs - C)
    k = comparison.EXCHANGE.usual
    assert surface_uptake(1e6, 2.0, 8.0, ACRE) == pytest.approx(k * ACRE * 6.0 * 1e-3, rel=1e-6)
    assert surface_uptake(1e-9, 2.0, 8.0, ACRE) == pytest.approx(1e-9 * 6.0 * 1e-3, rel=1e-6)
    assert surface_uptake(0.2, 9.0, 8.0, ACRE) < 0


def test_surface_uptake_is_the_steady_balance_of_the_top_layer():
    # Q (C_in - C) + k A (C_s - C) = 0, solved by hand for one case
    q, c_in, cs, k = 0.2, 1.0, 8.0, 6e-6
    level = (q * c_in + k * ACRE * cs) / (q + k * ACRE)
    assert surface_uptake(q, c_in, cs, ACRE, k) == pytest.approx(k * ACRE * (cs - level) * 1e-3)


def test_exchange_velocity_is_the_field_range():
    # Cole et al. (2010): k600 0.35 to 0.74 m/d on sheltered lakes (abstract seen)
    low, usual, high = (k * 86400 for k in comparison.EXCHANGE)
    assert (low, high) == pytest.approx((0.35, 0.74))
    assert usual == pytest.approx(np.sqrt(0.35 * 0.74), rel=0.01)


def test_plume_carries_bubbles_through_faster():
    carried = carried_column(CFM, 5.8, uniform_column())
    assert np.max(carried.plume_speed) > 0.2
    still = bubbles.oxygen_transferred(2.5e-3, 5.8, uniform_column())
    moving = bubbles.oxygen_transferred(2.5e-3, 5.8, carried)
    # measured fine pore on tank floors gives about half of the still-water model (EPA 1989; from memory)
    assert 0.35 < moving / still < 0.75
    kept = carried_column(CFM, 5.8, pond())
    assert kept.at("temperature", 2.0) == pytest.approx(pond().at("temperature", 2.0), abs=0.1)


def test_bubbles_give_less_than_they_carry_and_small_ones_more():
    fine = oxygen_by_bubbles(CFM, 5.8, pond(), "membrane")
    coarse = oxygen_by_bubbles(CFM, 5.8, pond(), "drilled pipe")
    assert 0 < coarse.low < coarse.usual < coarse.high
    assert fine.usual > coarse.high * 0.9 and fine.usual > 1.5 * coarse.usual
    assert fine.high < air.oxygen_mass_flow(CFM)


def test_bubbles_take_oxygen_out_of_water_that_has_too_much():
    assert oxygen_by_bubbles(CFM, 3.0, uniform_column(STANDARD, 20.0), "membrane").usual < 0


def test_paths_side_by_side():
    found = compare_paths(2 * CFM, 5.8, pond(), ACRE, "membrane", 2)
    assert found.ratio.low < found.ratio.usual < found.ratio.high
    assert found.ratio.usual == pytest.approx(found.surface.usual / found.bubbles.usual)
    assert 0 < found.arriving_oxygen < 8
    # never more than the whole surface can take in at that shortage
    most = comparison.EXCHANGE.high * ACRE * (water.oxygen_saturation(27.0) - found.arriving_oxygen) * 1e-3
    assert found.surface.high < most


def test_same_power_really_is():
    for options in (same_power(250.0, 5.8, pond()), same_power(250.0, 2.0, pond())):
        # adiabatic work by hand: k/(k-1) R T [(P2/P1)^((k-1)/k) - 1] with k 1.4, R 287.05, T 293.15
        work = 3.5 * 287.053 * 293.15 * ((1 + options.pressure_gauge / 101325) ** (1 / 3.5) - 1)
        assert options.flow_free_air * 1.2041 * work / comparison.EFFICIENCY == pytest.approx(250.0, rel=1e-3)
        assert options.oxygen_per_energy.usual == pytest.approx(options.bubbles.usual * 3.6e6 / 250)


def test_fine_bubbles_dissolve_more_and_lift_no_less_at_equal_power():
    options = same_power(250.0, 5.8, pond())
    assert options.diffuser == ["membrane", "stone", "drilled pipe"]
    assert options.bubbles.usual[0] > 1.5 * options.bubbles.usual[2]
    assert options.flow_free_air[0] < options.flow_free_air[2]
    assert options.lifted.usual[0] == pytest.approx(options.lifted.usual[2], rel=0.05)


def test_same_air_really_is_and_agrees_with_same_power():
    options = same_air(2 * CFM, 5.8, pond(), 2)
    assert options.flow_free_air == pytest.approx([2 * CFM] * 3)
    one = oxygen_by_bubbles(2 * CFM, 5.8, pond(), "stone", 2)
    assert options.bubbles.usual[1] == pytest.approx(one.usual)
    # the power that this air takes, given to same_power, brings back this air
    watts = options.bubbles.usual[0] / options.oxygen_per_energy.usual[0] * 3.6e6
    again = same_power(watts, 5.8, pond(), 2)
    assert again.flow_free_air[0] == pytest.approx(2 * CFM)
    assert comparison.air_for_power.si(watts, 5.8, pond()) == pytest.approx(2 * CFM)


def test_a_crowd_gives_what_its_sizes_give_one_by_one():
    found = oxygen_by_bubbles(CFM, 5.8, pond(), "stone")
    carried = carried_column(CFM, 5.8, pond())
    alone = bubbles.oxygen_transferred_by_spread(3e-3, 5.8, carried)
    assert found.usual == pytest.approx(alone * air.oxygen_mass_flow(CFM), rel=1e-5)


def test_deep_wins_at_equal_power_though_it_gets_less_air():
    shallow, deep = (same_power(250.0, depth, pond()) for depth in (2.0, 5.8))
    assert np.all(deep.flow_free_air < shallow.flow_free_air)
    assert np.all(deep.bubbles.usual > shallow.bubbles.usual)
    assert np.all(deep.lifted.usual > shallow.lifted.usual)


def test_results_come_with_units_at_the_door():
    column = asked(Column)(["0 ft", "20 ft"], asked(Water)(["80 degF", "60 degF"]), ["8 mg/L", "0 mg/L"])
    paths = asked(compare_paths)("2 cfm", "19 ft", column, "1 acre", "membrane", 2)
    assert paths.bubbles.usual.check("[mass]/[time]") and paths.lifted.high.check("[length]**3/[time]")
    options = asked(same_power)("250 W", "19 ft", column)
    assert options.oxygen_per_energy.usual.m_as("lb/(hp*hour)").shape == (3,)
    assert options.depth.m_as("ft") == pytest.approx([19, 19, 19])


def test_less_mass_of_air_for_the_power_at_height():
    # the gauge pressure is the same, so the ratio is larger, and free air counts mass
    high = Column(np.array([0.0]), Water(np.array([20.0]), 84000.0), np.array([0.0]))
    low = uniform_column()
    assert same_power(250.0, 5.8, high).flow_free_air[0] < same_power(250.0, 5.8, low).flow_free_air[0]


@pytest.mark.parametrize("call, words", [
    (lambda: same_power(0.0, 5.0, pond()), "power or an air flow above zero"),
    (lambda: surface_uptake(0.0, 2.0, 8.0, ACRE), "above zero"),
    (lambda: oxygen_by_bubbles(CFM, 0.0, pond()), "under water")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*\.?\d*", text)]


def test_rise_time_by_hand():
    # 14 ft at 0.23 m/s (Wuest, Brooks and Imboden 1992) is 18.55 s; with 0.80 ft/s of water 14/(0.7546 + 0.80) = 9.01 s
    assert numbers(comparison.say_bubble("2 mm", "14 ft"))[0] == pytest.approx(14 * 0.3048 / 0.23, abs=0.05)
    moving = comparison.say_bubble("2 mm", "14 ft", "0.8 ft/s")
    assert numbers(moving)[:2] == pytest.approx([0.80, 14 / (0.23 / 0.3048 + 0.80)], abs=0.01)


def test_skin_by_hand():
    # 1 cubic foot as 2 mm balls: 6 V/d = 6 x 1 / (2/304.8) ft2
    assert numbers(comparison.say_skin("1 ft3", ["2 mm"]))[1] == pytest.approx(6 * 304.8 / 2, rel=0.005)


def test_field_rate_by_hand():
    # 28 C: theta^8 = 1.2089; saturation 7.828 mg/L against 9.092 (Benson and Krause 1984), tau 0.861
    text = comparison.say_field("0.26 lb/h", "3 mg/L", "0 ft", Water(28.0))
    alpha, warmth, shortage, total, rate, _ = numbers(text)
    assert warmth == pytest.approx(1.2089, abs=0.001)
    assert shortage == pytest.approx((0.861 * 0.98 * 9.092 - 3) / 9.092, abs=0.003)
    assert total == pytest.approx(alpha * warmth * shortage, abs=0.001)
    assert rate == pytest.approx(0.26 * total, abs=0.005)


def test_lift_names_three_reckonings_inside_one_range():
    label, first, second = comparison.say_lift("4 cfm", "14 ft", 4).splitlines()
    assert label == "4.0 cfm, 4 diffusers:"
    usual, low, high = numbers(second)
    assert all(low <= each <= high for each in numbers(first)) and low < usual < high


def test_tub_words():
    log = buckettest.read_log(datafiles.path("demo-bucket-test.csv"))
    fit = buckettest.fit_bucket(log.time, log.dissolved_oxygen, log.water)
    kla, _, _, low, high = numbers(comparison.say_fit(fit))[:5]
    assert low < 6.0 < high and kla == pytest.approx(6.0, abs=0.1)          # 6 per hour made the log
    said = comparison.say_left_out(log, fit)
    assert "minute 21: a single reading" in said and "minute 0, 1, 2, 3, 4" in said
    rates = comparison.say_rates(fit, "18 gal", "0.14 cfm", "16 in", log.water)
    # oxygen blown in: 0.14 cfm x 0.4734 kg/h a cfm; 6 per hour x 8.6 mg/L x 68.1 L carried to 20 C
    assert numbers(rates)[3] == pytest.approx(0.14 * 473.4, rel=0.005)
    assert numbers(rates)[0] == pytest.approx(6 / 1.024**3 * 8.6 / 0.943 * 0.0681, rel=0.02)
