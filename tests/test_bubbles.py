"""One bubble: rise speed and transfer coefficient.

The discrete-bubble model: limits with exact answers, an independent solver, and its own history.
"""

import numpy as np
import pytest
from fluids.drag import v_terminal
from scipy.integrate import quad, solve_ivp
from scipy.stats import lognorm

from pondcalc import water
from pondcalc.bubbles_and_oxygen import bubbles
from pondcalc.bubbles_and_oxygen.bubbles import (
    TRANSFER_FORMS,
    Liquid,
    Physics,
    bubble_fate,
    bubble_path,
    follow,
    natural_speed,
    oxygen_sweep,
    oxygen_transferred,
    oxygen_transferred_by_spread,
    rise_speed,
    size_spread,
)
from pondcalc.bubbles_and_oxygen.plume import Column, uniform_column
from pondcalc.units import QuantityError, asked
from pondcalc.water import OXYGEN_SHARE, STANDARD, Water

# Water at 20 C as handbooks print it: 998.2 kg/m3, 1.0016 mPa s (IAPWS 2008), 72.75 mN/m (IAPWS 2014)
WATER_20 = Liquid(1.0016e-3 / 998.2, 2.0e-9)
G = 9.80665


@pytest.mark.parametrize("millimeters", [0.2, 0.3, 0.5, 0.8, 1.0])
def test_small_bubbles_rise_like_solid_balls(millimeters):
    # fluids v_terminal with the standard drag curve of Clift, Grace & Weber (1978). A ball twice as heavy as water
    # sinks as fast as a weightless ball rises. The printed curve of natural water runs up to a third faster at 1 mm,
    # where skins begin to move.
    stiff = v_terminal(D=millimeters * 1e-3, rhop=2 * 998.2, rho=998.2, mu=1.0016e-3, Method="Clift")
    assert 0.98 * stiff < natural_speed(millimeters * 1e-3) < 4 / 3 * stiff


def test_large_bubbles_rise_like_waves():
    # Mendelson (1967), AIChE J. 13, 250-253: a clean bubble from about 1.3 mm up runs like a wave of its length; its
    # slowest is 0.2312 m/s at 5.45 mm (worked with 998.2 and 72.75, computed). Dirt only slows.
    d = np.linspace(3.0, 9.0, 40) * 1e-3
    wave = np.sqrt(2 * 0.07275 / (998.2 * d) + G * d / 2)
    assert wave.min() == pytest.approx(0.2312, rel=1e-3)
    assert np.all(np.abs(natural_speed(d) / wave - 1) < 0.10)
    # from about 17 mm up a cap: 0.711 (g d)^0.5, Davies and Taylor (1950)
    assert natural_speed(20e-3) == pytest.approx(0.711 * np.sqrt(G * 20e-3), rel=0.10)


def test_branches_meet():
    # Wüest, Brooks & Imboden (1992), correlations from memory; that the branches close is the check:
    # 0.2342 on both sides against 0.23, and K_L 4.00e-4
    assert 4474 * 7.0e-4**1.357 == pytest.approx(0.2342, abs=1e-4)
    for radius in (7.0e-4, 5.1e-3):
        both = natural_speed(2 * radius * np.array([1 - 1e-9, 1 + 1e-9]))
        assert both[0] == pytest.approx(both[1], rel=0.02)
    at_20 = WATER_20._replace(diffusivity=1.760e-9)                     # Han & Bartels (1996)
    coefficient = TRANSFER_FORMS["natural"](2 * 6.67e-4 * np.array([1 - 1e-9, 1 + 1e-9]), 0.2, at_20)
    assert coefficient == pytest.approx(4.0e-4, rel=1e-3)


def test_speed_as_computed_elsewhere():
    # computed apart from this package with the printed equation, rounded to 4 places; status: computed
    speeds = [0.0167, 0.0579, 0.1483, 0.23, 0.23]
    assert rise_speed(np.array([0.2, 0.5, 1, 2, 10]) * 1e-3) == pytest.approx(speeds, rel=1.5e-3, abs=6e-5)


def test_transfer_laws_from_their_own_definitions():
    d, v = 2e-3, 0.23
    kl = {form: float(law(d, v, WATER_20)) for form, law in TRANSFER_FORMS.items()}
    # Higbie: penetration theory 2 sqrt(D/(pi t)) with the time to slide one diameter
    assert kl["free skin"] == pytest.approx(2 * np.sqrt(2.0e-9 / (np.pi * d / v)))
    # Frössling in still water: Sherwood number 2
    assert TRANSFER_FORMS["stiff skin"](d, 0.0, WATER_20) * d / 2.0e-9 == pytest.approx(2.0)
    # a skin that moves passes more than one that does not; natural water lies between
    assert kl["stiff skin"] < kl["natural"] < kl["free skin"]


# Computed apart from this package with D = 2.0e-9 m2/s and the Wüest speed, in 1e-4 m/s; status: computed.
@pytest.mark.parametrize("form, diffusivity, expected", [
    ("natural", 1.760e-9, [1.50, 3.00, 4.00, 4.00, 4.00, 4.00]),
    ("free skin", 2.0e-9, [5.43, 6.15, 5.41, 4.42, 3.83, 3.42]),
    ("stiff skin", 2.0e-9, [1.10, 1.20, 1.04, 0.847, 0.732, 0.654]),
])
def test_transfer_laws_as_computed_elsewhere(form, diffusivity, expected):
    d = np.array([0.5, 1, 2, 3, 4, 5]) * 1e-3
    got = TRANSFER_FORMS[form](d, natural_speed(d), WATER_20._replace(diffusivity=diffusivity)) * 1e4
    assert got == pytest.approx(expected, rel=6e-3)


def test_transfer_follows_the_root_of_diffusivity():
    # Han & Bartels (1996) print 1.141e-9, 1.760e-9 and 2.250e-9 m2/s at 5, 20 and 30 C
    at = {t: float(TRANSFER_FORMS["natural"](2e-3, 0.23, bubbles.liquid(t))) for t in (5.0, 20.0, 30.0)}
    assert at[20.0] == pytest.approx(4.0e-4, rel=2e-3)
    assert at[5.0] / at[20.0] == pytest.approx(np.sqrt(1.141 / 1.760), rel=3e-3)
    assert at[30.0] / at[20.0] == pytest.approx(np.sqrt(2.250 / 1.760), rel=3e-3)


def test_units_at_the_door():
    assert asked(rise_speed)("2 mm").m_as("cm/s") == pytest.approx(23)
    with pytest.raises(QuantityError, match="more than zero"):
        rise_speed(0.0)
    with pytest.warns(UserWarning, match="0.1 to 20 mm.*Clift"):
        rise_speed(40e-3)


def test_skin_is_that_of_the_bubbles_counted_one_by_one():
    # 1 L as 2 mm balls: 0.001/(pi 0.002^3/6) of them, each with a skin of pi 0.002^2
    count = 1e-3 / (np.pi * 0.002**3 / 6)
    assert bubbles.skin_area(1e-3, 0.002) == pytest.approx(count * np.pi * 0.002**2)
    with pytest.raises(QuantityError, match="above zero"):
        bubbles.skin_area(1e-3, 0.0)


FT = 0.3048
R = 8.314462618
ATM = 101325.0


# solubility (mol/(m3 Pa)) that Wüest, Brooks & Imboden (1992) print, from memory
def wuest_o(t, salt=0.0):
    return (2.125 - 5.021e-2 * t + 5.77e-4 * t**2) * 1e-5


def wuest_n(t, salt=0.0):
    return (1.042 - 2.450e-2 * t + 3.171e-4 * t**2) * 1e-5


def zero(t, salt=0.0):
    return 0.0 * np.asarray(t)


def layered():
    return Column(np.array([0.0, 1.5, 2.5, 6.1]), Water(np.array([27.0, 26.0, 18.0, 15.0])),
                  np.array([8.0, 7.0, 1.0, 0.2]), np.array([0.3, 0.25, 0.2, 0.1]))


# ---- exact limits ------------------------------------------------------------------------------------

@pytest.mark.parametrize("d, v, kl, share", [(1e-3, 0.1483, 3.0e-4, 0.913), (2e-3, 0.23, 4.0e-4, 0.649),
                                             (4e-3, 0.23, 4.0e-4, 0.408)])
def test_trace_gas_at_constant_size_has_a_closed_form(d, v, kl, share):
    # With size, speed, coefficient and pressure held still, a trace of oxygen leaves as exp(-k z), and
    # calculus gives 1 - exp(-3 K_L H R T h/(r v)). The model reaches it with its extras switched off.
    h, henry = 20 * FT, wuest_o(20.0)
    laws = Physics(lambda d: v + 0 * d, lambda d, s, fluid: kl + 0 * d, wuest_o, zero, zero, zero)
    trace = 1e-7
    column = Column(np.array([0.0]), Water(np.array([20.0])), np.array([0.0]), None, np.array([0.0]))
    oxygen, *_ = follow(d, h, column, laws, trace)
    exact = 1 - np.exp(-3 * kl * henry * R * 293.15 * h / (d / 2 * v))
    assert exact == pytest.approx(share, abs=6e-4)          # computed by hand
    assert 1 - oxygen / trace == pytest.approx(exact, rel=1e-6)


def test_without_transfer_a_bubble_only_expands():
    # Boyle: diameter grows by the cube root of the pressure ratio; 1.167 from 20 ft (ratio 1.589)
    laws = Physics()._replace(transfer=lambda d, s, fluid: 0 * d, vapor_pressure=zero)
    oxygen, nitrogen, top, _ = follow(2e-3, 20 * FT, uniform_column(), laws)
    assert (oxygen + nitrogen) == pytest.approx(1.0, abs=1e-12)
    assert top / 2e-3 == pytest.approx(1.167, abs=5e-4)


@pytest.mark.parametrize("salt, held", [(0.0, 9.092), (10.0, 8.572)])
def test_a_bubble_in_balance_with_its_water_trades_nothing(salt, held):
    # no weight of water above, oxygen and nitrogen at saturation with the same air: both must stay
    laws = Physics()._replace(density=zero)
    dry = ATM - water.vapor_pressure(20.0)
    oxygen = 31.9988 * water.henry_oxygen(20.0, salt) * OXYGEN_SHARE * dry
    column = Column(np.array([0.0]), Water(np.array([20.0]), salinity=salt), np.array([oxygen]))
    left_oxygen, left_nitrogen, top, _ = follow(2e-3, 6.0, column, laws)
    assert left_oxygen == pytest.approx(OXYGEN_SHARE, abs=1e-12)
    assert left_nitrogen == pytest.approx(1 - OXYGEN_SHARE, abs=1e-12)
    assert top == pytest.approx(2e-3)
    # and that balance is the handbook saturation (Benson & Krause 1984: 9.092 mg/L at 20 C; with salt
    # Garcia & Gordon 1992 by gsw.O2sol_SP_pt)
    assert oxygen == pytest.approx(held, rel=2e-3)


def test_rise_time_is_depth_over_speed():
    # 26.5 s from 20 ft at 0.23 m/s (arithmetic)
    laws = Physics()._replace(transfer=lambda d, s, fluid: 0 * d)
    *_, time = follow(3e-3, 20 * FT, uniform_column(), laws)
    assert time == pytest.approx(26.5, abs=0.05)


# ---- an independent solver ---------------------------------------------------------------------------

def by_hand(d0, h, column, transfer, henry_o, henry_n, share=0.20946):
    """The same physics written afresh in moles and seconds, for one bubble, with scipy's DOP853."""
    def outside(z):
        t = np.interp(z, column.depth, column.temperature)
        u = 0.0 if column.plume_speed is None else np.interp(z, column.depth, column.plume_speed)
        vapor = water.vapor_pressure(t)
        weight = np.mean(water.density(np.asarray(column.temperature))) * 9.80665
        nitrogen = henry_n(t) * (1 - share) * (column.water.pressure_absolute - vapor)
        return (t, u, column.water.pressure_absolute + weight * z - vapor,
                np.interp(z, column.depth, column.dissolved_oxygen) / 31.9988, nitrogen)

    t, _, p, *_ = outside(h)
    moles = p * np.pi * d0**3 / 6 / (R * (t + 273.15))

    def slope(time, y):
        oxygen, nitrogen, z = y
        t, u, p, c_o, c_n = outside(z)
        n = oxygen + nitrogen
        d = (6 * n * R * (t + 273.15) / (np.pi * p)) ** (1 / 3)
        fluid = bubbles.liquid(t)
        v = bubbles.natural_speed(d)
        k = bubbles.TRANSFER_FORMS[transfer](d, v, fluid) * np.pi * d**2
        return [-k * (henry_o(t) * p * oxygen / n - c_o), -k * (henry_n(t) * p * nitrogen / n - c_n),
                -(v + u)]

    def surface(time, y):
        return y[2]
    surface.terminal = True
    done = solve_ivp(slope, (0, 1e4), [share * moles, (1 - share) * moles, h], "DOP853", rtol=1e-9,
                     atol=[moles * 1e-12, moles * 1e-12, 1e-9], events=surface, max_step=1.0)
    return 1 - done.y[0, -1] / (share * moles), 1 - done.y[1, -1] / ((1 - share) * moles), done.t[-1]


@pytest.mark.parametrize("millimeters, transfer, henry", [
    (1.0, "natural", (water.henry_oxygen, water.henry_nitrogen)), (2.5, "stiff skin", (wuest_o, wuest_n)),
    (4.0, "free skin", (wuest_o, wuest_n))])
def test_against_scipy_in_layered_moving_water(millimeters, transfer, henry):
    column, laws = layered(), Physics(bubbles.natural_speed, bubbles.TRANSFER_FORMS[transfer], *henry)
    expected = by_hand(millimeters * 1e-3, 5.8, column, transfer, *henry)
    oxygen, nitrogen, _, time = follow(millimeters * 1e-3, 5.8, column, laws, steps=400)
    # kinks (profile corners, law branches) leave a little of the step size in the answer
    assert 1 - oxygen / OXYGEN_SHARE == pytest.approx(expected[0], abs=3e-5)
    assert 1 - nitrogen / (1 - OXYGEN_SHARE) == pytest.approx(expected[1], abs=3e-5)
    assert time == pytest.approx(expected[2], rel=1e-4)
    assert 1 - follow(millimeters * 1e-3, 5.8, column, laws)[0] / OXYGEN_SHARE == pytest.approx(expected[0], abs=3e-4)
    if transfer == "natural":
        fate = bubble_fate(millimeters * 1e-3, 5.8, column)
        assert (fate.oxygen_transferred, fate.nitrogen_transferred) == pytest.approx(expected[:2], abs=3e-4)


def test_fourth_order_convergence():
    # 2 mm from 20 ft stays on one branch of every law, so halving the step must cut the error 16-fold
    laws, column = Physics(), uniform_column()
    exact = follow(2e-3, 20 * FT, column, laws, steps=2000)[0]
    error = [abs(follow(2e-3, 20 * FT, column, laws, steps=n)[0] - exact) for n in (5, 10, 20, 40)]
    order = np.log2(np.array(error[:-1]) / error[1:])
    assert np.all(order > 3.8) and np.all(order < 4.4), order


@pytest.mark.parametrize("transfer", ["natural", "free skin", "stiff skin"])
def test_the_usual_number_of_steps_is_enough(transfer):
    # branches of the laws have kinks, which cost more than the rule itself; the share is right to 0.02 %
    laws = Physics(transfer=bubbles.TRANSFER_FORMS[transfer])
    column, sizes = uniform_column(STANDARD, 2.0), np.linspace(0.3e-3, 12e-3, 60)
    for depth in np.array([0.5, 2.0, 6.0, 30.0]):
        exact = follow(sizes, depth, column, laws, steps=1000)[0]
        assert follow(sizes, depth, column, laws)[0] == pytest.approx(exact, abs=2e-4 * exact.max())


# ---- the still-water tables: regression only, computed apart from this package, not published ----------

def bare():
    """Assumptions of the tables: no vapor in the bubble, dry air 21/79, nitrogen in balance on top."""
    nitrogen = 0.79 * (ATM - 2336.0) * wuest_n(20.0) * 28.0134
    def unscaled(d, speed, fluid):                                      # K_L as printed, whatever the temperature
        return np.where(d / 2 < 6.67e-4, 0.6 * d / 2, 4.0e-4)
    laws = Physics(bubbles.natural_speed, unscaled, wuest_o, wuest_n, zero, lambda t: 998.2 + zero(t))
    return laws, Column(np.array([0.0]), Water(np.array([20.0])), np.array([0.0]), np.array([0.0]),
                        np.array([nitrogen]))


@pytest.mark.parametrize("millimeters, shares, nitrogen, top", [
    (1, (71.0, 85.0, 92.6), 35.1, 0.94), (2, (40.2, 53.7, 64.26), 13.9, 2.13),
    (3, (28.9, 39.8, 49.05), 8.9, 3.29), (4, (22.5, 31.5, 39.43), 6.5, 4.45),
    (5, (18.4, 26.0, 32.90), 5.1, 5.61), (6, (15.6, 22.2, 28.20), 4.2, 6.78)])
def test_still_water_table_regression(millimeters, shares, nitrogen, top):
    laws, column = bare()
    oxygen, left, size, _ = follow(millimeters * 1e-3, np.array([10, 15, 20]) * FT, column, laws, 0.21)
    assert 100 * (1 - oxygen / 0.21) == pytest.approx(shares, abs=0.06)
    assert 100 * (1 - left[-1] / 0.79) == pytest.approx(nitrogen, abs=0.06)
    assert size[-1] * 1e3 == pytest.approx(top, abs=0.006)


@pytest.mark.parametrize("speed, shares", [(0.2, (41.6, 29.9, 23.3, 19.1)), (0.3, (35.2, 24.9, 19.3, 15.7)),
                                           (0.5, (26.9, 18.7, 14.4, 11.7))])
def test_moving_water_table_regression(speed, shares):
    laws, column = bare()
    moving = Column(column.depth, column.water, column.dissolved_oxygen, np.array([speed]),
                    column.dissolved_nitrogen)
    oxygen, *_ = follow(np.array([2, 3, 4, 5]) * 1e-3, 20 * FT, moving, laws, 0.21)
    assert 100 * (1 - oxygen / 0.21) == pytest.approx(shares, abs=0.06)


def test_printed_solubility_polynomials_against_the_handbook():
    # Wüest et al. (1992) polynomials (from memory) against Benson & Krause (1984) and Hamme & Emerson (2004)
    # through pondcalc.water: O2 -0.1 to -2.0 %, N2 -0.6 to -2.4 % from 0 to 30 C
    t = np.linspace(0, 30, 31)
    oxygen, nitrogen = wuest_o(t) / water.henry_oxygen(t) - 1, wuest_n(t) / water.henry_nitrogen(t) - 1
    assert -0.0220 < oxygen.min() and oxygen.max() < 0
    assert -0.0250 < nitrogen.min() and nitrogen.max() < 0


# ---- what it must do, whatever the constants -----------------------------------------------------------

def test_more_depth_smaller_bubbles_and_less_oxygen_in_the_water_give_more():
    column = uniform_column(STANDARD, 2.0)
    sweep = oxygen_sweep(np.linspace(1, 8, 20) * 1e-3, np.linspace(1, 9, 12), column)
    assert sweep.shape == (12, 20)
    assert np.all(np.diff(sweep, axis=0) > 0) and np.all(np.diff(sweep, axis=1) < 0)
    assert oxygen_transferred(2e-3, 6.0, uniform_column(STANDARD, 8.0)) < sweep[7, 3]
    assert oxygen_transferred(2e-3, 6.0, uniform_column(STANDARD, 2.0, 0.3)) \
        < 0.7 * oxygen_transferred(2e-3, 6.0, column)


def test_a_sweep_is_the_same_as_one_at_a_time():
    column = layered()
    sizes, depths = np.array([1.0, 3.0, 6.0]) * 1e-3, np.array([2.0, 5.0])
    sweep = oxygen_sweep(sizes, depths, column)
    single = [[float(oxygen_transferred(d, h, column)) for d in sizes] for h in depths]
    assert sweep == pytest.approx(np.array(single), rel=1e-12)


def test_gas_goes_both_ways():
    # water richer in oxygen than the bubble takes oxygen out of it; a bubble of pure oxygen picks up nitrogen
    assert oxygen_transferred(3e-3, 2.0, uniform_column(STANDARD, 20.0)) < 0
    _, nitrogen, *_ = follow(3e-3, 6.0, uniform_column(), share=1.0)
    assert nitrogen > 0.01


def test_tiny_bubbles_dissolve_and_stop():
    fate = bubble_fate(np.array([0.1, 0.15]) * 1e-3, 6.0, uniform_column(STANDARD, 2.0))
    assert np.all(fate.oxygen_transferred == 1) and np.all(fate.top_diameter == 0)
    assert np.all(np.isfinite(fate.rise_time))


def test_path_ends_where_the_fate_says():
    sizes = np.array([1.0, 3.0]) * 1e-3
    path = bubble_path(sizes, 5.8, layered())
    oxygen, _, top, time = follow(sizes, 5.8, layered(), steps=len(path.depth) - 1)
    assert path.depth[0] == 5.8 and path.depth[-1] == pytest.approx(0.0, abs=1e-12)
    assert path.oxygen_left[-1] == pytest.approx(oxygen / OXYGEN_SHARE)
    assert path.diameter[0] == pytest.approx(sizes) and path.diameter[-1] == pytest.approx(top)
    assert path.time[-1] == pytest.approx(time)


# ---- a crowd of sizes ---------------------------------------------------------------------------------

def test_crowd_keeps_its_sauter_mean_and_total():
    # volume over surface: 1 / mean(1/d) by volume. Exact for the log-normal, so it tests the points.
    sizes, share = size_spread(3e-3)
    assert share.sum() == pytest.approx(1.0)
    assert 1 / (share / sizes).sum() == pytest.approx(3e-3, rel=1e-6)


def test_crowd_against_direct_integration():
    # scipy's log-normal and quad in place of the Gauss-Hermite points, volume-weighted by hand
    s, mean = np.log(1.4), 3e-3
    median_number = mean * np.exp(-2.5 * s**2)
    number = lognorm(s, scale=median_number)
    column = uniform_column()

    def weight(d):
        return number.pdf(d) * d**3
    grid = np.linspace(0.5e-3, 14e-3, 400)
    share = np.interp(grid, grid, oxygen_transferred(grid, 6.0, column))
    total = quad(weight, grid[0], grid[-1], limit=200)[0]
    expected = quad(lambda d: weight(d) * np.interp(d, grid, share), grid[0], grid[-1], limit=400)[0] / total
    assert oxygen_transferred_by_spread(mean, 6.0, column) == pytest.approx(expected, rel=2e-3)


# ---- the door -----------------------------------------------------------------------------------------

def test_trade_units():
    column = asked(uniform_column)(asked(Water)("68 degF"), "5 mg/L")
    share = asked(oxygen_transferred)("2 mm", "20 ft", column)
    # trade tables: about 2 % a foot for fine bubbles (common practice, no source)
    assert 1 < share.m_as("percent") / 20 < 3
    assert asked(Column)(["0 ft", "20 ft"], asked(Water)(["80 degF", "60 degF"]), ["8 mg/L", "0 mg/L"]).temperature[1] \
        == pytest.approx(15.556, abs=1e-3)


@pytest.mark.parametrize("make, words", [
    (lambda: Column(np.array([0.0, 0.0]), Water(np.zeros(2)), np.zeros(2)), "each deeper"),
    (lambda: Column(np.array([0.0, 1.0]), Water(np.zeros(3)), np.zeros(2)), "one reading for each depth"),
    (lambda: Column(np.array([0.0]), Water(np.array([95.0])), np.array([0.0])), "temperature must lie"),
    (lambda: uniform_column(Water(20.0, 200.0)), "must be absolute"),
    (lambda: oxygen_transferred(2e-3, 0.0, uniform_column()), "under water"),
])
def test_refusals_say_what_to_do(make, words):
    with pytest.raises(QuantityError, match=words):
        make()
