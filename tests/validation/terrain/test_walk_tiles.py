"""Walking time in tiles: the same as in one search and as scipy's Dijkstra, whatever crosses the borders."""

import math

import numpy as np
import pytest
from distributed import LocalCluster
from scipy.sparse.csgraph import dijkstra

from tendline.almanac.geodesy import Projector
from tendline.core.errors import FaultList
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.settings import WalkCosts
from tendline.terrain.barriers import lay_out
from tendline.terrain.search import Workspace
from tendline.terrain.walk import moves_of, paths_on
from tendline.terrain.walk_tiles import Walked, times_in_tiles
from tendline.terrain.window import Box, prepare
from tests.terrain_ground import at, burnt, eased, ground, line
from tests.walk_reference import graph, too_steep

COSTS = WalkCosts(off_path=0.5, snow=1.3, steepest_deg=40.0)
PATH = (at(10.0, 20.0), at(300.0, 300.0), at(420.0, 440.0))


def walked(grid: Grid, barriers: tuple[Barrier, ...] = (), box: Box | None = None) -> Walked:
    projector, faults = Projector(grid.crs), FaultList()
    obstacles = lay_out(barriers, projector, faults)
    faults.refuse()
    rows, cols = grid.shape
    return Walked(
        grid,
        box or Box(0, rows, 0, cols),
        tuple(obstacles),
        moves_of(grid, COSTS, dark=False, pace=None),
        tuple(paths_on([PATH], projector)),
    )


def whole(one: Walked, starts: list[tuple[int, int]]) -> np.ndarray:
    window = prepare(one.grid, one.box, one.obstacles, one.costs, one.paths)
    return Workspace().flood(window, one.costs, window.index(np.array(starts, np.int64)))


def rough(seed: int, shape: tuple[int, int] = (60, 70)) -> Grid:
    chance = np.random.default_rng(seed)
    z = np.cumsum(chance.normal(0, 0.4, shape), axis=1)
    z[chance.random(shape) < 0.05] = np.nan
    z[5, 5] = z[50, 60] = 0.0
    return ground(z, dx=6.0, dy=8.0)


@pytest.mark.parametrize("side", [4, 7, 16, 33, 200])
def test_tiles_of_any_size_give_the_very_times_of_one_search(side: int) -> None:
    grid = rough(9)
    one = walked(grid, (line("fence", (100, -10), (260, 500), seconds=25.0),))
    for starts in ([(5, 5)], [(5, 5), (50, 60)], [(31, 32), (32, 33)]):
        expected = whole(one, starts)
        assert np.isfinite(expected).mean() > 0.5
        assert np.array_equal(times_in_tiles(one, starts, side=side), expected)


def test_tiles_give_the_times_of_scipy() -> None:
    grid = rough(4)
    fence = line("fence", (100, -10), (260, 500), seconds=25.0)
    drawn, steepest = burnt(grid, (fence,)), math.tan(math.radians(40.0))
    heights = grid.z.astype(np.float64)
    state = np.where(too_steep(heights, 6.0, 8.0, steepest), 255, drawn.state).astype(np.uint8)
    edges = graph(
        heights, state, drawn.toll, dx=6.0, dy=8.0, factor=1.3 / 0.5, steepest=steepest,
        ease=eased(grid, [PATH], 0.5),
    )  # fmt: skip
    expected = dijkstra(edges, indices=[5 * 70 + 5, 50 * 70 + 60]).min(axis=0).reshape(60, 70)
    found = times_in_tiles(walked(grid, (fence,)), [(5, 5), (50, 60)], side=11)
    np.testing.assert_allclose(found, expected, rtol=1e-5)


def test_a_way_that_winds_through_every_tile_again_and_again_is_followed() -> None:
    """A comb of walls with gaps in turn at either end: the way crosses each border dozens of times."""
    z = np.zeros((64, 64))
    z[3::4] = np.nan
    for k, row in enumerate(range(3, 64, 4)):
        z[row, 0 if k % 2 else -1] = 0.0
    grid = ground(z, dx=5.0, dy=5.0)
    one = walked(grid)
    expected = whole(one, [(0, 0)])
    assert np.isfinite(expected[-1, 0])
    assert np.array_equal(times_in_tiles(one, [(0, 0)], side=9), expected)


def test_a_part_of_the_ground_is_searched_as_one_piece_of_it_would_be() -> None:
    one = walked(rough(9), box=Box(3, 57, 4, 66))
    assert np.array_equal(times_in_tiles(one, [(5, 5)], side=13), whole(one, [(5, 5)]))


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same() -> None:
    one = walked(rough(2))
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        found = times_in_tiles(one, [(5, 5)], side=32, scheduler=cluster.scheduler_address)
    assert np.array_equal(found, whole(one, [(5, 5)]))
