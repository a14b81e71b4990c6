"""Logs, trends and flags."""

import math
from pathlib import Path

import numpy as np
import pytest

from pondcalc.the_year import logbook
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
    return {f.sign: f for f in logbook.check_log(logbook.read_log(log_text(**columns)), Q(24, "hour"))}


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
    flags = logbook.check_log(logbook.read_log(log_text(gauge=lambda w: 7 + 0.1 * w, oxygen=lambda w: 2.0)))
    assert flags[0].level == "act" and flags[0].sign == "low oxygen"


def test_trend_finds_a_line_through_noise_and_one_wild_reading():
    day = np.arange(0, 70, 7.0)
    values = 5 + 0.02 * day
    values[4] = 40.0
    found = logbook.trend(day, values)
    assert found.per_day.usual == pytest.approx(0.02, abs=1e-9) and found.word == "rising"
    assert logbook.trend(day, -values).word == "falling"
    up_and_down = logbook.trend(day, np.where(np.arange(10) % 2, 1.0, 2.0))
    assert up_and_down.word == "steady" and up_and_down.per_day.low <= 0 <= up_and_down.per_day.high
    few = logbook.trend(day[:4], values[:4])
    assert few.word == "too few" and math.isnan(few.per_day.usual)
    gaps = values.copy()
    gaps[::2] = np.nan
    assert logbook.trend(day, gaps).readings == 5


def test_reading_logs():
    log = logbook.read_log("Date;Gauge (psi);Cabinet (C)\n2025-06-08;7,5;\n6/1/2025;7,0;35\n")
    assert log.pressure_gauge == pytest.approx([7.0 * 6894.757, 7.5 * 6894.757])
    assert log.day.tolist() == [0, 7] and math.isnan(log.cabinet_temperature[1])
    for text, says in [("date,notes\n2025-06-01,ok\n", "no column this set knows"),
                       ("week,gauge (psi)\n1,7\n", "headed date"), ("date,gauge (psi)\nJune,7\n", "not a date"),
                       ("date,gauge\n2025-06-01,7\n", "no unit"), ("", "empty")]:
        with pytest.raises(QuantityError, match=says):
            logbook.read_log(text)


def test_the_demonstration_log_shows_what_was_put_in():
    found = {f.sign for f in logbook.check_log(logbook.read_log(DATA / "demo-log.csv"), Q(24, "hour"))}
    assert {"gauge rising", "cabinet was hot", "gap in hours"} <= found


def test_the_demonstration_summer_is_told_while_it_happens():
    season = logbook.read_log(DATA / "demo-log.csv")

    def at(count):
        part = season._replace(**{name: getattr(season, name)[:count] for name in season._fields})
        return {f.sign: f for f in logbook.check_log.si(part, 24.0)}
    # the file: top 7.2 6.8 6.5 5.8 4.9 and bottom 4.9 4.5 4.2 3.5 2.7 up to 11 August, then up again
    august = at(19)
    assert "2.7 mg/L" in august["low oxygen below"].words and "4.9 mg/L" in august["oxygen falling"].words
    assert "low oxygen below" in at(18) and not {"oxygen falling", "low oxygen below"} & set(at(12))
    assert "from 2026-08-04 to 2026-08-18" in at(30)["bottom oxygen was low"].words
    assert "3 readings" in at(30)["bottom oxygen was low"].words


def test_oxygen_that_falls_in_spring_because_the_water_warms_is_no_flag():
    # 9.5 to 7.5 mg/L is what water gives up between 60 and 80 F (about 10.0 to 8.0 mg/L at
    # saturation, USGS Office of Water Quality Technical Memorandum 2011.03, tables)
    assert signs(oxygen=lambda w: 9.9 - 0.2 * w) == {}


@pytest.mark.parametrize("low, level", [(3.5, "watch"), (0.6, "act")])
def test_the_bottom_is_judged(low, level):
    text = "date,top oxygen (mg/L),bottom oxygen (mg/L)\n" + "\n".join(f"2025-06-0{d},8,{low}" for d in range(1, 7))
    flags = logbook.check_log(logbook.read_log(text))
    assert [(f.sign, f.level) for f in flags] == [("low oxygen below", level)]


def gauge_log(*psi):
    return logbook.read_log("date,gauge pressure (psi)\n" + "\n".join(
        f"{np.datetime64('2026-05-04') + 7 * n},{p}" for n, p in enumerate(psi)))


def test_a_great_jump_is_told_at_once_and_a_short_log_says_so():
    flag, = logbook.check_log(gauge_log(7.4, 9.4, 11.4, 14))
    assert flag.sign == "gauge jumped" and flag.level == "act" and "6.6 psi above the first" in flag.words
    assert [f.sign for f in logbook.check_log(gauge_log(7.4, 9.4))] == ["gauge jumped"]
    assert "below the first" in logbook.check_log(gauge_log(7.4, 5.0))[0].words
    assert logbook.check_log(gauge_log(7.4, 7.8, 7.5)) == []
    late = logbook.check_log(gauge_log(7.4, 7.4, 7.5, 7.4, 7.5, 7.4, 9.9))
    assert [f.sign for f in late] == ["gauge jumped"] and late[0].level == "act"
    said = logbook.unjudged(gauge_log(7.4, 9.4, 11.4, 14))
    assert "gauge (4); it needs 5" in said[0] and "hour meter" in said[1]
    assert logbook.unjudged(logbook.read_log(DATA / "demo-log.csv")) == []


def test_a_gauge_below_zero_is_refused_and_a_doubtful_date_is_named():
    with pytest.raises(QuantityError, match="line 2: the gauge pressure is -7.4 psi, outside 0"):
        gauge_log(-7.4, 7.4)
    with pytest.warns(UserWarning, match="4/5/26 is read as April 5, 2026.*2026-05-04"):
        assert logbook.read_log("date,gauge (psi)\n4/5/26,7\n4/12/26,7\n").day.tolist() == [0, 7]


def test_a_comma_that_may_mark_thousands_is_asked_about():
    doubtful = 'date,hour meter (h)\n2026-05-01,"1,250"\n2026-05-08,"1,418"'
    with pytest.raises(QuantityError, match="line 2.*thousands or decimals.*'1250'"):
        logbook.read_log(doubtful)
    surely = logbook.read_log("date;hour meter (h)\n2026-05-01;1,250\n2026-05-08;1,418")    # beside semicolons decimals
    assert surely.hours == pytest.approx([1.25, 1.418])
    surely = logbook.read_log('date,hour meter (h)\n2026-05-01,"1,25"\n2026-05-08,"1,418"')
    assert surely.hours == pytest.approx([1.25, 1.418])


def test_a_first_line_may_name_the_mark_between_columns():
    found = logbook.read_log("sep=;\ndate;hour meter (h)\n2026-05-01;1250\n2026-05-08;1418")
    assert found.hours == pytest.approx([1250, 1418])
    with pytest.raises(QuantityError, match="empty"):
        logbook.read_log("sep=;\n")
