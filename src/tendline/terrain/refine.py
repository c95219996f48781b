"""Owns making a coarse raster finer, so that two sets a stone's throw apart are not in one cell.

Does not own any knowledge of the ground: heights between the cells' centres are interpolated, no more.
"""

import math

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid


def refine(grid: Grid, *, at_most_m: float) -> Grid:
    """Cut cells into equal parts until none is wider or higher than is wanted.

    Parameters
    ----------
    grid
        Heights. Cells that are fine enough are left alone.
    at_most_m
        Largest cell [m], positive.

    Returns
    -------
    Grid
        The same ground; heights bilinear between the centres of the old cells. Unknown cells stay unknown as
        a whole, and known ones known: beside the unknown their own height stands in, and outside the
        outermost centres that of the centre.
    """
    down, across = math.ceil(grid.dy / at_most_m - 1e-9), math.ceil(grid.dx / at_most_m - 1e-9)
    if down <= 1 and across <= 1:
        return grid
    z = _stretch(_stretch(grid.z, down, axis=0), across, axis=1)
    own = np.repeat(np.repeat(grid.z, down, axis=0), across, axis=1)
    z = np.where(np.isnan(own), own, np.where(np.isnan(z), own, z))
    return Grid(
        np.ascontiguousarray(z, np.float32), grid.crs, grid.west, grid.north, grid.dx / across, grid.dy / down
    )


def _stretch(z: npt.NDArray[np.float32], parts: int, *, axis: int) -> npt.NDArray[np.float32]:
    """Interpolate along one axis between the centres of cells cut into `parts`."""
    size = z.shape[axis]
    at = np.clip((np.arange(size * parts) + 0.5) / parts - 0.5, 0.0, size - 1.0)
    low = np.minimum(at.astype(np.int64), max(size - 2, 0))
    shape = (-1, 1) if axis == 0 else (1, -1)
    share = (at - low).astype(np.float32).reshape(shape)
    high = np.minimum(low + 1, size - 1)
    below, above = np.take(z, low, axis), np.take(z, high, axis)
    # A share of nothing of an unknown height is still unknown: take the other side alone there.
    return np.where(share == 0, below, np.where(share == 1, above, below + (above - below) * share))
