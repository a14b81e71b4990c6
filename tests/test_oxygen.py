"""The night budget against published rates and plain arithmetic."""

import numpy as np
import pytest

from pondcalc.how_much_oxygen import oxygen
from pondcalc.units import Q, Range

ACRE, FT, CFM = 4046.8564224, 0.3048, 4.71947e-4
POND = dict(volume="8 acre-ft", area="1 acre", fish_mass_per_area="300 lb/acre", temperature="25 C")


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
    demand = oxygen.night_demand(**POND)
    for end in ("low", "usual", "high"):
        parts = sum(getattr(getattr(demand, part), end).m_as("kg/h") for part in ("fish", "plankton", "mud"))
        assert getattr(demand.total, end).m_as("kg/h") == pytest.approx(parts, rel=1e-12)
    assert demand.total.low < demand.total.usual < demand.total.high
    twice = oxygen.night_demand(**{**POND, "fish_mass_per_area": "600 lb/acre"})
    assert twice.fish.usual / demand.fish.usual == pytest.approx(2)
    assert twice.plankton.usual == demand.plankton.usual


def test_fish_term_of_a_farm_pond_is_small():
    # 300 lb/acre at 300 mg/kg/h: 300 x 0.45359 kg x 300 mg/h x 24 h = 0.98 kg a day
    demand = oxygen.night_demand(**POND)
    by_hand = 300 * 0.45359237 * 300e-6 * 24
    assert by_hand == pytest.approx(0.98, abs=0.005)
    assert demand.fish.low.m_as("kg/d") < by_hand < demand.fish.high.m_as("kg/d")
    assert demand.fish.usual < 0.15 * demand.total.usual


def test_held_at_dusk():
    # 8.263 mg/L at 25 C, sea level (Benson and Krause 1984), times 8 acre-ft of 1233.48 m3; 7.960 at 1000 ft
    held = oxygen.oxygen_held("8 acre-ft", "25 C")
    assert held.high.m_as("kg") == pytest.approx(8.263 * 8 * 1.23348, rel=1e-3)
    assert held.low / held.high == pytest.approx(0.6)
    high_up = oxygen.oxygen_held("8 acre-ft", "25 C", "1000 ft")
    assert high_up.high.m_as("kg") == pytest.approx(7.960 * 8 * 1.23348, rel=1e-3)
    measured = oxygen.oxygen_held("1 acre-ft", "25 C", dissolved_oxygen="1 mg/L")
    assert measured.usual.m_as("lb") == pytest.approx(2.719, abs=0.001)      # 1 mg/L in 1 acre-ft
    measured = Range(Q("5 mg/L"), Q("6 mg/L"), Q("7 mg/L"))
    spread = oxygen.oxygen_held("1 acre-ft", "25 C", dissolved_oxygen=measured)
    assert spread.high / spread.low == pytest.approx(7 / 5)


def test_night_budget_closes():
    night = oxygen.night_budget.si(9868, ACRE, 0.0336, 25.0, 12 * 3600.0)
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
                               temperature="16 C", night_length="8 h", dissolved_oxygen="14 mg/L").delivery
    assert [n.m for n in need] == [0, 0, 0]


def test_the_delivery_of_a_night_rises_with_every_trouble():
    base = oxygen.night_budget(night_length="12 h", **POND).delivery.high
    for change in (dict(temperature="28 C"), dict(night_length="14 h"), dict(floor="5 mg/L"),
                   dict(elevation="5000 ft"), dict(dissolved_oxygen="4 mg/L"),
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
