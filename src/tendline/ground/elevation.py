"""Owns reading elevation models (GeoTIFF): whole or in a window, in metres; a look at the very large.

Does not own the unit of heights (`height_units`), the sums on arrays (`heights`), the way onto a plane
(`raster`), joining several (`mosaic`) or walking on the grid (terrain).
"""

import json
import math
import warnings
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
import rasterio
from rasterio.crs import CRS
from rasterio.enums import ColorInterp
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.io import DatasetReader
from rasterio.transform import Affine
from rasterio.warp import transform as warp_points
from rasterio.windows import Window

from tendline.core.errors import refuse
from tendline.core.grid import Floats, Grid
from tendline.ground.faults import RASTER, RASTER_BROKEN, RASTER_LARGE, RASTER_PLACE
from tendline.ground.height_units import HeightUnit, axis_unit, decide_unit
from tendline.ground.heights import (
    ElevationFacts,
    block_mean,
    check_heights,
    check_slope,
    known_heights,
    odd_zeros,
    steep_note,
)
from tendline.ground.raster import WGS84, Raster, Site, as_grid, bbox_of, coarser, crs_text

Floats64 = npt.NDArray[np.float64]
Bounds = tuple[float, float, float, float]
"""West, south, east, north [degrees]."""

MOST_CELLS = 100_000_000
"""More would need several gigabytes while it is read."""

SURVEY_CELLS = 25_000_000
"""Of a file with more cells than this, only a sample is looked at when it is brought in."""

_SAMPLE_SIDE = 2000
_LOOK_SIDE = 512
_STRIP_CELLS = 4_000_000

FINE_M = 3.0
"""Smaller cells show stumps and ditch edges, no slope for a walker (common practice, no source)."""

_RIM = 3
"""So many cells more than asked for are read on every side: interpolation and slopes look at neighbours."""


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
    with _opened(path) as source:
        site, found, notes = _described(source, path.name, unit)
        block = _block(site, average_to_m)
        raster = _read(source, site, found, _whole(source), block=block)
    notes += [f"{path.name}: cells were averaged by {block} x {block}."] if block > 1 else []
    grid, resampled = as_grid(raster)
    facts = _facts(grid, site, found, notes)
    return grid, replace(facts, resampled=resampled or block > 1)


def read_window(
    path: Path,
    bounds: Bounds,
    *,
    unit: str | None = None,
    average_to_m: float | None = 5.0,
    least_m: float = 0.0,
) -> Raster | None:
    """Read the part of an elevation model that lies within bounds, and no more of the file than that.

    Parameters
    ----------
    path, unit, average_to_m
        As of `read_elevation`.
    bounds
        Which ground; three cells more are read on every side.
    least_m
        Cells that are much smaller are averaged to about this size [m], strip by strip: the fine ones are
        never held.

    Returns
    -------
    Raster or None
        The heights as they lie in the file, averaged in the same blocks as the whole would be; None where
        the model does not reach.

    Raises
    ------
    Refused
        GND-401 to GND-406 as of `read_elevation`; GND-410 when even the part is too large.
    """
    with _opened(path) as source:
        site, found, _ = _described(source, path.name, unit)
        block = _block(site, average_to_m, least_m)
        window = _window(site, bounds, block)
        return None if window is None else _read(source, site, found, window, block=block)


def sample_heights(path: Path, lonlat: Floats64, *, unit: str | None = None) -> Floats64:
    """Read the heights of single places, without reading the file between them.

    Parameters
    ----------
    path, unit
        As of `read_elevation`.
    lonlat
        Longitude and latitude [degrees], (n, 2).

    Returns
    -------
    ndarray
        Height of the cell that holds each place [m], (n,); NaN where unknown or outside.

    Raises
    ------
    Refused
        GND-401 to GND-406 as of `read_elevation`.
    """
    with _opened(path) as source:
        site, found, _ = _described(source, path.name, unit)
        heights = np.full(len(lonlat), np.nan)
        if len(lonlat) == 0:
            return heights
        xs, ys = warp_points(WGS84, site.crs, lonlat[:, 0].tolist(), lonlat[:, 1].tolist())[:2]
        for k, (x, y) in enumerate(zip(xs, ys, strict=True)):
            col, row = ~site.transform @ (x, y) if math.isfinite(x) and math.isfinite(y) else (-1.0, -1.0)
            if 0 <= row < site.rows and 0 <= col < site.cols:
                cell = Window(math.floor(col), math.floor(row), 1, 1)
                heights[k] = _heights(source, found, site.name, cell)[0, 0]
    return heights


def survey_elevation(path: Path, *, unit: str | None = None) -> ElevationFacts:
    """Look at an elevation model without reading all of one that is very large.

    Parameters
    ----------
    path, unit
        As of `read_elevation`.

    Returns
    -------
    ElevationFacts
        Of a file of more than 25 million cells, heights and the share known are of a sample of every n-th
        cell, and steepness is looked at in nine places; said so in a note.

    Raises
    ------
    Refused
        As of `read_elevation`.
    """
    with _opened(path) as source:
        if source.width * source.height <= SURVEY_CELLS:
            return read_elevation(path, unit=unit)[1]
        site, found, notes = _described(source, path.name, unit)
        step = math.ceil(max(source.width, source.height) / _SAMPLE_SIDE)
        rows, cols = max(source.height // step, 2), max(source.width // step, 2)
        sample = _heights(source, found, site.name, _whole(source), (rows, cols))
        _check_places(source, site, found)
    transform = site.transform @ Affine.scale(site.cols / cols, site.rows / rows)
    placed = replace(site, transform=transform, rows=rows, cols=cols)
    size = f"{site.cols} x {site.rows} cells"
    notes.append(
        f"{path.name}: {size}; one in {step * step} was looked at, and parts are read as they are needed."
    )
    facts = _facts(as_grid(Raster(sample, placed, placed))[0], site, found, notes, sampled=True)
    wide, high = site.cell_size()
    block = _block(site, 5.0)
    return replace(facts, cell_out=(wide * block, high * block))


def _check_places(source: DatasetReader, site: Site, found: HeightUnit) -> None:
    """Look at nine places of a very large model cell by cell: refuse ground that cannot be so steep."""
    wide, high = site.cell_size()
    block = _block(site, 5.0)
    for row in (0.2, 0.5, 0.8):
        for col in (0.2, 0.5, 0.8):
            corner = int(col * source.width), int(row * source.height)
            window = Window(*corner, _LOOK_SIDE, _LOOK_SIDE).intersection(_whole(source))
            near = block_mean(_heights(source, found, site.name, window), block)
            check_slope(near, (wide * block, high * block), unit=_unit_text(found), file_name=site.name)


def _whole(source: DatasetReader) -> Window:
    return Window(0, 0, source.width, source.height)


def _facts(
    grid: Grid, site: Site, found: HeightUnit, notes: list[str], *, sampled: bool = False
) -> ElevationFacts:
    known_share, low_m, high_m = check_heights(
        grid, unit=_unit_text(found), file_name=site.name, slopes=not sampled
    )
    return ElevationFacts(
        crs_in=crs_text(site.crs),
        unit=found.name,
        unit_from=found.said_by,
        cell_in=site.cell_size(),
        cell_out=(grid.dx, grid.dy),
        known_share=known_share,
        low_m=low_m,
        high_m=high_m,
        bbox=bbox_of(grid),
        resampled=sampled,
        notes=(
            *notes,
            *odd_zeros(grid.z, file_name=site.name),
            *(() if sampled else steep_note(grid, unit=found.name, file_name=site.name)),
        ),
    )


def _unit_text(found: HeightUnit) -> str:
    return f"{found.name} ({found.said_by})"


def _described(source: DatasetReader, name: str, unit: str | None) -> tuple[Site, HeightUnit, list[str]]:
    """Say where a raster lies and in which unit its heights are; refuse what is none."""
    notes = _check_band(source, name)
    crs, vertical = _systems(source, name)
    found, unit_notes = decide_unit(told=unit, band=source.units[0] or "", vertical=vertical, file_name=name)
    transform = _east_west(source.transform, crs, cols=source.width)
    site = Site(transform, crs, source.height, source.width, name)
    site.cell_size()
    return site, found, [*notes, *unit_notes]


def _block(site: Site, average_to_m: float | None, least_m: float = 0.0) -> int:
    """Say over how many cells each way heights are averaged."""
    wide, high = site.cell_size()
    fine = average_to_m is not None and min(wide, high) < FINE_M
    wanted = max(average_to_m or 0.0, least_m) if fine else least_m
    return max(1, min(round(wanted / math.sqrt(wide * high)), site.rows, site.cols))


def _window(site: Site, bounds: Bounds, block: int) -> Window | None:
    """Find the cells within bounds, in whole blocks; None where there are none."""
    west, south, east, north = bounds
    shares = [n / 20 for n in range(21)]
    rim = [(west + (east - west) * s, lat) for s in shares for lat in (south, north)]
    rim += [(lon, south + (north - south) * s) for s in shares for lon in (west, east)]
    xs, ys = warp_points(WGS84, site.crs, *zip(*rim, strict=True))[:2]
    cells = [
        ~site.transform @ (x, y) for x, y in zip(xs, ys, strict=True) if math.isfinite(x) and math.isfinite(y)
    ]
    if not cells:
        return None
    cols, rows = zip(*cells, strict=True)
    rim_cells = _RIM * block
    row0, row1 = _in_blocks(min(rows) - rim_cells, max(rows) + rim_cells, site.rows, block)
    col0, col1 = _in_blocks(min(cols) - rim_cells, max(cols) + rim_cells, site.cols, block)
    if row1 - row0 < 1 or col1 - col0 < 1:
        return None
    return Window(col0, row0, col1 - col0, row1 - row0)


def _in_blocks(low: float, high: float, size: int, block: int) -> tuple[int, int]:
    first = max(math.floor(low / block), 0) * block
    last = min(math.ceil(high / block) * block, size)
    return first, last if block == 1 else last // block * block


def _read(source: DatasetReader, site: Site, found: HeightUnit, window: Window, *, block: int) -> Raster:
    """Read a window in strips, each averaged before the next is read."""
    rows, cols = int(window.height), int(window.width)
    if rows * cols > MOST_CELLS * block * block:
        what = f"{cols} x {rows} cells of it are needed."
        do = f"Cut it to the line and a few kilometres around; at most {MOST_CELLS:,} cells are held at once."
        raise refuse(RASTER_LARGE, what, site.name, do)
    tall = max(_STRIP_CELLS // max(cols, 1) // block, 1) * block if block > 1 else rows
    strips: list[Floats] = []
    for row in range(0, rows, tall):
        strip = Window(window.col_off, window.row_off + row, cols, min(tall, rows - row))
        z = _heights(source, found, site.name, strip)
        strips.append(block_mean(z, block) if block > 1 else z)
    moved = site.transform @ Affine.translation(window.col_off, window.row_off)
    part = replace(site, transform=moved, rows=rows, cols=cols)
    z = strips[0] if len(strips) == 1 else np.concatenate(strips)
    if block == 1:
        return Raster(z, part, site)
    return Raster(z, coarser(part, block), coarser(site, block))


def _heights(
    source: DatasetReader,
    found: HeightUnit,
    name: str,
    window: Window,
    shape: tuple[int, int] | None = None,
) -> Floats:
    """Read heights in metres: every cell of a window, or as many as `shape` says."""
    try:
        raw = source.read(1, window=window, out_shape=shape)
        valid = source.read_masks(1, window=window, out_shape=shape) > 0
    except RasterioError as error:
        what = f"the heights cannot be read: the file is cut short or damaged ({_cause(error)})."
        raise refuse(RASTER_BROKEN, what, name, "Copy or download it again.") from None
    heights = known_heights(raw, valid, scale=source.scales[0], offset=source.offsets[0])
    if found.metres != 1.0:
        heights *= np.float32(found.metres)
    return heights


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
