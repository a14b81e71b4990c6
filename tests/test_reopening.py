"""Every form, opened again: it shows what was saved, and saving again without a touch changes nothing."""

import dataclasses
import datetime
import json

import ipywidgets as W
import pytest

from pondcalc import datafiles, findings, record
from pondcalc.controls import (
    back_pressure,
    bubbles_and_oxygen,
    how_much_oxygen,
    how_much_water,
    ownform,
    pond,
    power_and_housing,
    the_year,
    warm_over_cold,
)
from pondcalc.units import Q, Range
from pondcalc.your_plan import staleness

READINGS = "0 ft  80 F  7.5\n3 ft  79 F  7.2\n6 ft  68 F  1.0\n9 ft 62 F 0.2\n10.5 ft  61 F  0.2"
DAWN = "\n".join(["depth (ft), temperature (F), dissolved oxygen (mg/L)", *(
    f"{z}, {t}, {c}" for z, t, c in zip(range(1, 12), (80, 80, 79, 75, 70, 66, 64, 62, 61, 61, 60),
                                        (7.4, 7.3, 7, 3, 1, 0.2, 0.1, 0.1, 0.1, 0.1, 0.1), strict=True))])
# section -> how its form is made, and what a reader types into boxes of these names
FORMS = {
    "water": (how_much_water.OwnByHand, {"area": "1.3 acre", "deepest": "11 ft 3 in", "depths": "0, 4, 9, 6, 0 ft",
                                         "lines": "lines that cross in the middle"}),
    "oxygen": (how_much_oxygen.OwnOxygen, {"fish": "310 lb", "temperature": "27.3 °C", "weed_cover": "15 %",
                                           "floor": "5 mg/L", "dusk": "7.7 mg/L", "night_wind_speed": "", "seen": True,
                                           "color": list(how_much_oxygen.COLORS)[-1]}),
    "line": (back_pressure.OwnLine, {"depth": "8.5 ft", "bank": "33 ft", "reach": "297 ft", "size": "3/4 in",
                                     "kind": list(back_pressure.lines())[3], "wet": "15 inH2O",
                                     "points": "5 psi, 4.3 cfm\n10 psi, 3.9 cfm\n15 psi, 3 cfm"}),
    "layers": (warm_over_cold.OwnProfile, {"typed": READINGS, "day": "2026-07-18", "days": 41.0}),
    "power": (power_and_housing.OwnPower, {"voltage": "117", "current": "3.3 A", "factor": "0.61",
                                           "price": "19 cents/kWh",
                                           "length": "61 m", "gauge": 10, "hottest": "101 °F"}),
    "offers": (power_and_housing.OwnOffers, {"A name": "farm store", "A price": "450", "A air": "5 psi, 4.3 cfm",
                                             "A highest":
                                             "20 psi", "A watts": "4.4 A at 120 V", "A upkeep": "45",
                                             "B name": "catalog",
                                             "B price": "$340", "B air": "2.8 cfm at 4 psi", "B watts": "80 W"}),
    "year": (the_year.OwnStart, {"profile": DAWN, "lifted usual": "900 gpm", "lifted low": "500 gpm",
                                 "lifted high": "1300 gpm", "demand usual": "2.5 mg/L", "floor": "3.5 mg/L",
                                 "latitude": "40.25 N", "winter": "no air in winter"}),
}


@pytest.fixture
def path(tmp_path):
    """A record with water of its own, in Iowa's size of a pond."""
    area = Range(*(Q(v, "acre").m_as("m^2") for v in (1.1, 1.2, 1.3)))
    made = record.PondRecord("Mine").with_section("site", {"elevation": Q("950 ft"), "price": Q("16 cents/kWh")})
    record.save(made.with_section("water", findings.water_by_hand(area, Q("11 ft").m_as("m"))),
                tmp_path / "my-pond.json")
    return tmp_path / "my-pond.json"


def opened(section, path):
    form = FORMS[section][0](record.load(path))
    form.saver._path = path
    return form


def put(form, boxes):
    """Write into boxes; a list shows words, of which one is chosen."""
    for name, value in boxes.items():
        box = form._remembered[name]
        if hasattr(box, "label") and value in [label for label, _ in box._options_full]:
            box.label = value
        else:
            box.value = value


def stands(form):
    return {name: getattr(box, "label", box.value) for name, box in form._remembered.items()}


def save(form):
    form.work()
    form.saver.save()
    assert "Saved “" in form.saver.message.value, form.message.value + form.saver.message.value


def on_disk(path, section):
    return json.loads(path.read_text(encoding="utf-8"))["sections"][section]


def test_no_form_that_saves_is_missing_here():
    saves = {cls.__name__ for cls in ownform.OwnForm.__subclasses__() if cls.__module__.startswith("pondcalc.controls")
             and "WORKBOOK" in vars(__import__(cls.__module__, fromlist=["x"]))}
    here = {made.__name__ for made, _ in FORMS.values()}
    # soundings come from files, which a browser never fills in again, so an opened form has nothing to save; the
    # others of these modules save nothing
    assert saves - here <= {"OwnSoundings", "OwnReadings", "OwnLog", "OwnBucket", "OwnWeather"}, saves - here
    form = how_much_water.OwnSoundings()
    form.work()
    with pytest.raises(ValueError, match="nothing to save yet"):
        form.wanted()


@pytest.mark.parametrize("section", FORMS)
def test_an_opened_form_shows_what_was_saved_and_saving_it_again_changes_nothing(section, path):
    form = opened(section, path)
    put(form, FORMS[section][1])
    typed = stands(form)
    save(form)
    others = {name: on_disk(path, name) for name in record.load(path).sections if name != section}
    first = on_disk(path, section)
    for _ in range(2):
        again = opened(section, path)
        assert stands(again) == typed
        save(again)
        assert json.dumps(on_disk(path, section)) == json.dumps(first)
    assert {name: on_disk(path, name) for name in others} == others, "no other section is written"


@pytest.mark.parametrize("section", FORMS)
def test_boxes_left_alone_follow_another_page_and_touched_ones_win(section, path):
    boxes = FORMS[section][1]
    touched = {"water": "deepest", "oxygen": "temperature", "line": "reach", "layers": "day", "power": "hottest",
               "offers": "B price", "year": "winter"}[section]
    mine = {"deepest": "10 ft", "temperature": "80 °F", "reach": "200 ft", "day": "2026-08-01", "hottest": "99 °F",
            "B price": "$355", "winter": "air, with signs and rope"}[touched]
    here, elsewhere = opened(section, path), opened(section, path)
    put(elsewhere, boxes)
    save(elsewhere)
    put(here, {touched: mine})
    save(here)
    assert stands(here) == stands(elsewhere) | {touched: mine}
    assert stands(opened(section, path)) == stands(here)


@pytest.mark.parametrize("section", FORMS)
def test_every_box_is_kept_but_a_file(section, path):
    form = opened(section, path)
    kept = list(form._remembered.values())
    assert [box.description for box in form._inputs if box not in kept and not isinstance(box, W.FileUpload)] == []
    assert set(form._sources) <= set(form._remembered)


def test_what_was_saved_between_working_out_and_saving_is_not_lost(path):
    here, elsewhere = opened("year", path), opened("year", path)
    put(here, FORMS["year"][1] | {"latitude": "38.5"})
    here._by_hand.discard("latitude")               # as it stood when the form was opened
    here.work()
    put(elsewhere, FORMS["year"][1] | {"latitude": "44"})
    save(elsewhere)
    here.saver.save()
    assert "another page saved since" in here.saver.message.value and here.latitude.value == "44"
    save(here)
    assert record.load(path).get("year", "latitude").m == 44


def test_a_box_that_begins_with_another_section_follows_it_when_that_is_newer(path):
    save_year = opened("year", path)
    put(save_year, FORMS["year"][1])
    save(save_year)
    lifted = Range(*(Q(v, "gpm") for v in (1000, 2000, 3000)))
    record.save_section("oxygen", {"floor": Q("5 mg/L")}, path)
    record.save_section("air", {"lifted": lifted}, path)
    later = {section: {"saved": f"2099-01-0{n}T00:00:00+00:00", "by": "x"} for n, section in
             enumerate(("oxygen", "air"), 1)}
    kept = record.load(path)
    record.save(dataclasses.replace(kept, stamps={**kept.stamps, **later}), path)
    form = opened("year", path)
    assert form.floor.value == "5 mg/L" and [box.value for box in form.lifted] == ["1000 gpm", "2000 gpm", "3000 gpm"]
    assert form.latitude.value == "40.25 N" and form.profile.value == DAWN, "and what was typed here stands"


def test_a_save_on_numbers_that_changed_since_counts_as_out_of_date(path):
    def later(section, values, day):
        record.save_section(section, values, path, moment=datetime.datetime(2099, 1, day, tzinfo=datetime.UTC))
    later("air", {"lifted": Range(*(Q(v, "gpm") for v in (500, 900, 1300)))}, 1)
    form = opened("year", path)
    put(form, {"profile": DAWN})
    later("air", {"lifted": Range(*(Q(v, "gpm") for v in (1000, 2000, 3000)))}, 2)
    save(form)
    assert "“air” changed on another page" in form.saver.message.value
    assert [item.section for item in staleness.stale(record.load(path))] == ["year"]
    again = opened("year", path)                    # Run All Cells
    assert again.lifted[1].value == "2000 gpm" and again.profile.value == DAWN
    record.save(dataclasses.replace(record.load(path), stamps={}), path)
    again = opened("year", path)
    save(again)
    assert "changed on another page" not in again.saver.message.value and not staleness.stale(record.load(path))


def test_a_record_saved_before_boxes_were_kept_gives_back_latitude_and_winter(path):
    record.save_section("year", {"latitude": Q(40, "dimensionless"), "winter": "no air in winter"}, path)
    form = opened("year", path)
    assert (form.latitude.value, form.winter.value) == ("40", "no air in winter")


def test_readings_from_a_file_come_back_as_lines_and_stay_the_same(path):
    form = opened("layers", path)
    text = datafiles.path("demo-profile-october.csv").read_bytes()
    form.file.value = ({"name": "o.csv", "type": "text/csv", "size": len(text), "content": memoryview(text),
                        "last_modified": datetime.datetime(2026, 7, 1, tzinfo=datetime.UTC)},)
    form._shape = findings.pond_shape(record.demo())        # these readings go deeper than 11 ft
    save(form)
    first = on_disk(path, "layers")
    again = opened("layers", path)
    again._shape = form._shape
    assert len(again.typed.value.splitlines()) == len(first["reading_depth"])
    save(again)
    assert on_disk(path, "layers") == first
    save(form)                                              # the file still stands for the readings here
    assert on_disk(path, "layers") == first


def test_the_air_of_workbook_03_comes_back(path):
    air = bubbles_and_oxygen.OwnAir(record.load(path))
    air.saver._path = path
    air.explorer.set_texts({"diffusers": "3", "flow": "2.2 cfm", "submergence": "8 ft", "diffuser":
                            list(bubbles_and_oxygen.OFFERED)[-1]})
    air.saver.save()
    first = on_disk(path, "air")
    again = bubbles_and_oxygen.OwnAir(record.load(path))
    again.saver._path = path
    assert again.explorer.values == air.explorer.values
    again.saver.save()
    assert json.dumps(on_disk(path, "air")) == json.dumps(first)
    other = bubbles_and_oxygen.OwnAir(record.load(path))
    other.saver._path = path
    other.explorer.set_texts({"diffusers": "5"})
    again.explorer.set_texts({"flow": "2.8 cfm"})
    other.saver.save()
    again.saver.save()
    assert "another page saved other air" in again.saver.message.value and again.explorer.values["diffusers"] == 5
    again.saver.save()
    kept = record.load(path)
    assert kept.get("air", "diffusers").m == 5
    assert kept.get("air", "flow_free_air").usual.m_as("cfm") == pytest.approx(2.8)


def test_the_form_of_workbook_00_changes_only_what_was_touched(path):
    record.save_section("site", {"elevation": Q("333.3333 m"), "price": Q("16.123456 cents/kWh")}, path)
    first = on_disk(path, "site")
    here, elsewhere = pond.PondForm(path), pond.PondForm(path)
    here.keep()
    assert on_disk(path, "site") == first
    elsewhere.price.value, elsewhere.name.value = "21 cents/kWh", "North"
    elsewhere.keep()
    here.elevation.value = "1000 ft"
    here.keep()
    kept = record.load(path)
    assert kept.name == "North" and kept.get("site", "price").m_as("dollar/kilowatt_hour") == pytest.approx(0.21)
    assert kept.get("site", "elevation").m_as("ft") == pytest.approx(1000)
