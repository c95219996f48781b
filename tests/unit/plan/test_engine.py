"""The door to the routing engine: what goes in comes out as a round, and holds on our own clock."""

import pytest

from tendline.plan.engine import engine_round, solve
from tendline.plan.instance import instance_of
from tendline.plan.itinerary import RoundProblem
from tendline.plan.tables import shortest_end, tables_of
from tendline.plan.timing import Order, cost
from tests.validation.plan.build import invented, limited, one_loop, problem, table, task


def run(
    whole: RoundProblem, *, everything: bool, calls: int = 400, start: Order | None = None
) -> Order | None:
    left = [calls]

    def stop() -> bool:
        left[0] -= 1
        return left[0] < 0

    return solve(engine_round(instance_of(whole), everything=everything), start, seed=1, stop=stop)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_engine_comes_close_to_the_shortest_of_small_rounds(seed: int) -> None:
    whole = invented(seed, properties=2, sets=12, parkings=4)
    inst = instance_of(whole)
    tables = tables_of(inst)
    order = run(whole, everything=True, calls=3000)
    assert tables is not None
    assert order is not None
    told = cost(inst, order)
    assert told is not None
    assert told.loss == 0
    assert shortest_end(tables) <= told.end <= 1.03 * shortest_end(tables)


def test_the_engine_keeps_limits_and_leaves_out_what_does_not_fit() -> None:
    # b is due before anyone can be there (10 + 9 = 19 minutes), a and c are not.
    sets = [task("a"), task("b", due=15.0), task("c", due=60.0)]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0, "c": 12.0})
    order = run(whole, everything=False)
    assert order is not None
    assert sorted(order[0][1:]) == [0, 2]
    assert cost(instance_of(whole), order) is not None


def test_the_engine_has_no_answer_when_everything_is_asked_and_not_all_fits() -> None:
    sets = [task("a", due=16.0), task("b", due=20.0)]
    whole = one_loop(sets, {"a": 5.0, "b": 12.0})
    order = run(whole, everything=True)
    assert order is None or cost(instance_of(whole), order) is None


def test_a_set_with_two_windows_is_visited_once() -> None:
    sets = [task("a", windows=((0.0, 12.0), (40.0, 60.0))), task("b", due=30.0)]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0})
    for everything in (True, False):
        order = run(whole, everything=everything)
        assert order == [[0, 1, 0]]


def test_the_engine_goes_on_from_a_round_it_is_given() -> None:
    whole, _ = limited(invented(4, properties=2, sets=10, parkings=4), 4, slack_min=5.0)
    inst = instance_of(whole)
    start = run(whole, everything=False, calls=2000)
    assert start is not None
    before = cost(inst, start)
    assert before is not None
    after = run(whole, everything=before.loss == 0, calls=50, start=start)
    assert after is not None
    assert (cost(inst, after) or before) <= before


def test_an_empty_round_can_be_given_and_read_back() -> None:
    walk = table(["p", "a"], [[0, 1], [1, 0]])
    drive = table(["home", "p"], [[0, 10], [10, 0]])
    whole = problem([task("a", must=False)], walk=walk, drive=drive)
    assert run(whole, everything=False, calls=0, start=[]) == []
    assert run(whole, everything=False, calls=50, start=[]) == [[0, 0]]


def test_the_same_seed_and_calls_give_the_same_order(capsys: pytest.CaptureFixture[str]) -> None:
    whole = invented(6, properties=1, sets=20, parkings=3)
    assert run(whole, everything=True) == run(whole, everything=True)
    printed = capsys.readouterr()
    assert printed.out + printed.err == ""
