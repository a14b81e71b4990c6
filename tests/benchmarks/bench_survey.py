"""How long 100,000 soundings take, beside numpy reading the bare numbers of the same text.

Run with: pytest -n 0 tests/benchmarks/bench_survey.py
"""

import io

import numpy as np
import pytest
from rows import library, ours

from pondcalc.how_much_water.survey import read_survey

COUNT = 100_000


@pytest.fixture(scope="module")
def text():
    rng = np.random.default_rng(1)
    angle, away = rng.uniform(0, 2 * np.pi, COUNT), 100 * np.sqrt(rng.uniform(0, 1, COUNT))
    lat, lon = 39 + away * np.sin(angle) / 111_000, -96.8 + away * np.cos(angle) / 86_500
    depth = 14 * (1 - (away / 102) ** 1.6)
    rows = [f"{a:.7f},{b:.7f},{d:.2f},T{i // 5000}"
            for i, (a, b, d) in enumerate(zip(lat, lon, depth, strict=True))]
    return "lat,lon,depth_ft,track\n" + "\n".join(rows)


@pytest.fixture(scope="module")
def bank():
    angle = np.linspace(0, 2 * np.pi, 1000, endpoint=False)
    lat, lon = 39 + 101 * np.sin(angle) / 111_000, -96.8 + 101 * np.cos(angle) / 86_500
    return "lat,lon\n" + "\n".join(f"{a:.7f},{b:.7f}" for a, b in zip(lat, lon, strict=True))


def test_numpy_alone(benchmark, text):
    library(benchmark, "100,000 soundings read and checked", "numpy loadtxt, reading alone")
    columns = benchmark(lambda: np.loadtxt(io.StringIO(text), delimiter=",", skiprows=1, usecols=(0, 1, 2)))
    assert len(columns) == COUNT


def test_clean_file(benchmark, text):
    ours(benchmark, "100,000 soundings read and checked")
    assert len(benchmark(read_survey, text).soundings) > 0.99 * COUNT


def test_clean_file_with_a_shoreline_of_1000_points(benchmark, text, bank):
    ours(benchmark, "the same with a shoreline of 1,000 points")
    assert len(benchmark(read_survey, text, bank).soundings) > 0.99 * COUNT


def test_file_with_one_word_among_the_numbers(benchmark, text):
    ours(benchmark, "the same with one word among the numbers")
    survey = benchmark(read_survey, text + "\n39.0,-96.8,weeds,T1\n")
    assert any("weeds" in d.reason for d in survey.dropped)
