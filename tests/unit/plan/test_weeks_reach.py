"""Limits nobody can be in time for are named and planned first; rules shorter than the way are named."""

from dataclasses import replace
from datetime import timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.plan.weeks_reach import first_arrival, gone_to_first, out_of_reach, too_short, way_there
from tests.weeks_lines import MIDNIGHT, every_days, every_hours, sites, windows


def line() -> WeeksProblem:
    """Give two sites; the way to each takes 25 + 4 = 29 minutes."""
    return sites([every_hours(36)] * 2, windows(2, start_h=6, minutes=200), days=2, drive_min=25, walk_min=4)


def test_the_first_arrival_is_the_way_after_the_first_window_begins() -> None:
    problem = line()
    assert way_there(problem, "S0.0") == 29 * 60
    assert first_arrival(problem, problem.sets[0]) == MIDNIGHT + timedelta(days=1, hours=6, minutes=29)


def test_barred_people_and_unlawful_hours_do_not_arrive() -> None:
    problem = line()
    barred = replace(problem.sets[0], barred_to=frozenset({"Ann"}))
    assert first_arrival(problem, barred) is None
    noon = replace(problem.sets[0], lawful=lambda span: (Span(span.start + timedelta(hours=2), span.end),))
    assert first_arrival(problem, noon) == MIDNIGHT + timedelta(days=1, hours=8)


def test_a_limit_that_passes_on_the_way_there_is_named_and_that_set_planned_first() -> None:
    problem = line()
    due = MIDNIGHT + timedelta(days=1, hours=6, minutes=28)
    problem = replace(problem, sets=(replace(problem.sets[0], due=due), problem.sets[1]))
    (late,) = out_of_reach(problem)
    assert (late.set_name, late.due) == ("S0.0", due)
    verdict = plan_weeks(gone_to_first(problem, [late]), seconds=5)
    assert verdict.plan is not None
    assert verdict.overdue == ("S0.0",)
    first = verdict.plan.looks[0].looks[0]
    assert first < MIDNIGHT + timedelta(days=1, hours=12)
    assert out_of_reach(line()) == ()


def test_a_rule_shorter_than_the_way_there_is_named_with_both_figures() -> None:
    problem = line()
    hasty = replace(problem.sets[0], clock=every_hours(0.25))
    problem = replace(problem, sets=(hasty, problem.sets[1]))
    (short,) = too_short(problem)
    assert (short.set_name, short.interval_s, short.way_s) == ("S0.0", 900.0, 29 * 60)


def test_a_parking_nobody_can_drive_to_is_never_a_way() -> None:
    problem = line()
    seconds = problem.drive.seconds.copy()
    row = problem.drive.names.index("P0")
    seconds[:, row] = np.inf
    cut = replace(problem, drive=replace(problem.drive, seconds=seconds))
    assert first_arrival(cut, cut.sets[0]) is None
    assert too_short(replace(line(), sets=(replace(line().sets[0], clock=every_days(3)),))) == ()
