"""Where diffusers go: shapes with exact volumes, and spots found by eye."""

import numpy as np
import pytest

from pondcalc.bubbles_and_oxygen import placement
from pondcalc.bubbles_and_oxygen.placement import below_diffuser, diffuser_depth, suggest_places
from pondcalc.units import QuantityError


def bowl(n=401, radius=40.0, deepest=6.0):
    axis = np.linspace(-radius, radius, n)
    x, y = np.meshgrid(axis, axis)
    depth = deepest * (1 - (x**2 + y**2) / radius**2)
    return axis, np.where(depth > 0, depth, np.nan), (axis[1] - axis[0]) ** 2


def test_paraboloid_below_the_diffuser():
    # calculus: volume pi R^2 D/2; below a level z, the same bowl shrunk: area pi R^2 (1 - z/D),
    # volume pi R^2 (D - z)^2/(2 D)
    _, depth, cell = bowl()
    found = below_diffuser.si(depth, cell, 4.5)
    assert found.volume == pytest.approx(np.pi * 40**2 * 6 / 2, rel=1e-3)
    assert found.area_below == pytest.approx(np.pi * 40**2 * (1 - 4.5 / 6), rel=5e-3)
    assert found.volume_below == pytest.approx(np.pi * 40**2 * 1.5**2 / 12, rel=5e-3)
    assert found.share_below == pytest.approx((1.5 / 6) ** 2, rel=5e-3)
    assert found.area_above + found.area_below == pytest.approx(np.pi * 40**2, rel=2e-3)


def test_levels_in_an_array_and_nodes_with_their_own_areas():
    depth, area = np.array([1.0, 2.0, 4.0, np.nan]), np.array([10.0, 20.0, 5.0, 99.0])
    found = below_diffuser.si(depth, area, np.array([0.0, 1.5, 3.0]))
    # by hand: 10 + 40 + 20 = 70; 20 x 0.5 + 5 x 2.5 = 22.5; 5 x 1 = 5
    assert found.volume_below == pytest.approx([70.0, 22.5, 5.0])
    assert found.area_below == pytest.approx([35.0, 25.0, 5.0])
    assert found.volume == pytest.approx(70.0)


def test_two_deep_holes_are_found_deepest_first():
    axis = np.linspace(0, 100, 101)
    x, y = np.meshgrid(axis, axis)
    depth = 2 + 4 * np.exp(-((x - 25) ** 2 + (y - 40) ** 2) / 200)
    depth += 3 * np.exp(-((x - 75) ** 2 + (y - 60) ** 2) / 200)
    found = suggest_places.si(axis, axis, depth, 2, 20.0)
    assert (found.x[0], found.y[0]) == (25, 40) and (found.x[1], found.y[1]) == (75, 60)
    assert found.diffuser_depth == pytest.approx(found.bottom_depth - 0.6096)
    # the same places as node arrays
    nodes = suggest_places.si(x.ravel(), y.ravel(), depth.ravel(), 2, 20.0)
    assert nodes.x == pytest.approx(found.x)


def test_places_keep_their_distance_and_shallow_water_is_left_alone():
    axis, depth, _ = bowl(101)
    found = suggest_places.si(axis, axis, depth, 4, 12.0)
    apart = np.hypot(found.x[:, None] - found.x, found.y[:, None] - found.y)
    assert apart[~np.eye(4, dtype=bool)].min() >= 12.0 - 1e-9
    assert np.all(found.bottom_depth >= 0.6 * 6)
    with pytest.warns(UserWarning, match="Only . of 40 places"):
        few = suggest_places.si(axis, axis, depth, 40, 20.0)
    assert few.x.size < 40


def test_height_off_the_bottom():
    # "about 2 feet off the bottom", Nebraska Pond Management, 2nd ed., p. 87 (seen)
    assert diffuser_depth("20 ft").m_as("ft") == pytest.approx(18.0)
    assert diffuser_depth("20 ft", "1 ft", "6 in").m_as("ft") == pytest.approx(18.5)
    assert placement.OFF_BOTTOM == pytest.approx(2 * 0.3048)


@pytest.mark.parametrize("call, words", [
    (lambda: diffuser_depth.si(0.5), "out of the water"),
    (lambda: diffuser_depth.si(3.0, -1.0), "below zero"),
    (lambda: below_diffuser.si(np.array([-1.0, np.nan]), 1.0, 1.0), "no water"),
    (lambda: below_diffuser.si(np.array([1.0]), 0.0, 1.0), "not all 0"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(2.0), np.ones((3, 2))), "one row for each y"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(2.0), np.ones(3)), "Give one of each"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(3.0), np.ones(3), 0), "1, 2, 3")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def test_diffuser_below_every_sounding_warns():
    with pytest.warns(UserWarning, match="below the deepest"):
        below_diffuser.si(np.array([1.0, 2.0]), 1.0, 3.0)
