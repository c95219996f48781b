"""Owns reading which outing is meant: when it starts, when it must be over, and which one comes after it.

Does not own what is visited on it (`round_problem`).
"""

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from tendline.core.errors import refuse
from tendline.core.line import LineState
from tendline.core.when import Span, local_day, local_instant, parse_day, parse_instant
from tendline.jobs.faults import NO_ROUND, WORD
from tendline.jobs.workspace import Workspace


@dataclass(frozen=True)
class Outing:
    """One stretch of time for going round.

    Parameters
    ----------
    span
        Earliest start, latest return.
    following
        The next stretch after it; None never, the same hours of the next day are taken when nobody said.
    who
        Who goes.
    assumed
        What was assumed about it, in words.
    """

    span: Span
    following: Span
    who: str
    assumed: tuple[str, ...] = ()


def read_outing(
    space: Workspace, line: LineState, *, start: str | None, back: str | None, on: str | None, who: str
) -> Outing:
    """Find the outing: from the hours given, or from what is on record about who can go when.

    Parameters
    ----------
    space, line
        The opened line and how it stands.
    start, back
        As written: a clock time (the next such time), or a date and time.
    on
        The day of clock times, as written.
    who
        Who goes; the handler when left out.

    Raises
    ------
    Refused
        JOB-401 when nothing says when; JOB-301, CORE-2xx when it cannot be read.
    """
    who = who or space.settings.handler
    spans = sorted(a.span for a in line.available if a.vehicle and (not who or a.who == who))
    if start is None and back is None:
        return _from_record(space, spans, who)
    if start is None or back is None:
        raise refuse(WORD, "an outing needs a start and a latest return.", "--start and --back", "Give both.")
    begin = _next(space, start, on, after=space.now, where="--start")
    end = _next(space, back, on, after=begin, where="--back")
    if not begin < end:
        raise refuse(WORD, f"{back} is not after {start}.", "--back", "Give a latest return after the start.")
    return _with_following(space, Span(begin, end), spans, who)


def _from_record(space: Workspace, spans: list[Span], who: str) -> Outing:
    ahead = [span for span in spans if span.end > space.now]
    if not ahead:
        raise refuse(
            NO_ROUND,
            f"nothing on record says when {who or 'anybody'} can go.",
            "",
            "Give --start 05:00 --back 08:00; or note available for the days ahead.",
        )
    first = ahead[0]
    return _with_following(space, Span(max(first.start, space.now), first.end), spans, who)


def _with_following(space: Workspace, span: Span, spans: list[Span], who: str) -> Outing:
    later = [s for s in spans if s.start >= span.end]
    if later:
        return Outing(span, later[0], who)
    # "The same hours" are local hours: across a clock change they are not 24 hours later.
    following = Span(_day_later(space, span.start), _day_later(space, span.end))
    return Outing(span, following, who, ("the next outing is taken to be at the same hours a day later",))


def _day_later(space: Workspace, instant: datetime) -> datetime:
    local = instant.astimezone(space.settings.zone)
    return (local + timedelta(days=1)).astimezone(instant.tzinfo)


def _next(space: Workspace, text: str, on: str | None, *, after: datetime, where: str) -> datetime:
    """Read ``now``, a clock time as the next such time after an instant, anything else as it stands."""
    zone = space.settings.zone
    if text.strip().lower() == "now":
        return space.now
    try:
        clock = time.fromisoformat(text.strip().zfill(5)) if len(text.strip()) <= 5 else None
    except ValueError:
        clock = None
    if clock is None:
        return parse_instant(text, zone=zone, now=space.now, where=where)
    if on is not None:
        first = local_instant(parse_day(on, where="--on"), clock, zone, where=where)
        return first if first >= after or where == "--start" else first + timedelta(days=1)
    today = local_instant(local_day(after, zone), clock, zone, where=where)
    if today > after:
        return today
    return local_instant(local_day(after, zone) + timedelta(days=1), clock, zone, where=where)
