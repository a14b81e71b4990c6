"""What all forms for the reader's own pond share: changed boxes, work in progress, names of boxes."""

import dataclasses
import datetime
import html
import json
import re

import ipywidgets as W
import pytest

from pondcalc import air, datafiles, findings, record
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
from pondcalc.refusals import Refused
from pondcalc.units import Q, QuantityError, Range
from pondcalc.your_plan import staleness

DEMO = record.demo()
FORMS = {"start": lambda: the_year.OwnStart(DEMO), "bucket": lambda: bubbles_and_oxygen.OwnBucket(DEMO),
         "by hand": lambda: how_much_water.OwnByHand(DEMO), "line": lambda: back_pressure.OwnLine(DEMO),
         "offers": lambda: power_and_housing.OwnOffers(DEMO), "oxygen": lambda: how_much_oxygen.OwnOxygen(DEMO),
         "readings": lambda: how_much_oxygen.OwnReadings(DEMO), "power": lambda: power_and_housing.OwnPower(DEMO),
         "profile": lambda: warm_over_cold.OwnProfile(DEMO), "soundings": lambda: how_much_water.OwnSoundings()}


@pytest.fixture(autouse=True)
def few(monkeypatch):
    """What is kept does not depend on how many ponds were drawn."""
    monkeypatch.setattr(how_much_oxygen, "RUNS", 60)


def mine():
    """A pond of 1.2 acres and 11 ft at the sea, where a machine gives what its sheet says."""
    area = Range(*(Q(v, "acre").m_as("m^2") for v in (1.1, 1.2, 1.3)))
    return record.PondRecord("mine", sections={"site": {"elevation": Q("0 ft")},
                                               "water": findings.water_by_hand(area, Q("11 ft").m_as("m"))})


class Sum(ownform.OwnForm):
    """A form for tests: a depth, doubled."""

    def __init__(self):
        self.seen = ""
        super().__init__("a test", {"depth": ownform.Box("How deep", "depth", "9 ft", "1 ft", "30 ft", "9 ft")},
                         "line", "04")

    def _found(self):
        self.seen = self.message.value
        depth = self.depth.read()
        if depth > Q("20 ft"):
            raise Refused("no such depth", by="own_line")
        return f"{2 * depth.m_as('ft'):.0f} ft", {"submergence": depth}, ""


@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_of_the_shared_kind_and_says_what_is_empty(name):
    form = FORMS[name]()
    assert isinstance(form, ownform.OwnForm) and repr(form).startswith("Form: ")
    with pytest.raises(ValueError, match="nothing to save yet"):
        form.wanted()
    labels = [box.description for box in form._inputs]
    assert len(set(labels)) == len(labels) and all(labels)


def test_a_box_that_changed_is_not_saved_as_it_was(tmp_path):
    form = Sum()
    form.saver._path = tmp_path / "my-pond.json"
    form.work()
    assert "Working" in form.seen and "18 ft" in form.message.value
    form.depth.value = "-3"
    form.saver.save()
    assert "boxes changed since you worked it out. Press “Work it out” again" in form.saver.message.value
    assert not form.saver._path.exists()
    form.work()
    assert "“How deep”" in form.message.value and form.values is None
    form.depth.value = "10 ft"
    form.work()
    form.saver.save()
    assert record.load(form.saver._path).get("line", "submergence").m_as("ft") == pytest.approx(10)


def test_no_trouble_is_silent_and_no_function_is_named():
    form = Sum()
    form.depth.value = "25 ft"
    form.work()
    assert "no such depth" in form.message.value and "own_line" not in form.message.value


def test_a_file_stands_for_typed_text_and_never_beside_it():
    both = ownform.FileOrText("or a file", "Readings", "1 2", "choose one or type.")
    assert both.children == (both.typed, both.file)
    with pytest.raises(ValueError, match="choose one or type"):
        both.read()
    both.typed.value = "3 4"
    assert both.read() == "3 4"
    both.file.value = ({"name": "o.csv", "type": "text/csv", "size": 3, "content": memoryview(b"5 6"),
                        "last_modified": datetime.datetime(2026, 7, 1, tzinfo=datetime.UTC)},)
    with pytest.raises(ValueError, match="Empty the box to use the file"):
        both.read()
    both.typed.value = " "
    assert both.read() == b"5 6"


def test_fish_may_be_those_of_the_whole_pond():
    form = how_much_oxygen.OwnOxygen(mine())
    form.fields["fish"].value = "240 lb"
    # 240 lb on 1.2 acres is 200 lb an acre
    assert form.described().fish == pytest.approx(200 * 0.45359237 / 4046.8564224)
    form.fields["fish"].value = "240"
    with pytest.raises(ValueError, match="has no unit"):
        form.described()
    form.fields["fish"].value, form.fields["temperature"].value = "240 psi", ""
    with pytest.raises(ValueError, match="mend 2 boxes"):
        form.described()
    without = how_much_oxygen.OwnOxygen(record.PondRecord("new"))
    without.fields["fish"].value = "240 lb"
    with pytest.raises(ValueError, match="area is not known yet"):
        without.described()


def test_the_line_form_knows_the_pond():
    form = back_pressure.OwnLine(mine())
    # 1.3 cfm an acre, Nebraska Game and Parks Commission, Nebraska Pond Management, 2nd ed., p. 87: 1.56 for 1.2 acres
    assert form.flow.value == "1.6 cfm" and "1.3 cfm an acre" in form.message.value
    form.depth.value = "108 ft"
    with pytest.raises(ValueError, match=r"deepest point, 11 ft.*here 9 ft down. Did you mean 108 in \(9.0 ft\)"):
        form.depth.read()
    form.depth.value = "14 ft"              # 14 in would be a tenth of the pond
    with pytest.raises(ValueError, match="14 ft is deeper than this pond's deepest point, 11 ft") as refusal:
        form.depth.read()
    assert "Did you mean" not in str(refusal.value) and "2 ft off it" in str(refusal.value)


def line_form(system="US", **typed):
    form = back_pressure.OwnLine(mine(), system)
    for name, words in ({"depth": "9 ft", "reach": "300 ft", "size": "3/4 in"} | typed).items():
        getattr(form, name).value = words
    form.work()
    return form, html.unescape(form.message.value)


def test_one_point_of_a_machine_is_enough_to_ask_whether_it_will_do():
    form, words = line_form(points="4 cfm at 10 psi")
    assert "Reaches, if the point is true" in words and "at least 4.00 cfm" in words
    kept = form.wanted()
    assert kept["flow_free_air"].m_as("cfm") == pytest.approx(4, rel=1e-3) and len(kept["curve_flow"]) == 1
    assert "so much the point does not promise" in line_form(points="4 cfm at 10 psi", flow="6 cfm")[1]
    form, words = line_form(points="4 cfm at 4 psi", flow="1.6 cfm")
    assert "does not say whether the machine will do" in words and "Reaches" not in words
    assert form.wanted()["flow_free_air"].m_as("cfm") == pytest.approx(1.6), "the air wanted, not that of the point"
    form, words = line_form(points="4 cfm at 4 psi", flow="")
    with pytest.raises(ValueError, match="does not say how much air"):
        form.wanted()


def test_runs_say_their_length_and_what_was_not_used():
    assert "come to 12.0 ft in all; the 300 ft of the boxes above" in line_form(runs="12 ft 3/4 in steel")[1]
    assert "come to 3.66 m in all; the 91.4 m of" in line_form("metric", runs="12 ft, 3/4 in, black poly")[1]
    assert "were not used" not in line_form(reach="", runs="12 ft 3/4 in steel")[1]
    assert "in all" not in line_form()[1]


def test_a_metric_reader_is_shown_metric_examples_in_the_line_form():
    form = back_pressure.OwnLine(mine(), "metric")
    for box in (form.runs, form.points):
        assert not re.search(r"\b(ft|psi|cfm)\b", box.placeholder + box.description) and "PVC" not in box.placeholder
    form.reach.value = "300 ft"
    form.runs.value, form.points.value = form.runs.placeholder, form.points.placeholder
    form.work()
    assert form.values is not None, form.message.value
    words = line_form("metric", runs="300 ft, 0.11 in", flow="9 cfm")[1]
    assert "255 L/min (9.00 cfm) of free air cannot get through" in words


@pytest.mark.parametrize("size, kind, bore", [
    # PVC 1/2 in: 0.602 in, ASTM D1785; hose by its bore; polyethylene by inside diameter 0.622 in, ASTM D2239
    ("1/2 in PVC", back_pressure.UNSURE, 0.602), ("0.5 in", back_pressure.MEASURED, 0.5),
    ("1/2 in", "black poly (polyethylene) pipe that slips over barbs", 0.622), ("1/2 in poly", back_pressure.UNSURE,
                                                                                0.622)])
def test_the_line_form_takes_plain_words_for_a_line(size, kind, bore):
    form = back_pressure.OwnLine(mine())
    form.bank.value, form.reach.value, form.kind.value, form.size.value = "100 ft", "200 ft", kind, size
    form.work()
    assert form.values is not None, form.message.value
    values = form.wanted()
    assert values["inside_diameter"].m_as("in") == pytest.approx(bore)
    assert values["length"].m_as("ft") == pytest.approx(300) and values["to_bank"].m_as("ft") == pytest.approx(100)


def test_a_line_of_unknown_kind_takes_the_narrowest_and_says_the_range():
    form = back_pressure.OwnLine(mine())
    form.reach.value, form.size.value = "300 ft", "1/2 in"
    form.work()
    # copper tube size SDR 9, 0.478 in, is the narrowest plastic of that name; iron pipe size SDR 11, 0.678, the widest
    assert "0.478 to 0.678 in" in form.message.value and "narrowest" in form.message.value
    assert form.wanted()["inside_diameter"].m_as("in") == pytest.approx(0.478, abs=0.001)
    form.runs.value = "300 ft 1/2 in PVC\n20 ft 3/4 in poly"
    form.work()
    assert [b.m_as("in") for b in form.wanted()["segment_bore"]] == pytest.approx([0.602, 0.824])


def test_the_oxygen_form_keeps_a_sign_that_was_seen_and_what_was_typed(tmp_path):
    form = how_much_oxygen.OwnOxygen(mine(), "metric")
    assert form.fields["fish"].value == "280 kg/ha"      # 250 lb/acre to three figures
    form.work()
    assert "seen_short" not in form.wanted() and "counts more" not in form.message.value
    form.fields["secchi_depth"].value = "2 ft"
    form.work()
    assert form.values is not None and "deeper than the pond" not in form.message.value
    form.seen.value, form.fields["fish"].value, form.fields["secchi_depth"].value = True, "240 lb", "18 ft"
    form.work()
    assert "short of oxygen at least once" in form.message.value
    assert "deeper than the pond" in form.message.value      # 18 ft in 11 ft
    form.saver._path = tmp_path / "my-pond.json"
    form.saver.save()
    kept = record.PondRecord("mine", sections={**mine().sections, **record.load(form.saver._path).sections})
    assert kept.get("oxygen", "seen_short") == "yes"
    again = how_much_oxygen.OwnOxygen(kept)
    assert again.seen.value and again.fields["fish"].value == "240 lb" and again.fields["secchi_depth"].value == "18 ft"


def test_a_metric_reader_is_shown_metric_amounts_and_examples():
    fish = how_much_oxygen.OwnOxygen(record.PondRecord("new"), "metric")
    fish.fields["fish"].value = "100 kg"
    with pytest.raises(ValueError, match="write it per hectare"):
        fish.described()
    flows = [[box.value for box in the_year.OwnStart(DEMO, system).lifted] for system in ("US", "metric")]
    for us, metric in zip(*flows, strict=True):
        assert us.endswith(" gpm") and metric.endswith(" L/s")
        # 1 US gallon is 3.785411784 L
        assert float(metric.split()[0]) == pytest.approx(float(us.split()[0]) * 3.785411784 / 60, rel=2e-3)
    assert "(kPa)" in the_year.OwnLog("metric").given.typed.placeholder
    assert "(psi)" in the_year.OwnLog().given.typed.placeholder


def test_percent_of_saturation_typed_by_hand_takes_the_temperature_of_the_box_and_the_height_of_the_pond():
    high = dataclasses.replace(mine(), sections={**mine().sections, "site": {"elevation": Q("1500 m")}})
    form = how_much_oxygen.OwnReadings(high, "metric")
    form.given.typed.value = "20:00, 100 %\n23:00, 80 %\n5:00, 50 %"
    form.work()
    assert "without the temperature" in form.message.value
    form.temperature.value = "20 °C"
    form.work()
    said = html.unescape(form.message.value)
    # 84.56 kPa at 1500 m: U.S. Standard Atmosphere, 1976, table I
    assert "85 kPa (12.3 psi)" in said
    # 9.09 mg/L at 20 C by the sea: U.S. Geological Survey, National Field Manual, ch. A6.2, table of oxygen saturation
    # (from memory, not verified); it goes with the dry part of the air: vapor at 20 C takes 2.34 kPa
    held = 9.09 * (84.56 - 2.34) / (101.325 - 2.34)
    log = form._log(air.pond_water(1500.0, 20.0))
    assert list(log.dissolved_oxygen) == pytest.approx([held, 0.8 * held, 0.5 * held], rel=0.01)


@pytest.mark.parametrize("row, typed, says", [
    (("oxygen", "temperature"), "27°", "cannot be 27°: say °F or °C."),
    (("oxygen", "floor"), "60 %", "cannot be 60 %, a share of what the water can hold: write mg/L."),
    (("oxygen", "floor"), "60 psi", "cannot be 60 psi."),
    (("year", "lifted"), "30 cfm", "is a flow of air"), (("line", "flow_free_air"), "30 gpm", "is a flow of water")])
def test_what_a_unit_leaves_open_is_said(row, typed, says):
    box = ownform.Box.of(*row, "US")
    box.value = typed
    with pytest.raises(QuantityError) as caught:
        box.read()
    assert says in str(caught.value)


# ---- every form, opened again: it shows what was saved, and saving again without a touch changes nothing

READINGS = "0 ft  80 F  7.5\n3 ft  79 F  7.2\n6 ft  68 F  1.0\n9 ft 62 F 0.2\n10.5 ft  61 F  0.2"
DAWN = "\n".join(["depth (ft), temperature (F), dissolved oxygen (mg/L)", *(
    f"{z}, {t}, {c}" for z, t, c in zip(range(1, 12), (80, 80, 79, 75, 70, 66, 64, 62, 61, 61, 60),
                                        (7.4, 7.3, 7, 3, 1, 0.2, 0.1, 0.1, 0.1, 0.1, 0.1), strict=True))])
# section -> how its form is made, and what a reader types into boxes of these names
SAVED = {
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
    form = SAVED[section][0](record.load(path))
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
    here = {made.__name__ for made, _ in SAVED.values()}
    # soundings come from files, which a browser never fills in again, so an opened form has nothing to save; the
    # others of these modules save nothing
    assert saves - here <= {"OwnSoundings", "OwnReadings", "OwnLog", "OwnBucket", "OwnWeather"}, saves - here
    form = how_much_water.OwnSoundings()
    form.work()
    with pytest.raises(ValueError, match="nothing to save yet"):
        form.wanted()


@pytest.mark.parametrize("section", SAVED)
def test_an_opened_form_shows_what_was_saved_and_saving_it_again_changes_nothing(section, path):
    form = opened(section, path)
    put(form, SAVED[section][1])
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


@pytest.mark.parametrize("section", SAVED)
def test_boxes_left_alone_follow_another_page_and_touched_ones_win(section, path):
    boxes = SAVED[section][1]
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


@pytest.mark.parametrize("section", SAVED)
def test_every_box_is_kept_but_a_file(section, path):
    form = opened(section, path)
    kept = list(form._remembered.values())
    assert [box.description for box in form._inputs if box not in kept and not isinstance(box, W.FileUpload)] == []
    assert set(form._sources) <= set(form._remembered)


def test_what_was_saved_between_working_out_and_saving_is_not_lost(path):
    here, elsewhere = opened("year", path), opened("year", path)
    put(here, SAVED["year"][1] | {"latitude": "38.5"})
    here._by_hand.discard("latitude")               # as it stood when the form was opened
    here.work()
    put(elsewhere, SAVED["year"][1] | {"latitude": "44"})
    save(elsewhere)
    here.saver.save()
    assert "another page saved since" in here.saver.message.value and here.latitude.value == "44"
    save(here)
    assert record.load(path).get("year", "latitude").m == 44


def test_a_box_that_begins_with_another_section_follows_it_when_that_is_newer(path):
    save_year = opened("year", path)
    put(save_year, SAVED["year"][1])
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
