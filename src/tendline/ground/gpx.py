"""Owns reading GPX 1.1 and 1.0: waypoints and tracks, as plain things.

Does not own the safety of the XML (`gpx_plain`), writing GPX (report), or what the things come to be called.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from xml.etree.ElementTree import Element, tostring

import gpxpy
import gpxpy.gpx

from tendline.core.errors import FaultList
from tendline.core.place import LonLat
from tendline.core.words import FeatureClass
from tendline.ground.brought import Brought, BroughtKind, BroughtThing, Fact, keyed, sha256_of
from tendline.ground.checks import check_twice, checked_date, checked_kind, checked_place, refuse_without_kind
from tendline.ground.faults import GPX_TIME, SHAPE
from tendline.ground.fields import read_facts
from tendline.ground.gpx_fields import CARRIED
from tendline.ground.gpx_plain import BAD, plain_tree, segment_where, strip, waypoint_where
from tendline.ground.shapes import checked_outline
from tendline.ground.wording import ranges, short

_POINTS = (
    *(BroughtKind.SET, BroughtKind.PARKING, BroughtKind.LANDMARK, BroughtKind.CROSSING),
    BroughtKind.SPOT,
)
_LINES = (BroughtKind.TRACK, BroughtKind.BARRIER, BroughtKind.CROSSING, BroughtKind.PARCEL)


@dataclass
class _Reading:
    """What is at hand everywhere while one file is read."""

    file_name: str
    now: datetime
    default: BroughtKind | None
    fields: Sequence[Mapping[str, str]]
    faults: FaultList = field(default_factory=FaultList)
    warnings: list[str] = field(default_factory=list)
    kindless: list[int] = field(default_factory=list)
    odd_types: dict[str, list[int]] = field(default_factory=dict)
    zoneless: int = 0


def read_gpx(
    data: bytes, *, file_name: str, now: datetime, default_kind: BroughtKind | None = None
) -> Brought:
    """Read a GPX file.

    Parameters
    ----------
    data
        The file, in the encoding that its XML declaration names; UTF-8 if it names none.
    file_name
        Its name, for messages.
    now
        The present: nothing in the file may be later.
    default_kind
        What a waypoint is whose ``<type>`` does not say so.

    Returns
    -------
    Brought
        A waypoint is what its ``<type>`` says: set, parking, landmark, crossing, or a class of feature
        (``den``). A track is a track, unless its ``<type>`` or `default_kind` says barrier, crossing or
        parcel (bounds walked with a receiver); each of its segments becomes a thing. Routes are left out with
        a warning. Extensions are read only where they are of our own namespace.

    Raises
    ------
    Refused
        With every fault of the file: GND-011 to GND-014, GND-020, GND-101 to GND-104, GND-501 to GND-503.

    References
    ----------
    GPX 1.1 schema (2004): `wpt` and `trkpt` carry `lat` and `lon` in decimal degrees, WGS84; `time` is in
    UTC.
    """
    root, fields = plain_tree(data, file_name=file_name)
    reading = _Reading(file_name, now, default_kind, fields)
    routes = strip(root, file_name=file_name, faults=reading.faults)
    # gpxpy is handed only what the first pass has found harmless and whole.
    parsed = gpxpy.parse(tostring(root, encoding="unicode"), version=root.get("version"))
    things = [*_waypoints(root, parsed, reading), *_tracks(root, parsed, reading)]
    refuse_without_kind(reading.kindless, file_name=file_name, noun="waypoint", faults=reading.faults)
    reading.warnings += check_twice(things, file_name=file_name, faults=reading.faults)
    reading.faults.refuse()
    _say_what_was_odd(reading, routes=routes, empty=not things)
    return Brought(file_name, sha256_of(data), keyed(things), tuple(reading.warnings))


def _waypoints(root: Element, parsed: gpxpy.gpx.GPX, reading: _Reading) -> list[BroughtThing]:
    things = []
    for number, (element, point) in enumerate(
        zip(root.findall("wpt"), parsed.waypoints, strict=True), start=1
    ):
        where = waypoint_where(element, number, file_name=reading.file_name)
        word = (point.type or "").strip().lower()
        feature = {"feature": word} if word in list(FeatureClass) else {}
        kind = BroughtKind.FEATURE if feature else _waypoint_kind(word, number, where, reading)
        thing = BroughtThing(
            kind=kind or BroughtKind.SET,
            wanted_name=" ".join((point.name or "").split()),
            place=_place(element, point, where, reading),
            at=_time(element, point.time, where, reading),
            facts={
                **_facts(point.comment, point.description),
                **_own(element, kind, where, reading),
                **feature,
            },
            where=where,
        )
        things += [thing] if kind is not None else []
    return things


def _waypoint_kind(word: str, number: int, where: str, reading: _Reading) -> BroughtKind | None:
    """Read the ``<type>``; with a default at hand, a word of some other program is no fault."""
    if word and word not in list(BroughtKind) and reading.default is not None:
        reading.odd_types.setdefault(word, []).append(number)
        word = ""
    kind = checked_kind(word, default=reading.default, where=where, faults=reading.faults)
    if kind is None and not word:
        reading.kindless.append(number)
    if kind is not None and kind not in _POINTS:
        do = f"Bring a {kind} as a track, or as GeoJSON."
        if kind is BroughtKind.FEATURE:
            do = f"Write which, as its <type>: {', '.join(each.value for each in FeatureClass)}."
        reading.faults.add(SHAPE, f"a waypoint cannot be a {kind}.", where, do)
    return kind


def _tracks(root: Element, parsed: gpxpy.gpx.GPX, reading: _Reading) -> list[BroughtThing]:
    things = []
    default = reading.default if reading.default in _LINES else BroughtKind.TRACK
    for number, (element, track) in enumerate(zip(root.findall("trk"), parsed.tracks, strict=True), start=1):
        # The type of a track is mostly a sport, as other programs write it: only the words known here count.
        word = (track.type or "").strip().lower()
        kind = BroughtKind(word) if word in list(_LINES) else default
        if word in list(FeatureClass) and "feature" in _carried(element, reading):
            kind = BroughtKind.FEATURE
        name, facts = " ".join((track.name or "").split()), _facts(track.comment, track.description)
        pieces = zip(element.findall("trkseg"), track.segments, strict=True)
        for index, (segment, read) in enumerate(pieces, start=1):
            where = segment_where(element, number, index, file_name=reading.file_name)
            own = _own(element, kind, where, reading)
            bare = BroughtThing(kind, name, facts={**facts, **own}, where=where)
            things += _with_path(bare, list(segment), read.points, reading)
    return things


def _with_path(
    thing: BroughtThing, elements: list[Element], points: list[gpxpy.gpx.GPXTrackPoint], reading: _Reading
) -> list[BroughtThing]:
    """Give the thing with its line or bounds; nothing, and a warning, if the points are too few."""
    least = 3 if thing.kind is BroughtKind.PARCEL else 2
    if len(points) < least:
        reading.warnings.append(
            f"{thing.where}: too few points ({len(points)}) for a {thing.kind}; left out."
        )
        return []
    pairs = enumerate(zip(elements, points, strict=True), start=1)
    places = [_place(element, point, f"{thing.where}, point {n}", reading) for n, (element, point) in pairs]
    path = tuple(place for place in places if place is not None)
    if thing.kind is not BroughtKind.PARCEL:
        at = _time(elements[0], points[0].time, f"{thing.where}, point 1", reading)
        return [replace(thing, path=path, at=at)]
    if len(path) < len(points):
        return []
    ring = path if path[0] == path[-1] else (*path, path[0])
    outline = checked_outline(((ring,),), where=thing.where, faults=reading.faults)
    return [replace(thing, outline=outline)]


def _place(
    element: Element,
    point: gpxpy.gpx.GPXWaypoint | gpxpy.gpx.GPXTrackPoint,
    where: str,
    reading: _Reading,
) -> LonLat | None:
    if element.get(BAD) is not None:
        return None
    return checked_place(point.longitude, point.latitude, where, reading.faults)


def _time(element: Element, parsed: datetime | None, where: str, reading: _Reading) -> datetime | None:
    text = (element.findtext("time") or "").strip()
    if not text:
        return None
    if parsed is None:
        do = "Write it in UTC: 2026-01-15T10:40:00Z."
        reading.faults.add(GPX_TIME, f"'{short(text)}' is not a time.", where, do)
        return None
    if parsed.tzinfo is None:
        reading.zoneless += 1
        parsed = parsed.replace(tzinfo=UTC)
    return checked_date(parsed, now=reading.now, where=where, faults=reading.faults)


def _own(element: Element, kind: BroughtKind | None, where: str, reading: _Reading) -> dict[str, Fact]:
    """Read the fields that a file of our own carries; the class of a feature is its type."""
    told = _carried(element, reading)
    if not told or kind is None:
        return {}
    word = {"feature": (element.findtext("type") or "").strip()} if kind is BroughtKind.FEATURE else {}

    def field_where(name: str) -> str:
        return f"{where}, field {name}"

    return read_facts(
        kind, {**told, **word}, where=field_where, faults=reading.faults, warnings=reading.warnings
    )


def _carried(element: Element, reading: _Reading) -> Mapping[str, str]:
    number = element.get(CARRIED)
    return {} if number is None else reading.fields[int(number)]


def _facts(comment: str | None, description: str | None) -> dict[str, Fact]:
    texts = dict.fromkeys(" ".join(text.split()) for text in (comment, description) if text and text.strip())
    return {"note": "; ".join(texts)} if texts else {}


def _say_what_was_odd(reading: _Reading, *, routes: int, empty: bool) -> None:
    name = reading.file_name
    for word, numbers in reading.odd_types.items():
        what = f"type '{short(word)}' is not a kind of thing (waypoint {ranges(numbers)})"
        reading.warnings.append(f"{name}: {what}; taken as {reading.default}.")
    if reading.zoneless:
        reading.warnings.append(
            f"{name}: times without a zone ({reading.zoneless}) were read as UTC, as GPX wants them."
        )
    if routes:
        reading.warnings.append(
            f"{name}: routes ({routes}) were left out; only waypoints and tracks are read."
        )
    if empty:
        reading.warnings.append(f"{name}: there is no waypoint and no track in it.")
