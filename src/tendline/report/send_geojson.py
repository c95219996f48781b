"""Owns writing GeoJSON: every thing with every field, longitude first, rings wound as the RFC wants.

Does not own which things (`outgoing`). The format holds all of them.
"""

import json
from itertools import pairwise
from typing import Any

from tendline.core.place import LonLat, Outline, Ring
from tendline.ground.brought import BroughtThing
from tendline.report.outgoing import Lost, Outgoing, fields_of


def write_geojson(sent: Outgoing) -> tuple[bytes, tuple[Lost, ...]]:
    """Write a feature collection.

    Returns
    -------
    bytes, lost
        UTF-8; nothing is lost. Members of its own (7.1: foreign members) say whether places are blurred.

    References
    ----------
    RFC 7946, sections 3.1.1 (order), 3.1.6 (outer rings counterclockwise, holes clockwise), 3.2 (a feature
    without a place has a null geometry), 4 (WGS84), 6.1.
    """
    document = {
        "type": "FeatureCollection",
        "name": sent.name,
        "says": sent.says,
        "features": [
            {"type": "Feature", "geometry": geometry_of(thing), "properties": fields_of(thing)}
            for thing in sent.things
        ],
    }
    return (json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False) + "\n").encode(), ()


def geometry_of(thing: BroughtThing) -> dict[str, Any] | None:
    """Give the geometry of a thing as GeoJSON builds it; None when it has none."""
    if thing.place is not None:
        return {"type": "Point", "coordinates": _pair(thing.place)}
    if thing.path:
        return {"type": "LineString", "coordinates": [_pair(place) for place in thing.path]}
    if thing.outline is None:
        return None
    polygons = wound(thing.outline)
    if len(polygons) == 1:
        return {"type": "Polygon", "coordinates": polygons[0]}
    return {"type": "MultiPolygon", "coordinates": polygons}


def wound(outline: Outline) -> list[list[list[list[float]]]]:
    """Give the rings of an outline, outer ones counterclockwise and holes clockwise."""
    return [
        [[_pair(place) for place in _turned(ring, left=number == 0)] for number, ring in enumerate(polygon)]
        for polygon in outline.polygons
    ]


def _turned(ring: Ring, *, left: bool) -> Ring:
    """Give a ring as it is, or the other way round, so that its area lies to its left or right."""
    # Seen from its first corner, so that a small ring far from zero keeps its sign.
    corners = [(place.lon - ring[0].lon, place.lat - ring[0].lat) for place in ring]
    twice = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise(corners))
    return ring if (twice > 0) is left else ring[::-1]


def _pair(place: LonLat) -> list[float]:
    return [place.lon, place.lat]
