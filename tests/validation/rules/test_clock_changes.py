"""Calendar forms and curfews across changes of the clocks, against a walk by the minute with another library.

Source: dateutil.tz, which reads the IANA time zone database by itself, tells what a watch on the wall shows.
The walk knows nothing of the forms: it asks minute by minute which day or hour it is.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz  # type: ignore[import-untyped]

from tendline.core.place import LonLat
from tendline.core.when import Span
from tendline.rules.forms import (
    CalendarDay,
    CalendarDays,
    CalendarWeek,
    Clock,
    Daily,
    Duration,
    ElapsedHours,
    FullCalendarDays,
    Where,
)
from tendline.rules.windows import Curfew

HERE = LonLat(-78.0, 41.5)
CHANGES = [
    pytest.param("America/New_York", datetime(2027, 3, 14, 7, tzinfo=UTC), id="spring, Eastern"),
    pytest.param("America/New_York", datetime(2026, 11, 1, 6, tzinfo=UTC), id="autumn, Eastern"),
    pytest.param("America/Denver", datetime(2027, 3, 14, 9, tzinfo=UTC), id="spring, Mountain"),
    pytest.param("America/Chicago", datetime(2026, 11, 1, 7, tzinfo=UTC), id="autumn, Central"),
    pytest.param(
        "Australia/Lord_Howe", datetime(2027, 4, 3, 15, tzinfo=UTC), id="half an hour, southern autumn"
    ),
    pytest.param(
        "America/Havana", datetime(2027, 3, 14, 5, tzinfo=UTC), id="spring, midnight itself skipped"
    ),
    pytest.param("America/Regina", datetime(2027, 3, 14, 7, tzinfo=UTC), id="no change at all"),
]
FORMS = [
    pytest.param(CalendarDay(), 1, id="each calendar day"),
    pytest.param(FullCalendarDays(2), 2, id="second full calendar day"),
    pytest.param(FullCalendarDays(3), 3, id="third full calendar day"),
    pytest.param(CalendarDays(3), 3, id="once per three"),
    pytest.param(CalendarDays(3, look_day_counts=True), 2, id="every third, the look's day first"),
]


def _wall(instant: datetime, zone: str) -> datetime:
    local: datetime = instant.astimezone(tz.gettz(zone))
    return local


def _last_minute_of_day(since: datetime, days: int, zone: str) -> datetime:
    """Walk to the last minute of the day `days` after that of `since`: by half hours, then by minutes."""
    last_day = _wall(since, zone).date() + timedelta(days=days)
    minute = since
    for step in (timedelta(minutes=30), timedelta(minutes=1)):
        while _wall(minute + step, zone).date() <= last_day:
            minute += step
    return minute


def test_the_other_library_does_see_the_changes() -> None:
    """New York: 23 hours from noon to noon in spring, 25 in autumn."""
    local = tz.gettz("America/New_York")

    def noon(month: int, day: int, year: int) -> datetime:
        return datetime(year, month, day, 12, tzinfo=local).astimezone(UTC)

    assert timedelta(hours=23) == noon(3, 14, 2027) - noon(3, 13, 2027)
    assert timedelta(hours=25) == noon(11, 1, 2026) - noon(10, 31, 2026)


@pytest.mark.parametrize(("zone", "change"), CHANGES)
@pytest.mark.parametrize(("form", "days"), FORMS)
def test_a_calendar_limit_ends_with_the_right_day(
    form: Clock, days: int, zone: str, change: datetime
) -> None:
    where = Where(ZoneInfo(zone), HERE)
    for hours in (-60, -37, -13, -1, 0, 1, 11):
        since = change + timedelta(hours=hours)
        expected = _last_minute_of_day(since, days, zone) + timedelta(seconds=59)
        assert expected == form.limit(since, where).at, since


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_a_week_ends_on_its_sunday(zone: str, change: datetime) -> None:
    for hours in (-200, -60, -13, 0, 13):
        since = change + timedelta(hours=hours)
        days = 13 - _wall(since, zone).weekday()  # Sunday of the week after
        expected = _last_minute_of_day(since, days, zone) + timedelta(seconds=59)
        assert expected == CalendarWeek("monday").limit(since, Where(ZoneInfo(zone), HERE)).at


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_elapsed_hours_do_not_care_about_clocks(zone: str, change: datetime) -> None:
    since = change - timedelta(hours=5)
    hours = ElapsedHours(Duration("36 h", timedelta(hours=36)))
    assert since + timedelta(seconds=36 * 3600) == hours.limit(since, Where(ZoneInfo(zone), HERE)).at


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_daily_read_cautiously_is_the_earlier_of_the_day_and_the_hours(zone: str, change: datetime) -> None:
    for minutes in range(-2000, 2000, 97):
        since = (change + timedelta(minutes=minutes)).replace(second=0)
        by_day = _last_minute_of_day(since, 1, zone) + timedelta(seconds=59)
        by_hours = since + timedelta(hours=24)
        assert min(by_day, by_hours) == Daily().limit(since, Where(ZoneInfo(zone), HERE)).at


@pytest.mark.parametrize(("zone", "change"), CHANGES)
def test_a_curfew_bars_the_minutes_the_wall_clock_says(zone: str, change: datetime) -> None:
    """Minn. Stat. 97B.931: none from 10 p.m. to 5 a.m.; a minute is barred when it begins inside."""
    curfew = Curfew(time(22), time(5))
    over = Span(change - timedelta(hours=40), change + timedelta(hours=40))
    spans = curfew.lawful(over, Where(ZoneInfo(zone), HERE))
    minute, compared = over.start, 0
    while minute <= over.end:
        barred = not 5 <= _wall(minute, zone).hour < 22
        assert barred == (not any(span.holds(minute) for span in spans)), minute
        minute, compared = minute + timedelta(minutes=1), compared + 1
    assert compared == 80 * 60 + 1


def test_a_curfew_bound_that_the_clocks_skip_or_repeat_is_read_the_longer_way() -> None:
    """02:30 does not exist on 14 March 2027 and 01:30 comes twice on 1 November 2026, in New York."""
    where = Where(ZoneInfo("America/New_York"), HERE)
    spring = Curfew(time(22), time(2, 30))
    autumn = Curfew(time(22), time(1, 30))
    night = Span(datetime(2027, 3, 14, 5, tzinfo=UTC), datetime(2027, 3, 14, 12, tzinfo=UTC))
    fall = Span(datetime(2026, 11, 1, 4, tzinfo=UTC), datetime(2026, 11, 1, 12, tzinfo=UTC))

    assert spring.lawful(night, where)[0].start == datetime(
        2027, 3, 14, 7, 30, tzinfo=UTC
    )  # 03:30 summer time
    assert autumn.lawful(fall, where)[0].start == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)  # the second 01:30


def test_the_dates_of_the_changes_are_those_of_the_database() -> None:
    """The second Sunday of March and the first of November (Energy Policy Act of 2005, section 110)."""
    assert date(2027, 3, 14).weekday() == date(2026, 11, 1).weekday() == 6
