"""Floating lines against the table of the Plastics Pipe Institute, and by weighing on paper."""

import numpy as np
import pytest

from pondcalc.back_pressure import sinking
from pondcalc.units import Q

LB_FT3 = 16.018463
INCH = 0.0254

# Plastics Pipe Institute, Handbook of Polyethylene Pipe, 2nd ed., ch. 10, Table 1 (seen in a copy): net upward share of
# the weight of water displaced, negative up, for a share R of air; water 62.3, polyethylene 59.6 lb/ft3. Its walls
# average 1.06 times the least, so ID = OD (1 - 2.12/SDR).
PPI = {9: (-0.604, -0.166, -0.078), 11: (-0.667, -0.178, -0.081), 13.5: (-0.723, -0.190, -0.084),
       17: (-0.776, -0.202, -0.087), 21: (-0.817, -0.210, -0.089), 26: (-0.850, -0.218, -0.091),
       32.5: (-0.879, -0.224, -0.093)}


@pytest.mark.parametrize("sdr", PPI)
def test_plastics_pipe_institute_table(sdr):
    found = -sinking.lift_share.si(1.0, 1 - 2.12 / sdr, 59.6 * LB_FT3, np.array([1.0, 0.25, 0.10]), 62.3 * LB_FT3)
    np.testing.assert_allclose(found, PPI[sdr], atol=0.0022)
    if sdr == 11:       # the least wall in place of the average is the usual slip, and it shows
        assert abs(-sinking.lift_share.si(1.0, 1 - 2 / sdr, 59.6 * LB_FT3, 1.0, 62.3 * LB_FT3) + 0.667) > 0.01


# by weighing on paper: pi/4 (OD^2 62.32 - (OD^2 - ID^2) 59.0)/144 lb/ft, water 62.32 and polyethylene 59.0 lb/ft3
@pytest.mark.parametrize("outside, inside", [(0.875, 0.625), (0.625, 0.485), (0.944, 0.824), (1.189, 1.049),
                                             (1.564, 1.380)])
def test_net_lift(outside, inside):
    by_hand = np.pi / 4 * (outside**2 * 62.32 - (outside**2 - inside**2) * 59.0) / 144
    found = sinking.net_lift.si(outside * INCH, inside * INCH, 59.0 * LB_FT3, 1.0, 62.32 * LB_FT3)
    assert found * 0.3048 / 0.45359237 == pytest.approx(by_hand, rel=1e-4)


def test_a_brick_every_five_feet_holds_one_inch_line():
    # Nebraska Game and Parks Commission, Nebraska Pond Management, 2nd ed., p. 87: one brick every 5 ft on 1 in tubing
    # (seen). A 4.5 lb brick of twice the weight of water (both from memory).
    without_margin = sinking.weight_spacing("1.189 in", "1.049 in", "4.5 lb", margin=1.0)
    assert without_margin.m_as("ft") == pytest.approx(5.9, abs=0.2)
    assert without_margin.m_as("ft") > 5 > sinking.weight_spacing("1.189 in", "1.049 in", "4.5 lb").m_as("ft") > 3.5


def test_weights_keep_part_of_their_weight():
    # 1 - water/weight by hand: concrete 2.4, brick 2.0, steel 7.85 times water
    found = [sinking.submerged_share.si(sg * 998.2) for sg in (2.4, 2.0, 7.85)]
    assert found == pytest.approx([1 - 1 / 2.4, 0.5, 1 - 1 / 7.85])
    lift = sinking.net_lift("1.189 in", "1.049 in")
    mass = sinking.weight_mass("1.189 in", "1.049 in", "100 ft", margin=1.0)
    assert (mass * sinking.submerged_share("2000 kg/m3")).m_as("lb") == pytest.approx((lift * Q("100 ft")).m_as("lb"))


def test_self_sinking_tube():
    # 5/8 x 7/8 in: 62.32 pi/4 (7/8)^2/144 = 0.260 lb/ft, so 26 lb for each 100 ft is neutral
    by_hand = 62.32 * np.pi / 4 * (7 / 8) ** 2 / 144
    assert sinking.neutral_tube_mass("7/8 in").m_as("lb/ft") == pytest.approx(by_hand, rel=1e-3)
    assert sinking.lift_share.si(0.02, 0.01, 2000.0) < 0, "a heavy wall sinks"
    assert sinking.weight_mass.si(0.02, 0.01, 10.0, wall_density=2000.0) == 0


@pytest.mark.parametrize("make, says", [
    (lambda: sinking.net_lift("1 in", "1.2 in"), "which is which"), (lambda: sinking.lift_share(
        "1 in", "0.9 in", air_share=1.2), "full of air"),
    (lambda: sinking.weight_mass("1 in", "0.9 in", "10 ft", "600 kg/m3"), "float"),
    (lambda: sinking.weight_mass("1 in", "0.9 in", "10 ft", margin=0.5), "margin")])
def test_bad_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()
