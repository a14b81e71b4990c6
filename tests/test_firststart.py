"""First start: where the waters part, what the lower one takes, and each part of the balance by hand.

Ladders of run times: kept in a balance of another hand, in steps of a timer, or refused with a reason.
"""

import re

import numpy as np
import pytest
import startbalance
from firstdays import A0, WALLS, D, Z, layered, parts
from hypothesis import given, settings
from hypothesis import strategies as st
from openprofiles import OPEN
from scipy.integrate import solve_ivp

from pondcalc import datafiles, findings, record
from pondcalc.door import firststart
from pondcalc.the_year import seasons, weather, yearcase
from pondcalc.units import QuantityError
from pondcalc.warm_over_cold.profile import Profile, read_profile
from pondcalc.water import Water

STILL = 1e-6                        # m3 a day: no exchange with the air
LIFTED = (0.5, 1.0, 2.0)            # m3/s at the surface
DEMO = findings.pond_shape(record.demo())
DEEP = yearcase.submergence(record.demo(), DEMO[0][-1])
JULY, SEPTEMBER, OCTOBER = (read_profile(datafiles.path(f"demo-profile-{month}.csv"))
                            for month in ("july", "september", "october"))


def pond(profile=None, shape=(Z, WALLS), **known):
    """A pond with only those parts of the balance that are given, the same at all corners; 1 m3/s from below."""
    made = firststart.start_pond.si(*shape, profile or layered(), LIFTED, 5.0)
    plain = {"flow": 86400.0, "oxygen": 8.0, "credit": 0.0, "fast": 0.0, "slow": 0.0, "mud": 0.0, "reach": STILL,
             **known}
    return made._replace(**{name: np.full_like(made.flow, value) for name, value in plain.items()})


def quickest(read=SEPTEMBER, lifted=yearcase.LIFTED, deep=DEEP, shape=DEMO, **known):
    return firststart.quickest_ladder.si(*shape, read, lifted, deep, **known)


def course(read, hours, lifted=yearcase.LIFTED, deep=DEEP, shape=DEMO, **known):
    return firststart.course.si(*shape, read, lifted, deep, hours, **known)


def day(made, hours, number=0):
    return firststart.one_day(made, (made.upper, made.lower, made.oxygen, 0.0 * made.lower), hours, number)


def test_mixing_by_hand():
    # one hour of 1 m3/s: 3600 m3 of 0 mg/L into 20,000 of 8
    # each liter of it burns 2 mg at once, and what is left in it counts
    for known, each in (({}, 0), ({"fast": 2.0}, -2), ({"credit": 3.0}, 3)):
        assert day(pond(**known), 1.0)[1] == pytest.approx((8 * 20000 + each * 3600) / 23600, rel=1e-6)
    # 40,000 m3 are up after 11.1 h; 8 x 20000/60000 is left
    state, _, low = day(pond(), 24.0)
    assert low == pytest.approx(8 / 3, rel=1e-6) and state[1] == pytest.approx(0.0, abs=1e-6)


def test_the_air_makes_up_the_loss_at_the_known_rate():
    # resting, C returns to 8 as exp(-k A t/V): k 0.5 m/d, V/A 2.36 m, 23 h
    state, end, low = day(pond(reach=0.5 * A0), 1.0)
    assert state[2] == pytest.approx(8 - (8 - end) * np.exp(-0.5 * 23 / 24 / 2.36), rel=1e-9)
    assert low == pytest.approx(end)


def test_the_slow_part_burns_on_after_the_run():
    # 3600 m3 with 10 mg/L; in 23 h a share 1 - exp(-0.2 x 23/24) of it; during the run half an hour's, 150 g
    (upper, _, oxygen, slow), end, low = day(pond(slow=10.0, rate=0.2), 1.0)
    burned = 36000.0 * (1 - np.exp(-0.2 * 23 / 24))
    assert (end - oxygen) * upper == pytest.approx(burned, rel=5e-3) and low == pytest.approx(oxygen)
    assert slow + burned == pytest.approx(36000.0 - 150, rel=1e-3)


def test_the_lowest_hour_may_come_in_the_rest():
    # fast pace and strong air: it falls after the run, then recovers; the lowest is neither the end nor the dawn
    made = pond(slow=30.0, rate=3.0, reach=2.0 * A0)
    state, end, low = day(made, 4.0)
    assert (low < end - 0.05).all() and (low < state[2] - 0.05).all()


def test_mud_under_the_sinking_boundary():
    # a bowl of 1 ha, area A0 (1 - z/D), parted at 2 m: volume above z is A0 (z - z2/2D)
    shape = (Z, A0 * (1 - Z / D))
    made = pond(shape=shape, mud=2.0)
    upper = A0 * (2 - 4 / 12)
    assert made.upper == pytest.approx(upper, rel=1e-3)
    state, end, _ = day(made, 1.0)
    sunk = 6 - np.sqrt(36 - 12 * (upper + 3600) / A0)           # depth above which upper + 3600 m3 lie
    bathed = A0 * (1 - 2 / 6) - A0 * (1 - sunk / 6)
    assert (end - state[2]) * state[0] == pytest.approx(2.0 * bathed * 23 / 24, rel=0.01)
    # straight walls have no mud but the bottom, which counts once the last water is up
    assert pond().bathed(59000.0, 1000.0) == pytest.approx(0.0) and pond().bathed(60000.0, 0.0) == pytest.approx(A0)


def test_one_day_agrees_with_a_general_solver():
    made = pond(fast=2.0, slow=12.0, rate=0.3, mud=1.5, reach=0.5 * A0, shape=(Z, A0 * (1 - Z / D)))
    volume, total, bed = made.upper[0], made.upper[0] + made.lower[0], A0 * (1 - 2 / 6)

    def change(running):
        def rate(_, y):
            v, c, s = y
            lift = 86400.0 if running and v < total else 0.0
            wet = bed - A0 * (1 - (6 - np.sqrt(max(0.0, 36 - 12 * v / A0))) / 6)
            return [lift, (lift * (-2.0 * (1 + 7 / 60) - c) + 0.5 * A0 * (8 - c) - 0.3 * s - 1.5 * wet) / v,
                    lift * 12.0 * (1 + 7 / 60) - 0.3 * s]
        return rate
    run = solve_ivp(change(True), (0, 3 / 24), [volume, 8.0, 0.0], rtol=1e-9, atol=1e-9)
    rest = solve_ivp(change(False), (3 / 24, 1), run.y[:, -1], rtol=1e-9, atol=1e-9)
    state, end, low = day(made, 3.0, 7)
    assert end == pytest.approx(run.y[1, -1], abs=3e-3) and state[2] == pytest.approx(rest.y[1, -1], abs=3e-3)
    assert state[3] == pytest.approx(rest.y[2, -1], rel=1e-3)
    assert low == pytest.approx(min(run.y[1].min(), rest.y[1].min()), abs=3e-3)


def test_half_way_down_a_plume_carries_a_third_of_what_reaches_the_top():
    # 5/3 power of height (Morton, Taylor and Turner 1956): 0.315
    assert firststart.flow_through("1000 gpm", "14 ft", "7 ft").m_as("gpm") == pytest.approx(315, abs=0.5)
    with pytest.raises(QuantityError, match="above the diffuser"):
        firststart.flow_through.si(0.1, 2.0, 3.0)


def test_doubling_reaches_sixteen_hours_on_day_six():
    assert firststart.COMMON_HOURS[5] == 16 and firststart.COMMON_HOURS[6] == 24
    first, doubled = firststart.COMMON_HOURS[:5], firststart.COMMON_HOURS[1:6]
    assert doubled == tuple(2 * hours for hours in first)


def test_the_waters_part_above_all_stagnant_water():
    # West Long Lake, 18 August 1999: steepest from 3 to 3.5 m, but 6.3 mg/L at 2.5 m and 0.2 at 3; 1.5 is passed at
    # 2.5 + 0.5 x 4.8/6.1
    west = Profile(*OPEN["West Long Lake, 18 August 1999"])
    assert firststart.parting.si(west, 8.0) == pytest.approx((2.5, 2.5 + 0.5 * 4.8 / 6.1))
    # a thin stagnant layer over better water, above the steepest step at 4.25 m
    minimum = Profile([0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5], [24, 24, 23.9, 23.8, 23.7, 23.5, 23.3, 23, 15, 14],
                      [8, 8, 8, 0.4, 5, 5, 5, 4, 0.1, 0.1])
    assert firststart.parting.si(minimum, 4.5) == pytest.approx((1.5, 1.5 + 0.5 * 6.5 / 7.6))
    # July: the steepest layer, 4 to 5 ft, lies above 1.5 mg/L
    assert firststart.parting.si(JULY, 3.8) == pytest.approx((4 * 0.3048, 4.5 * 0.3048))


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(5, 30), st.floats(0, 10)), min_size=3, max_size=14), st.floats(0.1, 0.5))
def test_no_reading_above_the_boundary_is_stagnant(rows, step):
    z = step * (1 + np.arange(len(rows)))
    t, c = np.array(rows).T
    part = firststart.parting.si(Profile(z, t, c), 0.9 * z[-1])
    above = c[z < part.usual - 1e-9]
    assert part.usual >= part.high > 0 and (above >= 1.5).all()


@pytest.mark.parametrize("name", OPEN)
def test_open_profiles_keep_their_stagnant_water_below(name):
    read = Profile(*OPEN[name])
    part = firststart.parting.si(read, 0.9 * read.depth[-1])
    above = read.oxygen_at(np.linspace(read.depth[0], part.usual - 1e-6, 500))
    assert above.min() >= 1.5 - 1e-6


def test_workbooks_05_and_07_charge_the_same_demand():
    demo, boundary = record.demo(), 4.5 * 0.3048
    depth, area = findings.pond_shape(demo)
    owed = firststart.debts.si(depth, area, JULY, boundary, findings.pond_demand(demo))
    # by hand from the level table: oxygen passes 1 mg/L at 6.38 ft (1.3 at 6, 0.5 at 7); 0.37 +- 0.12 g/(m2 d) (Mueller
    # and others 2012) for 60 days from the mud there into the water below 4.5 ft; a quarter of it burned at once
    feet = [q.m_as("ft") for q in demo.get("water", "level_depth")]
    mud = np.interp(6.375, feet, [q.m_as("m^2") for q in demo.get("water", "level_area")])
    lower = np.interp(4.5, feet, [q.m_as("m^3") for q in demo.get("water", "level_volume")])
    assert owed.fast == pytest.approx([0.25 * 60 * 0.1 * mud / lower, 0.37 * 60 * 0.25 * mud / lower,
                                       0.49 * 60 * 0.5 * mud / lower], rel=0.01)
    assert owed.whole == pytest.approx([flux * 60 * mud / lower for flux in (0.25, 0.37, 0.49)], rel=0.01)
    again = firststart.debts.si(depth, area, JULY, boundary)
    assert again.fast == pytest.approx(owed.fast, rel=0.01) and again.whole == pytest.approx(owed.whole, rel=0.01)


def test_the_demand_of_the_lower_water_is_never_below_the_least():
    fresh = layered(8.0, 1.5)                           # nothing reads below 1 mg/L
    owed = firststart.debts.si(Z, WALLS, fresh, 2.0, (1.0, 5.0, 14.0))
    # 2 at once is a quarter of 8 in all, and 0.25 and 0.49 over 0.37 of that at the ends
    assert owed.fast == firststart.LEAST_DEMAND and owed.whole == pytest.approx((5.405, 8.0, 10.595), abs=0.001)
    # straight walls, 4 m under the boundary, all stagnant: the demand as it is, and in all at least twice that
    owed = firststart.debts.si(Z, WALLS, layered(8.0, 0.0), 2.0, (1.0, 5.0, 40.0))
    assert owed.fast == pytest.approx((1, 5, 40)) and owed.whole.high == pytest.approx(80)


def test_corners_hold_the_stated_ends():
    made = firststart.start_pond.si(Z, WALLS, layered(), LIFTED, 5.0)
    # 26 over 14 C, a third of it above: 18 to 28 C; mud 0.22 to 2 g/m2/d, 1.065 a degree; pace 0.05 to 0.3, 1.047
    assert [made.mud.min(), made.mud.max()] == pytest.approx([0.22 * 1.065 ** -2, 2.0 * 1.065 ** 8], rel=1e-3)
    assert [made.rate.min(), made.rate.max()] == pytest.approx([0.05 * 1.047 ** -2, 0.3 * 1.047 ** 8], rel=1e-3)
    assert [made.oxygen.min(), made.oxygen.max()] == pytest.approx([7.5, 8.5]) and made.credit.min() == 0
    assert [made.reach.min(), made.reach.max()] == pytest.approx([0.35 * A0, 0.74 * A0])
    assert made.flow.max() == pytest.approx(2.0 * 86400 * (3 / 5) ** (5 / 3), rel=1e-6)


def test_reasons_not_to_start():
    def answer(profile, floor=4.0):
        return firststart.plain_answer(firststart.start_pond.si(Z, WALLS, profile, LIFTED, 5.0), profile, floor)
    assert answer(layered()) is None
    assert not answer(layered(top=4.4))[0] and "not above the 4.0 to keep" in answer(layered(top=4.4))[1]
    assert not answer(layered(top=1.0, bottom=0.2))[0]                          # stagnant to the very top
    assert answer(Profile([0, 6], [18, 18], [7, 7]))[0]
    assert answer(Profile([0, 3, 6], [18, 18, 18], [3.2, 3, 2.9]))[0]         # low, but even: nothing to bring up
    assert answer(Profile([0, 1, 2, 4, 6], [18] * 5, [6, 6, 5, 2, 1.6])) is None  # as warm, but too little in all
    # even warmth does not make stagnant water good
    even = Profile([0, 1, 2, 3, 4, 5, 6], [18] * 7, [7, 7, 7, 6, 3, 0.5, 0.1])
    assert answer(even) is None
    winter = Profile([0, 2, 4, 6], [1, 3, 4, 4], [10, 8, 3, 0.5])
    assert not answer(winter)[0] and "winter layers" in answer(winter)[1]
    assert not answer(Profile([0, 3, 6], [15, 20, 25], [8, 8, 0.5]))[0]
    with pytest.raises(QuantityError, match="oxygen readings"):
        answer(Profile([0, 6], [26, 14]))
    with pytest.raises(QuantityError, match="above zero"):
        firststart.start_pond.si(Z, WALLS, layered(), (0.0, 0.1, 0.2), 5.0)


def test_the_rules_name_what_the_sums_leave_out():
    rules = " ".join(firststart.STOP_RULES)
    assert "hydrogen sulfide" in rules and "ammonia" in rules and "half as long" in rules
    assert len(yearcase.say_rules().split("\n")) >= len(firststart.STOP_RULES)


WEST = Profile(*(values[:12] for values in OPEN["West Long Lake, 18 August 1999"]))      # its top 5.5 m
WEST_SHAPE = (np.linspace(0, 5.5, 111), 12000 * (1 - np.linspace(0, 1, 111)) ** 1.2)

CASES = {"July, an hour a day": (DEMO, JULY, yearcase.LIFTED, DEEP, [1.0], None),
         "July, the custom": (DEMO, JULY, yearcase.LIFTED, DEEP, firststart.COMMON_HOURS, None),
         "September, a ladder": (DEMO, SEPTEMBER, yearcase.LIFTED, DEEP, [3 + n / 4 for n in range(60)], None),
         "September, bottle tests": (DEMO, SEPTEMBER, yearcase.LIFTED, DEEP, [4.0], (1.0, 3.0, 6.0)),
         "straight walls": ((Z, WALLS), layered(9.0, 0.0, 4.5), (0.2, 0.3, 0.5), 5.4, [8.0], None),
         "West Long Lake": (WEST_SHAPE, WEST, (0.1, 0.15, 0.25), 4.9, [0.5, 1.0, 1.5], None)}


@pytest.mark.parametrize("name", CASES)
def test_the_bad_end_is_that_of_a_balance_of_another_hand(name):
    shape, read, lifted, deep, hours, bottle = CASES[name]
    low = startbalance.lowest(shape, parts(read), lifted, deep, hours, bottle)      # 512 corners, scipy solve_ivp
    made = course(read, hours, lifted, deep, shape, demand=bottle)
    assert made.lowest_oxygen.low == pytest.approx(max(0.0, low.min()), abs=0.1), "and never above it:"
    assert made.lowest_oxygen.low <= max(0.0, low.min()) + 0.02
    assert made.lowest_oxygen.high == pytest.approx(low.max(), abs=0.1)


def test_a_ladder_offered_keeps_the_oxygen_at_every_corner(monkeypatch):
    found = quickest()
    low = startbalance.lowest(DEMO, parts(SEPTEMBER), yearcase.LIFTED, DEEP, found.course.hours)
    assert found.go and low.min() >= 4.0 and found.course.verdict == firststart.KEPT
    assert found.course.lowest_oxygen.low <= low.min() + 0.02
    assert found.course.lifted_share <= 0.25 + 1e-9 and found.course.finish.high <= firststart.LONGEST
    assert min(found.course.go_reading) >= found.course.stop_reading == pytest.approx(4.5)
    # on day 1 the go reading is the mean of the upper water as read; a quarter of the lower water a day at most
    assert found.course.go_reading[0] == pytest.approx(np.interp(3.0, [1, 5], [8, 8]), abs=0.25)
    monkeypatch.setattr("pondcalc.the_year.firststart.DAILY_SHARE", 1.0)
    assert quickest(floor=3.0).course.lifted_share > 0.25


def test_july_is_refused_with_the_reason_and_what_to_do():
    found = quickest(JULY)
    low = startbalance.lowest(DEMO, parts(JULY), yearcase.LIFTED, DEEP, [0.25],
                              least_days=firststart.LONGEST)
    assert low.min() < 4.0, "even the gentlest fails in the other balance"
    assert not found.go and found.course is None and "15 minutes a day" in found.reason
    assert "spring or fall" in found.reason and found.boundary == pytest.approx(4.5 * 0.3048)


def test_stagnant_water_above_the_steepest_step_is_counted():
    # 26 C to 3.5 m, a step to 14 C; but oxygen ends at 2 m: 1.5 m of stagnant water lie above the step
    z = np.arange(0.25, 6.0, 0.25)
    read = Profile(z, np.where(z <= 3.5, 26.0 - 0.05 * z, 14.0), np.where(z <= 2.0, 8.0, 0.2))
    step = Profile(z, read.temperature, np.where(z <= 3.5, 8.0, 0.2))        # as if it held oxygen
    found, fresh = (course(p, [6.0], (0.05, 0.1, 0.2), 5.4, (Z, WALLS)) for p in (read, step))
    low = startbalance.lowest((Z, WALLS), parts(read), (0.05, 0.1, 0.2), 5.4, [6.0])
    assert found.lowest_oxygen.low <= max(0.0, low.min()) + 0.02 and found.verdict != firststart.KEPT
    assert found.lowest_oxygen.usual < fresh.lowest_oxygen.usual - 1


def test_each_debt_lowers_the_oxygen(monkeypatch):
    def low(**known):
        return course(SEPTEMBER, [4.0], **known).lowest_oxygen.low
    usual = low()
    assert low(mud=(0.1, 0.3, 1.0)) > usual + 0.2 and low(demand=(0, 2, 4)) > usual + 0.2
    monkeypatch.setattr("pondcalc.the_year.firststart.EXCHANGE", (0.3, 0.5, 0.74))
    assert low() < usual - 0.1


def test_a_larger_demand_never_makes_a_quicker_ladder():
    made = [quickest(floor=4.4, demand=(0.0, most / 2, most)) for most in (4.0, 8.0, 14.0, 24.0)]
    days = [found.course.finish.usual if found.go else np.inf for found in made]
    assert days == sorted(days) and days[0] < days[-1]


def test_ladder_hours_are_what_a_timer_can_be_set_to():
    assert firststart.ladder_hours("30 min", "15 min").m_as("minute")[:4].tolist() == pytest.approx([30, 45, 60, 75])
    assert firststart.ladder_hours.si(20.0, 2.0)[:4].tolist() == [20, 22, 24, 24]
    assert set(firststart.ladder_hours.si(0.1)) == {0.25}
    for bad in ((0.0, 1.0), (25.0, 1.0), (1.0, -0.5)):
        with pytest.raises(ValueError, match="ladder starts"):
            firststart.ladder_hours.si(*bad)


def test_when_no_ladder_is_needed_or_none_can_help():
    mixed = quickest(OCTOBER)
    assert mixed.go and mixed.first_run == 24 and mixed.course is None
    for read, lifted, deep, floor, says in (
            (layered(4.3), (0.1, 0.2, 0.3), 5.0, 4.0, "not above the 4.0 to keep"),
            (layered(6.0), (4.0, 6.0, 9.0), 5.0, 4.0, "No ladder"),
            (layered(11.0, 4.0, 5.0), (1e-4, 2e-4, 3e-4), 5.9, 3.0, "Even day and night")):
        found = quickest(read, lifted, deep, (Z, WALLS), floor=floor)
        assert not found.go and says in found.reason
    with pytest.raises(QuantityError, match="oxygen readings"):
        firststart.quickest_ladder.si(Z, WALLS, Profile([0, 6], [26, 14]), (0.1, 0.1, 0.1), 5.0)
    with pytest.raises(ValueError, match="between 0 and 24"):
        firststart.course.si(Z, WALLS, layered(), (0.1, 0.1, 0.1), 5.0, [25.0])


def ends_early(read, count, top=0.0):
    """The first readings of a profile; oxygen at least `top`."""
    return Profile(*(values[:count] for values in parts(read)[:2]), np.maximum(parts(read)[2][:count], top))


@pytest.mark.parametrize("read, count", [(SEPTEMBER, 6), (SEPTEMBER, 10), (SEPTEMBER, 11), (OCTOBER, 8),
                                         (JULY, 5)])
def test_readings_that_end_in_good_water_far_above_the_diffuser_are_refused(read, count):
    # diffuser 12.1 ft down; oxygen read to 5, 9, 10 (1.3 mg/L), 7 and 4 ft
    for cut in (ends_early(read, count), Profile(*parts(read)[:2], np.where(
            np.arange(len(read.depth)) < count, read.dissolved_oxygen, np.nan))):
        for tried in (quickest, lambda cut: course(cut, [1.0])):
            with pytest.raises(QuantityError, match=r"end at .*within 2 ft \(0.6 m\) of the diffuser"):
                tried(cut)
    # ending in stagnant water they are as good as whole ones: nothing worse can lie below
    assert quickest(ends_early(SEPTEMBER, 12)).course.hours == quickest().course.hours


@pytest.mark.parametrize("shape, lifted, floor", [(DEMO, yearcase.LIFTED, 4.0), (DEMO, (0.03, 0.05, 0.1), 5.0),
                                                  ((DEMO[0], np.full(len(DEMO[0]), 4000.0)), (0.05, 0.1, 0.2), 3.0)])
def test_water_that_nobody_read_may_be_the_worst(shape, lifted, floor):
    """Readings end in good water 2 ft above the diffuser or nearer; under them lies cold water without oxygen."""
    z, t, c = parts(SEPTEMBER)
    for count, warm in ((12, t), (13, t), (13, np.full(15, t[0])), (14, np.full(15, t[0]))):
        c_read, truth = np.maximum(c[:count], 2.5 if warm is t else 7.5), np.append(z[:count], z[count - 1] + 0.01)
        read = Profile(z[:count], warm[:count], c_read)
        truth = (np.append(truth, shape[0][-1]), np.r_[warm[:count], [warm[count - 1] - 4] * 2], np.r_[c_read, 0, 0])
        found = quickest(read, lifted, shape=shape, floor=floor)
        if found.go:
            hours = found.course.hours if found.course else [24.0]
            assert startbalance.lowest(shape, truth, lifted, DEEP, hours).min() >= floor, (count, found.first_run)
        else:           # with straight walls what nobody read is 29 % of the water
            assert "was not read" in found.reason or warm is t and shape[1][-1] > 0


def test_each_refusal_names_its_cause():
    def why(*here, **known):
        found = quickest(*here, **known)
        assert not found.go and found.course is None
        return found.reason
    z, t, _ = parts(SEPTEMBER)
    assert "whole pond mixed would hold 3.9 mg/L" in why(JULY)     # 57 % at 6.0, 43 % at 1.0: step 1 of 07
    assert "mud under it may take more than the air gives back" in why(floor=6.0)
    assert "slow enough for the oxygen above" in why(floor=5.0)
    assert "Even day and night this diffuser" in why(lifted=(1e-4, 2e-4, 3e-4))
    assert "low end. Estimate it better" in why(lifted=(1e-3, 0.1, 0.6))
    # the oxygen lasts, but a quarter of an hour of so much water is more than a quarter of the lower water
    assert "even 15 minutes may lift" in why(lifted=(3.0, 6.0, 9.0))
    # 27 C at 750 hPa: 8.0 mg/L x 0.73 at rest; more than that is made by algae
    hot = Profile(z, t + 27 - t[0], np.where(z < 2.7, 14.0, 0.2))
    assert re.search(r"At rest with the air.* 5\.8 mg/L here", why(hot, floor=5.5, water=Water(np.nan, 75000.0)))
    even = np.full(len(z), 18.0)
    mixed = why(Profile(z, even, np.where(z > 3, 0.3, 7.0)), floor=6.4)
    assert "spring or fall" not in mixed and "Wait until the readings show more oxygen" in mixed
    assert "winter layers" in why(Profile(z, np.linspace(1, 4, 15), np.linspace(9, 1, 15)))
    assert "heavier than the water under it" in why(Profile(z, t[::-1], np.linspace(9, 1, 15)))
    assert "not above the 7.8 to keep" in why(floor=7.8)
    # read to 11 ft of 14.1, the last with 5 mg/L: were the rest as good, a ladder would keep 5 mg/L above
    assert re.search("end at 11.0 ft.* counts as without oxygen", why(ends_early(SEPTEMBER, 12, 5.0),
                                                                      (0.05, 0.1, 0.2), floor=5.0))
    level = Profile(np.append(z[:12], DEMO[0][-1]), np.append(t[:12], t[11]), np.append(np.maximum(
        parts(SEPTEMBER)[2][:12], 5.0), 5.0))
    assert quickest(level, (0.05, 0.1, 0.2), floor=5.0).course is not None
    straight = (DEMO[0], np.full(len(DEMO[0]), 4000.0))
    assert re.search("mixed down to 12.0 ft.*close to the bottom", why(
        Profile(z[:13], even[:13], np.full(13, 7.0)), (0.05, 0.1, 0.2), shape=straight))


def test_the_custom_is_judged_for_each_size_as_one_by_one():
    rows = firststart.custom_by_flow.si(*DEMO, SEPTEMBER, [0.02, 0.2, 0.6], DEEP, (0.5, 1.0, 2.0))
    for flow, made in zip((0.02, 0.2, 0.6), rows, strict=True):
        low = startbalance.lowest(DEMO, parts(SEPTEMBER), (flow / 2, flow, 2 * flow), DEEP, firststart.COMMON_HOURS)
        assert made.lowest_oxygen.low == pytest.approx(low.min(), abs=0.1)
    assert rows[0].verdict == firststart.KEPT
    rows = firststart.custom_by_flow.si(*DEMO, SEPTEMBER, [0.2], DEEP, floor=6.3)
    assert rows[0].verdict == firststart.NOT_AT_BAD_END
    # the custom gets worse with size where the stagnant layer is thick
    rows = firststart.custom_by_flow.si(*DEMO, JULY, [0.02, 0.2, 0.6], DEEP)
    assert rows[0].lowest_oxygen.usual > rows[1].lowest_oxygen.usual > rows[2].lowest_oxygen.usual
    assert rows[2].verdict == firststart.NOT_KEPT


def test_the_year_model_started_in_july_lands_inside_the_range():
    # its own pond at dawn of 24 July is what part A reads; then both run the same hours
    hours = weather.make_weather(weather.typical_climate(38.5, 350.0), 230, yearcase.FIRST_DAY, yearcase.STEP)
    pond = seasons.PondModel(*DEMO, sediment_demand=yearcase.MUD["in between"], layers=15)
    day, start = hours.hour // 24 + 1, 205
    alone, = seasons.run_year([(pond, None)], hours, 8.0)
    dawn = np.flatnonzero(day == start)[4]
    read = Profile(alone.depth, alone.temperature[dawn], np.maximum(alone.dissolved_oxygen[dawn], 0))
    top = alone.depth < firststart.parting.si(read, DEEP).usual
    for runs in ([1.0], firststart.COMMON_HOURS, [24.0]):
        made = course(read, runs, water=Water(np.nan, 97190.0))     # 350 m
        air = seasons.Aeration(yearcase.LIFTED.usual, 0.0, DEEP, first_day=start, last_day=300, start_hour=6,
                               first_hours=(*runs, *[runs[-1]] * 60))
        run, = seasons.run_year([(pond, air)], hours, 8.0)
        upper = (run.dissolved_oxygen[:, top] * run.volume[top]).sum(axis=1) / run.volume[top].sum()
        lowest = upper[(day >= start) & (day < start + 30)].min()
        assert made.lowest_oxygen.low <= lowest <= made.lowest_oxygen.high, runs
        if runs == [1.0]:       # what workbook 07 prints
            assert [*made.lowest_oxygen, lowest] == pytest.approx([1.0, 5.5, 7.5, 6.0], abs=0.06)


@pytest.mark.parametrize("z, t, c, deep, found", [
    # steps of 0.5 m but for 2 to 4 m; the layers part at 1.25 m, or in the gap
    ([0.5, 1, 1.5, 2, 4], [26, 26, 15, 14, 14], [8, 8, 1, 0, 0], 4.5, ([(2, 4)], False)),
    ([0.5, 1, 1.5, 2, 4], [26, 26, 26, 26, 14], [8, 8, 8, 8, 0], 4.5, ([(2, 4)], True)),
    # the steepest step is read, but oxygen ends in the gap above it
    ([0.5, 2, 2.5, 3, 3.5], [26, 25, 24.5, 15, 14], [8, 0.2, 0.1, 0.1, 0.1], 3.5, ([(0.5, 2)], True)),
    # temperature was read all the way, oxygen only at the two ends
    ([0.5, 1, 1.5, 2, 2.5, 3, 3.5], [26, 26, 26, 25, 16, 14, 14], [8] + [np.nan] * 5 + [0.1], 3.5,
     ([(0.5, 3.5)], True)),
    ([0.1, 0.3, 0.6], [26, 24, 15], [8, 4, 1], 4.0, ([(0.6, 4.0)], True)),
    ([0.5, 4], [18, 18], [8, 8], 4.0, ([(0.5, 4)], False)),
    ([0.5, 1.5, 2.5], [26, 20, 15], None, 3.0, ([], False))])
def test_what_was_not_read_is_found(z, t, c, deep, found):
    assert firststart.unread.si(Profile(z, t, c), deep) == found
