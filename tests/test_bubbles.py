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
def test_laws_as_computed_elsewhere(form, diffusivity, expected):
    d = np.array([0.5, 1, 2, 3, 4, 5]) * 1e-3
    assert rise_speed(d) == pytest.approx([0.0579, 0.1483, 0.23, 0.23, 0.23, 0.23], rel=1.5e-3)
    got = TRANSFER_FORMS[form](d, natural_speed(d), WATER_20._replace(diffusivity=diffusivity)) * 1e4
    assert got == pytest.approx(expected, rel=6e-3)


def test_transfer_follows_the_root_of_diffusivity():
    # Han & Bartels (1996) print 1.141e-9, 1.760e-9 and 2.250e-9 m2/s at 5, 20 and 30 C
    at = {t: float(TRANSFER_FORMS["natural"](2e-3, 0.23, bubbles.liquid(t))) for t in (5.0, 20.0, 30.0)}
    assert at[20.0] == pytest.approx(4.0e-4, rel=2e-3)
    assert at[5.0] / at[20.0] == pytest.approx(np.sqrt(1.141 / 1.760), rel=3e-3)
    assert at[30.0] / at[20.0] == pytest.approx(np.sqrt(2.250 / 1.760), rel=3e-3)


def test_skin_is_that_of_the_bubbles_counted_one_by_one():
    # 1 L as 2 mm balls: 0.001/(pi 0.002^3/6) of them, each with a skin of pi 0.002^2
    count = 1e-3 / (np.pi * 0.002**3 / 6)
    assert bubbles.skin_area(1e-3, 0.002) == pytest.approx(count * np.pi * 0.002**2)


FT = 0.3048
R = 8.314462618
ATM = 101325.0


HENRY_20 = 1.3516e-5        # mol/(m3 Pa): K_O of Wüest, Brooks & Imboden (1992) at 20 C, from memory


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
    h = 20 * FT
    laws = Physics(lambda d: v + 0 * d, lambda d, s, fluid: kl + 0 * d, lambda t, salt: HENRY_20 + zero(t), zero,
                   zero, zero)
    trace = 1e-7
    column = Column(np.array([0.0]), Water(np.array([20.0])), np.array([0.0]), None, np.array([0.0]))
    oxygen, *_ = follow(d, h, column, laws, trace)
    exact = 1 - np.exp(-3 * kl * HENRY_20 * R * 293.15 * h / (d / 2 * v))
    assert exact == pytest.approx(share, abs=6e-4)          # computed by hand
    assert 1 - oxygen / trace == pytest.approx(exact, rel=1e-6)


def test_without_transfer_a_bubble_only_expands():
    # Boyle: diameter grows by the cube root of the pressure ratio; 1.167 from 20 ft (ratio 1.589)
    laws = Physics()._replace(transfer=lambda d, s, fluid: 0 * d, vapor_pressure=zero)
    oxygen, nitrogen, top, time = follow(2e-3, 20 * FT, uniform_column(), laws)
    assert (oxygen + nitrogen) == pytest.approx(1.0, abs=1e-12)
    assert top / 2e-3 == pytest.approx(1.167, abs=5e-4)
    assert time == pytest.approx(26.5, abs=0.05)            # 20 ft at 0.23 m/s, arithmetic


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


# ---- an independent solver ---------------------------------------------------------------------------

def by_hand(d0, h, column, transfer, alpha, share=0.20946):
    """The same physics written afresh in moles and seconds, for one bubble, with scipy's DOP853."""
    def outside(z):
        t = np.interp(z, column.depth, column.temperature)
        u = 0.0 if column.plume_speed is None else np.interp(z, column.depth, column.plume_speed)
        vapor = water.vapor_pressure(t)
        weight = np.mean(water.density(np.asarray(column.temperature))) * 9.80665
        nitrogen = water.henry_nitrogen(t) * (1 - share) * (column.water.pressure_absolute - vapor)
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
        k = alpha * bubbles.TRANSFER_FORMS[transfer](d, v, fluid) * np.pi * d**2
        return [-k * (water.henry_oxygen(t) * p * oxygen / n - c_o),
                -k * (water.henry_nitrogen(t) * p * nitrogen / n - c_n), -(v + u)]

    def surface(time, y):
        return y[2]
    surface.terminal = True
    done = solve_ivp(slope, (0, 1e4), [share * moles, (1 - share) * moles, h], "DOP853", rtol=1e-9,
                     atol=[moles * 1e-12, moles * 1e-12, 1e-9], events=surface, max_step=1.0)
    return 1 - done.y[0, -1] / (share * moles), 1 - done.y[1, -1] / ((1 - share) * moles), done.t[-1]


@pytest.mark.parametrize("millimeters, transfer, alpha", [(1.0, "natural", 0.66), (2.5, "stiff skin", 1.0),
                                                          (4.0, "free skin", 2.0)])
def test_against_scipy_in_layered_moving_water(millimeters, transfer, alpha):
    column, laws = layered(), Physics(transfer=TRANSFER_FORMS[transfer], alpha=alpha)
    expected = by_hand(millimeters * 1e-3, 5.8, column, transfer, alpha)
    oxygen, nitrogen, _, time = follow(millimeters * 1e-3, 5.8, column, laws, least=400)
    # kinks (profile corners, law branches) leave a little of the step size in the answer
    assert 1 - oxygen / OXYGEN_SHARE == pytest.approx(expected[0], abs=3e-5)
    assert 1 - nitrogen / (1 - OXYGEN_SHARE) == pytest.approx(expected[1], abs=3e-5)
    assert time == pytest.approx(expected[2], rel=1e-4)
    assert 1 - follow(millimeters * 1e-3, 5.8, column, laws)[0] / OXYGEN_SHARE == pytest.approx(expected[0], abs=3e-4)
    both = follow(millimeters * 1e-3, 5.8, column, laws._replace(alpha=np.array([alpha, 0.1])), least=400)[0]
    assert both[0] == pytest.approx(oxygen) and both[1] > oxygen, "two waters at once"


@pytest.mark.parametrize("transfer", ["natural", "free skin", "stiff skin"])
def test_the_usual_number_of_steps_is_enough(transfer):
    # branches of the laws have kinks, which cost more than the rule itself; the share is right to 0.02 %
    laws = Physics(transfer=bubbles.TRANSFER_FORMS[transfer])
    column, sizes = uniform_column(STANDARD, 2.0), np.linspace(0.3e-3, 12e-3, 60)
    for depth in np.array([0.5, 2.0, 6.0, 30.0]):
        exact = follow(sizes, depth, column, laws, least=1000)[0]
        assert follow(sizes, depth, column, laws)[0] == pytest.approx(exact, abs=2e-4 * exact.max())


# ---- what it must do, whatever the constants -----------------------------------------------------------

def test_more_depth_smaller_bubbles_and_less_oxygen_in_the_water_give_more():
    column = uniform_column(STANDARD, 2.0)
    sweep = oxygen_sweep(np.linspace(1, 8, 20) * 1e-3, np.linspace(1, 9, 12), column)
    assert sweep.shape == (12, 20)
    assert np.all(np.diff(sweep, axis=0) > 0) and np.all(np.diff(sweep, axis=1) < 0)
    assert oxygen_transferred(2e-3, 6.0, uniform_column(STANDARD, 8.0)) < oxygen_transferred(2e-3, 6.0, column)


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
    oxygen, _, top, time = follow(sizes, 5.8, layered(), least=len(path.depth) - 1)
    assert path.depth[0] == 5.8 and path.depth[-1] == pytest.approx(0.0, abs=1e-12)
    assert path.oxygen_left[-1] == pytest.approx(oxygen / OXYGEN_SHARE)
    assert path.diameter[0] == pytest.approx(sizes) and path.diameter[-1] == pytest.approx(top)
    assert path.time[-1] == pytest.approx(time)


# ---- measured -----------------------------------------------------------------------------------------

def test_whole_floor_of_fine_diffusers_as_measured():
    # Behnisch and others (2020), Water Pract. Technol., doi 10.2166/wpt.2020.072 (abstract seen): 306 clean-water
    # tests of 65 fine diffusers in one tank, 8.5 to 9.8 % a meter. Over a whole floor water cannot rise all together.
    # Depth and bubble sizes of that tank were not seen: 12 to 15 ft, and fine means 2.5 to 3.5 mm here.
    for feet in (12, 15):
        shares = oxygen_transferred_by_spread(np.array([2.5, 3.5]) * 1e-3, feet * FT, uniform_column())
        large, small = sorted(100 * shares / (feet * FT))
        assert large < 8.5 and small > 9.8, "the measured band lies between the two sizes"
        assert 0.85 * 8.5 < large and small < 1.1 * 9.8
    # a skin stiff all over, in the same clean tank, would give a third of that at most
    stiff = follow(2.5e-3, 12 * FT, uniform_column(), Physics(transfer=TRANSFER_FORMS["stiff skin"]))[0]
    assert 100 * (1 - stiff / OXYGEN_SHARE) / (12 * FT) < 8.5 / 3


# ---- a crowd of sizes ---------------------------------------------------------------------------------

def test_crowd_keeps_its_sauter_mean_and_total():
    # volume over surface: 1 / mean(1/d) by volume. Exact for the log-normal, so it tests the points
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

def test_units_at_the_door():
    assert asked(rise_speed)("2 mm").m_as("cm/s") == pytest.approx(23)
    column = asked(Column)(["0 ft", "20 ft"], asked(Water)(["80 degF", "60 degF"]), ["8 mg/L", "0 mg/L"])
    assert column.temperature[1] == pytest.approx(15.556, abs=1e-3)
    assert asked(oxygen_transferred)("2 mm", "20 ft", column).check("")
    with pytest.warns(UserWarning, match="0.1 to 20 mm.*Clift"):
        rise_speed(40e-3)


@pytest.mark.parametrize("make, words", [
    (lambda: Column(np.array([0.0, 0.0]), Water(np.zeros(2)), np.zeros(2)), "each deeper"),
    (lambda: Column(np.array([0.0, 1.0]), Water(np.zeros(3)), np.zeros(2)), "one reading for each depth"),
    (lambda: Column(np.array([0.0]), Water(np.array([95.0])), np.array([0.0])), "temperature must lie"),
    (lambda: uniform_column(Water(20.0, 200.0)), "must be absolute"),
    (lambda: rise_speed(0.0), "more than zero"), (lambda: bubbles.skin_area(1e-3, 0.0), "above zero"),
    (lambda: oxygen_transferred(2e-3, 0.0, uniform_column()), "under water")])
def test_refusals_say_what_to_do(make, words):
    with pytest.raises(QuantityError, match=words):
        make()
