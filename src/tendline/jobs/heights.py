"""Owns finding the heights of the ground round the line among the elevation models brought in.

Does not own reading a model (`ground.elevation`) or what is made of the heights.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tendline.core.errors import refuse
from tendline.core.grid import Grid
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.jobs.faults import NO_HEIGHTS
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile

if TYPE_CHECKING:
    from tendline.ground.mosaic import Model

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


def extent_m(bounds: Bounds) -> tuple[float, float]:
    """Give how far bounds reach from west to east, through their middle, and from south to north [m]."""
    west, south, east, north = bounds
    across = _METRES_PER_DEGREE * float(np.cos(np.radians((south + north) / 2)))
    return (east - west) * across, (north - south) * _METRES_PER_DEGREE


def models_of(space: Workspace, sources: Sequence[SourceFile]) -> "list[Model]":
    """Give the elevation models brought in; one brought again takes the place of the old one."""
    from tendline.ground.mosaic import Model  # noqa: PLC0415 - heavy, and only with heights

    held = {source.file_name: source for source in sources if source.format == ELEVATION}
    return [
        Model(space.folder / GROUND / source.kept_as, source.file_name, source.options.get("unit"))
        for source in held.values()
    ]


def heights_within(
    space: Workspace, sources: Sequence[SourceFile], bounds: Bounds, *, least_m: float = 0.0
) -> Heights | None:
    """Read the heights of a piece of ground, out of all the models that reach it, and no more of them.

    Parameters
    ----------
    space
        The opened line.
    sources
        What was brought in.
    bounds
        Which ground.
    least_m
        Much smaller cells are averaged to about this size while they are read [m].

    Returns
    -------
    Heights or None
        None where no elevation model was brought in, or none knows any of that ground.

    Raises
    ------
    Refused
        GND-4xx for a model that cannot be read any more, or two that do not fit together.
    """
    if not has_heights(sources):
        return None
    from tendline.ground.mosaic import read_joined  # noqa: PLC0415 - heavy, and only with heights

    found = read_joined(models_of(space, sources), bounds, least_m=least_m)
    return None if found is None else Heights(found.grid, found.used, found.said)


def has_heights(sources: Iterable[SourceFile]) -> bool:
    """Say whether any elevation model was brought in."""
    return any(source.format == ELEVATION for source in sources)


def heights_round(
    space: Workspace, sources: Sequence[SourceFile], places: Mapping[str, LonLat], *, reach_m: float
) -> Heights:
    """Read the heights round places that are to be walked among.

    Raises
    ------
    Refused
        JOB-404 when no model reaches them; GND-4xx as for `heights_within`.
    """
    held = tuple(places.values())
    found = heights_within(space, sources, bounds_round(held, reach_m))
    if found is None:
        names = ", ".join(model.name for model in models_of(space, sources))
        west, south, east, north = bounds_round(held, 0.0)
        there = f"longitude {west:.3f} to {east:.3f}, latitude {south:.3f} to {north:.3f}"
        what = f"they lie at {there}; that is outside {names}, or unknown there."
        do = "Bring an elevation model that covers them, or put the places right."
        raise refuse(NO_HEIGHTS, what, ", ".join(places), do)
    return found
