"""Time to everywhere: the shape that sixteen directions draw on level ground, scikit-image, and scipy."""

import math

import numpy as np
import pytest
from scipy.sparse.csgraph import dijkstra
from skimage.graph import MCP_Geometric

from tendline.core.settings import WalkCosts
from tendline.terrain.isochrone import bands_of, time_to_all
from tests.terrain_ground import at, burnt, centre, eased, ground, line
from tests.walk_reference import graph, tobler, too_steep

BARE = WalkCosts(off_path=1.0, steepest_deg=50.0)
LEVEL_PACE = 0.6 * math.exp(0.175)
"""Tobler (1993) on the level [s/m]."""


def test_on_level_ground_a_band_is_the_polygon_of_sixteen_directions() -> None:
    grid = ground(np.zeros((401, 401)), dx=5.0, dy=5.0)
    field = time_to_all(grid, centre(grid, 200, 200), limit_s=600.0, costs=BARE)
    first, second = bands_of(field, [300.0, 600.0])
    # King's and knight's directions, in turn 26.565 and 18.435 degrees apart, each reached at the same speed:
    # triangles of area r^2 sin(angle) / 2.
    angles = [math.atan2(1, 2), math.atan2(1, 1) - math.atan2(1, 2)]
    share = 8 * sum(math.sin(angle) for angle in angles) / 2
    inner, outer = (share * (seconds / LEVEL_PACE) ** 2 for seconds in (300.0, 600.0))
    assert first.area_m2 == pytest.approx(inner, rel=2e-3)
    assert second.area_m2 == pytest.approx(outer - inner, rel=2e-3)
    # The whole disc is 3.8 % more: 1 - share / pi.
    assert first.area_m2 < math.pi * (300 / LEVEL_PACE) ** 2
    assert len(second.polygons[0]) == 2  # a ring has one hole


def test_times_to_all_are_scipys_on_rough_ground_with_fence_and_path() -> None:
    chance = np.random.default_rng(9)
    z = np.cumsum(chance.normal(0, 0.4, (60, 70)), axis=1)
    grid = ground(z, dx=6.0, dy=8.0)
    fence = line("fence", (100, -10), (260, 500), seconds=25.0)
    path = [at(10.0, 20.0), at(300.0, 300.0), at(400.0, 420.0)]
    costs = WalkCosts(off_path=0.5, snow=1.3, steepest_deg=40.0)
    field = time_to_all(
        grid, centre(grid, 5, 5), limit_s=86_400, costs=costs, barriers=(fence,), paths=[path]
    )
    drawn = burnt(grid, (fence,))
    steepest = math.tan(math.radians(40.0))
    heights = grid.z.astype(np.float64)
    state = np.where(too_steep(heights, 6.0, 8.0, steepest), 255, drawn.state).astype(np.uint8)
    edges = graph(
        heights, state, drawn.toll, dx=6.0, dy=8.0, factor=1.3 / 0.5, steepest=steepest,
        ease=eased(grid, [path], 0.5),
    )  # fmt: skip
    expected = dijkstra(edges, indices=5 * 70 + 5).reshape(60, 70)
    assert np.isfinite(expected).mean() > 0.9
    np.testing.assert_allclose(field.seconds, expected, rtol=1e-5)


def test_level_ground_with_walls_lies_between_scikit_images_eight_neighbours_and_their_error() -> None:
    chance = np.random.default_rng(2)
    blocked = np.zeros((120, 120), bool)
    for row, col in chance.integers(8, 108, (14, 2)):
        blocked[row : row + 9, col : col + 4] = True  # blocks two cells apart at their corners leave no slit
    blocked[58:63, 58:63] = False
    z = np.where(blocked, np.nan, 0.0)
    grid = ground(z, dx=10.0, dy=10.0)
    ours = time_to_all(grid, centre(grid, 60, 60), limit_s=86_400, costs=BARE).seconds
    theirs, _ = MCP_Geometric(np.where(blocked, -1.0, LEVEL_PACE * 10.0)).find_costs([(60, 60)])
    both = np.isfinite(ours) & np.isfinite(theirs)
    assert both.mean() > 0.9
    # Sixteen directions hold the eight; eight are at most 1 / cos 22.5 degrees long. Theirs may slip between
    # two blocks that touch by a corner, ours may not.
    assert np.all(ours[both] <= theirs[both] * (1 + 1e-5))
    assert np.all(ours[both] >= theirs[both] * math.cos(math.radians(22.5)) * (1 - 1e-5))
    open_ground = ground(np.zeros((81, 81)), dx=10.0, dy=10.0)
    field = time_to_all(open_ground, centre(open_ground, 40, 40), limit_s=86_400, costs=BARE).seconds
    plain, _ = MCP_Geometric(np.full((81, 81), LEVEL_PACE * 10.0)).find_costs([(40, 40)])
    k = np.arange(81)
    for cells in ((k, k), (k, 80 - k), (np.full(81, 40), k), (k, np.full(81, 40))):
        np.testing.assert_allclose(field[cells], plain[cells], rtol=1e-5, atol=1e-4)


KING = [(1, 0), (1, 1)]
KNIGHT = [(2, 1), (1, 2)]
FARTHER = [(3, 1), (1, 3), (3, 2), (2, 3)]


@pytest.mark.parametrize(
    ("count", "kinds", "mean", "most", "gap"),
    # What is stated of the directions: mean and largest excess on the level, and the widest gap between two.
    [
        (8, KING, 0.0548, 0.0824, 45.0),
        (16, KING + KNIGHT, 0.0144, 0.0275, 26.565),
        (32, KING + KNIGHT + FARTHER, 0.0049, 0.0131, 18.435),
    ],
)
def test_the_error_of_direction_on_the_level_is_what_is_stated(
    count: int, kinds: list[tuple[int, int]], mean: float, most: float, gap: float
) -> None:
    turns = {
        math.degrees(math.atan2(b * s, a * t)) % 360
        for x, y in kinds
        for a, b in ((x, y), (y, x))
        for s in (1, -1)
        for t in (1, -1)
    }
    around = np.array(sorted({round(turn, 9) for turn in turns}))
    assert len(around) == count
    gaps = np.diff(np.append(around, around[0] + 360))
    assert gaps.max() == pytest.approx(gap, abs=1e-3)
    # Between two directions g apart, going by both takes cos(f - g / 2) / cos(g / 2) of the straight line.
    f = np.linspace(0, 1, 2001)
    excess = [np.cos(np.radians(g) * (f - 0.5)) / math.cos(math.radians(g) / 2) - 1 for g in gaps]
    assert max(one.max() for one in excess) == pytest.approx(most, abs=1e-4)
    weighed = sum(float(one.mean()) * g for one, g in zip(excess, gaps, strict=True)) / 360
    assert weighed == pytest.approx(mean, abs=2e-4)


@pytest.mark.parametrize("slope", [0.1, 0.3, -0.2])
def test_straight_up_a_plane_is_the_closed_form(slope: float) -> None:
    rows = np.arange(301)
    grid = ground(np.repeat((300 - rows)[:, None] * 5.0 * slope, 41, axis=1), dx=5.0, dy=5.0)
    field = time_to_all(grid, centre(grid, 300, 20), limit_s=86_400, costs=BARE)
    # Below a slope of 1 / 3.5 nothing is faster than straight up.
    expected = float(tobler(np.array([slope]))[0]) * 5.0 * np.arange(301)[::-1]
    np.testing.assert_allclose(field.seconds[:, 20], expected, rtol=2e-5, atol=1e-3)
