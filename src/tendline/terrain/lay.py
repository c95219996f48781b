"""Owns the compiled loops that lay out ground: drawn lines, blocked cells, the moves that are open.

Does not own the search (terrain.kernel) or what is laid out where (terrain.window, terrain.draw).

Arrays are flat, with spare cells at both ends so that no move needs a check of bounds; a move off the ground
is never among the allowed ones.
"""

# ruff: noqa: PLR0917 - the compiler takes arrays one by one
import numpy as np
import numpy.typing as npt

from tendline.terrain.compiling import BLOCKED, Bits, Bytes, Float32, Float64, Int64, compiled


@compiled
def mark_line(mask: npt.NDArray[np.bool_], cells: Float64) -> None:
    """Mark every cell that a line touches.

    Parameters
    ----------
    mask
        Cells, (rows, cols). Changed.
    cells
        Column and row of at least two points, counted in cells from the corner, (n, 2).
    """
    rows, cols = mask.shape
    for i in range(len(cells) - 1):
        upper, lower = (i, i + 1) if cells[i, 1] <= cells[i + 1, 1] else (i + 1, i)
        x0, y0, x1, y1 = cells[upper, 0], cells[upper, 1], cells[lower, 0], cells[lower, 1]
        lean = (x1 - x0) / (y1 - y0) if y1 > y0 else 0.0
        for row in range(max(int(np.floor(y0)), 0), min(int(np.floor(y1)), rows - 1) + 1):
            # Neighbouring rows share the point between them, worked out the same way in both.
            enter = x0 + lean * (row - y0) if row > y0 else x0
            leave = x0 + lean * (row + 1 - y0) if row + 1 < y1 else x1
            left, right = int(np.floor(min(enter, leave))), int(np.floor(max(enter, leave)))
            for col in range(max(left, 0), min(right, cols - 1) + 1):
                mask[row, col] = True


@compiled
def lay_ground(
    heights: Float32,
    row0: int,
    col0: int,
    dx: float,
    dy: float,
    steepest: float,
    cols: int,
    z: Float32,
    state: Bytes,
) -> None:
    """Copy a window's heights into `z` and block, in `state`, what is unknown or too steep.

    Parameters
    ----------
    heights
        The whole raster [m], (rows, cols); neighbours outside the window count for the slope.
    row0, col0
        Where the window starts.
    steepest
        Largest slope of the ground that is walked [m/m]; central differences, one-sided beside the unknown.
    cols
        Width of the window [cells]; `z` and `state` hold its cells row by row, without spare cells.
    """
    high, wide = heights.shape
    for i in range(z.size):
        row = row0 + i // cols
        col = col0 + i % cols
        here = heights[row, col]
        z[i] = here
        west = heights[row, max(col - 1, 0)]
        east = heights[row, min(col + 1, wide - 1)]
        north = heights[max(row - 1, 0), col]
        south = heights[min(row + 1, high - 1), col]
        across = _rise(west, here, east, col > 0, col < wide - 1) / dx
        along = _rise(north, here, south, row > 0, row < high - 1) / dy
        if np.isnan(here) or across * across + along * along > steepest * steepest:
            state[i] = BLOCKED


@compiled
def _rise(before: float, here: float, after: float, has_before: bool, has_after: bool) -> float:  # noqa: FBT001
    """Rise per cell: central where both neighbours are known, one-sided where one is, else nothing."""
    has_before = has_before and not np.isnan(before)
    has_after = has_after and not np.isnan(after)
    if has_before and has_after:
        return (after - before) / 2.0
    if has_after:
        return after - here
    if has_before:
        return here - before
    return 0.0


@compiled
def allow_steps(
    z: Float32, state: Bytes, moves: Bits, pad: int, cols: int, lengths: Float32, steepest: float
) -> None:
    """Set bits 0-3 of `moves`: the steps north, south, west and east that are open and not too steep."""
    for u in range(pad, z.size - pad):
        if state[u] == BLOCKED:
            continue
        col = (u - pad) % cols
        south, east = u + cols, u + 1
        on_ground = south < z.size - pad and state[south] != BLOCKED
        if on_ground and abs(z[south] - z[u]) <= steepest * lengths[1]:
            moves[u] |= np.uint16(2)
            moves[south] |= np.uint16(1)
        on_ground = col + 1 < cols and state[east] != BLOCKED
        if on_ground and abs(z[east] - z[u]) <= steepest * lengths[3]:
            moves[u] |= np.uint16(8)
            moves[east] |= np.uint16(4)


@compiled
def allow_moves(
    z: Float32,
    moves: Bits,
    pad: int,
    off: Int64,
    passed: Int64,
    steps: Int64,
    lengths: Float32,
    steepest: float,
) -> None:
    """Set bits 4-15 of `moves`: a longer move is open when it can be done in steps over the cells it passes.

    Parameters
    ----------
    passed, steps
        (16, 2, 2) and (16, 2, 3): for each move two ways, each the cells between, as offsets from the start,
        and the three steps taken. A way that is shorter, or the only one, is repeated.
    """
    for u in range(pad, z.size - pad):
        found = np.int64(moves[u])
        if found == 0:
            continue
        for j in range(4, 16):
            if abs(z[u + off[j]] - z[u]) > steepest * lengths[j]:
                continue
            for way in range(2):
                first, second = moves[u + passed[j, way, 0]], moves[u + passed[j, way, 1]]
                step = steps[j, way]
                if (found >> step[0]) & (np.int64(first) >> step[1]) & (np.int64(second) >> step[2]) & 1:
                    found |= 1 << j
                    break
        moves[u] = np.uint16(found)
