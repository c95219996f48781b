from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from tendline.report.say import clock, count, day_and_clock, limit_words, long_day, plain, stretch

ZONE = ZoneInfo("America/New_York")
DAY = date(2026, 1, 15)


def test_control_and_direction_characters_never_reach_the_reader() -> None:
    # ESC [ 2 J clears a terminal (ECMA-48, 8.3.39); U+202E turns what follows (Unicode Annex 9).
    assert plain("mill\x1b[2J \u202eback\u202c\nroad") == "mill [2J back road"


def test_invisible_breaks_are_dropped_without_splitting_the_word() -> None:
    assert plain("mill\u200blane\ufeff") == "milllane"


def test_joiners_that_words_are_spelled_with_are_kept() -> None:
    assert plain("می\u200cروم") == "می\u200cروم"


def test_a_lone_surrogate_becomes_a_space() -> None:
    assert plain("a\ud800b") == "a b"


def test_the_hour_that_comes_twice_carries_its_zone_letters() -> None:
    # 1 November 2026, New York: 05:30 UTC is 01:30 EDT, 06:30 UTC is 01:30 EST (tz database).
    assert clock(datetime(2026, 11, 1, 5, 30, tzinfo=UTC), ZONE) == "01:30 EDT"
    assert clock(datetime(2026, 11, 1, 6, 30, tzinfo=UTC), ZONE) == "01:30 EST"
    assert clock(datetime(2026, 11, 1, 8, 30, tzinfo=UTC), ZONE) == "03:30"


def test_a_limit_at_midnight_belongs_to_the_day_it_ends() -> None:
    # ISO 8601:2004, 4.2.3: midnight at the end of a day is 24:00.
    assert limit_words(datetime(2026, 1, 16, 5, 0, tzinfo=UTC), ZONE, near=DAY) == ("Thu", "24:00")


def test_a_day_too_far_for_its_weekday_is_written_as_a_date() -> None:
    # From Thursday 15 January, Wednesday the 21st is six days on and still plain; Thursday the 22nd is not.
    assert day_and_clock(datetime(2026, 1, 21, 10, 0, tzinfo=UTC), ZONE, near=DAY) == ("Wed", "05:00")
    assert day_and_clock(datetime(2026, 1, 22, 10, 0, tzinfo=UTC), ZONE, near=DAY) == ("22 Jan", "05:00")
    assert day_and_clock(datetime(2026, 1, 8, 10, 0, tzinfo=UTC), ZONE, near=DAY) == ("8 Jan", "05:00")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (59.9, "0 min"),
        (3599.0, "59 min"),
        (3600.0, "1 h 00"),
        (172_799.0, "47 h 59"),
        (172_800.0, "2 d 0 h"),
        (259_200.0, "3 d"),
    ],
)
def test_time_left_is_never_rounded_up(seconds: float, words: str) -> None:
    assert stretch(seconds) == words


def test_days_and_counts_read_as_people_say_them() -> None:
    assert long_day(DAY) == "Thursday 15 January 2026"
    assert (count(1, "set"), count(2, "set"), count(0, "look")) == ("1 set", "2 sets", "0 looks")
