"""What uses oxygen: against printed rates and plain arithmetic."""

import numpy as np
import pytest

from pondcalc.how_much_oxygen import photosynthesis
from pondcalc.how_much_oxygen import respiration as use


def test_night_use_of_plankton_in_catfish_ponds():
    """Boyd, Romaire and Johnston (1978), Trans. Am. Fish. Soc. 107:484-492, from memory, not verified; 1 m deep."""
    bottles = {0.30: 0.39, 0.50: 0.29, 0.80: 0.17}       # m of Secchi depth, mg/L an hour at 28 C
    for secchi, seen in bottles.items():
        # their regression as remembered gives the same three, so memory is at least of one mind
        s, t = 100 * secchi, 28.0
        remembered = -1.133 + 0.00381 * s + 0.0000145 * s**2 + 0.0812 * t - 0.000749 * t**2 - 0.000349 * s * t
        assert remembered == pytest.approx(seen, abs=0.005)
        green = photosynthesis.chlorophyll_from_secchi.si(secchi)
        for latitude, day in ((33.0, 200), (33.0, 172), (39.0, 200), (30.0, 230)):
            for mud in use.MUD_KINDS.values():
                ours = use.plankton_respiration.si(green, t, secchi, 1.0, mud.usual, latitude, day).usual / 24
                assert ours == pytest.approx(seen, rel=0.30), (secchi, latitude, day)
        usual = use.plankton_respiration.si(green, t, secchi, 1.0, latitude=33.0).usual / 24
        assert usual == pytest.approx(seen, rel=0.12)


@pytest.mark.parametrize("secchi", [0.25, 0.3, 0.5, 0.8, 1.35])
def test_a_deeper_pond_uses_no_more_under_each_square_meter(secchi):
    """Light that a Secchi disk needs is gone at 2.7 Secchi depths (1 %; 4.6/1.7, Poole and Atkins 1929)."""
    green = photosynthesis.chlorophyll_from_secchi.si(secchi)

    def areal(deep):
        return float(use.plankton_respiration.si(green, 28.0, secchi, deep).usual) * deep
    lit = 2.7 * secchi
    assert areal(lit) == pytest.approx(areal(6.0), rel=0.05)
    assert areal(2 * lit) == pytest.approx(areal(8 * lit), rel=0.005)
    # water lit to the bed uses by the liter: half as deep, a little more than half as much
    assert 0.5 < areal(0.1 * secchi) / areal(0.2 * secchi) < 0.6


def test_shares_of_plankton_and_mud():
    """How much of the use of water and mud falls to the mud, a meter deep."""
    def share(green, kind, t):
        mud = float(use.mud_respiration.si(t, kind).usual)
        return mud / (mud + float(use.plankton_respiration.si(green, t, None, 1.0, use.MUD_KINDS[kind].usual).usual))
    # Baxa and others (2021), Sci. Total Environ. 142647, fishpond 0.6 m deep: mud 70 to 90 % of all use at little
    # chlorophyll, about 10 % in a bloom, not to be told from nothing above 100 ug/L (abstract seen)
    assert 0.70 < share(2.0, "ordinary", 22.0) < 0.95 and share(150.0, "ordinary", 22.0) < 0.15
    falling = [share(green, "ordinary", 22.0) for green in (2.0, 7.0, 13.0, 26.0, 55.0, 100.0, 150.0)]
    assert np.all(np.diff(falling) < 0)
    # Madenjian, Rogers and Fast (1987): plankton 42 %, sediment 50.2 % in prawn ponds, 0.54 of the two (abstract
    # seen): between slightly green and green over rich mud
    assert share(26.0, "black and deep", 28.0) < 0.54 < share(7.5, "black and deep", 28.0)


def test_of_the_size_of_shrimp_ponds():
    # Santa and Vinatea (2007), Aquacult. Eng., three ponds in southern Brazil, February to April: mud 0.07 to 0.16,
    # water 0.04 to 0.07 g/m2 an hour (abstract seen): little algae over rich mud
    water = use.plankton_respiration.si(13.0, 26.0, None, 1.0, use.MUD_KINDS["black and deep"].usual)
    assert water.low / 24 < 0.04 and 0.07 < water.high / 24
    mud = use.mud_respiration.si(26.0, "black and deep")
    assert mud.low / 24 < 0.07 < mud.usual / 24 * 1.1 and mud.high / 24 == pytest.approx(0.12, abs=0.04)


def test_plankton_use_by_hand():
    # 10 left over: 10.5 fed; mud asks for 1, so 9.5; mud asks for 5, but no more than a fifth sinks: 8.4
    assert use.plankton_use(10.0, 1.0) == pytest.approx(9.5)
    assert use.plankton_use(10.0, 5.0) == pytest.approx(8.4)
    assert use.plankton_use(0.0, 5.0) == 0
    # mud that asks for 5 gets 2.1 from what sinks; 2.9 are lacking, and a film makes 2.9/1.05 of them where it could 4
    assert use.bed_share(10.0, 5.0, 4.0) == pytest.approx(2.9 / 1.05 / 4)
    assert use.bed_share(10.0, 5.0, 1.0) == 1 and use.bed_share(10.0, 1.0, 4.0) == 0 == use.bed_share(10.0, 0.0, 0.0)
    assert 1.0 < use.FED < 9.1 / 8.4, "Rabaey and others (2024): 9.1 used for 8.4 made over all skies (abstract seen)"
    assert use.plankton_respiration.si(0.0, 20.0).usual == 0


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


def test_plankton_grows_as_what_feeds_it():
    # 1.066^(T - 20): 0.726 at 15, 1.377 at 25, 1.668 at 28 C (Eppley 1972, from memory; arithmetic), without mud
    at_20 = use.plankton_respiration.si(10.0, 20.0, mud_20c=0.0).usual
    for t, factor in {15: 0.726, 25: 1.377, 28: 1.668}.items():
        assert use.plankton_respiration.si(10.0, float(t), mud_20c=0.0).usual / at_20 == pytest.approx(factor, abs=6e-4)


def test_feed():
    # C. E. Boyd: 1.25 kg of oxygen for each kg of feed (seen), of which part is the fish's own breath; 15, 30 and 50 %
    # are not (5 to 10 % is uneaten, seen; the rest judgment): 1.875, 3.75 and 6.25 of 12.5 lb
    load = use.feed_load("10 lb/d")
    assert [end.m_as("lb/d") for end in load] == pytest.approx([1.875, 3.75, 6.25])


def test_a_dead_bloom_by_hand():
    # Boyd (1973): 1.29 mg per mg dry algae (abstract seen); 100 mg dry per mg chlorophyll (from memory)
    assert use.BLOOM_DEMAND == pytest.approx((64.5, 129.0, 258.0))


@pytest.mark.parametrize("call, says", [
    (lambda: use.plankton_respiration.si(-1.0, 20.0), "chlorophyll"),
    (lambda: use.mud_respiration.si(20.0, "gold"), "Choose one of"),
    (lambda: use.feed_load.si(-1.0), "feed")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()
