"""The local map: metres from degrees, against a printed table and the geodesic."""

import math
from pathlib import Path

import numpy as np
import pyproj
import pytest

from pondcalc.how_much_water import doubts
from pondcalc.how_much_water.survey import read_survey
from pondcalc.how_much_water.surveymap import to_local
from pondcalc.units import Q, QuantityError

DATA = Path(__file__).resolve().parent.parent / "data"


@pytest.mark.parametrize(
    "lat, north, east",
    [(0, 110.574, 111.320), (30, 110.852, 96.486), (45, 111.132, 78.847), (60, 111.412, 55.800)],
)
def test_metres_per_degree_against_the_printed_table(lat, north, east):
    # km per degree of latitude and longitude, WGS 84: table in "Length of a degree of longitude"
    # (encyclopedia article, liquisearch.com copy), seen
    x, y = to_local.si(
        np.array([lat - 0.0005, lat + 0.0005, lat]), np.array([-97.0, -97.0, -96.999]), (lat, -97.0)
    )
    assert y[1] - y[0] == pytest.approx(north, abs=0.001)
    assert x[2] == pytest.approx(east, abs=0.001)


def test_local_map_agrees_with_the_geodesic_and_utm_does_not():
    rng = np.random.default_rng(3)
    angle, away = rng.uniform(0, 2 * math.pi, 40), rng.uniform(0, 300, 40)
    geod = pyproj.Geod(ellps="WGS84")
    lon, lat, _ = geod.fwd([-96.8] * 40, [39.04] * 40, np.degrees(angle), away)
    x, y = to_local.si(np.array(lat), np.array(lon), (39.04, -96.8))
    np.testing.assert_allclose(np.hypot(x, y), away, atol=1e-4)  # computed: pyproj.Geod
    np.testing.assert_allclose(x, away * np.sin(angle), atol=1e-3)
    # 90 m square on the central meridian of UTM zone 14 (99 W): 0.9996 squared, 0.08 % small
    corners = [geod.fwd(-99.0, 39.0, az, 90 / math.sqrt(2))[:2] for az in (45, 135, 225, 315)]
    clon, clat = np.array(corners).T
    ours = doubts.ring_area(*to_local.si(clat, clon, (39.0, -99.0)))
    utm = doubts.ring_area(*pyproj.Proj("EPSG:32614")(clon, clat))
    true = abs(geod.polygon_area_perimeter(clon, clat)[0])
    assert ours == pytest.approx(true, rel=1e-6)
    assert utm / true == pytest.approx(0.9996**2, rel=1e-6)


@pytest.mark.parametrize("origin", [(0.0, 0.0), (29.95, -90.07), (47.6, -122.3), (64.8, -147.7), (80.0, 20.0),
                                    (-33.9, 18.4), (-45.0, 170.5), (-16.8, 180.0), (-16.8, -179.999), (52.0, 179.99)])
def test_local_map_against_the_projection_library(origin):
    # within 1 cm at 1 km of pyproj's transverse Mercator, and 1 mm of its geodesic; north, south, each side of the
    # date line
    rng = np.random.default_rng(7)
    azimuth, away = rng.uniform(0, 360, 60), np.r_[np.full(30, 1000.0), rng.uniform(1, 1000, 30)]
    lon, lat, _ = pyproj.Geod(ellps="WGS84").fwd([origin[1]] * 60, [origin[0]] * 60, azimuth, away)
    x, y = to_local.si(np.array(lat), np.array(lon), origin)
    theirs = pyproj.Proj(proj="tmerc", lat_0=origin[0], lon_0=origin[1], k_0=1, datum="WGS84")(lon, lat)
    np.testing.assert_allclose([x, y], theirs, atol=0.01)
    np.testing.assert_allclose(np.hypot(x, y), away, atol=1e-3)
    np.testing.assert_allclose(x, away * np.sin(np.radians(azimuth)), atol=2e-2)
    far_x, far_y = to_local.si(np.array([origin[0]]), np.array([origin[1] + 180.0]), origin)
    assert np.isinf(far_x) and np.isinf(far_y), "the other side of the Earth never looks near"


def test_a_pond_on_the_date_line_is_one_pond():
    # 200 m square across 180 degrees, written with both signs, with an even number on each side
    lat, lon = np.meshgrid(-17.0 + np.linspace(0, 0.0018, 6), np.r_[179.9991:179.99991:3j, -179.9999:-179.9991:3j])
    rows = "".join(f"{a:.6f},{o:.6f},2.0\n" for a, o in zip(lat.ravel(), lon.ravel(), strict=True))
    survey = read_survey("lat,lon,depth_m\n" + rows)
    assert len(survey.soundings) == 36
    assert np.ptp(survey.soundings.x) == pytest.approx(0.0018 * 106.5e3, rel=0.01)      # 106.5 km a degree at 17 S


def test_soundings_and_shoreline_share_one_map():
    survey = read_survey(DATA / "demo-soundings.csv", DATA / "demo-shoreline.csv")
    geod = pyproj.Geod(ellps="WGS84")
    lat, lon = (float(v) for v in (DATA / "demo-shoreline.csv").read_text().splitlines()[2].split(","))
    slat, slon = (float(v) for v in (DATA / "demo-soundings.csv").read_text().splitlines()[2].split(",")[:2])
    away = math.hypot(
        survey.shoreline.x[0] - survey.soundings.x[0], survey.shoreline.y[0] - survey.soundings.y[0]
    )
    assert away == pytest.approx(geod.inv(lon, lat, slon, slat)[2], abs=1e-3)


def test_quantities_at_the_door():
    x, y = to_local(Q([39.001], "deg"), Q([-97.0], "deg"), (39.0, -97.0))
    assert y.m_as("m")[0] == pytest.approx(111.0, abs=0.05)  # between 110.852 and 111.132 in the table above
    with pytest.raises(QuantityError, match="needs a unit"):
        read_survey(DATA / "demo-soundings.csv", depth_limit=5)
