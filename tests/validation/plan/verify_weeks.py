"""An independent check of a plan of the days ahead: times added up again, every limit looked up again.

It shares no code with the planner beyond the nouns: it reads the float tables as they are, knows nothing of
blocks, tables or programs, and asks each set's own rule for the very instant of each look.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise

from tendline.plan.itinerary import Travel
from tendline.plan.weeks_nouns import PlannedOuting, WeekSet, WeeksPlan, WeeksProblem

_ROUND_UP = timedelta(milliseconds=1)
"""The planner rounds each leg, look and parking up to the millisecond."""


def weeks_violations(problem: WeeksProblem, plan: WeeksPlan) -> list[str]:
    """List everything that is wrong with a plan; empty when it can be done and is lawful."""
    return [
        *_people(problem, plan),
        *(fault for one in plan.rounds for fault in _way(problem, one)),
        *_limits(problem, plan),
    ]


def _people(problem: WeeksProblem, plan: WeeksPlan) -> Iterator[str]:
    windows = [(one.who, one.span.start, one.span.end) for one in problem.outings]
    used = [(one.outing.who, one.outing.span.start, one.outing.span.end) for one in plan.rounds]
    for window in used:
        if window not in windows:
            yield f"goes out in {window}, which is no window"
        if used.count(window) > 1:
            yield f"goes out twice in {window}"
    for one in plan.rounds:
        if one.round.leave < one.outing.span.start or one.round.back > one.outing.span.end:
            yield f"{one.round.leave} to {one.round.back} is not inside its window"
    by: dict[str, list[tuple[datetime, datetime]]] = {}
    for one in plan.rounds:
        by.setdefault(one.outing.who, []).append((one.round.leave, one.round.back))
    for who, times in by.items():
        for (_, back), (leave, _) in pairwise(sorted(times)):
            if leave < back:
                yield f"{who} is in two places at {leave}"


def _leg(table: Travel, source: str, target: str) -> timedelta:
    return timedelta(seconds=float(table.seconds[table.names.index(source), table.names.index(target)]))


def _near(claimed: datetime, true: datetime, steps: int) -> bool:
    return true - timedelta(microseconds=1) * steps <= claimed <= true + _ROUND_UP * steps


def _way(problem: WeeksProblem, one: PlannedOuting) -> Iterator[str]:
    """Add one round up from its start; every instant may be later by the rounding, never earlier."""
    service = {s.name: timedelta(seconds=s.service_s) for s in problem.sets}
    now, here, steps = one.round.leave, problem.start, 0
    for stop in one.round.stops:
        now += _leg(problem.drive, here, stop.parking) + timedelta(seconds=problem.park_s)
        foot, steps = stop.parking, steps + 2
        for visit in stop.visits:
            now += _leg(problem.walk, foot, visit.set_name)
            steps += 1
            if not _near(visit.look, now, steps):
                yield f"{visit.set_name}: look at {visit.look}, the way takes until {now}"
            now += service[visit.set_name]
            foot, steps = visit.set_name, steps + 1
        now += _leg(problem.walk, foot, stop.parking)
        here, steps = stop.parking, steps + 1
    now += _leg(problem.drive, here, problem.end)
    if not _near(one.round.back, now, steps + 1):
        yield f"back at {one.round.back}, the way takes until {now}"


def _limits(problem: WeeksProblem, plan: WeeksPlan) -> Iterator[str]:
    seen: dict[str, list[tuple[datetime, PlannedOuting]]] = {one.name: [] for one in problem.sets}
    for planned in plan.rounds:
        for stop in planned.round.stops:
            for visit in stop.visits:
                seen[visit.set_name].append((visit.look, planned))
    told = {one.set_name: one.looks for one in plan.looks}
    for one in problem.sets:
        looks = sorted(seen[one.name], key=lambda pair: pair[0])
        if tuple(look for look, _ in looks) != told[one.name]:
            yield f"{one.name}: the rounds look at it {len(looks)} times, the list says {len(told[one.name])}"
        due = None if one.go_now else one.due
        for look, planned in looks:
            if due is not None and look > due:
                yield f"{one.name}: look at {look}, due {due}"
            yield from _who_and_when(one, look, planned)
            due = one.clock.next_due(look)
        if due is not None and due < problem.span.end:
            yield f"{one.name}: due {due}, and nobody comes before {problem.span.end}"


def _who_and_when(one: WeekSet, look: datetime, planned: PlannedOuting) -> Iterator[str]:
    if planned.outing.who in one.barred_to:
        yield f"{one.name}: {planned.outing.who} may not look at it"
    if not any(part.start <= look <= part.end for part in one.lawful(planned.outing.span)):
        yield f"{one.name}: {look} is not in lawful hours"
