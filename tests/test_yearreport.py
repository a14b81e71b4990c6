"""Words and the kept section of a first start and a year."""

import numpy as np
import pytest
from layeredponds import bowl

from pondcalc import datafiles, record
from pondcalc.the_year import (
    firststart,
    logbook,
    startladder,
    treatments,
    upkeep,
    weather,
    yearcase,
    yearreport,
    yearstart,
)
from pondcalc.units import Q, Range
from pondcalc.warm_over_cold import profile

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = bowl(AREA, DEEP, DEEP / 2.25)
JULY, SEPTEMBER = (profile.read_profile(datafiles.path(f"demo-profile-{month}.csv")) for month in ("july", "september"))
CLIMATE = weather.typical_climate.si(38.5, 350.0)


def found(readings=SEPTEMBER, flow=(0.09, 0.19, 0.3), **options):
    return startladder.quickest_ladder.si(Z, A, readings, flow, DEEP - 0.6, **options)


@pytest.mark.parametrize("day, words", [(1, "Jan 1"), (60, "Mar 1"), (104, "Apr 14"), (365, "Dec 31"), (366, "Jan 1")])
def test_dates_of_a_common_year(day, words):
    assert yearreport.date(day) == words


def test_ice_at_the_ends_of_the_modelled_winter_may_last_longer():
    # 1 November and 30 April are days 305 and 120, or 485 where the days go on past New Year
    assert yearreport.say_ice((334, 67)) == yearreport.say_ice((334, 432)) == "from Nov 30 to Mar 8"
    assert yearreport.say_ice((305, 120)) == yearreport.say_ice((305, 485)) == "from Nov 1 or before to Apr 30 or later"


def test_a_reading_just_under_the_floor_is_not_rounded_up_to_it():
    assert yearreport.rounded_down(3.96) == "3.9" and yearreport.rounded_down(4.0) == "4.0"


def test_a_ladder_in_words_and_as_a_table():
    made = found()
    words, table = yearreport.say_ladder(made), yearreport.ladder_table(made.course, 5)
    assert f"First run {yearreport.run_text(made.first_run)}" in words and "below 4.5 mg/L" in words
    low = yearreport.rounded_down(made.course.lowest_oxygen.low)
    assert (f"oxygen stays at or above {low} mg/L at the bad end of every range we state; gas and ammonia are not "
            "counted") in words and "safe" not in words and "acre-ft" in words
    lines = table.splitlines()
    assert len(lines) == 7 and f" {made.course.go_reading[1]:.1f} " in lines[3]
    assert max(map(len, lines)) <= 60 and max(map(len, yearreport.say_rules().splitlines())) <= yearreport.WIDTH
    after = yearreport.say_after(made.course, 4.0, days=2)
    assert "From day 3" in after and f"to day {len(made.course.hours)}" in after and "within 2 F°" in after
    assert "From day" not in yearreport.say_after(made.course, 4.0, days=99)
    for refused in (found(floor=6.9), found(JULY)):
        assert "Do not start" in yearreport.say_ladder(refused) and "fall" in yearreport.say_ladder(refused)


def test_runs_are_written_as_a_timer_is_set():
    assert [yearreport.run_text(h) for h in (0.0, 0.25, 0.75, 1.0, 1.25, 6.5, 24.0)] == [
        "0 min", "15 min", "45 min", "1 h", "1 h 15 min", "6 h 30 min", "24 h"]


def test_no_share_of_water_below_nothing_is_printed():
    made = startladder.course.si(Z, A, SEPTEMBER, (0.09, 0.19, 0.3), DEEP - 0.6, [24.0])
    assert not any("-" in cell for row in yearreport.ladder_rows(made) for cell in row)


def test_the_stated_ranges_are_those_of_the_sums():
    owed = firststart.debts.si(Z, A, JULY, 4.5 * 0.3048)
    words = " ".join(yearreport.say_ranges(owed, yearreport.LIFTED))
    for ends in ("1,500 to 4,800 gpm", "0.05 to 0.3 ", "0.22 to 2 g", "0.35 to 0.74 m", "3.6 F", "0.5 mg/L too high"):
        assert ends in words
    assert f"{owed.fast.low:.2f} to {owed.fast.high:.1f} mg/L" in words


def test_the_oxygen_to_keep_and_the_mud_come_from_workbook_02():
    demo = record.demo()
    assert yearstart.floor_of(demo) == 4.0 and yearreport.mud(demo) == Range(0.22, 0.83, 2.0)
    asked = demo.with_section("oxygen", {"floor": Q("5 mg/L"), "mud": "sand or clay"})
    assert yearstart.floor_of(asked) == 5.0 and yearreport.mud(asked).high == 1.0
    # the more careful of the two wins
    assert yearstart.floor_of(asked.with_section("year", {"floor": Q("4 mg/L")})) == 5.0


def test_the_section_goes_through_a_record_and_back():
    made, tasks = found(), upkeep.calendar(CLIMATE)
    values = yearreport.year_section(made, (0.1, 0.2, 0.3), 4.0, tasks, yearcase.air_season(CLIMATE),
                                     "no air in winter", 38.5, ["Mud: some."])
    kept = record.from_text(record.to_text(record.PondRecord("A pond", sections={"year": values})))
    assert [q.m_as("h") for q in kept.get("year", "start_hours")] == [*made.course.hours, 24.0]
    assert [q.m_as("mg/L") for q in kept.get("year", "go_reading")] == pytest.approx(made.course.go_reading, rel=1e-5)
    assert list(kept.get("year", "start_ranges")) == ["Mud: some."]
    assert kept.get("year", "stop_reading") == Q("4.5 mg/L") and len(kept.get("year", "calendar")) == len(tasks)
    assert kept.get("year", "lifted").usual.m_as("m^3/s") == pytest.approx(0.2, rel=1e-5)
    october = found(profile.read_profile(datafiles.path("demo-profile-october.csv")))
    mixed = yearreport.year_section(october, (0.1, 0.2, 0.3), 4.0, tasks, (81, 314), "no ice here", 38.5)
    assert [q.m_as("h") for q in mixed["start_hours"]] == [24.0] and not {"days_to_mix", "go_reading"} & set(mixed)
    refused = yearreport.year_section(found(JULY), (0.1, 0.2, 0.3), 4.0, tasks, (81, 314), "no ice here", 38.5)
    assert refused["start_rule"].startswith("Do not start now.") and "start_hours" not in refused


def test_what_an_earlier_workbook_kept_is_where_this_one_starts():
    demo = record.demo()
    assert yearreport.lifted_water(demo) == yearreport.LIFTED
    assert yearreport.submergence(demo, 4.0) == pytest.approx(4.0 - 2 * 0.3048)
    lower = demo.with_section("air", {"submergence": Q("9 ft")})
    assert yearreport.submergence(lower, 4.0) == pytest.approx(9 * 0.3048)


def test_copper_flags_and_calendar_in_words():
    volume = Range(*(v * 1233.48 for v in (9, 10, 11)))
    plan = treatments.copper_plan.si(volume, 100.0, 6.0, 24.0, False, True)
    words = yearreport.say_copper(plan)
    # 9 and 11 acre-ft at 1 mg/L, 2.72 lb each: 24 and 30 lb; a third and a half of them 8.2, 12, 10 and 15
    flat = " ".join(words.split())
    assert "crystals at most (pentahydrate" in flat
    assert "Dose by the low end of the volume: 8.2 lb for a third, 12 lb for a half, 24 lb for all parts" in flat
    # 11 / 9 = 1.22
    assert "By the high end it would be 10 lb, 15 lb and 30 lb, 1.2 times as much." in flat and "kill the fish" in flat
    sure = yearreport.say_copper(treatments.copper_plan.si((12000.0,) * 3, 100.0, 6.0, 24.0, False, True))
    assert "Dose by the low end" in sure and "high end" not in sure
    assert "7 to 14 days" in flat and "label" in flat and "Never treat the whole pond at once" in flat
    assert yearreport.say_copper(treatments.copper_plan.si(volume, 40.0, 6.0, 24.0, False, True)).startswith("Do not")
    assert "No flag" in yearreport.say_flags([])
    log = logbook.read_log(datafiles.path("demo-log.csv"))
    said = yearreport.say_flags(logbook.check_log.si(log, 24.0))
    assert "WATCH: The gauge has risen" in said
    lines = yearreport.say_calendar(upkeep.calendar(CLIMATE)).splitlines()
    assert sum(line.startswith("all year") for line in lines) == 2 and any("overturn" in line for line in lines)
    assert "[" in yearreport.say_facts(treatments.BACTERIA_FACTS) and np.all([len(line) > 20 for line in lines])
