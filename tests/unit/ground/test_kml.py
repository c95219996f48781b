"""KML: placemarks with their fields, geometry as the standard builds it, and every fault placed.

The examples follow OGC 12-007r2 (KML 2.3); the coordinates are made up.
"""

from datetime import UTC, datetime

import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.kml import read_kml
from tests.unit.ground.support import NOW, ZONE, faults_of

HEAD = '<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document>'


def read(body: str, *, default: BroughtKind | None = BroughtKind.SET) -> Brought:
    data = f"{HEAD}{body}</Document></kml>".encode()
    return read_kml(data, file_name="a.kml", zone=ZONE, now=NOW, default_kind=default)


def place(inner: str, *, name: str = "M1") -> str:
    return f"<Placemark><name>{name}</name>{inner}</Placemark>"


POINT = "<Point><coordinates> -78.1,41.2,350 </coordinates></Point>"


def test_a_placemark_is_a_set_with_its_fields_and_time() -> None:
    data = "".join(
        f'<Data name="{key}"><value>{value}</value></Data>'
        for key, value in {"kind": "set", "tag": "217", "loop_m": "0.28", "landmark": "split oak"}.items()
    )
    stamp = "<TimeStamp><when>2027-01-05T12:00:00Z</when></TimeStamp>"
    body = place(f"<description>by the gate</description>{stamp}<ExtendedData>{data}</ExtendedData>{POINT}")
    (thing,) = read(f"<Folder>{body}</Folder>", default=None).things
    assert (thing.kind, thing.wanted_name, thing.place) == (BroughtKind.SET, "M1", LonLat(-78.1, 41.2))
    assert thing.at == datetime(2027, 1, 5, 12, tzinfo=UTC)
    assert thing.facts == {"tag": "217", "loop_m": 0.28, "landmark": "split oak", "note": "by the gate"}


def test_a_field_of_a_schema_counts_and_markup_is_no_note() -> None:
    data = '<SchemaData schemaUrl="#s"><SimpleData name="tag">9</SimpleData></SchemaData>'
    body = place(
        f"<description><![CDATA[<b>bold</b>]]></description><ExtendedData>{data}</ExtendedData>{POINT}"
    )
    (thing,) = read(body).things
    assert thing.facts == {"tag": "9"}


def test_a_folder_says_what_its_placemarks_are_unless_they_do() -> None:
    own = '<ExtendedData><Data name="kind"><value>landmark</value></Data></ExtendedData>'
    inner = f"<Folder><name>winter 2027</name>{place(POINT, name='B')}</Folder>"
    folder = (
        f"<Folder><name>Parkings</name>{place(POINT, name='A')}{place(own + POINT, name='C')}{inner}</Folder>"
    )
    brought = read(folder + place(POINT, name="D"))
    kinds = {t.wanted_name: t.kind.value for t in brought.things}
    assert kinds == {"A": "parking", "B": "parking", "C": "landmark", "D": "set"}


def test_deep_nesting_is_no_way_to_stop_the_reader() -> None:
    deep = "<Folder>" * 3000 + place(POINT) + "</Folder>" * 3000
    assert [t.wanted_name for t in read(deep).things] == ["M1"]
    many = "<MultiGeometry>" * 3000 + POINT + "</MultiGeometry>" * 3000
    assert [t.place for t in read(place(many)).things] == [LonLat(-78.1, 41.2)]


def test_a_parcel_has_holes_and_pieces() -> None:
    def ring(west: float, size: float) -> str:
        far = west + size
        corners = f"{west},41 {far},41 {far},{41 + size} {west},{41 + size} {west},41"
        return f"<LinearRing><coordinates>{corners}</coordinates></LinearRing>"

    hole = "<innerBoundaryIs><LinearRing><coordinates>-77.99,41.01 -77.98,41.01 -77.98,41.02 -77.99,41.01"
    hole += "</coordinates></LinearRing></innerBoundaryIs>"
    one = f"<Polygon><outerBoundaryIs>{ring(-78.0, 0.05)}</outerBoundaryIs>{hole}</Polygon>"
    two = f"<Polygon><outerBoundaryIs>{ring(-77.5, 0.05)}</outerBoundaryIs></Polygon>"
    (thing,) = read(place(f"<MultiGeometry>{one}{two}</MultiGeometry>"), default=BroughtKind.PARCEL).things
    assert thing.outline is not None
    assert [len(polygon) for polygon in thing.outline.polygons] == [2, 1]


def test_a_line_is_a_track_and_what_is_not_read_is_said() -> None:
    line = "<LineString><coordinates>-78,41 -78.1,41.1,3</coordinates></LineString>"
    link = "<NetworkLink><Link><href>http://192.0.2.1/x.kml</href></Link></NetworkLink>"
    brought = read(place(line) + link, default=BroughtKind.TRACK)
    assert brought.things[0].path == (LonLat(-78, 41), LonLat(-78.1, 41.1))
    assert any("NetworkLink" in warning for warning in brought.warnings)


def test_every_fault_is_told_at_its_placemark() -> None:
    bad = [
        place("<Point><coordinates>-78;41</coordinates></Point>", name="A"),
        place("<Point><coordinates></coordinates></Point>", name="B"),
        place("<Point><coordinates>-78,41 -78,42</coordinates></Point>", name="C"),
        place("<Point><coordinates>41,-178</coordinates></Point>", name="D"),
        place("<LineString><coordinates>-78,41 -78,42</coordinates></LineString>", name="E"),
        place("", name="F"),
    ]
    found = [(f.code.id, f.where.partition(" (")[0]) for f in faults_of(lambda: read("".join(bad)))]
    numbered = {f"a.kml, placemark {n}" for n in range(1, 7)}
    assert {
        where.partition(",")[0] + "," + where.partition(",")[2].split(",")[0] for _, where in found
    } == numbered
    assert [code for code, _ in found].count("GND-105") == 3
    assert {"GND-013", "GND-020"} <= {code for code, _ in found}


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"<kml><Document>", "GND-101"),
        (b'<!DOCTYPE kml [<!ENTITY a "b">]><kml>&a;</kml>', "GND-102"),
        (b"<html/>", "GND-103"),
    ],
)
def test_xml_that_is_broken_dangerous_or_other_is_refused(data: bytes, code: str) -> None:
    faults = faults_of(lambda: read_kml(data, file_name="a.kml", zone=ZONE, now=NOW))
    assert [fault.code.id for fault in faults] == [code]
