"""Owns what the ground looks like at a spot in the trade's words: saddle, draw, ridge, bench, point, flat.

Does not own what is drawn on the ground (terrain.pinch puts both together).

Heights are looked at on rings round the spot, so that one odd cell does not make a saddle.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid

RAYS = 32
"""How many directions are looked in."""

LEAST_RISE = 0.04
"""Ground that rises or falls by less over the ring counts as level [m/m] (common practice, no source)."""

BENCH_SHARE, BENCH_SLOPE = 0.5, 0.15
"""A bench is at most this share as steep as the ground above and below, which is at least so steep [m/m].

Common practice, no source.
"""

Heights = npt.NDArray[np.float64]


class Form(StrEnum):
    """A form of the ground."""

    SADDLE = "saddle"
    DRAW = "draw"
    RIDGE = "ridge"
    BENCH = "bench"
    KNOB = "knob"
    HOLLOW = "hollow"
    SLOPE = "slope"
    LEVEL = "level"


@dataclass(frozen=True)
class FormSeen:
    """The form at a spot, on what ring it shows, and by how much.

    Parameters
    ----------
    form
        Which.
    ring_m
        Radius of the ring [m].
    depth_m
        How far the ring lies above on the higher sides, or below on the lower ones, the lesser where both
        make the form [m]; None for level ground and slopes.
    """

    form: Form
    ring_m: float
    depth_m: float | None = None


def form_at(
    grid: Grid, cell: tuple[int, int], *, rings_m: tuple[float, ...] = (40.0, 80.0, 150.0)
) -> FormSeen | None:
    """Say what the ground looks like at a cell.

    Parameters
    ----------
    grid
        Heights.
    cell
        Row and column.
    rings_m
        Radii, smallest first [m]; rings that do not reach over two cells are left out.

    Returns
    -------
    FormSeen or None
        The first saddle, draw, ridge, knob, hollow or bench on any ring; else slope or level. None where the
        heights round it are not known.

    References
    ----------
    Peucker and Douglas (1975), Detection of surface-specific points by local parallel processing of discrete
    terrain elevation data, Computer Graphics and Image Processing 4, 375-387: a pass has four changes between
    higher and lower on the way round, a ridge or course two (from memory). The bench is common practice, no
    source.
    """
    plain: FormSeen | None = None
    for ring in rings_m:
        if ring < 2.0 * max(grid.dx, grid.dy):
            continue
        seen = _on_ring(grid, cell, ring)
        if seen is not None and seen.form not in (Form.SLOPE, Form.LEVEL):
            return seen
        plain = plain or seen
    return plain


def form_near(grid: Grid, cell: tuple[int, int], *, reach_m: float = 60.0) -> FormSeen | None:
    """Say what the ground looks like at a cell, or that a saddle lies beside it: a saddle is but a point.

    Parameters
    ----------
    grid, cell
        As of `form_at`.
    reach_m
        How far off a saddle counts [m] (common practice, no source).
    """
    here = form_at(grid, cell)
    if here is None or here.form is Form.SADDLE:
        return here
    best: FormSeen | None = None
    down, across = (max(1, round(reach_m / 2.0 / step)) for step in (grid.dy, grid.dx))
    for i in range(-2, 3):
        for j in range(-2, 3):
            seen = form_at(grid, (cell[0] + i * down, cell[1] + j * across))
            if seen is not None and seen.form is Form.SADDLE:
                best = max(best or seen, seen, key=lambda one: one.depth_m or 0.0)
    return best or here


def _on_ring(grid: Grid, cell: tuple[int, int], ring: float) -> FormSeen | None:
    here = _mean_height(grid, cell, ring / 3.0)
    round_it = heights_round(grid, cell, ring)
    if here is None or np.isnan(round_it).any():
        return None
    rise = round_it - here
    level = LEAST_RISE * ring
    form, depth = _closed_form(rise, level)
    if form is not None:
        return FormSeen(form, ring, depth)
    return _bench(grid, cell, ring, rise) or _course(rise, level, ring)


def _closed_form(rise: Heights, level: float) -> tuple[Form | None, float | None]:
    """Tell level ground, saddles, hollows and knobs by how often the ring turns from higher to lower."""
    higher, lower = rise > level, rise < -level
    if not (higher | lower).any():
        return Form.LEVEL, None
    if _changes(higher, lower) >= 4:
        return Form.SADDLE, float(min(rise.max(), -rise.min()))
    if not lower.any():
        return Form.HOLLOW, float(rise.min())
    return (None, None) if higher.any() else (Form.KNOB, float(-rise.max()))


def _course(rise: Heights, level: float, ring: float) -> FormSeen:
    """Tell a draw, a ridge or a plain slope: on a slope half of the ring is higher, in a draw most of it."""
    share = float(np.mean(rise > 0))
    if share > 0.6 and _beside_course(rise) > level:
        return FormSeen(Form.DRAW, ring, _beside_course(rise))
    if share < 0.4 and _beside_course(-rise) > level:
        return FormSeen(Form.RIDGE, ring, _beside_course(-rise))
    return FormSeen(Form.SLOPE, ring)


def _changes(higher: npt.NDArray[np.bool_], lower: npt.NDArray[np.bool_]) -> int:
    """Count changes between higher and lower on the way round; level stretches do not count."""
    signs = np.where(higher, 1, np.where(lower, -1, 0))
    told = signs[signs != 0]
    return int(np.sum(told != np.roll(told, 1)))


def _beside_course(rise: Heights) -> float:
    """How much higher the ground is on both sides of the way down, the lesser of both [m]."""
    down = int(np.argmin(rise))
    return float(min(rise[(down + turn) % RAYS] for turn in (RAYS // 4, -RAYS // 4)))


def _bench(grid: Grid, cell: tuple[int, int], ring: float, rise: Heights) -> FormSeen | None:
    """Look for gentle ground between steep ground above and steep ground below."""
    far = heights_round(grid, cell, 2.0 * ring)
    if np.isnan(far).any():
        return None
    up = int(np.argmax(far - far[(np.arange(RAYS) + RAYS // 2) % RAYS]))
    down = (up + RAYS // 2) % RAYS
    near = float(rise[up] - rise[down]) / (2.0 * ring)
    here = _mean_height(grid, cell, ring / 3.0)
    if here is None:
        return None
    above, below = float(far[up] - here - rise[up]) / ring, float(here + rise[down] - far[down]) / ring
    if min(above, below) >= BENCH_SLOPE and near <= BENCH_SHARE * min(above, below):
        return FormSeen(Form.BENCH, ring, (min(above, below) - near) * ring)
    return None


def heights_round(grid: Grid, cell: tuple[int, int], radius: float) -> Heights:
    """Give the heights on a ring, (RAYS,), clockwise from north, bilinear; NaN where unknown."""
    angle = 2.0 * np.pi * np.arange(RAYS) / RAYS
    row = cell[0] - np.cos(angle) * radius / grid.dy
    col = cell[1] + np.sin(angle) * radius / grid.dx
    rows, cols = grid.shape
    inside = (row >= 0) & (row <= rows - 1) & (col >= 0) & (col <= cols - 1)
    r0 = np.clip(np.floor(row).astype(int), 0, max(rows - 2, 0))
    c0 = np.clip(np.floor(col).astype(int), 0, max(cols - 2, 0))
    r1, c1 = np.minimum(r0 + 1, rows - 1), np.minimum(c0 + 1, cols - 1)
    v, u = np.clip(row - r0, 0, 1), np.clip(col - c0, 0, 1)
    corners = [grid.z[i, j].astype(np.float64) for i, j in ((r0, c0), (r0, c1), (r1, c0), (r1, c1))]
    low = corners[0] * (1 - u) + corners[1] * u
    high = corners[2] * (1 - u) + corners[3] * u
    return np.where(inside, low * (1 - v) + high * v, np.nan)


def _mean_height(grid: Grid, cell: tuple[int, int], radius: float) -> float | None:
    down, across = int(radius / grid.dy), int(radius / grid.dx)
    row, col = cell
    part = grid.z[max(row - down, 0) : row + down + 1, max(col - across, 0) : col + across + 1]
    known = part[~np.isnan(part)]
    return float(known.mean(dtype=np.float64)) if known.size else None
