"""Speed of the triangulated bed, beside gridding with scipy on the same soundings.

Run with ``pytest tests/benchmarks/bench_basin.py --benchmark-only``. Both routes make a table
of area and volume at 50 levels from soundings and shoreline.
"""

import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import griddata

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from exactshapes import ACRE, dense, star, tracks  # noqa: E402
from rows import library, ours

from pondcalc.how_much_water import basin, basinrange

SIZES = [1_000, 10_000, 100_000]
SHAPE = star(ACRE, 6.0)
BANK = SHAPE.bank(400)


def by_triangles(x, y, depth):
    return basin.depth_table(basin.build_basin(x, y, depth, *BANK), count=50)


def by_gridding(x, y, depth, cells=400):
    """Scipy's linear gridding and counting, told beforehand which cells lie in the pond.

    Cells outside the hull of the points would make it ten times slower at 100,000 soundings, so the
    mask is that of the pond drawn in by 1 %.
    """
    reach = np.abs(np.concatenate(BANK)).max()
    g = np.linspace(-reach, reach, cells)
    at = tuple(np.meshgrid(g, g))
    wet = SHAPE.depth(1.01 * at[0], 1.01 * at[1]) > 0
    grid = griddata((np.append(x, BANK[0]), np.append(y, BANK[1])), np.append(depth, np.zeros(400)),
                    (at[0][wet], at[1][wet]), method="linear", fill_value=0.0)
    cell = (g[1] - g[0])**2
    levels = np.linspace(0, depth.max(), 50)
    return [((grid > z).sum() * cell, np.clip(grid - z, 0, None).sum() * cell) for z in levels]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("route", [by_triangles, by_gridding])
def test_fifty_level_table(benchmark, route, size):
    what = f"volume table of 50 levels from {size:,} soundings"
    if route is by_triangles:
        ours(benchmark, what)
    else:
        library(benchmark, what, "scipy, gridding")
    soundings = dense(SHAPE, size)
    made = benchmark.pedantic(route, soundings, rounds=3, warmup_rounds=1)
    volume = made.volume[0] if route is by_triangles else made[0][1]
    benchmark.extra_info["error_percent"] = 100 * (volume / SHAPE.volume - 1)
    assert volume == pytest.approx(SHAPE.volume, rel=0.03)


@pytest.mark.parametrize("count", [25, 160, 1_000, 20_000])
def test_range(benchmark, count):
    ours(benchmark, f"range of a volume from {count:,} soundings")
    x, y, track = tracks(SHAPE, count, np.random.default_rng(1), lines=max(5, int(np.sqrt(count)) // 2))
    found = benchmark.pedantic(basinrange.survey_range, (x, y, SHAPE.depth(x, y), *BANK, track), rounds=3,
                               warmup_rounds=1)
    assert found.volume.low < SHAPE.volume < found.volume.high
