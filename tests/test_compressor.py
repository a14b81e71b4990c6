"""Operating point by algebra, power against a printed table and the library fluids."""

import fluids
import numpy as np
import pytest

from pondcalc.back_pressure import airline, compressor
from pondcalc.back_pressure.compressor import CannotReach, CompressorCurve
from pondcalc.units import Q, Range

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
    curve = CompressorCurve(["0 psi", "8 psi", "12 psi"], ["6 cfm", "4 cfm", "2 cfm"])
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
    curve = CompressorCurve(["0 psi", "10 psi"], ["6 cfm", "5 cfm"])
    with pytest.raises(CannotReach, match="wider line"):
        compressor.operating_point(curve, square_system(8.65, 0.5))


def test_a_system_below_the_first_point_warns():
    curve = CompressorCurve(["8 psi", "12 psi"], ["4 cfm", "2 cfm"])
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
        CompressorCurve(pressures, flows)


# Machinery's Handbook, 31st ed. (2020), p. 2816, Table 35: adiabatic ft-lb per ft3 at 14.7 psia (seen)
@pytest.mark.parametrize("psi, table", [(5, 649.5), (10, 1192.0), (15, 1661.2), (20, 2074.0)])
def test_adiabatic_power_against_machinerys_handbook(psi, table):
    watts = compressor.adiabatic_power.si(CFM, psi * PSI)
    assert watts == pytest.approx(table * 1.3558179 / 60, rel=0.01)


@pytest.mark.parametrize("psi, celsius, elevation", [(5, 20, 0), (10, 38, 0), (12, 20, 1524)])
def test_adiabatic_power_against_fluids(psi, celsius, elevation):
    inlet = fluids.ATMOSPHERE_1976(elevation).P
    per_mole = fluids.isentropic_work_compression(celsius + 273.15, 1.4, P1=inlet, P2=inlet + psi * PSI,
                                                  eta=1)
    moles = 4 * CFM * 101325 / (8.31446 * 293.15)
    assert compressor.adiabatic_power.si(4 * CFM, psi * PSI, elevation, celsius) == pytest.approx(
        moles * per_mole, rel=1e-3)


def test_wire_power_is_a_range_from_the_efficiency():
    # adiabatic 0.0359 hp per cfm at 10 psig (Machinery's Handbook, 31st ed., Table 35, agrees within 1 %)
    power = compressor.wire_power("4 cfm", "10 psi", efficiency=Range(0.20, 0.30, 0.45))
    expected = [4 * 0.0359 * 745.7 / e for e in (0.45, 0.30, 0.20)]
    assert [p.m_as("W") for p in power] == pytest.approx(expected, rel=0.01)
    with pytest.raises(ValueError, match="rise"):
        compressor.wire_power("4 cfm", "10 psi", efficiency=Range(0.3, 0.2, 0.5))


def test_derating_by_elevation_and_heat():
    # at one inlet temperature density goes as pressure: U.S. Standard Atmosphere 1976, by fluids
    curve = compressor.linear_curve("6 cfm", "20 psi", droop=0.5)
    share = fluids.ATMOSPHERE_1976(5000 * FT).P / 101325
    high = compressor.derated(curve, "5000 ft")
    assert high.flow_free_air == pytest.approx(curve.flow_free_air * share, rel=1e-3)
    assert high.pressure_gauge == pytest.approx(curve.pressure_gauge * share, rel=1e-3)
    hot = compressor.derated(curve, "0 ft", "100 F")
    assert hot.flow_free_air / curve.flow_free_air == pytest.approx(528 / 560, rel=1e-3)  # deg R
    assert hot.pressure_gauge == pytest.approx(curve.pressure_gauge)


def test_curve_points_cannot_be_changed():
    with pytest.raises(ValueError, match="read-only"):
        compressor.linear_curve("6 cfm", "20 psi").flow_free_air[0] = 1


def test_reader_quantities_come_back():
    curve = CompressorCurve([Q("0 psi"), Q("10 psi")], [Q("6 cfm"), Q("5 cfm")], "mine")
    assert curve.quantity("flow_free_air").m_as("cfm") == pytest.approx([6, 5])
