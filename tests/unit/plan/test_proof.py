"""Proofs that not everything fits, against trying every order."""

from dataclasses import replace

import pytest

from tendline.plan.budget import Budget
from tendline.plan.instance import instance_of
from tendline.plan.itinerary import RoundProblem
from tendline.plan.proof import least_end, shortfall
from tendline.plan.tables import tables_of
from tendline.plan.timing import cost
from tests.validation.plan.build import invented, limited, one_loop, span, task, whole_seconds
from tests.validation.plan.exact import every_order


def short(seed: int, share: float, *, slack: float = 12.0) -> RoundProblem:
    whole = invented(seed, properties=1 + seed % 2, sets=4, parkings=3)
    whole = whole_seconds(limited(whole, seed, slack_min=slack, opening_share=0.4)[0])
    return replace(whole, outing=span(0.0, int(whole.outing.seconds * share) / 60.0))


@pytest.mark.parametrize(("seed", "share"), [(0, 0.7), (1, 0.6), (2, 0.5), (3, 0.6), (4, 0.4), (5, 0.6)])
def test_as_many_are_proved_to_stay_out_as_every_order_leaves_out(seed: int, share: float) -> None:
    whole = short(seed, share)
    left = every_order(whole)[0]
    assert left > 0
    told = shortfall(instance_of(whole), in_hand=left, budget=Budget(iterations=1))
    assert told.better is None
    assert told.at_least == left
    assert len(told.hopeless) <= left


@pytest.mark.parametrize(("seed", "share"), [(0, 0.7), (2, 0.5), (5, 0.6)])
def test_a_round_that_leaves_out_too_much_is_bettered(seed: int, share: float) -> None:
    whole = short(seed, share)
    inst = instance_of(whole)
    left = every_order(whole)[0]
    told = shortfall(inst, in_hand=left + 1, budget=Budget(iterations=1))
    assert told.better is not None or told.at_least == left + 1
    assert told.better is not None
    after = cost(inst, told.better)
    assert after is not None
    assert sum(len(stop) - 1 for stop in told.better) >= len(whole.sets) - left


def test_sets_that_cannot_be_reached_in_time_by_themselves_are_hopeless() -> None:
    # a is 10 + 5 = 15 minutes away and due at 12; b is back at 10 + 9 + 1 + 9 + 10 = 39 of 35; c is fine.
    sets = [task("a", due=12.0), task("b"), task("c")]
    inst = instance_of(one_loop(sets, {"a": 5.0, "b": 9.0, "c": 2.0}, hours=35.0 / 60.0))
    told = shortfall(inst, in_hand=2, budget=Budget(iterations=1))
    assert told.hopeless == (0, 1)
    assert told.at_least == 2


def test_an_outing_too_short_for_all_is_proved_by_length_alone_even_when_large() -> None:
    whole = invented(3, properties=5, sets=50, parkings=10, hours=5.0)
    inst = instance_of(whole)
    told = shortfall(inst, in_hand=40, budget=Budget(iterations=1, seconds=1.0))
    assert 0 < told.at_least <= 40


def test_no_round_over_the_wanted_sets_ends_before_the_least_end() -> None:
    whole = short(2, 1.0)
    inst = instance_of(whole)
    wanted = set(range(inst.count))
    assert 0 < least_end(inst, wanted, tables_of(inst)) <= every_order(whole)[2] * 1000
    large = instance_of(invented(1, properties=1, sets=18, parkings=2))
    assert least_end(large, set(range(18)), tables_of(large)) == 0
