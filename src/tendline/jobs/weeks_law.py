"""Owns the clock of a set over the days ahead under its profile, its lawful hours, and where leave ends.

Does not own the law (`rules`) or the plan.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

from tendline.core.line import LineState, SetState
from tendline.core.when import Span, day_end
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_nouns import WeekClock
from tendline.rules.answer import Seen, Watched
from tendline.rules.ask import due, lawful_windows
from tendline.rules.shape import Profile


def clock_of(space: Workspace, watched: Watched, profile: Profile | None, own: str, words: str) -> WeekClock:
    """Give the rule of a set as a function; sets alike in all that clocks ask for share one."""
    hours = space.settings.personal.hours
    answers = ";".join(f"{k}={v}" for k, v in sorted(watched.answers.items()))
    key = f"{profile.id if profile else ''}|{watched.device_class}|{watched.working}|{answers}|{own}"

    def after(look: datetime) -> datetime | None:
        limit = None
        if profile is not None:
            seen = replace(watched, looks=(Seen(look, watched.handler),))
            limit = due(profile, seen, now=look).due_at
        if hours is not None and (limit is None or own == "also"):
            mine = look + timedelta(hours=hours)
            limit = mine if limit is None else min(limit, mine)
        return limit

    return WeekClock(key, after, words or "no limit known: your own")


def lawful_of(profile: Profile | None, watched: Watched) -> Callable[[Span], tuple[Span, ...]]:
    """Give the lawful hours of a set as a function of a stretch of time; deadlines are left out."""
    if profile is None:
        return lambda span: (span,)

    @cache
    def hours(span: Span) -> tuple[Span, ...]:
        return lawful_windows(profile, watched, span, now=span.start.astimezone(UTC), late=True)

    return hours


def leave_ends(line: LineState, one: SetState) -> date | None:
    """Give the last good day of the leave for the ground a set stands on; None when none ends or is noted."""
    parcel = line.parcels.get(one.parcel)
    if parcel is None or not parcel.permissions:
        return None
    lasts = [leave.last for leave in parcel.permissions]
    return None if None in lasts else max(last for last in lasts if last is not None)


def ending(clock: WeekClock, end: datetime) -> WeekClock:
    """Give a clock that ends with leave to be there: a look that would not last to it is the last but one.

    After a look from which the rule runs past the end, the set is taken up at that look.
    """

    def after(look: datetime) -> datetime | None:
        limit = clock.next_due(look)
        return None if limit is None or limit > end else limit

    return WeekClock(f"{clock.key}|ends {end.isoformat()}", after, clock.words)


def until(hours: Callable[[Span], tuple[Span, ...]], end: datetime) -> Callable[[Span], tuple[Span, ...]]:
    """Cut lawful hours where leave ends."""

    def cut(span: Span) -> tuple[Span, ...]:
        return tuple(Span(p.start, min(p.end, end)) for p in hours(span) if p.start <= end)

    return cut


def last_instant(space: Workspace, day: date) -> datetime:
    """Give the last second of a local day."""
    return day_end(day, space.settings.zone) - timedelta(seconds=1)
