"""Owns current across an area from edge to edge, in four directions, and how dense it is in each cell.

Does not own what resists (terrain.surface) or solving (terrain.current).

Current enters on one edge, at potential one, and leaves on the opposite, at potential zero, through half a
cell. Each direction is scaled to carry one in all, so that none counts for more because its way is shorter.
"""

# ruff: noqa: PLR0917 - the compiler takes arrays one by one
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from tendline.core.errors import refuse
from tendline.terrain.compiling import Float32, Float64, compiled
from tendline.terrain.current import NO_WEAK, TOLERANCE, Flow, leads, solve, ties_of
from tendline.terrain.faults import NO_CURRENT


class Direction(StrEnum):
    """From which edge to which."""

    WEST_EAST = "west-east"
    NORTH_SOUTH = "north-south"
    NORTHWEST_SOUTHEAST = "northwest-southeast"
    SOUTHWEST_NORTHEAST = "southwest-northeast"


EVERY = tuple(Direction)
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Crossing:
    """Current from edge to edge.

    Parameters
    ----------
    direction
        Which edges.
    density
        How dense the current is in each cell, (rows, cols), float32: 1 is what an even area of that size
        would carry per metre of width; 0 where nothing passes.
    conductance
        Of the whole area between the edges.
    flow
        The potentials, and how well they are known.
    imbalance
        Difference between what enters and what leaves, as a share.
    """

    direction: Direction
    density: Float32
    conductance: float
    flow: Flow
    imbalance: float


@dataclass(frozen=True, eq=False)
class Ends:
    """Where current enters and leaves: along the western and eastern side, and along two others.

    Parameters
    ----------
    west, east
        Rows that take part, (rows,): current enters in the west and leaves in the east.
    first, last
        Columns that take part on the side where current enters, and where it leaves, (cols,).
    upward
        It enters in the south and leaves in the north, not the other way.
    """

    west: Mask
    east: Mask
    first: Mask
    last: Mask
    upward: bool = False


def ends(direction: Direction, shape: tuple[int, int]) -> Ends:
    """Say where current enters and leaves.

    A diagonal direction runs from the two half sides that meet in one corner to those that meet in the other.
    """
    rows, cols = shape
    row, col = np.arange(rows), np.arange(cols)
    high, low, left, right = 2 * row < rows - 1, 2 * row > rows - 1, 2 * col < cols - 1, 2 * col > cols - 1
    side, none = np.ones(rows, np.bool_), np.zeros(rows, np.bool_)
    top, nowhere = np.ones(cols, np.bool_), np.zeros(cols, np.bool_)
    found = {
        Direction.WEST_EAST: Ends(side, side, nowhere, nowhere),
        Direction.NORTH_SOUTH: Ends(none, none, top, top),
        Direction.NORTHWEST_SOUTHEAST: Ends(high, low, left, right),
        Direction.SOUTHWEST_NORTHEAST: Ends(low, high, left, right, upward=True),
    }
    return found[direction]


def across(
    resistance: npt.ArrayLike,
    direction: Direction,
    *,
    dx: float = 1.0,
    dy: float = 1.0,
    tolerance: float = TOLERANCE,
) -> Crossing:
    """Let current flow across an area.

    Parameters
    ----------
    resistance
        Of each cell, positive, (rows, cols); infinite where nothing passes.
    direction
        From which edge to which.
    dx, dy
        Width and height of a cell [m].
    tolerance
        As of `terrain.current.solve`.

    Raises
    ------
    Refused
        TERR-121 when nothing passes from edge to edge; TERR-122.

    Notes
    -----
    Four neighbours. Density is the length of the vector of flow at the middle of the cell, which does not
    depend on how the grid lies, as the sum over the cell's sides would.
    """
    r = np.asarray(resistance, np.float32)
    held = ends(direction, r.shape)
    west, east, north, south = edge_ties(r, held, dx, dy)
    (first, top), (last, foot) = ((-1, south), (0, north)) if held.upward else ((0, north), (-1, south))
    ground, into = np.zeros(r.shape), np.zeros(r.shape)
    into[:, 0] += west
    into[first] += top
    ground += into
    ground[:, -1] += east
    ground[last] += foot
    ties = ties_of(r, dx=dx, dy=dy)
    if not leads(ties, into, ground - into):
        raise refuse(
            NO_CURRENT, f"no way leads across, {direction}.", "", "Choose an area that can be walked across."
        )
    flow = solve(ties, ground, into, start=even_slope(direction, r.shape)(0, r.shape[0]), tolerance=tolerance)
    v = np.nan_to_num(flow.v)
    put_in = float(west @ (1.0 - v[:, 0]) + top @ (1.0 - v[first]))
    got_out = float(east @ v[:, -1] + foot @ v[last])
    density = np.zeros(r.shape, np.float32)
    flow_density(
        np.pad(v, 1), ties.e, ties.s, west, east, north, south, int(held.upward), NO_WEAK, dx, dy, density
    )
    wide = width(direction, r.shape, dx, dy)
    density *= np.float32(wide / got_out)
    return Crossing(direction, density, got_out, flow, abs(put_in - got_out) / got_out)


def width(direction: Direction, shape: tuple[int, int], dx: float, dy: float) -> float:
    """How wide the area is across the way [m]: its extent over the length of the straight way."""
    high, wide = shape[0] * dy, shape[1] * dx
    length = {Direction.WEST_EAST: wide, Direction.NORTH_SOUTH: high}
    return high * wide / length.get(direction, float(np.hypot(high, wide)))


def edge_ties(r: Float32, held: Ends, dx: float, dy: float) -> tuple[Float64, Float64, Float64, Float64]:
    """Give what ties the cells on the western, eastern, northern and southern side to where current goes."""
    north, south = (held.last, held.first) if held.upward else (held.first, held.last)
    with np.errstate(divide="ignore"):
        west, east = (
            np.where(part, 2.0 * dy / dx / r[:, k].astype(np.float64), 0.0)
            for part, k in ((held.west, 0), (held.east, -1))
        )
        top, foot = (
            np.where(part, 2.0 * dx / dy / r[k].astype(np.float64), 0.0)
            for part, k in ((north, 0), (south, -1))
        )
    return west, east, top, foot


def even_slope(direction: Direction, shape: tuple[int, int]) -> Callable[[int, int], Float64]:
    """Guess potentials: an even slope; gives those of the rows from the first told to before the last."""
    down, right = np.linspace(1.0, 0.0, shape[0])[:, None], np.linspace(1.0, 0.0, shape[1])[None]

    def rows(first: int, last: int) -> Float64:
        part = down[first:last]
        both = {
            Direction.WEST_EAST: 0.0 * part + right,
            Direction.NORTH_SOUTH: part + 0.0 * right,
            Direction.NORTHWEST_SOUTHEAST: (part + right) / 2.0,
            Direction.SOUTHWEST_NORTHEAST: (1.0 - part + right) / 2.0,
        }
        return both[direction]

    return rows


@compiled
def flow_density(
    v: Float64,
    e: Float32,
    s: Float32,
    west: Float64,
    east: Float64,
    north: Float64,
    south: Float64,
    upward: int,
    weak: float,
    dx: float,
    dy: float,
    out: Float32,
) -> None:
    """Work out the flow through the middle of every cell, per unit of width.

    Parameters
    ----------
    v
        Potentials with a rim, (rows + 2, cols + 2).
    e, s
        Ties, likewise.
    west, east, north, south
        Ties of the cells on each side to potential one where current enters, to zero where it leaves.
    upward
        1 where it enters in the south, else 0.
    weak
        As of `terrain.gradient.product`.
    dx, dy
        Size of a cell.
    out
        Takes the density. Changed.
    """
    rows, cols = out.shape
    none = np.float32(weak)
    for i in range(rows):
        for j in range(cols):
            a, b = i + 1, j + 1
            here = v[a, b]
            across_x = _along(e[a, b], none, here - v[a, b + 1])
            across_x += _along(e[a, b - 1], none, v[a, b - 1] - here)
            across_y = _along(s[a, b], none, here - v[a + 1, b])
            across_y += _along(s[a - 1, b], none, v[a - 1, b] - here)
            if j == 0:
                across_x += west[i] * (1.0 - here)
            if j == cols - 1:
                across_x += east[i] * here
            if i == 0:
                across_y += -north[j] * here if upward else north[j] * (1.0 - here)
            if i == rows - 1:
                across_y += -south[j] * (1.0 - here) if upward else south[j] * here
            out[i, j] = np.sqrt((across_x / (2.0 * dy)) ** 2 + (across_y / (2.0 * dx)) ** 2)


@compiled
def _along(tie: np.float32, none: np.float32, fall: float) -> float:
    """Give the flow along a tie."""
    return 0.0 if tie == none else float(tie) * fall


def all_round(crossings: Sequence[Crossing]) -> Float32:
    """Give the mean density over several directions, (rows, cols): what of all that passes, passes here."""
    whole = np.zeros(crossings[0].density.shape, np.float32)
    for one in crossings:
        whole += one.density / np.float32(len(crossings))
    return whole
