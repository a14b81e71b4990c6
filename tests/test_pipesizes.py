"""Pipe sizes against the rules of their standards, and what is reckoned for the fittings on a line.

Floating lines against the table of the Plastics Pipe Institute, and by weighing on paper.
"""

import fluids
import numpy as np
import pytest

from pondcalc.back_pressure import airline
from pondcalc.datafiles import read_table
from pondcalc.door import pipesizes
from pondcalc.units import Q

INCH = 0.0254


def test_usual_fittings():
    # four elbows, a ball valve and the side way of a tee in half-inch pipe: K = n f_T with n of 30, 3 and 60 (Crane
    # TP-410; n of elbow and tee from memory, that of the valve and f_T by the library fluids), 4.7 of the 5 reckoned
    ball = fluids.K_ball_valve_Crane(D1=1, D2=1, angle=0, fd=1)
    heads = (4 * 30 + ball + 60) * fluids.fittings.ft_Crane(0.622 * INCH)
    assert heads == pytest.approx(4.7, abs=0.1) and heads < airline.FITTINGS < 1.1 * heads


# ASTM D1785, outside diameter and least wall (reprints seen): the largest bore is OD - 2 wall, the average
# OD - 2 (wall + 0.010 in), half of the wall's tolerance of 0.020 in
@pytest.mark.parametrize("size, od, wall", [("1/2", 0.840, 0.109), ("3/4", 1.050, 0.113), ("1", 1.315, 0.133),
                                            ("1-1/4", 1.660, 0.140), ("1-1/2", 1.900, 0.145), ("2", 2.375, 0.154)])
def test_pvc_bore(size, od, wall):
    pipe = pipesizes.find_pipe("PVC", f"{size} in")
    assert pipe.outside_diameter.m_as("inch") == pytest.approx(od)
    assert pipe.inside_diameter.m_as("inch") == pytest.approx(od - 2 * (wall + 0.010), abs=0.0006)


@pytest.mark.parametrize("size", ["1/8", "1/4", "3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2"])
def test_steel_bore_against_fluids(size):
    pipe = pipesizes.find_pipe("steel", size)
    whole, *part = size.split("-") if "-" in size else (size,) if "/" not in size else ("0", size)
    nps = float(whole) + sum(int(p.split("/")[0]) / int(p.split("/")[1]) for p in part)
    _, inside, outside, _ = fluids.nearest_pipe(NPS=nps, schedule="40")
    assert pipe.inside_diameter.m_as("m") == pytest.approx(inside, abs=1e-4)     # it holds whole hundredths of mm
    assert pipe.outside_diameter.m_as("m") == pytest.approx(outside, abs=1e-4)


@pytest.mark.parametrize("family, ratio", [("SDR 11", 11), ("SDR 9", 9)])
def test_bores_by_dimension_ratio(family, ratio):
    # OD (1 - 2.12/SDR): average wall 1.06 times the least, the factor behind the buoyancy table of the Plastics
    # Pipe Institute, Handbook of Polyethylene Pipe, ch. 10, which test_pipesizes.py reproduces
    for pipe in pipesizes.pipe_sizes(family):
        assert pipe.inside_diameter / pipe.outside_diameter == pytest.approx(1 - 2.12 / ratio, abs=0.0012)


def test_one_name_many_bores():
    bores = np.array([pipe.inside_diameter for pipe in pipesizes.same_name("3/4 in")])
    assert len(bores) >= 6 and (bores[0], bores[-1]) == pytest.approx((0.669 * INCH, 0.848 * INCH))
    assert (bores[-1] / bores[0]) ** 4.75 > 3


def test_every_row_says_where_it_comes_from():
    statuses = {"seen", "derived", "from memory", "common practice", "computed"}
    for row in read_table("pipe-sizes.csv"):
        assert row["status"] in statuses and row["source"].strip(), row


@pytest.mark.parametrize("family, size, says", [
    ("bamboo", "1 in", "There are: PVC schedule 40"), ("PE", "1 in", "could be any"), ("pcv", "1 in", "not a family"),
    ("PVC", "7/8 in", "It has 1/2 in, 3/4 in"), ("PVC", "wide", "not a pipe size"),
    ("PVC", "2 psi", "not a pipe size")])
def test_unknown_pipe_is_refused(family, size, says):
    with pytest.raises(ValueError, match=says):
        pipesizes.find_pipe(family, size)


LB_FT3 = 16.018463

# Plastics Pipe Institute, Handbook of Polyethylene Pipe, 2nd ed., ch. 10, Table 1 (seen in a copy): net upward share of
# the weight of water displaced, negative up, for a share R of air; water 62.3, polyethylene 59.6 lb/ft3. Its walls
# average 1.06 times the least, so ID = OD (1 - 2.12/SDR).
PPI = {9: (-0.604, -0.166, -0.078), 11: (-0.667, -0.178, -0.081), 13.5: (-0.723, -0.190, -0.084),
       17: (-0.776, -0.202, -0.087), 21: (-0.817, -0.210, -0.089), 26: (-0.850, -0.218, -0.091),
       32.5: (-0.879, -0.224, -0.093)}


@pytest.mark.parametrize("sdr", PPI)
def test_plastics_pipe_institute_table(sdr):
    found = -pipesizes.lift_share.si(1.0, 1 - 2.12 / sdr, 59.6 * LB_FT3, np.array([1.0, 0.25, 0.10]), 62.3 * LB_FT3)
    np.testing.assert_allclose(found, PPI[sdr], atol=0.0022)
    if sdr == 11:       # the least wall in place of the average is the usual slip, and it shows
        assert abs(-pipesizes.lift_share.si(1.0, 1 - 2 / sdr, 59.6 * LB_FT3, 1.0, 62.3 * LB_FT3) + 0.667) > 0.01


# by weighing on paper: pi/4 (OD^2 62.32 - (OD^2 - ID^2) 59.0)/144 lb/ft, water 62.32 and polyethylene 59.0 lb/ft3
@pytest.mark.parametrize("outside, inside", [(0.875, 0.625), (0.625, 0.485), (0.944, 0.824), (1.189, 1.049),
                                             (1.564, 1.380)])
def test_net_lift(outside, inside):
    by_hand = np.pi / 4 * (outside**2 * 62.32 - (outside**2 - inside**2) * 59.0) / 144
    found = pipesizes.net_lift.si(outside * INCH, inside * INCH, 59.0 * LB_FT3)
    assert found * 0.3048 / 0.45359237 == pytest.approx(by_hand, rel=3e-4)         # 62.32 lb/ft3 is 998.27 kg/m3


def test_a_brick_every_five_feet_holds_one_inch_line():
    # Nebraska Game and Parks Commission, Nebraska Pond Management, 2nd ed., p. 87: one brick every 5 ft on 1 in tubing
    # (seen). A 4.5 lb brick of twice the weight of water (both from memory).
    without_margin = pipesizes.weight_spacing("1.189 in", "1.049 in", "4.5 lb", margin=1.0)
    assert without_margin.m_as("ft") == pytest.approx(5.9, abs=0.2)
    assert without_margin.m_as("ft") > 5 > pipesizes.weight_spacing("1.189 in", "1.049 in", "4.5 lb").m_as("ft") > 3.5


def test_weights_keep_part_of_their_weight():
    # 1 - water/weight by hand: concrete 2.4, brick 2.0, steel 7.85 times water
    found = [pipesizes.submerged_share.si(sg * 998.2) for sg in (2.4, 2.0, 7.85)]
    assert found == pytest.approx([1 - 1 / 2.4, 0.5, 1 - 1 / 7.85])
    lift = pipesizes.net_lift("1.189 in", "1.049 in")
    mass = pipesizes.weight_mass("1.189 in", "1.049 in", "100 ft", margin=1.0)
    assert (mass * pipesizes.submerged_share("2000 kg/m3")).m_as("lb") == pytest.approx((lift * Q("100 ft")).m_as("lb"))


def test_self_sinking_tube():
    # 5/8 x 7/8 in: 62.32 pi/4 (7/8)^2/144 = 0.260 lb/ft, so 26 lb for each 100 ft is neutral
    by_hand = 62.32 * np.pi / 4 * (7 / 8) ** 2 / 144
    assert pipesizes.neutral_tube_mass("7/8 in").m_as("lb/ft") == pytest.approx(by_hand, rel=1e-3)
    assert pipesizes.lift_share.si(0.02, 0.01, 2000.0) < 0, "a heavy wall sinks"
    assert pipesizes.weight_mass.si(0.02, 0.01, 10.0, wall_density=2000.0) == 0


@pytest.mark.parametrize("make, says", [
    (lambda: pipesizes.net_lift("1 in", "1.2 in"), "which is which"), (lambda: pipesizes.lift_share(
        "1 in", "0.9 in", air_share=1.2), "full of air"),
    (lambda: pipesizes.weight_mass("1 in", "0.9 in", "10 ft", "600 kg/m3"), "float"),
    (lambda: pipesizes.weight_mass("1 in", "0.9 in", "10 ft", margin=0.5), "margin")])
def test_bad_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()
