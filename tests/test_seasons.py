"""The year: balances to rounding, exact solutions, published numbers, and two real lakes."""

import math

import numpy as np
import pytest
from heatlaws import edinger_rest, open_water_heat
from hypothesis import given, settings
from hypothesis import strategies as st
from icerecords import TROUT_BOG_SNOW
from layeredponds import bowl
from scipy.optimize import brentq

from pondcalc import air as heat
from pondcalc import water
from pondcalc.bubbles_and_oxygen import plume
from pondcalc.how_much_oxygen import fishlimits
from pondcalc.the_year import seasons, weather, yearsteps
from pondcalc.the_year.seasons import Aeration, PondModel
from pondcalc.units import Q, QuantityError, asked
from pondcalc.warm_over_cold import layers

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = bowl(AREA, DEEP, DEEP / 2.25)                          # the demonstration pond
POND = PondModel(Z, A)
YEAR = weather.make_weather(weather.typical_climate(38.5, 350.0))
WALLS = (np.array([0.0, 5.0]), np.array([1000.0, 1000.0]))
QUIET = dict(sediment_demand=0.0, respiration=0.0, production=0.0, mud_conductance=0.0)


def weather_of(days, air=20.0, wind=0.0, sun=0.0, humidity=0.7, start=0):
    """Weather that never changes."""
    n = 24 * days
    ones = np.ones(n)
    glow = heat.sky_emissivity(air, humidity * water.vapor_pressure(air)) * heat.SIGMA \
        * (air + 273.15) ** 4
    damp = humidity * water.vapor_pressure(air) * ones
    return weather.Weather(start + np.arange(n) + 0.5, air * ones, damp, wind * ones, sun * ones, glow * ones,
                           101325.0, 40.0)


@pytest.fixture
def no_surface_heat(monkeypatch):
    monkeypatch.setattr(yearsteps._Hours, "flux", lambda self, s, i, ts: 0.0)


@pytest.fixture(scope="module")
def pair():
    """The demonstration pond's second year, without and with air."""
    air = Aeration(0.15, 0.3 / 3600, None, 100, 300)
    first = seasons.run_year([(POND, None)], YEAR)[0]
    return seasons.run_year([(POND, None), (POND, air)], YEAR, np.maximum(first.temperature[-1], 0.0),
                            first.dissolved_oxygen[-1])


# ---- what goes in comes out ----

def balanced(run):
    gross = abs(run.heat.net_in) + abs(run.heat.start) + abs(run.heat.end)
    assert abs(run.heat.error) < 1e-10 * gross
    traffic = sum(abs(v) for v in run.oxygen.parts.values()) + run.oxygen.start
    assert abs(run.oxygen.error) < 1e-10 * traffic


def test_heat_and_oxygen_balance_to_rounding_over_a_year(pair):
    for run in pair:
        balanced(run)
    assert pair[1].oxygen.parts["from bubbles"] > 0 and (pair[0].ice > 0).any()


@pytest.mark.parametrize("step", [0.5, 1.5, 3.0])
def test_other_steps_balance_too(step):
    hours = weather.make_weather(weather.typical_climate(44.0, 300.0), 120, 330, step)
    for run in seasons.run_year([(POND, None), (POND, Aeration(0.1, 0.1 / 3600))], hours, 8.0):
        balanced(run)
        assert run.by_day(run.hour).shape == (120, round(24 / step)) and run.ice.max() > 0.1


def test_a_schedule_runs_as_many_hours_in_any_step():
    ramp = Aeration(0.1, 0.0, None, 100, 300, 0, 24, (0.5, 1.0, 2.25, 7.0))
    for step in (0.5, 1.0, 1.5, 3.0):
        hours = (99 * 24 + (np.arange(4 * round(24 / step)) + 0.5) * step)
        assert step * ramp.running(hours, step).reshape(4, -1).sum(axis=1) == pytest.approx([0.5, 1.0, 2.25, 7.0])


@settings(max_examples=12, deadline=None)
@given(st.integers(4, 25), st.floats(1.0, 8.0), st.floats(0.3, 0.7), st.floats(-12, 28), st.floats(0, 9),
       st.floats(0, 300), st.floats(0.01, 2.0), st.floats(0.2, 1.0))
def test_any_run_balances(n, deep, fullness, air, wind, sun, flow, down):
    z, a = bowl(5000.0, deep, deep * fullness)
    model = PondModel(z, a, layers=n, sediment_demand=2.0)
    machine = Aeration(flow, 1.0 / 3600, down * deep, 1, 365, 6, 18, open_water=200.0)
    start = np.linspace(8.0, 4.0, n)
    both = [(model, machine), (model, None)]
    for run in seasons.run_year(both, weather_of(6, air, wind, sun), start, 5.0):
        balanced(run)
        assert run.dissolved_oxygen.min() >= -1e-12 and np.isfinite(run.temperature).all()
        assert run.temperature.min() >= 0.0


@settings(max_examples=10, deadline=None)
@given(st.integers(5, 16), st.floats(1.0, 7.0), st.floats(0.35, 0.65), st.floats(-12, 30), st.floats(0, 8),
       st.floats(0, 300), st.floats(4.5, 28), st.floats(0.5, 8))
def test_water_stays_between_its_start_and_the_resting_temperature_and_oxygen_below_what_it_may_hold(
        n, deep, fullness, air, wind, sun, start, colder):
    # the weather never changes; water at its resting temperature would gain and lose the same. In the dark where that
    # is below 5 C: under 4 C (39 F) warmer water lies below, and keeps the sun's heat from the top that rests
    z, a = bowl(5000.0, deep, deep * fullness)

    def resting(w, light):
        damp, glow = w.vapor_pressure[0], w.sky_glow[0]
        return brentq(lambda t: open_water_heat(t, air, damp, wind, glow) + 0.94 * light, -39, 90)
    w = weather_of(10, air, wind, sun)
    if (rest := resting(w, sun)) < 5:
        w = weather_of(10, air, wind)
        rest = resting(w, 0.0)
    model = PondModel(z, a, layers=n, shelter=1.0, production=0.0)
    runs = [seasons.run_year([(model, machine)], w, t, 6.0)[0]
            for machine in (None, Aeration(0.02)) for t in (start, start - min(colder, start - 4.0))]
    for warm, cold in (runs[:2], runs[2:]):
        for run in (warm, cold):
            ends = run.temperature[0].min(), run.temperature[0].max()
            assert run.temperature.max() < max(ends[1], rest) + 0.3
            assert run.temperature.min() > max(0.0, min(ends[0], rest)) - 0.3
            assert run.dissolved_oxygen.min() >= 0
            coldest = max(0.0, float(run.temperature.min()))
            assert run.dissolved_oxygen.max() <= max(6.0, float(water.oxygen_saturation(coldest))) + 0.01
        if cold.temperature.min() < 4 or warm.temperature.min() < 4:
            continue                # whichever is in winter layers or under ice first keeps its heat
        # a pond that started colder is not the warmer one later
        assert (cold.temperature @ cold.volume <= warm.temperature @ warm.volume * (1 + 1e-6)).all()


def test_a_budget_can_fail():
    run = seasons.run_year([(POND, None)], weather_of(3))[0]
    with pytest.raises(AssertionError):
        balanced(run._replace(heat=run.heat._replace(error=1e-6 * run.heat.start)))


def test_volume_and_light_are_whole():
    p = seasons._pond(POND, None)
    assert p.volume.sum() / 1233.48183755 == pytest.approx(15.467, rel=1e-3)    # A0 D/2.25, acre-ft
    assert p.sun_share.sum() == pytest.approx(1.0, abs=1e-12)
    assert p.bed_area.sum() == pytest.approx(AREA)
    assert seasons._pond(PondModel(*WALLS), None).bed_area.sum() == pytest.approx(1000)
    # Secchi 1 m: 0.6 x 0.1827 of the light passes 1 m (K 1.7/m), walls
    w = seasons._pond(PondModel(*WALLS, layers=5), None)
    assert 1 - w.sun_share[0] == pytest.approx(0.6 * 0.1827, abs=1e-4)


def test_what_stagnant_water_owes_is_paid_before_it_holds_oxygen(pair):
    run = pair[0]
    assert run.owed.max() > 2                                       # it does run up a debt in summer
    both = np.minimum(run.owed, run.dissolved_oxygen)[2::3]         # settled every third hour
    assert both.max() < 1e-9


def test_plankton_follows_the_season_in_about_ten_days(no_surface_heat):
    # water kept at 20 C after a cold start: the stock's gap to 1 shrinks as exp(-t/10 d)
    model = PondModel(*WALLS, least_mixing=0.5, layers=5, **QUIET)
    column = yearsteps.Column([seasons._pond(model, None)], weather_of(10), 20.0, 9.0)
    column.stock = [0.0]
    column.run(*seasons._tables(101325.0))
    assert column.stock[0] == pytest.approx(1 - math.exp(-1), abs=0.01)
    assert yearsteps.Column._stock(-5.0) == yearsteps.STOCK[2] and yearsteps.Column._stock(12.0) == 0.5


# ---- exact solutions ----

def test_pure_diffusion_of_a_cosine(no_surface_heat):
    # T = 20 + 2 cos(pi z/D) decays as exp(-K pi^2 t/D^2) between insulated walls
    n, k = 40, 4e-6
    model = PondModel(*WALLS, layers=n, least_mixing=k - yearsteps.MOLECULAR, **QUIET)
    z = (np.arange(n) + 0.5) * 5 / n
    run = seasons.run_year([(model, None)], weather_of(8), 20 + 2 * np.cos(np.pi * z / 5), 8.0)[0]
    for day in (2, 5, 8):
        exact = 20 + 2 * np.cos(np.pi * z / 5) * math.exp(-k * math.pi ** 2 * day * 86400 / 25)
        assert run.temperature[day * 24 - 1] == pytest.approx(exact, abs=0.005)
    assert abs(run.heat.end - run.heat.start) < 1e-9 * run.heat.start


def test_relaxation_to_the_resting_temperature():
    # near rest, T - T_e fades as exp(-K t/(rho c h)); K from the fluxes themselves, h = 5 m, well mixed
    w = weather_of(30, wind=3.0)
    model = PondModel(*WALLS, shelter=1.0, least_mixing=0.5, layers=6, **QUIET)

    def net(t):
        return open_water_heat(t, w.air_temperature[0], w.vapor_pressure[0], 3.0, w.sky_glow[0])
    grid = np.linspace(5, 25, 200001)
    rest = grid[np.abs(net(grid)).argmin()]
    k = (net(rest - 0.5) - net(rest + 0.5))
    run = seasons.run_year([(model, None)], w, rest + 1.0)[0]
    for day in (5, 15, 30):
        left = run.temperature[day * 24 - 1].mean() - rest
        exact = math.exp(-k * day * 86400 / (layers.HEAT_CAPACITY * 5))
        assert left == pytest.approx(exact, rel=0.01, abs=2e-3)


def test_oxygen_comes_to_saturation_at_the_known_speed(no_surface_heat):
    # C = Cs + (C0 - Cs) exp(-k t/h): k600 2.07 cm/h in a calm (Cole and Caraco 1998), 0.528 m/d for
    # oxygen at 20 C
    assert seasons.gas_speed(0.0) * 86400 == pytest.approx(0.528, abs=1e-3)
    assert seasons.gas_speed(5.0) * 86400 == pytest.approx(1.375, abs=2e-3)
    model = PondModel(*WALLS, least_mixing=0.5, layers=5, **QUIET)
    run = seasons.run_year([(model, None)], weather_of(10), 20.0, 2.0)[0]
    full = water.oxygen_saturation(20.0)
    for day in (3, 10):
        exact = full + (2 - full) * math.exp(-0.528 * day / 5)
        assert run.dissolved_oxygen[day * 24 - 1].mean() == pytest.approx(exact, rel=5e-3)


@pytest.mark.parametrize("light, conducts", [(0.5, 2.2), (0.1, 1 / (1 / 2.2 + 0.25 / 0.3))])
def test_ice_grows_as_the_exact_law(monkeypatch, light, conducts):
    # constant loss G at 0 C and a pull K on the surface: h + K h^2/(2 k) = G t/(L rho); snow a quarter as deep as the
    # ice, 0.3 W/(m K), lies in series with it
    monkeypatch.setattr(yearsteps._Hours, "flux", lambda self, s, i, ts: -150.0)
    monkeypatch.setattr(yearsteps, "SKIN", 1e-6)
    model = PondModel(*WALLS, ice_light=light, **QUIET)
    run = seasons.run_year([(model, None)], weather_of(40, wind=2.0), 0.0, 10.0)[0]
    vapor, warmth = (x[0] for x in heat.bulk_factors(np.full(1, 1.2), np.full(1, 20.0), 101325.0))
    pull = 4 * 0.97 * 5.670374e-8 * 273.15 ** 3 + warmth + vapor * 44.4
    for day in (10, 40):
        h = run.ice[day * 24 - 1]
        assert h + pull * h ** 2 / (2 * conducts) == pytest.approx(150 * day * 86400 / 3.0628e8, rel=0.02)
    assert yearsteps.ICE_HEAT * 0.0254 == pytest.approx(7.78e6, rel=1e-3)       # an inch of ice, 7.78 MJ/m2


def test_snow_on_ice_is_as_deep_as_it_was_on_trout_bog():
    assert seasons.SNOW == pytest.approx(np.mean([snow / ice for snow, ice in TROUT_BOG_SNOW]), abs=0.03)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0, 4), min_size=3, max_size=12), st.floats(0, 4))
def test_wind_lifts_no_more_weight_than_its_energy_pays_for(temperatures, energy):
    t = np.sort(temperatures)                                       # under 4 C (39 F) the colder lies on top
    volume, middle = np.linspace(1000, 300, len(t)), np.arange(len(t)) * 0.5 + 0.25
    state = np.array([t, np.linspace(12, 2, len(t))])

    def weight_lifted(temperature):                                 # J: the deeper the heavy water, the less
        return -9.80665 * (water.density(temperature) * volume * middle).sum()
    before, heat_held = weight_lifted(t), state @ volume
    yearsteps.stir_cold(state, volume, middle, yearsteps.lightness(t), energy * 1000)
    assert state @ volume == pytest.approx(heat_held)
    lifted = weight_lifted(state[0]) - before
    # mixed water is heavier than the mean of its parts, so it comes out a little below what was paid
    assert -1e-6 * abs(before) < lifted < energy * 1000 + 1e-9 * abs(before)
    yearsteps.stir_cold(state, volume, middle, yearsteps.lightness(state[0]), 1e12)
    assert np.ptp(state, axis=1) == pytest.approx(0, abs=1e-9)


def test_an_open_pond_cools_further_below_4_degrees_before_it_freezes():
    # sheltered water freezes while it lies near 4 C below; wind cools a pond through (Farmer and Carmack 1981, J. Phys.
    # Oceanogr. 11:1516-1533; from memory)
    held = []
    for wind in (0.3, 6.0):
        run = seasons.run_year([(PondModel(*WALLS, shelter=1.0, **QUIET), None)], weather_of(60, -3.0, wind), 6.0)[0]
        held.append((run.temperature @ run.volume / run.volume.sum())[np.flatnonzero(run.ice > 0.005)[0]])
    assert held[0] > 3.3 and held[1] < 1.0


def test_numbers_of_stirring_and_deep_mixing():
    # Hondzo and Stefan 1993, by hand: 1 - exp(-0.3 A) for 2.4 acres, 0.4, 1 and 10 km2 (0.00971 km2 is 2.4 acres)
    assert [yearsteps.sheltered_energy(1e6 * a) for a in (0.00971, 0.4, 1.0, 10.0)] == pytest.approx(
        [0.002909, 0.11308, 0.25918, 0.95021], rel=1e-3)
    # Markfort and others 2010: a round water of 400 m behind 2 m (x/D 0.25): 2/pi (acos 0.25 - 0.25 sqrt(15)/4); none
    # where 50 heights reach across; all without banks
    assert [yearsteps.open_energy(math.pi * 200 ** 2, bank) for bank in (2.0, 8.0, 20.0, 0.0)] == pytest.approx(
        [0.68503, 0.0, 0.0, 1.0], abs=2e-5)
    # 8.17e-4 A^0.56 N2^-0.43 cm2/s: 0.5986 x 19.50 x 8.17e-4 at 0.4 km2 and N2 0.001: 0.00954 cm2/s
    assert yearsteps.deep_mixing(4e5) * 0.001 ** -0.43 == pytest.approx(0.00954e-4, rel=2e-3)
    # Bloss and Harleman 1979, by hand: 0.057 x 100 x 19.46/114.2 and 0.057 x 400 x 9.46/414.2; nothing from 868 on
    assert [yearsteps.wind_bite(r) for r in (100.0, 400.0, 868.0, 5000.0)] == pytest.approx(
        [0.97130, 0.52073, 0.0, 0.0], abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 12), st.floats(0.3, 0.7), st.floats(10, 28), st.floats(4.5, 9.5))
def test_work_to_mix_is_the_rise_of_the_weight(n, fullness, top, bottom):
    # potential energy after mixing less before, layer by layer, without the table
    z, a = bowl(5000.0, 6.0, 6.0 * fullness)
    pond = seasons._pond(PondModel(z, a, layers=n), None)
    middle = (pond.faces[1:] + pond.faces[:-1]) / 2
    light = np.sort(yearsteps.lightness(np.linspace(top, bottom, n)))[::-1]
    work = light @ yearsteps.work_tables(pond.volume, middle)
    rho = 999.97495 * (1 - light / 522528.9)
    for k in range(1, n + 1):
        v, d, r = pond.volume[:k], middle[:k], rho[:k]
        even = (v * r).sum() / v.sum()
        assert work[k - 1] == pytest.approx(9.80665 * (v * d * (r - even)).sum(), rel=1e-6, abs=1e-6 * v.sum())


def test_wind_does_as_much_work_as_its_energy_allows_and_no_more(no_surface_heat):
    """From two layers, the weight lifted in an hour is the wind's energy times its bite, with nothing else going on."""
    area = 4e5
    walls = np.array([0.0, 6.0]), np.array([area, area])
    model = PondModel(*walls, shelter=1.0, least_mixing=1e-12, layers=12, **QUIET)
    start = np.r_[np.full(4, 20.0), np.full(8, 18.0)]
    run = seasons.run_year([(model, None)], weather_of(1, wind=4.0), start, 8.0)[0]

    def weight(t):
        return 9.80665 * (run.depth * run.volume * water.density(t)).sum()
    u = math.sqrt(1.2 * 0.0010 / 1000) * 4.0                                # drag 0.0010 below 5 m/s (Hicks 1972)
    given = 1000 * u ** 3 * 0.11308 * area * 3600                           # J in an hour
    # g' h/u*^2 of 2 m over a step of 0.385 kg/m3 (Tanaka: 998.207 and 998.598 kg/m3)
    ri = 9.80665 * (998.598 - 998.207) / 999.975 * 2.0 / u ** 2
    bite = max(0.0, 0.057 * ri * (29.46 - math.sqrt(ri)) / (14.2 + ri))
    still = seasons.run_year([(model, None)], weather_of(1, wind=0.0), start, 8.0)[0]
    lifted = weight(start) - weight(run.temperature[0]) - (weight(start) - weight(still.temperature[0]))
    assert lifted == pytest.approx(given * bite, rel=0.15)


# ---- heavy water sinks ----

@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(0, 12), min_size=3, max_size=20), st.data())
def test_no_inversion_is_left_around_4_degrees(temperatures, data):
    n = len(temperatures)
    volume = np.array(data.draw(st.lists(st.floats(0.1, 50), min_size=n, max_size=n)))
    state = np.array([temperatures, np.linspace(9, 0, n)])
    before = state @ volume
    light = yearsteps.lightness(state[0])
    wrong = [i for i in range(n - 1) if light[i] < light[i + 1] - yearsteps.TINY]
    yearsteps.settle_heavy(wrong, state, volume, light)
    assert (np.diff(water.density(state[0])) > -2e-9).all()
    assert state @ volume == pytest.approx(before, rel=1e-12)
    assert light == pytest.approx(yearsteps.lightness(state[0]))


def test_no_inversion_is_left_in_any_hour_of_the_year(pair):
    for run in pair:
        rho = water.density(run.temperature)
        assert np.diff(rho, axis=1).min() > -1e-8
        assert (run.temperature.min() < 1) and ((run.temperature > 3.5) & (run.temperature < 4.5)).any()


def test_warming_from_2_mixes_and_from_6_layers():
    sunny = weather_of(6, air=15.0, sun=150.0)
    cold, warm = (seasons.run_year([(PondModel(*WALLS, secchi_depth=0.5, **QUIET), None)], sunny, t)[0]
                  for t in (2.0, 6.0))
    soon = np.flatnonzero(cold.temperature[:, 0] > 3.5)[0]
    assert np.ptp(cold.temperature[soon]) < 0.1                    # all of it warms together up to 4 C
    same = np.flatnonzero(warm.temperature[:, 0] > 7.5)[0]
    assert np.ptp(warm.temperature[same]) > 1.0                    # the top warms alone


# ---- the plume ----

@settings(max_examples=60, deadline=None)
@given(st.integers(3, 20), st.floats(0.15, 1.0), st.floats(0, 3), st.integers(0, 2))
def test_a_plume_moves_water_but_makes_none(n, down, plunge, top):
    faces = np.linspace(0, 5, n + 1)
    entrained, diagonal, sink, rise = yearsteps.plume_tables(faces, 5 * down, plunge, top)
    reached = max(0.0, 1 - faces[top] / (5 * down)) ** (5 / 3)     # stopped at a face, it lifts what a plume does there
    assert entrained.sum() == pytest.approx(reached + (0 if top else plunge)) and not entrained[:top].any()
    for j in range(n):
        m = np.diag(diagonal[j]) - np.diag(sink[j], -1) - np.diag(rise[j], 1)
        m[j] -= entrained
        assert m.sum(axis=1) == pytest.approx(0, abs=1e-12)        # a uniform pond stays uniform
        assert m.sum(axis=0) == pytest.approx(0, abs=1e-12)        # nothing is made or lost


def test_lifted_water_comes_mostly_from_near_the_top():
    # flow grows as height^(5/3) (Morton, Taylor and Turner 1956): at half depth it is 0.315 of that
    # at the top
    entrained, *_ = yearsteps.plume_tables(np.linspace(0, 4, 5), 4.0, 0.0)
    assert entrained[2:].sum() == pytest.approx(0.315, abs=1e-3)


@pytest.mark.parametrize("t, highest", [([20.0, 19.9, 19.8, 19.7], 0), ([20.0, 19.9, 5.0, 4.9], 2)])
def test_plume_exchange_by_hand(no_surface_heat, t, highest):
    # One hour of 0.05 m3/s without plunge through 4 equal boxes of 1250 m3, oxygen 8 over 0, is checked against the
    # full matrix solved directly; under a step of 15 C so thin a plume (0.08 cfm) stays in the lower two boxes.
    model = PondModel(*WALLS, layers=4, least_mixing=1e-12, **QUIET)
    machine = Aeration(0.05, plunge=0.0)
    start = np.array([8.0, 8.0, 0.0, 0.0])
    t = np.array(t)
    run = seasons.run_year([(model, machine)], weather_of(1), t, start)[0]
    entrained, diagonal, sink, rise = yearsteps.plume_tables(np.linspace(0, 5, 5), 5.0, 0.0, highest)
    mixture = water.density(float(entrained @ t / entrained.sum()))
    j = int(np.searchsorted(water.density(t), mixture, side="right")) - 1
    assert run.settled[0] == j
    m = np.diag(diagonal[j]) - np.diag(sink[j], -1) - np.diag(rise[j], 1)
    m[j] -= entrained
    molecular = yearsteps.MOLECULAR * 1000 / 1.25 * 3600
    d = np.diag([1, 2, 2, 1.0]) - np.diag(np.ones(3), 1) - np.diag(np.ones(3), -1)
    gas = seasons.gas_speed(0.0) * 3600 * 1000 / 1250
    top = start.copy()
    top[0] += (water.oxygen_saturation(20.0) - 8) * (1 - math.exp(-gas))
    exact = np.linalg.solve(np.eye(4) * 1250 + m * 180 + d * molecular, top * 1250)
    # the solved water may still be unstable; compare what mixing by weight cannot change
    assert run.dissolved_oxygen[0] @ run.volume == pytest.approx(exact.sum() * 1250, rel=1e-9)
    solved_t = np.linalg.solve(np.eye(4) * 1250 + m * 180 + d * molecular, t * 1250)
    if (np.diff(water.density(solved_t)) > 0).all():
        assert run.dissolved_oxygen[0] == pytest.approx(exact, rel=1e-6, abs=1e-7)
        assert run.temperature[0] == pytest.approx(solved_t, rel=1e-6)


def test_the_year_stops_a_plume_by_the_rule_of_workbooks_03_and_05():
    faces = np.linspace(0, 5, 11)
    # a pond of two layers, 24 over 12 C parted at 2 m, as a column and as the year's own layers
    column = plume.Column(np.array([0, 2.0, 2.0001, 5]), water.Water(np.array([24, 24, 12, 12.0])), np.zeros(4))
    for share in (1, 4, 40):
        drags, limit = seasons._layering(Aeration(0.1, diffusers=share), 5.0, faces)
        light = yearsteps.lightness(np.where(faces[:-1] < 2, 24.0, 12.0))
        held = (np.cumsum((light[:-1] - light[1:])[::-1] * drags) > limit).any()
        stop = plume.stop_depth(plume.air_that_lifts(0.1 / share, 5.0), 5.0, column)
        assert held == (stop.depth.usual > 0)
    assert held, "the thinnest stays below"


def plume_power(run):
    """Rate (W) at which the modelled plume's own flows lift weight, before heavy water sinks back."""
    air = run.aeration
    entrained, _, sink, rise = yearsteps.plume_tables(run.faces, air.down_to(run.faces[-1]), air.plunge)
    rho, z, j = water.density(run.temperature), run.depth, np.maximum(run.settled, 0)
    lift = (entrained * rho * (z[None, :] - z[j][:, None])).sum(axis=1)
    back = ((sink[j] * rho[:, :-1] - rise[j] * rho[:, 1:]) * np.diff(z)).sum(axis=1)
    return np.where(run.settled >= 0, 9.80665 * air.lifted_flow * run.running * (lift - back), 0.0)


def test_plume_power_is_nothing_when_mixed_and_a_modest_share_of_the_bubbles(pair):
    without, with_air = pair
    assert (without.settled == -1).all()
    power = plume_power(with_air)
    mixed = (np.ptp(water.density(with_air.temperature), axis=1) < 1e-4) & (with_air.running > 0)
    assert np.abs(power[mixed]).max(initial=0.0) < 1e-2
    # 0.15 m3/s is about what 0.5 to 1 cfm lifts from 14.5 ft; isothermal bubble power 8.5 to 17 W;
    # published mixing efficiencies 2 to 10 %
    bubbles = 101325 * 4.71947e-4 * math.log(1 + DEEP / 10.33)
    assert bubbles == pytest.approx(17.0, abs=0.2)
    on = power[with_air.running > 0]
    assert 0.002 * bubbles < np.mean(on) and on.max() < 0.2 * 0.5 * bubbles


def test_running_by_date_and_hour():
    hours = np.arange(8760) + 0.5
    night = Aeration(0.1, 0.0, None, 150, 160, 20, 6).running(hours)
    assert night.sum() == 11 * 10
    assert night[149 * 24 + 2] == 1 and night[149 * 24 + 12] == 0 and night[148 * 24 + 22] == 0
    winter = Aeration(0.1, 0.0, None, 340, 60).running(hours)
    assert winter.sum() == (26 + 60) * 24
    ramp = Aeration(0.1, 0.0, None, 100, 300, 8, 24, (0.5, 1.0, 2.25)).running(hours)
    assert [ramp[(d - 1) * 24:d * 24].sum() for d in (100, 101, 102, 103)] == [0.5, 1.0, 2.25, 16]
    assert ramp[99 * 24 + 8] == 0.5 and ramp[101 * 24 + 8:101 * 24 + 11].tolist() == [1, 1, 0.25]


# ---- against the world ----

def test_winter_oxygen_falls_as_measured_under_prairie_ice():
    # Mathias and Barica 1980: 0.23 g/m2/d of mud over volume + 0.01 g/m3/d, above 3.8 mg/L; mud 0.23
    # at 4 C here
    mud = 0.23 / 1.065 ** -16
    z, a = bowl(20000.0, 5.0, 2.5)
    model = PondModel(z, a, sediment_demand=mud, production=0.0, least_mixing=1e-5)
    run = seasons.run_year([(model, None)], weather_of(40, air=-12.0), 4.0, 13.0)[0]
    held = run.dissolved_oxygen @ run.volume / run.volume.sum()
    i = np.flatnonzero(run.ice > 0.05)[0] + 24
    per_day = (held[i] - held[i + 240]) / 10
    assert per_day == pytest.approx(0.23 / 2.5 + 0.01, rel=0.15)


def test_dark_sheltered_northern_lake():
    # Hummingbird Lake, Michigan, 3 August 1999, 0 to 6 m (source in layeredponds): light there fades
    # at 6.3/m over
    # the first 25 cm (1108 to 227), as with a Secchi depth of 0.27 m. No setting here was fitted to it.
    z, a = bowl(8000.0, 7.5, 3.5)
    w = weather.make_weather(weather.typical_climate(46.2, 500.0))
    model = PondModel(z, a, secchi_depth=0.27, shelter=0.3, layers=20)
    run = seasons.run_year([(model, None)], w, 4.0)[0]
    found = np.interp([0, 1, 1.5, 2, 3, 4, 5, 6], run.depth, run.temperature[214 * 24 + 9])
    assert found == pytest.approx([22.3, 21.3, 16.1, 12.8, 8.3, 5.9, 5.4, 5.0], abs=2.3)
    assert found[-3:] == pytest.approx([5.9, 5.4, 5.0], abs=1.0)          # the bottom
    assert found[-1] < 6 and run.dissolved_oxygen[214 * 24, -3] < 1.0


def test_missouri_reservoir_mixes_far_above_4_degrees():
    # Lamar City Lake 2020 (University of Missouri, CC BY 4.0): mixed at 18.2 C on 6 October and 11.3 C on 5
    # November; bottom 20.1 C in August. 131 July-August profiles 5 to 8 m deep: coldest reading 10.3
    # to 27.7 C
    # (5 to 95 %), 78 % with oxygen below 1 mg/L.
    z, a = bowl(400000.0, 6.5, 3.0)
    w = weather.make_weather(weather.typical_climate(37.5, 300.0))
    run = seasons.run_year([(PondModel(z, a, shelter=1.0), None)], w)[0]
    august, october, november = (run.temperature[(d - 1) * 24 + 10] for d in (237, 279, 309))
    assert 10.3 < august[-2] < 27.7 and abs(august[0] - 28.5) < 5
    assert october[0] == pytest.approx(18.2, abs=2) and np.ptp(october[:-1]) < 1
    assert november == pytest.approx(11.3, abs=2)
    assert run.dissolved_oxygen[236 * 24, -2] < 1.0
    over = seasons.overturn_days(run)
    assert len(over) == 1 and 258 < over[0].day < 295 and 15 < over[0].temperature < 23


def test_surface_follows_a_second_heat_law(pair):
    # monthly mean surface against the Edinger resting temperature, April to October: within 2.5 C
    run = pair[0]
    for month in range(3, 10):
        k = slice(month * 730, (month + 1) * 730)
        t, wind = run.temperature[k, 0].mean(), 0.6 * YEAR.wind_speed[k].mean()
        e = math.log(YEAR.vapor_pressure[k].mean() / 610.8)
        dew = 237.3 * e / (17.27 - e)
        rest = t
        for _ in range(30):
            rest = edinger_rest(rest, dew, wind, 0.94 * YEAR.sunlight[k].mean())
        assert t == pytest.approx(rest, abs=2.5), f"month {month + 1}"


def test_evaporation_of_a_year_is_of_the_right_size(pair):
    # free-water evaporation of the region about 0.9 to 1.05 m a year (NOAA atlas NWS 33, from
    # memory); less under trees
    run = pair[0]
    vapor, _ = heat.bulk_factors(0.6 * YEAR.wind_speed, YEAR.air_temperature, YEAR.air_pressure)
    evaporation = vapor * (water.vapor_pressure(run.temperature[:, 0]) - YEAR.vapor_pressure)
    depth = evaporation[run.ice == 0].sum() * 3600 / 2.45e9
    assert 0.7 < depth < 1.1


def test_air_warms_and_feeds_the_bottom_and_cools_the_top(pair):
    without, with_air = pair
    july = slice(181 * 24, 212 * 24)
    low = 12                                                        # 10 ft down
    assert with_air.temperature[july, low].mean() > without.temperature[july, low].mean() + 5
    assert with_air.dissolved_oxygen[july, low].mean() > without.dissolved_oxygen[july, low].mean() + 1
    assert with_air.temperature[:, 0].max() < without.temperature[:, 0].max() - 0.5
    assert seasons.bottom_oxygen_days(with_air) < seasons.bottom_oxygen_days(without)
    assert len(seasons.overturn_days(without)) == 1 and seasons.overturn_days(with_air) == []


def test_side_by_side_is_the_same_as_alone(pair):
    start = dict(temperature=pair[0].temperature[0], dissolved_oxygen=pair[0].dissolved_oxygen[0])
    w = YEAR._replace(**{k: getattr(YEAR, k)[4000:4240] for k in ("hour", "air_temperature", "vapor_pressure",
                                                                "wind_speed", "sunlight", "sky_glow")})
    air = Aeration(0.15, 0.3 / 3600)
    together = seasons.run_year([(POND, air), (POND, None)], w, **start)
    for one, both in zip((seasons.run_year([(POND, air)], w, **start)[0],
                          seasons.run_year([(POND, None)], w, **start)[0]), together, strict=True):
        assert one.temperature == pytest.approx(both.temperature, abs=1e-9)
        assert one.dissolved_oxygen == pytest.approx(both.dissolved_oxygen, abs=1e-9)


def test_finer_layers_tell_the_same_story():
    runs = [seasons.run_year([(PondModel(Z, A, layers=n), None)], YEAR)[0] for n in (14, 28)]
    at = [np.array([np.interp([0.5, 2.0, 3.5], r.depth, r.temperature[d * 24 + 12]) for d in (120, 200, 260)])
          for r in runs]
    assert at[0] == pytest.approx(at[1], abs=1.5)


# ---- fish ----

def test_habitat_of_the_year(pair):
    trout = seasons.usable_year(pair[0], "trout")
    bass = seasons.usable_year(pair[0])
    assert trout.squeezed_days > bass.squeezed_days + 60
    summer = slice(170, 240)
    assert trout.share[summer].max() < 0.05 and bass.share[summer].min() > 0.1
    assert bass.share.shape == (365,) and bass.share.max() <= 1
    with pytest.raises(QuantityError, match="Choose from bass and bluegill, .*trout"):
        seasons.usable_year(pair[0], "whale")


def test_limits_sit_in_order_with_other_published_ones():
    # Canadian guideline, warm water, other stages: 5.5 mg/L; cold 6.5 (CCME 1999). A cold-water lake fish
    # dies at 22.1 C (Jiang and Fang 2016, abstract), so a trout limit of 19 C is on the safe side.
    limits = fishlimits.KINDS_OF_FISH
    assert limits["trout"].warmest < 22.1
    # weekly-mean limits of heat: Brungs and Jones (1977), EPA-600/3-77-061, 19 C for rainbow trout and 32 C for
    # largemouth bass and bluegill, as the Nevada DEP quotes them (second-hand); catfish 32 C from memory
    assert {name: limit.warmest for name, limit in limits.items()} == {
        "trout": 19.0, "bass and bluegill": 32.0, "channel catfish": 32.0}
    assert limits["bass and bluegill"].level < 5.5 and limits["trout"].level < 6.5
    assert all(limit.source and limit.warmest for limit in limits.values())


# ---- the door ----

def test_records_take_quantities_and_refuse_nonsense():
    m = asked(PondModel)(Q([0, 14.5], "ft"), Q([2.4, 0], "acre"), secchi_depth="3 ft")
    assert m.secchi_depth == pytest.approx(0.9144) and m.depth[-1] == pytest.approx(DEEP)
    a = asked(Aeration)("1000 gpm", "0.5 lb/h", "13 ft")
    assert a.lifted_flow == pytest.approx(0.0631, abs=1e-4)
    assert a.oxygen_rate * 3600 == pytest.approx(0.2268, abs=1e-4)
    for bad in (dict(layers=2), dict(shelter=0.0), dict(respiration=-1.0), dict(depth=[0, 100.0])):
        with pytest.raises(QuantityError):
            PondModel(**{**dict(depth=[0, 5.0], area=[100.0, 50.0]), **bad})
    for bad in (dict(lifted_flow=0.0), dict(start_hour=30.0), dict(plunge=-1.0)):
        with pytest.raises(QuantityError):
            Aeration(**{**dict(lifted_flow=0.1), **bad})
    with pytest.raises(QuantityError, match="in a pond"):
        seasons.run_year([(POND, Aeration(0.1, submergence=9.0))], weather_of(1))
    with pytest.raises(QuantityError, match="same number of layers"):
        seasons.run_year([(POND, None), (PondModel(Z, A, layers=10), None)], weather_of(1))
    with pytest.raises(QuantityError, match="holds no water"):
        seasons.run_year([(PondModel([0, 2, 5.0], [100.0, 0.0, 0.0]), None)], weather_of(1))
