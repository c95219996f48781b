"""Owns writing GPX 1.1: waypoints and tracks, with the other fields as extensions in a namespace of our own.

Does not own which things (`outgoing`), nor reading them back (`ground.gpx`).
"""

from collections.abc import Sequence
from datetime import UTC
from decimal import Decimal
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from tendline.core.place import LonLat
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.ground.gpx_fields import NAMESPACE
from tendline.report.outgoing import Lost, Outgoing, counted, field_text

_GPX = "http://www.topografix.com/GPX/1/1"
_POINTS = (
    BroughtKind.SET,
    BroughtKind.PARKING,
    BroughtKind.LANDMARK,
    BroughtKind.CROSSING,
    BroughtKind.FEATURE,
)
_LINES = (BroughtKind.TRACK, BroughtKind.BARRIER, BroughtKind.CROSSING, BroughtKind.FEATURE)


def write_gpx(sent: Outgoing) -> tuple[bytes, tuple[Lost, ...]]:
    """Write GPX.

    Returns
    -------
    bytes, lost
        UTF-8. A parcel is a track round its bounds. What has no place, areas with holes or in several pieces,
        and barriers and features that are areas are lost.

    References
    ----------
    GPX 1.1 schema (2004): order of elements in `gpxType`, `wptType`, `trkType`; extensions are of another
    namespace; times are UTC (`xsd:dateTime`).
    """
    held = [thing for thing in sent.things if _fits(thing)]
    root = Element("gpx", {"version": "1.1", "creator": "tendline", "xmlns": _GPX, "xmlns:t": NAMESPACE})
    about = SubElement(root, "metadata")
    SubElement(about, "name").text = sent.name
    SubElement(about, "desc").text = sent.says
    for thing in held:
        if thing.place is not None:
            _waypoint(root, thing, thing.place)
    for thing in held:
        if thing.place is None:
            _track(root, thing)
    indent(root, " ")
    text = tostring(root, encoding="UTF-8", xml_declaration=True)
    return text + b"\n", counted((t for t in sent.things if not _fits(t)), _why())


def _why() -> str:
    return "GPX holds points, and lines with one beginning and one end"


def _fits(thing: BroughtThing) -> bool:
    if thing.place is not None:
        return thing.kind in _POINTS
    if thing.path:
        return thing.kind in _LINES
    polygons = thing.outline.polygons if thing.outline is not None else ()
    return thing.kind is BroughtKind.PARCEL and len(polygons) == 1 and len(polygons[0]) == 1


def _waypoint(root: Element, thing: BroughtThing, place: LonLat) -> None:
    point = SubElement(root, "wpt", _degrees(place))
    if thing.at is not None:
        SubElement(point, "time").text = _time(thing)
    _words(point, thing)
    SubElement(point, "type").text = _type(thing)
    _extensions(point, thing)


def _track(root: Element, thing: BroughtThing) -> None:
    track = SubElement(root, "trk")
    _words(track, thing)
    SubElement(track, "type").text = _type(thing)
    _extensions(track, thing)
    segment = SubElement(track, "trkseg")
    for number, place in enumerate(_line(thing)):
        point = SubElement(segment, "trkpt", _degrees(place))
        if number == 0 and thing.at is not None:
            SubElement(point, "time").text = _time(thing)


def _type(thing: BroughtThing) -> str:
    return str(thing.facts.get("feature", "")) if thing.kind is BroughtKind.FEATURE else thing.kind.value


def _line(thing: BroughtThing) -> Sequence[LonLat]:
    return thing.path or (thing.outline.polygons[0][0] if thing.outline is not None else ())


def _degrees(place: LonLat) -> dict[str, str]:
    return {"lat": _number(place.lat), "lon": _number(place.lon)}


def _number(value: float) -> str:
    """Write a number as `xsd:decimal` wants it: in full, without an exponent."""
    return format(Decimal(repr(value)), "f")


def _time(thing: BroughtThing) -> str:
    assert thing.at is not None
    return thing.at.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _words(element: Element, thing: BroughtThing) -> None:
    if thing.wanted_name:
        SubElement(element, "name").text = thing.wanted_name
    if "note" in thing.facts:
        SubElement(element, "desc").text = str(thing.facts["note"])


def _extensions(element: Element, thing: BroughtThing) -> None:
    # Of a track the type is mostly a sport, so a feature that is a line says again what it is.
    left = ("note",) if thing.path else ("note", "feature")
    facts = {key: value for key, value in thing.facts.items() if key not in left}
    if not facts:
        return
    fields = SubElement(SubElement(element, "extensions"), "t:fields")
    for key, value in facts.items():
        SubElement(fields, f"t:{key}").text = field_text(value)
