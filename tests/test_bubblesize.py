"""Bubble size at a hole, and the table of diffuser materials."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from pondcalc.bubbles_and_oxygen import bubblesize
from pondcalc.bubbles_and_oxygen.bubblesize import (
    MATERIALS,
    bubble_diameter_at_hole,
    bubble_diameter_from_pipe,
    hole_weber_number,
    stream_diameter,
    tate_diameter,
)
from pondcalc.units import QuantityError

G = 9.80665


def test_trickle_bubbles_balance_weight_against_surface_tension():
    # definition: pi/6 d^3 rho g = pi d_hole sigma. Values in mm computed from it with 72.75 mN/m at 20 C.
    holes = np.array([0.1, 0.2, 0.5, 1, 2, 3]) * 1e-3
    assert tate_diameter.si(holes) * 1e3 == pytest.approx([1.65, 2.07, 2.82, 3.55, 4.47, 5.12], abs=0.008)


@pytest.mark.parametrize("added_mass, constant", [(11 / 16, 1.378), (1 / 2, 1.138)])
def test_stream_bubbles_solve_their_equation_of_motion(added_mass, constant):
    # d/dt(k V s') = V g with V = Q t, integrated by scipy from almost nothing until s = radius. The constants
    # 1.378 and 1.138 are those of Davidson & Schüler (1960) and Davidson & Harrison (1963), from memory.
    flow = 2e-6

    def slope(t, y):                            # y = distance, momentum per density
        return [y[1] / (added_mass * flow * t), flow * t * G]

    def leaves(t, y):
        return y[0] - (3 * flow * t / (4 * np.pi)) ** (1 / 3)
    leaves.terminal, leaves.direction = True, 1
    start = 1e-5                                # from the exact start s = g t^2/(4 k), far below the radius
    done = solve_ivp(slope, (start, 1), [G * start**2 / (4 * added_mass), flow * G * start**2 / 2],
                     events=leaves, rtol=1e-10, atol=1e-14)
    volume = flow * done.t[-1]
    assert volume == pytest.approx(constant * flow**1.2 * G**-0.6, rel=1e-3)
    assert stream_diameter.si(flow, added_mass) == pytest.approx((6 * volume / np.pi) ** (1 / 3), rel=1e-5)


def test_stream_bubbles_in_millimeters():
    # computed from 1.378 Q^1.2 g^-0.6
    flows = np.array([1e-7, 1e-6, 1e-5])
    assert stream_diameter.si(flows) * 1e3 == pytest.approx([1.39, 3.48, 8.75], abs=0.008)


def test_the_two_laws_meet_and_join():
    # 0.5 mm hole: about 6e-7 m3/s (computed, where the two forms agree)
    flow = brentq(lambda q: stream_diameter.si(q) - tate_diameter.si(0.5e-3), 1e-8, 1e-4)
    assert flow == pytest.approx(6e-7, rel=0.03)
    assert bubble_diameter_at_hole.si(0.5e-3, 0.0) == tate_diameter.si(0.5e-3)
    assert bubble_diameter_at_hole.si(0.5e-3, flow) == pytest.approx(2 ** (1 / 3) * tate_diameter.si(0.5e-3))
    assert bubble_diameter_at_hole.si(0.5e-3, 2e-6) == pytest.approx(stream_diameter.si(2e-6), rel=0.08)


def test_sharing_air_among_more_holes_makes_smaller_bubbles():
    few, many = (bubble_diameter_from_pipe("1 cfm", "19 ft", "1/32 in", n).m_as("mm") for n in (150, 1500))
    assert many < few
    assert many > tate_diameter("1/32 in").m_as("mm")


def test_jets_are_flagged():
    # Weber number by hand: 1.204 kg/m3 x (20 m/s)^2 x 1 mm / 72.7 mN/m = 6.6
    flow = 20 * np.pi / 4 * 1e-6
    assert hole_weber_number.si(1e-3, flow) == pytest.approx(1.204 * 400 * 1e-3 / 0.0727, rel=5e-3)
    with pytest.warns(UserWarning, match="jet"):
        bubble_diameter_at_hole.si(1e-3, flow)


def test_materials_are_complete_ranges_and_say_where_they_come_from():
    assert {"stone", "membrane", "drilled pipe"} <= set(MATERIALS)
    for kind in MATERIALS.values():
        assert kind.bubble_diameter.low < kind.bubble_diameter.usual < kind.bubble_diameter.high
        assert kind.wet_pressure.low < kind.wet_pressure.usual < kind.wet_pressure.high
        assert kind.source == "common practice, no source"
        assert all(text.strip() for text in (kind.plugging, kind.cracking, kind.pressure, kind.cleaning))
    fine, coarse = bubblesize.material("membrane"), bubblesize.material("drilled pipe")
    assert fine.bubble_diameter.usual < coarse.bubble_diameter.low
    assert "label" in MATERIALS["stone"].cleaning and "bleach" in MATERIALS["stone"].cleaning


@pytest.mark.parametrize("call, words", [
    (lambda: tate_diameter.si(0.05), "20 mm"), (lambda: stream_diameter.si(-1e-6), "below zero"),
    (lambda: bubblesize.material("sponge"), "Choose: stone"),
    (lambda: bubble_diameter_from_pipe.si(1e-4, 3.0, 1e-3, 0), "one hole or more")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()
