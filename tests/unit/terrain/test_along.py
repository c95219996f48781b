"""Recorded walks over ground: what was walked, against the curve written down a second time."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from tendline.almanac.gait import gait_of
from tendline.core.settings import WalkCosts
from tendline.terrain.along import Walked, visits, walked
from tests.terrain_ground import NORTH, WEST, ground
from tests.walk_reference import tobler

BARE = WalkCosts(off_path=1.0)
Floats = npt.NDArray[np.float64]


def walk(
    slope: float, factor: float, *, noise: float = 0.0, stops: tuple[int, ...] = ()
) -> tuple[Floats, Floats]:
    """Walk 2 km east in strides of 5 m on a plane, so much slower than Tobler; stand still here and there."""
    x = np.arange(0.0, 2000.0, 5.0)
    times = x * float(tobler(np.array([slope]))[0]) * factor
    xy = np.stack([WEST + 50 + x, np.full(x.size, NORTH - 500.0)], axis=1)
    for index in stops:
        stand = np.linspace(0.0, 240.0, 25)
        xy = np.insert(xy, index, np.repeat(xy[index][None], 25, axis=0), axis=0)
        times = np.concatenate([times[:index], times[index] + stand, times[index:] + 250.0])
    chance = np.random.default_rng(4)
    return xy + chance.normal(0, noise, xy.shape), times


def hill(slope: float) -> Floats:
    return np.tile(np.arange(220) * 10.0 * slope, (100, 1))


@pytest.mark.parametrize("slope", [-0.2, -0.05, 0.0, 0.1, 0.3])
def test_a_walk_on_a_plane_gives_back_the_factor_it_was_made_with(slope: float) -> None:
    grid = ground(hill(slope))
    xy, times = walk(slope, 1.25)
    found = walked(grid, xy, times, gait=gait_of(BARE))
    assert found.actual_s / found.curve_s == pytest.approx(1.25, rel=1e-3)
    assert found.metres == pytest.approx(1980, abs=20)


def test_stops_rides_and_holes_are_left_out() -> None:
    grid = ground(hill(0.1))
    plain = walked(grid, *walk(0.1, 1.25), gait=gait_of(BARE))
    xy, times = walk(0.1, 1.25, stops=(100, 250))
    stopped = walked(grid, xy, times, gait=gait_of(BARE))
    assert stopped.actual_s / stopped.curve_s == pytest.approx(1.25, rel=0.03)
    assert stopped.actual_s < plain.actual_s
    late = times + np.where(np.arange(times.size) > 200, 3600.0, 0.0)
    assert walked(grid, xy, late, gait=gait_of(BARE)).actual_s < plain.actual_s
    ride = walked(grid, xy, 0.5 * np.arange(float(times.size)), gait=gait_of(BARE))  # ten metres a second
    assert ride == Walked(0.0, 0.0, 0.0)


def test_the_scatter_of_a_receiver_moves_the_factor_little() -> None:
    grid = ground(hill(0.0))
    xy, times = walk(0.0, 1.25, noise=3.0)
    found = walked(grid, xy, times, gait=gait_of(BARE))
    # Three metres of scatter on strides of twenty lengthen the way by up to 3^2 / 20^2 = 2.3 %.
    assert found.actual_s / found.curve_s == pytest.approx(1.25, rel=0.03)


def test_on_a_path_the_curve_is_that_of_paths() -> None:
    grid = ground(hill(0.0))
    xy, times = walk(0.0, 1.25)
    costs = replace(BARE, off_path=0.5)
    line = np.array([[WEST, NORTH - 500.0], [WEST + 2200.0, NORTH - 500.0]])
    beside = walked(grid, xy, times, gait=gait_of(costs))
    on = walked(grid, xy, times, gait=gait_of(costs), paths=[line])
    assert beside.curve_s == pytest.approx(2 * on.curve_s, rel=1e-6)


def test_ground_without_a_height_is_left_out() -> None:
    z = hill(0.1)
    z[:, 80:120] = np.nan
    found = walked(ground(z), *walk(0.1, 1.25), gait=gait_of(BARE))
    assert found.metres == pytest.approx(1560, abs=60)
    assert found.actual_s / found.curve_s == pytest.approx(1.25, rel=1e-3)
    nowhere = walked(ground(np.full((100, 220), np.nan)), *walk(0.1, 1.25), gait=gait_of(BARE))
    assert nowhere == Walked(0.0, 0.0, 0.0)


def test_a_visit_lasts_from_one_rim_to_the_other() -> None:
    # Along x at 2 m/s past a spot 12 m aside: within 20 m for 2 sqrt(20^2 - 12^2) = 32 m, 16 s.
    x = np.arange(0.0, 400.0, 3.0)
    xys, seconds = np.stack([x, np.full(x.size, 12.0)], axis=1), x / 2.0
    ((begin, end),) = visits(xys, seconds, np.array([200.0, 0.0]), radius_m=20.0)
    assert end - begin == pytest.approx(16.0, abs=0.1)
    assert (begin + end) / 2 == pytest.approx(100.0, abs=0.1)
    assert visits(xys, seconds, np.array([200.0, 50.0]), radius_m=20.0) == []
    # Begun in the circle, or with a hole in it: nobody knows how long.
    assert visits(xys, seconds, np.array([0.0, 0.0]), radius_m=20.0) == []
    late = seconds + np.where(x > 200.0, 900.0, 0.0)
    assert visits(xys, late, np.array([200.0, 0.0]), radius_m=20.0) == []
