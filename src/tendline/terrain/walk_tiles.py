"""Owns walking time to everywhere over ground too large for one search: tiles that pass on their rims.

Does not own one search (terrain.search) or where tiles are worked on (terrain.side_by_side).

A tile is searched with two cells more on every side, as far as a move reaches. Where a time on such a rim has
fallen, the tile goes on from there; this ends when none falls any more, and then every time is the least over
all ways, as in one search. Tiles whose rims are reached soonest come first, so that few are done again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.barriers import Obstacle
from tendline.terrain.moves import MoveCosts
from tendline.terrain.search import Workspace
from tendline.terrain.side_by_side import side_by_side
from tendline.terrain.window import Box, prepare

TILE_CELLS = 2000
"""A tile has so many rows and columns: some 120 megabytes while it is searched."""

_REACH = 2
_LOOK = _REACH + 1

Times = npt.NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Walked:
    """What is walked over, and how.

    Parameters
    ----------
    grid
        Heights.
    box
        The part of it that is searched.
    obstacles, costs, paths
        As of `terrain.window.prepare`.
    """

    grid: Grid
    box: Box
    obstacles: tuple[Obstacle, ...]
    costs: MoveCosts
    paths: tuple[npt.NDArray[np.float64], ...] = ()


@dataclass(frozen=True, eq=False)
class Visit:
    """A tile with its rim, cut out so that it can be searched anywhere.

    Parameters
    ----------
    walked
        Its ground, and a row and column more for slopes.
    before
        Times so far [s], (rows, cols).
    changed
        Cells whose time fell since it was searched last, (rows, cols).
    """

    walked: Walked
    before: Times
    changed: npt.NDArray[np.bool_]


def visit(one: Visit) -> Times:
    """Search a tile with its rim; give its times [s], (rows, cols)."""
    walked = one.walked
    window = prepare(walked.grid, walked.box, walked.obstacles, walked.costs, walked.paths)
    changed = np.flatnonzero(one.changed) + window.pad
    return Workspace().go_on(window, walked.costs, one.before, changed)


def times_in_tiles(
    walked: Walked,
    starts: Sequence[tuple[int, int]],
    *,
    side: int | None = None,
    scheduler: str | None = None,
    at_once: int = 2,
) -> Times:
    """Find the time to every cell from the nearest start.

    Parameters
    ----------
    walked
        The ground.
    starts
        Row and column of each, on the grid, in the box.
    side
        Rows and columns of a tile, at least 4; `TILE_CELLS` when None.
    scheduler
        Address of a dask scheduler; threads of this process when None.
    at_once
        How many tiles are searched side by side.

    Returns
    -------
    ndarray
        Times [s], float32, the shape of the box; infinite where there is no way in it. Equal to those of one
        search.

    Raises
    ------
    Refused
        TERR-114, TERR-131.
    """
    tiles = _Tiles(walked, starts, side or TILE_CELLS)
    while tiles.due:
        chosen = sorted(tiles.due, key=tiles.due.__getitem__)[:at_once]
        visits = [tiles.leave_for(number) for number in chosen]
        found = side_by_side(visit, visits, scheduler=scheduler, threads=at_once)
        for number, times in zip(chosen, found, strict=True):
            tiles.take_in(number, times)
    return tiles.times


class _Tiles:
    """The times found so far, and which tiles have something to go on from.

    Parameters
    ----------
    walked, starts, side
        As of `times_in_tiles`.
    """

    def __init__(self, walked: Walked, starts: Sequence[tuple[int, int]], side: int) -> None:
        self._walked, box = walked, walked.box
        self._shape = box.row1 - box.row0, box.col1 - box.col0
        self.times: Times = np.full(self._shape, np.inf, np.float32)
        rows, cols = (range(0, size, side) for size in self._shape)
        self._tiles = [Box(r, r + side, c, c + side).within(self._shape) for r, c in product(rows, cols)]
        self._across, self._side = len(cols), side
        self._told: dict[int, Times] = {}
        self.due: dict[int, float] = {}
        for row, col in starts:
            at = row - box.row0, col - box.col0
            self.times[at] = 0.0
            self.due |= {k: 0.0 for k in self._near(at) if _holds(self._seen_from(k), at)}

    def leave_for(self, number: int) -> Visit:
        """Give what is needed to search a tile; from then on what has fallen counts as told."""
        del self.due[number]
        seen = self._seen_from(number)
        before = self.times[_slices(seen)].copy()
        rim = np.ones(before.shape, np.bool_)
        rim[_slices(_relative(self._tiles[number], seen))] = False
        # On the first visit everything that has a time is new; later, what fell on the rim.
        changed = np.isfinite(before)
        if number in self._told:
            changed[:] = False
            changed[rim] = before[rim] < self._told[number]
        self._told[number] = before[rim]
        return Visit(self._cut_out(seen), before, changed)

    def take_in(self, number: int, times: Times) -> None:
        """Keep the times of a tile, and let its neighbours know where they fell."""
        seen, tile = self._seen_from(number), self._tiles[number]
        inner = _slices(_relative(tile, seen))
        held = self.times[_slices(tile)]
        fell = times[inner] < held
        np.minimum(held, times[inner], out=held)
        for other in self._near((tile.row0, tile.col0)):
            shared = _common(self._seen_from(other), tile)
            if other == number or shared is None:
                continue
            part = _slices(_relative(shared, tile))
            if fell[part].any():
                soonest = float(held[part][fell[part]].min())
                self.due[other] = min(self.due.get(other, np.inf), soonest)

    def _near(self, at: tuple[int, int]) -> Iterator[int]:
        """Give the tile that holds a cell, and those round it."""
        row, col = at[0] // self._side, at[1] // self._side
        down = -(-self._shape[0] // self._side)
        for r in range(max(row - 1, 0), min(row + 2, down)):
            for c in range(max(col - 1, 0), min(col + 2, self._across)):
                yield r * self._across + c

    def _seen_from(self, number: int) -> Box:
        return self._tiles[number].grown(_REACH, _REACH).within(self._shape)

    def _cut_out(self, seen: Box) -> Walked:
        walked, box = self._walked, self._walked.box
        on_grid = Box(seen.row0 + box.row0, seen.row1 + box.row0, seen.col0 + box.col0, seen.col1 + box.col0)
        wide = on_grid.grown(_LOOK - _REACH, _LOOK - _REACH).within(walked.grid.shape)
        part = walked.grid.window(wide.row0, wide.row1, wide.col0, wide.col1)
        return Walked(part, _relative(on_grid, wide), walked.obstacles, walked.costs, walked.paths)


def _slices(box: Box) -> tuple[slice, slice]:
    return slice(box.row0, box.row1), slice(box.col0, box.col1)


def _relative(box: Box, to: Box) -> Box:
    return Box(box.row0 - to.row0, box.row1 - to.row0, box.col0 - to.col0, box.col1 - to.col0)


def _holds(box: Box, at: tuple[int, int]) -> bool:
    return box.row0 <= at[0] < box.row1 and box.col0 <= at[1] < box.col1


def _common(a: Box, b: Box) -> Box | None:
    both = Box(max(a.row0, b.row0), min(a.row1, b.row1), max(a.col0, b.col0), min(a.col1, b.col1))
    return both if both.row0 < both.row1 and both.col0 < both.col1 else None
