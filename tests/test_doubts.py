"""Plane geometry of soundings and shorelines, against other libraries and by brute force."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pondcalc.how_much_water import doubts


def test_inside_agrees_with_matplotlib_and_distance_with_a_dense_ring():
    from matplotlib.path import Path as Polygon

    angle = np.linspace(0, 2 * math.pi, 60, endpoint=False)
    radius = 40 * (1 + 0.3 * np.cos(3 * angle) + 0.1 * np.sin(5 * angle))
    ring_x, ring_y = radius * np.cos(angle), radius * np.sin(angle)
    x, y = np.random.default_rng(5).uniform(-60, 60, (2, 2000))
    expected = Polygon(np.column_stack([ring_x, ring_y])).contains_points(np.column_stack([x, y]))
    np.testing.assert_array_equal(doubts.inside(x, y, ring_x, ring_y), expected)  # computed: matplotlib
    share = np.linspace(0, 1, 200)[:, None]
    dense_x = (ring_x + share * (np.roll(ring_x, -1) - ring_x)).ravel()
    dense_y = (ring_y + share * (np.roll(ring_y, -1) - ring_y)).ravel()
    nearest = [np.hypot(dense_x - a, dense_y - b).min() for a, b in zip(x[:200], y[:200], strict=True)]
    np.testing.assert_allclose(doubts.distance_to_ring(x[:200], y[:200], ring_x, ring_y), nearest, atol=0.05)


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(0, 2)), min_size=1, max_size=30))
def test_repeats_against_a_dictionary(rows):
    columns = np.array(rows, float).T
    seen = {}
    expected = [seen.setdefault(row, i) for i, row in enumerate(rows)]
    assert list(doubts.first_of_same(*columns)) == expected


def test_two_deep_slips_do_not_vouch_for_each_other_in_a_full_survey():
    mask, limit = doubts.too_deep(np.r_[np.linspace(0.2, 4, 98), 30.0, 31.0])
    assert list(np.flatnonzero(mask)) == [98, 99] and limit < 12.1
