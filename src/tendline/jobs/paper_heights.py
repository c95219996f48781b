"""Owns finding the lines of equal height for a map on a paper, fitted to the ground it shows.

Does not own the drawing (`report.height_lines`) or the map for a screen (`relief`).
"""

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.errors import Refused
from tendline.core.grid import Grid
from tendline.core.units import Units
from tendline.jobs.heights import Bounds
from tendline.jobs.relief import drawn_lines, first_step, ground_drawn, height_text
from tendline.jobs.workspace import Workspace
from tendline.report.ground_map import Ground, ground_shown
from tendline.report.height_lines import NO_HEIGHTS, HeightLines, HeightWord

if TYPE_CHECKING:
    from tendline.ground.contour_out import HeightLabel, HeightLine

_LINES_ACROSS = 90
"""Lines are together no longer than so many that cross the map: 8 px apart."""


def with_heights(space: Workspace, ground: Ground) -> Ground:
    """Put lines of equal height under a map.

    Parameters
    ----------
    space
        The opened line.
    ground
        What the map is of.

    Returns
    -------
    Ground
        The same without lines where no heights were brought in, where they do not reach here, or where they
        cannot be read any more: a paper for an emergency is never held up by them.
    """
    if not ground.marks and not ground.bounds:
        return ground
    return replace(ground, heights=height_lines_within(space, ground_shown(ground)))


def height_lines_within(space: Workspace, bounds: Bounds) -> HeightLines:
    """Find lines for a map of some bounds; empty as in `with_heights`."""
    try:
        heights = ground_drawn(space, bounds)
    except Refused:
        return NO_HEIGHTS
    if heights is None:
        return NO_HEIGHTS
    grid, units = heights.grid, space.settings.units
    step_m, lines, labels = _legible(grid, units)
    turn = Projector(grid.crs)
    return HeightLines(
        tuple((turn.to_lonlats(one.points), one.main) for one in lines),
        tuple(HeightWord(turn.to_lonlat(one.x, one.y), one.turn_deg, one.text) for one in labels),
        height_text(step_m, units),
    )


def _legible(grid: Grid, units: Units) -> "tuple[float, tuple[HeightLine, ...], tuple[HeightLabel, ...]]":
    """Draw lines in ever larger steps, until signs and names can be read between them."""
    from tendline.terrain.contour import next_step  # noqa: PLC0415 - heavy

    rows, cols = grid.shape
    most_m = _LINES_ACROSS * max(rows * grid.dy, cols * grid.dx)
    step_m = first_step(grid, units)
    lines, labels = _drawn(grid, step_m, units)
    while sum(_long_m(one.points) for one in lines) > most_m:
        larger = next_step(step_m, units)
        found = _drawn(grid, larger, units) if larger is not None else ((), ())
        if larger is None or not found[1]:
            break  # lines that no height is written on say nothing
        step_m, (lines, labels) = larger, found
    return step_m, lines, labels


def _drawn(
    grid: Grid, step_m: float, units: Units
) -> "tuple[tuple[HeightLine, ...], tuple[HeightLabel, ...]]":
    return drawn_lines(grid, step_m, units=units, tolerance_m=0.1 * max(grid.dx, grid.dy))


def _long_m(points: npt.NDArray[np.float64]) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
