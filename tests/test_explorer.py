"""The explorer without a browser: values, units, presets, words."""

from types import SimpleNamespace

import pytest

from pondcalc.controls.explorer import Choice, Explorer, Slider
from pondcalc.controls.page import PageUnits
from pondcalc.figures import style
from pondcalc.spellings import either


def build(title="Test it", runs=None, **changes):
    def model(depth, form):
        if runs is not None:
            runs.append(depth)
        if depth > 12:
            raise ValueError(f"too deep for this model, {either('39 ft', '12 m')} at most.")
        return SimpleNamespace(depth=depth, form=form)

    def picture(figure, result, system):
        ax = style.axes(figure, xlabel=style.axis_label("Depth", "depth", system), xlim=(0, 50))
        ax.plot([0, result.depth], [0, 1])

    def say(result, system):
        return f"{result.form} at {result.depth:.4f} m in {system}."
    controls = [Slider("depth", "Diffuser depth", "depth", "2 ft", "45 ft", "14.5 ft", step=0.5),
                Choice("form", "Form", {"A cone": "cone", "A bowl": "bowl"}, "A bowl")]
    return Explorer(title, model, picture, say, controls, presets={"Shallow": {"depth": "3 m", "form": "A cone"}},
                    **changes)


def shown(row):
    """What the page shows of a slider's value; the page itself rounds it (see slider.js)."""
    return (row.value - row.face["zero"]) / row.face["factor"]


def test_values_are_kept_in_si_and_units_only_change_what_is_shown():
    made = build()
    row, before = made._rows["depth"], 14.5 * 0.3048         # the foot is 0.3048 m exactly
    assert row.value == made.values["depth"] == pytest.approx(before, rel=1e-14)
    assert (row.face["low"], row.face["high"], row.face["step"], row.face["unit"]) == (2, 45, 0.5, "ft")
    assert shown(row) == pytest.approx(14.5, rel=1e-12)
    held = row.value
    made.set_system("metric")
    assert row.face["unit"] == "m" and shown(row) == pytest.approx(before, rel=1e-12)
    assert "4.4196 m in metric" in made._readout.value
    made.set_system("US")
    assert row.value == made.values["depth"] == held


def test_a_degree_is_shown_from_its_own_zero():
    face = Slider("t", "Water", "temperature", "32 F", "104 F", "50 F", step=1).face("US")
    assert (face["low"], face["high"], face["unit"]) == (32, 104, "°F")
    assert 212 * face["factor"] + face["zero"] == pytest.approx(100)        # water boils, both scales
    assert -40 * face["factor"] + face["zero"] == pytest.approx(-40)


def test_moving_a_slider_moves_the_words_and_putting_it_there_does_not():
    made = build()
    said = []
    made._readout.observe(lambda change: said.append(change["new"]), "value")
    made._rows["depth"].value = 6.096
    assert made.values["depth"] == 6.096 and "6.0960 m" in made._readout.value and len(said) == 1
    made.set_values({"depth": 3.048})
    assert made._rows["depth"].value == 3.048 and len(said) == 2
    made._rows["form"].value = "A cone"
    assert made.values["form"] == "cone" and len(said) == 3


def test_presets_choices_and_reset():
    made = build()
    made.set_texts({"depth": "3 m", "form": "A cone"})
    assert made.values == {"depth": pytest.approx(3.0), "form": "cone"} and "cone at 3.0000" in made._readout.value
    made.set_values(made._start)
    assert made.values == {"depth": pytest.approx(4.4196), "form": "bowl"}


def test_words_are_spoken_and_a_refusal_is_said_in_place_of_the_picture():
    made = build()
    assert 'role="img" aria-label="Test it. bowl at 4.4196 m in US."' in made._image.value
    assert 'aria-live="polite"' in made._readout.value
    made.set_values({"depth": 13.0})
    assert "No answer here: too deep" in made._readout.value and "<svg" not in made._image.value
    made.set_values({"depth": 3.0})
    assert "<svg" in made._image.value


def test_a_preset_starts_from_the_start():
    made = build()
    made.set_values({"depth": 2.0})
    made.set_texts({"form": "A cone"}, afresh=True)
    assert made.values == {"depth": pytest.approx(4.4196), "form": "cone"}


def test_stable_text_and_a_still_for_readers_without_widgets():
    made = build()
    bundle = made._repr_mimebundle_()
    assert repr(made) == bundle["text/plain"] == "Explorer: Test it" and 'alt="Test it. bowl' in bundle["text/html"]
    assert build()._image.value == made._image.value


def test_ends_come_out_round_in_both_systems_and_cover_the_range():
    slider = Slider("x", "Flow", "air flow", "0.5 cfm", "9 cfm", "4 cfm", step=0.1)
    assert slider.bounds("US") == pytest.approx((0.5, 9, 0.1))
    low, high, step = slider.bounds("metric")
    wide = Slider("x", "Depth", "depth", "3 ft", "45 ft", "60 ft", step=0.5)
    assert wide.bounds("US")[1] == 60
    assert low <= 14.16 and high >= 254.8 and step in (1, 2, 5)


def test_six_sliders_are_refused():
    with pytest.raises(ValueError, match="at most five"):
        Explorer("x", None, None, None, [Slider("d", "d", "depth", "1 ft", "2 ft", "1 ft")] * 6)


def test_one_click_switches_the_whole_page_the_one_clicked_first():
    units, order = PageUnits(), []
    made = [build(units=units, title=f"Number {n}") for n in range(3)]
    for n, each in enumerate(made):
        each._readout.observe(lambda change, n=n: order.append(n), "value")
    held = [each._rows["depth"].value for each in made]
    made[1]._switch.value = "metric"
    assert [each.system for each in made] == [each._switch.value for each in made] == ["metric"] * 3
    assert order == [1, 0, 2] and all("in metric" in each._readout.value for each in made)
    assert [each._rows["depth"].value for each in made] == held
    later = build(units=units, title="Number 4")
    assert later.system == later._switch.value == "metric" and later._rows["depth"].face["unit"] == "m"
    made[1]._switch.value = "US"
    assert [each.system for each in (*made, later)] == ["US"] * 4 and order == [1, 0, 2] * 2
    assert build(system="metric", units=units).system == "US", "what the reader chose here comes before the record"


def test_an_explorer_starts_in_the_units_of_the_record_and_can_be_set_alone():
    units = PageUnits()
    first, second = build(system="metric", units=units), build(units=units, title="Another")
    assert (first.system, second.system) == ("metric", "US")
    second.set_system("metric")
    first.set_system("US")
    assert (first.system, first._switch.value, second.system) == ("US", "US", "metric")


def test_switching_units_runs_the_model_again_only_where_it_refused_or_warned():
    runs = []
    made = build(units=PageUnits(), runs=runs)
    assert len(runs) == 1
    made._switch.value = "metric"
    made._switch.value = "US"
    assert len(runs) == 1
    made.set_values({"depth": 13.0})
    assert len(runs) == 2
    made._switch.value = "metric"               # its words name amounts in the reader's order
    assert len(runs) == 3 and "No answer here: too deep" in made._readout.value


def test_a_cell_run_again_leaves_no_picture_behind_that_is_still_drawn():
    units = PageUnits()
    old, new = build(units=units), build(units=units)
    new._switch.value = "metric"
    assert (old.system, new.system) == ("US", "metric")


def test_a_low_end_above_nothing_stays_above_nothing_in_both_systems():
    # 0.1 acre is 0.0405 ha and 50 gpm are 3.15 L/s, less than a hundredth of their ranges
    for row in (("water", "area", "2 acre"), ("year", "lifted", "3000 gpm")):
        made = Slider.of(*row)
        for system in ("US", "metric"):
            low, high, step = made.bounds(system)
            assert 0 < low and step < (high - low) / 50
    assert Slider.of("oxygen", "fish").bounds("metric")[0] == 0
