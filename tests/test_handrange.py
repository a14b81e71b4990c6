"""Water by hand: ranges against calculus and published errors; the form reads, refuses and keeps."""

import re

import numpy as np
import pytest

from pondcalc import record
from pondcalc.controls import own_by_hand
from pondcalc.how_much_water import handrange, handvolume
from pondcalc.units import Q
from pondcalc.your_plan import planparts

ACRE, FT = 4046.8564224, 0.3048


def test_the_range_of_mean_over_deepest_holds_what_is_published():
    low, usual, high = handrange.mean_depth_range.si(1.0)
    # 4,989 surveyed US lakes, doi 10.6084/m9.figshare.12722246: quartiles 0.260 and 0.444, median 0.355,
    # 95 % below 0.595
    assert low <= 0.260 and high >= 0.595 and low < 0.355 < high
    # cone 1/3, parabolic bowl 1/2 (calculus); the 0.4 rule itself
    assert low < 1 / 3 < usual < 1 / 2 < high and usual == pytest.approx(0.4)
    # 35 mapped ponds, SEAFWA 1983: off by 12.6 % on average; a normal spread holds nine in ten within 2.06 times that
    assert low <= 0.4 * (1 - 2.06 * 0.126) and high >= 0.4 * (1 + 2.06 * 0.126)


def test_depths_along_lines_give_a_narrower_range():
    bowl = 1 - np.linspace(-1, 1, 201)**2               # parabolic section, 1 m deep
    # side by side lines of a trough (same section everywhere): the mean is 2/3 exactly
    plain = handrange.mean_depth_from_readings.si(bowl)
    assert plain.usual == pytest.approx(2 / 3, abs=0.01)
    assert (plain.high - plain.low) / plain.usual < 0.6 * (0.6 - 0.26) / 0.4
    # a line through the middle of a round bowl: mean along it 2/3, mean depth of the pond 1/2
    assert handrange.mean_depth_from_readings.si(bowl, True).usual == pytest.approx(0.5, abs=0.01)
    cone = handrange.mean_depth_from_readings.si(1 - np.abs(np.linspace(-1, 1, 201)), True)
    assert cone.low < 1 / 3 < cone.high
    few = handrange.mean_depth_from_readings.si([0, 1, 2, 1, 0])
    assert few.high / few.usual > plain.high / plain.usual
    with pytest.raises(ValueError, match="Read at least 5"):
        handrange.mean_depth_from_readings.si([1, 2])


def test_area_from_sides_spans_an_ellipse_and_a_rectangle():
    low, _, high = handrange.area_from_sides.si(100.0, 50.0)
    assert low == pytest.approx(np.pi * 50 * 25) and high == pytest.approx(5000)


def test_the_table_is_a_bowl_that_holds_the_volume():
    area = handrange.area_range(Q("1.2 acre"))
    area = type(area)(*(v.m_as("m^2") for v in area))
    deep = 11 * FT
    found = handrange.hand_water.si(area, deep, handrange.mean_depth_range.si(deep), count=401)
    # 0.4 x 1.2 acre x 11 ft = 5.28 acre-ft by hand
    assert found.volume.usual / (ACRE * FT) == pytest.approx(5.28)
    assert found.volume.usual == pytest.approx(handvolume.four_tenths_rule.si(1.2 * ACRE, deep))
    # the area table, added up in slices, is that volume, and so is its lower part
    assert np.trapezoid(found.level_area, found.level_depth) == pytest.approx(found.volume.usual, rel=1e-3)
    below = found.level_depth >= deep / 2
    assert np.trapezoid(found.level_area[below], found.level_depth[below]) == pytest.approx(
        np.interp(deep / 2, found.level_depth, found.level_volume), rel=1e-2)
    assert found.volume.low < 0.75 * found.volume.usual and found.volume.high > 1.4 * found.volume.usual


def said(form):
    return re.sub("<[^>]+>", "", form.message.value)


def test_the_form_keeps_a_pond_by_hand_and_later_parts_say_so(tmp_path):
    form = own_by_hand.OwnByHand(record.PondRecord("mine"))
    form.saver._path = tmp_path / "my-pond.json"
    form.area.value, form.deepest.value = "1.2 acre", "11 ft"
    form.work()
    assert "5.3 acre-ft" in said(form) and "11.0 ft" in said(form)
    form.deepest.value = "12 ft"
    form.saver.save()
    assert "boxes changed" in form.saver.message.value and not form.saver._path.exists()
    form.deepest.value = "11 ft"
    form.work()
    form.saver.save()
    kept = record.load(form.saver._path)
    assert kept.get("water", "found") == "by hand"
    assert "[01, by hand]" in planparts.say_whole(planparts.whole_plan(kept))
    record.save_section("water", dict(record.demo().sections["water"]), form.saver._path)
    assert record.load(form.saver._path).get("water", "found") is None, "a survey takes its place"


@pytest.mark.parametrize("boxes, says", [
    ({"area": "1.2", "deepest": "11 ft"}, "“Area of the water”"), ({"deepest": "11 ft"}, "the area is missing"),
    ({"area": "1.2 acre", "deepest": ""}, "“Deepest place” is empty"),
    ({"area": "1.2 acre", "deepest": "1100 ft"}, "outside"),
    ({"length": "300 ft", "deepest": "11 ft"}, "both length and width"),
    ({"area": "1.2 acre", "deepest": "11 ft", "depths": "3, x ft"}, "“Depths read"),
    ({"area": "1.2 acre", "deepest": "11 ft", "depths": "3, 5, 4, 4, 4"}, "no unit"),
    ({"area": "1.2 acre", "deepest": "11 ft", "depths": "3, 5 ft"}, "Read at least 5"),
    ({"area": "1.2", "deepest": "9", "width": "3 psi"}, "mend 3 boxes")])
def test_the_form_names_the_box_it_cannot_read(boxes, says):
    form = own_by_hand.OwnByHand(record.PondRecord("mine"))
    for name, typed in boxes.items():
        getattr(form, name).value = typed
    form.work()
    assert "Not worked out" in said(form) and says in said(form) and form.values is None


def test_a_length_of_nothing_is_nothing_in_any_unit():
    with pytest.raises(ValueError, match=r"length must be more than 0; it was given 0\. Check"):
        handrange.area_from_sides("0 ft", "30 ft")


def worked(**boxes):
    form = own_by_hand.OwnByHand(record.PondRecord("mine"))
    for name, typed in ({"area": "1.2 acre", "deepest": "11 ft"} | boxes).items():
        getattr(form, name).value = typed
    form.work()
    return form


@pytest.mark.parametrize("typed", ["0, 5, 10, 5, 0 ft\n0, 2, 4, 0", "0, 5, 10, 5, 0, 2, 4, 0 ft",
                                   "0, 5, 10, 5, 0, 0, 2, 4, 0 ft", "5, 10, 5\n2, 4 ft",
                                   "0\n5\n10\n5\n0\n2\n4\n0 ft"])
def test_the_same_rows_typed_in_another_way_give_the_same_pond(typed):
    form = worked(depths=typed)
    # trapezoids: 20/4 = 5 and 6/3 = 2, each row counts the same
    assert form.values["mean_depth"].usual.m_as("ft") == pytest.approx(3.5)
    assert "5.0 ft, 2.0 ft" in said(form) and "Each row counts the same" in said(form)
    assert ("Rows 1, 2 lack the zero of a bank" in said(form)) == typed.startswith("5")


def test_a_row_in_even_steps_is_added_up_by_trapezoids():
    assert worked(depths="0, 5, 10, 5, 0 ft").values["mean_depth"].usual.m_as("ft") == pytest.approx(5.0)
    assert "Your row lacks the zero" in said(worked(depths="5, 10, 5 ft"))


def test_depths_are_not_negative_and_a_pasted_minus_is_a_minus():
    for minus in ("\u2212", "-"):
        assert "below zero" in said(worked(depths=f"0, {minus}11, 0 ft")), minus
        assert "never negative" in said(worked(deepest=f"{minus}11")), minus


def test_what_looks_like_a_slip_is_taken_with_a_note():
    assert "shallow for bubbles" in said(worked(deepest="11 in")) and "shallow" not in said(worked())
    assert "300 ft under" in said(worked(length="300 ft")) and "was not used" not in said(worked())
    assert "outside" in said(worked(deepest="420 m"))       # deeper than 200 ft: our choice


@pytest.mark.parametrize("system", ["US", "metric"])
def test_what_was_typed_by_hand_stands_there_again(tmp_path, system):
    typed = {"area": "", "length": "402 m", "width": "175 ft", "deepest": "11.8 ft",
             "depths": "0, 5, 10, 5, 0 ft\n4, 8",
             "lines": True}
    form = worked(**typed)
    form.saver._path = tmp_path / "my-pond.json"
    form.saver.save()
    kept = record.load(form.saver._path)
    again = own_by_hand.OwnByHand(record.PondRecord("mine", system, sections=kept.sections))
    assert {name: getattr(again, name).value for name in typed} == typed
    # a record from before the texts were kept: at most four digits in the reader's unit; 11.8 ft is 3.59664 m
    older = {key: value for key, value in kept.sections["water"].items() if key != "typed"}
    again = own_by_hand.OwnByHand(record.PondRecord("mine", system, sections={"water": older}))
    assert again.deepest.value == ("11.8 ft" if system == "US" else "3.597 m")
    survey = own_by_hand.OwnByHand(record.PondRecord("mine", sections={"water": record.demo().sections["water"]}))
    assert survey.deepest.value == ""
