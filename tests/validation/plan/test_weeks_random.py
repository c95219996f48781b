"""Plans of random invented lines, each checked by code that shares nothing with the planner."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeekOuting, WeekSet, WeeksPlan, WeeksProblem, WeeksStatus
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import MIDNIGHT, every_days, every_hours, sites, windows


def daylight(span: Span) -> tuple[Span, ...]:
    """Let looks be lawful from 05:30 to 18:00 only."""
    day = span.start.replace(hour=0, minute=0, second=0, microsecond=0)
    part = span.meet(Span(day + timedelta(hours=5.5), day + timedelta(hours=18)))
    return () if part is None else (part,)


def random_line(seed: int) -> WeeksProblem:
    """Give a small line: mixed rules, two windows a day, sometimes a second person and barred hours."""
    chance = np.random.default_rng(seed)
    days = int(chance.integers(2, 5))
    rules = [
        every_hours(float(chance.choice([36.0, 48.0, 72.0])))
        if chance.random() < 0.6
        else every_days(int(chance.integers(1, 4)))
        for _ in range(int(chance.integers(2, 5)))
    ]
    outings = list(windows(days, start_h=5, minutes=float(chance.integers(70, 240))))
    if chance.random() < 0.5:
        outings += windows(days, start_h=16, minutes=float(chance.integers(60, 150)))
    if chance.random() < 0.4:
        outings += windows(days, start_h=float(chance.integers(5, 17)), minutes=120.0, who="Ben")
    problem = sites(
        rules,
        tuple(sorted(outings, key=lambda one: (one.span.start, one.who))),
        days=days,
        per_site=int(chance.integers(1, 4)),
        service_min=float(chance.integers(2, 12)),
        drive_min=float(chance.integers(5, 25)),
        walk_min=float(chance.integers(1, 9)),
    )
    return replace(problem, sets=tuple(_varied(chance, one) for one in problem.sets))


def _varied(chance: np.random.Generator, one: WeekSet) -> WeekSet:
    seen = MIDNIGHT + timedelta(hours=float(chance.uniform(-6, 19)))
    one = replace(one, last_look=seen, due=one.clock.next_due(seen))
    if chance.random() < 0.2:
        one = replace(one, lawful=daylight)
    if chance.random() < 0.1:
        one = replace(one, barred_to=frozenset({"Ben"}))
    if chance.random() < 0.05:
        one = replace(one, due=None, go_now=True)
    return one


@pytest.mark.parametrize("part", range(2))
def test_every_plan_of_a_random_line_is_lawful_and_can_be_done(part: int) -> None:
    planned = impossible = 0
    for seed in range(part * 30, part * 30 + 30):
        problem = random_line(seed)
        verdict = plan_weeks(problem, seconds=1, helps=False)
        if verdict.plan is not None:
            planned += 1
            assert weeks_violations(problem, verdict.plan) == [], seed
            assert verdict.floor_s is None or verdict.plan.seconds >= verdict.floor_s - 1.0, seed
        impossible += verdict.status is WeeksStatus.IMPOSSIBLE
    # Both answers must come up, or the lines would test nothing: about half of them can be planned.
    assert planned >= 6
    assert impossible >= 3


def test_the_check_finds_what_is_wrong() -> None:
    problem = sites([every_hours(72.0)] * 2, windows(3, start_h=6, minutes=200), days=3, service_min=5)
    plan = plan_weeks(problem, seconds=5).plan
    assert plan is not None
    assert weeks_violations(problem, plan) == []
    dropped = WeeksPlan(plan.rounds[1:], plan.looks)
    assert any("the list says" in fault for fault in weeks_violations(problem, dropped))
    tight = replace(problem, sets=tuple(replace(s, clock=every_hours(5.0)) for s in problem.sets))
    assert any("nobody comes" in fault for fault in weeks_violations(tight, plan))
    late = replace(problem, sets=tuple(replace(s, due=MIDNIGHT) for s in problem.sets))
    assert any("due" in fault for fault in weeks_violations(late, plan))
    moved = replace(plan.rounds[0], outing=WeekOuting("Eve", plan.rounds[0].outing.span))
    assert any(
        "no window" in f for f in weeks_violations(problem, replace(plan, rounds=(moved, *plan.rounds[1:])))
    )
