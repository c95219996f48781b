"""The traps that a line of sets holds for the head: worked by hand, and told by the law's own forms.

Source: the arithmetic is worked in each test. The forms are those of 34 Pa.C.S. 2361-2364 as summarised (36
hours), KRS 150.410 (24 hours) and 520 ILCS 5/2.33a(a) (each calendar day).
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendline.core.place import LonLat
from tendline.core.words import DeviceClass
from tendline.rules.answer import Seen, Verdict, Watched
from tendline.rules.ask import due
from tendline.rules.load import load_profile
from tendline.rules.shape import Profile

DATA = Path(__file__).parents[2] / "data" / "rules"
ZONE = ZoneInfo("America/New_York")


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE).astimezone(UTC)


def _late_by(profile: Profile, visits: list[str]) -> list[float]:
    """Hours by which each visit after the first comes too late; zero or less when it is in time."""
    found = []
    for number in range(1, len(visits)):
        looks = tuple(Seen(_at(text)) for text in visits[1:number])
        watched = Watched("A", DeviceClass.LIVE_RESTRAINT, LonLat(-78.0, 41.5), ZONE, _at(visits[0]), looks)
        now = _at(visits[number])
        answer = due(profile, watched, now=now)
        assert answer.due_at is not None
        assert (answer.verdict is Verdict.OVERDUE) == (now > answer.due_at)
        found.append((now - answer.due_at).total_seconds() / 3600)
    return found


def test_thirty_six_hours_with_mornings_and_evenings_by_turns_fail_at_the_third_visit() -> None:
    """Monday 05:00, Tuesday 16:00 (35 h), Thursday 05:00 (37 h): an hour late."""
    visits = ["2027-01-04 05:00", "2027-01-05 16:00", "2027-01-07 05:00"]
    assert _late_by(load_profile("us-pa"), visits) == [35 - 36, 37 - 36]


def test_a_reversed_round_is_late_under_twenty_four_hours_though_it_is_no_longer() -> None:
    """Monday A at 05:00 and Z at 08:00; Tuesday Z at 05:00 and A at 08:00: A has waited 27 h, 3 too many."""
    profile = load_profile(DATA / "elapsed.toml")
    assert _late_by(profile, ["2027-01-04 05:00", "2027-01-05 08:00"]) == [27 - 24]
    assert _late_by(profile, ["2027-01-04 08:00", "2027-01-05 05:00"]) == [21 - 24]


def test_a_catch_at_the_third_set_makes_every_later_set_late() -> None:
    """25 minutes lost at the third set: each later one is 24 h 25 after yesterday's look."""
    late = _late_by(load_profile(DATA / "elapsed.toml"), ["2027-01-04 06:00", "2027-01-05 06:25"])
    assert late == pytest.approx([25 / 60])


def test_forty_one_hours_are_lawful_under_a_calendar_day_rule_and_the_answer_says_they_are_long() -> None:
    """Monday 05:00, Tuesday 22:00."""
    profile = load_profile(DATA / "calendar-day.toml")
    watched = Watched("A", DeviceClass.LIVE_RESTRAINT, LonLat(-78.0, 41.5), ZONE, _at("2027-01-04 05:00"), ())
    answer = due(profile, watched, now=_at("2027-01-05 22:00"))

    assert answer.verdict is Verdict.DUE
    assert any("long for a held animal" in line for line in answer.advisories)
    # and the same visits are 17 h late where 24 hours are the rule
    assert _late_by(load_profile(DATA / "elapsed.toml"), ["2027-01-04 05:00", "2027-01-05 22:00"]) == [
        41 - 24
    ]


def test_seven_by_the_watch_every_day_is_an_hour_late_when_the_clocks_go_back_and_early_in_spring() -> None:
    """The first Sunday of November 2026 has 25 hours in New York, the second of March 2027 has 23."""
    profile = load_profile(DATA / "elapsed.toml")
    autumn = ["2026-10-30 07:00", "2026-10-31 07:00", "2026-11-01 07:00", "2026-11-02 07:00"]
    spring = ["2027-03-12 07:00", "2027-03-13 07:00", "2027-03-14 07:00", "2027-03-15 07:00"]
    assert _late_by(profile, autumn) == [0, 25 - 24, 0]
    assert _late_by(profile, spring) == [0, 23 - 24, 0]


def test_looking_every_morning_at_the_same_hour_keeps_every_shipped_limit() -> None:
    """24 h between looks: within 36 h, and within the second full calendar day."""
    start = datetime(2027, 1, 4, 6, tzinfo=ZONE)
    visits = [f"{start + timedelta(days=day):%Y-%m-%d %H:%M}" for day in range(10)]
    for name in ("us-pa", "us-sd", "xx-demo"):
        assert max(_late_by(load_profile(name), visits)) < 0
