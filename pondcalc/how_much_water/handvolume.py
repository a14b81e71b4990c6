"""How much water is in the pond, worked out by hand?

The rules that need only a tape, a few depths and paper. Each is exact for one kind of basin
and wrong for the others, and that is what makes them worth comparing:

- frustum: exact when the basin is a cone or a pyramid;
- average end area (trapezoid): exact when area falls in a straight line with depth (a bowl
  of parabolic section); never less than the frustum;
- prismoidal and Simpson: exact when area is a quadratic of depth (cone, bowl, half an egg,
  a dug pond with even slopes);
- 0.4 rule: a rough average for farm ponds, off by an eighth on average (see Notes of
  :func:`four_tenths_rule`).

:mod:`pondcalc.how_much_water.basin` does the job from soundings.
"""

import numpy as np

from ..limits import not_negative
from ..units import quantities

__all__ = ["average_end_area", "frustum", "four_tenths_rule", "means_of_rows", "prismoidal", "rectangle_area",
           "simpson", "volume_from_mean_depth"]


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
def four_tenths_rule(area, max_depth, factor=0.4):
    """Rough volume: 0.4 x surface area x greatest depth.

    Parameters
    ----------
    area : float, m2
        Water surface of the full pond.
    max_depth : float, m
        Greatest depth, at the dam of a dammed pond.
    factor : float, optional
        Mean depth over greatest depth, default 0.4.

    Returns
    -------
    float, m3

    Notes
    -----
    On 35 mapped ponds the mean depth found this way was off by 12.6 % on average (Estimating
    Average Depths of Ponds, 1983). A cone has 1/3, a parabolic bowl 1/2. In surveyed US lakes
    the median is 0.355, with half of them between 0.26 and 0.44 (4,989 lakes, open data below).

    References
    ----------
    USDA NRCS, 1997, Ponds - Planning, Design, Construction, Agriculture Handbook 590 (the rule;
    from memory, not verified).
    Estimating Average Depths of Ponds, 1983, Proc. Annual Conference SEAFWA (abstract).
    Depth and mean depth of US lakes, open data, doi 10.6084/m9.figshare.12722246.
    """
    not_negative("four_tenths_rule", area=area, max_depth=max_depth)
    if not 0 < factor <= 1:
        raise ValueError("mean depth is some share of the greatest depth, so the factor lies between 0 and "
                         f"1; it was given {factor}.")
    return factor * area * max_depth


@quantities(area="m^2", mean_depth="m", gives="m^3")
def volume_from_mean_depth(area, mean_depth):
    """Volume (m3) of a pond of surface area (m2) and mean depth (m). Round only the answer."""
    not_negative("volume_from_mean_depth", area=area, mean_depth=mean_depth)
    return area * mean_depth


@quantities(depth="m", area="m^2", gives="m^3")
def average_end_area(depth, area):
    """Volume by average end areas: each layer is its thickness times the mean of its two areas.

    Parameters
    ----------
    depth : (n,) array, m
        Depth of each contour, increasing, at least two; uneven steps are allowed.
    area : (n,) array, m2
        Area inside each contour.

    Returns
    -------
    float, m3

    References
    ----------
    L. Håkanson, 1981, A Manual of Lake Morphometry, Springer (linear approximation).
    """
    h, a = _contours("average_end_area", depth, area)
    return float(np.sum(h * (a[:-1] + a[1:]) / 2))


@quantities(depth="m", area="m^2", gives="m^3")
def frustum(depth, area):
    """Volume by frustums: each layer is h/3 (A1 + A2 + sqrt(A1 A2)), a cut cone.

    Parameters and result as for :func:`average_end_area`; never larger than that.

    References
    ----------
    C. M. Taube, 2000, Three methods for computing the volume of a lake, ch. 12 in J. C. Schneider
    (ed.), Manual of Fisheries Survey Methods II, Michigan DNR Fisheries Special Report 25.
    """
    h, a = _contours("frustum", depth, area)
    return float(np.sum(h / 3 * (a[:-1] + a[1:] + np.sqrt(a[:-1] * a[1:]))))


@quantities(depth="m", area="m^2", gives="m^3")
def simpson(depth, area):
    """Volume by Simpson's rule over an even number of equal layers.

    Parameters and result as for :func:`average_end_area`.

    Raises
    ------
    ValueError
        If the number of layers is odd or their thickness differs.
    """
    h, a = _contours("simpson", depth, area)
    if len(h) % 2 or np.ptp(h) > 1e-6 * h[0]:
        raise ValueError(f"Simpson's rule needs an even number of equal layers; there are {len(h)}, from "
                         f"{h.min():g} to {h.max():g} m thick. Use average end areas instead.")
    return float(h.mean() / 3 * (a[0] + 4 * a[1:-1:2].sum() + 2 * a[2:-1:2].sum() + a[-1]))


@quantities(depth="m", top_area="m^2", middle_area="m^2", bottom_area="m^2", gives="m^3")
def prismoidal(depth, top_area, middle_area, bottom_area):
    """Volume of a dug pond: depth/6 x (top + 4 x middle + bottom area).

    Parameters
    ----------
    depth : float, m
        From the water surface to the floor.
    top_area, middle_area, bottom_area : float, m2
        Area at the surface, at half the depth (measure it; it is not the mean of the others) and
        of the floor.

    Returns
    -------
    float, m3

    References
    ----------
    USDA NRCS, 1997, Ponds - Planning, Design, Construction, Agriculture Handbook 590, excavated
    ponds (from memory, not verified); the formula itself is Simpson's rule.
    """
    not_negative("prismoidal", depth=depth, top_area=top_area, middle_area=middle_area, bottom_area=bottom_area)
    return depth / 6 * (top_area + 4 * middle_area + bottom_area)


@quantities(depths="m", gives="m")
def means_of_rows(depths):
    """Mean depth of each row of evenly spaced depths from bank to bank, by trapezoids.

    Parameters
    ----------
    depths : (n,) array, m
        All rows, one after the other. A zero is a bank: it ends one row and begins the next, however often it is
        written, and a bank that is missing at an end lies one step beyond it.

    Returns
    -------
    (rows,) array, m

    Notes
    -----
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
