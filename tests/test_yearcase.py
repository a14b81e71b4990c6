"""The year and the winter of one pond: against measured winter losses, plain balances and the runs behind them.

Words and the kept section of a first start and a year.
"""

import numpy as np
import pytest
from icerecords import RECORDS
from layeredponds import bowl

from pondcalc import datafiles, record
from pondcalc.the_year import firststart, seasons, upkeep, weather, yearcase
from pondcalc.units import Q, QuantityError, Range
from pondcalc.warm_over_cold import profile

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = bowl(AREA, DEEP, DEEP / 2.25)
FLOW = 3000 * 6.309e-5


def test_mud_is_the_measured_winter_uptake_carried_to_20_degrees():
    # Mathias and Barica 1980 (abstract): 0.08 and 0.23 g/m2/d, here at 4 C; 1.065 a degree
    lean, between, rich = yearcase.MUD.values()
    assert lean == pytest.approx(0.08 * 1.065 ** 16, abs=0.006)
    assert rich == pytest.approx(0.23 * 1.065 ** 16, abs=0.006)
    assert between == pytest.approx((lean + rich) / 2, abs=0.006)


@pytest.mark.parametrize("mud, uptake", [("lean (sand, clear water)", 0.08), ("rich (muck, green water)", 0.23)])
def test_oxygen_under_snow_falls_as_measured(mud, uptake):
    # Mathias and Barica 1980: uptake times bed over volume + 0.01 g/m3/d, above a mean of 3.8 mg/L
    case = yearcase.modelled_winter(Z, A, 46.0, 350.0, 0.0, yearcase.MUD[mud], FLOW)
    held, dark = case.oxygen[0], np.flatnonzero(case.ice[0] > 0.1)[0]
    falls = (held[dark] - held[dark + 20]) / 20
    assert held[dark + 20] > 3.8
    # bed near 3 C here, not 4 C, and some plankton at work: within a third
    assert falls == pytest.approx(uptake * AREA / (AREA * DEEP / 2.25) + 0.01, rel=0.33)


def test_bubbles_add_what_they_are_said_to_add():
    # 0.1 kg/h into 19,000 m3 is at most 0.124 mg/L a day, and in proportion to what the water lacks
    lacks, gives = (yearcase.modelled_winter(Z, A, 46.0, 350.0, 0.1, 0.42, FLOW, rate / 3600, 0.0).oxygen[1]
                    for rate in (0.0, 0.1))
    start = np.flatnonzero(lacks < 6)[0]
    days = slice(start, start + 20)
    gained = ((gives - lacks)[start + 20] - (gives - lacks)[start]) / 20
    most = 0.1 * 1000 * 24 / (AREA * DEEP / 2.25)
    assert gained == pytest.approx(most * (1 - gives[days].mean() / 13.0), rel=0.35)   # 13 mg/L: cold and full


def test_no_ice_in_the_south_and_more_in_the_north():
    ice = [yearcase.modelled_winter(Z, A, lat, 0.0, 0.35, 0.42, FLOW).ice[0].max() for lat in (30, 40, 46)]
    assert ice[0] == 0 < ice[1] < ice[2]
    with pytest.raises(QuantityError, match="share from 0 to 1"):
        yearcase.modelled_winter(Z, A, 40.0, 0.0, 35.0, 0.42, FLOW)


def test_winter_and_calendar_name_the_same_ice():
    for latitude in (34.0, 38.5, 46.0):
        case = yearcase.modelled_winter(Z, A, latitude, 350.0, 0.1, yearcase.MUD["in between"], FLOW)
        winter, ice = yearcase.iced_days(case.day, case.ice[0]), yearcase.ice_season(Z, A, latitude, 350.0)
        assert (winter is None) == (ice is None)
        if ice:
            gaps = [(a - b + 182) % 365 - 182 for a, b in zip(winter, ice, strict=True)]
            assert gaps[0] == 0 and abs(gaps[1]) <= 3


def test_what_guards_the_ice_stands_while_there_is_ice_in_the_records():
    """From three weeks before our first ice to three weeks after our last: all but one recorded winter in twenty."""
    outside = winters = 0
    for water in RECORDS.values():
        first, last = yearcase.ice_season(*bowl(water.area, water.deepest, water.mean), water.latitude, water.elevation)
        first, last = (first - 182) % 365, (last - 182) % 365                # from 1 July, as the records
        for on, off, _ in water.winters:
            winters += 1
            outside += (on is not None and on < first - upkeep.EARLY) or (off is not None and off > last + upkeep.EARLY)
        assert last - first < 180
    assert winters > 140 and outside <= winters / 20


def test_ice_is_told_with_how_far_single_winters_stand_from_it():
    assert yearcase.say_ice_range((340, 433)) == (
        "by records of six waters, first ice comes between Nov 29 and Jan 10 in nine winters of ten, last ice between "
        "Feb 14 and Apr 4")


def test_a_year_is_the_daily_mean_of_the_runs_behind_it():
    made = yearcase.modelled_year(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    pond = seasons.PondModel(Z, A, 1.0, 0.6, yearcase.MUD["in between"], layers=yearcase.LAYERS)
    climate = weather.typical_climate(38.5, 350.0)
    start = yearcase.resting_temperature(weather.make_weather(climate, 7, 73, yearcase.STEP), 0.6)
    hours = weather.make_weather(climate, 365, yearcase.FIRST_DAY, yearcase.STEP)
    run = seasons.run_year([(pond, None)], hours, start)[0]
    day = slice(150 * 16, 151 * 16)                 # sixteen steps of 1.5 hours
    assert made.temperature[0, 150] == pytest.approx(run.temperature[day].mean(axis=0))
    assert made.oxygen[0, 150, 0] == pytest.approx(run.dissolved_oxygen[day, 0].mean())
    # what everyone sees: air warms the bottom, keeps it in oxygen longer, and takes the fall overturn away
    july = 205 - yearcase.FIRST_DAY
    assert made.temperature[1, july, -1] > made.temperature[0, july, -1] + 5
    assert made.starved_days[1] < made.starved_days[0] - 30
    assert made.overturns[0] and not made.overturns[1]
    assert made.usable[1].share.mean() > made.usable[0].share.mean()


def test_shorter_steps_tell_the_same_story(monkeypatch):
    """The error of the step is of first order, and that of the usual step is small against what is drawn and said."""
    def year(step):
        monkeypatch.setattr(yearcase, "STEP", step)
        return yearcase.modelled_year(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    usual, exact = yearcase.STEP, year(0.375)
    off = {}
    for step in (0.75, usual, 3.0):
        made = year(step)
        off[step] = [np.abs(made.temperature - exact.temperature).mean(), np.abs(made.oxygen - exact.oxygen).mean()]
        assert abs(made.overturns[0][0].day - exact.overturns[0][0].day) <= 1
    assert off[usual][0] < 0.1 and off[usual][1] < 0.25         # degC and mg/L, over all days and depths
    assert off[0.75][0] < 0.7 * off[usual][0] and off[usual][0] < 0.7 * off[3.0][0]
    assert off[0.75][1] < 0.7 * off[usual][1] and off[usual][1] < 0.7 * off[3.0][1]
    days = np.subtract(year(usual).starved_days, exact.starved_days)
    assert (np.abs(days) <= 10).all(), days


def test_shorter_steps_tell_the_same_winter(monkeypatch):
    """As above, for the longer step of the winter; ice differs by a day of thaw at most."""
    def winter(step, latitude):
        monkeypatch.setattr(yearcase, "WINTER_STEP", step)
        return yearcase.modelled_winter(Z, A, latitude, 350.0, 0.1, 0.42, FLOW, 0.1 / 3600)
    usual = yearcase.WINTER_STEP
    for latitude in (38.5, 46.0):
        made, exact = winter(usual, latitude), winter(0.375, latitude)
        assert np.abs(made.temperature - exact.temperature).mean() < 0.1
        assert np.abs(made.oxygen - exact.oxygen).mean() < 0.2
        assert np.abs(made.ice - exact.ice).mean() < 0.002 and np.abs(made.ice - exact.ice).max() < 0.035
        for which in (0, 1):
            dates = [yearcase.iced_days(case.day, case.ice[which]) for case in (made, exact)]
            assert np.abs(np.subtract(*dates)).max() <= 3, dates


def test_air_starts_three_weeks_before_the_air_reaches_50_F():
    # Missouri: mean 14.1 C, swing 13.1 C about 20 July at 38.5 N: 10 C on day 201 - acos(-4.1/13.1) 365/2 pi = 91
    first, last = yearcase.air_season(weather.typical_climate(38.5, 0.0))
    assert abs(first - (91 - 21)) <= 1 and abs(last - (311 + 14)) <= 1
    assert yearcase.air_season(weather.typical_climate(26.0, 0.0)) == (1, 365)
    # a winter of some weeks is shorter than three weeks before and two after: no gap is left
    south = weather.typical_climate(30.0, 350.0)
    assert yearcase.air_season(south) == (1, 365)


def test_water_under_the_diffuser_is_not_stirred_and_water_above_it_is():
    made = yearcase.modelled_year(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW, DEEP - 0.5, 0.3 * 0.4536 / 3600)
    # a bowl of exponent 1.25: volume under a depth goes as (1 - z/D)^2.25
    assert made.under_share == pytest.approx((0.5 / DEEP) ** 2.25, rel=0.1)
    assert made.above_days[1] < 0.1 * made.above_days[0] and made.starved_days[1] > made.above_days[1] + 30
    deep = yearcase.modelled_year(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW, DEEP, 0.3 * 0.4536 / 3600)
    assert deep.starved_days[1] < 10 and deep.under_share == pytest.approx(0.0, abs=1e-9)


def test_a_mixed_pond_rests_where_it_gains_and_loses_the_same():
    """A mixed pond of 2 m, run through the same week over and over, ends at the resting temperature of that week."""
    week = weather.make_weather(weather.typical_climate(38.5, 350.0), 7, 73, yearcase.STEP)
    again = 10
    hours = week._replace(hour=np.arange(len(week.hour) * again) * yearcase.STEP + yearcase.STEP / 2, **{
        name: np.tile(getattr(week, name), again) for name in
        ("air_temperature", "vapor_pressure", "wind_speed", "sunlight", "sky_glow")})
    pond = seasons.PondModel([0, 2.0], [1000.0, 1000.0], shelter=0.6, least_mixing=0.5, layers=4, mud_conductance=0.0)
    run, = seasons.run_year([(pond, None)], hours, 4.0)
    assert run.by_day(run.temperature)[-7:].mean() == pytest.approx(yearcase.resting_temperature(week, 0.6), abs=0.2)
    north = weather.make_weather(weather.typical_climate(48.0, 350.0), 7, 73, yearcase.STEP)
    assert yearcase.resting_temperature(north, 0.6) == 4.0


def test_the_range_of_the_bottom_holds_the_usual_pond_and_a_reading_narrows_it():
    z, a = bowl(AREA, 7.0, 7.0 / 2.25)
    wide = yearcase.bottom_range(z, a, 38.5, 350.0, 1.0)
    usual = yearcase.modelled_year(z, a, 38.5, 350.0, 1.0, 0.6, FLOW).temperature[0, 226 - yearcase.FIRST_DAY, -1]
    assert wide.low - 0.3 < usual < wide.high and not wide.narrowed
    assert wide.high - wide.low > 10                    # nobody knows it without a thermometer
    read = yearcase.bottom_range(z, a, 38.5, 350.0, 1.0, (6.65, 14.0, 226))
    assert read.narrowed and read.low - 0.5 <= 14.0 <= read.high + 0.5 and read.high - read.low < 5
    undated = yearcase.bottom_range(z, a, 38.5, 350.0, 1.0, (6.65, 14.0, None))
    assert undated.low <= read.low and undated.high >= read.high
    assert undated.high - undated.low < wide.high - wide.low


@pytest.mark.parametrize("acres", (0.05, 0.5))
def test_the_range_of_a_tiny_ponds_bottom_and_a_reading_that_no_wind_explains(acres):
    z, a = bowl(acres * 4046.86, 2.0, 1.0)
    wide = yearcase.bottom_range(z, a, 38.5, 350.0, 1.0)
    assert 4 < wide.low <= wide.high < 35
    cold = yearcase.bottom_range(z, a, 38.5, 350.0, 1.0, (1.9, wide.low - 8, 226))      # a spring, say
    assert cold.low <= wide.low - 8 and wide.low - 1 < cold.high <= wide.high


def test_only_a_summer_reading_of_the_readers_own_narrows():
    def kept(day):
        return record.demo().with_section("layers", {
            "read_on": day, "reading_depth": [Q("2 ft"), Q("13 ft")], "reading_temperature": [Q("82 °F"), Q("59 °F")]})
    assert yearcase.summer_reading(kept("2025-07-24")) is None          # the pond of the story is invented
    def mine(day):
        return record.PondRecord("Mine", sections=kept(day).sections)
    assert yearcase.summer_reading(mine("2025-07-24")) == pytest.approx((13 * 0.3048, 15.0, 205))
    assert yearcase.summer_reading(mine("24 July"))[2] is None and yearcase.summer_reading(mine(""))[2] is None
    assert yearcase.summer_reading(mine("2025-10-24")) is None
    assert yearcase.summer_reading(record.PondRecord("Mine")) is None


def test_weather_that_is_given_makes_the_same_year_as_the_climate_it_came_from():
    climate = weather.typical_climate(38.5, 350.0)
    usual = yearcase.modelled_year(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    before, hours = (weather.make_weather(climate, days, day, yearcase.STEP) for days, day in ((7, 73), (400, 80)))
    start = yearcase.resting_temperature(before, 0.6)
    given = yearcase.year_under(Z, A, hours, yearcase.air_season(climate), 1.0, 0.6, FLOW, temperature=start)
    assert np.allclose(usual.oxygen, given.oxygen) and usual.day.tolist() == given.day.tolist()
    part = yearcase.year_under(Z, A, weather.make_weather(climate, 220, 80), (81, 314), 1.0, 0.6, FLOW)
    assert len(part.day) == 220 and part.starved_days[0] > 100
    with pytest.raises(QuantityError, match="covers 150 days.*at least 200"):
        yearcase.year_under(Z, A, weather.make_weather(climate, 150, 80), (81, 314), 1.0, 0.6, FLOW)


JULY, SEPTEMBER = (profile.read_profile(datafiles.path(f"demo-profile-{month}.csv")) for month in ("july", "september"))
CLIMATE = weather.typical_climate(38.5, 350.0)


def found(readings=SEPTEMBER, flow=(0.09, 0.19, 0.3), **options):
    return firststart.quickest_ladder(Z, A, readings, flow, DEEP - 0.6, **options)


@pytest.mark.parametrize("day, words", [(1, "Jan 1"), (60, "Mar 1"), (104, "Apr 14"), (365, "Dec 31"), (366, "Jan 1")])
def test_dates_of_a_common_year(day, words):
    assert yearcase.date(day) == words


def test_ice_at_the_ends_of_the_modelled_winter_may_last_longer():
    # 1 November and 30 April are days 305 and 120, or 485 where the days go on past New Year
    assert yearcase.say_ice((334, 67)) == yearcase.say_ice((334, 432)) == "from Nov 30 to Mar 8"
    assert yearcase.say_ice((305, 120)) == yearcase.say_ice((305, 485)) == "from Nov 1 or before to Apr 30 or later"


def test_a_reading_just_under_the_floor_is_not_rounded_up_to_it():
    assert yearcase.rounded_down(3.96) == "3.9" and yearcase.rounded_down(4.0) == "4.0"


def test_a_ladder_in_words_and_as_a_table():
    made = found()
    words, table = yearcase.say_ladder(made), yearcase.ladder_table(made.course, 5)
    assert f"First run {yearcase.run_text(made.first_run)}" in words and "below 4.5 mg/L" in words
    low = yearcase.rounded_down(made.course.lowest_oxygen.low)
    assert (f"oxygen stays at or above {low} mg/L at the bad end of every range we state; gas and ammonia are not "
            "counted") in words and "safe" not in words and "acre-ft" in words
    lines = table.splitlines()
    assert len(lines) == 7 and f" {made.course.go_reading[1]:.1f} " in lines[3]
    assert max(map(len, lines)) <= 60 and max(map(len, yearcase.say_rules().splitlines())) <= yearcase.WIDTH
    after = yearcase.say_after(made.course, 4.0, days=2)
    assert "From day 3" in after and f"to day {len(made.course.hours)}" in after and "within 2 F°" in after
    assert "From day" not in yearcase.say_after(made.course, 4.0, days=99)
    for refused in (found(floor=6.9), found(JULY)):
        assert "Do not start" in yearcase.say_ladder(refused) and "fall" in yearcase.say_ladder(refused)


def test_runs_are_written_as_a_timer_is_set():
    assert [yearcase.run_text(h) for h in (0.0, 0.25, 0.75, 1.0, 1.25, 6.5, 24.0)] == [
        "0 min", "15 min", "45 min", "1 h", "1 h 15 min", "6 h 30 min", "24 h"]


def test_no_share_of_water_below_nothing_is_printed():
    made = firststart.course(Z, A, SEPTEMBER, (0.09, 0.19, 0.3), DEEP - 0.6, [24.0])
    assert not any("-" in cell for row in yearcase.ladder_rows(made) for cell in row)


def test_the_stated_ranges_are_those_of_the_sums():
    owed = firststart.debts(Z, A, JULY, 4.5 * 0.3048)
    words = " ".join(yearcase.say_ranges(owed, yearcase.LIFTED))
    for ends in ("1,500 to 4,800 gpm", "0.05 to 0.3 ", "0.22 to 2 g", "0.35 to 0.74 m", "3.6 F", "0.5 mg/L too high"):
        assert ends in words
    assert f"{owed.fast.low:.2f} to {owed.fast.high:.1f} mg/L" in words


def test_the_oxygen_to_keep_and_the_mud_come_from_workbook_02():
    demo = record.demo()
    assert yearcase.floor_of(demo) == 4.0 and yearcase.mud(demo) == Range(0.22, 0.83, 2.0)
    asked = demo.with_section("oxygen", {"floor": Q("5 mg/L"), "mud": "sand or clay"})
    assert yearcase.floor_of(asked) == 5.0 and yearcase.mud(asked).high == 1.0
    # the more careful of the two wins
    assert yearcase.floor_of(asked.with_section("year", {"floor": Q("4 mg/L")})) == 5.0


def test_the_section_goes_through_a_record_and_back():
    made, tasks = found(), upkeep.calendar(CLIMATE)
    values = yearcase.year_section(made, (0.1, 0.2, 0.3), 4.0, tasks, yearcase.air_season(CLIMATE),
                                   "no air in winter", 38.5, ["Mud: some."])
    kept = record.from_text(record.to_text(record.PondRecord("A pond", sections={"year": values})))
    assert [q.m_as("h") for q in kept.get("year", "start_hours")] == [*made.course.hours, 24.0]
    assert [q.m_as("mg/L") for q in kept.get("year", "go_reading")] == pytest.approx(made.course.go_reading, rel=1e-5)
    assert list(kept.get("year", "start_ranges")) == ["Mud: some."]
    assert kept.get("year", "stop_reading") == Q("4.5 mg/L") and len(kept.get("year", "calendar")) == len(tasks)
    assert kept.get("year", "lifted").usual.m_as("m^3/s") == pytest.approx(0.2, rel=1e-5)
    october = found(profile.read_profile(datafiles.path("demo-profile-october.csv")))
    mixed = yearcase.year_section(october, (0.1, 0.2, 0.3), 4.0, tasks, (81, 314), "no ice here", 38.5)
    assert [q.m_as("h") for q in mixed["start_hours"]] == [24.0] and not {"days_to_mix", "go_reading"} & set(mixed)
    refused = yearcase.year_section(found(JULY), (0.1, 0.2, 0.3), 4.0, tasks, (81, 314), "no ice here", 38.5)
    assert refused["start_rule"].startswith("Do not start now.") and "start_hours" not in refused


def test_what_an_earlier_workbook_kept_is_where_this_one_starts():
    demo = record.demo()
    assert yearcase.lifted_water(demo) == yearcase.LIFTED
    assert yearcase.submergence(demo, 4.0) == pytest.approx(4.0 - 2 * 0.3048)
    lower = demo.with_section("air", {"submergence": Q("9 ft")})
    assert yearcase.submergence(lower, 4.0) == pytest.approx(9 * 0.3048)


def test_copper_flags_and_calendar_in_words():
    volume = Range(*(v * 1233.48 for v in (9, 10, 11)))
    plan = upkeep.copper_plan(volume, 100.0, 6.0, 24.0, False, True)
    words = yearcase.say_copper(plan)
    # 9 and 11 acre-ft at 1 mg/L, 2.72 lb each: 24 and 30 lb; a third and a half of them 8.2, 12, 10 and 15
    flat = " ".join(words.split())
    assert "crystals at most (pentahydrate" in flat
    assert "Dose by the low end of the volume: 8.2 lb for a third, 12 lb for a half, 24 lb for all parts" in flat
    # 11 / 9 = 1.22
    assert "By the high end it would be 10 lb, 15 lb and 30 lb, 1.2 times as much." in flat and "kill the fish" in flat
    sure = yearcase.say_copper(upkeep.copper_plan((12000.0,) * 3, 100.0, 6.0, 24.0, False, True))
    assert "Dose by the low end" in sure and "high end" not in sure
    assert "7 to 14 days" in flat and "label" in flat and "Never treat the whole pond at once" in flat
    assert yearcase.say_copper(upkeep.copper_plan(volume, 40.0, 6.0, 24.0, False, True)).startswith("Do not")
    assert "No flag" in yearcase.say_flags([])
    log = upkeep.read_log(datafiles.path("demo-log.csv"))
    said = yearcase.say_flags(upkeep.check_log(log, 24.0))
    assert "WATCH: The gauge has risen" in said
    lines = yearcase.say_calendar(upkeep.calendar(CLIMATE)).splitlines()
    assert sum(line.startswith("all year") for line in lines) == 2 and any("overturn" in line for line in lines)
    assert "[" in yearcase.say_facts(upkeep.BACTERIA_FACTS) and np.all([len(line) > 20 for line in lines])
