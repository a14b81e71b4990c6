"""Words and the kept section of a first start and a year."""

import numpy as np
import pytest

from pondcalc import datafiles, record
from pondcalc.the_year import logbook, startladder, treatments, upkeep, weather, yearcase, yearreport
from pondcalc.units import Q, QuantityError, Range
from pondcalc.warm_over_cold import layers, profile

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = layers.bowl.si(AREA, DEEP, DEEP / 2.25)
JULY = profile.read_profile(datafiles.path("demo-profile-july.csv"))
CLIMATE = weather.typical_climate.si(38.5, 350.0)


def found(readings=JULY, flow=(0.05, 0.1, 0.15), **options):
    return startladder.safe_ladder.si(Z, A, readings, flow, **options)


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
    assert f"First run {made.first_run:g} h" in words and "below 4.5 mg/L" in words and "acre-ft" in words
    lines = table.splitlines()
    assert len(lines) == 7 and f" {made.course.go_reading[1]:.1f} " in lines[3]
    assert max(map(len, lines)) <= 50 and max(map(len, yearreport.say_rules().splitlines())) <= yearreport.WIDTH
    after = yearreport.say_after(made.course, 4.0, days=2)
    assert "From day 3" in after and f"to day {len(made.course.hours)}" in after and "within 2 F°" in after
    assert "From day" not in yearreport.say_after(made.course, 4.0, days=99)
    refused = found(floor=6.9)
    assert "Do not start" in yearreport.say_ladder(refused)


def test_the_section_goes_through_a_record_and_back():
    made, tasks = found(), upkeep.calendar(CLIMATE)
    values = yearreport.year_section(made, (0.1, 0.2, 0.3), 4.0, tasks, yearcase.air_season(CLIMATE),
                                     "no air in winter", 38.5)
    kept = record.from_text(record.to_text(record.PondRecord("A pond", sections={"year": values})))
    assert [q.m_as("h") for q in kept.get("year", "start_hours")] == [*made.course.hours, 24.0]
    assert [q.m_as("mg/L") for q in kept.get("year", "go_reading")] == pytest.approx(made.course.go_reading, rel=1e-5)
    assert kept.get("year", "stop_reading") == Q("4.5 mg/L") and len(kept.get("year", "calendar")) == len(tasks)
    assert kept.get("year", "lifted").usual.m_as("m^3/s") == pytest.approx(0.2, rel=1e-5)
    october = found(profile.read_profile(datafiles.path("demo-profile-october.csv")))
    mixed = yearreport.year_section(october, (0.1, 0.2, 0.3), 4.0, tasks, (81, 314), "no ice here", 38.5)
    assert [q.m_as("h") for q in mixed["start_hours"]] == [24.0] and not {"days_to_mix", "go_reading"} & set(mixed)
    with pytest.raises(QuantityError, match="no safe start"):
        yearreport.year_section(found(floor=6.9), (0.1, 0.2, 0.3), 6.9, tasks, (81, 314), "", 38.5)


def test_what_an_earlier_workbook_kept_is_where_this_one_starts():
    demo = record.demo()
    assert yearreport.lifted_water(demo) == yearreport.LIFTED
    assert yearreport.submergence(demo, 4.0) == pytest.approx(4.0 - 2 * 0.3048)
    lower = demo.with_section("air", {"submergence": Q("9 ft")})
    assert yearreport.submergence(lower, 4.0) == pytest.approx(9 * 0.3048)
    assert yearreport.through(Range(0.1, 0.2, 0.4), 4.0, 0.0) == pytest.approx((0.1, 0.2, 0.4))


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
