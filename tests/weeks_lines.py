"""Invented lines for the tests of the days ahead: plain tables of minutes, no ground, no law."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.itinerary import Travel
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksProblem

MIDNIGHT = datetime(2027, 1, 10, tzinfo=UTC)
"""Day 0 begins; day 1 is the first with outings."""


def every_hours(hours: float) -> WeekClock:
    """Give the rule "every so many hours"."""
    return WeekClock(f"{hours} h", lambda look: look + timedelta(hours=hours), f"every {hours:g} hours")


def every_days(days: int) -> WeekClock:
    """Give the rule "before the end of the so-manieth day after"."""

    def after(look: datetime) -> datetime:
        day = datetime(look.year, look.month, look.day, tzinfo=UTC)
        return day + timedelta(days=days + 1) - timedelta(seconds=1)

    return WeekClock(f"{days} d", after, f"every {days} days")


def windows(days: int, *, start_h: float, minutes: float, who: str = "Ann") -> tuple[WeekOuting, ...]:
    """Give one window on each day."""
    found = []
    for day in range(1, days + 1):
        begin = MIDNIGHT + timedelta(days=day, hours=start_h)
        found.append(WeekOuting(who, Span(begin, begin + timedelta(minutes=minutes))))
    return tuple(found)


def table(names: Sequence[str], minutes: Callable[[int, int], float]) -> Travel:
    """Give a travel table from minutes between indices; a kilometre a minute."""
    n = len(names)
    cells = np.array([[0.0 if a == b else minutes(a, b) for b in range(n)] for a in range(n)])
    return Travel(tuple(names), cells * 60.0, cells * 1000.0, np.zeros((n, n), bool))


def sites(
    rules: Sequence[WeekClock],
    outings: tuple[WeekOuting, ...],
    *,
    days: int,
    per_site: int = 1,
    service_min: float = 30.0,
    drive_min: float = 10.0,
    walk_min: float = 1.0,
    seen: datetime = MIDNIGHT + timedelta(hours=8),
) -> WeeksProblem:
    """Give one property for each rule, each its own parking, all as far from one another as from home."""
    parkings = [f"P{k}" for k in range(len(rules))]
    names = [f"S{k}.{j}" for k in range(len(rules)) for j in range(per_site)]
    owner = [*range(len(rules)), *(k for k in range(len(rules)) for _ in range(per_site))]
    walk = table([*parkings, *names], lambda a, b: walk_min if owner[a] == owner[b] else np.inf)
    sets = tuple(
        WeekSet(f"S{k}.{j}", service_min * 60.0, rule, seen, rule.next_due(seen))
        for k, rule in enumerate(rules)
        for j in range(per_site)
    )
    return WeeksProblem(
        span=Span(MIDNIGHT + timedelta(hours=20), MIDNIGHT + timedelta(days=days + 1)),
        sets=sets,
        outings=outings,
        start="home",
        end="home",
        parkings=tuple(parkings),
        park_s=0.0,
        drive=table(["home", *parkings], lambda _a, _b: drive_min),
        walk=walk,
    )


def pinwheel(gaps: Sequence[int], *, days: int) -> WeeksProblem:
    """Give a line on which one site a day can be looked at, and each at least once in so many days.

    A look takes 10 + 1 + 30 + 1 + 10 = 52 minutes, two 104 or more; every window has 55.
    """
    return sites([every_days(gap) for gap in gaps], windows(days, start_h=6, minutes=55), days=days)
