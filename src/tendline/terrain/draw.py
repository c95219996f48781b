"""Owns drawing lines and areas into the cells of a grid: every cell that one of them touches.

Does not own what a drawn cell means (terrain.barriers).
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tendline.terrain.lay import mark_line

Points = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Frame:
    """Where a block of cells lies.

    Parameters
    ----------
    rows, cols
        Its size [cells].
    row0, col0
        Where it starts in the raster [cells].
    west, north
        Outer corner of the raster [m].
    dx, dy
        Width and height of a cell [m].
    """

    rows: int
    cols: int
    row0: int
    col0: int
    west: float
    north: float
    dx: float
    dy: float

    def to_cells(self, points: Points) -> Points:
        """Turn x, y [m] into column, row counted in cells from the block's corner; shape (n, 2) both."""
        # Cells of the whole raster first: a point on an edge then falls on the same side in every block.
        return (points - [self.west, self.north]) / [self.dx, -self.dy] - [self.col0, self.row0]

    def grown(self) -> "Frame":
        """Give the block with one more cell on every side."""
        return replace(self, rows=self.rows + 2, cols=self.cols + 2, row0=self.row0 - 1, col0=self.col0 - 1)

    def empty(self) -> Mask:
        """Give a mask with nothing drawn."""
        return np.zeros((self.rows, self.cols), dtype=np.bool_)


def draw_line(mask: Mask, frame: Frame, points: Points) -> None:
    """Mark every cell that a line touches.

    Parameters
    ----------
    mask
        Cells, (rows, cols). Changed.
    frame
        Where they lie.
    points
        The line [m], (n, 2), at least one point.

    Notes
    -----
    Row by row, the stretch of columns between where the line enters and where it leaves the row. Neighbouring
    rows share the column of the point between them, so the marked cells hang together by their edges.
    """
    cells = frame.to_cells(points)
    mark_line(mask, np.repeat(cells, 2, axis=0) if len(cells) == 1 else cells)


def draw_area(mask: Mask, frame: Frame, rings: tuple[Points, ...]) -> None:
    """Mark every cell whose centre lies inside a polygon, or that its edge touches.

    Parameters
    ----------
    mask
        Cells, (rows, cols). Changed.
    frame
        Where they lie.
    rings
        The outer ring and any holes [m], each (n, 2) and closed.
    """
    cells = [frame.to_cells(ring) for ring in rings]
    starts = np.concatenate([ring[:-1] for ring in cells])
    ends = np.concatenate([ring[1:] for ring in cells])
    first = max(int(np.floor(starts[:, 1].min())), 0)
    last = min(int(np.floor(starts[:, 1].max())), frame.rows - 1)
    for row in range(first, last + 1):
        crossed = (starts[:, 1] <= row + 0.5) != (ends[:, 1] <= row + 0.5)
        (x0, y0), (x1, y1) = starts[crossed].T, ends[crossed].T
        xs = np.sort(x0 + (x1 - x0) * (row + 0.5 - y0) / (y1 - y0))
        # Centres lie at column + 0.5: the first one not left of `enter`, up to the last one left of `leave`.
        bounds = np.clip(np.ceil(xs - 0.5), 0, frame.cols).astype(np.int64)
        for enter, leave in zip(bounds[::2], bounds[1::2], strict=True):
            mask[row, enter:leave] = True
    for ring in rings:
        draw_line(mask, frame, ring)


def widen(mask: Mask) -> Mask:
    """Give the marked cells and the eight around each."""
    wide = mask.copy()
    wide[1:] |= mask[:-1]
    wide[:-1] |= mask[1:]
    tall = wide.copy()
    wide[:, 1:] |= tall[:, :-1]
    wide[:, :-1] |= tall[:, 1:]
    return wide
