"""Owns the job `tendline scout`: where the land pinches travel, as a list, a map layer and waypoints.

Does not own the ground (`scout_ground`), spots (`scout_spots`), files (`scout_files`) or the comparison with
what was seen since (`scout_compare`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tendline.core.errors import FaultList, refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.units import parse_length
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NOWHERE, WORD
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.layers import read_barriers
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.scout_corridors import corridors, end_of
from tendline.jobs.scout_files import file_names, keep, write_out
from tendline.jobs.scout_ground import Box, ScoutGround, scout_ground
from tendline.jobs.scout_spots import Teller, shared_spots
from tendline.jobs.scout_weights import read_weights
from tendline.jobs.workspace import Workspace, open_workspace
from tendline.report.scout_facts import ScoutTold
from tendline.report.scout_json import scouts_document
from tendline.report.scout_text import scouts_text
from tendline.rules.shape import Profile
from tendline.terrain.ready import warm_up, warm_up_current
from tendline.terrain.scouting import LARGEST_CELLS, WHOLE_CELLS, Asked, Scouted
from tendline.terrain.scouting_each import Area, scout_each
from tendline.terrain.weights import AnimalWeights

SEED = 20260115
"""Seed of the varied weights: the same ground gives the same answer. Any other would do."""

_BAND_BYTES = 110
"""Of memory a cell takes where everything is done in one process, as measured."""

SHIPPED = "shipped"
"""The word for the weights that come with tendline."""


@dataclass(frozen=True)
class ScoutAsked:
    """What is asked of a scouting.

    Parameters
    ----------
    animals
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
        Files of the person's own, side by side; `SHIPPED` for those that come with tendline.
    others
        Further line folders, scouted likewise.
    variations, seed
        How often weights are varied, and the seed.
    scheduler
        Address of a cluster.
    out
        Folder for the map layer and the waypoints.
    keep
        Keep the prediction, to be held against what is seen later.
    """

    animals: tuple[str, ...] = ("coyote",)
    parcels: tuple[str, ...] = ()
    box: Box | None = None
    between: tuple[tuple[str, str], ...] = ()
    count: int = 12
    apart_m: float = 150.0
    cell_m: float | None = None
    weights: tuple[str, ...] = (SHIPPED,)
    others: tuple[str, ...] = ()
    variations: int = 12
    seed: int = SEED
    scheduler: str | None = None
    out: Path | None = None
    keep: bool = False


@dataclass(frozen=True, eq=False)
class _Case:
    """One line, one animal, one set of weights."""

    space: Workspace
    line: LineState
    ground: ScoutGround
    weights: AnimalWeights
    weights_name: str
    ends: tuple[tuple[LonLat, LonLat], ...]
    profiles: Mapping[str, Profile]


def scout(
    space: Workspace, asked: ScoutAsked, *, width: int = 100, tell: Callable[[str], None] = print
) -> Answer:
    """Scout; several lines, animals and weights in one call, each as it would be alone.

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
        JOB-101, JOB-104, JOB-301, JOB-411 to JOB-413; TERR-121, TERR-122, TERR-131; GND-xxx, RULE-1xx.
    """
    _check(asked)
    cases = [
        case
        for one in (space, *(_likewise(space, folder) for folder in asked.others))
        for case in _cases(one, asked)
    ]
    for ready in (warm_up, warm_up_current):
        ready(lambda: tell("making the kernels ready for this machine, once: some seconds"))
    _tell_size(cases, asked, tell)
    found = scout_each(
        [Area(case.ground.grid, case.ground.layers, case.weights, case.ground.within) for case in cases],
        Asked(asked.count, asked.apart_m, asked.variations, asked.seed, asked.scheduler),
    )
    tell("walking to the spots")
    names = file_names([(c.space.folder.name, c.weights.animal, c.weights_name) for c in cases])
    told = [_told(case, one, asked) for case, one in zip(cases, found, strict=True)]
    # Nothing is written before all of it is known.
    told = [
        _written(case, one, each, asked, name)
        for case, one, each, name in zip(cases, found, told, names, strict=True)
    ]
    shared = shared_spots(told, asked.apart_m)
    warnings = tuple(dict.fromkeys(said for case in cases for said in case.line.warnings))
    return Answer(scouts_text(told, shared, width=width), scouts_document(told, shared), warnings=warnings)


def _tell_size(cases: Sequence[_Case], asked: ScoutAsked, tell: Callable[[str], None]) -> None:
    """Say how much there is to do; refuse what would not fit into memory."""
    sizes = [case.ground.grid.z.size for case in cases]
    if sum(sizes) > LARGEST_CELLS:
        what = f"these are {sum(sizes):,} cells together; {LARGEST_CELLS:,} are the most in one call."
        raise refuse(NOWHERE, what, "", "Ask for fewer lines, animals and weights at once, or larger --cell.")
    tell(f"working out travel over {sum(sizes):,} cells, in four directions")
    if max(sizes) > WHOLE_CELLS and asked.scheduler is None:
        gigabytes = max(sizes) * _BAND_BYTES / 1e9
        tell(f"that takes some {gigabytes:.0f} GB of memory here; --scheduler spreads it over workers")


def _likewise(space: Workspace, folder: str) -> Workspace:
    """Open another line at the same moment and in the same units."""
    other = open_workspace(folder)
    return replace(other, now=space.now, settings=replace(other.settings, units=space.settings.units))


def _cases(space: Workspace, asked: ScoutAsked) -> list[_Case]:
    line = space.line()
    ends = tuple((end_of(a, line), end_of(b, line)) for a, b in asked.between)
    profiles = profiles_in_use(space, line)
    cases = []
    for word in asked.animals:
        animal = word.strip().lower()
        weights = [
            (name, read_weights(None if name == SHIPPED else Path(name), animal)) for name in asked.weights
        ]
        ground = scout_ground(space, line, animal, parcels=asked.parcels, box=asked.box, cell_m=asked.cell_m)
        cases += [_Case(space, line, ground, held, name, ends, profiles) for name, held in weights]
    return cases


def _told(case: _Case, found: Scouted, asked: ScoutAsked) -> ScoutTold:
    space, ground = case.space, case.ground
    with space.store() as store:
        barriers = read_barriers(space, store.sources())
    teller = Teller(
        space,
        case.line,
        features=read_features(space),
        barriers=barriers,
        profiles=case.profiles,
        heights=ground.grid,
        animal=case.weights.animal,
    )
    return ScoutTold(
        line=space.folder.name,
        animal=case.weights.animal,
        weights="those that come with tendline"
        if case.weights_name == SHIPPED
        else Path(case.weights_name).name,
        cells=ground.grid.z.size,
        cell_m=max(ground.grid.dx, ground.grid.dy),
        residual=found.residual,
        islands=found.islands,
        spots=teller.tell(ground.grid, found),
        corridors=corridors(ground, found, asked.between, case.ends),
        said=(*ground.said, *_not_in_weights(ground, case.weights.things)),
        written=(),
        settings=space.settings,
        now=space.now,
    )


def _written(case: _Case, found: Scouted, told: ScoutTold, asked: ScoutAsked, name: str) -> ScoutTold:
    told = write_out(told, case.ground, found, asked.out, name=name)
    return keep(case.space, told, case.ground, found, name=name) if asked.keep else told


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
    for words, where in ((asked.parcels, "--parcel"), (asked.between, "--between")):
        if words and asked.others:
            faults.add(WORD, "it names places of one line only.", where, "Leave it out, or --with.")
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


def _not_in_weights(ground: ScoutGround, things: object) -> list[str]:
    """Name what is drawn and has no weight: it does nothing."""
    weighed = set(things) if isinstance(things, dict) else set()
    unused = sorted(set(ground.layers.drawn) - weighed - {"field-corner", "deer", "deer-use"})
    return [f"drawn, but without a weight for it: {', '.join(unused)}"] if unused else []
