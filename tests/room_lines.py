"""Invented lines for the tests of room: a ring of farms, each with a ring of sets; tables of minutes."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.itinerary import RoundProblem, SetTask, Travel
from tendline.plan.room_ground import DayCosts
from tendline.plan.room_nouns import Prices, Site
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksProblem

START = datetime(2027, 1, 15, 10, 0, tzinfo=UTC)
FOREVER = Span(START - timedelta(days=3), START + timedelta(days=3))
NO_PRICES = Prices(1.0, 1.0, 1.0, 1.0)


def ring_travel(names: Sequence[str], at: Sequence[int], size: int, leg_s: float, speed: float) -> Travel:
    """Give the ways between places on a ring of so many even legs."""
    places = np.array(at)
    steps = np.abs(places[:, None] - places[None, :])
    steps = np.minimum(steps, size - steps).astype(np.float64)
    return Travel(tuple(names), steps * leg_s, steps * leg_s * speed, np.zeros(steps.shape, dtype=np.bool_))


def farm_line(
    farms: int,
    devices: int,
    *,
    hours: float,
    leg_min: float = 6.0,
    walk_min: float = 16.0,
    park_min: float = 2.0,
    look_min: float = 1.0,
) -> RoundProblem:
    """Give home and farms on a ring of drives, the devices shared out evenly over walks of one length."""
    parkings = [f"p{k}" for k in range(farms)]
    drive = ring_travel(["home", *parkings], range(farms + 1), farms + 1, leg_min * 60.0, 10.0)
    names, blocks = [], []
    for k, parking in enumerate(parkings):
        count = devices // farms + (k < devices % farms)
        sets = [f"s{k}.{j}" for j in range(count)]
        names += [parking, *sets]
        blocks.append(
            ring_travel([parking, *sets], range(count + 1), count + 1, walk_min * 60 / (count + 1), 1)
        )
    walk = together(blocks)
    tasks = tuple(SetTask(n, look_min * 60.0, (FOREVER,)) for n in names if n not in parkings)
    span = Span(START, START + timedelta(hours=hours))
    return RoundProblem("home", "home", span, tasks, tuple(parkings), park_min * 60.0, drive, walk)


def together(blocks: Sequence[Travel]) -> Travel:
    """Put tables of grounds that share nothing into one."""
    names = [name for block in blocks for name in block.names]
    seconds = np.full((len(names), len(names)), np.inf)
    metres = seconds.copy()
    at = 0
    for block in blocks:
        size = len(block.names)
        seconds[at : at + size, at : at + size] = block.seconds
        metres[at : at + size, at : at + size] = block.metres
        at += size
    return Travel(tuple(names), seconds, metres, np.zeros(seconds.shape, dtype=np.bool_))


def sites_on(problem: RoundProblem | WeeksProblem) -> tuple[Site, ...]:
    """Give one site for each farm of `farm_line`."""
    found = []
    for k, parking in enumerate(problem.parkings):
        names = tuple(one.name for one in problem.sets if one.name.startswith(f"s{k}."))
        found.append(Site(f"farm {k}", sets=names, beside=parking))
    return tuple(found)


def plain_day(each_min: float, *, set_min: float = 1.0, walk: float = 1.0) -> DayCosts:
    """Give a day on which a set takes so long, and one more so much."""
    return DayCosts("a day", walk, set_min * 60.0, each_min * 60.0)


def weeks_line(problem: RoundProblem, clock: WeekClock, *, days: int, minutes: float) -> WeeksProblem:
    """Give the same line over days with one window each morning, all looked at just now."""
    outings = tuple(
        WeekOuting("Ann", Span(begin, begin + timedelta(minutes=minutes)))
        for begin in (START + timedelta(days=d, hours=8) for d in range(days))
    )
    return WeeksProblem(
        span=Span(START, START + timedelta(days=days)),
        sets=tuple(
            WeekSet(one.name, one.service_s, clock, START, clock.next_due(START)) for one in problem.sets
        ),
        outings=outings,
        start="home",
        end="home",
        parkings=problem.parkings,
        park_s=problem.park_s,
        drive=problem.drive,
        walk=problem.walk,
    )


def with_due(problem: RoundProblem, **dues: float) -> RoundProblem:
    """Give sets of the problem limits, in minutes after the earliest start; `_` stands for a dot."""
    limits = {name.replace("_", "."): START + timedelta(minutes=m) for name, m in dues.items()}
    return replace(problem, sets=tuple(replace(one, due=limits.get(one.name)) for one in problem.sets))
