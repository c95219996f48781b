"""Planning the days ahead: what comes first, what helps when there is no plan, who may go."""

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

import pytest

from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_check import breaches
from tendline.plan.weeks_nouns import WeekClock, WeeksProblem, WeeksRelief, WeeksStatus, WeeksVerdict
from tendline.plan.weeks_relief import costs
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import MIDNIGHT, every_days, every_hours, pinwheel, sites, windows


def test_an_overdue_set_is_planned_in_the_first_outing_that_reaches_it() -> None:
    problem = sites([every_days(3)] * 3, windows(4, start_h=6, minutes=200), days=4)
    late = replace(problem.sets[1], due=None, go_now=True)
    problem = replace(problem, sets=(problem.sets[0], late, problem.sets[2]))
    verdict = plan_weeks(problem, seconds=5)
    assert verdict.overdue == ("S1.0",)
    assert verdict.plan is not None
    first = verdict.plan.looks[1].looks[0]
    assert first < MIDNIGHT + timedelta(days=1, hours=12)
    assert verdict.plan.looks[1].overdue


def test_a_person_who_may_not_look_at_a_set_is_not_sent_there() -> None:
    outings = (*windows(3, start_h=6, minutes=60), *windows(3, start_h=7, minutes=200, who="Ben"))
    problem = sites([every_days(1)] * 2, tuple(sorted(outings, key=lambda o: o.span.start)), days=3)
    barred = tuple(
        replace(one, barred_to=frozenset({"Ben"})) if one.name == "S0.0" else one for one in problem.sets
    )
    problem = replace(problem, sets=barred)
    verdict = plan_weeks(problem, seconds=5)
    assert verdict.plan is not None
    assert weeks_violations(problem, verdict.plan) == []
    went = {p.outing.who for p in verdict.plan.rounds for v in p.round.visits if v.set_name == "S0.0"}
    assert went == {"Ann"}


def test_a_rule_whose_limit_jumps_back_is_kept_too() -> None:
    # 72 hours before the morning of day 2, 24 hours from then on: a later look can have an earlier limit.
    change = MIDNIGHT + timedelta(days=2)

    def after(look: datetime) -> datetime:
        return look + timedelta(hours=72 if look < change else 24)

    rule = WeekClock("changing", after, "changing")
    problem = sites([rule] * 2, windows(6, start_h=6, minutes=150), days=6)
    verdict = plan_weeks(problem, seconds=5)
    assert verdict.plan is not None
    assert weeks_violations(problem, verdict.plan) == []
    assert breaches(problem, verdict.plan) == []


def test_a_gap_that_windows_leave_little_play_for_is_kept() -> None:
    # Windows of 80 minutes at the same time each day, a round of 52: 28 minutes of play for 24 h 30.
    rule, seen = every_hours(24.5), MIDNIGHT + timedelta(hours=6.5)
    problem = sites([rule], windows(5, start_h=6, minutes=80), days=5, seen=seen)
    verdict = plan_weeks(problem, seconds=5)
    assert verdict.plan is not None
    looks = verdict.plan.looks[0].looks
    assert all(b - a <= timedelta(hours=24.5) for a, b in pairwise([seen, *looks]))


@pytest.fixture(scope="module")
def hopeless() -> tuple[WeeksProblem, WeeksVerdict]:
    """Three sites, one a day, gaps 2, 3, 6: never schedulable; noon and another person on offer."""
    problem = pinwheel((2, 3, 6), days=8)
    noon = windows(8, start_h=11, minutes=55)
    other = tuple(replace(one, who="Ben") for one in problem.outings)
    return problem, plan_weeks(problem, seconds=24, windows=noon, people=other)


def test_an_impossible_line_is_explained_by_what_is_impossible_by_itself(
    hopeless: tuple[WeeksProblem, WeeksVerdict],
) -> None:
    problem, verdict = hopeless
    assert verdict.status is WeeksStatus.IMPOSSIBLE
    assert verdict.why is not None
    assert verdict.why.until <= problem.span.end
    # Without any one of the three the rest can be scheduled: (2, 3), (2, 6), (3, 6) have density 5/6 or less.
    assert set(verdict.why.sets) == {"S0.0", "S1.0", "S2.0"}
    assert verdict.why.lacking_s > 0


def test_each_relief_is_borne_out_by_a_plan(hopeless: tuple[WeeksProblem, WeeksVerdict]) -> None:
    problem, verdict = hopeless
    by = {one.kind: one for one in verdict.reliefs}
    # One more look in eight days is enough; without the site that wants it every sixth day, or a day's start
    # 60 minutes earlier: 10 + 1 + 30 + 1 + 10 + 32 + 10 = 94 minutes for two sites, and 55 + 45 = 100.
    assert by["one more window"].size == 1
    assert by["another person"].size == 1
    assert by["pull or close"].size == 1
    assert by["earlier start"].size == 45
    for one in verdict.reliefs:
        assert one.plan is not None
        assert weeks_violations(relieved(problem, one), one.plan) == [], one.kind


def relieved(problem: WeeksProblem, relief: WeeksRelief) -> WeeksProblem:
    """Make the change that a relief offers, by its words alone."""
    outings = problem.outings
    if relief.kind == "earlier start":
        by = timedelta(minutes=relief.size)
        outings = tuple(replace(o, span=Span(o.span.start - by, o.span.end)) for o in outings)
    more = tuple(sorted((*outings, *relief.windows), key=lambda o: o.span.start))
    closed = WeekClock("closed", lambda _: None, "closed")
    sets = tuple(replace(s, clock=closed) if s.name in relief.sets else s for s in problem.sets)
    return replace(problem, outings=more, sets=sets)


def test_what_costs_least_of_peoples_time_is_offered_first(
    hopeless: tuple[WeeksProblem, WeeksVerdict],
) -> None:
    problem, verdict = hopeless
    kinds = [one.kind for one in verdict.reliefs]
    assert kinds[-1] == "pull or close"
    ranked = [costs(problem, one) for one in verdict.reliefs]
    assert ranked == sorted(ranked)
    # One more window is one round more, 10 + 1 + 30 + 1 + 10 = 52 minutes of somebody's time.
    by = {one.kind: one for one in verdict.reliefs}
    assert costs(problem, by["one more window"]) == (False, 52 * 60.0)


def test_sets_whose_limit_passes_before_anybody_is_there_are_told_apart() -> None:
    # Two sites; the limit of one passes before the first window, so that only giving it up before helps.
    problem = sites([every_days(2)] * 2, windows(3, start_h=6, minutes=200), days=3)
    early = replace(problem.sets[0], due=problem.span.start + timedelta(hours=1))
    problem = replace(problem, sets=(early, problem.sets[1]))
    verdict = plan_weeks(problem, seconds=8)
    assert verdict.status is WeeksStatus.IMPOSSIBLE
    (pull,) = [one for one in verdict.reliefs if one.kind == "pull or close"]
    assert pull.sets == ("S0.0",)
    assert "before these days begin" in pull.what
    assert any("S0.0" in said for said in verdict.said)


def test_stopping_at_once_gives_no_false_proof() -> None:
    problem = sites([every_days(1)] * 4, windows(5, start_h=6, minutes=220), days=5)
    verdict = plan_weeks(problem, seconds=5, should_stop=lambda: True, helps=False)
    assert verdict.status is not WeeksStatus.IMPOSSIBLE


def test_time_in_hand_is_kept_before_every_limit_and_return() -> None:
    problem = sites([every_hours(30)] * 2, windows(4, start_h=6, minutes=240), days=4, service_min=5)
    verdict = plan_weeks(problem, seconds=5, early_s=1800.0)
    assert verdict.plan is not None
    for one in verdict.plan.looks:
        assert one.least_slack is None or one.least_slack >= timedelta(minutes=30)
    for planned in verdict.plan.rounds:
        assert planned.outing.span.end - planned.round.back >= timedelta(minutes=30)
