"""Every explorer and every form of the package, found by looking, and a pond to open them on."""

import html
import importlib
import inspect
import pkgutil
import re

from pondcalc import controls, datafiles, findings, record
from pondcalc.bubbles_and_oxygen import buckettest
from pondcalc.controls.explorer import Explorer
from pondcalc.controls.ownform import OwnForm
from pondcalc.controls.pond import PondForm
from pondcalc.door import survey
from pondcalc.how_much_water import basin
from pondcalc.the_year import upkeep
from pondcalc.warm_over_cold import profile

DEMO = record.demo()
SURVEY = survey.read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))
BED = basin.build_basin(SURVEY.soundings.x, SURVEY.soundings.y, SURVEY.soundings.depth, SURVEY.shoreline.x,
                        SURVEY.shoreline.y)
DEPTH, AREA = findings.pond_shape(DEMO)
JULY = profile.read_profile(datafiles.path("demo-profile-july.csv"))
SUPPLY = {"pond": DEMO, "basin": BED, "shoreline": SURVEY.shoreline, "read": SURVEY, "depth": DEPTH, "area": AREA,
          "profile": JULY, "summer_profile": JULY, "log": buckettest.read_log(datafiles.path("demo-bucket-test.csv"))}
OTHER_SUPPLY = {"the_year.log": {"read": upkeep.read_log(datafiles.path("demo-log.csv"))}}
# neither explorer nor form: parts of them, stills, and what asks questions (see test_checks and test_questions)
PARTS = {"explorer.Explorer", "explorer.Slider", "explorer.Choice", "quiz.Predict", "quiz.Ask", "pond.Banner",
         "ownform.SaveButton", "pond.open_pond", "back_pressure.lines", "back_pressure.machines",
         "ownform.OwnForm", "how_much_water.Depths", "ownform.Box", "ownform.grid",
         "ownform.FileOrText", "ownform.as_typed",
         "ownform.price_box", "ownform.read_all", "page.said", "page.guarded", "page.notes_of",
         "ownform.plain", "ownform.text_in", "ownform.typed_in", "ownform.refill", "back_pressure.pairs",
         "how_much_oxygen.with_water",
         "how_much_oxygen.nights_still", "how_much_water.map_still", "bubbles_and_oxygen.tub_still",
         "bubbles_and_oxygen.tub_result", "the_year.demo_profile", "the_year.demo_log",
         "warm_over_cold.picture_of", "the_year.say_year", "explorer.SliderRow",
         "your_plan.open_pond", "page.PageUnits", "the_year.North", "explorer.Panel"}


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
         and (issubclass(made, OwnForm) or made is PondForm or name in ("your_plan.PlanSheet",
                                                                       "back_pressure.CompressorOnLine"))}


def explorer_of(name, pond=DEMO):
    """One explorer on a pond."""
    given = SUPPLY | {"pond": pond} | OTHER_SUPPLY.get(name, {})
    made = EXPLORERS[name]
    found = made(**{key: given[key] for key in inspect.signature(made).parameters if key in given})
    return found if isinstance(found, Explorer) else found.explorer


def spoken(readout):
    """What stands under a picture, as text."""
    return html.unescape(re.sub("<[^>]+>", "", readout))
