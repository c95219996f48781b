"""Searches that take turns: the same way for the same seed, stopped by target, turns or budget."""

from tendline.plan.budget import Budget, Progress
from tendline.plan.instance import instance_of
from tendline.plan.portfolio import Turns
from tendline.plan.tables import shortest_end, tables_of
from tendline.plan.timing import cost
from tests.validation.plan.build import invented, limited, one_loop, task


def test_the_search_stops_at_its_target() -> None:
    inst = instance_of(invented(5, properties=2, sets=14, parkings=5))
    tables = tables_of(inst)
    assert tables is not None
    turns = Turns(inst, 1, target=shortest_end(tables))
    budget = Budget(iterations=20_000)
    assert turns.run(budget).cost.end == shortest_end(tables)
    assert turns.finished
    assert turns.done < 20_000


def test_the_search_stops_when_everything_that_must_be_visited_is() -> None:
    whole, _ = limited(invented(2, properties=2, sets=16, parkings=4), 2, slack_min=30.0)
    turns = Turns(instance_of(whole), 1, enough=True)
    assert turns.run(Budget(iterations=10_000)).missing == ()
    assert turns.done < 5000


def test_a_search_carried_on_is_the_search_done_in_one_go() -> None:
    inst = instance_of(invented(6, properties=1, sets=20, parkings=4))
    once, twice = Turns(inst, 3), Turns(inst, 3)
    once.run(Budget(iterations=10**6), turns=2)
    twice.run(Budget(iterations=10**6), turns=1)
    twice.run(Budget(iterations=10**6), turns=1)
    assert once.best == twice.best
    assert once.done == twice.done


def test_turns_of_the_engine_and_of_the_other_search_keep_the_best() -> None:
    inst = instance_of(invented(9, properties=1, sets=24, parkings=5))
    turns = Turns(inst, 2)
    ends = [turns.run(Budget(iterations=10**6), turns=1).cost for _ in range(4)]
    assert ends == sorted(ends, reverse=True)
    assert turns.best is not None
    assert turns.best.cost == cost(inst, turns.best.order)


def test_every_better_round_is_told() -> None:
    told: list[Progress] = []
    inst = instance_of(invented(6, properties=1, sets=20, parkings=4))
    best = Turns(inst, 1).run(Budget(iterations=1500, on_progress=told.append))
    assert len(told) >= 2
    assert [p.round_s for p in told] == sorted((p.round_s for p in told), reverse=True)
    assert told[-1].round_s == best.cost.end / 1000.0


def test_a_set_that_cannot_be_visited_does_not_keep_the_rest_from_being_complete() -> None:
    sets = [task("a"), task("b", must=False, windows=())]
    turns = Turns(instance_of(one_loop(sets, {"a": 3.0, "b": 4.0})), 1)
    turns.run(Budget(iterations=10))
    assert turns.complete
