"""Chains of segments, choking and the way back from pressure to flow, against fluids, scipy and by hand."""

import fluids
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from pondcalc.back_pressure import airline, friction, lineflow
from pondcalc.back_pressure.airline import Line
from pondcalc.units import Q

FT, INCH, PSI, CFM, ATM = 0.3048, 0.0254, 6894.757, 4.71947e-4, 101325.0
R = 287.05287                           # J/(kg K), ISO 2533
FREE = ATM / (R * 293.15)               # kg/m3 of free air


def random_cases(count, seed):
    """Lines, flows and outlets as ponds have them; turbulent, and far from choking."""
    rng = np.random.default_rng(seed)
    bore = rng.uniform(0.375, 2.0, count) * INCH
    reynolds = np.exp(rng.uniform(np.log(4100), np.log(30000), count))
    flow = reynolds * np.pi * bore * 1.8134e-5 / 4 / FREE
    return rng.uniform(20, 600, count) * FT, bore, flow, ATM + rng.uniform(2, 15, count) * PSI


def test_500_random_cases_against_fluids():
    # fluids.isothermal_gas with Colebrook, density at the *inlet* (its docstring says average, which is up to
    # 6 % off), so the inlet pressure is the root at which its mass flow is ours
    length, bore, flow, outlet = random_cases(500, 20240)
    ours = lineflow.pressure_loss.si(Line.si(length, bore), flow, outlet)
    theirs = np.array([loss_by_fluids(*case) for case in zip(length, bore, flow, outlet, strict=True)])
    assert theirs.max() > 5 * PSI and theirs.min() < 0.01 * PSI, "the cases span what ponds need"
    np.testing.assert_allclose(ours, theirs, rtol=0.005)


def loss_by_fluids(length, bore, flow, outlet):
    reynolds = 4 * flow * FREE / (np.pi * bore * 1.8134e-5)         # U.S. Standard Atmosphere 1976, 20 C
    factor = fluids.friction.Colebrook(reynolds, 1.5e-6 / bore)

    def excess(inlet):
        return fluids.isothermal_gas(rho=inlet / (R * 293.15), fd=factor, P1=inlet, P2=outlet, L=length,
                                     D=bore) - flow * FREE
    high = 1e-4 * outlet
    while excess(outlet + high) < 0:
        high *= 1.4
    return brentq(excess, outlet * (1 + 1e-12), outlet + high, xtol=1e-4) - outlet


def test_a_chain_against_fluids_and_the_step_by_hand():
    # 300 ft of 1.049 in, then 100 ft of 5/8 in: fluids for each segment, from the far end, and between them
    # rho/2 (v2^2 - v1^2 + 0.5 (1 - b^2) v2^2), Bernoulli and Crane's contraction
    wide, narrow, flow, outlet = 1.049 * INCH, 0.625 * INCH, 8 * CFM, 24.696 * PSI
    chain = [Line.si(300 * FT, wide), Line.si(100 * FT, narrow)]
    joint = outlet + loss_by_fluids(100 * FT, narrow, flow, outlet)
    rho = joint / (R * 293.15)
    v1, v2 = (flow * FREE / rho / (np.pi / 4 * d**2) for d in (wide, narrow))
    step = rho / 2 * (v2**2 - v1**2 + 0.5 * (1 - (narrow / wide) ** 2) * v2**2)
    expected = joint + step + loss_by_fluids(300 * FT, wide, flow, joint + step)
    assert lineflow.inlet_pressure.si(chain, flow, outlet) - outlet == pytest.approx(expected - outlet, rel=1e-3)
    ends = np.array(lineflow._walk(chain, flow, outlet, 20.0, 0.0).pressures)
    assert ends[[3, 2, 1]] == pytest.approx([outlet, joint, joint + step], rel=1e-6)


def test_the_order_of_a_chain_hardly_matters_but_the_lengths_do():
    wide, narrow = Line.si(91.44, 1.049 * INCH), Line.si(30.48, 0.625 * INCH)
    flow, outlet = 4 * CFM, 1.6e5
    forth, back = (lineflow.pressure_loss.si(chain, flow, outlet) for chain in ([wide, narrow], [narrow, wide]))
    assert forth == pytest.approx(back, rel=0.03)
    all_wide = lineflow.pressure_loss.si(Line.si(121.92, 1.049 * INCH), flow, outlet)
    assert forth > 3 * all_wide, "the narrow piece rules the loss"


def test_one_line_cut_in_three_is_the_same_line():
    flow, outlet = 4 * CFM, 1.6e5
    whole = lineflow.pressure_loss.si(Line.si(90.0, 0.0159), flow, outlet, 20.0, 5.0)
    cut = lineflow.pressure_loss.si([Line.si(30.0, 0.0159)] * 3, flow, outlet, 20.0, 5.0)
    assert cut == pytest.approx(whole, rel=1e-9)


def test_widening_gains_pressure_back_but_not_all():
    # Borda and Carnot: of the velocity head given up, 2 b^2 (1 - b^2) comes back; loss (1 - b^2)^2
    narrow, wide, flow, outlet = 0.01, 0.02, 4 * CFM, 1.6e5
    chain = [Line.si(0.0, narrow), Line.si(0.0, wide)]
    before, after = lineflow._walk(chain, flow, outlet, 20.0, 0.0).pressures[1:3]
    rho = outlet / (R * 293.15)
    v1 = flow * FREE / rho / (np.pi / 4 * narrow**2)
    assert after - before == pytest.approx(rho * v1**2 * 0.25 * 0.75, rel=1e-3)       # b^2 = 0.25


def test_step_losses_against_fluids():
    # a step is a cone of 180 degrees
    for wide, narrow in ((0.0266, 0.0159), (0.05, 0.02)):
        cone = fluids.fittings.contraction_conical_Crane(Di1=wide, Di2=narrow, angle=180)
        assert lineflow.contraction_loss.si(wide, narrow) == pytest.approx(cone, rel=1e-6)
        assert lineflow.contraction_loss.si(narrow, wide) == 0 == lineflow.enlargement_loss.si(wide, narrow)
        borda = fluids.fittings.diffuser_sharp(Di1=narrow, Di2=wide)
        assert lineflow.enlargement_loss.si(narrow, wide) == pytest.approx(borda, rel=1e-6)


def test_fittings_of_a_segment_count_in_its_own_bore():
    wide, narrow, flow, outlet = 1.049 * INCH, 0.625 * INCH, 4 * CFM, 1.6e5
    plain = lineflow.inlet_pressure.si([Line.si(0.0, wide), Line.si(0.0, narrow)], flow, outlet)
    fitted = lineflow.inlet_pressure.si([Line.si(0.0, wide), Line.si(0.0, narrow, 1.5e-6, 10.0)], flow, outlet)
    speed = flow * FREE / (outlet / R / 293.15) / (np.pi / 4 * narrow**2)
    assert fitted - plain == pytest.approx(10 * outlet / R / 293.15 * speed**2 / 2, rel=2e-3)


def test_choking_is_named_and_its_limit_given():
    with pytest.raises(ValueError, match="segment 2 of the line chokes.*speed of sound.*at most"):
        lineflow.inlet_pressure([Line("100 ft", "1 in"), Line("10 ft", "1/8 in")], "40 cfm", "24.7 psi")
    # the limit is P A/sqrt(R T), by the definition of the isothermal limit
    limit = 24.7 * PSI * np.pi / 4 * (0.125 * INCH) ** 2 / np.sqrt(R * 293.15) / FREE
    with pytest.raises(ValueError, match=rf"passes {limit / CFM:.2f} cfm \(\d+ L/min\) at most"):
        lineflow.inlet_pressure(Line("10 ft", "1/8 in"), "40 cfm", Q(24.7 * PSI, "Pa"))


def test_choked_flow_against_fluids_and_the_differential_equation():
    line, inlet = Line.si(1.0, 0.006), 6e5
    found = lineflow.flow_through.si(line, inlet, ATM)
    assert found.choked and found.outlet_pressure_absolute > 1.2 * ATM
    # a still lower outlet brings no more air
    lower = lineflow.flow_through.si(line, inlet, 0.5 * ATM)
    assert lower.flow_free_air == pytest.approx(found.flow_free_air, rel=1e-9)
    # fluids.P_isothermal_critical_flow: outlet pressure of the choked line with the same friction factor
    factor = friction.friction_factor.si(friction.reynolds_number.si(found.flow_free_air, 0.006), 1.5e-6 / 0.006)
    choke = fluids.P_isothermal_critical_flow(P=inlet, fd=float(factor), D=0.006, L=1.0)
    assert found.outlet_pressure_absolute == pytest.approx(choke, rel=1e-5)
    # and the equation of motion, from the inlet down to just above the limit, meets that length
    flux = found.flow_free_air * FREE / (np.pi / 4 * 0.006**2)

    def length_by_pressure(p, _):
        momentum = flux**2 * R * 293.15 / p
        return -2 * 0.006 / factor * (1 - momentum / p) / momentum
    run = solve_ivp(length_by_pressure, (inlet, found.outlet_pressure_absolute * 1.0001), [0.0], rtol=1e-10)
    assert run.y[0, -1] == pytest.approx(1.0, rel=1e-5)


def test_flow_through_undoes_inlet_pressure():
    length, bore, flow, outlet = random_cases(200, 7)
    line = Line.si(length, bore)
    inlet = lineflow.inlet_pressure.si(line, flow, outlet, 15.0, 3.0)
    for each, push, wanted, end in zip(zip(length, bore, strict=True), inlet, flow, outlet, strict=True):
        found = lineflow.flow_through.si(Line.si(*each), push, end, 15.0, 3.0)
        assert found.flow_free_air == pytest.approx(wanted, rel=1e-7) and not found.choked
    assert lineflow.flow_through.si(Line.si(1.0, 0.01), 1.5e5, 1.5e5).flow_free_air == 0


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 300), st.floats(0.004, 0.05), st.floats(0.0, 50.0), st.floats(1.0, 6e5),
       st.floats(8e4, 3e5))
def test_flow_through_always_answers(length, bore, k, push, outlet):
    line = Line.si(length, bore, 1.5e-6, k)
    found = lineflow.flow_through.si(line, outlet + push, outlet)
    assert np.isfinite(found.flow_free_air) and found.flow_free_air >= 0
    if not found.choked and length > 1:
        again = lineflow.push_needed(line, float(found.flow_free_air), outlet, 20.0)
        assert again - outlet == pytest.approx(push, rel=1e-6, abs=1e-3)
    more = lineflow.flow_through.si(line, outlet + 1.1 * push, outlet)
    assert more.flow_free_air >= found.flow_free_air * (1 - 1e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(1.0, 300), st.floats(0.006, 0.05), st.floats(1.02, 2.0), st.floats(1e-5, 4e-3), st.floats(8e4, 4e5))
def test_a_narrower_or_a_longer_line_and_more_air_always_cost_more(length, bore, times, flow, outlet):
    def loss(length=length, bore=bore, flow=flow, outlet=outlet):
        return lineflow.push_needed(Line.si(length, bore, 1.5e-6), flow, outlet, 20.0) - outlet
    assert loss(bore=bore / times) > loss() > loss(length=length / times) > 0
    assert loss(flow=flow * times) > loss()
    # past the limit of choking the pressure in the far end no longer follows the outlet
    if lineflow.push_needed(Line.si(0.0, bore), flow, outlet, 20.0) == outlet:
        assert loss(outlet=outlet * times) < loss(), "denser air moves slower"


def test_system_flow_undoes_the_system_curve():
    system = airline.system_curve.si(5.8, [Line.si(90.0, 0.0266), Line.si(30.0, 0.0159)])
    assert airline.system_flow.si(system, system(2e-3)) == pytest.approx(2e-3, rel=1e-9)
    assert airline.system_flow.si(system, 1000.0) == 0


@pytest.mark.parametrize("psi, feet, bore, cfm", [(10, 19, 0.625, 4)])
def test_a_gauge_near_10_psi_is_usual(psi, feet, bore, cfm):
    # common practice, no source: a gauge near 10 psi with a diffuser at about 19 ft on 100 ft of 5/8 in line
    budget = airline.pressure_budget(Q(feet, "ft"), Line("100 ft", Q(bore, "in")), Q(cfm, "cfm"))
    assert budget.working.m_as("psi") == pytest.approx(psi, abs=0.75)


@pytest.mark.parametrize("make, says", [
    (lambda: lineflow.inlet_pressure([], "4 cfm", "25 psi"), "compressor to the diffuser"),
    (lambda: lineflow.inlet_pressure(["5/8 in"], "4 cfm", "25 psi"), "compressor to the diffuser"),
    (lambda: lineflow.flow_through(Line("10 ft", "1 in"), "20 psi", "25 psi"), "flow back"),
    (lambda: Line("10 ft", "1 in", loss_coefficient=-1), "loss coefficient is -1.00"),
    (lambda: lineflow.inlet_pressure(Line("10 ft", "1 in"), "4 cfm", "25 psi", loss_coefficient=-2), "velocity heads")])
def test_impossible_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()


def test_a_line_that_cannot_be_is_refused_in_units_people_use():
    with pytest.raises(ValueError, match=r"length is -3.00 ft \(-0.914 m\), but it must be 0 or more. Measure the"):
        lineflow.Line("-3 ft", "1 in")
    with pytest.raises(ValueError, match=r"inside diameter is 0 in \(0 mm\), but it must be more than 0"):
        lineflow.Line("3 ft", Q([1, 0], "in"))
