"""What holds of every profile and every set, whatever the law of the place."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.place import LonLat
from tendline.core.source import Citation, Status
from tendline.core.when import Span
from tendline.core.words import DeviceClass
from tendline.rules.answer import DueAnswer, Seen, Watched
from tendline.rules.ask import due, lawful_windows
from tendline.rules.dated import Began, History, Severity, Term
from tendline.rules.forms import (
    WEEKDAYS,
    CalendarDay,
    CalendarDays,
    CalendarWeek,
    Clock,
    Daily,
    Duration,
    ElapsedHours,
    Form,
    FullCalendarDays,
    Where,
)
from tendline.rules.shape import CheckRule, LegalTime, Profile, ProfileState, Scope
from tendline.rules.windows import Curfew, SunWindow

CITE = Citation("Test Act", "1", "law.example", date(2026, 11, 25), Status.TEXT)
ZONES = ("America/New_York", "America/Denver", "Europe/Berlin", "Australia/Lord_Howe", "UTC")
PLACE = LonLat(-78.0, 41.5)


def _hours(number: int) -> Duration:
    return Duration(f"{number} h", timedelta(hours=number))


clocks: st.SearchStrategy[Clock] = st.one_of(
    st.builds(lambda h: ElapsedHours(_hours(h)), st.integers(1, 96)),
    st.just(CalendarDay()),
    st.just(Daily()),
    st.builds(FullCalendarDays, st.integers(1, 4)),
    st.builds(CalendarDays, st.integers(2, 5), st.booleans()),
    st.builds(CalendarWeek, st.sampled_from(WEEKDAYS)),
    st.builds(lambda b, a: SunWindow(_hours(b), _hours(a)), st.integers(1, 3), st.integers(1, 3)),
)
curfews = st.builds(
    lambda start, length: Curfew(time(start), time((start + length) % 24)),
    st.integers(0, 23),
    st.integers(1, 9),
)
forms: st.SearchStrategy[Form] = st.one_of(clocks, curfews)
instants = st.integers(0, 242 * 86400).map(lambda s: datetime(2026, 9, 1, tzinfo=UTC) + timedelta(seconds=s))
zones = st.sampled_from(ZONES).map(ZoneInfo)


def _profile(held: list[Form]) -> Profile:
    rules = tuple(
        CheckRule(
            f"rule-{number}",
            "A rule.",
            Severity.DUTY,
            Scope(frozenset({DeviceClass.LIVE_RESTRAINT})),
            History((Term(date(2020, 1, 1), Began.IN_FORCE, form, (CITE,)),)),
        )
        for number, form in enumerate(held)
    )
    day = date(2026, 11, 25)
    return Profile(
        "zz-law", "", "", "zz", "law", ProfileState.DRAFT, day, day, False, LegalTime(None), {}, rules
    )  # fmt: skip


def _ask(held: list[Form], watched: Watched, now: datetime) -> DueAnswer:
    return due(_profile(held), watched, now=now)


@st.composite
def watched_sets(draw: st.DrawFn) -> tuple[Watched, datetime]:
    """A set with up to three looks, and a present after them."""
    made, zone = draw(instants), draw(zones)
    gaps = draw(st.lists(st.integers(60, 100_000), max_size=3))
    looks, at = [], made
    for gap in gaps:
        at += timedelta(seconds=gap)
        looks.append(Seen(at))
    now = at + timedelta(seconds=draw(st.integers(0, 200_000)))
    return Watched("N3", DeviceClass.LIVE_RESTRAINT, PLACE, zone, made, tuple(looks)), now


@given(st.lists(forms, min_size=1, max_size=3), forms, watched_sets())
@settings(max_examples=150, deadline=None)
def test_one_rule_more_never_gives_more_time(
    held: list[Form], more: Form, case: tuple[Watched, datetime]
) -> None:
    watched, now = case
    before, after = _ask(held, watched, now), _ask([*held, more], watched, now)
    if before.due_at is not None:
        assert after.due_at is not None
        assert after.due_at <= before.due_at


@given(st.integers(1, 95), st.integers(1, 50), watched_sets())
@settings(max_examples=100, deadline=None)
def test_fewer_hours_never_give_more_time(hours: int, more: int, case: tuple[Watched, datetime]) -> None:
    watched, now = case
    short = _ask([ElapsedHours(_hours(hours))], watched, now).due_at
    long = _ask([ElapsedHours(_hours(hours + more))], watched, now).due_at
    assert short is not None
    assert long is not None
    assert short <= long


@given(clocks, watched_sets(), st.integers(1, 300_000))
@settings(max_examples=150, deadline=None)
def test_a_later_look_never_falls_due_earlier(
    form: Clock, case: tuple[Watched, datetime], later: int
) -> None:
    watched, now = case
    bare = replace(watched, looks=())
    assert watched.set_at is not None
    moved = replace(bare, set_at=watched.set_at + timedelta(seconds=later))
    now += timedelta(seconds=later)
    first, second = _ask([form], bare, now).due_at, _ask([form], moved, now).due_at
    assert first is not None
    assert second is not None
    assert first <= second


@given(
    st.lists(forms, min_size=1, max_size=3),
    watched_sets(),
    st.integers(-50_000, 50_000),
    st.integers(0, 400_000),
)
@settings(max_examples=150, deadline=None)
def test_windows_lie_inside_the_outing_before_the_limit_in_order_and_apart(
    held: list[Form], case: tuple[Watched, datetime], start: int, length: int
) -> None:
    watched, now = case
    span = Span(now + timedelta(seconds=start), now + timedelta(seconds=start + length))
    windows = lawful_windows(_profile(held), watched, span, now=now)
    answer = _ask(held, watched, now)
    for window in windows:
        assert span.start <= window.start <= window.end <= span.end
        assert answer.due_at is None or window.end <= answer.due_at
    for one, following in pairwise(windows):
        assert one.end < following.start


@given(st.lists(forms, min_size=1, max_size=3), watched_sets())
@settings(max_examples=150, deadline=None)
def test_a_look_inside_a_window_counts_and_one_outside_does_not(
    held: list[Form], case: tuple[Watched, datetime]
) -> None:
    """The planner may trust the windows: going there gives a new clock, going at other hours gives none."""
    watched, now = case
    hours = [form for form in held if isinstance(form, (Curfew, SunWindow))]
    span = Span(now, now + timedelta(days=2))
    windows = lawful_windows(_profile(held), watched, span, now=now, late=True)
    for instant in [w.start for w in windows] + [w.end for w in windows]:
        seen = replace(watched, looks=(*watched.looks, Seen(instant)))
        answer = _ask([*held, ElapsedHours(_hours(1))], seen, instant)
        assert answer.due_at == instant + timedelta(hours=1) or answer.since == instant
    for one, following in pairwise(windows):
        gap = one.end + timedelta(seconds=1)
        assert hours
        assert gap < following.start
        seen = replace(watched, looks=(*watched.looks, Seen(gap)))
        assert _ask(held, seen, gap).since != gap or watched.set_at == gap


@given(st.lists(forms, min_size=1, max_size=3), watched_sets())
@settings(max_examples=150, deadline=None)
def test_the_last_lawful_second_is_lawful_and_not_after_the_limit(
    held: list[Form], case: tuple[Watched, datetime]
) -> None:
    watched, now = case
    answer = _ask(held, watched, now)
    if answer.due_at is None or answer.act_by is None:
        return
    assert answer.since is not None
    assert answer.since <= answer.act_by <= answer.due_at
    bars = [form for form in held if isinstance(form, Curfew)]
    where = Where(watched.zone, PLACE)
    assert all(bar.lawful(Span(answer.act_by, answer.act_by), where) for bar in bars)


@given(st.integers(1, 96), watched_sets(), zones)
@settings(max_examples=60, deadline=None)
def test_elapsed_hours_are_the_same_under_every_clock(
    hours: int, case: tuple[Watched, datetime], zone: ZoneInfo
) -> None:
    watched, now = case
    form = ElapsedHours(_hours(hours))
    assert _ask([form], watched, now).due_at == _ask([form], replace(watched, zone=zone), now).due_at


@given(st.lists(forms, min_size=1, max_size=3), watched_sets())
@settings(max_examples=60, deadline=None)
def test_nothing_is_verified_without_the_persons_own_word(
    held: list[Form], case: tuple[Watched, datetime]
) -> None:
    watched, now = case
    answer = _ask(held, watched, now)
    assert not answer.verified
    assert answer.confirm
