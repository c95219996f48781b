"""Looking at every round: what is found is the best, and what is not found is not there."""

from dataclasses import replace

import pytest

from tendline.plan.budget import Budget
from tendline.plan.instance import FAR, instance_of
from tendline.plan.itinerary import RoundProblem
from tendline.plan.labels import Answer, Exhausted, exhaust
from tendline.plan.timing import cost
from tests.validation.plan.build import invented, limited, one_loop, span, task, whole_seconds
from tests.validation.plan.exact import every_order


def tight(seed: int, *, share: float = 1.0) -> RoundProblem:
    whole = invented(seed, properties=1 + seed % 2, sets=4, parkings=3)
    whole = whole_seconds(limited(whole, seed, slack_min=12.0, opening_share=0.5)[0])
    return replace(whole, outing=span(0.0, int(whole.outing.seconds * share) / 60.0))


def looked(
    whole: RoundProblem, *, spare: int = 0, before: int = FAR, budget: Budget | None = None
) -> Exhausted:
    inst = instance_of(whole)
    return exhaust(
        inst, needed=inst.open_sets, spare=spare, before=before, budget=budget or Budget(iterations=1)
    )


@pytest.mark.parametrize("seed", range(6))
def test_the_round_found_ends_as_early_as_any(seed: int) -> None:
    whole = tight(seed)
    left, _, end = every_order(whole)
    answer = looked(whole)
    assert left == 0
    assert answer.answer is Answer.FOUND
    told = cost(instance_of(whole), answer.order)
    assert told is not None
    assert (told.loss, told.end) == (0, end * 1000)


@pytest.mark.parametrize("seed", range(4))
def test_nothing_is_found_before_the_earliest_end(seed: int) -> None:
    whole = tight(seed)
    end = int(every_order(whole)[2] * 1000)
    assert looked(whole, before=end).answer is Answer.NONE
    assert looked(whole, before=end + 1).answer is Answer.FOUND


@pytest.mark.parametrize(("seed", "share"), [(0, 0.7), (1, 0.6), (2, 0.5), (3, 0.6), (5, 0.6)])
def test_the_fewest_sets_to_leave_out_are_the_fewest(seed: int, share: float) -> None:
    whole = tight(seed, share=share)
    left = every_order(whole)[0]
    assert left > 0
    reachable = len(instance_of(whole).open_sets)
    hopeless = len(whole.sets) - reachable
    assert looked(whole, spare=left - hopeless).answer is Answer.FOUND
    if left > hopeless:
        assert looked(whole, spare=left - hopeless - 1).answer is Answer.NONE


def test_too_many_rounds_are_given_up() -> None:
    whole = invented(3, properties=1, sets=20, parkings=3)
    few = Budget(iterations=1, seconds=0.4)
    assert looked(whole, budget=few).answer is Answer.TOO_MANY


def test_nothing_needed_is_found_at_once() -> None:
    inst = instance_of(one_loop([task("a")], {"a": 3.0}))
    assert exhaust(inst, needed=[], spare=0, before=FAR, budget=Budget(iterations=1)) == Exhausted(
        Answer.FOUND, []
    )
