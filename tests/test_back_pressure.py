"""The explorers and the form of workbook 04: what they show, and that the form keeps a line."""

import re

import pytest

from pondcalc import record
from pondcalc.back_pressure import lineplan
from pondcalc.controls import back_pressure

MAKERS = [back_pressure.budget_bars, back_pressure.CompressorOnLine, back_pressure.branched, back_pressure.detective,
          back_pressure.line_cost, back_pressure.which_size, back_pressure.will_it_sink]
LINE = "200 ft, 1.049 in\n50 ft, 5/8 in"
POINTS = "0 psi, 4.6 cfm\n10 psi, 3.9 cfm\n20 psi, 2.9 cfm"


def words(explorer):
    return re.sub("<[^>]+>", "", explorer._readout.value)


def made(maker, pond=None):
    found = maker(pond or record.demo())
    return getattr(found, "explorer", found)


def test_predictions_are_what_the_sliders_show():
    # by hand: half the bore is 2 to the power 4.75 (Blasius), 27 times, less for denser air; so over 20
    explorer = made(back_pressure.budget_bars)
    whole = explorer._model(**explorer.values).new.line
    half = explorer._model(**explorer.values | {"inside_diameter": explorer.values["inside_diameter"] / 2}).new.line
    assert 20 < half / whole < 27
    flows = made(back_pressure.branched)
    assert flows._model(**flows.values).flows[0] == 0
    flows.set_texts({"how": back_pressure.DRILLED, "flow": "4 cfm"})
    assert flows._model(**flows.values).flows == pytest.approx([flows.values["flow"] / 3] * 3, rel=1e-3)
    drifted = flows._model(**flows.values | {"flow": 2 * flows.values["flow"]}).flows
    assert max(drifted) / min(drifted) > 1.05, "holes are right for one flow only"


def test_a_record_without_water_still_opens():
    for maker in MAKERS:
        assert len(words(made(maker, record.PondRecord("new")))) >= 40


def test_typed_points_are_used_or_refused():
    box = back_pressure.CompressorOnLine(record.demo())
    box.points.value = "0 psi, 2 cfm\n9 psi, 1.5 cfm"
    box.use()
    assert box.explorer.values["machine"] == "typed" and "2 points" in box.message.value
    assert "sends 1.6 cfm" in words(box.explorer)
    box.points.value = "9 psi"
    box.use()
    assert "Not used" in box.message.value and len(box.curve.flow_free_air) == 2


def test_the_form_works_keeps_and_begins_again_from_what_was_kept(tmp_path):
    form = back_pressure.OwnLine(record.demo())
    form.saver._path = record.save(record.demo(), tmp_path / "my-pond.json")
    form.saver.save()
    assert "nothing to save" in form.saver.message.value
    form.runs.value, form.points.value = LINE, POINTS
    form.work()
    assert "Reaches: it should send" in form.message.value and "day and night" in form.message.value
    assert "role=\"img\"" in form.picture.value
    form.saver.save()
    pond = record.load(tmp_path / "my-pond.json")
    assert lineplan.line_start(pond).length == pytest.approx(250 * 0.3048, rel=1e-5)
    again = back_pressure.OwnLine(pond, "metric")
    again.work()
    assert again.runs.value.splitlines()[1].startswith("15.24 m, 15.875 mm")
    assert again.own.flow_free_air.usual == pytest.approx(form.own.flow_free_air.usual, rel=1e-3)


@pytest.mark.parametrize("field, typed, says", [
    ("depth", "deep", "“Depth of the diffuser”: "), ("depth", "3 psi", "“Depth of the diffuser” cannot be 3 psi"),
    ("runs", "250 ft", "1 part"),
    ("points", "5 psi", "“Compressor”: "),
    ("flow", "4 ft", "“Or: free air you want” cannot be"), ("wet", "1 cfm", "“Wet pressure"),
    ("size", "1/2 ft", "4.00 in"), ("reach", "300", "no unit")])
def test_the_form_says_what_it_cannot_read(field, typed, says):
    form = back_pressure.OwnLine(record.demo())
    getattr(form, field).value = typed
    form.work()
    assert "Not worked out" in form.message.value and says in form.message.value
    assert form.own is None
