"""Which outing is meant, from what a person writes or from what is on record."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendline.core.errors import Refused
from tendline.core.line import Availability, LineState
from tendline.core.settings import Settings
from tendline.core.when import Span
from tendline.jobs.outing import read_outing
from tendline.jobs.workspace import Workspace

NEW_YORK = ZoneInfo("America/New_York")
EVENING = datetime(2027, 1, 15, 1, 30, tzinfo=UTC)  # Thursday 14 January, 20:30 in New York


def space(now: datetime = EVENING) -> Workspace:
    return Workspace(Path("nowhere"), Settings("test", NEW_YORK, handler="Ann"), now)


def line(*available: Availability, now: datetime = EVENING) -> LineState:
    return LineState(now, {}, {}, {}, {}, {}, available=available)


def local(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 1, day, hour, minute, tzinfo=NEW_YORK).astimezone(UTC)


def test_clock_times_are_the_next_such_times() -> None:
    found = read_outing(space(), line(), start="05:00", back="08:00", on=None, who="")
    assert found.span == Span(local(15, 5), local(15, 8))
    assert found.following == Span(local(16, 5), local(16, 8))
    assert found.who == "Ann"
    assert found.assumed


def test_an_outing_over_midnight_ends_on_the_next_day() -> None:
    found = read_outing(space(), line(), start="21:00", back="01:00", on=None, who="")
    assert found.span == Span(local(14, 21), local(15, 1))


def test_a_round_under_way_can_be_planned_again_from_now() -> None:
    found = read_outing(space(local(15, 6, 40)), line(), start="now", back="08:00", on=None, who="")
    assert found.span == Span(local(15, 6, 40), local(15, 8))


def test_a_day_can_be_named() -> None:
    found = read_outing(space(), line(), start="5:00", back="8:00", on="2027-01-20", who="")
    assert found.span == Span(local(20, 5), local(20, 8))


def test_what_is_on_record_is_taken_when_no_hours_are_given() -> None:
    known = (
        Availability("Ann", Span(local(15, 5), local(15, 7, 30))),
        Availability("Ben", Span(local(15, 4), local(15, 7))),
        Availability("Ann", Span(local(15, 16), local(15, 18))),
    )
    found = read_outing(space(), line(*known), start=None, back=None, on=None, who="")
    assert found.span == known[0].span
    assert found.following == known[2].span
    assert read_outing(space(), line(*known), start=None, back=None, on=None, who="Ben").span == known[1].span


def test_an_outing_under_way_starts_now() -> None:
    now = local(15, 6)
    known = Availability("Ann", Span(local(15, 5), local(15, 7, 30)))
    found = read_outing(space(now), line(known, now=now), start=None, back=None, on=None, who="")
    assert found.span == Span(now, known.span.end)


def test_the_same_hours_a_day_later_are_local_hours_over_a_clock_change() -> None:
    # Second Sunday in March 2027 is the 14th: 05:00 on the 13th to 05:00 on the 14th are 23 hours.
    now = datetime(2027, 3, 12, 12, tzinfo=NEW_YORK).astimezone(UTC)
    found = read_outing(space(now), line(now=now), start="05:00", back="08:00", on="2027-03-13", who="")
    assert found.following.start - found.span.start == timedelta(hours=23)


@pytest.mark.parametrize(
    ("start", "back", "code"),
    [
        (None, None, "JOB-401"),
        ("05:00", None, "JOB-301"),
        ("2027-01-16 05:00", "2027-01-15 08:00", "JOB-301"),
    ],
)
def test_what_is_no_outing_is_refused(start: str | None, back: str | None, code: str) -> None:
    with pytest.raises(Refused) as caught:
        read_outing(space(), line(), start=start, back=back, on=None, who="")
    assert caught.value.faults[0].code.id == code
