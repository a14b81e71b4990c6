"""The night budget against published rates and plain arithmetic.

Two duties of bottom aeration: arithmetic, a differential equation, and the rule by area.

Winter loss and fish limits, as printed.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pondcalc.door import air, oxygen
from pondcalc.how_much_oxygen import fishlimits
from pondcalc.units import Q, Range
from pondcalc.water import Water

ACRE, FT, CFM = 4046.8564224, 0.3048, 4.71947e-4
POND = dict(volume="8 acre-ft", area="1 acre", fish_mass_per_area="300 lb/acre", water=Water(25.0))


def test_floor_stands_between_stress_and_guideline():
    # Texas A&M AgriLife Extension: stress below 3 mg/L (seen); CCME (1999): 5.5 mg/L, warm water, past early
    # life (seen)
    assert 3 < oxygen.FLOOR < 5.5


def test_fish_use_doubles_in_ten_degrees_and_falls_with_size():
    # C. E. Boyd, Dissolved oxygen requirements in aquatic animal respiration: use roughly doubles with 10 C,
    # small fish use more for their weight (seen in a summary)
    rates = oxygen.fish_respiration.si(np.array([20.0, 30.0]), 0.454)
    assert 1.8 < rates[1] / rates[0] < 2.4
    assert np.all(np.diff(oxygen.fish_respiration.si(25.0, np.array([0.01, 0.1, 0.2, 0.454, 0.7]))) < 0)
    # the same few hundred mg/kg/h as another fish: California halibut of 3 to 166 g, 15.077 W^-0.2452 g/kg/d
    # (Merino, Piedrahita and Conklin 2009, Aquacult. Eng. 41:166, abstract seen); within a factor of three
    for grams in (10, 100):
        other = 15.077 * grams**-0.2452 * 1000 / 24
        assert 1 / 3 < oxygen.fish_respiration.si(20.0, grams / 1000) / other < 3


def test_fish_outside_the_fit_warn_and_do_not_turn_up():
    with pytest.warns(UserWarning, match="Andrews"):
        heavy = oxygen.fish_respiration.si(25.0, 2.0)
    assert heavy == oxygen.fish_respiration.si(25.0, 0.7)
    with pytest.warns(UserWarning, match="Andrews"):
        oxygen.fish_respiration.si(5.0, 0.2)


def test_mud_usual_is_the_measured_fish_pond():
    # Meijer and Avnimelech (1999): 45 to 50 mg/m2/h near 25 C (seen)
    mud = oxygen.night_demand.si(10000, ACRE, 0.0, 25.0).mud
    assert 45 < mud.usual / ACRE * 1e6 * 3600 < 50


def test_mud_low_is_the_winter_lake():
    # Mathias and Barica (1980): 0.08 g/m2/d oligotrophic, 0.23 eutrophic, under ice near 4 C (seen);
    # times 1.065^(T - 4), the lake-model growth factor (second-hand)
    mud = oxygen.night_demand.si(10000, ACRE, 0.0, 25.0).mud
    per_day = [m / ACRE * 1000 * 86400 for m in mud]
    assert per_day[0] == pytest.approx(0.08 * 1.065**21, rel=0.02)
    assert per_day[0] < 0.23 * 1.065**21 < per_day[1], "eutrophic lake mud should fall between low and usual"


def test_plankton_spans_what_lakes_show():
    # Solomon and others (2013): yearly mean respiration 0.1 to 5.0 mg/L/d in lakes worldwide (abstract seen)
    plankton = oxygen.night_demand.si(10000, ACRE, 0.0, 20.0).plankton
    per_day = [p / 10000 * 86400 * 1000 for p in plankton]
    assert 0.1 < per_day[0] < per_day[1] < per_day[2]
    assert per_day[2] == pytest.approx(5.0)
    # Pace and Prairie (2005): log10 R = -0.81 + 0.56 log10 chl, mmol O2/m3/h (second-hand, public model code)
    by_chlorophyll = [10 ** (-0.81 + 0.56 * np.log10(chl)) * 32 * 24 / 1000 for chl in (13, 150)]
    assert per_day[:2] == pytest.approx(by_chlorophyll, rel=0.05)


def test_plankton_of_a_deep_pond_stops_at_what_light_can_feed():
    # Szyper and Ebeling (1993): nights used about what the day made, up to 0.26 mol O2/m2 (abstract seen)
    shallow, deep = (oxygen.night_demand.si(depth * ACRE, ACRE, 0.0, 25.0).plankton for depth in (1.0, 20.0))
    assert deep.high * 12 * 3600 * 1000 / ACRE == pytest.approx(0.26 * 31.998, rel=1e-4)
    assert deep.low / shallow.low == pytest.approx(20), "the low end of a deep pond is under the limit"


def test_demand_adds_up_and_grows_with_what_it_should():
    demand = oxygen.night_demand("8 acre-ft", "1 acre", "300 lb/acre", "25 C")
    for end in ("low", "usual", "high"):
        parts = sum(getattr(getattr(demand, part), end).m_as("kg/h") for part in ("fish", "plankton", "mud"))
        assert getattr(demand.total, end).m_as("kg/h") == pytest.approx(parts, rel=1e-12)
    assert demand.total.low < demand.total.usual < demand.total.high
    twice = oxygen.night_demand("8 acre-ft", "1 acre", "600 lb/acre", "25 C")
    assert twice.fish.usual / demand.fish.usual == pytest.approx(2)
    assert twice.plankton.usual == demand.plankton.usual


def test_fish_term_of_a_farm_pond_is_small():
    # 300 lb/acre at 300 mg/kg/h: 300 x 0.45359 kg x 300 mg/h x 24 h = 0.98 kg a day
    demand = oxygen.night_demand("8 acre-ft", "1 acre", "300 lb/acre", "25 C")
    by_hand = 300 * 0.45359237 * 300e-6 * 24
    assert by_hand == pytest.approx(0.98, abs=0.005)
    assert demand.fish.low.m_as("kg/d") < by_hand < demand.fish.high.m_as("kg/d")
    assert demand.fish.usual < 0.15 * demand.total.usual


def test_held_at_dusk():
    # 8.263 mg/L at 25 C, sea level (Benson and Krause 1984), times 8 acre-ft of 1233.48 m3; 7.960 at 1000 ft
    held = oxygen.oxygen_held("8 acre-ft", Water(25.0))
    assert held.high.m_as("kg") == pytest.approx(8.263 * 8 * 1.23348, rel=1e-3)
    assert held.low / held.high == pytest.approx(0.6)
    high_up = oxygen.oxygen_held("8 acre-ft", air.pond_water("1000 ft", "25 C"))
    assert high_up.high.m_as("kg") == pytest.approx(7.960 * 8 * 1.23348, rel=1e-3)
    measured = oxygen.oxygen_held("1 acre-ft", Water(25.0), dissolved_oxygen="1 mg/L")
    assert measured.usual.m_as("lb") == pytest.approx(2.719, abs=0.001)      # 1 mg/L in 1 acre-ft
    measured = Range(Q("5 mg/L"), Q("6 mg/L"), Q("7 mg/L"))
    spread = oxygen.oxygen_held("1 acre-ft", Water(25.0), dissolved_oxygen=measured)
    assert spread.high / spread.low == pytest.approx(7 / 5)


def test_night_budget_closes():
    night = oxygen.night_budget.si(9868, ACRE, 0.0336, Water(25.0), 12 * 3600.0)
    floor = 4.0 * 9.868
    worst = (night.used.high - (night.held.low - floor)) / 43200
    assert night.delivery.high == pytest.approx(max(0, worst), rel=1e-12) and worst > 0
    # fed that rate all night, the worst pond stands exactly at the floor at dawn
    assert (night.held.low - night.used.high + night.delivery.high * 43200) / 9.868 == pytest.approx(4.0)
    assert night.dawn.high == pytest.approx((night.held.high - night.used.low) / 9.868)
    assert night.dawn.low == pytest.approx(max(0, (night.held.low - night.used.high) / 9.868))
    assert night.delivery.low == 0, "an easy night needs no aeration"


def test_a_pond_with_plenty_needs_nothing_and_never_gives_back():
    need = oxygen.night_budget(volume="20 acre-ft", area="1 acre", fish_mass_per_area="0 lb/acre",
                               water=Water(16.0), night_length="8 h", dissolved_oxygen="14 mg/L").delivery
    assert [n.m for n in need] == [0, 0, 0]


def test_the_delivery_of_a_night_rises_with_every_trouble():
    base = oxygen.night_budget(night_length="12 h", **POND).delivery.high
    for change in (dict(water=Water(28.0)), dict(night_length="14 h"), dict(floor="5 mg/L"),
                   dict(water=air.pond_water("5000 ft", "25 C")), dict(dissolved_oxygen="4 mg/L"),
                   dict(fish_mass_per_area="1000 lb/acre")):
        assert oxygen.night_budget(**{**POND, "night_length": "12 h", **change}).delivery.high > base, change


def test_area_rule():
    # Nebraska Pond Management, 2nd ed., p. 87: 1.3 cfm per surface acre (seen); Lorenzen and Fast (1977):
    # 9.2 m3/min per km2 (from memory)
    assert oxygen.airflow_by_area("1 acre").m_as("cfm") == pytest.approx(1.3)
    assert oxygen.airflow_by_area.si(1e6) * 60 == pytest.approx(9.2, rel=0.015)


@pytest.mark.parametrize("call, says", [
    (lambda: oxygen.night_demand("0 acre-ft", "1 acre", "0 lb/acre", "25 C"), "volume"),
    (lambda: oxygen.night_demand("8 acre-ft", "1 acre", "-1 lb/acre", "25 C"), "fish mass per area"),
    (lambda: oxygen.night_budget(night_length="30 h", **POND), "24 hours"),
    (lambda: oxygen.airflow_by_area("0 acre"), "area")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_out_of_range_warns():
    with pytest.warns(UserWarning, match="outside 59 to 86 °F"):
        oxygen.night_demand("8 acre-ft", "1 acre", "100 lb/acre", "8 C")


NIGHT = dict(volume=9868.0, area=4047.0, demand=1.2e-3, night_length=43200.0, dusk=7.0, saturation=8.26,
             exchange_speed=3e-6, air_per_diffuser=4.72e-4, oxygen_per_air=0.04)


def test_turnover_arithmetic():
    # 20 and 8 acre-ft once a day: 0.2855 and 0.1142 m3/s, 4526 and 1810 gpm (arithmetic)
    assert oxygen.mixing_flow("20 acre-ft").m_as("m^3/s") == pytest.approx(0.2855, abs=1e-4)
    assert oxygen.mixing_flow("8 acre-ft").m_as("gpm") == pytest.approx(1810, abs=1)
    three = oxygen.mixing_flow("8 acre-ft", Range(0.5, 1.0, 2.0))
    assert three.high / three.low == pytest.approx(4)


def test_diffusers_by_hand():
    # 1 kg/h wanted, 1 cfm each (1.699 m3/h), 0.03 kg/m3 given up in the pond:
    # 0.05097 kg/h each, so 19.6: 20 of them; 0.1142 m3/s to lift at 0.05 m3/s each: 3
    need = oxygen.diffusers_needed("1 kg/h", "0.1142 m3/s", "1 cfm", Q(0.03, "kg/m3"), "0.05 m3/s", "1 acre")
    assert need.for_oxygen.usual == 20 and need.for_mixing.usual == 3 and need.diffusers.usual == 20
    assert need.flow_free_air.usual.m_as("cfm") == pytest.approx(20)
    # Nebraska Pond Management, 2nd ed., p. 87: 1.3 cfm an acre (seen)
    assert need.by_area.m_as("cfm") == pytest.approx(1.3)


def test_mixing_decides_on_an_easy_night():
    need = oxygen.diffusers_needed.si(Range(0.0, 1e-5, 5e-4), 0.1142, 4.72e-4, Range(0.03, 0.045, 0.06),
                                      Range(0.05, 0.1, 0.2), 4047.0)
    assert need.for_oxygen.low == 0 and need.diffusers.low == need.for_mixing.low == 1
    assert need.diffusers.high == need.for_oxygen.high > need.for_mixing.high
    assert need.diffusers.low <= need.diffusers.usual <= need.diffusers.high


@pytest.mark.parametrize("given, ceiling", [({}, 8.26), ({"bubble_saturation": 9.9}, 9.9)])
def test_more_diffusers_is_the_differential_equation(given, ceiling):
    # the open top pulls toward what it holds at rest, 8.26 mg/L; bubbles under pressure give up to their own ceiling
    got = oxygen.more_diffusers.si(**NIGHT, **given)
    for n in (0, 3, 10):
        def slope(t, c, n=n):
            return (3e-6 * 4047 * (8.26 - c) + n * 4.72e-4 * 40 * (1 - c / ceiling) - 1.2) / 9868
        run = solve_ivp(slope, (0, 43200), [7.0], rtol=1e-10, atol=1e-12)
        assert got.dawn[n] == pytest.approx(run.y[0, -1], rel=1e-8)


def test_each_one_more_adds_less_and_none_passes_the_ceiling():
    got = oxygen.more_diffusers.si(**{**NIGHT, "most": 400})
    assert got.gain[0] > 0 and np.all(np.diff(got.gain) < 0) and got.dawn.max() < 8.26
    assert got.enough is not None and got.gain[got.enough] < got.gain[0] / 2 <= got.gain[got.enough - 1]
    richer = oxygen.more_diffusers.si(**{**NIGHT, "bubble_saturation": 9.9})
    assert richer.dawn[-1] > oxygen.more_diffusers.si(**NIGHT).dawn[-1]


def test_each_number_of_diffusers_may_open_the_surface_its_own_way():
    open_top = np.linspace(0, 6e-6, 4)
    got = oxygen.more_diffusers.si(**{**NIGHT, "exchange_speed": open_top, "most": 3})
    for n in range(4):
        alone = oxygen.more_diffusers.si(**{**NIGHT, "exchange_speed": open_top[n], "most": 3})
        assert got.dawn[n] == pytest.approx(alone.dawn[n], rel=1e-12)


def test_none_help_a_pond_that_is_full():
    full = oxygen.more_diffusers.si(**{**NIGHT, "demand": 0.0, "dusk": 8.26})
    assert full.enough == 0 and np.allclose(full.dawn, 8.26)
    assert oxygen.more_diffusers.si(**{**NIGHT, "demand": 0.0, "exchange_speed": 0.0}).dawn[0] == pytest.approx(7.0)
    assert oxygen.more_diffusers.si(**{**NIGHT, "demand": 0.01}).dawn[0] == 0
    assert oxygen.more_diffusers.si(**{**NIGHT, "most": 2}).enough is None, "the last one tried still helps"


@pytest.mark.parametrize("call, says", [
    (lambda: oxygen.mixing_flow("0 m3"), "volume"),
    (lambda: oxygen.diffusers_needed.si(1e-4, 0.1, 4.7e-4, 0.4, 0.05, 4047.0), "more oxygen than the air holds"),
    (lambda: oxygen.diffusers_needed.si(-1e-4, 0.1, 4.7e-4, 0.04, 0.05, 4047.0), "delivery"),
    (lambda: oxygen.more_diffusers.si(**{**NIGHT, "saturation": 0.0}), "saturation")])
def test_impossible_input_is_refused_delivery(call, says):
    with pytest.raises(ValueError, match=says):
        call()


@pytest.mark.parametrize("depth, eutrophic, oligotrophic", [
    (1.0, 0.240, 0.090), (2.0, 0.125, 0.050), (2.44, 0.104, 0.043), (3.0, 0.087, 0.037), (5.0, 0.056, 0.026)])
def test_winter_rates(depth, eutrophic, oligotrophic):
    # Mathias and Barica (1980): s A/V + 0.01, s 0.23 or 0.08 (abstract seen); arithmetic for a box of this
    # depth
    loss = oxygen.winter_loss.si(1000 * depth, 1000.0)
    assert loss.high == pytest.approx(eutrophic, abs=6e-4)
    assert loss.low == pytest.approx(oligotrophic, abs=6e-4)


def test_one_acre_under_ice():
    # 8 acre-ft under 1 acre, eutrophic: 1.03 kg (2.27 lb) a day; 12 to 3.8 mg/L in 79 days (arithmetic)
    loss = oxygen.winter_loss("8 acre-ft", "1 acre").high
    assert (loss * 8 * 1233.48e3 / 1e6).m_as("mg/L/day") == pytest.approx(1.03, abs=0.005)
    assert oxygen.days_under_ice("8 acre-ft", "1 acre", "12 mg/L").low.m_as("day") == pytest.approx(79, abs=0.5)


def test_a_bowl_loses_faster_than_its_greatest_depth_says():
    # cone 6 m deep: bed over volume is 3/6 m (plan area A over A h/3), three times 1/6
    cone = oxygen.winter_loss.si(1000 * 6 / 3, 1000.0).high
    box = oxygen.winter_loss.si(1000 * 6, 1000.0).high
    assert cone / box > 2


def test_no_rule_below_the_supply_limit():
    with pytest.raises(ValueError, match="3.8"):
        oxygen.days_under_ice("8 acre-ft", "1 acre", "12 mg/L", "2 mg/L")
    assert oxygen.days_under_ice.si(1000.0, 1000.0, 3.0).usual == 0


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
