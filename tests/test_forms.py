"""The forms: what they say to wrong entries, and that they lose nothing."""

import datetime

import pytest

from pondcalc import datafiles, record
from pondcalc.controls import how_much_water, ownform, pond, your_plan
from pondcalc.units import Q


@pytest.fixture
def path(tmp_path):
    return tmp_path / "my-pond.json"


def fill(form, name="North", elevation="900 ft", price=""):
    form.name.value, form.elevation.value, form.price.value = name, elevation, price
    pond.guarded(form.message, form.keep, "Not kept")
    return form.message.value


@pytest.mark.parametrize(("entry", "says"), [
    ({"name": " "}, "“Name of the pond” is empty"), ({"elevation": ""}, "“Height above sea level” is empty"),
    ({"elevation": "900"}, "no unit"), ({"elevation": "10 psi"}, "cannot be 10 psi"),
    ({"elevation": "90000 ft"}, "outside"), ({"price": "17 dollars"}, "“Price of electricity”: “per kWh” is missing"),
    ({"price": "12 cents"}, "Write 12 cents per kWh"),
    ({"price": "17.3 psi"}, "cannot be"), ({"price": "17.3 $/kWh"}, "outside"), ({"price": "cheap"}, "17.3 cents/kWh")])
def test_a_wrong_entry_names_its_box_and_writes_nothing(path, entry, says):
    said = fill(pond.PondForm(path), **entry)
    assert "Not kept" in said and says in said and not path.exists()


@pytest.mark.parametrize("price", ["17.3 cents/kWh", "$0.173/kWh", "17.3 cents per kWh", "17.3 ¢/kWh", "0.173 $ a kWh"])
def test_ways_people_write_a_price(path, price):
    fill(pond.PondForm(path), price=price)
    assert record.load(path).get("site", "price").m_as("dollar/kilowatt_hour") == pytest.approx(0.173)


def test_filling_the_form_again_loses_nothing(path):
    fill(pond.PondForm(path), price="12 cents/kWh")
    record.save_section("line", {"length": Q("300 ft")}, path)
    again = pond.PondForm(path)
    assert (again.name.value, again.elevation.value) == ("North", "900 ft")
    fill(again, name="South", elevation="910 ft")
    kept = record.load(path)
    assert kept.name == "South" and kept.has("line")
    assert kept.get("site", "price").m_as("dollar/kilowatt_hour") == pytest.approx(0.12)


def test_a_damaged_record_gives_words_and_the_demonstration_pond(path):
    path.write_text("{")
    shown, words = pond.open_pond(path=path)
    assert shown.invented and "damaged" in words and "demonstration pond is shown" in words
    assert "damaged" in pond.PondForm(path).message.value


def test_a_pond_without_what_a_workbook_needs_is_named(path):
    fill(pond.PondForm(path))
    assert pond.open_pond(path=path)[0].name == "North"
    shown, words = pond.open_pond(borrows="water", path=path)
    assert shown.name == "North" and "has no “water” yet" in words and "demonstration pond, stands in" in words


def test_save_button_says_what_it_did_or_why_not(path):
    button = ownform.SaveButton("line", lambda: {"length": Q("300 ft")}, "04", path)
    button.save()
    assert "Saved" in button.message.value and record.load(path).has("line")
    button._values = lambda: {"length": Q("3 psi")}
    button.save()
    assert "Not saved" in button.message.value and "Saved “line”" not in button.message.value


def upload(form, soundings, shoreline=None):
    for box, text, name in ((form.soundings, soundings, "mine.csv"), (form.shoreline, shoreline, "bank.csv")):
        if text is not None:
            box.set_trait("value", ({"name": name, "type": "text/csv", "size": len(text), "content": memoryview(text),
                                     "last_modified": datetime.datetime(2026, 1, 1)},))
    form.work()
    return form.message.value


def test_own_soundings_from_upload_to_values():
    form = how_much_water.OwnSoundings()
    said = upload(form, datafiles.path("demo-soundings.csv").read_bytes(),
                  datafiles.path("demo-shoreline.csv").read_bytes())
    assert "Volume 15." in said and "<svg" in form.picture.value and form.wanted()["soundings_file"] == "mine.csv"
    form.clear()
    assert form.values is None and form.message.value == "" and not form.soundings.value
    with pytest.raises(ValueError, match="nothing to save"):
        form.wanted()


@pytest.mark.parametrize(("text", "says"), [
    (b"", "mine.csv"), (b"x_ft,y_ft,depth\n" + b"1,2,3\n" * 9, "the list “Depths are in”"),
    (b"x,y,depth_ft\n" + b"".join(b"%d,%d,3\n" % (i * 7 % 50, i) for i in range(30)), "“Positions are in”"),
    (b"lat,lon,depth_ft\n" + b"".join(b"39.%03d,-96.%03d,-3\n" % (i, i * 7 % 30) for i in range(30)),
     "“Depths count”"),
    (b"x_ft,y_ft,depth_ft\n0,0,3\n90,10,4\n30,80,5\n", "no honest volume")])
def test_own_soundings_speaks_of_the_form_and_not_of_arguments(text, says):
    form = how_much_water.OwnSoundings()
    said = upload(form, text)
    assert "Not worked out" in said and says in said
    assert "_unit" not in said and "depths_are" not in said
    assert form.values is None


def test_a_survey_in_centimeters_is_not_a_lake():
    """Depths in centimeters under a heading in meters are refused; the heading or the list of units mends it."""
    metric = datafiles.path("demo-soundings.csv").read_text(encoding="utf-8").replace("depth_ft", "depth_m")
    bank = datafiles.path("demo-shoreline.csv").read_bytes()
    head, *rows = (line for line in metric.splitlines() if not line.startswith("#"))
    at = head.split(",").index("depth_m")
    cells = [row.split(",") for row in rows]

    def table(heading):
        lines = [",".join([*row[:at], f"{30.48 * float(row[at]):.0f}", *row[at + 1:]]) for row in cells]
        return "\n".join([head.replace("depth_m", heading), *lines]).encode()
    form = how_much_water.OwnSoundings()
    said = upload(form, table("depth_m"), bank)
    assert "Not worked out" in said and "depth_cm" in said and form.values is None
    assert "Volume 15." in upload(form, table("depth_cm"), bank)
    form.unit.value = "cm"
    assert "Volume 15." in upload(form, table("depth"), bank)
    assert "centimeters" in dict(form.unit.options) and "inches" in dict(form.unit.options)


def test_the_message_shows_what_was_kept_and_the_form_gives_it_back_as_typed(path):
    form = pond.PondForm(path)
    form.system.value = "metric"
    said = fill(form, elevation="402 m", price="17.3 cents/kWh")
    assert "402.0 m above sea level" in said and "$0.173/kWh" in said and "units metric" in said
    again = pond.PondForm(path)
    assert (again.elevation.value, again.price.value) == ("402 m", "0.173 $/kWh")


@pytest.mark.parametrize(("entry", "says"), [
    ("1,300 in", "Did you mean 1300 ft?"), ("40200 cm", "Did you mean 40200 m?"), ("-410 m", "outside"),
    ("4600 m", "outside")])
def test_a_height_in_inches_or_beyond_all_land_is_doubted(path, entry, says):
    said = fill(pond.PondForm(path), elevation=entry)
    assert "Not kept" in said and says in said and not path.exists()


def test_on_a_phone_words_wrap_and_no_form_has_a_width_of_its_own():
    sheet = your_plan.PlanSheet(record.demo())
    assert ownform.CLASS in sheet._dom_classes and {sheet.owner.layout.width, sheet.remarks.layout.width} == {None}
    page = pond.Banner("Now in use").value
    for part in ("jupyter-button", "widget-label-basic"):
        assert "white-space: normal" in page.partition(f".{part} {{")[2].partition("}")[0]


def test_a_list_that_asks_for_the_heading_shows_that_it_does():
    form = how_much_water.OwnSoundings()
    assert form.unit.index == 0 and form.place.index == 0       # a value of None would leave the list blank
