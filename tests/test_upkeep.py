"""The calendar, and what goes with ice."""

import math

from pondcalc.the_year import upkeep, weather


def test_season_dates_are_where_the_cosine_crosses():
    # mean 12, swing 12 C: 10 C is crossed where cos = -1/6, 99.43 days from the warmest day 201
    c = weather.Climate.si(40.0, 0.0, 12.0, 12.5)
    away = 365 / (2 * math.pi) * math.acos((10 - 12) / 12.5)
    dates = upkeep.season_dates(c)
    assert dates["spring"] == round(201 - away) and dates["fall"] == round(201 + away)
    warm = upkeep.season_dates(weather.Climate.si(28.0, 0.0, 22.0, 7.0))
    assert warm["spring"] is None and warm["hot"] is not None


def test_calendar_has_ice_duties_only_where_there_is_ice():
    north = upkeep.calendar(weather.typical_climate.si(45.0, 300.0), (305, 100))
    south = upkeep.calendar(weather.Climate.si(28.0, 0.0, 22.0, 7.0))
    assert any("rope" in t.name for t in north) and not any("ice" in t.name for t in south)
    assert [t.first_day for t in north] == sorted(t.first_day for t in north)
    assert all(1 <= d <= 365 for t in north for d in (t.first_day, t.last_day))
    signs, decide, drain = (next(t for t in north if word in t.name) for word in ("rope", "decide", "drain"))
    # signs three weeks before the first ice on 1 November and until three weeks after the last on 10 April
    assert (signs.first_day, signs.last_day) == (305 - 21, 100 + 21) and decide.last_day == drain.last_day == 284
    start = next(t for t in north if t.name.startswith("start the diffuser"))
    assert 80 < start.first_day < 130 and "Ohio State" in start.source


def test_facts_carry_sources_and_intervals_are_ranges():
    assert all(f.words and f.source for f in upkeep.THIN_ICE)
    four = upkeep.THIN_ICE[0].words                         # Minnesota DNR: 4 in on foot, 5 to 6 snowmobile
    assert "Four inches" in four and "five to six" in four
    assert any("2.5 to 4.5 ft" in f.words for f in upkeep.THIN_ICE)        # Wis. Stat. 167.26
    assert all(u.months.low <= u.months.usual <= u.months.high for u in upkeep.UPKEEP)
