"""A tour of every explorer to its silly ends: a finished picture and sentence in the reader's units, or kind words."""

import html
import re
import warnings

import pytest
from controlstour import EXPLORERS, FORMS, PARTS, PUBLIC, explorer_of, spoken
from hypothesis import given, settings
from hypothesis import strategies as st
from wronginput import PYTHON, foreign, unfinished, unkind

from pondcalc.controls.explorer import Slider
from pondcalc.figures import style
from pondcalc.refusals import Caution
from pondcalc.spellings import reading
from pondcalc.units import from_display


def test_the_tour_knows_every_explorer_and_form():
    assert set(PUBLIC) == {*EXPLORERS, *FORMS, *PARTS}, "something is new, gone or renamed: put it on the tour"
    assert len(EXPLORERS) > 40 and len(FORMS) > 12


@pytest.fixture(scope="module", params=EXPLORERS)
def explorer(request):
    return explorer_of(request.param)


def ends(control):
    """The values at both ends of a slider in both systems of units, or every choice."""
    if not isinstance(control, Slider):
        return list(control.options.values())
    return [from_display(control.bounds(system)[end], control.kind, control.inside or "dimensionless", system)
            for end in (0, 1) for system in ("US", "metric")]


def sound(sentence, system):
    """Assert that what is said is finished, in the reader's units, and kind where it refuses."""
    assert len(sentence) > 30 and not unfinished(sentence), unfinished(sentence) or sentence
    assert not re.search(PYTHON, re.sub(r"“[^”]*”|\bNone of\b", "", sentence)), sentence
    assert not foreign(sentence, system), foreign(sentence, system)
    if sentence.startswith("No answer here: "):
        assert not unkind(sentence), f"{unkind(sentence)}: {sentence}"


def finished(svg):
    """Assert that a picture has no number that is none, in its words or its lines."""
    assert "<svg" in svg and not re.search(r'\b(?:d|x|y|points|transform|width|height)="[^"]*\b(?:nan|inf)\b', svg)
    for words in re.findall(r"<text[^>]*>(.*?)</text>", svg, re.DOTALL):
        assert not unfinished(re.sub("<[^>]+>", " ", words)), words


def settle(explorer, values, draw):
    """Compute once, say it in both systems, and draw it in one of them if asked; refusals must be kind."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            with reading("US") as read:
                result = explorer._model(**values)
            for system in ("US", "metric"):
                if read.named and system == "metric":       # as the page does at a switch of units
                    with reading(system):
                        result = explorer._model(**values)
                sound(spoken(explorer._worded(result, system)), system)
            if draw:
                finished(style.render(explorer._picture, result, draw, size=explorer._size))
        except ValueError as problem:
            assert not unkind(f"No answer here: {problem}"), problem
    for caution in caught:                      # the page shows those; anything else is a leak
        assert issubclass(caution.category, Caution) and not unfinished(str(caution.message)), caution


def test_every_slider_goes_to_both_ends_and_every_choice_works(explorer):
    if explorer._live:
        runs = [{control.name: value} for control in explorer._controls
                for value in (ends(control)[::3] if isinstance(control, Slider) else ends(control))]
    else:                                       # a slow model: several sliders at once, each to both its ends
        sliders = [control for control in explorer._controls if isinstance(control, Slider)]
        runs = [{control.name: ends(control)[-1 if (place + turn) % 2 else 0] for place, control in enumerate(sliders)}
                for turn in (0, 1)]
    for place, run in enumerate(runs):          # to draw costs most, so every third is drawn
        settle(explorer, explorer._start | run, {0: "US", 3: "metric"}.get(place % 6))


@pytest.mark.parametrize("end", [0, -1])
def test_all_sliders_at_one_end_on_the_page(explorer, end):
    system = "metric" if end else "US"
    explorer.set_system(system)
    with warnings.catch_warnings():
        warnings.simplefilter("error")          # the page shows cautions as words; none may leave it
        explorer.set_values({control.name: ends(control)[end] for control in explorer._controls})
    said = spoken(explorer._readout.value)
    sound(said.splitlines()[0], system)
    if said.startswith("No answer here: "):
        assert "<svg" not in explorer._image.value
    else:
        finished(explorer._image.value)
        assert not unfinished(html.unescape(re.search('aria-label="([^"]*)"', explorer._image.value)[1]))
    explorer.set_values(explorer._start)


@settings(max_examples=2)
@given(st.data())
def test_any_setting_between_the_ends_works(explorer, data):
    values = {}
    for control in explorer._controls:
        reach = ends(control)
        values[control.name] = data.draw(st.floats(min(reach), max(reach)) if isinstance(control, Slider)
                                         else st.sampled_from(reach), label=control.name)
    settle(explorer, values, data.draw(st.sampled_from(["US", "metric"])))
