"""First start: where the waters part, what the lower one takes, and each part of the balance by hand."""

import numpy as np
import pytest
from firstdays import A0, WALLS, D, Z, layered
from hypothesis import given, settings
from hypothesis import strategies as st
from openprofiles import OPEN
from scipy.integrate import solve_ivp

from pondcalc import datafiles, findings, record
from pondcalc.the_year import firststart, yearreport
from pondcalc.units import QuantityError
from pondcalc.warm_over_cold.profile import Profile, read_profile

STILL = 1e-6                        # m3 a day: no exchange with the air
LIFTED = (0.5, 1.0, 2.0)            # m3/s at the surface
JULY = read_profile(datafiles.path("demo-profile-july.csv"))


def pond(profile=None, shape=(Z, WALLS), **known):
    """A pond with only those parts of the balance that are given, the same at all corners; 1 m3/s from below."""
    made = firststart.start_pond.si(*shape, profile or layered(), LIFTED, 5.0)
    plain = {"flow": 86400.0, "oxygen": 8.0, "credit": 0.0, "fast": 0.0, "slow": 0.0, "mud": 0.0, "reach": STILL,
             **known}
    return made._replace(**{name: np.full_like(made.flow, value) for name, value in plain.items()})


def day(made, hours, number=0):
    return firststart.one_day(made, (made.upper, made.lower, made.oxygen, 0.0 * made.lower), hours, number)


def test_mixing_by_hand():
    # one hour of 1 m3/s: 3600 m3 of 0 mg/L into 20,000 of 8
    assert day(pond(), 1.0)[1] == pytest.approx(8 * 20000 / 23600, rel=1e-6)
    # each liter of it burns 2 mg at once
    assert day(pond(fast=2.0), 1.0)[1] == pytest.approx((8 * 20000 - 2 * 3600) / 23600, rel=1e-6)
    # and what is left in it counts
    assert day(pond(credit=3.0), 1.0)[1] == pytest.approx((8 * 20000 + 3 * 3600) / 23600, rel=1e-6)
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
    west = Profile.si(*OPEN["West Long Lake, 18 August 1999"])
    assert firststart.parting.si(west, 8.0) == pytest.approx((2.5, 2.5 + 0.5 * 4.8 / 6.1))
    # a thin stagnant layer over better water, above the steepest step at 4.25 m
    minimum = Profile.si([0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5], [24, 24, 23.9, 23.8, 23.7, 23.5, 23.3, 23, 15, 14],
                         [8, 8, 8, 0.4, 5, 5, 5, 4, 0.1, 0.1])
    assert firststart.parting.si(minimum, 4.5) == pytest.approx((1.5, 1.5 + 0.5 * 6.5 / 7.6))
    # July: the steepest layer, 4 to 5 ft, lies above 1.5 mg/L
    assert firststart.parting.si(JULY, 3.8) == pytest.approx((4 * 0.3048, 4.5 * 0.3048))


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(5, 30), st.floats(0, 10)), min_size=3, max_size=14), st.floats(0.1, 0.5))
def test_no_reading_above_the_boundary_is_stagnant(rows, step):
    z = step * (1 + np.arange(len(rows)))
    t, c = np.array(rows).T
    part = firststart.parting.si(Profile.si(z, t, c), 0.9 * z[-1])
    above = c[z < part.usual - 1e-9]
    assert part.usual >= part.high > 0 and (above >= 1.5).all()


@pytest.mark.parametrize("name", OPEN)
def test_open_profiles_keep_their_stagnant_water_below(name):
    read = Profile.si(*OPEN[name])
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
    assert answer(Profile.si([0, 6], [18, 18], [7, 7]))[0]
    assert answer(Profile.si([0, 3, 6], [18, 18, 18], [3.2, 3, 2.9]))[0]         # low, but even: nothing to bring up
    assert answer(Profile.si([0, 1, 2, 4, 6], [18] * 5, [6, 6, 5, 2, 1.6])) is None  # as warm, but too little in all
    # even warmth does not make stagnant water good
    even = Profile.si([0, 1, 2, 3, 4, 5, 6], [18] * 7, [7, 7, 7, 6, 3, 0.5, 0.1])
    assert answer(even) is None
    winter = Profile.si([0, 2, 4, 6], [1, 3, 4, 4], [10, 8, 3, 0.5])
    assert not answer(winter)[0] and "winter layers" in answer(winter)[1]
    assert not answer(Profile.si([0, 3, 6], [15, 20, 25], [8, 8, 0.5]))[0]
    with pytest.raises(QuantityError, match="oxygen readings"):
        answer(Profile.si([0, 6], [26, 14]))
    with pytest.raises(QuantityError, match="above zero"):
        firststart.start_pond.si(Z, WALLS, layered(), (0.0, 0.1, 0.2), 5.0)


def test_the_rules_name_what_the_sums_leave_out():
    rules = " ".join(firststart.STOP_RULES)
    assert "hydrogen sulfide" in rules and "ammonia" in rules and "half as long" in rules
    assert len(yearreport.say_rules().split("\n")) >= len(firststart.STOP_RULES)
