"""Owns a recorded walk laid over heights: where the person moved, how long it took, how long the curve says.

Does not own reading the recording (ground) or what follows from many of them (season).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from tendline.almanac.gait import Gait
from tendline.core.grid import Grid
from tendline.terrain.draw import Frame, draw_line, widen

Floats = npt.NDArray[np.float64]

STILL_M, STILL_S = 15.0, 45.0
"""Whoever stays within so far for so long stands: nobody walks that slowly (common practice, no source)."""

FASTEST = 2.6
"""Above this speed nobody walks [m/s]: 9 km/h is a truck or a run (common practice, no source)."""

GAP_S = 120.0
"""A longer hole between two points breaks a walk: nobody knows the way between [s]."""

STRIDE_M = 20.0
"""Points nearer than this to the last are passed over: their scatter would lengthen the way [m]."""

LEAST_M = 100.0
"""Shorter stretches between two stops are left out [m]."""


@dataclass(frozen=True)
class Walked:
    """What one recording comes to.

    Parameters
    ----------
    actual_s
        Time in which the person moved on foot [s].
    curve_s
        Time that the curve and its factors give for the same way [s].
    metres
        Its length [m].
    """

    actual_s: float
    curve_s: float
    metres: float


def walked(grid: Grid, xys: Floats, seconds: Floats, *, gait: Gait, paths: Sequence[Floats] = ()) -> Walked:
    """Compare a recorded walk with the curve.

    Parameters
    ----------
    grid
        Heights.
    xys
        Points on the grid's plane [m], (n, 2).
    seconds
        Their times [s], (n,), rising.
    gait
        How the person walks: curve and factors to be compared with.
    paths
        Lines on the plane that are paths, each (n, 2) [m].

    Returns
    -------
    Walked
        Stops, rides, holes in the recording and ground without a height are left out; all zero where nothing
        is left.
    """
    on_path = _near_paths(grid, paths)
    actual = curve = metres = 0.0
    for run in _moving(xys, seconds):
        kept = _strides(xys[run])
        points, times = xys[run][kept], seconds[run][kept]
        heights, eased = _under(grid, points, on_path)
        lengths = np.hypot(*np.diff(points, axis=0).T)
        known = np.isfinite(np.diff(heights)) & (lengths / np.diff(times) <= FASTEST)
        if lengths[known].sum() < LEAST_M:
            continue
        slopes = np.diff(heights)[known] / lengths[known]
        ease = np.where((eased[1:] & eased[:-1])[known], gait.on_path, 1.0)
        actual += float(np.diff(times)[known].sum())
        curve += float((lengths[known] * gait.pace(slopes) * gait.factor * ease).sum())
        metres += float(lengths[known].sum())
    return Walked(actual, curve, metres)


def visits(xys: Floats, seconds: Floats, spot: Floats, *, radius_m: float) -> list[tuple[float, float]]:
    """Give when a recorded walk came near a spot and when it left again.

    Parameters
    ----------
    xys, seconds
        As of `walked`.
    spot
        x and y on the same plane [m].
    radius_m
        How near [m].

    Returns
    -------
    list of tuple
        Begin and end of each visit [s], between the points as if walked straight; visits that the recording
        begins or ends in, or has a hole in, are left out.
    """
    away = np.hypot(*(xys - spot).T)
    near = away <= radius_m
    edges = np.flatnonzero(np.diff(near.astype(np.int8)))
    when = [
        float(seconds[n] + (seconds[n + 1] - seconds[n]) * (radius_m - away[n]) / (away[n + 1] - away[n]))
        for n in edges
    ]
    found = []
    for k in range(1 if near[0] else 0, len(edges) - 1, 2):
        inside = slice(int(edges[k]), int(edges[k + 1]) + 2)
        if np.diff(seconds[inside]).max() <= GAP_S:
            found.append((when[k], when[k + 1]))
    return found


def _moving(xys: Floats, seconds: Floats) -> list[slice]:
    """Cut a recording into the stretches between stops and holes."""
    count = len(seconds)
    still = np.zeros(count, np.bool_)
    i = 0
    while i < count:
        away = np.hypot(*(xys[i + 1 :] - xys[i]).T) > STILL_M
        leaves = i + 1 + int(np.argmax(away)) if away.any() else count
        if seconds[leaves - 1] - seconds[i] >= STILL_S:
            still[i:leaves] = True
            i = leaves
        else:
            i += 1
    breaks = np.flatnonzero(np.diff(seconds) > GAP_S) + 1
    edges = np.flatnonzero(np.diff(still.astype(np.int8))) + 1
    cuts = np.unique(np.concatenate([[0], breaks, edges, [count]]))
    return [slice(int(a), int(b)) for a, b in pairwise(cuts) if not still[a] and b - a >= 2]


def _strides(points: Floats) -> npt.NDArray[np.int64]:
    """Choose points at least `STRIDE_M` from the one before."""
    kept = [0]
    for n in range(1, len(points)):
        if np.hypot(*(points[n] - points[kept[-1]])) >= STRIDE_M:
            kept.append(n)
    return np.array(kept, np.int64)


def _near_paths(grid: Grid, paths: Sequence[Floats]) -> npt.NDArray[np.bool_]:
    rows, cols = grid.shape
    frame = Frame(rows, cols, 0, 0, grid.west, grid.north, grid.dx, grid.dy)
    mask = frame.empty()
    for line in paths:
        draw_line(mask, frame, line)
    return widen(mask)


def _under(grid: Grid, points: Floats, mask: npt.NDArray[np.bool_]) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Give the height under each point, bilinear, unknown beside the unknown; and whether it is on a path."""
    rows, cols = grid.shape
    across = (points[:, 0] - grid.west) / grid.dx - 0.5
    down = (grid.north - points[:, 1]) / grid.dy - 0.5
    inside = (across >= 0) & (across <= cols - 1) & (down >= 0) & (down <= rows - 1)
    across, down = np.clip(across, 0, cols - 1), np.clip(down, 0, rows - 1)
    col = np.minimum(across.astype(np.int64), max(cols - 2, 0))
    row = np.minimum(down.astype(np.int64), max(rows - 2, 0))
    u, v = across - col, down - row
    z = grid.z.astype(np.float64)
    east, south = np.minimum(col + 1, cols - 1), np.minimum(row + 1, rows - 1)
    upper = z[row, col] * (1 - u) + z[row, east] * u
    lower = z[south, col] * (1 - u) + z[south, east] * u
    heights = np.where(inside, upper * (1 - v) + lower * v, np.nan)
    on = mask[np.round(down).astype(np.int64), np.round(across).astype(np.int64)] & inside
    return heights, on
