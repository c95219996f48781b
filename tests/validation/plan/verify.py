"""An independent check of a plan: every time worked out again from the tables, every limit looked up again.

It shares no code with the planner beyond the nouns of the problem and the plan: it reads the float tables
as they are, while the planner counts in whole milliseconds, and it does not know what a good order is.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta

from tendline.plan.itinerary import ParkStop, RoundPlan, RoundProblem, SetTask, Travel

_ROUND_UP_S = 0.001
"""The planner rounds each leg, look and parking up to the millisecond, and may do so once for each."""


def violations(problem: RoundProblem, plan: RoundPlan) -> list[str]:
    """List everything that is wrong with a plan; empty when it can be done and keeps every hard limit."""
    return [
        *_endpoints(problem, plan),
        *_what_is_visited(problem, plan),
        *_driving(problem, plan),
        *(fault for stop in plan.stops for fault in _walking(problem, stop)),
        *(fault for stop in plan.stops for fault in _limits(problem, stop)),
        *_figures(problem, plan),
    ]


def shortest_possible(problem: RoundProblem, plan: RoundPlan) -> float:
    """Give the time from the earliest start to being back for the order of `plan`, from the float tables [s].

    The person leaves at the earliest start and waits wherever a window is still closed.
    """
    tasks = {task.name: task for task in problem.sets}
    now, here = problem.outing.start, problem.start
    for stop in plan.stops:
        now += _for(_leg(problem.drive, here, stop.parking)) + _for(problem.park_s)
        place = here = stop.parking
        for visit in stop.visits:
            now += _for(_leg(problem.walk, place, visit.set_name))
            opening = [max(w.start, now) for w in tasks[visit.set_name].windows if now <= w.end]
            now = min(opening) + _for(tasks[visit.set_name].service_s)
            place = visit.set_name
        now += _for(_leg(problem.walk, place, stop.parking))
    return (now + _for(_leg(problem.drive, here, problem.end)) - problem.outing.start).total_seconds()


def _leg(table: Travel, source: str, target: str) -> float:
    return float(table.seconds[table.names.index(source), table.names.index(target)])


def _metres(table: Travel, source: str, target: str) -> float:
    return float(table.metres[table.names.index(source), table.names.index(target)])


def _for(seconds: float) -> timedelta:
    return timedelta(seconds=seconds)


def _off(claimed: float, true: float) -> bool:
    """Whether a claimed time is less than the true one, or more than rounding up can explain."""
    return not -1e-6 <= claimed - true <= _ROUND_UP_S + 1e-6


def _endpoints(problem: RoundProblem, plan: RoundPlan) -> Iterator[str]:
    if (plan.start, plan.end) != (problem.start, problem.end):
        yield f"starts at {plan.start} and ends at {plan.end}"
    if plan.outing != problem.outing:
        yield "is for another outing"
    if plan.leave < problem.outing.start:
        yield f"leaves at {plan.leave}, before the earliest start"
    if plan.back > problem.outing.end:
        yield f"is back at {plan.back}, after the latest return"


def _what_is_visited(problem: RoundProblem, plan: RoundPlan) -> Iterator[str]:
    asked = [task.name for task in problem.sets]
    visited = [visit.set_name for stop in plan.stops for visit in stop.visits]
    left = [one.set_name for one in plan.left_out]
    if sorted(visited + left) != sorted(asked):
        yield f"visits {visited} and leaves out {left}, asked for {asked}"
    parked = [stop.parking for stop in plan.stops]
    if len(set(parked)) != len(parked):
        yield f"stops twice at a parking: {parked}"
    for stop in plan.stops:
        if stop.parking not in problem.parkings:
            yield f"stops at {stop.parking}, which is no parking of the problem"
        if not stop.visits:
            yield f"stops at {stop.parking} for nothing"
    musts = {task.name: task.must for task in problem.sets}
    dues = {task.name: task.due for task in problem.sets}
    for one in plan.left_out:
        if one.must != musts[one.set_name] or one.due != dues[one.set_name] or not one.why:
            yield f"tells wrongly of {one.set_name}, which it leaves out"


def _driving(problem: RoundProblem, plan: RoundPlan) -> Iterator[str]:
    now, here = plan.leave, plan.start
    for stop in plan.stops:
        yield from _drive(problem, here, stop.parking, (stop.drive_s, stop.drive_m, stop.drive_estimated))
        if stop.arrive != now + _for(stop.drive_s):
            yield f"arrives at {stop.parking} at {stop.arrive}, {stop.drive_s} s after {now}"
        now, here = stop.depart, stop.parking
    yield from _drive(problem, here, plan.end, (plan.home_s, plan.home_m, plan.home_estimated))
    if plan.back != now + _for(plan.home_s):
        yield f"is back at {plan.back}, {plan.home_s} s after {now}"


def _drive(
    problem: RoundProblem, source: str, target: str, claimed: tuple[float, float, bool]
) -> Iterator[str]:
    seconds, metres, estimated = claimed
    table = problem.drive
    if _off(seconds, _leg(table, source, target)):
        yield f"drives {source} to {target} in {seconds} s, the table says {_leg(table, source, target)}"
    if metres != _metres(table, source, target):
        yield f"drives {source} to {target} over {metres} m"
    row, column = table.names.index(source), table.names.index(target)
    if estimated != bool(table.estimated[row, column]):
        yield f"says of the drive {source} to {target} that it is estimated: {estimated}"


def _walking(problem: RoundProblem, stop: ParkStop) -> Iterator[str]:
    tasks = {task.name: task for task in problem.sets}
    place = stop.parking
    now: datetime | None = None
    for visit in stop.visits:
        yield from _walk(problem, place, visit.set_name, (visit.walk_s, visit.walk_m))
        arrival = visit.look - _for(visit.walk_s) - _for(visit.wait_s)
        if now is None:
            parked = (arrival - stop.arrive).total_seconds()
            if _off(parked, problem.park_s):
                yield f"takes {parked} s to park at {stop.parking}"
        elif arrival != now:
            yield f"sets out for {visit.set_name} at {arrival}, but leaves {place} at {now}"
        service = (visit.leave - visit.look).total_seconds()
        if _off(service, tasks[visit.set_name].service_s):
            yield f"looks at {visit.set_name} for {service} s"
        now, place = visit.leave, visit.set_name
    yield from _walk(problem, place, stop.parking, (stop.back_s, stop.back_m))
    if now is not None and stop.depart != now + _for(stop.back_s):
        yield f"leaves {stop.parking} at {stop.depart}, {stop.back_s} s after {now}"


def _walk(problem: RoundProblem, source: str, target: str, claimed: tuple[float, float]) -> Iterator[str]:
    true = _leg(problem.walk, source, target)
    if true == float("inf"):
        yield f"walks from {source} to {target}, where there is no way"
    elif _off(claimed[0], true):
        yield f"walks {source} to {target} in {claimed[0]} s, the table says {true}"
    if claimed[1] != _metres(problem.walk, source, target):
        yield f"walks {source} to {target} over {claimed[1]} m"


def _limits(problem: RoundProblem, stop: ParkStop) -> Iterator[str]:
    tasks = {task.name: task for task in problem.sets}
    for visit in stop.visits:
        task = tasks[visit.set_name]
        if not any(window.start <= visit.look <= window.end for window in task.windows):
            yield f"looks at {visit.set_name} at {visit.look}, outside its windows"
        if task.due is not None and visit.look > task.due:
            yield f"looks at {visit.set_name} at {visit.look}, due {task.due}"
        yield from _waiting(task, visit.look, visit.wait_s)
        slack = None if task.due is None else (task.due - visit.look).total_seconds()
        if visit.due != task.due or visit.slack_s != slack:
            yield f"says {visit.set_name} is due {visit.due} with {visit.slack_s} s to spare"


def _waiting(task: SetTask, look: datetime, wait_s: float) -> Iterator[str]:
    """Waiting is for a window to open, never for anything else."""
    if wait_s < 0.0:
        yield f"waits {wait_s} s at {task.name}"
    opening = min((abs((window.start - look).total_seconds()) for window in task.windows), default=0.0)
    if wait_s > 0.0 and opening > _ROUND_UP_S:
        yield f"waits {wait_s} s at {task.name} until {look}, when no window opens"


def _figures(problem: RoundProblem, plan: RoundPlan) -> Iterator[str]:
    if plan.seconds != (plan.back - plan.leave).total_seconds():
        yield f"says it takes {plan.seconds} s"
    if plan.spare_s != (problem.outing.end - plan.back).total_seconds():
        yield f"says it has {plan.spare_s} s to spare"
    legs = 1 + sum(3 + 2 * len(stop.visits) for stop in plan.stops)
    best = shortest_possible(problem, plan)
    claimed = (plan.back - problem.outing.start).total_seconds()
    if not -1e-3 <= claimed - best <= legs * _ROUND_UP_S + 1e-3:
        yield f"is back {claimed} s after the earliest start; the order takes {best} s"
