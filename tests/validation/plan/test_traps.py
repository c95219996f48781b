"""Worked traps of the trade, as rounds: arithmetic that anyone can follow, no source but the arithmetic."""

from datetime import timedelta

import numpy as np
import pytest

from tendline.plan.instance import instance_of
from tendline.plan.itinerary import RoundProblem
from tendline.plan.route import plan_round
from tendline.plan.timing import clock
from tests.validation.plan.build import START, at, one_loop, problem, table, task
from tests.validation.plan.verify import violations

DAY = 24 * 60.0
PLACES = {name: 8.0 * (1 + k) for k, name in enumerate("abcdefghij")}


def morning(dues: dict[str, float], *, start: float = 0.0) -> RoundProblem:
    """Ten sets eight minutes apart along a track, a minute a look, on a morning that may begin at `start`."""
    sets = [task(name, due=dues[name], windows=((-DAY, 3 * DAY),)) for name in PLACES]
    return one_loop(sets, PLACES, hours=4.0)


def monday() -> dict[str, float]:
    """Looks of the first morning, out along the track: a at 10 + 8 = 18, each next 9 minutes later."""
    return {name: 18.0 + 9.0 * k for k, name in enumerate(PLACES)}


def ring(dues: dict[str, float]) -> RoundProblem:
    """Ten sets, each a step from its own parking, twenty minutes apart on a road home from both ends."""
    names, stands = tuple(dues), tuple(f"p-{name}" for name in dues)
    walk = np.full((20, 20), np.inf)
    np.fill_diagonal(walk, 0.0)
    for k in range(10):
        walk[k, 10 + k] = walk[10 + k, k] = 0.0
    road = np.abs(np.arange(10)[:, None] - np.arange(10)[None, :]) * 20.0
    drive = np.zeros((11, 11))
    drive[1:, 1:] = road
    # From home to the k-th, by the shorter way round.
    drive[0, 1:] = drive[1:, 0] = [20.0 * min(k, 9 - k) for k in range(10)]
    sets = [task(name, service=0.0, due=due, windows=((-DAY, 3 * DAY),)) for name, due in dues.items()]
    return problem(
        sets,
        walk=table((*names, *stands), walk),
        drive=table(("home", *stands), drive),
        parkings=stands,
        hours=3.0,
    )


def test_under_24_hours_a_route_of_the_same_length_driven_the_other_way_is_late() -> None:
    # Monday A to J from 05:00 to 08:00, 20 minutes apart. Tuesday from 05:00, each due when it was looked at:
    # the other way round A is come to at 08:00, 27 h after Monday's look.
    monday_looks = {name: 20.0 * k for k, name in enumerate("ABCDEFGHIJ")}
    whole = ring(monday_looks)
    there = [[k, k] for k in range(10)]
    assert clock(instance_of(whole), there) is not None
    assert clock(instance_of(whole), there[::-1]) is None
    lawful = ring(dict.fromkeys(monday_looks, 180.0))
    back = clock(instance_of(lawful), there[::-1])
    assert back is not None
    assert back.end == 180 * 60_000  # A, the last, at 08:00: 24 + 3 h
    verdict = plan_round(whole, seconds=None, iterations=300)
    assert verdict.fits
    assert [visit.set_name for visit in verdict.plan.visits] == list("ABCDEFGHIJ")
    assert all(visit.slack_s == 0.0 for visit in verdict.plan.visits)
    assert violations(whole, verdict.plan) == []


def test_under_24_hours_starting_a_minute_late_means_all_cannot_be_done_and_that_is_proved() -> None:
    dues = {name: due - 1.0 for name, due in monday().items()}
    verdict = plan_round(morning(dues), seconds=None, iterations=300)
    assert (verdict.fits, verdict.proven) == (False, True)
    start = next(relief for relief in verdict.reliefs if relief.kind == "earlier start")
    assert (start.minutes, start.proven_smallest) == (1, True)
    drop = next(relief for relief in verdict.reliefs if relief.kind == "drop")
    # Without a, which is at the near end, b is come to at 26 of 26, and each next in time as well.
    assert (drop.sets, drop.proven_smallest) == (("a",), True)
    assert drop.breaks == {"a": at(dues["a"])}


def test_a_catch_at_the_third_set_makes_every_later_set_late_by_25_minutes() -> None:
    whole = morning(monday())
    verdict = plan_round(whole, seconds=None, iterations=300, catch_s=1500.0)
    one = verdict.plan.bad_mornings[0]
    # Worst at the very first set: the nine after it are late.
    assert one.late == tuple(PLACES)[1:]
    assert one.end == verdict.plan.back + timedelta(minutes=25)


@pytest.mark.parametrize("hours", [24.0, 36.0])
def test_every_other_visit_under_36_hours_fails_at_the_third_visit(hours: float) -> None:
    # Mon 05:00, Tue 16:00 (35 h, in time), Thu 05:00 (37 h). On Thursday from 05:00 the set, ten minutes by
    # truck and five on foot away, was due at 04:00: no round from 05:00 can be in time, one from 03:45 can.
    tuesday = START.replace(hour=16, minute=0) - timedelta(days=2)
    thursday = START.replace(hour=5, minute=0)
    due = tuesday + timedelta(hours=hours)
    assert thursday - tuesday == timedelta(hours=37)
    minutes_to_due = (due - thursday).total_seconds() / 60.0
    sets = [task("a", due=minutes_to_due, windows=((-3 * DAY, 3 * DAY),)), task("b", windows=((-DAY, DAY),))]
    whole = one_loop(sets, {"a": 5.0, "b": 6.0})
    verdict = plan_round(whole, seconds=None, iterations=50)
    assert (verdict.fits, verdict.proven) == (False, True)
    assert [left.set_name for left in verdict.plan.left_out] == ["a"]
    start = [relief.minutes for relief in verdict.reliefs if relief.kind == "earlier start"]
    # 36 h: due an hour before the start and 15 minutes away: 75 minutes. 24 h: 13 h before, farther than is
    # looked for.
    assert start == ([75] if hours == 36.0 else [])
