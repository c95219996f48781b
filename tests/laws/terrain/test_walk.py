"""Laws of walking times, on ground that chance makes, against scipy's Dijkstra on the same moves."""

import math
from dataclasses import dataclass, replace
from unittest.mock import patch

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import sparse
from scipy.sparse.csgraph import dijkstra

from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.settings import WalkCosts
from tendline.terrain import matrix
from tendline.terrain.walk import WalkResult, walk_matrix
from tests.terrain_ground import area, at, burnt, centre, eased, ground, line
from tests.walk_reference import BLOCKED, graph, too_steep

COSTS = WalkCosts(off_path=0.8, snow=1.2, steepest_deg=40.0)
FACTOR, STEEPEST = 1.2 / 0.8, math.tan(math.radians(40.0))


@dataclass(frozen=True, eq=False)
class Land:
    """Ground, barriers, and cells to walk between."""

    grid: Grid
    barriers: tuple[Barrier, ...]
    cells: tuple[tuple[int, int], ...]

    def walk(self, **how: float) -> WalkResult:
        places = {f"p{k}": centre(self.grid, *cell) for k, cell in enumerate(self.cells)}
        return walk_matrix(self.grid, places, costs=COSTS, barriers=self.barriers, **how)  # type: ignore[arg-type]

    def edges(self, factor: float = FACTOR, ease: npt.NDArray[np.float64] | None = None) -> sparse.csr_matrix:
        drawn = burnt(self.grid, self.barriers)
        z = self.grid.z.astype(np.float64)
        state = np.where(too_steep(z, self.grid.dx, self.grid.dy, STEEPEST), BLOCKED, drawn.state).astype(
            np.uint8
        )
        dx, dy = self.grid.dx, self.grid.dy
        return graph(z, state, drawn.toll, dx=dx, dy=dy, factor=factor, steepest=STEEPEST, ease=ease)


@st.composite
def lands(draw: st.DrawFn, most: int = 14, spread: int = 100) -> Land:
    """Draw rough ground with gaps, walls, fences, ponds and gates; places lie within `spread` cells."""
    rows, cols = draw(st.integers(4, most)), draw(st.integers(4, most))
    dx, dy = draw(st.sampled_from([(5.0, 5.0), (10.0, 7.0), (3.0, 9.0), (75.0, 92.0)]))
    chance = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    z = chance.normal(size=(rows, cols)) * draw(st.sampled_from([0.0, 0.05, 0.2])) * min(dx, dy)
    z += np.linspace(0, chance.normal() * 0.3 * rows * dy, rows)[:, None]
    z[chance.random((rows, cols)) < draw(st.sampled_from([0.0, 0.1, 0.25]))] = np.nan
    grid = ground(z, dx=dx, dy=dy)

    def point() -> tuple[float, float]:
        x, y = chance.uniform(-0.2, 1.2, 2) * [cols * dx, rows * dy]
        return float(x), float(y)

    barriers = []
    for k in range(draw(st.integers(0, 3))):
        seconds = [None, float(chance.uniform(1, 200))][k % 2]
        bend = [point() for _ in range(int(chance.integers(2, 4)))]
        gate = [[tuple(np.mean(bend[:2], axis=0).tolist())]] if chance.random() < 0.5 else []
        barriers.append(line(f"b{k}", *bend, seconds=seconds, crossings=gate))
    if draw(st.booleans()):
        x, y = point()
        barriers.append(area("pond", [(x, y), (x + 3.3 * dx, y), (x, y + 2.7 * dy)], seconds=20.0))
    state = burnt(grid, barriers).state
    steep = too_steep(grid.z.astype(np.float64), dx, dy, STEEPEST)
    open_cells = np.argwhere((state == 0) & ~steep)
    middle = open_cells[chance.integers(len(open_cells))] if len(open_cells) else np.zeros(2)
    open_cells = open_cells[np.abs(open_cells - middle).max(axis=1, initial=0) <= spread]
    assume(len(open_cells) >= 3)
    chosen = chance.permutation(open_cells)[:6]
    return Land(grid, tuple(barriers), tuple((int(r), int(c)) for r, c in chosen))


@settings(max_examples=80, deadline=None)
@given(lands(), st.integers(0, 2**32 - 1), st.sampled_from([0.4, 0.6, 0.9, 1.3]))
def test_times_with_paths_are_those_of_scipy_on_the_same_moves(land: Land, seed: int, on_path: float) -> None:
    chance = np.random.default_rng(seed)
    rows, cols = land.grid.shape
    size = [cols * land.grid.dx, rows * land.grid.dy]
    bends = [
        [chance.uniform(-0.1, 1.1, 2) * size for _ in range(3)] for _ in range(int(chance.integers(1, 4)))
    ]
    paths = [[at(float(x), float(y)) for x, y in bend] for bend in bends]
    costs = replace(COSTS, off_path=on_path, snow=1.2)  # on_path is what the share off the path makes it
    places = {f"p{k}": centre(land.grid, *cell) for k, cell in enumerate(land.cells)}
    found = walk_matrix(land.grid, places, costs=costs, barriers=land.barriers, paths=paths)
    edges = land.edges(factor=1.2 / on_path, ease=eased(land.grid, paths, on_path))
    numbers = [row * cols + col for row, col in land.cells]
    expected = dijkstra(edges, indices=numbers)[:, numbers]
    assert np.array_equal(np.isfinite(found.seconds), np.isfinite(expected))
    assert found.seconds == pytest.approx(expected, rel=1e-5)
    for i, a in enumerate(found.names):
        for j, b in enumerate(found.names):
            if i != j and np.isfinite(found.seconds[i, j]):
                cells = found.cells_along(a, b)
                flat = cells[:, 0] * cols + cells[:, 1]
                moves = np.asarray(edges[flat[:-1], flat[1:]]).ravel()
                assert np.sum(moves) == pytest.approx(found.seconds[i, j], rel=1e-5)


def best(land: Land) -> npt.NDArray[np.float64]:
    """Times by scipy on the whole raster."""
    numbers = [row * land.grid.shape[1] + col for row, col in land.cells]
    times: npt.NDArray[np.float64] = dijkstra(land.edges(), indices=numbers)[:, numbers]
    return times


@settings(max_examples=120, deadline=None)
@given(lands())
def test_times_are_those_of_scipy_on_the_same_moves(land: Land) -> None:
    found, expected = land.walk().seconds, best(land)
    assert np.array_equal(np.isfinite(found), np.isfinite(expected))
    assert found == pytest.approx(expected, rel=1e-5)


@settings(max_examples=120, deadline=None)
@given(lands(most=30, spread=3))
def test_a_first_window_without_any_margin_changes_no_time(land: Land) -> None:
    with patch.object(matrix, "LEAST_MARGIN_M", 0.0):
        found = land.walk(margin=0.0).seconds
    expected = best(land)
    assert np.array_equal(np.isfinite(found), np.isfinite(expected))
    assert found == pytest.approx(expected, rel=1e-5)


@settings(max_examples=60, deadline=None)
@given(lands())
def test_every_way_takes_the_time_and_has_the_length_that_is_told(land: Land) -> None:
    found, edges = land.walk(), land.edges()
    cols = land.grid.shape[1]
    for i, a in enumerate(found.names):
        for j, b in enumerate(found.names):
            if i == j or not np.isfinite(found.seconds[i, j]):
                continue
            cells = found.cells_along(a, b)
            assert (tuple(cells[0]), tuple(cells[-1])) == (land.cells[i], land.cells[j])
            numbers = cells[:, 0] * cols + cells[:, 1]
            moves = np.asarray(edges[numbers[:-1], numbers[1:]]).ravel()
            assert np.all(moves > 0)
            assert moves.sum() == pytest.approx(found.seconds[i, j], rel=1e-5)
            steps = np.diff(cells, axis=0) * [land.grid.dy, land.grid.dx]
            assert np.hypot(*steps.T).sum() == pytest.approx(found.metres[i, j], rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(lands())
def test_going_by_a_third_place_is_never_faster(land: Land) -> None:
    times = land.walk().seconds
    by_way_of = (times[:, :, None] + times[None, :, :]).min(axis=1)
    assert np.all(times <= by_way_of * (1 + 1e-5) + 1e-6)
    reach = np.isfinite(times)
    assert np.array_equal(reach, reach.T)


@settings(max_examples=60, deadline=None)
@given(lands(), st.integers(0, 2**32 - 1), st.sampled_from([None, 17.0]))
def test_one_more_barrier_never_makes_a_walk_faster(land: Land, number: int, seconds: float | None) -> None:
    rows, cols = land.grid.shape
    ends = np.random.default_rng(number).uniform(0, 1, (2, 2)) * [cols * land.grid.dx, rows * land.grid.dy]
    wall = line("one more", *(tuple(end) for end in ends.tolist()), seconds=seconds)
    more = Land(land.grid, (*land.barriers, wall), land.cells)
    state = burnt(land.grid, more.barriers).state
    assume(all(state[cell] == 0 for cell in land.cells))
    assert np.all(more.walk().seconds >= land.walk().seconds * (1 - 1e-5))
