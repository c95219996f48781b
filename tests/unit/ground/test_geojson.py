"""GeoJSON files: geometry, properties, and every way in which they can be wrong."""

import functools
import json
from datetime import UTC, datetime
from typing import Any

import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.geojson import read_geojson
from tests.unit.ground.support import NOW, ZONE, codes_of, faults_of

SQUARE = [[-78.0, 41.0], [-77.99, 41.0], [-77.99, 41.01], [-78.0, 41.01], [-78.0, 41.0]]
HOLE = [[-77.997, 41.003], [-77.995, 41.003], [-77.995, 41.005], [-77.997, 41.003]]


def read(document: Any, *, default_kind: BroughtKind | None = None) -> Brought:
    data = document if isinstance(document, bytes) else json.dumps(document).encode()
    return read_geojson(data, file_name="farm.geojson", zone=ZONE, now=NOW, default_kind=default_kind)


def feature(kind: str | None, geometry: Any, /, **properties: Any) -> dict[str, Any]:
    told = {"kind": kind, **properties} if kind else properties
    return {"type": "Feature", "geometry": geometry, "properties": told}


def shape(kind: str, coordinates: Any) -> dict[str, Any]:
    return {"type": kind, "coordinates": coordinates}


def collection(*features: Any, **more: Any) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features), **more}


POINT = shape("Point", [-78.1, 41.2])


def test_a_point_with_properties_is_read_in_si() -> None:
    document = collection(
        feature(
            "set",
            shape("Point", [-78.1, 41.2, 512.0]),
            name=" N3 ",
            loop_in=10,
            bottom_cm=25.5,
            accuracy_m="4",
            tag=7,
            Set_At="2026-12-20 05:40",
            note=None,
            OBJECTID=4711,
        )
    )
    brought = read(document)
    (thing,) = brought.things
    assert (thing.kind, thing.wanted_name, thing.place) == (BroughtKind.SET, "N3", LonLat(-78.1, 41.2))
    assert thing.at == datetime(2026, 12, 20, 10, 40, tzinfo=UTC)
    # 10 in x 0.0254 = 0.254 m.
    assert thing.facts == {
        "loop_m": pytest.approx(0.254),
        "bottom_m": pytest.approx(0.255),
        "accuracy_m": 4.0,
        "tag": "7",
    }
    assert thing.where == "farm.geojson, feature 1 (N3)"
    assert brought.warnings == (
        "farm.geojson: properties left out, because they mean nothing here: OBJECTID.",
    )


@pytest.mark.parametrize("ring", [SQUARE, SQUARE[::-1]])
def test_an_area_with_a_hole_is_read_whichever_way_it_winds(ring: list[list[float]]) -> None:
    (thing,) = read(collection(feature("parcel", shape("Polygon", [ring, HOLE]), name="north"))).things
    assert thing.outline is not None
    assert len(thing.outline.polygons[0]) == 2
    assert thing.outline.polygons[0][0] == tuple(LonLat(*corner) for corner in ring)


def test_several_areas_stay_one_thing_and_several_points_and_lines_become_several() -> None:
    other = [[lon + 0.01, lat] for lon, lat in SQUARE]
    brought = read(
        collection(
            feature("parcel", shape("MultiPolygon", [[SQUARE], [other]])),
            feature("landmark", shape("MultiPoint", [[-78.1, 41.2], [-78.2, 41.2]]), name="oak"),
            feature("barrier", shape("MultiLineString", [SQUARE[:2], SQUARE[2:4]]), name="creek"),
        )
    )
    kinds = [thing.kind.value for thing in brought.things]
    assert kinds == ["parcel", "landmark", "landmark", "barrier", "barrier"]
    assert brought.things[0].outline is not None
    assert len(brought.things[0].outline.polygons) == 2
    assert brought.things[2].where == "farm.geojson, feature 2 (oak), part 2"
    assert brought.things[4].path == (LonLat(-77.99, 41.01), LonLat(-78.0, 41.01))


def test_the_members_of_a_collection_of_geometries_are_read_each() -> None:
    inner = {"type": "GeometryCollection", "geometries": [POINT, shape("LineString", SQUARE[:2])]}
    things = read(collection(feature("crossing", inner))).things
    assert [thing.place for thing in things] == [LonLat(-78.1, 41.2), None]


def test_one_feature_or_a_bare_geometry_is_read_too() -> None:
    assert len(read(feature("set", POINT)).things) == 1
    assert read(POINT, default_kind=BroughtKind.PARKING).things[0].kind is BroughtKind.PARKING


def test_the_id_of_a_feature_is_its_key_else_name_else_place() -> None:
    one = {**feature("set", POINT, name="N3"), "id": 12}
    document = collection(one, feature("set", POINT), feature("parcel", shape("Polygon", [SQUARE])))
    keys = [thing.key for thing in read(document).things]
    assert keys[:2] == ["set:id 12", "set@-78.1000000,41.2000000"]
    assert keys[2].startswith("parcel@")
    assert len(keys[2]) == len("parcel@") + 12


def test_parcels_of_a_parking_may_be_a_list_or_a_text() -> None:
    document = collection(
        feature("parking", POINT, name="a", parcels=["north field", "mill"]),
        feature("parking", POINT, name="b", parcels="north mill"),
    )
    assert [thing.facts["parcels"] for thing in read(document).things] == ["north field;mill", "north;mill"]


def test_a_device_needs_no_place() -> None:
    assert read(collection(feature("device", None, tag="T1", loop_cm=25))).things[0].facts["loop_m"] == 0.25


def test_seconds_of_a_barrier_go_by_either_name_and_must_be_seconds() -> None:
    line = shape("LineString", SQUARE[:2])
    document = collection(
        feature("barrier", line, crossing_seconds=30), feature("barrier", line, seconds="45")
    )
    things = read(document).things
    assert [thing.facts["seconds"] for thing in things] == [30.0, 45.0]
    for bad in (-1, 7201, "soon", "nan", True):
        document = collection(feature("barrier", line, seconds=bad))
        (fault,) = faults_of(functools.partial(read, document))
        assert (fault.code.id, fault.where) == ("GND-015", "farm.geojson, feature 1, property seconds")


@pytest.mark.parametrize(
    ("geometry", "code"),
    [
        (None, "GND-020"),
        (shape("LineString", SQUARE[:2]), "GND-020"),
        (shape("Polygon", [SQUARE]), "GND-020"),
        (shape("Circle", [0, 0]), "GND-204"),
        ([1, 2], "GND-204"),
        (shape("Point", [-78.1]), "GND-204"),
        (shape("Point", ["-78.1", "41.2"]), "GND-204"),
        (shape("Point", [True, 41.2]), "GND-204"),
        (shape("Point", [[-78.1, 41.2]]), "GND-204"),
        (shape("Point", None), "GND-204"),
        (shape("LineString", [[-78.1, 41.2]]), "GND-204"),
        (shape("Polygon", []), "GND-204"),
        (shape("Polygon", [SQUARE[:3]]), "GND-204"),
        (shape("Polygon", [SQUARE[:4]]), "GND-204"),
        (shape("MultiPolygon", []), "GND-204"),
        (shape("Point", [41.2, -78.1]), "GND-013"),
        (shape("Point", [10**400, 1]), "GND-013"),
        (shape("LineString", [[-78, 41], [431000, 4518000], [431001, 4518001]]), "GND-013"),
    ],
)
def test_a_geometry_that_cannot_be_used_is_refused(geometry: Any, code: str) -> None:
    (fault,) = faults_of(lambda: read(collection(feature("set", geometry, name="N3"))))
    assert fault.code.id == code
    assert fault.where.startswith("farm.geojson, feature 1 (N3)")


def test_an_outline_that_crosses_itself_is_refused_with_the_place() -> None:
    bow = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]
    (fault,) = faults_of(lambda: read(collection(feature("parcel", shape("Polygon", [bow])))))
    assert fault.code.id == "GND-501"
    assert "longitude -77.995000, latitude 41.005000" in fault.what


@pytest.mark.parametrize(
    "crs",
    [
        {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}},
        {"type": "name", "properties": {"name": "EPSG:4326"}},
    ],
)
def test_a_file_that_names_wgs84_is_read(crs: Any) -> None:
    assert len(read(collection(feature("set", POINT), crs=crs)).things) == 1


@pytest.mark.parametrize(
    "crs", [None, {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::26917"}}, {"type": "link"}]
)
def test_any_other_coordinate_system_is_refused(crs: Any) -> None:
    assert codes_of(lambda: read(collection(feature("set", POINT), crs=crs))) == ["GND-203"]


def test_broken_json_says_line_and_column() -> None:
    (fault,) = faults_of(lambda: read(b'{"type": "FeatureCollection",\n "features": [}'))
    assert (fault.code.id, fault.where) == ("GND-201", "farm.geojson, line 2, column 15")


@pytest.mark.parametrize(
    "data",
    [
        b'{"type": "Point", "coordinates": [NaN, 1]}',
        b'{"type": "Point", "coordinates": [Infinity, 1]}',
        b'{"type": "Point", "coordinates": [' + b"9" * 5000 + b", 1]}",
        b"[" * 200_000,
    ],
)
def test_json_that_cannot_be_held_is_refused(data: bytes) -> None:
    assert codes_of(lambda: read(data)) == ["GND-201"]


@pytest.mark.parametrize(
    "document",
    [[], {"type": "Topology"}, {"type": "FeatureCollection"}, {}, collection(POINT), collection(4)],
)
def test_json_that_is_not_geojson_is_refused(document: Any) -> None:
    assert codes_of(lambda: read(document)) == ["GND-202"]


def test_old_code_pages_are_refused_and_a_byte_order_mark_is_not() -> None:
    text = json.dumps(collection(feature("set", POINT, name="Müller")), ensure_ascii=False)
    assert codes_of(lambda: read(text.encode("cp1252"))) == ["GND-004"]
    assert read(b"\xef\xbb\xbf" + text.encode()).things[0].wanted_name == "Müller"


def test_all_faults_of_a_file_are_told_in_one_go() -> None:
    document = collection(
        feature(None, POINT),
        feature("sett", POINT),
        feature("set", shape("Point", [200, 41])),
        feature("set", POINT, loop=10, name="x"),
        feature("set", POINT, loop_in=10, loop_cm=25),
        feature("set", POINT, surface="mud", set_at="1926-01-01"),
        feature("set", POINT, tag="T1"),
        feature("set", POINT, tag="T1"),
        feature(None, shape("Point", [-78, 95])),
    )
    found = [(fault.code.id, fault.where.removeprefix("farm.geojson").removeprefix(", ")) for fault in
             faults_of(lambda: read(document))]  # fmt: skip
    assert found == [
        ("GND-012", "feature 2, property kind"),
        ("GND-013", "feature 3"),
        ("GND-016", "feature 4 (x)"),
        ("GND-017", "feature 5"),
        ("GND-018", "feature 6, property surface"),
        ("GND-014", "feature 6, property set_at"),
        ("GND-013", "feature 9"),
        ("GND-011", ""),
        ("GND-019", ""),
    ]


def test_an_empty_collection_is_read_with_a_warning() -> None:
    assert read(collection()).warnings == ("farm.geojson: there is no feature in it.",)
