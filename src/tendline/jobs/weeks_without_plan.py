"""Owns planning one look each at sets that fall due while somebody cannot go.

Does not own which sets those are (`plan.weeks_least`), who may go (`weeks_people`) or the searches.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from tendline.core.line import LineState
from tendline.core.when import Span
from tendline.jobs.walks import Tell
from tendline.jobs.weeks_ground import on_the_ground
from tendline.jobs.weeks_without_asked import AskedWithout
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_least import looked_at_once
from tendline.plan.weeks_nouns import PlannedOuting, WeekOuting, WeekSet, WeeksPlan, WeeksProblem
from tendline.plan.weeks_one_by_one import leave_home_by, one_after_another

Plan = Callable[[WeeksProblem], WeeksPlan | None]
"""Plans the days ahead, or finds no plan."""


@dataclass(frozen=True)
class Came:
    """Outings, sets nobody comes to in time, and the latest start straight to each."""

    rounds: tuple[PlannedOuting, ...] = ()
    late: tuple[str, ...] = ()
    leave: Mapping[str, datetime | None] = field(default_factory=dict)


def come(
    space: Workspace,
    line: LineState,
    sets: Sequence[WeekSet],
    outings: Sequence[WeekOuting],
    *,
    end: datetime,
    plan: Plan,
    asked: AskedWithout,
    tell: Tell,
) -> tuple[Came, tuple[str, ...]]:
    """Plan one look at each set; give also how the travel times came about."""
    if not sets:
        return Came(), ()
    once = [looked_at_once(one) for one in sets]
    span = Span(space.now, max([end, *(one.span.end for one in outings)]))
    problem, ways = on_the_ground(space, line, once, outings, span=span, tell=tell)
    return _planned(problem, seconds=asked.seconds, seed=asked.seed, plan=plan), ways.said


def _planned(problem: WeeksProblem, *, seconds: float, seed: int, plan: Plan) -> Came:
    """Plan one look at each set; what nobody comes to in time is looked at first, late as it is."""
    leave = {one.name: leave_home_by(problem, one) for one in problem.sets}
    if not problem.outings:
        return Came((), tuple(one.name for one in problem.sets), leave)
    found = plan(problem)
    if found is not None:
        return Came(found.rounds, (), leave)
    rounds, left = one_after_another(problem, seconds=0.2 * seconds, seed=seed)
    first = tuple(replace(s, due=None, go_now=True) if s.name in left else s for s in problem.sets)
    problem = replace(problem, sets=first)
    found = plan(problem)
    if found is not None:
        return Came(found.rounds, tuple(left), leave)
    rounds, never = one_after_another(problem, seconds=0.2 * seconds, seed=seed)
    return Came(tuple(rounds), tuple(dict.fromkeys((*left, *never))), leave)


def planner(asked: AskedWithout, *, tell: Tell, should_stop: Callable[[], bool]) -> Plan:
    """Give the search, with the time it may take."""

    def plan(problem: WeeksProblem) -> WeeksPlan | None:
        return plan_weeks(
            problem,
            seconds=0.4 * asked.seconds,
            seed=asked.seed,
            helps=False,
            on_progress=lambda words: tell(f"without: {words}"),
            should_stop=should_stop,
        ).plan

    return plan
