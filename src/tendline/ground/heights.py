"""Owns arrays of heights: which cells are known, means of blocks, whether such ground can be.

Does not own files or coordinate systems (`elevation`).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.core.errors import FaultList, refuse
from tendline.core.grid import Floats, Grid
from tendline.core.units import METRES_PER_FOOT
from tendline.ground.faults import HEIGHT_NONE, HEIGHT_RANGE, HEIGHT_SLOPE

LOWEST_M, HIGHEST_M = -500.0, 9000.0
"""Dry land runs from about -430 m (Dead Sea shore) to about 8849 m (from memory)."""

STEEPEST_MEDIAN = 1.0
"""Half the ground over 45 degrees looks like a mix of feet and metres (common practice, no source)."""

STEEP_MEDIAN = 0.4
"""Half the ground over 22 degrees: mountains, or feet that say metres (common practice, no source)."""

_SENTINELS = (-9999.0, -32767.0, -32768.0)
_HUGE = 1e30


@dataclass(frozen=True)
class ElevationFacts:
    """What was found in a raster, and what was done to it.

    Parameters
    ----------
    crs_in
        Coordinate system of the file.
    unit, unit_from
        Unit of heights in the file, and who says so.
    cell_in, cell_out
        Width and height of a cell on the ground, in the file and in the grid [m].
    known_share
        Share of the grid's cells with a known height, 0 to 1.
    low_m, high_m
        Lowest and highest known height [m].
    bbox
        West, south, east, north of the grid [degrees, WGS84].
    resampled
        Heights were reprojected or averaged; False when they are the file's own.
    notes
        What the person should know, each a sentence.
    """

    crs_in: str
    unit: str
    unit_from: str
    cell_in: tuple[float, float]
    cell_out: tuple[float, float]
    known_share: float
    low_m: float
    high_m: float
    bbox: tuple[float, float, float, float]
    resampled: bool
    notes: tuple[str, ...] = ()


def known_heights(
    raw: npt.NDArray[np.generic], valid: npt.NDArray[np.bool_], *, scale: float, offset: float
) -> Floats:
    """Turn the numbers of a band into heights, unknown cells into NaN.

    Parameters
    ----------
    raw
        Shape (rows, cols), any real type, as stored.
    valid
        Same shape: False where the file itself says there is no data.
    scale, offset
        Height is ``raw * scale + offset`` [the file's unit].

    Returns
    -------
    ndarray
        float32, C order. NaN also where the stored number is one that is written for "no data" without
        saying so: -9999, -32767, -32768, anything beyond 1e30 (such as -3.4e38), NaN.
    """
    # Whole numbers of 32 bits and more do not fit into a float32; all else does, in half the memory.
    wide = raw.dtype.itemsize > 2 and raw.dtype != np.float32
    stored: npt.NDArray[np.floating] = raw.astype(np.float64 if wide else np.float32)
    unknown = ~valid
    unknown |= ~(np.isfinite(stored) & (stored < _HUGE) & (stored > -_HUGE))
    for sentinel in _SENTINELS:
        unknown |= stored == sentinel
    stored[unknown] = np.nan
    if (scale, offset) != (1.0, 0.0):
        stored = stored * scale + offset
    return np.ascontiguousarray(stored, dtype=np.float32)


def block_mean(z: Floats, block: int) -> Floats:
    """Average heights over square blocks.

    Parameters
    ----------
    z
        Heights, shape (rows, cols), NaN where unknown.
    block
        Cells on each side of a block, 1 or more.

    Returns
    -------
    ndarray
        float32, shape (rows // block, cols // block): the mean of the known cells of each block; NaN where
        less than half of them are known. Rows and columns left over in the south and east are dropped.
    """
    rows, cols = z.shape[0] // block, z.shape[1] // block
    cut = z[: rows * block, : cols * block].reshape(rows, block, cols, block)
    known = np.isfinite(cut)
    count = known.sum(axis=(1, 3))
    total = np.where(known, cut, np.float32(0.0)).sum(axis=(1, 3), dtype=np.float64)
    mean = np.divide(total, count, out=np.full(count.shape, np.nan), where=2 * count >= block * block)
    return np.ascontiguousarray(mean, dtype=np.float32)


def median_slope(z: Floats, *, dx: float, dy: float) -> float:
    """Give the median slope as rise over run, from the differences to the cells east and south.

    Parameters
    ----------
    z
        Heights [m], shape (rows, cols), NaN where unknown.
    dx, dy
        Cell size [m].

    Returns
    -------
    float
        0 or more; NaN where no two neighbours are known. A large grid is sampled by rows, every n-th.
    """
    rows, cols = z.shape
    if rows < 2 or cols < 2:
        return float("nan")
    step = max(1, rows * cols // 4_000_000)
    north, south = z[:-1:step, :-1], z[1::step, :-1]
    east = z[:-1:step, 1:]
    slopes = np.hypot((east - north) / dx, (south[: north.shape[0]] - north) / dy)
    slopes = slopes[np.isfinite(slopes)]
    return float(np.median(slopes)) if slopes.size else float("nan")


def check_heights(
    grid: Grid, *, unit: str, file_name: str, slopes: bool = True
) -> tuple[float, float, float]:
    """Refuse heights or slopes that no ground has.

    Parameters
    ----------
    grid
        What was read.
    unit
        Unit the heights were read in, and who said so, for a person.
    slopes
        Whether neighbours are neighbours on the ground, and not cells of a sample.

    Returns
    -------
    tuple of float
        Share of cells that are known (0 to 1), lowest and highest height [m].

    Raises
    ------
    Refused
        GND-409 when nothing is known, GND-407 outside -500 to 9000 m, GND-408 when half of it is steeper
        than 45 degrees.
    """
    known = np.isfinite(grid.z)
    if not known.any():
        do = "Bring a raster that covers the line."
        raise refuse(HEIGHT_NONE, "no cell has a known height.", file_name, do)
    low, high = float(np.nanmin(grid.z)), float(np.nanmax(grid.z))
    faults = FaultList()
    do = f"Heights were read in {unit}; find out whether they are feet or metres."
    if low < LOWEST_M or high > HIGHEST_M:
        what = f"heights run from {low:.0f} to {high:.0f} m."
        do += " A number that stands for 'no data' must be declared in the file."
        faults.add(HEIGHT_RANGE, what, file_name, do)
    faults.refuse()
    if slopes:
        check_slope(grid.z, (grid.dx, grid.dy), unit=unit, file_name=file_name)
    return float(known.mean()), low, high


def check_slope(z: Floats, cell: tuple[float, float], *, unit: str, file_name: str) -> None:
    """Refuse ground of which half is steeper than 45 degrees (GND-408); `cell` is width and height [m]."""
    slope = median_slope(z, dx=cell[0], dy=cell[1])
    if slope > STEEPEST_MEDIAN:
        what = f"half of the ground is steeper than {100 * slope:.0f} %."
        do = f"Heights were read in {unit}; find out whether they are feet or metres."
        raise refuse(HEIGHT_SLOPE, what, file_name, do)


def steep_note(grid: Grid, *, unit: str, file_name: str) -> tuple[str, ...]:
    """Warn of ground so steep that the heights may be feet that say metres."""
    slope = median_slope(grid.z, dx=grid.dx, dy=grid.dy)
    if unit != "metre" or not slope > STEEP_MEDIAN:
        return ()
    degrees = np.degrees(np.arctan([slope, slope * METRES_PER_FOOT]))
    what = f"half of the ground is steeper than {degrees[0]:.0f} degrees"
    why = f"the heights are feet that say metres, and it is {degrees[1]:.0f} degrees"
    return (f"{file_name}: {what}. Look up a hill you know: if the ground is gentler, {why}.",)


def odd_zeros(z: Floats, *, file_name: str) -> tuple[str, ...]:
    """Warn of many exact zeros below hills: zero is often an undeclared 'no data'."""
    share = float((z == 0.0).mean())
    others = z[np.isfinite(z) & (z != 0.0)]
    if share < 0.01 or others.size == 0 or float(others.min()) < 10.0:
        return ()
    low = float(others.min())
    what = f"{100 * share:.0f} % of the cells are exactly 0 m and no other is below {low:.0f} m"
    return (f"{file_name}: {what}; if 0 stands for 'no data', declare it in the file and bring it again.",)
