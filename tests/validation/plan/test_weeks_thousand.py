"""A thousand small random lines, some over a change of the clocks: every plan is checked by rules told here.

Nothing is asked of the planner: hours are told by subtracting instants, days by the calendar of the zone, and
the ways by the tables the line was made from.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tendline.core.when import Span
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksPlan, WeeksProblem, WeeksStatus
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import sites

NEW_YORK = ZoneInfo("America/New_York")
# New York sets clocks back on 1 November 2026 and forward on 14 March 2027, both at 02:00 (15 USC 260a).
BACK, FORWARD, PLAIN = date(2026, 11, 1), date(2027, 3, 14), date(2027, 1, 13)
PARTS, EACH = 8, 125


@dataclass(frozen=True)
class Rule:
    """A rule as words would put it: so many hours, or by the end of the so-manieth local day after."""

    hours: float | None
    days: int | None

    def kept(self, before: datetime, after: datetime) -> bool:
        """Say whether two instants are near enough, by subtraction or by the calendar."""
        if self.hours is not None:
            return (after - before).total_seconds() <= 3600.0 * self.hours
        assert self.days is not None
        return (after.astimezone(NEW_YORK).date() - before.astimezone(NEW_YORK).date()).days <= self.days

    def clock(self) -> WeekClock:
        """Give it as the planner wants it."""
        if self.hours is not None:
            length = timedelta(hours=self.hours)
            return WeekClock(f"{self.hours} h", lambda look: look + length)
        assert self.days is not None
        return WeekClock(f"{self.days} d", self._last_second)

    def _last_second(self, look: datetime) -> datetime:
        assert self.days is not None
        day = look.astimezone(NEW_YORK).date() + timedelta(days=self.days + 1)
        return datetime.combine(day, time(0), tzinfo=NEW_YORK).astimezone(UTC) - timedelta(seconds=1)


@dataclass(frozen=True)
class Line:
    """A line with its rules by set, and what people may not do."""

    problem: WeeksProblem
    rules: dict[str, Rule]


def local(day: date, hour: float) -> datetime:
    """Give a local time of day as an instant."""
    return (datetime.combine(day, time(0)) + timedelta(hours=hour)).replace(tzinfo=NEW_YORK).astimezone(UTC)


def small_line(seed: int) -> Line:
    """Give up to three sites over up to three days, about every third over a change of the clocks."""
    chance = np.random.default_rng(seed)
    middle = [PLAIN, BACK, FORWARD][int(chance.integers(0, 3))]
    first = middle - timedelta(days=1)
    days = int(chance.integers(2, 4))
    rules = [_rule(chance) for _ in range(int(chance.integers(1, 4)))]
    outings = _outings(chance, first, days)
    base = sites(
        [rule.clock() for rule in rules],
        outings,
        days=days,
        per_site=int(chance.integers(1, 3)),
        service_min=float(chance.integers(2, 12)),
        drive_min=float(chance.integers(4, 18)),
        walk_min=float(chance.integers(1, 6)),
    )
    now = local(first - timedelta(days=1), 20.0)
    by_set = {one.name: rules[int(one.name[1 : one.name.index(".")])] for one in base.sets}
    sets = tuple(_varied(chance, one, by_set[one.name], now) for one in base.sets)
    end = local(first + timedelta(days=days), 0.0)
    return Line(replace(base, span=Span(now, end), sets=sets), by_set)


def _rule(chance: np.random.Generator) -> Rule:
    if chance.random() < 0.5:
        return Rule(float(chance.choice([24.0, 36.0, 48.0, 72.0])), None)
    return Rule(None, int(chance.integers(1, 4)))


def _outings(chance: np.random.Generator, first: date, days: int) -> tuple[WeekOuting, ...]:
    start, length = float(chance.integers(4, 8)), float(chance.integers(1, 4))
    found = []
    for k in range(days):
        day = first + timedelta(days=k)
        found.append(WeekOuting("Ann", Span(local(day, start), local(day, start + length))))
        if chance.random() < 0.4:
            found.append(WeekOuting("Ann", Span(local(day, 15.0), local(day, 16.5))))
        if chance.random() < 0.2:
            found.append(WeekOuting("Ben", Span(local(day, 9.0), local(day, 11.0))))
    return tuple(sorted(found, key=lambda one: (one.span.start, one.who)))


def _varied(chance: np.random.Generator, one: WeekSet, rule: Rule, now: datetime) -> WeekSet:
    seen = now - timedelta(hours=float(chance.uniform(1, 16)))
    one = replace(one, last_look=seen, due=rule.clock().next_due(seen), lawful=_daylight(chance))
    if chance.random() < 0.1:
        one = replace(one, barred_to=frozenset({"Ben"}))
    if chance.random() < 0.05:
        one = replace(one, due=None, go_now=True)
    return one


def _daylight(chance: np.random.Generator) -> Callable[[Span], tuple[Span, ...]]:
    if chance.random() < 0.8:
        return lambda span: (span,)

    def hours(span: Span) -> tuple[Span, ...]:
        day = span.start.astimezone(NEW_YORK).date()
        part = span.meet(Span(local(day, 5.5), local(day, 18.0)))
        return () if part is None else (part,)

    return hours


def faults(line: Line, plan: WeeksPlan) -> list[str]:
    """List what is wrong with a plan by the rules as words put them."""
    found = weeks_violations(line.problem, plan)
    looks: dict[str, list[datetime]] = {one.name: [] for one in line.problem.sets}
    for planned in plan.rounds:
        for visit in planned.round.visits:
            looks[visit.set_name].append(visit.look)
    end = line.problem.span.end - timedelta(seconds=1)
    for one in line.problem.sets:
        own, rule = sorted(looks[one.name]), line.rules[one.name]
        known = own if one.go_now or one.last_look is None else [one.last_look, *own]
        found += [f"{one.name}: {a} to {b}" for a, b in pairwise(known) if not rule.kept(a, b)]
        if known and not rule.kept(known[-1], end):
            found.append(f"{one.name}: nobody comes after {known[-1]}")
        if one.go_now and not own:
            found.append(f"{one.name}: wanted seeing first, and nobody comes")
    return found


@pytest.mark.parametrize("part", range(PARTS))
def test_every_plan_of_a_thousand_small_lines_is_lawful(part: int) -> None:
    planned = impossible = changes = 0
    for seed in range(part * EACH, part * EACH + EACH):
        line = small_line(seed)
        verdict = plan_weeks(line.problem, seconds=0.6, helps=False)
        if verdict.plan is not None:
            planned += 1
            assert faults(line, verdict.plan) == [], seed
            span = line.problem.span
            offsets = {at.astimezone(NEW_YORK).utcoffset() for at in (span.start, span.end)}
            changes += len(offsets) == 2
        impossible += verdict.status is WeeksStatus.IMPOSSIBLE
    # All answers must come up, or the lines would test nothing; a third of them lie over a change each way.
    assert planned >= EACH // 4
    assert impossible >= 2
    assert changes >= EACH // 8


def test_the_rules_here_find_what_is_wrong() -> None:
    line = next(
        one for one in map(small_line, range(100)) if plan_weeks(one.problem, seconds=0.6, helps=False).plan
    )
    plan = plan_weeks(line.problem, seconds=0.6, helps=False).plan
    assert plan is not None
    assert faults(line, plan) == []
    strict = {name: Rule(1.0, None) for name in line.rules}
    assert faults(replace(line, rules=strict), plan) != []
    assert faults(line, WeeksPlan((), plan.looks)) != []


def test_a_day_is_a_day_of_the_calendar_also_when_it_has_25_hours() -> None:
    rule = Rule(None, 1)
    early, late = local(BACK, 0.5), local(BACK + timedelta(days=1), 23.5)
    assert late - early > timedelta(hours=47)
    assert rule.kept(early, late)
    assert rule.clock().next_due(early) == local(BACK + timedelta(days=2), 0.0) - timedelta(seconds=1)
    assert not rule.kept(early, local(BACK + timedelta(days=2), 0.1))
