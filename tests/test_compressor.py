"""Operating point by algebra, power against the library fluids, curves typed in, kinds of machine."""

import fluids
import numpy as np
import pytest

from pondcalc import air, textfiles
from pondcalc.back_pressure.airline import Line
from pondcalc.back_pressure.compressor import CannotReach, CompressorCurve
from pondcalc.datafiles import read_table
from pondcalc.door import airline, compressor
from pondcalc.units import Q, Range, asked

PSI, CFM, FT = 6894.757, 4.71947e-4, 0.3048


def square_system(static_psi, k):
    """Pa for m3/s: static + k Q^2, k in psi per cfm^2."""
    return lambda flow: (static_psi + k * (flow / CFM) ** 2) * PSI


def test_operating_point_of_a_straight_curve_is_a_quadratic():
    # Q = 6 (1 - P/20), P = 8.65 + 0.05 Q^2 (cfm, psi): 0.05 Q^2 + (20/6) Q - 11.35 = 0
    expected = np.roots([0.05, 20 / 6, 8.65 - 20]).max()
    point = compressor.operating_point(compressor.linear_curve("6 cfm", "20 psi"), square_system(8.65, 0.05))
    assert point.flow_free_air.m_as("cfm") == pytest.approx(expected, rel=1e-6)
    assert point.pressure_gauge.m_as("psi") == pytest.approx(8.65 + 0.05 * expected**2, rel=1e-6)
    assert (expected, 8.65 + 0.05 * expected**2) == pytest.approx((3.2469, 9.1771), abs=1e-4)


def test_operating_point_on_typed_points():
    # last straight piece, from 8 psi 4 cfm to 12 psi 2 cfm: Q = 8 - P/2, against a flat 9 psi gives 3.5 cfm
    curve = asked(CompressorCurve)(["0 psi", "8 psi", "12 psi"], ["6 cfm", "4 cfm", "2 cfm"])
    point = compressor.operating_point.si(curve, square_system(9.0, 0.0))
    assert point.flow_free_air / CFM == pytest.approx(3.5, rel=1e-6)


def test_operating_point_lies_on_both_curves():
    curve = compressor.linear_curve("6 cfm", "20 psi", droop=0.4)
    system = airline.system_curve("19 ft", airline.Line("100 ft", "5/8 in"))
    point = compressor.operating_point.si(curve, system)
    assert system(point.flow_free_air) == pytest.approx(point.pressure_gauge, rel=1e-9)
    by_curve = 6 * CFM * (1 - 0.4 * point.pressure_gauge / (20 * PSI))
    assert point.flow_free_air == pytest.approx(by_curve, rel=1e-5)


def test_a_compressor_that_cannot_reach_says_so():
    with pytest.raises(CannotReach, match="cannot reach"):
        compressor.operating_point(compressor.linear_curve("6 cfm", "5 psi"), square_system(8.65, 0.05))
    with pytest.raises(CannotReach, match="before the first bubble with an aged diffuser, and its curve ends at"):
        compressor.operating_point(compressor.linear_curve("6 cfm", "5 psi"), square_system(8.65, 0.05),
                                   "with an aged diffuser")
    at_its_limit = compressor.linear_curve("6 cfm", Q(8.65 * PSI, "Pa"))             # no air moves
    with pytest.raises(CannotReach, match="cannot reach"):
        compressor.operating_point(at_its_limit, square_system(8.65, 0.05))


def test_a_curve_that_ends_too_soon_says_so():
    curve = asked(CompressorCurve)(["0 psi", "10 psi"], ["6 cfm", "5 cfm"])
    with pytest.raises(CannotReach, match="wider line"):
        compressor.operating_point(curve, square_system(8.65, 0.5))


def test_a_system_below_the_first_point_warns():
    curve = asked(CompressorCurve)(["8 psi", "12 psi"], ["4 cfm", "2 cfm"])
    with pytest.warns(UserWarning, match="below the first point"):
        point = compressor.operating_point(curve, square_system(3.0, 0.0))
    assert point.flow_free_air.m_as("cfm") == pytest.approx(4)
    assert point.pressure_gauge.m_as("psi") == pytest.approx(3.0)


def test_curve_flow_past_the_points():
    ends_at_zero, ends_early = (compressor.linear_curve("6 cfm", "10 psi", droop=d) for d in (1, 0.5))
    assert compressor.curve_flow(ends_at_zero, "12 psi").m == 0
    assert np.isnan(compressor.curve_flow(ends_early, "12 psi").m)


@pytest.mark.parametrize("pressures, flows, says", [
    (["0 psi"], ["6 cfm"], "two or more"), (["0 psi", "5 psi"], ["6 cfm"], "two or more"),
    (["5 psi", "5 psi"], ["6 cfm", "5 cfm"], "point 2"), (["0 psi", "5 psi"], ["4 cfm", "6 cfm"], "point 2"),
    (["0 psi", "5 psi"], ["4 cfm", "-1 cfm"], "below zero"),
    (["0 psi", "5 psi"], ["0 cfm", "0 cfm"], "any flow")])
def test_bad_curves_are_refused(pressures, flows, says):
    with pytest.raises(ValueError, match=says):
        asked(CompressorCurve)(pressures, flows)


@pytest.mark.parametrize("psi, elevation", [(5, 0), (10, 0), (12, 1524)])
def test_adiabatic_power_against_fluids(psi, elevation):
    inlet = fluids.ATMOSPHERE_1976(elevation).P
    per_mole = fluids.isentropic_work_compression(293.15, 1.4, P1=inlet, P2=inlet + psi * PSI,
                                                  eta=1)
    moles = 4 * CFM * 101325 / (8.31446 * 293.15)
    assert compressor.adiabatic_power.si(4 * CFM, psi * PSI, elevation) == pytest.approx(
        moles * per_mole, rel=1e-3)


def test_wire_power_is_a_range_from_the_efficiency():
    # adiabatic 0.0359 hp per cfm at 10 psig (Machinery's Handbook, 31st ed., Table 35, agrees within 1 %)
    power = compressor.wire_power("4 cfm", "10 psi", efficiency=Range(0.20, 0.30, 0.45))
    expected = [4 * 0.0359 * 745.7 / e for e in (0.45, 0.30, 0.20)]
    assert [p.m_as("W") for p in power] == pytest.approx(expected, rel=0.01)
    with pytest.raises(ValueError, match="rise"):
        compressor.wire_power("4 cfm", "10 psi", efficiency=Range(0.3, 0.2, 0.5))


def test_derating_by_elevation():
    # at one inlet temperature density goes as pressure: U.S. Standard Atmosphere 1976, by fluids
    curve = compressor.linear_curve("6 cfm", "20 psi", droop=0.5)
    share = fluids.ATMOSPHERE_1976(5000 * FT).P / 101325
    high = compressor.derated(curve, "5000 ft")
    assert high.flow_free_air == pytest.approx(curve.flow_free_air * share, rel=1e-3)
    assert high.pressure_gauge == pytest.approx(curve.pressure_gauge * share, rel=1e-3)
    # what a cabinet of 100 F takes besides, in degrees Rankine
    assert 1 / air.free_air_to_actual(1.0, (100 - 32) / 1.8, 101325.0) == pytest.approx(528 / 560, rel=1e-3)


def test_curve_points_cannot_be_changed():
    with pytest.raises(ValueError, match="read-only"):
        compressor.linear_curve("6 cfm", "20 psi").flow_free_air[0] = 1


def test_reader_quantities_come_back():
    curve = asked(CompressorCurve)([Q("0 psi"), Q("10 psi")], [Q("6 cfm"), Q("5 cfm")], "mine")
    assert curve.quantity("flow_free_air").m_as("cfm") == pytest.approx([6, 5])


@pytest.mark.parametrize("text", [
    "0 psi, 6 cfm\n5 psi, 5 cfm\n10 psi, 3.5 cfm",
    "pressure (psi), flow (cfm)\n0, 6\n5, 5\n10, 3.5",
    "flow cfm; pressure psi\n6; 0\n5; 5\n3,5; 10",
    "# from the sheet\n\n10 psi\t3.5 cfm\n0 psi\t6 cfm\n5 psi\t5 cfm",
    "3.5 cfm  10 psi\n6 cfm  0 psi\n5 cfm  5 psi",
    # 1 psi is 6.894757 kPa, 1 cfm 28.31685 L/min
    "pressure kPa, flow L/min\n0, 169.9011\n34.473785, 141.58425\n68.94757, 99.10898",
    "0 mbar; 169.9011 L/min\n344.73785 mbar; 141.58425 L/min\n689.4757 mbar; 99.10898 L/min"])
def test_typed_points(text):
    curve = compressor.read_curve(text)
    np.testing.assert_allclose(curve.pressure_gauge / PSI, [0, 5, 10], atol=1e-9, rtol=1e-5)
    np.testing.assert_allclose(curve.flow_free_air / CFM, [6, 5, 3.5], rtol=1e-5)


@pytest.mark.parametrize("text, says", [
    ("0, 6\n5, 4", r"Line 1 \('0, 6'\).*no unit"), ("5 psi, 3 cfm", "two points"), ("", "two points"),
    ("1,2,3", "3 parts.*semicolon"), ("5 psi, 3 cfm\n6 psi, 4 cfm", "Line 2 gives more flow than line 1"),
    ("5 psi, 3 cfm\n5 psi, 2 cfm", "Lines 1 and 2|Lines 2 and 1"), ("5 ft, 3 cfm\n6 ft, 2 cfm", "not a pressure and a"),
    ("5 psi, 3 foo", "not a unit"), ("5 psi, 4 cfm\nsix psi, 3 cfm", "Line 2"),
    ("5 psi, 3 cfm\nand so on, and on", "Line 2.*no numbers"), ("-1 psi, 5 cfm\n3 psi, 4 cfm", "below zero")])
def test_bad_text_is_refused_by_line(text, says):
    with pytest.raises(textfiles.FieldDataError, match=says):
        compressor.read_curve(text)


# Common practice, no source, all of it: diaphragm machines to about 8-10 ft, rotary vane to about 15-18 ft, rocking
# piston at its best near 25 ft and able to 40 ft. The ranges of the table are held to it, and to each other: the
# water over the deepest diffuser, plus 1 psi of losses, must be within the pressure of the family.
@pytest.mark.parametrize("name, depths", [("diaphragm", (8, 10)), ("rotary vane", (15, 18)),
                                          ("rocking piston", (25, 40))])
def test_common_practice_of_families(name, depths):
    family = compressor.find_family(name)
    low, high = (d / FT for d in family.depth)
    assert low <= depths[0] <= depths[1] <= high <= depths[1] * 1.25
    assert depths[1] * 0.4328 + 1 <= family.pressure[1] / PSI


def test_low_ends_of_the_rocking_piston_agree():
    # 8 ft of water (0.4328 psi a foot), 1 psi of losses and a margin of 15 %: 5.1 psi
    piston = compressor.find_family("rocking piston")
    assert piston.pressure[0] / PSI == pytest.approx(1.15 * (8 * 0.4328 + 1), rel=0.05)
    assert piston.depth[0] / FT == pytest.approx(8)


def test_deep_water_rules_out_the_weak_ones():
    total = airline.pressure_budget("19 ft", asked(Line)("100 ft", "5/8 in"), "4 cfm").total
    fits = {item.family.name: item for item in compressor.suitable_families("19 ft", total, "4 cfm")}
    assert fits["rocking piston"].fits == "yes"
    assert fits["diaphragm"].fits == fits["blower"].fits == "no"
    assert "less than its usual" in fits["screw or claw"].words
    shallow = {item.family.name: item.fits for item in compressor.suitable_families("7 ft", "4.5 psi", "3 cfm")}
    assert shallow["diaphragm"] == "yes" and shallow["rocking piston"] == "maybe"
    assert {row["status"] for row in read_table("compressor-families.csv")} == {"common practice"}
    with pytest.raises(ValueError, match="There are: diaphragm"):
        compressor.find_family("steam")


def test_past_the_end_is_said():
    curve = compressor.CompressorCurve(["2 psi", "10 psi"], ["6 cfm", "5 cfm"])
    says = [compressor.where_on_curve(curve, psi * PSI) for psi in (12, 9.6, 6, 1)]
    assert [s.split(" ")[0] for s in says] == ["Past", "In", "Inside", "Below"]
    assert "10.0 psi" in says[0] and "68.9 kPa" in compressor.where_on_curve(curve, 12 * PSI, "metric")
