"""How sure is a volume worked out by hand, without a map of soundings?

Mean depth comes from the deepest place alone, or from depths read with a weighted line; area from a map or
from length times width. Each comes as a range, and the ranges are joined as independent doubts.

Inside the package lengths are m, areas m2, volumes m3.

What this leaves out: where in the pond the water lies. The table by depth is that of a smooth bowl with the
same area, mean depth and deepest place.
"""

from typing import Any, NamedTuple

import numpy as np

from ..limits import not_negative, positive
from ..units import Range, quantities
from .handvolume import means_of_rows, rectangle_area

__all__ = ["HandWater", "MEAN_OVER_DEEPEST", "FEWEST", "mean_depth_range", "mean_depth_from_readings",
           "area_range", "area_from_sides", "hand_water"]

# Mean over deepest. Usual: the 0.4 rule. Low: a quarter of 4,989 surveyed US lakes lie below 0.260; high: one in
# twenty above 0.595 (open data, doi 10.6084/m9.figshare.12722246). On 35 mapped ponds the rule was off by 12.6 % on
# average (Estimating Average Depths of Ponds, 1983), which is well inside this range.
MEAN_OVER_DEEPEST = Range(0.26, 0.4, 0.6)
FEWEST = 5                      # readings below which their mean says no more than the deepest place does
ENOUGH = 12                     # soundings that suffice on an S, by the same abstract
NINE_IN_TEN = 1.645             # standard deviations of a normal spread
# Two straight transects were off by 9 % on average on the same 35 ponds; a normal spread with that average
# (0.798 standard deviations) holds nine in ten within 18.5 %.
BY_TRANSECTS = 0.09 / np.sqrt(2 / np.pi) * NINE_IN_TEN
# Rows read from bank to bank come out low by a tenth on average over the invented ponds of
# tests/trials/volume_range.py: straight lines cut a bowl short, and a short row at the end of a pond counts as much
# as a long one.
ROWS_READ_LOW = 0.1
# Mean depth of the pond over the mean along lines through the middle: cone 2/3, bowl of parabolic section 3/4,
# straight walls 1 (calculus).
THROUGH_THE_MIDDLE = Range(2 / 3, 3 / 4, 1.0)
FULLEST = 0.98                  # mean over deepest of a pond with upright banks and a flat floor, at most
MAP = 0.1                       # share by which an area off a map or a walk with GPS may be off: judgment, no source
ROUND_OR_SQUARE = Range(np.pi / 4, (np.pi / 4 + 1) / 2, 1.0)      # an ellipse to a rectangle, of length times width


class HandWater(NamedTuple):
    """Water worked out by hand: ranges of area, volume and mean depth, and the bowl's table by depth (SI)."""

    area: Any
    volume: Any
    mean_depth: Any
    deepest: float
    level_depth: np.ndarray
    level_area: np.ndarray
    level_volume: np.ndarray


@quantities(deepest="m", gives="m")
def mean_depth_range(deepest):
    """Mean depth (m) as a Range from the deepest place alone, by the 0.4 rule and :data:`MEAN_OVER_DEEPEST`."""
    positive("mean_depth_range", deepest=deepest)
    return Range(*(factor * deepest for factor in MEAN_OVER_DEEPEST))


@quantities(depths="m", gives="m")
def mean_depth_from_readings(depths, through_the_middle=False):
    """Mean depth as a range from depths read at even steps along lines across the pond, from bank to bank.

    Parameters
    ----------
    depths : (n,) array
        m, at least :data:`FEWEST` with two banks a row; rows as for :func:`.handvolume.means_of_rows`.
    through_the_middle : bool, optional
        True if all lines cross in the middle, which gives the deep part too much weight.

    Returns
    -------
    Range
        m. Upward it allows for :data:`ROWS_READ_LOW` more; in trials on invented ponds it held in about nine of ten.

    Raises
    ------
    ValueError
        If there are too few readings, or none is deeper than 0.

    Notes
    -----
    Each row counts the same, long or short. The half-width is 18.5 %, which two transects were good for on 35 mapped
    ponds; with fewer than 12 readings it grows as one over the root of their number (our choice).

    References
    ----------
    Estimating Average Depths of Ponds, 1983, Proc. Annual Conference SEAFWA (abstract).
    """
    depths = np.asarray(depths, float)
    not_negative("mean_depth_from_readings", depths=depths)
    rows = means_of_rows.si(depths)
    count = int((depths > 0).sum()) + 2 * len(rows)
    if count < FEWEST:
        raise ValueError(f"{len(depths)} depths say no more than the deepest place does. Read at least {FEWEST}, "
                         "banks included, better 12 to 24, at even steps from bank to bank, or leave them out.")
    mean = rows.mean()
    doubt = BY_TRANSECTS * max(1.0, np.sqrt(ENOUGH / count))
    weight = THROUGH_THE_MIDDLE if through_the_middle else Range(1.0, 1.0, 1.0)
    return _joined(mean * weight.usual, (doubt, 1 - weight.low / weight.usual),
                   (doubt + ROWS_READ_LOW, weight.high / weight.usual - 1))


@quantities(area="m^2", gives="m^2")
def area_range(area):
    """Range around an area (m2) off a map, a deed or a walk with GPS: a tenth either way (judgment, no source)."""
    positive("area_range", area=area)
    return _joined(area, (MAP,), (MAP,))


@quantities(length="m", width="m", gives="m^2")
def area_from_sides(length, width):
    """Range of area (m2) of a pond of this length and width (m): from an ellipse to a rectangle."""
    positive("area_from_sides", length=length, width=width)
    whole = rectangle_area.si(length, width)
    return Range(*(float(share * whole) for share in ROUND_OR_SQUARE))


def _joined(usual, below, above):
    """Range whose ends join independent shares of doubt below and above."""
    return Range(float(usual * (1 - min(np.hypot.reduce(below), 0.95))), float(usual),
                 float(usual * (1 + np.hypot.reduce(above))))


@quantities(deepest="m")
def hand_water(area, deepest, mean_depth, count=25):
    """Volume as a range, and a table by depth, from area, deepest place and mean depth.

    Parameters
    ----------
    area, mean_depth : Range
        m2 and m.
    deepest : float
        m.
    count : int, optional
        Levels of the table.

    Returns
    -------
    HandWater
        SI numbers. No mean depth exceeds :data:`FULLEST` of the deepest.

    Notes
    -----
    A bowl whose area shrinks as (1 - z/D)^p has mean depth D/(p + 1) and below depth z the share
    (1 - z/D)^(p + 1) of its volume.
    """
    positive("hand_water", deepest=deepest)
    mean = Range(*(float(min(max(end, 0.1 * deepest), FULLEST * deepest)) for end in mean_depth))
    volume = _joined(area.usual * mean.usual, (1 - area.low / area.usual, 1 - mean.low / mean.usual),
                     (area.high / area.usual - 1, mean.high / mean.usual - 1))
    depth, power = np.linspace(0.0, deepest, count), deepest / mean.usual - 1
    return HandWater(area, volume, mean, float(deepest), depth, area.usual * (1 - depth / deepest) ** power,
                     volume.usual * (1 - depth / deepest) ** (power + 1))
