"""Owns the surface an animal travels over: what each cell resists, from heights and what is drawn on them.

Does not own the weights (terrain.weights), what is drawn (terrain.layers) or current (terrain.current).
"""

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.compiling import Float32, compiled
from tendline.terrain.draw import Mask
from tendline.terrain.layers import BARRIER, CROSSING, Layers
from tendline.terrain.strips import strips
from tendline.terrain.weights import AnimalWeights, Weight

LOWEST, HIGHEST = 0.02, 1000.0
"""What a cell may resist: products of weights are kept within this."""


def resistance(grid: Grid, layers: Layers, weights: AnimalWeights) -> Float32:
    """Work out what each cell resists.

    Parameters
    ----------
    grid
        Heights.
    layers
        What is drawn on it.
    weights
        Of the animal.

    Returns
    -------
    ndarray
        (rows, cols), float32, from `LOWEST` to `HIGHEST`; infinite where no height is known.

    Notes
    -----
    Factors multiply. A thing with a reach works in full to half its reach, and fades to nothing at one and a
    half. Where a crossing is, the barrier does not work.
    """
    r = np.empty(grid.shape, np.float32)
    for strip in strips(grid.shape):
        r[strip.rows] = Piece(grid, layers, strip.first, strip.last).resistance(weights)
    return r


class Piece:
    """Some rows of the ground, on which several weights are tried: how far things are is found out once.

    Parameters
    ----------
    grid, layers
        The whole ground.
    first, last
        Rows [first, last).
    """

    def __init__(self, grid: Grid, layers: Layers, first: int, last: int) -> None:
        self._grid, self._layers, self._rows = grid, layers, (first, last)
        high, low = min(last + 1, grid.shape[0]), max(first - 1, 0)
        self._z = grid.z[first:last]
        self._slope = slope(grid.window(low, high, 0, grid.shape[1]))[first - low :][: last - first]
        self._felt: dict[tuple[str, float], Float32] = {}

    def resistance(self, weights: AnimalWeights) -> Float32:
        """Work out what each cell of these rows resists, as `resistance` does."""
        drawn, things = self._layers.drawn, weights.things
        r = np.interp(self._slope, weights.slopes, weights.resistance).astype(np.float32)
        for name, weight in things.items():
            if name not in drawn or name == CROSSING:
                continue
            felt = self._how_much(name, weight)
            if name == BARRIER and CROSSING in drawn:
                opened = things.get(CROSSING)
                reach = max(opened.reach_m if opened is not None else 0.0, self._grid.dx)
                felt = np.where(self._away(CROSSING, reach) <= reach, np.float32(0.0), felt)
            r *= np.exp(np.float32(np.log(weight.factor)) * felt)
        if CROSSING in drawn and CROSSING in things:
            weight = things[CROSSING]
            r *= np.exp(np.float32(np.log(weight.factor)) * self._how_much(CROSSING, weight))
        r = np.clip(r, LOWEST, HIGHEST).astype(np.float32)
        r[np.isnan(self._z)] = np.inf
        return r

    def _how_much(self, name: str, weight: Weight) -> Float32:
        """How much of a weight works in each cell, 0 to 1."""
        key = name, weight.reach_m
        if key not in self._felt:
            if weight.reach_m <= 0.0:
                self._felt[key] = self._layers.drawn[name][slice(*self._rows)].astype(np.float32)
            else:
                away = self._away(name, 1.5 * weight.reach_m).astype(np.float64)
                self._felt[key] = np.clip(1.5 - away / weight.reach_m, 0.0, 1.0).astype(np.float32)
        return self._felt[key]

    def _away(self, name: str, reach_m: float) -> Float32:
        """Give how far each cell is from a thing [m]; no less than `reach_m` where it may be farther."""
        (first, last), beside = self._rows, int(reach_m / self._grid.dy) + 2
        low = max(first - beside, 0)
        held = self._layers.drawn[name][low : last + beside]
        return distance_to(held, self._grid.dx, self._grid.dy)[first - low :][: last - first]


def slope(grid: Grid) -> Float32:
    """Give the slope of each cell [m/m], by the heights on both sides; 0 beside nothing but unknown ground.

    References
    ----------
    Zevenbergen and Thorne (1987), Earth Surface Processes and Landforms 12, 47-56: the middle cross of a
    window of 3 by 3 (from memory).
    """
    across, down = _rise(grid.z, 1) / np.float32(grid.dx), _rise(grid.z, 0) / np.float32(grid.dy)
    return np.asarray(np.hypot(across, down), np.float32)


def _rise(z: Float32, axis: int) -> Float32:
    """Rise over one cell along an axis, by what of the cell and its two neighbours is known."""
    edge = [(0, 0), (0, 0)]
    edge[axis] = (1, 1)
    wide = np.pad(z, edge, constant_values=np.nan)
    size = z.shape[axis]
    before, after = (np.take(wide, np.arange(size) + shift, axis) for shift in (0, 2))
    both, one, other = (after - before) / 2.0, after - z, z - before
    rise: Float32 = np.where(np.isnan(both), np.where(np.isnan(one), other, one), both)
    return np.nan_to_num(np.where(np.isnan(z), np.float32(0.0), rise))


def distance_to(mask: Mask, dx: float, dy: float) -> Float32:
    """Give how far the middle of each cell is from that of the nearest marked one [m], float32.

    References
    ----------
    Felzenszwalb and Huttenlocher (2012), Distance transforms of sampled functions, Theory of Computing 8,
    415-428: exact, by the lower envelope of parabolas (from memory).
    """
    square = np.where(mask, np.float32(0.0), np.float32(1e18))
    envelope(square, np.float64(dy))
    turned = np.ascontiguousarray(square.T)
    envelope(turned, np.float64(dx))
    found: Float32 = np.sqrt(np.ascontiguousarray(turned.T))
    found[found > 1e8] = np.inf
    return found


@compiled
def envelope(square: Float32, step: float) -> None:
    """Turn squares of distances into those along columns as well, in place."""
    rows, cols = square.shape
    at, edge = np.zeros(rows, np.int64), np.zeros(rows + 1, np.float64)
    value = np.zeros(rows, np.float64)
    for j in range(cols):
        for i in range(rows):
            value[i] = square[i, j] / (step * step)
        k = 0
        at[0] = 0
        edge[0], edge[1] = -1e30, 1e30
        for i in range(1, rows):
            meet = _meet(value, at[k], i)
            while meet <= edge[k]:
                k -= 1
                meet = _meet(value, at[k], i)
            k += 1
            at[k] = i
            edge[k], edge[k + 1] = meet, 1e30
        k = 0
        for i in range(rows):
            while edge[k + 1] < i:
                k += 1
            square[i, j] = ((i - at[k]) ** 2 + value[at[k]]) * step * step


@compiled
def _meet(value: npt.NDArray[np.float64], a: int, b: int) -> float:
    """Where the parabolas that stand on a and b meet."""
    return float(((value[b] + b * b) - (value[a] + a * a)) / (2.0 * b - 2.0 * a))
