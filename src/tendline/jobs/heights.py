"""Owns finding the heights of the ground round the line among the elevation models brought in.

Does not own reading a model (`ground.elevation`) or what is made of the heights.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile

Bounds = tuple[float, float, float, float]
"""West, south, east, north [degrees]."""

ELEVATION = "a GeoTIFF"

_METRES_PER_DEGREE = 111_195.0
"""Of latitude on a sphere of 6371 km, pi / 180 times it: only to say how far round the line to read."""


@dataclass(frozen=True, eq=False)
class Heights:
    """Heights of the ground, and where they are from.

    Parameters
    ----------
    grid
        Heights [m].
    files
        Names of the models they are out of.
    said
        What the reader must know about them, a sentence each.
    """

    grid: Grid
    files: tuple[str, ...]
    said: tuple[str, ...] = ()


def places_of(line: LineState) -> tuple[LonLat, ...]:
    """Give every place of the line: sets in the field, parkings, landmarks, corners of parcels."""
    corners = [
        place
        for parcel in line.parcels.values()
        for polygon in parcel.outline.polygons
        for place in polygon[0]
    ]
    return (
        *(one.fix.place for one in line.in_field),
        *(parking.place for parking in line.parkings.values()),
        *(mark.place for mark in line.landmarks.values()),
        *corners,
    )


def bounds_round(places: Iterable[LonLat], reach_m: float) -> Bounds:
    """Give the bounds of at least one place, and so much ground round them."""
    held = tuple(places)
    lons, lats = [place.lon for place in held], [place.lat for place in held]
    up = reach_m / _METRES_PER_DEGREE
    across = up / max(np.cos(np.radians(max(map(abs, lats)) + up)), 0.02)
    return (
        max(min(lons) - across, -180.0),
        max(min(lats) - up, -90.0),
        min(max(lons) + across, 180.0),
        min(max(lats) + up, 90.0),
    )


def heights_within(space: Workspace, sources: Sequence[SourceFile], bounds: Bounds) -> Heights | None:
    """Read the heights of a piece of ground.

    Parameters
    ----------
    space
        The opened line.
    sources
        What was brought in.
    bounds
        Which ground.

    Returns
    -------
    Heights or None
        None where no elevation model was brought in.

    Raises
    ------
    Refused
        GND-4xx for a model that cannot be read any more.
    """
    held = [source for source in sources if source.format == ELEVATION]
    if not held:
        return None
    from tendline.ground.elevation import read_elevation  # noqa: PLC0415 - heavy, and only with heights

    newest = held[-1]
    grid, _ = read_elevation(space.folder / GROUND / newest.kept_as, unit=newest.options.get("unit"))
    return Heights(_cut(grid, bounds), (newest.file_name,))


def _cut(grid: Grid, bounds: Bounds) -> Grid:
    west, south, east, north = bounds
    turn = Projector(grid.crs)
    shares = np.linspace(0.0, 1.0, 11)
    rim = [
        LonLat(float(west + (east - west) * s), float(south + (north - south) * t))
        for s in shares
        for t in shares
    ]
    points = turn.to_xys(rim)
    cols = (points[:, 0] - grid.west) / grid.dx
    rows = (grid.north - points[:, 1]) / grid.dy
    return grid.window(
        int(np.floor(rows.min())),
        int(np.ceil(rows.max())),
        int(np.floor(cols.min())),
        int(np.ceil(cols.max())),
    )
