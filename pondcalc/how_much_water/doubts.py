"""Which soundings and shoreline points can be trusted? Tests on plain numbers in metres.

Each function answers one doubt and changes nothing: it returns a mask, a distance or a
sentence, and :mod:`pondcalc.how_much_water.survey` decides what to do with it.
"""

import numpy as np
from scipy.spatial import ConvexHull, QhullError

from ..spellings import setting
from ..units import format_number, length_text, unit_label

# times the median distance from the middle: of points spread evenly over a disc the farthest lies 1.4 times out, and on
# a straight line twice, so this is generous
STRAY = 6.0
SHALLOW = 0.9           # m, 3 ft: a deepest place less than that is doubted; our choice
NO_SHORELINE = ("There is no shoreline, so the pond was taken to end at its outermost soundings. The real one may be "
                "larger, for its rim and whole arms lie beyond them, or smaller, where coves and points of land cut in "
                "between. Walk the bank with the same receiver and add it.")


def stray(x, y):
    """Points much farther from the middle of the survey than most.

    x, y (ndarray of float, shape (n,)): Position (m).
    Returns: tuple of ndarray: Mask of those more than :data:`STRAY` times the median distance out, and distance from
        the median position (m; infinite where there is no position).
    """
    known = np.isfinite(x) & np.isfinite(y)
    if not known.any():
        return ~known, np.full(len(x), np.inf)
    away = np.where(known, np.hypot(x - np.median(x[known]), y - np.median(y[known])), np.inf)
    apart = away[known & (away > 0)]
    return away > STRAY * np.median(apart) if len(apart) else ~known, away


def too_deep(depth):
    """Depths out of line with all the others, such as 98 ft typed for 9.8 ft.

    depth (ndarray of float, shape (n,)): Depth (m).
    Returns: tuple: Mask, and the limit (m; infinite when there are fewer than 5 soundings): three times the deepest
        sounding but one (with more than 50 soundings, but two; one more for each further 50), so that a few slips
        cannot vouch for each other.
    """
    spare = 1 + len(depth) // 50
    limit = 3 * np.sort(depth)[-1 - spare] if len(depth) >= 5 else np.inf
    limit = limit if limit > 0 else np.inf
    return depth > limit, limit


def one_depth(depth):
    """True if two in three soundings that are not zero lie within a seventh of the deep ones: a floor without slopes.

    Our choice, tried on the invented ponds of the tests: it finds steep-banked ponds and passes bowls and dug ponds.
    """
    wet = depth[depth > 0]
    return len(wet) >= 5 and np.quantile(wet, 0.35) > 0.86 * np.quantile(wet, 0.95)


def first_of_same(*columns):
    """Index of the first row equal to each row in every column (its own index if it is the first)."""
    first = np.arange(len(columns[0]))
    rows = first                                # that may have an equal: those whose numbers all stand elsewhere too
    for column in columns:
        order = np.argsort(column[rows])
        again = np.flatnonzero(np.diff(column[rows][order]) == 0)
        rows = rows[np.union1d(order[again], order[again + 1])]
    columns = [column[rows] for column in columns]
    order = np.lexsort(columns)                 # stable: of rows alike the first stays first
    fresh = np.ones(len(order), bool)
    fresh[1:] = np.any([np.diff(column[order]) != 0 for column in columns], axis=0)
    first[rows[order]] = rows[order[np.flatnonzero(fresh)][np.cumsum(fresh) - 1]]
    return first


def inside(x, y, ring_x, ring_y):
    """Which points lie inside a closed ring (even-odd rule; a point on the line may go either way).

    x, y (ndarray of float, shape (n,)).
    ring_x, ring_y (ndarray of float, shape (k,)): Corners in order; the last joins the first.
    """
    order = np.argsort(y, kind="stable")
    xs, ys = np.asarray(x)[order], np.asarray(y)[order]
    odd = np.zeros(len(xs), bool)
    ends = zip(ring_x, ring_y, np.roll(ring_x, -1), np.roll(ring_y, -1), strict=True)
    for x0, y0, x1, y1 in ends:
        if y0 == y1:
            continue
        low, high = np.searchsorted(ys, sorted((y0, y1)))
        odd[low:high] ^= xs[low:high] < x0 + (ys[low:high] - y0) * (x1 - x0) / (y1 - y0)
    answer = np.empty(len(xs), bool)
    answer[order] = odd
    return answer


def distance_to_ring(x, y, ring_x, ring_y):
    """Distance (m) from each point to the nearest place on a closed ring."""
    nearest = np.full(len(x), np.inf)
    ends = zip(ring_x, ring_y, np.roll(ring_x, -1), np.roll(ring_y, -1), strict=True)
    for x0, y0, x1, y1 in ends:
        along_x, along_y = x1 - x0, y1 - y0
        square = along_x**2 + along_y**2
        share = np.clip(((x - x0) * along_x + (y - y0) * along_y) / square, 0, 1) if square else 0.0
        nearest = np.minimum(nearest, np.hypot(x - x0 - share * along_x, y - y0 - share * along_y))
    return nearest


def signed_area(x, y):
    """Area (m2) inside a closed ring, positive when it runs counterclockwise."""
    x, y = x - np.mean(x), y - np.mean(y)
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2


def ring_area(x, y):
    """Area (m2) inside a closed ring, whichever way it runs."""
    return abs(signed_area(x, y))


def hull_area(x, y):
    """Area (m2) of the convex hull; 0 when all points lie on one line."""
    try:
        return float(ConvexHull(np.column_stack([x - np.mean(x), y - np.mean(y)])).volume)
    except QhullError:
        return 0.0


def first_crossing(x, y, touching=False):
    """First two pieces of a closed ring that cross, as ``(i, j)``, or None.

    Piece i runs from corner i to the next. Pieces that only touch do not cross, unless `touching`.
    """
    x1, y1 = np.roll(x, -1), np.roll(y, -1)
    n = len(x)
    for i in range(n - 2):
        j = np.arange(i + 2, n - (i == 0))
        a = (x1[i] - x[i]) * (y[j] - y[i]) - (y1[i] - y[i]) * (x[j] - x[i])
        b = (x1[i] - x[i]) * (y1[j] - y[i]) - (y1[i] - y[i]) * (x1[j] - x[i])
        c = (x1[j] - x[j]) * (y[i] - y[j]) - (y1[j] - y[j]) * (x[i] - x[j])
        d = (x1[j] - x[j]) * (y1[i] - y[j]) - (y1[j] - y[j]) * (x1[i] - x[j])
        met = np.flatnonzero((a * b <= 0) & (c * d <= 0) if touching else (a * b < 0) & (c * d < 0))
        if len(met):
            return i, int(j[met[0]])
    return None


def unit_doubt(depth, unit, area):
    """A sentence when depths look like feet read as metres, metres as feet or inches as feet; else None.

    depth (ndarray of float, shape (n,)): Depth (m), as read.
    unit: Unit they were read in.
    area: Area (m2) of the shoreline, or of the hull of the soundings; 0 if not known.

    Three tells, none of them proof: a pond deeper than a fifth of its mean diameter (the relative
    depth of limnology; a 1 acre pond 20 ft deep has 8.5 %); whole, half or quarter metres
    throughout (people read a marked line to the foot or half foot, seldom to the quarter
    metre); feet to the hundredth in shallow water (common for metres). Common practice, no source. Inches are
    suspected where a pond in feet would be deeper than three tenths of its mean diameter (our choice).
    """
    written = depth / {"meter": 1.0}.get(unit, 0.3048)
    deepest, other = float(depth.max()), "foot" if unit == "meter" else "meter"
    across = 2 * np.sqrt(area / np.pi)
    quarters = np.all(np.abs(written * 4 - np.round(written * 4)) < 1e-6)
    hundredths = np.mean(np.abs(written * 10 - np.round(written * 10)) > 1e-3)
    if unit == "meter" and area > 0 and deepest > 0.12 * across:
        tell = f"that is {deepest / across:.0%} of the width of the pond, which is steep for a farm pond"
    elif unit == "meter" and quarters and len(depth) >= 5 and written.max() >= 4:
        tell = "every depth is a whole, half or quarter number, as people read feet more often than meters"
    elif unit == "foot" and hundredths > 0.6 and len(depth) >= 5 and written.max() < 9:
        tell = "the depths are given to the hundredth, as people read meters more often than feet"
    elif unit == "foot" and area > 0 and deepest > 0.3 * across:
        tell, other = f"that is {deepest / across:.0%} of the width of the pond, steeper than farm ponds are", "inch"
    else:
        return None
    size = f" in a pond about {length_text(across, 2)} across" if area > 0 else ""
    swapped = written.max() * {"foot": 0.3048, "inch": 0.0254}.get(other, 1.0)
    return (f"Feet or {'inches' if other == 'inch' else 'meters'}? Read as {unit_label(unit)}, the deepest sounding is "
            f"{length_text(deepest)}{size}; {tell}. Read as {unit_label(other)}, the same "
            f"{format_number(written.max())} would be {length_text(swapped)}. If that is right, mend the "
            f"unit in the heading or in {setting('depth_unit', 'depth_unit')} and read the file again.")


def shallow_doubt(depth, unit):
    """A sentence when every depth (m) is so small that its unit is in doubt; else None.

    Shallower than `SHALLOW` at its deepest hardly holds fish through a summer; common practice, no source.
    """
    deepest = float(np.max(depth))
    if deepest >= SHALLOW:
        return None
    factor = {"inch": 0.0254, "centimeter": 0.01, "millimeter": 0.001, "foot": 0.3048, "yard": 0.9144}.get(unit, 1.0)
    written, other, each = deepest / factor, *(("meters", 1.0) if unit == "foot" else ("feet", 0.3048))
    return (f"The deepest sounding is only {length_text(deepest)}, hardly a pond for fish. Is the unit right? In "
            f"{other} the same {format_number(written)} would be {length_text(written * each)}. If that is right, mend "
            "the unit in the heading.")
