"""Owns barriers on a grid: which cells they hold, what stepping into them costs, where crossings open them.

Does not own how barriers are told (ground.barriers) or the drawing itself (terrain.draw).

Every cell that a barrier touches belongs to it, so that whoever steps only between cells outside never
crosses it. A barrier that costs time costs it at the step into its band of cells, and nothing on the way out:
once for each time it is crossed, however thick the band is. Cells of several barriers are a class of their
own, and stepping from class to class costs the sum over the barriers that were not there before.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList, refuse
from tendline.core.line import Barrier
from tendline.core.place import LonLat
from tendline.terrain.compiling import BLOCKED
from tendline.terrain.draw import Frame, Mask, Points, draw_area, draw_line, widen
from tendline.terrain.faults import (
    BARRIER_ASTRAY,
    BARRIER_EMPTY,
    BARRIER_SECONDS,
    CROSSING_ASTRAY,
    TOO_MANY_BARRIERS,
)
from tendline.terrain.plane import Edges, edges_of, gap_between, holds, nearest_on, shortest_way_over

CROSSING_REACH_M = 50.0
"""A crossing counts for its barrier up to this far from it [m] (common practice, no source)."""

LONGEST_TOLL_S = 86_400.0
"""Getting over a barrier takes at most a day [s]; what takes longer cannot be crossed."""


@dataclass(frozen=True, eq=False)
class Obstacle:
    """A barrier laid out on the plane of a grid.

    Parameters
    ----------
    areas
        Polygons: outer ring and holes, each (n, 2) [m].
    lines
        Lines, each (n, 2) [m].
    edges
        Every edge of both, (n, 2, 2) [m].
    bounds
        Its south-west and north-east corners, (2, 2) [m].
    seconds
        Toll [s]; None when it cannot be crossed.
    crossings
        Lines along which it is open, each (n, 2) [m].
    """

    areas: tuple[tuple[Points, ...], ...]
    lines: tuple[Points, ...]
    edges: Edges
    bounds: Points
    seconds: float | None
    crossings: tuple[Points, ...]


@dataclass(frozen=True, eq=False)
class Burnt:
    """Barriers in a block of cells.

    Parameters
    ----------
    state
        Class of each cell, uint8, (rows, cols).
    toll
        Time to step from one class into another [s], float32, (256, 256), infinite into and out of `BLOCKED`;
        (1, 1) where no barrier has a toll.
    """

    state: npt.NDArray[np.uint8]
    toll: npt.NDArray[np.float32]


def lay_out(barriers: Sequence[Barrier], projector: Projector, faults: FaultList) -> tuple[Obstacle, ...]:
    """Project barriers and find where their crossings open them.

    Parameters
    ----------
    barriers
        As told.
    projector
        Onto the plane of the grid.
    faults
        Takes TERR-111 (neither area nor line), TERR-112 (toll not between 0 and a day), TERR-113 (a
        crossing more than 50 m from its barrier) and TERR-115 (a barrier that cannot be projected).
    """
    laid_out = (_laid_out(barrier, projector, faults) for barrier in barriers if _is_sound(barrier, faults))
    return tuple(obstacle for obstacle in laid_out if obstacle is not None)


def _is_sound(barrier: Barrier, faults: FaultList) -> bool:
    before = len(faults.found)
    where = f"barrier '{barrier.name}'"
    if barrier.areas is None and not any(len(line) >= 2 for line in barrier.lines):
        faults.add(
            BARRIER_EMPTY, "it has no area, and no line of two places.", where, "Draw it, or take it out."
        )
    if barrier.seconds is not None and not 0 <= barrier.seconds <= LONGEST_TOLL_S:
        faults.add(
            BARRIER_SECONDS,
            f"getting over it is said to take {barrier.seconds} s.",
            where,
            "Give 0 to 86400 seconds, or none if it cannot be crossed.",
        )
    return len(faults.found) == before


def _laid_out(barrier: Barrier, projector: Projector, faults: FaultList) -> Obstacle | None:
    polygons = barrier.areas.polygons if barrier.areas else ()
    areas = tuple(tuple(projector.to_xys(ring) for ring in polygon) for polygon in polygons)
    lines = tuple(projector.to_xys(line) for line in barrier.lines if len(line) >= 2)
    crossings = [projector.to_xys(crossing) for crossing in barrier.crossings]
    rings = edges_of(tuple(ring for polygon in areas for ring in polygon))
    edges = np.concatenate([rings, edges_of(lines)])
    if not all(np.all(np.isfinite(points)) for points in (edges, *crossings)):
        what = "part of it lies where the elevation model's coordinate system does not reach."
        faults.add(BARRIER_ASTRAY, what, f"barrier '{barrier.name}'", "Put its places right, or take it out.")
        return None
    openings = [
        _opening(barrier.name, places, told, rings=rings, edges=edges, faults=faults)
        for places, told in zip(barrier.crossings, crossings, strict=True)
    ]
    bounds = np.stack([edges.min(axis=(0, 1)), edges.max(axis=(0, 1))])
    return Obstacle(areas, lines, edges, bounds, barrier.seconds, crossings=tuple(openings))


def _opening(
    name: str, places: Sequence[LonLat], told: Points, *, rings: Edges, edges: Edges, faults: FaultList
) -> Points:
    """Find the line along which a crossing opens its barrier; a crossing a little off is moved onto it.

    One place on an area, a ford or a bridge told by its middle, opens the shortest way over.
    """
    place = places[0]
    inside = len(told) == 1 and holds(rings, told[0])
    gap, nearest = gap_between(edges, edges_of((told,)))
    if gap > CROSSING_REACH_M and not inside:
        faults.add(
            CROSSING_ASTRAY,
            f"the crossing at longitude {place.lon:.6f}, latitude {place.lat:.6f} lies {gap:.0f} m from it.",
            f"barrier '{name}'",
            f"Move it to within {CROSSING_REACH_M:.0f} m, or name the barrier it belongs to.",
        )
    if inside or (len(told) == 1 and len(rings) > 0 and nearest_on(rings, told[0])[0] == gap):
        return shortest_way_over(rings, told[0])
    return told if gap == 0 else np.concatenate([told, nearest[None]])


def burn(obstacles: Sequence[Obstacle], frame: Frame) -> Burnt:
    """Draw barriers into a block of cells.

    Parameters
    ----------
    obstacles
        Barriers on the plane of the grid.
    frame
        The cells.

    Raises
    ------
    Refused
        TERR-114 when barriers with tolls and their overlaps make more than 254 classes.
    """
    state = np.zeros((frame.rows, frame.cols), np.uint8)
    classes: list[frozenset[int]] = [frozenset()]
    for number, obstacle in enumerate(obstacles):
        if obstacle.seconds == 0 or not _reaches(obstacle, frame):
            continue
        mask = _drawn(obstacle, frame)
        if obstacle.seconds is None:
            state[mask] = BLOCKED
            continue
        for old in np.unique(state[mask]):
            if old != BLOCKED:
                state[mask & (state == old)] = _class_of(classes, classes[old] | {number})
    return Burnt(state, _tolls(classes, obstacles))


def _class_of(classes: list[frozenset[int]], held: frozenset[int]) -> int:
    if held not in classes:
        if len(classes) == BLOCKED:
            raise refuse(
                TOO_MANY_BARRIERS,
                f"more than {BLOCKED - 1} barriers with a time of their own, overlaps counted, lie together.",
                "barriers",
                "Join barriers of the same kind into one, or leave out those that nobody crosses.",
            )
        classes.append(held)
    return classes.index(held)


def _reaches(obstacle: Obstacle, frame: Frame) -> bool:
    (west, south), (east, north) = frame.to_cells(obstacle.bounds)
    return bool(east >= 0 and west <= frame.cols and south >= 0 and north <= frame.rows)


def _drawn(obstacle: Obstacle, frame: Frame) -> Mask:
    mask = frame.empty()
    for rings in obstacle.areas:
        draw_area(mask, frame, rings)
    for line in obstacle.lines:
        draw_line(mask, frame, line)
    for crossing in obstacle.crossings:
        around = frame.grown()  # a crossing just outside opens cells inside
        opened = around.empty()
        draw_line(opened, around, crossing)
        mask &= ~widen(opened)[1:-1, 1:-1]
    return mask


def _tolls(classes: Sequence[frozenset[int]], obstacles: Sequence[Obstacle]) -> npt.NDArray[np.float32]:
    if len(classes) == 1:
        return np.zeros((1, 1), np.float32)
    toll = np.full((BLOCKED + 1, BLOCKED + 1), np.inf, np.float32)
    seconds = {number: obstacles[number].seconds or 0.0 for held in classes for number in held}
    for i, here in enumerate(classes):
        for j, there in enumerate(classes):
            toll[i, j] = sum(seconds[number] for number in there - here)
    return toll
