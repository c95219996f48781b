"""Owns the least costly way over a surface of resistances, and the corridor of ways not much costlier.

Does not own the surface (terrain.surface) or a person's walking time (terrain.walk).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.core.errors import refuse
from tendline.terrain.compiling import Bytes, Float32, Float64, Int64, compiled
from tendline.terrain.faults import NO_CURRENT

Cell = tuple[int, int]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Corridor:
    """Ways between two places.

    Parameters
    ----------
    cells
        Row and column of each cell of the least costly way, (n, 2), both ends too.
    cost
        Of that way: metres of level, open ground that are as hard.
    extra
        For each cell, how much costlier the best way through it is, as a share, float32, (rows, cols);
        infinite where none leads.
    """

    cells: Int64
    cost: float
    extra: Float32

    def within(self, share: float) -> Mask:
        """Give the cells through which a way leads that is no more than that share costlier."""
        return np.asarray(self.extra <= share)


def corridor(resistance: Float32, start: Cell, end: Cell, *, dx: float, dy: float) -> Corridor:
    """Find the ways between two cells.

    Parameters
    ----------
    resistance
        Of each cell, positive, (rows, cols); infinite where nothing passes.
    start, end
        Row and column.
    dx, dy
        Size of a cell [m].

    Raises
    ------
    Refused
        TERR-121 when no way leads from one to the other.

    Notes
    -----
    Eight neighbours: a way is up to 8.2 percent long on even ground, 5.5 in the mean of all directions. Costs
    are the same both ways, so that the sum of both searches is the cost of the best way through a cell.
    """
    there, back = (costs_from(resistance, cell, dx=dx, dy=dy) for cell in (start, end))
    least = float(there[0][end])
    if not np.isfinite(least):
        raise refuse(NO_CURRENT, "no way leads from one place to the other.", "", "Choose others.")
    both = there[0] + back[0]
    extra = (both / max(least, 1e-9) - 1.0).astype(np.float32)
    return Corridor(_way(there[1], start, end), least, extra)


def costs_from(resistance: Float32, cell: Cell, *, dx: float, dy: float) -> tuple[Float64, Bytes]:
    """Give the cost from a cell to every other, (rows, cols), and by which of eight moves each is reached."""
    wide = np.pad(np.asarray(resistance, np.float32), 1, constant_values=np.inf)
    cost = np.full(wide.shape, np.inf)
    move = np.full(wide.shape, 255, np.uint8)
    if np.isfinite(resistance[cell]):
        start = (cell[0] + 1) * wide.shape[1] + cell[1] + 1
        spread_cost(wide, start, dx, dy, cost, move)
    return cost[1:-1, 1:-1], move[1:-1, 1:-1]


_MOVES = ((-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (-1, 1), (1, -1), (1, 1))


def _way(move: Bytes, start: Cell, end: Cell) -> Int64:
    cells = [end]
    while cells[-1] != start:
        down, across = _MOVES[move[cells[-1]]]
        cells.append((cells[-1][0] - down, cells[-1][1] - across))
    return np.array(cells[::-1], np.int64)


@compiled
def spread_cost(r: Float32, start: int, dx: float, dy: float, cost: Float64, move: Bytes) -> None:  # noqa: PLR0917 - the compiler's way
    """Dijkstra's search over eight neighbours with a heap.

    Parameters
    ----------
    r
        Resistances with a rim that cannot be passed.
    start
        Flat number of the cell to start from.
    dx, dy
        Size of a cell.
    cost, move
        Take the costs and the moves. Changed.
    """
    cols = r.shape[1]
    flat, best, by = r.reshape(-1), cost.reshape(-1), move.reshape(-1)
    off = np.array([-cols, cols, -1, 1, -cols - 1, -cols + 1, cols - 1, cols + 1], np.int64)
    slant = np.hypot(dx, dy)
    length = np.array([dy, dy, dx, dx, slant, slant, slant, slant])
    keys, cells = np.empty(1024, np.float64), np.empty(1024, np.int64)
    keys[0], cells[0], size = 0.0, start, 1
    best[start] = 0.0
    while size > 0:
        now, u = keys[0], cells[0]
        size -= 1
        _sink(keys, cells, size)
        if now > best[u]:
            continue
        for k in range(8):
            w = u + off[k]
            new = now + length[k] * 0.5 * (np.float64(flat[u]) + np.float64(flat[w]))
            if new < best[w]:
                best[w] = new
                by[w] = k
                if size == keys.size:
                    keys, cells = np.append(keys, np.empty(size)), np.append(cells, np.empty(size, np.int64))
                _rise(keys, cells, size, new, w)
                size += 1


@compiled
def _rise(keys: Float64, cells: Int64, at: int, key: float, cell: int) -> None:
    """Put an entry at the end of the heap and let it rise."""
    while at > 0 and keys[(at - 1) // 2] > key:
        keys[at], cells[at] = keys[(at - 1) // 2], cells[(at - 1) // 2]
        at = (at - 1) // 2
    keys[at], cells[at] = key, cell


@compiled
def _sink(keys: Float64, cells: Int64, size: int) -> None:
    """Take the first entry out: let the last one sink from its place."""
    key, cell, at = keys[size], cells[size], 0
    while 2 * at + 1 < size:
        child = 2 * at + 1
        if child + 1 < size and keys[child + 1] < keys[child]:
            child += 1
        if keys[child] >= key:
            break
        keys[at], cells[at] = keys[child], cells[child]
        at = child
    keys[at], cells[at] = key, cell
