"""Invented ponds on a fine grid and invented surveys of them, for trials of the volume range.

Nothing here comes from the package: a pond is a depth in each cell of a grid, its volume the sum over the cells
(a cell is about a two-hundredth of the pond's width), its bank the grid's own zero contour. The numbers of each
family are drawn from the generator it is given, so the same seed makes the same pond. Sizes run from a third of an
acre to six acres and depths from 1.5 to 8 m, as farm ponds have (our choice).
"""

from typing import Any, NamedTuple

import contourpy
import numpy as np
from scipy import ndimage

ACRE = 4046.8564224     # m2
HALF_FOOT = 0.1524      # m, to which readings are rounded
CELLS = 180             # across the longer side


class Pond(NamedTuple):
    """Cells of one pond: positions of the wet ones (m), depth and distance from the bank there, and the rest."""

    x: Any
    y: Any
    depth: Any
    inland: Any         # distance of each wet cell from the nearest bank, islands included
    cell: float         # side of a cell
    ring: Any           # outer bank, (n, 2)
    islands: Any        # banks of islands, list of (n, 2)
    volume: float
    area: float


def _plane(wide=1.0, high=1.0):
    side = max(wide, high) * 2.3 / CELLS
    across = np.arange(-1.15 * wide, 1.15 * wide + side, side)
    up = np.arange(-1.15 * high, 1.15 * high + side, side)
    return (*np.meshgrid(across, up), side)


def _lobes(rng, strength, orders):
    """Wet where the distance from the middle is below a sum of cosines; largest reach about 1."""
    x, y, side = _plane()
    turn, reach = np.arctan2(y, x), np.ones_like(x)
    for order in orders:
        reach = reach + strength * rng.uniform(0.4, 1) / np.sqrt(order) * np.cos(order * turn + rng.uniform(0, 7))
    stretch = rng.uniform(0.65, 1.0)
    reach = reach / reach.max()
    return x, y, np.hypot(x, y / stretch) < reach, side


def _stroke(rng, arms, width):
    """Wet within a width of one or more bent lines from the middle: a long pond, or a valley with arms."""
    x, y, side = _plane()
    wet, turn = np.zeros_like(x, bool), rng.uniform(0, 7)
    for arm in range(arms):
        heading, at = turn + 2 * np.pi * arm / arms + rng.uniform(-0.3, 0.3), np.zeros(2)
        bend = rng.uniform(-0.04, 0.04)
        for step in range(28):
            at = at + 0.032 * np.array([np.cos(heading), np.sin(heading)])
            heading += bend
            wet |= np.hypot(x - at[0], y - at[1]) < width * (1 - 0.4 * step / 28)
    return x, y, wet, side


def _box(rng, low=0.35, wedge=False):
    """A rectangle, or a triangle that is widest at the dam (its right end)."""
    high = rng.uniform(low, 0.9)
    x, y, side = _plane(1.0, high)
    if wedge:
        return x, y, (np.abs(x) < 1) & (np.abs(y) < high * (0.12 + 0.88 * (x + 1) / 2)), side
    return x, y, (np.abs(x) < 1) & (np.abs(y) < high), side


def _taper(inland, power):
    q = np.clip(inland / inland.max(), 0, 1)
    return 1 - (1 - q) ** power


def _bump(x, y, middle, width):
    return np.exp(-((x - middle[0]) ** 2 + (y - middle[1]) ** 2) / (2 * width ** 2))


def _far_apart(rng, x, y, inland):
    """Two places well inside the pond and far from each other."""
    deep = np.flatnonzero(inland.ravel() > 0.45 * inland.max())
    pairs = rng.choice(deep, (2, 60))
    apart = np.hypot(*(np.array([x.ravel()[pairs[0]], y.ravel()[pairs[0]]])
                       - [x.ravel()[pairs[1]], y.ravel()[pairs[1]]]))
    best = pairs[:, apart.argmax()]
    return [(x.ravel()[k], y.ravel()[k]) for k in best]


def kettle(rng):
    """Round to oval; bowl to bathtub."""
    x, y, wet, side = _lobes(rng, 0.08, (2, 3, 5))
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1.0, 2.5))


def lopsided(rng):
    """Oval with the deepest place near one bank."""
    x, y, wet, side = _lobes(rng, 0.12, (2, 3, 4))
    slope = rng.uniform(0.3, 0.6)
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1.2, 2.2)) * (1 + slope * (x + y))


def dam(rng):
    """A flooded valley: a wedge that is deepest at the dam."""
    x, y, wet, side = _box(rng, wedge=True)
    bank = rng.uniform(0.15, 0.5)
    return x, y, wet, side, lambda d: (0.1 + 0.9 * (x + 1) / 2) * np.minimum(1, d / (bank * d.max()))


def dug(rng):
    """A dug rectangle with sloping sides and a flat floor."""
    x, y, wet, side = _box(rng)
    bank = rng.uniform(0.3, 0.8)
    return x, y, wet, side, lambda d: np.minimum(1, d / (bank * d.max()))


def steep(rng):
    """One depth with nearly upright banks."""
    x, y, wet, side = (_box(rng) if rng.random() < 0.5 else _lobes(rng, 0.08, (2, 3)))
    bank = rng.uniform(0.05, 0.2)
    return x, y, wet, side, lambda d: np.minimum(1, d / (bank * d.max()))


def two_basins(rng):
    """Two hollows with a sill between them."""
    x, y, wet, side = (_lobes(rng, 0.15, (2, 3)) if rng.random() < 0.6 else _stroke(rng, 2, 0.3))
    share, bank = rng.uniform(0.5, 1), rng.uniform(0.3, 0.7)

    def bed(d):
        one, two = _far_apart(rng, x, y, d)
        return np.minimum(1, d / (bank * d.max())) * (0.25 + _bump(x, y, one, 0.25) + share * _bump(x, y, two, 0.25))
    return x, y, wet, side, bed


def coves(rng):
    """A strongly indented bank."""
    x, y, wet, side = _lobes(rng, 0.45, (3, 4, 5))
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1.0, 2.0))


def arms(rng):
    """A reservoir with three arms, deeper where they meet."""
    x, y, wet, side = _stroke(rng, 3, 0.2)
    fall = rng.uniform(0.3, 0.7)
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1, 2)) * (1 - fall * np.hypot(x, y))


def narrow(rng):
    """Long, narrow and bent."""
    x, y, wet, side = _stroke(rng, 2, rng.uniform(0.1, 0.18))
    lean = rng.uniform(-0.4, 0.4)
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1, 2)) * (1 + lean * x)


def hole(rng):
    """A shallow pond with one deep hole away from the middle."""
    x, y, wet, side = _lobes(rng, 0.12, (2, 3, 4))
    shelf, width = rng.uniform(0.3, 0.5), rng.uniform(0.12, 0.2)

    def bed(d):
        one, _ = _far_apart(rng, x, y, d)
        return np.minimum(1, d / (0.25 * d.max())) * (shelf + (1 - shelf) * _bump(x, y, one, width))
    return x, y, wet, side, bed


def island(rng):
    """Oval with an island of 3 to 12 % of its width across."""
    x, y, wet, side = _lobes(rng, 0.1, (2, 3))
    at, size = rng.uniform(-0.25, 0.25, 2), rng.uniform(0.1, 0.22)
    wet &= np.hypot(x - at[0], y - at[1]) > size
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1, 2))


def rough(rng):
    """Oval with old ditches, mounds and hollows."""
    x, y, wet, side = _lobes(rng, 0.2, (2, 3, 4))
    noise = ndimage.gaussian_filter(rng.normal(size=x.shape), 0.16 / side)
    return x, y, wet, side, lambda d: _taper(d, 1.6) * np.exp(0.35 * noise / noise.std())


def ell(rng):
    """Held out: a dug pond of two arms at a right angle, one deeper than the other."""
    x, y, side = _plane()
    across, up = rng.uniform(-0.2, 0.3, 2)
    wet = (np.abs(x) < 1) & (np.abs(y) < 1) & ~((x > across) & (y > up))
    shallow, bank = rng.uniform(0.4, 0.8), rng.uniform(0.2, 0.6)
    return x, y, wet, side, lambda d: np.where(y > up, shallow, 1) * np.minimum(1, d / (bank * d.max()))


def terrace(rng):
    """Held out: a wide shallow shelf on one side, then a step down to a flat floor."""
    x, y, wet, side = _lobes(rng, 0.12, (2, 3))
    edge, shelf = rng.uniform(-0.3, 0.3), rng.uniform(0.3, 0.5)
    return x, y, wet, side, lambda d: np.minimum(1, d / (0.3 * d.max())) * (shelf + (1 - shelf)
                                                                          * np.clip((x - edge) / 0.15, 0, 1))


def neck(rng):
    """Held out: two round ponds joined by a narrow neck."""
    x, y, side = _plane(1.0, 0.6)
    one, two, wide = rng.uniform(0.3, 0.45), rng.uniform(0.3, 0.45), rng.uniform(0.08, 0.16)
    wet = (np.hypot(x + 0.5, y) < one) | (np.hypot(x - 0.5, y) < two) | ((np.abs(x) < 0.5) & (np.abs(y) < wide))
    other = rng.uniform(0.5, 1)
    return x, y, wet, side, lambda d: _taper(d, rng.uniform(1, 2)) * np.where(x > 0, other, 1)


def mound(rng):
    """Held out: shallow in the middle, deepest in a ring, as where earth was heaped for an island never finished."""
    x, y, wet, side = _lobes(rng, 0.1, (2, 3))
    top = rng.uniform(0.4, 0.8)
    return x, y, wet, side, lambda d: _taper(d, 1.8) * (1 - top * _bump(x, y, rng.uniform(-0.2, 0.2, 2), 0.22))


HELD_OUT = {f.__name__: f for f in (ell, terrace, neck, mound)}     # played no part in choosing any number
FAMILIES = {f.__name__: f for f in (kettle, lopsided, dam, dug, steep, two_basins, coves, arms, narrow, hole, island,
                                    rough)}


def make(family, rng):
    """A pond of one family, of random size and depth."""
    x, y, wet, side, bed = (FAMILIES | HELD_OUT)[family](rng)
    label, _ = ndimage.label(wet)
    wet = label == 1 + np.argmax(np.bincount(label.ravel())[1:])
    scale = np.sqrt(np.exp(rng.uniform(np.log(0.35), np.log(6))) * ACRE / (wet.sum() * side ** 2))
    inland = np.where(wet, ndimage.distance_transform_edt(wet) - 0.5, 0) * side
    shape = np.where(wet, np.maximum(bed(inland), 0.01), 0)
    area = wet.sum() * (side * scale) ** 2
    deepest = np.clip(rng.uniform(0.04, 0.11) * np.sqrt(area), 1.5, 8)
    depth = shape / shape.max() * deepest
    rings = contourpy.contour_generator(x * scale, y * scale, wet.astype(float)).lines(0.5)
    rings = sorted((r[:-1] for r in rings if len(r) > 8), key=lambda r: -np.ptp(r, axis=0).max())
    cell = side * scale
    return Pond(x[wet] * scale, y[wet] * scale, depth[wet], inland[wet] * scale, cell, rings[0], rings[1:],
                float(depth.sum() * cell ** 2), float(area))


# ---- where the boat goes: each gives the wet cells it may use, or cells in order with a track name ----

def ends(pond, rng, along=None):
    """Each wet cell's distance along a random direction, or a given one, and across it (m)."""
    angle = rng.uniform(0, 2 * np.pi) if along is None else along
    u, v = np.cos(angle), np.sin(angle)
    return pond.x * u + pond.y * v, pond.y * u - pond.x * v


def _long_way(pond):
    spread = np.linalg.eigh(np.cov(pond.x, pond.y))[1][:, -1]
    return float(np.arctan2(spread[1], spread[0]))


def _spread_over(pond, allowed, count, rng, lines=None):
    """`count` cells anywhere among the allowed, or on `lines` parallel lines through them."""
    if lines is None:
        pick = rng.choice(np.flatnonzero(allowed), min(count, allowed.sum()), replace=False)
        return pick, None
    u, v = ends(pond, rng)
    low, high = v[allowed].min(), v[allowed].max()
    shift, cells, names = rng.uniform(0.3, 0.7), [], []
    for k in range(lines):
        on = np.flatnonzero(allowed & (np.abs(v - low - (k + shift) / lines * (high - low)) < pond.cell))
        if len(on) < 3:
            continue
        on = on[np.argsort(u[on])]
        at = on[np.unique(((np.arange(count // lines) + 0.5) / (count // lines) * len(on)).astype(int))]
        cells.append(at)
        names.append(np.full(len(at), k))
    return np.concatenate(cells), np.concatenate(names)


def _either(pond, allowed, rng, count=None):
    count = count or int(rng.integers(25, 50))
    return _spread_over(pond, allowed, count, rng, None if rng.random() < 0.5 else int(rng.integers(4, 7)))


def _everywhere(pond):
    return np.ones(len(pond.x), bool)


def lines(pond, rng):
    """Five to nine parallel lines over the whole pond."""
    return _spread_over(pond, _everywhere(pond), int(rng.integers(30, 80)), rng, int(rng.integers(5, 10)))


def scattered(pond, rng):
    """Thirty to sixty places anywhere."""
    return _spread_over(pond, _everywhere(pond), int(rng.integers(30, 60)), rng)


def winding(pond, rng):
    """One S of five to seven legs over the whole pond."""
    u, v = ends(pond, rng, _long_way(pond) + np.pi / 2)
    legs = int(rng.integers(5, 8))
    t = np.linspace(0.03, 0.97, 600)
    across = v.min() + t * np.ptp(v)
    cells = []
    for here, phase in zip(across, np.pi * legs * t, strict=True):
        on = np.flatnonzero(np.abs(v - here) < pond.cell)
        if len(on):
            wish = u[on].min() + (0.5 + 0.46 * np.sin(phase)) * np.ptp(u[on])
            cells.append(on[np.abs(u[on] - wish).argmin()])
    cells = np.array(cells)
    step = np.concatenate([[0], np.hypot(np.diff(pond.x[cells]), np.diff(pond.y[cells])).cumsum()])
    pick = np.searchsorted(step, np.linspace(0, step[-1], int(rng.integers(30, 60))))
    return np.unique(cells[np.minimum(pick, len(cells) - 1)]), None


def grid(pond, rng):
    """A square grid of about forty places."""
    side = np.sqrt(pond.area / rng.integers(30, 60))
    u, v = ends(pond, rng)
    key = np.round(u / side) * 10_000 + np.round(v / side)
    off = np.hypot(u / side - np.round(u / side), v / side - np.round(v / side))
    order = np.lexsort((off, key))
    first = np.r_[True, np.diff(key[order]) != 0] & (off[order] < 0.1)
    return order[first], None


def _end_share(pond, rng, share, along=None):
    u, _ = ends(pond, rng, along)
    return u >= np.quantile(u, 1 - share)


def corner(pond, rng):
    """Only the outermost fifth to third in one direction."""
    return _either(pond, _end_share(pond, rng, rng.uniform(0.2, 0.35)), rng)


def half(pond, rng):
    """Only one half."""
    return _either(pond, _end_share(pond, rng, rng.uniform(0.4, 0.6)), rng)


def end_missed(pond, rng):
    """A fifth to a third at one end, or a cove, left out."""
    return _either(pond, _end_share(pond, rng, rng.uniform(0.66, 0.8)), rng)


def middle(pond, rng):
    """Only the middle half or less."""
    away = np.hypot(pond.x - pond.x.mean(), pond.y - pond.y.mean())
    return _either(pond, away <= np.quantile(away, rng.uniform(0.2, 0.5)), rng)


def off_the_bank(pond, rng):
    """Nothing within a third of the way from the bank."""
    return _either(pond, pond.inland > rng.uniform(0.25, 0.45) * pond.inland.max(), rng)


def bank_only(pond, rng):
    """Only along the bank."""
    return _either(pond, pond.inland < rng.uniform(0.25, 0.4) * pond.inland.max(), rng)


def one_track(pond, rng):
    """One pass from end to end with a slight bend."""
    u, v = ends(pond, rng, _long_way(pond))
    bow = rng.uniform(-0.12, 0.12) * np.ptp(u)
    along = np.linspace(u.min() + 0.05 * np.ptp(u), u.max() - 0.05 * np.ptp(u), int(rng.integers(20, 45)))
    want = np.median(v) + bow * np.cos(2 * np.pi * (along - u.mean()) / np.ptp(u)) \
        + rng.uniform(0.02, 0.04) * np.ptp(u) * np.sin(9 * np.pi * (along - u.mean()) / np.ptp(u))
    return np.unique([np.argmin((u - a) ** 2 + (v - w) ** 2) for a, w in zip(along, want, strict=True)]), None


def crossed(pond, rng):
    """Two lines through the middle."""
    u, v = ends(pond, rng)
    cells, names = [], []
    for k, (here, across) in enumerate(((u, v), (v, u))):
        on = np.flatnonzero(np.abs(across - np.median(across)) < pond.cell)
        on = on[np.argsort(here[on])]
        at = on[(np.linspace(0.03, 0.97, int(rng.integers(10, 25))) * (len(on) - 1)).astype(int)]
        cells.append(at)
        names.append(np.full(len(at), k))
    cells, first = np.unique(np.concatenate(cells), return_index=True)
    return cells, np.concatenate(names)[first]


def hole_missed(pond, rng):
    """Everywhere but in the deepest tenth to quarter."""
    return _either(pond, pond.depth < np.quantile(pond.depth, rng.uniform(0.75, 0.9)), rng)


def few(pond, rng):
    """Seven to fifteen places anywhere."""
    return _spread_over(pond, _everywhere(pond), int(rng.integers(7, 16)), rng)


GOOD = {f.__name__: f for f in (lines, scattered, winding, grid)}
PATCHY = {f.__name__: f for f in (corner, half, end_missed, middle, off_the_bank, bank_only, one_track, crossed,
                                  hole_missed, few)}


def survey(pond, design, rng):
    """Soundings and bank with the errors that the range is told of: arrays x, y, depth, bank x, bank y, and tracks.

    Readings are off together (nine in ten within 0.05 m) and singly (within 0.07 m before rounding to the half foot);
    each eighth of the bank has drifted by itself (nine in ten within 3 m).
    """
    cells, track = design(pond, rng)
    x, y = (np.array(v[cells]) for v in (pond.x, pond.y))
    z = pond.depth[cells] + rng.normal(0, 0.05 / 1.645) + rng.normal(0, 0.07 / 1.645, len(cells))
    if pond.islands:            # the zeros of the island's edge, written down as soundings
        edge = np.vstack([r[:: max(1, len(r) // 14)] for r in pond.islands])
        x, y, z = np.append(x, edge[:, 0]), np.append(y, edge[:, 1]), np.append(z, np.zeros(len(edge)))
        track = None if track is None else np.append(track, np.full(len(edge), -1))
    z = np.maximum(np.round(z / HALF_FOOT) * HALF_FOOT, 0)
    pick = np.linspace(0, len(pond.ring), int(rng.integers(40, 90)), endpoint=False).astype(int)
    bank = pond.ring[pick]
    drift = rng.normal(0, 3 / np.sqrt(-2 * np.log(0.1)), (8, 2))
    bank = bank + drift[(8 * np.arange(len(bank)) / len(bank)).astype(int)]
    return x, y, z, *bank.T, track
