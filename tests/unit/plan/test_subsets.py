"""Tables over subsets, against trying everything."""

from itertools import pairwise, permutations

import numpy as np
import pytest

from tendline.plan.instance import FAR
from tendline.plan.subsets import Tours, divided, split


def tours(seed: int, count: int) -> Tours:
    dice = np.random.default_rng(seed)
    return Tours(
        dice.integers(1, 100, count), dice.integers(1, 100, (count, count)), dice.integers(1, 100, count)
    )


def length(tour: Tours, order: tuple[int, ...]) -> int:
    legs = sum(int(tour.legs[a, b]) for a, b in pairwise(order))
    return int(tour.out[order[0]]) + legs + int(tour.back[order[-1]])


@pytest.mark.parametrize("seed", [1, 2])
def test_the_tour_of_every_subset_is_the_shortest_of_all_orders(seed: int) -> None:
    tour = tours(seed, 5)
    for subset in range(1, 32):
        members = [j for j in range(5) if subset >> j & 1]
        shortest = min(length(tour, order) for order in permutations(members))
        assert int(tour.lengths[subset]) == shortest
        assert length(tour, tuple(tour.order(subset))) == shortest
    assert int(tour.lengths[0]) == FAR


def test_a_place_without_a_way_is_in_no_tour() -> None:
    tour = tours(3, 3)
    tour.out[1] = FAR
    tour.legs[:, 1] = FAR
    assert [int(tour.lengths[subset]) for subset in (2, 3, 6, 7)] == [FAR] * 4
    assert int(tour.lengths[5]) < FAR


@pytest.mark.parametrize("places", [0, 1, 4, 11])
def test_the_cheapest_split_is_the_cheapest_of_all_splits(places: int) -> None:
    # Eleven places is beyond what is split in one go.
    dice = np.random.default_rng(places)
    left, right = dice.integers(0, 1000, 1 << places), dice.integers(0, 1000, 1 << places)
    cheapest = split(left, right)
    for whole in {0, 1, (1 << places) - 1, int(dice.integers(0, 1 << places))}:
        if whole >= 1 << places:
            continue
        parts = [part for part in range(whole + 1) if part & ~whole == 0]
        best = min(int(left[part]) + int(right[whole ^ part]) for part in parts)
        assert int(cheapest[whole]) == best
        one, other = divided(left, right, whole)
        assert one & other == 0
        assert one | other == whole
        assert int(left[one]) + int(right[other]) == best
