"""Fittings against fluids and the source's table; pipe sizes against the rules of their standards."""

import fluids
import numpy as np
import pytest

from pondcalc.back_pressure import fittings, pipesizes
from pondcalc.datafiles import read_table

INCH = 0.0254


# Crane TP-410 (2009 edition) friction factors of clean steel, as reprinted: 0.026, 0.024, 0.022, 0.021; older
# editions 0.027, 0.025, 0.023, 0.022 (from memory). fluids.ft_Crane is a fit of its own.
@pytest.mark.parametrize("bore, newer, older", [(0.622, 0.026, 0.027), (0.824, 0.024, 0.025), (1.049, 0.022, 0.023),
                                                (1.380, 0.021, 0.022)])
def test_turbulent_friction(bore, newer, older):
    ours = fittings.turbulent_friction.si(bore * INCH)
    assert newer - 5e-4 <= ours <= older + 5e-4
    assert ours == pytest.approx(fluids.fittings.ft_Crane(bore * INCH), rel=0.025)


# multipliers that the library fluids knows by themselves (friction factor 1)
@pytest.mark.parametrize("name, theirs", [
    ("ball valve", fluids.K_ball_valve_Crane(D1=1, D2=1, angle=0, fd=1)),
    ("gate valve", fluids.K_gate_valve_Crane(D1=1, D2=1, angle=0, fd=1)),
    ("globe valve", fluids.K_globe_valve_Crane(D1=1, D2=1, fd=1)),
    ("swing check valve", fluids.K_swing_check_valve_Crane(fd=1, angled=True)),
    ("swing check valve straight through", fluids.K_swing_check_valve_Crane(fd=1, angled=False)),
    ("lift check valve", fluids.K_lift_check_valve_Crane(D1=1, D2=1, fd=1, angled=False)),
    ("sweep bend", fluids.fittings.bend_rounded_Crane(Di=0.0266, angle=90, bend_diameters=2)
     / fluids.fittings.ft_Crane(0.0266))])
def test_multipliers_against_fluids(name, theirs):
    assert fittings.fitting_loss.si(name, 0.0266) / fittings.turbulent_friction.si(0.0266) == pytest.approx(
        theirs, rel=0.012)


def test_elbows_against_another_method():
    # The multipliers of elbows and tees are from memory; the two-constant method of Hooper (1981, Chem. Eng.
    # 88(17):96) in fluids is another road to them. Methods for fittings differ by a third.
    hooper = fluids.fittings.Hooper2K(Di=1.049, Re=1e5, name="Elbow, 90°, Standard (R/D = 1), Screwed")
    assert fittings.fitting_loss("90 elbow", "1.049 in").m == pytest.approx(hooper, rel=0.35)


def test_sums_and_names():
    # 7.24 in half-inch and 6.70 in 3/4 inch pipe by the fit of fluids; the formula here is 1 to 2 % higher
    parts = {"swing check valve": 1, "90 elbow": 4, "ball": 1, "tee side": 1}
    theirs = [(100 + 4 * 30 + 3 + 60) * fluids.fittings.ft_Crane(d * INCH) for d in (0.622, 0.824)]
    ours = [fittings.fittings_loss.si(parts, d * INCH) for d in (0.622, 0.824)]
    assert ours == pytest.approx(theirs, rel=0.025)
    assert fittings.fittings_loss.si({}, 0.02, other=1.5) == 1.5
    with pytest.raises(ValueError, match="could be any"):
        fittings.fitting_loss("elbow", "1 in")
    with pytest.raises(ValueError, match="There are: 90 degree elbow"):
        fittings.fitting_loss("wye", "1 in")


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
    for name in ("pipe-sizes.csv", "fittings.csv"):
        for row in read_table(name):
            assert row["status"] in statuses and row["source"].strip(), row


@pytest.mark.parametrize("family, size, says", [
    ("bamboo", "1 in", "There are: PVC schedule 40"), ("PE", "1 in", "could be any"), ("pcv", "1 in", "not a family"),
    ("PVC", "7/8 in", "It has 1/2 in, 3/4 in"), ("PVC", "wide", "not a pipe size"),
    ("PVC", "2 psi", "not a pipe size")])
def test_unknown_pipe_is_refused(family, size, says):
    with pytest.raises(ValueError, match=says):
        pipesizes.find_pipe(family, size)
