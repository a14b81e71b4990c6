"""A tour of every form with what people type and choose: each answer is kind, nothing is lost, good input is kept."""

import dataclasses
import datetime
import inspect
import re
import warnings
from pathlib import Path

import ipywidgets as W
import pytest
from controlstour import DEMO, EXPLORERS, FORMS, explorer_of, spoken
from wronginput import foreign, unfinished, unkind

from pondcalc import datafiles, record
from pondcalc.controls import how_much_oxygen
from pondcalc.controls.explorer import Explorer
from pondcalc.controls.pond import Banner, open_pond
from pondcalc.figures import style

SCRIPT = "<script>alert(1)</script>"
TYPED = ("", "   ", "abc", "12", "-5 ft", "0", "1e999 ft", "1e999", "5 psi", "200 F", "3,5 m", "=1+1",
         "__import__('os')", SCRIPT, "x" * 9000, "9" * 5000, "5 ft\0", "\ufeff5 ft", "a,b\n1,2", "depth\n1",
         "1;2;3;4;5")
FILES = {"nothing.csv": b"", "picture.csv": bytes(range(256)) * 4, "book.csv": b"PK\x03\x04" + bytes(40),
         f"{SCRIPT}.csv": f"{SCRIPT},{SCRIPT}\n1,2\n".encode(), "heading.csv": b"time,depth (ft),temperature (F)\n",
         "wide.csv": "x,y\n1,2\n".encode("utf-16"), "long.csv": b"a,b\n" + b"1" * 200_000 + b",2\n"}
# what makes a form work, where it does not stand in it from the beginning; by name of the box's attribute
GOOD = {"pond.PondForm": {"name": "North pond", "elevation": "1150 ft", "price": "17 cents/kWh"},
        "bubbles_and_oxygen.OwnBucket": {"typed": "\n".join(f"{t} {8.5 - 8.2 * 0.9 ** t:.2f}" for t in range(0, 44, 2)),
                                 "temperature": "73 F", "volume": "18 gal", "depth": "16 in", "flow": "0.14 cfm"},
        "how_much_water.OwnByHand": {"area": "1.2 acre", "deepest": "11 ft"},
        "back_pressure.OwnLine": {"reach": "200 ft", "size": "3/4 in", "flow": "2 cfm"},
        "how_much_oxygen.OwnOxygen": {},
        "how_much_oxygen.OwnReadings": {"typed": "7:00 PM, 10.2 mg/L, 80 F\n10:00 PM, 8.7 mg/L, 79 F"},
        "power_and_housing.OwnPower": {"voltage": "118 V", "current": "3.6 A", "length": "180 ft", "hottest": "97 F"},
        "warm_over_cold.OwnProfile": {"typed": "0 ft 80 F 7.5\n3 ft 79 F 7.2\n6 ft 68 F 1.0\n12 ft 61 F 0.2",
                                   "day": "2025-07-24"},
        "the_year.OwnStart": {"profile": datafiles.path("demo-profile-july.csv").read_text(encoding="utf-8")},
        "the_year.OwnLog": {"typed": "date, gauge pressure (psi), hours run (h)\n2026-05-04, 7.4, 12\n"
                                     "2026-05-11, 7.5, 180\n2026-05-18, 7.5, 348"}}
SECTIONS = {"pond.PondForm": "site", "how_much_water.OwnByHand": "water", "back_pressure.OwnLine": "line",
            "how_much_oxygen.OwnOxygen": "oxygen", "power_and_housing.OwnPower": "power",
            "warm_over_cold.OwnProfile": "layers", "the_year.OwnStart": "year", "how_much_water.OwnSoundings": "water"}
SAYS_NO = re.compile(r"^Not [\w ]+: ")


def mine(system="metric", name="North pond"):
    """The demonstration pond as if it were a reader's own, saved where the forms look for it."""
    pond = dataclasses.replace(DEMO, name=name, system=system, invented=False)
    record.save(pond)
    return pond


@pytest.fixture(autouse=True)
def few_drawn_ponds(monkeypatch):
    """Sixty ponds are enough to see what a form says."""
    monkeypatch.setattr(how_much_oxygen, "RUNS", 60)


def opened(name, pond):
    """A form with what makes it work."""
    given = {"pond": pond, "system": pond.system}
    form = FORMS[name](**{key: given[key] for key in inspect.signature(FORMS[name]).parameters if key in given})
    for box, text in GOOD.get(name, {}).items():
        getattr(form, box).value = text
    if name == "power_and_housing.OwnOffers":
        for letter, (price, watts) in zip(form.offers, (("450", "120 W"), ("300", "4 A at 120 V")), strict=False):
            letter.price.value, letter.watts.value, letter.air.value = price, watts, "3 cfm at 12 psi"
    if name == "how_much_water.OwnSoundings":
        choose(form.soundings, "mine.csv", datafiles.path("demo-soundings.csv").read_bytes())
        choose(form.shoreline, "bank.csv", datafiles.path("demo-shoreline.csv").read_bytes())
    return form


def choose(upload, name, content):
    """Put a file into an upload as the browser does."""
    upload.set_trait("value", ({"name": name, "type": "text/csv", "size": len(content), "content": memoryview(content),
                                "last_modified": datetime.datetime(2026, 1, 1)},))


def widgets(form, kind):
    """All widgets of a kind in a form, explorers left out."""
    inside = [] if isinstance(form, Explorer) else getattr(form, "children", ())
    return [*([form] if isinstance(form, kind) else []), *(found for child in inside for found in widgets(child, kind))]


def press(form, words=None):
    """Press the button with these words (else the first), so that an exception would be seen."""
    button = next(found for found in widgets(form, W.Button) if not isinstance(found, W.FileUpload)
                  and (words in found.description if words else "Take both" not in found.description))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for act in button._click_handlers.callbacks:
            act(button)


def answer(form, system, name, typed=""):
    """What the form says, after a look at how it says it; what was typed may be repeated in any unit."""
    shown = form.message.value + getattr(form, "picture", W.HTML()).value
    assert "<script" not in shown and "\0" not in shown
    said = spoken(form.message.value)
    assert said and not unfinished(said) and "did not expect" not in said, (name, said[:600])
    for line in said.splitlines() if SAYS_NO.match(said) else []:
        if not re.fullmatch(r"Not [\w ]+: mend \d boxes:", line):
            assert not unkind(line), f"{name}: {unkind(line)}: {line[:500]}"
            own = line.replace(typed.strip(), "") if typed.strip() else line
            assert not foreign(own, system), f"{name}: {foreign(own, system)}"
    return said


def try_to_save(form, said):
    """Press the button that saves; after a refusal it must write nothing."""
    if getattr(form, "saver", None):
        before = Path(record.FILE_NAME).read_bytes()
        press(form, "Save to my pond")
        assert spoken(form.saver.message.value).startswith("Not saved: ") and not unkind(
            spoken(form.saver.message.value)), form.saver.message.value
        assert Path(record.FILE_NAME).read_bytes() == before, said


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("name", FORMS)
def test_whatever_is_typed_is_answered_kindly_and_nothing_is_lost(name, system, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    form = opened(name, mine(system))
    monkeypatch.setattr(style, "render", lambda *_, **__: '<svg width="9pt" height="9pt"></svg>')
    kept = Path(record.FILE_NAME).read_bytes()
    boxes = [box for box in widgets(form, (W.Text, W.Textarea)) if not getattr(box, "disabled", False)]
    tried = TYPED[system == "metric"::2] if len(boxes) > 4 else TYPED       # long forms: half the texts each
    tried = TYPED[10:14] if name == "your_plan.PlanSheet" else tried        # works out the whole plan each time
    refused = 0
    for box in boxes:
        good = box.value
        for typed in tried:
            box.value = typed
            press(form)
            said = answer(form, system, f"{box.description} = {typed[:30]!r}", typed)
            if SAYS_NO.match(said):
                refused += 1
                assert box.value == typed, "what was written is gone"
                assert name == "pond.PondForm" or Path(record.FILE_NAME).read_bytes() == kept
                if typed in tried[:3]:
                    try_to_save(form, said)
        box.value = good
    assert refused > 2 or name == "your_plan.PlanSheet" or not boxes
    for upload in widgets(form, W.FileUpload):
        before = upload.value
        for file, content in FILES.items():
            choose(upload, file, content)
            for box in widgets(form, W.Textarea):
                box.value = ""
            press(form)
            assert SAYS_NO.match(answer(form, system, f"{upload.description} = {file}"))
        upload.set_trait("value", before)


@pytest.mark.parametrize("name", SECTIONS)
def test_good_input_is_saved_after_bad(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    form = opened(name, mine("US"))
    before = record.load(record.FILE_NAME)
    box = next((box for box in widgets(form, (W.Text, W.Textarea))), None)
    if box is not None:
        good, box.value = box.value, "x" * 9000
        press(form)
        assert SAYS_NO.match(answer(form, "US", name))
        box.value = good
    press(form)
    said = answer(form, "US", name)
    assert not SAYS_NO.match(said), said
    if getattr(form, "saver", None):
        press(form, "Save to my pond")
        assert spoken(form.saver.message.value).startswith("Saved"), form.saver.message.value
    after = record.load(record.FILE_NAME)
    assert after.has(SECTIONS[name]) and after.stamps[SECTIONS[name]] != before.stamps.get(SECTIONS[name])
    for section in before.sections:
        assert section == SECTIONS[name] or after.sections[section] == before.sections[section]


def test_a_damaged_record_is_named_by_every_button_that_saves_and_kept(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in SECTIONS:
        form = opened(name, mine("US"))
        Path(record.FILE_NAME).write_text("{")
        press(form)
        if getattr(form, "saver", None):
            press(form, "Save to my pond")
        said = spoken((form.saver if getattr(form, "saver", None) else form).message.value)
        assert said.startswith("Not ") and "damaged" in said and not unkind(said), said
        assert Path(record.FILE_NAME).read_text() == "{"
        shown, words = open_pond()
        assert shown.invented and "damaged" in words and not unkind(words)


def test_names_with_marks_come_out_as_words_everywhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    form = FORMS["pond.PondForm"]()
    form.name.value, form.elevation.value = SCRIPT, "900 ft"
    press(form)
    assert record.load(record.FILE_NAME).name == SCRIPT
    pond = mine("US", f"{SCRIPT} & $x^{{2}}$ \"'")
    banner = Banner(open_pond()[1])
    shown = [form.message.value, banner.value, banner._repr_mimebundle_()["text/html"]]
    for name, made in {**EXPLORERS, **FORMS}.items():
        if "pond" in inspect.signature(made).parameters and name not in ("the_year.year", "the_year.winter"):
            if name in FORMS:
                shown += [part.value for part in widgets(made(pond), W.HTML)]
            else:
                explorer = explorer_of(name, pond)
                shown += [part.value for part in explorer.children if isinstance(part, W.HTML)]
                shown.append(explorer._repr_mimebundle_()["text/html"])
    sheet = FORMS["your_plan.PlanSheet"](pond)
    sheet.owner.value = sheet.remarks.value = SCRIPT
    press(sheet)
    page = Path("my-pond-plan.html").read_text(encoding="utf-8")
    assert page.count("&lt;script&gt;") >= 3
    for text in [*shown, sheet.message.value, page]:
        assert "<script" not in text
