"""Owns small pieces of invented ground for the tests of walking, told in metres from a corner in UTM zone 17.

Does not own any expected value.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.terrain.barriers import Burnt, burn, lay_out
from tendline.terrain.draw import draw_line
from tendline.terrain.window import Box, frame_of

WEST, NORTH, CRS = 500_000.0, 4_500_000.0, "EPSG:32617"
TURN = Projector(CRS)
Point = tuple[float, float]


def ground(heights: npt.ArrayLike, *, dx: float = 10.0, dy: float = 10.0) -> Grid:
    """Make a raster of heights, row 0 in the north."""
    return Grid(np.ascontiguousarray(heights, np.float32), CRS, WEST, NORTH, dx, dy)


def at(x: float, y: float) -> LonLat:
    """Give the place x metres east and y metres south of the raster's corner."""
    return TURN.to_lonlat(WEST + x, NORTH - y)


def centre(grid: Grid, row: int, col: int) -> LonLat:
    """Give the place of a cell's centre."""
    return TURN.to_lonlat(*grid.centre_of(row, col))


def line(
    name: str, *points: Point, seconds: float | None = None, crossings: Sequence[Sequence[Point]] = ()
) -> Barrier:
    """Make a barrier of one line."""
    gates = tuple(tuple(at(*p) for p in crossing) for crossing in crossings)
    return Barrier(name, lines=(tuple(at(*p) for p in points),), seconds=seconds, crossings=gates)


def area(
    name: str,
    *rings: Sequence[Point],
    seconds: float | None = None,
    crossings: Sequence[Sequence[Point]] = (),
) -> Barrier:
    """Make a barrier of one polygon: outer ring, then holes; rings are closed here."""
    closed = tuple(tuple(at(*p) for p in (*ring, ring[0])) for ring in rings)
    gates = tuple(tuple(at(*p) for p in crossing) for crossing in crossings)
    return Barrier(name, areas=Outline((closed,)), seconds=seconds, crossings=gates)


def burnt(grid: Grid, barriers: Sequence[Barrier]) -> Burnt:
    """Draw barriers into the whole raster."""
    faults = FaultList()
    obstacles = lay_out(barriers, TURN, faults)
    faults.refuse()
    rows, cols = grid.shape
    return burn(obstacles, frame_of(grid, Box(0, rows, 0, cols)))


def eased(grid: Grid, paths: Sequence[Sequence[LonLat]], on_path: float) -> npt.NDArray[np.float64]:
    """Give what time is multiplied by in every cell of the raster."""
    rows, cols = grid.shape
    frame = frame_of(grid, Box(0, rows, 0, cols))
    mask = frame.empty()
    for path in paths:
        draw_line(mask, frame, TURN.to_xys(path))
    return np.where(mask, on_path, 1.0)
