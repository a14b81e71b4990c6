"""Winter loss and fish limits, as printed."""

import pytest

from pondcalc.how_much_oxygen import fishlimits, underice


@pytest.mark.parametrize("depth, eutrophic, oligotrophic", [
    (1.0, 0.240, 0.090), (2.0, 0.125, 0.050), (2.44, 0.104, 0.043), (3.0, 0.087, 0.037), (5.0, 0.056, 0.026)])
def test_winter_rates(depth, eutrophic, oligotrophic):
    # Mathias and Barica (1980): s A/V + 0.01, s 0.23 or 0.08 (abstract seen); arithmetic for a box of this
    # depth
    loss = underice.winter_loss.si(1000 * depth, 1000.0)
    assert loss.high == pytest.approx(eutrophic, abs=6e-4)
    assert loss.low == pytest.approx(oligotrophic, abs=6e-4)


def test_one_acre_under_ice():
    # 8 acre-ft under 1 acre, eutrophic: 1.03 kg (2.27 lb) a day; 12 to 3.8 mg/L in 79 days (arithmetic)
    loss = underice.winter_loss("8 acre-ft", "1 acre").high
    assert (loss * 8 * 1233.48e3 / 1e6).m_as("mg/L/day") == pytest.approx(1.03, abs=0.005)
    assert underice.days_under_ice("8 acre-ft", "1 acre", "12 mg/L").low.m_as("day") == pytest.approx(79, abs=0.5)


def test_a_bowl_loses_faster_than_its_greatest_depth_says():
    # cone 6 m deep: bed over volume is 3/6 m (plan area A over A h/3), three times 1/6
    cone = underice.winter_loss.si(1000 * 6 / 3, 1000.0).high
    box = underice.winter_loss.si(1000 * 6, 1000.0).high
    assert cone / box > 2


def test_no_rule_below_the_supply_limit():
    with pytest.raises(ValueError, match="3.8"):
        underice.days_under_ice("8 acre-ft", "1 acre", "12 mg/L", "2 mg/L")
    assert underice.days_under_ice.si(1000.0, 1000.0, 3.0).usual == 0


def test_fish_limits_as_printed():
    # CCME (1999), Table 1 (seen): warm 6 and 5.5, cold 9.5 and 6.5; Texas A&M (seen): stress 3, death 2
    def levels(fish, word):
        return {limit.level for limit in fishlimits.limits_for(fish)
                if word in limit.source and limit.status == "seen" and "guideline" in limit.meaning}
    assert levels("warm", "CCME") == {6.0, 5.5} and levels("cold", "CCME") == {9.5, 6.5}
    assert {limit.level for limit in fishlimits.limits_for("warm") if "Texas" in limit.source} == {3.0, 2.0}
    # EPA (1986) plus 0.5 made the CCME levels: its 30-day means, 5.5 and 6.5 less 0.5 and more, stay below
    # them
    assert all(limit.level < 5.5 for limit in fishlimits.limits_for("warm") if "EPA" in limit.source)


def test_fish_that_have_no_limits_are_named():
    with pytest.raises(ValueError, match="warm"):
        fishlimits.limits_for("golden")
