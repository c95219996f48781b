"""Rounds that are back together: the way round that leaves more to spare, then the one that waits on less."""

import pytest

from tendline.plan.instance import instance_of
from tendline.plan.ties import settle_ties
from tendline.plan.timing import clock, cost, latest_start
from tests.validation.plan.build import invented, limited, one_loop, problem, table, task


def test_a_loop_is_walked_the_way_that_leaves_more_to_spare() -> None:
    # Both ways round take 40 minutes; a first leaves 12 to spare (b at 20 of 32), b first 6 (a at 24 of 30).
    inst = instance_of(one_loop([task("a", due=30.0), task("b", due=32.0)], {"a": 5.0, "b": 9.0}))
    assert settle_ties(inst, [[0, 1, 0]]) == [[0, 0, 1]]
    assert settle_ties(inst, [[0, 0, 1]]) == [[0, 0, 1]]


def test_with_nothing_to_choose_in_time_the_heavier_set_comes_first() -> None:
    for weights, first in (((1, 5), 1), ((5, 1), 0)):
        sets = [task("a", weight=weights[0]), task("b", weight=weights[1])]
        walk = table(["p", "a", "b"], [[0, 6, 6], [6, 0, 3], [6, 3, 0]])
        inst = instance_of(problem(sets, walk=walk, drive=table(["home", "p"], [[0, 10], [10, 0]])))
        assert settle_ties(inst, [[0, 1 - first, first]]) == [[0, first, 1 - first]]


def test_the_tour_is_driven_the_other_way_round_when_that_is_better() -> None:
    far = float("inf")
    walk = table(
        ["p", "q", "a", "b"], [[0, far, 2, far], [far, 0, far, 2], [2, far, 0, far], [far, 2, far, 0]]
    )
    drive = table(["home", "p", "q"], [[0, 10, 10], [10, 0, 10], [10, 10, 0]])
    whole = problem([task("a"), task("b", due=30.0)], walk=walk, drive=drive, parkings=("p", "q"))
    # b second: 10 + 2 + 1 + 2 + 10 + 2 = 27 of 30; first: 12 of 30.
    assert settle_ties(instance_of(whole), [[0, 0], [1, 1]]) == [[1, 1], [0, 0]]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_settling_ties_never_costs_anything(seed: int) -> None:
    from tendline.plan.budget import Chance
    from tendline.plan.recreate import recreate

    whole, _ = limited(invented(seed, properties=2, sets=12, parkings=4), seed, slack_min=60.0)
    inst = instance_of(whole)
    order: list[list[int]] = []
    now, _ = recreate(inst, order, list(inst.open_sets), Chance(seed))
    after = settle_ties(inst, order)
    before_cost, after_cost, then = cost(inst, order), cost(inst, after), clock(inst, after)
    assert now is not None
    assert then is not None
    assert before_cost is not None
    assert after_cost is not None
    assert after_cost <= before_cost
    if after_cost == before_cost:
        assert latest_start(inst, after, then) >= latest_start(inst, order, now)
