"""Owns the levels of a multigrid cycle: made from the finest, gone down and up once for each call.

Does not own the loops on a level (terrain.relax) or the equations that are solved with it (terrain.current).

Levels are in single precision. They only lead conjugate gradients, which sum in double.
"""

from dataclasses import dataclass, replace

import numpy as np

from tendline.terrain.compiling import Float32, Float64, compiled
from tendline.terrain.relax import E, W, coarsen, correct, interpolate, pivots, restrict, solve_rows

NOISE = 1e-7
"""Less than this share of its own diagonal, a pivot is noise of single precision on the last level."""

FEWEST_NODES = 400
"""A level of no more nodes than this is solved outright."""

NONE = np.zeros((0, 0), np.float32)
"""No ties of that kind."""


@dataclass(frozen=True, eq=False)
class Level:
    """One grid of nodes; arrays of shape (rows + 2, cols + 2), float32.

    Parameters
    ----------
    d
        What ties a node to all its neighbours and to the ground together.
    e, s, se, sw
        What ties it to its neighbours; the diagonal ones of shape (0, 0) where there are none.
    m
        Inverse pivots of the rows.
    p
        What the fine nodes take of each node of the next level, (rows, cols, 8) of that, or once that is made
        what those in the west and east take, (rows, cols, 2); None on the last.
    b, x
        What is wanted on this level, and its solution: working space.
    """

    d: Float32
    e: Float32
    s: Float32
    se: Float32
    sw: Float32
    m: Float32
    p: Float32 | None
    b: Float32
    x: Float32


class Cycle:
    """One symmetric cycle over all levels: an approximate solution of the finest.

    Parameters
    ----------
    d, e, s, se, sw
        The finest level, as of `Level`.

    References
    ----------
    Dendy, J. E. (1982), Black box multigrid, Journal of Computational Physics 48, 366-386, for interpolation
    by the operator and the coarse operator; rows solved whole, every second one at a time (zebra), as in
    Trottenberg, Oosterlee and Schueller (2001), Multigrid, 5.1 (both from memory).
    """

    def __init__(self, d: Float32, e: Float32, s: Float32, se: Float32 = NONE, sw: Float32 = NONE) -> None:
        self.levels: list[Level] = []
        while True:
            last = (d.shape[0] - 2) * (d.shape[1] - 2) <= FEWEST_NODES
            self.levels.append(level_of(d, e, s, se, sw, last=last))
            if last:
                break
            d, e, s, se, sw = coarser(self.levels[-1])
            self.levels[-1] = slimmer(self.levels[-1])
        self._factor = dense(self.levels[-1])
        factor(self._factor, NOISE)

    def solve(self, n: int = 0) -> Float32:
        """Give an approximate solution of what is wanted on level `n`: its `x`, from its `b`."""
        level = self.levels[n]
        if level.p is None:
            solve_dense(self._factor, level.b, level.x)
            return level.x
        ties = (level.e, level.s, level.se, level.sw)
        solve_rows(1, 1, level.b, level.x, *ties, level.m)
        solve_rows(2, 0, level.b, level.x, *ties, level.m)
        restrict(level.b, level.x, level.d, *ties, level.p, self.levels[n + 1].b)
        correct(level.x, self.solve(n + 1), level.p)
        solve_rows(2, 0, level.b, level.x, *ties, level.m)
        solve_rows(1, 0, level.b, level.x, *ties, level.m)
        return level.x


def level_of(d: Float32, e: Float32, s: Float32, se: Float32, sw: Float32, *, last: bool) -> Level:
    """Make a level ready: pivots, and interpolation from the next unless it is the last."""
    m = np.zeros_like(d)
    pivots(d, e, m)
    p = None
    if not last:
        p = np.zeros(((d.shape[0] - 1) // 2 + 2, (d.shape[1] - 1) // 2 + 2, 8), np.float32)
        interpolate(d, e, s, se, sw, p)
    return Level(d, e, s, se, sw, m, p, np.zeros_like(d), np.zeros_like(d))


def coarser(level: Level) -> tuple[Float32, Float32, Float32, Float32, Float32]:
    """Give `d`, `e`, `s`, `se` and `sw` of the next level."""
    assert level.p is not None
    made = tuple(np.zeros(level.p.shape[:2], np.float32) for _ in range(5))
    coarsen(level.d, level.e, level.s, level.se, level.sw, level.p, *made)
    d, e, s, se, sw = made
    return d, e, s, se, sw


def slimmer(level: Level) -> Level:
    """Keep of a level what it takes to go up and down, once the next is made."""
    assert level.p is not None
    return replace(level, p=np.ascontiguousarray(level.p[:, :, W : E + 1]))


def dense(level: Level) -> Float64:
    """Give the matrix of a level, its nodes row after row."""
    rows, cols = level.d.shape[0] - 2, level.d.shape[1] - 2
    made = np.zeros((rows, cols, rows, cols))
    here, there = np.meshgrid(np.arange(rows), np.arange(cols), indexing="ij")
    made[here, there, here, there] = level.d[1:-1, 1:-1]
    for ties, down, across in ((level.e, 0, 1), (level.s, 1, 0), (level.se, 1, 1), (level.sw, 1, -1)):
        if ties.size == 0:
            continue
        kept = slice(max(0, -across), cols - max(0, across))
        i, j = here[: rows - down, kept], there[: rows - down, kept]
        made[i, j, i + down, j + across] = made[i + down, j + across, i, j] = -ties[1:-1, 1:-1][i, j]
    return made.reshape(rows * cols, rows * cols)


@compiled
def factor(a: Float64, noise: float) -> None:
    """Factor a symmetric matrix in place (Cholesky); no pivot is less than the noise of its own diagonal.

    Notes
    -----
    The lower triangle takes the factor, with the inverses of its diagonal, 0 for a dead node.
    """
    n = a.shape[0]
    for k in range(n):
        pivot = a[k, k]
        least = noise * pivot
        for j in range(k):
            pivot -= a[k, j] * a[k, j]
        inverse = 1.0 / np.sqrt(max(pivot, least)) if least > 0.0 else 0.0
        a[k, k] = inverse
        for i in range(k + 1, n):
            left = a[i, k]
            for j in range(k):
                left -= a[i, j] * a[k, j]
            a[i, k] = left * inverse


@compiled
def solve_dense(a: Float64, b: Float32, x: Float32) -> None:
    """Solve the last level with its factor."""
    rows, cols = b.shape[0] - 2, b.shape[1] - 2
    y = np.empty(rows * cols, np.float64)
    for k in range(y.size):
        left = np.float64(b[k // cols + 1, k % cols + 1])
        for j in range(k):
            left -= a[k, j] * y[j]
        y[k] = left * a[k, k]
    for k in range(y.size - 1, -1, -1):
        left = y[k]
        for j in range(k + 1, y.size):
            left -= a[j, k] * y[j]
        y[k] = left * a[k, k]
        x[k // cols + 1, k % cols + 1] = np.float32(y[k])
