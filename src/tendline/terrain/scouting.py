"""Owns scouting one area: travel in every direction, its pinch points, how stable they are when weights vary.

Does not own what is drawn or weighed (terrain.surface, terrain.weights), leave, law and words (jobs, report).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.across import EVERY, Crossing, Direction, across, all_round
from tendline.terrain.bands import across_in_bands
from tendline.terrain.compiling import Float32
from tendline.terrain.draw import Mask
from tendline.terrain.layers import Layers
from tendline.terrain.pinch import LEAST_DENSITY, Ground, Spot, judge_spot, peaks, smoothed
from tendline.terrain.side_by_side import side_by_side
from tendline.terrain.strips import strips
from tendline.terrain.surface import Piece, resistance
from tendline.terrain.weights import AnimalWeights

WHOLE_CELLS = 25_000_000
"""Up to so many cells an area is solved whole; beyond, in bands."""

LARGEST_CELLS = 100_000_000
"""More cells than this are not scouted at once."""

VARIED_CELLS = 150_000
"""Varied weights are tried on cells so coarse that there are no more of them than this."""

SIDE_BY_SIDE_CELLS = 4_000_000
"""Up to so many cells, directions are worked out two at a time."""

BANDS_RESIDUAL = 1e-6
"""What may be left of the equations where they are solved in bands."""

SMOOTH_M = 15.0
"""Density is the mean over so far to each side [m] (common practice, no source)."""


@dataclass(frozen=True)
class Stability:
    """How a spot fares when the weights vary.

    Parameters
    ----------
    kept
        Share of the variations in which it is again among twice as many spots as were asked for.
    low, high
        Its rank among the spots found, in all but a tenth of the variations at either end.
    variations
        How many there were; 0 when none was tried.
    """

    kept: float
    low: int
    high: int
    variations: int


@dataclass(frozen=True, eq=False)
class Scouted:
    """What scouting came to.

    Parameters
    ----------
    density
        Of travel, mean of all directions, float32, (rows, cols): 1 is an even area.
    spots
        Pinch points, the worthiest first.
    stability
        Of each.
    residual
        The worst that was left of the equations in any direction.
    islands
        Cells that nothing can reach.
    """

    density: Float32
    spots: tuple[Spot, ...]
    stability: tuple[Stability, ...]
    residual: float
    islands: int
    resistance: Float32


@dataclass(frozen=True)
class Asked:
    """What is asked of a scouting.

    Parameters
    ----------
    count
        How many spots at most.
    apart_m
        How far they lie apart at least [m].
    variations, seed
        How often the weights are varied, and the seed of that.
    scheduler
        Of a cluster; None for this machine.
    threads
        How many at once on this machine.
    """

    count: int = 12
    apart_m: float = 150.0
    variations: int = 12
    seed: int = 20260115
    scheduler: str | None = None
    threads: int = 2


def scout(grid: Grid, layers: Layers, weights: AnimalWeights, *, within: Mask, asked: Asked) -> Scouted:
    """Scout an area.

    Parameters
    ----------
    grid, layers, weights
        Heights with a margin round the area, what is drawn on them, how hard travel is.
    within
        The cells in which spots are looked for, (rows, cols).
    asked
        How many, how far apart.

    Raises
    ------
    Refused
        TERR-121 when nothing can travel across; TERR-122; TERR-131.
    """
    surface = resistance(grid, layers, weights)
    travel = _cross(surface, grid, asked)
    density = _passing(travel.density, surface, grid)
    ground = Ground(grid, layers, weights, surface)
    apart = (round(asked.apart_m / grid.dy), round(asked.apart_m / grid.dx))
    # More than are wanted: what speaks against a spot may put it behind another.
    found = peaks(density, apart=apart, most=3 * asked.count, within=within & (density >= LEAST_DENSITY))
    judged = [judge_spot(ground, density, (int(row), int(col))) for row, col in found]
    spots = tuple(sorted(judged, key=lambda spot: -spot.worth)[: asked.count])
    stability = _stability(ground, spots, within, asked)
    return Scouted(density, spots, stability, travel.residual, travel.islands, surface)


def _passing(density: Float32, surface: Float32, grid: Grid) -> Float32:
    reach = max(1, round(SMOOTH_M / grid.dy)), max(1, round(SMOOTH_M / grid.dx))
    return smoothed(density, np.isfinite(surface), reach)


@dataclass(frozen=True, eq=False)
class _Travel:
    """Mean density of all directions, the worst residual of any, cells that nothing reaches."""

    density: Float32
    residual: float
    islands: int


def _cross(surface: Float32, grid: Grid, asked: Asked) -> _Travel:
    if surface.size > WHOLE_CELLS:
        return _cross_in_bands(surface, grid, asked)
    work = partial(_one_way, dx=grid.dx, dy=grid.dy)
    threads = asked.threads if surface.size <= SIDE_BY_SIDE_CELLS else 1
    found = side_by_side(
        work, [(surface, direction) for direction in EVERY], scheduler=asked.scheduler, threads=threads
    )
    residual = max(one.flow.residual for one in found)
    return _Travel(all_round(found), residual, found[0].flow.islands)


def _cross_in_bands(surface: Float32, grid: Grid, asked: Asked) -> _Travel:
    """Go one direction after the other, of which no more than the sum is held."""
    whole, worst, islands = np.zeros(surface.shape, np.float32), 0.0, 0
    for direction in EVERY:
        found = across_in_bands(
            surface, direction, dx=grid.dx, dy=grid.dy, tolerance=BANDS_RESIDUAL, scheduler=asked.scheduler
        )
        density = found.density
        density /= np.float32(len(EVERY))
        whole += density
        worst, islands = max(worst, found.flow.residual), found.flow.islands
    return _Travel(whole, worst, islands)


def _one_way(item: tuple[Float32, Direction], *, dx: float, dy: float) -> Crossing:
    return across(item[0], item[1], dx=dx, dy=dy)


def _stability(ground: Ground, spots: Sequence[Spot], within: Mask, asked: Asked) -> tuple[Stability, ...]:
    if not spots or asked.variations == 0:
        return tuple(Stability(0.0, k, k, 0) for k in range(1, len(spots) + 1))
    grid = ground.grid
    step = max(1, int(np.ceil(np.sqrt(ground.resistance.size / VARIED_CELLS))))
    inside = within[::step, ::step]
    chance = np.random.default_rng(asked.seed)
    varied = coarse_surfaces(
        grid, ground.layers, [ground.weights.varied(chance) for _ in range(asked.variations)], step
    )
    work = partial(_all_ways, dx=grid.dx * step, dy=grid.dy * step)
    maps = side_by_side(work, varied, scheduler=asked.scheduler, threads=asked.threads)
    cells = np.array([spot.cell for spot in spots]) // step
    left = np.array([spot.worth / spot.density for spot in spots])
    # A coarse cell is a step off at most; so is a place that is the same one.
    reach = np.maximum(
        np.rint([asked.apart_m / grid.dy / step, asked.apart_m / grid.dx / step]).astype(int), 1
    )
    kept, ranks = np.zeros(len(spots)), np.empty((len(maps), len(spots)), np.int64)
    coarser = Grid(
        np.zeros(varied[0].shape, np.float32), grid.crs, grid.west, grid.north, grid.dx * step, grid.dy * step
    )
    for k, (raw, surface) in enumerate(zip(maps, varied, strict=True)):
        density = _passing(raw, surface, coarser)
        found = peaks(density, apart=(int(reach[0]), int(reach[1])), most=2 * asked.count, within=inside)
        near = np.abs(cells[:, None] - found[None]) <= reach
        kept += near.all(axis=2).any(axis=1)
        values = np.array([_around(density, cell) for cell in cells]) * left
        ranks[k, np.argsort(-values, kind="stable")] = np.arange(1, len(spots) + 1)
    low, high = (np.quantile(ranks, share, axis=0, method="nearest") for share in (0.1, 0.9))
    return tuple(
        Stability(float(kept[k] / len(maps)), int(low[k]), int(high[k]), len(maps)) for k in range(len(spots))
    )


def _all_ways(surface: Float32, *, dx: float, dy: float) -> Float32:
    return all_round([across(surface, direction, dx=dx, dy=dy, tolerance=1e-4) for direction in EVERY])


def _around(density: Float32, cell: npt.NDArray[np.int64]) -> float:
    """Give the greatest density in a cell and the eight round it."""
    row, col = cell
    return float(density[max(row - 1, 0) : row + 2, max(col - 1, 0) : col + 2].max())


def coarse_surfaces(grid: Grid, layers: Layers, several: Sequence[AnimalWeights], step: int) -> list[Float32]:
    """Give the surface of each of several weights in cells `step` times as large, none of them held fine."""
    parts: list[list[Float32]] = [[] for _ in several]
    for strip in strips(grid.shape, unit=step):
        piece = Piece(grid, layers, strip.first, strip.last)
        for held, weights in zip(parts, several, strict=True):
            held.append(coarse(piece.resistance(weights), step))
    return [np.concatenate(held) for held in parts]


def coarse(surface: Float32, step: int) -> Float32:
    """Give a surface in cells as large as `step` by `step` of it: the geometric mean of what can be passed.

    Parameters
    ----------
    surface
        Resistances, (rows, cols); infinite where nothing passes.
    step
        At least 1. Rows and columns that do not fill a cell are filled up with the last.
    """
    if step == 1:
        return surface
    rows, cols = surface.shape
    wide = np.pad(surface, ((0, -rows % step), (0, -cols % step)), mode="edge")
    blocks = wide.reshape(wide.shape[0] // step, step, wide.shape[1] // step, step)
    open_cells = np.isfinite(blocks)
    logs = np.where(open_cells, np.log(np.where(open_cells, blocks, 1.0)), 0.0).sum(axis=(1, 3))
    count = open_cells.sum(axis=(1, 3))
    # Half of it closed is closed: a wall must not vanish.
    shut = 2 * count < step * step
    return np.where(shut, np.inf, np.exp(logs / np.maximum(count, 1))).astype(np.float32)
