"""Owns the surface an animal travels over: what each cell resists, from heights and what is drawn on them.

Does not own the weights (terrain.weights), reading files (ground) or current (terrain.current).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.feature import Feature
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.core.words import FeatureClass
from tendline.terrain.compiling import Float32, compiled
from tendline.terrain.draw import Frame, Mask, Points, draw_area, draw_line
from tendline.terrain.weights import AnimalWeights, Weight
from tendline.terrain.window import Box, frame_of

BARRIER, CROSSING, SIGN = "barrier", "crossing", "sign"
"""Things that are no class of feature: what people cannot cross, where they can, and sign of the animal."""

FIELD_CORNER, DEER_SEEN = "field-corner", "deer"
"""Found from what is drawn, or from the record; they bear on where to look, not on travel."""

SHARP_DEG = (45.0, 135.0)
"""A field has a corner where its edge turns by so much [degrees] (common practice, no source)."""

COVER = (
    *(FeatureClass.WOODS.value, FeatureClass.BRUSH.value, FeatureClass.FIELD.value),
    *(FeatureClass.MARSH.value, FeatureClass.WATER.value),
)
"""Classes that say what grows or lies on the ground."""

LOWEST, HIGHEST = 0.02, 1000.0
"""What a cell may resist: products of weights are kept within this."""


@dataclass(frozen=True, eq=False)
class Layers:
    """What is drawn, cell by cell.

    Parameters
    ----------
    frame
        Where the cells lie.
    drawn
        Cells that hold each thing, (rows, cols), by its name; only what is drawn at all.
    away
        Distance to the nearest such cell [m], float32, by name.
    """

    frame: Frame
    drawn: Mapping[str, Mask]
    away: Mapping[str, Float32]

    def near(self, name: str, cell: tuple[int, int]) -> float:
        """How far a cell is from a thing [m]; infinite where none is drawn."""
        return float(self.away[name][cell]) if name in self.away else float("inf")


def lay_down(
    grid: Grid,
    features: Iterable[Feature],
    barriers: Sequence[Barrier] = (),
    *,
    signs: Iterable[LonLat] = (),
    deer: Iterable[LonLat] = (),
) -> Layers:
    """Draw everything into cells.

    Parameters
    ----------
    grid
        Whose cells.
    features
        Drawn on the ground; those that lie beyond are passed over.
    barriers
        What people cannot cross, or at a cost; and where they can.
    signs, deer
        Where sign of the animal was seen, and where deer were.
    """
    rows, cols = grid.shape
    frame = frame_of(grid, Box(0, rows, 0, cols))
    turn = Projector(grid.crs)
    drawn: dict[str, Mask] = {}
    for feature in features:
        _draw(drawn, feature.feature_class.value, frame, turn, _parts(feature))
        if feature.feature_class is FeatureClass.FIELD and feature.outline is not None:
            for points in _corners(feature.outline, turn):
                draw_line(drawn.setdefault(FIELD_CORNER, frame.empty()), frame, points)
    for barrier in barriers:
        _draw(drawn, BARRIER, frame, turn, (barrier.areas, barrier.lines))
        _draw(drawn, CROSSING, frame, turn, (None, barrier.crossings))
    for name, places in ((SIGN, signs), (DEER_SEEN, deer)):
        _draw(drawn, name, frame, turn, (None, tuple((place,) for place in places)))
    drawn = {name: mask for name, mask in drawn.items() if mask.any()}
    return Layers(frame, drawn, {name: distance_to(mask, grid.dx, grid.dy) for name, mask in drawn.items()})


def _corners(outline: Outline, turn: Projector) -> list[Points]:
    """Give the corners of an area, each as a line of one point [m]."""
    found: list[Points] = []
    for polygon in outline.polygons:
        ring = turn.to_xys(polygon[0])[:-1]
        before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
        cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        turned = np.degrees(np.abs(np.arctan2(cross, np.sum(before * after, axis=1))))
        sharp = (turned >= SHARP_DEG[0]) & (turned <= SHARP_DEG[1])
        found += [point[None] for point in ring[sharp] if _fits(point)]
    return found


def _parts(feature: Feature) -> tuple[Outline | None, tuple[tuple[LonLat, ...], ...]]:
    lines = (feature.path,) if feature.path else ((feature.place,),) if feature.place is not None else ()
    return feature.outline, lines


def _draw(
    drawn: dict[str, Mask],
    name: str,
    frame: Frame,
    turn: Projector,
    parts: tuple[Outline | None, tuple[tuple[LonLat, ...], ...]],
) -> None:
    outline, lines = parts
    if outline is None and not lines:
        return
    mask = drawn.setdefault(name, frame.empty())
    for polygon in outline.polygons if outline is not None else ():
        rings = tuple(turn.to_xys(ring) for ring in polygon)
        if all(_fits(ring) for ring in rings):
            draw_area(mask, frame, rings)
    for line in lines:
        points = turn.to_xys(line)
        if _fits(points):
            draw_line(mask, frame, points)


def _fits(points: Points) -> bool:
    return bool(np.all(np.isfinite(points)))


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
    r = np.interp(slope(grid), weights.slopes, weights.resistance).astype(np.float32)
    for name, weight in weights.things.items():
        if name not in layers.drawn or name == CROSSING:
            continue
        felt = _felt(layers, name, weight)
        if name == BARRIER and CROSSING in layers.drawn:
            opened = weights.things.get(CROSSING)
            reach = opened.reach_m if opened is not None else 0.0
            felt = np.where(layers.away[CROSSING] <= max(reach, layers.frame.dx), np.float32(0.0), felt)
        r *= np.exp(np.float32(np.log(weight.factor)) * felt)
    if CROSSING in layers.drawn and CROSSING in weights.things:
        weight = weights.things[CROSSING]
        r *= np.exp(np.float32(np.log(weight.factor)) * _felt(layers, CROSSING, weight))
    r = np.clip(r, LOWEST, HIGHEST).astype(np.float32)
    r[np.isnan(grid.z)] = np.inf
    return r


def _felt(layers: Layers, name: str, weight: Weight) -> Float32:
    """How much of a weight works in each cell, 0 to 1."""
    if weight.reach_m <= 0.0:
        return layers.drawn[name].astype(np.float32)
    away = layers.away[name].astype(np.float64)
    return np.clip(1.5 - away / weight.reach_m, 0.0, 1.0).astype(np.float32)


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
