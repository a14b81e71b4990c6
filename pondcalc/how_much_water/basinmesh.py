"""Which triangles cover the pond, from bank to bank and no farther?

Pure geometry behind :mod:`pondcalc.how_much_water.basin`: plain numbers in metres, no depths.
A free triangulation of the soundings cuts across coves and stops short of the
bank. Here the shoreline is cut into pieces short enough that no other point
lies in the circle that has a piece as its diameter. Each piece is then sure to
be an edge of the Delaunay triangulation (Gabriel and Sokal 1969), so the
triangles on its wet side cover the pond and nothing else.

References
----------
K. R. Gabriel and R. R. Sokal, 1969, A new statistical approach to geographic variation
analysis, Systematic Zoology 18:259-278 (the empty-circle condition).
J. Ruppert, 1995, A Delaunay refinement algorithm for quality 2-dimensional mesh
generation, Journal of Algorithms 18:548-585 (cutting at equal distances from a sharp
corner, so that its two banks stop cutting each other).
"""

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Delaunay, QhullError, cKDTree

from ..refusals import Refused
from .doubts import first_crossing, ring_area, signed_area

ROUNDS = 60             # rounds of cutting allowed; ordinary shorelines need fewer than 15
LOOPS = 0.01            # share of the pond's area that loops of the shoreline may enclose
MERGE = 1e-7            # points closer than this share of the pond's width count as one


def clean_ring(x, y):
    """Shoreline as an (n, 2) ring: counterclockwise, not closed twice, no point repeated in a row.

    Raises
    ------
    ValueError
        If fewer than three different points are left, or they lie on one line.
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

    Returns
    -------
    points : (k, 2) array, m
    depth : (k,) array, m
    first : (k,) array of int
        Which of the given soundings came first at each spot.
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

    Parameters
    ----------
    ring : (n, 2) array
        Clean ring that crosses itself, m.

    Returns
    -------
    ring : (m, 2) array
        Without its loops.
    lost : float
        Area of the loops, m2.

    Raises
    ------
    TangledShoreline
        If all loops together enclose more than :data:`LOOPS` of the pond's area, as when the points are out of order.
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

    Parameters
    ----------
    ring : (n, 2) array
        Clean ring from :func:`clean_ring`, m.
    points : (k, 2) array
        Soundings, m; they may lie inside or outside the ring, or on it.

    Returns
    -------
    (m, 2) array
        The ring with the cuts added, in order.

    Notes
    -----
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


def _delaunay(points):
    try:
        return Delaunay(points)
    except (QhullError, ValueError):
        raise ValueError(f"{len(points)} points cannot be joined into triangles: at least three are needed "
                         "that do not lie on one line. Sound along several lines across the pond.") from None


def _wet_side(mesh, areas, shore):
    """True for triangles inside the ring of nodes 0..shore-1; None where a piece of it is no edge."""
    tri = mesh.simplices
    start, stop = tri[:, [1, 2, 0]], tri[:, [2, 0, 1]]    # edge opposite each corner, as mesh.neighbors
    onward = (start < shore) & (stop < shore) & (stop == (start + 1) % shore)
    back = (start < shore) & (stop < shore) & (start == (stop + 1) % shore)
    found = np.zeros(shore, bool)
    found[start[onward]] = True
    found[stop[back]] = True
    if not found.all():
        return None, np.flatnonzero(~found)
    joined = (mesh.neighbors >= 0) & ~onward & ~back
    row, side = np.nonzero(joined)
    n = len(tri)
    graph = coo_matrix((np.ones(len(row), bool), (row, mesh.neighbors[row, side])), shape=(n, n))
    count, part = connected_components(graph, directed=False)
    vote = (onward.sum(axis=1) - back.sum(axis=1)) * areas
    return (np.bincount(part, weights=vote, minlength=count) > 0)[part], np.array([], int)


def triangulate(points, ring=None):
    """Triangles over the soundings, or over exactly the water inside a shoreline.

    Parameters
    ----------
    points : (k, 2) array
        Positions of the soundings, m, all different.
    ring : (n, 2) array, optional
        Clean shoreline ring. Without it the triangles fill the convex hull.

    Returns
    -------
    nodes : (m, 2) array
        Shoreline nodes first (none without a ring), then the soundings used.
    triangles : (t, 3) array of int
        Corners of each triangle, counterclockwise.
    shore : int
        How many of the nodes belong to the shoreline.
    used : array of int
        Which of `points` became nodes; those outside the ring, or on it, did not.

    Raises
    ------
    TangledShoreline
        If the shoreline crosses itself, or the triangles do not add up to the area inside it.
    ValueError
        If all points lie on one line.
    """
    origin = points.mean(axis=0) if ring is None else ring.mean(axis=0)
    points = points - origin
    if ring is None:
        mesh, shore, kept = _delaunay(points), 0, np.arange(len(points))
        nodes, tri = points, mesh.simplices
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
            mesh = _delaunay(nodes)
            areas = triangle_areas(nodes, mesh.simplices)
            wet, missing = _wet_side(mesh, areas, shore)
            if wet is not None:
                break
            line = np.insert(line, missing + 1, (line + np.roll(line, -1, axis=0))[missing] / 2, axis=0)
        else:
            _fail(ring)
        tri, areas = mesh.simplices[wet], areas[wet]
        if abs(np.abs(areas).sum() - ring_area(*ring.T)) > 1e-8 * ring_area(*ring.T):
            _fail(ring)
    tri = np.where((areas < 0)[:, None], tri[:, ::-1], tri)
    tri = tri[np.abs(areas) > 0]
    inside = np.zeros(len(nodes), bool)
    inside[tri.ravel()] = inside[:shore] = True
    number = np.cumsum(inside) - 1
    return nodes[inside] + origin, number[tri], shore, kept[inside[shore:]]


def locate(nodes, triangles, x, y):
    """Triangle that holds each point, and the weights of its three corners.

    Returns
    -------
    triangle : (n,) array of int
        -1 where a point lies in no triangle.
    weights : (n, 3) array
        Weights that interpolate along the flat triangle; they add up to 1.
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
