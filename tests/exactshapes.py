"""Ponds whose area and volume are known by calculus, and invented surveys of them, for the tests."""

from typing import Any, NamedTuple

import numpy as np

ACRE, FOOT = 4046.8564224, 0.3048       # m2, m; exact by definition of the international foot


class Shape(NamedTuple):
    """A pond: depth (m) as a function of x, y (m), its bank as `count` points, exact volume and area."""

    depth: Any
    bank: Any
    volume: float
    area: float
    deepest: float


def _round(area, deepest, profile, share):
    radius = np.sqrt(area / np.pi)

    def bank(count):
        turn = np.arange(count) * 2 * np.pi / count
        return radius * np.cos(turn), radius * np.sin(turn)

    def depth(x, y):
        return deepest * profile(np.minimum(np.hypot(x, y) / radius, 1.0))
    return Shape(depth, bank, share * area * deepest, area, deepest)


def cone(area, deepest):
    """A = A0 (1 - z/D)^2, V = A0 D/3."""
    return _round(area, deepest, lambda q: 1 - q, 1 / 3)


def paraboloid(area, deepest):
    """A = A0 (1 - z/D), V = A0 D/2."""
    return _round(area, deepest, lambda q: 1 - q**2, 1 / 2)


def half_ellipsoid(area, deepest):
    """A = A0 (1 - (z/D)^2), V = 2 A0 D/3."""
    return _round(area, deepest, lambda q: np.sqrt(1 - q**2), 2 / 3)


def stock_pond(area, deepest):
    """Square, banks falling 1 in 3 to a flat floor; the prismoid D/6 (A + 4B + C) is exact."""
    side = np.sqrt(area)
    floor = side - 6 * deepest
    assert floor > 0

    def bank(count):
        step = np.linspace(-side / 2, side / 2, count // 4, endpoint=False)
        edge = np.full(count // 4, side / 2)
        return np.concatenate([step, edge, -step, -edge]), np.concatenate([-edge, step, edge, -step])

    def depth(x, y):
        return np.clip((side / 2 - np.maximum(np.abs(x), np.abs(y))) / 3, 0, deepest)
    volume = deepest / 6 * (side**2 + 4 * ((side + floor) / 2)**2 + floor**2)
    return Shape(depth, bank, volume, side**2, deepest)


def star(area, deepest):
    """Irregular bank r = R(t), depth D (1 - (r/R)^1.6)(1 + 0.4 (r/R) cos(t - 1)): lopsided, with bays.

    With q = r/R the volume is D times the integral of R^2 q (1 - q^1.6)(1 + 0.4 q cos(t - 1))
    over q and t. Over q: 1/2 - 1/3.6 = 2/9 and 1/3 - 1/4.6 = 1.6/13.8. Over t: the means of R^2 and
    R^2 cos(t - 1), to rounding by equal steps because R is a short sum of cosines.
    """
    turn = np.arange(720) * 2 * np.pi / 720

    def reach(t):
        return 1 + 0.2 * np.cos(t + 2) + 0.15 * np.cos(2 * t) + 0.1 * np.cos(3 * t + 1) + 0.08 * np.cos(5 * t)
    scale = np.sqrt(area / (np.pi * np.mean(reach(turn)**2)))

    def bank(count):
        t = np.arange(count) * 2 * np.pi / count
        return scale * reach(t) * np.cos(t), scale * reach(t) * np.sin(t)

    def depth(x, y):
        t = np.arctan2(y, x)
        q = np.minimum(np.hypot(x, y) / (scale * reach(t)), 1.0)
        return deepest * (1 - q**1.6) * (1 + 0.4 * q * np.cos(t - 1))
    square = scale**2 * reach(turn)**2
    volume = 2 * np.pi * deepest * (2 / 9 * np.mean(square)
                                    + 0.4 * 1.6 / 13.8 * np.mean(square * np.cos(turn - 1)))
    return Shape(depth, bank, volume, area, deepest)


SHAPES = {"cone": cone, "paraboloid": paraboloid, "half-ellipsoid": half_ellipsoid, "stock pond": stock_pond,
          "star": star}


def _inside(shape, x, y):
    return shape.depth(x, y) > 0


def scattered(shape, count, rng):
    """`count` places anywhere in the pond."""
    reach = np.abs(np.concatenate(shape.bank(400))).max()
    x, y = rng.uniform(-reach, reach, (2, 20 * count))
    keep = np.flatnonzero(_inside(shape, x, y))[:count]
    return x[keep], y[keep], None


def _turned(shape, rng):
    """Extent of the pond along and across a random direction, and how to turn points back."""
    angle = rng.uniform(0, np.pi)
    c, s = np.cos(angle), np.sin(angle)
    x, y = shape.bank(400)
    along, across = x * c + y * s, y * c - x * s
    return along, across, lambda u, v: (u * c - v * s, u * s + v * c)


def tracks(shape, count, rng, lines=5):
    """Parallel lines across the pond in a random direction, a fifth of the soundings on each."""
    along, across, back = _turned(shape, rng)
    shift = rng.uniform(-0.25, 0.25)
    found = []
    for k in range(lines):
        v = across.min() + (k + 0.5 + shift) / lines * np.ptp(across)
        u = np.linspace(along.min(), along.max(), 2001)
        x, y = back(u, np.full_like(u, v))
        water = np.flatnonzero(_inside(shape, x, y))
        at = (np.arange(count // lines) + rng.uniform(0.2, 0.8, count // lines)) / (count // lines)
        pick = water[(at * len(water)).astype(int)]
        found.append(np.column_stack([x[pick], y[pick], np.full(len(pick), k)]))
    return np.vstack(found).T


def s_pattern(shape, count, rng, legs=4):
    """One winding line through the pond with evenly spaced soundings."""
    along, across, back = _turned(shape, rng)
    t = np.linspace(0, 1, 4001)
    v = across.min() + (0.06 + 0.88 * t) * np.ptp(across)
    u = along.mean() + 0.48 * np.ptp(along) * np.sin(np.pi * (legs * t + rng.uniform(0, 2)))
    x, y = back(u, v)
    water = np.flatnonzero(_inside(shape, x, y))
    pick = water[np.linspace(0, len(water) - 1, count).astype(int)]
    return x[pick], y[pick], np.zeros(count)


PATTERNS = {"tracks": tracks, "S": s_pattern, "scattered": scattered}


def dense(shape, count, seed=1):
    """Dense soundings without error, for checks against the exact volume."""
    x, y, _ = scattered(shape, count, np.random.default_rng(seed))
    return x, y, shape.depth(x, y)
