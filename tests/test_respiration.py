"""What uses oxygen: against printed rates and plain arithmetic."""

import numpy as np
import pytest

from pondcalc.how_much_oxygen import respiration as use


def test_plankton_regression_by_hand():
    # Pace and Prairie (2005), second-hand: chl 10 gives 10^(-0.81 + 0.56) = 0.562 mmol/m3/h, times 24 x
    # 31.998 mg
    assert use.plankton_respiration.si(10.0, 20.0).usual == pytest.approx(0.5623 * 24 * 31.998e-3, rel=1e-3)
    assert use.plankton_respiration.si(0.0, 20.0).usual == 0


def test_plankton_tops_out_at_what_lakes_show():
    # Solomon and others (2013): yearly means 0.1 to 5.0 mg/L a day (abstract seen); pea green 150 mg/m3
    assert use.plankton_respiration.si(150.0, 20.0).high == pytest.approx(5.0, rel=0.05)


def test_plankton_doubles_slower_than_fish():
    # Boyd (1973): dark bottles, Q10 1.5 to 2.0 from 15 to 35 C (abstract seen)
    rates = use.plankton_respiration.si(50.0, np.array([15.0, 25.0, 35.0])).usual
    assert np.all((rates[1:] / rates[:-1] > 1.5) & (rates[1:] / rates[:-1] < 2.0))


def test_mud_of_fish_ponds():
    # Meijer and Avnimelech (1999): 45 to 50 mg/m2/h near 25 C, 1.08 to 1.20 g/m2/d, 9.6 to 10.7 lb/acre/d
    # (seen)
    mud = use.mud_respiration("25 C").usual
    assert 1.08 <= mud.m_as("g/m^2/day") <= 1.20
    assert 9.6 <= mud.m_as("lb/acre/day") <= 10.7
    rich, sand = use.mud_respiration.si(25.0, "black and deep"), use.mud_respiration.si(25.0, "sand or clay")
    assert rich.low >= 1.08 and sand.usual < mud.m_as("g/m^2/day")


def test_mud_temperature_factor():
    # 1.065^(T - 20): 0.365, 0.533, 0.730, 1.370, 1.655, 1.877 (factor second-hand, arithmetic)
    at_20 = use.mud_respiration.si(20.0).usual
    for t, factor in {4: 0.365, 10: 0.533, 15: 0.730, 25: 1.370, 28: 1.655, 30: 1.877}.items():
        assert use.mud_respiration.si(float(t)).usual / at_20 == pytest.approx(factor, abs=6e-4)


def test_plankton_temperature_factor():
    # 1.047^(T - 20): 0.480, 0.632, 0.795, 1.258, 1.444, 1.583 (factor second-hand, arithmetic)
    at_20 = use.plankton_respiration.si(10.0, 20.0).usual
    for t, factor in {4: 0.480, 10: 0.632, 15: 0.795, 25: 1.258, 28: 1.444, 30: 1.583}.items():
        assert use.plankton_respiration.si(10.0, float(t)).usual / at_20 == pytest.approx(factor, abs=6e-4)


def test_feed():
    # C. E. Boyd: 1.25 kg of oxygen for each kg of feed (seen), of which part is the fish's own breath
    load = use.feed_load("10 lb/d")
    assert 0 < load.low < load.usual < load.high < Q_LB(12.5)
    assert load.usual.m_as("lb/d") == pytest.approx(12.5 * use.FEED_WASTED.usual)


def test_a_dead_bloom_by_hand():
    # Boyd (1973): 1.29 mg per mg dry algae (abstract seen); 100 mg dry per mg chlorophyll (from memory)
    assert use.BLOOM_DEMAND == pytest.approx((64.5, 129.0, 258.0))


def Q_LB(value):
    from pondcalc.units import Q
    return Q(value, "lb/d")


@pytest.mark.parametrize("call, says", [
    (lambda: use.plankton_respiration.si(-1.0, 20.0), "chlorophyll"),
    (lambda: use.mud_respiration.si(20.0, "gold"), "Choose one of"),
    (lambda: use.feed_load.si(-1.0), "feed")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()
