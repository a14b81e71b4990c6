"""Logs, trends and flags; doses by volume, and the rules that forbid one; the calendar, and what goes with ice."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondcalc import datafiles
from pondcalc.door import upkeep
from pondcalc.the_year import weather
from pondcalc.units import Q, QuantityError, Range

SEASON = upkeep.read_log(datafiles.path("demo-log.csv"))


def signs(gauge=lambda w: 7.0, cabinet=lambda w: 90, hours=lambda w: 168 * w, oxygen=lambda w: 8.0,
          bottom=lambda w: 74, planned="24 h"):
    """Flags of a log of ten weeks, by their signs."""
    head = ("date,gauge pressure (psi),cabinet temperature (F),air temp (F),hours run (h),top oxygen (mg/L),"
            "top temperature (F),bottom temperature (F)")
    weeks = (f"{np.datetime64('2025-05-01') + 7 * w},{gauge(w)},{cabinet(w)},75,{hours(w)},{oxygen(w)},75,{bottom(w)}"
             for w in range(10))
    return {f.sign: f for f in upkeep.check_log(upkeep.read_log("\n".join([head, *weeks])), planned)}


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
    flags = signs(gauge=lambda w: 7 + 0.1 * w, oxygen=lambda w: 2.0, planned=None)
    assert [(f.sign, f.level) for f in flags.values()] == [("low oxygen", "act"), ("gauge rising", "watch")]


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
                       ("week,gauge (psi)\n1,7\n", "headed date"), ("date,gauge (psi)\nJune,7\n", "not a date"),
                       ("date,gauge\n2025-06-01,7\n", "no unit"), ("", "empty")]:
        with pytest.raises(QuantityError, match=says):
            upkeep.read_log(text)


def test_the_demonstration_summer_is_told_while_it_happens():
    def at(count):
        part = SEASON._replace(**{name: getattr(SEASON, name)[:count] for name in SEASON._fields})
        return {f.sign: f for f in upkeep.check_log.si(part, 24.0)}
    assert {"gauge rising", "cabinet was hot", "gap in hours"} <= set(at(30))       # what was put in
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
    flags = upkeep.check_log(upkeep.read_log(text))
    assert [(f.sign, f.level) for f in flags] == [("low oxygen below", level)]


def gauge_log(*psi):
    return upkeep.read_log("date,gauge pressure (psi)\n" + "\n".join(
        f"{np.datetime64('2026-05-04') + 7 * n},{p}" for n, p in enumerate(psi)))


def test_a_great_jump_is_told_at_once_and_a_short_log_says_so():
    flag, = upkeep.check_log(gauge_log(7.4, 9.4, 11.4, 14))
    assert flag.sign == "gauge jumped" and flag.level == "act" and "6.6 psi above the first" in flag.words
    assert [f.sign for f in upkeep.check_log(gauge_log(7.4, 9.4))] == ["gauge jumped"]
    assert "below the first" in upkeep.check_log(gauge_log(7.4, 5.0))[0].words
    assert upkeep.check_log(gauge_log(7.4, 7.8, 7.5)) == []
    late = upkeep.check_log(gauge_log(7.4, 7.4, 7.5, 7.4, 7.5, 7.4, 9.9))
    assert [f.sign for f in late] == ["gauge jumped"] and late[0].level == "act"
    said = upkeep.unjudged(gauge_log(7.4, 9.4, 11.4, 14))
    assert "gauge (4); it needs 5" in said[0] and "hour meter" in said[1]
    assert upkeep.unjudged(SEASON) == []


def test_a_gauge_below_zero_is_refused_and_a_doubtful_date_is_named():
    with pytest.raises(QuantityError, match="line 2: the gauge pressure is -7.4 psi, outside 0"):
        gauge_log(-7.4, 7.4)
    with pytest.warns(UserWarning, match="4/5/26 is read as April 5, 2026.*2026-05-04"):
        assert upkeep.read_log("date,gauge (psi)\n4/5/26,7\n4/12/26,7\n").day.tolist() == [0, 7]


def test_a_comma_that_may_mark_thousands_is_asked_about():
    with pytest.raises(QuantityError, match="line 2.*thousands or decimals.*'1250'"):
        upkeep.read_log('date,hour meter (h)\n2026-05-01,"1,250"\n2026-05-08,"1,418"')
    with pytest.raises(QuantityError, match="empty"):
        upkeep.read_log("sep=;\n")
    for text, hours in (("date;hour meter (h)\n2026-05-01;1,250\n2026-05-08;1,418", (1.25, 1.418)),    # beside ;
                        ('date,hour meter (h)\n2026-05-01,"1,25"\n2026-05-08,"1,418"', (1.25, 1.418)),
                        ("sep=;\ndate;hour meter (h)\n2026-05-01;1250\n2026-05-08;1418", (1250, 1418))):
        assert upkeep.read_log(text).hours == pytest.approx(hours)


POND = ("9 acre-ft", "10 acre-ft", "11 acre-ft")
FINE = dict(alkalinity="100 mg/L", dissolved_oxygen="7 mg/L", temperature="75 F", heavy_bloom=False,
            aerated=True)


def plan(**change):
    return upkeep.copper_plan(POND, **{**FINE, **change})


def test_one_part_per_million_in_an_acre_foot():
    # 1 mg/L = 2.7194 lb per acre-ft (exact arithmetic; extension leaflets round to 2.7 or 2.72)
    assert upkeep.dose("1 acre-ft", "1 mg/L").m_as("lb") == pytest.approx(2.7194, abs=1e-4)
    ends = upkeep.dose(POND, "1 mg/L")
    assert [end.m_as("lb") for end in ends] == pytest.approx([24.47, 27.19, 29.91], abs=0.01)


def test_the_form_of_copper_is_named():
    # IUPAC atomic weights: 63.546 of 63.546 + 32.06 + 9 x 15.999 + 10 x 1.008
    share = 63.546 / (63.546 + 32.06 + 9 * 15.999 + 10 * 1.008)
    words = next(fact.words for fact in upkeep.COPPER_FACTS if "pentahydrate" in fact.words)
    assert f"{100 * share:.0f} % is copper" in words and f"{share:.2f} mg/L of copper" in words


@given(st.floats(1, 1e5), st.floats(0, 20), st.floats(0.5, 2))
def test_a_volume_that_is_off_makes_a_dose_that_is_as_far_off(volume, concentration, factor):
    assert upkeep.dose.si(volume * factor, concentration) == pytest.approx(
        factor * upkeep.dose.si(volume, concentration))


def test_copper_worked_example():
    # 10 acre-ft at alkalinity 100: 1 mg/L, 27 lb for the whole pond, 9 to 14 lb a part (UF/IFAS
    # FA008; labels)
    p = upkeep.copper_plan(("10 acre-ft",) * 3, **FINE)
    assert p.allowed and p.concentration.m_as("mg/L") == pytest.approx(1.0)
    assert p.whole_pond.usual.m_as("lb") == pytest.approx(27.2, abs=0.05)
    half_way = 27.194 * (1 / 3 + 1 / 2) / 2
    assert [end.m_as("lb") for end in p.one_part] == pytest.approx([9.06, half_way, 13.6], abs=0.01)
    assert p.days_between.m_as("day").tolist() == [7, 14]


@pytest.mark.parametrize("alkalinity, allowed",
                         [(0, 0), (49.9, 0), (50, 0.5), (100, 1.0), (250, 2.5), (400, 2.5)])
def test_copper_follows_alkalinity(alkalinity, allowed):
    # UF/IFAS FA008: a hundredth of alkalinity; not below 50; not above 2.5 mg/L
    assert upkeep.copper_concentration.si(alkalinity) == pytest.approx(allowed)


@pytest.mark.parametrize("change, says", [
    (dict(alkalinity="40 mg/L"), "Alkalinity is 40"), (dict(trout=True), "trout"),
    (dict(heavy_bloom=True, aerated=False), "heavy bloom and no aeration"),
    (dict(dissolved_oxygen="3 mg/L"), "below 4"), (dict(dissolved_oxygen="4.5 mg/L", floor="5 mg/L"), "below 5"),
    (dict(dissolved_oxygen="3.5 mg/L", floor="3 mg/L"), "below 4"),
])
def test_reasons_forbid_and_leave_no_dose_to_use(change, says):
    p = plan(**change)
    assert not p.allowed and any(says in reason for reason in p.reasons)
    assert p.whole_pond.high.m_as("kg") == 0 and p.one_part.high.m_as("kg") == 0


def test_cautions():
    assert any("85" in c for c in plan(temperature="88 F").cautions)
    assert any("2.5 mg/L" in c for c in plan(alkalinity="300 mg/L").cautions)
    wide = upkeep.copper_plan(("8 acre-ft", "10 acre-ft", "14 acre-ft"), **FINE)
    assert any("factor of 1.75" in c for c in wide.cautions)
    # a part goes by the low end alone: a third and a half of 8 acre-ft at 2.7194 lb each
    assert [wide.one_part.low.m_as("lb"), wide.one_part.high.m_as("lb")] == pytest.approx([7.252, 10.878], abs=0.002)
    assert plan(heavy_bloom=True, aerated=True).allowed
    assert "label" in plan().cautions[0]


def test_a_dose_wants_an_honest_range():
    for volume, says in (("10 acre-ft", "range: low, usual and high"),
                         (Q([0, 5, 6], "acre-ft"), "low end of the volume is nothing")):
        with pytest.raises(QuantityError, match=says):
            upkeep.copper_plan(volume, **FINE)
    assert upkeep.copper_plan(Range(*(Q(v) for v in POND)), **FINE).whole_pond.usual.m_as("lb") == \
        pytest.approx(27.2, abs=0.05)


@pytest.mark.parametrize("call, given", [(upkeep.dose.si, (0.0, 1.0)), (upkeep.dose.si, (10.0, -1.0)),
                                         (upkeep.copper_concentration.si, (-5.0,))])
def test_nonsense_is_refused(call, given):
    with pytest.raises(ValueError):
        call(*given)


@pytest.mark.parametrize("facts, told", [
    (upkeep.COPPER_FACTS, ("alkalinity",)), (upkeep.BACTERIA_FACTS, ("Twelve ponds", "few inches")),   # Tucker; Penn
    # Minnesota DNR: 4 in on foot, 5 to 6 snowmobile; Wis. Stat. 167.26
    (upkeep.THIN_ICE, ("Four inches", "five to six", "2.5 to 4.5 ft"))])
def test_facts_have_sources_and_promise_nothing(facts, told):
    assert all(fact.words and fact.source for fact in facts)
    assert all(words in " ".join(fact.words for fact in facts) for words in told)


def test_season_dates_are_where_the_cosine_crosses():
    # mean 12, swing 12 C: 10 C is crossed where cos = -1/6, 99.43 days from the warmest day 201
    c = weather.Climate(40.0, 0.0, 12.0, 12.5)
    away = 365 / (2 * math.pi) * math.acos((10 - 12) / 12.5)
    dates = upkeep.season_dates(c)
    assert dates["spring"] == round(201 - away) and dates["fall"] == round(201 + away)
    warm = upkeep.season_dates(weather.Climate(28.0, 0.0, 22.0, 7.0))
    assert warm["spring"] is None and warm["hot"] is not None


def test_calendar_has_ice_duties_only_where_there_is_ice():
    north = upkeep.calendar(weather.typical_climate(45.0, 300.0), (305, 100))
    south = upkeep.calendar(weather.Climate(28.0, 0.0, 22.0, 7.0))
    assert any("rope" in t.name for t in north) and not any("ice" in t.name for t in south)
    assert [t.first_day for t in north] == sorted(t.first_day for t in north)
    assert all(1 <= d <= 365 for t in north for d in (t.first_day, t.last_day))
    signs, decide, drain = (next(t for t in north if word in t.name) for word in ("rope", "decide", "drain"))
    # signs three weeks before the first ice on 1 November and until three weeks after the last on 10 April
    assert (signs.first_day, signs.last_day) == (305 - 21, 100 + 21) and decide.last_day == drain.last_day == 284
    start = next(t for t in north if t.name.startswith("start the diffuser"))
    assert 80 < start.first_day < 130 and "Ohio State" in start.source


def test_intervals_are_ranges():
    assert all(u.months.low <= u.months.usual <= u.months.high for u in upkeep.UPKEEP)
