"""The page for the night when fish gasp, and the cautions that stand where the same things are advised."""

import html
import re
from pathlib import Path

import nbformat
import pytest

from pondcalc import record
from pondcalc.how_much_oxygen import fishlimits
from pondcalc.power_and_housing import wiring
from pondcalc.the_year import upkeep, yearcase
from pondcalc.your_plan import planparts

FOLDER = Path(__file__).resolve().parent.parent / "workbooks"
PAGE = FOLDER / "worksheets" / "fish-gasping-tonight.html"
# what must be said where, each by the words that carry it
MOTOR = ("motor in the water|with its motor", "[Gg]round-fault", "disconnect on land|disconnect stands on land",
         "[Nn]obody (?:in|is in) the water", "[Nn]o extension cord")
ENGINE = ("carbon monoxide", "[Nn]ever plug a generator into an outlet", "transfer switch", "cool before you refuel")
CAPACITOR = ("run capacitor holds its charge after the plug is out",)
HIGH = ("2 ft", "highest water of usual years", "second-hand", "electrician", "local code")


def words_of(page):
    return html.unescape(re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<style>.*?</style>", " ", page)))


def cautions_of(number):
    book = nbformat.read(next(FOLDER.glob(f"{number}-*.ipynb")), as_version=4)
    return next(c.source for c in book.cells if c.cell_type == "markdown" and c.source.startswith("## Cautions"))


def missing(text, wanted):
    return [words for words in wanted if not re.search(words, text)]


@pytest.mark.parametrize("number", ["02", "06", "07", "08"])
def test_a_motor_in_the_water_and_an_engine_have_their_cautions(number):
    text = cautions_of(number)
    own = {bullet.split("**")[1].rstrip("."): bullet for bullet in re.findall(r"(?m)^- \*\*.+$", text)}
    assert missing(own["A motor in the water"], MOTOR) == [] and missing(own["Generator or engine"], ENGINE) == []


def test_wherever_a_surface_aerator_is_advised_the_workbook_warns_of_it():
    for path in sorted(FOLDER.glob("[0-9]*.ipynb")):
        book = nbformat.read(path, as_version=4)
        prose = [c.source for c in book.cells if c.cell_type == "markdown"]
        advised = [text for text in prose if re.search("surface aerator", text) and not text.startswith("## Cautions")]
        if advised:
            assert missing(cautions_of(path.name[:2]), MOTOR) == [], path.name


@pytest.mark.parametrize("number", ["06", "07", "08"])
def test_a_charged_capacitor_is_told_where_a_machine_is_opened(number):
    assert missing(cautions_of(number), CAPACITOR) == []


def test_the_list_of_upkeep_says_it_at_the_parts_inside_the_machine():
    inside = next(part for part in upkeep.UPKEEP if "vanes" in part.part)
    assert "run capacitor" in inside.what and "plug out" in inside.what
    said = " ".join(yearcase.say_upkeep().split())
    assert inside.what[1:] in said and "every 12 to 36 months" in said and "every month" in said
    assert all(part.part in said for part in upkeep.UPKEEP)
    assert "every 1 to 4 weeks" in said         # a quarter of a month to a month


@pytest.mark.parametrize("text", [cautions_of("06"), cautions_of("08"), " ".join(planparts.cautions(record.demo())),
                                  wiring.high_water(), " ".join(p.words for s in fishlimits.STEPS for p in s.parts)],
                         ids=["06", "08", "plan sheet", "wiring", "page"])
def test_high_water_is_told_with_its_doubt(text):
    assert missing(text, HIGH) == []


def test_the_page_has_every_caution_before_the_step_that_plugs_in():
    titles = [step.title for step in fishlimits.STEPS]
    box = fishlimits.STEPS[titles.index(fishlimits.DANGER)]
    text = " ".join(part.words for part in box.parts)
    assert missing(text, (*MOTOR, *ENGINE, "run capacitor")) == []
    assert titles.index(fishlimits.DANGER) < next(n for n, title in enumerate(titles) if "Put air" in title)
    no_circuit = next(part.words for part in box.parts if "No such circuit?" in part.words)
    wanted = ("Use a pump that an engine drives", "on the bank", "no electric pump and no cord")
    assert missing(no_circuit, wanted) == []
    not_to_do = " ".join(p.words for p in fishlimits.STEPS[titles.index("What NOT to do")].parts)
    assert missing(not_to_do, ("Do NOT switch on a bottom diffuser", "No copper", "No permanganate")) == []
    assert "go to step 7" in fishlimits.STEPS[1].parts[0].words and "call" in fishlimits.STEPS[6].parts[0].words
    assert not re.search(r"\bsafe(ly)?\b", words_of(fishlimits.body_html()).replace("Safe Electricity", ""))


def test_every_piece_of_advice_has_a_source_and_every_source_is_used():
    marks = {mark for step in fishlimits.STEPS for part in step.parts for mark in part.marks}
    assert all(part.marks for step in fishlimits.STEPS for part in step.parts)
    assert marks == set(fishlimits.SOURCES)
    assert "no source" in fishlimits.SOURCES["*"]


def test_the_page_is_the_same_everywhere_and_linked_from_where_people_look():
    assert fishlimits.body_html() in PAGE.read_text(encoding="utf-8")
    for place in [*FOLDER.glob("0[027]-*.ipynb"), FOLDER / "instructor" / "guide.md", FOLDER.parent / "README.md"]:
        assert "worksheets/fish-gasping-tonight.html" in place.read_text(encoding="utf-8"), place.name


def test_fish_limits_as_printed():
    # CCME (1999), Table 1 (seen): warm 6 and 5.5, cold 9.5 and 6.5; Texas A&M (seen): stress 3, death 2
    def levels(fish, word):
        return {limit.level for limit in fishlimits.limits_for(fish)
                if word in limit.source and limit.status == "seen" and "guideline" in limit.meaning}
    assert levels("warm", "CCME") == {6.0, 5.5} and levels("cold", "CCME") == {9.5, 6.5}
    assert {limit.level for limit in fishlimits.limits_for("warm") if "Texas" in limit.source} == {3.0, 2.0}
    # EPA (1986) plus 0.5 made the CCME levels: its 30-day means, 5.5 and 6.5 less 0.5 and more, stay below
    # them
    assert all(limit.level < 5.5 for limit in fishlimits.limits_for("warm") if "EPA" in limit.source)


def test_fish_that_have_no_limits_are_named():
    with pytest.raises(ValueError, match="warm"):
        fishlimits.limits_for("golden")


def test_oxygen_in_words_for_fish():
    # 2 and 3 mg/L: Texas A&M AgriLife, some die and most are stressed below them
    assert (fishlimits.KILL, fishlimits.STRESS) == (2.0, 3.0)
    words = [fishlimits.meaning_of(level, 5.0) for level in (1.99, 2, 2.99, 3, 4.99, 5)]
    assert words == ["some may die", "most are stressed", "most are stressed", "less than you want to keep",
                     "less than you want to keep", "enough by these sums"]
