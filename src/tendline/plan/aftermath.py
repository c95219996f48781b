"""Owns what a planned round leads to: tighter limits next time, mornings with catches, time they may take.

Does not own the plan. Catches cost time where they are found and push everything after them back; waiting
for a window takes some of that up again.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

from tendline.plan.instance import FAR, Instance, instance_of, instant
from tendline.plan.itinerary import BadMorning, Ratchet, RoundPlan, RoundProblem
from tendline.plan.schedule import first_wait
from tendline.plan.timing import Order, first_look

_DAY_S = 86400.0
_LEAST_S = 60.0
"""A look less than a minute earlier than last time is not worth telling."""


def ratchets(plan: RoundPlan, last_looks: Mapping[str, datetime]) -> tuple[Ratchet, ...]:
    """Name the sets with a running clock that are looked at earlier in the day than last time.

    Their next limit falls earlier in the day by as much. Less than a minute is not told; more than twelve
    hours earlier is taken for later. The day is one of 24 hours, whatever the clocks on the wall do.
    """
    told = []
    for visit in plan.visits:
        last = last_looks.get(visit.set_name)
        if last is None or visit.due is None:
            continue
        earlier = (last - visit.look).total_seconds() % _DAY_S
        if _LEAST_S <= earlier < _DAY_S / 2.0:
            told.append(Ratchet(visit.set_name, last, visit.look, earlier))
    return tuple(told)


def bad_mornings(
    problem: RoundProblem, plan: RoundPlan, *, catch_s: float, most: int = 2
) -> tuple[BadMorning, ...]:
    """Say what the same round comes to with one catch, two, ... where they hurt most.

    Where they hurt most is where most sets come too late, then where the person is back latest.

    Parameters
    ----------
    catch_s
        What one catch takes, after the look [s].
    most
        Up to how many catches; never more than there are visits.
    """
    inst = instance_of(problem)
    index = {name: i for i, name in enumerate(inst.names)}
    parking = {name: p for p, name in enumerate(inst.parkings)}
    order = [[parking[stop.parking], *(index[v.set_name] for v in stop.visits)] for stop in plan.stops]
    limits = [_limit(problem, inst, i) for i in range(inst.count)]
    extra = round(catch_s * 1000.0)
    told = []
    for catches in range(1, min(most, len(plan.visits)) + 1):
        worst = max(
            (_morning(inst, order, limits, dict.fromkeys(at, extra)) for at in _places(plan, catches)),
            key=lambda morning: (len(morning.late), morning.end),
        )
        told.append(_told(problem, inst, catches, worst))
    return tuple(told)


@dataclass(frozen=True)
class _Morning:
    late: tuple[int, ...]
    end: int


def _told(problem: RoundProblem, inst: Instance, catches: int, worst: _Morning) -> BadMorning:
    return BadMorning(
        catches=catches,
        end=instant(problem.outing.start, worst.end),
        late=tuple(inst.names[i] for i in worst.late),
        over_s=max(0, worst.end - inst.latest) / 1000.0,
    )


def _limit(problem: RoundProblem, inst: Instance, i: int) -> int:
    """Give the last lawful moment for a look [ms]: a window that merely ends with the outing is no limit."""
    due = problem.sets[i].due
    limit = FAR if due is None else (due - problem.outing.start) // timedelta(milliseconds=1)
    last = inst.windows[i][-1][1] if inst.windows[i] else FAR
    return min(limit, last if last < inst.latest else FAR)


def _places(plan: RoundPlan, catches: int) -> Iterator[tuple[int, ...]]:
    """Give the places among which the worst for so many catches is found.

    Between two waits, a catch sooner is never better than the same catch later: every look after it is
    pushed back by all of it. So only the first visits of each stretch without waiting need to be tried.
    """
    first = [k for k, visit in enumerate(plan.visits) if k == 0 or visit.wait_s > 0.0]
    ends: Sequence[int] = [*first[1:], len(plan.visits)]
    tried = [
        k for start, end in zip(first, ends, strict=True) for k in range(start, min(end, start + catches))
    ]
    return combinations(tried, catches)


def _morning(inst: Instance, order: Order, limits: list[int], extra: Mapping[int, int]) -> _Morning:
    """Time the round from when the person leaves, with extra time after the visits in `extra`."""
    now = first_wait(inst, order)
    late = []
    visit = 0
    legs = inst.go
    for stop in order:
        here = truck = inst.count + stop[0]
        now += legs[stop[0]]
        for i in stop[1:]:
            now += inst.walk[here][i]
            now = max(now, first_look(inst.windows[i], now))
            if now > limits[i]:
                late.append(i)
            now += inst.service[i] + extra.get(visit, 0)
            visit += 1
            here = i
        now += inst.walk[here][truck]
        legs = inst.hop[stop[0]]
    return _Morning(tuple(late), now + (inst.home[order[-1][0]] if order else inst.straight))
