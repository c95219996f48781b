"""Owns when people can go in the days ahead: windows of every day, as written, or the hours on record.

Does not own who may go (`weeks_people`).
"""

from collections.abc import Sequence
from datetime import date, time, timedelta

from tendline.core.errors import FaultList, refuse
from tendline.core.line import LineState
from tendline.core.when import Span, day_start, local_day, local_instant, parse_instant
from tendline.jobs.faults import WORD
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_nouns import WeekOuting

MORE = ("11:00-13:30", "16:00-18:30", "05:00-07:30")
"""Windows that could be added when there is no plan: about noon, before the evening, before work."""


def days_of(span: Span, space: Workspace) -> list[date]:
    """Give the local days of a span."""
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
            asked = [window_of(space, day, text, name, span) for day in days_of(span, space)]
            found += [one for one in asked if one is not None]
    if not given:
        for free in line.available:
            common = free.span.meet(Span(span.start, span.end))
            if free.vehicle and common is not None and common.seconds > 0:
                found.append(WeekOuting(free.who, common))
    return tuple(sorted(found, key=lambda one: (one.span.start, one.who)))


def window_of(space: Workspace, day: date, text: str, who: str, span: Span) -> WeekOuting | None:
    """Give one window of one day; None when it is past."""
    start, end = clocks_of(text)
    zone, where = space.settings.zone, f"window {text}"
    begin, back = local_instant(day, start, zone, where=where), local_instant(day, end, zone, where=where)
    begin = max(begin, span.start)
    return WeekOuting(who, Span(begin, back)) if begin < back else None


def clocks_of(text: str) -> tuple[time, time]:
    """Read ``05:00-08:00``.

    Raises
    ------
    Refused
        JOB-301.
    """
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


def left_over(
    space: Workspace, windows: Sequence[WeekOuting], apart: Sequence[str], also: Sequence[str] = ()
) -> tuple[WeekOuting, ...]:
    """Take away the windows that fall away, and put in those that are tried.

    Parameters
    ----------
    space
        For the zone and the present.
    windows
        All there are.
    apart
        Each by when it begins, as written (``2027-01-16T05:00``), and whose it is, behind a space; anybody's
        when nobody is named.
    also
        Each as ``2027-01-16T05:30/2027-01-16T08:00 WHO``, for somebody who has windows already.

    Raises
    ------
    Refused
        JOB-301 for one that is none, and when none is left; CORE-201.
    """
    faults, gone = FaultList(), set[WeekOuting]()
    for text in apart:
        when, _, who = text.partition(" ")
        start = parse_instant(when, zone=space.settings.zone, now=space.now, where="--not")
        met = {one for one in windows if one.span.start == start and who in ("", one.who)}
        if not met:
            faults.add(
                WORD, f"no window begins at '{text}'.", "--not", "Write when it begins, and whose it is."
            )
        gone |= met
    left = [one for one in windows if one not in gone]
    people = tuple(dict.fromkeys(one.who for one in windows))
    left += [one for text in also if (one := _tried(space, text, people, faults)) is not None]
    faults.refuse()
    if not left:
        raise refuse(WORD, "no window is left.", "--not", "Leave fewer out.")
    return tuple(sorted(left, key=lambda one: (one.span.start, one.who)))


def _tried(space: Workspace, text: str, people: Sequence[str], faults: FaultList) -> WeekOuting | None:
    """Read one window that is tried; what is already past of it is left out."""
    when, _, who = text.partition(" ")
    who = who or people[0]
    if who not in people or when.count("/") != 1:
        write = f"Write it as 2027-01-16T05:30/2027-01-16T08:00 WHO; WHO is one of {', '.join(people)}."
        faults.add(WORD, f"'{text}' is no window of anybody who goes.", "--also", write)
        return None
    zone, now = space.settings.zone, space.now
    start, end = (parse_instant(one, zone=zone, now=now, where="--also") for one in when.split("/"))
    if end <= max(start, now):
        faults.add(WORD, f"'{text}' ends before it starts, or is past.", "--also", "Write a later end.")
        return None
    return WeekOuting(who, Span(max(start, now), end))
