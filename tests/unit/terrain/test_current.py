"""Current that cannot flow is refused by name; what nothing leads to is said."""

import numpy as np
import pytest

from tendline.core.errors import Refused
from tendline.terrain.across import Direction, across, all_round
from tendline.terrain.current import solve, ties_of


def refused(problem: Refused) -> list[str]:
    return [fault.code.id for fault in problem.faults]


def test_a_wall_from_side_to_side_lets_nothing_across() -> None:
    r = np.ones((20, 30))
    r[:, 12] = np.inf
    with pytest.raises(Refused, match="west-east") as caught:
        across(r, Direction.WEST_EAST)
    assert refused(caught.value) == ["TERR-121"]
    assert across(r, Direction.NORTH_SOUTH).flow.islands == 0


def test_nothing_let_in_nowhere_to_go_and_let_in_on_an_island_are_refused() -> None:
    r = np.ones((30, 30))
    r[10:15, 10:15] = np.inf
    r[12, 12:14] = 1.0
    ties, none, rim, island = ties_of(r), np.zeros(r.shape), np.zeros(r.shape), np.zeros(r.shape)
    rim[0] = 1.0
    island[12, 12] = 1.0
    for ground, into in ((none, rim), (rim, none), (rim, island)):
        with pytest.raises(Refused) as caught:
            solve(ties, ground, into)
        assert refused(caught.value) == ["TERR-121"]
    assert solve(ties, rim, rim).islands == 2


def test_too_few_steps_are_said_with_what_is_left() -> None:
    r = 10.0 ** np.random.default_rng(1).uniform(0, 3, (60, 60))
    ties, ground, into = ties_of(r), np.zeros(r.shape), np.zeros(r.shape)
    ground[:, -1], into[:, 0] = 1.0, 1.0
    with pytest.raises(Refused, match="after 1 steps") as caught:
        solve(ties, ground, into, most=1)
    assert refused(caught.value) == ["TERR-122"]


def test_cells_have_four_neighbours_or_eight_where_they_are_square() -> None:
    for neighbours, dx in ((6, 1.0), (8, 2.0)):
        with pytest.raises(ValueError, match="four neighbours"):
            ties_of(np.ones((3, 3)), neighbours=neighbours, dx=dx)


def test_no_direction_counts_for_more_because_its_way_is_shorter() -> None:
    long = np.ones((20, 80))
    found = [across(long, direction) for direction in (Direction.WEST_EAST, Direction.NORTH_SOUTH)]
    assert all_round(found) == pytest.approx(1.0, abs=1e-5)
