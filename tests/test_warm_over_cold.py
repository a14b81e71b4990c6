"""Layers as a section of the record, and the form in which readers bring their own readings."""

import re

import numpy as np
import pytest
from layeredponds import HUMMINGBIRD

from pondcalc import datafiles, findings, record
from pondcalc.controls import warm_over_cold
from pondcalc.door import layers
from pondcalc.units import Q, asked
from pondcalc.warm_over_cold import overturn, profile
from pondcalc.warm_over_cold.profile import Profile


@pytest.fixture
def shape():
    return findings.pond_shape(record.demo())


def read(month):
    return profile.read_profile(datafiles.path(f"demo-profile-{month}.csv"))


def test_the_shape_of_a_record_holds_its_volume(shape):
    depth, area = shape
    assert depth[0] == 0 and (np.diff(area) <= 0).all()
    # exact volume of the invented pond, 15.467 acre-ft, within the survey's range
    assert np.trapezoid(area, depth) / 1233.48 == pytest.approx(15.467, rel=0.05)
    assert findings.pond_shape(record.PondRecord("new"))[0] == pytest.approx(depth)


def test_the_open_profile_on_file_is_the_published_one():
    lake = profile.read_profile(datafiles.path("open-profile-hummingbird.csv"))
    assert lake.temperature == pytest.approx(HUMMINGBIRD.temperature)
    assert lake.dissolved_oxygen == pytest.approx(HUMMINGBIRD.dissolved_oxygen)
    # steepest: 5.2 C, 9.36 F, from 1.0 to 1.5 m
    assert "from 3.3 to 4.9 ft: 9.36 F°, or 10.4 C° per meter" in findings.say_profile(lake)
    # mixed, 0 to 6 m, computed outside this set: cone 16.64 C, 2.13; paraboloid 14.49, 1.57; walls 11.07, 0.90
    ponds = layers.plain_shapes("1 acre", "6 m")
    head, *rows = findings.say_mixing(ponds, lake).splitlines()
    assert head.split() == ["stability", "least", "work", "all", "mixed", "oxygen"]
    for row, shape, (t, c) in zip(rows, ponds.values(), ((16.64, 2.13), (14.49, 1.57), (11.07, 0.90)), strict=True):
        mixed = overturn.mixed_after_overturn(*shape, lake)
        assert mixed.temperature == pytest.approx(t, abs=0.02)
        assert mixed.dissolved_oxygen_before_demand == pytest.approx(c, abs=0.01)
        assert f"{t:.1f} °C" in row and row.endswith(f"  {c:.1f} mg/L")


def test_the_section_survives_the_record(shape):
    risk, values = findings.layers(*shape, read("july"))
    kept = record.from_text(record.to_text(record.PondRecord("x").with_section("layers", values)))
    assert kept.get("layers", "kind") == "warm over cold"
    assert kept.get("layers", "surface_temperature").m_as("degF") == pytest.approx(83.4)
    again = findings.pond_profile(kept)
    assert again.temperature == pytest.approx(read("july").temperature, abs=1e-3)
    assert again.dissolved_oxygen == pytest.approx(read("july").dissolved_oxygen)
    assert kept.get("layers", "mixed_oxygen").high.m_as("mg/L") <= risk.after_overturn.dissolved_oxygen_before_demand


def test_months_are_told_apart(shape):
    words = {month: findings.say_layers(*findings.layers(*shape, read(month))) for month in
             ("july", "october", "february")}
    assert "warm over cold" in words["july"] and "days of cool weather" in words["july"]
    assert "mixed already" in words["october"] and "fish not shown to be in danger" in words["october"]
    assert "winter layers" in words["february"] and "39.3 °F" in words["february"]


def test_without_oxygen_the_danger_is_not_guessed(shape):
    _, values = findings.layers(*shape, asked(Profile)(Q([0, 4], "m"), Q([28, 15], "C")))
    assert "mixed_oxygen" not in values and "unknown" in values["harm"]
    with pytest.raises(ValueError, match="heavier"):
        findings.layers(*shape, asked(Profile)(Q([0, 4], "m"), Q([15, 28], "C")))


@pytest.fixture
def form(tmp_path):
    made = warm_over_cold.OwnProfile(record.PondRecord("Mine", sections={"water": record.demo().sections["water"]}))
    made.saver._path = tmp_path / "pond.json"
    return made


def test_typed_readings_are_worked_out_and_saved(form):
    form.typed.value = "0 ft 80 F 7.5\n3 79 7.2\n6 68 1.0\n13 61 0.2"
    form.work()
    assert "warm over cold: 80.0 °F" in form.message.value and "read as feet" in form.message.value
    assert "<svg" in form.picture.value
    form.saver.save()
    kept = record.load(form.saver._path)
    assert kept.get("layers", "bottom_temperature").m_as("degF") == pytest.approx(61)
    assert findings.pond_profile(kept).depth[-1] == pytest.approx(13 * 0.3048, rel=1e-4)


def test_a_record_saved_before_boxes_were_kept_fills_the_form_of_readings(form):
    form.typed.value, form.day.value, form.days.value = "0 80 7.5\n13 ft, 61 F, 0.2", "July 24, 2025", 30
    form.work()
    form.saver.save()
    kept = record.load(form.saver._path)
    older = {key: value for key, value in kept.sections["layers"].items() if key != "typed"}
    metric = warm_over_cold.OwnProfile(record.PondRecord("Mine", "metric", sections={**kept.sections, "layers": older}))
    # 80 F = 26.67 C, 13 ft = 3.962 m, 61 F = 16.11 C
    assert metric.typed.value == "0 m  26.67 °C  7.5 mg/L\n3.962 m  16.11 °C  0.2 mg/L"
    assert metric.day.value == "2025-07-24"
    metric.work()
    assert metric.values is not None, metric.message.value


@pytest.mark.parametrize(("text", "says"), [("", "no readings yet"), ("0 26,5", "comma"), ("0 60\n9 80", "heavier"),
                                            ("0 80\n60 60", "feet and marked meters"),
                                            ("0 80\n17 60", "deepest point, 14.1 ft (4.30 m)")])
def test_bad_readings_get_advice_and_nothing_is_saved(form, text, says):
    form.typed.value = "0 80\n9 60"
    form.work()
    form.typed.value = text
    form.work()
    assert "Not worked out" in form.message.value and says in form.message.value
    form.saver.save()
    assert "Not saved" in form.saver.message.value and not form.saver._path.exists()


def test_a_pond_without_depths_is_told_so(tmp_path):
    form = warm_over_cold.OwnProfile(record.PondRecord("new"))
    form.typed.value = "0 80\n5 60"
    form.work()
    assert "demonstration pond" in form.message.value and "lowest reading" in form.message.value


@pytest.mark.parametrize(("pond", "words"), [(record.PondRecord("new"), "workbook 01"),
                                             (record.demo(), "demonstration pond")])
def test_layers_on_another_ponds_shape_are_not_saved(tmp_path, pond, words):
    form = warm_over_cold.OwnProfile(pond)
    form.saver._path = tmp_path / "pond.json"
    form.typed.value = "0 80 7\n13 60 0.2"
    form.work()
    form.saver.save()
    assert "Not saved" in form.saver.message.value and words in form.saver.message.value
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("days", [0, -5, 0.5, 400, float("nan")])
def test_days_that_the_readings_speak_against_are_refused(form, days):
    form.typed.value = "0 82 8\n13 62 0.2"
    form.days.value = days
    form.work()
    assert "Not worked out" in form.message.value and "days without oxygen" in form.message.value
    form.saver.save()
    assert "Not saved" in form.saver.message.value and not form.saver._path.exists()


def test_no_days_without_oxygen_are_fine_where_every_reading_has_oxygen(form):
    form.typed.value = "0 82 8\n13 80 7"
    form.days.value = 0
    form.work()
    assert "fish not shown to be in danger" in form.message.value and "bottle" not in form.message.value


def test_a_month_is_not_the_day_of_the_readings(form):
    form.typed.value, form.day.value = "0 80 7\n13 60 0.2", "August"
    form.work()
    assert "2025-07-24" in form.message.value and form.values is None
    form.day.value = "July 24, 2025"
    form.work()
    assert form.values["read_on"] == "2025-07-24"


def test_october_water_sinks_above_39_degrees():
    made = warm_over_cold.weight_of_water()
    made.set_texts({"upper": "61 F", "lower": "62 F"})
    assert "sinks" in made._readout.value
    made.set_texts({"upper": "33 F", "lower": "39 F"})
    assert "stays on top" in made._readout.value
    made.set_texts({"upper": "32 F", "lower": "32 F"})
    assert "neither sinks" in made._readout.value


def test_explorers_start_from_the_readings_of_step_5(shape):
    july = read("july")
    risk, _ = findings.layers(*shape, july)
    made = warm_over_cold.sudden_overturn(*shape, july)
    own = made._model(**made.values).mixed["this pond"]
    assert own.stagnant_share == pytest.approx(risk.after_overturn.stagnant_share, abs=0.005)
    assert own.dissolved_oxygen_before_demand == pytest.approx(risk.after_overturn.dissolved_oxygen_before_demand,
                                                               abs=0.05)
    assert own.temperature == pytest.approx(risk.after_overturn.temperature, abs=0.1)
    built = warm_over_cold.layer_builder(*shape, july)
    assert built._model(**built.values).stability == pytest.approx(layers.stability.si(*shape, july), rel=0.03)


def test_water_upside_down_is_refused_alike_by_both_explorers(shape):
    made = warm_over_cold.sudden_overturn(*shape, read("july"))
    made.set_texts({"surface": "32 F", "bottom": "60 F"})
    assert "upside down" in made._readout.value
    made = warm_over_cold.layer_builder(*shape, read("july"))
    made.set_texts({"surface": "32 F", "bottom": "60 F"})
    assert "Upside down" in made._readout.value
    made.set_texts({"blend": "0 ft", "surface": "80 F"})
    assert "sharp step" in made._readout.value


def test_a_still_night_is_no_storm_and_says_before_and_after(shape):
    made = warm_over_cold.storm_now(*shape, read("july"))
    made.set_texts({"wind_speed": "0 mph", "rain": "0 in", "heat_loss": "Mild and cloudy: 50 W/m²"})
    said = made._readout.value
    assert "This night would not turn" in said and "storm" not in said and "fall" not in said
    share = [int(n) for n in re.search(r"before (\d+) %, after (\d+) %", said).groups()]
    assert share[0] < share[1] < 60


def test_thin_plumes_stop_at_a_sharp_step_and_the_picture_says_so(shape):
    made = warm_over_cold.layer_builder(*shape, read("july"))
    made.set_texts({"surface": "86 F", "bottom": "46 F", "warm_depth": "6 ft", "blend": "0 ft", "flow": "0.02 cfm"})
    assert "A plume of 0.020 cfm stops 6.0 ft down; little bottom water reaches the top." in made._readout.value
    made.set_texts({"surface": "66 F", "bottom": "65 F", "flow": "4 cfm"})
    assert "A plume of 4.0 cfm comes up." in made._readout.value or "Mixed" in made._readout.value
