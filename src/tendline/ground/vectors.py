"""Owns reading GeoPackages and shapefiles: every layer, turned into WGS84, as the features GeoJSON builds.

Does not own what a feature means (`geojson`), nor the parts of a shapefile (`shapefile`).
"""

import json
import math
import tempfile
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pyogrio
import pyogrio.errors
import pyogrio.raw
import shapely

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList, refuse
from tendline.ground.brought import Brought, BroughtKind, kind_called, sha256_of
from tendline.ground.faults import VECTOR, VECTOR_CRS
from tendline.ground.geojson import read_features

MOST_FEATURES = 200_000
"""No line is near this: such a file is a whole county, and wants cutting first."""


def read_layers(
    data: bytes,
    *,
    file_name: str,
    zone: ZoneInfo,
    now: datetime,
    default_kind: BroughtKind | None = None,
) -> Brought:
    """Read a GeoPackage or a zipped shapefile.

    Parameters
    ----------
    data
        The file.
    file_name, zone, now, default_kind
        As in `read_geojson`.

    Returns
    -------
    Brought
        A feature is what its field `kind` says, else what its layer is called (``sets``, ``parkings``), else
        what `default_kind` says. Fields without a value are left out.

    Raises
    ------
    Refused
        GND-901 when it cannot be opened or has too many features; GND-902 for each layer without a coordinate
        system, or in one that PROJ does not know; every fault of `read_geojson`.

    References
    ----------
    OGC 12-128r18 (GeoPackage 1.3.1), clause 2.1; Esri (1998), Shapefile technical description; read by GDAL.
    """
    faults, features = FaultList(), list[Any]()
    try:
        with _on_disk(data) as path, warnings.catch_warnings():
            # What GDAL warns of is either told below, as a fault, or of no account here.
            warnings.simplefilter("ignore")
            for name, _ in pyogrio.list_layers(path):
                features += _layer(path, str(name), file_name, faults, room=MOST_FEATURES - len(features))
    except (pyogrio.errors.DataSourceError, pyogrio.errors.DataLayerError, shapely.GEOSException) as problem:
        raise _not_opened(str(problem), file_name) from None
    return read_features(
        features,
        file_name=file_name,
        sha256=sha256_of(data),
        zone=zone,
        now=now,
        default_kind=default_kind,
        faults=faults,
    )


@contextmanager
def _on_disk(data: bytes) -> Iterator[str]:
    """Lay the file where GDAL finds it under a name that tells what it is; gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("layers.zip" if data.startswith(b"PK") else "layers.gpkg")
        path.write_bytes(data)
        yield str(path)


def _not_opened(why: str, file_name: str) -> Exception:
    what = f"the file cannot be opened ({why.splitlines()[0][:120] if why else 'no reason given'})."
    return refuse(VECTOR, what, file_name, "Export it again, as a GeoPackage or as GeoJSON.")


def _layer(path: str, layer: str, file_name: str, faults: FaultList, *, room: int) -> list[dict[str, Any]]:
    if pyogrio.read_info(path, layer=layer, force_feature_count=True)["features"] > room:
        what = f"there are more than {MOST_FEATURES} features in it."
        raise refuse(VECTOR, what, file_name, "Cut out what belongs to the line, and bring that.")
    meta, _, wkb, columns = pyogrio.raw.read(path, layer=layer)
    shapes = [None] * (len(columns[0]) if columns else 0) if wkb is None else list(shapely.from_wkb(wkb))
    turn = _turn(meta["crs"], layer, file_name, faults) if any(s is not None for s in shapes) else None
    names = [str(name) for name in meta["fields"]]
    kind = kind_called(layer)
    told = {"kind": kind.value} if kind is not None else {}
    return [
        {
            "type": "Feature",
            "geometry": _geometry(shape, turn),
            "properties": {**told, **_fields(names, [column[row] for column in columns])},
        }
        for row, shape in enumerate(shapes)
    ]


def _turn(crs: str | None, layer: str, file_name: str, faults: FaultList) -> Projector | None:
    """Give what turns the layer's coordinates into degrees; None, and a fault, when nothing says how."""
    if not crs:
        do = "Write it again with its coordinate system; for a shapefile, add the .prj file."
        faults.add(VECTOR_CRS, f"layer {layer} does not say in which coordinate system it is.", file_name, do)
        return None
    try:
        return Projector(crs)
    except ValueError:
        what = f"the coordinate system of layer {layer} is not known here."
        faults.add(VECTOR_CRS, what, file_name, "Export it in WGS84 (EPSG:4326).")
        return None


def _geometry(shape: Any, turn: Projector | None) -> Any:
    if shape is None or turn is None or shape.is_empty:
        return None
    flat = shapely.force_2d(shape)
    if not turn.is_degrees:
        flat = shapely.transform(flat, turn.to_degrees)
    return json.loads(shapely.to_geojson(flat))


def _fields(names: Sequence[str], values: Sequence[Any]) -> dict[str, Any]:
    plain = {name: _plain(value) for name, value in zip(names, values, strict=True)}
    return {name: value for name, value in plain.items() if value is not None}


def _plain(value: Any) -> Any:
    """Give a value as JSON would hold it; None for no value."""
    if value is None or (isinstance(value, float | np.floating) and math.isnan(value)):
        return None
    if isinstance(value, np.datetime64):
        return None if np.isnat(value) else f"{np.datetime_as_string(value, unit='s')}"
    if isinstance(value, np.generic):
        return value.item()
    return str(value) if isinstance(value, bytes) else value
