"""Speed of a modelled year, beside what scipy alone needs for the diffusion in it.

Run with ``pytest tests/benchmarks/bench_seasons.py --benchmark-only``. A year has 8760 hourly
steps. The two yardsticks do only the vertical diffusion, without sun, ice, oxygen made and
used, sinking water or a plume: once with one call of scipy's banded solver an hour, once with
its stiff integrator.
"""

import numpy as np
import pytest
from layeredponds import bowl
from rows import library, ours
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded

from pondcalc.the_year import firststart, seasons, weather
from pondcalc.warm_over_cold import layers, overturn
from pondcalc.warm_over_cold.profile import Profile

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = bowl(AREA, DEEP, DEEP / 2.25)
YEAR = weather.make_weather(weather.typical_climate(38.5, 350.0))
AIR = seasons.Aeration(0.15, 0.3 / 3600, None, 100, 300)
READINGS = Profile([0.2, 1, 1.5, 2, 2.5, 3.5, 4.3], [28, 28, 26, 21, 18, 16, 15.6],
                   [7, 6.8, 5, 2, 0.5, 0.1, 0.1])


@pytest.mark.parametrize("layers_", [15, 18, 20, 40])
def test_year_of_one_pond(benchmark, layers_):
    ours(benchmark, f"a year by the hour, one pond of {layers_} layers")
    pond = seasons.PondModel(Z, A, layers=layers_)
    run = benchmark.pedantic(seasons.run_year, ([(pond, None)], YEAR), rounds=5, warmup_rounds=1)[0]
    assert abs(run.heat.error) < 1e-9 * abs(run.heat.net_in)


@pytest.mark.parametrize("count", [2, 4, 8])
def test_year_of_ponds_side_by_side(benchmark, count):
    ours(benchmark, f"a year by the hour, {count} ponds side by side")
    pond = seasons.PondModel(Z, A)
    pairs = [(pond, AIR if i % 2 else None) for i in range(count)]
    runs = benchmark.pedantic(seasons.run_year, (pairs, YEAR), rounds=3, warmup_rounds=1)
    assert len(runs) == count


def test_year_of_weather(benchmark):
    ours(benchmark, "a year of weather")
    assert len(benchmark(weather.make_weather, weather.typical_climate(38.5, 350.0)).hour) == 8760


def by_banded(hours=8760, n=18):
    """Diffusion alone with scipy.linalg.solve_banded, two columns (heat and oxygen)."""
    g = np.full(n - 1, 0.3)
    bands = np.zeros((3, n))
    bands[0, 1:], bands[2, :-1] = -g, -g
    bands[1] = 1.0
    bands[1, :-1] += g
    bands[1, 1:] += g
    state = np.column_stack([np.linspace(20, 10, n), np.linspace(8, 0, n)])
    for _ in range(hours):
        state = solve_banded((1, 1), bands, state)
    return state


def by_integrator(hours=8760, n=18):
    """Diffusion alone with scipy.integrate.solve_ivp (LSODA) through a daily wave of heat."""
    g = 0.3 / 3600

    def rate(t, x):
        flow = g * np.diff(x)
        out = np.zeros(n)
        out[:-1] += flow
        out[1:] -= flow
        out[0] += 1e-4 * np.sin(2 * np.pi * t / 86400)
        return out
    return solve_ivp(rate, (0, hours * 3600.0), np.linspace(20, 10, n), method="LSODA", max_step=3600.0,
                     rtol=1e-6).y


def test_yardstick_banded_solver_for_a_year(benchmark):
    library(benchmark, "a year by the hour, one pond of 18 layers", "scipy solve_banded, mixing alone")
    assert benchmark.pedantic(by_banded, rounds=3, warmup_rounds=1).sum() == pytest.approx(18 * 19)


def test_yardstick_integrator_for_a_year(benchmark):
    benchmark.extra_info["note"] = "scipy solve_ivp (LSODA), mixing alone: a second yardstick, not in the table"
    end = benchmark.pedantic(by_integrator, rounds=3, warmup_rounds=1)[:, -1]
    assert end.sum() == pytest.approx(270, rel=0.05)


@pytest.mark.parametrize("call", [
    lambda: layers.stability(Z, A, READINGS),
    lambda: overturn.overturn_risk(Z, A, READINGS, demand=(0, 2, 4)),
    lambda: firststart.quickest_ladder(Z, A, READINGS, (0.05, 0.1, 0.2), 5.0),
    lambda: firststart.custom_by_flow(Z, A, READINGS, [0.1], 5.0)],
    ids=["stability", "overturn_risk", "quickest_ladder", "custom_by_flow"])
def test_one_move_of_a_slider(benchmark, call, request):
    ours(benchmark, f"one move of a slider: {request.node.callspec.id.replace('_', ' ')}")
    assert benchmark(call) is not None
