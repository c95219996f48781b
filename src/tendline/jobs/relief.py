"""Owns the job that draws the ground under a map: light and shade as a picture, heights as lines.

Does not own the sums (`terrain.relief`, `terrain.contour`) or the map they lie under.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from tendline.core.errors import refuse
from tendline.core.grid import Grid
from tendline.core.units import METRES_PER_FOOT, Units
from tendline.jobs.faults import NO_GROUND
from tendline.jobs.heights import Bounds, Heights, bounds_round, extent_m, heights_within, places_of
from tendline.jobs.workspace import Workspace

if TYPE_CHECKING:
    from tendline.ground.contour_out import HeightLabel, HeightLine

REACH_M = 500.0
"""So much ground is shown round the places of the line [m]."""

MOST_BYTES = 400_000
"""A picture and lines of this size reach a telephone before a person leaves the house [bytes]."""

_LINES_SHARE = 0.4
_MOST_CELLS = 1_000_000
"""More cells than this show no more in a picture of that size."""


_TONES = (255, 220, 180, 135, 90)
"""Greys for the classes of steepness, gentle to steep."""


class Show(StrEnum):
    """What a picture of the ground shows."""

    LIGHT = "light and shade"
    SLOPE = "steepness"


@dataclass(frozen=True, eq=False)
class Relief:
    """The ground for a map on a screen.

    Parameters
    ----------
    webp
        Light and shade as a grey WebP picture on the plane of web maps (EPSG:3857), clear where no height is
        known.
    west, south, east, north
        Its outer edges [degrees].
    width, height
        Its size [pixels].
    contours
        GeoJSON FeatureCollection: each line with `height_m` and `main`, each label as a point with `text` and
        `turn_deg` (counter-clockwise from the east).
    step_m
        Step between the lines [m].
    said
        What the reader must know, a sentence each.
    """

    webp: bytes
    west: float
    south: float
    east: float
    north: float
    width: int
    height: int
    contours: dict[str, Any]
    step_m: float
    said: tuple[str, ...]


def relief_for(
    space: Workspace,
    *,
    bounds: Bounds | None = None,
    max_bytes: int = MOST_BYTES,
    show: Show = Show.LIGHT,
) -> Relief | None:
    """Draw the ground of the line for a map on a screen.

    Parameters
    ----------
    space
        The opened line.
    bounds
        West, south, east, north [degrees]; all of the line and 500 m round it when left out.
    max_bytes
        How large picture and lines may be together, from 20 000 [bytes].
    show
        Light and shade, or five greys of steepness, the darker the steeper.

    Returns
    -------
    Relief or None
        None where no elevation model was brought in, or it does not reach here: a map does without.

    Raises
    ------
    Refused
        JOB-403 when there is no place on the line to draw the ground of, or a size is too small; GND-4xx for
        a model that cannot be read any more.
    """
    if max_bytes < 20_000:
        do = "Allow 20 000 bytes or more."
        raise refuse(NO_GROUND, f"a map of {max_bytes} bytes shows nothing.", "max_bytes", do)
    heights = ground_drawn(space, bounds)
    if heights is None:
        return None
    grid = heights.grid
    contours, step_m = _lines_within(grid, space.settings.units, int(max_bytes * _LINES_SHARE))
    from tendline.ground.contour_out import size_of  # noqa: PLC0415 - heavy
    from tendline.ground.picture import warp, webp_within  # noqa: PLC0415

    grey, key = _shown(grid, show)
    warped = warp(grey, np.isfinite(grid.z), grid)
    webp, width, height = webp_within(warped, most_bytes=max_bytes - size_of(contours))
    west, south, east, north = warped.bounds
    return Relief(
        webp,
        west,
        south,
        east,
        north,
        width,
        height,
        contours=contours,
        step_m=step_m,
        said=(*heights.said, *key),
    )


def _shown(grid: Grid, show: Show) -> tuple[npt.NDArray[np.uint8], tuple[str, ...]]:
    """Give the greys of a picture, and what they mean."""
    from tendline.terrain.relief import STEEP_DEG, hillshade, steepness  # noqa: PLC0415 - heavy
    from tendline.terrain.relief_strips import in_strips  # noqa: PLC0415

    if show is Show.LIGHT:
        return in_strips(hillshade, grid), ()
    tones = np.array(_TONES, np.uint8)[np.minimum(in_strips(steepness, grid), len(STEEP_DEG))]
    steps = ", ".join(f"{degrees:g}" for degrees in STEEP_DEG)
    return tones, (f"the darker the steeper: a darker grey from {steps} degrees",)


def ground_drawn(space: Workspace, bounds: Bounds | None) -> Heights | None:
    """Give the heights that are drawn, in cells no more than a picture can show; None where there are none.

    Raises
    ------
    Refused
        JOB-403, GND-4xx.
    """
    if bounds is None:
        places = places_of(space.line())
        if not places:
            do = "Bring or note the line's places, or name the bounds."
            raise refuse(NO_GROUND, "the line has no place yet.", "", do)
        bounds = bounds_round(places, REACH_M)
    with space.store() as store:
        sources = store.sources()
    wide, high = extent_m(bounds)
    # Cells much smaller than a picture can show are averaged while they are read: a county is never held.
    found = heights_within(space, sources, bounds, least_m=math.sqrt(wide * high / _MOST_CELLS))
    if found is None or min(found.grid.shape) < 3:
        return None
    from tendline.ground.heights import block_mean  # noqa: PLC0415

    grid = found.grid
    block = math.ceil(math.sqrt(grid.z.size / _MOST_CELLS))
    if block > 1:
        coarse = block_mean(grid.z, block)
        grid = replace(grid, z=coarse, dx=grid.dx * block, dy=grid.dy * block)
    said = (f"heights from {', '.join(found.files)}", *found.said)
    return replace(found, grid=grid, said=said)


def drawn_lines(
    grid: Grid, step_m: float, *, units: Units, tolerance_m: float
) -> "tuple[tuple[HeightLine, ...], tuple[HeightLabel, ...]]":
    """Give the lines of equal height, simplified, and their labels, on the grid's plane."""
    from tendline.ground.contour_out import HeightLabel, HeightLine, simplified  # noqa: PLC0415
    from tendline.terrain.contour import contours, labels, smoothed  # noqa: PLC0415

    found = contours(smoothed(grid), step_m)
    rows, cols = grid.shape
    apart_m = max(rows * grid.dy, cols * grid.dx) / 8
    lines = simplified(
        (HeightLine(one.points, one.height_m, one.main) for one in found), tolerance_m=tolerance_m
    )
    written = tuple(
        HeightLabel(one.x, one.y, one.turn_deg, one.height_m, height_text(one.height_m, units))
        for one in labels(found, apart_m=apart_m)
    )
    return lines, written


def height_text(height_m: float, units: Units) -> str:
    """Write a height for a map: whole feet or metres."""
    return f"{round(height_m / METRES_PER_FOOT)} ft" if units is Units.US else f"{round(height_m)} m"


def _lines_within(grid: Grid, units: Units, most_bytes: int) -> tuple[dict[str, Any], float]:
    """Draw lines ever coarser, then ever fewer, until they are no larger than is wanted."""
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415
    from tendline.ground.contour_out import contour_geojson, size_of  # noqa: PLC0415
    from tendline.terrain.contour import next_step  # noqa: PLC0415

    projector = Projector(grid.crs)
    cell = max(grid.dx, grid.dy)
    step_m: float | None = first_step(grid, units)
    while step_m is not None:
        for tolerance in (0.25, 0.5, 1.0):
            lines, written = drawn_lines(grid, step_m, units=units, tolerance_m=tolerance * cell)
            made = contour_geojson(lines, written, projector)
            if size_of(made) <= most_bytes:
                return made, step_m
        last, step_m = step_m, next_step(step_m, units)
    return contour_geojson((), (), projector), last


def first_step(grid: Grid, units: Units) -> float:
    """Choose the step between lines for a piece of ground [m]."""
    from tendline.terrain.contour import fair_step  # noqa: PLC0415 - heavy

    known = grid.z[np.isfinite(grid.z)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 0.0)
    return fair_step(low, high, units)
