"""Owns the job that draws the ground of the line for paper: an SVG to scale, sharp in print.

Does not own the drawing (`report.relief_drawing`) or the map for a screen (`relief`).
"""

from typing import TYPE_CHECKING

from tendline.core.grid import Grid
from tendline.jobs.heights import Bounds
from tendline.jobs.relief import drawn_lines, first_step, ground_drawn, height_text
from tendline.jobs.workspace import Workspace

if TYPE_CHECKING:
    from tendline.report.relief_drawing import ReliefSheet

DOTS_PER_MM = 8.0
"""Cells of the shade are no larger than this on paper: 200 to the inch."""

_MOST_CELLS = 4_000_000


def relief_sheet_for(
    space: Workspace, *, bounds: Bounds | None = None, width_mm: float = 180.0
) -> "ReliefSheet | None":
    """Draw the ground of the line for paper.

    Parameters
    ----------
    space
        The opened line.
    bounds
        West, south, east, north [degrees]; all of the line and 500 m round it when left out.
    width_mm
        Width of the sheet [mm].

    Returns
    -------
    ReliefSheet or None
        The drawing, with the way from places to millimetres for what is drawn on top; None where no elevation
        model was brought in, or it does not reach here.

    Raises
    ------
    Refused
        JOB-403, GND-4xx, as for `relief.relief_for`.
    """
    heights = ground_drawn(space, bounds)
    if heights is None:
        return None
    from tendline.ground.picture import png_of  # noqa: PLC0415 - heavy
    from tendline.report.relief_drawing import (  # noqa: PLC0415
        DrawnLabel,
        DrawnLine,
        ReliefPicture,
        relief_sheet,
    )
    from tendline.terrain.relief import hillshade  # noqa: PLC0415
    from tendline.terrain.relief_strips import in_strips  # noqa: PLC0415

    grid, units = heights.grid, space.settings.units
    rows, cols = grid.shape
    step_m = first_step(grid, units)
    on_paper_m = cols * grid.dx / width_mm  # ground under a millimetre
    lines, written = drawn_lines(grid, step_m, units=units, tolerance_m=0.05 * on_paper_m)
    shade = in_strips(hillshade, _sharper(grid, on_paper_m / DOTS_PER_MM))
    picture = ReliefPicture(
        crs=grid.crs,
        west=grid.west,
        south=grid.north - rows * grid.dy,
        east=grid.west + cols * grid.dx,
        north=grid.north,
        lines=[DrawnLine(one.points, one.main) for one in lines],
        labels=[DrawnLabel(one.x, one.y, one.turn_deg, one.text) for one in written],
        shade_png=png_of(shade, shade > 0),
        step=height_text(step_m, units),
    )
    return relief_sheet(picture, width_mm=width_mm, units=units)


def _sharper(grid: Grid, wanted_m: float) -> Grid:
    """Cut cells finer, so that no cell shows in print; as far as memory is well spent."""
    from tendline.terrain.refine import refine  # noqa: PLC0415 - heavy

    least = (grid.z.size * grid.dx * grid.dy / _MOST_CELLS) ** 0.5
    return refine(grid, at_most_m=max(wanted_m, least))
