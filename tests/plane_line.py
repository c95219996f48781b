"""Owns a line on an invented tilted plane: heights, parcel, parking, four sets, and walks over it by hand.

Does not own any expected value: Tobler's formula comes from tests.walk_reference.
"""

import json
from datetime import UTC, datetime
from pathlib import Path

import gpxpy.gpx
import numpy as np
import rasterio
from affine import Affine
from pyproj import Transformer

from tests.walk_reference import tobler

WEST, NORTH = 500_000.0, 4_500_000.0
EAST_RISE, NORTH_RISE = 0.08, 0.03
OFF_PATH = 0.6
BACK = Transformer.from_crs("EPSG:32617", "EPSG:4326", always_xy=True)
PARKING = (405.0, -505.0)
CORNERS = [(505.0, -505.0), (1505.0, -505.0), (1505.0, -1305.0), (505.0, -1305.0)]
"""Four made-up sets in the middles of cells, metres east and north of the raster's corner."""

Point = tuple[float, float]


def seconds(a: Point, b: Point, factor: float) -> float:
    """Time of a straight walk on the plane."""
    east, north = b[0] - a[0], b[1] - a[1]
    length = float(np.hypot(east, north))
    slope = (east * EAST_RISE + north * NORTH_RISE) / length
    return length * float(tobler(np.array([slope]))[0]) * factor / OFF_PATH


def lonlat(point: Point) -> tuple[float, float]:
    lon, lat = BACK.transform(WEST + point[0], NORTH + point[1])
    return float(lon), float(lat)


def write_ground(folder: Path) -> list[str]:
    """Write heights, a parcel, a parking and the sets."""
    rows, cols = np.mgrid[0:200, 0:220]
    z = (300 + EAST_RISE * (cols + 0.5) * 10 - NORTH_RISE * (rows + 0.5) * 10).astype(np.float32)
    with rasterio.open(
        folder / "plane.tif", "w", driver="GTiff", height=200, width=220, count=1, dtype="float32",
        crs="EPSG:32617", transform=Affine(10.0, 0.0, WEST, 0.0, -10.0, NORTH),
    ) as out:  # fmt: skip
        out.write(z, 1)
        out.units = ("m",)
    ring = [list(lonlat(p)) for p in ((100, -100), (2100, -100), (2100, -1900), (100, -1900), (100, -100))]
    parcel = {
        "type": "Feature",
        "properties": {"kind": "parcel", "name": "glebe"},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }
    (folder / "land.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": [parcel]}))
    gpx = gpxpy.gpx.GPX()
    for name, kind, point in [
        ("P1", "parking", PARKING),
        *((f"G{k}", "set", point) for k, point in enumerate(CORNERS, start=1)),
    ]:
        lon, lat = lonlat(point)
        when = datetime(2027, 1, 4, 12, tzinfo=UTC)
        gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(lat, lon, name=name, type=kind, time=when))
    (folder / "places.gpx").write_text(gpx.to_xml(version="1.1"))
    return [str(folder / name) for name in ("plane.tif", "land.geojson", "places.gpx")]
