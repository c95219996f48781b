"""Features of the ground: read from files, made into nouns, measured by their edges."""

import json
from typing import Any

import pytest

from tendline.core.feature import Feature
from tendline.core.place import LonLat, Outline
from tendline.core.words import Edge, FeatureClass
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.features import features_of
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.measure import DOT_M, away, distance_m, inside_m, nearest
from tendline.ground.table import read_table
from tests.unit.ground.support import NOW, ZONE, codes_of, faults_of

HERE = LonLat(-78.0, 41.5)
EAST = LonLat(-77.999, 41.5)
"""About 83 m east of `HERE`."""


def geojson(geometry: dict[str, Any], **properties: Any) -> Brought:
    document = {"type": "Feature", "geometry": geometry, "properties": {"kind": "feature", **properties}}
    return read_geojson(json.dumps(document).encode(), file_name="g.geojson", zone=ZONE, now=NOW)


def table(text: str) -> Brought:
    return read_table(text.encode(), file_name="f.csv", zone=ZONE, now=NOW)


POINT = {"type": "Point", "coordinates": [-77.999, 41.5]}
LINE = {"type": "LineString", "coordinates": [[-77.999, 41.4], [-77.999, 41.6]]}
AREA = {
    "type": "Polygon",
    "coordinates": [[[-78.1, 41.4], [-77.9, 41.4], [-77.9, 41.6], [-78.1, 41.6], [-78.1, 41.4]]],
}


def test_a_feature_is_read_with_what_waives_a_distance() -> None:
    (one,) = features_of(
        geojson(POINT, feature="dwelling", name="Hill house", consent=True, occupied="yes", own=False).things
    )
    assert one.feature_class is FeatureClass.DWELLING
    assert (one.consent, one.occupied, one.own, one.notice) == (True, True, False, None)
    assert (one.name, one.place, one.edge) == ("Hill house", LonLat(-77.999, 41.5), Edge.NEAREST)


@pytest.mark.parametrize(
    ("geometry", "word", "edge", "expected"),
    [
        (LINE, "road", "", Edge.CENTRE),
        (LINE, "road", "outside-edge", Edge.OUTSIDE),
        (LINE, "fence", "", Edge.NEAREST),
        (AREA, "livestock-enclosure", "", Edge.NEAREST),
    ],
)
def test_a_line_shows_the_middle_of_a_road_and_the_fence_itself(
    geometry: dict[str, Any], word: str, edge: str, expected: Edge
) -> None:
    (one,) = features_of(geojson(geometry, feature=word, edge=edge, width_ft=22).things)
    assert one.edge is expected
    assert one.width_m == pytest.approx(22 * 0.3048)


def test_a_bait_in_the_open_is_an_exposed_bait() -> None:
    shown, hidden = table(
        "kind,feature,lon,lat,exposed\nfeature,bait,-78,41.5,yes\nfeature,bait,-78.1,41.5,no\n"
    ).things
    assert [f.feature_class.value for f in features_of([shown, hidden])] == ["exposed-bait", "bait"]


def test_faults_of_features_are_told_together() -> None:
    text = (
        "kind,feature,lon,lat,consent,edge\nfeature,,-78,41.5,,\nfeature,dwelinng,-78,41.5,,\n"
        "feature,den,-78,41.5,perhaps,\nfeature,road,-78,41.5,,kerb\n"
    )
    faults = faults_of(lambda: table(text))
    assert [f.code.id for f in faults] == ["GND-022", "GND-018", "GND-018", "GND-018"]
    assert "dwelling" in faults[1].do


def test_what_means_nothing_for_a_set_is_left_out_with_a_warning() -> None:
    found = table("kind,name,lon,lat,consent\nset,N3,-78,41.5,yes\n")
    assert "means nothing for a set" in found.warnings[0]


def gpx(word: str) -> bytes:
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f'<wpt lat="41.5" lon="-78.0"><name>D1</name><type>{word}</type></wpt></gpx>'
    ).encode()


def test_a_waypoint_may_be_a_class_of_feature() -> None:
    brought = read_gpx(gpx("den"), file_name="w.gpx", now=NOW)
    assert brought.things[0].kind is BroughtKind.FEATURE
    assert features_of(brought.things)[0].feature_class is FeatureClass.DEN


def test_a_waypoint_that_is_just_a_feature_is_refused_with_the_words() -> None:
    (fault,) = faults_of(lambda: read_gpx(gpx("feature"), file_name="w.gpx", now=NOW))
    assert fault.code.id == "GND-020"
    assert "dwelling" in fault.do
    assert codes_of(lambda: read_gpx(gpx("badger"), file_name="w.gpx", now=NOW)) == ["GND-012"]


def test_devices_and_parcels_bring_what_the_law_asks() -> None:
    device, parcel = table(
        "kind,tag,name,cable_diameter_in,loop_min_in,construction,relaxing_lock,county,land_class,own_land\n"
        "device,101,,3/32,2 1/2,7x7,yes,,,\nparcel,,mill,,,,,harrow,private,no\n"
    ).things
    assert device.facts["cable_diameter_m"] == pytest.approx(0.00238125)
    assert device.facts["loop_min_m"] == pytest.approx(0.0635)
    assert (device.facts["construction"], device.facts["relaxing_lock"]) == ("7x7", True)
    assert (parcel.facts["county"], parcel.facts["land_class"]) == ("harrow", "private")
    assert parcel.facts["own_land"] is False


def road(**more: Any) -> Feature:
    path = (LonLat(-77.999, 41.4), LonLat(-77.999, 41.6))
    return Feature("road", FeatureClass.ROAD, path=path, **more)


def test_a_road_of_known_width_gives_both_edges() -> None:
    drawn = distance_m(HERE, road())
    found = {each.edge: each for each in away(HERE, road(edge=Edge.CENTRE, width_m=8.0))}
    assert found[Edge.CENTRE].metres == drawn
    assert found[Edge.OUTSIDE].metres == found[Edge.NEAREST].metres == pytest.approx(drawn - 4.0)


def test_a_road_of_unknown_width_may_come_nearer() -> None:
    found = {each.edge: each for each in away(HERE, road(edge=Edge.CENTRE))}
    drawn = found[Edge.CENTRE].metres
    assert found[Edge.CENTRE].least_m == drawn
    assert found[Edge.OUTSIDE].least_m == pytest.approx(drawn - 20.0)
    assert "width not told" in found[Edge.OUTSIDE].how


def test_an_outside_edge_is_the_nearest_point_and_says_nothing_of_the_middle() -> None:
    assert {each.edge for each in away(HERE, road(edge=Edge.OUTSIDE))} == {Edge.OUTSIDE, Edge.NEAREST}


def test_a_river_of_unknown_width_says_nothing_of_its_bank() -> None:
    river = Feature("river", FeatureClass.RIVER, path=road().path, edge=Edge.CENTRE)
    assert [each.edge for each in away(HERE, river)] == [Edge.CENTRE]


def test_a_house_drawn_as_a_dot_may_reach_towards_the_place() -> None:
    (found,) = away(HERE, Feature("house", FeatureClass.DWELLING, place=EAST))
    assert found.least_m == pytest.approx(found.metres - DOT_M)
    (sized,) = away(HERE, Feature("house", FeatureClass.DWELLING, place=EAST, width_m=10.0))
    assert sized.least_m == sized.metres == pytest.approx(found.metres - 5.0)
    (den,) = away(HERE, Feature("den", FeatureClass.DEN, place=EAST))
    assert den.least_m == den.metres


def test_inside_and_outside_of_an_area() -> None:
    corners = ((-78.1, 41.4), (-77.9, 41.4), (-77.9, 41.6), (-78.1, 41.6), (-78.1, 41.4))
    pen = Feature(
        "pen",
        FeatureClass.LIVESTOCK_ENCLOSURE,
        outline=Outline(((tuple(LonLat(*corner) for corner in corners),),)),
    )
    deep, out = inside_m(HERE, pen), inside_m(LonLat(-78.2, 41.5), pen)
    assert deep is not None
    assert out is not None
    assert deep > 8000
    assert out < -8000
    assert distance_m(HERE, pen) == 0.0
    assert inside_m(HERE, road()) is None


def test_the_nearest_of_each_class_is_given_however_far() -> None:
    far = Feature("far", FeatureClass.DEN, place=LonLat(-77.0, 41.5))
    farther = Feature("farther", FeatureClass.DEN, place=LonLat(-76.0, 41.5))
    house = Feature("house", FeatureClass.DWELLING, place=EAST)
    found = nearest(HERE, [farther, far, house], within_m=1000.0)
    assert [each.feature.name for each in found] == ["house", "far"]


def test_a_feature_must_be_somewhere() -> None:
    with pytest.raises(ValueError, match="a point, a line or an area"):
        distance_m(HERE, Feature("nowhere", FeatureClass.DEN))
