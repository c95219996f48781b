"""Owns turning an order into a plan with instants and lengths, and saying how much later it could all happen.

Does not own the order. The person leaves at the earliest start unless they would have to wait at the first
set; then as much later as that wait, which makes no look later. Waiting further on is kept: leaving later
instead would make the looks before it later, and an animal's wait is not worth less than a person's.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from tendline.plan.instance import Instance, instant
from tendline.plan.itinerary import LeftOut, ParkStop, RoundPlan, RoundProblem, Travel, Visit
from tendline.plan.timing import Order, first_look

_NO_WINDOW = "There is no moment left in which it may be looked at."
_NO_PARKING = "No parking reaches it on foot."
_ALONE = "It cannot be looked at in time on this outing, not even by itself."
_MUST = "Not everything that must be visited fits into this outing."
_OPTIONAL = "There was no room for it beside the sets that must be visited."


@dataclass(frozen=True)
class _Clockwork:
    problem: RoundProblem
    inst: Instance


def plan_of(problem: RoundProblem, inst: Instance, order: Order) -> RoundPlan:
    """Write an order that keeps its limits out as a plan."""
    work = _Clockwork(problem, inst)
    leave = first_wait(inst, order)
    now, here = leave, problem.start
    stops = []
    for stop in order:
        built, now = _stop(work, here, stop, now)
        stops.append(built)
        here = built.parking
    home = inst.home[order[-1][0]] if order else inst.straight
    metres, estimated = _drive(problem.drive, here, problem.end)
    return RoundPlan(
        start=problem.start,
        end=problem.end,
        outing=problem.outing,
        leave=instant(problem.outing.start, leave),
        back=instant(problem.outing.start, now + home),
        stops=tuple(stops),
        home_s=home / 1000.0,
        home_m=metres,
        home_estimated=estimated,
        left_out=tuple(_left_out(problem, inst, order)),
    )


def first_wait(inst: Instance, order: Order) -> int:
    """Give the wait at the first set of a round that leaves at the earliest start [ms]."""
    if not order:
        return 0
    parking, first = order[0][0], order[0][1]
    arrival = inst.go[parking] + inst.walk[inst.count + parking][first]
    return first_look(inst.windows[first], arrival) - arrival


def alone(inst: Instance, i: int) -> bool:
    """Say whether set `i` could be visited in time if it were the only one."""
    for p in inst.doors[i]:
        arrival = inst.go[p] + inst.walk[inst.count + p][i]
        look = first_look(inst.windows[i], arrival)
        onward = inst.service[i] + inst.walk[i][inst.count + p] + inst.home[p]
        if look >= 0 and look + onward <= inst.latest:
            return True
    return False


def _stop(work: _Clockwork, here: str, stop: list[int], now: int) -> tuple[ParkStop, int]:
    problem, inst = work.problem, work.inst
    start, truck = problem.outing.start, inst.count + stop[0]
    parking = inst.parkings[stop[0]]
    metres, estimated = _drive(problem.drive, here, parking)
    legs = inst.go if here == problem.start else inst.hop[inst.parkings.index(here)]
    drive = max(0, legs[stop[0]] - inst.park)  # another walk from where the truck stands: no drive
    arrive = now + drive
    now += legs[stop[0]]
    visits = []
    node = truck
    for i in stop[1:]:
        visit, now = _visit(work, node, i, now)
        visits.append(visit)
        node = i
    back = inst.walk[node][truck]
    return (
        ParkStop(
            parking=parking,
            drive_s=drive / 1000.0,
            drive_m=metres,
            drive_estimated=estimated,
            arrive=instant(start, arrive),
            depart=instant(start, now + back),
            visits=tuple(visits),
            back_s=back / 1000.0,
            back_m=_metres(work, node, truck),
        ),
        now + back,
    )


def _visit(work: _Clockwork, node: int, i: int, now: int) -> tuple[Visit, int]:
    problem, inst = work.problem, work.inst
    start, due = problem.outing.start, problem.sets[i].due
    arrival = now + inst.walk[node][i]
    look = first_look(inst.windows[i], arrival)
    at = instant(start, look)
    leave = look + inst.service[i]
    visit = Visit(
        set_name=inst.names[i],
        walk_s=inst.walk[node][i] / 1000.0,
        walk_m=_metres(work, node, i),
        wait_s=(look - arrival) / 1000.0,
        look=at,
        leave=instant(start, leave),
        due=due,
        slack_s=None if due is None else (due - at) / timedelta(seconds=1),
    )
    return visit, leave


def _metres(work: _Clockwork, source: int, target: int) -> float:
    names = (*work.inst.names, *work.inst.parkings)
    table = work.problem.walk
    return float(table.metres[table.names.index(names[source]), table.names.index(names[target])])


def _drive(drive: Travel, source: str, target: str) -> tuple[float, bool]:
    row, column = drive.names.index(source), drive.names.index(target)
    return float(drive.metres[row, column]), bool(drive.estimated[row, column])


def _left_out(problem: RoundProblem, inst: Instance, order: Order) -> Iterator[LeftOut]:
    visited = {i for stop in order for i in stop[1:]}
    for i, task in enumerate(problem.sets):
        if i not in visited:
            yield LeftOut(task.name, task.must, task.due, _why(inst, i))


def _why(inst: Instance, i: int) -> str:
    if not inst.windows[i]:
        return _NO_WINDOW
    if not inst.doors[i]:
        return _NO_PARKING
    if not alone(inst, i):
        return _ALONE
    return _MUST if inst.must[i] else _OPTIONAL
