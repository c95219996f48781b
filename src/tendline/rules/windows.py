"""Owns the forms that bar hours: the daily window tied to the sun, and the curfew by the clock.

Does not own the sun (`almanac.sun`) or which look counts (`rules.ask`). Spans are closed and to the second.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import ClassVar
from zoneinfo import ZoneInfo

from tendline.almanac.sun import NoEvent, sun_times, sunrise_and_sunset
from tendline.core.place import LonLat
from tendline.core.when import Span, local_day
from tendline.rules.forms import DAY, SECOND, Clock, Duration, Limit, Where, Window


@dataclass(frozen=True)
class SunWindow(Clock, Window):
    """Once a day inside a window tied to sunrise and sunset.

    Parameters
    ----------
    before_sunrise, after_sunset
        How far the window reaches.
    at, at_name
        The place whose sun counts and its name; None for the set's own.
    """

    before_sunrise: Duration
    after_sunset: Duration
    at: LonLat | None = None
    at_name: str = ""
    key: ClassVar[str] = "sun-window"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        whose = f" at {self.at_name}" if self.at else ""
        return (
            f"once each day from {self.before_sunrise.words} before sunrise "
            f"to {self.after_sunset.words} after sunset{whose}"
        )

    def limit(self, since: datetime, where: Where) -> Limit:
        """Give the end of the window that follows the one last opened before `since`."""
        today = local_day(since, where.zone)
        opened: date | None = None
        for day in (today - DAY, today, today + DAY):
            window = self.window(day, where)
            if window is not None and window.start <= since:
                opened = day
                if window.holds(since):
                    break  # where windows overlap, the earlier one gives the earlier limit
        if opened is None:
            return self._cannot_tell(today, where)
        ahead = self.window(opened + DAY, where)
        return Limit(ahead.end) if ahead is not None else self._cannot_tell(opened + DAY, where)

    def lawful(self, over: Span, where: Where) -> tuple[Span, ...]:
        """Give the windows that reach into `over`, run together where they touch."""
        day, last = local_day(over.start, where.zone) - DAY, local_day(over.end, where.zone) + DAY
        found: list[Span] = []
        while day <= last:
            window = self.window(day, where)
            met = window.meet(over) if window is not None else None
            if met is not None:
                found.append(met)
            day += DAY
        return joined(found)

    def window(self, day: date, where: Where) -> Span | None:
        """Give one day's window to the whole second, or None when the sun does not rise or does not set."""
        sunrise, sunset = sunrise_and_sunset(self.at or where.place, day, where.zone)
        if isinstance(sunrise, NoEvent) or isinstance(sunset, NoEvent):
            return None
        start, end = sunrise - self.before_sunrise.length, sunset + self.after_sunset.length
        return Span((start + SECOND).replace(microsecond=0), end.replace(microsecond=0))

    def _cannot_tell(self, day: date, where: Where) -> Limit:
        why = sun_times(self.at or where.place, day, where.zone).said
        return Limit(None, (f"the daily window cannot be told: {'; '.join(why) or 'no sunrise near by'}",))


@dataclass(frozen=True)
class Curfew(Window):
    """Clock hours in which no set may be tended, across midnight or not. `start` is barred, `end` is not."""

    start: time
    end: time
    key: ClassVar[str] = "curfew"

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return f"no tending from {self.start:%H:%M} to {self.end:%H:%M}"

    def lawful(self, over: Span, where: Where) -> tuple[Span, ...]:
        """Take the barred hours out of `over`; a bound that clocks skip or repeat is read the longer way."""
        left: list[Span] = []
        free_from = over.start
        day, last = local_day(over.start, where.zone) - DAY, local_day(over.end, where.zone)
        while day <= last:
            barred_from = _wall(day, self.start, where.zone)[0]
            barred_to = _wall(day + (DAY if self.end <= self.start else timedelta(0)), self.end, where.zone)[
                1
            ]
            if barred_from > over.end:
                break
            if barred_from - SECOND >= free_from:
                left.append(Span(free_from, barred_from - SECOND))
            free_from = max(free_from, barred_to)
            day += DAY
        if free_from <= over.end:
            left.append(Span(free_from, over.end))
        return tuple(left)


def joined(spans: list[Span]) -> tuple[Span, ...]:
    """Put spans in order and run together those that overlap or leave no whole second between them."""
    out: list[Span] = []
    for span in sorted(spans):
        if out and span.start <= out[-1].end + SECOND:
            out[-1] = Span(out[-1].start, max(out[-1].end, span.end))
        else:
            out.append(span)
    return tuple(out)


def _wall(day: date, clock: time, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Give the earliest and latest instant that a wall clock could mean; one and the same on most days."""
    both = [datetime.combine(day, clock.replace(fold=fold), tzinfo=zone).astimezone(UTC) for fold in (0, 1)]
    return min(both), max(both)
