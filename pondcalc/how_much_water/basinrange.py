"""How far off may the pond's volume be, with what the soundings did not see?

Three things stand between the triangles' volume and the true one: the bed between soundings, the depth readings, and
the position of the bank. Each gets a size, and they are joined to a low-high range. Where the soundings cover the pond
it holds the true value about nine times in ten; where they leave gaps it is widened, and `seen.odds` says how good the
odds still are. The triangles' own number stays what it is; the range says how to read it.

The bed between soundings is judged in two ways. A bowl bulges below flat triangles, so a smooth curved bed is laid
through the same soundings and the bank; the difference says how much the triangles cut off. Then whole tracks (or
blocks, where there are none) are held out in turn: single soundings would have their neighbours on the track to lean
on and would make the survey look better than it is.

Where no sounding lies near, the bed is only a guess drawn between the far soundings and the zero of the bank, mostly
too shallow. A place, of points spread evenly over the pond (`Spots`), is unseen if no sounding lies within
:data:`REACH` times the side of a square as large as the pond, or if it is farther from the bank than nearly all
soundings are. Soundings of zero depth, such as those round an island, count as bank. The hidden bed may be as much
deeper or shallower than the nearest sounding as a steep slope from there allows; banks fall at most 2 down for 1
across. These numbers are our choice, made with one set of trial ponds and checked with another
(`tests/trials/volume_range.py`).

References (from memory, not verified): J. Duchon, 1977, Splines minimizing rotation-invariant semi-norms in Sobolev
spaces, Lecture Notes in Mathematics 571:85-100, Springer (the thin-plate spline of the curved bed). D. R. Roberts and
others, 2017, Cross-validation strategies for data with temporal, spatial, hierarchical, or phylogenetic structure,
Ecography 40:913-929 (why blocks are held out).
"""

import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.spatial import ConvexHull, cKDTree

from ..units import Range, quantities
from . import basin as mesh
from .basin import build_basin, depth_at

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

    spots (Spots).
    points, depth ((n, 2) and (n,) array, m): Soundings.
    bank ((k, 2) array, m): Points close together along the bank.
    Returns: Cover: `odds` is 90 where the pond is covered well, 85 where the range had to be widened, 0 where too
        much is unseen.
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


NINETY = 1.645          # half-width of a range that holds 90 % of a bell curve, in standard deviations
NINETY_PLANE = 2.146    # the same for a distance in the plane: sqrt(-2 ln 0.1)
MOST = 500              # soundings used for the curved bed and the hold-outs
GROUPS = 16             # tracks held out in turn, at most
SPOTS = 3000            # least number of points that stand for the pond in a sum over its area
LARGE = 1 / 1000        # share of the pond that one of them may stand for
ALONG = 1000            # points along the bank to which distances are measured


class SurveyRange(NamedTuple):
    """Ranges from a survey, and what they are made of; see :func:`survey_range`."""

    volume: Annotated[Any, "m^3"]
    area: Annotated[Any, "m^2"]
    mean_depth: Annotated[Any, "m"]
    curved_volume: Annotated[Any, "m^3"]
    from_bed: Annotated[Any, "m^3"]
    from_readings: Annotated[Any, "m^3"]
    from_bank: Annotated[Any, "m^3"]
    depth_miss: Annotated[Any, "m"]
    groups: int
    seen: Any


def _spread(points, area, most):
    """Indices of at most about `most` points, spread evenly: one in each cell of a square grid."""
    if len(points) <= most:
        return np.arange(len(points))
    side = np.sqrt(area / most)
    while True:
        cell = np.floor((points - points.min(axis=0)) / side).astype(np.int64)
        off = np.hypot(*((points - points.min(axis=0)) / side - cell - 0.5).T)
        order = np.lexsort([off, cell[:, 1], cell[:, 0]])
        change = (np.diff(cell[order], axis=0) != 0).any(axis=1)
        chosen = order[np.concatenate([[True], change])]
        if len(chosen) <= most:
            return np.sort(chosen)
        side *= 1.1


def hold_out_groups(points, track=None):
    """Groups of soundings to leave out in turn: whole tracks, or blocks of neighbours.

    points ((n, 2) array, m).
    track ((n,) array): Track each sounding belongs to. Fewer than four tracks are too few; blocks are used. Of many
        tracks every second or third is tried, :data:`GROUPS` at most.
    Returns: list of arrays of int.
    """
    if track is not None:
        names, which = np.unique(np.asarray(track), return_inverse=True)
        if len(names) >= 4:
            return [np.flatnonzero(which == k) for k in range(0, len(names), -(-len(names) // GROUPS))]
    blocks = [np.arange(len(points))]
    while len(blocks) < min(8, len(points) // 3):          # halve the largest block across its longer side
        block = blocks.pop(int(np.argmax([len(b) for b in blocks])))
        order = block[np.argsort(points[block, np.ptp(points[block], axis=0).argmax()], kind="stable")]
        blocks += [order[:len(order) // 2], order[len(order) // 2:]]
    return blocks


def _quartered(corners):
    a, b, c = corners.transpose(1, 0, 2)
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    return np.concatenate([np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])


def _flat_area(corners):
    (ax, ay, _), (bx, by, _), (cx, cy, _) = corners.transpose(1, 2, 0)
    return 0.5 * np.abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay))


def _spots(nodes, depth, triangles):
    """Points that cover the triangles: each is quartered until there are enough, and the large ones until none is."""
    corners = np.column_stack([nodes, depth])[triangles]
    while len(corners) < SPOTS:
        corners = _quartered(corners)
    area = _flat_area(corners)
    while (large := area > LARGE * area.sum()).any():
        corners = np.concatenate([corners[~large], _quartered(corners[large])])
        area = _flat_area(corners)
    middle = corners.mean(axis=1)
    return Spots(middle[:, :2], area, middle[:, 2])


def _along(ring, count):
    """`count` points evenly spaced along a ring."""
    closed = np.vstack([ring, ring[:1]])
    walked = np.concatenate([[0.0], np.hypot(*np.diff(closed, axis=0).T).cumsum()])
    at = np.arange(count) / count * walked[-1]
    return np.column_stack([np.interp(at, walked, closed[:, k]) for k in (0, 1)])


class _CurvedBed:
    """Volume under a thin-plate spline through soundings, and zero along the bank, as a sum over the soundings.

    From sparse soundings of a bowl it comes several times closer than flat triangles; from dense ones the two agree.
    The spline is linear in the depths, so its volume is one dot product; leaving soundings out needs only a smaller
    system of the same kernel.
    """

    def __init__(self, points, depth, ring, nodes, spots):
        middle, width = nodes.mean(axis=0), np.ptp(nodes, axis=0).max()
        spots, area = spots.at, spots.area
        spacing = np.sqrt(area.sum() / len(points))
        shore = np.empty((0, 2))
        if ring is not None:
            around = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T).sum()
            shore = _along(ring, int(np.clip(2 * around / spacing, 40, 200)))
        self.bank = len(shore)
        self.depth = np.concatenate([np.zeros(self.bank), depth])
        self.far = np.ones(len(points), bool)
        if ring is not None:       # next to the bank an error of place would bend the bed wildly
            fine = _along(ring, 20 * self.bank)
            self.far = mesh.cKDTree(fine).query(points)[0] > 0.1 * spacing
        at, spots = (np.vstack([shore, points]) - middle) / width, (spots - middle) / width
        n = len(at)
        self.system = np.zeros((n + 3, n + 3))
        self.system[:n, :n] = self._kernel(at, at) + 1e-9 * np.eye(n)
        self.system[:n, n] = self.system[n, :n] = 1
        self.system[:n, n + 1:] = at
        self.system[n + 1:, :n] = at.T
        self.moment = np.concatenate([area @ self._kernel(spots, at), [area.sum()], area @ spots])

    @staticmethod
    def _kernel(a, b):
        square = (a[:, None, 0] - b[None, :, 0])**2 + (a[:, None, 1] - b[None, :, 1])**2
        return 0.5 * square * np.log(np.maximum(square, 1e-300))

    def volume(self, without=()):
        """Volume (m3) under the bed when some of the soundings are left out."""
        keep = self.far.copy()
        keep[np.asarray(without, int)] = False
        if self.bank + keep.sum() < 4:
            return np.nan
        n = len(self.depth)
        rows = np.concatenate([np.arange(self.bank), self.bank + np.flatnonzero(keep), n + np.arange(3)])
        weight = np.linalg.solve(self.system[np.ix_(rows, rows)], self.moment[rows])
        return float(weight[:-3] @ self.depth[rows[:-3]])


def _soundings_of(basin):
    return basin.nodes[basin.shore:], np.asarray(basin.depth)[basin.shore:]


def _curved(basin):
    """Curved bed of a basin, which of its soundings it uses, the ring of its bank, and spots all over it."""
    nodes, (points, depth) = basin.nodes, _soundings_of(basin)
    chosen = _spread(points, basin.areas.sum(), MOST)
    ring = nodes[:basin.shore] if basin.shore else None
    if len(chosen) < len(points):
        nodes, triangles, shore, used = mesh.triangulate(points[chosen], ring)
        spots = _spots(nodes, np.concatenate([np.zeros(shore), depth[chosen][used]]), triangles)
    else:
        spots = _spots(nodes, basin.depth, basin.triangles)
    return _CurvedBed(points[chosen], depth[chosen], ring, nodes, spots), chosen, ring, spots


def _bank_effects(basin, shoreline_error):
    """Standard deviations of volume, area and mean depth from a misplaced bank, and the corners cut off.

    A receiver drifts over minutes, so the points of one eighth of the bank are taken to be off
    together and the eighths independently (no source; common sense).
    """
    nodes, tri, shore = basin.nodes, basin.triangles, basin.shore
    mean = np.asarray(basin.depth)[tri].mean(axis=1)
    pull = np.zeros((2, 2, len(nodes)))      # [area or volume, x or y, node]: change per metre moved
    for k in range(3):
        after, before = nodes[tri[:, (k + 1) % 3]], nodes[tri[:, (k + 2) % 3]]
        square = 0.5 * np.column_stack([after[:, 1] - before[:, 1], before[:, 0] - after[:, 0]])
        for j in (0, 1):
            pull[0, j] += np.bincount(tri[:, k], square[:, j], len(nodes))
            pull[1, j] += np.bincount(tri[:, k], square[:, j] * mean, len(nodes))
    pull = pull[:, :, :shore]
    ring = nodes[:shore]
    step = np.roll(ring, -1, axis=0) - ring
    length = np.hypot(*step.T)
    eighth = (8 * (np.cumsum(length) - length) / length.sum()).astype(int)
    each = np.array([[np.bincount(eighth, pull[i, j], 8) for j in (0, 1)] for i in (0, 1)])
    area, volume = basin.areas.sum(), (basin.areas * mean).sum()
    deeper = (each[1] - volume / area * each[0]) / area
    sigma = shoreline_error / NINETY_PLANE
    sd_area, sd_volume, sd_mean = (sigma * np.sqrt(np.sum(e**2)) for e in (each[0], each[1], deeper))
    outward = np.column_stack([step[:, 1], -step[:, 0]]) / length[:, None]
    outward = outward + np.roll(outward, 1, axis=0)
    outward /= np.maximum(np.hypot(*outward.T), 1e-9)[:, None]
    grow = np.einsum("ijk,kj->i", pull, outward)           # gained per metre the whole bank moves out
    return sd_volume, sd_area, sd_mean, grow[1] / grow[0]


def _cut_corners(ring):
    """Area (m2) that straight pieces cut off a curved bank; turns over 45 degrees count as real corners.

    A piece of length L where the bank turns by t radians per piece cuts off L^2 t / 12.
    """
    step = np.roll(ring, -1, axis=0) - ring
    before = np.roll(step, 1, axis=0)
    turn = np.arctan2(before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], np.sum(before * step, axis=1))
    square = (np.sum(step**2, axis=1) + np.sum(before**2, axis=1)) / 2
    return float(np.sum(np.where(np.abs(turn) < np.pi / 4, square * turn, 0.0)) / 12)


def _depth_miss(points, depth, ring, groups):
    """Root-mean-square depth error (m) at soundings held out a group at a time."""
    miss = []
    line = (None, None) if ring is None else ring.T
    for group in groups:
        keep = np.ones(len(points), bool)
        keep[group] = False
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                rest = build_basin(*points[keep].T, depth[keep], *line)
        except ValueError:
            continue
        miss.append(depth[group] - depth_at(rest, *points[group].T))
    miss = np.concatenate(miss) if miss else np.array([np.nan])
    miss = miss[np.isfinite(miss)]
    return float(np.sqrt(np.mean(miss**2))) if len(miss) else float("nan")


def _track_of(track, x, y, depth, places):
    """Track of the sounding at each place, or None."""
    if track is None:
        return None
    if np.shape(track) != np.shape(x):
        raise ValueError(f"each sounding needs its track; there are {np.size(track)} tracks and "
                         f"{np.size(x)} soundings.")
    whole, _, first = mesh.merge_repeats(x, y, depth)
    return np.asarray(track)[first[mesh.cKDTree(whole).query(places)[1]]]


def _seen(spots, points, depth, ring):
    if ring is None:
        return without_bank(spots, points, depth, _along(points[ConvexHull(points).vertices], ALONG))
    return cover(spots, points, depth, _along(ring, ALONG))


def coverage(basin):
    """What the soundings of a basin saw of it, as a :class:`Cover`, without the work of a range."""
    return _seen(_spots(basin.nodes, basin.depth, basin.triangles), *_soundings_of(basin),
                 basin.nodes[:basin.shore] if basin.shore else None)


def _around(middle, usual, down, up):
    """Range from `down` below to `up` above a middle; not below 0, and around the usual value."""
    return Range(min(max(middle - down, 0.0), usual), usual, max(middle + up, usual))


@quantities(x="m", y="m", depth="m", shoreline_x="m", shoreline_y="m", sounding_error="m", common_error="m",
            shoreline_error="m", gives=SurveyRange)
def survey_range(x, y, depth, shoreline_x=None, shoreline_y=None, track=None, sounding_error=0.1,
                 common_error=0.05, shoreline_error=3.0):
    """Low, usual and high volume, area and mean depth from one survey, and what the range is worth.

    x, y, depth, shoreline_x, shoreline_y (arrays, m): As for :func:`pondcalc.how_much_water.basin.build_basin`.
    track ((n,) array): Number or name of the boat track of each sounding.
    sounding_error (float, m): Nine readings in ten are within this of the depth under the boat; covers rounding.
        Default 0.1 m, for a line marked each half foot.
    common_error (float, m): Error that all readings may share: a stretched line, soft mud, another water level.
        Default 0.05 m.
    shoreline_error (float, m): Nine bank points in ten are within this distance of the true bank. Default 3 m, a
        phone or hand-held receiver under open sky. The defaults are common practice, no source.
    Returns: SurveyRange: `volume` (m3), `area` (m2) and `mean_depth` (m), each a Range whose usual value is that of
        the flat triangles; `curved_volume` (m3), the better single guess where soundings are sparse; the half-widths
        (m3) `from_bed`, `from_readings` and `from_bank`; `depth_miss` (m), the usual error of the triangles at
        held-out soundings; `groups`, how many were held out; `seen`, a :class:`Cover`.

    The range of the volume is centred on the curved bed V_c. With V_f under flat triangles, the
    half-width of the bed is sqrt((V_c - V_f)^2 + s^2), where s is the root-mean-square change
    of V_c when one group is left out. So the bed may hold as much more than V_c as the flat
    triangles hold less. The area is treated alike: straight pieces of bank cut off corners, and
    the range is centred on the area with the corners put back. Readings and bank are added in
    squares. Where a straight bed from bank to sounding cuts off more than V_c - V_f, as over upright banks, that
    counts upward instead; what may hide in the unseen part is added in squares, upward and downward by themselves.
    The rule is of this set's own making. `seen.odds` says what it is worth: 90 if the soundings cover the pond, 85 if
    it was widened for gaps, 0 if too much was unseen or no bank is known. `tests/trials/volume_range.py` tries it on
    twelve families of invented ponds in fourteen kinds of survey and prints how often it held.

    More than 500 soundings are thinned evenly before the curved bed and the hold-outs, which
    makes the range a little wider than it needs to be.
    """
    basin = build_basin(x, y, depth, shoreline_x, shoreline_y)
    for name, value in (("sounding_error", sounding_error), ("common_error", common_error),
                        ("shoreline_error", shoreline_error)):
        if not (np.isfinite(value) and value >= 0):
            raise ValueError(f"{name} must be 0 m or more; it was given {value} m.")
    points, z = _soundings_of(basin)
    areas = basin.areas
    share = sum(np.bincount(basin.triangles[:, k], areas / 3, len(basin.x)) for k in range(3))
    area, flat = float(areas.sum()), float(share @ basin.depth)

    bed, chosen, ring, spots = _curved(basin)
    groups = hold_out_groups(points[chosen], _track_of(track, x, y, depth, points[chosen]))
    seen = _seen(spots, points, z, ring)
    curved = bed.volume()
    moved = np.array([bed.volume(group) for group in groups]) - curved
    moved = moved[np.isfinite(moved)]
    sampling = float(np.sqrt(np.mean(moved**2))) if len(moved) else abs(curved)     # too few to leave any out
    from_bed = float(np.hypot(curved - flat, sampling))

    soft = share[basin.shore:]
    from_readings = float(np.hypot(sounding_error * np.sqrt(np.sum(soft**2)), common_error * soft.sum()))
    if ring is None:
        sd_volume = sd_area = sd_mean = rate = cut = 0.0
    else:
        sd_volume, sd_area, sd_mean, rate = _bank_effects(basin, shoreline_error)
        cut = _cut_corners(mesh.clean_ring(shoreline_x, shoreline_y))
    from_bank = float(np.hypot(NINETY * sd_volume, cut * rate))

    near = np.hypot(NINETY * sd_area, cut)
    extent = Range(area + cut - np.hypot(near, seen.narrower), area, area + cut + np.hypot(near, seen.wider))
    well = not seen.banked or seen.odds == GOOD_ODDS
    more, less = (UP if well else UP_PATCHY) * seen.more, DOWN * seen.less
    steep = max(flat + BANK * seen.bank_cut - curved, 0.0)
    up = np.sqrt(max(abs(curved - flat), steep)**2 + sampling**2 + from_readings**2 + more**2)
    down = np.sqrt(from_bed**2 + from_readings**2 + less**2)
    volume = _around(curved, flat, np.hypot(down, from_bank), np.hypot(up, from_bank))
    if ring is None:            # what lies beyond the soundings makes the pond larger, and shallower on average
        up, down = from_bed, np.hypot(down, curved * seen.wider / (area + seen.wider))
    mean = _around(curved / area, flat / area, *(np.hypot(part / area, NINETY * sd_mean) for part in (down, up)))
    ranges = [Range(*map(float, ends)) for ends in (volume, extent, mean)]
    return SurveyRange(*ranges, curved, from_bed, from_readings, from_bank,
                       _depth_miss(points[chosen], z[chosen], ring, groups), len(groups), seen)
