"""Owns finding what a map on a paper shows: things near the sets, barriers, ways on foot and drives.

Does not own how any of it is drawn or worded (`report`).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tendline.almanac.geodesy import azimuth_deg, distance_m, distances_m
from tendline.core.errors import Refused
from tendline.core.feature import Feature
from tendline.core.line import Barrier, Landmark, LineState, SetState
from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.core.words import FeatureClass
from tendline.ground.shapes import distance_to_barrier_m
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.layers import read_barriers
from tendline.jobs.paper_heights import with_heights
from tendline.jobs.round_ground import End, Ways, find_ways, ground_groups
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import HOME
from tendline.report.finder_facts import Leg
from tendline.report.ground_map import Ground, Mark, Path

NEAR_M = 400.0
"""Houses, crossings and landmarks this near to a set or parking are on its map [m]."""

_HOUSES = (FeatureClass.DWELLING, FeatureClass.BUILDING, FeatureClass.SCHOOL)


@dataclass(frozen=True)
class Surroundings:
    """What lies round the line, read once for all maps.

    Parameters
    ----------
    line
        As it stands.
    barriers, features
        Out of the files brought in.
    ways
        Ways on foot and drives; None where they cannot be worked out.
    said
        How the ways came about, or why there are none.
    units
        The person's.
    space
        The opened line, for the heights of each map.
    """

    line: LineState
    barriers: tuple[Barrier, ...]
    features: tuple[Feature, ...]
    ways: Ways | None
    said: tuple[str, ...]
    units: Units
    space: Workspace


def look_round(
    space: Workspace, line: LineState, sets: Sequence[SetState], *, tell: Callable[[str], None]
) -> Surroundings:
    """Read what lies round some sets, and work out the ways to them where that can be done.

    A paper for an emergency is never held up by heights that do not reach: straight lines are left then.

    Raises
    ------
    Refused
        GND-xxx for a file brought in that cannot be read any more.
    """
    with space.store() as store:
        sources = store.sources()
    barriers, features = read_barriers(space, sources), read_features(space)
    reached = [one for one in sets if _is_served(line, one)]
    home, units = space.settings.home, space.settings.units
    ends = [End(HOME, home, HOME)] if home is not None else []
    if not reached:
        return Surroundings(line, barriers, features, None, ("no parking is on record",), units, space)
    try:
        ways = find_ways(space, line, reached, ends=ends, tell=tell)
    except Refused as problem:
        why = "; ".join(fault.what.rstrip(".") for fault in problem.faults)
        said = (f"ways on foot not worked out: {why}",)
        return Surroundings(line, barriers, features, None, said, units, space)
    return Surroundings(line, barriers, features, ways, ways.said, units, space)


def _is_served(line: LineState, one: SetState) -> bool:
    try:
        ground_groups(line, [one])
    except Refused:
        return False
    return True


def walk_between(around: Surroundings, start: str, end: str) -> tuple[float, float, bool] | None:
    """Give seconds and metres on foot, and whether they are estimated; None when they are not known."""
    if around.ways is None:
        return None
    travel = around.ways.walk
    if start not in travel.names or end not in travel.names:
        return None
    a, b = travel.names.index(start), travel.names.index(end)
    seconds, metres = float(travel.seconds[a, b]), float(travel.metres[a, b])
    return (seconds, metres, bool(travel.estimated[a, b])) if np.isfinite(seconds) else None


def drive_between(around: Surroundings, start: str, end: str) -> tuple[float, bool] | None:
    """Give the seconds of a drive and whether they are estimated; None when not worked out."""
    if around.ways is None or not {start, end} <= set(around.ways.drive.names):
        return None
    travel = around.ways.drive
    a, b = travel.names.index(start), travel.names.index(end)
    return float(travel.seconds[a, b]), bool(travel.estimated[a, b])


def leg(around: Surroundings, start: str, place: LonLat, one: SetState, *, called: str = "") -> Leg:
    """Give the way from a place to a set: straight, on foot, and which barriers the straight line meets."""
    walk = walk_between(around, start, one.name)
    line = (place, one.fix.place)
    meets = tuple(b.name for b in around.barriers if distance_to_barrier_m(line, b) == 0.0)
    return Leg(
        called or start,
        distance_m(*line),
        azimuth_deg(*line),
        walk[0] if walk is not None else None,
        walk[1] if walk is not None else None,
        walk is not None and walk[2],
        meets,
    )


def landmark_near(around: Surroundings, one: SetState) -> Landmark | None:
    """Give the landmark nearest to a set, where one is near."""
    marks = list(around.line.landmarks.values())
    best = min(marks, key=lambda mark: distance_m(mark.place, one.fix.place), default=None)
    return best if best is not None and distance_m(best.place, one.fix.place) <= NEAR_M else None


def path_between(around: Surroundings, start: str, end: str) -> Path:
    """Give the way on foot between two places by name; empty when it is not worked out over heights."""
    walk = walk_between(around, start, end)
    if around.ways is None or walk is None or walk[2]:
        return ()
    path = around.ways.path(start, end)
    return path if len(path) > 1 else ()


def ground_of(
    around: Surroundings,
    sets: Sequence[SetState],
    *,
    parkings: Iterable[str],
    ways: Iterable[Path] = (),
    parcels: Iterable[str] | None = None,
    whole_bounds: bool = False,
) -> Ground:
    """Give what is drawn round some sets; of other people's ground no more than its barriers.

    Parameters
    ----------
    around
        What lies there.
    sets, parkings, ways
        What the map is of.
    parcels
        Whose bounds are drawn; those of the sets when left out.
    whole_bounds
        Show the bounds whole.
    """
    line = around.line
    named = {one.parcel for one in sets} if parcels is None else set(parcels)
    marks = [Mark("set", one.name, one.fix.place) for one in sets]
    marks += [Mark("parking", name, line.parkings[name].place) for name in parkings]
    here = [mark.place for mark in marks]
    others = [Mark("landmark", m.name, m.place) for m in line.landmarks.values()]
    others += [Mark("house", f.name or "house", middle_of(f)) for f in around.features if is_house(f)]
    others += [
        Mark("crossing", f"over {barrier.name}", path[len(path) // 2])
        for barrier in around.barriers
        for path in barrier.crossings
    ]
    marks += [mark for mark in others if here and distances_m([mark.place], here).min() <= NEAR_M]
    bounds = tuple(line.parcels[name].outline for name in sorted(named) if name in line.parcels)
    ground = Ground(
        marks=tuple(marks),
        bounds=bounds,
        barriers=tuple(path for barrier in around.barriers for path in barrier.lines),
        areas=tuple(barrier.areas for barrier in around.barriers if barrier.areas is not None),
        ways=tuple(way for way in ways if way),
        whole_bounds=whole_bounds,
    )
    return with_heights(around.space, ground)


def middle_of(feature: Feature) -> LonLat:
    """Give the place of a feature, or the middle of its extent."""
    if feature.place is not None:
        return feature.place
    west, south, east, north = feature.bbox
    return LonLat((west + east) / 2, (south + north) / 2)


def is_house(feature: Feature) -> bool:
    """Say whether a feature is a house of any kind."""
    return feature.feature_class in _HOUSES
