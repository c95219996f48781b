"""Owns the raster of ground heights: an array with where it lies, in metres, unknown cells kept as unknown.

Does not own reading files (ground.elevation), projecting (almanac.geodesy) or walking on it (terrain).
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Grid:
    """Heights on a regular, north-up grid in a projected system whose unit is the metre.

    Parameters
    ----------
    z
        Heights [m], float32, shape (rows, cols), C order, row 0 in the north; NaN where unknown.
    crs
        The projected coordinate system, as text that PROJ understands (``EPSG:32617``).
    west, north
        Outer corner of the cell in row 0, column 0 [m in `crs`].
    dx, dy
        Width and height of a cell [m], both positive.
    """

    z: Floats
    crs: str
    west: float
    north: float
    dx: float
    dy: float

    def __post_init__(self) -> None:
        """Check the shape of what is held."""
        if self.z.ndim != 2 or self.z.dtype != np.float32 or not self.z.flags["C_CONTIGUOUS"]:
            raise ValueError("heights must be a C-ordered float32 array of two dimensions")
        if not (self.dx > 0 and self.dy > 0):
            raise ValueError("cells must have a positive size")

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.z.shape[0], self.z.shape[1]

    def cell_of(self, x: float, y: float) -> tuple[int, int] | None:
        """Give row and column of the cell that holds the point (x, y) [m in `crs`]; None outside the grid."""
        if not (np.isfinite(x) and np.isfinite(y)):
            return None
        col = int(np.floor((x - self.west) / self.dx))
        row = int(np.floor((self.north - y) / self.dy))
        rows, cols = self.shape
        return (row, col) if 0 <= row < rows and 0 <= col < cols else None

    def centre_of(self, row: int, col: int) -> tuple[float, float]:
        """Give x, y of a cell's centre [m in `crs`]."""
        return self.west + (col + 0.5) * self.dx, self.north - (row + 0.5) * self.dy

    def window(self, row0: int, row1: int, col0: int, col1: int) -> "Grid":
        """Cut out rows [row0, row1) and columns [col0, col1), clipped to the grid."""
        rows, cols = self.shape
        row0, row1 = max(0, row0), min(rows, row1)
        col0, col1 = max(0, col0), min(cols, col1)
        return replace(
            self,
            z=np.ascontiguousarray(self.z[row0:row1, col0:col1]),
            west=self.west + col0 * self.dx,
            north=self.north - row0 * self.dy,
        )
