"""Where in the pond should the diffusers lie, and what will they leave unstirred?

A diffuser lifts water from its own level up. Whatever lies deeper, in the holes
below that level, mostly stays where it is. Depths are in m below the water
surface, positive down; a depth map comes as node arrays or as a grid, with the
bottom area that each value stands for. Values that are not a number are land.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from ..refusals import Caution
from ..units import QuantityError, length_text, quantities
from .plume import plume_spacing

__all__ = ["OFF_BOTTOM", "diffuser_depth", "Places", "suggest_places"]

# m; "about 2 feet off the bottom" (Nebraska Game and Parks Commission, Nebraska Pond Management,
# 2nd ed., p. 87; seen)
OFF_BOTTOM = 0.6096
LEAST_SHARE = 0.6       # of the greatest depth; shallower spots get no diffuser; our choice


@quantities(bottom_depth="m", off_bottom="m", soft_mud="m", gives="m")
def diffuser_depth(bottom_depth, off_bottom=OFF_BOTTOM, soft_mud=0.0):
    """Depth of a diffuser that stands `off_bottom` above the mud.

    Parameters
    ----------
    bottom_depth : float or array, m
        Depth to which a sounding pole or weight sinks.
    off_bottom : float, m, optional
        Height above the top of the mud; 2 ft if left out.
    soft_mud : float or array, m, optional
        Soft mud that the weight sank through; it lies ABOVE the sounded bottom.

    Returns
    -------
    float or array, m

    Raises
    ------
    QuantityError
        If nothing but mud or air is left for the diffuser to stand in.
    """
    if off_bottom < 0 or np.any(np.asarray(soft_mud) < 0):
        raise QuantityError("Height off the bottom and soft mud cannot be below zero; they were "
                            f"{length_text(off_bottom)} and {length_text(np.min(soft_mud))}.")
    level = np.asarray(bottom_depth, float) - soft_mud - off_bottom
    if np.any(level <= 0):
        raise QuantityError(f"A diffuser {length_text(off_bottom)} off a bottom at {length_text(np.min(bottom_depth))}"
                            f", with {length_text(np.max(soft_mud))} of soft mud, would stand out of the water. "
                            "Lower it, or look for a deeper place.")
    return level[()]


def _wet(depth):
    """Which values of a depth map are water; refuses a map without any."""
    wet = np.isfinite(depth) & (depth > 0)
    if not wet.any():
        raise QuantityError("The depth map has no water in it: no depth is above zero. Depths count "
                            "positive downward.")
    return wet


class Places(NamedTuple):
    """Suggested places, the deepest first."""

    x: Any                          # m
    y: Any                          # m
    bottom_depth: Any               # m
    diffuser_depth: Any             # m


@quantities(x="m", y="m", depth="m", spacing="m", off_bottom="m", soft_mud="m",
            gives=("m", "m", "m", "m"))
def suggest_places(x, y, depth, count=1, spacing=None, off_bottom=OFF_BOTTOM, soft_mud=0.0):
    """Suggest places for diffusers: the deepest spot, then the deepest far enough from it, and so on.

    Parameters
    ----------
    x, y : array, m
        Places of the depths; node arrays, or the two axes of a grid.
    depth : array, m
        At the nodes, or on the grid with shape (len(y), len(x)).
    count : int
        How many diffusers.
    spacing : float, m, optional
        Least distance between two; by default the distance at which plumes from the deepest spot
        still draw on their own water (:func:`pondcalc.bubbles_and_oxygen.plume.plume_spacing`).
    off_bottom, soft_mud : float, m, optional
        As in :func:`diffuser_depth`.

    Returns
    -------
    Places
        May hold fewer than `count`, with a warning, when there are not enough deep spots.

    Notes
    -----
    Greedy: each new place is the deepest that keeps its distance. It asks only for depth and
    distance; shore power, hose length, inflows and where fish lie in winter are for the owner.
    """
    x, y, depth = np.asarray(x, float), np.asarray(y, float), np.asarray(depth, float)
    if depth.ndim == 2:
        if depth.shape != (y.size, x.size):
            raise QuantityError(f"A depth grid needs one row for each y and one column for each x: {y.size} "
                                f"by {x.size}; it has {depth.shape[0]} by {depth.shape[1]}.")
        x, y = (axis.ravel() for axis in np.meshgrid(x, y))
        depth = depth.ravel()
    if not x.shape == y.shape == depth.shape:
        raise QuantityError(f"There are {x.size} x, {y.size} y and {depth.size} depths. Give one of each for "
                            "a place.")
    if not (count >= 1 and float(count).is_integer()):
        raise QuantityError(f"The number of diffusers must be 1, 2, 3 ...; it was given {count}.")
    wet = _wet(depth)
    x, y, bottom = x[wet], y[wet], depth[wet]
    spacing = plume_spacing.si(bottom.max()) if spacing is None else spacing
    free = bottom >= LEAST_SHARE * bottom.max()
    chosen = []
    for _ in range(int(count)):
        if not free.any():
            break
        i = np.flatnonzero(free)[np.argmax(bottom[free])]
        chosen.append(i)
        free &= np.hypot(x - x[i], y - y[i]) >= spacing
        free[i] = False
    if len(chosen) < count:
        warnings.warn(Caution(f"Only {len(chosen)} of {int(count)} places keep {length_text(spacing)} apart and reach "
                              f"{100 * LEAST_SHARE:.0f} % of the greatest depth."), stacklevel=3)
    chosen = np.array(chosen)
    x, y, bottom = x[chosen], y[chosen], bottom[chosen]
    return Places(x, y, bottom, diffuser_depth.si(bottom, off_bottom, soft_mud))
