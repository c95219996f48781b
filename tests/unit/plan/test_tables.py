"""The shortest round without limits, against trying every order."""

from itertools import combinations

import pytest

from tendline.plan.counts import ends_by_count, order_of_most
from tendline.plan.instance import instance_of
from tendline.plan.tables import shortest_end, shortest_order, tables_of
from tendline.plan.timing import cost
from tests.validation.plan.build import invented, problem, table, task, whole_seconds
from tests.validation.plan.exact import every_order


@pytest.mark.parametrize(("seed", "properties", "parkings"), [(1, 1, 3), (2, 2, 3), (3, 2, 4), (4, 1, 2)])
def test_tables_find_what_trying_every_order_finds(seed: int, properties: int, parkings: int) -> None:
    whole = whole_seconds(invented(seed, properties=properties, sets=4, parkings=parkings))
    tables = tables_of(instance_of(whole))
    assert tables is not None
    assert every_order(whole)[2] * 1000 == shortest_end(tables)


def test_the_order_told_takes_the_time_told() -> None:
    inst = instance_of(invented(8, properties=5, sets=40, parkings=10))
    tables = tables_of(inst)
    assert tables is not None
    told = cost(inst, shortest_order(tables))
    assert told is not None
    assert (told.loss, told.end) == (0, shortest_end(tables))


def test_the_earliest_end_for_so_many_sets_is_the_best_of_all_choices() -> None:
    whole = whole_seconds(invented(5, properties=2, sets=4, parkings=3))
    inst = instance_of(whole)
    tables = tables_of(inst)
    assert tables is not None
    for count in (1, 2, 3, 4):
        ends = []
        for chosen in combinations(whole.sets, count):
            part = type(whole)(
                start=whole.start,
                end=whole.end,
                outing=whole.outing,
                sets=chosen,
                parkings=whole.parkings,
                park_s=whole.park_s,
                drive=whole.drive,
                walk=whole.walk,
            )
            ends.append(every_order(part)[2])
        # Looking at one set more on the way is never forbidden, but here never shorter either.
        assert ends_by_count(tables, inst.must)[count] == min(ends) * 1000


@pytest.mark.parametrize("share", [0.3, 0.5, 0.8, 0.95])
def test_the_round_over_the_most_sets_is_one_that_fits_and_no_more_do(share: float) -> None:
    inst = instance_of(invented(6, properties=3, sets=21, parkings=6))
    tables = tables_of(inst)
    assert tables is not None
    latest = int(shortest_end(tables) * share)
    order = order_of_most(tables, inst.must, latest=latest)
    told = cost(inst, order)
    assert told is not None
    assert told.end <= latest
    visited = sum(len(stop) - 1 for stop in order)
    ends = ends_by_count(tables, inst.must)
    assert ends[visited] == told.end
    assert ends[visited + 1] > latest
    assert order_of_most(tables, inst.must, latest=0) == []


def test_only_sets_that_must_be_visited_are_counted() -> None:
    walk = table(["p", "a", "b"], [[0, 1, 5], [1, 0, 4], [5, 4, 0]])
    drive = table(["home", "p"], [[0, 10], [10, 0]])
    inst = instance_of(problem([task("a", must=False), task("b")], walk=walk, drive=drive))
    tables = tables_of(inst)
    assert tables is not None
    # 10 + 5 + 1 + 5 + 10 minutes for b alone.
    assert ends_by_count(tables, inst.must) == [0, 31 * 60_000]


def test_a_property_with_too_many_sets_has_no_tables() -> None:
    assert tables_of(instance_of(invented(1, properties=1, sets=17, parkings=2))) is None
    assert tables_of(instance_of(invented(1, properties=1, sets=14, parkings=6))) is None


def test_grounds_joined_by_a_parking_are_one_property() -> None:
    # a and b share no ground, but q lies on both: from p only a, from q both.
    walk = table(
        ["p", "q", "a", "b"],
        [
            [0, 60, 1, float("inf")],
            [60, 0, 2, 2],
            [1, 2, 0, float("inf")],
            [float("inf"), 2, float("inf"), 0],
        ],
    )
    drive = table(["home", "p", "q"], [[0, 1, 1], [1, 0, 1], [1, 1, 0]])
    inst = instance_of(problem([task("a"), task("b")], walk=walk, drive=drive, parkings=("p", "q")))
    tables = tables_of(inst)
    assert tables is not None
    assert len(tables.properties) == 1
    # To p and over a: 1 + 1 + 1 + 1; on to q: 1; over b: 2 + 1 + 2; home: 1. No walk from q does both.
    assert shortest_end(tables) == 11 * 60_000
