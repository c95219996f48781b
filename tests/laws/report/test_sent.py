"""Laws of files sent: what is written comes back the same; what a format cannot hold is counted.

Read back by the readers of files, and by gpxpy, GDAL (through pyogrio) and icalendar as readers of others.
"""

import json
import math
import tempfile
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import gpxpy
import icalendar
import pyogrio
import pyogrio.raw
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from pyproj import Geod

from tendline.core.place import LonLat, Outline, Ring
from tendline.core.words import DeviceClass, FeatureClass, LandClass, Surface
from tendline.ground.brought import BroughtKind, BroughtThing, Fact
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.kml import read_kml
from tendline.ground.table import read_table
from tendline.ground.vectors import read_layers
from tendline.report.outgoing import Outgoing, blurred, square_middle
from tendline.report.say import plain
from tendline.report.send_geojson import write_geojson
from tendline.report.send_gpx import write_gpx
from tendline.report.send_ics import DueCalendar, DueEvent, event_id, write_calendar
from tendline.report.send_kml import write_kml
from tendline.report.send_layers import write_geopackage
from tendline.report.send_table import write_table

NOW = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")
GEOD = Geod(ellps="WGS84")

lons = st.floats(-179.0, 179.0).filter(lambda lon: abs(lon) > 1e-3)
lats = st.floats(-59.0, 80.0).filter(lambda lat: abs(lat) > 1e-3)
places = st.builds(LonLat, lons, lats)
words = st.text(max_size=20).map(plain).filter(lambda text: ";" not in text)
some_words = words.filter(bool)
moments = st.integers(0, 46 * 365 * 86_400).map(
    lambda s: datetime(1980, 2, 1, tzinfo=UTC) + timedelta(seconds=s)
)


def told(**fields: st.SearchStrategy[Fact]) -> st.SearchStrategy[dict[str, Fact]]:
    """Some of these fields."""
    return st.fixed_dictionaries({}, optional={"note": some_words, **fields})


def length(low: float, high: float) -> st.SearchStrategy[Fact]:
    return st.floats(low, high)


@st.composite
def rings(draw: st.DrawFn) -> Outline:
    """A triangle or square, wound either way, with a hole or not, in one piece or two."""
    # Away from zero by zero, which readers take for a receiver without a fix; to a millimetre.
    west, south = (
        draw(st.integers(-170 * 10**8, 160 * 10**8)) / 1e8 + 5e-9,
        draw(st.integers(1, 70 * 10**8)) / 1e8,
    )
    size = draw(st.integers(1000, 2 * 10**6)) / 1e6

    def square(x: float, y: float, s: float) -> Ring:
        corners = [(x, y), (x + s, y), (x + s, y + s), (x, y + s)]
        if draw(st.booleans()):
            corners.reverse()
        return tuple(LonLat(a, b) for a, b in (*corners, corners[0]))

    first: tuple[Ring, ...] = (square(west, south, size),)
    if draw(st.booleans()):
        first += (square(west + size / 4, south + size / 4, size / 4),)
    if draw(st.booleans()):
        return Outline((first, (square(west + 2 * size, south, size),)))
    return Outline((first,))


def named(kind: BroughtKind) -> Callable[..., BroughtThing]:
    """Make things of a kind that are points."""
    return lambda name, place, facts: BroughtThing(kind, name, place, facts=facts)


def bounded(kind: BroughtKind) -> Callable[..., BroughtThing]:
    """Make things of a kind that are areas."""
    return lambda name, outline, facts: BroughtThing(kind, name, outline=outline, facts=facts)


def sets() -> st.SearchStrategy[BroughtThing]:
    facts = told(
        parcel=some_words,
        landmark=some_words,
        target=some_words,
        device_class=st.sampled_from([w.value for w in DeviceClass]),
        surface=st.sampled_from([w.value for w in Surface]),
        loop_m=length(0.02, 1.0),
        bottom_m=length(0.0, 2.0),
        top_m=length(0.0, 3.0),
        accuracy_m=length(0.1, 1000.0),
    )
    return st.builds(
        lambda name, place, at, facts: BroughtThing(BroughtKind.SET, name, place, at=at, facts=facts),
        some_words,
        places,
        st.none() | moments,
        facts,
    )


def others() -> st.SearchStrategy[BroughtThing]:
    parcel = told(
        title=some_words,
        owner=some_words,
        phone=some_words,
        county=some_words,
        land_class=st.sampled_from([w.value for w in LandClass]),
        own_land=st.booleans(),
    )
    device = told(
        construction=some_words, lock=some_words, has_stop=st.booleans(), loop_min_m=length(0.01, 1.0)
    )
    paths = st.lists(places, min_size=2, max_size=5).map(tuple)
    classes = st.sampled_from([w.value for w in FeatureClass])
    feature = st.tuples(told(width_m=length(0.1, 50.0), consent=st.booleans()), classes).map(
        lambda pair: {**pair[0], "feature": pair[1]}
    )
    return st.one_of(
        st.builds(
            lambda n, p, f: BroughtThing(BroughtKind.PARKING, n, p, facts=f), some_words, places, told()
        ),
        st.builds(lambda n, p: BroughtThing(BroughtKind.LANDMARK, n, p), some_words, places),
        st.builds(
            lambda n, o, f: BroughtThing(BroughtKind.PARCEL, n, outline=o, facts=f),
            some_words,
            rings(),
            parcel,
        ),
        st.builds(bounded(BroughtKind.BARRIER), words, rings(), st.just({})),
        st.builds(
            lambda n, p, s: BroughtThing(BroughtKind.BARRIER, n, path=p, facts={"seconds": s}),
            words,
            paths,
            st.floats(0, 7200),
        ),
        st.builds(lambda n, p: BroughtThing(BroughtKind.TRACK, n, path=p), words, paths),
        st.builds(named(BroughtKind.FEATURE), words, places, feature),
        st.builds(
            lambda n, p, f: BroughtThing(BroughtKind.FEATURE, n, path=p, facts=f), words, paths, feature
        ),
        st.builds(
            lambda f, tag, at: BroughtThing(BroughtKind.DEVICE, facts={**f, "tag": tag}, at=at),
            device,
            st.integers(1, 10**9).map(str),
            moments,
        ),
    )


lines = st.lists(
    st.one_of(sets(), others()), min_size=1, max_size=8, unique_by=lambda t: t.facts.get("tag", id(t))
)


def shape_of(thing: BroughtThing) -> Any:
    """The geometry in a form that does not mind where a ring begins or which way it runs."""
    if thing.outline is not None:
        pairs = [[[(p.lon, p.lat) for p in ring] for ring in polygon] for polygon in thing.outline.polygons]
        polygons = [shapely.Polygon(rings[0], rings[1:]).normalize() for rings in pairs]
        return sorted(polygon.wkt for polygon in polygons)
    return (thing.place, thing.path)


def same(things: Sequence[BroughtThing]) -> list[Any]:
    """What must come back, in an order of its own."""
    told_of = [(t.kind.value, t.wanted_name, t.at, sorted(t.facts.items()), shape_of(t)) for t in things]
    return sorted(told_of, key=repr)


def sent(things: Sequence[BroughtThing]) -> Outgoing:
    return Outgoing("the line", tuple(things), None)


def back(read: Callable[..., Any], data: bytes, **more: Any) -> Sequence[BroughtThing]:
    found: Sequence[BroughtThing] = read(data, file_name="a", now=NOW, **more).things
    return found


@settings(max_examples=12, deadline=None)
@given(lines)
def test_geojson_kml_and_geopackage_hold_everything(things: list[BroughtThing]) -> None:
    for write, read in (
        (write_geojson, read_geojson),
        (write_kml, read_kml),
        (write_geopackage, read_layers),
    ):
        data, lost = write(sent(things))
        assert lost == ()
        assert same(back(read, data, zone=ZONE)) == same(things)
        assert write(sent(things))[0] == data


@settings(max_examples=80, deadline=None)
@given(lines)
def test_gpx_holds_points_and_lines_and_counts_the_rest(things: list[BroughtThing]) -> None:
    data, lost = write_gpx(sent(things))
    found = back(read_gpx, data)
    kept = [t for t in things if same([t])[0] in same(found)]
    assert same(found) == same(kept)
    assert len(kept) + sum(one.count for one in lost) == len(things)
    gone = [t for t in things if t not in kept]
    assert all(t.kind is BroughtKind.DEVICE or t.outline is not None for t in gone)


@settings(max_examples=80, deadline=None)
@given(lines)
def test_a_table_holds_points_and_fields_and_counts_the_rest(things: list[BroughtThing]) -> None:
    data, lost = write_table(sent(things))
    found = back(read_table, data, zone=ZONE)
    gone = sum(one.count for one in lost if "outline" not in one.what)
    assert len(found) + gone == len(things)
    flat = [BroughtThing(t.kind, t.wanted_name, t.place, at=t.at, facts=t.facts) for t in things]
    held = [t for t in flat if t.place is not None or t.kind in (BroughtKind.PARCEL, BroughtKind.DEVICE)]
    assert same(found) == same(held)


@settings(max_examples=8, deadline=None)
@given(lines)
def test_readers_of_others_find_the_same_places(things: list[BroughtThing]) -> None:
    points = sorted((t.wanted_name, t.place.lon, t.place.lat) for t in things if t.place is not None)
    parsed = gpxpy.parse(write_gpx(sent(things))[0].decode(), version="1.1")
    assert sorted((w.name or "", w.longitude, w.latitude) for w in parsed.waypoints) == points
    document = json.loads(write_geojson(sent(things))[0])
    found = [f for f in document["features"] if (f["geometry"] or {}).get("type") == "Point"]
    assert sorted((f["properties"].get("name", ""), *f["geometry"]["coordinates"]) for f in found) == points
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.gpkg"
        path.write_bytes(write_geopackage(sent(things))[0])
        in_layers = [row for name, _ in pyogrio.list_layers(path) for row in points_in(path, str(name))]
    assert sorted(in_layers) == points


def points_in(path: Path, layer: str) -> list[tuple[str, float, float]]:
    meta, _, wkb, columns = pyogrio.raw.read(path, layer=layer)
    names = list(meta["fields"])
    if wkb is None:
        return []
    called = columns[names.index("name")] if "name" in names else [""] * len(wkb)
    shapes = shapely.from_wkb(wkb)
    return [(n or "", s.x, s.y) for n, s in zip(called, shapes, strict=True) if s.geom_type == "Point"]


@settings(max_examples=60, deadline=None)
@given(rings())
def test_rings_are_wound_as_the_standard_wants(outline: Outline) -> None:
    # RFC 7946, section 3.1.6: "exterior rings are counterclockwise, and interior rings are clockwise".
    document = json.loads(write_geojson(sent([BroughtThing(BroughtKind.PARCEL, "p", outline=outline)]))[0])
    geometry = document["features"][0]["geometry"]
    polygons = geometry["coordinates"] if geometry["type"] == "MultiPolygon" else [geometry["coordinates"]]
    for polygon in polygons:
        ways = [shapely.LinearRing(ring).is_ccw for ring in polygon]
        assert ways == [True, *([False] * (len(ways) - 1))]


ORDER = {
    "gpx": ("metadata", "wpt", "rte", "trk", "extensions"),
    "wpt": (
        *("ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix"),
        *("sat", "hdop", "vdop", "pdop", "ageofdgpsdata", "dgpsid", "extensions"),
    ),
    "trk": ("name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"),
    "metadata": ("name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"),
    "trkseg": ("trkpt", "extensions"),
}
"""Sequences of the GPX 1.1 schema: wptType and trkType as its text is quoted in public sources; gpxType,
metadataType and trksegType from memory."""


@settings(max_examples=60, deadline=None)
@given(lines)
def test_gpx_keeps_to_the_sequences_and_types_of_its_schema(things: list[BroughtThing]) -> None:
    space = "{http://www.topografix.com/GPX/1/1}"
    root = etree.fromstring(write_gpx(sent(things))[0])
    assert (root.tag, root.get("version"), bool(root.get("creator"))) == (f"{space}gpx", "1.1", True)
    for element in root.iter(f"{space}*"):
        name = element.tag.removeprefix(space)
        if name in ORDER:
            own = [child.tag.removeprefix(space) for child in element]
            assert own == sorted(own, key=ORDER[name].index)
        if name in ("wpt", "trkpt"):
            # xsd:decimal has no exponent; latitude -90 to 90, longitude -180 up to but not 180.
            lat, lon = element.get("lat") or "", element.get("lon") or ""
            assert "e" not in f"{lat}{lon}".lower()
            assert -90 <= float(lat) <= 90
            assert -180 <= float(lon) < 180
        if name == "time":
            assert datetime.fromisoformat(element.text or "").tzinfo is not None
        if name == "extensions":
            assert all(not child.tag.startswith(space) for child in element)


@settings(max_examples=200, deadline=None)
@given(places, st.floats(100.0, 100_000.0))
def test_a_blurred_place_is_in_its_square_and_stays_there(place: LonLat, grid: float) -> None:
    middle = square_middle(place, grid)
    metres = GEOD.inv(place.lon, place.lat, middle.lon, middle.lat)[2]
    # Half a diagonal; a degree is not the same everywhere (0.6 %), and near the poles squares are no squares.
    curved = 1.02 + grid / 500_000 * math.tan(math.radians(min(abs(place.lat), 84.0)))
    assert metres <= grid / math.sqrt(2) * curved + 0.2
    again = square_middle(middle, grid)
    assert GEOD.inv(middle.lon, middle.lat, again.lon, again.lat)[2] < 0.5


@settings(max_examples=80, deadline=None)
@given(lines, st.floats(200.0, 5000.0))
def test_nothing_that_tells_a_place_is_left_when_blurred(things: list[BroughtThing], grid: float) -> None:
    kept, lost = blurred(things, grid)
    assert {t.kind for t in kept} <= {BroughtKind.SET, BroughtKind.DEVICE}
    assert all(not {"landmark", "parcel", "note"} & set(t.facts) for t in kept)
    counted = sum(one.count for one in lost if one.what != "landmark, parcel and note")
    assert counted + len(kept) == len(things)
    for write in (write_gpx, write_geojson, write_kml, write_table):
        text = write(Outgoing("line", kept, grid))[0].decode()
        for thing in things:
            if thing.place is not None and thing.kind is BroughtKind.SET:
                assert repr(thing.place.lat) not in text or len(repr(thing.place.lat)) < 9


@st.composite
def calendars(draw: st.DrawFn) -> DueCalendar:
    names = draw(st.lists(st.sampled_from([f"N{k}" for k in range(9)]), unique=True, max_size=9))
    hours = st.integers(-40, 60)
    events = [
        DueEvent(
            name,
            NOW + timedelta(hours=draw(hours)),
            draw(words),
            draw(st.booleans()),
            off=draw(st.booleans()),
        )
        for name in names
    ]
    ahead = timedelta(minutes=draw(st.integers(0, 600)))
    return DueCalendar("the line", "id", NOW, ZONE, ahead, events)


@settings(max_examples=100, deadline=None)
@given(calendars())
def test_a_calendar_is_read_with_one_alarm_for_each_due_time(calendar: DueCalendar) -> None:
    data, lost = write_calendar(calendar)
    assert lost == ()
    read = icalendar.Calendar.from_ical(data)
    events: dict[str, Any] = {str(e["UID"]): e for e in read.walk("VEVENT")}
    assert len(events) == len(calendar.events)
    alarms = []
    for event in calendar.events:
        found = events[event_id("id", event.set_name)]
        assert found["DTSTART"].dt == event.due
        assert "DTEND" not in found
        assert (found.get("STATUS") == "CANCELLED") is event.off
        rings = [event.due + alarm["TRIGGER"].dt for alarm in found.walk("VALARM")]
        assert all(ring == event.due - calendar.ahead for ring in rings)
        alarms += [event.due for _ in rings]
    assert sorted(alarms) == sorted({event.due for event in calendar.events if not event.off})
    # RFC 5545, section 3.1: lines end in CR LF and are at most 75 octets.
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert b"\n" not in data.replace(b"\r\n", b"")
