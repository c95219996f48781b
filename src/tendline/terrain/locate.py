"""Owns which cell a place is walked from and to, and telling every place that has none.

Does not own the raster (core.grid) or barriers (terrain.barriers).

A place whose own cell cannot be entered, or is part of a barrier, is taken to the nearest open cell no more
than two cells away that lies on the same side of every barrier: sets stand by creeks and fences.
"""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.errors import Code, FaultList
from tendline.core.grid import Grid
from tendline.core.place import LonLat
from tendline.terrain.barriers import Obstacle, burn
from tendline.terrain.compiling import BLOCKED
from tendline.terrain.faults import IN_BARRIER, OUTSIDE, TOO_STEEP, UNKNOWN_HEIGHT
from tendline.terrain.moves import MoveCosts
from tendline.terrain.plane import way_crosses
from tendline.terrain.window import Box, frame_of, lay_out_ground

REACH = 2
"""How far a place may be moved to open ground [cells] (common practice, no source)."""

Cell = tuple[int, int]

_SAYS: dict[Code, tuple[str, str]] = {
    OUTSIDE: (
        "outside the elevation model.",
        "Bring a model that reaches round them, or put their places right.",
    ),
    UNKNOWN_HEIGHT: (
        "where the elevation model has no height.",
        "Bring a model without that gap, or put their places right.",
    ),
    IN_BARRIER: (
        "inside ground that cannot be crossed, with no open ground beside it.",
        "Put the barrier or the places right, or give the barrier a crossing there.",
    ),
    TOO_STEEP: (
        "on ground steeper than is walked, with no gentler ground beside it.",
        "Put the places right, or raise walk.steepest_deg.",
    ),
}


def locate(
    grid: Grid,
    places: Mapping[str, LonLat],
    obstacles: Sequence[Obstacle],
    costs: MoveCosts,
    faults: FaultList,
) -> dict[str, Cell]:
    """Find the cell of every place.

    Parameters
    ----------
    grid
        The raster.
    places
        By name.
    obstacles
        Barriers on the raster's plane.
    costs
        What moves cost on it.
    faults
        Takes TERR-101 to TERR-104, each at most once, with all the places it is true of.

    Returns
    -------
    dict
        Row and column, for the places without fault.
    """
    points = Projector(grid.crs).to_xys(places.values())
    found: dict[str, Cell] = {}
    wrong: dict[Code, list[str]] = {code: [] for code in _SAYS}
    for name, point in zip(places, points, strict=True):
        cell = grid.cell_of(*point) if np.all(np.isfinite(point)) else None
        if cell is None:
            wrong[OUTSIDE].append(name)
        elif np.isnan(grid.z[cell]):
            wrong[UNKNOWN_HEIGHT].append(name)
        else:
            open_cell = _open_cell(grid, cell, point, obstacles, costs)
            if isinstance(open_cell, Code):
                wrong[open_cell].append(name)
            else:
                found[name] = open_cell
    for code, names in wrong.items():
        if names:
            what, do = _SAYS[code]
            faults.add(code, f"{'lies' if len(names) == 1 else 'lie'} {what}", ", ".join(names), do)
    return found


def _open_cell(
    grid: Grid, cell: Cell, point: npt.NDArray[np.float64], obstacles: Sequence[Obstacle], costs: MoveCosts
) -> Cell | Code:
    """Find the cell itself or an open one near it; the code of what is wrong where there is none."""
    row, col = cell
    box = Box(row - REACH, row + REACH + 1, col - REACH, col + REACH + 1).within(grid.shape)
    frame = frame_of(grid, box)
    _, flat, _ = lay_out_ground(grid, box, obstacles, costs, pad=0)
    state = flat.reshape(frame.rows, frame.cols)
    own = state[row - box.row0, col - box.col0]
    if own == 0:
        return cell
    edges = np.concatenate([obstacle.edges for obstacle in obstacles]) if obstacles else np.empty((0, 2, 2))
    beside = [(int(r) + box.row0, int(c) + box.col0) for r, c in np.argwhere(state == 0)]
    centres = {near: np.array(grid.centre_of(*near)) for near in beside}
    for near in sorted(beside, key=lambda near: float(np.hypot(*(centres[near] - point)))):
        if not way_crosses(edges, point, centres[near]):
            return near
    if own != BLOCKED:
        return cell
    drawn = burn(obstacles, frame).state[row - box.row0, col - box.col0]
    return IN_BARRIER if drawn == BLOCKED else TOO_STEEP
