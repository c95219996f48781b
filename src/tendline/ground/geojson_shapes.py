"""Owns the geometry of GeoJSON: positions, lines and rings as RFC 7946 builds them, with every fault placed.

Does not own what is drawn with them.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from tendline.core.errors import FaultList
from tendline.core.place import LonLat, Outline, Polygon
from tendline.ground.checks import checked_place
from tendline.ground.faults import GEOMETRY
from tendline.ground.shapes import checked_outline
from tendline.ground.wording import short

Part = LonLat | tuple[LonLat, ...] | Outline
"""A point, a line of at least two places, or an area."""

GEOMETRIES = (
    *(
        "Point",
        "MultiPoint",
        "LineString",
        "MultiLineString",
        "Polygon",
        "MultiPolygon",
        "GeometryCollection",
    ),
)
_DEPTH = {"Point": 0, "MultiPoint": 1, "LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}


def parts_of(geometry: Any, *, where: str, faults: FaultList) -> tuple[Part, ...]:
    """Read one geometry.

    Parameters
    ----------
    geometry
        As it comes out of JSON.
    where
        File and feature.
    faults
        Takes GND-013, GND-204, GND-501 to GND-503.

    Returns
    -------
    tuple of LonLat, tuple of LonLat, or Outline
        Several for a MultiPoint, a MultiLineString or a collection; parts with a fault are missing.

    References
    ----------
    RFC 7946, section 3.1. A third number (height) is read over (3.1.1); rings may wind either way (3.1.6).
    """
    if geometry is None:
        return ()
    kind = str(geometry.get("type")) if isinstance(geometry, dict) else "nothing"
    if kind == "GeometryCollection" and isinstance(geometry.get("geometries"), list):
        inner = (parts_of(each, where=where, faults=faults) for each in geometry["geometries"])
        return tuple(part for parts in inner for part in parts)
    if kind not in _DEPTH:
        faults.add(GEOMETRY, f"'{short(kind)}' is not a geometry.", where, f"Use {', '.join(_DEPTH)}.")
        return ()
    coordinates = geometry.get("coordinates")
    if not _nested(coordinates, _DEPTH[kind]):
        do = f"coordinates must be {'a list of ' * _DEPTH[kind]}[longitude, latitude] for a {kind}."
        faults.add(GEOMETRY, f"the coordinates are not those of a {kind}.", where, do)
        return ()
    return tuple(_parts(kind, coordinates, where, faults))


def _parts(kind: str, coordinates: Any, where: str, faults: FaultList) -> Iterator[Part]:
    singles = coordinates if kind in ("MultiPoint", "MultiLineString") else [coordinates]
    if kind in ("Polygon", "MultiPolygon"):
        polygons = coordinates if kind == "MultiPolygon" else [coordinates]
        area = _area(polygons, where, faults)
        if area is not None:
            yield area
        return
    for single in singles:
        if kind in ("Point", "MultiPoint"):
            part: Part | None = _position(single, where, faults)
        else:
            part = _line(single, where, faults)
        if part is not None:
            yield part


def _nested(value: Any, depth: int) -> bool:
    """Say whether `value` is lists in lists, `depth` deep, with a position at the bottom of each."""
    if depth == 0:
        return (
            isinstance(value, list)
            and len(value) >= 2
            and all(isinstance(n, int | float) and not isinstance(n, bool) for n in value)
        )
    return isinstance(value, list) and all(_nested(each, depth - 1) for each in value)


def _position(numbers: Sequence[float], where: str, faults: FaultList) -> LonLat | None:
    # A whole number of hundreds of digits is legal JSON, and more than a float can hold.
    lon, lat = (float(max(-1e9, min(1e9, number))) for number in numbers[:2])
    return checked_place(lon, lat, where, faults)


def _line(positions: Sequence[Sequence[float]], where: str, faults: FaultList) -> tuple[LonLat, ...] | None:
    """Read a line; only its first bad position is noted: the others are mostly bad in the same way."""
    places = []
    for number, position in enumerate(positions, start=1):
        place = _position(position, f"{where}, position {number}", faults)
        if place is None:
            return None
        places.append(place)
    if len(places) < 2:
        faults.add(GEOMETRY, f"a line has {len(places)} positions.", where, "A line needs at least two.")
        return None
    return tuple(places)


def _area(
    polygons: Sequence[Sequence[Sequence[Sequence[float]]]], where: str, faults: FaultList
) -> Outline | None:
    read: list[Polygon] = []
    for polygon in polygons:
        rings = [_ring(ring, where, faults) for ring in polygon]
        if not rings:
            faults.add(GEOMETRY, "an area has no ring.", where, "An area needs an outer ring.")
        elif all(ring is not None for ring in rings):
            read.append(tuple(ring for ring in rings if ring is not None))
    if not polygons:
        faults.add(GEOMETRY, "there is no area in it.", where, "Draw its outline, or take the feature out.")
    if not read or len(read) < len(polygons):
        return None
    return checked_outline(tuple(read), where=where, faults=faults)


def _ring(positions: Sequence[Sequence[float]], where: str, faults: FaultList) -> tuple[LonLat, ...] | None:
    if len(positions) < 4 or list(positions[0][:2]) != list(positions[-1][:2]):
        what = f"a ring of {len(positions)} positions is too short, or does not end where it starts."
        do = "A ring needs at least four positions, the last the same as the first."
        faults.add(GEOMETRY, what, where, do)
        return None
    return _line(positions, where, faults)
