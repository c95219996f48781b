"""The whole question: one outing planned, what fits, what does not, and what the plan says besides."""

from dataclasses import replace
from datetime import timedelta
from time import monotonic

import pytest

from tendline.plan.itinerary import Verdict
from tendline.plan.route import Progress, plan_round
from tests.validation.plan.build import at, invented, limited, one_loop, problem, table, task
from tests.validation.plan.verify import violations


def test_a_small_round_is_planned_and_proved() -> None:
    sets = [task("a", due=60.0), task("b", due=25.0), task("c")]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0, "c": 12.0})
    verdict = plan_round(whole, seconds=None, iterations=100)
    assert verdict.fits
    assert verdict.shortest
    assert verdict.reliefs == ()
    assert violations(whole, verdict.plan) == []
    # Out to 12 and back: 10 + 12 + 3 + 12 + 10 minutes; b by 25, so on the way out.
    assert verdict.plan.back == at(47)
    names = [visit.set_name for visit in verdict.plan.visits]
    assert names.index("b") < names.index("c")


def test_the_plan_says_how_late_one_may_leave_and_what_gives_first() -> None:
    whole = one_loop([task("a", due=30.0), task("b", due=32.0)], {"a": 5.0, "b": 9.0})
    plan = plan_round(whole, seconds=None, iterations=10).plan
    # a at 15, b at 20; b gives first, after 12 minutes.
    assert (plan.leave_by, plan.gives_first) == (at(12), "b")


def test_the_plan_holds_its_ratchets_and_bad_mornings() -> None:
    whole = one_loop([task("a", due=30.0), task("b", due=32.0)], {"a": 5.0, "b": 9.0})
    last = {"a": at(29) - timedelta(days=1)}
    plan = plan_round(whole, seconds=None, iterations=10, last_looks=last, catch_s=780.0).plan
    assert [(one.set_name, one.earlier_s) for one in plan.ratchets] == [("a", 14 * 60.0)]
    # 13 minutes at a: b at 33 of 32.
    assert [(bad.catches, bad.late) for bad in plan.bad_mornings] == [(1, ("b",)), (2, ("b",))]


def test_a_property_is_split_over_two_parkings_when_that_is_shorter() -> None:
    # Two groups half an hour apart on one property, a parking at each, five minutes' drive between them.
    walk = table(
        ["p", "q", "a", "b", "c", "d"],
        [
            [0, 30, 1, 2, 30, 31],
            [30, 0, 31, 30, 1, 2],
            [1, 31, 0, 1, 30, 31],
            [2, 30, 1, 0, 29, 30],
            [30, 1, 30, 29, 0, 1],
            [31, 2, 31, 30, 1, 0],
        ],
    )
    drive = table(["home", "p", "q"], [[0, 10, 12], [10, 0, 5], [12, 5, 0]])
    whole = problem([task(n) for n in "abcd"], walk=walk, drive=drive, parkings=("p", "q"), park=3.0)
    verdict = plan_round(whole, seconds=None, iterations=50)
    assert sorted(stop.parking for stop in verdict.plan.stops) == ["p", "q"]
    # 10 + 3 + (1+1+1+1+2) + 5 + 3 + (1+1+1+1+2) + 12 = 45 minutes.
    assert verdict.plan.back == at(45)
    # With parking at 60 minutes a stop, one long walk is shorter.
    verdict = plan_round(replace(whole, park_s=3600.0), seconds=None, iterations=50)
    assert len(verdict.plan.stops) == 1


def test_sets_that_need_not_be_visited_are_where_they_fit_and_never_instead_of_others() -> None:
    sets = [task("a"), task("far", weight=1), task("nice", must=False, weight=50), task("near", must=False)]
    places = {"a": 5.0, "far": 20.0, "nice": 30.0, "near": 8.0}
    # far and back: 10 + 20 + 2 + 20 + 10 = 62, near on the way 1 more; nice would make it 84.
    whole = one_loop(sets, places, hours=65.0 / 60.0)
    verdict = plan_round(whole, seconds=None, iterations=100)
    assert verdict.fits
    assert {visit.set_name for visit in verdict.plan.visits} == {"a", "far", "near"}
    assert [left.set_name for left in verdict.plan.left_out] == ["nice"]
    assert violations(whole, verdict.plan) == []
    assert {v.set_name for v in plan_round(one_loop(sets, places), iterations=50).plan.visits} == set(places)


def test_of_optional_sets_those_with_more_weight_are_visited() -> None:
    # Time for one of the two ends of the track only.
    sets = [task("a"), task("b", must=False, weight=2), task("c", must=False, weight=3)]
    walk = table(["p", "a", "b", "c"], [[0, 1, 20, 20], [1, 0, 20, 20], [20, 20, 0, 40], [20, 20, 40, 0]])
    whole = problem(sets, walk=walk, drive=table(["home", "p"], [[0, 5], [5, 0]]), hours=1.0)
    verdict = plan_round(whole, seconds=None, iterations=200)
    assert {visit.set_name for visit in verdict.plan.visits} == {"a", "c"}


def test_of_sets_that_must_be_visited_the_lighter_is_left_out() -> None:
    sets = [task("a", weight=2), task("b", weight=3)]
    walk = table(["p", "a", "b"], [[0, 20, 20], [20, 0, 40], [20, 40, 0]])
    whole = problem(sets, walk=walk, drive=table(["home", "p"], [[0, 5], [5, 0]]), hours=1.0)
    verdict = plan_round(whole, seconds=None, iterations=100)
    assert not verdict.fits
    assert verdict.proven
    assert [left.set_name for left in verdict.plan.left_out] == ["a"]


def test_two_orders_back_together_are_told_apart_by_the_way() -> None:
    # b opens at 60, so that a may be seen before or passed by first; straight there is less walking.
    sets = [task("a"), task("b", windows=((60.0, 90.0),))]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0})
    plan = plan_round(whole, seconds=None, iterations=200).plan
    assert [visit.set_name for visit in plan.visits] == ["a", "b"]
    assert sum(visit.walk_s for visit in plan.visits) == 9 * 60.0


@pytest.mark.parametrize("seed", [1, 2])
def test_the_same_seed_and_iterations_give_the_same_plan(seed: int) -> None:
    whole, _ = limited(invented(7, properties=2, sets=26, parkings=5), 7, slack_min=60.0, opening_share=0.3)
    first = plan_round(whole, seed=seed, seconds=None, iterations=900)
    again = plan_round(whole, seed=seed, seconds=None, iterations=900)
    assert first == again
    assert (first.plan.seed, first.plan.iterations > 0) == (seed, True)


def test_a_time_limit_holds_also_when_not_everything_fits() -> None:
    whole, _ = limited(invented(8, properties=1, sets=40, parkings=6), 8, slack_min=10.0, opening_share=0.3)
    whole = replace(whole, outing=replace(whole.outing, end=whole.outing.end - timedelta(hours=2)))
    began = monotonic()
    verdict = plan_round(whole, seconds=1.0)
    assert not verdict.fits
    assert violations(whole, verdict.plan) == []
    # Tables and the last step of a search are not cut short; a loaded machine is slow.
    assert monotonic() - began < 6.0


def test_a_person_who_stops_the_search_gets_the_best_so_far() -> None:
    whole, _ = limited(invented(9, properties=1, sets=30, parkings=5), 9, slack_min=90.0)
    told: list[Progress] = []
    asked: list[int] = []

    def should_stop() -> bool:
        asked.append(len(asked))
        return len(asked) > 300

    verdict = plan_round(whole, seconds=600.0, on_progress=told.append, should_stop=should_stop)
    assert violations(whole, verdict.plan) == []
    assert verdict.plan.visits
    assert told
    assert verdict.plan.back == whole.outing.start + timedelta(seconds=told[-1].round_s)


def test_progress_is_told_while_looking_for_reliefs_too() -> None:
    whole = invented(3, properties=3, sets=30, parkings=6, hours=3.0)
    told: list[Progress] = []
    verdict: Verdict = plan_round(whole, seconds=None, iterations=400, on_progress=told.append)
    assert not verdict.fits
    assert {p.doing for p in told} == {"round", "earlier start", "later return"}
    assert all(p.must_left_out <= p.left_out for p in told)


def test_a_start_that_is_not_the_end_and_tables_that_are_not_symmetric_are_kept_apart() -> None:
    walk = table(["p", "q", "a", "b"], [[0, 50, 4, 50], [50, 0, 50, 6], [9, 50, 0, 50], [50, 2, 50, 0]])
    drive = table(
        ["camp", "p", "q", "town"], [[0, 10, 30, 99], [99, 0, 5, 40], [99, 7, 0, 8], [99, 99, 99, 0]]
    )
    whole = problem([task("a"), task("b")], walk=walk, drive=drive, parkings=("p", "q"), park=2.0)
    whole = replace(whole, start="camp", end="town")
    verdict = plan_round(whole, seconds=None, iterations=50)
    assert violations(whole, verdict.plan) == []
    # camp to p 10, park 2, out 4, look 1, back 9: 26; to q 5, park 2, out 6, look 1, back 2: 42; on 8: 50.
    assert verdict.plan.back == at(50)
    assert [stop.parking for stop in verdict.plan.stops] == ["p", "q"]
