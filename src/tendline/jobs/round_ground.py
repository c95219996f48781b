"""Owns finding how long it takes to walk and to drive between the places of the line.

Does not own the walking kernel (`terrain`), nor which places are visited (`round_problem`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector, distances_m
from tendline.almanac.travel import straight_walk_s, time_factor
from tendline.core.errors import FaultList
from tendline.core.grid import Grid
from tendline.core.line import Barrier, LineState, SetState
from tendline.core.place import LonLat
from tendline.jobs.faults import NO_PARKING
from tendline.jobs.heights import has_heights, heights_round
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile
from tendline.plan.itinerary import Travel

WALK_REACH_M = 3000.0
"""Where no parcel says which parking serves a set, parkings this near do [m]; common practice, no source."""

COARSEST_M = 30.0
"""Cells larger than this are cut finer before walking on them [m]."""

ROUND_ABOUT_M = 3000.0
"""How far round the places heights are read, for ways round about [m]."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Ways:
    """How to get about.

    Parameters
    ----------
    walk, drive
        Times and lengths.
    said
        What the reader must know about them, in words.
    path
        Gives the way on foot between two places.
    """

    walk: Travel
    drive: Travel
    said: tuple[str, ...]
    path: Callable[[str, str], tuple[LonLat, ...]]


def ground_groups(line: LineState, sets: Sequence[SetState]) -> list[set[str]]:
    """Say which sets and parkings share ground: by parcel, and where no parcel tells, by distance.

    Raises
    ------
    Refused
        JOB-402 naming every set that no parking serves.
    """
    groups: dict[str, set[str]] = {}
    strays: list[SetState] = []
    for one in sets:
        parkings = {p.name for p in line.parkings.values() if one.parcel and one.parcel in p.parcels}
        if parkings:
            groups.setdefault(one.parcel, set()).update(parkings, {one.name})
        else:
            strays.append(one)
    return [*groups.values(), *_stray_groups(line, strays)]


def _stray_groups(line: LineState, strays: Sequence[SetState]) -> list[set[str]]:
    faults, groups = FaultList(), []
    parkings = list(line.parkings.values())
    if strays and parkings:
        metres = distances_m([s.fix.place for s in strays], [p.place for p in parkings])
    for row, one in enumerate(strays):
        near = {p.name for k, p in enumerate(parkings) if metres[row, k] <= WALK_REACH_M}
        if near:
            groups.append({one.name, *near})
        else:
            told = f"parcel {one.parcel} is served by none" if one.parcel else "it stands on no parcel"
            faults.add(
                NO_PARKING,
                f"no parking is within {WALK_REACH_M / 1000:g} km, and {told}.",
                f"set {one.name}",
                "Note or bring a parking that serves it.",
            )
    faults.refuse()
    return _merged(groups)


def _merged(groups: Sequence[set[str]]) -> list[set[str]]:
    """Join groups that share a parking: their sets can be walked from one to the other."""
    merged: list[set[str]] = []
    for group in groups:
        touching = [other for other in merged if other & group]
        merged = [other for other in merged if not other & group]
        merged.append(group.union(*touching))
    return merged


@dataclass(frozen=True)
class End:
    """Where the truck starts or must be back: its name in the plan, its place, its name in drive tables."""

    label: str
    place: LonLat
    known_as: str


def find_ways(
    space: Workspace, line: LineState, sets: Sequence[SetState], *, ends: Sequence[End], tell: Tell
) -> Ways:
    """Work out every walk and every drive.

    Parameters
    ----------
    space, line, sets
        The opened line, how it stands, and what may be visited.
    ends
        Where the truck starts and must be back.
    tell
        Is told how far things are.

    Raises
    ------
    Refused
        JOB-402; TERR-1xx for places outside the heights or on unknown ground; GND-xxx for a brought file that
        cannot be read any more.
    """
    groups = ground_groups(line, sets)
    used = sorted({name for group in groups for name in group} & set(line.parkings))
    places = {name: line.parkings[name].place for name in used} | {s.name: s.fix.place for s in sets}
    with space.store() as store:
        sources = store.sources()
    walk, said, path = _walks(space, places, groups, sources, tell=tell)
    stops = [End(name, line.parkings[name].place, name) for name in used]
    drive, drive_said = _drives(space, [*{end.label: end for end in ends}.values(), *stops], sources)
    return Ways(walk, drive, (*said, *drive_said), path)


def _walks(
    space: Workspace,
    places: Mapping[str, LonLat],
    groups: Sequence[set[str]],
    sources: Sequence[SourceFile],
    *,
    tell: Tell,
) -> tuple[Travel, tuple[str, ...], Callable[[str, str], tuple[LonLat, ...]]]:
    if not has_heights(sources):
        return _straight_walks(space, places, groups)
    from tendline.terrain.ready import warm_up  # noqa: PLC0415 - heavy, and only with heights
    from tendline.terrain.walk import walk_matrix  # noqa: PLC0415

    heights = heights_round(space, sources, places, reach_m=ROUND_ABOUT_M)
    barriers = read_barriers(space, sources)
    warm_up(lambda: tell("making the walking times ready for this machine, once: some seconds"))
    found = walk_matrix(
        fine_enough(heights.grid, places),
        places,
        groups=groups,
        costs=space.settings.walk,
        barriers=barriers,
        on_progress=lambda done, total: tell(f"walking times: {done} of {total}"),
    )
    snow = space.settings.walk.snow
    files = ", ".join(heights.files)
    said = [f"walking times from {files}, {len(barriers)} barrier(s), snow factor {snow:g}", *heights.said]
    travel = Travel(found.names, found.seconds, found.metres, np.zeros(found.seconds.shape, bool))
    return travel, tuple(said), found.path


def fine_enough(grid: Grid, places: Mapping[str, LonLat]) -> Grid:
    """Cut coarse cells finer, over the ground round the places alone; fine cells are left as they are.

    A walk drawn on cells of ninety metres is off by many minutes at its ends; interpolated heights are not
    better heights, but the places keep their own.
    """
    from tendline.terrain.refine import refine  # noqa: PLC0415

    if max(grid.dx, grid.dy) <= COARSEST_M:
        return grid
    turn = Projector(grid.crs)
    cells = [cell for place in places.values() if (cell := grid.cell_of(*turn.to_xy(place))) is not None]
    if not cells:
        return grid
    rows, cols = [row for row, _ in cells], [col for _, col in cells]
    down, across = int(ROUND_ABOUT_M / grid.dy), int(ROUND_ABOUT_M / grid.dx)
    part = grid.window(min(rows) - down, max(rows) + down + 1, min(cols) - across, max(cols) + across + 1)
    return refine(part, at_most_m=COARSEST_M)


def _straight_walks(
    space: Workspace, places: Mapping[str, LonLat], groups: Sequence[set[str]]
) -> tuple[Travel, tuple[str, ...], Callable[[str, str], tuple[LonLat, ...]]]:
    names = tuple(places)
    straight = distances_m(list(places.values()), list(places.values()))
    costs = space.settings.walk
    shared = np.eye(len(names), dtype=bool)
    for group in groups:
        inside = np.array([name in group for name in names])
        shared |= inside[:, None] & inside[None, :]
    factor = time_factor(off_path=costs.off_path, snow=costs.snow)
    metres = np.where(shared, straight * costs.detour, np.inf)
    seconds = np.where(shared, straight_walk_s(straight, costs.detour, factor), np.inf)
    np.fill_diagonal(metres, 0.0)
    np.fill_diagonal(seconds, 0.0)
    said = f"no elevation model: walking is straight distance times {costs.detour:g}, as on flat ground"
    return Travel(names, seconds, metres, shared), (said,), lambda a, b: (places[a], places[b])


def read_barriers(space: Workspace, sources: Sequence[SourceFile]) -> tuple[Barrier, ...]:
    """Read the barriers out of every file of places that was brought in."""
    from tendline.ground.barriers import barriers_of  # noqa: PLC0415
    from tendline.ground.brought import BroughtKind, BroughtThing  # noqa: PLC0415
    from tendline.ground.read_any import read_file  # noqa: PLC0415

    things: list[BroughtThing] = []
    for source in latest_of_each(sources):
        if source.format in ("GeoJSON", "GPX", "a table of places"):
            kind = BroughtKind(source.options["as"]) if "as" in source.options else None
            path = space.folder / GROUND / source.kept_as
            things += read_file(path, zone=space.settings.zone, now=space.now, default_kind=kind).things
    return barriers_of(things)


def latest_of_each(sources: Sequence[SourceFile]) -> tuple[SourceFile, ...]:
    """Give the newest file of each name: one brought again replaces the layers of the old one."""
    return tuple({source.file_name: source for source in sources}.values())


def _drives(
    space: Workspace, stops: Sequence[End], sources: Sequence[SourceFile]
) -> tuple[Travel, tuple[str, ...]]:
    names = tuple(stop.label for stop in stops)
    costs = space.settings.drive
    places = [stop.place for stop in stops]
    metres = distances_m(places, places) * costs.detour
    seconds = metres / (costs.speed_kmh / 3.6)
    estimated = ~np.eye(len(names), dtype=bool)
    places_of: dict[str, list[int]] = {}
    for k, stop in enumerate(stops):
        places_of.setdefault(stop.known_as.lower(), []).append(k)
    _same_place(stops, seconds, metres, estimated)
    unknown: set[str] = set()
    for source in latest_of_each(sources):
        if source.format == "a table of driving minutes":
            unknown |= _told(space.folder / GROUND / source.kept_as, places_of, (seconds, metres, estimated))
    count = int(estimated.sum())
    total = len(names) * (len(names) - 1)
    how = f"straight distance times {costs.detour:g} at {costs.speed_kmh:g} km/h"
    said = [f"{count} of {total} drives are estimated: {how}"] if count else []
    if unknown:
        said.append(f"the drive table names places that are not on this round: {', '.join(sorted(unknown))}")
    return Travel(names, seconds, metres, estimated), tuple(said)


Figures = tuple[npt.NDArray[np.float64], npt.NDArray[np.float64], npt.NDArray[np.bool_]]
"""Seconds, metres, and whether they are estimated; filled in place."""


def _same_place(stops: Sequence[End], *figures: npt.NDArray[Any]) -> None:
    """Where an end is a parking, there is no drive between the two."""
    for a, one in enumerate(stops):
        for b, other in enumerate(stops):
            if a != b and one.place == other.place:
                for figure in figures:
                    figure[a, b] = 0


def _told(path: Path, places_of: Mapping[str, Sequence[int]], figures: Figures) -> set[str]:
    from tendline.ground.drives import read_drives  # noqa: PLC0415

    seconds, metres, estimated = figures
    table = read_drives(path.read_bytes(), file_name=path.name)
    for (a, b), drive in table.drives.items():
        for row in places_of.get(a.lower(), ()):
            for col in places_of.get(b.lower(), ()):
                seconds[row, col], estimated[row, col] = drive.seconds, False
                if drive.length_m is not None:
                    metres[row, col] = drive.length_m
    return {name for name in table.names if name.lower() not in places_of}
