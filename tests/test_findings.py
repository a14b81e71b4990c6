"""Results that go into the pond record, and the words for them."""

import importlib.util

import numpy as np
import pytest

from pondcalc import datafiles, record
from pondcalc.door import findings, survey
from pondcalc.how_much_water.basin import DepthTable
from pondcalc.units import Q, show
from pondcalc.your_plan import plan, planparts


@pytest.fixture(scope="module")
def demo():
    return survey.read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))


def test_the_demo_record_is_what_its_script_makes():
    script = datafiles.path("demo-pond.json").with_name("make_demo_record.py")
    spec = importlib.util.spec_from_file_location("make_demo_record", script)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.demo_record() == datafiles.path("demo-pond.json").read_text(encoding="utf-8")
    assert record.demo().invented


def test_the_range_of_the_demo_pond_holds_the_exact_volume(demo):
    # 2.4 acre x 14.5 ft x 1.6/3.6 = 15.467 acre-ft = 19,078 m3: volume of area A0 (1 - z/D)^(2/1.6), by calculus
    truth = 2.4 * 4046.8564224 * 14.5 * 0.3048 * 1.6 / 3.6
    assert findings.demo_truth() == pytest.approx(truth, rel=1e-6)
    _, _, water = findings.water(demo)
    low, usual, high = (v.m_as("m^3") for v in water["volume"])
    assert low < truth < high and usual == pytest.approx(truth, rel=0.01)
    assert "inside" in findings.say_truth(water, truth) and "OUTSIDE" in findings.say_truth(water, 2 * truth)


def test_water_fits_the_record_and_the_words(demo):
    _, found, water = findings.water(demo, "a.csv", "b.csv")
    kept = record.PondRecord("x").with_section("water", water)
    assert record.from_text(record.to_text(kept)).get("water", "soundings_file") == "a.csv"
    assert "acre-ft" in findings.say_water(water, "US") and "m³ (" in findings.say_water(water, "metric")
    assert findings.water_table(water).splitlines()[0].split()[:2] == ["0", "ft"]
    assert "bank" in findings.say_doubt(found)


def test_too_few_or_too_narrow_a_survey_gives_no_volume(demo):
    head = "x_ft,y_ft,depth_ft\n"
    bank = "x_ft,y_ft\n0,0\n300,0\n300,300\n0,300\n"
    few = survey.read_survey(head + "100,100,5\n200,120,6\n150,200,7\n", bank)
    with pytest.raises(ValueError, match="3 soundings give no honest volume"):
        findings.water(few)
    line = survey.read_survey(head + "".join(f"{x},{x + 1},5\n" for x in range(20, 280, 20)), bank)
    with pytest.raises(ValueError, match="on one line"):
        findings.water(line)


def test_unplaced_transects_are_refused_with_advice():
    read = survey.read_survey(datafiles.path("demo-transects.csv"))
    with pytest.raises(ValueError, match="hand methods"):
        findings.water(read)


def test_power_from_readings():
    found = findings.power("115 V", "4.4 A", "250 ft", 12, "17.3 cents/kWh", "95 °F", "303.6 W")
    assert found["power"].usual.m_as("W") == pytest.approx(303.6)
    # 303.6 W x 8760 h x $0.173 = $460.10
    assert found["cost"].usual.m_as("dollar/year") == pytest.approx(0.3036 * 8760 * 0.173, rel=1e-6)
    # 2 x 250 ft x 4.4 A x 1.98 ohm/kft = 4.356 V of 115 V (NEC Chapter 9, Table 8, stranded, from memory): 3.79 %
    assert found["voltage_drop"].m_as("percent") == pytest.approx(100 * 4.356 / 115, rel=0.01)
    # 3.16 W/dT at 70 F: 318.8 W over 9 F is 112 cfm; at 104 F air is thinner by 529.67/563.67
    assert found["fan_flow"].m_as("cfm") == pytest.approx(3.16 * 303.6 * 1.05 / 9 * 563.67 / 529.67, rel=0.01)
    words = findings.say_power(found, "US", Q("95 °F"))
    assert "5.5 A" in words and "3 %" in words and "18 A to 26 A" in words.replace("18 to 26 A", "18 A to 26 A")
    kept = record.PondRecord("x").with_section("power", found)
    again = record.from_text(record.to_text(kept)).get("power", "wire_gauge")
    assert again.m_as("dimensionless") == 12
    assert "kPa" not in words and "m of" in findings.say_power(found, "metric", Q("95 °F"))


def test_power_on_a_day_hotter_than_the_motor_likes():
    # 113 F is 45 C, past the 40 C aimed at: the fan is then reckoned for a rise of 5 C
    hot, mild = (findings.power("120 V", "4 A", "50 ft", 12, "$0.17/kWh", day)["fan_flow"].m_as("cfm")
                 for day in ("113 °F", "95 °F"))
    assert hot == pytest.approx(mild * 323.15 / 313.15, rel=1e-3), "5 C of rise both, but thinner air"


@pytest.mark.parametrize("outside, inside, says", [
    # 5 C is 9 F: 102 + 9 = 111; 95 + 9 is 104 F, which is 40 C; a milder day is let reach 104 F as well
    ("85 °F", "104 °F", ""), ("95 °F", "104 °F", ""), ("102 °F", "111 °F", "No fan of a usual size can"),
    ("108 °F", "117 °F", "No fan can")])
def test_how_hot_the_cabinet_gets_is_said(outside, inside, says):
    words = findings.say_power(findings.power("120 V", "4 A", "50 ft", 12, "$0.17/kWh", outside), "US", Q(outside))
    assert f"it is then {inside} inside" in words
    assert ("No fan" in words) == bool(says) and says in words
    if says:
        assert f"below 104 °F when it is {outside} outside: shade it, move it to a cool building" in words
    # at 98 F there are 6 F left of the 9: one and a half times the air
    found = findings.power("120 V", "4 A", "50 ft", 12, "$0.17/kWh", "98 °F")
    more = show(1.5 * found["fan_flow"], "air flow", digits=2)
    assert f"It takes {more} to keep it at 104 °F when it is 98 °F" in findings.say_power(found, "US", Q("98 °F"))
    metric = findings.say_power(findings.power("120 V", "4 A", "50 ft", 12, "$0.17/kWh", outside), "metric", Q(outside))
    assert "°F" not in metric and "°C inside" in metric


def test_a_drop_at_the_start_that_is_one_number_is_said_once():
    assert findings.say_start_drop(0.009, 0.012).endswith("loses about 1 %.")
    assert findings.say_start_drop(0.05, 0.08).endswith("loses about 5 to 8 %.")
    assert findings.say_start_drop(0.001, 0.002).endswith("loses less than 1 %.")
def test_air_fits_the_record_and_comes_back(tmp_path):
    place = findings.setting(record.demo())
    values = findings.air(place, 3.66, 1.0, 1.4e-3, 3, "membrane")
    kept = record.from_text(record.to_text(record.demo().with_section("air", values)))
    assert kept.get("air", "lifted").high.m_as("gpm") == pytest.approx(values["lifted"].high.m_as("gpm"), rel=1e-4)
    assert kept.get("air", "diffuser") == "membrane" and kept.get("air", "diffusers").m_as("dimensionless") == 3
    # one pond volume over the water lifted, by hand, in acre-feet and gallons a minute
    low, usual, high = (v.m_as("hour") for v in kept.get("air", "turnover"))
    acre_feet, gallons = (kept.get(*key).usual.m_as(unit) for key, unit in ((("water", "volume"), "acre_foot"),
                                                                           (("air", "lifted"), "gpm")))
    assert usual == pytest.approx(acre_feet * 325851.4 / gallons / 60, rel=1e-3) and low < usual < high
    assert "3 membrane diffusers 12.0 ft down" in findings.say_air(values)
    assert "10 % of the water lies below" in findings.say_air(values, 0.1, "metric")
    text = planparts.say_whole(planparts.whole_plan(kept))
    assert "Water the bubbles lift" in text and "Time to lift one pond volume" in text
    assert plan.choices_from(kept).submergence == pytest.approx(3.66, rel=1e-4)


def test_a_diffuser_below_the_bottom_is_refused():
    with pytest.raises(ValueError, match="is only 14.1 ft"):
        findings.air(findings.setting(record.demo()), 5.0, 1.0, 1e-3, 1, "stone")


def test_a_pond_without_water_borrows_and_says_so():
    place = findings.setting(record.PondRecord("new", sections={"site": {"elevation": Q("5000 ft")}}))
    # U.S. Standard Atmosphere 1976: 12.230 psi at 5,000 ft
    assert place.borrowed and place.water.pressure_absolute == pytest.approx(12.230 * 6894.757, rel=1e-3)


def test_share_below_is_the_table_of_a_cone():
    # a cone keeps (1 - z/D)^3 of its water below depth z
    depth = np.linspace(0, 4, 200)
    table = DepthTable(depth, 100 * (1 - depth / 4)**2, 100 * 4 / 3 * (1 - depth / 4)**3)
    assert findings.share_below(table, 2.0) == pytest.approx(1 / 8, rel=1e-3)
