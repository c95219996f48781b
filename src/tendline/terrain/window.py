"""Owns a piece of a raster made ready for searching: heights, barrier classes, allowed moves, its edge.

Does not own the search (terrain.search) or what barriers are (terrain.barriers).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.barriers import Obstacle, burn
from tendline.terrain.draw import Frame, draw_line
from tendline.terrain.lay import allow_moves, allow_steps, lay_ground
from tendline.terrain.moves import MoveCosts, offsets


@dataclass(frozen=True)
class Box:
    """A block of cells of a raster: rows [row0, row1), columns [col0, col1)."""

    row0: int
    row1: int
    col0: int
    col1: int

    def grown(self, rows: int, cols: int) -> "Box":
        """Give the block with so many more cells on every side."""
        return Box(self.row0 - rows, self.row1 + rows, self.col0 - cols, self.col1 + cols)

    def within(self, shape: tuple[int, int]) -> "Box":
        """Give the part of the block that lies on a raster of that shape."""
        rows, cols = shape
        return Box(max(self.row0, 0), min(self.row1, rows), max(self.col0, 0), min(self.col1, cols))


def frame_of(grid: Grid, box: Box) -> Frame:
    """Say where a block of a raster lies."""
    return Frame(
        rows=box.row1 - box.row0,
        cols=box.col1 - box.col0,
        row0=box.row0,
        col0=box.col0,
        west=grid.west,
        north=grid.north,
        dx=grid.dx,
        dy=grid.dy,
    )


@dataclass(frozen=True, eq=False)
class Window:
    """A piece of a raster, flat, with `pad` spare cells at both ends.

    Parameters
    ----------
    box
        Which piece; on the raster.
    shape
        Rows and columns of the whole raster.
    cell_m
        Width and height of a cell [m].
    pad
        Spare cells at each end.
    z, state, moves
        Heights [m], float32; barrier classes, uint8; allowed moves, a bit each, uint16.
    off, passed
        As of `terrain.moves.offsets`.
    toll
        As of `terrain.barriers.Burnt`.
    ease
        What time on each cell is multiplied by, float32, flat; (1,) where no path lies in the window.
    """

    box: Box
    shape: tuple[int, int]
    cell_m: tuple[float, float]
    pad: int
    z: npt.NDArray[np.float32]
    state: npt.NDArray[np.uint8]
    moves: npt.NDArray[np.uint16]
    off: npt.NDArray[np.int64]
    passed: npt.NDArray[np.int64]
    toll: npt.NDArray[np.float32]
    ease: npt.NDArray[np.float32]

    @property
    def cols(self) -> int:
        """Columns."""
        return self.box.col1 - self.box.col0

    def index(self, cells: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
        """Give the flat numbers of cells told by row and column of the raster, (n, 2)."""
        numbers: npt.NDArray[np.int64] = (
            self.pad + (cells[:, 0] - self.box.row0) * self.cols + cells[:, 1] - self.box.col0
        )
        return numbers

    def metres(self, numbers: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
        """Give x and y of flat cells from the window's corner [m], y southward, (n, 2)."""
        rows, cols = np.divmod(numbers - self.pad, self.cols)
        return np.stack([cols * self.cell_m[0], rows * self.cell_m[1]], axis=1)

    @cached_property
    def edge(self) -> npt.NDArray[np.int64]:
        """Flat numbers of the cells from which one move can leave the window and stay on the raster."""
        rows, cols = self.box.row1 - self.box.row0, self.cols
        rim = np.zeros((rows, cols), np.bool_)
        if self.box.row0 > 0:
            rim[:2] = True
        if self.box.row1 < self.shape[0]:
            rim[-2:] = True
        if self.box.col0 > 0:
            rim[:, :2] = True
        if self.box.col1 < self.shape[1]:
            rim[:, -2:] = True
        return np.flatnonzero(rim) + self.pad


def prepare(
    grid: Grid,
    box: Box,
    obstacles: Sequence[Obstacle],
    costs: MoveCosts,
    paths: Sequence[npt.NDArray[np.float64]] = (),
) -> Window:
    """Make a piece of a raster ready for searching.

    Parameters
    ----------
    grid
        The raster.
    box
        Which piece; what lies beyond the raster is left out.
    obstacles
        Barriers on its plane.
    costs
        What moves cost on it.
    paths
        Lines on its plane, each (n, 2) [m], along which the going is easier.

    Raises
    ------
    Refused
        TERR-114 when too many barriers lie in it.
    """
    box = box.within(grid.shape)
    cols = box.col1 - box.col0
    pad = 2 * cols + 2
    z, state, toll = lay_out_ground(grid, box, obstacles, costs, pad=pad)
    off, passed, steps = offsets(cols)
    moves = np.zeros(z.size, np.uint16)
    allow_steps(z, state, moves, pad, cols, costs.lengths, costs.steepest)
    allow_moves(z, moves, pad, off, passed, steps, costs.lengths, costs.steepest)
    ease = _lay_paths(paths, frame_of(grid, box), costs.on_path, pad)
    return Window(
        box,
        grid.shape,
        (grid.dx, grid.dy),
        pad,
        z,
        state,
        moves,
        off=off,
        passed=passed,
        toll=toll,
        ease=ease,
    )


def _lay_paths(
    paths: Sequence[npt.NDArray[np.float64]], frame: Frame, on_path: float, pad: int
) -> npt.NDArray[np.float32]:
    """Draw paths into a block, flat with `pad` spare cells at both ends; (1,) where none lies in it."""
    mask = frame.empty()
    for line in paths if on_path != 1.0 else ():
        draw_line(mask, frame, line)
    if not mask.any():
        return np.ones(1, np.float32)
    ease = np.ones(mask.size + 2 * pad, np.float32)
    ease[pad : pad + mask.size][mask.ravel()] = on_path
    return ease


def lay_out_ground(
    grid: Grid, box: Box, obstacles: Sequence[Obstacle], costs: MoveCosts, *, pad: int
) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.uint8], npt.NDArray[np.float32]]:
    """Give heights and classes of a block, flat with `pad` spare cells at both ends, and the tolls.

    Cells that are unknown, steeper than is walked, or in a barrier that cannot be crossed, are blocked.
    """
    frame = frame_of(grid, box)
    burnt = burn(obstacles, frame)
    size = frame.rows * frame.cols
    z, state = np.zeros(size + 2 * pad, np.float32), np.zeros(size + 2 * pad, np.uint8)
    inner = slice(pad, pad + size)
    state[inner] = burnt.state.ravel()
    # A raster that must not be written to is another type to the compiler: copy it rather than compile again.
    heights = np.require(grid.z, requirements="W")
    lay_ground(
        heights, box.row0, box.col0, grid.dx, grid.dy, costs.steepest, frame.cols, z[inner], state[inner]
    )
    return z, state, burnt.toll
