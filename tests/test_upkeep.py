"""Logs, trends, flags and the calendar."""

import math
from pathlib import Path

import numpy as np
import pytest

from pondcalc.the_year import upkeep, weather
from pondcalc.units import Q, QuantityError

DATA = Path(__file__).resolve().parent.parent / "data"


def log_text(weeks=10, gauge=lambda w: 7.0, cabinet=lambda w: 90, air=lambda w: 75, hours=lambda w: 168 * w,
             oxygen=lambda w: 8.0, top=lambda w: 75, bottom=lambda w: 74):
    lines = ["date,gauge pressure (psi),cabinet temperature (F),air temp (F),hours run (h),top oxygen (mg/L),"
             "top temperature (F),bottom temperature (F)"]
    for w in range(weeks):
        day = np.datetime64("2025-05-01") + 7 * w
        lines.append(f"{day},{gauge(w)},{cabinet(w)},{air(w)},{hours(w)},{oxygen(w)},{top(w)},{bottom(w)}")
    return "\n".join(lines)


def signs(**columns):
    return {f.sign: f for f in upkeep.check_log(upkeep.read_log(log_text(**columns)), Q(24, "hour"))}


def test_a_healthy_log_raises_no_flag():
    assert signs() == {}


@pytest.mark.parametrize("columns, sign, level", [
    (dict(gauge=lambda w: 7 + 0.1 * w), "gauge rising", "watch"),
    (dict(gauge=lambda w: 7 + 0.3 * w), "gauge rising", "act"),
    (dict(gauge=lambda w: 7 - (w > 4) * 0.8), "gauge falling", "watch"),
    (dict(gauge=lambda w: 7 - (w > 4) * 3), "gauge falling", "act"),
    (dict(cabinet=lambda w: 108), "cabinet hot", "watch"),
    (dict(cabinet=lambda w: 130), "cabinet hot", "act"),
    (dict(cabinet=lambda w: 112 if w == 5 else 90), "cabinet was hot", "watch"),
    (dict(cabinet=lambda w: 85 + 1.5 * w), "cabinet warming", "watch"),
    (dict(hours=lambda w: 100 * w), "short hours", "watch"),
    (dict(hours=lambda w: 50 * w), "short hours", "act"),
    (dict(hours=lambda w: 168 * w - (w > 3) * 80), "gap in hours", "watch"),
    (dict(hours=lambda w: 168 * w - (w > 3) * 600), "hour meter went back", "watch"),
    (dict(oxygen=lambda w: 3.4), "low oxygen", "watch"),
    (dict(oxygen=lambda w: 2.4), "low oxygen", "act"),
    (dict(oxygen=lambda w: 8 - 0.4 * w), "oxygen falling", "watch"),
    (dict(bottom=lambda w: 66), "in layers", "watch"),
])
def test_each_trouble_raises_its_flag(columns, sign, level):
    found = signs(**columns)
    assert sign in found, found
    assert found[sign].level == level and found[sign].words and found[sign].check


def test_hours_are_counted():
    gap = signs(hours=lambda w: 168 * w - (w > 3) * 80)["gap in hours"]
    assert "52 %" in gap.words and "2025-05-29" in gap.words        # 88 of 168 h in the fourth week
    assert "60 %" in signs(hours=lambda w: 100.8 * w)["short hours"].words


def test_urgent_flags_come_first():
    flags = upkeep.check_log(upkeep.read_log(log_text(gauge=lambda w: 7 + 0.1 * w, oxygen=lambda w: 2.0)))
    assert flags[0].level == "act" and flags[0].sign == "low oxygen"


def test_trend_finds_a_line_through_noise_and_one_wild_reading():
    day = np.arange(0, 70, 7.0)
    values = 5 + 0.02 * day
    values[4] = 40.0
    found = upkeep.trend(day, values)
    assert found.per_day.usual == pytest.approx(0.02, abs=1e-9) and found.word == "rising"
    assert upkeep.trend(day, -values).word == "falling"
    up_and_down = upkeep.trend(day, np.where(np.arange(10) % 2, 1.0, 2.0))
    assert up_and_down.word == "steady" and up_and_down.per_day.low <= 0 <= up_and_down.per_day.high
    few = upkeep.trend(day[:4], values[:4])
    assert few.word == "too few" and math.isnan(few.per_day.usual)
    gaps = values.copy()
    gaps[::2] = np.nan
    assert upkeep.trend(day, gaps).readings == 5


def test_reading_logs():
    log = upkeep.read_log("Date;Gauge (psi);Cabinet (C)\n2025-06-08;7,5;\n6/1/2025;7,0;35\n")
    assert log.pressure_gauge == pytest.approx([7.0 * 6894.757, 7.5 * 6894.757])
    assert log.day.tolist() == [0, 7] and math.isnan(log.cabinet_temperature[1])
    for text, says in [("date,notes\n2025-06-01,ok\n", "no column this set knows"),
                       ("gauge (psi)\n7\n", "headed date"), ("date,gauge (psi)\nJune,7\n", "not a date"),
                       ("date,gauge\n2025-06-01,7\n", "no unit"), ("", "empty")]:
        with pytest.raises(QuantityError, match=says):
            upkeep.read_log(text)


def test_the_demonstration_log_shows_what_was_put_in():
    found = {f.sign for f in upkeep.check_log(upkeep.read_log(DATA / "demo-log.csv"), Q(24, "hour"))}
    assert {"gauge rising", "cabinet was hot", "gap in hours"} <= found


def test_season_dates_are_where_the_cosine_crosses():
    # mean 12, swing 12 C: 10 C is crossed where cos = -1/6, 99.43 days from the warmest day 201
    c = weather.Climate.si(40.0, 0.0, 12.0, 12.5)
    away = 365 / (2 * math.pi) * math.acos((10 - 12) / 12.5)
    dates = upkeep.season_dates(c)
    assert dates["spring"] == round(201 - away) and dates["fall"] == round(201 + away)
    assert dates["ice"][0] > 300 or dates["ice"][0] < 40
    warm = upkeep.season_dates(weather.Climate.si(28.0, 0.0, 22.0, 7.0))
    assert warm["ice"] is None and warm["spring"] is None and warm["hot"] is not None


def test_calendar_has_ice_duties_only_where_there_is_ice():
    north = upkeep.calendar(weather.typical_climate.si(45.0, 300.0))
    south = upkeep.calendar(weather.Climate.si(28.0, 0.0, 22.0, 7.0))
    assert any("rope" in t.name for t in north) and not any("ice" in t.name for t in south)
    assert [t.first_day for t in north] == sorted(t.first_day for t in north)
    assert all(1 <= d <= 365 for t in north for d in (t.first_day, t.last_day))
    start = next(t for t in north if t.name.startswith("start the diffuser"))
    assert 80 < start.first_day < 130 and "Ohio State" in start.source


def test_facts_carry_sources_and_intervals_are_ranges():
    assert all(f.words and f.source for f in upkeep.THIN_ICE)
    four = upkeep.THIN_ICE[0].words                         # Minnesota DNR: 4 in on foot, 5 to 6 snowmobile
    assert "Four inches" in four and "five to six" in four
    assert any("2.5 to 4.5 ft" in f.words for f in upkeep.THIN_ICE)        # Wis. Stat. 167.26
    assert all(u.months.low <= u.months.usual <= u.months.high for u in upkeep.UPKEEP)
