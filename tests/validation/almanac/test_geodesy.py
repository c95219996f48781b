"""Distances, areas and zones against GeographicLib, published lines, and the EPSG register."""

import math

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pyproj.database import query_utm_crs_info

from tendline.almanac.geodesy import (
    Projector,
    area_m2,
    azimuth_deg,
    distance_m,
    distances_m,
    path_m,
    utm_crs,
)
from tendline.core.place import LonLat, Outline


def test_wellington_to_salamanca() -> None:
    """GeographicLib's own documentation: 41.32 S 174.81 E to 40.96 N 5.50 W is 19959679.267 m."""
    assert distance_m(LonLat(174.81, -41.32), LonLat(-5.50, 40.96)) == pytest.approx(19959679.267, abs=1e-3)


def test_flinders_peak_to_buninyong() -> None:
    """GDA technical manual (ICSM), test line, from memory: 54972.271 m at 306 deg 52' 05.37".

    On GRS80, whose half axis is a tenth of a millimetre off that of WGS84.
    """
    flinders = LonLat(144 + 25 / 60 + 29.52440 / 3600, -(37 + 57 / 60 + 3.72030 / 3600))
    buninyong = LonLat(143 + 55 / 60 + 35.38390 / 3600, -(37 + 39 / 60 + 10.15610 / 3600))
    assert distance_m(flinders, buninyong) == pytest.approx(54972.271, abs=1e-3)
    assert azimuth_deg(flinders, buninyong) == pytest.approx(306 + 52 / 60 + 5.37 / 3600, abs=0.01 / 3600)


def test_from_pole_to_pole() -> None:
    """Twice the meridian quadrant of WGS84, 10001965.729 m (NGA standard 0036)."""
    assert distance_m(LonLat(0, 90), LonLat(57, -90)) == pytest.approx(2 * 10001965.729, abs=2e-3)


def test_across_the_antimeridian() -> None:
    """A degree of the equator: 6378137 m x pi / 180 = 111319.491 m."""
    expected = 6378137.0 * math.pi / 180.0
    assert distance_m(LonLat(179.5, 0), LonLat(-179.5, 0)) == pytest.approx(expected, abs=1e-6)
    assert azimuth_deg(LonLat(179.5, 0), LonLat(-179.5, 0)) == pytest.approx(90.0)


def test_many_pairs_over_the_whole_earth() -> None:
    """GeographicLib for Python, C. F. F. Karney, whose algorithms are the reference."""
    chance = np.random.default_rng(5)
    lons = np.concatenate([chance.uniform(-180, 180, 60), [180.0, -180.0, 0.0, 12.0]])
    lats = np.concatenate([np.degrees(np.arcsin(chance.uniform(-1, 1, 60))), [5.0, -5.0, 90.0, -90.0]])
    places = [LonLat(lon, lat) for lon, lat in zip(lons, lats, strict=True)]
    found = distances_m(places, places[:7])
    for i, a in enumerate(places):
        for j, b in enumerate(places[:7]):
            line = Geodesic.WGS84.Inverse(a.lat, a.lon, b.lat, b.lon)
            assert found[i, j] == pytest.approx(line["s12"], abs=1e-6)
            if 1.0 < line["s12"] < 19.9e6 and max(abs(a.lat), abs(b.lat)) < 90:
                off = (azimuth_deg(a, b) - line["azi1"] + 180) % 360 - 180
                assert off == pytest.approx(0.0, abs=1e-7)


def test_the_area_of_antarctica() -> None:
    """GeographicLib's own example: perimeter 16831067.893 m, area 13662703680020.1 m2, round the pole."""
    corners = (
        *((-63.1, -58), (-72.9, -74), (-71.9, -102), (-74.9, -102), (-74.3, -131), (-77.5, -163)),
        *((-77.4, 163), (-71.7, 172), (-65.9, 140), (-65.7, 113), (-66.6, 88), (-66.9, 59)),
        *((-69.8, 25), (-70.0, -4), (-71.0, -14), (-77.3, -33), (-77.9, -46), (-74.7, -61)),
    )
    ring = tuple(LonLat(lon, lat) for lat, lon in (*corners, corners[0]))
    assert path_m(ring) == pytest.approx(16831067.893, abs=1e-3)
    assert area_m2(Outline(((ring,),))) == pytest.approx(13662703680020.1, rel=1e-12)


def test_zones_are_those_of_the_register() -> None:
    """EPSG's UTM zones on WGS 84, whose areas of use PROJ's database holds."""
    areas = {f"EPSG:{zone.code}": zone.area_of_use for zone in query_utm_crs_info("WGS 84")}
    assert len(areas) == 120
    for lon in np.arange(-179.0, 180.0, 1.5):
        for lat in (-62.5, -1.0, 1.0, 44.0):
            area = areas[utm_crs(LonLat(float(lon), lat))]
            assert area is not None
            assert area.west <= lon <= area.east
            assert area.south <= lat <= area.north


def test_the_middle_of_a_zone_at_45_degrees() -> None:
    """On the middle meridian easting is 500000 m; northing 0.9996 x the arc 4984944.378 m (from memory)."""
    x, y = Projector("EPSG:32617").to_xy(LonLat(-81.0, 45.0))
    assert (x, y) == pytest.approx((500000.0, 0.9996 * 4984944.378), abs=1e-3)
