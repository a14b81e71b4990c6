"""Speed of the discrete-bubble model against a general solver, in the same run.

Run with ``pytest tests/benchmarks/bench_bubbles.py``. The general solver is
``scipy.integrate.solve_ivp``, one case at a time, at a tolerance that makes it no more accurate than ours.
"""

import numpy as np
import pytest
from rows import library, ours
from scipy.integrate import solve_ivp

from pondcalc import air, water
from pondcalc.bubbles_and_oxygen import bubbles
from pondcalc.bubbles_and_oxygen.bubbles import follow, oxygen_sweep
from pondcalc.bubbles_and_oxygen.plume import uniform_column
from pondcalc.water import GAS_CONSTANT, OXYGEN_SHARE

SIZES, DEPTHS = np.linspace(1.0, 6.0, 50) * 1e-3, np.linspace(2.0, 8.0, 50)
FEW = slice(0, 50, 7)
COLUMN = uniform_column(water.STANDARD, 2.0, 0.2)


def one_case(d0, h, rtol, surroundings):
    """One bubble with solve_ivp, in shares of gas against height; property values are given."""
    kelvin, vapor, henry_o, henry_n, oxygen, nitrogen, weight, fluid = surroundings
    rise, transfer = bubbles.natural_speed, bubbles.TRANSFER_FORMS["natural"]
    pressure = 101325.0 - vapor + weight * h
    scale = d0**3 * pressure / kelvin

    def slope(z, y):
        p = 101325.0 - vapor + weight * (h - z)
        total = y[0] + y[1]
        d = (scale * total * kelvin / p) ** (1 / 3)
        v = rise(d)
        k = 6 * GAS_CONSTANT / scale * d**2 * transfer(d, v, fluid) / (v + 0.2)
        return [-k * (henry_o * p * y[0] / total - oxygen), -k * (henry_n * p * y[1] / total - nitrogen)]

    start = [OXYGEN_SHARE, 1 - OXYGEN_SHARE]
    return 1 - solve_ivp(slope, (0, h), start, rtol=rtol, atol=rtol * 1e-3).y[0, -1] / OXYGEN_SHARE


def surroundings():
    vapor, henry_n = water.vapor_pressure(20.0), water.henry_nitrogen(20.0)
    return (293.15, vapor, water.henry_oxygen(20.0), henry_n, 2.0 / water.OXYGEN_MOLAR_MASS,
            henry_n * (1 - OXYGEN_SHARE) * (101325.0 - vapor), water.density(20.0) * air.GRAVITY,
            bubbles.liquid(20.0))


RTOL = 1e-6     # its error is then 1e-7, ours 6e-8


def loop(sizes, depths, rtol=RTOL):
    around = surroundings()
    return np.array([[one_case(d, h, rtol, around) for d in sizes] for h in depths])


def truth():
    oxygen, *_ = follow(SIZES[FEW][None, :], DEPTHS[FEW][:, None], COLUMN, least=2000)
    return 1 - oxygen / OXYGEN_SHARE


def test_equal_accuracy():
    """Ours is at least as close to the truth as the loop it is timed against."""
    exact = truth()
    ours = np.abs(oxygen_sweep(SIZES, DEPTHS, COLUMN)[FEW, FEW] - exact).max()
    theirs = np.abs(loop(SIZES[FEW], DEPTHS[FEW]) - exact).max()
    assert ours <= theirs, (ours, theirs)
    assert np.abs(loop(SIZES[FEW], DEPTHS[FEW], 1e-9) - exact).max() < 1e-5


@pytest.mark.benchmark(group="2,500 bubbles")
def test_sweep(benchmark):
    ours(benchmark, "oxygen from 2,500 bubbles")
    assert benchmark(oxygen_sweep, SIZES, DEPTHS, COLUMN).shape == (50, 50)


@pytest.mark.benchmark(group="64 of those bubbles, one at a time (times 39 for all)")
def test_loop(benchmark):
    library(benchmark, "oxygen from 2,500 bubbles", "scipy solve_ivp, 64 in a loop, scaled", 2500 / 64)
    benchmark.pedantic(loop, (SIZES[FEW], DEPTHS[FEW]), rounds=3)
