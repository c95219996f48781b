"""Owns writing KML 2.3: a folder for each kind, every field as extended data.

Does not own which things (`outgoing`). The format holds all of them.
"""

from collections.abc import Sequence
from datetime import UTC
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from tendline.core.place import LonLat, Polygon
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.report.outgoing import Lost, Outgoing, field_text, fields_of

_KML = "http://www.opengis.net/kml/2.2"


def write_kml(sent: Outgoing) -> tuple[bytes, tuple[Lost, ...]]:
    """Write KML.

    Returns
    -------
    bytes, lost
        UTF-8; nothing is lost. It has no styles: the reader's own stand.

    References
    ----------
    OGC 12-007r2 (KML 2.3), clauses 9.1.3 (document), 9.14 (extended data), 10.3 (longitude first). Version
    2.3 keeps the namespace of 2.2.
    """
    root = Element("kml", {"xmlns": _KML})
    document = SubElement(root, "Document")
    SubElement(document, "name").text = sent.name
    SubElement(document, "description").text = sent.says
    for kind in BroughtKind:
        things = [thing for thing in sent.things if thing.kind is kind]
        if things:
            folder = SubElement(document, "Folder")
            SubElement(folder, "name").text = kind.value
            for thing in things:
                _placemark(folder, thing)
    indent(root, " ")
    return tostring(root, encoding="UTF-8", xml_declaration=True) + b"\n", ()


def _placemark(folder: Element, thing: BroughtThing) -> None:
    mark = SubElement(folder, "Placemark")
    fields = fields_of(thing)
    SubElement(mark, "name").text = thing.wanted_name or str(thing.facts.get("tag", thing.kind.value))
    if thing.at is not None:
        stamp = SubElement(mark, "TimeStamp")
        SubElement(stamp, "when").text = thing.at.astimezone(UTC).isoformat().replace("+00:00", "Z")
    data = SubElement(mark, "ExtendedData")
    # The name again: that of the placemark is for the eye, and is never empty.
    for key, value in {"name": "", **fields}.items():
        SubElement(SubElement(data, "Data", {"name": key}), "value").text = field_text(value)
    _geometry(mark, thing)


def _geometry(mark: Element, thing: BroughtThing) -> None:
    if thing.place is not None:
        SubElement(SubElement(mark, "Point"), "coordinates").text = _tuples([thing.place])
    elif thing.path:
        SubElement(SubElement(mark, "LineString"), "coordinates").text = _tuples(thing.path)
    elif thing.outline is not None:
        polygons = thing.outline.polygons
        holder = mark if len(polygons) == 1 else SubElement(mark, "MultiGeometry")
        for polygon in polygons:
            _polygon(holder, polygon)


def _polygon(holder: Element, polygon: Polygon) -> None:
    shape = SubElement(holder, "Polygon")
    for number, ring in enumerate(polygon):
        bound = SubElement(shape, "innerBoundaryIs" if number else "outerBoundaryIs")
        SubElement(SubElement(bound, "LinearRing"), "coordinates").text = _tuples(ring)


def _tuples(places: Sequence[LonLat]) -> str:
    return " ".join(f"{place.lon!r},{place.lat!r}" for place in places)
