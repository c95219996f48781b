"""Laws of files brought in: what others write comes back the same; nothing ends in a traceback."""

import csv
import functools
import io
import json
import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import gpxpy
import gpxpy.gpx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tendline.core.errors import Fault, FaultList, Refused
from tendline.core.place import LonLat, Outline
from tendline.ground.brought import Brought, BroughtKind, BroughtThing, keyed
from tendline.ground.drives import read_drives
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.heights import block_mean
from tendline.ground.shapes import checked_outline, outline_holds
from tendline.ground.table import read_table

NOW = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")

lons = st.floats(-180.0, 180.0).filter(lambda lon: abs(lon) > 1e-3)
lats = st.floats(-60.0, 90.0).filter(lambda lat: abs(lat) > 1e-3)
# XML 1.0 cannot hold control characters, surrogates and two others (W3C recommendation, production 2).
xml_text = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufffe\uffff"), max_size=20
)
moments = st.integers(0, 47 * 365 * 86_400).map(
    lambda seconds: datetime(1980, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)
)

# Exact by definition: NIST SP 811 (2008), appendix B.8.
METRES = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "in": Fraction(254, 10_000),
    "ft": Fraction(3048, 10_000),
}


@given(st.lists(st.tuples(lons, lats, xml_text, xml_text, st.none() | moments), min_size=1, max_size=20))
def test_what_gpxpy_writes_comes_back(points: list[tuple[float, float, str, str, datetime | None]]) -> None:
    gpx = gpxpy.gpx.GPX()
    for lon, lat, name, note, moment in points:
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(lat, lon, name=name, comment=note, type="set", time=moment)
        )
    brought = read_gpx(gpx.to_xml().encode(), file_name="a.gpx", now=NOW)
    assert len(brought.things) == len(points)
    for thing, (lon, lat, name, note, moment) in zip(brought.things, points, strict=True):
        assert thing.place is not None
        assert (thing.place.lon, thing.place.lat) == pytest.approx((lon, lat), abs=1e-7)
        assert thing.wanted_name == " ".join(name.split())
        assert thing.facts.get("note", "") == " ".join(note.split())
        assert thing.at == moment


@given(st.sampled_from(sorted(METRES)), st.floats(0.021, 1.0))
def test_a_loop_is_as_wide_in_every_unit(unit: str, metres: float) -> None:
    number = float(Fraction(metres) / METRES[unit])
    text = f"kind,lon,lat,loop_{unit}\nset,-78,41,{number!r}\n"
    try:
        (thing,) = read_table(text.encode(), file_name="a.csv", zone=ZONE, now=NOW).things
    except Refused:
        # Only the very edge may fall the other way by rounding.
        assert metres > 1.0 - 1e-12
        return
    assert thing.facts["loop_m"] == pytest.approx(float(Fraction(number) * METRES[unit]), rel=1e-15)


@given(st.sampled_from(sorted(METRES)), st.floats(0.021, 0.999))
def test_the_way_round_a_loop_tells_its_width(unit: str, metres: float) -> None:
    number = metres / float(METRES[unit]) * math.pi
    text = f"kind,lon,lat,loop_circ_{unit}\nset,-78,41,{number!r}\n"
    (thing,) = read_table(text.encode(), file_name="a.csv", zone=ZONE, now=NOW).things
    assert thing.facts["loop_m"] == pytest.approx(metres, rel=1e-13)


@given(
    st.sampled_from([",", ";", "\t"]),
    st.lists(st.tuples(lons, lats, xml_text, xml_text), min_size=1, max_size=10),
)
def test_a_table_written_by_the_standard_library_comes_back(
    separator: str, rows: list[tuple[float, float, str, str]]
) -> None:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator)
    writer.writerow(["kind", "lon", "lat", "name", "note"])
    writer.writerows([["set", repr(lon), repr(lat), name, note] for lon, lat, name, note in rows])
    brought = read_table(out.getvalue().encode(), file_name="a.csv", zone=ZONE, now=NOW)
    for thing, (lon, lat, name, note) in zip(brought.things, rows, strict=True):
        assert thing.place == LonLat(lon, lat)
        assert thing.wanted_name == " ".join(name.split())
        assert thing.facts.get("note", "") == note.strip()


@given(st.lists(st.tuples(lons, lats), min_size=1, max_size=10))
def test_points_written_as_geojson_come_back_to_the_last_bit(points: list[tuple[float, float]]) -> None:
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": point},
            "properties": {"kind": "landmark"},
        }
        for point in points
    ]
    document = json.dumps({"type": "FeatureCollection", "features": features})
    brought = read_geojson(document.encode(), file_name="a.geojson", zone=ZONE, now=NOW)
    assert [thing.place for thing in brought.things] == [LonLat(*point) for point in points]


GOOD = {
    "gpx": b'<gpx version="1.1"><wpt lat="41.2" lon="-78.1"><time>2026-12-20T10:00:00Z</time><type>set</type>'
    b'</wpt><trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="3" lon="4"/></trkseg></trk></gpx>',
    "geojson": b'{"type":"Feature","properties":{"kind":"parcel","loop_in":10,"set_at":"2026-12-20"},'
    b'"geometry":{"type":"Polygon","coordinates":[[[1,2],[3,2],[3,4],[1,2]]]}}',
    "table": b"kind,name,lon,lat,set_at,loop_in,tag,parcels\nset,a,-78,41,2026-12-20 05:40,10,T1,\n"
    b'parking,"b, c",-78,41,,,,x y\n',
    "drives": b"from,to,minutes,miles,both\nhome,a,12,5,yes\na,b,3,,no\n",
}


def faults_if_refused(call: Callable[[], object]) -> tuple[Fault, ...]:
    """Give the faults of a refusal; nothing when there is none. Anything else that is raised goes through."""
    try:
        call()
    except Refused as refused:
        return refused.faults
    return ()


def read_as(form: str, data: bytes) -> object:
    match form:
        case "gpx":
            return read_gpx(data, file_name="a", now=NOW)
        case "geojson":
            return read_geojson(data, file_name="a", zone=ZONE, now=NOW)
        case "table":
            return read_table(data, file_name="a", zone=ZONE, now=NOW)
        case _:
            return read_drives(data, file_name="a")


@settings(max_examples=300)
@given(
    st.sampled_from(sorted(GOOD)),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 5), st.binary(max_size=4)), min_size=1, max_size=4),
)
def test_a_file_that_is_damaged_anyhow_is_read_or_refused(
    form: str, damage: list[tuple[float, int, bytes]]
) -> None:
    data = GOOD[form]
    for share, cut, put in damage:
        at = int(share * len(data))
        data = data[:at] + put + data[at + cut :]
    assert all(fault.what and fault.do for fault in faults_if_refused(lambda: read_as(form, data)))


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False)
    | st.sampled_from(["Point", "set", ""]),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(
                ["type", "coordinates", "geometry", "properties", "kind", "features", "loop_in", "id"]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


@settings(max_examples=300)
@given(json_values, st.sampled_from(["Point", "Polygon", "MultiPolygon", "GeometryCollection", "LineString"]))
def test_any_json_is_read_or_refused(value: object, kind: str) -> None:
    geometry = {"type": kind, "coordinates": value, "geometries": value}
    for document in (value, {"type": "Feature", "properties": value, "geometry": geometry}):
        data = json.dumps(document).encode()
        call = functools.partial(
            read_geojson, data, file_name="a", zone=ZONE, now=NOW, default_kind=BroughtKind.PARCEL
        )
        faults = faults_if_refused(call)
        assert all(fault.code.id.startswith(("GND", "CORE")) for fault in faults)


things = st.builds(
    BroughtThing,
    st.sampled_from([BroughtKind.SET, BroughtKind.PARKING]),
    st.sampled_from(["", "a", "b"]),
    place=st.builds(LonLat, st.sampled_from([1.0, 2.0]), st.sampled_from([1.0, 2.0])),
)


@given(st.lists(things, max_size=30), st.lists(things, max_size=5))
def test_keys_are_unique_and_stay_when_more_is_put_at_the_end(
    first: list[BroughtThing], more: list[BroughtThing]
) -> None:
    alone, both = keyed(first), keyed([*first, *more])
    assert len({thing.key for thing in both}) == len(both)
    assert both[: len(alone)] == alone


@given(st.lists(st.floats(0.3, 1.0), min_size=3, max_size=12), st.floats(0, 2 * math.pi), st.floats(0, 1.5))
def test_a_star_shaped_outline_is_sound_and_holds_what_its_radius_says(
    radii: list[float], angle: float, distance: float
) -> None:
    # Corners at even angles about a middle, each at its own radius: such a ring never crosses itself.
    step = 2 * math.pi / len(radii)
    corners = [LonLat(-78 + r * math.cos(n * step), 41 + r * math.sin(n * step)) for n, r in enumerate(radii)]
    faults = FaultList()
    ring = (*corners, corners[0])
    outline = checked_outline(((ring,),), where="", faults=faults)
    assert isinstance(outline, Outline)
    place = LonLat(-78 + distance * math.cos(angle), 41 + distance * math.sin(angle))
    # In the sector of two corners the edge runs nearer than the farther, and no nearer than its foot.
    index = int(angle // step) % len(radii)
    one, other = radii[index], radii[(index + 1) % len(radii)]
    if distance > max(one, other) + 1e-9:
        assert not outline_holds(outline, place)
    if len(radii) > 3 and distance < min(one, other) * math.cos(step / 2) - 1e-9:
        assert outline_holds(outline, place)


@given(
    arrays(
        np.float32, st.tuples(st.integers(1, 9), st.integers(1, 9)), elements=st.floats(-100, 3000, width=32)
    ),
    st.integers(1, 4),
    st.integers(0, 2**32),
)
def test_the_mean_of_blocks_is_what_numpy_says_of_each(z: np.ndarray, block: int, chance: int) -> None:
    z = np.where(np.random.default_rng(chance).random(z.shape) < 0.4, np.float32(np.nan), z)
    found = block_mean(z, block)
    assert found.shape == (z.shape[0] // block, z.shape[1] // block)
    for (row, col), mean in np.ndenumerate(found):
        cells = z[row * block : (row + 1) * block, col * block : (col + 1) * block]
        known = cells[~np.isnan(cells)]
        if 2 * known.size < block * block:
            assert np.isnan(mean)
        else:
            assert mean == pytest.approx(np.mean(known.astype(np.float64)), rel=1e-6, abs=1e-4)


@given(st.lists(st.tuples(st.sampled_from("abcd"), st.sampled_from("abcd"), st.integers(1, 60)), max_size=8))
def test_every_told_drive_stands_and_every_way_back_is_there(rows: list[tuple[str, str, int]]) -> None:
    told = {(one, other): minutes for one, other, minutes in rows if one != other}
    text = "from,to,minutes\n" + "".join(f"{a},{b},{minutes}\n" for (a, b), minutes in told.items())
    drives = read_drives(text.encode(), file_name="a.csv").drives
    for (one, other), minutes in told.items():
        assert drives[one, other].seconds == minutes * 60
        assert drives[other, one].seconds == 60 * told.get((other, one), minutes)
    assert set(drives) == {*told, *((b, a) for a, b in told)}


def test_the_same_bytes_give_the_same_answer() -> None:
    first, again = (read_as("gpx", GOOD["gpx"]) for _ in range(2))
    assert isinstance(first, Brought)
    assert first == again
    assert first.things[0].at == NOW - timedelta(days=26, hours=2)
