"""What people type is never silently taken for something else: it is converted with a note, doubted, or refused."""

import datetime
import html
import json
import re
import warnings

import fluids
import gsw
import numpy as np
import pytest
import takenfor
from CoolProp.CoolProp import PropsSI
from takenfor import NO
from wronginput import unkind

from pondcalc import datafiles, record, textfiles, units
from pondcalc.back_pressure import compressor, lineplan
from pondcalc.bubbles_and_oxygen import buckettest
from pondcalc.controls.back_pressure import OwnLine
from pondcalc.controls.how_much_oxygen import OwnReadings
from pondcalc.controls.how_much_water import OwnByHand
from pondcalc.controls.ownform import Box
from pondcalc.controls.warm_over_cold import OwnProfile
from pondcalc.door import air, survey
from pondcalc.how_much_oxygen import oxygenlog
from pondcalc.the_year import upkeep, weather
from pondcalc.warm_over_cold import profile
from pondcalc.water import Water

PSI, CFM = 6894.757, 0.3048**3 / 60


def saturation(celsius):
    """mg/L at 1 atm: Garcia and Gordon (1992) by gsw, umol/kg, times the molar mass and the density of the water."""
    celsius = np.asarray(celsius, float)
    return gsw.O2sol_SP_pt(0.0, celsius) * 31.9988e-3 * gsw.rho_t_exact(0.0, celsius, 0.0) / 1000


def comes_to(read, expected, says, look):
    """Read, and see that what comes of it, and what is said about it, are as they must be."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        if expected is NO:
            with pytest.raises(ValueError, match=f"(?s){says}") as refused:
                read()
            assert not unkind(str(refused.value)), f"{unkind(str(refused.value))}: {refused.value}"
            return
        made = read()
    left = [f"left out: {row.reason}" for row in getattr(made, "dropped", ())]
    said = [*(str(one.message) for one in caught), *getattr(made, "notes", ()), *left]
    found = look(made)
    if expected is None:
        assert found is None
    else:
        np.testing.assert_allclose(found, expected, rtol=2e-3)
    assert not says or any(re.search(says, note) or says in note for note in said), said


@pytest.mark.parametrize(("text", "expected", "says"), takenfor.QUANTITY)
def test_one_quantity(text, expected, says):
    value, unit = (NO, "m") if expected is NO else expected
    comes_to(lambda: units.read_quantity(text), value, says, lambda found: found.m_as(unit))


def test_an_absolute_pressure_is_taken_where_one_is_asked_for():
    # 14.696 psi, 1 atm; dry air at 20 C weighs 1.2041 kg/m3 there (CIPM-2007; ideal gas 0.04 % less)
    for text in ("14.696 psia", "14.696 psi abs", "1.01325 bar(a)", "101.325 kPa absolute"):
        assert air.density("20 °C", text).m_as("kg/m^3") == pytest.approx(1.2041, rel=1e-3)
    for text in ("5 psig", "5 psi gauge", "35 kPa(g)"):
        with pytest.raises(units.QuantityError, match="gauge shows"):
            air.density("20 °C", text)


def test_a_difference_of_temperatures_is_no_temperature():
    with pytest.raises(units.QuantityError, match="does not measure"):
        units.read_number("72 F°", "degree_Celsius")
    box = Box("Warmest water", "temperature", "82 °F", "59 °F", "95 °F", "82 F°")
    with pytest.raises(units.QuantityError, match="cannot be 82 F°"):
        box.read()


@pytest.mark.parametrize(("heading", "readings", "expected", "says"), takenfor.PROFILE)
def test_oxygen_of_a_profile(heading, readings, expected, says):
    celsius = (25.0, 20.0, 15.0)
    rows = "\n".join(f"{4 * n},{t},{c}" for n, (t, c) in enumerate(zip(celsius, readings, strict=True)))
    if expected == "%":
        expected = np.array(readings) / 100 * saturation(celsius)
    comes_to(lambda: profile.read_profile(f"depth (ft),temperature (C),{heading}\n{rows}"), expected, says,
             lambda made: made.dissolved_oxygen)


@pytest.mark.parametrize(("heading", "rows", "expected", "says"), takenfor.TEMPERATURE)
def test_temperature_of_a_profile(heading, rows, expected, says):
    comes_to(lambda: profile.read_profile(f"{heading}\n{rows}"), expected, says, lambda made: made.temperature[0])


@pytest.mark.parametrize(("heading", "readings", "expected", "says"), takenfor.LOG)
def test_oxygen_of_a_night(heading, readings, expected, says):
    rows = "\n".join(f"{when},{c},25" for when, c in zip(takenfor.NIGHT, readings, strict=True))
    if expected == "%":
        expected = np.array(readings) / 100 * saturation(25.0)
    comes_to(lambda: oxygenlog.read_log(f"time,{heading},temp C\n{rows}"), expected, says,
        lambda made: made.dissolved_oxygen)


@pytest.mark.parametrize(("whens", "expected", "says"), takenfor.DATES)
def test_dates_of_a_night(whens, expected, says):
    rows = "\n".join(f"{when},8,25" for when in whens.split("|"))
    comes_to(lambda: oxygenlog.read_log(f"time,DO mg/L,temp C\n{rows}"), expected, says, lambda made: made.hours)


@pytest.mark.parametrize(("heading", "rows", "expected", "says"), takenfor.TWO_COLUMNS)
def test_date_and_hour_in_two_columns(heading, rows, expected, says):
    text = "\n".join(f"{row},8,25" for row in rows.split("|"))
    comes_to(lambda: oxygenlog.read_log(f"{heading},DO mg/L,temp C\n{text}"), expected, says, lambda made: made.hours)


@pytest.mark.parametrize(("heading", "taken"), [("Time (UTC)", False), ("datetime_GMT", False),
("time, GMT+00:00", False),
                                                ("Date Time GMT-05:00", True), ("time", True)])
def test_world_time_in_a_heading(heading, taken):
    hours = "\n".join(f"2025-07-0{6 + n // 8} {3 * (n % 8):02d}:00,77,10,60,8" for n in range(17))
    for read in (lambda t: weather.read_weather(t, 38.0), oxygenlog.read_log):
        text = f'"{heading}",air temp (F),wind (mph),humidity (%),DO (mg/L)\n{hours}'
        comes_to(lambda read=read, text=text: read(text), None if taken else NO, "" if taken else "world time",
                 lambda made: None)


@pytest.mark.parametrize(("heading", "rows", "celsius"), [
    ("air temp F,water temp F", "95,77", 25), ("water temp F,air temp F", "77,95", 25), ("DO probe temp F", "77", 25),
    ("air temp F", "95", np.nan)])
def test_the_air_over_the_pond_is_not_its_water(heading, rows, celsius):
    made = oxygenlog.read_log(f"time,{heading},DO mg/L\n2025-07-06 20:00,{rows},8\n2025-07-06 22:00,{rows},7")
    assert made.temperature[0] == pytest.approx(celsius, nan_ok=True) and list(made.dissolved_oxygen) == [8, 7]
    assert "air" not in heading or any("'air temp F'" in note for note in made.notes)


def test_percent_needs_a_temperature_and_the_height_of_the_pond():
    text = "time,DO %\n2025-07-06 20:00,90\n2025-07-06 22:00,80"
    with pytest.raises(textfiles.FieldDataError, match="without the temperature"):
        oxygenlog.read_log(text)
    made = oxygenlog.read_log(text, water=Water(25.0))
    assert made.dissolved_oxygen == pytest.approx(np.array([0.9, 0.8]) * saturation(25.0), rel=2e-3)
    # U.S. Standard Atmosphere 1976 at 5,000 ft by fluids, the vapor of water at 25 C by CoolProp; Henry's law
    there, vapor = fluids.ATMOSPHERE_1976(1524.0).P, PropsSI("P", "T", 298.15, "Q", 0, "Water")
    high = oxygenlog.read_log(text, None, Water(25.0, there))
    less = (there - vapor) / (101325 - vapor)
    assert high.dissolved_oxygen[0] / made.dissolved_oxygen[0] == pytest.approx(less, rel=1e-3)
    assert "at your pond" in high.notes[0]
    gap = oxygenlog.read_log("time,DO %,temp C\n2025-07-06 20:00,90,25\n2025-07-06 22:00,80,\n2025-07-06 23:00,70,24")
    assert len(gap.hours) == 2 and gap.dropped[0].row == 3 and "no water temperature" in gap.dropped[0].reason


@pytest.mark.parametrize(("heading", "times", "expected", "says"), takenfor.TUB_TIME)
def test_times_of_a_tub_test(heading, times, expected, says):
    whens = re.findall(r"\S+(?: PM)?", times)
    rows = "\n".join(f"{when},{1 + n / 2}" for n, when in enumerate(whens))
    comes_to(lambda: buckettest.read_log(f"{heading},DO (mg/L)\n{rows}"), expected, says, lambda made: made.time)


@pytest.mark.parametrize(("heading", "readings", "expected", "says"), takenfor.TUB_OXYGEN)
def test_oxygen_of_a_tub_test(heading, readings, expected, says):
    rows = "\n".join(f"{n},{c},20" for n, c in enumerate(readings))
    if expected == "%":
        expected = np.array(readings) / 100 * saturation(20.0)
    comes_to(lambda: buckettest.read_log(f"Time (min),{heading},Temp (C)\n{rows}"), expected, says,
             lambda made: made.dissolved_oxygen)


@pytest.mark.parametrize(("text", "expected", "says"), takenfor.TUB_TYPED)
def test_typed_tub_test(text, expected, says):
    comes_to(lambda: buckettest.typed_log(text), expected, says, lambda made: made.dissolved_oxygen)


def test_the_air_over_a_tub_is_not_its_water():
    rows = "0,1,30\n1,2,30\n2,3,30"
    assert np.isnan(buckettest.read_log(f"Time (min),DO (mg/L),Air temp (C)\n{rows}").water.temperature)
    made = buckettest.read_log("Time (min),DO (mg/L),Air temp (C),Water temp (C)\n0,1,30,20\n1,2,30,20")
    assert made.water.temperature == 20
    assert any("no unit" in note for note in buckettest.read_log(f"Time (min),DO (mg/L),Temp\n{rows}").notes)


@pytest.mark.parametrize(("heading", "readings", "expected", "says"), takenfor.LOGBOOK)
def test_a_column_of_the_owners_log(heading, readings, expected, says):
    text = f'date,{heading}\n2025-05-01,"{readings[0]}"\n2025-05-08,"{readings[1]}"'
    field, value = ("day", NO) if expected is NO else expected
    comes_to(lambda: upkeep.read_log(text), value, says, lambda made: getattr(made, field)[0])


def test_percent_in_the_owners_log():
    with pytest.warns(UserWarning, match="turned into mg/L"):
        made = upkeep.read_log("date,top temperature (C),bottom temperature (C),top DO (%),bottom DO (%)\n"
                               "2025-05-08,20,15,80,0.5\n2025-05-01,25,15,90,0.4")        # not in order
    assert made.top_oxygen == pytest.approx([0.9 * saturation(25), 0.8 * saturation(20)], rel=2e-3)
    assert made.bottom_oxygen == pytest.approx([0.004 * saturation(15), 0.005 * saturation(15)], rel=2e-3)


@pytest.mark.parametrize(("whens", "expected", "says"), takenfor.LOGBOOK_DATES)
def test_dates_of_the_owners_log(whens, expected, says):
    rows = "\n".join(f"{when},7" for when in whens.split("|"))
    comes_to(lambda: upkeep.read_log(f"date,gauge (psi)\n{rows}"), expected, says, lambda made: made.day)


@pytest.mark.parametrize(("heading", "row", "expected", "says"), takenfor.WEATHER)
def test_weather(heading, row, expected, says):
    rows = "\n".join(f"2025-07-0{1 + n // 8} {3 * (n % 8):02d}:00,{row}" for n in range(25))
    comes_to(lambda: weather.read_weather(f"time,{heading}\n{rows}", 38.0), expected, says,
             lambda made: (made.air_temperature[0], made.wind_speed[0]))


@pytest.mark.parametrize(("text", "expected", "says"), takenfor.CURVE)
def test_curve(text, expected, says):
    comes_to(lambda: compressor.read_curve(text), expected, says,
             lambda made: (made.pressure_gauge[0] / PSI, made.flow_free_air[0] / CFM))


@pytest.mark.parametrize(("text", "expected", "says"), takenfor.RUNS)
def test_runs_of_line(text, expected, says):
    comes_to(lambda: lineplan.read_segments(text), expected, says,
             lambda made: (made[0].length / 0.3048, made[0].inside_diameter / 0.0254))


@pytest.mark.parametrize(("heading", "deepest", "expected", "says"), takenfor.SOUNDINGS)
def test_soundings(heading, deepest, expected, says):
    top = 8.5 if " in" in deepest else float(re.match(r"[\d.]+", deepest)[0])
    other = [top * share for share in (0.1, 0.2, 0.3, 0.4, 0.3, 0.2, 0.5, 0.4, 0.3, 0.6, 0.2)]
    if isinstance(expected, float) and expected == 6.25 * 0.3048:           # the row with the slip is left out
        other = [6.25 - n / 4 for n in range(11)]
    row = ",".join(["2"] * ("," in heading))
    cells = [deepest, *(f"{row},{depth:.3f}".lstrip(",") for depth in other)]
    text = f"x_ft,y_ft,{heading}\n" + "\n".join(f"{60 * (n % 4)},{60 * (n // 4)},{cell}" for n,
        cell in enumerate(cells))
    comes_to(lambda: survey.read_survey(text), expected, says, lambda made: made.depth.max())


@pytest.mark.parametrize(("raw", "kind"), takenfor.KINDS)
def test_a_file_of_another_kind_is_named(raw, kind):
    for read in (survey.read_survey, profile.read_profile, oxygenlog.read_log, buckettest.read_log, upkeep.read_log):
        comes_to(lambda read=read: read(raw), NO, kind, None)


def test_every_row_left_out_is_named_with_its_reason():
    rows = "".join(f"{n},{'wet' if n in (2, 3, 4, 9) or n > 20 else -7 if n == 12 else 1 + n / 9}\n" for n in range(40))
    said = " ".join(buckettest.read_log(f"Time (min),DO (mg/L)\n{rows}").notes)
    lists = " ".join(re.findall(r"Rows? ([\d, to]+) w", said))
    named = {number for first, last in re.findall(r"(\d+)(?: to (\d+))?", lists)
             for number in range(int(first), int(last or first) + 1)}
    assert named == {4, 5, 6, 11, 14, *range(23, 42)} and "-7 mg/L" in said, said
    with pytest.warns(UserWarning):
        notes = profile.read_profile("depth (ft),temp (F)\n0,77\n3,\n4,\n,70\n9,59\n").notes
    assert notes == ("Rows 3 to 4 were left out: no temperature is given.", "Row 5 was left out: no depth is given.")


# ---- a record mended by hand ----

KEPT = json.loads(datafiles.path("demo-pond.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("section", "field", "value", "says"), [
    ("water", "deepest", "-14 foot", "water.deepest"), ("water", "deepest", "0 foot", "water.deepest"),
    ("water", "area", {"low": "-3 acre", "usual": "2 acre", "high": "3 acre"}, "water.area"),
    ("water", "volume", {"low": "-3 acre_foot", "usual": "2 acre_foot", "high": "3 acre_foot"}, "water.volume"),
    ("water", "level_depth", [], "as many values"), ("water", "level_area", ["1 acre"], "as many values"),
    ("water", "level_depth", ["0 foot"] * len(KEPT["sections"]["water"]["level_depth"]), "must rise"),
    ("oxygen", "temperature", "300 degF", "oxygen.temperature"),
    ("oxygen", "weed_cover", "400 percent", "oxygen.weed_cover"),
    ("oxygen", "night", "99 hour", "oxygen.night"), ("year", "latitude", "999", "year.latitude"),
    ("year", "start_hours", ["99 hour"], "year.start_hours"),
    ("line", "segment_length", ["3 foot"] * 5, "as many values"),
    ("line", "curve_flow", [], "as many values"), ("line", "segment_bore", ["-1 inch"], "line.segment_bore"),
    ("site", "elevation", "900000 foot", "site.elevation"), ("site", "price", "-3 dollar/kilowatt_hour", "site.price")])
def test_what_no_pond_can_have_is_set_aside_when_read_and_never_written(section, field, value, says, tmp_path):
    body = json.loads(json.dumps(KEPT))
    body["sections"].setdefault(section, {})[field] = value
    for other in {"curve_flow": ["curve_pressure"], "segment_length": ["segment_bore"]}.get(field, ()):
        body["sections"][section].setdefault(other, ["1 psi"] if other == "curve_pressure" else ["1 inch"])
    found = record.from_text(json.dumps(body))
    assert says in " ".join(found.notes) and found.get(section, field) is None, found.notes
    assert not unkind(" ".join(found.notes)), found.notes
    with pytest.raises(record.RecordError):         # and what cannot be read back is not written
        record.save_section("water", {"deepest": units.Q("-3 ft")}, tmp_path / "p.json")
    assert not (tmp_path / "p.json").exists()


def test_signs_no_file_can_keep_and_names_that_stand_twice(tmp_path):
    twice = '{"format": "pond record", "version": 1, "name": "a", "sections": {"site": {}}, "sections": {}}'
    for act in (lambda: record.load("a\0b"), lambda: record.save(record.PondRecord("x\ud800"), tmp_path / "p.json"),
                lambda: record.save_section("site", {"story": "x\ud83d"}, tmp_path / "p.json")):
        with pytest.raises(record.RecordError) as refused:
            act()
        assert not unkind(str(refused.value))
    assert not list(tmp_path.iterdir())
    assert "“sections” stands twice" in " ".join(record.from_text(twice).notes)


# ---- what the forms say ----

POND = record.demo()


def said_by(form, **boxes):
    """What a form says once these stand in its boxes."""
    for name, text in boxes.items():
        getattr(form, name).value = text
    form.work()
    return html.unescape(re.sub("<[^>]+>", "", form.message.value))


@pytest.mark.parametrize(("text", "expected", "says"), takenfor.DEPTHS)
def test_rows_of_depths(text, expected, says):
    said = said_by(OwnByHand(POND), area="1.3 acre", deepest="17 ft", depths=text)
    if expected is NO:
        assert said.startswith("Not worked out") and re.search(says, said), said
    else:
        assert f"Mean depth of your row: {expected}" in said and says in said, said
        assert says or "without a unit" not in said or "102 in" in text


def test_a_deepest_place_far_beyond_the_rows_is_doubted():
    assert "slip of the decimal point" in said_by(OwnByHand(POND), area="1.3 acre", deepest="50 ft",
                                                  depths="0, 5, 8, 5, 4, 0 ft")


def test_an_absolute_pressure_does_not_buy_a_machine():
    boxes = {"depth": "12 ft", "bank": "20 ft", "reach": "250 ft", "size": "3/4 in"}
    said = said_by(OwnLine(POND), points="3.9 cfm at 19.7 psia", **boxes)
    assert said.startswith("Not worked out: “Compressor”") and "5.00 psi" in said
    assert "absolute" in said_by(OwnLine(POND), wet="15 psia", points="", flow="3 cfm", **boxes)


def test_the_form_of_a_profile_says_what_it_turned():
    text = "depth (ft),temperature (F),DO (% sat)\n0,80,24\n4,78,20\n8,60,8\n12,56,3"
    said = said_by(OwnProfile(POND), typed=text, day="07/06/2025")
    assert "turned into mg/L" in said and "as July 06, 2025" in said
    # 24 % of 7.97 mg/L is 1.9 at the top, so no mixed pond can hold more
    mixed = float(re.search(r"with ([\d.]+) mg/L", said)[1])
    assert mixed < 1.92


def test_the_form_of_a_night_shows_notes_and_left_out_rows():
    form = OwnReadings(POND)
    raw = ("time,DO (percent),temp F\n" + "\n".join(f"2025-07-06 {h}:00,{c},80" for h, c in zip(
        (20, 21, 22, 23), (90, 84, 78, 72), strict=True)) + "\n2025-07-06 23:30,80,\n").encode()
    form.file.set_trait("value", ({"name": "a.csv", "type": "text/csv", "size": len(raw), "content": memoryview(raw),
                                   "last_modified": datetime.datetime(2026, 1, 1)},))
    said = said_by(form)
    assert "turned into mg/L" in said and "line 6: its oxygen in percent" in said, said
