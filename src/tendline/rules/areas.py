"""Owns zones given as polygons: which one a place lies in, and whether two lie over one another.

Does not own reading them (`rules.load_land`) or the position error (`rules.meet_place`). Zones are small
beside the earth: edges are straight in longitude and latitude, and no zone crosses the date line.
"""

import math
from collections.abc import Iterable, Mapping
from itertools import combinations, pairwise

from tendline.core.place import LonLat
from tendline.rules.rule import Area

_TOUCH = 1e-12
"""Twice an area below which three points lie on a line [square degrees]: a common border is no overlap."""

Ring = tuple[LonLat, ...]


def answers_at(areas: Iterable[Area], place: LonLat, *, margin_m: float = 0.0) -> Mapping[str, str]:
    """Give the answers of the zones in which a place lies; none where a border is within a margin [m]."""
    return {
        area.question: area.answer
        for area in areas
        if holds(area.ring, place) and (not margin_m or border_m(area.ring, place) >= margin_m)
    }


def border_m(ring: Ring, place: LonLat) -> float:
    """Give the distance from a place to the nearest edge of a ring [m].

    Notes
    -----
    On a plane that touches the earth at the place; good to 1 in 100 within a few kilometres, which is where
    it matters. A degree of latitude is 111 132 m and of longitude 111 320 m times the cosine of the latitude.
    """
    east = 111320.0 * math.cos(math.radians(place.lat))
    spots = [((p.lon - place.lon) * east, (p.lat - place.lat) * 111132.0) for p in ring]
    return min(_off(*a, *b) for a, b in pairwise(spots))


def _off(ax: float, ay: float, bx: float, by: float) -> float:
    """Give the distance from the origin to the stretch from a to b."""
    dx, dy = bx - ax, by - ay
    length = dx * dx + dy * dy
    share = 0.0 if length == 0 else min(1.0, max(0.0, -(ax * dx + ay * dy) / length))
    return math.hypot(ax + share * dx, ay + share * dy)


def holds(ring: Ring, place: LonLat) -> bool:
    """Say whether a place lies inside a ring, by the even-odd rule; on its edge either may be answered."""
    inside = False
    for a, b in pairwise(ring):
        if (a.lat > place.lat) != (b.lat > place.lat):
            lon = a.lon + (place.lat - a.lat) * (b.lon - a.lon) / (b.lat - a.lat)
            inside ^= place.lon < lon
    return inside


def overlapping(areas: Iterable[Area]) -> tuple[tuple[Area, Area], ...]:
    """Give the pairs of zones of one question that lie over one another; sharing a border is none."""
    return tuple(
        (a, b) for a, b in combinations(areas, 2) if a.question == b.question and overlap(a.ring, b.ring)
    )


def overlap(first: Ring, second: Ring) -> bool:
    """Say whether two rings have any ground in common."""
    if any(_cross(*e, *f) for e in pairwise(first) for f in pairwise(second)):
        return True
    return _within(first, second) or _within(second, first)


def _within(first: Ring, second: Ring) -> bool:
    """Say whether a corner, a middle of an edge or an inner point of the first lies inside the second."""
    middles = [LonLat((a.lon + b.lon) / 2, (a.lat + b.lat) / 2) for a, b in pairwise(first)]
    return any(holds(second, p) and not _on_edge(second, p) for p in (*first[:-1], *middles, *_inner(first)))


def _inner(ring: Ring) -> tuple[LonLat, ...]:
    """Give points strictly inside a ring: middles of its crossings at heights between two corners."""
    lats = sorted({p.lat for p in ring})
    found: list[LonLat] = []
    for low, high in pairwise(lats):
        lat = (low + high) / 2
        cuts = sorted(
            a.lon + (lat - a.lat) * (b.lon - a.lon) / (b.lat - a.lat)
            for a, b in pairwise(ring)
            if (a.lat > lat) != (b.lat > lat)
        )
        found += [LonLat((w + e) / 2, lat) for w, e in zip(cuts[::2], cuts[1::2], strict=False) if e > w]
    return tuple(found)


def _on_edge(ring: Ring, place: LonLat) -> bool:
    for a, b in pairwise(ring):
        boxed = min(a.lon, b.lon) <= place.lon <= max(a.lon, b.lon) and min(a.lat, b.lat) <= place.lat <= max(
            a.lat, b.lat
        )
        if boxed and abs(_side(a, b, place)) <= _TOUCH:
            return True
    return False


def _cross(a: LonLat, b: LonLat, c: LonLat, d: LonLat) -> bool:
    """Say whether two stretches cross, each going from one side of the other to the other side."""
    return _apart(_side(a, b, c), _side(a, b, d)) and _apart(_side(c, d, a), _side(c, d, b))


def _apart(one: float, other: float) -> bool:
    return (one > _TOUCH and other < -_TOUCH) or (one < -_TOUCH and other > _TOUCH)


def _side(a: LonLat, b: LonLat, p: LonLat) -> float:
    return (b.lon - a.lon) * (p.lat - a.lat) - (b.lat - a.lat) * (p.lon - a.lon)
