"""Pipe sizes against the rules of their standards, and what is reckoned for the fittings on a line."""

import fluids
import numpy as np
import pytest

from pondcalc.back_pressure import airline, pipesizes
from pondcalc.datafiles import read_table

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
    # Pipe Institute, Handbook of Polyethylene Pipe, ch. 10, which test_sinking.py reproduces
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
