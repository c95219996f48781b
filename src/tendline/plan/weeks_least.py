"""Owns the least that keeps every limit while somebody is away: which sets, by when, what one look is worth.

Does not own who goes or when (`plan.weeks`), nor whether closing a set stops its clock (`rules`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tendline.core.when import Span
from tendline.plan.weeks_nouns import PlannedOuting, WeekClock, WeekSet

STEP = timedelta(minutes=10)
"""Looks are tried this far apart; what is told is then up to so much too late, never too early."""


@dataclass(frozen=True)
class Needed:
    """One set that falls due while somebody is away.

    Parameters
    ----------
    set_name
        Which.
    due
        Its limit; None when it has passed already or nobody knows it: go at once.
    lasts_from
        The earliest look, to ten minutes, from which on every look in time lasts until they are back; None
        when no look does: it must be closed or taken up at its look.
    """

    set_name: str
    due: datetime | None
    lasts_from: datetime | None


def needed(sets: Sequence[WeekSet], away: Span) -> tuple[Needed, ...]:
    """Give the sets that fall due before somebody is back, the earliest first.

    Parameters
    ----------
    sets
        All sets in the field whose clock runs, as they stand.
    away
        From now, or the beginning of the absence, up to when limits must be kept without them.
    """
    found = [
        Needed(one.name, None if one.go_now else one.due, _lasts_from(one, away))
        for one in sets
        if one.go_now or one.due is None or one.due < away.end
    ]
    return tuple(sorted(found, key=lambda one: (one.due or away.start, one.set_name)))


def _lasts_from(one: WeekSet, away: Span) -> datetime | None:
    """Walk back from the last look in time for as long as a look lasts."""
    last = away.end if one.due is None or one.go_now else min(one.due, away.end)
    found, look = None, last
    while look >= away.start and lasts(one.clock, look, away.end):
        found, look = look, look - STEP
    return found


def lasts(clock: WeekClock, look: datetime, until: datetime) -> bool:
    """Say whether no limit passes before `until` once a set was looked at."""
    due = clock.next_due(look)
    return due is None or due >= until


def looked_at_once(one: WeekSet) -> WeekSet:
    """Give a set whose clock ends with its next look: that look lasts, or the set is closed or taken up."""
    return replace(one, clock=WeekClock(f"once {one.clock.key}", lambda _: None, one.clock.words))


def leave_by(planned: PlannedOuting) -> datetime:
    """Give the latest start at which every limit of an outing is kept and it is back in time."""
    spare = [planned.outing.span.end - planned.round.back]
    spare += [timedelta(seconds=v.slack_s) for v in planned.round.visits if v.slack_s is not None]
    return planned.round.leave + max(timedelta(0), min(spare))
