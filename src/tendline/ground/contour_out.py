"""Owns contour lines and bands of time as GeoJSON for a page: simplified, in degrees, within so many bytes.

Does not own the lines and bands themselves (terrain).
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from tendline.almanac.geodesy import Projector

DIGITS = 5
"""Decimals of a degree that are written: about a metre."""

_LEAST_ROUND = 40.0


@dataclass(frozen=True, eq=False)
class HeightLine:
    """A line of equal height on a plane [m], (n, 2), with what is written of it."""

    points: npt.NDArray[np.float64]
    height_m: float
    main: bool


@dataclass(frozen=True)
class HeightLabel:
    """A height to be written at x, y [m], turned counter-clockwise from the east [degrees]."""

    x: float
    y: float
    turn_deg: float
    height_m: float
    text: str


def simplified(lines: Iterable[HeightLine], *, tolerance_m: float) -> tuple[HeightLine, ...]:
    """Leave out points that the eye does not miss.

    Parameters
    ----------
    lines
        On a plane.
    tolerance_m
        No point of a line moves away from it by more than this [m]; rings that are no longer round than
        forty times this are left out: knolls and dips of a few cells.

    References
    ----------
    Douglas, D. H., Peucker, T. K. (1973), Algorithms for the reduction of the number of points required to
    represent a digitized line or its caricature, The Canadian Cartographer 10(2), 112-122; as in GEOS.
    """
    out = []
    for line in lines:
        drawn = shapely.LineString(line.points)
        if drawn.is_closed and drawn.length <= _LEAST_ROUND * tolerance_m:
            continue
        points = shapely.get_coordinates(shapely.simplify(drawn, tolerance_m))
        if len(points) >= (4 if drawn.is_closed else 2):
            out.append(HeightLine(points, line.height_m, line.main))
    return tuple(out)


def contour_geojson(
    lines: Sequence[HeightLine], labels: Sequence[HeightLabel], projector: Projector
) -> dict[str, Any]:
    """Give lines and labels as one FeatureCollection.

    Returns
    -------
    dict
        Each line a LineString with `height_m` and `main`; each label a Point with `height_m`, `text` and
        `turn_deg`.

    References
    ----------
    RFC 7946: longitude first, WGS84.
    """
    features: list[dict[str, Any]] = []
    for line in lines:
        geometry = {"type": "LineString", "coordinates": _degrees(line.points, projector)}
        told = {"height_m": round(line.height_m, 2), "main": line.main}
        features.append({"type": "Feature", "properties": told, "geometry": geometry})
    for label in labels:
        place = _degrees(np.array([[label.x, label.y]]), projector)[0]
        written = {
            "height_m": round(label.height_m, 2),
            "text": label.text,
            "turn_deg": round(label.turn_deg),
        }
        point = {"type": "Point", "coordinates": place}
        features.append({"type": "Feature", "properties": written, "geometry": point})
    return {"type": "FeatureCollection", "features": features}


@dataclass(frozen=True, eq=False)
class BandOut:
    """Ground reached within a stretch of time.

    Parameters
    ----------
    polygons
        Each an outer ring and its holes on a plane [m], (n, 2), closed.
    from_min, to_min
        The stretch [min].
    area_m2
        How much ground it is [m2].
    """

    polygons: Sequence[Sequence[npt.NDArray[np.float64]]]
    from_min: float
    to_min: float
    area_m2: float


def bands_within(
    bands: Sequence[BandOut], projector: Projector, cell_m: float, *, most_bytes: int
) -> dict[str, Any]:
    """Give bands as GeoJSON, drawn ever coarser until they are no larger than is wanted.

    Parameters
    ----------
    bands
        On the projector's plane.
    projector
        From that plane to degrees.
    cell_m
        Size of the cells they were drawn from [m].
    most_bytes
        Largest size [bytes]; the coarsest, eight cells, is given even where it is still larger.

    References
    ----------
    RFC 7946, and Douglas and Peucker (1973) as of `simplified`.
    """
    for coarse in (0.25, 0.5, 1.0, 2.0, 4.0, 8.0):
        made = _bands_geojson(bands, projector, coarse * cell_m)
        if size_of(made) <= most_bytes:
            break
    return made


def _bands_geojson(bands: Sequence[BandOut], projector: Projector, tolerance_m: float) -> dict[str, Any]:
    features: list[dict[str, Any]] = []
    for band in bands:
        shapes = [shapely.Polygon(rings[0], list(rings[1:])) for rings in band.polygons]
        shape = shapely.simplify(shapely.make_valid(shapely.MultiPolygon(shapes)), tolerance_m)
        parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
        kept = [part for part in parts if part.area > tolerance_m * tolerance_m]
        rings = [
            [_degrees(shapely.get_coordinates(ring), projector) for ring in (part.exterior, *part.interiors)]
            for part in kept
        ]
        told = {
            "from_min": band.from_min,
            "to_min": band.to_min,
            "area_ha": round(band.area_m2 / 1e4, 1),
        }
        geometry = {"type": "MultiPolygon", "coordinates": rings}
        features.append({"type": "Feature", "properties": told, "geometry": geometry})
    return {"type": "FeatureCollection", "features": features}


def size_of(collection: dict[str, Any]) -> int:
    """Count the bytes of a document as it is sent."""
    return len(json.dumps(collection, separators=(",", ":"), allow_nan=False).encode())


def _degrees(points: npt.NDArray[np.float64], projector: Projector) -> list[list[float]]:
    return [[round(p.lon, DIGITS), round(p.lat, DIGITS)] for p in projector.to_lonlats(points)]
