"""Which part of the pond did the soundings see, and what may the rest hold?

Where no sounding lies near, the bed is only a guess drawn between the far soundings and the zero of the bank, and
mostly too shallow a guess. This module finds those places on points spread evenly over the pond (`Spots`), says how
much of the pond they are, how much more or less water may lie there, and where to sound next.

A place is unseen if no sounding lies within :data:`REACH` times the side of a square as large as the pond, or if it
is farther from the bank than nearly all soundings are. Soundings of zero depth, such as those round an island, count
as bank. The hidden bed may be as much deeper or shallower than the nearest sounding as a steep slope from there allows;
banks fall at most 2 down for 1 across. All numbers here are our choice, made with one set of trial ponds and checked
with another (`tests/trials/volume_range.py`).
"""

from typing import Any, NamedTuple

import numpy as np
from scipy.spatial import cKDTree

__all__ = ["Cover", "Spots", "cover", "without_bank"]

REACH = 0.15            # of the side of a square as large as the pond: so far a sounding speaks for the bed round it
INLAND = 1.15           # times as far from the bank as all but the innermost twentieth of the soundings
STEEPEST = 2.0          # banks are not steeper than this, 1 across to 2 down
BANK = 1.2              # times the water cut off toward the bank that the range allows for
STEEP = 1.5             # times the pond's deepest over its half width: the slope that a hidden bed may have
DEEPER = 1.3            # times the deepest sounding: the depth that a hidden place may have
UP, DOWN = 0.7, 0.5     # share of what may hide there that the range allows for
UP_PATCHY = 1.0         # the same where the gaps are large: a hole may be what nobody sounded
WELL = 0.06             # unseen share up to which the usual odds hold in the trials
HOPELESS = 0.45         # unseen share beyond which no odds are given
FEWEST = 20             # soundings for the usual odds; with 12 scattered ones they held in only 6 to 9 of 10 trials
TOO_FEW = 8             # soundings below which no odds are given
BEYOND, FULL = 0.08, 0.8    # without a bank: how far beyond the soundings it lies at least; how full the rim may be
GOOD_ODDS, PATCHY_ODDS = 90, 85     # of 100 trials, in how many the range held at least: see the trials
PLACES = 3              # places to sound next that are named


class Spots(NamedTuple):
    """Points spread over the pond: place (n, 2), area (m2) and depth (m) under flat triangles of each."""

    at: Any
    area: Any
    flat: Any


class Cover(NamedTuple):
    """What the soundings saw; see :func:`cover`."""

    unseen: float       # share of the area
    odds: int           # of 100 ponds like the trial ponds, how many does the range hold at least; 0: not known
    more: float         # m3 that the unseen part may hold beyond the flat triangles
    less: float         # m3 that it may hold less
    bank_cut: float     # m3 that flat triangles cut off if the bed goes on toward the bank as between soundings
    wanted: Any         # (k, 3): east, north and empty radius (m) of the places to sound next
    middle: Any         # east and north (m) of the middle of the pond
    side: float         # side (m) of a square as large as the pond
    count: int          # soundings deeper than zero
    wider: float = 0.0      # m2 by which the pond may be larger than the soundings show; 0 where the bank is known
    narrower: float = 0.0   # m2 by which it may be smaller
    banked: bool = True     # False where no bank is known


def _inland(places, bank, zeros):
    """Distance (m) from the bank or from the nearest sounding of zero depth."""
    away = cKDTree(bank).query(places)[0]
    return np.minimum(away, cKDTree(zeros).query(places)[0]) if len(zeros) else away


def _wanted(at, away, inland, unseen, least):
    """Up to :data:`PLACES` middles of empty parts, widest first."""
    room, found = np.where(unseen > 0, np.minimum(away, inland), 0.0), []
    while len(found) < PLACES and room.max(initial=0.0) > least:
        widest = np.flatnonzero(room > 0.95 * room.max())         # of places as good, the one in their midst
        best = widest[np.hypot(*(at[widest] - at[widest].mean(axis=0)).T).argmin()]
        found.append((*at[best], away[best]))
        room = np.where(np.hypot(*(at - at[best]).T) < 1.2 * away[best], 0.0, room)
    return np.array(found).reshape(-1, 3)


def cover(spots, points, depth, bank):
    """How well soundings cover a pond with a known bank.

    Parameters
    ----------
    spots : Spots
    points, depth : (n, 2) and (n,) array, m
        Soundings.
    bank : (k, 2) array, m
        Points close together along the bank.

    Returns
    -------
    Cover
        `odds` is 90 where the pond is covered well, 85 where the range had to be widened, 0 where too much is unseen.
    """
    wet = depth > 0
    tree, zeros = cKDTree(points[wet]), points[~wet]
    away, nearest = tree.query(spots.at)
    near_depth = depth[wet][nearest]
    inland, deep_in = _inland(spots.at, bank, zeros), _inland(points[wet], bank, zeros)
    whole = float(spots.area.sum())
    side, deepest = np.sqrt(whole), float(np.quantile(depth[wet], 0.95))
    innermost = np.quantile(deep_in, 0.95)
    unseen = np.clip(np.maximum(2 * (away / (REACH * side) - 1), 4 * (inland / innermost - INLAND)), 0, 1)
    limit = deepest * max(DEEPER, inland.max() / deep_in.max())
    slope = STEEP * deepest / inland.max()
    high = np.minimum(np.minimum(near_depth + slope * away, STEEPEST * inland), limit)
    low = np.minimum(np.maximum(near_depth - slope * away, 0.0), spots.flat)
    # toward the bank the bed may go on rising only as it does between soundings: upright banks if it does not rise
    rise = max(0.0, np.polyfit(deep_in, depth[wet], 1)[0]) if np.ptp(deep_in) > 0.01 * side else 0.0
    going_on = np.minimum(np.minimum(near_depth - rise * away, STEEPEST * inland), DEEPER * deepest)
    share = float(unseen @ spots.area / whole)
    few = wet.sum() < FEWEST
    odds = 0 if share > HOPELESS or wet.sum() < TOO_FEW else PATCHY_ODDS if share > WELL or few else GOOD_ODDS
    return Cover(share, odds, float(unseen * np.maximum(high - spots.flat, 0) @ spots.area),
                 float(unseen * (spots.flat - low) @ spots.area),
                 float(np.maximum(going_on - spots.flat, 0) @ spots.area),
                 _wanted(spots.at, away, inland, unseen, 0.5 * REACH * side if share > 0.01 else np.inf),
                 spots.area @ spots.at / whole, float(side), int(wet.sum()))


def without_bank(spots, points, depth, rim):
    """What may lie beyond the outermost soundings, and be dry land between them, where no bank is known.

    The bed beyond an outermost sounding may rise to the bank as flatly as the side of a cone as large and deep as what
    was sounded, and the bank lies at least :data:`BEYOND` of the pond's side away. Land may cut in wherever no
    sounding lies near. No odds are given: nothing in the soundings tells a whole pond from a part of one.
    """
    whole = float(spots.area.sum())
    side, tree = np.sqrt(whole), cKDTree(points)
    deepest = float(np.quantile(depth[depth > 0], 0.95))
    step = np.hypot(*(rim - np.roll(rim, 1, axis=0)).T)
    rim_depth = depth[tree.query(rim)[1]]
    out = side * np.maximum(2 * np.minimum(rim_depth / deepest, 1) ** 2, BEYOND)
    near = side * min(0.7 * REACH, 1 / np.sqrt(len(points)))        # the more soundings, the smaller a gap may be land
    unseen = np.clip(2 * (tree.query(spots.at)[0] / near - 1), 0, 1)
    share = float(unseen @ spots.area / whole)
    return Cover(share, 0, float(step * out @ np.maximum(rim_depth, 0.2 * deepest)) * FULL,
                 float(unseen * spots.flat @ spots.area), 0.0, np.empty((0, 3)), spots.area @ spots.at / whole,
                 float(side), int((depth > 0).sum()), float(step @ out), share * whole, False)
