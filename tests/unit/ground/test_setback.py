"""Setbacks drawn for a map, against geodesics (GeographicLib's algorithm in PROJ)."""

import pytest
from pyproj import Geod

from tendline.core.feature import Feature
from tendline.core.place import LonLat, Outline
from tendline.core.words import Edge, FeatureClass
from tendline.ground.measure import DOT_M, away
from tendline.ground.setback import setback, slack_m

HOUSE = LonLat(-63.2, 41.57)
EARTH = Geod(ellps="WGS84")


def metres(a: LonLat, b: LonLat) -> float:
    return float(EARTH.inv(a.lon, a.lat, b.lon, b.lat)[2])


def test_a_dot_has_a_circle_round_it() -> None:
    den = Feature("den", FeatureClass.DEN, place=HOUSE)
    ((ring,),) = setback(den, 45.72)
    assert [metres(HOUSE, place) for place in ring] == pytest.approx([45.72] * len(ring), abs=1e-3)
    assert ring[0] == ring[-1]
    assert len(ring) == 65


def test_a_house_drawn_as_a_dot_may_reach_beyond_it_as_the_law_takes_it() -> None:
    house = Feature("farm", FeatureClass.DWELLING, place=HOUSE)
    ((ring,),) = setback(house, 100.0)
    assert metres(HOUSE, ring[0]) == pytest.approx(100.0 + DOT_M, abs=1e-3)
    # on the edge of what is drawn, the least distance that the law counts is the distance itself
    assert away(ring[0], house)[0].least_m == pytest.approx(100.0, abs=0.01)


def test_a_wide_trail_is_set_back_from_its_edge() -> None:
    trail = Feature(
        "rail",
        FeatureClass.TRAIL,
        path=(HOUSE, LonLat(-63.19, 41.57)),
        edge=Edge.CENTRE,
        width_m=6.0,
    )
    assert slack_m(trail) == 3.0
    ((ring,),) = setback(trail, 10.0)
    middle = LonLat(-63.195, max(place.lat for place in ring))
    assert metres(LonLat(-63.195, 41.57), middle) == pytest.approx(
        13.0, abs=0.15
    )  # the parallel bends by 5 cm


def test_an_area_is_part_of_its_own_setback() -> None:
    square = (HOUSE, LonLat(-63.19, 41.57), LonLat(-63.19, 41.58), LonLat(-63.2, 41.58), HOUSE)
    pen = Feature("pen", FeatureClass.LIVESTOCK_ENCLOSURE, outline=Outline(((square,),)))
    (polygon,) = setback(pen, 20.0)
    assert len(polygon) == 1
    lats = [place.lat for place in polygon[0]]
    assert min(lats) < 41.57
    assert max(lats) > 41.58
