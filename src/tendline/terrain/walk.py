"""Owns walking times among places over a raster of heights, and the ways themselves.

Does not own how fast people walk (almanac.travel), the search (terrain.matrix) or which places share ground.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.almanac.gait import gait_of
from tendline.almanac.geodesy import Projector
from tendline.almanac.walk_models import MODELS
from tendline.core.errors import FaultList
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat
from tendline.core.settings import WalkCosts
from tendline.terrain.barriers import lay_out
from tendline.terrain.faults import COSTS
from tendline.terrain.locate import locate
from tendline.terrain.matrix import Board, Progress, Survey, fill
from tendline.terrain.moves import MOVES, MoveCosts, Pace, move_costs

STEEPEST_DEG = 60.0
"""No more than this can be told as the steepest ground that is walked [degrees]."""


@dataclass(frozen=True, eq=False)
class WalkResult:
    """Walking times among places.

    Parameters
    ----------
    names
        The places, in the order given; rows are starts, columns are ends.
    seconds
        Times [s], float64, (n, n); infinite where there is no way, or none was asked for. Not symmetric.
    metres
        Horizontal lengths of the ways [m on the raster's plane], (n, n), infinite likewise.
    asked
        Which pairs were asked for, (n, n).
    grid
        The raster.
    places
        Where the places are.
    nodes
        For each place, the number of its cell.
    cells
        Row and column of each such cell, (m, 2).
    moves
        The ways from cell to cell, as numbers of `MOVES`.
    """

    names: tuple[str, ...]
    seconds: npt.NDArray[np.float64]
    metres: npt.NDArray[np.float64]
    asked: npt.NDArray[np.bool_]
    grid: Grid
    places: tuple[LonLat, ...]
    nodes: npt.NDArray[np.int64]
    cells: npt.NDArray[np.int64]
    moves: Mapping[tuple[int, int], bytes]

    def without_way(self) -> tuple[tuple[str, str], ...]:
        """Give the pairs that were asked for and have no way, start first."""
        pairs = np.argwhere(self.asked & np.isinf(self.seconds))
        return tuple((self.names[i], self.names[j]) for i, j in pairs)

    def cells_along(self, a: str, b: str) -> npt.NDArray[np.int64]:
        """Give the cells of the way from one place to another.

        Parameters
        ----------
        a, b
            Names of places.

        Returns
        -------
        ndarray
            Row and column of each cell, (k, 2), both ends too; not the cells that a knight's move passes.

        Raises
        ------
        KeyError
            When a name is not there, or there is no way.
        """
        if not {a, b} <= set(self.names):
            raise KeyError(f"{a} or {b} is not among the places")
        i, j = self.names.index(a), self.names.index(b)
        if not np.isfinite(self.seconds[i, j]):
            raise KeyError(f"there is no way from {a} to {b}")
        start, end = int(self.nodes[i]), int(self.nodes[j])
        steps = np.array(MOVES, np.int64)[list(self.moves.get((start, end), b""))].reshape(-1, 2)
        return np.concatenate([self.cells[None, start], self.cells[start] + np.cumsum(steps, axis=0)])

    def path(self, a: str, b: str) -> tuple[LonLat, ...]:
        """Give the way from one place to another.

        Parameters
        ----------
        a, b
            Names of places.

        Returns
        -------
        tuple of LonLat
            The first place itself, the centres of the cells between at which the way turns, the last place.

        Raises
        ------
        KeyError
            When a name is not there, or there is no way.
        """
        cells = self.cells_along(a, b)
        first, last = (self.places[self.names.index(name)] for name in (a, b))
        steps = np.diff(cells, axis=0)
        turns = cells[1:-1][np.any(steps[1:] != steps[:-1], axis=1)]
        grid = self.grid
        centres = np.stack(
            [grid.west + (turns[:, 1] + 0.5) * grid.dx, grid.north - (turns[:, 0] + 0.5) * grid.dy], axis=1
        )
        return first, *Projector(grid.crs).to_lonlats(centres), last


def walk_matrix(
    grid: Grid,
    places: Mapping[str, LonLat],
    *,
    groups: Sequence[Collection[str]] | None = None,
    costs: WalkCosts,
    barriers: Sequence[Barrier] = (),
    paths: Sequence[Sequence[LonLat]] = (),
    dark: bool = False,
    pace: Pace | None = None,
    margin: float = 0.6,
    threads: int = 1,
    on_progress: Progress | None = None,
) -> WalkResult:
    """Find the fastest ways on foot among places.

    Parameters
    ----------
    grid
        Heights. Cells may be oblong; above 30 m or so, refine them first (`terrain.refine`).
    places
        By name.
    groups
        Names of places among which ways are wanted; None for all. A place may be in several groups or none.
    costs
        How the person walks; `detour` is not used.
    barriers
        Ground that cannot be crossed, or at a cost in time.
    paths
        Lines along which the person walks as on a path; elsewhere as off it.
    dark
        Whether they walk in the dark.
    pace
        Slope along the way [m/m] to pace [s per horizontal metre] before factors; the costs' own model when
        left out.
    margin
        How much ground round a group the first search takes in, as a share of the group's own extent. It
        changes how long the work takes, not the answer.
    threads
        How many searches run at once, each with buffers of its own.
    on_progress
        Told how many searches are done, of how many as far as is known.

    Returns
    -------
    WalkResult
        The shortest times over the sixteen moves, to 1e-5 of the time. Against walking any line one likes,
        they are 1.4 percent long on the level and 3 percent on a slope of 0.4, the mean of all directions.

    Raises
    ------
    Refused
        TERR-101 to TERR-104 for places without a cell to walk on, each code once with all the names; TERR-105
        for costs out of range; TERR-111 to TERR-115 for barriers. Costs are told first, the rest together.
    KeyError
        When a group names a place that is not there.

    Notes
    -----
    Times run between the centres of the cells that hold the places, so they are out by up to a cell's half
    diagonal at each end, as likely long as short. Places that share a cell are as far apart as the straight
    line between them, at the pace of level ground. Ground counts as steep by the heights on both sides of a
    cell, and by the slope of each move.

    References
    ----------
    Tobler (1993), as in `almanac.travel`. Dial, R. B. (1969), Algorithm 360: shortest-path forest with
    topological ordering, Communications of the ACM 12(11), 632-633, for the buckets.
    """
    faults = FaultList()
    check_costs(costs, faults)
    faults.refuse()
    moves = moves_of(grid, costs, dark=dark, pace=pace)
    projector = Projector(grid.crs)
    obstacles = lay_out(barriers, projector, faults)
    cells = locate(grid, places, obstacles, moves, faults)
    faults.refuse()
    names = tuple(places)
    members = _members(names, groups)
    here = np.array([cells[name] for name in names], np.int64).reshape(-1, 2)
    unique, nodes = np.unique(here, axis=0, return_inverse=True)
    nodes = nodes.reshape(-1)
    board = Board(unique)
    fill(
        board,
        Survey(grid, obstacles, moves, margin, paths_on(paths, projector)),
        [np.unique(nodes[group]) for group in members],
        threads=threads,
        on_progress=on_progress,
    )
    asked = np.eye(len(names), dtype=np.bool_)
    for group in members:
        asked[np.ix_(group, group)] = True
    seconds, metres = _between_places(grid, list(places.values()), nodes, board, moves)
    seconds[~asked], metres[~asked] = np.inf, np.inf
    return WalkResult(
        names, seconds, metres, asked, grid, tuple(places.values()), nodes, cells=unique, moves=board.moves
    )


def moves_of(grid: Grid, costs: WalkCosts, *, dark: bool = False, pace: Pace | None = None) -> MoveCosts:
    """Work out what moves on a raster cost a person."""
    gait = gait_of(costs, dark=dark)
    return move_costs(
        grid.dx,
        grid.dy,
        pace=pace or gait.pace,
        factor=gait.factor,
        steepest_deg=costs.steepest_deg,
        on_path=gait.on_path,
    )


def paths_on(paths: Sequence[Sequence[LonLat]], projector: Projector) -> list[npt.NDArray[np.float64]]:
    """Project paths; pieces that lie where the plane does not reach are left out."""
    lines = [projector.to_xys(path) for path in paths if len(path) >= 2]
    return [line for line in lines if np.all(np.isfinite(line))]


def check_costs(costs: WalkCosts, faults: FaultList) -> None:
    """Note every cost that is out of range (TERR-105)."""
    ranges = {
        "off_path": (costs.off_path, 0.05, 2.0),
        "snow": (costs.snow, 1.0, 20.0),
        "path_snow": (costs.path_snow, 1.0, 20.0),
        "sink_m": (costs.sink_m, 0.0, 1.0),
        "own": (costs.own, 0.2, 10.0),
        "dark": (costs.dark, 1.0, 5.0),
        "body_kg": (costs.body_kg, 30.0, 250.0),
        "load_kg": (costs.load_kg, 0.0, 0.7 * costs.body_kg),
        "steepest_deg": (costs.steepest_deg, 1.0, STEEPEST_DEG),
    }
    for key, (told, least, most) in ranges.items():
        if told is not None and not least <= told <= most:
            faults.add(COSTS, f"{told} is out of range.", f"walk.{key}", f"Give {least:g} to {most:g}.")
    if costs.model not in MODELS:
        do = f"Choose one of: {', '.join(MODELS)}."
        faults.add(COSTS, f"'{costs.model}' is no walking curve.", "walk.model", do)


def _members(names: Sequence[str], groups: Sequence[Collection[str]] | None) -> list[npt.NDArray[np.int64]]:
    """Give the numbers of the places of each group."""
    numbers = {name: number for number, name in enumerate(names)}
    told = [names] if groups is None else groups
    return [np.array(sorted({numbers[name] for name in group}), np.int64) for group in told]


def _between_places(
    grid: Grid, places: Sequence[LonLat], nodes: npt.NDArray[np.int64], board: Board, moves: MoveCosts
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Turn times and ways between cells into times and lengths between places."""
    size = len(board.cells)
    lengths = np.full((size, size), np.inf)
    np.fill_diagonal(lengths, 0.0)
    for pair, way in board.moves.items():
        if way:
            lengths[pair] = np.bincount(np.frombuffer(way, np.uint8), minlength=16) @ moves.lengths
    seconds, metres = board.seconds[np.ix_(nodes, nodes)], lengths[np.ix_(nodes, nodes)]
    points = Projector(grid.crs).to_xys(places)
    straight = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    together = nodes[:, None] == nodes[None]
    metres[together] = straight[together]
    seconds[together] = straight[together] * moves.flat
    return seconds, metres
