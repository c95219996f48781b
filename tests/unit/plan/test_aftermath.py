"""What a round leads to: tighter limits, mornings with catches, the time they may take."""

from dataclasses import replace
from datetime import timedelta
from itertools import combinations

import pytest

from tendline.plan.aftermath import bad_mornings, ratchets
from tendline.plan.instance import FAR, instance_of
from tendline.plan.itinerary import Ratchet, RoundPlan, RoundProblem
from tendline.plan.schedule import plan_of
from tendline.plan.timing import first_look
from tests.validation.plan.build import at, invented, limited, one_loop, span, task


def three(*, hours: float = 2.0, opens: float = 0.0) -> tuple[RoundProblem, RoundPlan]:
    """Sets a, b, c at 5, 9, 12 minutes; looks at 15, 20, 24; back at 47."""
    sets = [task("a", due=40.0), task("b", due=42.0), task("c", windows=((opens, 50.0),), due=60.0)]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0, "c": 12.0}, hours=hours)
    return whole, plan_of(whole, instance_of(whole), [[0, 0, 1, 2]])


def test_a_set_seen_earlier_in_the_day_than_last_time_is_told() -> None:
    _, plan = three()
    day = timedelta(days=1)
    last = {
        "a": at(15) - day,  # the same time of day
        "b": at(50) - day,  # 30 minutes later in the day: tighter by 30
        "c": at(4) - 2 * day,  # earlier in the day: the next limit is no tighter
        "gone": at(0),
    }
    assert ratchets(plan, last) == (Ratchet("b", at(50) - day, at(20), 1800.0),)


def test_less_than_a_minute_and_more_than_half_a_day_are_not_told() -> None:
    _, plan = three()
    day = timedelta(days=1)
    seconds = {"a": at(15) - day + timedelta(seconds=59), "b": at(20) - day + timedelta(hours=13)}
    assert ratchets(plan, seconds) == ()
    assert len(ratchets(plan, {"a": at(15) - day + timedelta(seconds=60)})) == 1


def test_a_set_without_a_running_clock_has_no_ratchet() -> None:
    whole = one_loop([task("a")], {"a": 5.0})
    plan = plan_of(whole, instance_of(whole), [[0, 0]])
    assert ratchets(plan, {"a": at(60)}) == ()


def test_one_catch_hurts_most_where_most_comes_after_it() -> None:
    whole, plan = three()
    # 25 minutes at a: b at 45 (limit 42), c at 49 (window until 50): one late. At b: c at 49: none late.
    one, two = bad_mornings(whole, plan, catch_s=1500.0)
    assert (one.catches, one.late, one.end, one.over_s) == (1, ("b",), at(72), 0.0)
    # 25 at a and at b: b at 45, c at 74: both late.
    assert (two.catches, two.late, two.end) == (2, ("b", "c"), at(97))


def test_time_past_the_latest_return_is_told() -> None:
    whole, plan = three(hours=50.0 / 60.0)
    (one,) = bad_mornings(whole, plan, catch_s=600.0, most=1)
    # Back at 57 of 50.
    assert one.over_s == 7 * 60.0


def test_waiting_takes_up_part_of_a_catch() -> None:
    whole, plan = three(opens=40.0)
    # c opens at 40 and is looked at then, 16 minutes after coming there; back at 40 + 1 + 12 + 10 = 63.
    one, _ = bad_mornings(whole, plan, catch_s=600.0)
    # Ten minutes at a or b are swallowed by the wait; ten at c are not: back at 73.
    assert (one.late, one.end) == ((), at(73))


def test_a_window_that_only_ends_with_the_outing_is_no_limit() -> None:
    whole = one_loop(
        [task("a", windows=((0.0, 30.0),)), task("b", windows=((0.0, 45.0),))], {"a": 5.0, "b": 9.0}
    )
    whole = replace(whole, outing=span(0.0, 45.0))
    plan = plan_of(whole, instance_of(whole), [[0, 0, 1]])
    # Looks at 15 and 20. After 60 minutes at a, b is looked at at 80: past the outing, but past no limit.
    (one,) = bad_mornings(whole, plan, catch_s=3600.0, most=1)
    assert one.late == ()
    assert one.over_s == 55 * 60.0


@pytest.mark.parametrize("seed", range(5))
def test_the_worst_places_are_the_worst_of_all_places(seed: int) -> None:
    whole, _ = limited(
        invented(seed, properties=2, sets=7, parkings=3), seed, slack_min=35.0, opening_share=0.6
    )
    from tendline.plan.route import plan_round

    plan = plan_round(whole, seconds=None, iterations=50).plan
    inst = instance_of(whole)
    for told in bad_mornings(whole, plan, catch_s=900.0):
        every = [
            by_hand(whole, plan, set(places), 900_000)
            for places in combinations(range(len(plan.visits)), told.catches)
        ]
        late, end = max(every)
        assert (len(told.late), told.end) == (late, whole.outing.start + timedelta(milliseconds=end))
        assert told.over_s == max(0, end - inst.latest) / 1000.0


def by_hand(whole: RoundProblem, plan: RoundPlan, places: set[int], extra: int) -> tuple[int, int]:
    """Time the plan with catches at `places`, leg by leg; give the number of late looks and the end [ms]."""
    windows = dict(zip((one.name for one in whole.sets), instance_of(whole).windows, strict=True))
    now = round((plan.leave - whole.outing.start).total_seconds() * 1000)
    late = number = 0
    for stop in plan.stops:
        now += round(1000 * (stop.drive_s + whole.park_s))
        for visit in stop.visits:
            now += round(1000 * visit.walk_s)
            now = max(now, first_look(windows[visit.set_name], now))
            due = FAR if visit.due is None else (visit.due - whole.outing.start) // timedelta(milliseconds=1)
            late += now > min(due, windows[visit.set_name][-1][1])
            now += round((visit.leave - visit.look).total_seconds() * 1000) + (
                extra if number in places else 0
            )
            number += 1
        now += round(1000 * stop.back_s)
    return late, now + round(1000 * plan.home_s)


def test_a_round_without_visits_has_no_bad_morning() -> None:
    whole = one_loop([task("a", must=False)], {"a": 5.0})
    plan = plan_of(whole, instance_of(whole), [])
    assert bad_mornings(whole, plan, catch_s=1500.0) == ()
