"""How much water is in the pond, worked out by hand, and how sure is that?

The rules that need only a tape, a few depths and paper. Each is exact for one kind of basin and wrong for the others,
and that is what makes them worth comparing; :mod:`pondcalc.how_much_water.basin` does the job from soundings.

- frustum: exact when the basin is a cone or a pyramid;
- average end area (trapezoid): exact when area falls in a straight line with depth (a bowl of parabolic section);
  never less than the frustum;
- prismoidal and Simpson: exact when area is a quadratic of depth (cone, bowl, half an egg, a dug pond with even
  slopes);
- 0.4 rule: a rough average for farm ponds, off by an eighth on average (see :func:`four_tenths_rule`).

Without a map of soundings mean depth comes from the deepest place alone, or from depths read with a weighted line;
area from a map or from length times width. Each comes as a range, joined as independent doubts. Left out: where in the
pond the water lies. The table by depth is that of a smooth bowl with the same area, mean depth and deepest place.
"""

from typing import Any, NamedTuple

import numpy as np

from ..units import Range, not_negative, positive, quantities


def _contours(owner, depth, area):
    depth, area = np.asarray(depth, float), np.asarray(area, float)
    if depth.ndim != 1 or depth.shape != area.shape or len(depth) < 2:
        raise ValueError("each contour needs one depth and one area, and there must be at least two; there "
                         f"are {depth.size} depths and {area.size} areas.")
    if not (np.diff(depth) > 0).all():
        raise ValueError(f"contour depths must increase from the surface down; they are {depth.tolist()} m.")
    not_negative(owner, depths=depth, areas=area)
    return np.diff(depth), area


@quantities(area="m^2", max_depth="m", gives="m^3")
def four_tenths_rule(area, max_depth):
    """Rough volume: 0.4 x surface area x greatest depth.

    area (float, m2): Water surface of the full pond.
    max_depth (float, m): Greatest depth, at the dam of a dammed pond.
    Returns: float, m3.

    On 35 mapped ponds the mean depth found this way was off by 12.6 % on average (Estimating
    Average Depths of Ponds, 1983). A cone has 1/3, a parabolic bowl 1/2. In surveyed US lakes
    the median is 0.355, with half of them between 0.26 and 0.44 (4,989 lakes, open data below).
    References: USDA NRCS, 1997, Ponds - Planning, Design, Construction, Agriculture Handbook 590 (the rule; from
        memory, not verified). Estimating Average Depths of Ponds, 1983, Proc. Annual Conference SEAFWA (abstract).
        Depth and mean depth of US lakes, open data, doi 10.6084/m9.figshare.12722246.
    """
    not_negative("four_tenths_rule", area=area, max_depth=max_depth)
    return MEAN_OVER_DEEPEST.usual * area * max_depth


@quantities(area="m^2", mean_depth="m", gives="m^3")
def volume_from_mean_depth(area, mean_depth):
    """Volume (m3) of a pond of surface area (m2) and mean depth (m). Round only the answer."""
    not_negative("volume_from_mean_depth", area=area, mean_depth=mean_depth)
    return area * mean_depth


@quantities(depth="m", area="m^2", gives="m^3")
def average_end_area(depth, area):
    """Volume by average end areas: each layer is its thickness times the mean of its two areas.

    depth ((n,) array, m): Depth of each contour, increasing, at least two; uneven steps are allowed.
    area ((n,) array, m2): Area inside each contour.
    Returns: float, m3.
    References: L. Håkanson, 1981, A Manual of Lake Morphometry, Springer (linear approximation).
    """
    h, a = _contours("average_end_area", depth, area)
    return float(np.sum(h * (a[:-1] + a[1:]) / 2))


@quantities(depth="m", area="m^2", gives="m^3")
def frustum(depth, area):
    """Volume by frustums: each layer is h/3 (A1 + A2 + sqrt(A1 A2)), a cut cone.

    Parameters and result as for :func:`average_end_area`; never larger than that.

    References: C. M. Taube, 2000, Three methods for computing the volume of a lake, ch. 12 in J. C. Schneider (ed.),
        Manual of Fisheries Survey Methods II, Michigan DNR Fisheries Special Report 25.
    """
    h, a = _contours("frustum", depth, area)
    return float(np.sum(h / 3 * (a[:-1] + a[1:] + np.sqrt(a[:-1] * a[1:]))))


@quantities(depth="m", area="m^2", gives="m^3")
def simpson(depth, area):
    """Volume by Simpson's rule over an even number of equal layers.

    Parameters and result as for :func:`average_end_area`.

    Raises ValueError: If the number of layers is odd or their thickness differs.
    """
    h, a = _contours("simpson", depth, area)
    if len(h) % 2 or np.ptp(h) > 1e-6 * h[0]:
        raise ValueError(f"Simpson's rule needs an even number of equal layers; there are {len(h)}, from "
                         f"{h.min():g} to {h.max():g} m thick. Use average end areas instead.")
    return float(h.mean() / 3 * (a[0] + 4 * a[1:-1:2].sum() + 2 * a[2:-1:2].sum() + a[-1]))


@quantities(depth="m", top_area="m^2", middle_area="m^2", bottom_area="m^2", gives="m^3")
def prismoidal(depth, top_area, middle_area, bottom_area):
    """Volume of a dug pond: depth/6 x (top + 4 x middle + bottom area).

    depth (float, m): From the water surface to the floor.
    top_area, middle_area, bottom_area (float, m2): Area at the surface, at half the depth (measure it; it is not the
        mean of the others) and of the floor.
    Returns: float, m3.
    References: USDA NRCS, 1997, Ponds - Planning, Design, Construction, Agriculture Handbook 590, excavated ponds
        (from memory, not verified); the formula itself is Simpson's rule.
    """
    not_negative("prismoidal", depth=depth, top_area=top_area, middle_area=middle_area, bottom_area=bottom_area)
    return depth / 6 * (top_area + 4 * middle_area + bottom_area)


@quantities(depths="m", gives="m")
def means_of_rows(depths):
    """Mean depth of each row of evenly spaced depths from bank to bank, by trapezoids.

    depths ((n,) array, m): All rows, one after the other. A zero is a bank: it ends one row and begins the next,
        however often it is written, and a bank that is missing at an end lies one step beyond it.
    Returns: (rows,) array, m.

    Under straight lines between n depths at even steps, banks included, the mean is their sum over (n - 1): the two
    zeros stand for half a step each.
    """
    depths = np.atleast_1d(np.asarray(depths, float))
    not_negative("means_of_rows", depths=depths)
    rows = [row[row > 0] for row in np.split(depths, np.flatnonzero(depths == 0))]
    return np.array([row.sum() / (len(row) + 1) for row in rows if len(row)])


@quantities(length="m", width="m", gives="m^2")
def rectangle_area(length, width):
    """Area (m2) of a pond that is nearly a rectangle."""
    not_negative("rectangle_area", length=length, width=width)
    return length * width


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

    depths ((n,) array): m, at least :data:`FEWEST` with two banks a row; rows as for
        :func:`.handvolume.means_of_rows`.
    through_the_middle: True if all lines cross in the middle, which gives the deep part too much weight.
    Returns: Range: m. Upward it allows for :data:`ROWS_READ_LOW` more; in trials on invented ponds it held in about
        nine of ten.
    Raises ValueError: If there are too few readings, or none is deeper than 0.

    Each row counts the same, long or short. The half-width is 18.5 %, which two transects were good for on 35 mapped
    ponds; with fewer than 12 readings it grows as one over the root of their number (our choice).
    References: Estimating Average Depths of Ponds, 1983, Proc. Annual Conference SEAFWA (abstract).
    """
    depths = np.asarray(depths, float)
    not_negative("mean_depth_from_readings", depths=depths)
    rows = means_of_rows(depths)
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
    whole = rectangle_area(length, width)
    return Range(*(float(share * whole) for share in ROUND_OR_SQUARE))


def _joined(usual, below, above):
    """Range whose ends join independent shares of doubt below and above."""
    return Range(float(usual * (1 - min(np.hypot.reduce(below), 0.95))), float(usual),
                 float(usual * (1 + np.hypot.reduce(above))))


@quantities(deepest="m")
def hand_water(area, deepest, mean_depth):
    """Volume as a range, and a table by depth, from area, deepest place and mean depth.

    area, mean_depth (Range): m2 and m.
    deepest: m.
    Returns: HandWater: SI numbers. No mean depth exceeds :data:`FULLEST` of the deepest.

    A bowl whose area shrinks as (1 - z/D)^p has mean depth D/(p + 1) and below depth z the share
    (1 - z/D)^(p + 1) of its volume.
    """
    positive("hand_water", deepest=deepest)
    mean = Range(*(float(min(max(end, 0.1 * deepest), FULLEST * deepest)) for end in mean_depth))
    volume = _joined(area.usual * mean.usual, (1 - area.low / area.usual, 1 - mean.low / mean.usual),
                     (area.high / area.usual - 1, mean.high / mean.usual - 1))
    depth, power = np.linspace(0.0, deepest, 25), deepest / mean.usual - 1
    return HandWater(area, volume, mean, float(deepest), depth, area.usual * (1 - depth / deepest) ** power,
                     volume.usual * (1 - depth / deepest) ** (power + 1))
