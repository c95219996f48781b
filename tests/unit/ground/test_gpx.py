"""GPX files, tidy and ugly."""

from datetime import UTC, datetime, timedelta, timezone

import gpxpy.gpx
import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.gpx import read_gpx
from tests.unit.ground.support import NOW, codes_of, faults_of

OPEN = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="test">'


def read(text: str | bytes, *, default_kind: BroughtKind | None = None) -> Brought:
    data = text.encode() if isinstance(text, str) else text
    return read_gpx(data, file_name="line.gpx", now=NOW, default_kind=default_kind)


def wpt(lat: str = "41.2", lon: str = "-78.1", inner: str = "<type>set</type>") -> str:
    return f'<wpt lat="{lat}" lon="{lon}">{inner}</wpt>'


def test_a_waypoint_says_what_it_is_and_is_read_whole() -> None:
    inner = (
        "<ele>512</ele><time>2026-12-20T10:40:00Z</time><name> N \n 3 </name><cmt>by the gate</cmt>"
        "<desc>split oak</desc><sym>whatever</sym><type>Set</type><extensions><x>1</x></extensions>"
    )
    (thing,) = read(OPEN + wpt(inner=inner) + "</gpx>").things
    assert thing.kind is BroughtKind.SET
    assert thing.wanted_name == "N 3"
    assert thing.place == LonLat(-78.1, 41.2)
    assert thing.at == datetime(2026, 12, 20, 10, 40, tzinfo=UTC)
    assert thing.facts == {"note": "by the gate; split oak"}
    assert thing.where == "line.gpx, waypoint 1 (N 3)"
    assert thing.key == "set:N 3"


@pytest.mark.parametrize("kind", ["set", "parking", "landmark", "crossing"])
def test_each_kind_of_point_is_known(kind: str) -> None:
    assert read(OPEN + wpt(inner=f"<type>{kind}</type>") + "</gpx>").things[0].kind == kind


def test_gpx_1_0_and_prefixed_names_are_read_alike() -> None:
    old = '<gpx xmlns="http://www.topografix.com/GPX/1/0" version="1.0" creator="test">'
    new = '<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1" version="1.1" creator="test">'
    prefixed = '<g:wpt lat="41.2" lon="-78.1"><g:name>N3</g:name><g:type>set</g:type></g:wpt></g:gpx>'
    plain = wpt(inner="<name>N3</name><type>set</type>") + "</gpx>"
    assert read(old + plain).things == read(new + prefixed).things


def test_missing_and_double_and_foreign_names_are_no_fault() -> None:
    brought = read(
        OPEN
        + wpt(inner="")
        + wpt(lon="-78.2", inner="<name>狐狸</name>")
        + wpt(lon="-78.3", inner="<name>A</name>")
        + wpt(lon="-78.4", inner="<name>A</name>")
        + "</gpx>",
        default_kind=BroughtKind.SET,
    )
    assert [thing.wanted_name for thing in brought.things] == ["", "狐狸", "A", "A"]
    assert [thing.key for thing in brought.things] == [
        "set@-78.1000000,41.2000000",
        "set:狐狸",
        "set:A",
        "set:A@-78.4000000,41.2000000",
    ]
    assert brought.warnings == ("line.gpx: 2 set entries are called 'A'; each gets a short name of its own.",)
    assert [thing.at for thing in brought.things] == [None] * 4


def test_bringing_the_same_file_again_gives_the_same_keys() -> None:
    text = OPEN + wpt() + wpt(lon="-78.2") + "</gpx>"
    assert read(text) == read(text)


def test_waypoints_without_a_kind_are_told_together() -> None:
    text = OPEN + wpt(inner="") * 3 + wpt() + wpt(inner="") + "</gpx>"
    (fault,) = faults_of(lambda: read(text))
    assert fault.code.id == "GND-011"
    assert fault.what == "4 waypoints without a kind: waypoints 1-3, 5."
    assert "--as set" in fault.do


def test_a_foreign_type_is_refused_without_a_default_and_warned_of_with_one() -> None:
    text = OPEN + wpt(inner="<type>User Mark</type>") + "</gpx>"
    assert codes_of(lambda: read(text)) == ["GND-012"]
    brought = read(text, default_kind=BroughtKind.SET)
    assert brought.things[0].kind is BroughtKind.SET
    assert brought.warnings == (
        "line.gpx: type 'user mark' is not a kind of thing (waypoint 1); taken as set.",
    )


@pytest.mark.parametrize("kind", ["parcel", "barrier", "track", "device"])
def test_a_waypoint_cannot_be_a_line_or_an_area(kind: str) -> None:
    assert codes_of(lambda: read(OPEN + wpt(inner=f"<type>{kind}</type>") + "</gpx>")) == ["GND-020"]


def test_every_bad_coordinate_is_told_by_name() -> None:
    text = (
        OPEN
        + wpt(lat="north", inner="<name>A</name><type>set</type>")
        + wpt(lat="91", inner="<name>B</name><type>set</type>")
        + '<wpt lat="41"><type>set</type></wpt>'
        + wpt(lat="nan", lon="inf")
        + wpt(lat="4_1")
        + wpt(lat="-78.1", lon="41.2")
        + wpt()
        + "</gpx>"
    )
    found = faults_of(lambda: read(text))
    assert {fault.code.id for fault in found} == {"GND-013"}
    # The first pass finds what is no number, the second what is no place.
    assert [fault.where.removeprefix("line.gpx, waypoint ") for fault in found] == [
        "1 (A)",
        "3",
        "4",
        "5",
        "2 (B)",
        "6",
    ]
    assert "look swapped" in found[-1].do


@pytest.mark.parametrize("text", ["yesterday", "2026-02-30T10:00:00Z", "2026-12-20"])
def test_a_time_that_cannot_be_read_is_refused(text: str) -> None:
    inner = f"<time>{text}</time><type>set</type>"
    (fault,) = faults_of(lambda: read(OPEN + wpt(inner=inner) + "</gpx>"))
    assert (fault.code.id, fault.where) == ("GND-104", "line.gpx, waypoint 1")
    assert f"'{text}'" in fault.what


def test_a_time_with_an_offset_is_put_into_utc_and_one_without_is_read_as_utc_and_told() -> None:
    text = (
        OPEN
        + wpt(inner="<time>2026-12-20T05:40:00-05:00</time><name>a</name><type>set</type>")
        + wpt(inner="<time>2026-12-20T10:40:00</time><name>b</name><type>set</type>")
        + "</gpx>"
    )
    brought = read(text)
    assert [thing.at for thing in brought.things] == [datetime(2026, 12, 20, 10, 40, tzinfo=UTC)] * 2
    assert brought.warnings == ("line.gpx: times without a zone (1) were read as UTC, as GPX wants them.",)


def test_a_date_in_1926_or_in_the_future_is_refused_by_name() -> None:
    text = (
        OPEN
        + wpt(inner="<time>1926-11-20T10:00:00Z</time><name>a</name><type>set</type>")
        + wpt(inner="<time>2027-01-15T12:00:01Z</time><name>b</name><type>set</type>")
        + "</gpx>"
    )
    first, second = faults_of(lambda: read(text))
    assert first.code.id == second.code.id == "GND-014"
    assert first.what.startswith("a date in 1926")
    assert second.what.startswith("a date in the future")
    assert second.where == "line.gpx, waypoint 2 (b)"


def test_broken_xml_says_line_and_column() -> None:
    (fault,) = faults_of(lambda: read(OPEN + "\n<wpt lat='41' lon='-78'>\n<name>N</nam></gpx>"))
    # The third line is <name>N</nam>: the parser stops at the name of the closing element, in column 10.
    assert (fault.code.id, fault.where) == ("GND-101", "line.gpx, line 3, column 10")
    assert "mismatched tag" in fault.what


@pytest.mark.parametrize(
    "data",
    [
        OPEN.encode() + b"<wpt lat='41' lon='-78'><name>M\xfcller</name></wpt></gpx>",
        b'<?xml version="1.0" encoding="klingon"?><gpx/>',
        b"<gpx>",
        b"no xml at all",
    ],
)
def test_what_is_no_xml_is_refused(data: bytes) -> None:
    assert codes_of(lambda: read(data)) == ["GND-101"]


def test_windows_1252_is_read_when_the_file_says_so() -> None:
    text = (
        '<?xml version="1.0" encoding="windows-1252"?>'
        + OPEN
        + wpt(inner="<name>Müller</name><type>set</type>")
    )
    assert read((text + "</gpx>").encode("cp1252")).things[0].wanted_name == "Müller"


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + "]>"
    + OPEN
    + wpt(inner="<name>&i;</name><type>set</type>")
    + "</gpx>"
)
OUTSIDE = (
    '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
    + OPEN
    + wpt(inner="<name>&x;</name><type>set</type>")
    + "</gpx>"
)
PLAIN_DTD = '<!DOCTYPE gpx SYSTEM "gpx.dtd">' + OPEN + wpt() + "</gpx>"


@pytest.mark.parametrize("text", [BOMB, OUTSIDE, PLAIN_DTD])
def test_document_types_and_entities_are_refused_at_once(text: str) -> None:
    # The first of them would become 10^9 letters.
    assert codes_of(lambda: read(text)) == ["GND-102"]


def test_other_xml_is_refused_with_the_name_of_its_root() -> None:
    (fault,) = faults_of(lambda: read("<svg><wpt/></svg>"))
    assert fault.code.id == "GND-103"
    assert "<svg>" in fault.what


def trk(inner: str, *segments: list[tuple[float, float]]) -> str:
    parts = (
        "<trkseg>" + "".join(f'<trkpt lat="{lat}" lon="{lon}"/>' for lon, lat in segment) + "</trkseg>"
        for segment in segments
    )
    return f"<trk>{inner}{''.join(parts)}</trk>"


SQUARE = [(-78.0, 41.0), (-77.99, 41.0), (-77.99, 41.01), (-78.0, 41.01)]


def test_each_segment_of_a_track_becomes_a_thing() -> None:
    brought = read(OPEN + trk("<name>walk</name><type>hiking</type>", SQUARE[:2], SQUARE[2:]) + "</gpx>")
    assert [thing.kind for thing in brought.things] == [BroughtKind.TRACK, BroughtKind.TRACK]
    assert brought.things[0].path == (LonLat(-78.0, 41.0), LonLat(-77.99, 41.0))
    assert brought.things[1].where == "line.gpx, track 1, segment 2"
    assert brought.things[0].key == "track:walk"
    assert brought.warnings == ()


def test_a_track_takes_the_time_of_its_first_point() -> None:
    text = (
        OPEN
        + '<trk><trkseg><trkpt lat="41" lon="-78"><time>2026-12-20T10:00:00Z</time></trkpt>'
        + '<trkpt lat="41.1" lon="-78"><time>2026-12-20T10:10:00Z</time></trkpt></trkseg></trk></gpx>'
    )
    assert read(text).things[0].at == datetime(2026, 12, 20, 10, 0, tzinfo=UTC)


def test_a_walked_boundary_becomes_a_parcel_and_is_closed() -> None:
    (thing,) = read(OPEN + trk("<name>north</name><type>parcel</type>", SQUARE) + "</gpx>").things
    assert thing.kind is BroughtKind.PARCEL
    assert thing.path == ()
    assert thing.outline is not None
    assert thing.outline.bbox == (-78.0, 41.0, -77.99, 41.01)
    assert len(thing.outline.polygons[0][0]) == 5


def test_a_walked_boundary_that_crosses_itself_is_refused_with_the_place() -> None:
    bow = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]
    (fault,) = faults_of(lambda: read(OPEN + trk("<type>parcel</type>", bow) + "</gpx>"))
    assert fault.code.id == "GND-501"
    # The diagonals of the square meet in its middle.
    assert "longitude -77.995000, latitude 41.005000" in fault.what


def test_a_track_is_a_barrier_when_it_or_the_caller_says_so() -> None:
    text = OPEN + trk("<type>barrier</type>", SQUARE) + "</gpx>"
    assert read(text).things[0].kind is BroughtKind.BARRIER
    text = OPEN + trk("", SQUARE) + "</gpx>"
    assert read(text, default_kind=BroughtKind.BARRIER).things[0].kind is BroughtKind.BARRIER
    assert read(text, default_kind=BroughtKind.SET).things[0].kind is BroughtKind.TRACK


def test_a_track_of_one_point_and_routes_are_left_out_and_told() -> None:
    text = OPEN + trk("", SQUARE[:1]) + '<rte><rtept lat="x" lon="y"/></rte></gpx>'
    brought = read(text)
    assert brought.things == ()
    assert len(brought.warnings) == 3
    assert "too few points (1) for a track" in brought.warnings[0]
    assert "routes (1) were left out" in brought.warnings[1]
    assert "no waypoint and no track" in brought.warnings[2]


def test_a_bad_point_of_a_track_is_told_by_number() -> None:
    text = OPEN + '<trk><trkseg><trkpt lat="41" lon="-78"/><trkpt lat="a" lon="b"/></trkseg></trk></gpx>'
    (fault,) = faults_of(lambda: read(text))
    assert (fault.code.id, fault.where) == ("GND-013", "line.gpx, track 1, point 2")


def test_a_bad_corner_of_a_walked_boundary_is_the_only_fault_told_of_it() -> None:
    corners = [*SQUARE[:2], (-77.99, 95.0), SQUARE[3]]
    (fault,) = faults_of(lambda: read(OPEN + trk("<type>parcel</type>", corners) + "</gpx>"))
    assert (fault.code.id, fault.where) == ("GND-013", "line.gpx, track 1, point 3")


def test_ten_thousand_waypoints_are_read() -> None:
    gpx = gpxpy.gpx.GPX()
    start = datetime(2026, 11, 1, tzinfo=timezone(timedelta(hours=-5)))
    for n in range(10_000):
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                41 + n * 1e-5, -78 - n * 1e-5, name=f"W{n}", type="set", time=start + timedelta(minutes=n)
            )
        )
    data = gpx.to_xml().encode()
    things = read(data).things
    assert len({thing.key for thing in things}) == 10_000
    # gpxpy writes 41 + 9999 x 1e-5 as the shortest decimal that gives the same number back.
    assert things[9_999].place == LonLat(-78 - 9_999 * 1e-5, 41 + 9_999 * 1e-5)
