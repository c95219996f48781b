"""Owns the first pass over a GPX file: refuse what is not plain data, strip what is not asked for.

Does not own the meaning of a waypoint or a track: `gpx` does.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

# Only the type of a node: the reading itself is done by defusedxml.
from xml.etree.ElementTree import Element

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import ParseError, fromstring

from tendline.core.errors import FaultList, refuse
from tendline.ground.faults import NOT_GPX, PLACE, XML, XML_DTD
from tendline.ground.gpx_fields import take_fields
from tendline.ground.wording import short

KEPT = ("name", "cmt", "desc", "type", "time")
"""The children of a waypoint, track or track point that are read."""

BAD = "bad"
"""Attribute set on a point whose coordinates are no numbers; the fault has been noted."""


def plain_tree(data: bytes, *, file_name: str) -> tuple[Element, Sequence[Mapping[str, str]]]:
    """Read GPX into a tree as `plain_xml` does, and the fields that its extensions carry (`take_fields`)."""
    fields: list[Mapping[str, str]] = []
    root = plain_xml(
        data, file_name=file_name, root_name="gpx", before=lambda r: fields.extend(take_fields(r))
    )
    return root, fields


def plain_xml(
    data: bytes,
    *,
    file_name: str,
    root_name: str,
    before: Callable[[Element], None] = lambda _: None,
) -> Element:
    """Read XML into a tree whose root has one name, names without their namespace.

    Parameters
    ----------
    data, file_name
        The file, and its name for messages.
    root_name
        What the outermost element must be called.
    before
        Is shown the tree while names still have their namespace.

    Raises
    ------
    Refused
        GND-101 where the XML is broken, GND-102 for a document type or entities, GND-103 for other XML.
    """
    title = root_name.upper()
    try:
        root: Element = fromstring(data, forbid_dtd=True)
    except DefusedXmlException:
        raise refuse(
            XML_DTD,
            f"the file declares a document type or entities; they can do harm, and {title} needs none.",
            file_name,
            "Get the file from its source again, or take the <!DOCTYPE ...> out.",
        ) from None
    except ParseError as error:
        line, column = error.position
        what = f"the XML is broken here ({str(error).split(':')[0]})."
        where = f"{file_name}, line {line}, column {column + 1}"
        raise refuse(XML, what, where, "Export the file again; a part may be missing.") from None
    except (LookupError, ValueError) as error:
        what = f"the file's encoding cannot be read ({error})."
        raise refuse(XML, what, file_name, "Save it again as UTF-8.") from None
    before(root)
    for element in root.iter():
        element.tag = str(element.tag).rpartition("}")[2]
    if root.tag != root_name:
        what = f"the file is XML, but its outermost element is <{short(root.tag)}>, not <{root_name}>."
        raise refuse(NOT_GPX, what, file_name, f"Export it as {title}.")
    return root


def strip(root: Element, *, file_name: str, faults: FaultList) -> int:
    """Leave only waypoints and tracks, and of them only what is read; give the number of routes left out.

    A coordinate that is no number is noted (GND-013) and replaced, so that the second pass can go on and find
    the other faults.
    """
    routes = len(root.findall("rte"))
    root[:] = [child for child in root if child.tag in ("wpt", "trk")]
    for track in root.findall("trk"):
        track[:] = [child for child in track if child.tag in (*KEPT, "trkseg")]
    for where, point in _points(root, file_name):
        point[:] = [child for child in point if child.tag in KEPT]
        lon, lat = _degrees(point.get("lon", "")), _degrees(point.get("lat", ""))
        if not (math.isfinite(lon) and math.isfinite(lat)):
            given = f"longitude '{short(point.get('lon', ''))}', latitude '{short(point.get('lat', ''))}'"
            do = "Give both, lon and lat, in degrees with a decimal point."
            faults.add(PLACE, f"{given} are not numbers.", where, do)
            point.set(BAD, "yes")
            lon, lat = 0.0, 0.0
        point.set("lon", repr(lon))
        point.set("lat", repr(lat))
    return routes


def waypoint_where(waypoint: Element, number: int, *, file_name: str) -> str:
    """Say where a waypoint stands: ``line.gpx, waypoint 3 (N3)``."""
    name = " ".join((waypoint.findtext("name") or "").split())
    return f"{file_name}, waypoint {number}" + (f" ({short(name)})" if name else "")


def segment_where(track: Element, number: int, segment: int, *, file_name: str) -> str:
    """Say where a piece of a track stands: ``walk.gpx, track 1``, with its segment if there are several."""
    many = len(track.findall("trkseg")) > 1
    return f"{file_name}, track {number}" + (f", segment {segment}" if many else "")


def _points(root: Element, file_name: str) -> Iterator[tuple[str, Element]]:
    for number, waypoint in enumerate(root.findall("wpt"), start=1):
        yield waypoint_where(waypoint, number, file_name=file_name), waypoint
    for number, track in enumerate(root.findall("trk"), start=1):
        for index, segment in enumerate(track.findall("trkseg"), start=1):
            where = segment_where(track, number, index, file_name=file_name)
            segment[:] = segment.findall("trkpt")
            for point_number, point in enumerate(segment, start=1):
                yield f"{where}, point {point_number}", point


def _degrees(text: str) -> float:
    try:
        return float(text) if "_" not in text else math.nan
    except ValueError:
        return math.nan
