"""Ladders of run times: the exact day against scipy, and against the stepwise sums of the schedule."""

import numpy as np
import pytest
from firstdays import A0, WALLS, Z, layered, try_hours
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pondcalc.the_year import firststart, startladder
from pondcalc.units import Q, QuantityError
from pondcalc.warm_over_cold.profile import Profile, read_profile


def test_one_day_agrees_with_a_general_solver():
    # V' = q, V C' = q (owed - C) + k A (8 - C) while it runs; then C returns to 8
    q, k, owed, hours = 0.3 * 3600, 0.5 / 24, -2.0, 5.0
    made = startladder.course.si(Z, WALLS, layered(), (0.3, 0.3, 0.3), [hours, 0.0], demand=(2, 2, 2),
                                 exchange=(0.5, 0.5, 0.5))

    def change(_, y):
        return [q, (q * (owed - y[1]) + k * A0 * (8 - y[1])) / y[0]]
    run = solve_ivp(change, (0, hours), [20000.0, 8.0], rtol=1e-10, atol=1e-10).y[:, -1]
    rest = solve_ivp(lambda _, c: k * A0 * (8 - c) / run[0], (hours, 24), [run[1]], rtol=1e-10, atol=1e-10).y[0, -1]
    assert made.oxygen.usual[1] == pytest.approx(run[1], rel=1e-7)
    assert made.oxygen.usual[2] == pytest.approx(rest, rel=1e-7)
    assert made.left.usual[0] == pytest.approx(1 - q * hours / 40000, rel=1e-6)
    assert made.moment[:3].tolist() == pytest.approx([0, hours / 24, 1])


def test_stagnant_water_that_runs_out_within_a_run():
    # 40,000 m3 at 2 m3/s is gone after 5.56 h: from then on only the air acts
    made = startladder.course.si(Z, WALLS, layered(), (2.0, 2.0, 2.0), [24.0], demand=(0, 0, 0), exchange=(0, 0, 0))
    assert made.lowest_oxygen.usual == pytest.approx(8 * 20000 / 60000, rel=1e-6)
    assert made.finish.usual == 1 and made.lifted_share == pytest.approx(1)


@settings(max_examples=20, deadline=None)
@given(st.floats(5, 9), st.floats(1, 4), st.floats(0.02, 0.4), st.lists(st.integers(0, 96), min_size=1, max_size=6))
def test_the_exact_days_agree_with_small_steps(top, boundary, flow, quarters):
    hours = [q / 4 for q in quarters[:-1]] + [max(1, quarters[-1]) / 4]
    here = (layered(top, 0.1, boundary), (flow, 1.5 * flow, 2 * flow), hours)
    exact, (low, gone) = startladder.course.si(Z, WALLS, *here), try_hours(*here)
    assert exact.lowest_oxygen == pytest.approx(np.maximum(0, [low.min(), low[-1], low.max()]), abs=0.06)
    for a, b in zip(exact.finish, (gone.min(), gone[-1], gone.max()), strict=True):
        assert a == b or abs(a - b) <= 1                # either may find the last hundredth at midnight


def test_ladder_hours_are_what_a_timer_can_be_set_to():
    assert startladder.ladder_hours("0.5 h", 2.0).m_as("hour")[:8].tolist() == [0.5, 1, 2, 4, 8, 16, 24, 24]
    assert startladder.ladder_hours.si(3.0, 1.25)[:4].tolist() == [3, 3.75, 4.75, 5.75]
    assert set(startladder.ladder_hours.si(0.1, 1.0)) == {0.25}
    for bad in ((0.0, 1.0), (25.0, 1.0), (1.0, 0.9)):
        with pytest.raises(ValueError, match="ladder starts"):
            startladder.ladder_hours.si(*bad)


@settings(max_examples=25, deadline=None)
@given(st.floats(4.2, 9.5), st.floats(0.8, 5.0), st.floats(0.01, 1.0), st.floats(1, 3), st.floats(0, 8))
def test_a_safe_ladder_is_safe_by_the_stepwise_sums_too(top, boundary, flow, spread, demand):
    here = (layered(top, 0.0, boundary), (flow, flow * spread, flow * spread * spread))
    found = startladder.safe_ladder.si(Z, WALLS, *here, demand=(0.0, demand / 2, demand))
    if not found.go:
        assert found.course is None and found.reason
        return
    again, _ = try_hours(*here, found.course.hours, (0.0, demand / 2, demand))
    assert found.course.verdict == "safe" and again.min() >= 4.0 - 0.02
    assert found.course.lifted_share <= 0.25 + 1e-9 and np.all(np.diff(found.course.hours) >= 0)
    assert min(found.course.go_reading) >= 4.5          # never below the stop reading


def test_when_no_ladder_is_needed_or_none_can_help():
    mixed = startladder.safe_ladder.si(Z, WALLS, Profile.si([0, 6], [18, 18], [7, 7]), (0.1, 0.2, 0.3))
    assert mixed.go and mixed.first_run == 24 and mixed.course is None
    low = startladder.safe_ladder.si(Z, WALLS, layered(3.5), (0.1, 0.2, 0.3))
    assert not low.go and "not above the 4.0 to keep" in low.reason
    torrent = startladder.safe_ladder.si(Z, WALLS, layered(4.3), (4.0, 6.0, 9.0))
    assert not torrent.go and "No ladder" in torrent.reason
    with pytest.raises(QuantityError, match="oxygen readings"):
        startladder.safe_ladder.si(Z, WALLS, Profile.si([0, 6], [26, 14]), (0.1, 0.1, 0.1))
    with pytest.raises(ValueError, match="between 0 and 24"):
        startladder.course.si(Z, WALLS, layered(), (0.1, 0.1, 0.1), [25.0])


def test_the_common_custom_can_be_safe_too_slow_risky_or_too_fast():
    def verdict(p, flow):
        return startladder.custom_by_flow.si(Z, WALLS, p, [flow], (1.0, 1.0, 1.0))[0][0].verdict
    assert verdict(layered(7.5, 0.0, 5.0), 0.2) == "safe"           # thin stagnant layer
    assert verdict(layered(9.0, 0.0, 5.0), 0.05) == "too slow"      # and a small diffuser
    assert verdict(layered(9.0, 0.0, 3.0), 0.2) == "risky"          # thick layer, much oxygen
    assert verdict(layered(7.5, 0.0, 2.0), 0.2) == "too fast"       # thick layer, less oxygen


def test_the_custom_is_judged_for_each_size_as_one_by_one():
    p = layered(8.0, 0.1, 3.0)
    rows = startladder.custom_by_flow.si(Z, WALLS, p, [0.02, 0.2, 1.0], (0.5, 1.0, 2.0))
    for flow, (made, _) in zip((0.02, 0.2, 1.0), rows, strict=True):
        low, _ = try_hours(p, (flow / 2, flow, 2 * flow), firststart.COMMON_HOURS)
        assert made.lowest_oxygen == pytest.approx(np.maximum(0, [low.min(), low[-1], low.max()]), abs=0.03)
    assert rows[-1][0].verdict in ("risky", "too fast")
    # twice the flow with half the hours moves the same water: the custom gets worse with size
    assert rows[0][0].lowest_oxygen.usual > rows[1][0].lowest_oxygen.usual > rows[2][0].lowest_oxygen.usual


def test_quantities_at_the_door_and_the_demonstration_pond():
    from pathlib import Path
    p = read_profile(Path(__file__).resolve().parent.parent / "data" / "demo-profile-july.csv")
    depth, area = Q(np.linspace(0, 14.5, 100), "ft"), Q(2.4 * (1 - np.linspace(0, 1, 100)) ** 1.25, "acre")
    flow = ("750 gpm", "1500 gpm", "2400 gpm")
    found = startladder.safe_ladder(depth, area, p, flow)
    assert found.go and 0.25 <= found.first_run <= 4
    custom = startladder.course(depth, area, p, flow, Q(firststart.COMMON_HOURS, "hour"))
    assert custom.verdict == "too fast" and custom.lowest_oxygen.low < 3.2


def test_what_was_not_read_is_found():
    # steps of 0.5 m but for 2 to 4 m; the layers part at 1.25 m, or in the gap
    here = Profile.si([0.5, 1, 1.5, 2, 4], [26, 26, 15, 14, 14], [8, 8, 1, 0, 0])
    assert startladder.unread.si(here, 4.5) == ([(2, 4)], False)
    gap = Profile.si([0.5, 1, 1.5, 2, 4], [26, 26, 26, 26, 14], [8, 8, 8, 8, 0])
    assert startladder.unread.si(gap, 4.5) == ([(2, 4)], True)
    shallow = Profile.si([0.1, 0.3, 0.6], [26, 24, 15], [8, 4, 1])
    assert startladder.unread.si(shallow, 4.0) == ([(0.6, 4.0)], True)
    mixed = Profile.si([0.5, 4], [18, 18], [8, 8])
    assert startladder.unread.si(mixed, 4.0) == ([(0.5, 4)], False)
    assert startladder.unread.si(Profile.si([0.5, 1.5, 2.5], [26, 20, 15]), 3.0) == ([], False)
