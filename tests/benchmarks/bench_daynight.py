"""A thousand two-day runs side by side, against scipy's solver in a loop, in the same session.

    pytest -n 0 tests/benchmarks/bench_daynight.py
"""

import numpy as np
import pytest
from rows import library, ours
from scipy.integrate import solve_ivp

from pondcalc import air, water
from pondcalc.door import daynight, oxygencase
from pondcalc.how_much_oxygen import oxygen, sources

ACRE = 4046.8564224
POND = daynight.PondShape.si(9868.0, ACRE)
LOOP = 10


def draws(count):
    """Conditions of `count` ponds that differ in algae and mud."""
    rng = np.random.default_rng(1)
    return daynight.Conditions.si(25.0, chlorophyll=rng.uniform(10, 200, count), mud_20c=rng.uniform(0.2, 2, count),
                                  fish_mass_per_area=0.0336)


def alone(chlorophyll, mud):
    """One pond by scipy.integrate.solve_ivp, to the accuracy of the stepping."""
    depth, pressure = POND.volume / POND.area, air.pressure_by_elevation(0.0)
    secchi = sources.secchi_from_chlorophyll(chlorophyll)
    plankton = sources.plankton_respiration(chlorophyll, 25.0, None, depth, mud).usual
    k = float(sources.exchange_band(2.0, 25.0, POND.area).usual) * 3600

    def slope(hour, state):
        o, clock = state[0], 18 + hour
        t = 25 + np.cos(2 * np.pi * (clock - 16) / 24)
        light = sources.light_below_surface(39.0, 200, clock % 24)
        made = sources.production(chlorophyll, t, light, secchi, depth) * (
            1 - sources.PROMPT_USE.usual)
        use = ((plankton * 1.066 ** (t - 25) * depth + mud * 1.065 ** (t - 20)) / 24
               + 0.0336e-3 * oxygen.fish_respiration(t, 0.2))
        return [(made + k * (water.oxygen_saturation(t, pressure) - o) - use * o / (o + daynight.HALF_USE)) / depth]

    start = oxygen.DUSK_SHARE.usual * water.oxygen_saturation(25 + np.cos(2 * np.pi * 2 / 24), pressure)
    return solve_ivp(slope, (0, 48), [float(start)], rtol=1e-5, atol=1e-6, max_step=0.5).y[0, -1]


@pytest.mark.benchmark(group="two days")
def test_thousand_side_by_side(benchmark):
    ours(benchmark, "two days of oxygen in 1,000 ponds")
    conditions = draws(1000)
    run = benchmark(lambda: daynight.simulate(POND, conditions))
    assert run.dissolved_oxygen.shape[1] == 1000
    first = [alone(conditions.chlorophyll[i], conditions.mud_20c[i]) for i in range(2)]
    assert run.dissolved_oxygen[-1, :2] == pytest.approx(first, abs=0.02)


@pytest.mark.benchmark(group="two days")
def test_ten_by_scipy_in_a_loop(benchmark):
    library(benchmark, "two days of oxygen in 1,000 ponds", "scipy solve_ivp, 10 in a loop, scaled", 1000 / LOOP)
    conditions = draws(LOOP)
    benchmark.extra_info["runs"] = LOOP
    benchmark.pedantic(lambda: [alone(c, m) for c, m in zip(conditions.chlorophyll, conditions.mud_20c, strict=True)],
                       rounds=2)


@pytest.mark.benchmark(group="chance")
def test_chance_of_a_thousand_draws(benchmark):
    ours(benchmark, "dawn in 1,000 drawn ponds")
    doubts = oxygencase.DOUBTS | {"chlorophyll": sources.WATER_COLORS["green"]}
    base = daynight.Conditions.si(25.0, fish_mass_per_area=0.0336)
    benchmark(lambda: oxygencase.dawn_chance(POND, base, doubts))
