"""Owns reading KML 2.2 and 2.3: placemarks, as the features that GeoJSON builds.

Does not own what a feature means (`geojson`), nor unpacking a KMZ (`zipped`). Links to other files are never
followed.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

# Only the type of a node: the reading itself is done by defusedxml.
from xml.etree.ElementTree import Element
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList
from tendline.ground.brought import Brought, BroughtKind, kind_called, sha256_of
from tendline.ground.faults import KML
from tendline.ground.geojson import read_features
from tendline.ground.gpx_plain import plain_xml
from tendline.ground.wording import short

_TIME_OF = {BroughtKind.SET.value: "set_at", BroughtKind.DEVICE.value: "built_at"}
_LEFT_OUT = ("NetworkLink", "GroundOverlay", "ScreenOverlay", "PhotoOverlay", "Model", "Track", "Tour")


def read_kml(
    data: bytes,
    *,
    file_name: str,
    zone: ZoneInfo,
    now: datetime,
    default_kind: BroughtKind | None = None,
    sha256: str = "",
) -> Brought:
    """Read a KML file.

    Parameters
    ----------
    data
        The file, in the encoding that its XML declaration names.
    file_name, zone, now, default_kind
        As in `read_geojson`.
    sha256
        Hash of the file it came in, for a KMZ; of `data` when left out.

    Returns
    -------
    Brought
        A placemark is what its field `kind` says, else what its folder is called (``sets``), else what
        `default_kind` says. Its fields are those of its
        ``ExtendedData``; its name, its description without markup (as `note`) and its time count where no
        field says otherwise.

    Raises
    ------
    Refused
        GND-101 to GND-103, GND-105, and every fault of `read_geojson`.

    References
    ----------
    OGC 12-007r2 (KML 2.3), clauses 9.3 (placemark), 10 (geometry: longitude, latitude, altitude, a comma
    between; tuples apart by blanks), 9.14 (extended data), 8.9 (TimeStamp).
    """
    root = plain_xml(data, file_name=file_name, root_name="kml")
    faults, features = FaultList(), []
    for number, (placemark, folder) in enumerate(_placemarks(root), start=1):
        where = f"{file_name}, placemark {number}"
        geometries = list(_geometries(placemark, where, faults))
        geometry: dict[str, Any] | None = None
        if geometries:
            several = {"type": "GeometryCollection", "geometries": geometries}
            geometry = geometries[0] if len(geometries) == 1 else several
        features.append(
            {"type": "Feature", "geometry": geometry, "properties": _properties(placemark, folder)}
        )
    left = sorted({element.tag for element in root.iter()} & set(_LEFT_OUT))
    warnings = [f"{file_name}: left out, only placemarks are read: {', '.join(left)}."] if left else []
    return read_features(
        features,
        file_name=file_name,
        sha256=sha256 or sha256_of(data),
        zone=zone,
        now=now,
        default_kind=default_kind,
        faults=faults,
        warnings=warnings,
        noun="placemark",
    )


def _placemarks(root: Element) -> Iterator[tuple[Element, str]]:
    """Give every placemark, in order, with the kind that the innermost folder's name tells."""
    # A stack, and no calls in calls: folders may be nested as deep as a file likes.
    waiting = [(root, "")]
    while waiting:
        element, folder = waiting.pop()
        if element.tag == "Placemark":
            yield element, folder
            continue
        kind = kind_called(element.findtext("name") or "") if element.tag == "Folder" else None
        word = kind.value if kind is not None else folder
        waiting += [(child, word) for child in reversed(element)]


def _geometries(placemark: Element, where: str, faults: FaultList) -> Iterator[dict[str, Any]]:
    waiting = list(reversed(placemark))
    while waiting:
        element = waiting.pop()
        if element.tag == "MultiGeometry":
            polygons = element.findall("Polygon")
            if len(polygons) == len(element) > 1:
                # Several polygons are one area in several pieces.
                rings = [_rings(polygon, where, faults) for polygon in polygons]
                yield {"type": "MultiPolygon", "coordinates": rings}
            else:
                waiting += reversed(element)
        else:
            yield from _single(element, where, faults)


def _single(element: Element, where: str, faults: FaultList) -> Iterator[dict[str, Any]]:
    if element.tag == "Point":
        found = _coordinates(element, where, faults)
        if len(found) == 1:
            yield {"type": "Point", "coordinates": found[0]}
        elif found:
            faults.add(KML, f"a point has {len(found)} places.", where, "Give it one.")
    elif element.tag in ("LineString", "LinearRing"):
        yield {"type": "LineString", "coordinates": _coordinates(element, where, faults)}
    elif element.tag == "Polygon":
        yield {"type": "Polygon", "coordinates": _rings(element, where, faults)}


def _rings(polygon: Element, where: str, faults: FaultList) -> list[list[list[float]]]:
    bounds = [*polygon.findall("outerBoundaryIs"), *polygon.findall("innerBoundaryIs")]
    return [_coordinates(ring, where, faults) for bound in bounds for ring in bound.findall("LinearRing")]


def _coordinates(element: Element, where: str, faults: FaultList) -> list[list[float]]:
    """Read the tuples of an element; one that cannot be read is noted, once for the element."""
    places = []
    text = element.findtext("coordinates") or ""
    for word in text.split():
        try:
            lon, lat = (float(part) for part in word.split(",")[:2])
        except ValueError:
            do = "Write longitude,latitude in degrees, a comma between, tuples apart by a blank."
            faults.add(KML, f"'{short(word)}' is no place.", where, do)
            return []
        places.append([lon, lat])
    if not places:
        faults.add(KML, f"a {element.tag} has no coordinates.", where, "Draw it again, or take it out.")
    return places


def _properties(placemark: Element, folder: str) -> dict[str, Any]:
    """Give the fields of a placemark; its own data say more than folder, name, description and time."""
    fields = {"name": placemark.findtext("name") or ""} | ({"kind": folder} if folder else {})
    note = placemark.findtext("description") or ""
    if note.strip() and "<" not in note:
        fields["note"] = " ".join(note.split())
    data = {d.get("name", ""): d.findtext("value") or "" for d in placemark.iter("Data")}
    data |= {d.get("name", ""): d.text or "" for d in placemark.iter("SimpleData")}
    fields |= {key: value for key, value in data.items() if key}
    when = next((stamp.text for stamp in placemark.iter("when")), None)
    time_name = _TIME_OF.get(fields.get("kind", "").strip().lower())
    if when and time_name is not None:
        fields.setdefault(time_name, when.strip())
    return fields
