"""A long record in columns and a short one event by event are counted by one rule."""

import json
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.when import Span
from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.logbook.corrected import effective
from tendline.logbook.events import instant_text
from tendline.season.columns import Row, counted
from tendline.season.columns_queries import KINDS
from tendline.season.effort import Convention, total
from tendline.season.stretches import noons_to
from tests.unit.logbook.made import MONDAY, Book
from tests.unit.season.walks import ZONE, walk


def rows(book: Book) -> list[Row]:
    return [
        (i, e.event.id, e.event.kind, instant_text(e.happened_at), json.dumps(e.body))
        for i, e in enumerate(effective(book.events))
        if e.event.kind in KINDS
    ]


OTHERS = ("made", "pulled", "lost", "found", "found-back", "made-unset", "unknown-since")
STEP = st.one_of(
    st.tuples(
        st.just("check"),
        st.sampled_from(FoundAs),
        st.sampled_from(Happened),
        st.sampled_from(LeftAs),
        st.booleans(),
    ),
    st.tuples(
        st.sampled_from(("made", "pulled", "lost", "found", "found-back", "made-unset", "unknown-since"))
    ),
)


def diary(steps: list[tuple[object, ...]], gaps: list[int]) -> Book:
    book, hours = Book(), 0
    book.made(parcel="mill")
    for (kind, *words), gap in zip(steps, gaps, strict=False):
        hours += gap
        at = MONDAY + timedelta(hours=hours)
        if kind == "check":
            found, happened, left, far = words
            told = {"found_as": found, "what_happened": happened, "left_as": left, "from_distance": far}
            body = {"set": "N3", "done": "none", **told, "species": f"animal {hours}"}
            book.note("check", json.loads(json.dumps(body)), at=at)
        elif kind in ("made", "made-unset", "unknown-since"):
            more: dict[str, object] = {"left_as": "unset"} if kind == "made-unset" else {}
            more |= {"time_known": False} if kind == "unknown-since" else {}
            book.note("set-made", {"set": "N3", "parcel": "mill", **more}, at=at, place=(-78.0, 41.5))
        elif kind == "found":
            book.note("found", {"set": "N3"}, at=at)
        elif kind == "found-back":
            book.note("found", {"set": "N3", "left_as": "working"}, at=at)
        else:
            book.note(str(kind), {"set": "N3", "why": "x"} if kind == "lost" else {"set": "N3"}, at=at)
    return book


@settings(max_examples=40, deadline=None)
@given(st.lists(STEP, max_size=14), st.lists(st.integers(1, 60), min_size=14, max_size=14))
def test_columns_and_walk_agree_on_any_diary(steps: list[tuple[object, ...]], gaps: list[int]) -> None:
    book = diary(steps, gaps)
    found = walk(book, hours=24 * 60).stretches
    for convention in (Convention.NELSON_CLARK, Convention.BY_FINDING):
        whole = total(found, convention)
        there = counted([rows(book)], zone=ZONE, convention=convention)
        assert sum(r.nights for r in there) == whole.nights
        assert sum(r.effort for r in there) == whole.effort
        assert sum(r.looks for r in there) == whole.looks


@settings(max_examples=40, deadline=None)
@given(
    st.lists(STEP, max_size=14),
    st.lists(st.integers(1, 60), min_size=14, max_size=14),
    st.integers(-40, 400),
    st.integers(1, 400),
)
def test_columns_and_walk_cut_alike_at_the_legal_ends(
    steps: list[tuple[object, ...]], gaps: list[int], begins: int, hours: int
) -> None:
    # The walk shares each night out one by one, in plain Python: the columns do it by one difference.
    book, start = diary(steps, gaps), MONDAY + timedelta(hours=begins)
    legal = Span(start, start + timedelta(hours=hours))
    whole = total(walk(book, hours=24 * 60, window=legal).stretches, Convention.NELSON_CLARK)
    there = counted([rows(book)], zone=ZONE, convention=Convention.NELSON_CLARK, legal={2026: legal})
    assert sum(r.nights for r in there) == pytest.approx(whole.nights)
    assert sum(r.effort for r in there) == pytest.approx(whole.effort)
    assert sum(r.looks for r in there) == whole.looks
    assert sum(r.target for r in there) == whole.target


@pytest.mark.parametrize(("zone", "day"), [("America/New_York", 14), ("America/New_York", 15)])
def test_a_night_of_the_changed_clock_is_shared_by_its_own_length(zone: str, day: int) -> None:
    # 14 March 2027, 2:00: clocks go forward (US law, 15 USC 260a), so that noon to noon is 23 hours.
    noon = datetime(2027, 3, 13, 12, tzinfo=ZoneInfo(zone)).astimezone(UTC)
    per = 23 if day == 14 else 24
    start = noon if day == 14 else noon + timedelta(hours=23)
    part = noons_to(start + timedelta(hours=6), ZoneInfo(zone)) - noons_to(start, ZoneInfo(zone))
    assert part == pytest.approx(6 / per)
