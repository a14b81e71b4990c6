"""Explorers and forms of workbook 07 without a browser: silly ends, the reader's own readings, what is kept."""

import datetime
import re

import numpy as np
import pytest

from pondcalc import datafiles, findings, record, water
from pondcalc.catalogue import held
from pondcalc.controls import the_year
from pondcalc.figures import the_year as draw
from pondcalc.the_year import upkeep, weather, yearcase
from pondcalc.units import Q, Range
from pondcalc.warm_over_cold.profile import read_lines

DEMO = record.demo()
MINE = record.PondRecord("Mine", sections=dict(DEMO.sections))
SEPTEMBER = "September: a thin lower layer"
QUICK = {"ladder": the_year.ladder, "custom": the_year.custom, "copper": the_year.copper,
         "calendar": the_year.calendar, "log": lambda pond: the_year.log(the_year.demo_log())}


@pytest.mark.parametrize("which", QUICK)
def test_silly_ends_are_answered_or_refused_in_words(which):
    made = QUICK[which](DEMO)
    for slider in [c for c in made._controls if hasattr(c, "low")]:
        for end in (slider.low, slider.high):
            made.set_texts({slider.name: end})
            assert len(made._readout.value) > 130 and not re.search(r"\bnan\b|\binf\b", made._readout.value)
        made.set_values(made._start)
    made.set_system("metric")
    assert "role=\"img\"" in made._image.value


def said(made, **texts):
    made.set_texts(texts)
    return made._readout.value


def acre_feet(values):
    return [Q(values[end], "m3").m_as("acre_foot") for end in ("low", "high")]


def with_volume(low, usual, high):
    kept = {**DEMO.sections["water"], "volume": Range(*(Q(v, "acre-ft") for v in (low, usual, high)))}
    return DEMO.with_section("water", kept, "01")


def test_copper_starts_from_the_range_of_the_record_and_doses_by_its_low_end():
    made = the_year.copper(with_volume(5.6, 8.8, 13.0))
    assert acre_feet(made._start) == pytest.approx([5.6, 13.0])
    # by hand, 1 mg/L at alkalinity 100: 5.6 x 2.7194 = 15.2 lb, a third 5.08, a half 7.61; 13 x 2.7194 = 35.4
    dose = "5.1 lb for a third, 7.6 lb for a half, 15 lb for all parts"
    for words in (dose, "2.3 times as much", "18 lb and 35 lb", "factor of 2.32"):
        assert words in said(made)
    assert dose in said(made, high="6 acre-ft")         # a surer high end moves no dose
    assert "3.6 lb for a third" in said(made, low="4 acre-ft")              # 4 x 2.7194 / 3
    assert re.search("No answer here.*low end", said(made, low="7 acre-ft"))
    other = the_year.copper(with_volume(20.0, 20.5, 31.0))
    assert acre_feet(other._start) == pytest.approx([20.0, 31.0])
    demo = DEMO.get("water", "volume")
    start = the_year.copper(DEMO)._start
    assert [start["low"], start["high"]] == pytest.approx([demo.low.m_as("m^3"), demo.high.m_as("m^3")], rel=5e-4)


def test_a_volume_by_the_hand_rule_is_as_wide_as_that_rule():
    made = the_year.copper(with_volume(9.9, 10.0, 10.1))
    button = next(b for b in made.children[-3].children if getattr(b, "description", "") == "Volume by a hand rule")
    button.click()
    # mean over deepest 0.26 to 0.6 where the rule says 0.4 (open data of US lakes, see handrange)
    assert acre_feet(made.values) == pytest.approx([6.5, 15.0])


def test_full_power_at_once_is_too_fast_and_a_mixed_pond_needs_no_ladder():
    made = the_year.ladder(DEMO)
    assert re.search("too fast.*No ladder keeps 4.0 mg/L", said(made, first_run="1440 min", rise="0 min"))
    assert re.search("not above the 7.0 to keep.*[Ww]ait", said(made, floor="7 mg/L"))
    assert "run day and night from day 1" in said(made, floor="4 mg/L", readings="October: mixed")


def test_full_power_is_never_one_to_follow_in_a_layered_pond():
    made = the_year.ladder(DEMO)
    said(made, first_run="1440 min", rise="0 min", floor="3 mg/L")
    for readings in ("July: warm over cold", SEPTEMBER):
        for lifted in ("100 gpm", "1000 gpm", "10000 gpm"):
            words = said(made, lifted=lifted, readings=readings)
            assert "is kept" not in words or made._answer[0].made.lifted_share <= 0.25, lifted
    # so thin a layer that by the sums the oxygen lasts; it is still most of it in one day
    words = said(made, lifted="2000 gpm", readings=SEPTEMBER, floor="4 mg/L")
    assert "not one to follow" in words and "of the lower water in one day" in words and "Full power" in words


def test_no_computed_result_is_called_safe():
    ladder = the_year.ladder(DEMO)
    for made in (ladder, the_year.custom(DEMO)):
        assert "too low to plan with" not in said(made)
        words = said(made, floor="3 mg/L")
        assert "safe" not in words and "ot counted" in words or "No ladder" in words
        assert "too low to plan with" in said(made, floor="2 mg/L")
    assert "at the bad end of every range we state; gas and ammonia are not counted" in said(
        ladder, readings=SEPTEMBER, first_run="180 min", rise="15 min", floor="4 mg/L")


def test_the_explorers_and_the_form_start_from_the_oxygen_to_keep_of_workbook_02():
    asked = MINE.with_section("oxygen", {"floor": Q("5 mg/L")})
    assert the_year.ladder(asked).values["floor"] == the_year.custom(asked).values["floor"] == 5.0
    assert the_year.OwnStart(asked).floor.value == "5 mg/L" and the_year.OwnStart(MINE).floor.value == "4 mg/L"
    low, words = worked(MINE.with_section("oxygen", {"floor": Q("2.5 mg/L")}))
    assert "stressed below 3 mg/L" in words and low.values is None


def test_picture_and_words_agree_on_the_day_of_day_and_night():
    # the staircase holds the ladder to the last day by which the lower water is surely up, then 24 h; the words say so
    made = the_year.ladder(DEMO)
    made.set_texts({"readings": SEPTEMBER, "first_run": "180 min", "rise": "15 min"})
    found = made._answer[0].found.course
    x, y = draw._ladder_steps(found)
    last = int(found.finish.high)
    assert y[x == last][0] == found.hours[-1] and y[x == last][-1] == 24.0 == y[-1]
    assert f"to {last})" in worked(profile=the_year._as_text(the_year.demo_profile("september")))[1]


def worked(pond=MINE, system="US", **boxes):
    form = the_year.OwnStart(pond, system)
    form.profile.value = form.profile.value or the_year._as_text(the_year.demo_profile("september"))
    for name, value in boxes.items():
        asked = getattr(form, name)
        for box, words in [(asked, value)] if isinstance(value, str) else zip(asked, value, strict=True):
            box.value = words
    form.work()
    return form, form.message.value


@pytest.mark.parametrize("boxes, says", [
    ({"floor": "0 mg/L"}, "stressed below 3 mg/L"), ({"floor": "2.9 mg/L"}, "“Oxygen to keep”"),
    ({"lifted": ("3 cfm", "3000 gpm", "4800 gpm")}, "“Water lifted, low”: .*3 cfm.* is a flow of air"),
    ({"lifted": ("9000 gpm", "3000 gpm", "4800 gpm")}, "must not fall from low to usual to high"),
    ({"latitude": "Ohio"}, "“Latitude, degrees north”: .*Ohio.* is not a latitude"),
    ({"latitude": ""}, "is empty"), ({"latitude": "-38.5"}, "outside 25 to 50 degrees north"),
    ({"latitude": "38.5 S"}, "outside 25 to 50 degrees north"),
    ({"profile": "depth (ft), temperature (F), oxygen (mg/L)\n1, 83, 6.7\n12, 60, 0.1"}, "nothing was read from 1.0"),
    ({"profile": "depth (ft), temperature (F), oxygen (mg/L)\n1, 500, 6.7\n12, 60, 0.1"}, "500 °F is hotter than any"),
    ({"profile": the_year._as_text(the_year.demo_profile()).replace(" ft ", " in ")}, "from 1.2 to 12 ft"),
    ({"profile": "1 ft 71 F 8\n5 ft 71 F 8\n8 ft 71 F 7.9"}, "end at 8.0. ft.* still with 7.9 mg/L.*within 2.* ft"),
    ({"profile": "1 ft 71 F 8\n5 ft 71 F 7\n9 ft 64 F 5\n10 ft 62 F\n12 ft 61 F\n14 ft 61 F"}, "end at 9.0. ft"),
    ({"profile": "1 ft 71 F 8"}, "at least two readings"),
    ({"profile": "1 ft 71 F 8\n9 ft 71 F 8\n20 ft 60 F 0"}, "deeper than this pond"),
])
def test_the_form_refuses_what_would_harm_fish_or_cannot_be_meant(boxes, says):
    form, message = worked(**boxes)
    assert re.search(says, message) and "Not worked out" in message and form.values is None, message


def test_latitude_is_read_as_people_write_it():
    for words in ("38.5", "38.5 N", "38.5° N", "38.5 degrees north"):
        box = the_year.North.of("year", "latitude", "US", words)
        assert box.read().m_as("degree") == 38.5


def test_readings_left_out_below_the_layers_are_named():
    _, message = worked(profile="depth (ft), temperature (F), oxygen (mg/L)\n1, 71, 8\n6, 71, 8\n8, 71, 7.8\n"
                                "9, 70, 5.5\n10, 66, 1.3\n11, 62, 0.2\n12, 62, 0.1")
    assert "Note: Nothing was read from 1.0 to 6.0 ft" in message and "First run" in message


def test_the_whole_ladder_is_shown_and_what_comes_after_it():
    form, message = worked()
    rows = re.findall(r"<tr><td[^>]*>(\d+)</td>", form.picture.value)
    last = int(re.search(r"Day 8 to (\d+)", form.picture.value)[1])
    assert rows == [str(day) for day in range(1, last + 1)] and f"to day {last} if it takes so long" in message
    assert "From day 8" in message and "run day and night" in message


def test_nothing_of_the_demonstration_pond_is_saved(tmp_path):
    for pond, says in ((DEMO, "demonstration pond. Start your own"), (record.PondRecord("My pond"), "Do workbook 01")):
        form, _ = worked(pond)
        form.saver._path = tmp_path / "pond.json"
        form.saver.save()
        assert says in form.saver.message.value and not form.saver._path.exists()


def test_the_form_keeps_a_schedule_that_a_record_can_hold(tmp_path):
    form = worked()[0]
    form.forget()
    form.saver._path = tmp_path / "pond.json"
    form.saver.save()
    assert "nothing to save yet" in form.saver.message.value
    form.winter.value = "no air in winter"
    form.work()
    form.saver.save()
    kept = record.load(tmp_path / "pond.json")
    assert kept.get("year", "winter") == "no air in winter" and kept.get("year", "start_hours")[0].m_as("h") == 3.0
    assert any("Mud" in line for line in kept.get("year", "start_ranges"))
    assert "Stop if fish gulp" in form.message.value and "aria-label" in form.picture.value
    form.profile.value = "depth (ft), temperature (F)\n" + "\n".join(f"{z}, {80 - 2 * z}" for z in range(1, 13))
    form.work()
    assert "oxygen readings" in form.message.value and form.values is None


def test_the_form_starts_from_readings_of_workbook_05():
    mine = MINE.with_section("layers", {
        "reading_depth": [Q(f"{z} ft") for z in (1, 5, 12)], "reading_temperature": [Q("70 F"), Q("68 F"), Q("55 F")],
        "reading_oxygen": [Q("8 mg/L"), Q("7 mg/L"), Q("0.5 mg/L")]})
    form = the_year.OwnStart(mine)
    assert form.profile.value.splitlines()[0] == "1.0 ft  70.0 F  8.0"
    assert the_year.OwnStart(mine, "metric").profile.value.splitlines()[0] == "0.30 m  21.1 C  8.0"
    assert np.allclose(the_year._profiles(mine)["My own readings"].dissolved_oxygen, [8, 7, 0.5])
    assert the_year.ladder(mine).values["readings"] == "My own readings"


def test_a_profile_is_typed_in_plain_lines_or_with_headings():
    rows = list(zip(range(1, 14), [71] * 9 + [66, 62, 62, 61], [8] * 8 + [5.5, 1.3, 0.2, 0.1, 0.1], strict=True))
    lines = "\n".join(f"{z}' {t}°F {c}ppm" for z, t, c in rows)
    metric = "\n".join(f"{z * 0.3048:.3f} {(t - 32) / 1.8:.2f} {c}" for z, t, c in rows)
    headed = "depth (ft), temperature (F), oxygen (mg/L)\n" + re.sub(r"' |°F ", ", ", lines).replace("ppm", "")
    said = [worked(profile=lines)[1], worked(profile=headed)[1], worked(system="metric", profile=metric)[1]]
    ladders = {re.search(r"First run .*?longer|First run .*?each day", words)[0] for words in said}
    assert len(ladders) == 1 and "it was read as meters" in said[-1]


def with_readings(lines, *days):
    """A record in which workbook 05 saved these readings."""
    read = read_lines(lines) if isinstance(lines, str) else lines
    return MINE.with_section("layers", findings.layers(*findings.pond_shape(MINE), read, *days)[1])


SHORT = with_readings("1 ft 72 F 8\n3 ft 72 F 8\n5 ft 71.9 F 7.9")      # they end in good water 5 ft down


def test_no_ladder_is_offered_where_the_readings_of_05_end_in_good_water():
    explorer, (form, words) = the_year.ladder(SHORT), worked(SHORT)
    assert "No answer here: The readings of oxygen end at 5.0" in said(explorer)
    assert "The quickest ladder kept" in said(explorer, readings=SEPTEMBER)
    assert "30 minutes, doubled each day" in said(the_year.custom(SHORT))
    assert "end at 5.0" in words and form.values is None
    # what they say of the demand of stagnant water is nothing
    assert max(findings.pond_demand(SHORT)) == 0 and the_year._demand(SHORT) is None
    assert form.demand[0].value == ""


def test_no_ladder_is_offered_over_a_gap_that_hides_the_layers():
    mine = with_readings("1 ft 72 F 8\n6 ft 72 F 8\n13 ft 60 F 0.2")
    form, message = worked(mine)
    for words in (said(the_year.ladder(mine)), message):
        assert "nothing was read from 1.0 to 6.0 ft and 6.0 to 13 ft" in words and "Where the layers part" in words
    assert form.values is None


@pytest.mark.parametrize("height, feet", [("100 ft", "12 ft"), ("9000 ft", "12 ft"), ("100 ft", "2 ft")])
def test_own_readings_stay_guarded_high_up_and_with_a_diffuser_near_the_surface(height, feet):
    """Hot water that algae filled to twice what it holds at rest, over water without oxygen."""
    pond = MINE.with_section("site", {"elevation": Q(height)}).with_section("air", {"submergence": Q(feet)})
    lines = "\n".join(f"{z} ft {85 if z < 10 else 66} F {15 if z < 10 else 0.2}" for z in range(1, 14))
    form, words = worked(pond, profile=lines, floor="6 mg/L")
    # 7.5 mg/L at 85 F at the sea, 5.3 at 9,000 ft (0.71 of the air, U.S. Standard Atmosphere 1976); cooler below
    assert bool(re.search("At rest with the air.* holds 5.[34] mg/L", words)) == (height == "9000 ft"), words
    assert "start_hours" not in form.values


def test_winter_is_judged_by_the_oxygen_typed_in_the_form():
    for floor in ("5 mg/L", "3.5 mg/L"):
        words = worked(floor=floor, latitude="44")[1]
        assert f"below the {floor.split()[0]} to keep on" in words
    asked = MINE.with_section("oxygen", {"floor": Q("6 mg/L")})
    assert "below the 6 to keep on" in worked(asked, latitude="44")[1]


def test_the_calendar_is_for_the_height_of_the_record_and_else_of_the_explorers():
    nowhere = record.PondRecord("Mine", sections={k: v for k, v in DEMO.sections.items() if k != "site"})
    for pond, height in ((nowhere, 800 * 0.3048), (nowhere.with_section("site", {"elevation": Q("3000 ft")}), 914.4)):
        shown = the_year.calendar(pond)
        climate = weather.typical_climate(38.5, height)
        ice = yearcase.ice_season(*the_year.findings.pond_shape(pond), 38.5, height)
        assert worked(pond)[0].values["calendar"] == yearcase.say_calendar(upkeep.calendar(climate, ice)).splitlines()
        assert shown.values["elevation"] == pytest.approx(height) == held(pond, "site", "elevation")


def test_july_is_refused_but_the_rest_of_the_year_is_kept():
    form, words = worked(profile=the_year._as_text(the_year.demo_profile()))
    assert "Do not start. No ladder keeps 4.0 mg/L" in words and "spring or fall" in words
    assert form.values["start_rule"].startswith("Do not start now") and "start_hours" not in form.values
    assert form.values["calendar"] and form.values["latitude"].m == 38.5


def test_what_workbook_05_saved_about_demand_sets_the_ladder():
    finish = {}
    for days in (15, 60, 150):
        saved = with_readings(the_year.demo_profile("september"), days)
        form, words = worked(saved, floor="4.4 mg/L")
        finish[days] = int(re.search(r"is up by day (\d+)", words)[1]) if "First run" in words else 99
        usual = findings.pond_demand(saved).usual
        assert float(form.demand[0].value.split()[0]) == pytest.approx(usual, abs=0.06)
        words = said(the_year.ladder(saved), floor="4.4 mg/L")
        assert days == 150 or int(re.search(r"by about day (\d+)", words)[1]) == finish[days]
    assert finish[15] <= finish[60] < finish[150]


def test_a_bottle_test_goes_into_the_form():
    def low(*ends):
        return worked(demand=ends)[1]
    found = re.compile(r"burns at once: ([\d.]+) to ([\d.]+) mg/L")
    assert the_year.OwnStart(MINE).demand[0].value == ""         # nothing saved: worked out from what is typed
    # 15 mg/L at most of the stagnant liters, which are most of the lower ones; the low end is the usual over 5.1 to 0.9
    mild, strong = (found.search(low(*ends)) for ends in (("3 mg/L", "5 mg/L"), ("12 mg/L", "20 mg/L")))
    assert float(mild[2]) < float(strong[2]) <= 20 and float(mild[1]) < float(strong[1])
    assert "is less than the usual 5" in low("5 mg/L", "3 mg/L")


def test_the_log_of_the_demonstration_pond_comes_after_its_readings():
    head = datafiles.path("demo-profile-july.csv").read_text(encoding="utf-8").splitlines()[0]
    first = datafiles.path("demo-log.csv").read_text(encoding="utf-8").splitlines()[2].split(",")[0]
    # the air was still off on the day of the readings, so the log of a running system must come later
    assert first > re.search(r"\d{4}-\d\d-\d\d", head)[0] > "2025"


def test_a_typed_log_raises_its_flag():
    form = the_year.OwnLog()
    form.work()
    assert "heading line" in form.message.value
    form.typed.value = "date, gauge pressure (psi)\n" + "\n".join(f"2026-05-{d:02d}, {7 + d / 10:.1f}" for d in
                                                                 (1, 5, 9, 13, 17, 21))
    form.work()
    assert "ACT: The gauge has risen" in form.message.value and "aria-label" in form.picture.value


def test_year_and_winter_follow_when_let_go_and_say_what_they_show():
    year, winter = the_year.year(DEMO), the_year.winter(DEMO)
    for made in (year, winter):
        assert not made._rows["latitude"].live
        assert len(made._readout.value) > 200
    assert "No ice forms" in said(winter, latitude="30")


def weather_text(days, first=80):
    """The usual weather of a place, typed every three hours."""
    usual = weather.make_weather(weather.typical_climate(38.5, 350.0), days, first)
    lines = ["time,air temperature (C),wind (m/s),humidity (%)"]
    for hour, air, damp, wind in list(zip(usual.hour, usual.air_temperature, usual.vapor_pressure, usual.wind_speed,
                                          strict=True))[::3]:
        when = datetime.datetime(2025, 1, 1) + datetime.timedelta(hours=float(hour))
        share = min(100.0, 100 * damp / water.vapor_pressure(air))
        lines.append(f"{when:%Y-%m-%d %H:%M},{air:.1f},{wind:.1f},{share:.0f}")
    return "\n".join(lines)


def test_a_year_in_the_readers_own_weather():
    form = the_year.OwnWeather(DEMO)
    form.work()
    assert "heading line such as" in form.message.value
    form.typed.value = weather_text(150)        # readings from 0:30 on: whole days, midnight to midnight, count
    form.work()
    assert "covers 148 days" in form.message.value and "at least 200" in form.message.value
    form.typed.value = weather_text(362)
    form.work()
    assert "360 days of your weather, Mar 22 to" in form.message.value and "aria-label" in form.picture.value
    # the same weather as in the explorer but for hours between readings and a steady cloud: overturn within ten days
    own = re.search(r"overturns on Sep (\d+) without air", form.message.value)
    usual = re.search(r"overturns on Sep (\d+) without air", the_year.year(DEMO)._readout.value)
    assert abs(int(own[1]) - int(usual[1])) <= 10, (own, usual)
    form.typed.value = weather_text(230, 160)
    form.work()
    assert "first weeks wrong" in form.message.value
