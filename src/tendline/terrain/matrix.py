"""Owns which searches a matrix needs: window by window, source by source, until every time is proven.

Does not own a single search (terrain.search) or what the person asks (terrain.walk).
"""

import math
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass, field
from functools import partial
from itertools import chain
from queue import SimpleQueue

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.barriers import Obstacle
from tendline.terrain.moves import MoveCosts
from tendline.terrain.search import Found, Workspace
from tendline.terrain.window import Box, Window, prepare

LEAST_MARGIN_M = 250.0
"""Least ground round a group that the first search takes in [m]."""

Progress = Callable[[int, int], None]
Pairs = npt.NDArray[np.bool_]
_Search = tuple[int, npt.NDArray[np.int64], Found]


@dataclass(frozen=True, eq=False)
class Survey:
    """The ground and what it costs to walk on.

    Parameters
    ----------
    grid
        The raster.
    obstacles
        Barriers on its plane.
    costs
        What moves cost on it.
    margin
        How much ground round a group the first search takes in, as a share of the group's extent.
    paths
        Lines on its plane, each (n, 2) [m], along which the going is easier.
    """

    grid: Grid
    obstacles: Sequence[Obstacle]
    costs: MoveCosts
    margin: float
    paths: Sequence[npt.NDArray[np.float64]] = ()


@dataclass(eq=False)
class Board:
    """Times and ways between cells, filled group by group.

    Parameters
    ----------
    cells
        Row and column on the raster, (m, 2), no cell twice.
    seconds
        Times [s], (m, m), infinite where no way was found or none was asked for.
    moves
        The ways, by pair.
    known
        Pairs that are settled.
    done, total
        Searches made, and searches that are needed as far as is known.
    """

    cells: npt.NDArray[np.int64]
    seconds: npt.NDArray[np.float64] = field(init=False)
    moves: dict[tuple[int, int], bytes] = field(default_factory=dict)
    known: Pairs = field(init=False)
    done: int = 0
    total: int = 0

    def __post_init__(self) -> None:
        """Start with nothing known but that staying costs nothing."""
        size = len(self.cells)
        self.seconds = np.full((size, size), np.inf)
        np.fill_diagonal(self.seconds, 0.0)
        self.known = np.eye(size, dtype=np.bool_)

    def keep(self, source: int, targets: npt.NDArray[np.int64], found: Found, wanted: Pairs) -> None:
        """Take in what one search found, as far as it is wanted."""
        self.seconds[source, targets[wanted]] = found.seconds[wanted]
        for target, moves, want in zip(targets, found.moves, wanted, strict=True):
            if want:
                self.moves[source, int(target)] = moves


def fill(
    board: Board,
    survey: Survey,
    groups: Sequence[npt.NDArray[np.int64]],
    *,
    threads: int,
    on_progress: Progress | None,
) -> None:
    """Find the times between the cells of each group.

    Parameters
    ----------
    board
        Takes the times. Changed.
    survey
        The ground.
    groups
        Numbers of cells of the board.
    threads
        How many searches run at once.
    on_progress
        Told how many searches are done, of how many as far as is known.

    Notes
    -----
    Each group is first searched in a window a little larger than itself. For the pairs for which a way round
    outside might be shorter, every such way lies in the ellipse of all points from which neither end is too
    far at the fastest pace: one more search, on the window that holds these ellipses, settles them.
    """
    spares = [Workspace() for _ in range(max(threads, 1))]
    board.total = _searches(board, groups)
    for group in groups:
        asked = ~board.known[np.ix_(group, group)]
        if not asked.any():
            continue
        search = partial(_search_window, board, survey, group=group, spares=spares, on_progress=on_progress)
        unproven = search(_first_box(board, survey, group), asked=asked)
        if unproven.any():
            board.total += int(unproven.any(axis=1).sum())
            search(_box_of_ellipses(board, survey, group, unproven), asked=unproven)
        board.known[np.ix_(group, group)] = True


def _searches(board: Board, groups: Sequence[npt.NDArray[np.int64]]) -> int:
    """Count the searches of the first round: one for each cell of a group from which a pair is still open."""
    known, count = board.known.copy(), 0
    for group in groups:
        count += int(np.sum(~np.all(known[np.ix_(group, group)], axis=1)))
        known[np.ix_(group, group)] = True
    return count


def _first_box(board: Board, survey: Survey, group: npt.NDArray[np.int64]) -> Box:
    cells = board.cells[group]
    (row0, col0), (row1, col1) = cells.min(axis=0).tolist(), cells.max(axis=0).tolist()
    dy, dx = survey.grid.dy, survey.grid.dx
    margin_m = max(survey.margin * max((row1 - row0) * dy, (col1 - col0) * dx), LEAST_MARGIN_M)
    return Box(row0, row1 + 1, col0, col1 + 1).grown(math.ceil(margin_m / dy), math.ceil(margin_m / dx))


def _box_of_ellipses(board: Board, survey: Survey, group: npt.NDArray[np.int64], unproven: Pairs) -> Box:
    """Give the block that holds every way that could be shorter than the one found."""
    rows, cols = survey.grid.shape
    sources, targets = (group[side] for side in np.nonzero(unproven))
    seconds = board.seconds[sources, targets]
    if not np.all(np.isfinite(seconds)):
        return Box(0, rows, 0, cols)
    scale = np.array([survey.grid.dy, survey.grid.dx])
    a, b = board.cells[sources] * scale, board.cells[targets] * scale
    longest = seconds / survey.costs.fastest / 2.0
    # Half extents of an ellipse with foci a and b and half axis `longest`, along both axes of the grid.
    half = np.sqrt(np.maximum(longest[:, None] ** 2 - ((a - b) / 2.0)[:, ::-1] ** 2, 0.0))
    low = np.floor(np.min(((a + b) / 2.0 - half) / scale, axis=0)).astype(int) - 1
    high = np.ceil(np.max(((a + b) / 2.0 + half) / scale, axis=0)).astype(int) + 2
    return Box(low[0], high[0], low[1], high[1]).within((rows, cols))


@dataclass(eq=False)
class _Pass:
    """One window and what is wanted in it.

    Parameters
    ----------
    window
        The ground.
    group, flat
        Numbers of the cells on the board, and in the window.
    asked
        Pairs that are wanted.
    unproven
        Pairs that something outside the window might still shorten.
    part
        For each cell, a cell of the same connected part of the ground; -1 until it is known.
    """

    window: Window
    group: npt.NDArray[np.int64]
    flat: npt.NDArray[np.int64]
    asked: Pairs
    unproven: Pairs
    part: npt.NDArray[np.int64]


def _search_window(
    board: Board,
    survey: Survey,
    box: Box,
    *,
    group: npt.NDArray[np.int64],
    asked: Pairs,
    spares: Sequence[Workspace],
    on_progress: Progress | None,
) -> Pairs:
    """Search one window from every source; give the pairs that something outside might still shorten."""
    window = prepare(survey.grid, box, survey.obstacles, survey.costs, survey.paths)
    flat = window.index(board.cells[group])
    run = _Pass(window, group, flat, asked, np.zeros_like(asked), np.full(len(group), -1))
    for i, targets, found in chain(
        _first_of_each_part(run, survey.costs, spares[0]), _each_other(run, survey.costs, spares)
    ):
        wanted = asked[i, targets]
        board.keep(int(group[i]), group[targets], found, wanted)
        run.unproven[i, targets] = wanted & ~found.proven
        board.done += 1
        if on_progress is not None:
            on_progress(board.done, board.total)
    return run.unproven


def _first_of_each_part(run: _Pass, costs: MoveCosts, space: Workspace) -> Iterator[_Search]:
    """Search from one source of each connected part to all cells.

    Moves are open both ways, so that one search tells its part of the ground from the rest, and nothing in
    another part is looked for again, which would flood the window each time.
    """
    for i in map(int, np.flatnonzero(run.asked.any(axis=1))):
        if run.part[i] >= 0:
            continue
        targets = np.flatnonzero(np.arange(len(run.group)) != i)
        found = space.explore(run.window, costs, int(run.flat[i]), run.flat[targets])
        here = np.append(targets[np.isfinite(found.seconds)], i)
        run.part[here] = i
        apart = targets[np.isinf(found.seconds)]
        if not np.all(found.proven[np.isinf(found.seconds)]):
            run.unproven[np.ix_(here, apart)] = run.asked[np.ix_(here, apart)]
        yield i, targets, found


def _each_other(run: _Pass, costs: MoveCosts, spares: Sequence[Workspace]) -> Iterator[_Search]:
    """Search from the other sources to what is wanted of their own part, several at once."""
    rest = [i for i in map(int, np.flatnonzero(run.asked.any(axis=1))) if run.part[i] != i]
    work = [(i, np.flatnonzero(run.asked[i] & (run.part == run.part[i]))) for i in rest]
    free: SimpleQueue[Workspace] = SimpleQueue()
    for spare in spares:
        free.put(spare)

    def explore(i: int, targets: npt.NDArray[np.int64]) -> _Search:
        space = free.get()
        try:
            return i, targets, space.explore(run.window, costs, int(run.flat[i]), run.flat[targets])
        finally:
            free.put(space)

    if len(spares) == 1:
        yield from (explore(i, targets) for i, targets in work)
        return
    pool = ThreadPoolExecutor(len(spares))
    try:
        for future in as_completed([pool.submit(explore, i, targets) for i, targets in work]):
            yield future.result()
    finally:
        pool.shutdown(cancel_futures=True)
