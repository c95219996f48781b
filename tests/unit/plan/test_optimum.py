"""The best order and whether it is proved: by tables, by exhaustion, or not at all."""

import pytest

from tendline.plan.budget import Budget
from tendline.plan.instance import instance_of
from tendline.plan.optimum import Quest, quest
from tendline.plan.portfolio import Turns
from tendline.plan.tables import tables_of
from tendline.plan.timing import cost
from tests.validation.plan.build import invented, limited, one_loop, task, whole_seconds
from tests.validation.plan.exact import every_order


def test_a_round_without_limits_is_proved_by_tables_without_any_search() -> None:
    inst = instance_of(invented(4, properties=4, sets=36, parkings=8))
    budget = Budget(iterations=1)
    best = quest(inst, tables_of(inst), seed=1, budget=budget).run(budget)
    assert best.shortest
    assert best.found.missing == ()


@pytest.mark.parametrize("seed", range(6))
def test_a_small_round_with_limits_is_proved_by_looking_at_every_round(seed: int) -> None:
    whole = invented(seed, properties=1 + seed % 2, sets=4, parkings=3)
    whole = whole_seconds(limited(whole, seed, slack_min=12.0, opening_share=0.6)[0])
    inst, budget = instance_of(whole), Budget(iterations=50)
    best = quest(inst, tables_of(inst), seed=1, budget=budget).run(budget)
    assert best.shortest
    assert best.found.cost.end == every_order(whole)[2] * 1000


def test_a_large_round_is_not_claimed_to_be_the_shortest() -> None:
    inst = instance_of(invented(3, properties=1, sets=22, parkings=4))
    budget = Budget(iterations=100)
    assert not quest(inst, tables_of(inst), seed=1, budget=budget).run(budget).shortest


def test_an_order_from_elsewhere_is_filled_up_and_kept_when_better() -> None:
    sets = [task("a"), task("b"), task("c", must=False)]
    inst = instance_of(one_loop(sets, {"a": 3.0, "b": 6.0, "c": 8.0}))
    budget = Budget(iterations=1)
    known = quest(inst, tables_of(inst), seed=1, budget=budget, start=[[0, 0]])
    # Tables know the shortest round over all three: nothing from elsewhere is better.
    assert not known.offer([[0, 1]], budget)
    # Nothing is known of this one yet: b alone is offered, a and c fit in besides.
    fresh = Quest(Turns(inst, 1))
    assert fresh.offer([[0, 1]], budget)
    assert fresh.best.found.missing == ()


def test_a_start_that_breaks_a_limit_is_not_taken() -> None:
    sets = [task("a", due=20.0), task("b")]
    inst = instance_of(one_loop(sets, {"a": 5.0, "b": 9.0}))
    budget = Budget(iterations=5)
    assert cost(inst, [[0, 1, 0]]) is None
    best = quest(inst, tables_of(inst), seed=1, budget=budget, start=[[0, 1, 0]]).run(budget)
    assert best.found.order == [[0, 0, 1]]
