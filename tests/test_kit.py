"""The teaching kit says what workbooks and question files say, holds together by itself, and asks no network."""

import html
import importlib
import re
import sys
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from scipy import constants

from pondcalc import checks
from pondcalc.units import KINDS, unit_label

FOLDER = Path(__file__).resolve().parent.parent / "workbooks"


@pytest.fixture(scope="module")
def kit():
    sys.path.insert(0, str(FOLDER / "instructor"))
    yield importlib.import_module("make_kit")
    sys.path.remove(str(FOLDER / "instructor"))


@pytest.fixture(scope="module")
def books(kit):
    return kit.read_books()


@pytest.fixture(scope="module")
def pages(kit, books):
    return kit.pages(books)


def text_of(page):
    """What a reader sees of a page of HTML."""
    page = re.sub(r"(?s)<style>.*?</style>|<!--.*?-->|<script>.*?</script>", " ", page)
    page = re.sub(r"</?(?:b|i|code)>|</?dt>", "", page)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page)))


def seen(words):
    """A sentence of ours as a reader sees it, its marks taken off."""
    return re.sub(r"\s+", " ", re.sub(r"[*`]", "", words))


def test_what_is_kept_is_what_would_be_written_now(pages):
    stale = [name for name, text in pages.items()
             if (FOLDER / name).read_bytes().replace(b"\r\n", b"\n") != text.encode("utf-8")]
    assert stale == [], "run: python workbooks/instructor/make_kit.py"


def test_no_page_is_left_over_from_an_earlier_name(pages):
    kept = {path.relative_to(FOLDER).as_posix() for path in (FOLDER / "worksheets").iterdir()}
    assert kept == {name for name in pages if name.startswith("worksheets/")}


def test_every_question_is_asked_once_and_only_once(books):
    for book in books:
        names = [name for _, name in book.asked]
        assert sorted(names) == sorted(book.questions), book.name


def test_answer_key_has_every_right_and_every_wrong_answer(books, pages):
    key = pages["instructor/answer-key.md"]
    for book in books:
        part = key.split(f"\n## {book.number}: ")[1].split("\n## ")[0]
        for name, asked in checks.load(book.name).items():
            own = part.split(f": {name}\n")[1].split("\n### ")[0]
            assert asked.ask in own
            if isinstance(asked, checks.Choice):
                right = next(words for words, good, _ in asked.options if good)
                assert re.search(r"\*\*[A-F], right\*\*: “" + re.escape(right), own) and own.count(", right**") == 1
                assert all(words in own and reply in own for words, _, reply in asked.options)
            else:
                assert asked.solution in own and asked.hint in own and all(reply in own for _, reply in asked.slips)
                shown = re.search(r"\*\*Right: \$?([\d,.]+)", own)[1].replace(",", "").rstrip(".")
                unit = KINDS[asked.kind][0]
                assert float(shown) == pytest.approx(asked.answer.m_as(unit), rel=asked.within / 2), name


def test_a_slip_of_units_is_shown_in_the_units_of_the_slip(pages):
    assert "- 15.36 gal: The number is right and the unit is not" in pages["instructor/answer-key.md"]


def test_worksheets_have_questions_words_facts_and_room_but_no_answers(books, pages):
    for book in books:
        page = pages[f"worksheets/{book.name}.html"]
        said = text_of(page)
        for name, entry in book.questions.items():
            assert seen(entry["ask"]) in said, name
            for option in entry.get("options", []):
                assert seen(option["words"]) in said
                assert seen(option["reply"]) not in said, f"{name}: the sheet gives its answer away"
            if "solution" in entry:
                assert seen(entry["solution"]) not in said and seen(entry["hint"]) in said
        numbers = sum(entry["form"] == "number" for entry in book.questions.values())
        assert page.count('class="work"') == numbers
        assert page.count('class="blank"') == 2 * sum(kind == "Predict" for kind, _ in book.asked) > 0
        assert all(seen(meaning) in said for _, meaning in book.glossary())
        lines = [line for _, _, printed in book.steps() for line in printed[:3]]
        assert len(lines) >= 3 and all(re.sub(r"\s+", " ", line).strip() in said for line in lines)


def test_a_sheet_says_what_lies_between_two_results_of_one_step(pages):
    said = text_of(pages["worksheets/05-warm-over-cold.html"])
    assert re.search(r"layers parted at 6 ft\. stability .{0,60}bowl", said)
    assert re.search(r"Lamar City Lake in 2020 .*August 25", said)


def test_no_safety_rule_is_cut_off_the_sheet_of_the_first_start(pages):
    sheet = pages["worksheets/07-first-start-and-the-year.html"]
    assert "1. Stop if oxygen" in sheet and "6. After a stop, wait a day" in sheet


def test_glossary_has_every_word_and_every_kind_of_number(books, pages):
    page = pages["glossary.md"]
    for book in books:
        assert book.glossary()
        for word, meaning in book.glossary():
            assert f"**{word[0].upper()}{word[1:]}**" in page or f"**{word}**" in page
            assert meaning[1:] in page
    for kind, (us, metric) in KINDS.items():
        assert f"| {kind} | {unit_label(us) or '-'} | {unit_label(metric) or '-'} |" in page
    # scipy.constants, to four figures
    for start, value, end in (("1 ft", constants.foot, "m"), ("1 gal", constants.gallon * 1e3, "L"),
                              ("1 psi", constants.psi / 1e3, "kPa"), ("1 lb", constants.lb, "kg"),
                              ("1 acre", constants.acre / 1e4, "ha"), ("1 mph", constants.mph, "m/s")):
        shown = re.search(rf"\| {start} = ([\d.,]+) {end} \|", page)[1]
        assert float(shown) == pytest.approx(value, rel=2e-4), start


# ---- quiz

def test_quiz_names_a_misconception_for_each_wrong_option(pages):
    raw = importlib.import_module("kit_sources").raw_questions("quiz")
    assert len(raw) == 10
    key, sheet = pages["instructor/quiz-key.md"], text_of(pages["worksheets/quiz.html"])
    named = []
    for n, entry in enumerate(raw.values(), 1):
        assert seen(entry["ask"]) in sheet
        row = re.search(rf"(?m)^\| {n} \| ([A-D]) \| (.+) \|$", key)
        cells = row[2].split(" | ")
        for letter, option, cell in zip("ABCD", entry["options"], cells, strict=False):
            assert option["words"] in sheet and option["reply"] not in sheet
            if option.get("right"):
                assert row[1] == letter and cell == "right" and "misconception" not in option
            else:
                assert cell == option["misconception"] and len(cell) > 10
                named.append(cell)
        assert list(FOLDER.glob(f"{entry['workbook']}-*.ipynb"))
    assert len(set(named)) == len(named), "two wrong options share one misconception"


def test_right_letters_of_the_quiz_do_not_make_a_pattern(pages):
    letters = re.findall(r"(?m)^\| \d+ \| ([A-D]) \|", pages["instructor/quiz-key.md"])
    assert max(letters.count(letter) for letter in "ABCD") <= 5 and len(set(letters)) >= 3


def right(name):
    return next(words for words, good, _ in checks.question("quiz", name).options if good)


def test_numbers_of_the_quiz(books):
    words = {name: [w for w, *_ in asked.options] for name, asked in checks.load("quiz").items()}
    assert right("volume") == f"{3 * 5} acre-feet" and words["volume"] == ["30 acre-feet", "15 acre-feet",
                                                                           "0.6 acre-feet"]
    # a bowl: area grows with height over the lowest point; the share by adding thin slices
    height = (np.arange(2000) + 0.5) / 2000
    assert height[:1000].sum() / height.sum() == pytest.approx(0.25, abs=1e-6) and right("half-depth") == "A quarter"
    # density 998.21 kg/m3 at 20 C (IAPWS-95 through CoolProp), g 9.80665
    psi = 14 * 0.3048 * 998.21 * 9.80665 / 6894.757
    assert psi == pytest.approx(6.1, abs=0.05) and psi > 5 and right("too-deep") == "Nothing"
    assert "6.1 psi" in next(r for w, good, r in checks.question("quiz", "too-deep").options if good)
    assert words["watts"] == [f"{120 * 4} watts", f"{120 * 4 * 0.6:.0f} watts", f"{120 * 4 / 0.6:.0f} watts"]
    # what the worked example of workbook 02 prints for the fish at night in green water
    oxygen = next(book for book in books if book.number == "02")
    lines = [line for _, _, printed in oxygen.steps() for line in printed]
    share = int(re.search(r"(?m)^fish .*?(\d+) %", "\n".join(lines))[1])
    assert share <= 12 and right("half-the-fish") == "It falls, but by less than a tenth"


def test_half_the_bore_by_a_general_library():
    # fluids, Colebrook-type friction factor of a smooth tube: 4 cfm of air, 0.824 and 0.412 in
    fluids = pytest.importorskip("fluids")

    def loss(bore):
        speed = 4 * 0.3048**3 / 60 / (np.pi / 4 * bore**2)
        friction = fluids.friction_factor(Re=1.5 * speed * bore / 1.8e-5, eD=1.5e-6 / bore)
        return friction / bore * speed**2
    assert 20 < loss(0.412 * 0.0254) / loss(0.824 * 0.0254) < 32
    assert right("half-the-bore").startswith("more than twenty")


# ---- slides

class Asked(HTMLParser):
    """Collect every address a page could ask for."""

    def __init__(self):
        super().__init__()
        self.addresses, self.tags = [], set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.addresses += [value or "" for name, value in attrs
                           if name in ("src", "href", "srcset", "data", "action", "poster", "xlink:href")]


def test_slides_hold_prediction_pictures_and_key_points_and_ask_no_network(kit, books):
    for book in books:
        deck = kit.kit_slides.deck(book)
        found = Asked()
        found.feed(deck)
        assert all(address.startswith("data:image/") for address in found.addresses), book.name
        assert not found.tags & {"link", "iframe", "object", "embed", "base", "video", "audio"}
        rest = re.sub(r"data:image/[^\"]+", "", deck)
        assert not re.search(r"https?:|//[a-z]+\.|url\(|@import|fetch\(|XMLHttpRequest", rest), book.name
        assert "default-src 'none'" in deck
        assert len(found.addresses) == len(book.figures())
        said = text_of(deck)
        assert book.title in said
        for kind, name in book.asked:
            assert (seen(book.questions[name]["ask"]) in said) == (kind == "Predict")
        points = re.findall(r"(?m)^- (.+)$", book.words_of("Key points"))
        cautions = re.findall(r"(?m)^- (.+)$", book.words_of("Cautions"))
        assert points and cautions and all(seen(line) in said for line in points + cautions)


def test_pictures_are_in_the_slides_wherever_a_workbook_stores_some(books):
    assert sum(len(book.figures()) for book in books) >= 20
    assert all(len(figure.words) >= 40 for book in books for figure in book.figures())


def test_pages_to_print_need_nothing_but_themselves(pages):
    for name, page in pages.items():
        if name.endswith(".html"):
            found = Asked()
            found.feed(page)
            assert found.addresses == [] and not re.search(r"https?:|url\(|@import|<script|<link", page), name


# ---- guide

def test_plans_of_the_guide_add_up_and_name_real_parts(books):
    guide = (FOLDER / "instructor" / "guide.md").read_text(encoding="utf-8")
    plans = guide.split("## Which hour for whom")[1].split("## Where people get stuck")[0].split("\n### ")[1:]
    sums = [sum(int(m) for m in re.findall(r"(?m)^\| (\d+) \|", plan)) for plan in plans]
    assert sums == [60, 90, 120, 210, 360]
    headings = {h for book in books for h in re.findall(r"(?m)^#+ (.+)$", "\n".join(
        c["source"] if isinstance(c["source"], str) else "".join(c["source"]) for c in book.cells
        if c["cell_type"] == "markdown"))}
    for name in {n for plan in plans for line in plan.splitlines() if line.startswith("|")
                 for n in re.findall(r"“([^”]+)”", line)}:
        assert any(name in heading for heading in headings), name
    for link in re.findall(r"\]\(([^)]+)\)", guide):
        assert (FOLDER / "instructor" / link).exists(), link
    # 62.3 lb a cubic foot of water near 68 F (steam tables), 231 cubic inches a gallon
    assert 62.3 * 231 / 1728 == pytest.approx(8.3, abs=0.05) and "8.3 lb a gallon" in guide
    assert "simply" not in guide.lower()


# ---- reading grade

def test_reading_grade_of_known_sentences(kit):
    grade, syllables = kit.reading.grade, kit.reading.syllables
    # six words of one syllable: 0.39 x 6 + 11.8 - 15.59
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45, abs=0.005)
    for word, count in {"water": 2, "oxygen": 3, "volume": 2, "aeration": 4, "depth": 1, "temperature": 4,
                        "table": 2, "mixed": 1, "started": 2, "surface": 2, "kilowatt": 3}.items():
        assert abs(syllables(word) - count) <= (word == "temperature"), word       # spoken with 3 or 4
    hard = ("Notwithstanding considerable methodological heterogeneity, contemporary limnological investigations "
            "demonstrate unequivocally that hypolimnetic oxygenation ameliorates eutrophication.")
    assert grade(hard) > 20 > grade("Fish need oxygen. Warm water holds less of it.") + 12
    assert grade("# A heading\n\n| a | table |\n\nThe cat sat on the mat.") == grade("The cat sat on the mat.")
    with pytest.raises(ValueError, match="no sentence"):
        grade("# Only a heading")


def test_reading_grade_of_the_workbooks(kit, books, capsys):
    found = kit.grades(books)
    guide = kit.reading.grade((FOLDER / "instructor" / "guide.md").read_text(encoding="utf-8"))
    with capsys.disabled():
        print("\nreading grade (advisory): text, questions")
        for name, (text, asks) in found.items():
            print(f"  {name:32} {text:4.1f} {asks:4.1f}")
        print(f"  {'guide for teachers':32} {guide:4.1f}")
    assert max(max(pair) for pair in found.values()) <= 10 and guide <= 10


def test_minutes_are_those_of_the_readme_and_stand_in_the_guide(books):
    guide = (FOLDER / "instructor" / "guide.md").read_text(encoding="utf-8")
    for book in books:
        assert re.search(rf"(?m)^\| {book.name} \| {book.minutes} \|", guide), book.name
    readme = (FOLDER.parent / "README.md").read_text(encoding="utf-8")
    for book in books:
        assert re.search(rf"(?m)^\| {book.number} .*\| {book.minutes}\b[^|]*\|$", readme), book.name
