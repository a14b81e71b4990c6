"""Ten thousand lines at once, against a Python loop over the library fluids in the same run.

Run ``pytest -n 0 tests/benchmarks/bench_airline.py``. The two give the same losses within 0.5 %.
"""

import fluids
import numpy as np
import pytest
from rows import library, ours
from test_airline import loss_by_fluids

from pondcalc.back_pressure import airline, branches
from pondcalc.back_pressure.airline import Line

COUNT, INCH, FT, CFM, PSI, ATM, R = 10_000, 0.0254, 0.3048, 4.71947e-4, 6894.757, 101325.0, 287.05287
FREE = ATM / (R * 293.15)


def cases(count=COUNT):
    rng = np.random.default_rng(1)
    bore = rng.uniform(0.375, 2.0, count) * INCH
    reynolds = np.exp(rng.uniform(np.log(4100), np.log(20000), count))
    flow = reynolds * np.pi * bore * 1.8134e-5 / 4 / FREE
    return rng.uniform(20, 400, count) * FT, bore, flow, ATM + rng.uniform(2, 15, count) * PSI


def by_darcy(length, bore, flow, outlet):
    """The fastest fair loop: one Colebrook and one incompressible Darcy step at the outlet density."""
    factor = fluids.friction.Colebrook(4 * flow * FREE / (np.pi * bore * 1.8134e-5), 1.5e-6 / bore)
    flux = flow * FREE / (np.pi / 4 * bore**2)
    return factor * length / bore * flux**2 / 2 / (outlet / R / 293.15)


@pytest.mark.benchmark(group="10,000 lines")
def test_pondcalc_sweep(benchmark):
    ours(benchmark, "friction loss in 10,000 lines")
    length, bore, flow, outlet = cases()
    loss = benchmark(lambda: airline.pressure_loss(Line(length, bore), flow, outlet))
    few = slice(0, COUNT, 50)
    theirs = [loss_by_fluids(*case) for case in zip(length[few], bore[few], flow[few], outlet[few], strict=True)]
    np.testing.assert_allclose(loss[few], theirs, rtol=0.005)


@pytest.mark.benchmark(group="10,000 lines")
def test_fluids_loop(benchmark):
    library(benchmark, "friction loss in 10,000 lines", "fluids, in a loop")
    made = list(zip(*cases(), strict=True))
    benchmark.pedantic(lambda: [loss_by_fluids(*case) for case in made], rounds=2, iterations=1)


@pytest.mark.benchmark(group="10,000 lines")
def test_colebrook_loop_alone(benchmark):
    made = list(zip(*cases(), strict=True))
    benchmark.pedantic(lambda: [by_darcy(*case) for case in made], rounds=2, iterations=1)


@pytest.mark.benchmark(group="one slider move")
def test_budget(benchmark):
    ours(benchmark, "pressure budget of one line")
    chain = [Line(91.44, 1.049 * INCH), Line(30.48, 0.625 * INCH)]
    benchmark(lambda: airline.pressure_budget(5.8, chain, 4 * CFM))


@pytest.mark.benchmark(group="one slider move")
def test_three_branches(benchmark):
    ours(benchmark, "three diffusers on one compressor")
    made = [branches.Branch(depth, Line(30.0, 0.0127)) for depth in (5.0, 5.1, 5.2)]
    benchmark(lambda: branches.solve_branches(made, 6 * CFM))


@pytest.mark.benchmark(group="one slider move")
def test_three_branches_with_orifices(benchmark):
    ours(benchmark, "the same with orifices")
    made = [branches.Branch(depth, Line(30.0, 0.0127), orifice_bore=0.004) for depth in (4.5, 5.1, 5.8)]
    benchmark(lambda: branches.solve_branches(made, 6 * CFM))
