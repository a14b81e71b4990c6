"""The forms and explorers on bubbles without a browser: messages, saving, the silly ends of every slider."""

import html
import itertools
import re

import pytest

from pondcalc import datafiles, record
from pondcalc.bubbles_and_oxygen import buckettest
from pondcalc.controls import bubbles_and_oxygen
from pondcalc.controls.bubbles_and_oxygen import OwnBucket
from pondcalc.controls.explorer import Choice
from pondcalc.door import survey
from pondcalc.figures import style
from pondcalc.how_much_water import basin
from pondcalc.units import Q, QuantityError, Range

READINGS = "\n".join(f"{minute} {level}" for minute, level in enumerate(
    (0.4, 1.2, 1.9, 2.6, 3.2, 3.7, 4.2, 4.6, 5.0, 5.4, 5.7, 5.9, 6.2, 6.4, 6.6, 6.8, 6.9, 7.1, 7.2, 7.3, 7.4, 7.5)))


def _said(form):
    return html.unescape(re.sub("<[^>]+>", "", form.message.value))


def _worked(**fields):
    form = OwnBucket(record.demo())
    for name, value in fields.items():
        getattr(form, name).value = value
    form.work()
    return form


@pytest.mark.parametrize("fields, words", [
    ({}, "Choose a log file"), ({"typed": "0 x"}, "Line 1"), ({"typed": READINGS}, "water temperature is missing"),
    ({"typed": READINGS, "temperature": "73"}, "for example, 73 °F"),
    ({"typed": READINGS, "temperature": "5 ft"}, "“Water temperature” cannot be 5 ft"),
    ({"typed": READINGS, "temperature": "200 F"}, "outside 32.0 °F (0 °C) to 104 °F"),
    ({"typed": READINGS, "temperature": "73 F", "volume": "-18 gal"}, "“Water in the tub”: -18 gal is outside"),
    ({"typed": READINGS, "temperature": "73 F", "volume": "18 gal", "depth": "16 in", "flow": "0.001 cfm"},
     "of the oxygen blown in dissolved")])
def test_what_cannot_be_fitted_is_said_and_draws_nothing(fields, words):
    form = _worked(**fields)
    assert _said(form).startswith("Not fitted:") and words in _said(form) and not form.picture.value


def test_typed_readings_are_fitted_drawn_and_rated():
    form = _worked(typed=READINGS, temperature="73 F", volume="18 gal", depth="16 in", flow="0.14 cfm")
    assert "kLa" in _said(form) and "Standard rate" in _said(form)
    assert re.search(r'aria-label="[^"]{40,}"', form.picture.value)


def test_air_of_the_demonstration_pond_is_not_saved(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for pond, words in ((record.demo(), "demonstration pond"), (record.PondRecord("new"), "workbook 01")):
        chosen = bubbles_and_oxygen.OwnAir(pond)
        chosen.saver.save()
        assert "Not saved" in chosen.saver.message.value and words in chosen.saver.message.value
    assert not list(tmp_path.iterdir())


def test_air_of_a_pond_of_ones_own_is_saved_as_the_sliders_stand(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    demo = record.demo()
    mine = record.PondRecord("Mine", sections={name: dict(values) for name, values in demo.sections.items()})
    record.save(mine)
    chosen = bubbles_and_oxygen.OwnAir(mine)
    chosen.explorer.set_texts({"flow": "2 cfm", "diffusers": "3", "diffuser": "stone"})
    chosen.saver.save()
    kept = record.load(record.FILE_NAME)
    assert kept.get("air", "diffuser") == "stone" and kept.get("air", "diffusers").m_as("") == 3
    assert kept.get("air", "flow_free_air").usual.m_as("cfm") == pytest.approx(2.0)
    assert kept.get("water", "volume") is not None and kept.stamps["air"]["by"] == bubbles_and_oxygen.WORKBOOK


@pytest.fixture(scope="module")
def explorers():
    read = survey.read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))
    points, bank = read.soundings, read.shoreline
    bed = basin.build_basin(points.x, points.y, points.depth, bank.x, bank.y)
    log, demo = buckettest.read_log(datafiles.path("demo-bucket-test.csv")), record.demo()
    need = Range(*(Q(v, "lb/h") for v in (0.0, 2.0, 9.0)))
    thirsty = demo.with_section("oxygen", {"delivery": need})
    return [bubbles_and_oxygen.one_bubble(), bubbles_and_oxygen.transfer_map(), bubbles_and_oxygen.diffuser_kinds(),
            bubbles_and_oxygen.tub_cuts(log), bubbles_and_oxygen.lifted(demo), bubbles_and_oxygen.two_paths(thirsty),
            bubbles_and_oxygen.places(bed, bank), bubbles_and_oxygen.OwnAir(demo).explorer]


@pytest.mark.parametrize("number", range(8))
def test_every_corner_of_the_sliders_has_an_answer(explorers, number):
    explorer = explorers[number]
    ends = [[c.options[w] for w in c.options] if isinstance(c, Choice) else [c.value(c.low), c.value(c.high)]
            for c in explorer._controls]
    corners = list(itertools.product(*ends))
    for corner in corners:
        values = dict(zip(explorer.values, corner, strict=True))
        try:
            result = explorer._model(**values)
        except QuantityError as refusal:            # a tub log cut too short says so, and nothing else may refuse
            assert number == 3 and re.search("Log until|Log more often", str(refusal)), values
            continue
        for system in ("US", "metric"):
            sentence = explorer._sentence(result, system)
            assert len(sentence) > 40 and "nan" not in sentence and "no value" not in sentence, values
        if corner in (corners[0], corners[-1]):
            assert "<svg" in style.render(explorer._picture, result, "metric")


def test_the_truth_shown_is_that_of_the_script():
    assert f"KLA = {bubbles_and_oxygen.TRUTH * 3600:.1f} " in datafiles.path("make_bucket_test.py").read_text()


def test_surface_path_is_bounded_by_the_water_lifted_and_says_what_sets_the_pace():
    explorer = bubbles_and_oxygen.two_paths(record.demo())
    for flow in ("0.2 cfm", "3 cfm", "8 cfm"):
        explorer.set_texts({"flow": flow})
        found = explorer._model(**explorer.values).found
        # mass balance: water lifted cannot take in more than its own shortage; saturation at 25 C, 1 atm 8.26 mg/L
        # (Benson and Krause 1984)
        for taken, lifted in zip(found.surface, found.lifted, strict=True):
            assert 0 < taken < lifted * (8.26 - found.arriving_oxygen) * 1e-3
    assert "more air adds little" in explorer._readout.value and "may stop" not in explorer._readout.value
    explorer.set_texts({"flow": "0.2 cfm"})
    assert "may stop on its way" in explorer._readout.value and "still help" in explorer._readout.value


def test_too_much_oxygen_is_lost_not_taken_in():
    explorer = bubbles_and_oxygen.two_paths(record.demo())
    explorer.set_texts({"oxygen": "12 mg/L"})
    result = explorer._model(**explorer.values)
    assert result.found.surface.low < result.found.surface.usual < result.found.surface.high < 0
    assert min(3600 * end for end in result.found.surface) > 3600 * result.least
    own = bubbles_and_oxygen.OwnAir(record.demo()).explorer
    own.set_texts({"oxygen": "12 mg/L"})
    for shown in (explorer, own):
        assert "lost to the air" in shown._readout.value and "times as much" not in shown._readout.value
        assert not re.search(r"[-−]\d", shown._readout.value.split("down with")[-1])


def test_only_a_bubble_that_gave_most_of_its_oxygen_is_nearly_all_nitrogen():
    bubble = bubbles_and_oxygen.one_bubble()
    assert "nitrogen" not in bubble._readout.value
    bubble.set_texts({"size": "0.7 mm"})
    assert "nearly all the rest is nitrogen" in bubble._readout.value
    path = bubble._model(**bubble.values).path
    # dry air is 20.95 % oxygen and 78.1 % nitrogen by volume (US Standard Atmosphere 1976)
    inside = 0.2095 * path.oxygen_left[-1]
    assert inside / (inside + 0.781 * path.nitrogen_left[-1]) < 0.06


def test_a_log_stopped_too_early_misses_the_truth():
    log = buckettest.read_log(datafiles.path("demo-bucket-test.csv"))
    explorer = bubbles_and_oxygen.tub_cuts(log)
    explorer.set_texts({"first": "6", "last": "14", "keep_wild": "leave it out"})
    assert "which lies outside the interval" in explorer._readout.value
    explorer.set_texts({"first": "6", "keep_wild": "leave it out"}, afresh=True)
    assert "which lies inside the interval" in explorer._readout.value
