"""Energy along a way: on the level and on a slope, by the published formula written down a second time."""

import math

import numpy as np
import pytest

from tendline.almanac.gait import gait_of
from tendline.core.settings import WalkCosts
from tendline.terrain.energy import energy_j
from tendline.terrain.walk import walk_matrix
from tests.terrain_ground import centre, ground


def lcda(speed: float, percent: float) -> float:
    """Looney and others (2019): watts for each kilogram."""
    grade = 0.34 * speed * percent * (1 - 1.05 ** (1 - 1.1 ** (percent + 32)))
    return float(1.44 + 1.94 * speed**0.43 + 0.24 * speed**4 + grade)


@pytest.mark.parametrize("slope", [-0.1, 0.0, 0.1])
def test_a_straight_walk_costs_what_the_formula_says(slope: float) -> None:
    z = np.repeat((np.arange(60)[::-1] * 10.0 * slope)[:, None], 9, axis=1)
    grid = ground(z, dx=10.0, dy=10.0)
    costs = WalkCosts(off_path=1.0, body_kg=75.0)
    found = walk_matrix(grid, {"a": centre(grid, 55, 4), "b": centre(grid, 5, 4)}, costs=costs)
    speed = 5 / 3 * math.exp(-3.5 * abs(slope + 0.05))  # Tobler (1993): 6 km/h is 5/3 m/s
    seconds = 500 / speed
    moving = 1.2 * (lcda(speed, 100 * slope) - 1.44)  # light brush (Pandolf and others 1976)
    expected = 75 * (1.44 + moving) * seconds
    assert found.seconds[0, 1] == pytest.approx(seconds, rel=1e-4)
    assert energy_j(found, "a", "b", gait=gait_of(costs), costs=costs) == pytest.approx(expected, rel=2e-3)


def test_load_and_snow_cost_more_and_staying_nothing() -> None:
    grid = ground(np.zeros((30, 30)), dx=10.0, dy=10.0)
    places = {"a": centre(grid, 3, 3), "b": centre(grid, 25, 20)}
    energies = []
    for costs in (WalkCosts(), WalkCosts(load_kg=20.0), WalkCosts(load_kg=20.0, sink_m=0.2)):
        found = walk_matrix(grid, places, costs=costs)
        energies.append(energy_j(found, "a", "b", gait=gait_of(costs), costs=costs))
        assert energy_j(found, "a", "a", gait=gait_of(costs), costs=costs) == 0.0
    assert energies[0] < energies[1] < energies[2]
