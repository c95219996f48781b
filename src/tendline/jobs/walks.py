"""Owns finding how long it takes to walk between places of the line: over heights, or straight.

Does not own the walking kernel (`terrain`), which places are walked among, or drives (`round_ground`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from tendline.almanac.effort import walking_power
from tendline.almanac.gait import gait_of
from tendline.almanac.geodesy import Projector, distances_m
from tendline.almanac.travel import pace_tobler1993, straight_walk_s
from tendline.core.grid import Grid
from tendline.core.place import LonLat
from tendline.jobs.heights import has_heights, heights_round
from tendline.jobs.layers import barriers_in, paths_of, read_things
from tendline.jobs.workspace import Workspace
from tendline.logbook.store import SourceFile
from tendline.plan.itinerary import Travel

COARSEST_M = 30.0
"""Cells larger than this are cut finer before walking on them [m]."""

ROUND_ABOUT_M = 3000.0
"""How far round the places heights are read, for ways round about [m]."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class OnFoot:
    """Walks among places.

    Parameters
    ----------
    walk
        Times and lengths.
    said
        What the reader must know about them, a sentence each.
    path, energy_j
        Give the way between two places, and what it costs the body [J].
    """

    walk: Travel
    said: tuple[str, ...]
    path: Callable[[str, str], tuple[LonLat, ...]]
    energy_j: Callable[[str, str], float]


def walks_between(
    space: Workspace,
    places: Mapping[str, LonLat],
    groups: Sequence[set[str]],
    sources: Sequence[SourceFile],
    *,
    dark: bool,
    tell: Tell,
) -> OnFoot:
    """Work out every walk within groups of places.

    Parameters
    ----------
    space
        The opened line.
    places
        By name.
    groups
        Names of places that share ground.
    sources
        What was brought in.
    dark
        Whether the person walks in the dark.
    tell
        Is told how far things are.

    Raises
    ------
    Refused
        JOB-404, TERR-1xx, GND-xxx.
    """
    if not has_heights(sources):
        return _straight_walks(space, places, groups, dark=dark)
    from tendline.terrain.energy import energy_j  # noqa: PLC0415 - heavy, and only with heights
    from tendline.terrain.ready import warm_up  # noqa: PLC0415
    from tendline.terrain.walk import walk_matrix  # noqa: PLC0415

    heights = heights_round(space, sources, places, reach_m=ROUND_ABOUT_M)
    things = read_things(space, sources)
    barriers = barriers_in(things)
    paths = paths_of(things, space.settings.walk.paths)
    warm_up(lambda: tell("making the walking times ready for this machine, once: some seconds"))
    found = walk_matrix(
        fine_enough(heights.grid, places),
        places,
        groups=groups,
        costs=space.settings.walk,
        barriers=barriers,
        paths=paths,
        dark=dark,
        on_progress=lambda done, total: tell(f"walking times: {done} of {total}"),
    )
    files = ", ".join(heights.files)
    gait = gait_of(space.settings.walk, dark=dark)
    how = ", ".join(gait.said)
    said = [
        f"walking times from {files}, {len(barriers)} barrier(s), {len(paths)} path(s): {how}",
        *heights.said,
    ]
    travel = Travel(found.names, found.seconds, found.metres, np.zeros(found.seconds.shape, bool))
    energy = partial(energy_j, found, gait=gait, costs=space.settings.walk)
    return OnFoot(travel, tuple(said), found.path, energy)


def fine_enough(grid: Grid, places: Mapping[str, LonLat], *, round_about_m: float = ROUND_ABOUT_M) -> Grid:
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
    down, across = int(round_about_m / grid.dy), int(round_about_m / grid.dx)
    part = grid.window(min(rows) - down, max(rows) + down + 1, min(cols) - across, max(cols) + across + 1)
    return refine(part, at_most_m=COARSEST_M)


def _straight_walks(
    space: Workspace, places: Mapping[str, LonLat], groups: Sequence[set[str]], *, dark: bool
) -> OnFoot:
    names = tuple(places)
    straight = distances_m(list(places.values()), list(places.values()))
    costs = space.settings.walk
    shared = np.eye(len(names), dtype=bool)
    for group in groups:
        inside = np.array([name in group for name in names])
        shared |= inside[:, None] & inside[None, :]
    gait = gait_of(costs, dark=dark)
    factor = gait.factor * float(gait.pace(np.zeros(1))[0]) / float(pace_tobler1993(0.0))
    metres = np.where(shared, straight * costs.detour, np.inf)
    seconds = np.where(shared, straight_walk_s(straight, costs.detour, factor), np.inf)
    np.fill_diagonal(metres, 0.0)
    np.fill_diagonal(seconds, 0.0)
    how = ", ".join(gait.said)
    level = f"straight distance times {costs.detour:g}, as on flat ground"
    said = f"no elevation model: walking is {level}: {how}"

    def energy(a: str, b: str) -> float:
        i, j = names.index(a), names.index(b)
        if not seconds[i, j] > 0:
            return 0.0
        speed = float(metres[i, j] / seconds[i, j])
        told = {"body_kg": costs.body_kg, "load_kg": costs.load_kg, "terrain": gait.terrain}
        return walking_power(speed, 0.0, **told) * float(seconds[i, j])

    travel = Travel(names, seconds, metres, shared)
    return OnFoot(travel, (said,), lambda a, b: (places[a], places[b]), energy)
