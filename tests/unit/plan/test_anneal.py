"""Ruin and recreate: never worse than its start, the same again for the same seed, tight limits found."""

import pytest

from tendline.plan.anneal import anneal, construct, empty, found
from tendline.plan.budget import Budget, Chance
from tendline.plan.instance import instance_of
from tendline.plan.tables import shortest_end, tables_of
from tendline.plan.timing import clock, cost
from tests.validation.plan.build import invented, limited, one_loop, task


def test_the_empty_round_drives_from_start_to_end() -> None:
    inst = instance_of(one_loop([task("a"), task("b")], {"a": 5.0, "b": 9.0}))
    nothing = empty(inst)
    assert nothing.order == []
    assert nothing.missing == (0, 1)
    assert nothing.cost == cost(inst, [])


def test_what_is_found_is_timed_by_the_clock() -> None:
    inst = instance_of(invented(1, properties=2, sets=12, parkings=4))
    best = anneal(
        inst, construct(inst, Chance(1)), chance=Chance(1), budget=Budget(iterations=300), steps=300
    )
    assert best.cost == cost(inst, best.order)
    assert best == found(inst, best.order, clock(inst, best.order))


def test_the_search_never_ends_worse_than_it_began() -> None:
    inst = instance_of(invented(2, properties=1, sets=15, parkings=3))
    first = construct(inst, Chance(4))
    for steps in (1, 5, 50):
        after = anneal(inst, first, chance=Chance(7), budget=Budget(iterations=steps), steps=steps)
        assert after.cost <= first.cost


def test_the_search_finds_the_shortest_of_a_small_round() -> None:
    inst = instance_of(invented(5, properties=2, sets=14, parkings=5))
    tables = tables_of(inst)
    assert tables is not None
    best = anneal(
        inst, construct(inst, Chance(1)), chance=Chance(1), budget=Budget(iterations=2000), steps=2000
    )
    assert best.cost.end == shortest_end(tables)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_search_finds_its_way_into_limits_with_minutes_to_spare(seed: int) -> None:
    # A plain round keeps every limit of this problem, some with less than a minute to spare.
    whole, _ = limited(
        invented(seed, properties=3, sets=30, parkings=6), seed, slack_min=6.0, opening_share=0.3
    )
    inst = instance_of(whole)
    budget = Budget(iterations=4000)
    best = anneal(
        inst, construct(inst, Chance(seed)), chance=Chance(seed), budget=budget, steps=4000, enough=True
    )
    assert best.missing == ()


def test_the_same_seed_gives_the_same_order() -> None:
    inst = instance_of(invented(6, properties=1, sets=20, parkings=3))
    twice = [
        anneal(inst, empty(inst), chance=Chance(9), budget=Budget(iterations=150), steps=150)
        for _ in range(2)
    ]
    assert twice[0] == twice[1]


def test_a_search_told_to_stop_stops() -> None:
    inst = instance_of(invented(6, properties=1, sets=20, parkings=3))
    first = construct(inst, Chance(1))
    assert (
        anneal(inst, first, chance=Chance(1), budget=Budget(should_stop=lambda: True), steps=10**6) == first
    )
