"""Everything that is wrong with what the days ahead are planned from is named, by its id, all together."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tendline.core.errors import Refused
from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeekOuting, WeeksProblem
from tests.weeks_lines import MIDNIGHT, every_days, sites, windows


def line(minutes: float = 200.0) -> WeeksProblem:
    """Give a line that can be planned."""
    return sites([every_days(2)] * 2, windows(2, start_h=6, minutes=minutes), days=2)


def ids(problem: WeeksProblem) -> set[str]:
    """Give the ids of the faults a problem is refused with."""
    with pytest.raises(Refused) as caught:
        plan_weeks(problem)
    return {fault.code.id for fault in caught.value.faults}


def test_no_window_and_no_set_are_refused() -> None:
    assert ids(replace(line(), outings=())) == {"PLAN-121"}
    assert ids(replace(line(), sets=())) == {"PLAN-121"}


def test_a_window_in_the_past_is_refused() -> None:
    past = WeekOuting("Ann", Span(MIDNIGHT, MIDNIGHT + timedelta(hours=2)))
    assert ids(replace(line(), outings=(past, *line().outings))) == {"PLAN-122"}


def test_two_windows_of_one_person_that_overlap_are_refused_but_not_of_two_people() -> None:
    first = line().outings[0]
    half = Span(first.span.start + timedelta(minutes=30), first.span.end + timedelta(minutes=30))
    assert ids(replace(line(), outings=(*line().outings, WeekOuting("Ann", half)))) == {"PLAN-123"}
    assert plan_weeks(replace(line(), outings=(*line().outings, WeekOuting("Ben", half)))).plan is not None


def test_a_set_nobody_can_reach_is_refused_by_name() -> None:
    problem = line()
    seconds = problem.walk.seconds.copy()
    row = problem.walk.names.index("S1.0")
    seconds[:, row] = float("inf")
    with pytest.raises(Refused, match=r"S1\.0") as caught:
        plan_weeks(replace(problem, walk=replace(problem.walk, seconds=seconds)))
    assert [fault.code.id for fault in caught.value.faults] == ["PLAN-124"]


def test_a_way_longer_than_any_window_is_refused_with_both_figures() -> None:
    # 10 + 1 + 30 + 1 + 10 = 52 minutes, the window has 40.
    with pytest.raises(Refused, match="52 min, the longest window has 40 min"):
        plan_weeks(line(minutes=40.0))
    assert ids(line(minutes=40.0)) == {"PLAN-125"}


def test_a_parking_nobody_can_drive_to_is_refused_by_the_sets_it_serves() -> None:
    problem = line()
    seconds = problem.drive.seconds.copy()
    row = problem.drive.names.index("P1")
    seconds[:, row] = float("inf")
    with pytest.raises(Refused, match=r"S1\.0") as caught:
        plan_weeks(replace(problem, drive=replace(problem.drive, seconds=seconds)))
    assert [fault.code.id for fault in caught.value.faults] == ["PLAN-124"]


def test_everything_wrong_is_told_at_once() -> None:
    problem = line(minutes=40.0)
    past = WeekOuting("Ann", Span(MIDNIGHT, MIDNIGHT + timedelta(hours=2)))
    first = problem.outings[0]
    half = WeekOuting("Ann", Span(first.span.start + timedelta(minutes=30), first.span.end))
    assert ids(replace(problem, outings=(past, first, half))) >= {"PLAN-122", "PLAN-123"}
