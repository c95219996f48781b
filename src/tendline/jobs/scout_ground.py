"""Owns which ground is scouted and what is known of it: heights, features, barriers, sign, deer.

Does not own what is made of it (`terrain.scouting`) or reading a format (`ground`).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList, refuse
from tendline.core.grid import Grid
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.words import Happened
from tendline.ground.heights import block_mean
from tendline.jobs.faults import NOT_SCOUTED, NOWHERE, WORD
from tendline.jobs.heights import Heights, bounds_round, extent_m, has_heights, heights_within, models_of
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.layers import read_barriers
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import effective
from tendline.logbook.store import SourceFile
from tendline.terrain.draw import Mask
from tendline.terrain.layers import COVER, Layers, lay_down
from tendline.terrain.scouting import LARGEST_CELLS

MARGIN = 0.2
"""How much ground round the area is taken in, as a share of its extent: edges make false pinches."""

LEAST_MARGIN_M = 300.0
"""And at least so much [m]."""

Box = tuple[float, float, float, float]
"""West, south, east, north [degrees]."""


@dataclass(frozen=True, eq=False)
class ScoutGround:
    """The ground of one scouting.

    Parameters
    ----------
    grid
        Heights, with a margin round the area.
    layers
        What is drawn on it.
    within
        The area itself, (rows, cols).
    said
        What a reader must know: what is not known, where the margin is short.
    """

    grid: Grid
    layers: Layers
    within: Mask
    said: tuple[str, ...]


def scout_ground(
    space: Workspace,
    line: LineState,
    animal: str,
    *,
    parcels: Sequence[str] = (),
    box: Box | None = None,
    cell_m: float | None = None,
) -> ScoutGround:
    """Put together what is known of the ground.

    Parameters
    ----------
    space, line
        The opened line, and how it stands.
    animal
        Whose sign counts.
    parcels
        The area is these; every parcel when empty.
    box
        The area is this instead.
    cell_m
        Size of the cells wanted [m]; as the model has them when None.

    Raises
    ------
    Refused
        JOB-411 without elevation model; JOB-413 when the area lies outside it, or has too many cells; JOB-301
        for a parcel that is none; GND-xxx.
    """
    with space.store() as store:
        sources = store.sources()
    if not has_heights(sources):
        raise refuse(
            NOT_SCOUTED,
            "no elevation model was brought in.",
            "",
            "Bring a GeoTIFF of heights: tendline bring heights.tif.",
        )
    corners = _corners(line, parcels, box)
    heights = _heights(space, sources, corners, cell_m)
    part, within, said = _cut(heights.grid, corners, ", ".join(heights.files))
    part, within = _coarser(part, within, cell_m)
    if part.z.size > LARGEST_CELLS:
        fit = math.ceil(math.sqrt(part.dx * part.dy * part.z.size / LARGEST_CELLS))
        raise refuse(
            NOWHERE,
            f"the area has {part.z.size:,} cells; {LARGEST_CELLS:,} is the most.",
            "",
            f"Name fewer parcels, or larger cells: --cell {fit}m.",
        )
    features, barriers = read_features(space), read_barriers(space, sources)
    signs, deer = _seen(space, line, animal)
    layers = lay_down(part, features, barriers, signs=signs, deer=deer)
    said = (f"heights from {', '.join(heights.files)}", *heights.said, *said)
    return ScoutGround(part, layers, within, (*said, *_unknown(layers)))


def _heights(
    space: Workspace, sources: Sequence[SourceFile], corners: Sequence[LonLat], cell_m: float | None
) -> Heights:
    """Read the heights of the area and its margin, and no more of the models than that."""
    extent = max(extent_m(bounds_round(corners, 0.0)))
    # The grid may lie aslant to north: a tenth more holds the corners.
    bounds = bounds_round(corners, 1.1 * max(MARGIN * extent, LEAST_MARGIN_M))
    found = heights_within(space, sources, bounds, least_m=cell_m or 0.0)
    if found is None:
        names = ", ".join(model.name for model in models_of(space, sources))
        raise refuse(
            NOWHERE,
            f"the area lies outside the elevation model {names}.",
            "",
            "Bring a model that reaches over it, or choose another area.",
        )
    return found


def _corners(line: LineState, parcels: Sequence[str], box: Box | None) -> list[LonLat]:
    if box is not None:
        west, south, east, north = box
        if not (west < east and south < north):
            raise refuse(NOWHERE, "the box has no inside.", "--box", "Give W,S,E,N with W < E and S < N.")
        return [LonLat(lon, lat) for lon in (west, east) for lat in (south, north)]
    known = {name.lower(): parcel for name, parcel in line.parcels.items()}
    faults = FaultList()
    for name in parcels:
        if name.lower() not in known:
            faults.add(
                WORD, f"there is no parcel '{name}'.", "--parcel", f"Parcels: {', '.join(line.parcels)}."
            )
    faults.refuse()
    held = [known[name.lower()] for name in parcels] or list(line.parcels.values())
    if held:
        return [place for parcel in held for polygon in parcel.outline.polygons for place in polygon[0]]
    if not line.sets:
        raise refuse(
            NOWHERE,
            "there is no parcel and no set to scout round.",
            "",
            "Bring parcels, or give --box W,S,E,N.",
        )
    return [one.fix.place for one in line.sets.values()]


def _cut(grid: Grid, corners: Iterable[LonLat], name: str) -> tuple[Grid, Mask, tuple[str, ...]]:
    """Cut the area with its margin out of the model."""
    points = Projector(grid.crs).to_xys(corners)
    (west, south), (east, north) = points.min(axis=0), points.max(axis=0)
    rows, cols = grid.shape
    # A place alone has no extent: look round it as far as the margin.
    margin = max(MARGIN * max(east - west, north - south), LEAST_MARGIN_M)
    row0, row1 = ((grid.north - y) / grid.dy for y in (north, south))
    col0, col1 = ((x - grid.west) / grid.dx for x in (west, east))
    if not all(map(math.isfinite, (row0, row1, col0, col1))) or not (
        row1 > 0 and row0 < rows and col1 > 0 and col0 < cols
    ):
        raise refuse(
            NOWHERE,
            f"the area lies outside the elevation model {name}.",
            "",
            "Bring a model that reaches over it, or choose another area.",
        )
    down, across = margin / grid.dy, margin / grid.dx
    r0, c0 = max(0, math.floor(row0 - down)), max(0, math.floor(col0 - across))
    part = grid.window(r0, math.ceil(row1 + down), c0, math.ceil(col1 + across))
    within = np.zeros(part.shape, np.bool_)
    within[
        max(0, math.floor(row0) - r0) : math.ceil(row1) - r0,
        max(0, math.floor(col0) - c0) : math.ceil(col1) - c0,
    ] = True
    said = []
    if row0 < 0 or col0 < 0 or row1 > rows or col1 > cols:
        said.append("part of the area lies outside the elevation model: nothing is told there")
    elif row0 < down or col0 < across or row1 + down > rows or col1 + across > cols:
        said.append("the elevation model ends close to the area: travel near that edge is not to be trusted")
    gaps = float(np.isnan(part.z[within]).mean())
    if gaps > 0:
        said.append(f"{gaps:.1%} of the area has no height and counts as closed")
    return part, within, tuple(said)


def _coarser(grid: Grid, within: Mask, cell_m: float | None) -> tuple[Grid, Mask]:
    if cell_m is None or cell_m < 1.5 * max(grid.dx, grid.dy):
        return grid, within
    block = round(cell_m / max(grid.dx, grid.dy))
    z = block_mean(grid.z, block)
    part = Grid(z, grid.crs, grid.west, grid.north, grid.dx * block, grid.dy * block)
    inside = within[::block, ::block][: part.shape[0], : part.shape[1]]
    return part, np.ascontiguousarray(inside)


def _seen(space: Workspace, line: LineState, animal: str) -> tuple[list[LonLat], list[LonLat]]:
    """Give where sign of the animal was seen, and where deer were: their sign, loops they knocked down."""
    signs: list[LonLat] = []
    deer: list[LonLat] = []
    for one in effective(space.events()):
        if one.happened_at > space.now:
            continue
        held = line.sets.get(str(one.body.get("set", "")))
        place = one.fix.place if one.fix is not None else held.fix.place if held is not None else None
        if place is None:
            continue
        species = str(one.body.get("species", "")).lower()
        if one.event.kind == "sign-seen" and species in (animal, "deer"):
            (deer if species == "deer" else signs).append(place)
        elif one.event.kind == "check" and one.body.get("what_happened") == Happened.DEER:
            deer.append(place)
    return signs, deer


def _unknown(layers: Layers) -> list[str]:
    """Say what is not known of the ground."""
    said = []
    if not any(name in layers.drawn for name in COVER):
        said.append("no cover is drawn (woods, brush, field, marsh, water): the ground counts as all alike")
    for names, what in (
        (("water", "river", "barrier"), "water"),
        (("road", "driveway"), "roads"),
        (("dwelling", "building", "village"), "houses"),
        (("field-edge", "brush-line", "old-road", "right-of-way", "game-trail"), "lines that animals follow"),
        (("fence-crossing", "log", "culvert", "crossing"), "crossings"),
        (("sign",), "sign of it"),
        (("deer-use", "deer"), "deer"),
    ):
        if not any(name in layers.drawn for name in names):
            said.append(f"no {what} drawn or noted here: that is not known, and does not mean there is none")
    return said
