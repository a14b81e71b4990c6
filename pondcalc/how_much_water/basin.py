"""How much water does the pond hold, and how does that change as the level drops?

Soundings and shoreline become a bed of flat triangles that reaches the bank at zero depth. Area and volume at any
level follow from each triangle in closed form, exact for the triangles; nothing is counted on a grid. The pond is not
made of triangles: over a bowl they cut below the curve, so sparse surveys read low (by 5 to 17 % with 25 soundings);
:mod:`pondcalc.how_much_water.basinrange` says how far off the number may be. Not handled: an island. Its ground counts
as water unless soundings of zero depth are given along its bank; then it holds no water but still counts as surface
(:func:`dry_inside`).

A free triangulation of the soundings cuts across coves and stops short of the bank. So the shoreline is cut into
pieces short enough that no other point lies in the circle that has a piece as its diameter; each is then sure to be an
edge of the Delaunay triangulation (Gabriel and Sokal 1969), and the triangles on its wet side cover the pond and
nothing else.

References: K. R. Gabriel and R. R. Sokal, 1969, A new statistical approach to geographic variation analysis,
Systematic Zoology 18:259-278 (the empty circle). J. Ruppert, 1995, A Delaunay refinement algorithm for quality
2-dimensional mesh generation, Journal of Algorithms 18:548-585 (cutting at equal distances from a sharp corner, so
that its two banks stop cutting each other). L. Håkanson, 1981, A Manual of Lake Morphometry, Springer, doi
10.1007/978-3-642-81563-8. G. E. Hutchinson, 1957, A Treatise on Limnology, vol. 1, Wiley (form ratios; from memory,
not verified).
"""

import functools
import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Delaunay, QhullError, cKDTree

from ..refusals import Caution, Refused
from ..units import quantities, record
from . import doubts
from .doubts import first_crossing, ring_area, signed_area

ROUNDS = 60             # rounds of cutting allowed; ordinary shorelines need fewer than 15
LOOPS = 0.01            # share of the pond's area that loops of the shoreline may enclose
MERGE = 1e-7            # points closer than this share of the pond's width count as one
MANY = 100_000          # points beyond which they are sorted by rows, to save time
TIE = 1e-8              # share of the pond's width by which so many are moved for the mesh where no bank is known: four
                        # points on one circle take half as long again; a bank would lose pieces of itself


def clean_ring(x, y):
    """Shoreline as an (n, 2) ring: counterclockwise, not closed twice, no point repeated in a row.

    Raises ValueError: If fewer than three different points are left, or they lie on one line.
    """
    ring = np.column_stack([np.asarray(x, float), np.asarray(y, float)])
    if not np.isfinite(ring).all():
        raise ValueError("the shoreline has a point without a position; take that point out.")
    width = np.ptp(ring, axis=0).max() if len(ring) else 0.0
    for _ in range(2):
        step = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T)
        ring = ring[step > MERGE * width]
    if len(ring) < 3 or ring_area(*ring.T) <= MERGE * width**2:
        raise ValueError(f"the shoreline has {len(ring)} different points that enclose no water. "
                         "Walk the bank all the way round and record at least three points, better thirty.")
    return ring if signed_area(*ring.T) > 0 else ring[::-1]


def merge_repeats(x, y, depth):
    """Soundings with repeats at one spot joined into their average.

    Returns: points : (k, 2) array, m. depth : (k,) array, m. first : (k,) array of int: Which of the given soundings
        came first at each spot.
    """
    points = np.column_stack([x, y])
    low, width = points.min(axis=0), np.ptp(points, axis=0).max()
    cell = np.floor((points - low) / (MERGE * max(width, 1e-12))).astype(np.int64)
    _, first, which, count = np.unique(cell[:, 0] * 2**31 + cell[:, 1], return_index=True,
                                       return_inverse=True, return_counts=True)
    return points[first], np.bincount(which, depth) / count, first


class TangledShoreline(Refused):
    """A shoreline that crosses itself or lies on top of itself."""


def _fail(ring):
    pair = first_crossing(*ring.T, touching=True)
    if pair is None:
        raise TangledShoreline("the shoreline could not be joined to the soundings: parts of it lie on top "
                               "of each other. Draw it and take out doubled or stray points.")
    (x1, y1), (x2, y2) = ring[pair[0]], ring[pair[1]]
    raise TangledShoreline(
        f"the shoreline crosses itself between its points {pair[0] + 1} and {pair[1] + 1} (near x = "
        f"{x1:.1f} m, y = {y1:.1f} m and x = {x2:.1f} m, y = {y2:.1f} m). Put the points in walking order "
        "and take out stray ones.")


def untangle(ring):
    """Cut off small loops, such as a receiver draws while its owner stands still.

    ring ((n, 2) array): Clean ring that crosses itself, m.
    Returns: ring : (m, 2) array: Without its loops. lost : float: Area of the loops, m2.
    Raises TangledShoreline: If all loops together enclose more than :data:`LOOPS` of the pond's area, as when the
        points are out of order.
    """
    given, lost = ring, 0.0
    while (pair := first_crossing(*ring.T, touching=True)) is not None:
        i, j = pair
        a, b, c, d = ring[i], ring[i + 1], ring[j], ring[(j + 1) % len(ring)]
        square = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
        share = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / square if square else 0.0
        knot = a + (b - a) * np.clip(share, 0, 1)
        one = np.vstack([knot, ring[i + 1:j + 1]])
        other = np.vstack([ring[:i + 1], knot, ring[j + 1:]])
        small, ring = sorted((one, other), key=lambda part: ring_area(*part.T))
        lost += ring_area(*small.T)
        if lost > LOOPS * ring_area(*ring.T):
            _fail(given)
    return clean_ring(*ring.T), lost


def cut_shoreline(ring, points):
    """Cut a shoreline until no point lies in the circle across any of its pieces.

    ring ((n, 2) array): Clean ring from :func:`clean_ring`, m.
    points ((k, 2) array): Soundings, m; they may lie inside or outside the ring, or on it.
    Returns: (m, 2) array: The ring with the cuts added, in order.

    A piece is cut where the intruding sounding, or point of a far bank, is square to it:
    one cut puts that point outside for good. If the intruder sits on the neighbouring
    bank of a sharp corner, the cut is made as far from the corner as the intruder is, or
    the two banks would cut each other forever.
    """
    edges, corner = len(ring), ring
    node, edge = ring, np.arange(len(ring))               # piece i runs from node i to the next one
    soundings = cKDTree(points) if len(points) else None
    shortest = MERGE * np.ptp(ring, axis=0).max()
    new = np.ones(len(node), bool)                        # pieces not yet tried against the soundings
    for _ in range(ROUNDS):
        end = np.roll(node, -1, axis=0)
        along = end - node
        length = np.hypot(*along.T)
        middle = node + along / 2
        reach = length / 2 * (1 - 1e-9)
        near, which = cKDTree(node).query(middle)
        by_node = (near < reach) & (length > shortest)
        cut = np.full(len(node), np.nan)
        intruder = node[which]
        if soundings is not None and new.any():
            near, which_sounding = soundings.query(middle[new])
            by_sounding = np.zeros(len(node), bool)
            by_sounding[new] = (near < reach[new]) & (length[new] > shortest)
            foot = np.full(len(node), -1)
            foot[new] = which_sounding
            s = by_sounding
            cut[s] = np.sum((points[foot[s]] - node[s]) * along[s], axis=1) / length[s]**2
            by_node &= ~by_sounding
        b = np.flatnonzero(by_node)
        cut[b] = np.sum((intruder[b] - node[b]) * along[b], axis=1) / length[b]**2
        owner = np.column_stack([edge[which[b]], edge[which[b] - 1]])       # a corner belongs to two edges
        for step, turn in ((1, edge[b] + 1), (-1, edge[b])):
            shared = (owner == ((edge[b] + step) % edges)[:, None]).any(axis=1)
            apex = corner[turn % edges]
            far = np.hypot(*(intruder[b] - apex).T)
            start = np.hypot(*(node[b] - apex).T)
            equal = (start - far if step == 1 else far - start) / length[b]
            cut[b] = np.where(shared, np.where((equal > 0.02) & (equal < 0.98), equal, 0.5), cut[b])
        made = np.flatnonzero(np.isfinite(cut))
        if not len(made):
            return node
        added = node[made] + along[made] * cut[made, None]
        node = np.insert(node, made + 1, added, axis=0)
        edge = np.insert(edge, made + 1, edge[made])
        new = np.zeros(len(node), bool)
        place = made + np.arange(len(made))
        new[place] = new[place + 1] = True
    return _fail(ring)


def triangle_areas(points, triangles):
    """Signed area of each triangle, m2; positive when its corners run counterclockwise."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return 0.5 * ((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1]))


def _in_rows(points):
    """Order in which many points follow each other row by row, so that those close by are close in memory."""
    if len(points) <= MANY:
        return np.arange(len(points))
    x, y = points.T
    return np.lexsort((x, np.floor(np.sqrt(len(points)) * (y - y.min()) / np.ptp(y))))


def _delaunay(points):
    """Triangles of points, and the three neighbors of each."""
    try:
        mesh = Delaunay(points)
        return mesh.simplices, mesh.neighbors
    except (QhullError, ValueError):
        raise ValueError(f"{len(points)} points cannot be joined into triangles: at least three are needed "
                         "that do not lie on one line. Sound along several lines across the pond.") from None


def _wet_side(tri, neighbors, areas, shore):
    """True for triangles inside the ring of nodes 0..shore-1; None where a piece of it is no edge."""
    start, stop = tri[:, [1, 2, 0]], tri[:, [2, 0, 1]]    # edge opposite each corner, as its neighbor
    onward = (start < shore) & (stop < shore) & (stop == (start + 1) % shore)
    back = (start < shore) & (stop < shore) & (start == (stop + 1) % shore)
    found = np.zeros(shore, bool)
    found[start[onward]] = True
    found[stop[back]] = True
    if not found.all():
        return None, np.flatnonzero(~found)
    joined = (neighbors >= 0) & ~onward & ~back
    row, side = np.nonzero(joined)
    n = len(tri)
    graph = coo_matrix((np.ones(len(row), bool), (row, neighbors[row, side])), shape=(n, n))
    count, part = connected_components(graph, directed=False)
    vote = (onward.sum(axis=1) - back.sum(axis=1)) * areas
    return (np.bincount(part, weights=vote, minlength=count) > 0)[part], np.array([], int)


def triangulate(points, ring=None):
    """Triangles over the soundings, or over exactly the water inside a shoreline.

    points ((k, 2) array): Positions of the soundings, m, all different.
    ring ((n, 2) array): Clean shoreline ring. Without it the triangles fill the convex hull.
    Returns: nodes : (m, 2) array: Shoreline nodes first (none without a ring), then the soundings used. triangles :
        (t, 3) array of int: Corners of each triangle, counterclockwise. shore : int: How many of the nodes belong to
        the shoreline. used : array of int: Which of `points` became nodes; those outside the ring, or on it, did not.
    Raises TangledShoreline: If the shoreline crosses itself, or the triangles do not add up to the area inside it.
        ValueError: If all points lie on one line.
    """
    origin = points.mean(axis=0) if ring is None else ring.mean(axis=0)
    order = _in_rows(points)
    points = points[order] - origin
    if ring is None:
        off = TIE * np.ptp(points, axis=0).max() if len(points) > MANY else 0.0
        tri, _ = _delaunay(points + np.random.default_rng(0).uniform(-off, off, points.shape))
        nodes, shore, kept = points, 0, np.arange(len(points))
        areas = triangle_areas(nodes, tri)
    else:
        ring = ring - origin
        line = cut_shoreline(ring, points)
        width = np.ptp(ring, axis=0).max()
        for _ in range(4):
            shore = len(line)
            gap = cKDTree(line).query(points, distance_upper_bound=MERGE * width)[0] if len(points) else []
            kept = np.flatnonzero(np.isinf(gap))
            nodes = np.vstack([line, points[kept]])
            tri, neighbors = _delaunay(nodes)
            areas = triangle_areas(nodes, tri)
            wet, missing = _wet_side(tri, neighbors, areas, shore)
            if wet is not None:
                break
            line = np.insert(line, missing + 1, (line + np.roll(line, -1, axis=0))[missing] / 2, axis=0)
        else:
            _fail(ring)
        tri, areas = tri[wet], areas[wet]
        if abs(np.abs(areas).sum() - ring_area(*ring.T)) > 1e-8 * ring_area(*ring.T):
            _fail(ring)
    tri = np.where((areas < 0)[:, None], tri[:, ::-1], tri)
    tri = tri[np.abs(areas) > 0]
    inside = np.zeros(len(nodes), bool)
    inside[tri.ravel()] = inside[:shore] = True
    number = np.cumsum(inside) - 1
    return nodes[inside] + origin, number[tri], shore, order[kept[inside[shore:]]]


def locate(nodes, triangles, x, y):
    """Triangle that holds each point, and the weights of its three corners.

    Returns: triangle : (n,) array of int: -1 where a point lies in no triangle. weights : (n, 3) array: Weights that
        interpolate along the flat triangle; they add up to 1.
    """
    points = np.column_stack([np.ravel(x), np.ravel(y)])
    low, width = nodes.min(axis=0), np.ptp(nodes, axis=0).max()
    cells = int(np.clip(np.sqrt(len(triangles)), 1, 400))
    size = width / cells * (1 + 1e-9)
    corners = nodes[triangles]
    first = ((corners.min(axis=1) - low) / size).astype(int)
    span = ((corners.max(axis=1) - low) / size).astype(int) - first + 1
    many = span.prod(axis=1)
    which = np.repeat(np.arange(len(triangles)), many)     # one row per triangle and grid cell it may touch
    inner = np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many)
    column, row = first[which, 0] + inner % span[which, 0], first[which, 1] + inner // span[which, 0]
    cell = column * (cells + 1) + row
    order = np.argsort(cell, kind="stable")
    starts = np.searchsorted(cell[order], np.arange((cells + 1)**2 + 1))
    at = np.floor((points - low) / size)
    ok = ((at >= 0) & (at <= cells)).all(axis=1)
    home = np.where(ok, at[:, 0] * (cells + 1) + at[:, 1], 0).astype(int)
    tries = np.where(ok, starts[home + 1] - starts[home], 0)
    triangle, weights = np.full(len(points), -1), np.full((len(points), 3), np.nan)
    left = np.flatnonzero(tries)
    for k in range(int(tries.max(initial=0))):
        left = left[tries[left] > k]
        tri = which[order[starts[home[left]] + k]]
        a, b, c = (nodes[triangles[tri, j]] for j in range(3))
        p = points[left]
        twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
        u = ((b[:, 0] - p[:, 0]) * (c[:, 1] - p[:, 1]) - (c[:, 0] - p[:, 0]) * (b[:, 1] - p[:, 1])) / twice
        v = ((c[:, 0] - p[:, 0]) * (a[:, 1] - p[:, 1]) - (a[:, 0] - p[:, 0]) * (c[:, 1] - p[:, 1])) / twice
        w = np.column_stack([u, v, 1 - u - v])
        hit = (w >= -1e-9).all(axis=1)
        triangle[left[hit]], weights[left[hit]] = tri[hit], w[hit]
        left = left[~hit]
    return triangle, weights


SMALLEST = 0.5          # m; a pond narrower than this was most likely given in degrees


@record(x="m", y="m", depth="m")
class Basin:
    """Bed of a pond as flat triangles between soundings and bank.

    x, y ((n,) arrays, m): Position of each node; nodes of the shoreline come first, in order round the pond.
    depth ((n,) array, m): Depth of each node below the full water level, 0 or more.
    triangles ((t, 3) array of int): The three nodes of each triangle.
    constrained: True if the triangles fill a shoreline. False if they fill only the hull of the soundings, whose rim
        is not at zero depth: it leaves out what lies beyond and counts what is land between.
    shore: How many of the nodes belong to the shoreline.
    left_out: Soundings not used because they lie on the shoreline or outside it.
    """

    x: Any
    y: Any
    depth: Any
    triangles: Any
    constrained: bool = True
    shore: int = 0
    left_out: int = 0

    @property
    def nodes(self):
        """Position of each node, (n, 2), m."""
        return np.column_stack([self.x, self.y])

    @property
    def areas(self):
        """Area of each triangle, m2."""
        return np.abs(triangle_areas(self.nodes, self.triangles))

    @functools.cached_property
    def pockets(self):
        """Second deep places; see :func:`pockets`."""
        return pockets(self)

    def check(self):
        """Refuse a bed whose parts do not fit together."""
        if not np.shape(self.x) == np.shape(self.y) == np.shape(self.depth) or np.ndim(self.x) != 1:
            raise ValueError("a basin needs one x, one y and one depth for each node; their lengths differ.")
        if not len(self.triangles) or np.max(self.triangles) >= len(self.x) or np.min(self.triangles) < 0:
            raise ValueError("a basin needs triangles that name its own nodes; build it with build_basin.")
        _refuse_depths(self.depth)


@record(depth="m", area="m^2", volume="m^3")
class DepthTable:
    """Area and volume against depth below the full water level.

    depth ((n,) array, m): From 0 at the full level down to the deepest point, increasing.
    area ((n,) array, m2): Horizontal area of the pond at that depth; never grows with depth.
    volume ((n,) array, m3): Water held below that depth: the whole pond at 0, nothing at the deepest point.
    """

    depth: Any
    area: Any
    volume: Any

    def check(self):
        """Refuse a table that no pond can have."""
        depth, area, volume = (np.asarray(v, float) for v in (self.depth, self.area, self.volume))
        if depth.ndim != 1 or not depth.shape == area.shape == volume.shape or len(depth) < 2:
            raise ValueError("a depth table needs at least two depths, each with one area and one volume.")
        if not np.isfinite([depth, area, volume]).all() or depth[0] != 0 or (np.diff(depth) <= 0).any():
            raise ValueError(f"depths must start at 0 (the full water level) and increase; they start "
                             f"{depth[:3].tolist()} m. Sort the table from the surface down.")
        if (area < 0).any() or (np.diff(area) > 1e-9 * area[0]).any() or area[0] <= 0:
            raise ValueError("the area at a depth cannot be larger than the area above it, or negative; it "
                             f"is {area.round(1).tolist()} m2 from the surface down. Look for swapped rows.")
        if (np.diff(volume) > 1e-9 * volume[0]).any() or abs(volume[-1]) > 1e-9 * volume[0] or volume[0] <= 0:
            raise ValueError("the volume held below a depth must shrink from the whole pond at the surface "
                             "to nothing at the deepest point.")


@record(area="m^2", volume="m^3", mean_depth="m", max_depth="m", shoreline_length="m",
        shoreline_development="", relative_depth="", volume_development="", flat_share="")
class BasinForm:
    """Size and shape of a pond in a few numbers; ratios are pure numbers (0.085 is 8.5 %)."""

    area: float
    volume: float
    mean_depth: float
    max_depth: float
    shoreline_length: float
    shoreline_development: float
    relative_depth: float
    volume_development: float
    flat_share: float


def _refuse_depths(depth):
    depth = np.asarray(depth, float)
    if not np.isfinite(depth).all():
        raise ValueError("a depth is missing or not a number; take that sounding out or fill it in.")
    if (depth < 0).any():
        raise ValueError(f"{int((depth < 0).sum())} depths are negative (down to {depth.min():.2f} m). Depth "
                         "counts down from the water surface and is positive; turn the sign round.")
    if depth.max(initial=0.0) <= 0:
        raise ValueError("every depth is zero, so there is no water to measure; check the depth column.")


def _soundings(x, y, depth):
    x, y, depth = (np.atleast_1d(np.asarray(v, float)) for v in (x, y, depth))
    if not x.shape == y.shape == depth.shape or x.ndim != 1:
        raise ValueError(f"each sounding needs one x, one y and one depth; there are {x.size} x, {y.size} y "
                         f"and {depth.size} depths.")
    if len(x) < 3:
        raise ValueError(f"{len(x)} soundings cannot show the shape of a pond. Take at least 20, on lines "
                         "across it.")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise ValueError("a sounding has no position; take it out or fill it in.")
    _refuse_depths(depth)
    width = max(np.ptp(x), np.ptp(y))
    if width < SMALLEST:
        raise ValueError(f"the soundings span only {width:.2g} m. If x and y are longitude and latitude in "
                         "degrees, turn them into meters first.")
    return x, y, depth


@quantities(x="m", y="m", depth="m", shoreline_x="m", shoreline_y="m")
def build_basin(x, y, depth, shoreline_x=None, shoreline_y=None):
    """Join soundings and shoreline into a bed of triangles.

    x, y ((n,) arrays, m): Position of each sounding on a flat map (not degrees).
    depth ((n,) array, m): Depth below the full water level, positive down; at least three soundings.
    shoreline_x, shoreline_y ((k,) arrays, m): Points of the bank in walking order; the last is joined to the first.
        The bank is at depth zero. Without it the triangles stop at the outermost soundings.
    Returns: Basin: In metres. `left_out` counts soundings on or outside the shoreline.
    Raises ValueError: If depths are negative, positions look like degrees, the soundings lie on one line, or the
        shoreline crosses itself in loops of more than 1 % of the pond.
    Warns UserWarning: If there is no shoreline, it had small loops to cut off, or more than a tenth of the soundings
        lie outside it.
    """
    x, y, depth = _soundings(x, y, depth)
    points, depth, _ = merge_repeats(x, y, depth)
    if (shoreline_x is None) != (shoreline_y is None) or (
            shoreline_x is not None and np.shape(shoreline_x) != np.shape(shoreline_y)):
        raise ValueError("the shoreline needs an x and a y for each of its points; one list is missing or "
                         "shorter.")
    if shoreline_x is None:
        warnings.warn(Caution(doubts.NO_SHORELINE), stacklevel=2)
        ring = None
    else:
        ring = clean_ring(shoreline_x, shoreline_y)
    try:
        nodes, triangles, shore, used = triangulate(points, ring)
    except TangledShoreline:
        ring, lost = untangle(ring)
        nodes, triangles, shore, used = triangulate(points, ring)
        warnings.warn(Caution(f"the shoreline crossed itself in small loops ({lost:.1f} m2 in all), which were "
                              "cut off."), stacklevel=2)
    left_out = len(points) - len(used)
    if not len(used):
        raise ValueError("no sounding lies inside the shoreline. Check that both use the same map zone and "
                         "unit, and that x is east and y is north in both.")
    if ring is not None and left_out > 0.1 * len(points):
        warnings.warn(Caution(f"{left_out} of {len(points)} soundings lie on or outside the shoreline and were left "
                              "out. Check that both were recorded on one map and at one water level."), stacklevel=2)
    z = np.concatenate([np.zeros(shore), depth[used]])
    return Basin(nodes[:, 0], nodes[:, 1], z, triangles, ring is not None, shore, left_out)


def _levels(basin, levels):
    """Exact area (m2) and volume (m3) below each of the sorted levels (m)."""
    area = basin.areas
    d1, d2, d3 = np.sort(np.asarray(basin.depth)[basin.triangles], axis=1).T
    mean = (d1 + d2 + d3) / 3
    n = len(levels)
    first, past = np.searchsorted(levels, d1, side="right"), np.searchsorted(levels, d3, side="left")
    # levels before `first` have the whole triangle below them
    whole = np.bincount(first, area, n + 1)[::-1].cumsum()[::-1][1:]
    moment = np.bincount(first, area * mean, n + 1)[::-1].cumsum()[::-1][1:]
    total_area, total_volume = whole, moment - whole * levels
    count = np.maximum(past - first, 0)                   # levels from `first` up to `past` cut the triangle
    t = np.repeat(np.arange(len(area)), count)
    which = first[t] + np.arange(len(t)) - np.repeat(np.cumsum(count) - count, count)
    z, a, low, middle, high = levels[which], area[t], d1[t], d2[t], d3[t]
    upper = z < middle
    with np.errstate(divide="ignore", invalid="ignore"):
        dry = (z - low)**2 / ((middle - low) * (high - low))
        wet = (high - z)**2 / ((high - low) * (high - middle))
        share = np.where(upper, 1 - dry, wet)
        held = np.where(upper, mean[t] - z + dry * (z - low) / 3, wet * (high - z) / 3)
    return (total_area + np.bincount(which, a * share, n)[:n],
            total_volume + np.bincount(which, a * held, n)[:n])


class Left(NamedTuple):
    """Water left when the level stands below full."""

    area: Annotated[Any, "m^2"]         # where the bed lies as deep or deeper; a flat floor until the level is below it
    volume: Annotated[Any, "m^3"]


@quantities(depth="m", gives=Left)
def at_level(basin, depth):
    """Area of the pond and water left when its level stands `depth` below full, exactly.

    basin (Basin).
    depth (float or array, m): How far the level has dropped; 0 or more. Below the deepest point both are 0.
    Returns: Left: Floats or arrays.

    In a triangle of area A with corner depths d1 <= d2 <= d3, the share deeper than z is
    1 - (z - d1)^2/((d2 - d1)(d3 - d1)) up to d2 and (d3 - z)^2/((d3 - d1)(d3 - d2)) beyond.
    The volume is the integral of that share from z down.
    """
    levels = np.asarray(depth, float)
    if not np.isfinite(levels).all() or (levels < 0).any():
        raise ValueError(f"the level must be at or below full, 0 or more; it was given {depth} m.")
    order = np.argsort(levels, axis=None)
    out = np.empty((2, levels.size))
    out[:, order] = np.maximum(_levels(basin, levels.ravel()[order]), 0.0)
    area, volume = out.reshape(2, *levels.shape)
    return Left(area, volume) if levels.ndim else Left(float(area), float(volume))


@quantities(levels="m")
def depth_table(basin, levels=None, count=50):
    """Area and volume against depth, exact at every line of the table.

    basin (Basin).
    levels ((n,) array, m): Depths below full to list; 0 and the deepest point are added. Default: evenly spaced.
    count: How many depths when `levels` is not given, 2 or more, default 50.
    Returns: DepthTable: Line 0 holds the whole pond, triangles of zero depth included.
    """
    deepest = float(np.max(basin.depth))
    if levels is None:
        if count < 2:
            raise ValueError(f"a depth table needs at least 2 depths; it was asked for {count}.")
        levels = np.linspace(0, deepest, int(count))
    else:
        levels = np.atleast_1d(np.asarray(levels, float))
        levels = np.unique(np.concatenate([[0.0], levels[(levels > 0) & (levels < deepest)], [deepest]]))
    area, volume = at_level(basin, levels)
    area, volume = np.minimum.accumulate(area), np.minimum.accumulate(volume)
    volume[-1] = 0.0
    return DepthTable(levels, area, volume)


def _refuse_above(depth):
    depth = np.asarray(depth, float)
    if (depth < 0).any() or np.isnan(depth).any():
        raise ValueError(f"depth counts down from the full level, 0 or more; it was given {depth.min():g} m.")
    return depth


@quantities(depth="m", gives="m^3")
def volume_below(table, depth):
    """Water (m3) held below a depth (m, scalar or array): all of it at 0, none at the deepest point.

    Matches the table at each of its lines. Between two lines the area is taken as straight,
    scaled so that the layer keeps its volume; so layers always add up to the whole.
    """
    z = _refuse_above(depth)
    d, area, volume = (np.asarray(v, float) for v in (table.depth, table.area, table.volume))
    i = np.clip(np.searchsorted(d, z, side="right") - 1, 0, len(d) - 2)
    s = np.clip((z - d[i]) / (d[i + 1] - d[i]), 0, 1)
    whole = (area[i] + area[i + 1]) / 2
    part = s * (area[i] - s * (area[i] - area[i + 1]) / 2)
    share = np.divide(part, whole, out=np.array(s, float), where=whole > 0)
    found = volume[i] - (volume[i] - volume[i + 1]) * share
    return found if np.ndim(depth) else float(found)


@quantities(shoreline_length="m", area="m^2", gives="")
def shoreline_development(shoreline_length, area):
    """Shoreline (m) against that of a round pond of the same area (m2): 1 if round, 1.13 if square."""
    return shoreline_length / (2 * np.sqrt(np.pi * area))


@quantities(max_depth="m", area="m^2", gives="")
def relative_depth(max_depth, area):
    """Greatest depth (m) over the width of a round pond of that area (m2); a ratio, often told in %."""
    return max_depth * np.sqrt(np.pi / area) / 2


@quantities(mean_depth="m", max_depth="m", gives="")
def volume_development(mean_depth, max_depth):
    """Volume against a cone of the same area and depth: 1 for a cone, 3 for upright walls."""
    return 3 * mean_depth / max_depth


@quantities(gives="")
def flat_share(basin):
    """Share of the pond's area in triangles whose three corners all have zero depth.

    Such triangles lie in coves and corners that no sounding reaches. They hold no water here
    though the pond does, so the volume reads low. Remedy: sound into those coves.
    """
    area = basin.areas
    dry = (np.asarray(basin.depth)[basin.triangles] == 0).all(axis=1)
    return float(area[dry].sum() / area.sum())


def dry_inside(basin):
    """Area (m2) between soundings of zero depth: an island, or a bar, that was sounded round its edge."""
    tri = np.asarray(basin.triangles)
    dry = ((np.asarray(basin.depth)[tri] == 0) & (tri >= basin.shore)).all(axis=1)
    return float(basin.areas[dry].sum())


class Pocket(NamedTuple):
    """A deep place that a sill parts from a deeper one."""

    x: Annotated[float, "m"]
    y: Annotated[float, "m"]
    deepest: Annotated[float, "m"]
    sill: Annotated[float, "m"]         # depth of the lowest way out to deeper water
    volume: Annotated[float, "m^3"]     # below the sill
    sounded: bool = True                # shallower soundings lie between it and all other deep water


SOUGHT = 20_000         # soundings among which deep places are sought, in a second at most; our choice
PARTED = 0.6, 0.02      # m below its sill, and share of the pond's volume, from which a pocket counts; our choice
# part of the way down from the sill that counts as deep on both sides, and the angle, degrees, under which a sounding
# between must see the two: our choice, by trial on made ponds whose bed is known (tests/test_basin.py)
ACROSS = 2 / 3, 140.0
NEAREST = 50            # lines across that are tried, the shortest first; our choice


def _sounded_sill(basin, within, beyond, level):
    """Depth (m) of the lowest way between two sets of nodes by the soundings alone; endless where none lies between.

    On each short line through water the shallowest sounding less deep than a level (m) counts, and of the lines the
    deepest. A sill drawn from bank to bank between two soundings of a narrow water was sounded by nobody.
    """
    nodes, depth = basin.nodes, np.asarray(basin.depth)
    within, beyond = (nodes[part][depth[part] >= level] for part in (within, beyond))
    shallow = basin.shore + np.flatnonzero(depth[basin.shore:] < level)
    ring, others, lowest = nodes[:basin.shore], nodes[shallow], 0.0
    gap, nearest = cKDTree(beyond).query(within)
    for k in np.argsort(gap)[:NEAREST]:
        one, two = within[k], beyond[nearest[k]]
        line = one + np.linspace(0.1, 0.9, 9)[:, None] * (two - one)
        if basin.shore and not doubts.inside(*line.T, *ring.T).all():
            continue                                            # land lies between
        u, v = one - others, two - others
        between = (u * v).sum(axis=1) < np.cos(np.radians(ACROSS[1])) * np.hypot(*u.T) * np.hypot(*v.T)
        lowest = max(lowest, depth[shallow[between]].min(initial=np.inf))
    return lowest


def _thinned(basin):
    """A basin of at most some :data:`SOUGHT` soundings."""
    shore, every = basin.shore, -(-len(basin.depth) // SOUGHT)
    if every < 2:
        return basin
    ring = (basin.x[:shore], basin.y[:shore]) if basin.constrained else ()
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        return build_basin(*(values[shore:][::every] for values in (basin.x, basin.y, basin.depth)), *ring)


def pockets(basin):
    """Deep places besides the deepest one that a sill parts from it, largest first.

    Returns: list of Pocket: Those that reach :data:`PARTED` below their sill and hold such a share of the water there.

    Nodes are taken from the deepest up, and those that touch join; where two deep places meet lies the sill of the
    one less deep.
    """
    basin = _thinned(basin)
    depth, tri = np.asarray(basin.depth), np.asarray(basin.triangles)
    near = [set() for _ in depth]
    for a, b, c in tri.tolist():
        near[a] |= {b, c}
        near[b] |= {a, c}
        near[c] |= {a, b}
    whole, found, top, held = form(basin).volume, [], {}, {}    # the deepest node of each node's place; its nodes
    for k in np.argsort(-depth, kind="stable").tolist():
        joined = sorted({top[n] for n in near[k] if n in top}, key=lambda n: -depth[n])
        first = joined[0] if joined else k
        for peak in joined[1:]:
            if depth[peak] - depth[k] >= PARTED[0]:
                level = depth[k] + ACROSS[0] * (depth[peak] - depth[k])
                way = _sounded_sill(basin, held[peak], list(set(top) - set(held[peak])), level)
                sill = max(depth[k], way) if np.isfinite(way) else depth[k]
                inside = np.isin(tri, held[peak]).any(axis=1)
                volume = at_level(Basin(basin.x, basin.y, basin.depth, tri[inside]), sill).volume
                if depth[peak] - sill >= PARTED[0] and volume >= PARTED[1] * whole:
                    found.append(Pocket(*(float(v) for v in (basin.x[peak], basin.y[peak], depth[peak], sill)),
                                        volume, bool(np.isfinite(way))))
            for n in held[peak]:
                top[n] = first
            held.setdefault(first, []).extend(held.pop(peak))
        top[k] = first
        held.setdefault(first, []).append(k)
    return sorted(found, key=lambda pocket: -pocket.volume)


def form(basin):
    """Area, volume, mean and greatest depth, shoreline length and form ratios of a basin.

    Returns: BasinForm: In SI. Without a shoreline the rim of the outermost soundings stands in for it.
    """
    tri = np.asarray(basin.triangles)
    edges = np.sort(np.vstack([tri[:, [0, 1]], tri[:, [1, 2]], tri[:, [2, 0]]]), axis=1)
    _, first, count = np.unique(edges[:, 0].astype(np.int64) * len(basin.x) + edges[:, 1], return_index=True,
                                return_counts=True)
    a, b = edges[first[count == 1]].T                      # the rim: edges with a triangle on one side only
    length = float(np.hypot(basin.x[a] - basin.x[b], basin.y[a] - basin.y[b]).sum())
    areas = basin.areas
    area = float(areas.sum())
    volume = float((areas * np.asarray(basin.depth)[tri].mean(axis=1)).sum())
    deepest, mean = float(np.max(basin.depth)), volume / area
    return BasinForm(area, volume, mean, deepest, length, float(shoreline_development(length, area)),
                     float(relative_depth(deepest, area)), volume_development(mean, deepest),
                     flat_share(basin))


@quantities(x="m", y="m", gives="m")
def depth_at(basin, x, y):
    """Depth (m) of the triangles at points x, y (m, scalars or arrays); not-a-number outside the pond."""
    x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
    triangle, weights = locate(basin.nodes, basin.triangles, x, y)
    found = np.sum(np.asarray(basin.depth)[basin.triangles[triangle]] * weights, axis=1)
    return found.reshape(x.shape) if x.ndim else float(found[0])
