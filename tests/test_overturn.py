"""Sudden mixing, storms and winter: worked numbers and balances."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layeredponds import A0, BOWL, CONE, FT, HUMMINGBIRD, WALLS, D, Z, two_layers

from pondcalc.door import overturn
from pondcalc.units import Q
from pondcalc.warm_over_cold import layers
from pondcalc.warm_over_cold.profile import Profile


# 24 over 12 C, 8.0 over 0.2 mg/L: shares of volume are exact, so the mixed values follow by hand
@pytest.mark.parametrize("area, boundary, share, temperature, oxygen", [
    (WALLS, 10, 0.5000, 18.00, 4.100), (BOWL, 10, 0.7500, 21.00, 6.050), (BOWL, 6, 0.5100, 18.12, 4.178),
    (CONE, 10, 0.8750, 22.50, 7.025)])
def test_worked_mixing(area, boundary, share, temperature, oxygen):
    found = overturn.mixed_after_overturn.si(Z, area, two_layers(boundary * FT), stagnant_below=boundary * FT)
    assert found.temperature == pytest.approx(temperature, abs=5e-3)
    assert found.dissolved_oxygen_before_demand == pytest.approx(oxygen, abs=6e-4)
    assert 1 - found.stagnant_share == pytest.approx(share, abs=1e-4)


# the same open profile in three assumed shapes, 0-6 m: computed outside this set with numpy
@pytest.mark.parametrize("power, temperature, oxygen", [(2, 16.64, 2.13), (1, 14.49, 1.57), (0, 11.07, 0.90)])
def test_open_profile_mixed_in_three_shapes(power, temperature, oxygen):
    z = np.linspace(0, 6, 601)
    found = overturn.mixed_after_overturn.si(z, A0 * (1 - z / 6) ** power, HUMMINGBIRD)
    assert (found.temperature, found.dissolved_oxygen_before_demand) == pytest.approx((temperature, oxygen), abs=0.01)


def test_demand_is_charged_to_the_stagnant_share():
    plain = overturn.mixed_after_overturn(Q(Z, "m"), Q(BOWL, "m2"), two_layers(6 * FT),
                                          demand=("0 mg/L", "2 mg/L", "12 mg/L"))
    assert plain.dissolved_oxygen.high.m_as("mg/L") == pytest.approx(4.178, abs=1e-3)
    share = plain.stagnant_share.m_as("")
    assert plain.dissolved_oxygen.usual.m_as("mg/L") == pytest.approx(4.178 - 2 * share, abs=1e-3)
    assert plain.dissolved_oxygen.low.m_as("mg/L") == 0                     # never below zero


@pytest.mark.parametrize("oxygen, stagnant", [((8.0, 0.2), 0.49), (None, 0.49)])
def test_stagnant_water_is_found_from_oxygen_or_else_from_density(oxygen, stagnant):
    p = two_layers(6 * FT)
    found = overturn.mixed_after_overturn.si(Z, BOWL, p if oxygen else Profile(p.depth, p.temperature))
    assert found.stagnant_share == pytest.approx(stagnant, abs=2e-3)
    assert math.isnan(found.dissolved_oxygen.low) == (oxygen is None)
    assert overturn.mixed_after_overturn.si(Z, BOWL, Profile([0, 6], [24, 12], [8, 5])).stagnant_share == 0


def test_bottle_test_gives_back_the_demand_that_was_put_in():
    # half top water at 8 and half bottom water at 0.2 that owes 3 mg/L: reads 4.1 - 1.5 = 2.6
    assert overturn.demand_from_bottle.si(8.0, 0.2, 2.6) == pytest.approx(3.0)
    assert overturn.demand_from_bottle("8 mg/L", "0 mg/L", "7 mg/L", bottom_share=0.1).m_as("mg/L") == \
        pytest.approx(2.0)
    with pytest.warns(UserWarning, match="ran out"):
        overturn.demand_from_bottle.si(4.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="between 0 and 1"):
        overturn.demand_from_bottle.si(8.0, 0.2, 2.6, bottom_share=1.0)


def test_rain_and_wind_by_hand():
    # 2 in of 15 C rain into 5.1 ft of 24 C water, the volume of the upper 6 ft over area: 0.28 C
    assert overturn.rain_cooling("2 in", "59 F", "24 C", Q(0.51 * D / 2, "m")).m_as("delta_degC") == \
        pytest.approx(0.28, abs=6e-3)
    # air of 1.2 kg/m3 at 4 m/s with a drag of 1.0e-3 pulls with 0.0192 Pa, at 10 m/s with 1.5e-3 with 0.18 Pa
    for u, stress in ((4.0, 0.0192), (10.0, 0.18)):
        assert overturn.friction_velocity(u) == pytest.approx(math.sqrt(stress / 1000), rel=1e-3)


def test_heat_to_overturn():
    # upper 6 ft of the bowl from 24 to 12 C: 77.9 MJ/m2, nine days at 100 W/m2
    heat = overturn.heat_to_overturn(Q(Z, "m"), Q(BOWL, "m2"), two_layers(6 * FT))
    assert heat.m_as("MJ/m^2") == pytest.approx(77.9, abs=0.15)
    assert heat.m_as("J/m^2") / 100 / 86400 == pytest.approx(9.0, abs=0.05)
    # a bottom colder than 4 C asks for cooling to 4 C only
    cold = overturn.heat_to_overturn.si(Z, BOWL, Profile([0, 3, 3.001, D], [10, 10, 2, 2]))
    s = layers.slices(Z, BOWL, Profile([0, 3, 3.001, D], [10, 10, 2, 2]))
    assert cold == pytest.approx(4.18e6 * s.volume[s.temperature > 9].sum() * (10 - 3.98) / A0, rel=1e-3)
    assert overturn.heat_to_overturn.si(Z, BOWL, Profile([0, 6], [15, 15])) == pytest.approx(0, abs=1)


@settings(max_examples=40, deadline=None)
@given(st.floats(1e8, 4e11), st.lists(st.floats(5, 30), min_size=4, max_size=8))
def test_cooling_from_above_takes_out_exactly_its_heat_and_leaves_order(heat, temperatures):
    p = Profile(np.linspace(0, D, len(temperatures)), np.sort(temperatures)[::-1])
    s = layers.slices(Z, BOWL, p)
    cooled, count = overturn._cool(s, heat)
    lost = layers.HEAT_CAPACITY * ((s.temperature - cooled.temperature) * s.volume).sum()
    assert lost == pytest.approx(heat, rel=1e-9)
    if count < len(s.volume):                                       # not mixed to the bottom: still in order
        assert cooled.temperature[0] >= s.temperature[count] - 1e-6
        assert cooled.temperature[0] <= s.temperature[count - 1] + 0.2


def test_stirring_needs_the_energy_of_stability():
    p = two_layers(10 * FT)
    s = layers.slices(Z, BOWL, p)
    need = layers.mixing_energy(Z, BOWL, p)
    assert overturn._stir(s, 0.999 * need)[1] < len(s.volume)
    assert overturn._stir(s, 1.001 * need)[1] == len(s.volume)


def test_storm_brackets_and_order():
    calm = overturn.storm.si(Z, BOWL, two_layers(6 * FT), heat_loss=0.0)
    assert calm.mixed_depth.high <= 6 * FT + 0.02
    wild = overturn.storm.si(Z, BOWL, two_layers(6 * FT), rain=0.1, wind_speed=15.0, duration=86400.0,
                             heat_loss=300.0, demand=(0.0, 2.0, 4.0))
    assert wild.mixed_share.high == pytest.approx(1.0)
    for r in wild:
        assert r.low <= r.usual <= r.high
    assert wild.dissolved_oxygen.low < 3 < wild.dissolved_oxygen.high
    # a storm without wind that takes exactly the heat to overturn mixes everything
    heat = overturn.heat_to_overturn.si(Z, BOWL, two_layers(6 * FT))
    just = overturn.storm.si(Z, BOWL, two_layers(6 * FT), duration=86400.0, heat_loss=1.01 * heat / 86400)
    assert just.mixed_share.low == pytest.approx(1.0)
    assert just.temperature.usual == pytest.approx(12.0, abs=0.1)


def test_risk_speaks_in_degrees_days_and_words():
    risk = overturn.overturn_risk(Q(Z, "m"), Q(BOWL, "m2"), two_layers(6 * FT), wind_speed="20 mph",
                                  rain="2 in", rain_temperature="59 F", demand=("0 mg/L", "2 mg/L", "4 mg/L"))
    assert risk.margin_temperature.m_as("delta_degF") == pytest.approx(21.6, abs=0.01)
    assert risk.days_of_cooling.usual.m_as("day") == pytest.approx(9.0, abs=0.05)
    assert risk.nearness == "near" and risk.harm == "fish stressed"


@pytest.mark.parametrize("profile, storm, nearness", [
    (two_layers(10 * FT), {"wind_speed": 2.2, "rain": 0.0, "heat_loss": 50.0}, "not near"),
    (two_layers(6 * FT, 12.5, 12.0), {}, "at hand"), (Profile([0, 1, 3, D], [0, 2, 4, 4]), {}, "winter layers")])
def test_nearness(profile, storm, nearness):
    found = overturn.overturn_risk.si(Z, BOWL, profile, **storm)
    assert found.nearness == nearness and (nearness != "winter layers" or found.harm.startswith("unknown"))


@pytest.mark.parametrize("oxygen, words", [(1.0, "fish kill likely"), (2.5, "fish stressed"),
                                           (3.5, "little margin"), (6.0, "fish not shown to be in danger")])
def test_harm_follows_the_published_limits(oxygen, words):
    p = Profile([0, D], [20, 12], [oxygen, oxygen])
    assert overturn.overturn_risk.si(Z, BOWL, p).harm == words
    if oxygen == 2.5:
        wide = overturn.mixed_after_overturn.si(Z, BOWL, p, (0, 0, 2), stagnant_below=0.0)
        assert overturn._harmful(wide) == "fish kill possible"


def test_words_of_harm_never_call_a_pond_with_stagnant_water_safe():
    # a guessed demand of nothing at all over water with 0.2 mg/L: only a bottle test could show that the fish are safe
    p = Profile([0, 2.99, 3.01, D], [28, 28, 15, 15], [9, 9, 0.2, 0.2])
    found = overturn.overturn_risk.si(Z, BOWL, p)
    assert found.after_overturn.dissolved_oxygen.low > overturn.FLOOR
    assert found.harm == "fish not shown to be in danger; do a bottle test"


def test_winter_refuge_and_what_mixing_costs():
    p = Profile([0, 3.048, 3.0480001, D], [0, 0, 4, 4], [10, 10, 4, 4])
    found = overturn.winter_layers(Q(Z, "m"), Q(WALLS, "m2"), p)
    assert found.kind == "cold over warm"
    assert found.stability.m_as("J/m^2") == pytest.approx(6.02, abs=5e-3)
    assert found.mixed_temperature.m_as("degC") == pytest.approx(2.0, abs=1e-3)
    assert found.share_above_mixed.m_as("") == pytest.approx(0.5, abs=1e-3)
    assert found.mixed_dissolved_oxygen.m_as("mg/L") == pytest.approx(7.0, abs=1e-3)


def test_demand_of_a_pond_is_its_own_mud_over_its_own_stagnant_water():
    # straight walls: area/volume is 1/thickness, 60 d x 0.37 g/(m2 d) x 0.25 over 10 ft = 1.821 mg/L; ends 0.1 and 0.5
    found = overturn.demand_of_profile(Q(Z, "m"), Q(WALLS, "m2"), two_layers(10 * FT), "60 day", "10 ft")
    assert [v.m_as("mg/L") for v in found] == pytest.approx([0.4921, 1.8209, 4.8228], rel=1e-3)
    # by oxygen, the same boundary is found without being told
    assert overturn.demand_of_profile.si(Z, WALLS, two_layers(10 * FT), 60.0)[1] == pytest.approx(1.8209, rel=5e-3)
    fresh = Profile([0, D], [20, 12], [8, 6])
    assert overturn.demand_of_profile.si(Z, WALLS, fresh, 60.0) == (0, 0, 0)


def test_wind_numbers():
    # by hand: air of 1.2 kg/m3 at 4 m/s with a drag of 1.0e-3 pulls with 0.0192 Pa, at 10 m/s with 1.5e-3 with 0.18 Pa
    for u, stress in ((4.0, 0.0192), (10.0, 0.18)):
        assert overturn.friction_velocity(u) == pytest.approx(math.sqrt(stress / 1000), rel=1e-3)
    assert overturn.demand_of_profile.si(Z, WALLS, Profile([0, D], [20, 12], [8, 6]), 60.0) == (0, 0, 0)
    with pytest.raises(ValueError, match="above zero"):
        overturn.stagnant_demand.si(0.0, 10.0, 5.0)
