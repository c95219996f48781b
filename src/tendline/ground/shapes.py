"""Owns the geometry of outlines and lines: validity, what holds what, how far.

Does not own the file an outline came from, nor distances between two places (almanac.geodesy).
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList
from tendline.core.line import Barrier, Parcel
from tendline.core.place import LonLat, Outline, Polygon, Ring
from tendline.ground.faults import OUTLINE_CROSSES, OUTLINE_FLAT, OUTLINE_WRAPS

_REASON = re.compile(r"^(?P<why>[^\[]*)\[(?P<lon>\S+) (?P<lat>\S+)\]")

_WHY = {
    "Self-intersection": "the outline crosses itself",
    "Ring Self-intersection": "the outline touches itself",
    "Hole lies outside shell": "a hole lies outside the outline",
    "Holes are nested": "a hole lies inside another hole",
    "Interior is disconnected": "holes cut the area in two",
}


@dataclass(frozen=True)
class Overlap:
    """Two parcels that claim the same ground, and how much of it [m2]."""

    first: str
    second: str
    area_m2: float


def checked_outline(polygons: Sequence[Polygon], *, where: str, faults: FaultList) -> Outline | None:
    """Make an outline of polygons, or note why it cannot be one.

    Parameters
    ----------
    polygons
        Each an outer ring and its holes; rings closed, wound either way. Polygons may touch or overlap.
    where
        File and feature.
    faults
        Takes GND-501 (crosses itself, with the place of the crossing), GND-502 (reaches over the 180th
        meridian) and GND-503 (no area).

    Returns
    -------
    Outline or None
        None when a fault was noted.

    References
    ----------
    OGC 06-103r4 (Simple Feature Access), section 6.1.11.1: rules for a valid polygon. RFC 7946, section
    3.1.9: an area over the 180th meridian is cut in two.
    """
    before = len(faults.found)
    for polygon in polygons:
        _check_polygon(polygon, where, faults)
    return Outline(tuple(polygons)) if len(faults.found) == before else None


def outline_holds(outline: Outline, place: LonLat) -> bool:
    """Say whether a place lies in an outline; its edge belongs to it, its holes do not."""
    return bool(flat_shape(outline).intersects(shapely.Point(place.lon, place.lat)))


def parcel_holding(parcels: Iterable[Parcel], place: LonLat) -> str | None:
    """Give the short name of the parcel that a place lies on.

    Parameters
    ----------
    parcels
        To look in. Their edges belong to them.
    place
        Where.

    Returns
    -------
    str or None
        Where several hold it, the one with the smallest area (a home lot inside a farm), then the first by
        name. None when none does.
    """
    holding = [parcel for parcel in parcels if outline_holds(parcel.outline, place)]
    # Degrees squared are good enough to compare areas at one place.
    best = min(holding, key=lambda parcel: (flat_shape(parcel.outline).area, parcel.name), default=None)
    return best.name if best is not None else None


def distance_to_outline_m(place: LonLat, outline: Outline) -> float:
    """Measure how far a place is from the nearest edge of an outline, from inside or outside [m].

    Measured in an azimuthal equidistant projection about the place, in which distances from it are true to
    well under a part in a thousand within 100 km.
    """
    edges = shapely.boundary(local_plane(place)(flat_shape(outline)))
    return float(shapely.distance(edges, shapely.Point(0.0, 0.0)))


def distance_to_barrier_m(path: Sequence[LonLat], barrier: Barrier) -> float:
    """Measure how far a place, or a line of places, is from a barrier [m]; 0 where they meet."""
    crossing = shapely.Point(pairs(path)[0]) if len(path) == 1 else shapely.LineString(pairs(path))
    flat = [flat_shape(barrier.areas)] if barrier.areas is not None else []
    flat += [shapely.LineString(pairs(line)) for line in barrier.lines]
    local = local_plane(path[0])
    return float(shapely.distance(local(crossing), local(shapely.GeometryCollection(flat))))


def overlaps_of(parcels: Iterable[Parcel], *, at_least_m2: float = 100.0) -> tuple[Overlap, ...]:
    """Find parcels that claim the same ground.

    Parameters
    ----------
    parcels
        To compare, each with each.
    at_least_m2
        Overlaps smaller than this are slivers of drawing, and are not told [m2].

    Returns
    -------
    tuple of Overlap
        Names in order; largest first.
    """
    found = []
    for one, other in combinations(sorted(parcels, key=lambda parcel: parcel.name), 2):
        common = flat_shape(one.outline).intersection(flat_shape(other.outline))
        if not common.is_empty:
            centre = common.centroid
            area = float(local_plane(LonLat(centre.x, centre.y))(common).area)
            if area >= at_least_m2:
                found.append(Overlap(one.name, other.name, area))
    return tuple(sorted(found, key=lambda overlap: -overlap.area_m2))


def _check_polygon(polygon: Polygon, where: str, faults: FaultList) -> None:
    lons = [place.lon for place in polygon[0]]
    if max(lons) - min(lons) > 180.0:
        what = "the outline reaches over the 180th meridian."
        faults.add(OUTLINE_WRAPS, what, where, "Cut it there into two polygons (RFC 7946, section 3.1.9).")
        return
    if any(len(set(ring)) < 3 or _flat_ring(ring) for ring in polygon):
        do = "Draw at least three corners that are not on one line."
        faults.add(OUTLINE_FLAT, "the outline has no area.", where, do)
        return
    found = _REASON.match(shapely.is_valid_reason(_polygon(polygon)))
    if found:
        why = _WHY.get(found["why"], "the outline does not bound an area")
        what = f"{why} near longitude {float(found['lon']):.6f}, latitude {float(found['lat']):.6f}."
        do = "Move the corners there so that the line goes once round the ground, then bring the file again."
        faults.add(OUTLINE_CROSSES, what, where, do)


def _flat_ring(ring: Ring) -> bool:
    return bool(shapely.MultiPoint(pairs(ring)).convex_hull.area == 0.0)


@lru_cache(maxsize=4096)
def flat_shape(outline: Outline) -> BaseGeometry:
    """Give the outline as a shape in degrees; polygons that touch or overlap become one."""
    shape = shapely.union_all([_polygon(polygon) for polygon in outline.polygons])
    shapely.prepare(shape)
    return shape


def _polygon(polygon: Polygon) -> shapely.Polygon:
    return shapely.Polygon(pairs(polygon[0]), [pairs(ring) for ring in polygon[1:]])


def pairs(places: Sequence[LonLat]) -> list[tuple[float, float]]:
    """Give longitude and latitude of each place, as shapely takes them."""
    return [(place.lon, place.lat) for place in places]


@lru_cache(maxsize=512)
def plane_about(centre: LonLat) -> Projector:
    """Give the plane about `centre` on which distances from it are true (azimuthal equidistant) [m]."""
    return Projector(f"+proj=aeqd +lat_0={centre.lat!r} +lon_0={centre.lon!r} +datum=WGS84 +units=m +no_defs")


@lru_cache(maxsize=512)
def local_plane(centre: LonLat) -> Callable[[BaseGeometry], BaseGeometry]:
    """Give what turns a shape in degrees into metres about `centre`."""
    projector = plane_about(centre)

    def turn(shape: BaseGeometry) -> BaseGeometry:
        def project(points: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
            return projector.to_xys(LonLat(float(lon), float(lat)) for lon, lat in points)

        return shapely.transform(shape, project)

    return turn
