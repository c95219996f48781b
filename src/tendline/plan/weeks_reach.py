"""Owns what nobody can be in time for, however the days are planned: limits before the first arrival.

Does not own planning. Ways are the shortest there are, so that nothing is called out of reach that is not.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from tendline.plan.weeks_nouns import WeekSet, WeeksProblem
from tendline.plan.weeks_open import open_to


@dataclass(frozen=True)
class OutOfReach:
    """A set whose running limit passes before anybody can be there: the limit, and the first arrival."""

    set_name: str
    due: datetime
    first: datetime | None


@dataclass(frozen=True)
class TooShort:
    """A set whose rule gives less time from look to look than the way there takes [s]."""

    set_name: str
    interval_s: float
    way_s: float


def out_of_reach(problem: WeeksProblem) -> tuple[OutOfReach, ...]:
    """Name the sets whose limit passes before anybody can be there."""
    found = []
    for one in problem.sets:
        if one.due is None or one.go_now:
            continue
        first = first_arrival(problem, one)
        if first is None or first > one.due:
            found.append(OutOfReach(one.name, one.due, first))
    return tuple(found)


def first_arrival(problem: WeeksProblem, one: WeekSet) -> datetime | None:
    """Give the first lawful moment at which somebody who may can be at a set; None for never."""
    way = timedelta(seconds=way_there(problem, one.name))
    for outing in sorted(problem.outings, key=lambda o: o.span.start):
        for part in open_to(one, outing):
            at = max(part.start, outing.span.start + way)
            if at <= part.end:
                return at
    return None


def way_there(problem: WeeksProblem, name: str) -> float:
    """Give the shortest way from the start to a set, with parking [s]; a long time when there is none."""
    road = {place: k for k, place in enumerate(problem.drive.names)}
    foot = {place: k for k, place in enumerate(problem.walk.names)}
    ways = [
        float(problem.drive.seconds[road[problem.start], road[p]])
        + problem.park_s
        + float(problem.walk.seconds[foot[p], foot[name]])
        for p in problem.parkings
    ]
    best = min(ways, default=np.inf)
    return best if np.isfinite(best) else 30 * 86_400.0


def gone_to_first(problem: WeeksProblem, late: Sequence[OutOfReach]) -> WeeksProblem:
    """Plan sets out of reach first: no plan can keep their limit, and the others' limits are kept as ever."""
    names = {one.set_name for one in late}
    sets = tuple(replace(s, due=None, go_now=True) if s.name in names else s for s in problem.sets)
    return replace(problem, sets=sets)


def too_short(problem: WeeksProblem) -> tuple[TooShort, ...]:
    """Name the sets whose rule asks for the next look sooner than the way from the start takes."""
    found = []
    for one in problem.sets:
        look = first_arrival(problem, one)
        due = one.clock.next_due(look) if look is not None else None
        way = way_there(problem, one.name)
        if look is not None and due is not None and (due - look).total_seconds() < way:
            found.append(TooShort(one.name, (due - look).total_seconds(), way))
    return tuple(found)
