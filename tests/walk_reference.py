"""Owns the reference for walking times: the whole graph of moves, built with numpy, for scipy to search.

Does not use anything of tendline.terrain: it is the same rules written a second time.
"""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from scipy import sparse

Floats = npt.NDArray[np.float64]
BLOCKED = 255

# Every move as the steps it stands for, way by way: N, S, W, E. A diagonal has two ways, a knight's move one.
STEPS = {"N": (-1, 0), "S": (1, 0), "W": (0, -1), "E": (0, 1)}
WAYS = [
    *([way] for way in STEPS),
    *([a + b, b + a] for a in "NS" for b in "WE"),
    *([a + b + a] for a in "NS" for b in "WE"),
    *([b + a + b] for a in "NS" for b in "WE"),
]


def tobler(slope: Floats) -> Floats:
    """Seconds per metre: 6 exp(-3.5 |S + 0.05|) km/h, Tobler (1993), turned over."""
    return np.asarray(3.6 / (6.0 * np.exp(-3.5 * np.abs(slope + 0.05))))


def too_steep(z: Floats, dx: float, dy: float, steepest: float) -> npt.NDArray[np.bool_]:
    """Cells whose heights to both sides, or to the known one, make a slope above `steepest`, or unknown."""
    square = np.zeros(z.shape)
    for axis, size in ((0, dy), (1, dx)):
        ahead, behind = np.full(z.shape, np.nan), np.full(z.shape, np.nan)
        rise = np.diff(z, axis=axis)
        if axis == 0:
            ahead[:-1], behind[1:] = rise, rise
        else:
            ahead[:, :-1], behind[:, 1:] = rise, rise
        both = np.stack([ahead, behind])
        known = np.isfinite(both).sum(axis=0)
        square += (np.nansum(both, axis=0) / np.maximum(known, 1) / size) ** 2
    return (square > steepest**2) | np.isnan(z)


def graph(
    z: Floats,
    state: npt.NDArray[np.uint8],
    toll: npt.NDArray[np.float32],
    *,
    dx: float,
    dy: float,
    factor: float,
    steepest: float,
    pace: Callable[[Floats], Floats] = tobler,
    ease: Floats | None = None,
) -> sparse.csr_matrix:
    """All moves as a matrix of seconds, cell to cell, cells numbered row by row."""
    rows, cols = z.shape
    number = np.arange(rows * cols, dtype=np.int32).reshape(rows, cols)
    edge = {"N": number[1:], "S": number[:-1], "W": number[:, 1:], "E": number[:, :-1]}
    steps = {}
    for name, (down, across) in STEPS.items():
        here = edge[name]
        there = here + down * cols + across
        length = abs(down) * dy + abs(across) * dx
        fine = (state.flat[here] != BLOCKED) & (state.flat[there] != BLOCKED)
        fine &= np.abs(z.flat[there] - z.flat[here]) <= steepest * length
        steps[name] = np.zeros(rows * cols, np.bool_)
        steps[name][here[fine]] = True
    # Sixteen places for each cell, filled as far as moves are open: no edge is held twice.
    ends = np.empty((rows * cols, len(WAYS)), np.int32)
    seconds = np.empty((rows * cols, len(WAYS)))
    count = np.zeros(rows * cols, np.int8)
    flat_z, flat_state = z.ravel(), state.ravel()
    for ways in WAYS:
        down = sum(STEPS[s][0] for s in ways[0])
        across = sum(STEPS[s][1] for s in ways[0])
        length = float(np.hypot(down * dy, across * dx))
        here = number[max(-down, 0) : rows - max(down, 0), max(-across, 0) : cols - max(across, 0)].ravel()
        open_ = np.zeros(here.size, np.bool_)
        extra, mean = np.full(here.size, np.inf), np.full(here.size, np.inf)
        for way in ways:
            cells = [here]
            fine, paid, at = np.ones(here.size, np.bool_), np.zeros(here.size), here
            passable = np.ones(here.size, np.bool_)
            for s in way:
                to = at + STEPS[s][0] * cols + STEPS[s][1]
                fine &= steps[s][at]
                passable &= (flat_state[at] != BLOCKED) & (flat_state[to] != BLOCKED)
                if toll.size > 1:
                    paid += toll[flat_state[at], flat_state[to]]
                at = to
                cells.append(at)
            open_ |= fine
            if ease is not None:
                # The ends count half each; what a longer move passes counts as much as its ends together.
                two = (ease.flat[cells[0]] + ease.flat[cells[-1]]) / 2
                between = [ease.flat[cell] for cell in cells[1:-1]] or [two]
                mean = np.minimum(mean, (two + np.mean(between, axis=0)) / 2)
            extra = np.where(passable, np.minimum(extra, paid), extra)
        slope = (flat_z[at] - flat_z[here]) / length
        open_ &= np.abs(slope) <= steepest
        easing = mean if ease is not None else 1.0
        from_, to = here[open_], at[open_]
        ends[from_, count[from_]] = to
        seconds[from_, count[from_]] = (length * factor * pace(slope) * easing + extra)[open_]
        count[from_] += 1
    return _packed(seconds, ends, count)


def _packed(seconds: Floats, ends: npt.NDArray[np.int32], count: npt.NDArray[np.int8]) -> sparse.csr_matrix:
    """Make a matrix of rows that are filled in part, moved together where they are."""
    cells, places = ends.shape
    first = np.concatenate([[0], np.cumsum(count, dtype=np.int32)]).astype(np.int32)
    to, cost = ends.reshape(-1), seconds.reshape(-1)
    for low in range(0, cells, 65536):
        high = min(low + 65536, cells)
        filled = np.arange(places) < count[low:high, None]
        to[first[low] : first[high]] = ends[low:high][filled]
        cost[first[low] : first[high]] = seconds[low:high][filled]
    return sparse.csr_matrix((cost[: first[-1]], to[: first[-1]], first), shape=(cells, cells))
