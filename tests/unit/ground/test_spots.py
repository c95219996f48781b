"""Spots in files: places where a set could be made, with the catch that is expected there."""

import json
from pathlib import Path

import pytest

from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.read_any import read_file
from tendline.ground.table import read_table
from tests.unit.ground.support import NOW, ZONE, codes_of

GPX = (
    '<?xml version="1.0"?><gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="41.5" lon="-78.0"><name>Oak gap</name><type>spot</type></wpt></gpx>'
)


def table(text: str, kind: BroughtKind | None = None) -> Brought:
    return read_table(text.encode(), file_name="s.csv", zone=ZONE, now=NOW, default_kind=kind)


def test_a_table_tells_where_and_how_much_is_expected() -> None:
    text = "kind,name,lon,lat,per_100_nights,target,parcel\nspot,Oak gap,-78,41.5,2.5,coyote,north\n"
    one = table(text).things[0]
    assert one.kind is BroughtKind.SPOT
    assert one.facts == {"per_100_nights": 2.5, "target": "coyote", "parcel": "north"}
    plain = table("name,lon,lat\nOak gap,-78,41.5\n", BroughtKind.SPOT).things[0]
    assert plain.kind is BroughtKind.SPOT
    assert plain.facts == {}


@pytest.mark.parametrize("word", ["0", "-1", "101", "many", "nan", "1e9"])
def test_a_catch_that_cannot_be_expected_is_refused(word: str) -> None:
    assert codes_of(lambda: table(f"kind,lon,lat,per_100_nights\nspot,-78,41.5,{word}\n")) == ["GND-015"]


def test_a_set_expects_nothing_and_says_so() -> None:
    brought = table("kind,lon,lat,per_100_nights\nset,-78,41.5,2\n")
    assert brought.things[0].facts == {}
    assert any("means nothing for a set" in warning for warning in brought.warnings)


def test_points_in_other_files_are_spots_too(tmp_path: Path) -> None:
    assert read_gpx(GPX.encode(), file_name="s.gpx", now=NOW).things[0].kind is BroughtKind.SPOT
    feature = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-78.0, 41.5]},
        "properties": {"kind": "spot", "per_100_nights": 3},
    }
    data = json.dumps(feature).encode()
    one = read_geojson(data, file_name="s.geojson", zone=ZONE, now=NOW).things[0]
    assert (one.kind, one.facts) == (BroughtKind.SPOT, {"per_100_nights": 3.0})
    path = tmp_path / "s.csv"
    path.write_text("lon,lat\n-78,41.5\n", encoding="utf-8")
    assert read_file(path, zone=ZONE, now=NOW, default_kind=BroughtKind.SPOT).things[0].place is not None
    feature["geometry"] = {"type": "LineString", "coordinates": [[-78.0, 41.5], [-78.1, 41.5]]}
    line = json.dumps(feature).encode()
    assert codes_of(lambda: read_geojson(line, file_name="s.geojson", zone=ZONE, now=NOW)) == ["GND-020"]
