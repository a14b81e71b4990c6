"""Ladders of run times: kept in a balance of another hand, in steps of a timer, or refused with a reason."""

import re

import numpy as np
import pytest
import startbalance
from firstdays import WALLS, Z, layered, parts
from openprofiles import OPEN

from pondcalc import datafiles, findings, record
from pondcalc.the_year import firststart, seasons, startladder, weather, yearcase, yearreport
from pondcalc.units import QuantityError
from pondcalc.warm_over_cold.profile import Profile, read_profile

DEMO = findings.pond_shape(record.demo())
DEEP = yearreport.submergence(record.demo(), DEMO[0][-1])
JULY, SEPTEMBER, OCTOBER = (read_profile(datafiles.path(f"demo-profile-{month}.csv"))
                            for month in ("july", "september", "october"))
WEST = Profile.si(*(values[:12] for values in OPEN["West Long Lake, 18 August 1999"]))      # its top 5.5 m
WEST_SHAPE = (np.linspace(0, 5.5, 111), 12000 * (1 - np.linspace(0, 1, 111)) ** 1.2)

CASES = {"July, an hour a day": (DEMO, JULY, yearreport.LIFTED, DEEP, [1.0], None),
         "July, the custom": (DEMO, JULY, yearreport.LIFTED, DEEP, firststart.COMMON_HOURS, None),
         "September, a ladder": (DEMO, SEPTEMBER, yearreport.LIFTED, DEEP, [3 + n / 4 for n in range(60)], None),
         "September, bottle tests": (DEMO, SEPTEMBER, yearreport.LIFTED, DEEP, [4.0], (1.0, 3.0, 6.0)),
         "straight walls": ((Z, WALLS), layered(9.0, 0.0, 4.5), (0.2, 0.3, 0.5), 5.4, [8.0], None),
         "West Long Lake": (WEST_SHAPE, WEST, (0.1, 0.15, 0.25), 4.9, [0.5, 1.0, 1.5], None)}


@pytest.mark.parametrize("name", CASES)
def test_the_bad_end_is_that_of_a_balance_of_another_hand(name):
    shape, read, lifted, deep, hours, bottle = CASES[name]
    low = startbalance.lowest(shape, parts(read), lifted, deep, hours, bottle)      # 512 corners, scipy solve_ivp
    made = startladder.course.si(*shape, read, lifted, deep, hours, demand=bottle)
    assert made.lowest_oxygen.low == pytest.approx(max(0.0, low.min()), abs=0.1), "and never above it:"
    assert made.lowest_oxygen.low <= max(0.0, low.min()) + 0.02
    assert made.lowest_oxygen.high == pytest.approx(low.max(), abs=0.1)


def test_a_ladder_offered_keeps_the_oxygen_at_every_corner():
    found = startladder.quickest_ladder.si(*DEMO, SEPTEMBER, yearreport.LIFTED, DEEP)
    low = startbalance.lowest(DEMO, parts(SEPTEMBER), yearreport.LIFTED, DEEP, found.course.hours)
    assert found.go and low.min() >= 4.0 and found.course.verdict == startladder.KEPT
    assert found.course.lowest_oxygen.low <= low.min() + 0.02
    assert found.course.lifted_share <= 0.25 + 1e-9 and found.course.finish.high <= startladder.LONGEST
    assert min(found.course.go_reading) >= found.course.stop_reading == pytest.approx(4.5)
    # on day 1 the go reading is the mean of the upper water as read; a quarter of the lower water a day at most
    assert found.course.go_reading[0] == pytest.approx(np.interp(3.0, [1, 5], [8, 8]), abs=0.25)
    free = startladder.quickest_ladder.si(*DEMO, SEPTEMBER, yearreport.LIFTED, DEEP, floor=3.0, daily_share=1.0)
    assert free.course.lifted_share > 0.25


def test_july_is_refused_with_the_reason_and_what_to_do():
    found = startladder.quickest_ladder.si(*DEMO, JULY, yearreport.LIFTED, DEEP)
    low = startbalance.lowest(DEMO, parts(JULY), yearreport.LIFTED, DEEP, [0.25], least_days=startladder.LONGEST)
    assert low.min() < 4.0, "even the gentlest fails in the other balance"
    assert not found.go and found.course is None and "15 minutes a day" in found.reason
    assert "spring or fall" in found.reason and found.boundary == pytest.approx(4.5 * 0.3048)


def test_stagnant_water_above_the_steepest_step_is_counted():
    # 26 C to 3.5 m, a step to 14 C; but oxygen ends at 2 m: 1.5 m of stagnant water lie above the step
    z = np.arange(0.25, 6.0, 0.25)
    read = Profile.si(z, np.where(z <= 3.5, 26.0 - 0.05 * z, 14.0), np.where(z <= 2.0, 8.0, 0.2))
    step = Profile.si(z, read.temperature, np.where(z <= 3.5, 8.0, 0.2))        # as if it held oxygen
    found, fresh = (startladder.course.si(Z, WALLS, p, (0.05, 0.1, 0.2), 5.4, [6.0]) for p in (read, step))
    low = startbalance.lowest((Z, WALLS), parts(read), (0.05, 0.1, 0.2), 5.4, [6.0])
    assert found.lowest_oxygen.low <= max(0.0, low.min()) + 0.02 and found.verdict != startladder.KEPT
    assert found.lowest_oxygen.usual < fresh.lowest_oxygen.usual - 1


def test_each_debt_lowers_the_oxygen():
    here = (*DEMO, SEPTEMBER, yearreport.LIFTED, DEEP, [4.0])
    usual = startladder.course.si(*here).lowest_oxygen.low
    assert startladder.course.si(*here, mud=(0.1, 0.3, 1.0)).lowest_oxygen.low > usual + 0.2
    assert startladder.course.si(*here, demand=(0, 2, 4)).lowest_oxygen.low > usual + 0.2
    assert startladder.course.si(*here, exchange=(0.3, 0.5, 0.74)).lowest_oxygen.low < usual - 0.1


def test_a_larger_demand_never_makes_a_quicker_ladder():
    days = []
    for most in (4.0, 8.0, 14.0, 24.0):
        made = startladder.quickest_ladder.si(*DEMO, SEPTEMBER, yearreport.LIFTED, DEEP, floor=4.4,
                                                  demand=(0.0, most / 2, most))
        days.append(made.course.finish.usual if made.go else np.inf)
    assert days == sorted(days) and days[0] < days[-1]


def test_ladder_hours_are_what_a_timer_can_be_set_to():
    assert startladder.ladder_hours("30 min", "15 min").m_as("minute")[:4].tolist() == pytest.approx([30, 45, 60, 75])
    assert startladder.ladder_hours.si(20.0, 2.0)[:4].tolist() == [20, 22, 24, 24]
    assert set(startladder.ladder_hours.si(0.1)) == {0.25}
    for bad in ((0.0, 1.0), (25.0, 1.0), (1.0, -0.5)):
        with pytest.raises(ValueError, match="ladder starts"):
            startladder.ladder_hours.si(*bad)


def test_when_no_ladder_is_needed_or_none_can_help():
    mixed = startladder.quickest_ladder.si(*DEMO, OCTOBER, yearreport.LIFTED, DEEP)
    assert mixed.go and mixed.first_run == 24 and mixed.course is None
    low = startladder.quickest_ladder.si(Z, WALLS, layered(4.3), (0.1, 0.2, 0.3), 5.0)
    assert not low.go and "not above the 4.0 to keep" in low.reason
    torrent = startladder.quickest_ladder.si(Z, WALLS, layered(6.0), (4.0, 6.0, 9.0), 5.0)
    assert not torrent.go and "No ladder" in torrent.reason
    trickle = startladder.quickest_ladder.si(Z, WALLS, layered(11.0, 4.0, 5.0), (1e-4, 2e-4, 3e-4), 5.9, floor=3.0)
    assert not trickle.go and "Even day and night" in trickle.reason
    with pytest.raises(QuantityError, match="oxygen readings"):
        startladder.quickest_ladder.si(Z, WALLS, Profile.si([0, 6], [26, 14]), (0.1, 0.1, 0.1), 5.0)
    with pytest.raises(ValueError, match="between 0 and 24"):
        startladder.course.si(Z, WALLS, layered(), (0.1, 0.1, 0.1), 5.0, [25.0])


def ends_early(read, count, top=0.0):
    """The first readings of a profile; oxygen at least `top`."""
    return Profile.si(*(values[:count] for values in parts(read)[:2]), np.maximum(parts(read)[2][:count], top))


@pytest.mark.parametrize("read, count", [(SEPTEMBER, 6), (SEPTEMBER, 10), (SEPTEMBER, 11), (OCTOBER, 8), (JULY, 5)])
def test_readings_that_end_in_good_water_far_above_the_diffuser_are_refused(read, count):
    # diffuser 12.1 ft down; oxygen read to 5, 9, 10 (1.3 mg/L), 7 and 4 ft
    for given in (ends_early(read, count), Profile.si(*parts(read)[:2], np.where(
            np.arange(len(read.depth)) < count, read.dissolved_oxygen, np.nan))):
        for tried in (startladder.quickest_ladder.si, lambda *here: startladder.course.si(*here, [1.0])):
            with pytest.raises(QuantityError, match=r"end at .*within 2 ft \(0.6 m\) of the diffuser"):
                tried(*DEMO, given, yearreport.LIFTED, DEEP)
    # ending in stagnant water they are as good as whole ones: nothing worse can lie below
    short, whole = (startladder.quickest_ladder.si(*DEMO, p, yearreport.LIFTED, DEEP)
                    for p in (ends_early(SEPTEMBER, 12), SEPTEMBER))
    assert short.course.hours == whole.course.hours


@pytest.mark.parametrize("shape, lifted, floor", [(DEMO, yearreport.LIFTED, 4.0), (DEMO, (0.03, 0.05, 0.1), 5.0),
                                                  ((DEMO[0], np.full(len(DEMO[0]), 4000.0)), (0.05, 0.1, 0.2), 3.0)])
def test_water_that_nobody_read_may_be_the_worst(shape, lifted, floor):
    """Readings end in good water 2 ft above the diffuser or nearer; under them lies cold water without oxygen."""
    z, t, c = parts(SEPTEMBER)
    for count, warm in ((12, t), (13, t), (13, np.full(15, t[0])), (14, np.full(15, t[0]))):
        c_read, truth = np.maximum(c[:count], 2.5 if warm is t else 7.5), np.append(z[:count], z[count - 1] + 0.01)
        read = Profile.si(z[:count], warm[:count], c_read)
        truth = (np.append(truth, shape[0][-1]), np.r_[warm[:count], [warm[count - 1] - 4] * 2], np.r_[c_read, 0, 0])
        found = startladder.quickest_ladder.si(*shape, read, lifted, DEEP, floor)
        if found.go:
            hours = found.course.hours if found.course else [24.0]
            assert startbalance.lowest(shape, truth, lifted, DEEP, hours).min() >= floor, (count, found.first_run)
        else:           # with straight walls what nobody read is 29 % of the water
            assert "was not read" in found.reason or warm is t and shape[1][-1] > 0


def test_each_refusal_names_its_cause():
    def why(read=SEPTEMBER, lifted=yearreport.LIFTED, deep=DEEP, **known):
        found = startladder.quickest_ladder.si(*DEMO, read, lifted, deep, **known)
        assert not found.go and found.course is None
        return found.reason
    z, t, _ = parts(SEPTEMBER)
    assert "whole pond mixed would hold 3.9 mg/L" in why(JULY)          # 57 % at 6.0, 43 % at 1.0: workbook 07, step 1
    assert "mud under it may take more than the air gives back" in why(floor=6.0)
    assert "slow enough for the oxygen above" in why(floor=5.0)
    assert "Even day and night this diffuser" in why(lifted=(1e-4, 2e-4, 3e-4))
    assert "low end. Estimate it better" in why(lifted=(1e-3, 0.1, 0.6))
    # the oxygen lasts, but a quarter of an hour of so much water is more than a quarter of the lower water
    assert "even 15 minutes may lift" in why(lifted=(3.0, 6.0, 9.0))
    # 27 C at 750 hPa: 8.0 mg/L x 0.73 at rest; more than that is made by algae
    hot = Profile.si(z, t + 27 - t[0], np.where(z < 2.7, 14.0, 0.2))
    assert re.search(r"At rest with the air.* 5\.8 mg/L here", why(hot, floor=5.5, pressure_absolute=75000.0))
    even = np.full(len(z), 18.0)
    mixed = why(Profile.si(z, even, np.where(z > 3, 0.3, 7.0)), floor=6.4)
    assert "spring or fall" not in mixed and "Wait until the readings show more oxygen" in mixed
    assert "winter layers" in why(Profile.si(z, np.linspace(1, 4, 15), np.linspace(9, 1, 15)))
    assert "heavier than the water under it" in why(Profile.si(z, t[::-1], np.linspace(9, 1, 15)))
    assert "not above the 7.8 to keep" in why(floor=7.8)
    # read to 11 ft of 14.1, the last with 5 mg/L: were the rest as good, a ladder would keep 5 mg/L above
    assert re.search("end at 11.0 ft.* counts as without oxygen", why(ends_early(SEPTEMBER, 12, 5.0),
                                                                      (0.05, 0.1, 0.2), floor=5.0))
    level = Profile.si(np.append(z[:12], DEMO[0][-1]), np.append(t[:12], t[11]), np.append(np.maximum(
        parts(SEPTEMBER)[2][:12], 5.0), 5.0))
    assert startladder.quickest_ladder.si(*DEMO, level, (0.05, 0.1, 0.2), DEEP, floor=5.0).course is not None
    straight = (DEMO[0], np.full(len(DEMO[0]), 4000.0))
    found = startladder.quickest_ladder.si(*straight, Profile.si(z[:13], even[:13], np.full(13, 7.0)), (0.05, 0.1, 0.2),
                                           DEEP)
    assert "mixed down to 12.0 ft" in found.reason and "close to the bottom" in found.reason


def test_the_custom_is_judged_for_each_size_as_one_by_one():
    rows = startladder.custom_by_flow.si(*DEMO, SEPTEMBER, [0.02, 0.2, 0.6], DEEP, (0.5, 1.0, 2.0))
    for flow, made in zip((0.02, 0.2, 0.6), rows, strict=True):
        low = startbalance.lowest(DEMO, parts(SEPTEMBER), (flow / 2, flow, 2 * flow), DEEP, firststart.COMMON_HOURS)
        assert made.lowest_oxygen.low == pytest.approx(low.min(), abs=0.1)
    assert rows[0].verdict == startladder.KEPT
    rows = startladder.custom_by_flow.si(*DEMO, SEPTEMBER, [0.2], DEEP, floor=6.3)
    assert rows[0].verdict == startladder.NOT_AT_BAD_END
    # the custom gets worse with size where the stagnant layer is thick
    rows = startladder.custom_by_flow.si(*DEMO, JULY, [0.02, 0.2, 0.6], DEEP)
    assert rows[0].lowest_oxygen.usual > rows[1].lowest_oxygen.usual > rows[2].lowest_oxygen.usual
    assert rows[2].verdict == startladder.NOT_KEPT


def test_the_year_model_started_in_july_lands_inside_the_range():
    # its own pond at dawn of 24 July is what part A reads; then both run the same hours
    hours = weather.make_weather(weather.typical_climate.si(38.5, 350.0), 230, yearcase.FIRST_DAY, yearcase.STEP)
    pond = seasons.PondModel.si(*DEMO, sediment_demand=yearcase.MUD["in between"], layers=15)
    day, start = hours.hour // 24 + 1, 205
    alone, = seasons.run_year.si([(pond, None)], hours, 8.0)
    dawn = np.flatnonzero(day == start)[4]
    read = Profile.si(alone.depth, alone.temperature[dawn], np.maximum(alone.dissolved_oxygen[dawn], 0))
    top = alone.depth < firststart.parting.si(read, DEEP).usual
    for runs in ([1.0], firststart.COMMON_HOURS, [24.0]):
        made = startladder.course.si(*DEMO, read, yearreport.LIFTED, DEEP, runs, pressure_absolute=97190.0)     # 350 m
        air = seasons.Aeration.si(yearreport.LIFTED.usual, 0.0, DEEP, first_day=start, last_day=300, start_hour=6,
                                  first_hours=(*runs, *[runs[-1]] * 60))
        run, = seasons.run_year.si([(pond, air)], hours, 8.0)
        upper = (run.dissolved_oxygen[:, top] * run.volume[top]).sum(axis=1) / run.volume[top].sum()
        lowest = upper[(day >= start) & (day < start + 30)].min()
        assert made.lowest_oxygen.low <= lowest <= made.lowest_oxygen.high, runs
        if runs == [1.0]:       # what workbook 07 prints
            assert [*made.lowest_oxygen, lowest] == pytest.approx([0.1, 5.4, 7.5, 5.8], abs=0.06)


def test_what_was_not_read_is_found():
    # steps of 0.5 m but for 2 to 4 m; the layers part at 1.25 m, or in the gap
    here = Profile.si([0.5, 1, 1.5, 2, 4], [26, 26, 15, 14, 14], [8, 8, 1, 0, 0])
    assert startladder.unread.si(here, 4.5) == ([(2, 4)], False)
    gap = Profile.si([0.5, 1, 1.5, 2, 4], [26, 26, 26, 26, 14], [8, 8, 8, 8, 0])
    assert startladder.unread.si(gap, 4.5) == ([(2, 4)], True)
    # the steepest step is read, but oxygen ends in the gap above it
    above = Profile.si([0.5, 2, 2.5, 3, 3.5], [26, 25, 24.5, 15, 14], [8, 0.2, 0.1, 0.1, 0.1])
    assert startladder.unread.si(above, 3.5) == ([(0.5, 2)], True)
    # temperature was read all the way, oxygen only at the two ends
    sparse = Profile.si([0.5, 1, 1.5, 2, 2.5, 3, 3.5], [26, 26, 26, 25, 16, 14, 14], [8] + [np.nan] * 5 + [0.1])
    assert startladder.unread.si(sparse, 3.5) == ([(0.5, 3.5)], True)
    shallow = Profile.si([0.1, 0.3, 0.6], [26, 24, 15], [8, 4, 1])
    assert startladder.unread.si(shallow, 4.0) == ([(0.6, 4.0)], True)
    mixed = Profile.si([0.5, 4], [18, 18], [8, 8])
    assert startladder.unread.si(mixed, 4.0) == ([(0.5, 4)], False)
    assert startladder.unread.si(Profile.si([0.5, 1.5, 2.5], [26, 20, 15]), 3.0) == ([], False)
