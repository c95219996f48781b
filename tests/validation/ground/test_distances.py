"""Distances to outlines against GeographicLib, walked along the edge in small steps."""

import math

import pytest
from geographiclib.geodesic import Geodesic

from tendline.core.place import LonLat, Outline
from tendline.ground.shapes import distance_to_outline_m

# Karney (2013), Algorithms for geodesics, Journal of Geodesy 87, 43-55, as GeographicLib implements it.
EARTH = Geodesic.WGS84

CORNERS = [(-78.0, 41.0), (-77.985, 41.002), (-77.98, 41.02), (-77.995, 41.013), (-78.004, 41.019)]


def nearest_m(place: LonLat, corners: list[tuple[float, float]]) -> float:
    """Walk every side, straight in degrees as files draw it, in 2000 steps: the shortest geodesic."""
    best = math.inf
    for (lon0, lat0), (lon1, lat1) in zip(corners, [*corners[1:], corners[0]], strict=True):
        for n in range(2001):
            share = n / 2000
            lon, lat = lon0 + share * (lon1 - lon0), lat0 + share * (lat1 - lat0)
            best = min(best, EARTH.Inverse(place.lat, place.lon, lat, lon)["s12"])
    return best


@pytest.mark.parametrize(
    "place",
    [LonLat(-77.99, 41.01), LonLat(-77.9999, 41.0001), LonLat(-78.02, 41.05), LonLat(-77.995, 41.0129)],
)
def test_the_distance_to_an_outline_is_the_shortest_geodesic(place: LonLat) -> None:
    ring = tuple(LonLat(*corner) for corner in [*CORNERS, CORNERS[0]])
    outline = Outline(((ring,),))
    # The steps are up to 1.1 m: the foot of the perpendicular is missed by at most half of that, which at a
    # distance d lengthens it by 0.55^2 / (2 d); a side straight in degrees bends by less than 0.05 m in
    # projection.
    expected = nearest_m(place, CORNERS)
    assert distance_to_outline_m(place, outline) == pytest.approx(expected, abs=0.05 + 0.16 / expected)
