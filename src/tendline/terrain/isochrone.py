"""Owns how far a person gets: the time from one place to everywhere, and the ground reached within a time.

Does not own times among places (`walk`) or maps of them (jobs).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
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
from tendline.terrain.walk_tiles import Walked, times_in_tiles
from tendline.terrain.window import Box, prepare

Points = npt.NDArray[np.float64]

WHOLE_CELLS = 25_000_000
"""Up to so many cells are searched at once, for some 25 bytes each; more of them in tiles."""

DRAWN_CELLS = 4_000_000
"""Bands are drawn from no more cells than this: of more, from every second or third each way."""


@dataclass(frozen=True, eq=False)
class TimeField:
    """Walking times from one place, or the nearest of several, to everywhere.

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
    start: LonLat | Mapping[str, LonLat],
    *,
    limit_s: float,
    costs: WalkCosts,
    barriers: Sequence[Barrier] = (),
    paths: Sequence[Sequence[LonLat]] = (),
    dark: bool = False,
    pace: Pace | None = None,
    scheduler: str | None = None,
) -> TimeField:
    """Find the time on foot from one place to all others, or to each from the nearest of several.

    Parameters
    ----------
    grid
        Heights.
    start
        Where the person sets out; or several places by name.
    limit_s
        How long they walk at most, above 0 [s].
    costs, barriers, paths, dark, pace
        As of `walk.walk_matrix`.
    scheduler
        Address of a dask scheduler for ground that is searched in tiles; threads of this process when None.

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
    starts = start if isinstance(start, Mapping) else {"the start": start}
    cells = list(locate(grid, starts, obstacles, moves, faults).values())
    faults.refuse()
    down, across = (math.ceil(limit_s / moves.fastest / size) + 2 for size in (grid.dy, grid.dx))
    rows, cols = zip(*cells, strict=True)
    box = Box(min(rows), max(rows) + 1, min(cols), max(cols) + 1).grown(down, across).within(grid.shape)
    walked = Walked(grid, box, tuple(obstacles), moves, tuple(paths_on(paths, projector)))
    part = grid.window(box.row0, box.row1, box.col0, box.col1)
    return TimeField(_times(walked, cells, scheduler), part, limit_s)


def _times(
    walked: Walked, cells: Sequence[tuple[int, int]], scheduler: str | None
) -> npt.NDArray[np.float32]:
    box = walked.box
    if (box.row1 - box.row0) * (box.col1 - box.col0) > WHOLE_CELLS:
        return times_in_tiles(walked, cells, scheduler=scheduler)
    window = prepare(walked.grid, box, walked.obstacles, walked.costs, walked.paths)
    return Workspace().flood(window, walked.costs, window.index(np.array(cells, np.int64)))


def _thinned(field: TimeField) -> TimeField:
    """Take every n-th cell each way, its time as it is, so that no more than `DRAWN_CELLS` are left."""
    step = math.ceil(math.sqrt(field.seconds.size / DRAWN_CELLS))
    if step == 1:
        return field
    grid, first = field.grid, step // 2
    some = np.ascontiguousarray(grid.z[first::step, first::step])
    # The middle of a larger cell lies in the middle of the cell that was taken.
    west = grid.west + (first + 0.5 - step / 2) * grid.dx
    north = grid.north - (first + 0.5 - step / 2) * grid.dy
    larger = replace(grid, z=some, west=west, north=north, dx=grid.dx * step, dy=grid.dy * step)
    return TimeField(np.ascontiguousarray(field.seconds[first::step, first::step]), larger, field.limit_s)


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
    field = _thinned(field)
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
