"""Owns what the days ahead are planned from: sets with their clocks under the law, and windows of people.

Does not own the plan (`plan.weeks`), nor the ways between places (`round_ground`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from tendline.core.errors import refuse
from tendline.core.line import LineState, SetStanding, SetState
from tendline.core.when import Span, day_end, local_day
from tendline.jobs.faults import NO_ROUND
from tendline.jobs.weeks_going import Going, who_goes
from tendline.jobs.weeks_law import clock_of, ending, last_instant, lawful_of, leave_ends, until
from tendline.jobs.weeks_windows import MORE, days_of, window_of, windows_of
from tendline.jobs.workspace import Workspace
from tendline.plan.due import DueRow, due_board, watched_set
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet
from tendline.rules.answer import Verdict, Watched
from tendline.rules.ask import who_may_check
from tendline.rules.shape import Profile

ANOTHER = "another person"
"""Who would go along, when nobody in particular is meant."""


@dataclass(frozen=True)
class Ahead:
    """What is planned: sets, outings, the span of days, outings that could be added, and what to say."""

    span: Span
    sets: tuple[WeekSet, ...]
    outings: tuple[WeekOuting, ...]
    windows: tuple[WeekOuting, ...]
    people: tuple[WeekOuting, ...]
    said: tuple[str, ...]


def ahead(
    space: Workspace,
    line: LineState,
    *,
    days: int,
    mornings: str,
    evenings: str,
    who: Sequence[str],
    profiles: Mapping[str, Profile],
    own: str,
) -> Ahead:
    """Gather what the days ahead are planned from.

    Parameters
    ----------
    days
        Calendar days after today.
    mornings, evenings
        Windows of every day, ``05:00-08:00``; empty for none. With neither, what is on record is taken.
    who
        Who goes in these windows; the handler when empty.
    own
        ``also`` keeps the person's own limit as if it were law; anything else only shows it.

    Raises
    ------
    Refused
        JOB-301 for a window that cannot be read; JOB-401 when nothing says when anybody can go, or nothing
        is to be looked at; CORE-203, CORE-204 for a time that a change of the clocks skips or repeats.
    """
    zone, today = space.settings.zone, local_day(space.now, space.settings.zone)
    span = Span(space.now, day_end(today + timedelta(days=days), zone))
    names = tuple(who) or (space.settings.handler,)
    given = windows_of(space, line, span, [mornings, evenings], names)
    if not given:
        raise refuse(
            NO_ROUND,
            "nothing says when anybody can go in these days.",
            "",
            "Give --mornings 05:00-08:00 or --evenings 16:00-18:00; or note available for the days ahead.",
        )
    people = who_goes(space, line, profiles, given, span)
    outings = tuple(one for one in given if people.may_go(one))
    if not outings:
        raise refuse(NO_ROUND, f"nobody who has a window may go: {'; '.join(people.said)}.", "", _RECORD)
    sets, said = sets_ahead(space, line, profiles=profiles, people=people, own=own)
    first = outings[0].who
    more = [window_of(space, day, text, first, span) for day in days_of(span, space) for text in MORE]
    windows = tuple(one for one in more if one is not None and people.may_go(one))
    others = tuple(WeekOuting(ANOTHER, one.span) for one in given if one.who == given[0].who)
    return Ahead(span, sets, outings, windows, others, (*people.said, *said))


_RECORD = (
    "Record their papers and your written leave in line.toml, [[papers]] and [[people]]. What is out there "
    "must be seen to all the same: ask the officer how."
)


def sets_ahead(
    space: Workspace,
    line: LineState,
    *,
    profiles: Mapping[str, Profile],
    people: Going,
    own: str = "shown",
) -> tuple[tuple[WeekSet, ...], tuple[str, ...]]:
    """Give every set in the field whose clock runs, with its clock, and what must be said of them.

    Parameters
    ----------
    people
        Who goes, and from which sets they are barred.
    own
        See `ahead`.
    """
    rows = due_board(line, profiles=profiles, settings=space.settings, now=space.now)
    by_name = {row.set_name: row for row in rows}
    found: list[WeekSet] = []
    unknown: list[str] = []
    barred: set[str] = set()
    clocks: dict[str, WeekClock] = {}
    said: list[str] = []
    for one in line.in_field:
        row = by_name[one.name]
        if row.answer.verdict in (Verdict.NO_CLOCK, Verdict.NOT_APPLICABLE):
            continue
        made = _set(
            space,
            line,
            one,
            row=row,
            profile=profiles.get(row.answer.profile),
            people=people,
            own=own,
            clocks=clocks,
        )
        found.append(made)
        unknown += [one.name] if row.answer.due_at is None else []
        barred |= made.barred_to - {ANOTHER}
        said += _leave_said(space, line, one)
    if not found:
        raise refuse(NO_ROUND, "no set in the field has a clock that runs.", "", "tendline due shows them.")
    said = list(dict.fromkeys(said))
    if unknown:
        said.append(f"no limit is known for {', '.join(unknown)}: planned first, then by your own limit")
    if barred:
        said.append(
            f"not known to be allowed to look at every set, and not sent there: {', '.join(sorted(barred))}"
        )
    if any(not row.answer.verified for row in rows):
        said.append(
            "not verified: the profile is not confirmed for this season (tendline due says what to confirm)"
        )
    return tuple(found), tuple(said)


def _set(
    space: Workspace,
    line: LineState,
    one: SetState,
    *,
    row: DueRow,
    profile: Profile | None,
    people: Going,
    own: str,
    clocks: dict[str, WeekClock],
) -> WeekSet:
    costs, answer = space.settings.time, row.answer
    watched = watched_set(one, line, settings=space.settings)
    clock, hours = clock_of(space, watched, profile, own, answer.words), lawful_of(profile, watched)
    end = _end_of_leave(space, line, one)
    if end is not None:
        clock, hours = ending(clock, end), until(hours, end)
    clock = clocks.setdefault(clock.key, clock)
    late = answer.verdict in (Verdict.OVERDUE, Verdict.PROHIBITED) or answer.go_now or answer.due_at is None
    limit = answer.due_at
    if own == "also" and limit is not None and row.own_due is not None:
        limit = min(limit, max(row.own_due, space.now + timedelta(seconds=1)))
    if end is not None:
        limit = end if limit is None else min(limit, end)
    return WeekSet(
        name=one.name,
        service_s=costs.look_s + costs.fix_share * costs.fix_s,
        clock=clock,
        last_look=one.last_seen,
        due=None if late else limit,
        lawful=hours,
        go_now=late,
        barred_to=people.barred(row.answer.profile) | _hypothetical(space, profile, watched),
        likely=_likely(space, line, one),
    )


PRIOR_NIGHTS = 50.0
"""The rate of `line.toml` counts as much as so many nights at a set: common practice, no source."""


def _likely(space: Workspace, line: LineState, one: SetState) -> float:
    """Give the animals to expect at a set on a day: its catches, drawn towards the line's rate."""
    if one.standing is not SetStanding.WORKING:
        return 0.0
    held = sum(catch.set_name == one.name and catch.at >= (one.made_at or catch.at) for catch in line.catches)
    nights = 0.0 if one.made_at is None else max(0.0, (space.now - one.made_at) / timedelta(days=1))
    return (held + space.settings.time.catches_per_night * PRIOR_NIGHTS) / (nights + PRIOR_NIGHTS)


def _leave_said(space: Workspace, line: LineState, one: SetState) -> list[str]:
    day = leave_ends(line, one)
    if day is None or day > local_day(space.now, space.settings.zone) + timedelta(days=60):
        return []
    if last_instant(space, day) <= space.now:
        return [f"the leave for parcel {one.parcel} ended on {day}: settle that first (tendline lawful)"]
    return [f"the leave for parcel {one.parcel} ends on {day}: the last look by then takes its sets up"]


def _end_of_leave(space: Workspace, line: LineState, one: SetState) -> datetime | None:
    """Give when leave to be on a set's ground ends; None when it does not, or has ended already."""
    day = leave_ends(line, one)
    end = None if day is None else last_instant(space, day)
    return None if end is None or end <= space.now else end


def _hypothetical(space: Workspace, profile: Profile | None, watched: Watched) -> frozenset[str]:
    """Bar a person nobody has named yet from sets that others may not look at, as far as is known."""
    if profile is not None and who_may_check(profile, watched, now=space.now).others_may:
        return frozenset()
    return frozenset({ANOTHER})
