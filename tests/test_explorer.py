"""The explorer without a browser: values, units, presets, words."""

from types import SimpleNamespace

import pytest

from pondcalc.controls.explorer import Choice, Explorer, Slider
from pondcalc.figures import style


def build(**changes):
    def model(depth, form):
        if depth > 12:
            raise ValueError("too deep for this model.")
        return SimpleNamespace(depth=depth, form=form)

    def picture(figure, result, system):
        ax = style.axes(figure, xlabel=style.axis_label("Depth", "depth", system), xlim=(0, 50))
        ax.plot([0, result.depth], [0, 1])

    def say(result, system):
        return f"{result.form} at {result.depth:.4f} m in {system}."
    controls = [Slider("depth", "Diffuser depth", "depth", "2 ft", "45 ft", "14.5 ft", step=0.5),
                Choice("form", "Form", {"A cone": "cone", "A bowl": "bowl"}, "A bowl")]
    return Explorer("Test it", model, picture, say, controls, presets={"Shallow": {"depth": "3 m", "form": "A cone"}},
                    **changes)


def test_values_are_kept_in_si_and_units_only_change_what_is_shown():
    made = build()
    assert made.values["depth"] == pytest.approx(14.5 * 0.3048)
    box = made._rows["US"]["depth"][1]
    assert (box.min, box.max, box.step, box.value) == (2, 45, 0.5, 14.5) and "(ft)" in box.description
    made.set_system("metric")
    box = made._rows["metric"]["depth"][1]
    assert "(m)" in box.description and box.value == pytest.approx(4.42, abs=0.01)
    assert made.values["depth"] == pytest.approx(14.5 * 0.3048)
    assert "4.4196 m in metric" in made._readout.value
    made.set_system("US")
    assert made.values["depth"] == pytest.approx(14.5 * 0.3048)


def test_moving_box_or_slider_moves_the_other_and_the_words():
    made = build()
    _, box, slider = made._rows["US"]["depth"]
    slider.value = 20.000000000000004
    assert box.value == 20 and made.values["depth"] == pytest.approx(6.096) and "6.0960 m" in made._readout.value
    box.value = 10
    assert slider.value == 10 and made.values["depth"] == pytest.approx(3.048)


def test_presets_choices_and_reset():
    made = build()
    made.set_texts({"depth": "3 m", "form": "A cone"})
    assert made.values == {"depth": pytest.approx(3.0), "form": "cone"} and "cone at 3.0000" in made._readout.value
    made.set_values(made._start)
    assert made.values == {"depth": pytest.approx(4.4196), "form": "bowl"}


def test_words_are_spoken_and_a_refusal_is_said_without_losing_the_picture():
    made = build()
    assert 'role="img" aria-label="Test it. bowl at 4.4196 m in US."' in made._image.value
    assert 'aria-live="polite"' in made._readout.value
    before = made._image.value
    made.set_values({"depth": 13.0})
    assert "No answer here: too deep" in made._readout.value and made._image.value == before


def test_stable_text_and_a_still_for_readers_without_widgets():
    made = build()
    bundle = made._repr_mimebundle_()
    assert repr(made) == bundle["text/plain"] == "Explorer: Test it" and "<svg" in bundle["text/html"]
    assert build()._image.value == made._image.value


def test_ends_come_out_round_in_both_systems_and_cover_the_range():
    slider = Slider("x", "Flow", "air flow", "0.5 cfm", "9 cfm", "4 cfm", step=0.1)
    assert slider.bounds("US") == pytest.approx((0.5, 9, 0.1))
    low, high, step = slider.bounds("metric")
    assert low <= 14.16 and high >= 254.8 and step in (1, 2, 5)


def test_six_sliders_are_refused():
    with pytest.raises(ValueError, match="at most five"):
        Explorer("x", None, None, None, [Slider("d", "d", "depth", "1 ft", "2 ft", "1 ft")] * 6)
