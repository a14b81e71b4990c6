"""First start: balances by hand, and the floor kept."""

import numpy as np
import pytest
from firstdays import A0, WALLS, Z, layered, try_hours
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pondcalc.the_year import firststart
from pondcalc.units import Q, QuantityError
from pondcalc.warm_over_cold import overturn
from pondcalc.warm_over_cold.profile import Profile, read_profile

STILL = (0.0, 0.0, 0.0)             # no exchange with the air


def test_mixing_by_hand():
    # 2 m at 8 mg/L over 4.1 m at 0 (vertical sides) leaves 2.6 mg/L everywhere, before any demand
    z = np.linspace(0, 6.1, 611)
    plan = firststart.start_plan.si(z, np.full(611, A0), layered(depth=6.1), (0.1, 0.1, 0.1),
                                    demand=(0, 0, 0))
    assert plan.oxygen_at_once.usual == pytest.approx(2.6, abs=0.03)
    assert plan.stagnant_volume == pytest.approx(4.1 * A0, rel=1e-6)
    # one hour of 1 m3/s: 3600 m3 of 0 mg/L into 20,000 of 8 -> 8 x 20000/23600
    lowest, _ = try_hours(layered(), (1.0, 1.0, 1.0), [1.0, 0.0], (0, 0, 0), STILL)
    assert lowest[-1] == pytest.approx(8 * 20000 / 23600, rel=1e-6)
    # each litre of stagnant water may also burn 2 mg/L: (8 x 20000 - 2 x 3600)/23600
    owing, _ = try_hours(layered(), (1.0, 1.0, 1.0), [1.0, 0.0], (2, 2, 2), STILL)
    assert owing[-1] == pytest.approx((8 * 20000 - 2 * 3600) / 23600, rel=1e-6)


def test_lifting_everything_ends_at_the_overturn_value():
    p = layered(boundary=3.0)
    lowest, _ = try_hours(p, (2.0, 2.0, 2.0), [24.0], (0, 1, 2), STILL)
    sudden = overturn.mixed_after_overturn.si(Z, WALLS, p, (0, 1, 2), stagnant_below=3.0)
    assert lowest.min() == pytest.approx(sudden.dissolved_oxygen.low, rel=1e-6)
    assert lowest[-1] == pytest.approx(sudden.dissolved_oxygen.usual, rel=1e-6)


def test_the_air_makes_up_the_loss_at_the_known_rate():
    # between runs C returns to where it was as exp(-k A t/V): k 0.5 m/d, V/A 2.36 m, 23 h
    pond = firststart.start_pond(Z, WALLS, layered(), (1.0, 1.0, 1.0), (0, 0, 0), (0.5, 0.5, 0.5), None)
    _, lowest, state = firststart._day(pond, pond.start, hours=1.0)
    back = 8 - (8 - lowest[-1]) * np.exp(-0.5 * 23 / 24 / 2.36)
    assert state.oxygen[-1] == pytest.approx(back, rel=2e-3)


def test_half_way_down_a_plume_carries_a_third_of_what_reaches_the_top():
    # 5/3 power of height (Morton, Taylor and Turner 1956): 0.315
    assert firststart.flow_through("1000 gpm", "14 ft", "7 ft").m_as("gpm") == pytest.approx(315, abs=0.5)
    with pytest.raises(QuantityError, match="above the diffuser"):
        firststart.flow_through.si(0.1, 2.0, 3.0)


def test_doubling_reaches_sixteen_hours_on_day_six():
    assert firststart.COMMON_HOURS[5] == 16 and firststart.COMMON_HOURS[6] == 24
    first, doubled = firststart.COMMON_HOURS[:5], firststart.COMMON_HOURS[1:6]
    assert doubled == tuple(2 * hours for hours in first)


@settings(max_examples=15, deadline=None)
@given(st.floats(4.6, 9.0), st.floats(1.0, 4.0), st.floats(0.02, 0.4), st.floats(1.0, 4.0), st.floats(0, 6))
@example(5.2109375, 1.0, 0.02, 1.0, 0.0)        # a thin upper layer has not recovered on the day the last water is up
def test_no_day_of_a_plan_falls_below_the_floor(top, boundary, flow, spread, demand):
    p = layered(top, 0.0, boundary)
    flows, owed = (flow, flow * spread ** 0.5, flow * spread), (0.0, demand / 2, demand)
    plan = firststart.start_plan.si(Z, WALLS, p, flows, demand=owed)
    if not plan.go:
        assert plan.reason
        return
    assert min(d.oxygen_lowest.low for d in plan.days) >= 4.0 - 1e-9
    assert plan.days[-1].hours == 24                        # it always ends in running day and night
    for day in plan.days:
        assert day.stagnant_left.low <= day.stagnant_left.usual <= day.stagnant_left.high
        assert day.stop_reading == pytest.approx(4.5) and day.go_reading <= top + 1e-9
    # the schedule itself, tried like any other, is safe
    hours = [d.hours for d in plan.days]
    assert try_hours(p, flows, hours, owed)[0].min() >= 4.0 - 1e-9


def test_no_more_than_a_quarter_of_the_stagnant_water_a_day():
    plan = firststart.start_plan.si(Z, WALLS, layered(9.0, 2.0, 4.0), (0.2, 0.2, 0.2), demand=(0, 0, 0))
    left = [1.0] + [d.stagnant_left.low for d in plan.days]
    drops = -np.diff(left)
    assert drops[0] <= 0.25 + 1e-6 and drops[0] > 0.2
    free = firststart.start_plan.si(Z, WALLS, layered(9.0, 2.0, 4.0), (0.2, 0.2, 0.2), demand=(0, 0, 0),
                                    daily_share=1.0)
    assert free.finish.usual < plan.finish.usual


def test_reasons_not_to_start():
    low = firststart.start_plan.si(Z, WALLS, layered(top=3.5), (0.1, 0.1, 0.1))
    assert not low.go and "not above the 4.0 to keep" in low.reason
    torrent = firststart.start_plan.si(Z, WALLS, layered(top=4.3), (4.0, 6.0, 9.0))
    assert not torrent.go and "quarter of an hour" in torrent.reason
    mixed = firststart.start_plan.si(Z, WALLS, Profile.si([0, 6], [18, 18], [7, 7]), (0.1, 0.1, 0.1))
    assert mixed.go and "mixed" in mixed.reason and mixed.days == ()
    with pytest.raises(QuantityError, match="oxygen readings"):
        firststart.start_plan.si(Z, WALLS, Profile.si([0, 6], [26, 14]), (0.1, 0.1, 0.1))
    with pytest.raises(QuantityError, match="above zero"):
        firststart.start_plan.si(Z, WALLS, layered(), (0.0, 0.1, 0.2))
    with pytest.raises(QuantityError, match="not inside the pond"):
        firststart.start_plan.si(Z, WALLS, layered(), (0.1, 0.1, 0.2), boundary=9.0)


def test_quantities_at_the_door_and_the_demonstration_pond():
    from pathlib import Path
    p = read_profile(Path(__file__).resolve().parent.parent / "data" / "demo-profile-july.csv")
    depth = Q(np.linspace(0, 14.5, 100), "ft")
    area = Q(2.4 * (1 - np.linspace(0, 1, 100)) ** 1.25, "acre")
    plan = firststart.start_plan(depth, area, p, ("300 gpm", "1000 gpm", "3000 gpm"), floor="4 mg/L")
    below = 15.467 * (1 - plan.boundary.m_as("ft") / 14.5) ** 2.25    # closed form of the demo pond
    assert plan.go and plan.stagnant_volume.m_as("acre_foot") == pytest.approx(below, rel=2e-3)
    flows = [Q(flow, "gpm").m_as("m^3/s") for flow in (300, 1000, 3000)]
    hasty, _ = try_hours(p, flows, [24.0], shape=(depth.m_as("m"), area.m_as("m^2")))
    assert hasty.min() < 4 <= min(d.oxygen_lowest.low for d in plan.days)


def test_workbooks_05_and_07_charge_the_same_demand():
    from pondcalc import datafiles, findings, record
    from pondcalc.warm_over_cold.profile import read_profile
    demo, july, boundary = record.demo(), read_profile(datafiles.path("demo-profile-july.csv")), 4.5 * 0.3048
    depth, area = findings.pond_shape(demo)
    owed = firststart.lower_demand.si(depth, area, july, findings.pond_demand(demo), boundary)
    # by hand from the level table: oxygen passes 1 mg/L at 6.35 ft; 0.37 g/(m2 d) (Mueller and others 2012) for 60
    # days, a quarter burned at once, from the mud at 6.35 ft, into the water below 4.5 ft
    feet = [q.m_as("ft") for q in demo.get("water", "level_depth")]
    mud = np.interp(6.35, feet, [q.m_as("m^2") for q in demo.get("water", "level_area")])
    lower = np.interp(4.5, feet, [q.m_as("m^3") for q in demo.get("water", "level_volume")])
    assert owed == pytest.approx([0.25 * 60 * 0.1 * mud / lower, 0.37 * 60 * 0.25 * mud / lower,
                                  0.49 * 60 * 0.5 * mud / lower], rel=0.01)
    # and so both leave the same when all is mixed at once
    at_once = firststart.start_plan.si(depth, area, july, (0.05, 0.1, 0.2), demand=owed, boundary=boundary)
    risk, values = findings.layers(depth, area, july)
    assert at_once.oxygen_at_once == pytest.approx([q.m_as("mg/L") for q in values["mixed_oxygen"]], abs=0.02)
    assert [q.m_as("mg/L") for q in values["demand"]] == pytest.approx(findings.pond_demand(demo))


def test_the_demand_of_the_lower_water_is_never_below_the_least():
    fresh = layered(8.0, 1.5)                           # nothing reads below 1 mg/L
    assert firststart.lower_demand.si(Z, WALLS, fresh, (1.0, 5.0, 14.0), 2.0) == firststart.LEAST_DEMAND
    # straight walls, 4 m under the boundary, all stagnant: the demand as it is
    assert firststart.lower_demand.si(Z, WALLS, layered(8.0, 0.0), (1.0, 5.0, 14.0), 2.0) == pytest.approx((1, 5, 14))


def test_a_larger_demand_never_makes_a_quicker_ladder():
    from pondcalc.the_year import startladder
    days = []
    for most in (4.0, 8.0, 12.0, 16.0):
        made = startladder.safe_ladder.si(Z, WALLS, layered(), (0.1, 0.2, 0.3), demand=(0.0, most / 2, most))
        days.append(made.course.finish.usual if made.go else np.inf)
    assert days == sorted(days) and days[0] < days[-1]
