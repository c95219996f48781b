"""Owns the sixteen moves from cell to cell and what each costs: length, pace by slope, bounds.

Does not own the ground they are made on (terrain.window) or the search (terrain.kernel).

Moves are those of a chess king and a chess knight. A move is a shortcut for steps between cells that share an
edge: it is open only if those steps are, over the cells that its straight line passes. So a wall of blocked
cells holds, even one whose cells only touch at their corners, and a ravine one cell wide is not jumped.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

MOVES: tuple[tuple[int, int], ...] = (
    *((-1, 0), (1, 0), (0, -1), (0, 1)),
    *((-1, -1), (-1, 1), (1, -1), (1, 1)),
    *((-2, -1), (-2, 1), (2, -1), (2, 1)),
    *((-1, -2), (-1, 2), (1, -2), (1, 2)),
)
"""Rows and columns of each move; the first four are the steps."""

SLOPE_STEP = 0.001
"""Distance of the nodes of the pace table [m/m]: for Tobler's curve linear between them is right to 2e-6."""

Pace = Callable[[npt.NDArray[np.float64]], npt.NDArray[np.float64]]
"""Slope along the way [m/m] to pace [s per horizontal metre]."""


def ways(move: tuple[int, int]) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Give the ways in which a move can be done in steps, each as the cells between.

    Parameters
    ----------
    move
        One of `MOVES`.

    Returns
    -------
    tuple
        Rows and columns from the start. One empty way for a step; two ways round the corner for a diagonal;
        one way for a knight's move.
    """
    down, across = move
    if 0 in move:
        return ((),)
    if abs(down) == abs(across):
        return (((down, 0),), ((0, across),))
    if abs(down) == 2:
        return (((down // 2, 0), (down // 2, across)),)
    return (((0, across // 2), (down, across // 2)),)


@dataclass(frozen=True, eq=False)
class MoveCosts:
    """What moves cost on one raster for one person.

    Parameters
    ----------
    lengths
        Horizontal length of each move [m], float32, (16,).
    cost
        Float32, (3, 16): least time [s], table nodes per metre of rise, time [s] for a pace of one.
    table, zero
        Pace at equal steps of slope [s/m], float32, and the node of slope zero.
    steepest
        Largest slope walked [m/m].
    fastest
        Least time per horizontal metre [s/m], the factor included; nothing is ever faster.
    flat
        Time per horizontal metre on the level [s/m], the factor included.
    width
        Width of a bucket [s].
    on_path
        What time on a path is multiplied by, against the ground beside it.
    longest
        Longest time of a move without toll [s].
    """

    lengths: npt.NDArray[np.float32]
    cost: npt.NDArray[np.float32]
    table: npt.NDArray[np.float32]
    zero: float
    steepest: float
    fastest: float
    flat: float
    width: float
    longest: float
    on_path: float = 1.0


def move_costs(
    dx: float, dy: float, *, pace: Pace, factor: float, steepest_deg: float, on_path: float = 1.0
) -> MoveCosts:
    """Work out what moves cost.

    Parameters
    ----------
    dx, dy
        Size of a cell [m].
    pace
        Slope [m/m] to pace [s per horizontal metre]; positive and finite up to `steepest_deg`, both ways.
    factor
        Multiple of that pace, for going off the path and for snow; positive.
    steepest_deg
        Steepest slope walked [degrees], above 0 and below 90.
    on_path
        What time on a path is multiplied by, against the ground beside it; above 0, 1 where there is no path.
    """
    steepest = math.tan(math.radians(steepest_deg))
    nodes = math.ceil(steepest / SLOPE_STEP) + 2
    slopes = np.arange(-nodes, nodes + 1, dtype=np.float64) * SLOPE_STEP
    table = pace(slopes).astype(np.float32)
    lengths = np.array([math.hypot(down * dy, across * dx) for down, across in MOVES])
    fastest = float(table.min()) * factor * min(on_path, 1.0) * (1 - 1e-6)
    cost = np.stack([lengths * fastest, 1.0 / (lengths * SLOPE_STEP), lengths * factor])
    return MoveCosts(
        lengths=lengths.astype(np.float32),
        cost=cost.astype(np.float32),
        table=table,
        zero=float(nodes),
        steepest=steepest,
        fastest=fastest,
        flat=float(table[nodes]) * factor,
        width=min(dx, dy) * fastest * (1 - 1e-4),
        longest=float(lengths.max() * table.max() * factor * max(on_path, 1.0)),
        on_path=on_path,
    )


def offsets(cols: int) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Give the moves on a window of `cols` columns kept row by row.

    Returns
    -------
    tuple
        Offset of each move, (16,); offsets of the cells passed, (16, 2, 2); numbers of the steps taken,
        (16, 2, 3). A way that is shorter, or the only one, is repeated.
    """
    passed = np.zeros((16, 2, 2), np.int64)
    steps = np.zeros((16, 2, 3), np.int64)
    for number, move in enumerate(MOVES):
        found = ways(move)
        for way in range(2):
            cells = ((0, 0), *found[way % len(found)], move)
            taken = [MOVES.index((b[0] - a[0], b[1] - a[1])) for a, b in pairwise(cells)]
            between = [row * cols + col for row, col in cells[1:-1]] or [0]
            passed[number, way] = [between[0], between[-1]]
            steps[number, way] = [taken[0], taken[min(1, len(taken) - 1)], taken[-1]]
    return np.array([row * cols + col for row, col in MOVES], np.int64), passed, steps
