"""Owns finding how long it takes to walk and to drive between the places of the line.

Does not own the walking kernel (`terrain`), nor which places are visited (`round_problem`).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import distances_m
from tendline.core.errors import FaultList
from tendline.core.line import LineState, SetState
from tendline.core.place import LonLat
from tendline.jobs.faults import NO_PARKING
from tendline.jobs.layers import latest_of_each
from tendline.jobs.round_facts import any_in_dark
from tendline.jobs.walks import Tell, walks_between
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile
from tendline.plan.itinerary import Travel

WALK_REACH_M = 3000.0
"""Where no parcel says which parking serves a set, parkings this near do [m]; common practice, no source."""


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
    energy_j
        Gives what that walk costs the body [J].
    """

    walk: Travel
    drive: Travel
    said: tuple[str, ...]
    path: Callable[[str, str], tuple[LonLat, ...]]
    energy_j: Callable[[str, str], float]


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
    space: Workspace,
    line: LineState,
    sets: Sequence[SetState],
    *,
    ends: Sequence[End],
    tell: Tell,
    starts: Iterable[datetime] = (),
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
    starts
        When outings begin. If any does in the dark, all walks are taken to be in the dark; with none, by day.

    Raises
    ------
    Refused
        JOB-402 and JOB-404; TERR-1xx for places outside the heights or on unknown ground; GND-xxx for a
        brought file that cannot be read any more.
    """
    groups = ground_groups(line, sets)
    used = sorted({name for group in groups for name in group} & set(line.parkings))
    places = {name: line.parkings[name].place for name in used} | {s.name: s.fix.place for s in sets}
    with space.store() as store:
        sources = store.sources()
    dark = any_in_dark(space, line, starts)
    on_foot = walks_between(space, places, groups, sources, dark=dark, tell=tell)
    stops = [End(name, line.parkings[name].place, name) for name in used]
    drive, drive_said = _drives(space, [*{end.label: end for end in ends}.values(), *stops], sources)
    return Ways(on_foot.walk, drive, (*on_foot.said, *drive_said), on_foot.path, on_foot.energy_j)


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
