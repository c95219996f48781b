"""The least while somebody is away: which sets fall due, how long a look lasts, windows one after another."""

from dataclasses import replace
from datetime import datetime, timedelta

from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_least import leave_by, looked_at_once, needed
from tendline.plan.weeks_nouns import WeekSet
from tendline.plan.weeks_one_by_one import leave_home_by, one_after_another
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import MIDNIGHT, every_days, every_hours, sites, windows

NOW = MIDNIGHT + timedelta(hours=20)


def back_at(hours: float) -> Span:
    """Give an absence from now until so many hours after it."""
    return Span(NOW, NOW + timedelta(hours=hours))


def seen(hours: float, *, before_h: float, name: str = "S") -> WeekSet:
    """Give a set under a rule of hours, last seen so long before now."""
    rule, last = every_hours(hours), NOW - timedelta(hours=before_h)
    return WeekSet(name, 60.0, rule, last, rule.next_due(last))


def test_only_what_falls_due_before_they_are_back_needs_anything() -> None:
    early, late = seen(36, before_h=10, name="early"), seen(72, before_h=1, name="late")
    found = needed([late, early], back_at(40))
    assert [one.set_name for one in found] == ["early"]


def test_a_look_lasts_from_the_interval_before_they_are_back() -> None:
    # 36 h, back in 40 h: a look 4 h from now or later lasts; the limit is 26 h from now.
    (one,) = needed([seen(36, before_h=10)], back_at(40))
    assert one.lasts_from is not None
    assert timedelta(0) <= one.lasts_from - (NOW + timedelta(hours=4)) < timedelta(minutes=10)


def test_where_no_look_in_time_lasts_that_is_said() -> None:
    # The last look in time is 14 h from now, and 36 h from then is 50 h: short of 60.
    (one,) = needed([seen(36, before_h=22)], back_at(60))
    assert one.lasts_from is None


def test_a_rule_by_the_day_lasts_to_the_end_of_its_day() -> None:
    rule = every_days(1)
    one = WeekSet("S", 60.0, rule, NOW, rule.next_due(NOW))
    # Back at noon of day 2: a look on day 1 is good to the end of day 2, so any look of day 1 lasts.
    (found,) = needed([one], Span(NOW, MIDNIGHT + timedelta(days=2, hours=12)))
    assert found.lasts_from is not None
    assert timedelta(0) <= found.lasts_from - (MIDNIGHT + timedelta(days=1)) < timedelta(minutes=10)


def test_what_is_overdue_or_unknown_comes_first() -> None:
    unknown = replace(seen(36, before_h=10, name="unknown"), due=None, go_now=True)
    found = needed([seen(36, before_h=30, name="known"), unknown], back_at(40))
    assert [one.set_name for one in found] == ["unknown", "known"]
    assert found[0].due is None


def test_one_look_each_is_planned_and_no_more() -> None:
    problem = sites([every_days(1)] * 3, windows(4, start_h=6, minutes=400), days=4)
    once = replace(problem, sets=tuple(looked_at_once(one) for one in problem.sets))
    plan = plan_weeks(once, seconds=5).plan
    assert plan is not None
    assert [len(one.looks) for one in plan.looks] == [1, 1, 1]
    assert weeks_violations(once, plan) == []


def test_the_latest_start_keeps_every_limit_to_the_second() -> None:
    problem = sites([every_hours(30)] * 2, windows(1, start_h=6, minutes=600), days=1)
    once = replace(problem, sets=tuple(looked_at_once(one) for one in problem.sets))
    plan = plan_weeks(once, seconds=5).plan
    assert plan is not None
    (outing,) = plan.rounds
    late = leave_by(outing) - outing.round.leave
    dues = {one.name: one.due for one in problem.sets}
    spare = [dues[v.set_name] - v.look for v in outing.round.visits]  # type: ignore[operator]
    assert late == min([*spare, outing.outing.span.end - outing.round.back])


def test_windows_are_taken_one_after_another_and_what_is_left_is_named() -> None:
    # 52 min a site, windows of 55 min: one site a window, three sites, two windows before the limit.
    problem = sites([every_days(2)] * 3, windows(2, start_h=6, minutes=55), days=2)
    once = replace(problem, sets=tuple(looked_at_once(one) for one in problem.sets))
    rounds, left = one_after_another(once, seconds=4)
    assert len(rounds) == 2
    assert len(left) == 1
    looked = [v.set_name for one in rounds for v in one.round.visits]
    assert sorted([*looked, *left]) == ["S0.0", "S1.0", "S2.0"]


def test_a_window_too_short_for_anything_is_passed_over() -> None:
    problem = sites([every_days(2)] * 2, windows(2, start_h=6, minutes=10), days=2)
    rounds, left = one_after_another(problem, seconds=2)
    assert rounds == []
    assert left == ["S0.0", "S1.0"]


def test_the_latest_start_straight_to_a_set_is_its_limit_less_the_way() -> None:
    problem = sites([every_hours(30)], windows(1, start_h=6, minutes=600), days=1, drive_min=25, walk_min=7)
    one = problem.sets[0]
    assert one.due is not None
    assert leave_home_by(problem, one) == one.due - timedelta(minutes=32)
    unknown: datetime | None = leave_home_by(problem, replace(one, due=None, go_now=True))
    assert unknown is None
