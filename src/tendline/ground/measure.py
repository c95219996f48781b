"""Owns how far a place is from a feature of the ground, by each edge that its drawing lets one tell.

Does not own what a position is worth (`almanac.position`) or what a law makes of a distance (`rules`).
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tendline.core.feature import Feature
from tendline.core.place import LonLat
from tendline.core.words import Edge, FeatureClass
from tendline.ground.shapes import flat_shape, local_plane, pairs

DOT_M = 15.0
"""How far a house drawn as a dot may reach from it [m]: about fifty feet (common practice, no source)."""

HAS_SIZE = (
    FeatureClass.DWELLING,
    FeatureClass.BUILDING,
    FeatureClass.SCHOOL,
    FeatureClass.FEEDLOT,
    FeatureClass.CAMPGROUND,
)
"""What is larger than the dot it may be drawn as."""

HALF_WIDTH_M = {FeatureClass.ROAD: 20.0, FeatureClass.DRIVEWAY: 5.0, FeatureClass.TRAIL: 5.0}
"""How far the edge of one drawn along its middle may be from there [m] (common practice, no source)."""

_FACES = (Edge.NEAREST, Edge.OUTSIDE, Edge.MAINTAINED, Edge.WALL)
"""Edges at which a thing begins: whichever is drawn, it is also the nearest point."""


_SPHERE_M = 6_371_009.0
"""Mean radius of the earth [m], IUGG."""


@dataclass(frozen=True)
class Away:
    """How far a place is from a feature.

    Parameters
    ----------
    feature
        Which.
    edge
        What of it was measured to.
    metres
        Best value [m]; 0 inside an area.
    least_m
        The least it can be by the drawing alone [m], whatever the position is worth.
    how
        In words, what the distance rests on; empty when it is as drawn.
    """

    feature: Feature
    edge: Edge
    metres: float
    least_m: float
    how: str = ""


def distance_m(place: LonLat, feature: Feature) -> float:
    """Measure how far a place is from what is drawn of a feature [m]; 0 inside an area.

    Measured in an azimuthal equidistant projection about a place within some eight kilometres, one for many
    places; there it is true to a part in a million.
    """
    turn = _plane(place)
    return float(shapely.distance(turn(shape_drawn(feature)), turn(shapely.Point(place.lon, place.lat))))


def away(place: LonLat, feature: Feature) -> tuple[Away, ...]:
    """Measure how far a place is from a feature, by every edge that can be told.

    Parameters
    ----------
    place
        Where, as measured.
    feature
        What.

    Returns
    -------
    tuple of Away
        By the edge that is drawn. A line drawn along the middle gives its outside edge too, and so its
        nearest point: with its width told exactly, without it as far as such things are wide
        (`HALF_WIDTH_M`); where that is not known either, not. A dot is as far off as half its width; a house
        drawn as a dot without a width may reach `DOT_M` towards the place.
    """
    drawn = distance_m(place, feature)
    half = feature.width_m / 2.0 if feature.width_m is not None else None
    if feature.edge is Edge.CENTRE:
        return (Away(feature, Edge.CENTRE, drawn, drawn), *_by_width(feature, drawn, half))
    near, least, how = drawn, drawn, ""
    if feature.place is not None and half is not None:
        near = least = max(0.0, drawn - half)
        how = "dot as drawn, less half the width"
    elif feature.place is not None and feature.feature_class in HAS_SIZE:
        least = max(0.0, drawn - DOT_M)
        how = f"drawn as a dot; it may reach {DOT_M:g} m from it"
    edges = dict.fromkeys((feature.edge, Edge.NEAREST)) if feature.edge in _FACES else (feature.edge,)
    return tuple(Away(feature, edge, near, least, how) for edge in edges)


def _by_width(feature: Feature, drawn: float, half: float | None) -> tuple[Away, ...]:
    if half is not None:
        best = least = max(0.0, drawn - half)
        how = "middle as drawn, less half the width"
    elif feature.feature_class in HALF_WIDTH_M:
        best, least = drawn, max(0.0, drawn - HALF_WIDTH_M[feature.feature_class])
        how = f"middle as drawn, width not told; its edge may be {drawn - least:.0f} m nearer"
    else:
        return ()
    return tuple(Away(feature, edge, best, least, how) for edge in (Edge.OUTSIDE, Edge.NEAREST))


def inside_m(place: LonLat, feature: Feature) -> float | None:
    """Measure how deep a place lies inside an area [m]: below 0 outside it, None for what is no area."""
    if feature.outline is None:
        return None
    turn = _plane(place)
    area, point = turn(flat_shape(feature.outline)), turn(shapely.Point(place.lon, place.lat))
    edge = float(shapely.distance(shapely.boundary(area), point))
    return edge if area.intersects(point) else -edge


def nearest(place: LonLat, features: Iterable[Feature], *, within_m: float) -> tuple[Away, ...]:
    """Measure to every feature near a place, and to the nearest of each class however far.

    Parameters
    ----------
    place
        Where, as measured.
    features
        To look at.
    within_m
        Every feature nearer than this is given [m].

    Returns
    -------
    tuple of Away
        Nearest first; one for each edge of each feature.
    """
    best: dict[FeatureClass, float] = {}
    found = []
    # Nearest box first: most of what is far off need not be measured to be known as far off.
    for least, k, one in sorted(((_at_least_m(place, f), k, f) for k, f in enumerate(features)), key=_order):
        if least > within_m and least > best.get(one.feature_class, math.inf):
            continue
        metres = distance_m(place, one)
        best[one.feature_class] = min(metres, best.get(one.feature_class, math.inf))
        found.append((metres, k, one))
    found.sort(key=_order)
    firsts = {one.feature_class: k for _, k, one in reversed(found)}
    return tuple(
        each
        for metres, k, one in found
        if metres <= within_m or firsts[one.feature_class] == k
        for each in away(place, one)
    )


def _order(found: tuple[float, int, Feature]) -> tuple[float, int]:
    return found[0], found[1]


def _at_least_m(place: LonLat, feature: Feature) -> float:
    """Give a distance that a feature is surely not nearer than [m]: to its box, on a sphere, less two in 100.

    A box over the 180th meridian gives nonsense; no outline reaches over it (GND-502).
    """
    west, south, east, north = feature.bbox
    lon, lat = min(max(place.lon, west), east), min(max(place.lat, south), north)
    across = math.radians(lon - place.lon) * math.cos(math.radians(max(abs(lat), abs(place.lat))))
    return 0.98 * _SPHERE_M * math.hypot(across, math.radians(lat - place.lat))


def _plane(place: LonLat) -> Callable[[BaseGeometry], BaseGeometry]:
    """Give the plane of a tenth of a degree: making one takes longer than measuring on it.

    Scale off the middle of the projection is 1 + d^2 / 6 R^2 (from memory): 3e-7 at eight kilometres.
    """
    return local_plane(LonLat(round(place.lon, 1), round(place.lat, 1)))


def shape_drawn(feature: Feature) -> BaseGeometry:
    """Give a feature as it is drawn, in degrees."""
    if feature.outline is not None:
        return flat_shape(feature.outline)
    if feature.path:
        return shapely.LineString(pairs(feature.path))
    if feature.place is None:
        raise ValueError("a feature is a point, a line or an area")
    return shapely.Point(feature.place.lon, feature.place.lat)
