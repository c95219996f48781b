"""Owns what the days ahead are planned from: sets with their clocks under the law, and windows of people.

Does not own the plan (`plan.weeks`), nor the ways between places (`round_ground`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache

from tendline.core.errors import refuse
from tendline.core.line import LineState, SetState
from tendline.core.when import Span, day_end, day_start, local_day, local_instant
from tendline.jobs.faults import NO_ROUND, WORD
from tendline.jobs.workspace import Workspace
from tendline.plan.due import DueRow, due_board, watched_set
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet
from tendline.rules.answer import Seen, Verdict, Watched
from tendline.rules.ask import due, lawful_windows, who_may_check
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
    outings = windows_of(space, line, span, [mornings, evenings], names)
    if not outings:
        raise refuse(
            NO_ROUND,
            "nothing says when anybody can go in these days.",
            "",
            "Give --mornings 05:00-08:00 or --evenings 16:00-18:00; or note available for the days ahead.",
        )
    people = sorted({one.who for one in outings} | {ANOTHER})
    sets, said = sets_ahead(space, line, profiles=profiles, people=people, own=own)
    sets, late = _before_anybody(sets, outings)
    noon = [_window(space, day, "11:00-13:30", names[0], span) for day in _days(span, space)]
    windows = tuple(one for one in noon if one is not None)
    others = tuple(WeekOuting(ANOTHER, one.span) for one in outings if one.who == names[0])
    return Ahead(span, sets, outings, windows, others, (*said, *late))


def _before_anybody(
    sets: Sequence[WeekSet], outings: Sequence[WeekOuting]
) -> tuple[tuple[WeekSet, ...], tuple[str, ...]]:
    """Plan sets first whose limit passes before the first window: no plan can keep it, and that is said."""
    first = min(one.span.start for one in outings)
    late = [one.name for one in sets if one.due is not None and one.due < first]
    made = tuple(replace(one, due=None, go_now=True) if one.name in late else one for one in sets)
    said = [f"the limit of {', '.join(late)} passes before the first window: go before"] if late else []
    return made, tuple(said)


def _days(span: Span, space: Workspace) -> list[date]:
    day, found = local_day(span.start, space.settings.zone), list[date]()
    while day_start(day, space.settings.zone) < span.end:
        found.append(day)
        day += timedelta(days=1)
    return found


def windows_of(
    space: Workspace, line: LineState, span: Span, windows: Sequence[str], who: Sequence[str]
) -> tuple[WeekOuting, ...]:
    """Give every window in a span: those written, for everybody named; without any, those on record.

    Parameters
    ----------
    windows
        Of every day, as written; empty ones are left out.
    who
        Who goes in these.
    """
    given = [text for text in windows if text]
    found: list[WeekOuting] = []
    for text in given:
        for name in who:
            asked = [_window(space, day, text, name, span) for day in _days(span, space)]
            found += [one for one in asked if one is not None]
    if not given:
        for free in line.available:
            common = free.span.meet(Span(span.start, span.end))
            if free.vehicle and common is not None and common.seconds > 0:
                found.append(WeekOuting(free.who, common))
    return tuple(sorted(found, key=lambda one: (one.span.start, one.who)))


def _window(space: Workspace, day: date, text: str, who: str, span: Span) -> WeekOuting | None:
    """Give one window of one day; None when it is past."""
    start, end = _clocks(text)
    zone, where = space.settings.zone, f"window {text}"
    begin, back = local_instant(day, start, zone, where=where), local_instant(day, end, zone, where=where)
    begin = max(begin, span.start)
    return WeekOuting(who, Span(begin, back)) if begin < back else None


def _clocks(text: str) -> tuple[time, time]:
    try:
        start, end = (time.fromisoformat(part.strip().zfill(5)) for part in text.split("-"))
    except ValueError:
        raise refuse(
            WORD, f"'{text}' is not a window.", "--mornings, --evenings", "Write it as 05:00-08:00."
        ) from None
    if end <= start:
        raise refuse(
            WORD,
            f"the window '{text}' ends before it starts.",
            "--mornings, --evenings",
            "Give it within one day.",
        )
    return start, end


def sets_ahead(
    space: Workspace,
    line: LineState,
    *,
    profiles: Mapping[str, Profile],
    people: Sequence[str],
    own: str = "shown",
) -> tuple[tuple[WeekSet, ...], tuple[str, ...]]:
    """Give every set in the field whose clock runs, with its clock, and what must be said of them.

    Parameters
    ----------
    people
        Of whom is asked whether they may look.
    own
        See `ahead`.
    """
    rows = due_board(line, profiles=profiles, settings=space.settings, now=space.now)
    by_name = {row.set_name: row for row in rows}
    found: list[WeekSet] = []
    unknown: list[str] = []
    barred: set[str] = set()
    clocks: dict[str, WeekClock] = {}
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
    if not found:
        raise refuse(NO_ROUND, "no set in the field has a clock that runs.", "", "tendline due shows them.")
    said = []
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
    people: Sequence[str],
    own: str,
    clocks: dict[str, WeekClock],
) -> WeekSet:
    costs, answer = space.settings.time, row.answer
    watched = watched_set(one, line, settings=space.settings)
    clock = _clock(space, watched, profile, own, answer.words)
    clock = clocks.setdefault(clock.key, clock)
    late = answer.verdict in (Verdict.OVERDUE, Verdict.PROHIBITED) or answer.go_now or answer.due_at is None
    limit = answer.due_at
    if own == "also" and limit is not None and row.own_due is not None:
        limit = min(limit, max(row.own_due, space.now + timedelta(seconds=1)))
    return WeekSet(
        name=one.name,
        service_s=costs.look_s + costs.fix_share * costs.fix_s,
        clock=clock,
        last_look=one.last_seen,
        due=None if late else limit,
        lawful=_lawful(profile, watched),
        go_now=late,
        barred_to=_barred(profile, watched, space, people),
    )


def _clock(space: Workspace, watched: Watched, profile: Profile | None, own: str, words: str) -> WeekClock:
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


def _lawful(profile: Profile | None, watched: Watched) -> Callable[[Span], tuple[Span, ...]]:
    if profile is None:
        return lambda span: (span,)

    @cache
    def hours(span: Span) -> tuple[Span, ...]:
        return lawful_windows(profile, watched, span, now=span.start.astimezone(UTC), late=True)

    return hours


def _barred(
    profile: Profile | None, watched: Watched, space: Workspace, people: Sequence[str]
) -> frozenset[str]:
    """Name the people of whom it is not known that they may look: unknown is never allowed."""
    others = frozenset(
        name for name in people if name and name != (space.settings.handler or watched.handler)
    )
    if not others or (profile is not None and who_may_check(profile, watched, now=space.now).others_may):
        return frozenset()
    return others
