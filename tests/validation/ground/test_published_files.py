"""Files as standards print them and as reference libraries write them."""

import json
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import gpxpy
import gpxpy.gpx
import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.table import read_table

NOW = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")


def read(document: Any, kind: BroughtKind) -> Brought:
    return read_geojson(
        json.dumps(document).encode(), file_name="a.geojson", zone=ZONE, now=NOW, default_kind=kind
    )


# RFC 7946 (2016), appendix A: examples of each geometry, numbers as printed there.
POINT = {"type": "Point", "coordinates": [100.0, 0.0]}
LINE = {"type": "LineString", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}
POLYGON = {
    "type": "Polygon",
    "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]],
}
HOLED = {
    "type": "Polygon",
    "coordinates": [
        [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
        [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]],
    ],
}
MULTIPOINT = {"type": "MultiPoint", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}
MULTILINE = {
    "type": "MultiLineString",
    "coordinates": [[[100.0, 0.0], [101.0, 1.0]], [[102.0, 2.0], [103.0, 3.0]]],
}
MULTIPOLYGON = {
    "type": "MultiPolygon",
    "coordinates": [
        [[[102.0, 2.0], [103.0, 2.0], [103.0, 3.0], [102.0, 3.0], [102.0, 2.0]]],
        [
            [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
            [[100.2, 0.2], [100.2, 0.8], [100.8, 0.8], [100.8, 0.2], [100.2, 0.2]],
        ],
    ],
}
GEOMETRY_COLLECTION = {
    "type": "GeometryCollection",
    "geometries": [POINT, {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]}],
}


def test_the_points_of_rfc_7946_are_read() -> None:
    assert [thing.place for thing in read(POINT, BroughtKind.LANDMARK).things] == [LonLat(100.0, 0.0)]
    assert [thing.place for thing in read(MULTIPOINT, BroughtKind.LANDMARK).things] == [
        LonLat(100.0, 0.0),
        LonLat(101.0, 1.0),
    ]


def test_the_lines_of_rfc_7946_are_read() -> None:
    first, second = (LonLat(100.0, 0.0), LonLat(101.0, 1.0)), (LonLat(102.0, 2.0), LonLat(103.0, 3.0))
    assert [thing.path for thing in read(LINE, BroughtKind.BARRIER).things] == [first]
    assert [thing.path for thing in read(MULTILINE, BroughtKind.BARRIER).things] == [first, second]


def test_the_areas_of_rfc_7946_are_read_with_their_holes() -> None:
    counts = {}
    for name, area in (("polygon", POLYGON), ("holed", HOLED), ("multi", MULTIPOLYGON)):
        (thing,) = read(area, BroughtKind.PARCEL).things
        assert thing.outline is not None
        counts[name] = [[len(ring) for ring in polygon] for polygon in thing.outline.polygons]
    assert counts == {"polygon": [[5]], "holed": [[5, 5]], "multi": [[5], [5, 5]]}


def test_the_collection_of_geometries_of_rfc_7946_is_read() -> None:
    things = read(GEOMETRY_COLLECTION, BroughtKind.CROSSING).things
    assert things[0].place == LonLat(100.0, 0.0)
    assert things[1].path == (LonLat(101.0, 0.0), LonLat(102.0, 1.0))


def test_the_feature_collection_of_rfc_7946_is_read() -> None:
    # Section 1.5: three features with properties that are nobody's here. The kinds are added.
    document = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
                "properties": {"prop0": "value0", "kind": "set"},
            },
            {
                "type": "Feature",
                "geometry": {
                    "type": "LineString",
                    "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]],
                },
                "properties": {"prop0": "value0", "prop1": 0.0, "kind": "barrier"},
            },
            {
                "type": "Feature",
                "geometry": {
                    "type": "Polygon",
                    "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]],
                },
                "properties": {"prop0": "value0", "prop1": {"this": "that"}, "kind": "parcel"},
            },
        ],
    }
    brought = read(document, BroughtKind.SET)
    assert [thing.kind.value for thing in brought.things] == ["set", "barrier", "parcel"]
    assert brought.things[0].place == LonLat(102.0, 0.5)
    assert len(brought.things[1].path) == 4
    assert brought.warnings == (
        "a.geojson: properties left out, because they mean nothing here: prop0, prop1.",
    )


def test_the_cut_areas_of_rfc_7946_at_the_180th_meridian_are_read() -> None:
    # Section 3.1.9, second example.
    cut = {
        "type": "MultiPolygon",
        "coordinates": [
            [[[180.0, 40.0], [180.0, 50.0], [170.0, 50.0], [170.0, 40.0], [180.0, 40.0]]],
            [[[-170.0, 40.0], [-170.0, 50.0], [-180.0, 50.0], [-180.0, 40.0], [-170.0, 40.0]]],
        ],
    }
    (thing,) = read(cut, BroughtKind.PARCEL).things
    assert thing.outline is not None
    assert len(thing.outline.polygons) == 2


@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_gpx_is_read_as_the_reference_library_reads_it(version: str) -> None:
    gpx = gpxpy.gpx.GPX()
    for n in range(50):
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                latitude=41.0 + n / 777,
                longitude=-78.0 - n / 555,
                elevation=500.25,
                time=datetime(2026, 12, 1, 5, n, tzinfo=UTC),
                name=f"N{n} & <{n}>",
                description='oak "split"',
                symbol="Dot",
                type="set",
            )
        )
    track = gpxpy.gpx.GPXTrack(name="walk")
    gpx.tracks.append(track)
    for _ in range(2):
        segment = gpxpy.gpx.GPXTrackSegment()
        segment.points += [gpxpy.gpx.GPXTrackPoint(41 + n / 997, -78 + n / 991) for n in range(30)]
        track.segments.append(segment)
    text = gpx.to_xml(version=version)
    brought = read_gpx(text.encode(), file_name="a.gpx", now=NOW, default_kind=BroughtKind.SET)
    reference = gpxpy.parse(text)
    points = [thing for thing in brought.things if thing.kind is BroughtKind.SET]
    for thing, point in zip(points, reference.waypoints, strict=True):
        assert thing.place == LonLat(point.longitude, point.latitude)
        assert (thing.wanted_name, thing.at, thing.facts["note"]) == (
            point.name,
            point.time,
            point.description,
        )
    tracks = [thing for thing in brought.things if thing.kind is BroughtKind.TRACK]
    for thing, segment in zip(tracks, reference.tracks[0].segments, strict=True):
        assert [(place.lon, place.lat) for place in thing.path] == [
            (point.longitude, point.latitude) for point in segment.points
        ]


def test_lengths_are_converted_as_the_national_institute_of_standards_prints_them() -> None:
    # NIST SP 811 (2008), appendix B.8: inch 2.54 E-02 m, foot 3.048 E-01 m (both exact).
    text = "kind,lon,lat,loop_in,accuracy_ft\nset,-78,41,1,1\n"
    (thing,) = read_table(text.encode(), file_name="a.csv", zone=ZONE, now=NOW).things
    assert thing.facts["loop_m"] == pytest.approx(2.54e-2, rel=1e-15)
    assert thing.facts["accuracy_m"] == pytest.approx(3.048e-1, rel=1e-15)
