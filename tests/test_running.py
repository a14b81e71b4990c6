"""Curves typed in, kinds of machine, power and heat of a running compressor."""

import fluids
import numpy as np
import pytest

from pondcalc import textfiles
from pondcalc.back_pressure import airline, compressor, curvetext, families, running
from pondcalc.back_pressure.airline import Line
from pondcalc.datafiles import read_table

PSI, CFM, FT = 6894.757, 4.71947e-4, 0.3048


@pytest.mark.parametrize("text", [
    "0 psi, 6 cfm\n5 psi, 5 cfm\n10 psi, 3.5 cfm",
    "pressure (psi), flow (cfm)\n0, 6\n5, 5\n10, 3.5",
    "flow cfm; pressure psi\n6; 0\n5; 5\n3,5; 10",
    "# from the sheet\n\n10 psi\t3.5 cfm\n0 psi\t6 cfm\n5 psi\t5 cfm",
    "3.5 cfm  10 psi\n6 cfm  0 psi\n5 cfm  5 psi"])
def test_typed_points(text):
    curve = curvetext.read_curve(text, "machine A")
    np.testing.assert_allclose(curve.pressure_gauge / PSI, [0, 5, 10], atol=1e-9, rtol=1e-6)
    np.testing.assert_allclose(curve.flow_free_air / CFM, [6, 5, 3.5], rtol=1e-6)
    assert curve.name == "machine A"


def test_metric_points_and_units_of_bare_numbers():
    by_argument = curvetext.read_curve("0, 170\n50, 120", pressure_unit="kPa", flow_unit="L/min")
    typed = curvetext.read_curve("0 mbar; 170 L/min\n500 mbar; 120 L/min")
    np.testing.assert_allclose(by_argument.pressure_gauge, [0, 50e3])
    np.testing.assert_allclose(by_argument.flow_free_air, np.array([170, 120]) / 60e3)
    np.testing.assert_allclose(typed.pressure_gauge, by_argument.pressure_gauge)


@pytest.mark.parametrize("text, says", [
    ("0, 6\n5, 4", r"Line 1 \('0, 6'\).*no unit"), ("5 psi, 3 cfm", "two points"), ("", "two points"),
    ("1,2,3", "3 parts.*semicolon"), ("5 psi, 3 cfm\n6 psi, 4 cfm", "Line 2 gives more flow than line 1"),
    ("5 psi, 3 cfm\n5 psi, 2 cfm", "Lines 1 and 2|Lines 2 and 1"), ("5 ft, 3 cfm\n6 ft, 2 cfm", "not a pressure and a"),
    ("5 psi, 3 foo", "not a unit"), ("5 psi, 4 cfm\nsix psi, 3 cfm", "Line 2"),
    ("5 psi, 3 cfm\nand so on, and on", "Line 2.*no numbers"), ("-1 psi, 5 cfm\n3 psi, 4 cfm", "below zero")])
def test_bad_text_is_refused_by_line(text, says):
    with pytest.raises(textfiles.FieldDataError, match=says):
        curvetext.read_curve(text)


# Common practice, no source, all of it: diaphragm machines to about 8-10 ft, rotary vane to about 15-18 ft, rocking
# piston at its best near 25 ft and able to 40 ft. The ranges of the table are held to it, and to each other: the
# water over the deepest diffuser, plus 1 psi of losses, must be within the pressure of the family.
@pytest.mark.parametrize("name, depths", [("diaphragm", (8, 10)), ("rotary vane", (15, 18)),
                                          ("rocking piston", (25, 40))])
def test_common_practice_of_families(name, depths):
    family = families.find_family(name)
    low, high = (d / FT for d in family.depth)
    assert low <= depths[0] <= depths[1] <= high <= depths[1] * 1.25
    assert depths[1] * 0.4328 + 1 <= family.pressure[1] / PSI


def test_low_ends_of_the_rocking_piston_agree():
    # 8 ft of water (0.4328 psi a foot), 1 psi of losses and a margin of 15 %: 5.1 psi
    piston = families.find_family("rocking piston")
    assert piston.pressure[0] / PSI == pytest.approx(1.15 * (8 * 0.4328 + 1), rel=0.05)
    assert piston.depth[0] / FT == pytest.approx(8)


def test_deep_water_rules_out_the_weak_ones():
    total = airline.pressure_budget("19 ft", Line("100 ft", "5/8 in"), "4 cfm").total
    fits = {item.family.name: item for item in families.suitable_families("19 ft", total, "4 cfm")}
    assert fits["rocking piston"].fits == "yes"
    assert fits["diaphragm"].fits == fits["blower"].fits == "no"
    assert "less than its usual" in fits["screw or claw"].words
    shallow = {item.family.name: item.fits for item in families.suitable_families("7 ft", "4.5 psi", "3 cfm")}
    assert shallow["diaphragm"] == "yes" and shallow["rocking piston"] == "maybe"
    assert {row["status"] for row in read_table("compressor-families.csv")} == {"common practice"}
    with pytest.raises(ValueError, match="There are: diaphragm"):
        families.find_family("steam")


def test_power_at_the_cord():
    # 4 cfm at 10 psig: 107 W adiabatic, and 357 W at the cord for 30 % (Machinery's Handbook, 31st ed., Table 35:
    # 1192.0 ft-lb for each cubic foot, or 26.94 W for each cfm, times 4, over 0.30)
    assert compressor.wire_power.si(4 * CFM, 10 * PSI).usual == pytest.approx(4 * 26.94 / 0.30, rel=0.01)


# T2 = T1 [1 + ((P2/P1)^0.2857 - 1)/eta]: 191 F and 249 F (arithmetic; fluids.isentropic_T_rise_compression agrees)
@pytest.mark.parametrize("psi, t1, eta", [(10, 70, 0.7), (10, 100, 0.6), (15, 70, 0.5)])
def test_discharge_temperature_against_fluids(psi, t1, eta):
    from pondcalc import air
    kelvin = (t1 + 459.67) / 1.8
    theirs = fluids.isentropic_T_rise_compression(kelvin, 101325.0, 101325.0 + psi * PSI, 1.4, eta=eta) - 273.15
    assert air.discharge_temperature.si(psi * PSI, kelvin - 273.15, eta) == pytest.approx(theirs, abs=0.1)


def test_past_the_end_is_said():
    curve = compressor.CompressorCurve(["2 psi", "10 psi"], ["6 cfm", "5 cfm"])
    says = [running.where_on_curve(curve, psi * PSI) for psi in (12, 9.6, 6, 1)]
    assert [s.split(" ")[0] for s in says] == ["Past", "In", "Inside", "Below"]
    assert "10.0 psi" in says[0] and "68.9 kPa" in running.where_on_curve(curve, 12 * PSI, "metric")
