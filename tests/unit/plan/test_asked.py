"""Problems that cannot be planned are refused, with everything that is wrong with them."""

from dataclasses import replace

import numpy as np
import pytest

from tendline.core.errors import Refused
from tendline.plan.asked import check
from tendline.plan.faults import (
    BUDGET,
    FIGURE,
    HOURS,
    MISSING_PLACE,
    NAME_TWICE,
    NO_DRIVE,
    NO_WALK,
    NO_WINDOW,
    NOTHING,
    TABLE,
)
from tendline.plan.itinerary import RoundProblem
from tendline.plan.route import plan_round
from tests.validation.plan.build import FAR, one_loop, problem, span, table, task


def sound() -> RoundProblem:
    return one_loop([task("a"), task("b")], {"a": 5.0, "b": 9.0})


def codes(bad: RoundProblem) -> list[str]:
    with pytest.raises(Refused) as told:
        check(bad)
    return [fault.code.id for fault in told.value.faults]


def test_a_sound_problem_passes() -> None:
    check(sound())


def test_a_place_that_is_missing_in_either_table_is_named() -> None:
    bad = replace(sound(), parkings=("p", "q"))
    with pytest.raises(Refused) as told:
        check(bad)
    assert [fault.code for fault in told.value.faults] == [MISSING_PLACE, MISSING_PLACE]
    assert {fault.where for fault in told.value.faults} == {"q"}


def test_a_table_of_the_wrong_shape_is_told() -> None:
    good = sound()
    bad = replace(good, walk=replace(good.walk, metres=np.zeros((2, 2))))
    assert codes(bad) == [TABLE.id]


@pytest.mark.parametrize("wrong", [-1.0, float("nan")])
def test_a_negative_time_or_one_that_is_no_number_is_told_with_both_places(wrong: float) -> None:
    good = sound()
    seconds = good.drive.seconds.copy()
    seconds[0, 1] = wrong
    with pytest.raises(Refused) as told:
        check(replace(good, drive=replace(good.drive, seconds=seconds)))
    assert [fault.code for fault in told.value.faults] == [TABLE]
    assert "home to p" in told.value.faults[0].where


def test_every_missing_drive_is_told() -> None:
    drive = table(["home", "p"], [[0, FAR], [FAR, 0]])
    with pytest.raises(Refused) as told:
        check(replace(sound(), drive=drive))
    assert [fault.code for fault in told.value.faults] == [NO_DRIVE, NO_DRIVE]
    assert [fault.where for fault in told.value.faults] == ["home to p", "p to home"]


def test_every_set_that_no_parking_reaches_is_told() -> None:
    # b has a way in and none out; c has none at all; a is fine.
    walk = table(
        ["p", "a", "b", "c"], [[0, 1, 1, FAR], [1, 0, 1, FAR], [FAR, FAR, 0, FAR], [FAR, FAR, FAR, 0]]
    )
    drive = table(["home", "p"], [[0, 1], [1, 0]])
    with pytest.raises(Refused) as told:
        check(problem([task("a"), task("b"), task("c")], walk=walk, drive=drive))
    assert [(fault.code, fault.where) for fault in told.value.faults] == [(NO_WALK, "b"), (NO_WALK, "c")]


def test_a_set_that_need_not_be_visited_may_be_out_of_reach() -> None:
    walk = table(["p", "a", "b"], [[0, 1, FAR], [1, 0, FAR], [FAR, FAR, 0]])
    drive = table(["home", "p"], [[0, 1], [1, 0]])
    check(problem([task("a"), task("b", must=False)], walk=walk, drive=drive))


def test_a_set_without_a_window_is_told_when_it_must_be_visited() -> None:
    assert codes(one_loop([task("a", windows=()), task("b")], {"a": 1.0, "b": 2.0})) == [NO_WINDOW.id]
    check(one_loop([task("a", windows=(), must=False), task("b")], {"a": 1.0, "b": 2.0}))


def test_figures_that_cannot_be_right_are_told_together() -> None:
    bad = replace(sound(), park_s=-1.0)
    bad = replace(
        bad,
        sets=(
            replace(bad.sets[0], service_s=float("inf")),
            replace(bad.sets[1], weight=-1, windows=(span(5, 9), span(7, 12))),
        ),
    )
    assert codes(bad) == [FIGURE.id] * 4


def test_names_that_stand_twice_are_told() -> None:
    good = sound()
    twice = replace(good, sets=(*good.sets, good.sets[0]))
    assert codes(twice) == [NAME_TWICE.id]
    assert NAME_TWICE.id in codes(replace(good, sets=(replace(good.sets[0], name="p"),)))


def test_nothing_to_visit_and_nowhere_to_park_are_told() -> None:
    assert codes(replace(sound(), sets=())) == [NOTHING.id]
    assert NOTHING.id in codes(replace(sound(), parkings=()))


def test_an_outing_shorter_than_its_own_drive_is_told() -> None:
    far = table(["home", "p", "cabin"], [[0, 10, 90], [10, 0, 90], [90, 90, 0]])
    assert codes(replace(sound(), drive=far, end="cabin", outing=span(0, 60))) == [HOURS.id]


def test_faults_of_different_kinds_are_told_together() -> None:
    bad = one_loop([task("a", windows=()), task("b", weight=-2)], {"a": 1.0, "b": 2.0})
    bad = replace(bad, drive=table(["home", "p"], [[0, FAR], [1, 0]]))
    assert set(codes(bad)) == {NO_WINDOW.id, FIGURE.id, NO_DRIVE.id}


def test_a_search_without_a_limit_or_with_a_senseless_one_is_refused() -> None:
    with pytest.raises(Refused) as told:
        check(replace(sound(), sets=()), seed=-1, seconds=-2.0, iterations=0)
    assert [fault.code for fault in told.value.faults] == [*[BUDGET] * 3, NOTHING]
    with pytest.raises(Refused) as told:
        plan_round(sound(), seconds=None)
    assert [fault.code for fault in told.value.faults] == [BUDGET]


def test_planning_refuses_what_checking_refuses() -> None:
    with pytest.raises(Refused) as told:
        plan_round(replace(sound(), sets=()), iterations=1)
    assert [fault.code for fault in told.value.faults] == [NOTHING]
