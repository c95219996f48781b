"""Owns writing a GeoPackage: a layer for each kind of thing.

Does not own which things are written or under which names (report, jobs).
"""

import tempfile
import warnings
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyogrio
import pyogrio.raw
import shapely
from shapely.geometry.base import BaseGeometry

from tendline.core.place import LonLat, Outline

Shape = LonLat | tuple[LonLat, ...] | Outline | None
Row = tuple[Shape, Mapping[str, str | float]]
"""Where a thing is, and its fields: texts, and numbers as float."""

_STAMP = "2000-01-01T00:00:00.000Z"
"""Written as the time of the last change, so that the same line gives the same content."""


def geopackage(layers: Mapping[str, Sequence[Row]]) -> bytes:
    """Write layers into one GeoPackage.

    Parameters
    ----------
    layers
        By name; a layer whose things are nowhere is a table without geometry. Fields that a thing lacks are
        empty.

    Returns
    -------
    bytes
        WGS84, longitude first. Areas are multipolygons.

    References
    ----------
    OGC 12-128r18 (GeoPackage 1.3.1); written by GDAL.
    """
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        path = Path(folder) / "line.gpkg"
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": _STAMP})
        try:
            for name, rows in layers.items():
                _write(path, name, rows)
        finally:
            pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": None})
        return path.read_bytes()


def _write(path: Path, name: str, rows: Sequence[Row]) -> None:
    shapes = [_shape(where) for where, _ in rows]
    names = list(dict.fromkeys(key for _, fields in rows for key in fields))
    columns = [_column([fields.get(key) for _, fields in rows]) for key in names]
    placed = any(shape is not None for shape in shapes)
    pyogrio.raw.write(
        str(path),
        geometry=shapely.to_wkb(np.array(shapes, dtype=object)) if placed else None,
        field_data=columns,
        fields=np.array(names, dtype=object),
        layer=name,
        driver="GPKG",
        geometry_type=_geometry_type(shapes) if placed else None,
        crs="EPSG:4326" if placed else None,
        append=path.exists(),
    )


def _column(values: Sequence[Any]) -> npt.NDArray[Any]:
    if all(isinstance(value, float) for value in values if value is not None):
        return np.array([np.nan if value is None else value for value in values], dtype=np.float64)
    return np.array([None if value is None else str(value) for value in values], dtype=object)


def _geometry_type(shapes: Sequence[BaseGeometry | None]) -> str:
    kinds = {shape.geom_type for shape in shapes if shape is not None}
    return kinds.pop() if len(kinds) == 1 else "Unknown"


def _shape(where: Shape) -> BaseGeometry | None:
    if where is None or where == ():
        return None
    if isinstance(where, LonLat):
        return shapely.Point(where.lon, where.lat)
    if isinstance(where, Outline):
        return shapely.MultiPolygon(
            [(_pairs(polygon[0]), [_pairs(ring) for ring in polygon[1:]]) for polygon in where.polygons]
        )
    return shapely.LineString(_pairs(where))


def _pairs(places: Sequence[LonLat]) -> list[tuple[float, float]]:
    return [(place.lon, place.lat) for place in places]
