"""Owns the job `tendline scout`: where the land pinches travel, as a list, a map layer and waypoints.

Does not own the ground (`scout_ground`), spots (`scout_spots`), files (`scout_files`) or the comparison with
what was seen since (`scout_compare`).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tendline.almanac.geodesy import Projector, path_m
from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.units import parse_length
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NOWHERE, WORD
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.layers import read_barriers
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.scout_files import keep, write_out
from tendline.jobs.scout_ground import Box, ScoutGround, scout_ground
from tendline.jobs.scout_spots import Teller
from tendline.jobs.scout_weights import read_weights
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import Workspace
from tendline.report.scout_facts import CorridorTold, ScoutTold
from tendline.report.scout_json import scout_document
from tendline.report.scout_text import scout_text
from tendline.terrain.least_cost import corridor
from tendline.terrain.ready import warm_up, warm_up_current
from tendline.terrain.scouting import Asked, Scouted
from tendline.terrain.scouting import scout as scout_area

SEED = 20260115
"""Seed of the varied weights: the same ground gives the same answer. Any other would do."""


@dataclass(frozen=True)
class ScoutAsked:
    """What is asked of a scouting.

    Parameters
    ----------
    animal
        Whose travel.
    parcels, box
        Which area; every parcel when neither is told.
    between
        Pairs of places, as written, between which the least hard way is wanted.
    count, apart_m
        How many spots at most, how far apart [m].
    cell_m
        Size of the cells [m]; as the model has them when None.
    weights
        A file of the person's own.
    variations, seed
        How often weights are varied, and the seed.
    scheduler
        Address of a cluster.
    out
        Folder for the map layer and the waypoints.
    keep
        Keep the prediction, to be held against what is seen later.
    """

    animal: str = "coyote"
    parcels: tuple[str, ...] = ()
    box: Box | None = None
    between: tuple[tuple[str, str], ...] = ()
    count: int = 12
    apart_m: float = 150.0
    cell_m: float | None = None
    weights: Path | None = None
    variations: int = 12
    seed: int = SEED
    scheduler: str | None = None
    out: Path | None = None
    keep: bool = False


def scout(
    space: Workspace, asked: ScoutAsked, *, width: int = 100, tell: Callable[[str], None] = print
) -> Answer:
    """Scout.

    Parameters
    ----------
    space
        The opened line.
    asked
        What is wanted.
    width
        Of the terminal [characters].
    tell
        Is told how far things are.

    Raises
    ------
    Refused
        JOB-104, JOB-301, JOB-411 to JOB-413; TERR-121, TERR-122, TERR-131; GND-xxx, RULE-1xx.
    """
    _check(asked)
    animal = asked.animal.strip().lower()
    weights = read_weights(asked.weights, animal)
    line = space.line()
    ends = [(_end(a, line), _end(b, line)) for a, b in asked.between]
    ground = scout_ground(space, line, animal, parcels=asked.parcels, box=asked.box, cell_m=asked.cell_m)
    profiles = profiles_in_use(space, line)
    for ready in (warm_up, warm_up_current):
        ready(lambda: tell("making the kernels ready for this machine, once: some seconds"))
    tell(f"working out travel over {ground.grid.z.size:,} cells, in four directions")
    found = scout_area(
        ground.grid,
        ground.layers,
        weights,
        within=ground.within,
        asked=Asked(asked.count, asked.apart_m, asked.variations, asked.seed, asked.scheduler),
    )
    with space.store() as store:
        barriers = read_barriers(space, store.sources())
    tell("walking to the spots")
    teller = Teller(
        space,
        line,
        features=read_features(space),
        barriers=barriers,
        profiles=profiles,
        heights=ground.grid,
        animal=animal,
    )
    told = ScoutTold(
        animal=animal,
        weights=asked.weights.name if asked.weights is not None else "those that come with tendline",
        cells=ground.grid.z.size,
        cell_m=max(ground.grid.dx, ground.grid.dy),
        residual=found.residual,
        islands=found.islands,
        spots=teller.tell(ground.grid, found),
        corridors=_corridors(ground, found, asked.between, ends),
        said=(*ground.said, *_not_in_weights(ground, weights.things)),
        written=(),
        settings=space.settings,
        now=space.now,
    )
    told = write_out(told, ground, found, asked.out)
    if asked.keep:
        told = keep(space, told, ground, found)
    return Answer(scout_text(told, width=width), scout_document(told), warnings=line.warnings)


def scout_length(text: str, where: str) -> float:
    """Read a length as written [m].

    Raises
    ------
    Refused
        CORE-101 and others of `core.units.parse_length`.
    """
    return parse_length(text, where=where)


def _check(asked: ScoutAsked) -> None:
    faults = FaultList()
    for value, low, high, where in (
        (asked.count, 1, 200, "--count"),
        (asked.apart_m, 10, 5000, "--apart"),
        (asked.variations, 0, 200, "--variations"),
        (asked.cell_m or 10, 1, 1000, "--cell"),
    ):
        if not low <= value <= high:
            unit = " m" if where in ("--apart", "--cell") else ""
            faults.add(WORD, f"{value:g}{unit} is out of range.", where, f"Give {low} to {high}{unit}.")
    faults.refuse()


def _end(text: str, line: LineState) -> LonLat:
    """Give the place of a parking, landmark or set, or of a longitude and latitude, as written."""
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


def _corridors(
    ground: ScoutGround,
    found: Scouted,
    names: Sequence[tuple[str, str]],
    ends: Sequence[tuple[LonLat, LonLat]],
) -> tuple[CorridorTold, ...]:
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


def _not_in_weights(ground: ScoutGround, things: object) -> list[str]:
    """Name what is drawn and has no weight: it does nothing."""
    weighed = set(things) if isinstance(things, dict) else set()
    unused = sorted(set(ground.layers.drawn) - weighed - {"field-corner", "deer", "deer-use"})
    return [f"drawn, but without a weight for it: {', '.join(unused)}"] if unused else []
