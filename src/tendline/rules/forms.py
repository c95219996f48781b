"""Owns the forms a check rule can take, each with its own arithmetic: the last second that is in time.

Does not own the hours in which a look may be made (`rules.windows`), nor which rule applies to a set or which
look counts (`rules.ask`). Limits are inclusive and to the second: "before midnight" gives 23:59:59.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import ClassVar
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.core.when import Span, day_end, local_day

SECOND = timedelta(seconds=1)
DAY = timedelta(days=1)
_CAUTIOUS_DAILY = (
    "'daily' is not defined in the text seen; read cautiously as each calendar day and no gap over 24 h"
)


class DailyReading(StrEnum):
    """How a law that says "daily" without saying what that means is read."""

    BOTH = "both"
    CALENDAR_DAY = "calendar-day"
    HOURS_24 = "24-hours"


@dataclass(frozen=True)
class Where:
    """What a form needs to know of the set.

    Parameters
    ----------
    zone
        The clock that the law goes by.
    place
        Where the set stands, for the sun.
    daily
        How an undefined "daily" is read; the cautious reading is both.
    """

    zone: ZoneInfo
    place: LonLat
    daily: DailyReading = DailyReading.BOTH


@dataclass(frozen=True)
class Limit:
    """The last second in which the next look is in time, None when it cannot be told; and what to say."""

    at: datetime | None
    said: tuple[str, ...] = ()


@dataclass(frozen=True)
class Duration:
    """A length of time as the law writes it: ``36 h``, ``90 min``."""

    text: str
    length: timedelta

    @property
    def words(self) -> str:
        """``36 hours``, ``90 minutes``, ``1 hour``."""
        number, unit = self.text.split()
        name = {"h": "hour", "min": "minute"}[unit]
        return f"{number} {name}" if number == "1" else f"{number} {name}s"


class Form(ABC):
    """One form of check rule."""

    key: ClassVar[str]

    @property
    @abstractmethod
    def words(self) -> str:
        """The rule in a few words."""


class Clock(Form):
    """A form that says by when the next look must be made, counted from the last."""

    @abstractmethod
    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the last second in which the look after the one at `since` is in time."""


class Window(Form):
    """A form that says in which hours a look may be made."""

    @abstractmethod
    def lawful(self, over: Span, where: Where) -> tuple[Span, ...]:
        """Give the stretches of `over` in which a look may be made, in order."""


@dataclass(frozen=True)
class ElapsedHours(Clock):
    """So many hours since the set was made or last looked at, whatever the clocks on the wall do."""

    hours: Duration
    key: ClassVar[str] = "elapsed-hours"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return f"every {self.hours.words}"

    def limit(self, since: datetime, where: Where) -> Limit:  # noqa: ARG002  a stopwatch needs no place
        """Count true hours."""
        return Limit(since + self.hours.length)


@dataclass(frozen=True)
class CalendarDay(Clock):
    """At least once in each calendar day."""

    key: ClassVar[str] = "calendar-day"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return "at least once in each calendar day"

    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the end of the day after."""
        return Limit(end_of_day(since, 1, where.zone))


@dataclass(frozen=True)
class Daily(Clock):
    """The law says "daily" or "once each day" and, as far as it was read, not what that means."""

    key: ClassVar[str] = "daily"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return "daily (not defined in the text seen)"

    def limit(self, since: datetime, where: Where) -> Limit:
        """Take the earlier of the two readings, unless the person says which one holds."""
        hours, day = since + DAY, end_of_day(since, 1, where.zone)
        if where.daily is DailyReading.HOURS_24:
            return Limit(hours, ("'daily' is read as no gap over 24 h, by your own answer",))
        if where.daily is DailyReading.CALENDAR_DAY:
            return Limit(day, ("'daily' is read as once in each calendar day, by your own answer",))
        return Limit(min(hours, day), (_CAUTIOUS_DAILY,))


@dataclass(frozen=True)
class FullCalendarDays(Clock):
    """Before midnight of the Nth full calendar day; the day of the set or the look is not a full day."""

    days: int
    key: ClassVar[str] = "full-calendar-days"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return f"before midnight of the {_ordinal(self.days)} full calendar day after set or last look"

    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the end of the Nth day after."""
        return Limit(end_of_day(since, self.days, where.zone))


@dataclass(frozen=True)
class CalendarDays(Clock):
    """Once per N calendar days.

    Parameters
    ----------
    days
        N.
    look_day_counts
        The day of the look is the first of the N, so that the next look falls due a day earlier.
    """

    days: int
    look_day_counts: bool = False
    key: ClassVar[str] = "calendar-days"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        tail = ", the day of the look being the first" if self.look_day_counts else ""
        return f"once every {self.days} calendar days{tail}"

    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the end of the last of the N days."""
        return Limit(end_of_day(since, self.days - (1 if self.look_day_counts else 0), where.zone))


WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@dataclass(frozen=True)
class CalendarWeek(Clock):
    """Once in each fixed week, which begins on the same weekday always."""

    begins: str = "monday"
    key: ClassVar[str] = "calendar-week"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        last = WEEKDAYS[WEEKDAYS.index(self.begins) - 1]
        return f"once in each week, {self.begins.title()} through {last.title()}"

    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the end of the week after; the gap can come near a fortnight."""
        into_week = (local_day(since, where.zone).weekday() - WEEKDAYS.index(self.begins)) % 7
        return Limit(end_of_day(since, 13 - into_week, where.zone))


@dataclass(frozen=True)
class RemoteSystem(Form):
    """A monitoring system may stand in for visits, with clocks of its own; they are run in `rules.ask`.

    Parameters
    ----------
    report_every
        How often it must report.
    alert_within
        How soon it must tell of a closure or a fault.
    visit_after_alert
        A visit is due this long after it tells of a closure or an animal.
    visit_after_contact
        After a missed report or a fault, a visit is due this long after the last good contact.
    in_place_of
        Ids of the check rules it stands in for.
    """

    report_every: Duration
    alert_within: Duration
    visit_after_alert: Duration
    visit_after_contact: Duration
    in_place_of: tuple[str, ...]
    key: ClassVar[str] = "remote"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return (
            f"remote monitoring in place of a visit; visit within {self.visit_after_alert.words} "
            f"of an alert, or within {self.visit_after_contact.words} of the last good contact"
        )


@dataclass(frozen=True)
class Advice(Form):
    """Words of advice without a number."""

    says: str
    key: ClassVar[str] = "advice"

    @property
    def words(self) -> str:
        """The advice."""
        return self.says


@dataclass(frozen=True)
class NoInterval(Form):
    """The law was read, and sets no interval."""

    key: ClassVar[str] = "no-interval"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return "the law sets no interval"


@dataclass(frozen=True)
class NotKnown(Form):
    """The interval was looked for and not found."""

    key: ClassVar[str] = "not-known"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return "the interval was looked for and not found"


def end_of_day(since: datetime, days: int, zone: ZoneInfo) -> datetime:
    """Give the last second of the calendar day `days` after that of `since`."""
    return day_end(local_day(since, zone) + timedelta(days=days), zone) - SECOND


def _ordinal(number: int) -> str:
    tail = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{tail}"
