"""Soundings and shorelines on one map: against a printed table and the geodesic; every layout and likely fault."""

import dataclasses
import io
import math
import re
from pathlib import Path

import numpy as np
import pyproj
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondcalc.door import survey
from pondcalc.how_much_water import basin, doubts
from pondcalc.how_much_water.survey import FieldDataError, Shoreline, Soundings, Transects, open_sheet, report, to_local
from pondcalc.units import Q, asked

DATA = Path(__file__).resolve().parent.parent / "data"
GEOD = pyproj.Geod(ellps="WGS84")
FOOT = 0.3048  # m, international foot: Federal Register 85(193), 5 Oct 2020, p. 62698
read = survey.read_survey


def refused(match, *files, **options):
    with pytest.raises(FieldDataError, match=match):
        read(*files, **options)


def bowl(header="x_m,y_m,depth_m", n=6, side=50.0, deepest=3.14, extra=()):
    """CSV text: n by n soundings on a square grid, deepest in the middle."""
    rows = [header]
    for i in range(n):
        for j in range(n):
            u, v = 2 * i / (n - 1) - 1, 2 * j / (n - 1) - 1
            depth = deepest * (1 - (u * u + v * v) / 2.2)
            rows.append(f"{side * i / (n - 1):.2f},{side * j / (n - 1):.2f},{depth:.2f}")
    return "\n".join([*rows, *extra]) + "\n"


def xyz(*rows, head="x_m,y_m,depth_m"):
    """CSV text of some soundings."""
    return "\n".join([head, *rows]) + "\n"


def latlon(swap=False, sign=1.0, lon=-96.8, header="lat,lon,depth_ft"):
    places = [(39.0 + 0.0001 * i, sign * (lon + 0.00013 * j), 3 + i + 0.1 * j) for i in range(4) for j in range(4)]
    return xyz(*(f"{(b if swap else a):.6f},{(a if swap else b):.6f},{d:.1f}" for a, b, d in places), head=header)


SQUARE = "x_m,y_m\n-2,-2\n52,-2\n52,52\n-2,52\n"


def note(made, word):
    """The one note that holds a word."""
    found = [text for text in made.notes if word in text]
    assert len(found) == 1, f"{word!r} in {len(found)} of the notes {made.notes}"
    return found[0]


def reasons(made):
    return {d.row: d.reason for d in made.dropped}


# ---- the local map ----


@pytest.mark.parametrize(("lat", "north", "east"), [
    (0, 110.574, 111.320), (30, 110.852, 96.486), (45, 111.132, 78.847), (60, 111.412, 55.800)])
def test_metres_per_degree_against_the_printed_table(lat, north, east):
    # km per degree of latitude and longitude, WGS 84: table in "Length of a degree of longitude"
    # (encyclopedia article, liquisearch.com copy), seen
    x, y = to_local(np.array([lat - 0.0005, lat + 0.0005, lat]), np.array([-97.0, -97.0, -96.999]), (lat, -97.0))
    assert y[1] - y[0] == pytest.approx(north, abs=0.001)
    assert x[2] == pytest.approx(east, abs=0.001)


def test_a_zone_grid_is_smaller_than_the_ground_and_the_local_map_is_not():
    # 90 m square on the central meridian of UTM zone 14 (99 W): 0.9996 squared, 0.08 % small
    corners = [GEOD.fwd(-99.0, 39.0, az, 90 / math.sqrt(2))[:2] for az in (45, 135, 225, 315)]
    lon, lat = np.array(corners).T
    true = abs(GEOD.polygon_area_perimeter(lon, lat)[0])
    assert doubts.ring_area(*to_local(lat, lon, (39.0, -99.0))) == pytest.approx(true, rel=1e-6)
    assert doubts.ring_area(*pyproj.Proj("EPSG:32614")(lon, lat)) / true == pytest.approx(0.9996**2, rel=1e-6)


@pytest.mark.parametrize("origin", [(0.0, 0.0), (29.95, -90.07), (39.04, -96.8), (47.6, -122.3), (64.8, -147.7),
                                    (80.0, 20.0), (-33.9, 18.4), (-45.0, 170.5), (-16.8, 180.0), (-16.8, -179.999),
                                    (52.0, 179.99)])
def test_local_map_against_the_projection_library(origin):
    # within 1 cm at 1 km of pyproj's transverse Mercator, and 1 mm of its geodesic (0.1 mm within 300 m); north, south,
    # each side of the date line
    rng = np.random.default_rng(7)
    azimuth, away = rng.uniform(0, 360, 60), np.r_[np.full(30, 1000.0), rng.uniform(1, 1000, 30)]
    lon, lat, _ = GEOD.fwd([origin[1]] * 60, [origin[0]] * 60, azimuth, away)
    x, y = to_local(np.array(lat), np.array(lon), origin)
    theirs = pyproj.Proj(proj="tmerc", lat_0=origin[0], lon_0=origin[1], k_0=1, datum="WGS84")(lon, lat)
    np.testing.assert_allclose([x, y], theirs, atol=0.01)
    near = away < 300
    np.testing.assert_allclose(np.hypot(x, y), away, atol=1e-3)
    np.testing.assert_allclose(np.hypot(x, y)[near], away[near], atol=1e-4)
    np.testing.assert_allclose(x, away * np.sin(np.radians(azimuth)), atol=2e-2)
    np.testing.assert_allclose(x[near], (away * np.sin(np.radians(azimuth)))[near], atol=1e-3)
    far_x, far_y = to_local(np.array([origin[0]]), np.array([origin[1] + 180.0]), origin)
    assert np.isinf(far_x) and np.isinf(far_y), "the other side of the Earth never looks near"


def test_a_pond_on_the_date_line_is_one_pond():
    # 200 m square across 180 degrees, written with both signs, with an even number on each side
    lat, lon = np.meshgrid(-17.0 + np.linspace(0, 0.0018, 6), np.r_[179.9991:179.99991:3j, -179.9999:-179.9991:3j])
    made = read(xyz(*(f"{a:.6f},{o:.6f},2.0" for a, o in zip(lat.ravel(), lon.ravel(), strict=True)),
                    head="lat,lon,depth_m"))
    assert len(made.soundings) == 36
    assert np.ptp(made.soundings.x) == pytest.approx(0.0018 * 106.5e3, rel=0.01)      # 106.5 km a degree at 17 S


def test_soundings_and_shoreline_share_one_map():
    files = DATA / "demo-soundings.csv", DATA / "demo-shoreline.csv"
    made = read(*files)
    (slat, slon), (lat, lon) = ([float(v) for v in file.read_text().splitlines()[2].split(",")[:2]] for file in files)
    away = math.hypot(made.shoreline.x[0] - made.soundings.x[0], made.shoreline.y[0] - made.soundings.y[0])
    assert away == pytest.approx(GEOD.inv(lon, lat, slon, slat)[2], abs=1e-3)


def test_quantities_at_the_door():
    x, y = asked(to_local)(Q([39.001], "deg"), Q([-97.0], "deg"), (39.0, -97.0))
    assert y.m_as("m")[0] == pytest.approx(111.0, abs=0.05)  # between 110.852 and 111.132 in the table above


# ---- the three layouts and their units ----


def test_local_feet_become_metres():
    made = read("x_ft,y_ft,depth_ft\n0,0,1\n100,0,2.5\n100,200,10\n0,200,4\n")
    np.testing.assert_allclose(made.soundings.x, [0, 30.48, 30.48, 0], atol=1e-12)  # 100 x 0.3048, exact
    np.testing.assert_allclose(made.soundings.y, [0, 0, 60.96, 60.96], atol=1e-12)
    np.testing.assert_allclose(made.soundings.depth, [0.3048, 0.762, 3.048, 1.2192], atol=1e-12)
    assert made.origin is None and made.soundings.track is None
    assert list(made.soundings.row) == [2, 3, 4, 5]


@pytest.mark.parametrize(("heading", "name", "unit"), [
    ("depth_ft", "depth", "foot"), ("depth (ft)", "depth", "foot"), ("depth [m]", "depth", "meter"),
    ("Depth, feet", "depth", "foot"), ("Depth/m", "depth", "meter"), ("WATER DEPTH (METRES)", "depth", "meter"),
    ("depth in feet", "depth", "foot"), ("depth_in", "depth", "inch"), ("DepthFt", "depth", "foot"),
    ("depth", "depth", None), ("z", "depth", None), ("Depth (ft, in)", "depth", None), ("Latitude", "latitude", None),
    ("long", "longitude", None), ("lng", "longitude", None), ("Easting (m)", "x", "meter"), ("y_ft", "y", "foot"),
    ("Line", "track", None), ("pass", "track", None), ("Transect #", "track", None), ("track", "track", None),
    ("distance_ft", "distance", "foot"), ("x0", "x of the start", None), ("start_lat", "latitude of the start", None),
    ("end lon", "longitude of the end", None), ("y1 (m)", "y of the end", "meter"), ("notes", None, None),
    ("shoreline", None, None)])
def test_headings_as_people_write_them(heading, name, unit):
    sheet = open_sheet(f'"{heading}",weather\n1,dry\n')
    assert set(sheet.cells) == ({name} if name else set())
    assert sheet.unit.get(name) == unit


THREE = ("0,0,10", "50,0,5", "50,50,5")


@pytest.mark.parametrize("header", ['x_m,y_m,"Depth, feet"', "x_m,y_m,Depth, feet"])
def test_depth_comma_feet_is_understood_quoted_and_bare(header):
    assert read(xyz(*THREE, head=header)).soundings.depth[0] == pytest.approx(10 * FOOT, rel=1e-12)


def test_no_unit_says_how_to_answer_and_the_answer_works():
    text = xyz(*THREE, head="x_m,y_m,depth")
    refused(r"'depth', has no unit.*'depth \(ft\)' or 'depth \(m\)'.*depth_unit='ft' or depth_unit='m'", text)
    assert read(text, depth_unit="ft").soundings.depth[0] == pytest.approx(3.048)
    assert read(text, depth_unit="metres").soundings.depth[0] == 10.0
    refused(r"'x', has no unit.*position_unit='ft'", xyz(*THREE, head="x,y,depth_ft"))


@pytest.mark.parametrize(("unit", "message"), [("gallon", "is not a length"), ("furlongs", "is not a length"),
                                               ("m", "says ft, but depth_unit='m'")])
def test_a_unit_that_cannot_be(unit, message):
    refused(message, xyz(*THREE, head="x_m,y_m,depth_ft"), depth_unit=unit)


def test_numbers_with_their_unit_in_the_cell():
    made = read('x_m,y_m,depth\n0,0,5 ft 6 in\n50,0,1.5 m\n50,50,18 in\n0,50,"6\'"\n')
    # 5 ft 6 in = 66 in x 0.0254; 18 in x 0.0254; 6 ft x 0.3048: exact
    np.testing.assert_allclose(made.soundings.depth, [1.6764, 1.5, 0.4572, 1.8288], rtol=1e-12)
    refused("has no unit this set knows", "x_m,y_m,depth\n0,0,5 ft\n50,0,1.5 m\n50,50,4\n")
    other = read("x_m,y_m,depth_ft\n0,0,5\n50,0,6\n50,50,4\n9,9,5.5 lb\n8,8,4 cubits\n")
    assert "'5.5 lb', not a length" in reasons(other)[5]
    assert "not a unit this set knows" in reasons(other)[6]


def test_each_sounding_keeps_its_track():
    made = read("x_m,y_m,depth_ft,Pass\n0,0,5,T1\n50,0,6,T1\n50,50,4,T2\n9,9,5,\n")
    assert list(made.soundings.track) == ["T1", "T1", "T2", ""]


def test_unplaced_transects_keep_distance_and_depth():
    # two transects of Higginbotham, "The Tale of the Tape", Texas Cooperative Extension: 23 depths, sum 76,
    # mean 3.3 ft as printed; distances invented
    first, second = [0, 2, 3, 6, 6, 8, 7, 5, 3, 1, 0], [0, 1, 1, 1, 3, 4, 8, 6, 6, 4, 1, 0]
    rows = [f"{name},{10 * i},{d}" for name, line in (("1", first), ("2", second)) for i, d in enumerate(line)]
    made = read(xyz(*rows, head="transect,distance_ft,depth_ft"))
    assert made.soundings is None and made.origin is None
    feet = made.transects.depth / FOOT
    assert (len(feet), round(feet.sum(), 9), round(feet.mean(), 1)) == (23, 76, 3.3)
    assert made.transects.distance.max() == pytest.approx(110 * FOOT)
    assert "hand rules only" in note(made, "no place on the map")
    assert not any("depth 0" in text for text in made.notes)
    without_zeros = read(xyz(*(r for r in rows if r[-2:] != ",0"), head="transect,distance_ft,depth_ft"))
    # the same source less its zeros: 76 / 19 = 4.00 ft, 21 % too deep
    assert without_zeros.transects.depth.mean() / FOOT == pytest.approx(4.0, abs=1e-9)
    assert any("mean depth too large" in text for text in without_zeros.notes)


def test_transect_name_written_once_holds_for_the_rows_below():
    made = read("transect,distance_m,depth_m\nA,0,0\n,10,weeds\n,20,0\nB,0,0\n,9,1\n,18,0\n")
    assert list(made.transects.track) == ["A", "A", "B", "B", "B"]
    assert "4 rows" in note(made, "no transect name")
    first_unnamed = read("transect,distance_m,depth_m\n,0,0\nB,0,0\n,9,1\n,18,0\n")
    assert "no transect is named" in reasons(first_unnamed)[2]
    assert "taken as one transect" in note(read("distance_m,depth_m\n0,0\n9,1\n18,0\n"), "no transect column")


PLACED = "transect,distance_m,depth_m,x0_m,y0_m,x1_m,y1_m\n"


def test_transects_are_placed_between_their_ends():
    # 3-4-5 triangle: 25 m along a line from (10, 10) toward (40, 50), 50 m off, is (25, 30)
    made = read(PLACED + "A,0,0,10,10,40,50\nA,25,2,,,,\nA,50,0,,,,\nB,0,0,0,40,30,40\nB,30,1.5,0,40,30,40\n")
    np.testing.assert_allclose(made.soundings.x, [10, 25, 40, 0, 30])
    np.testing.assert_allclose(made.soundings.y, [10, 30, 50, 40, 40])
    assert list(made.soundings.track) == ["A", "A", "A", "B", "B"]


def test_transects_placed_by_degrees_agree_with_the_geodesic():
    ends = [39.0, -96.8, 39.0007, -96.7991]
    azimuth, _, length = GEOD.inv(ends[1], ends[0], ends[3], ends[2])
    made = read("transect,distance_m,depth_m,start_lat,start_lon,end_lat,end_lon\n" + "".join(
        f"A,{d},{1 + d / 50},{','.join(map(str, ends))}\n" for d in (0, 20, 45, 70)))
    lon, lat, _ = GEOD.fwd([ends[1]] * 4, [ends[0]] * 4, [azimuth] * 4, [0, 20, 45, 70])    # computed: pyproj.Geod
    x, y = to_local(np.array(lat), np.array(lon), made.origin)
    assert np.hypot(made.soundings.x - x, made.soundings.y - y).max() < 0.002
    assert length > 70


@pytest.mark.parametrize(("text", "message"), [
    (PLACED + "A,0,0,10,10,,\nA,9,1,,,,\nA,20,0,,,,\n", "0 usable rows"),
    (PLACED + "A,0,0,10,10,40,50\nA,9,1,10,10,80,50\nA,20,0,,,,\n",
     "ends of transect A change between row 2 and row 3"),
    (PLACED + "A,0,0,10,10,10,10\nA,9,1,,,,\nA,20,0,,,,\n", "starts and ends at one place"),
    (PLACED + "A,0,0,,,,\nA,9,1,,,,\nA,20,0,,,,\n", "are empty"),
    ("transect,distance_m,depth_m,x0_m,y0_m\nA,0,0,0,0\nA,15,2,,\nA,30,0,,\n", "only one end")])
def test_transect_ends_that_cannot_be(text, message):
    refused(message, text)


def test_transect_faults_that_do_not_stop_the_work():
    made = read(PLACED + "A,0,0,0,0,30,0\nA,15,2,,,,\nA,98,0,,,,\n"
                "B,0,0,0,40,100,40\nB,50,1,,,,\nC,5,1,,,,\nB,-4,1,,,,\n")
    assert "Feet and meters mixed, or a slack tape" in note(made, "Transect A")
    assert "not given, though those of others are" in reasons(made)[7]
    assert "distance is negative" in reasons(made)[8]


# ---- signs, units, order of coordinates ----


def test_all_negative_depths_offer_the_flip():
    text = xyz("0,0,-1", "50,0,-2", "50,50,-3", "0,50,-2.5")
    refused(r"4 of 4 depths are negative, such as in row 2 \('0,0,-1'\).*depths_are='upward'", text)
    np.testing.assert_allclose(read(text, depths_are="upward").soundings.depth, [1, 2, 3, 2.5])
    refused("depths are positive.*leave it out", text.replace("-", ""), depths_are="upward")
    refused("'sideways' is not known", text, depths_are="sideways")
    refused("every depth is zero", xyz("0,0,0", "50,0,0", "50,50,0"))


def test_some_negative_depths_are_dropped_and_listed():
    made = read(bowl(extra=["10,10,-2", "11,11,-9999"]))
    assert len(made.soundings) == 36
    assert [(d.row, d.text) for d in made.dropped] == [(38, "10,10,-2"), (39, "11,11,-9999")]
    assert "points up out of the water" in made.dropped[0].reason
    assert "code for a missing value" in made.dropped[1].reason


def test_feet_read_as_metres_raises_a_doubt_with_both_readings():
    # 1 acre, 20 ft deep: relative depth 8.49 % (exact); 20 m in the same pond 27.9 %
    steep = bowl(side=63.6, deepest=20 / (1 - 0.08 / 2.2))  # 63.6 m square is 1 acre; deepest cell 20.00
    text = note(read(steep), "Feet or meters?")
    assert "65.6 ft (20.0 m)" in text and "20.0 ft (6.10 m)" in text and "depth_unit" in text
    assert not any("Feet or meters?" in n for n in read(steep.replace("depth_m", "depth_ft")).notes)
    # precision tells as well
    whole = xyz(*(f"{40 * i},{70 * (i % 3)},{i % 7}" for i in range(14)))
    assert "whole, half or quarter" in note(read(whole), "Feet or meters?")
    tenths = whole.replace(",5\n", ",5.1\n").replace(",4\n", ",4.3\n")
    assert not any("Feet or meters?" in n for n in read(tenths).notes)
    fine = xyz(*(f"{40 * i},{70 * (i % 3)},{i % 7 * 0.43 + 0.11:.2f}" for i in range(14)), head="x_m,y_m,depth_ft")
    assert "to the hundredth" in note(read(fine), "Feet or meters?")


@pytest.mark.parametrize(("lon", "words"), [(-96.8, "impossible, for latitude ends at 90"), (-82.5, "polar regions")])
def test_swapped_latitude_and_longitude(lon, words):
    refused(f"{words}.*look swapped.*exchange the headings 'lat' and 'lon'", latlon(swap=True, lon=lon))
    assert len(read(latlon(lon=lon)).soundings) == 16


def test_lost_minus_sign_is_a_note_and_leaves_the_area():
    east, west = read(latlon(sign=-1)), read(latlon())
    assert "In the US longitude is negative" in note(east, "east of Greenwich")
    area = [doubts.hull_area(s.soundings.x, s.soundings.y) for s in (east, west)]
    assert area[0] == pytest.approx(area[1], rel=1e-9)


def test_degrees_headed_as_lengths_lengths_headed_as_degrees_and_a_zone_grid():
    refused("look like degrees used as lengths.*'lon' and 'lat'", latlon(header="y_m,x_m,depth_ft"))
    refused("near 4321030 and 690030.*'x_m,y_m'",
            "lat,lon,depth_ft\n4321000,690000,4\n4321030,690030,5\n4321060,690060,6\n")
    made = read("x_m,y_m,depth_ft\n690000,4321000,4\n690030,4321030,5\n690060,4321000,6\n")
    assert "0.08 % small" in note(made, "UTM")


def test_degrees_in_other_dress():
    made = read("lat,lon,depth_ft\n39.0000° N,96.8 W,5\n39.001 N,96.8 W,6\n39.001,-96.801,4\n"
                "39 2 28.3,-96.8,4\n39° 0.03' N,96° 48.03' W,5\n39 75,-96.8,4\n0,0,3\n139,-96.8,3\n")
    assert len(made.soundings) == 4 and made.origin == (39.001, -96.8)
    assert "14,6" in reasons(made)[5]         # 39 + 2/60 + 28.3/3600 = 39.04119, read and found far from the pond
    assert "not degrees" in reasons(made)[7]
    assert "no position" in reasons(made)[8]
    assert "beyond 90" in reasons(made)[9]


# ---- stray points, slips of depth, repeats ----


def test_stray_point_is_dropped():
    text = bowl(extra=["225,25,2"])  # the median of the 37 is (30, 25), so this is 195 m off
    assert "lies 640 ft (195 m) from the middle" in reasons(read(text))[38]
    long_pond = xyz(*(f"{5 * i},{3 * (i % 2)},{1 + i % 3 / 7:.2f}" for i in range(80)))
    assert read(long_pond).dropped == ()


def test_absurd_depth():
    made = read(bowl(extra=["11,12,31.4"]))  # 3.14 with the point moved
    assert "decimal point" in reasons(made)[38] and len(made.soundings) == 36


def test_exact_repeat_is_dropped_and_other_depth_at_one_place_is_averaged():
    made = read(bowl(extra=["0.00,0.00,0.29", "10.00,10.00,3.51"]))
    at = made.soundings
    assert reasons(made)[38] == "repeats row 2: same place, same depth"
    assert "row 9 now holds the average" in reasons(made)[39]
    # row 9 is the grid point (10, 10): u = v = -0.6, depth 3.14 (1 - 0.72/2.2) = 2.11 as written;
    # its mean with 3.51 is 2.81
    assert at.depth[(at.x == 10) & (at.y == 10)] == pytest.approx([2.81], abs=1e-12)
    assert "rows 9 and 39" in note(made, "two or more different depths")


# ---- cells, encodings, delimiters ----


NO_LENGTH = "not a length such as 5.5, '5.5 ft' or '5 ft 6 in'"


def test_every_bad_cell_is_listed_with_its_row():
    made = read("# invented\n\nx_m,y_m,depth_m,track\n0,0,1,a\n50,0,weeds,a\n# remark\n50,50,2,a\n,50,2,a\n10,10,,b\n"
                "20,20,nan,b\n21,20,inf,b\n30,30,NA,b\n0,50,2,b\n,,,\n7,9\n")
    assert list(made.soundings.row) == [4, 7, 13]
    none = dict.fromkeys((9, 10, 12, 15), "no depth is given")
    assert reasons(made) == none | {5: f"the depth is 'weeds', {NO_LENGTH}", 8: "no x is given",
                                    11: f"the depth is 'inf', {NO_LENGTH}"}
    assert [d.text for d in made.dropped][0] == "50,0,weeds,a"
    # in an otherwise clean file the whole column is read in one go
    clean = read(bowl(extra=["1,1,nan", "2,2,inf"]))
    assert reasons(clean) == {38: "no depth is given", 39: f"the depth is 'inf', {NO_LENGTH}"}
    # 1_0 is a number to a programmer alone
    assert "'1_0'" in reasons(read(bowl(extra=["1,1,1_0"])))[38]


@pytest.mark.parametrize(("coding", "end"), [*((c, "\n") for c in (
    "utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be")), ("utf-8", "\r\n"), ("utf-8", "\r")])
def test_encodings_and_line_ends(tmp_path, coding, end):
    text = "lat,lon,depth_ft,line\n39.0,-96.8,5,Señor’s\n39.001,-96.8,6,Señor’s\n39.001,-96.801,4,b\n"
    (tmp_path / "soundings.csv").write_bytes(text.replace("\n", end).encode(coding))
    made = read(tmp_path / "soundings.csv")
    assert list(made.soundings.track) == ["Señor’s", "Señor’s", "b"]
    np.testing.assert_allclose(made.soundings.depth / FOOT, [5, 6, 4])


@pytest.mark.parametrize("text", [
    "x_m;y_m;depth_m\n0;0;3,2\n50,5;0;4,1\n50,5;50;2,25\n",
    "sep=;\nx_m;y_m;depth_m\n0;0;3.2\n50.5;0;4.1\n50.5;50;2.25\n",
    "x_m\ty_m\tdepth_m\n0\t0\t3,2\n50,5\t0\t4,1\n50,5\t50\t2,25\n",
    'x_m,y_m,depth_m\n0,0,"3.2"\n50.5,0, 4.1\n"50.5",50,2.25\n',
    "x_m,y_m,depth_m,,\n0,0,3.2,,\n50.5,0,4.1,,\n50.5,50,2.25,,\n,,,,\n"])
def test_delimiters_decimal_commas_and_empty_columns(text):
    made = read(text)
    np.testing.assert_allclose(made.soundings.depth, [3.2, 4.1, 2.25])
    np.testing.assert_allclose(made.soundings.x, [0, 50.5, 50.5])
    assert made.dropped == ()


@pytest.mark.parametrize(("text", "feet", "says"), [
    ("x_ft\ty_ft\tdepth_ft\n1,000\t0\t9\n1,500\t0\t8\n1,500\t1,200\t4\n", [1000, 1500, 1500], "read as thousands"),
    ("x_ft;y_ft;depth_ft\n1,250;0;9\n1,500;0;8\n1,500;1,200;4\n", [1.25, 1.5, 1.5], "read as decimals"),
    ('x_ft,y_ft,depth_ft\n"1,000",0,9\n"1,500",0,8\n"1,500",1200,4\n', [1000, 1500, 1500], None)])
def test_commas_that_could_be_thousands_are_a_note(text, feet, says):
    made = read(text)
    np.testing.assert_allclose(made.soundings.x / FOOT, feet)
    assert says is None or says in note(made, "Commas")


def test_decimal_commas_in_a_comma_file_cannot_be_told_apart():
    refused("every row has more entries than the 3 columns.*semicolons",
            "x_m,y_m,depth_m\n0,5,0,5,3,2\n50,5,0,5,4,1\n50,5,50,5,2,2\n")
    assert "more entries" in reasons(read(bowl(extra=["5,5,3,2"])))[38]


@pytest.mark.parametrize(("text", "message"), [
    ("", "is empty.*lat,lon,depth_ft"), ("\n\n# nothing\n", "is empty"), ("lat,lon,depth_ft\n", "no rows below it"),
    ("0,0,1\n50,0,2\n50,50,3\n", "first row, '0,0,1', is numbers.*Put a first line"),
    ("depth\n1\n2\n", "one column only"), ("lat,depth_ft\n39,5\n39,6\n", "columns are lat, depth_ft. Needed are"),
    ("x_m,y_m\n1,2\n3,4\n", "Needed are columns such as 'lat,lon,depth_ft'"),
    ("x_m,y_m,depth_ft,depth_m\n1,2,3,1\n", "two columns give the depth: 'depth_ft' and 'depth_m'"),
    ("x_m,y_m,depth_m\n0,0,1\n5,5,2\n9,9,weeds\n", r"2 usable rows; 3 or more.*row 4 the depth is 'weeds'"),
    ("soundings.csv", r"looks like the name of a file.*Path\('soundings.csv'\)"),
    (b"PK\x03\x04rest", "is a spreadsheet workbook.*save the sheet as CSV")])
def test_files_that_cannot_be_read_say_why(text, message):
    refused(message, text)


def test_a_missing_file_names_its_neighbors(tmp_path):
    (tmp_path / "other.csv").write_text("x")
    refused("'mine.csv' could not be opened.*other.csv", tmp_path / "mine.csv")


def test_open_file_bytes_and_path_read_alike(tmp_path):
    file = tmp_path / "a.csv"
    file.write_text(bowl(), encoding="utf-8")
    expected = read(bowl()).soundings.depth
    with open(file, encoding="utf-8") as opened, open(file, "rb") as raw:
        for source in (file, opened, raw, bowl().encode(), io.StringIO(bowl()), memoryview(bowl().encode())):
            np.testing.assert_array_equal(read(source).soundings.depth, expected)


def test_few_soundings_or_all_on_one_line_are_a_note():
    assert "SEAFWA 1983" in note(read(xyz("0,0,1.1", "50,0,2.2", "50,50,1.3")), "Only 3 soundings")
    assert not any("Only" in n for n in read(bowl()).notes)
    line = read(xyz(*(f"{3 * i},{4 * i},{1 + i % 3 / 7:.2f}" for i in range(14))))
    assert "cross-section" in note(line, "straight line")


# ---- shoreline ----


@pytest.mark.parametrize("extra", ["", "-2,-2\n"])
def test_shoreline_is_closed_once_whether_or_not_the_file_repeats_its_first_point(extra):
    made = read(bowl(), SQUARE + extra)
    assert len(made.shoreline) == 4 and made.dropped == ()
    assert doubts.ring_area(made.shoreline.x, made.shoreline.y) == pytest.approx(54**2)


def test_no_shoreline_or_half_of_one_says_what_it_costs():
    assert "may be larger" in note(read(bowl()), "no shoreline")
    walk = [*((-2, y) for y in range(-2, 53, 6)), *((x, 52) for x in range(4, 53, 6)),
            *((52, y) for y in range(46, -3, -6))]
    made = read(bowl(), xyz(*(f"{x},{y}" for x, y in walk), head="x_m,y_m"))
    assert "straight piece of 177 ft (54.0 m)" in note(made, "walk was not finished")


def test_soundings_outside_the_shoreline():
    made = read(bowl(extra=["56,25,0.4", "62,25,0.5", "52,20,0.1"]), SQUARE)
    why = reasons(made)
    assert "lies 33 ft (10 m) outside the shoreline" in why[39] and "receiver" not in why[39]
    assert "lies 13 ft (4.0 m) outside the shoreline, no more than a receiver may miss by" in why[38]
    assert "lies on the shoreline" in why[40]
    # listed as left out and not used; what is not listed is used, every one
    kept, bank = made.soundings, made.shoreline
    assert len(kept) == 36 and not any("kept" in words for words in made.notes)
    bed = basin.build_basin(kept.x, kept.y, kept.depth, bank.x, bank.y)
    assert bed.left_out == 0 and len(bed.x) - bed.shore == len(kept)
    many = read(bowl(extra=[f"53,{y},0.4" for y in range(1, 9)]), SQUARE)
    assert "8 of 44 soundings" in note(many, "one map")


@pytest.mark.parametrize(("soundings", "bank", "message"), [
    (bowl(), SQUARE.replace("-2", "4998").replace("52", "5052"),
     r"36 of 36 soundings lie outside.*lie [\d,]+ ft \([\d,]+ m\) apart"),
    (bowl(), SQUARE.replace("_m", "_ft"), "one file is in feet and the other"),
    (bowl(), "lat,lon\n39,-96\n39.001,-96\n39.001,-96.001\n",
     "shoreline is in latitude and longitude but the soundings are in x and y"),
    (latlon(), "lat,lon\n-96.801,38.999\n-96.801,39.001\n-96.799,39.001\n-96.799,38.999\n", "look swapped"),
    (bowl(), "x_m,y_m\n-2,-2\n52,52\n52,-2\n-2,52\n", "crosses itself near rows 2 and 4.*order you would walk"),
    (bowl(), "x_m,y_m\n0,0\n9,9\n", "2 usable rows"),
    (bowl(), "a,b\n0,0\n9,9\n", "Needed are columns such as 'lat,lon' or")])
def test_a_shoreline_that_cannot_be(soundings, bank, message):
    refused(message, soundings, bank)


def test_soundings_in_feet_within_a_bank_in_metres_are_a_note():
    made = read(bowl("x_ft,y_ft,depth_m"), SQUARE)
    assert "feet and the other" in note(made, "reach over only")


def test_a_small_loop_of_the_shoreline_is_cut_out():
    turn = np.linspace(0, 2 * math.pi, 40, endpoint=False)
    ring = [f"{25 + 40 * math.cos(t):.3f},{25 + 40 * math.sin(t):.3f}" for t in turn]
    ring[10], ring[11] = ring[11], ring[10]
    made = read(bowl(), xyz(*ring, head="x_m,y_m"))
    assert made.dropped and all("small loop" in d.reason and d.row in (12, 13) for d in made.dropped)
    assert doubts.first_crossing(made.shoreline.x, made.shoreline.y) is None


def test_shoreline_rows_left_out_are_listed_as_such():
    made = read(bowl(), SQUARE + "-2,52\n9000,9000\nx,3\n")
    assert [(d.row, d.reason.split(":")[0]) for d in made.dropped] == [(row, "shoreline file") for row in (6, 7, 8)]


def test_unplaced_transects_may_have_a_shoreline():
    text = "transect,distance_ft,depth_ft\nA,0,0\nA,20,5\nA,40,0\n"
    made = read(text, DATA / "demo-shoreline.csv")
    assert made.soundings is None and made.origin is not None and len(made.shoreline) == 90
    assert "area of the pond has to come from elsewhere" in note(read(text), "no shoreline")


# ---- records and report ----


def test_records_take_quantities_and_refuse_nonsense():
    made = asked(Soundings)(Q([0, 10], "ft"), Q([0, 10], "ft"), Q([1, 2], "m"))
    assert made.x[1] == pytest.approx(3.048) and len(made) == 2
    with pytest.raises(ValueError):
        made.depth[0] = 5
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.depth = 5
    for kind, columns, message in (
            (Soundings, ([0, 1], [0, 1], [1]), "same length"),
            (Soundings, ([0, 1], [0, 1], [1, -1]), "above the water"),
            (Transects, (["A", "A"], [0, math.nan], [1, 1]), "a number in every place"),
            (Shoreline, ([0, 1], [0, 1]), "three points or more")):
        with pytest.raises(FieldDataError, match=message):
            kind(*columns)


def test_report_says_what_a_person_wants_to_know():
    text = report(read(DATA / "demo-soundings-with-slips.csv", DATA / "demo-shoreline.csv"))
    assert re.search(r"^153 soundings on 10 tracks\. The deepest reads 14\.\d ft \(4\.\d\d m\)\.$", text, re.MULTILINE)
    assert "The shoreline has 90 points and holds 2." in text
    assert "7 rows were left out:" in text and "weeds" in text
    metric = report(read(bowl(extra=["1,1,-2"])), "metric")
    assert "36 soundings. The deepest reads" in metric and "1 row was left out:" in metric
    assert "and 9 more, listed in survey.dropped" in report(read(bowl(extra=["1,1,x"] * 12)), rows=3)
    unplaced = report(read(DATA / "demo-transects.csv"))
    assert "on 4 transects" in unplaced and "No rows were left out." in unplaced


def test_clean_and_untidy_reading_give_the_same_numbers():
    clean = read(bowl()).soundings
    text = bowl(extra=["1,1,weeds"]).replace("depth_m\n0.00,0.00,0.29", "depth_m\n0.00 m,0.00 m,29 cm")
    untidy = read(text).soundings
    np.testing.assert_allclose(untidy.depth, clean.depth, rtol=1e-12)
    np.testing.assert_allclose(untidy.x, clean.x, rtol=1e-12)


def test_large_file_keeps_every_row_number():
    x, y, depth = np.random.default_rng(8).uniform(0, [[100], [100], [3]], (3, 20000))
    rows = [f"{a:.6f},{b:.6f},{1 + c:.2f}" for a, b, c in zip(x, y, depth, strict=True)]
    rows[777] = "5,5,oops"
    made = read(xyz(*rows))
    assert reasons(made) == {779: f"the depth is 'oops', {NO_LENGTH}"}
    np.testing.assert_allclose(made.soundings.x[[0, -1]], [x[0], x[-1]], atol=1e-6)


@settings(deadline=None, max_examples=15)
@given(st.integers(0, 10_000), st.floats(0, 6.28), st.floats(-5000, 5000), st.integers(0, 35), st.booleans())
def test_a_survey_turned_moved_or_in_another_order_holds_the_same_water(seed, angle, shift, first, backward):
    rng = np.random.default_rng(seed)
    places, depth = rng.uniform(-25, 25, (2, 60)), rng.uniform(0.5, 5, 60)
    turn = np.arange(36) * 2 * np.pi / 36
    bank = (40 + 4 * np.cos(3 * turn)) * np.array([np.cos(turn), np.sin(turn)])

    def held(places, depth, bank):
        rows = (",".join(map(repr, row)) for row in np.vstack([places, depth]).T.tolist())
        made = read(xyz(*rows), xyz(*(f"{a!r},{b!r}" for a, b in bank.T.tolist()), head="x_m,y_m"))
        assert len(made.soundings) == 60
        bed = basin.build_basin(made.soundings.x, made.soundings.y, made.soundings.depth, made.shoreline.x,
                                made.shoreline.y)
        return np.array(basin.at_level(bed, np.array([0.0, 1.0, 2.5])))

    def move(at):
        c, s = np.cos(angle), np.sin(angle)
        return np.array([[c, -s], [s, c]]) @ at + [[shift], [-shift / 2]]
    order, again = rng.permutation(60), np.roll(move(bank), first, axis=1)
    moved = held(move(places)[:, order], depth[order], again[:, ::-1] if backward else again)
    np.testing.assert_allclose(moved, held(places, depth, bank), rtol=1e-6)


CELLS = st.sampled_from(["0", "1", "2.5", "-3", "", "nan", "inf", "1e400", "weeds", "5 ft", "1,5", "-9999", "°", '"',
                         "½"])


@settings(deadline=None, max_examples=150)
@given(st.sampled_from(["x_m,y_m,depth_ft", "lat;lon;depth", "transect,distance_m,depth_m", "x_m,y_m,depth"]),
       st.lists(st.lists(CELLS, min_size=1, max_size=4), max_size=12), st.sampled_from([",", ";", "\t"]))
def test_untidy_text_is_read_or_refused_in_plain_words(heading, rows, mark):
    text = "\n".join([heading, *(mark.join(row) for row in rows)])
    try:
        made = read(text, depth_unit="ft" if "depth" == heading[-5:] else None)
    except FieldDataError as refusal:
        assert len(str(refusal)) > 40
    else:
        assert np.isfinite(made.depth).all() and made.depth.min() >= 0
        assert report(made)
