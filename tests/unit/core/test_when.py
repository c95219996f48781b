"""Times as people write them, and local days across clock changes.

Source of the clock changes: the IANA time zone database, by `zoneinfo`; Energy Policy Act of 2005, section
110 (second Sunday in March, first Sunday in November).
"""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from tendline.core.errors import Refused
from tendline.core.when import (
    Span,
    clock_text,
    day_end,
    day_start,
    local_day,
    local_instant,
    parse_day,
    parse_instant,
    rfc3339,
    zone_named,
)

NEW_YORK = zone_named("America/New_York")
NOW = datetime(2027, 1, 15, 11, 0, tzinfo=UTC)  # 06:00 in New York


def test_a_clock_time_alone_is_the_latest_such_time() -> None:
    assert parse_instant("05:40", zone=NEW_YORK, now=NOW) == datetime(2027, 1, 15, 10, 40, tzinfo=UTC)
    assert parse_instant("18:30", zone=NEW_YORK, now=NOW) == datetime(2027, 1, 14, 23, 30, tzinfo=UTC)


def test_an_offset_wins_over_the_zone() -> None:
    assert parse_instant("2027-01-15T05:40+01:00", zone=NEW_YORK, now=NOW) == datetime(
        2027, 1, 15, 4, 40, tzinfo=UTC
    )


def test_a_date_alone_is_its_first_instant() -> None:
    assert parse_instant("2027-01-15", zone=NEW_YORK, now=NOW) == datetime(2027, 1, 15, 5, 0, tzinfo=UTC)


@pytest.mark.parametrize("text", ["yesterday", "25:00", "2027-02-30", "", "5.40", "2027-01-15T"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_instant(text, zone=NEW_YORK, now=NOW)
    assert caught.value.faults[0].code.id == "CORE-201"


def test_a_time_that_the_spring_change_skips_is_refused() -> None:
    with pytest.raises(Refused) as caught:
        local_instant(date(2027, 3, 14), time(2, 30), NEW_YORK)
    assert caught.value.faults[0].code.id == "CORE-203"


def test_a_time_that_comes_twice_in_autumn_is_asked_back() -> None:
    with pytest.raises(Refused) as caught:
        parse_instant("2027-11-07 01:30", zone=NEW_YORK, now=NOW)
    assert caught.value.faults[0].code.id == "CORE-204"
    assert "-04:00" in str(caught.value)
    assert "-05:00" in str(caught.value)


def test_days_of_clock_changes_last_23_and_25_hours() -> None:
    spring, autumn = date(2027, 3, 14), date(2027, 11, 7)
    assert day_end(spring, NEW_YORK) - day_start(spring, NEW_YORK) == timedelta(hours=23)
    assert day_end(autumn, NEW_YORK) - day_start(autumn, NEW_YORK) == timedelta(hours=25)


def test_a_zone_that_is_not_there_is_refused_by_name() -> None:
    with pytest.raises(Refused) as caught:
        zone_named("America/Nowhere", where="line.toml, zone")
    assert caught.value.faults[0].code.id == "CORE-202"
    assert "America/Nowhere" in str(caught.value)


def test_a_date_is_read_strictly() -> None:
    assert parse_day("2027-01-15") == date(2027, 1, 15)
    with pytest.raises(Refused):
        parse_day("15.01.2027")


def test_instants_are_written_with_their_offset() -> None:
    assert rfc3339(NOW, NEW_YORK) == "2027-01-15T06:00:00-05:00"
    assert rfc3339(NOW) == "2027-01-15T11:00:00+00:00"


def test_a_near_instant_is_a_weekday_and_a_far_one_has_its_date() -> None:
    assert clock_text(NOW, NEW_YORK, relative_to=NOW) == "Fri 06:00"
    assert clock_text(NOW, NEW_YORK, relative_to=NOW + timedelta(days=9)) == "Fri 15 Jan 2027 06:00"
    assert local_day(NOW, NEW_YORK) == date(2027, 1, 15)


def test_spans_meet_in_what_they_share() -> None:
    hour = timedelta(hours=1)
    first, second = Span(NOW, NOW + 2 * hour), Span(NOW + hour, NOW + 3 * hour)
    assert first.meet(second) == Span(NOW + hour, NOW + 2 * hour)
    assert first.meet(Span(NOW + 3 * hour, NOW + 4 * hour)) is None
    assert first.holds(NOW)
    assert first.seconds == 7200
    with pytest.raises(ValueError, match="before it starts"):
        Span(NOW, NOW - hour)
