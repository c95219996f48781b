"""Owns putting more sets into a problem: beside those that stand, or on new ground; and another sort of day.

Does not own whether they fit (`plan.room_round`, `plan.room_weeks`).

More sets beside one that stands are more time at it: they are looked at when it is, so their clock is its
clock. New ground is a parking of its own with a walk round it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np

from tendline.plan.itinerary import Matrix, RoundProblem, SetTask, Travel
from tendline.plan.room_nouns import Site
from tendline.plan.weeks_nouns import WeekSet, WeeksProblem

Problem = TypeVar("Problem", RoundProblem, WeeksProblem)
Template = Callable[[str, float], SetTask] | Callable[[str, float], WeekSet]
"""Makes a set on new ground from its name and the time it takes [s]."""

NEW = "(new ground)"
"""No short name of a place has brackets in it."""

_MOST_PARTS = 4
"""New ground is cut into so many pieces at most, which may be walked on different outings."""


@dataclass(frozen=True)
class DayCosts:
    """What one sort of day makes of a problem.

    Parameters
    ----------
    name
        For a person.
    walk
        What walking times are multiplied by, 1 or more.
    set_s
        Mean time at a set [s].
    each_s
        One more set beside one that stands [s].
    """

    name: str
    walk: float
    set_s: float
    each_s: float


def on_day(problem: Problem, day: DayCosts) -> Problem:
    """Give a problem as it is on such a day: longer walks, more to do at every set."""
    walk = problem.walk
    slower = replace(walk, seconds=walk.seconds * day.walk)
    if isinstance(problem, RoundProblem):
        tasks = tuple(replace(one, service_s=day.set_s) for one in problem.sets)
        return replace(problem, walk=slower, sets=tasks)
    sets = tuple(replace(one, service_s=day.set_s) for one in problem.sets)
    return replace(problem, walk=slower, sets=sets)


def with_more(problem: Problem, site: Site, count: int, day: DayCosts, template: Template) -> Problem:
    """Put so many more sets on a site.

    Parameters
    ----------
    problem
        As on the day.
    count
        How many; for new ground at least one.
    template
        Makes a set on new ground.
    """
    if site.is_new:
        return _new_ground(problem, site, count, day, template)
    return longer(problem, _shared(site.sets, count), day.each_s)


def _shared(names: Sequence[str], count: int) -> dict[str, int]:
    """Share a number out as evenly as can be."""
    each, over = divmod(count, len(names))
    return {name: each + (k < over) for k, name in enumerate(names)}


def longer(problem: Problem, more: dict[str, int], each_s: float) -> Problem:
    """Let looks at some sets take longer by so many times `each_s`."""
    if isinstance(problem, RoundProblem):
        tasks = tuple(replace(s, service_s=s.service_s + each_s * more.get(s.name, 0)) for s in problem.sets)
        return replace(problem, sets=tasks)
    sets = tuple(replace(s, service_s=s.service_s + each_s * more.get(s.name, 0)) for s in problem.sets)
    return replace(problem, sets=sets)


def _new_ground(problem: Problem, site: Site, count: int, day: DayCosts, template: Template) -> Problem:
    parts = 1 if isinstance(problem, RoundProblem) else min(max(count, 1), _MOST_PARTS)
    names = [f"{NEW} {k + 1}" for k in range(parts)]
    share = _shared(names, count)
    parking = site.parking or NEW
    drive = problem.drive if site.parking else _with_parking(problem.drive, site)
    walk = _with_ring(problem.walk, parking, names, site.walk_s * day.walk)
    parkings = problem.parkings if parking in problem.parkings else (*problem.parkings, parking)
    made: tuple[Any, ...] = tuple(template(name, day.each_s * share[name]) for name in names)
    wider = replace(problem, drive=drive, walk=walk, parkings=parkings)
    return replace(wider, sets=(*problem.sets, *made))


def _with_parking(drive: Travel, site: Site) -> Travel:
    """Add a parking half a leg off another: gone to from there and back it costs one whole leg."""
    host, half = drive.names.index(site.beside), site.leg_s / 2.0
    speed = _speed(drive)
    seconds = _grown(drive.seconds, drive.seconds[host] + half, drive.seconds[:, host] + half)
    metres = _grown(drive.metres, drive.metres[host] + half * speed, drive.metres[:, host] + half * speed)
    estimated = np.ones(seconds.shape, dtype=bool)
    estimated[:-1, :-1] = drive.estimated
    return Travel((*drive.names, NEW), seconds, metres, estimated)


def _speed(drive: Travel) -> float:
    """Give the mean speed over all drives [m/s]."""
    total = float(drive.seconds[np.isfinite(drive.seconds)].sum())
    return float(drive.metres[np.isfinite(drive.metres)].sum()) / total if total > 0 else 0.0


def _grown(table: Matrix, row: Matrix, column: Matrix) -> Matrix:
    """Add one place to a table: the way from it, and the way to it."""
    grown = np.zeros((len(table) + 1, len(table) + 1))
    grown[:-1, :-1], grown[-1, :-1], grown[:-1, -1] = table, row, column
    return grown


def _with_ring(walk: Travel, parking: str, names: Sequence[str], length_s: float) -> Travel:
    """Add places at even steps along a walk from a parking and back, on ground of their own."""
    known = parking in walk.names
    old, ring = len(walk.names), [parking, *names]
    at = [walk.names.index(parking) if known else old]
    at += list(range(old + (not known), old + (not known) + len(names)))
    size, leg = old + (not known) + len(names), length_s / len(ring)
    seconds, metres = np.full((size, size), np.inf), np.full((size, size), np.inf)
    seconds[:old, :old], metres[:old, :old] = walk.seconds, walk.metres
    np.fill_diagonal(seconds, 0.0)
    np.fill_diagonal(metres, 0.0)
    for a, row in enumerate(at):
        for b, column in enumerate(at):
            steps = min((a - b) % len(ring), (b - a) % len(ring))
            seconds[row, column] = steps * leg
            metres[row, column] = steps * leg * _speed_on_foot(walk)
    estimated = np.ones((size, size), dtype=bool)
    estimated[:old, :old] = walk.estimated
    return Travel((*walk.names, *ring[known:]), seconds, metres, estimated)


def _speed_on_foot(walk: Travel) -> float:
    """Give the mean speed over all walks [m/s]; that of common practice, 3 km/h, where there are none."""
    known = np.isfinite(walk.seconds) & (walk.seconds > 0)
    total = float(walk.seconds[known].sum())
    return float(walk.metres[known].sum()) / total if total > 0 else 3.0 / 3.6


def typical_leg(drive: Travel, sites: Sequence[Sequence[str]], home: str) -> float:
    """Give the drive from one property to its nearest other, the middle one of all [s].

    Parameters
    ----------
    sites
        Parkings of each property.
    home
        Stands in for the other property when there is only one.
    """
    row = {name: k for k, name in enumerate(drive.names)}
    legs = []
    for k, own in enumerate(sites):
        others = [p for j, site in enumerate(sites) if j != k for p in site if p not in own] or [home]
        legs.append(min(float(drive.seconds[row[a], row[b]]) for a in own for b in others))
    return float(np.median(legs)) if legs else 0.0


def typical_walk(problem: RoundProblem | WeeksProblem, sites: Sequence[Sequence[str]]) -> float:
    """Give the walk round the sets of one property without the looks, the middle one of all [s].

    Parameters
    ----------
    sites
        Sets of each property.
    """
    row = {name: k for k, name in enumerate(problem.walk.names)}
    walks = [
        min(
            (_loop_s(problem.walk, row[p], [row[name] for name in names]) for p in problem.parkings),
            default=0.0,
        )
        for names in sites
    ]
    known = [one for one in walks if np.isfinite(one)]
    return float(np.median(known)) if known else 0.0


def _loop_s(walk: Travel, parking: int, members: Sequence[int]) -> float:
    """Walk to the nearest next, then turn stretches round while that helps (Croes 1958)."""
    left, order = set(members), [parking]
    while left:
        here = order[-1]
        order.append(min(left, key=lambda k: (walk.seconds[here, k], k)))
        left.remove(order[-1])
    order, best, better = [*order, parking], _length(walk, [*order, parking]), True
    while better:
        better = False
        for a in range(1, len(order) - 2):
            for b in range(a + 2, len(order)):
                other = order[:a] + order[a:b][::-1] + order[b:]
                if (length := _length(walk, other)) < best - 1e-9:
                    order, best, better = other, length, True
    return best


def _length(walk: Travel, order: Sequence[int]) -> float:
    return float(walk.seconds[order[:-1], order[1:]].sum())
