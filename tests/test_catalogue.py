"""One catalogue of the pond's quantities: in order, read by everybody, and nothing of it written down elsewhere."""

import ast
import dataclasses
import re
from pathlib import Path

import pytest

from pondcalc import catalogue, record
from pondcalc.catalogue import ROWS, OutOfRange, Row
from pondcalc.controls import bubbles_and_oxygen, how_much_oxygen
from pondcalc.controls.explorer import Slider
from pondcalc.controls.ownform import Box, OwnForm, read_all
from pondcalc.units import KINDS, Q, QuantityError, Range, fits, read_quantity
from pondcalc.your_plan import planparts

ROOT = Path(__file__).resolve().parent.parent
NUMBERS = [row for row in ROWS.values() if row.kind != "text"]


def read(text):
    return read_quantity(text, "dimensionless")


@pytest.mark.parametrize("row", ROWS.values(), ids=lambda row: f"{row.section}.{row.name}")
def test_a_row_agrees_with_itself(row):
    assert row.kind == "text" or row.kind in KINDS
    assert row.form in ("one", "range", "list", "asked") and row.label and not row.label.endswith(".")
    assert len(list((ROOT / "workbooks").glob(f"{row.found_in}-*.ipynb"))) == 1
    assert (row.low is None) == (row.high is None)
    assert not row.usual or row.because or row.usual.startswith("0 "), "a number assumed says whose it is"
    assert not row.assumed or row.usual and row.know_better, "what a plan assumes says how to know it better"
    if row.kind == "text":
        return
    unit = KINDS[row.kind][0]
    if row.limits():
        low, high = (end.m_as(unit) for end in row.limits())
        assert low < high
        # no row may take what no pond has
        widest = None if row.form == "asked" else catalogue.POSSIBLE.get(row.kind)
        assert not widest or read(widest[0]).m_as(unit) <= low and high <= read(widest[1]).m_as(unit)
    if row.usual:
        row.check(read(row.usual))
    if row.slider:
        ends = [read(end) for end in row.slider[:2]]
        assert ends[0].m_as(unit) < ends[1].m_as(unit) and row.slider[2] > 0
        assert all(row.holds(end) for end in ends), "a slider is no wider than the limits"


@pytest.mark.parametrize("row", [row for row in NUMBERS if row.example], ids=lambda row: f"{row.section}.{row.name}")
@pytest.mark.parametrize("system", ["US", "metric"])
def test_an_example_is_taken_by_its_own_box(row, system):
    bare = {"money": "dollar", "money a year": "dollar / year", "years": "year"}.get(row.kind, "dimensionless")
    for text in row.example_in(system).split(" or "):
        given = read_quantity(text, bare)
        if given.check("[mass]") and row.kind in ("stocking", "oxygen a day"):
            continue                # of the whole pond, or of a day: the form turns it into what is kept
        assert fits(given, KINDS[row.kind][0])
        row.check(given)


def test_a_refusal_says_what_was_given_what_is_allowed_and_what_to_do():
    with pytest.raises(OutOfRange) as caught:
        ROWS["oxygen", "floor"].check(Q("40 mg/L"), "40 mg/L")
    found = caught.value
    assert isinstance(found, QuantityError) and found.given == "40 mg/L" and found.row.name == "floor"
    assert found.allowed == "0.100 mg/L to 12.0 mg/L" and "4 mg/L" in found.do
    assert str(found).startswith("“Oxygen to keep”: 40 mg/L is outside 0.100 mg/L to 12.0 mg/L. ")


def test_limits_hold_what_six_written_digits_round_off_and_no_more():
    warm = ROWS["oxygen", "temperature"]
    assert warm.holds(Q(35.0, "degC")) and warm.holds(Q("95.0005 degF")) and not warm.holds(Q("95.1 degF"))
    assert not ROWS["water", "deepest"].holds(Q("0.49 ft")) and not ROWS["oxygen", "fish"].holds(Q("-0.01 lb/acre"))


def test_what_a_record_holds_or_the_usual():
    pond = record.PondRecord("x", sections={"oxygen": {"floor": Q("5 mg/L"), "mud": "black and deep"}})
    assert catalogue.held(pond, "oxygen", "floor") == 5.0 and catalogue.held(pond, "oxygen", "mud") == "black and deep"
    assert catalogue.held(pond, "oxygen", "color") == "green"
    # 250 lb an acre: 250 x 0.45359237 kg on 4046.8564224 m2
    assert catalogue.held(pond, "oxygen", "fish") == pytest.approx(250 * 0.45359237 / 4046.8564224)
    assert catalogue.held(pond, "site", "price", "dollar/J") == pytest.approx(0.173 / 3.6e6)


@pytest.fixture
def ducks(monkeypatch):
    """A row that is thrown away again."""
    made = Row("oxygen", "ducks", "number", "Ducks on the water", low="0", high="500", usual="12", because="a flock",
               example=("20",), slider=("0", "100", 1), assumed=True, know_better="count them at dusk")
    monkeypatch.setitem(ROWS, ("oxygen", "ducks"), made)
    return made


def test_a_row_more_is_found_in_the_record(ducks, tmp_path):
    pond = record.demo().with_section("oxygen", {"ducks": Q("40", "dimensionless")})
    kept = record.load(record.save(pond, tmp_path / "pond.json"))
    assert kept.get("oxygen", "ducks").m == 40 and kept.notes == ()
    with pytest.raises(record.RecordError, match=r"oxygen\.ducks is .900., outside 0 to 500"):
        record.to_text(record.demo().with_section("oxygen", {"ducks": Q("900", "dimensionless")}))


def test_a_row_more_is_found_in_a_form_and_beside_a_slider(ducks):
    box = Box.of("oxygen", "ducks", "US", bare="dimensionless")
    assert box.description == "Ducks on the water" and "20" in box.placeholder
    box.value = "600"
    with pytest.raises(QuantityError, match="“Ducks on the water”: 600 is outside 0 to 500"):
        box.read()
    assert Slider.of("oxygen", "ducks").bounds("US") == (0, 100, 1)
    assert Slider.of("oxygen", "ducks", 130).bounds("US")[1] == 130, "a slider stretches to what the reader gave"


class Ducks(OwnForm):
    """A form that asks for the row by its name: the one line of use."""

    def __init__(self, pond):
        self._pond, self._system = pond, pond.system
        super().__init__("my ducks", {"ducks": self._box("oxygen", "ducks", bare="dimensionless")}, "oxygen", "02")

    def _found(self):
        ducks = read_all(ducks=self.ducks)["ducks"]
        return f"{ducks.m:g} ducks.", {"ducks": ducks}, ""


def test_one_row_and_one_line_of_use_go_from_the_form_to_the_record_and_the_sheet(ducks, tmp_path):
    mine = dataclasses.replace(record.demo(), name="Mine", invented=False)
    path = record.save(mine, tmp_path / "pond.json")
    form = Ducks(mine)
    form.saver._path = path
    for typed, said in (("", "“Ducks on the water” is empty. Write, for example, 20."),
                        ("600", "“Ducks on the water”: 600 is outside 0 to 500.")):
        form.ducks.value = typed
        form.work()
        assert said in form.message.value
        form.saver.save()
        assert "Not saved" in form.saver.message.value
    form.ducks.value = "40"
    form.work()
    form.saver.save()
    kept = record.load(path)
    assert kept.get("oxygen", "ducks").m == 40 and Ducks(kept).ducks.value == "40"
    assumed = planparts.whole_plan(record.demo())
    assert "ducks on the water 12" in planparts.say_assumed(assumed)
    assert "ducks on the water 12" in planparts.sheet_html(assumed)
    assert "ducks" not in planparts.sheet_html(planparts.whole_plan(kept)).lower()


@pytest.mark.parametrize(("form", "section", "names"), [
    (how_much_oxygen.OwnOxygen, "oxygen", how_much_oxygen.FIELDS),
    (bubbles_and_oxygen.OwnBucket, "air", [f"tub_{name}" for name in bubbles_and_oxygen.SIZES])])
def test_a_real_form_asks_what_its_rows_say(form, section, names, monkeypatch):
    boxes = {name: getattr(form(record.demo()), name.removeprefix("tub_")) for name in names}
    for name, box in boxes.items():
        row = ROWS[section, name]
        assert (box.description, box.low, box.high) == (row.box, row.low, row.high)
        monkeypatch.setitem(ROWS, (section, name), row._replace(asks=f"Other {name}"))
    changed = form(record.demo())
    assert all(getattr(changed, name.removeprefix("tub_")).description == f"Other {name}" for name in names)


# ---- nothing of it stands elsewhere

LABELS = {words for row in ROWS.values() for words in (row.label, row.box)}


def literal(node):
    return node.value if isinstance(node, ast.Constant) else None


def given_to(node):
    """Names and values that a call, a function's defaults or a class's fields give to them."""
    if isinstance(node, ast.FunctionDef):
        return zip([arg.arg for arg in node.args.args][len(node.args.args) - len(node.args.defaults):],
                   node.args.defaults, strict=True)
    if isinstance(node, ast.Call):
        return [(word.arg, word.value) for word in node.keywords]
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        return [(node.target.id, node.value)]
    return [(node.targets[0].id.lower(), node.value)] if isinstance(node, ast.Assign) and isinstance(
        node.targets[0], ast.Name) else []


def usual_of(name):
    """The usual number of every row of a name, in the units a reader and the package know it by."""
    rows = [row for row in NUMBERS if row.name == name and row.usual]
    return {read(row.usual).m_as(unit) for row in rows for unit in (*KINDS[row.kind], row.unit or "dimensionless")}


def told_by_a_call(node):
    """Whether a call names a box by a row's label, or gives it the limits or the usual number of that row."""
    called = getattr(node.func, "id", getattr(node.func, "attr", ""))
    words = [literal(arg) for arg in (*node.args, *(word.value for word in node.keywords))]
    names = {literal(word.value) for word in node.keywords if word.arg in ("description", "what")}
    if called in ("Slider", "Box", "Choice"):
        named = [row for row in NUMBERS if row.name in words]
        return bool(LABELS & {*words, *names}) or any({row.low, row.high, row.usual} & {*words} - {None}
                                                      for row in named)
    row = ROWS.get(tuple(words[:2])) if called in ("of", "_box") else None
    return bool(LABELS & names) or row is not None and row.kind != "text" and bool(row.usual) and any(
        isinstance(said, str) and same(said, row) for said in words[2:])


def same(said, row):
    """Whether a text, which may be no number at all, is the usual quantity of a row, or its number alone."""
    try:
        given, usual = read(said), read(row.usual)
    except QuantityError:
        return False
    return given.m == usual.m if given.unitless else given.check(usual.units) and given.m_as(
        usual.units) == pytest.approx(usual.m)


def told_twice(text):
    """Lines of a module that say a label, a limit or a usual number of a row for themselves."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and told_by_a_call(node):
            found.append(node.lineno)
        for name, value in given_to(node):
            number = literal(value)
            if type(number) in (int, float) and number not in (0, 1) and any(
                    number == pytest.approx(usual) for usual in usual_of(name)):
                found.append(node.lineno)
    return found


def test_no_label_limit_or_default_of_a_row_stands_anywhere_else():
    twice = {path.name: told_twice(path.read_text(encoding="utf-8"))
             for path in sorted((ROOT / "pondcalc").rglob("*.py")) if path.name != "catalogue.py"}
    assert {name: lines for name, lines in twice.items() if lines} == {}


@pytest.mark.parametrize("line", [
    'Slider("floor", "Keep", "oxygen", "0.1 mg/L", "7 mg/L", "4 mg/L")', 'Box("Oxygen to keep", "oxygen", "4", "1")',
    'W.FloatText(description="Days without oxygen below (a guess)")', 'Choice("kind", "Kind of diffuser", {}, "disk")',
    'Box.of("offers", "upkeep", system, "60")', 'self._box("power", "run_length", "250 ft")',
    'QuantityError("is empty.", what="Size of the line")',
    "FLOOR = 4.0", "def budget(volume, floor=4.0):\n    pass", "budget(1.0, floor=4)",
    "class A:\n    floor: float = 4.0",
    "def f(price=0.173):\n    pass"])
def test_the_search_finds_what_is_told_twice(line):
    assert told_twice(line) == [1] or told_twice(line) == [2]


@pytest.mark.parametrize("line", ['Slider("lines", "Number of lines", "number", "1", "12", "2")', "FLOOR = usual()",
                                  "budget(floor=5.5)", 'Slider.of("oxygen", "floor")',
                                  'self._box("power", "run_length", "180 ft")',
                                  'W.Text(description="Name of the pond")'])
def test_the_search_leaves_the_rest_alone(line):
    assert told_twice(line) == []


def test_the_glossary_says_the_usual_number():
    text = (ROOT / "workbooks" / "glossary.md").read_text(encoding="utf-8")
    said = dict(re.findall(r"(?m)^- \*\*(.+?)\*\*: (.+)$", text))
    keep = ROWS["oxygen", "floor"]
    assert set(re.findall(r"here (\S+ mg/L)", said[keep.label])) == {keep.usual}


def test_a_range_and_a_list_are_kept_within_the_limits_of_their_row():
    pond = record.PondRecord("x").with_section("year", {"lifted": Range(*(Q(v, "gpm") for v in (0.1, 900.0, 2000.0)))})
    with pytest.raises(record.RecordError, match=r"year\.lifted is .0\.1 gpm"):
        record.to_text(pond)
