"""Owns instants, local days and spans of time, and how people write them.

Does not own a clock: the present is always handed in. Inside tendline an instant is an aware UTC datetime.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from tendline.core.errors import refuse
from tendline.core.faults import TIME, TIME_SKIPPED, TIME_TWICE, ZONE

_CLOCK = re.compile(r"^(?P<h>\d{1,2}):(?P<m>\d{2})$")


@dataclass(frozen=True, order=True)
class Span:
    """A stretch of time from `start` up to and including `end`, both aware UTC, `start` <= `end`."""

    start: datetime
    end: datetime

    def __post_init__(self) -> None:
        """Refuse a span that ends before it starts."""
        if self.end < self.start:
            raise ValueError("a span cannot end before it starts")

    def holds(self, instant: datetime) -> bool:
        """Say whether `instant` lies in the span, its ends included."""
        return self.start <= instant <= self.end

    def meet(self, other: "Span") -> "Span | None":
        """Give the stretch common to both, or None when they share no instant."""
        start, end = max(self.start, other.start), min(self.end, other.end)
        return Span(start, end) if start <= end else None

    @property
    def seconds(self) -> float:
        """Length of the span [s]."""
        return (self.end - self.start).total_seconds()


def zone_named(name: str, *, where: str = "") -> ZoneInfo:
    """Find a time zone by its IANA name.

    Raises
    ------
    Refused
        CORE-202 when there is none by that name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise refuse(
            ZONE,
            f"there is no time zone '{name}'.",
            where,
            "Use an IANA name such as America/New_York, America/Chicago or Europe/Berlin.",
        ) from None


def local_instant(day: date, clock: time, zone: ZoneInfo, *, where: str = "") -> datetime:
    """Turn a local date and clock time into an instant, refusing the times that clock changes skip or repeat.

    Parameters
    ----------
    day, clock
        As a watch on the wall shows them in `zone`.
    zone
        The local zone.

    Returns
    -------
    datetime
        Aware UTC datetime.

    Raises
    ------
    Refused
        CORE-203 for a time that does not exist that day, CORE-204 for one that comes twice.
    """
    early = datetime.combine(day, clock, tzinfo=zone)
    late = early.replace(fold=1)
    if early.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != early.replace(tzinfo=None):
        raise refuse(
            TIME_SKIPPED,
            f"{day} {clock:%H:%M} does not exist in {zone.key}: the clocks go forward over it.",
            where,
            "Write the time with its offset, such as 2027-03-14T03:30-04:00.",
        )
    if early.utcoffset() != late.utcoffset():
        raise refuse(
            TIME_TWICE,
            f"{day} {clock:%H:%M} comes twice in {zone.key}: the clocks go back that night.",
            where,
            f"Say which: {early.isoformat(timespec='minutes')} or {late.isoformat(timespec='minutes')}.",
        )
    return early.astimezone(UTC)


def day_start(day: date, zone: ZoneInfo) -> datetime:
    """Give the first instant of a local calendar day, in UTC, also where midnight itself is skipped."""
    return datetime.combine(day, time(0), tzinfo=zone).astimezone(UTC)


def day_end(day: date, zone: ZoneInfo) -> datetime:
    """Give the instant at which a local calendar day is over: the first one of the next day, in UTC."""
    return day_start(day + timedelta(days=1), zone)


def local_day(instant: datetime, zone: ZoneInfo) -> date:
    """Give the calendar day that `zone` shows at `instant`."""
    return instant.astimezone(zone).date()


def parse_instant(text: str, *, zone: ZoneInfo, now: datetime, where: str = "") -> datetime:
    """Read a time as a person writes it.

    Parameters
    ----------
    text
        RFC 3339 (``2026-01-15T05:40-05:00``), a local date and time (``2026-01-15 05:40``), a local date
        (its first instant), or a clock time alone (``05:40``: the latest such time that is not after `now`).
    zone
        The zone of a time without an offset.
    now
        The present, for a clock time alone.

    Returns
    -------
    datetime
        Aware UTC datetime.

    Raises
    ------
    Refused
        CORE-201 when it cannot be read; CORE-203 and CORE-204 as in `local_instant`.
    """
    text = text.strip()
    clock = _CLOCK.match(text)
    try:
        if clock:
            wanted = time(int(clock["h"]), int(clock["m"]))
            today = local_instant(local_day(now, zone), wanted, zone, where=where)
            if today <= now:
                return today
            return local_instant(local_day(now, zone) - timedelta(days=1), wanted, zone, where=where)
        if len(text) == 10:
            return day_start(date.fromisoformat(text), zone)
        stamp = datetime.fromisoformat(text)
    except ValueError:
        raise refuse(
            TIME,
            f"'{text}' is not a time.",
            where,
            "Write 2026-01-15T05:40-05:00, 2026-01-15 05:40, or 05:40 for the latest such time.",
        ) from None
    if stamp.tzinfo is not None:
        return stamp.astimezone(UTC)
    return local_instant(stamp.date(), stamp.time(), zone, where=where)


def parse_day(text: str, *, where: str = "") -> date:
    """Read a date as ``2026-01-15``.

    Raises
    ------
    Refused
        CORE-201 when it cannot be read.
    """
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise refuse(TIME, f"'{text}' is not a date.", where, "Write it as 2026-01-15.") from None


def rfc3339(instant: datetime, zone: ZoneInfo | None = None) -> str:
    """Write an instant with its offset, to the second: local to `zone`, or UTC."""
    local = instant.astimezone(zone if zone is not None else UTC)
    return local.isoformat(timespec="seconds")


def clock_text(instant: datetime, zone: ZoneInfo, *, relative_to: datetime | None = None) -> str:
    """Write an instant for a person: ``Thu 05:10``, with the date when over six days from `relative_to`."""
    local = instant.astimezone(zone)
    if relative_to is not None and abs(instant - relative_to) <= timedelta(days=6):
        return f"{local:%a %H:%M}"
    return f"{local:%a %d %b %Y %H:%M}" if relative_to is not None else f"{local:%a %d %b %H:%M}"
