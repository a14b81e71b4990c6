"""Volume by hand, against calculus, exact arithmetic and printed examples."""

import numpy as np
import pytest
from scipy.integrate import simpson

from pondcalc.how_much_water import handvolume as h
from pondcalc.units import Q

CONTOURS = np.array([0.0, 5, 10, 15, 20])       # ft, in a pond of 1 acre and 20 ft
SHAPES = {                                      # area over surface area at z/D, volume in acre-ft by calculus
    "cone": (lambda s: (1 - s)**2, 20 / 3),
    "paraboloid": (lambda s: 1 - s, 10.0),
    "half-ellipsoid": (lambda s: 1 - s**2, 40 / 3),
    "blunt": (lambda s: np.sqrt(1 - s), 40 / 3),
}


def by(rule, name):
    area = SHAPES[name][0](CONTOURS / 20)
    return rule(Q(CONTOURS, "ft"), Q(area, "acre")).m_as("acre_foot")


def test_frustum_is_exact_for_a_cone_only():
    assert by(h.frustum, "cone") == pytest.approx(20 / 3, rel=1e-12)
    # layer by layer 5/3 (A1 + A2 + sqrt(A1 A2)) with A = 1, 3/4, 1/2, 1/4, 0
    layers = [1.75 + np.sqrt(0.75), 1.25 + np.sqrt(0.375), 0.75 + np.sqrt(0.125), 0.25]
    assert by(h.frustum, "paraboloid") == pytest.approx(5 / 3 * sum(layers), rel=1e-12)
    for name, (_, exact) in SHAPES.items():
        assert by(h.frustum, name) <= by(h.average_end_area, name)
        if name != "cone":
            assert by(h.frustum, name) < 0.98 * exact


def test_average_end_area_is_exact_for_a_paraboloid_only():
    assert by(h.average_end_area, "paraboloid") == pytest.approx(10, rel=1e-12)
    assert by(h.average_end_area, "cone") == pytest.approx(5 * (0.5 + 9 / 16 + 4 / 16 + 1 / 16), rel=1e-12)
    assert by(h.average_end_area, "half-ellipsoid") == pytest.approx(5 * (0.5 + 15 / 16 + 12 / 16 + 7 / 16))


def test_simpson_is_exact_where_area_is_a_quadratic_of_depth():
    for name in ("cone", "paraboloid", "half-ellipsoid"):
        assert by(h.simpson, name) == pytest.approx(SHAPES[name][1], rel=1e-12)
    # area as a square root is not a quadratic; scipy's rule on the same five areas agrees
    area = np.sqrt(1 - CONTOURS / 20)
    assert by(h.simpson, "blunt") == pytest.approx(simpson(area, x=CONTOURS), rel=1e-12)
    assert by(h.simpson, "blunt") < 0.99 * 40 / 3


def test_dug_pond():
    # 12 ft deep, floor 40 x 100 ft, 4:1 at one end and 2:1 elsewhere: top 88 x 172, middle 64 x 136.
    # Example of USDA NRCS (1997) Agriculture Handbook 590, printed 3,996 yd3: from memory, not verified.
    # By calculus, the integral of (88 - 4 z)(172 - 6 z) from 0 to 12 ft:
    exact = 88 * 172 * 12 - (88 * 6 + 172 * 4) * 12**2 / 2 + 24 * 12**3 / 3
    areas = [Q(v, "ft2") for v in (88 * 172, 64 * 136, 40 * 100)]
    found = h.prismoidal("12 ft", *areas)
    assert exact == 107904
    assert found.m_as("ft^3") == pytest.approx(exact, rel=1e-12)
    assert found.m_as("yard ** 3") == pytest.approx(3996.44, abs=0.01)
    assert found.m_as("acre_foot") == pytest.approx(2.47713, abs=1e-5)
    # from top and floor alone: average end area 4,252.44, a frustum 3,987.70 yd3 (arithmetic)
    ends = Q([0, 12], "ft"), Q([88 * 172, 4000], "ft2")
    assert h.average_end_area(*ends).m_as("ft^3") == pytest.approx((15136 + 4000) / 2 * 12, rel=1e-12)
    cut_pyramid = 12 / 3 * (15136 + 4000 + np.sqrt(15136 * 4000))
    assert h.frustum(*ends).m_as("ft^3") == pytest.approx(cut_pyramid, rel=1e-12)


def test_square_stock_pond():
    # 1 acre, 20 ft, 3:1: integral of (S - 6 z)^2 = (S^3 - (S - 6 D)^3)/18
    side = np.sqrt(43560)
    exact = (side**3 - (side - 120)**3) / 18
    found = h.prismoidal("20 ft", *(Q(v**2, "ft2") for v in (side, side - 60, side - 120)))
    assert found.m_as("ft^3") == pytest.approx(exact, rel=1e-12)
    assert found.m_as("acre_foot") == pytest.approx(10.7047, abs=1e-4)


def test_four_tenths_rule():
    # 0.4 x 3.2 x 12.5 = 16 acre-ft; the printed example of AH-590 is from memory, the arithmetic is not
    assert h.four_tenths_rule("3.2 acre", "12.5 ft").m_as("acre_foot") == pytest.approx(16, rel=1e-12)
    assert h.four_tenths_rule("1 acre", "20 ft", 1 / 3).m_as("acre_foot") == pytest.approx(20 / 3)
    with pytest.raises(ValueError, match="between 0 and 1"):
        h.four_tenths_rule("1 acre", "20 ft", 40)
    with pytest.raises(ValueError, match="0 or more"):
        h.four_tenths_rule("1 acre", "-20 ft")


def test_rectangle():
    # Norland, Pond Measurements, Ohio State University Extension Fact Sheet A-2: 80 x 140 ft is 0.2571 acre
    assert h.rectangle_area("140 ft", "80 ft").m_as("acre") == pytest.approx(0.2571, abs=5e-5)


@pytest.mark.parametrize(("depths", "means"), [
    # trapezoids by hand: (0 + 5)/2 ... over four steps: 2.5, 7.5, 7.5, 2.5, whose mean is 5
    ([0, 5, 10, 5, 0], [5.0]), ([5, 10, 5], [5.0]), ([0, 5, 10, 5], [5.0]),
    # a bank between two rows, written once, twice or more: 20/4 = 5 and 6/3 = 2
    ([0, 5, 10, 5, 0, 2, 4, 0], [5.0, 2.0]), ([0, 5, 10, 5, 0, 0, 2, 4, 0], [5.0, 2.0]),
    ([0, 0, 5, 10, 5, 0, 0, 0, 2, 4], [5.0, 2.0]), ([0, 0], [])])
def test_rows_run_from_bank_to_bank_at_even_steps(depths, means):
    assert h.means_of_rows(Q(depths, "ft")).m_as("ft") == pytest.approx(means)
    steps = np.diff(np.flatnonzero(np.array(depths) == 0))
    if len(means) == 1 and depths[0] == depths[-1] == 0:
        assert np.trapezoid(depths) / steps[0] == pytest.approx(means[0])      # numpy's own trapezoids


def test_round_only_the_answer():
    # a newspaper column of farm advice ("How big is your pond?"): 200 x 350 ft, mean 3.2 ft gives 1.6 acres
    # and 5.1 acre-ft
    area = h.rectangle_area("350 ft", "200 ft")
    assert area.m_as("acre") == pytest.approx(1.6, abs=0.05)
    assert h.volume_from_mean_depth(area, "3.2 ft").m_as("acre_foot") == pytest.approx(5.1, abs=0.05)


def test_refusals_say_what_to_do():
    with pytest.raises(ValueError, match="even number"):
        h.simpson.si([0, 1, 2, 3], [4, 3, 2, 1])
    with pytest.raises(ValueError, match="equal layers"):
        h.simpson.si([0, 1, 3], [4, 3, 2])
    with pytest.raises(ValueError, match="increase"):
        h.frustum.si([0, 2, 1], [4, 3, 2])
    with pytest.raises(ValueError, match="at least two"):
        h.average_end_area.si([0], [4])


def test_a_refusal_names_the_function_that_was_called():
    for function in (h.frustum, h.average_end_area, h.simpson):
        with pytest.raises(ValueError, match=f"^{function.__name__}: areas must be 0 or more"):
            function(["0 ft", "5 ft", "10 ft"], ["-1 acre", "1 acre", "0 acre"])
