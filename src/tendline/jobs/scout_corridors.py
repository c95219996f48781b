"""Owns the least hard ways between places that are named, as a scouting tells them.

Does not own finding a way (`terrain.least_cost`).
"""

from collections.abc import Sequence

import numpy as np

from tendline.almanac.geodesy import Projector, path_m
from tendline.core.errors import Refused, refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.jobs.faults import NOWHERE, WORD
from tendline.jobs.scout_ground import ScoutGround
from tendline.jobs.words_in import place_value
from tendline.report.scout_facts import CorridorTold
from tendline.terrain.least_cost import corridor
from tendline.terrain.scouting import Scouted


def end_of(text: str, line: LineState) -> LonLat:
    """Give the place of a parking, landmark or set, or of a longitude and latitude, as written.

    Raises
    ------
    Refused
        JOB-301 when it is none of these.
    """
    wanted = text.strip().lower()
    for name, place in (
        *((one.name, one.place) for one in line.parkings.values()),
        *((one.name, one.place) for one in line.landmarks.values()),
        *((one.name, one.fix.place) for one in line.sets.values()),
    ):
        if name.lower() == wanted:
            return place
    try:
        return place_value(text, where="--between").place
    except Refused:
        raise refuse(
            WORD,
            f"'{text}' is no parking, landmark or set, and no LON,LAT.",
            "--between",
            "Name a place on record, or give longitude and latitude.",
        ) from None


def corridors(
    ground: ScoutGround,
    found: Scouted,
    names: Sequence[tuple[str, str]],
    ends: Sequence[tuple[LonLat, LonLat]],
) -> tuple[CorridorTold, ...]:
    """Find the least hard ways.

    Parameters
    ----------
    ground, found
        What was scouted.
    names, ends
        Of each way, as written and as places.

    Raises
    ------
    Refused
        JOB-413 when an end lies outside the ground.
    """
    grid, turn = ground.grid, Projector(ground.grid.crs)
    told = []
    for (a, b), places in zip(names, ends, strict=True):
        cells = [grid.cell_of(*turn.to_xy(place)) for place in places]
        start, end = cells
        if start is None or end is None:
            raise refuse(
                NOWHERE,
                f"{a if start is None else b} lies outside the area and its margin.",
                "--between",
                "Choose a nearer place, or a larger area.",
            )
        way = corridor(found.resistance, start, end, dx=grid.dx, dy=grid.dy)
        points = np.array([grid.centre_of(int(row), int(col)) for row, col in way.cells])
        path = turn.to_lonlats(points)
        length = path_m(path)
        told.append(CorridorTold(a, b, path, length, way.cost / max(length, grid.dx)))
    return tuple(told)
