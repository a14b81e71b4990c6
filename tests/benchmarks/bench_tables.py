"""How long 200,000 rows of a logger take, and a million soundings read and meshed, beside numpy and scipy.

Run with: pytest -n 0 tests/benchmarks/bench_tables.py
"""

import datetime
import io

import numpy as np
import pytest
from rows import library, ours
from scipy.spatial import Delaunay

from pondcalc.door import survey
from pondcalc.how_much_oxygen import oxygenlog
from pondcalc.how_much_water import basin

ROWS, PLACES = 200_000, 1_000_000


@pytest.fixture(scope="module")
def log():
    start = datetime.datetime(2024, 1, 1)
    rows = [f"{start + datetime.timedelta(minutes=2 * n):%m/%d/%Y %H:%M},{8 + 3 * np.sin(n / 100):.2f},{77 + n % 7}"
            for n in range(ROWS)]
    rows[::1000] = [row.rsplit(",", 1)[0] + "," for row in rows[::1000]]        # now and then no temperature
    return "time,DO (mg/L),temp (F)\n" + "\n".join(rows)


@pytest.fixture(scope="module")
def places():
    rng = np.random.default_rng(1)
    angle, away = rng.uniform(0, 2 * np.pi, PLACES), 100 * np.sqrt(rng.uniform(0, 1, PLACES))
    return 39 + away * np.sin(angle) / 111_000, -96.8 + away * np.cos(angle) / 86_500, 14 * (1 - (away / 102) ** 1.6)


@pytest.fixture(scope="module")
def soundings(places):
    return "lat,lon,depth_ft\n" + "\n".join(f"{a:.7f},{b:.7f},{d:.2f}" for a, b, d in zip(*places, strict=True))


def test_a_log(benchmark, log):
    ours(benchmark, "200,000 rows of a log of oxygen read and checked")
    assert len(benchmark.pedantic(oxygenlog.read_log, (log,), rounds=1).hours) == ROWS


def test_soundings_read_and_meshed_by_libraries(benchmark, soundings):
    library(benchmark, "a million soundings read and meshed", "numpy loadtxt and scipy Delaunay alone")

    def both():
        return Delaunay(np.loadtxt(io.StringIO(soundings), delimiter=",", skiprows=1)[:, :2])
    assert len(benchmark.pedantic(both, rounds=1).simplices) > PLACES


def test_soundings_read_and_meshed(benchmark, soundings):
    ours(benchmark, "a million soundings read and meshed")

    def both():
        read = survey.read_survey(soundings).soundings
        return basin.build_basin(read.x, read.y, read.depth)
    with pytest.warns(UserWarning, match="no shoreline"):
        made = benchmark.pedantic(both, rounds=1)
    assert len(made.x) > 0.99 * PLACES
