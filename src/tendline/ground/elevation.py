"""Owns reading elevation models (GeoTIFF) into one grid in metres: the only door to rasterio.

Does not own the unit of heights (`height_units`), the sums on arrays (`heights`) or walking on the grid
(terrain).
"""

import json
import math
import warnings
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import rasterio
from rasterio.crs import CRS
from rasterio.enums import ColorInterp, Resampling
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.io import DatasetReader, MemoryFile
from rasterio.transform import Affine
from rasterio.vrt import WarpedVRT
from rasterio.warp import transform as warp_points

from tendline.almanac.geodesy import distance_m, utm_crs
from tendline.core.errors import refuse
from tendline.core.grid import Floats, Grid
from tendline.core.place import LonLat
from tendline.ground.faults import (
    RASTER,
    RASTER_BROKEN,
    RASTER_LARGE,
    RASTER_PLACE,
)
from tendline.ground.height_units import HeightUnit, axis_unit, decide_unit
from tendline.ground.heights import ElevationFacts, block_mean, check_heights, known_heights, odd_zeros

WGS84 = CRS.from_epsg(4326)
MOST_CELLS = 100_000_000
"""More would need several gigabytes while it is read."""

SMALLEST_M, LARGEST_M = 0.1, 5000.0
"""Cells outside belong to a raster whose coordinate system is named wrongly (common practice, no source)."""

FINE_M = 3.0
"""Smaller cells show stumps and ditch edges, no slope for a walker (common practice, no source)."""

_TRUE_SCALE = 0.005
"""A grid whose metres are within this share of true metres, in every direction, is kept as it is."""

_EXACT = 0.001
"""Largest error of place while reprojecting [cells of the source]."""


@dataclass(frozen=True)
class _Raster:
    """Heights as they lie in the file, in metres, with where they lie."""

    z: Floats
    transform: Affine
    crs: CRS
    name: str

    def lonlat(self, points: Sequence[tuple[float, float]]) -> list[LonLat]:
        """Give places of points in the raster's own system, refusing those that lie nowhere (GND-403)."""
        xs, ys = zip(*points, strict=True)
        lons, lats = warp_points(self.crs, WGS84, xs, ys)[:2]
        if not all(math.isfinite(lon) and abs(lat) <= 90.0 for lon, lat in zip(lons, lats, strict=True)):
            what = f"the raster reaches to {points[-1]} in {_crs_text(self.crs)}: nowhere on earth."
            raise refuse(RASTER_PLACE, what, self.name, "Export it again with its true coordinate system.")
        return [LonLat((lon + 180.0) % 360.0 - 180.0, lat) for lon, lat in zip(lons, lats, strict=True)]


def read_elevation(
    path: Path, *, unit: str | None = None, average_to_m: float | None = 5.0
) -> tuple[Grid, ElevationFacts]:
    """Read an elevation model into a north-up grid in metres.

    Parameters
    ----------
    path
        A GeoTIFF in any coordinate system. Only its first band is read.
    unit
        Unit of heights as the person knows it: ``m``, ``ft`` or ``us-ft``; None to go by the file alone.
    average_to_m
        Cells smaller than 3 m are averaged to cells of about this size [m]; None leaves them.

    Returns
    -------
    Grid, ElevationFacts
        A raster that is north-up in true metres keeps its own system and its own heights. Any other (degrees,
        feet, Web Mercator, rotated) is put once into the UTM zone of its middle, by bilinear interpolation in
        square cells of its finer side; a cell whose nearest cell in the file is unknown stays unknown, and an
        unknown height is never mixed into a known one.

    Raises
    ------
    Refused
        GND-401 to GND-403 and GND-410 for a file that cannot be used; GND-404 to GND-406 about the unit;
        GND-407, GND-408 and GND-409 about the heights.
    """
    name = path.name
    raster, found, notes = _read(path, unit)
    cell_in = _cell_size(raster)
    averaged = False
    if average_to_m is not None and min(cell_in) < FINE_M:
        raster, block = _average(raster, average_to_m / math.sqrt(cell_in[0] * cell_in[1]))
        averaged = block > 1
        notes += [f"{name}: cells were averaged by {block} x {block}."] if averaged else []
    straight = _straight(raster)
    grid = straight if straight is not None else _reproject(raster)
    known_share, low_m, high_m = check_heights(grid, unit=f"{found.name} ({found.said_by})", file_name=name)
    facts = ElevationFacts(
        crs_in=_crs_text(raster.crs),
        unit=found.name,
        unit_from=found.said_by,
        cell_in=cell_in,
        cell_out=(grid.dx, grid.dy),
        known_share=known_share,
        low_m=low_m,
        high_m=high_m,
        bbox=_bbox(grid),
        resampled=averaged or straight is None,
        notes=(*notes, *odd_zeros(grid.z, file_name=name)),
    )
    return grid, facts


def _read(path: Path, unit: str | None) -> tuple[_Raster, HeightUnit, list[str]]:
    with _opened(path) as source:
        name = path.name
        notes = _check_band(source, name)
        crs, vertical = _systems(source, name)
        found, unit_notes = decide_unit(
            told=unit, band=source.units[0] or "", vertical=vertical, file_name=name
        )
        try:
            raw, valid = source.read(1), source.read_masks(1) > 0
        except RasterioError as error:
            what = f"the heights cannot be read: the file is cut short or damaged ({_cause(error)})."
            raise refuse(RASTER_BROKEN, what, name, "Copy or download it again.") from None
        heights = known_heights(raw, valid, scale=source.scales[0], offset=source.offsets[0])
        if found.metres != 1.0:
            heights *= np.float32(found.metres)
        return (
            _Raster(heights, _east_west(source.transform, crs, cols=source.width), crs, name),
            found,
            [*notes, *unit_notes],
        )


def _east_west(transform: Affine, crs: CRS, *, cols: int) -> Affine:
    """Put a raster whose longitudes run from 0 to 360 where -180 to 180 has it."""
    middle = (transform @ (cols / 2, 0.0))[0]
    return Affine.translation(-360.0, 0.0) @ transform if crs.is_geographic and middle > 180.0 else transform


def _opened(path: Path) -> DatasetReader:
    if not path.is_file():
        raise refuse(RASTER, "there is no such file.", path.name, "Check its name and folder.")
    try:
        with warnings.catch_warnings():
            # A file without a place on the earth is refused below, in plainer words.
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            # Only this driver: others read files that point at yet other files, or at the network.
            return rasterio.open(path, driver="GTiff")
    except RasterioError as error:
        what = f"the file cannot be opened as a GeoTIFF ({_cause(error)})."
        raise refuse(RASTER, what, path.name, "Export the elevation model as GeoTIFF.") from None


def _cause(error: Exception) -> str:
    """Give the last words of a driver's message, without the folders in it."""
    text = str(error.__cause__ or error)
    return text.rsplit("/", 1)[-1].strip().rstrip(".")


def _check_band(source: DatasetReader, name: str) -> list[str]:
    if source.width * source.height > MOST_CELLS:
        what = f"the raster has {source.width} x {source.height} cells."
        do = f"Cut it to the line and a few kilometres around; at most {MOST_CELLS:,} cells are read."
        raise refuse(RASTER_LARGE, what, name, do)
    if min(source.width, source.height) < 2:
        what = f"the raster has {source.width} x {source.height} cells."
        raise refuse(RASTER, what, name, "Bring a raster that covers the line.")
    colour = source.colorinterp[0] in (ColorInterp.red, ColorInterp.palette)
    if colour or np.dtype(source.dtypes[0]).kind not in "iuf":
        what = (
            "the raster is a picture, not heights."
            if colour
            else f"its numbers are of type {source.dtypes[0]}."
        )
        raise refuse(RASTER, what, name, "Bring the elevation model itself, one number for each cell.")
    return [f"{name}: {source.count} bands; only the first is read."] if source.count > 1 else []


def _systems(source: DatasetReader, name: str) -> tuple[CRS, tuple[str, float] | None]:
    """Give the horizontal coordinate system, and the unit of its vertical axis if it has one."""
    crs = source.crs
    if crs is None or not (crs.is_projected or crs.is_geographic):
        what = "the raster has no coordinate system that says where on the earth it lies."
        raise refuse(RASTER_PLACE, what, name, "Export it again as GeoTIFF with its coordinate system.")
    if source.transform.is_identity or source.transform.is_degenerate:
        what = "the raster has a coordinate system, but does not say where its corner lies."
        raise refuse(RASTER_PLACE, what, name, "Export it again as GeoTIFF with its georeference.")
    described = crs.to_dict(projjson=True)
    parts = described.get("components", [described])
    horizontal = CRS.from_user_input(json.dumps(parts[0])) if len(parts) > 1 else crs
    axes = parts[-1].get("coordinate_system", {}).get("axis", [])
    up = [axis["unit"] for axis in axes if axis.get("direction") == "up"]
    return horizontal, axis_unit(up[0]) if up else None


def _cell_size(raster: _Raster) -> tuple[float, float]:
    """Measure a cell in the middle along its two sides [m]."""
    rows, cols = raster.z.shape
    corner = (cols / 2 - 0.5, rows / 2 - 0.5)
    points = [corner, (corner[0] + 1, corner[1]), (corner[0], corner[1] + 1)]
    start, along, down = raster.lonlat([raster.transform @ point for point in points])
    wide, high = distance_m(start, along), distance_m(start, down)
    if min(wide, high) < SMALLEST_M or max(wide, high) > LARGEST_M:
        what = f"a cell would be {wide:.4g} m wide and {high:.4g} m high."
        do = f"Its coordinate system is named as {_crs_text(raster.crs)}; export it with the true one."
        raise refuse(RASTER_PLACE, what, raster.name, do)
    return wide, high


def _average(raster: _Raster, wanted: float) -> tuple[_Raster, int]:
    block = max(1, min(round(wanted), *raster.z.shape))
    scaled = raster.transform @ Affine.scale(block, block)
    return replace(raster, z=block_mean(raster.z, block), transform=scaled), block


def _straight(raster: _Raster) -> Grid | None:
    """Give the raster as a grid if it is north-up and in true metres; else None."""
    t = raster.transform
    if not (raster.crs.is_projected and t.b == 0.0 and t.d == 0.0 and t.a > 0.0 and _is_true_scale(raster)):
        return None
    z, north = raster.z, t.f
    if t.e > 0.0:
        z, north = np.ascontiguousarray(z[::-1]), t.f + t.e * z.shape[0]
    return Grid(z, crs=_crs_text(raster.crs), west=t.c, north=north, dx=t.a, dy=abs(t.e))


def _is_true_scale(raster: _Raster) -> bool:
    """Say whether 200 units are 200 metres east, north and slantwise, in the middle and all corners."""
    rows, cols = raster.z.shape
    for col, row in [(cols / 2, rows / 2), (0, 0), (cols, 0), (0, rows), (cols, rows)]:
        x, y = raster.transform @ (col, row)
        start, *ends = raster.lonlat([(x, y), (x + 200.0, y), (x, y + 200.0), (x + 120.0, y + 160.0)])
        if any(abs(distance_m(start, end) / 200.0 - 1.0) > _TRUE_SCALE for end in ends):
            return False
    return True


def _reproject(raster: _Raster) -> Grid:
    rows, cols = raster.z.shape
    crs = utm_crs(raster.lonlat([raster.transform @ (cols / 2, rows / 2)])[0])
    size = min(_cell_size(raster))
    xs, ys = _edge(raster, crs)
    west, north = math.floor(min(xs) / size) * size, math.ceil(max(ys) / size) * size
    cols, rows = math.ceil((max(xs) - west) / size), math.ceil((north - min(ys)) / size)
    profile = {
        "driver": "GTiff",
        "count": 1,
        "dtype": "float32",
        "nodata": float("nan"),
        "width": raster.z.shape[1],
        "height": raster.z.shape[0],
        "crs": raster.crs,
        "transform": raster.transform,
    }
    with MemoryFile() as memory:
        with memory.open(**profile) as held:
            held.write(raster.z, 1)
        with (
            memory.open() as held,
            # Given NaN for no data, the warper weighs known cells only, and leaves a cell unknown whose
            # nearest cell is unknown: the tests hold it to both.
            WarpedVRT(
                held,
                crs=crs,
                transform=Affine(size, 0.0, west, 0.0, -size, north),
                width=cols,
                height=rows,
                resampling=Resampling.bilinear,
                tolerance=_EXACT,
                nodata=float("nan"),
            ) as warped,
        ):
            z: Floats = warped.read(1)
    return Grid(np.ascontiguousarray(z), crs=crs, west=west, north=north, dx=size, dy=size)


def _edge(raster: _Raster, crs: str) -> tuple[Sequence[float], Sequence[float]]:
    """Give x and y in `crs` of points all along the raster's edge."""
    rows, cols = raster.z.shape
    shares = [n / 20 for n in range(21)]
    points = [(s * cols, edge) for s in shares for edge in (0, rows)]
    points += [(edge, s * rows) for s in shares for edge in (0, cols)]
    x, y = zip(*(raster.transform @ point for point in points), strict=True)
    xs, ys = warp_points(raster.crs, CRS.from_user_input(crs), x, y)[:2]
    return xs, ys


def _bbox(grid: Grid) -> tuple[float, float, float, float]:
    where = Affine(grid.dx, 0.0, grid.west, 0.0, -grid.dy, grid.north)
    lons, lats = _edge(_Raster(grid.z, where, CRS.from_user_input(grid.crs), ""), WGS84.to_string())
    return min(lons), min(lats), max(lons), max(lats)


def _crs_text(crs: CRS) -> str:
    code = crs.to_epsg(confidence_threshold=100)
    return f"EPSG:{code}" if code is not None else str(crs.to_wkt())
