"""Owns pinch points: where travel is denser than round about, why, and what speaks against the spot.

Does not own the current (terrain.across), the form of the ground (terrain.form) or leave and law (jobs).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.core.words import FeatureClass
from tendline.terrain.compiling import Float32
from tendline.terrain.draw import Mask
from tendline.terrain.form import Form, FormSeen, form_near
from tendline.terrain.layers import BARRIER, CROSSING, FIELD_CORNER, Layers
from tendline.terrain.strips import strips
from tendline.terrain.surface import slope
from tendline.terrain.weights import AnimalWeights

LEAST_DENSITY = 1.1
"""A spot carries at least so much more than an even area would (common practice, no source)."""

HARDER, LOOK_M, NARROW_M = 3.0, 300.0, 200.0
"""A passage ends where it is so many times as hard; looked for so far [m]; narrow up to so wide [m].

Common practice, no source.
"""

STRIP_M, BESIDE_M, CROSSING_M = 80.0, 25.0, 40.0
"""A strip of cover up to so wide is narrow; a line counts within so far; a crossing likewise [m]."""

_CROSSINGS = {
    CROSSING: "crossing",
    FeatureClass.FENCE_CROSSING.value: "crossing under a fence",
    FeatureClass.LOG.value: "log crossing",
    FeatureClass.CULVERT.value: "culvert",
    FeatureClass.LIVESTOCK_PASSAGE.value: "livestock passage",
}
_LINES = {
    FeatureClass.FIELD_EDGE.value: "field edge",
    FeatureClass.BRUSH_LINE.value: "brush line",
    FeatureClass.OLD_ROAD.value: "old road",
    FeatureClass.RIGHT_OF_WAY.value: "right-of-way",
    FeatureClass.GAME_TRAIL.value: "game trail",
}
_FORMS = {Form.SADDLE: "saddle", Form.BENCH: "bench", Form.DRAW: "draw", Form.RIDGE: "ridge"}
_HARD = {
    BARRIER: "a barrier",
    FeatureClass.DWELLING.value: "houses",
    FeatureClass.BUILDING.value: "buildings",
    FeatureClass.FIELD.value: "open field",
}
_COVER = (FeatureClass.WOODS.value, FeatureClass.BRUSH.value)
Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Reason:
    """Why travel is pinched at a spot.

    Parameters
    ----------
    word
        In the trade's words.
    metres
        How wide or how far off [m]; None where nothing is measured.
    between
        For a narrow: what bounds it on both sides.
    """

    word: str
    metres: float | None = None
    between: tuple[str, ...] = ()


@dataclass(frozen=True)
class Against:
    """What speaks against a spot: what, how far off [m], and what that leaves of its worth."""

    what: str
    metres: float
    factor: float


@dataclass(frozen=True)
class Spot:
    """A place worth a look.

    Parameters
    ----------
    cell
        Row and column.
    density
        Of travel: 1 is an even area.
    worth
        Density times what speaks against it leaves: what spots are ranked by.
    form
        Of the ground; None where it is not known.
    reasons, against
        See there.
    """

    cell: tuple[int, int]
    density: float
    worth: float
    form: FormSeen | None
    reasons: tuple[Reason, ...]
    against: tuple[Against, ...]


def peaks(
    density: Float32, *, apart: tuple[int, int], most: int, within: Mask | None = None
) -> npt.NDArray[np.int64]:
    """Find the densest cells that lie apart from each other.

    Parameters
    ----------
    density
        (rows, cols), float32.
    apart
        Rows and columns that lie between two of them at least.
    most
        How many to give at most.
    within
        Where to look; everywhere when None.

    Returns
    -------
    ndarray
        Row and column, (n, 2), densest first. Each is the densest within half that distance, so that the
        flank of a denser place is none.
    """
    half = max(apart[0] // 2, 1), max(apart[1] // 2, 1)
    found = []
    for strip in strips(density.shape, beside=half[0]):
        held = density[strip.rows] > 0 if within is None else within[strip.rows] & (density[strip.rows] > 0)
        around = _greatest(_greatest(density[strip.seen], half[0], 0)[strip.inner], half[1], 1)
        found.append(np.argwhere(held & (density[strip.rows] >= around)) + np.array([strip.first, 0]))
    cells = np.concatenate(found)
    order = np.argsort(-density[tuple(cells.T)], kind="stable")
    kept: list[npt.NDArray[np.int64]] = []
    for cell in cells[order]:
        if all(np.any(np.abs(cell - other) > apart) for other in kept):
            kept.append(cell)
            if len(kept) == most:
                break
    return np.array(kept, np.int64).reshape(-1, 2)


def smoothed(density: Float32, open_cells: Mask, reach: tuple[int, int]) -> Float32:
    """Give the mean over the open cells within reach, 0 where a cell is closed.

    Current crowds at the very tip of whatever stands in its way, on any grid; a mean over some tens of metres
    tells how much passes there.

    Parameters
    ----------
    density, open_cells
        (rows, cols).
    reach
        Rows and columns to each side.
    """
    mean = np.empty(density.shape, np.float32)
    for strip in strips(density.shape, beside=reach[0]):
        opened, here = open_cells[strip.seen], density[strip.seen]
        total, count = (_box_sum(np.where(opened, part, 0.0), reach) for part in (here, 1.0))
        mean[strip.rows] = np.where(opened, total / np.maximum(count, 1.0), 0.0)[strip.inner]
    return mean


def _box_sum(values: npt.NDArray[np.float64], reach: tuple[int, int]) -> npt.NDArray[np.float64]:
    """Sum over a box of cells round each, as far as there are cells."""
    for axis, far in enumerate(reach):
        edge = [(0, 0), (0, 0)]
        edge[axis] = (far + 1, far)
        run = np.cumsum(np.pad(values, edge), axis=axis)
        size = values.shape[axis]
        upper, lower = (np.take(run, np.arange(size) + shift, axis) for shift in (2 * far + 1, 0))
        values = upper - lower
    return values


def _greatest(values: Float32, reach: int, axis: int) -> Float32:
    """Give the greatest value within reach along an axis."""
    best = values.copy()
    size = values.shape[axis]
    whole = [slice(None), slice(None)]
    for shift in range(1, min(reach, size - 1) + 1):
        low, high = list(whole), list(whole)
        low[axis], high[axis] = slice(0, size - shift), slice(shift, size)
        np.maximum(best[tuple(low)], values[tuple(high)], out=best[tuple(low)])
        np.maximum(best[tuple(high)], values[tuple(low)], out=best[tuple(high)])
    return best


@dataclass(frozen=True, eq=False)
class Ground:
    """All that is known of the ground spots are judged on; arrays (rows, cols)."""

    grid: Grid
    layers: Layers
    weights: AnimalWeights
    resistance: Float32

    def slope_at(self, cell: tuple[int, int]) -> float:
        """Give the slope of one cell [m/m]."""
        row, col = max(cell[0] - 1, 0), max(cell[1] - 1, 0)
        near = slope(self.grid.window(row, cell[0] + 2, col, cell[1] + 2))
        return float(near[cell[0] - row, cell[1] - col])


def judge_spot(ground: Ground, density: Float32, cell: tuple[int, int]) -> Spot:
    """Say what makes a spot a pinch, and what speaks against it."""
    form = form_near(ground.grid, cell)
    reasons: list[Reason] = []
    if form is not None and form.form in _FORMS:
        reasons.append(Reason(_FORMS[form.form], form.depth_m))
    reasons += _near(ground.layers, cell, _CROSSINGS, CROSSING_M)
    if ground.layers.near(FIELD_CORNER, cell) <= CROSSING_M:
        reasons.append(Reason("field corner", ground.layers.near(FIELD_CORNER, cell)))
    reasons += _near(ground.layers, cell, _LINES, BESIDE_M)
    reasons += _strip(ground, cell)
    reasons += _narrow(ground, cell)
    against = tuple(
        Against(name, ground.layers.near(name, cell), weight.factor)
        for name, weight in ground.weights.rank.items()
        if ground.layers.near(name, cell) <= weight.reach_m
    )
    value = float(density[cell])
    worth = value * float(np.prod([one.factor for one in against]))
    return Spot(cell, value, worth, form, tuple(reasons), against)


def _near(layers: Layers, cell: tuple[int, int], words: dict[str, str], reach_m: float) -> list[Reason]:
    return [
        Reason(word, layers.near(name, cell))
        for name, word in words.items()
        if layers.near(name, cell) <= reach_m
    ]


def _strip(ground: Ground, cell: tuple[int, int]) -> list[Reason]:
    """Tell a narrow strip of cover, where the cell lies in cover and cover is drawn."""
    held = [ground.layers.drawn[name] for name in _COVER if name in ground.layers.drawn]
    if not held or not any(mask[cell] for mask in held):
        return []
    found = _narrowest(
        lambda rows, cols: ~np.any([mask[rows, cols] for mask in held], axis=0), cell, ground.grid
    )
    return [Reason("narrow of a brush strip", found[0])] if found is not None and found[0] <= STRIP_M else []


def _narrow(ground: Ground, cell: tuple[int, int]) -> list[Reason]:
    """Tell a narrow passage between ground that is much harder, by what makes it hard."""
    hard = HARDER * float(ground.resistance[cell])
    found = _narrowest(lambda rows, cols: ground.resistance[rows, cols] >= hard, cell, ground.grid)
    if found is None or found[0] > NARROW_M:
        return []
    width, ends = found
    return [Reason("narrow", width, tuple(sorted({_hard_for(ground, end) for end in ends})))]


def _narrowest(
    closed: Callable[[Numbers, Numbers], Mask], cell: tuple[int, int], grid: Grid
) -> tuple[float, tuple[tuple[int, int], tuple[int, int]]] | None:
    """Find the shortest line through a cell that ends in closed cells on both sides: its length, its ends."""
    best: tuple[float, tuple[tuple[int, int], tuple[int, int]]] | None = None
    step = min(grid.dx, grid.dy) / 2.0
    along = np.arange(1, int(LOOK_M / step) + 1) * step
    for angle in np.pi * np.arange(16) / 16:
        ends = []
        for side in (1.0, -1.0):
            rows = np.rint(cell[0] - side * np.cos(angle) * along / grid.dy).astype(int)
            cols = np.rint(cell[1] + side * np.sin(angle) * along / grid.dx).astype(int)
            inside = (rows >= 0) & (rows < grid.shape[0]) & (cols >= 0) & (cols < grid.shape[1])
            hit = np.flatnonzero(closed(rows[inside], cols[inside]))
            if hit.size:
                ends.append((along[hit[0]], (int(rows[inside][hit[0]]), int(cols[inside][hit[0]]))))
        if len(ends) == 2 and (best is None or ends[0][0] + ends[1][0] < best[0]):
            best = (float(ends[0][0] + ends[1][0]), (ends[0][1], ends[1][1]))
    return best


def _hard_for(ground: Ground, cell: tuple[int, int]) -> str:
    """Name what makes a cell hard to pass."""
    if np.isinf(ground.resistance[cell]):
        return "unknown ground"
    weights = ground.weights
    factors = {
        name: weight.factor
        for name, weight in weights.things.items()
        if weight.factor > 1.0 and ground.layers.near(name, cell) <= max(weight.reach_m, 0.0)
    }
    factors["steep ground"] = float(np.interp(ground.slope_at(cell), weights.slopes, weights.resistance))
    hardest = max(factors, key=factors.__getitem__)
    return _HARD.get(hardest, hardest)
