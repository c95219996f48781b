"""Owns what recorded walks say of a person's own pace: each laid over the heights, day by day, snow or none.

Does not own the ranges (`season.own_times`) or what is offered (`learn`).
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np
import numpy.typing as npt

from tendline.almanac.gait import gait_of
from tendline.almanac.geodesy import Projector
from tendline.core.place import LonLat
from tendline.core.when import local_day
from tendline.core.words import Surface
from tendline.jobs.heights import bounds_round, has_heights, heights_within
from tendline.jobs.layers import latest_of_each, paths_of, read_things
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.corrected import Effective
from tendline.logbook.store import SourceFile

SNOW_M = 0.05
"""From this depth the ground counts as snowed over [m]; common practice, no source."""

LEAST_M = 500.0
"""A shorter outing tells nothing [m]; common practice, no source."""

_SNOWY = (Surface.PACKED_SNOW, Surface.CRUST, Surface.LOOSE_SNOW)


Track = tuple[datetime, tuple[LonLat, ...], npt.NDArray[np.float64]]
"""When a recorded walk began, its places, and the seconds since then at each."""


@dataclass
class Outings:
    """How much slower than the curve each recorded outing was, by what lay on the ground.

    Parameters
    ----------
    snow, bare, unsaid
        Time over time by the curve on bare ground, one for each outing; the last where nobody noted.
    depths_m
        Depths noted on the days of `snow` [m].
    metres, actual_s
        Length of all of them [m], and the time it took to walk that [s].
    said
        What was left out, and why, a sentence each.
    """

    snow: list[float] = field(default_factory=list)
    bare: list[float] = field(default_factory=list)
    unsaid: list[float] = field(default_factory=list)
    depths_m: list[float] = field(default_factory=list)
    metres: float = 0.0
    actual_s: float = 0.0
    said: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Ground:
    """What was noted of the snow on one day: snow, none, or nothing noted (None); and how deep."""

    snowy: bool | None = None
    depth_m: float | None = None


def ground_by_day(space: Workspace, standing: Iterable[Effective]) -> dict[date, Ground]:
    """Give what the record says of the snow, day by day; the deepest note of a day counts."""
    days: dict[date, Ground] = {}
    for entry in standing:
        depth, surface = entry.body.get("snow_m"), entry.body.get("surface")
        if entry.event.kind not in ("weather-seen", "check", "adjusted"):
            continue
        if depth is None and surface not in _SNOWY:
            continue
        day = local_day(entry.happened_at, space.settings.zone)
        snowy = surface in _SNOWY or (depth is not None and depth >= SNOW_M)
        before = days.get(day, Ground())
        deepest = max((d for d in (before.depth_m, depth) if d is not None), default=None)
        days[day] = Ground(bool(before.snowy) or snowy, deepest)
    return days


def recorded_outings(space: Workspace, sources: Sequence[SourceFile], grounds: dict[date, Ground]) -> Outings:
    """Compare every recorded walk brought in with the curve on bare ground.

    Raises
    ------
    Refused
        GND-xxx for a file that cannot be read any more.
    """
    found = Outings()
    tracks = recordings(space, sources)
    if not tracks:
        found.said.append("no recorded walk was brought in: bring GPX tracks with times")
        return found
    if not has_heights(sources):
        found.said.append("recorded walks need an elevation model to be compared with the curve")
        return found
    days: dict[date, list[tuple[float, float, float]]] = defaultdict(list)
    paths = paths_of(read_things(space, sources), space.settings.walk.paths)
    for begun, places, seconds in tracks:
        part = _compared(space, sources, places, seconds, paths)
        if part is not None:
            days[local_day(begun, space.settings.zone)].append(part)
    for day, parts in sorted(days.items()):
        actual, curve, metres = (sum(one) for one in zip(*parts, strict=True))
        if metres < LEAST_M:
            found.said.append(f"{day}: {metres:.0f} m on foot is too little to learn from")
            continue
        found.metres += metres
        found.actual_s += actual
        ground = grounds.get(day, Ground())
        kinds = {True: found.snow, False: found.bare, None: found.unsaid}
        kinds[ground.snowy].append(actual / curve)
        if ground.snowy and ground.depth_m is not None:
            found.depths_m.append(ground.depth_m)
    if not days:
        found.said.append("no recorded walk lies on the elevation model")
    return found


def recordings(space: Workspace, sources: Sequence[SourceFile]) -> list[Track]:
    """Read every recorded walk brought in."""
    from tendline.ground.recording import read_recordings  # noqa: PLC0415 - heavy

    found: list[Track] = []
    for source in latest_of_each(sources):
        if source.format == "GPX":
            data = (space.folder / GROUND / source.kept_as).read_bytes()
            for one in read_recordings(data, file_name=source.file_name):
                places = tuple(LonLat(float(lon), float(lat)) for lon, lat in one.lonlat)
                found.append((one.begun, places, one.seconds))
    return found


def _compared(
    space: Workspace,
    sources: Sequence[SourceFile],
    places: Sequence[LonLat],
    seconds: npt.NDArray[np.float64],
    paths: Sequence[Sequence[LonLat]],
) -> tuple[float, float, float] | None:
    """Give time taken, time by the curve, and length of one recording; None where it is off the model."""
    from tendline.terrain.along import walked  # noqa: PLC0415 - heavy
    from tendline.terrain.walk import paths_on  # noqa: PLC0415

    heights = heights_within(space, sources, bounds_round(places, 100.0))
    if heights is None:
        return None
    projector = Projector(heights.grid.crs)
    plain = replace(space.settings.walk, own=1.0, snow=1.0, sink_m=None, path_snow=None)
    found = walked(
        heights.grid,
        projector.to_xys(places),
        seconds,
        gait=gait_of(plain),
        paths=paths_on(paths, projector),
    )
    return (found.actual_s, found.curve_s, found.metres) if found.curve_s > 0 else None
