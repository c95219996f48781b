"""Owns how far a person gets: the time from one place to everywhere, and the ground reached within a time.

Does not own times among places (`walk`) or maps of them (jobs).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import contourpy
import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat
from tendline.core.settings import WalkCosts
from tendline.terrain.barriers import lay_out
from tendline.terrain.locate import locate
from tendline.terrain.moves import Pace
from tendline.terrain.search import Workspace
from tendline.terrain.walk import check_costs, moves_of, paths_on
from tendline.terrain.window import Box, prepare

Points = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class TimeField:
    """Walking times from one place to everywhere.

    Parameters
    ----------
    seconds
        Times to the cells' centres [s], float32, (rows, cols); infinite where there is no way. Beyond
        `limit_s` they may be too long.
    grid
        The ground they are on.
    limit_s
        Up to this time every way is found [s].
    """

    seconds: npt.NDArray[np.float32]
    grid: Grid
    limit_s: float


@dataclass(frozen=True, eq=False)
class Band:
    """The ground that is reached within a stretch of time.

    Parameters
    ----------
    from_s, to_s
        The stretch [s].
    polygons
        Each an outer ring and its holes, on the grid's plane [m], (n, 2), closed.
    area_m2
        Its area on that plane [m2].
    """

    from_s: float
    to_s: float
    polygons: tuple[tuple[Points, ...], ...]
    area_m2: float


def time_to_all(
    grid: Grid,
    start: LonLat,
    *,
    limit_s: float,
    costs: WalkCosts,
    barriers: Sequence[Barrier] = (),
    paths: Sequence[Sequence[LonLat]] = (),
    dark: bool = False,
    pace: Pace | None = None,
) -> TimeField:
    """Find the time on foot from one place to all others.

    Parameters
    ----------
    grid
        Heights.
    start
        Where the person sets out.
    limit_s
        How long they walk at most, above 0 [s].
    costs, barriers, paths, dark, pace
        As of `walk.walk_matrix`.

    Returns
    -------
    TimeField
        On the part of the grid that can be reached in that time at the fastest pace there is.

    Raises
    ------
    Refused
        TERR-101 to TERR-105 and TERR-111 to TERR-115, as of `walk.walk_matrix`.
    """
    faults = FaultList()
    check_costs(costs, faults)
    faults.refuse()
    projector = Projector(grid.crs)
    moves = moves_of(grid, costs, dark=dark, pace=pace)
    obstacles = lay_out(barriers, projector, faults)
    cells = locate(grid, {"the start": start}, obstacles, moves, faults)
    faults.refuse()
    row, col = cells["the start"]
    down, across = (math.ceil(limit_s / moves.fastest / size) + 2 for size in (grid.dy, grid.dx))
    box = Box(row, row + 1, col, col + 1).grown(down, across).within(grid.shape)
    window = prepare(grid, box, obstacles, moves, paths_on(paths, projector))
    number = int(window.index(np.array([[row, col]], np.int64))[0])
    seconds = Workspace().flood(window, moves, number)
    part = grid.window(box.row0, box.row1, box.col0, box.col1)
    return TimeField(seconds, part, limit_s)


def bands_of(field: TimeField, edges_s: Sequence[float]) -> tuple[Band, ...]:
    """Cut times into bands.

    Parameters
    ----------
    field
        Times from one place.
    edges_s
        Where a band ends and the next begins, rising, above 0 and no more than the field's limit [s]; the
        first band begins at 0.

    Returns
    -------
    tuple of Band
        One for each edge. Times are taken as linear between the centres of cells; half a cell beside ground
        that is not reached is left out.

    References
    ----------
    contourpy contributors, contourpy: filled contours, outer rings with their holes.
    """
    grid = field.grid
    rows, cols = grid.shape
    x = grid.west + (np.arange(cols) + 0.5) * grid.dx
    y = grid.north - (np.arange(rows) + 0.5) * grid.dy
    z = np.ma.masked_invalid(field.seconds.astype(np.float64))
    if min(rows, cols) < 2:
        return tuple(Band(low, high, (), 0.0) for low, high in zip((0.0, *edges_s), edges_s, strict=False))
    made = contourpy.contour_generator(x, y, z, name="serial", fill_type=contourpy.FillType.OuterOffset)
    bands = []
    for low, high in zip((0.0, *edges_s), edges_s, strict=False):
        # The start itself has time 0: the first band takes it in.
        filled = made.filled(low if low > 0 else -1.0, high)
        points, offsets = cast("tuple[list[Points], list[Points]]", filled)
        polygons = tuple(
            tuple(np.asarray(ring, np.float64) for ring in np.split(held, cuts[1:-1].astype(np.int64)))
            for held, cuts in zip(points, offsets, strict=True)
        )
        area = sum(abs(_area(rings[0])) - sum(abs(_area(hole)) for hole in rings[1:]) for rings in polygons)
        bands.append(Band(low, high, polygons, float(area)))
    return tuple(bands)


def _area(ring: Points) -> float:
    x, y = (ring - ring[0]).T
    return float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1])) / 2
