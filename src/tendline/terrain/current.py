"""Owns the flow of current through a grid of resistances: potentials, with what was left of the equations.

Does not own what resists (terrain.surface), where current enters and leaves (terrain.across) or the levels
that lead the iteration (terrain.levels).
"""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tendline.core.errors import refuse
from tendline.terrain.compiling import Float32, Float64
from tendline.terrain.faults import NO_CURRENT, NOT_SOLVED
from tendline.terrain.gradient import dot, flood, product, step, turn
from tendline.terrain.levels import NONE, Cycle

TOLERANCE = 1e-8
"""What may be left of the equations, as a share of what goes in."""

MOST_STEPS = 300

NO_WEAK = -1.0
"""Said of ties among which none stands for nothing."""

_WEAK = 1e-3
"""What a blocked cell conducts in the levels that lead the iteration, as a share of the mean.

The result has nothing of it. With nothing there, channels one cell wide have no node on the coarser levels:
2,000 x 2,000 cells with holes then take 42 steps, and like this 9.
"""


@dataclass(frozen=True, eq=False)
class Ties:
    """What ties each cell to its neighbours; arrays of shape (rows + 2, cols + 2), with a rim of nothing.

    Parameters
    ----------
    e, s
        Conductance to the cell in the east and south, float32, 0 for none.
    se, sw
        To the south-east and south-west; of shape (0, 0) where cells have four neighbours.
    """

    e: Float32
    s: Float32
    se: Float32 = field(default_factory=lambda: NONE)
    sw: Float32 = field(default_factory=lambda: NONE)

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of cells."""
        return self.e.shape[0] - 2, self.e.shape[1] - 2


def ties_of(resistance: npt.ArrayLike, *, neighbours: int = 4, dx: float = 1.0, dy: float = 1.0) -> Ties:
    """Tie neighbouring cells together: the conductance between two is one by their mean resistance.

    Parameters
    ----------
    resistance
        Of each cell, positive, (rows, cols); infinite where nothing passes.
    neighbours
        4, or 8 for square cells: a diagonal tie is as long as the diagonal.
    dx, dy
        Width and height of a cell, in one unit.

    Notes
    -----
    With four neighbours this is the finite-volume form of a conducting sheet. Conductances are kept in single
    precision, so they are rounded to 6e-8; what is solved is solved for these.
    """
    r = np.asarray(resistance, np.float32)
    rows, cols = r.shape
    e, s = (np.zeros((rows + 2, cols + 2), np.float32) for _ in range(2))
    e[1:-1, 1:-2] = np.float32(2.0 * dy / dx) / (r[:, :-1] + r[:, 1:])
    s[1:-2, 1:-1] = np.float32(2.0 * dx / dy) / (r[:-1] + r[1:])
    if neighbours == 4:
        return Ties(e, s)
    if neighbours != 8 or not np.isclose(dx, dy):
        raise ValueError("cells have four neighbours, or eight where they are square")
    se, sw = (np.zeros_like(e) for _ in range(2))
    longer = np.float32(2.0 / np.sqrt(2.0))
    se[1:-2, 1:-2] = longer / (r[:-1, :-1] + r[1:, 1:])
    sw[1:-2, 2:-1] = longer / (r[:-1, 1:] + r[1:, :-1])
    return Ties(e, s, se, sw)


@dataclass(frozen=True, eq=False)
class Flow:
    """Potentials, and how well they are known.

    Parameters
    ----------
    v
        Potentials, float64, (rows, cols); NaN where nothing passes, and on islands.
    residual
        What is left of the equations, as a share of what goes in (root of the sum of squares, both).
    steps
        How many steps it took.
    islands
        Cells that could be passed but that no way leads to from where current enters or leaves.
    """

    v: Float64
    residual: float
    steps: int
    islands: int


def solve(
    ties: Ties,
    ground: Float64,
    into: Float64,
    *,
    start: Float64 | None = None,
    tolerance: float = TOLERANCE,
    most: int = MOST_STEPS,
) -> Flow:
    """Find the potentials at which what flows into each cell flows out again.

    Parameters
    ----------
    ties
        What ties the cells together.
    ground
        What ties each cell to potential zero, (rows, cols), not negative.
    into
        Current let into each cell, (rows, cols).
    start
        A guess at the potentials.
    tolerance
        What may be left, as a share of `into`.
    most
        Steps after which it gives up.

    Returns
    -------
    Flow
        Solved to `tolerance`.

    Raises
    ------
    Refused
        TERR-121 when no cell is tied to the ground, or current is let in where no way leads to it; TERR-122
        when `most` steps do not do.

    References
    ----------
    McRae et al. (2008), Using circuit theory to model connectivity in ecology, evolution, and conservation,
    Ecology 89, 2712-2724, for reading current as the share of random walkers (from memory).
    """
    earth, source = _padded(ground), _padded(into)
    at = np.flatnonzero(earth.ravel() > 0)
    reached = _reached(ties, at)
    _check(at, source, reached)
    held = earth.ravel()[at]
    v = np.zeros_like(source) if start is None else np.where(reached, _padded(start), 0.0)
    out, way = np.empty_like(v), np.zeros_like(v)
    out[:] = 0.0
    product(v, ties.e, ties.s, ties.se, ties.sw, at, held, NO_WEAK, out)
    left = np.where(reached, source - out, 0.0)
    whole = float(np.sqrt(dot(source, source)))
    if whole == 0.0:
        raise refuse(NO_CURRENT, "no current is let in.", "", "Say where it enters.")
    cycle = _leading(ties, earth)
    residual, before, n = float(np.sqrt(dot(left, left))) / whole, 1.0, 0
    while residual > tolerance:
        cycle.levels[0].b[:] = left
        now = turn_to(cycle.solve(), left, way, before if n else 0.0)
        pull = product(way, ties.e, ties.s, ties.se, ties.sw, at, held, NO_WEAK, out)
        if n == most or not pull > 0.0:
            raise refuse(
                NOT_SOLVED,
                f"after {n} steps {residual:.1e} of the current is not accounted for.",
                "",
                "Allow more, or make the largest and least resistance less different.",
            )
        residual = float(np.sqrt(step(now / pull, way, out, v, left))) / whole
        before, n = now, n + 1
    inner = np.where(reached, v, np.nan)[1:-1, 1:-1]
    passable = _tied(ties)[1:-1, 1:-1]
    return Flow(inner, residual, n, int(np.sum(passable & np.isnan(inner))))


def leads(ties: Ties, start: Float64, end: Float64) -> bool:
    """Say whether a way leads from a cell where `start` is not zero to one where `end` is not."""
    return bool(np.any(reachable(ties, start != 0) & (end != 0)))


def turn_to(z: Float32, left: Float64, way: Float64, before: float) -> float:
    """Turn to the next way to go; give the product of what is left with the direction found."""
    now = dot(left, z)
    turn(now / before if before else 0.0, z, way)
    return now


def _leading(ties: Ties, earth: Float64) -> Cycle:
    """Make the levels that lead the iteration, with weak ties where there are none."""
    positive = ties.e[ties.e > 0]
    weak = _WEAK * float(positive.mean()) if positive.size else 1.0
    return Cycle(*leading_ties(ties, earth, weak), ties.se, ties.sw)


def leading_ties(ties: Ties, earth: Float64, weak: float) -> tuple[Float32, Float32, Float32]:
    """Give `d`, `e` and `s` of the finest level, with weak ties where there are none."""
    e, s = ties.e.copy(), ties.s.copy()
    for one in (e[1:-1, 1:-2], s[1:-2, 1:-1]):
        one[one == 0] = np.float32(weak)
    d = earth.astype(np.float32)
    for one, down, across in ((e, 0, 1), (s, 1, 0), (ties.se, 1, 1), (ties.sw, 1, -1)):
        if one.size:
            d += one
            d[1:-1, 1:-1] += one[1 - down : one.shape[0] - 1 - down, 1 - across : one.shape[1] - 1 - across]
    d[[0, -1]] = 0
    d[:, [0, -1]] = 0
    return d, e, s


def reachable(ties: Ties, start: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Say to which cells a way leads from those marked, (rows, cols)."""
    return _reached(ties, np.flatnonzero(np.pad(start, 1).ravel()))[1:-1, 1:-1]


def _reached(ties: Ties, at: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    marked, queue = np.zeros(ties.e.size, np.uint8), np.empty(ties.e.size, np.int32)
    flood(ties.e, ties.s, ties.se, ties.sw, at, marked, queue)
    return marked.reshape(ties.e.shape).astype(np.bool_)


def _tied(ties: Ties) -> npt.NDArray[np.bool_]:
    """Say which cells are tied to any other."""
    tied = (ties.e > 0) | (ties.s > 0)
    tied[:, 1:] |= ties.e[:, :-1] > 0
    tied[1:] |= ties.s[:-1] > 0
    if ties.se.size:
        tied |= (ties.se > 0) | (ties.sw > 0)
        tied[1:, 1:] |= ties.se[:-1, :-1] > 0
        tied[1:, :-1] |= ties.sw[:-1, 1:] > 0
    return tied


def _check(at: npt.NDArray[np.int64], source: Float64, reached: npt.NDArray[np.bool_]) -> None:
    if at.size == 0:
        raise refuse(NO_CURRENT, "current has nowhere to go.", "", "Say where it leaves.")
    astray = int(np.sum((source != 0) & ~reached))
    if astray:
        raise refuse(
            NO_CURRENT,
            f"current is let into {astray} cell(s) from which no way leads to where it leaves.",
            "",
            "Open a way between them, or let it in elsewhere.",
        )


def _padded(values: Float64) -> Float64:
    return np.ascontiguousarray(np.pad(np.asarray(values, np.float64), 1))
