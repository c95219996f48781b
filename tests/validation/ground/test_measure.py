"""Distances to features against geodesics of another library, and against a map grid."""

import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from tendline.core.feature import Feature
from tendline.core.place import LonLat, Outline
from tendline.core.words import FeatureClass
from tendline.ground.measure import distance_m, inside_m

HERE = LonLat(-78.0123, 41.5234)
RNG = np.random.default_rng(20270115)


@pytest.mark.parametrize("metres", [1.5, 45.72, 500.0, 1609.344, 20_000.0])
@pytest.mark.parametrize("azimuth", [0.0, 73.0, 210.0])
def test_a_dot_is_as_far_off_as_the_geodesic(metres: float, azimuth: float) -> None:
    """GeographicLib's direct problem lays the dot down; limits of the law run from 5 ft to a mile."""
    end = Geodesic.WGS84.Direct(HERE.lat, HERE.lon, azimuth, metres)
    dot = Feature("dot", FeatureClass.DEN, place=LonLat(end["lon2"], end["lat2"]))
    assert distance_m(HERE, dot) == pytest.approx(metres, rel=1e-6)


def test_a_line_is_as_far_off_as_its_nearest_place() -> None:
    """A straight road of two kilometres, walked over in ten thousand steps by GeographicLib.

    Straight in degrees and straight on the ground part by L^2 tan(lat) / 8 R at most:
    2000^2 x 0.885 / (8 x 6.37e6) = 0.069 m, far below what any drawing is worth.
    """
    a, b = LonLat(-78.02, 41.52), LonLat(-78.00, 41.53)
    inverse = Geodesic.WGS84.Inverse
    steps = [
        inverse(HERE.lat, HERE.lon, a.lat + t * (b.lat - a.lat), a.lon + t * (b.lon - a.lon))["s12"]
        for t in np.linspace(0.0, 1.0, 10_001)
    ]
    found = distance_m(HERE, Feature("road", FeatureClass.ROAD, path=(a, b)))
    assert found == pytest.approx(min(steps), abs=0.08)


def test_areas_are_measured_as_on_a_map_grid() -> None:
    """UTM zone 17 by pyproj and shapely; its scale here is within 1.0008."""
    turn = Transformer.from_crs("EPSG:4326", "EPSG:32617", always_xy=True)
    for _ in range(20):
        lon, lat = HERE.lon + RNG.uniform(-0.01, 0.01), HERE.lat + RNG.uniform(-0.01, 0.01)
        half = 0.001
        corners = [
            (lon - half, lat - half),
            (lon + half, lat - half),
            (lon + half, lat + half),
            (lon - half, lat + half),
        ]
        ring = (*(LonLat(*corner) for corner in corners), LonLat(*corners[0]))
        area = Feature("pen", FeatureClass.LIVESTOCK_ENCLOSURE, outline=Outline(((ring,),)))
        flat = shapely.Polygon([turn.transform(*corner) for corner in corners])
        point = shapely.Point(turn.transform(HERE.lon, HERE.lat))
        assert distance_m(HERE, area) == pytest.approx(flat.distance(point), rel=1.5e-3, abs=0.05)
        depth = inside_m(HERE, area)
        assert depth is not None
        signed = flat.exterior.distance(point) * (1 if flat.contains(point) else -1)
        assert depth == pytest.approx(signed, rel=1.5e-3, abs=0.05)
