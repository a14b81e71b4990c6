"""Where diffusers go: shapes with exact volumes, and spots found by eye."""

import numpy as np
import pytest

from pondcalc.bubbles_and_oxygen import placement
from pondcalc.bubbles_and_oxygen.placement import diffuser_depth, suggest_places
from pondcalc.units import QuantityError


def bowl(n=401, radius=40.0, deepest=6.0):
    axis = np.linspace(-radius, radius, n)
    x, y = np.meshgrid(axis, axis)
    depth = deepest * (1 - (x**2 + y**2) / radius**2)
    return axis, np.where(depth > 0, depth, np.nan)


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
    axis, depth = bowl(101)
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
    (lambda: suggest_places.si(np.arange(2.0), np.arange(2.0), np.array([-1.0, np.nan])), "no water"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(2.0), np.ones((3, 2))), "one row for each y"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(2.0), np.ones(3)), "Give one of each"),
    (lambda: suggest_places.si(np.arange(3.0), np.arange(3.0), np.ones(3), 0), "1, 2, 3")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()
