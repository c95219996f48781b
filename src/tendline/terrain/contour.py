"""Owns contour lines: which heights are drawn, the lines themselves, where their labels stand.

Does not own simplifying and writing them (ground.contour_out). The only door to contourpy.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import contourpy
import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.core.units import METRES_PER_FOOT, Units

Points = npt.NDArray[np.float64]

EVERY = 5
"""Each fifth line is a main one, drawn stronger and labelled: as on most topographic maps, from memory."""

_STEPS = {
    Units.METRIC: (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0),
    Units.US: tuple(
        feet * METRES_PER_FOOT for feet in (5.0, 10.0, 20.0, 40.0, 80.0, 100.0, 200.0, 500.0, 1000.0)
    ),
}
"""Steps between lines as maps have them [m]."""

_MOST_LINES = 24
_LABEL_M_LEAST = 60.0


@dataclass(frozen=True, eq=False)
class Contour:
    """One contour line.

    Parameters
    ----------
    height_m
        Height [m].
    main
        It is one of the stronger lines.
    points
        On the grid's plane [m], (n, 2), n at least 2; closed where first and last are one.
    """

    height_m: float
    main: bool
    points: Points


@dataclass(frozen=True)
class Label:
    """Where the height of a main line is written.

    Parameters
    ----------
    height_m
        What is written, in metres.
    x, y
        The middle of the label on the grid's plane [m].
    turn_deg
        How far the writing is turned, counter-clockwise from the east, -90 to 90 so that it stands upright.
    """

    height_m: float
    x: float
    y: float
    turn_deg: float


def fair_step(low_m: float, high_m: float, units: Units) -> float:
    """Choose the step between lines.

    Parameters
    ----------
    low_m, high_m
        Lowest and highest ground [m].
    units
        A round number of these.

    Returns
    -------
    float
        The smallest usual step [m] that makes no more than 24 lines; the largest there is where none does.
    """
    steps = _STEPS[units]
    return next((step for step in steps if (high_m - low_m) / step <= _MOST_LINES), steps[-1])


def next_step(step_m: float, units: Units) -> float | None:
    """Give the next larger usual step [m]; None beyond the largest."""
    return next((step for step in _STEPS[units] if step > step_m * 1.001), None)


def smoothed(grid: Grid) -> Grid:
    """Take the roughness of single cells out of heights that are to be drawn as lines.

    Returns
    -------
    Grid
        Weighted means over three by three cells (1 2 1 both ways); unknown cells stay unknown, and do not
        count in their neighbours.
    """
    known = np.isfinite(grid.z)
    weight = _binomial(known.astype(np.float32))
    total = _binomial(np.where(known, grid.z, np.float32(0)))
    with np.errstate(invalid="ignore", divide="ignore"):
        z = np.where(known, total / weight, np.float32(np.nan))
    return replace(grid, z=np.ascontiguousarray(z, np.float32))


def _binomial(z: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    framed = np.pad(z, 1)
    rows = framed[:-2] + 2 * framed[1:-1] + framed[2:]
    both: npt.NDArray[np.float32] = rows[:, :-2] + 2 * rows[:, 1:-1] + rows[:, 2:]
    return both


def contours(grid: Grid, step_m: float) -> tuple[Contour, ...]:
    """Draw the lines of equal height.

    Parameters
    ----------
    grid
        Heights [m].
    step_m
        Step between lines, above 0 [m]; lines lie at its multiples.

    Returns
    -------
    tuple of Contour
        By height, from low to high. Lines end at the middles of the outermost cells, and beside the unknown.

    References
    ----------
    contourpy contributors, contourpy: marching squares, heights linear between the middles of cells.
    """
    rows, cols = grid.shape
    known = np.isfinite(grid.z)
    if min(rows, cols) < 2 or not known.any():
        return ()
    x = grid.west + (np.arange(cols) + 0.5) * grid.dx
    y = grid.north - (np.arange(rows) + 0.5) * grid.dy
    made = contourpy.contour_generator(x, y, np.ma.masked_invalid(grid.z.astype(np.float64)), name="serial")
    low, high = float(grid.z[known].min()), float(grid.z[known].max())
    numbers = range(math.floor(low / step_m) + 1, math.ceil(high / step_m))
    return tuple(
        Contour(number * step_m, number % EVERY == 0, np.asarray(line, np.float64))
        for number in numbers
        for line in made.lines(number * step_m)
        if len(line) >= 2
    )


def labels(lines: Sequence[Contour], *, apart_m: float) -> tuple[Label, ...]:
    """Choose where the heights of the main lines are written: where a line runs straightest.

    Parameters
    ----------
    lines
        The lines.
    apart_m
        No two labels are nearer than this [m]; a line shorter than this gets none.

    Returns
    -------
    tuple of Label
        Long lines first, one label for each.
    """
    found: list[Label] = []
    mains = [line for line in lines if line.main]
    long_first = sorted(((_length(line.points), n) for n, line in enumerate(mains)), reverse=True)
    for length, n in long_first:
        if length < max(apart_m, _LABEL_M_LEAST):
            break
        label = _label(mains[n], length, apart_m / 3)
        if all(math.hypot(label.x - other.x, label.y - other.y) >= apart_m for other in found):
            found.append(label)
    return tuple(found)


def _length(points: Points) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _label(line: Contour, length: float, window_m: float) -> Label:
    """Put the label on the stretch of `window_m` whose ends are farthest apart."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line.points, axis=0).T))])
    count = max(int(length / window_m * 4), 8)
    at = np.linspace(0.0, length, count + 1)
    even = np.stack([np.interp(at, along, line.points[:, axis]) for axis in (0, 1)], axis=1)
    reach = min(max(round(window_m / length * count), 1), count)
    chords = even[reach:] - even[:-reach]
    best = int(np.argmax(np.hypot(*chords.T)))
    x, y = (even[best] + even[best + reach]) / 2
    turn = math.degrees(math.atan2(chords[best][1], chords[best][0]))
    return Label(line.height_m, float(x), float(y), (turn + 90.0) % 180.0 - 90.0)
