"""Results that go into the pond record, and the words for them."""

import importlib.util

import pytest

from pondcalc import datafiles, findings, record, survey


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
    assert low < truth < high and usual == pytest.approx(truth, rel=0.05)
    assert "inside" in findings.say_truth(water, truth) and "OUTSIDE" in findings.say_truth(water, 2 * truth)


def test_water_fits_the_record_and_the_words(demo):
    _, found, water = findings.water(demo, "a.csv", "b.csv")
    kept = record.PondRecord("x").with_section("water", water)
    assert record.from_text(record.to_text(kept)).get("water", "soundings_file") == "a.csv"
    assert "acre-ft" in findings.say_water(water, "US") and "m³ (" in findings.say_water(water, "metric")
    assert findings.water_table(water).splitlines()[0].split()[:2] == ["0", "ft"]
    assert "bank" in findings.say_doubt(found)


def test_unplaced_transects_are_refused_with_advice():
    read = survey.read_survey(datafiles.path("demo-transects.csv"))
    with pytest.raises(ValueError, match="hand methods"):
        findings.water(read)
