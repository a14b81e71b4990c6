"""Volume and area from triangles, against calculus, a published table and scipy."""

import warnings

import madeponds
import numpy as np
import pytest
from exactshapes import ACRE, FOOT, SHAPES, cone, dense, paraboloid, star, stock_pond
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import LinearNDInterpolator

from pondcalc.door import basin as b
from pondcalc.how_much_water import basin, handvolume
from pondcalc.units import Q, QuantityError

# Ice Lake, Minnesota: area (ha) at 0, 1, ... 15 m and layer volumes (1e5 m3). Water on the Web, University
# of Minnesota Duluth, "Ice Lake Morphometry", Tables 1 and 2. (Table 2 prints 10^6 m3 in its heading: a
# misprint, 16.6 ha x 1 m is 1.66e5 m3.) Published total 11.6e5 m3; the layers add up to 11.627e5.
ICE_AREA = np.array([16.6, 15.4, 14.2, 13.0, 11.8, 10.7, 9.49, 8.30, 7.11, 5.93, 4.75, 3.57, 2.38, 1.20,
                     0.060, 0.029]) * 1e4
ICE_LAYERS = np.array([1.600, 1.481, 1.362, 1.244, 1.126, 1.008, 0.889, 0.771, 0.652, 0.534, 0.416, 0.297,
                       0.179, 0.063, 0.004, 0.001]) * 1e5


def pyramid(side=60.0, deep=6.0):
    corner = side / 2 * np.array([-1, 1, 1, -1]), side / 2 * np.array([-1, -1, 1, 1])
    x, y = 12.0 * np.array([0, 1, 1, -1, -1]), 12.0 * np.array([0, 1, -1, 1, -1])     # on the ridges
    return b.build_basin.si(x, y, deep * (1 - np.maximum(abs(x), abs(y)) / (side / 2)), *corner)


def shoelace(x, y):
    return 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def random_basin(seed, soundings=60, corners=30):
    rng = np.random.default_rng(seed)
    shape = star(ACRE, 6.0)
    x, y = shape.bank(corners)
    place = rng.uniform(-45, 45, (2, soundings))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return b.build_basin.si(*place, rng.uniform(0.1, 6.0, soundings), x, y), shoelace(x, y)


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("acres, feet", [(1, 20), (0.25, 8), (5, 15)])
def test_exact_shapes_within_one_percent_from_dense_soundings(name, acres, feet):
    shape = SHAPES[name](acres * ACRE, feet * FOOT)
    table = b.depth_table.si(b.build_basin.si(*dense(shape, 5000), *shape.bank(240)))
    assert table.volume[0] == pytest.approx(shape.volume, rel=0.01)
    assert table.area[0] == pytest.approx(shape.area, rel=0.002)


def test_one_acre_twenty_feet_in_the_readers_units():
    # cone 6.6667, paraboloid 10, half-ellipsoid 13.3333, 3:1 stock pond 10.70467 acre-ft (calculus)
    for name, expected in zip(SHAPES, (6.6667, 10.0, 13.3333, 10.70467), strict=False):
        shape = SHAPES[name](ACRE, 20 * FOOT)
        x, y, depth = dense(shape, 8000)
        bank = [Q(v / FOOT, "ft") for v in shape.bank(240)]
        basin = b.build_basin(Q(x / FOOT, "ft"), Q(y / FOOT, "ft"), Q(depth / FOOT, "ft"), *bank)
        assert b.at_level(basin, "0 ft")[1].m_as("acre_foot") == pytest.approx(expected, rel=0.01), name
        assert b.form(basin).quantity("max_depth").m_as("ft") == pytest.approx(20, rel=0.02)


@pytest.mark.parametrize("make, power", [(cone, 2), (paraboloid, 1)])
def test_area_and_volume_at_each_level(make, power):
    # A = A0 (1 - z/D)^p, volume below z = A0 D (1 - z/D)^(p+1)/(p+1)
    shape = make(ACRE, 6.0)
    basin = b.build_basin.si(*dense(shape, 8000), *shape.bank(240))
    level = np.array([0.0, 1.0, 2.5, 4.0, 5.0])
    left = 1 - level / 6.0
    area, volume = b.at_level.si(basin, level)
    np.testing.assert_allclose(area, ACRE * left**power, rtol=0.01)
    np.testing.assert_allclose(volume, ACRE * 6.0 * left**(power + 1) / (power + 1), rtol=0.015)


def test_pyramid_is_exact_to_rounding():
    # four flat sides: A = s^2 (1 - z/D)^2, V = s^2 D/3
    basin = pyramid()
    level = np.array([0.0, 0.7, 3.0, 5.9, 6.0, 7.0])
    area, volume = b.at_level.si(basin, level)
    left = np.maximum(1 - level / 6.0, 0)
    np.testing.assert_allclose(area, 3600 * left**2, atol=1e-8)
    np.testing.assert_allclose(volume, 3600 * 2.0 * left**3, atol=1e-8)


def test_flat_floor_counts_until_the_level_drops_below_it():
    basin = b.Basin.si(np.array([0.0, 10, 0, 10]), np.array([0.0, 0, 10, 10]), np.full(4, 2.0),
                       np.array([[0, 1, 2], [1, 3, 2]]))
    area, volume = b.at_level.si(basin, np.array([0.0, 1.0, 2.0, 2.01]))
    np.testing.assert_allclose(area, [100, 100, 100, 0])
    np.testing.assert_allclose(volume, [200, 100, 0, 0], atol=1e-12)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_area_adds_up_volume_is_the_integral_of_area_and_nothing_grows_with_depth(seed):
    basin, polygon = random_basin(seed)
    table = b.depth_table.si(basin, count=40)
    assert table.area[0] == pytest.approx(polygon, rel=1e-9)
    assert (np.diff(table.area) <= 0).all() and (np.diff(table.volume) <= 0).all()
    deepest = basin.depth.max()
    layers = -np.diff(b.volume_below.si(table, np.linspace(0, deepest, 9)))
    assert (layers >= 0).all() and layers.sum() == pytest.approx(table.volume[0], rel=1e-12)
    z = 0.37 * deepest
    integral = quad(lambda d: b.at_level.si(basin, d)[0], z, deepest, limit=400,
                    points=np.unique(basin.depth[basin.depth > z])[:-1])[0]
    assert b.at_level.si(basin, z)[1] == pytest.approx(integral, rel=1e-6)
    mean = basin.depth[basin.triangles].mean(axis=1)
    areas = b.triangle_areas(np.column_stack([basin.x, basin.y]), basin.triangles)
    assert (areas > 0).all()
    assert table.volume[0] == pytest.approx(areas @ mean, rel=1e-12)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 1000), st.floats(0, 6.28), st.floats(-5e6, 5e6), st.sampled_from([FOOT, 1.0, 7.0]))
def test_turning_moving_and_rescaling_the_map(seed, angle, shift, scale):
    rng = np.random.default_rng(seed)
    shape = star(ACRE, 6.0)
    x, y = rng.uniform(-20, 20, (2, 40))
    depth = rng.uniform(0.5, 6, 40)
    bank = shape.bank(36)
    plain = b.form(b.build_basin.si(x, y, depth, *bank))
    c, s = np.cos(angle), np.sin(angle)

    def move(x, y):
        return scale * (c * x - s * y) + shift, scale * (s * x + c * y) - shift / 2
    moved = b.form(b.build_basin.si(*move(x, y), depth * scale, *move(*bank)))
    # 1e-6: coordinates of millions of metres keep about 1e-9 m
    assert moved.volume == pytest.approx(plain.volume * scale**3, rel=1e-6)
    assert moved.area == pytest.approx(plain.area * scale**2, rel=1e-6)
    assert moved.shoreline_length == pytest.approx(plain.shoreline_length * scale, rel=1e-6)
    assert moved.relative_depth == pytest.approx(plain.relative_depth, rel=1e-6)


def test_concave_shorelines_keep_their_area():
    g = np.arange(1.0, 71, 2.5)
    x, y = (v.ravel() for v in np.meshgrid(g, g))
    with pytest.warns(UserWarning, match="outside the shoreline"):
        basin = b.build_basin.si(x, y, np.full(x.size, 2.0), [0, 60, 60, 20, 20, 0], [0, 0, 20, 20, 70, 70])
    form = b.form(basin)
    assert form.area == pytest.approx(60 * 20 + 20 * 50, rel=1e-12)        # an L
    assert form.shoreline_length == pytest.approx(2 * (60 + 70), rel=1e-12)
    # along the inner edge of the L no triangle may bridge the dry corner
    assert np.isnan(b.depth_at.si(basin, 40.0, 40.0))
    assert b.depth_at.si(basin, 10.0, 40.0) == pytest.approx(2.0)
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    kidney = 40 * (1 + 0.5 * np.cos(turn)) * np.cos(turn), 30 * (1 + 0.6 * np.cos(turn)) * np.sin(turn)
    ring = np.column_stack(kidney)
    for seed in range(5):
        place = np.random.default_rng(seed).uniform(-40, 60, (2, 30))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            basin = b.build_basin.si(*place, np.full(30, 1.0), *ring.T)
        assert b.form(basin).area == pytest.approx(shoelace(*kidney), rel=1e-9)


@pytest.mark.parametrize("many", [50, basin.MANY])
@pytest.mark.parametrize("degrees", [60, 10, 1, 0.1])
def test_sharp_corners_and_soundings_at_the_bank_come_to_an_end(degrees, many, monkeypatch):
    monkeypatch.setattr(basin, "MANY", many)
    angle = np.radians(degrees)
    ring = b.clean_ring([0, 100, 100 * np.cos(angle)], [0, 0, 100 * np.sin(angle)])
    rng = np.random.default_rng(3)
    share = rng.random((300, 1))
    off = rng.normal(0, 1, (300, 2)) * 10.0**rng.uniform(-12, 0, (300, 1))      # 1e-12 to 1 m off the bank
    near = ring[0] + share * (ring[1] - ring[0]) + off
    nodes, triangles, shore, _ = b.triangulate(near, ring)
    assert b.triangle_areas(nodes, triangles).sum() == pytest.approx(5000 * np.sin(angle), rel=1e-9)
    assert shore < 3000


@pytest.mark.parametrize("bank", [False, True])
def test_sorting_many_soundings_changes_no_triangle(monkeypatch, bank):
    # points drawn by lot have one Delaunay triangulation only (no four on a circle), whatever their order
    rng = np.random.default_rng(3)
    x, y, depth = *rng.uniform(0, 90, (2, 400)), rng.uniform(0, 4, 400)
    line = (np.array([10, 80, 70, 30.0]), np.array([10, 20, 85, 60.0])) if bank else (None, None)

    def corners():
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            made = b.build_basin.si(x, y, depth, *line)
        return {frozenset(zip(made.x[t], made.y[t], made.depth[t], strict=True)) for t in made.triangles}
    plain = corners()
    monkeypatch.setattr(basin, "MANY", 50)
    assert len(plain) > 200 and corners() == plain


@pytest.mark.parametrize("bank", [(None, None), (np.array([-1, 96, 96, -1.0]), np.array([-1, -1, 96, 96.0]))])
def test_many_soundings_on_a_square_grid_hold_the_water_under_a_plane(monkeypatch, bank):
    # each square of a grid has four corners on a circle, and may be cut either way: under a plane both hold the same
    monkeypatch.setattr(basin, "MANY", 50)
    x, y = (v.ravel() for v in np.meshgrid(np.arange(0, 96.0, 5), np.arange(0, 96.0, 5)))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        made = b.build_basin.si(x, y, 1 + 0.02 * x + 0.01 * y, *bank)
    inner = (made.triangles >= made.shore).all(axis=1)
    mean, areas = made.depth[made.triangles].mean(axis=1), made.areas
    # a square of 95 m, whose mean depth stands at its middle; the bank lies 1 m farther out
    assert areas[inner].sum() == pytest.approx(95**2, rel=1e-9)
    assert (areas * mean)[inner].sum() == pytest.approx(95**2 * (1 + 0.03 * 47.5), rel=1e-9)
    assert bank[0] is None or areas.sum() == pytest.approx(97**2, rel=1e-9)
    corners = made.nodes[made.triangles]
    assert (np.ptp(corners, axis=1)[inner & (areas > 1e-6)] == 5).all(), "a triangle spans one square of the grid"


def test_every_piece_of_the_cut_shoreline_has_an_empty_circle():
    shape = star(ACRE, 6.0)
    ring = b.clean_ring(*shape.bank(40))
    points = np.random.default_rng(5).uniform(-45, 45, (500, 2))
    line = b.cut_shoreline(ring, points)
    after = np.roll(line, -1, axis=0)
    middle, half = (line + after) / 2, np.hypot(*(after - line).T) / 2
    every = np.vstack([line, points])
    gap = np.hypot(*(middle[:, None] - every[None]).transpose(2, 0, 1))
    assert (gap >= half[:, None] * (1 - 1e-6)).all()
    assert shoelace(*line.T) == pytest.approx(shoelace(*ring.T), rel=1e-12)


def test_published_table_of_areas():
    depth, area = np.arange(17.0), np.append(ICE_AREA, 0.0)
    ends = handvolume.average_end_area(depth, area)
    assert ends == pytest.approx(ICE_LAYERS.sum(), rel=0.005) and ends == pytest.approx(11.6e5, rel=0.005)
    assert handvolume.frustum(depth, area) == pytest.approx(ICE_LAYERS.sum(), rel=0.005)
    assert handvolume.frustum(depth, area) < ends
    held = np.append(ICE_LAYERS[::-1].cumsum()[::-1], 0.0)
    table = b.DepthTable.si(depth, area, held)
    assert b.volume_below.si(table, depth) == pytest.approx(held)
    middle = -np.diff(b.volume_below.si(table, [0.0, 0.5, 1.0]))            # areas are printed to 3 figures
    assert middle == pytest.approx([(16.6 + 16.0) / 4 * 1e4, (16.0 + 15.4) / 4 * 1e4], rel=0.002)
    assert held[0] / ICE_AREA[0] == pytest.approx(7.0, abs=0.01)            # mean depth, 11.627e5/16.6e4


def test_published_lake_rebuilt_from_contours():
    turn = np.arange(180) * 2 * np.pi / 180
    radius = np.sqrt(ICE_AREA / np.pi)
    x, y = (np.append(np.outer(radius[1:], f(turn)).ravel(), 0.0) for f in (np.cos, np.sin))
    depth = np.append(np.repeat(np.arange(1.0, 16), 180), 16.0)
    basin = b.build_basin.si(x, y, depth, radius[0] * np.cos(turn), radius[0] * np.sin(turn))
    table = b.depth_table.si(basin, np.arange(17.0))
    assert table.volume[0] == pytest.approx(ICE_LAYERS.sum(), rel=0.005)
    np.testing.assert_allclose(table.area[:16], ICE_AREA, rtol=0.005)
    assert b.form(basin).mean_depth == pytest.approx(7.0, rel=0.005)


def test_form_ratios():
    # Dodds, Freshwater Ecology, Example 6.1: Crater Lake 42 km, 55 km2, printed 1.6; Milford Reservoir
    # 122 km, 65 km2, printed 4.3
    assert b.shoreline_development("42 km", Q(55e6, "m^2")).m == pytest.approx(1.6, abs=0.05)
    assert b.shoreline_development("122 km", Q(65e6, "m^2")).m == pytest.approx(4.3, abs=0.05)
    assert b.shoreline_development.si(4.0, 1.0) == pytest.approx(2 / np.sqrt(np.pi))        # a square
    assert b.shoreline_development.si(6.0, 2.0) == pytest.approx(6 / np.sqrt(8 * np.pi))    # a 2:1 rectangle
    # 1 acre is a circle 235.5 ft wide; 20 ft is 8.492 % of that
    width = 2 * np.sqrt(43560 / np.pi)
    assert b.relative_depth("20 ft", "1 acre").m == pytest.approx(20 / width, rel=1e-9)
    assert b.volume_development.si(2.0, 6.0) == 1.0                                         # a cone
    form = b.form(pyramid())
    assert form.shoreline_length == pytest.approx(240.0)
    assert form.volume_development == pytest.approx(1.0)
    assert form.mean_depth == pytest.approx(2.0)


def test_depth_at_points_agrees_with_scipy():
    shape = paraboloid(ACRE, 6.0)
    basin = b.build_basin.si(*dense(shape, 400), *shape.bank(60))
    x, y = np.random.default_rng(2).uniform(-30, 30, (2, 500))
    expected = LinearNDInterpolator(np.column_stack([basin.x, basin.y]), basin.depth)(x, y)
    found = b.depth_at.si(basin, x, y)
    np.testing.assert_allclose(found, expected, atol=1e-9)
    assert np.isfinite(found).sum() > 400
    assert b.depth_at(basin, "0 ft", "0 ft").m_as("m") == pytest.approx(6.0, rel=0.02)


def test_volume_between_table_lines():
    # area straight with depth: A = 100 - 10 z, volume below z = 5 (10 - z)^2
    table = b.DepthTable.si([0.0, 4.0, 10.0], [100.0, 60.0, 0.0], [500.0, 180.0, 0.0])
    z = np.array([0.0, 1.0, 4.0, 7.5, 10.0, 12.0])
    np.testing.assert_allclose(b.volume_below.si(table, z), 5 * np.maximum(10 - z, 0)**2, atol=1e-9)
    assert isinstance(b.volume_below.si(table, 1.0), float)


def test_flat_corners_are_reported():
    # a square pond sounded in its middle: in each corner a triangle has three nodes on the bank
    shape = stock_pond(ACRE, 3.0)
    basin = b.build_basin.si([-5.0, 5.0, 0.0], [0.0, 0.0, 8.0], [3.0, 3.0, 3.0], *shape.bank(48))
    share = b.flat_share.si(basin)
    step = np.sqrt(ACRE) / 12
    assert share >= 4 * step**2 / 2 / ACRE * (1 - 1e-9)
    assert b.flat_share.si(pyramid()) == 0.0


def test_without_a_shoreline_the_pond_is_too_small_and_says_so():
    shape = paraboloid(ACRE, 6.0)
    x, y, depth = dense(shape, 60)
    with pytest.warns(UserWarning, match="no shoreline"):
        hull = b.build_basin.si(x, y, depth)
    full = b.build_basin.si(x, y, depth, *shape.bank(60))
    assert not hull.constrained and full.constrained
    assert b.form(hull).area < b.form(full).area
    assert b.form(hull).volume < b.form(full).volume < shape.volume


def test_slips_that_a_survey_brings():
    shape = paraboloid(ACRE, 6.0)
    x, y, depth = dense(shape, 50)
    bank = shape.bank(40)
    good = b.form(b.build_basin.si(x, y, depth, *bank)).volume
    for words, slip in (
            ("negative", (x, y, -depth, *bank)), ("degrees", (-90 + x / 8e4, 40 + y / 1.1e5, depth, *bank)),
            ("no sounding lies inside", (y + 4.4e6, x + 5e5, depth, bank[0] + 5e5, bank[1] + 4.4e6)),
            ("one line", (np.arange(5.0), np.arange(5.0), np.ones(5), None, None)),
            ("crosses itself", (x, y, depth, [-40, 40, 40, -40], [-40, 40, -10, 40])),
            ("missing", (x, y, depth, bank[0])), ("not a number", (x, y, np.append(depth[:-1], np.nan), *bank)),
            ("one x, one y", (x[1:], y, depth, *bank)), ("the shape of a pond", ([0.0], [0.0], [6.0], *bank))):
        with warnings.catch_warnings(), pytest.raises(ValueError, match=words):
            warnings.simplefilter("ignore")
            b.build_basin.si(*slip)
    with pytest.raises(QuantityError, match="unit"):
        b.build_basin(x, y, depth, *bank)
    # soundings in feet taken for metres: only the unit can tell; 0.3048 in depth alone
    feet = b.build_basin(Q(x, "m"), Q(y, "m"), Q(depth, "ft"), *(Q(v, "m") for v in bank))
    assert b.form(feet).volume == pytest.approx(0.3048 * good, rel=1e-12)
    # the same spot sounded twice counts once, with the mean of both
    twice = b.build_basin.si(np.append(x, x[0]), np.append(y, y[0]), np.append(depth, depth[0]), *bank)
    assert b.form(twice).volume == pytest.approx(good, rel=1e-9)
    clockwise = b.build_basin.si(x, y, depth, bank[0][::-1], bank[1][::-1])
    closed = b.build_basin.si(x, y, depth, *(np.append(v, v[0]) for v in bank))
    assert b.form(clockwise).volume == pytest.approx(good) == pytest.approx(b.form(closed).volume)


def test_small_loops_of_the_receiver_are_cut_off():
    shape = paraboloid(ACRE, 6.0)
    x, y, depth = dense(shape, 50)
    bx, by = shape.bank(40)
    # someone stands still at the first point: a little knot of 1 m
    bx = np.append(bx, bx[0] + np.array([0.5, 0.5, -0.3]))
    by = np.append(by, by[0] + np.array([0.8, -1.0, 0.6]))
    with pytest.warns(UserWarning, match="loops"):
        basin = b.build_basin.si(x, y, depth, bx, by)
    assert b.form(basin).area == pytest.approx(shape.area, rel=0.01)


def test_impossible_tables_are_refused():
    for words, *columns in (("start at 0", [1.0, 2.0], [10.0, 0.0], [5.0, 0.0]),
                            ("larger than the area above", [0.0, 1.0, 2.0], [10.0, 12.0, 0.0], [17.0, 6.0, 0.0]),
                            ("nothing at the deepest", [0.0, 1.0], [10.0, 5.0], [7.5, 1.0])):
        with pytest.raises(ValueError, match=words):
            b.DepthTable.si(*columns)
    with pytest.raises(ValueError, match="full"):
        b.at_level.si(pyramid(), -1.0)


def test_a_pocket_behind_a_known_sill():
    # two bowls in a floor 1 m down, 4 and 3 m deep and 30 m wide: by the shape itself the second lies 2 m below its
    # sill and is a paraboloid there, whose volume is half of base times height
    radius, sill = 15.0, 1.0
    x, y = (v.ravel() for v in np.meshgrid(np.arange(-20, 60.1, 1.0), np.arange(-20, 20.1, 1.0)))

    def bed(lower):
        bowls = [sill + (deep - sill) * (1 - ((x - at) ** 2 + y ** 2) / radius ** 2)
                 for at, deep in ((0, 4), (40, lower))]
        return basin.build_basin(x, y, np.maximum(np.maximum(*bowls), sill))
    found, = basin.pockets(bed(3.0))
    assert (found.x, found.y, found.deepest, found.sill) == pytest.approx((40, 0, 3.0, sill), abs=0.02)
    assert found.volume == pytest.approx(0.5 * np.pi * radius ** 2 * 2.0, rel=0.03)
    # half a meter (1.6 ft) below its sill is no pocket, nor is there one where one place alone is deep
    assert basin.pockets(bed(1.5)) == [] and basin.pockets(bed(0.0)) == []
    # as deep as each other: still one of them is the other's pocket
    assert len(basin.pockets(bed(4.0))) == 1


def test_two_pyramids_behind_a_sill_worked_out_by_hand():
    # square pyramids of 20 x 20 m that share a side 1 m down, 4 and 3 m deep: below the sill the lesser one is a
    # pyramid of 2 m, and a third of base times height is 400 x 2 / 3 m3, exactly, since its bed is flat triangles
    with pytest.warns(UserWarning, match="no shoreline"):
        bed = b.build_basin.si([0, 20, 40, 0, 20, 40, 20, 10, 30], [0, 0, 0, 20, 20, 20, 10, 10, 10],
                               [1, 1, 1, 1, 1, 1, 1, 4, 3])
    found, = basin.pockets(bed)
    assert found.sounded and found[:4] == (30, 10, 3, 1) and found.volume == pytest.approx(800 / 3, rel=1e-9)


def ditch(between=None, off=0.0):
    """A ditch 110 x 6 m, sounded every 20 m along its middle; and between those, a depth `off` m from the middle."""
    x, bank = np.arange(10.0, 101.0, 20.0), np.arange(0.0, 111.0, 5.0)
    y, z = np.full(5, 3.0), np.array([3.0, 3.0, 3.4, 3.0, 3.0])
    if between is not None:
        x, y, z = np.append(x, x[:-1] + 10), np.append(y, np.full(4, 3.0 + off)), np.append(z, np.full(4, between))
    return b.build_basin.si(x, y, z, np.append(bank, bank[::-1]), np.append(0 * bank, 0 * bank + 6.0))


def test_a_sill_that_nobody_sounded_is_told_from_one_that_was():
    # triangles from bank to bank part the soundings of a ditch, though nothing says that it is shallow between them
    assert basin.pockets(ditch()) and not any(pocket.sounded for pocket in basin.pockets(ditch()))
    # a depth of 1 m between each two is the sill, not the bank that the triangles reach; 2.9 m is none
    assert {pocket.sill for pocket in basin.pockets(ditch(1.0)) if pocket.sounded} == {1.0}
    assert not any(pocket.sounded for pocket in basin.pockets(ditch(2.9)))


def true_bed(pond):
    """A made pond as triangles between the middles of its cells."""
    column, row = (np.round((v - v.min()) / pond.cell).astype(int) for v in (pond.x, pond.y))
    cell = np.full((column.max() + 2, row.max() + 2), -1)
    cell[column, row] = np.arange(len(pond.x))
    corners = cell[:-1, :-1], cell[1:, :-1], cell[1:, 1:], cell[:-1, 1:]
    tri = np.vstack([np.column_stack([corners[k].ravel() for k in half]) for half in ((0, 1, 2), (0, 2, 3))])
    return basin.Basin(pond.x, pond.y, pond.depth, tri[(tri >= 0).all(axis=1)])


def test_sills_of_made_ponds_are_those_of_their_true_beds():
    told = {}
    for family in ("two_basins", "narrow", "arms"):
        for number in range(3):
            rng = np.random.default_rng([7, number])
            pond = madeponds.make(family, rng)
            assert bool(basin.pockets(true_bed(pond))) == (family == "two_basins")
            for way in (madeponds.lines, madeponds.scattered, madeponds.winding, madeponds.grid):
                found = basin.pockets(b.build_basin.si(*madeponds.survey(pond, way, rng)[:5]))
                told.setdefault(family, []).append((bool(found), any(pocket.sounded for pocket in found)))
    drawn, sounded = (sum(one[k] for one in told["narrow"] + told["arms"]) for k in (0, 1))
    # in other draws 44 of 48 real ones were kept; the triangles alone draw a sill in many of the rest, and few of those
    # were sounded (8 of 96)
    assert sum(one[1] for one in told["two_basins"]) >= 10
    assert drawn >= 10 and sounded <= 3
