"""Water lifted by bubbles: exact plume, tank fit, integral plume, layers, turnover.

Where diffusers go: shapes with exact volumes, and spots found by eye.
"""

import CoolProp.CoolProp as CP
import fluids
import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from pondcalc import water
from pondcalc.bubbles_and_oxygen.plume import (
    Column,
    buoyancy_flux,
    buoyancy_frequency,
    classical_plume,
    diffuser_depth,
    gas_flow_at_depth,
    lifted_water,
    march,
    plume_profile,
    reaches_surface,
    start_speed,
    suggest_places,
    trap_heights,
    uniform_column,
)
from pondcalc.door import plume
from pondcalc.units import QuantityError, Range, asked
from pondcalc.water import Water

FT = 0.3048
CFM = 0.3048**3 / 60
G = 9.80665


def two_layers(top=28.0, bottom=14.0):
    return Column(np.array([0.0, 20 * FT]), Water(np.array([top, bottom])), np.array([8.0, 0.0]))


# ---- the exact plume -------------------------------------------------------------------------------------

def test_exact_plume_check_value():
    # Morton, Taylor & Turner (1956), top-hat; arithmetic from the printed solution
    point = classical_plume(1e-3, 5.0, 0.10)
    assert point.flow == pytest.approx(0.16865, abs=1e-5)
    assert point.radius == pytest.approx(0.600)
    assert point.speed == pytest.approx(0.14912, abs=1e-5)


@pytest.mark.parametrize("alpha", [0.055, 0.10, 0.13])
def test_exact_plume_satisfies_its_equations(alpha):
    # dQ/dz = 2 pi alpha b u; dM/dz = pi b^2 g' with B = pi b^2 u g' constant; by central differences
    b0, z, dz = 2e-3, 4.0, 1e-4
    low, here, high = (classical_plume(b0, z + s, alpha) for s in (-dz, 0.0, dz))
    drawn = 2 * np.pi * alpha * here.radius * here.speed
    assert (high.flow - low.flow) / (2 * dz) == pytest.approx(drawn, rel=1e-6)
    momentum = (high.flow * high.speed - low.flow * low.speed) / (2 * dz)
    assert momentum == pytest.approx(b0 / here.speed, rel=1e-6)


def test_exact_plume_powers():
    one = classical_plume(1e-3, 3.0).flow
    assert classical_plume(8e-3, 3.0).flow / one == pytest.approx(2.0, rel=1e-12)
    assert classical_plume(1e-3, 6.0).flow / one == pytest.approx(2 ** (5 / 3), rel=1e-12)
    four = 4 * classical_plume(1e-3 / 4, 3.0).flow
    assert four / one == pytest.approx(4 ** (2 / 3), rel=1e-12)


# ---- air -------------------------------------------------------------------------------------------------

def test_air_shrinks_with_depth():
    # 1.589 at 20 ft (10.33 m of water to the atmosphere, arithmetic); 20 C, so no change from warmth
    assert CFM / gas_flow_at_depth(CFM, 20 * FT) == pytest.approx(1.589, rel=2e-3)
    assert gas_flow_at_depth(CFM, 0.0) == pytest.approx(CFM)
    # and CoolProp's densities of air and water, at sea level and 68 F, and at 5000 ft (fluids) and 50 F
    for kelvin, over in ((293.15, 101325.0), (283.15, fluids.ATMOSPHERE_1976(5000 * FT).P)):
        rho = CP.PropsSI("D", "T", kelvin, "P", 101325.0, "Water")
        deep = CP.PropsSI("D", "T", kelvin, "P", over + rho * G * 20 * FT, "Air")
        squeezed = gas_flow_at_depth(CFM, 20 * FT, Water(kelvin - 273.15, over)) / CFM
        assert squeezed == pytest.approx(CP.PropsSI("D", "T", 293.15, "P", 101325.0, "Air") / deep, rel=1e-3)


def test_mean_buoyancy_is_the_average_and_the_expansion_power():
    h = 20 * FT
    average = quad(lambda z: G * gas_flow_at_depth(CFM, z), 0, h)[0] / h
    assert buoyancy_flux(CFM, h) == pytest.approx(average, rel=1e-9)
    # isothermal expansion p Q ln(1 + h/10.33) = 22.18 W a cfm from 20 ft (computed); B rho h is that power
    power = buoyancy_flux(CFM, h) * water.density(20.0) * h
    assert power == pytest.approx(22.18, rel=2e-3)


# Computed apart from this package with 10.33 m of water to the atmosphere; status: computed.
@pytest.mark.parametrize("cfm, buoyancy, low, usual, high, fit", [
    (0.5, 1.819e-3, 0.129, 0.223, 0.325, 0.154), (1, 3.638e-3, 0.163, 0.282, 0.410, 0.220),
    (2, 7.275e-3, 0.205, 0.355, 0.516, 0.314), (4, 1.455e-2, 0.258, 0.447, 0.651, 0.452)])
def test_lift_table(cfm, buoyancy, low, usual, high, fit):
    assert buoyancy_flux(cfm * CFM, 20 * FT) == pytest.approx(buoyancy, rel=1e-3)
    found = plume.lift_estimates.si(cfm * CFM, 20 * FT)
    assert found.exact == pytest.approx((low, usual, high), abs=7e-4)
    assert found.tank_fit == pytest.approx(fit, abs=7e-4)


def test_lift_is_a_range_that_holds_every_estimate():
    every = plume.lift_estimates.si(CFM, 20 * FT)
    found = lifted_water(CFM, 20 * FT)
    both = (*every.exact, *every.slipping, every.tank_fit)
    assert found.low == min(both) and found.high == max(both)
    assert found.low < found.usual < found.high
    assert found.high / found.low < 4
    # splitting: four diffusers with a quarter of the air each
    split = lifted_water(CFM, 20 * FT, 4)
    quarter = lifted_water(CFM / 4, 20 * FT)
    assert split.usual == pytest.approx(4 * quarter.usual)
    assert 1.9 < split.usual / found.usual < 2.9
    assert lifted_water(CFM, 20 * FT).usual > 2 * lifted_water(CFM, 10 * FT).usual
    both = lifted_water(CFM, 20 * FT, np.array([1, 4]))
    assert both.usual == pytest.approx([found.usual, split.usual]) and both.high[1] == pytest.approx(split.high)
    many = lifted_water(np.array([0.5, 1.0]) * CFM, 20 * FT)
    assert many.usual[1] == pytest.approx(found.usual)


# ---- the integral plume ------------------------------------------------------------------------------------

def test_integral_plume_becomes_the_exact_one():
    # no slip, no layers, gas that does not expand; started on the exact solution at 1 m it must stay there
    alpha, q_gas = 0.10, 2e-4
    first = classical_plume(G * q_gas, 1.0, alpha)
    heights = np.linspace(1.0, 6.0, 101)
    half_steps = np.linspace(1.0, 6.0, 201)
    around = [np.full(201, value) for value in (q_gas, 15.0, 3.0)]
    kept = march(first.flow, first.flow * first.speed, first.flow * 15.0, first.flow * 3.0, half_steps, around,
                 lambda t: 999.0 + 0 * t, alpha, 0.0)
    exact = classical_plume(G * q_gas, heights, alpha)
    assert kept[:, 0] == pytest.approx(exact.flow, rel=1e-6)
    assert kept[:, 1] / kept[:, 0] == pytest.approx(exact.speed, rel=1e-6)
    assert kept[:, 2] / kept[:, 0] == pytest.approx(15.0) and kept[:, 3] / kept[:, 0] == pytest.approx(3.0)


def test_integral_plume_against_scipy_in_layered_water():
    # the same equations written afresh for radius and speed, with scipy's LSODA
    column, h, alpha, slip, radius = two_layers(20.0, 16.0), 20 * FT, 0.083, 0.23, 0.15
    got = plume_profile(2 * CFM, h, column, steps=400)

    def outside(z):
        return 20.0 - 4.0 * (h - z) / h

    def slope(z, y):
        b, v, t = y
        gas = 2 * CFM * 101325 / (101325 + np.mean(water.density(np.array([20.0, 16.0]))) * G * (h - z))
        gas *= (outside(z) + 273.15) / 293.15
        lift = G * gas / (v + slip)
        rho = water.density(np.array([outside(z), t]))
        push = lift + np.pi * b**2 * G * (rho[0] - rho[1]) / rho[0]
        dv = (push - v * 2 * np.pi * alpha * b * v) / (np.pi * b**2 * v)
        db = (2 * alpha * v - b * dv) / (2 * v)
        return [db, dv, 2 * alpha / b * (outside(z) - t)]

    v0 = start_speed(gas_flow_at_depth(2 * CFM, h, Water(16.0)), radius, slip)
    done = solve_ivp(slope, (0, h), [radius, float(got.speed[0]), 16.0], "LSODA", rtol=1e-9, atol=1e-10)
    b, v, t = done.y[:, -1]
    assert got.speed[0] == pytest.approx(v0, rel=2e-3)
    assert got.flow[-1] == pytest.approx(np.pi * b**2 * v, rel=2e-4)
    assert got.temperature[-1] == pytest.approx(t, abs=2e-3)


def test_integral_plume_converges_and_is_kept_by_its_default_steps():
    fine = plume_profile(CFM, 6.0, uniform_column(), steps=640).flow[-1]
    error = [abs(plume_profile(CFM, 6.0, uniform_column(), steps=n).flow[-1] - fine)
             for n in (10, 20, 40)]
    assert np.all(np.log2(np.array(error[:-1]) / error[1:]) > 3.5)
    assert plume_profile(CFM, 6.0, uniform_column()).flow[-1] == pytest.approx(fine, rel=1e-6)
    for flow in (0.1 * CFM, 20 * CFM):
        fine = plume_profile(flow, 20.0, uniform_column(), steps=640).flow[-1]
        assert plume_profile(flow, 20.0, uniform_column()).flow[-1] == pytest.approx(fine, rel=1e-5)


def test_slip_lets_go_of_the_water():
    calm = uniform_column()
    slipping, stuck = (plume_profile(CFM, 6.0, calm, slip=slip).flow[-1] for slip in (0.23, 0.0))
    assert slipping < stuck


@pytest.mark.parametrize("air, radius, speed", [(1, 0.1143, 0.298), (1, 0.15, 0.268), (2, 0.1143, 0.390)])
def test_start_speed(air, radius, speed):
    # Froude number 1.6 (Wüest et al. 1992, second-hand); solved apart from this package; status: computed
    assert start_speed(air * 2.968e-4, radius) == pytest.approx(speed, abs=7e-4)


def test_trap_heights():
    # Socolofsky & Adams (2005), second-hand; arithmetic
    found = trap_heights(1e-3, 0.03, 0.23)
    assert found.slip_ratio == pytest.approx(3.108, abs=5e-4)
    assert found.trap == pytest.approx(6.108, abs=1e-3)
    assert found.peel == pytest.approx(10.855, abs=1e-3)
    pond = trap_heights(2.91e-3, 0.0697, 0.23)
    assert (pond.slip_ratio, pond.trap, pond.peel) == pytest.approx((1.93, 4.82, 8.89), abs=0.006)


def test_layering_number():
    # 28 C over 14 C across 20 ft: 0.0697 1/s (densities 996.236 and 999.248 from gsw, computed)
    assert buoyancy_frequency(two_layers(), 20 * FT) == pytest.approx(0.0697, abs=1e-4)
    assert buoyancy_frequency(uniform_column(), 6.0) == 0.0


def test_more_air_climbs_higher_and_deep_water_sinks_back():
    column, h = two_layers(), 20 * FT
    profile = plume_profile(np.array([0.1, 0.5, 4.0]) * CFM, h, column)
    assert np.all(np.diff(profile.top_depth) < 0) and profile.top_depth[-1] == 0
    # what comes up is colder than the surface, so it cannot stay there
    assert np.all(profile.temperature[-1] < 28) and np.all(profile.settling_depth > 0.5)
    density_there = water.density(column.at("temperature", profile.settling_depth))
    assert density_there == pytest.approx(water.density(profile.temperature[-1]), abs=2e-3)
    # mixing alone: oxygen of the plume lies between the bottom's and the top's
    assert np.all((profile.dissolved_oxygen[-1] > 0) & (profile.dissolved_oxygen[-1] < 8))


def test_single_plume_stops_within_a_factor_two_of_measured_peel_heights():
    # an independent yardstick: stall height of the integral plume against Socolofsky & Adams (2005)
    h = 30.0
    column = Column(np.array([0.0, h]), Water(np.array([28.0, 14.0])), np.array([8.0, 0.0]))
    frequency = buoyancy_frequency(column, h)
    for cfm in (0.5, 2.0):
        peel = trap_heights(G * gas_flow_at_depth(cfm * CFM, h), frequency).peel
        climbed = h - plume_profile(cfm * CFM, h, column, steps=300).top_depth
        assert 0.4 < climbed / peel < 1.5, (climbed, peel)


def test_verdicts():
    assert reaches_surface(4 * CFM, 20 * FT, uniform_column()).verdict == "yes"
    assert reaches_surface(0.02 * CFM, 20 * FT, two_layers()).verdict == "no"
    between = reaches_surface(1 * CFM, 20 * FT, two_layers())
    assert between.verdict == "uncertain"
    assert between.height_low < between.height_usual < between.height_high == pytest.approx(20 * FT)


# ---- turnover --------------------------------------------------------------------------------------------

def test_turnover_by_hand():
    # 1233.48 m3 an acre-foot: 8 acre-ft at 1810 gpm take a day; a range from 1/3 to 4/1 of its usual numbers
    assert plume.turnover_time("8 acre-ft", "1810 gpm").m_as("day") == pytest.approx(1.0, rel=1e-3)
    assert plume.turnover_time.si(Range(1.0, 2.0, 4.0), Range(1.0, 1.0, 3.0)) == pytest.approx((1 / 3, 2.0, 4.0))


@pytest.mark.parametrize("call, words", [
    (lambda: lifted_water(-1.0, 6.0), "free air must be"),
    (lambda: lifted_water(CFM, 0.0), "under water"),
    (lambda: lifted_water(CFM, 6.0, 1.5), "1, 2, 3"),
    (lambda: plume.turnover_time.si(0.0, 1.0), "above zero"),
    (lambda: classical_plume(1e-3, 5.0, 0.9), "entrainment"),
    (lambda: trap_heights(1e-3, 0.0), "unlayered"),
    (lambda: plume_profile(0.0, 6.0, uniform_column()), "above zero")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def test_tank_fit_warns_when_stretched():
    with pytest.warns(UserWarning, match="15 m"):
        plume.tank_fit_flow.si(CFM, 20.0)


def test_slip_is_the_plateau_of_the_rise_law():
    assert plume.SLIP == 0.23


def bowl(n=401, radius=40.0, deepest=6.0):
    axis = np.linspace(-radius, radius, n)
    x, y = np.meshgrid(axis, axis)
    depth = deepest * (1 - (x**2 + y**2) / radius**2)
    return axis, np.where(depth > 0, depth, np.nan)


def test_two_deep_holes_are_found_deepest_first():
    axis = np.linspace(0, 100, 101)
    x, y = np.meshgrid(axis, axis)
    depth = 2 + 4 * np.exp(-((x - 25) ** 2 + (y - 40) ** 2) / 200)
    depth += 3 * np.exp(-((x - 75) ** 2 + (y - 60) ** 2) / 200)
    found = suggest_places(axis, axis, depth, 2, 20.0)
    assert (found.x[0], found.y[0]) == (25, 40) and (found.x[1], found.y[1]) == (75, 60)
    assert found.diffuser_depth == pytest.approx(found.bottom_depth - 0.6096)
    # the same places as node arrays
    nodes = suggest_places(x.ravel(), y.ravel(), depth.ravel(), 2, 20.0)
    assert nodes.x == pytest.approx(found.x)


def test_places_keep_their_distance_and_shallow_water_is_left_alone():
    axis, depth = bowl(101)
    found = suggest_places(axis, axis, depth, 4, 12.0)
    apart = np.hypot(found.x[:, None] - found.x, found.y[:, None] - found.y)
    assert apart[~np.eye(4, dtype=bool)].min() >= 12.0 - 1e-9
    assert np.all(found.bottom_depth >= 0.6 * 6)
    with pytest.warns(UserWarning, match="Only . of 40 places"):
        few = suggest_places(axis, axis, depth, 40, 20.0)
    assert few.x.size < 40


def test_height_off_the_bottom():
    # "about 2 feet off the bottom", Nebraska Pond Management, 2nd ed., p. 87 (seen)
    assert asked(diffuser_depth)("20 ft").m_as("ft") == pytest.approx(18.0)
    assert asked(diffuser_depth)("20 ft", "1 ft").m_as("ft") == pytest.approx(19.0)
    assert plume.OFF_BOTTOM == pytest.approx(2 * 0.3048)


@pytest.mark.parametrize("call, words", [
    (lambda: diffuser_depth(0.5), "out of the water"),
    (lambda: diffuser_depth(3.0, -1.0), "below zero"),
    (lambda: suggest_places(np.arange(2.0), np.arange(2.0), np.array([-1.0, np.nan])), "no water"),
    (lambda: suggest_places(np.arange(3.0), np.arange(2.0), np.ones((3, 2))), "one row for each y"),
    (lambda: suggest_places(np.arange(3.0), np.arange(2.0), np.ones(3)), "Give one of each"),
    (lambda: suggest_places(np.arange(3.0), np.arange(3.0), np.ones(3), 0), "1, 2, 3")])
def test_refusals_say_what_to_do_placement(call, words):
    with pytest.raises(QuantityError, match=words):
        call()
