"""A tour of every explorer to its silly ends, and of every form with what people type: kind words, nothing lost."""

import html
import importlib
import inspect
import pkgutil
import re
import warnings

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wronginput import PYTHON, foreign, unfinished, unkind

from pondcalc import controls, datafiles, findings, record
from pondcalc.bubbles_and_oxygen import bucketlog
from pondcalc.controls.explorer import Explorer, Slider
from pondcalc.controls.ownform import OwnForm
from pondcalc.controls.pond import PondForm
from pondcalc.figures import style
from pondcalc.how_much_water import basin, survey
from pondcalc.the_year import logbook
from pondcalc.units import from_display
from pondcalc.warm_over_cold import profile

DEMO = record.demo()
SURVEY = survey.read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))
BED = basin.build_basin.si(SURVEY.soundings.x, SURVEY.soundings.y, SURVEY.soundings.depth, SURVEY.shoreline.x,
                           SURVEY.shoreline.y)
DEPTH, AREA = findings.pond_shape(DEMO)
JULY = profile.read_profile(datafiles.path("demo-profile-july.csv"))
SUPPLY = {"pond": DEMO, "basin": BED, "shoreline": SURVEY.shoreline, "read": SURVEY, "depth": DEPTH, "area": AREA,
          "profile": JULY, "summer_profile": JULY, "log": bucketlog.read_log(datafiles.path("demo-bucket-test.csv"))}
OTHER_SUPPLY = {"the_year.log": {"read": logbook.read_log(datafiles.path("demo-log.csv"))}}
# neither explorer nor form: parts of them, stills, and what asks questions (see test_checks and test_questions)
PARTS = {"explorer.Explorer", "explorer.Slider", "explorer.Choice", "quiz.Predict", "quiz.Ask", "pond.Banner",
         "pond.SaveButton", "pond.open_pond", "ownform.OwnForm", "own_by_hand.Depths", "boxes.Box", "boxes.grid",
         "boxes.price_box", "boxes.read_all", "saying.said", "saying.guarded", "saying.plainly", "saying.notes_of",
         "own_line.plain", "own_line.pairs", "own_soundings.in_form_words", "how_much_oxygen.with_water",
         "how_much_oxygen.nights_still", "how_much_water.map_still", "bubbles_and_oxygen.tub_still",
         "bubbles_and_oxygen.tub_result", "first_start.demo_profile", "the_year.demo_log",
         "warm_over_cold.picture_of"}


def _public():
    for found in pkgutil.iter_modules(controls.__path__):
        module = importlib.import_module(f"pondcalc.controls.{found.name}")
        for name, made in list(vars(module).items()):
            if not name.startswith("_") and callable(made) and getattr(made, "__module__", "") == module.__name__:
                yield f"{found.name}.{name}", made


PUBLIC = dict(_public())
EXPLORERS = {name: made for name, made in PUBLIC.items()
             if name not in PARTS and re.search(r"\bExplorer\($|\bExplorer\([^)]", inspect.getsource(made))}
FORMS = {name: made for name, made in PUBLIC.items() if name not in PARTS and inspect.isclass(made)
         and (issubclass(made, OwnForm) or made is PondForm or name in ("own_sheet.PlanSheet",
                                                                       "back_pressure.CompressorOnLine"))}


def test_the_tour_knows_every_explorer_and_form():
    assert set(PUBLIC) == {*EXPLORERS, *FORMS, *PARTS}, "something is new, gone or renamed: put it on the tour"
    assert len(EXPLORERS) > 40 and len(FORMS) > 12


# ---- explorers ----

@pytest.fixture(scope="module", params=EXPLORERS)
def explorer(request):
    made = EXPLORERS[request.param]
    given = SUPPLY | OTHER_SUPPLY.get(request.param, {})
    found = made(**{name: given[name] for name in inspect.signature(made).parameters if name in given})
    return found if isinstance(found, Explorer) else found.explorer


def ends(control):
    """The values at both ends of a slider in both systems of units, or every choice."""
    if not isinstance(control, Slider):
        return list(control.options.values())
    return [from_display(control.bounds(system)[end], control.kind, control.inside or "dimensionless", system)
            for end in (0, 1) for system in ("US", "metric")]


def spoken(readout):
    """What stands under a picture, as text."""
    return html.unescape(re.sub("<[^>]+>", "", readout))


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
            result = explorer._model(**values)
            for system in ("US", "metric"):
                sound(spoken(explorer._worded(result, system)), system)
            if draw:
                finished(style.render(explorer._picture, result, draw, size=explorer._size))
        except ValueError as problem:
            assert not unkind(f"No answer here: {problem}"), problem
    for caution in caught:                      # the page shows those; anything else is a leak
        assert caution.category is UserWarning and not unfinished(str(caution.message)), caution


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
