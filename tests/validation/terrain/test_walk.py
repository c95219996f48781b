"""Walking times on a tilted plane, where the answer is known, and on real heights, against scipy."""

import math
from typing import Any, cast

import numpy as np
import numpy.typing as npt
import pytest
from matplotlib.cbook import get_sample_data
from scipy.sparse.csgraph import dijkstra

from tendline.almanac.travel import pace_tobler1993
from tendline.core.grid import Grid
from tendline.core.settings import WalkCosts
from tendline.terrain.walk import WalkResult, walk_matrix
from tests.terrain_ground import at, burnt, centre, ground, line
from tests.walk_reference import BLOCKED, graph, tobler, too_steep

Floats = npt.NDArray[np.float64]
BARE = WalkCosts(off_path=1.0, steepest_deg=50.0)
SIXTEEN = np.array(
    [(x, y) for x in range(-2, 3) for y in range(-2, 3) if math.gcd(x, y) == 1],
    float,
)
"""Directions of the moves of king and knight, east and south [cells]."""


def gauge(directions: Floats, rise: Floats, wanted: Floats) -> Floats:
    """Least time per wanted vector [s] by mixing two of the directions, on a plane.

    On a plane any order of straight pieces is a way, so the fastest is the best mix of at most two
    directions: the gauge of the convex hull of the velocities, by the formula of Tobler (1993) alone.

    Parameters
    ----------
    directions
        (k, 2) [m].
    rise
        Slope of the plane eastward and southward [m/m].
    wanted
        (n, 2) [m].
    """
    lengths = np.hypot(*directions.T)
    cost = lengths * tobler(directions @ rise / lengths)
    best = np.full(len(wanted), np.inf)
    for i in range(len(directions)):
        for j in range(i + 1, len(directions)):
            both = np.array([directions[i], directions[j]]).T
            if abs(np.linalg.det(both)) < 1e-9:
                continue
            parts = np.linalg.solve(both, wanted.T)
            time = np.where(np.all(parts > -1e-9, axis=0), cost[i] * parts[0] + cost[j] * parts[1], np.inf)
            best = np.minimum(best, time)
    return best


def star(slope: float, bearing: float, *, dx: float, dy: float) -> tuple[WalkResult, Floats, Floats]:
    """Walk from the middle of a tilted plane to 40 places round it; give the vectors there and the rise."""
    size, middle, reach = 221, 110, 80
    rise = slope * np.array([math.sin(math.radians(bearing)), -math.cos(math.radians(bearing))])
    rows, cols = np.mgrid[0:size, 0:size]
    grid = ground((cols - middle) * dx * rise[0] + (rows - middle) * dy * rise[1], dx=dx, dy=dy)
    angles = np.radians(np.arange(40) * 9.0 + 1.3)
    ends = np.round(np.stack([np.cos(angles) * reach, np.sin(angles) * reach], axis=1)).astype(int)
    places = {"middle": centre(grid, middle, middle)}
    places |= {f"p{k}": centre(grid, middle + down, middle + across) for k, (across, down) in enumerate(ends)}
    pairs = [("middle", name) for name in places if name != "middle"]
    found = walk_matrix(grid, places, groups=pairs, costs=BARE)
    return found, ends * [dx, dy], rise


@pytest.mark.parametrize(
    ("slope", "bearing", "dx", "dy", "lattice"),
    # On steeper planes the best mix is a zigzag that a finite number of moves cannot quite make.
    [
        (0.0, 0, 5, 5, 1e-5),
        (0.1, 20, 5, 5, 1e-5),
        (0.2, 75, 5, 5, 2e-4),
        (0.4, 130, 5, 5, 8e-3),
        (0.2, 200, 4, 7, 2e-3),
    ],
)
def test_a_tilted_plane_takes_the_best_mix_of_the_sixteen_directions(
    slope: float, bearing: float, dx: float, dy: float, lattice: float
) -> None:
    """The exact value for sixteen directions: the gauge of the polygon of their velocities.

    Heights are held to about 4e-6 m, which a search for the least turns into some 1e-6 of the time.
    """
    found, wanted, rise = star(slope, bearing, dx=dx, dy=dy)
    exact = gauge(SIXTEEN * [dx, dy], rise, wanted)
    assert np.all(found.seconds[0, 1:] >= exact * (1 - 1e-5))
    assert np.all(found.seconds[0, 1:] <= exact * (1 + lattice))
    back = gauge(SIXTEEN * [dx, dy], rise, -wanted)
    assert np.all(found.seconds[1:, 0] >= back * (1 - 1e-5))
    assert np.all(found.seconds[1:, 0] <= back * (1 + lattice))


@pytest.mark.parametrize(
    ("slope", "mean", "most"), [(0.0, 0.015, 0.0276), (0.2, 0.025, 0.20), (0.4, 0.035, 0.33)]
)
def test_sixteen_directions_are_as_near_to_walking_freely_as_is_said(
    slope: float, mean: float, most: float
) -> None:
    """Against the gauge of all directions (360 here). On the level a knight's cone is known by hand.

    Between king's and knight's directions, 26.565 degrees apart, at worst 1 / cos(26.565 / 2) = 1.0275.
    """
    found, wanted, rise = star(slope, 20.0, dx=5.0, dy=5.0)
    angles = np.radians(np.arange(360.0))
    free = gauge(np.stack([np.cos(angles), np.sin(angles)], axis=1), rise, wanted)
    excess = found.seconds[0, 1:] / free - 1.0
    assert np.all(excess >= -2e-4)  # 360 directions are not quite all
    assert excess.mean() <= mean
    assert excess.max() <= most


def real_ground() -> Grid:
    """Heights round the Jacksboro fault, Tennessee: SRTM, public domain, as matplotlib ships them.

    Its south and north are exchanged in the file. Cells are 3 arc seconds: 92.5 m northward, 74.6 m eastward
    at 36.5 degrees; the raster is put into UTM as it stands, which changes nothing for the search.
    """
    with cast(Any, get_sample_data("jacksboro_fault_dem.npz")) as held:
        heights = held["elevation"].astype(np.float32)
        assert held["ymin"] > held["ymax"]
        step = float(held["dx"])
    return ground(heights, dx=step * 111_320 * math.cos(math.radians(36.5)), dy=step * 110_990)


def test_real_heights_with_a_river_a_bridge_and_a_fence_match_scipy() -> None:
    grid = real_ground()
    width, height = grid.shape[1] * grid.dx, grid.shape[0] * grid.dy
    river = line("river", (0.4 * width, -100), (0.55 * width, 0.5 * height), (0.45 * width, height + 100),
                 crossings=[[(0.55 * width, 0.5 * height)]])  # fmt: skip
    fence = line("fence", (-100, 0.3 * height), (width + 100, 0.42 * height), seconds=45.0)
    chance = np.random.default_rng(8)
    cells = chance.integers(2, 340, (7, 2))
    places = {f"p{k}": centre(grid, int(r), int(c)) for k, (r, c) in enumerate(cells)}
    costs = WalkCosts(off_path=0.6, snow=1.4, steepest_deg=35.0)
    found = walk_matrix(grid, places, costs=costs, barriers=(river, fence))

    drawn = burnt(grid, (river, fence))
    z, steepest = grid.z.astype(np.float64), math.tan(math.radians(35.0))
    state = np.where(too_steep(z, grid.dx, grid.dy, steepest), BLOCKED, drawn.state).astype(np.uint8)
    edges = graph(z, state, drawn.toll, dx=grid.dx, dy=grid.dy, factor=1.4 / 0.6, steepest=steepest)
    used = found.cells[found.nodes]
    numbers = used[:, 0] * grid.shape[1] + used[:, 1]
    expected = dijkstra(edges, indices=numbers)[:, numbers]
    assert np.all(np.isfinite(expected))
    assert found.seconds == pytest.approx(expected, rel=1e-5)
    assert not np.allclose(found.seconds, found.seconds.T, rtol=1e-3)


def test_a_walk_on_real_heights_stays_between_its_bounds() -> None:
    """No faster than the straight line at Tobler's best, no slower than straight over every cell between."""
    grid = real_ground()
    a, b = at(6000.0, 9000.0), at(12000.0, 15000.0)
    found = walk_matrix(grid, {"a": a, "b": b}, costs=BARE)
    (ra, ca), (rb, cb) = found.cells[found.nodes]
    straight = math.hypot((rb - ra) * grid.dy, (cb - ca) * grid.dx)
    share = np.linspace(0, 1, 4000)
    rows, cols = (np.round(x + (y - x) * share).astype(int) for x, y in ((ra, rb), (ca, cb)))
    piece = straight / 3999
    slopes = np.abs(np.diff(grid.z[rows, cols].astype(np.float64))) / piece
    assert straight * 0.6 < found.seconds[0, 1] < np.sum(piece * pace_tobler1993(np.minimum(slopes, 2.0)))
    assert found.metres[0, 1] >= straight
