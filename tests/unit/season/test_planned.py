"""Planned against done, on outings and days whose figures are worked out by hand beside each check."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tendline.core.when import Span
from tendline.season.planned import Aim, Card, Days, NoRatio, Seen, card_done, days_done, pace

ZONE = ZoneInfo("America/New_York")
DAY = timedelta(days=1)
LEAVE = datetime(2027, 1, 15, 10, 0, tzinfo=UTC)  # 05:00 in New York
LATER = LEAVE + 30 * DAY
SETS = ("A", "B", "C")


def minutes(number: float) -> timedelta:
    return timedelta(minutes=number)


def card(day: int = 0) -> Card:
    """Three sets, 20, 50 and 80 minutes after leaving: an hour from the first look to the last."""
    leave = LEAVE + day * DAY
    return Card(
        f"{day}", leave, tuple(Aim(name, leave + minutes(20 + 30 * k)) for k, name in enumerate(SETS))
    )


def looks(*after: float, day: int = 0) -> list[Seen]:
    return [
        Seen(name, LEAVE + day * DAY + minutes(m)) for name, m in zip(SETS, after, strict=False) if m >= -999
    ]


def test_an_outing_that_took_half_as_long_again() -> None:
    # 30 to 120 minutes after leaving: 90 taken for 60 planned; late by 10, 25 and 40 minutes.
    found = card_done(card(), looks(30, 75, 120), zone=ZONE, now=LATER)
    assert (found.looked, found.skipped, found.over) == (SETS, (), True)
    assert (found.planned_s, found.taken_s, found.ratio) == (3600.0, 5400.0, 1.5)
    assert found.late_s == (600.0, 1500.0, 2400.0)


def test_a_look_counts_from_an_hour_before_leaving_to_the_end_of_the_local_day() -> None:
    # New York's 15 January ends at 05:00 UTC of the 16th, nineteen hours after leaving.
    inside = card_done(card(), looks(-60, 0, 19 * 60 - 1), zone=ZONE, now=LATER)
    assert inside.looked == SETS
    outside = card_done(card(), looks(-61, 0, 19 * 60), zone=ZONE, now=LATER)
    assert (outside.looked, outside.skipped) == (("B",), ("A", "C"))
    assert outside.taken_s is None


def test_only_the_first_look_at_a_set_counts_and_none_that_is_still_to_come() -> None:
    again = [*looks(20, 50, 80), Seen("A", LEAVE + minutes(300)), Seen("Z", LEAVE)]
    assert card_done(card(), again, zone=ZONE, now=LATER).ratio == 1.0
    soon = card_done(card(), again, zone=ZONE, now=LEAVE + minutes(60))
    assert (soon.looked, soon.skipped, soon.over, soon.no_ratio) == (("A", "B"), (), False, NoRatio.AHEAD)


@pytest.mark.parametrize(
    ("after", "why"),
    [
        ((20, 50), NoRatio.SKIPPED),
        ((), NoRatio.SKIPPED),
        # 14 minutes for an hour: written down in the evening, all at once.
        ((600, 607, 614), NoRatio.TOGETHER),
        # The last set only in the afternoon: over ninety minutes and the longest planned way later.
        ((20, 50, 50 + 121), NoRatio.BROKEN),
        ((20, 50, 50 + 120), None),
    ],
)
def test_times_that_cannot_be_compared_are_in_no_ratio(after: tuple[float, ...], why: NoRatio | None) -> None:
    found = card_done(card(), looks(*after), zone=ZONE, now=LATER)
    assert found.no_ratio is why
    assert (found.ratio is None) == (why is not None)


def test_a_card_of_one_set_has_no_ratio() -> None:
    one = Card("x", LEAVE, (Aim("A", LEAVE + minutes(20)),))
    assert card_done(one, looks(20), zone=ZONE, now=LATER).no_ratio is NoRatio.SHORT


def test_the_pace_is_a_median_with_its_range_and_takes_three_outings() -> None:
    took = {0: (20, 50, 80), 1: (20, 65, 110), 2: (30, 90, 150)}  # 60, 90 and 120 minutes for 60
    done = [card_done(card(d), looks(*m, day=d), zone=ZONE, now=LATER) for d, m in took.items()]
    found = pace(done)
    assert found is not None
    assert (found.outings, found.looks) == (3, 9)
    assert (found.ratio, found.low, found.high) == (1.5, 1.0, 2.0)
    # Late by 0 0 0, 0 15 30, 10 40 70 minutes: in order 0 0 0 0 10 15 30 40 70.
    assert found.late_s == 600.0
    skipped = card_done(card(3), looks(20, 50, day=3), zone=ZONE, now=LATER)
    assert pace([*done[:2], skipped]) is None
    assert pace([]) is None


def aims() -> tuple[Aim, ...]:
    """One set on four mornings, each within 36 hours of the one before."""
    return tuple(
        Aim("A", LEAVE + d * DAY, LEAVE + (d - 1) * DAY + timedelta(hours=36), LEAVE + d * DAY - minutes(30))
        for d in range(4)
    )


def plan(start: datetime = LEAVE - timedelta(hours=9), file: str = "p", only: int = 4) -> Days:
    return Days(file, Span(start, LEAVE + 4 * DAY), aims()[:only])


def at(*hours: float) -> list[Seen]:
    return [Seen("A", LEAVE + timedelta(hours=h)) for h in hours]


def test_looks_are_in_time_late_or_never_made() -> None:
    # Limits are 12 h after each planned look: on time, 2 h late in the evening, not at all, on time.
    found = days_done([plan()], at(0, 24 + 14, 72), now=LATER)[0]
    assert (found.planned, found.in_time, found.no_limit) == (4, 2, 0)
    assert [aim.at for aim in found.late] == [LEAVE + DAY]
    assert [aim.at for aim in found.never] == [LEAVE + 2 * DAY]


def test_the_limit_itself_is_in_time_and_a_second_later_is_late() -> None:
    on = days_done([plan(only=1)], at(12), now=LATER)[0]
    assert (on.in_time, len(on.late)) == (1, 0)
    over = days_done([plan(only=1)], at(12 + 1 / 3600), now=LATER)[0]
    assert (over.in_time, len(over.late)) == (0, 1)


def test_a_look_answers_for_one_planned_look_only() -> None:
    # An hour and a half before the second look, the start of its window less an hour, begins its time.
    assert days_done([plan(only=2)], at(22.5), now=LATER)[0].never == (aims()[0],)
    assert days_done([plan(only=2)], at(22.4), now=LATER)[0].never == (aims()[1],)


def test_what_is_not_due_yet_is_ahead_and_not_never() -> None:
    found = days_done([plan()], at(0), now=LEAVE + timedelta(hours=30))[0]
    assert (found.planned, found.in_time, found.ahead, found.never) == (1, 1, 3, ())
    past = days_done([plan()], at(0), now=LEAVE + timedelta(hours=36))[0]
    assert (len(past.never), past.ahead) == (1, 2)


def test_a_later_plan_takes_over() -> None:
    second = Days("q", Span(LEAVE + timedelta(hours=30), LEAVE + 4 * DAY), aims()[2:])
    old, new = days_done([second, plan()], at(0, 24, 48), now=LATER)
    assert (old.days.file, old.planned, old.in_time, old.replaced) == ("p", 2, 2, 2)
    assert (new.days.file, new.planned, new.in_time, len(new.never)) == ("q", 2, 1, 1)


def test_a_set_taken_up_owes_no_more_looks() -> None:
    up = [*at(0), Seen("A", LEAVE + DAY, taken_up=True)]
    found = days_done([plan()], up, now=LATER)[0]
    assert (found.in_time, found.taken_up, found.never) == (2, 2, ())
    # Taken up and made again before the plan began: that says nothing of the plan's looks.
    before = [Seen("A", LEAVE - 2 * DAY, taken_up=True)]
    assert len(days_done([plan()], before, now=LATER)[0].never) == 4


def test_without_a_known_limit_a_look_is_neither_in_time_nor_late() -> None:
    days = Days("p", Span(LEAVE - DAY, LEAVE + DAY), (Aim("A", LEAVE),))
    found = days_done([days], at(5), now=LATER)[0]
    assert (found.planned, found.in_time, found.late, found.no_limit) == (1, 0, (), 1)
    assert days_done([], at(5), now=LATER) == ()
