"""The gate: what fits the line as it stands."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tendline.logbook.admit import Gate
from tendline.logbook.fold import line_at
from tests.unit.logbook.made import FINE, MONDAY, Book

LATER = MONDAY + timedelta(hours=30)


def gate(book: Book) -> Gate:
    return Gate(line_at(book.events, at=LATER), book.events, now=LATER)


@pytest.fixture
def book() -> Book:
    """A line with set N3 in the field, N5 pulled, N7 lost, one parcel, one parking."""
    made = Book()
    made.made("N3", "101")
    made.made("N5", "105")
    made.made("N7", "107")
    made.check("N3", hours=24)
    made.note("pulled", {"set": "N5"}, at=MONDAY + timedelta(hours=2))
    made.note("lost", {"set": "N7", "why": "drift"}, at=MONDAY + timedelta(hours=2))
    made.note("parcel", {"name": "mill", "outline": [[[[0, 0], [1, 0], [1, 1], [0, 0]]]]})
    made.note("parking", {"name": "P1", "parcels": ["mill"]}, place=(-78.0, 41.5))
    return made


@pytest.mark.parametrize(
    ("kind", "body", "code"),
    [
        ("check", {"set": "N9", **FINE}, "LOG-301"),
        ("check", {"set": "N5", **FINE}, "LOG-302"),
        ("pulled", {"set": "N7"}, "LOG-302"),
        ("set-made", {"set": "n3", "tag": "200"}, "LOG-303"),
        ("parking", {"name": "p1"}, "LOG-303"),
        ("parcel", {"name": "Mill", "outline": [[[[0, 0], [1, 0], [1, 1], [0, 0]]]]}, "LOG-303"),
        ("set-made", {"set": "N8", "tag": "101"}, "LOG-304"),
        ("set-made", {"set": "N8", "tag": "107"}, "LOG-304"),
        ("check", {"set": "N3", **FINE, "done": "swapped", "tag": "107"}, "LOG-304"),
        ("device-built", {"tag": "101"}, "LOG-304"),
        ("device-scrapped", {"tag": "999", "why": "kinked"}, "LOG-305"),
        ("lost", {"why": "no idea"}, "LOG-305"),
        ("found", {"set": "N9"}, "LOG-301"),
        ("set-made", {"set": "N8", "parcel": "elsewhere"}, "LOG-308"),
        ("parking", {"name": "P2", "parcels": ["mill", "elsewhere"]}, "LOG-308"),
        ("void", {"of": "00000000-0000-7000-8000-000000000000", "why": "x"}, "LOG-307"),
    ],
)
def test_what_does_not_fit_is_refused(book: Book, kind: str, body: dict[str, Any], code: str) -> None:
    draft = book.draft(kind, body, at=LATER, place=(-78.0, 41.5))
    assert [f.code.id for f in gate(book).faults(draft)] == [code]


@pytest.mark.parametrize(
    ("at", "code"),
    [
        (datetime(1926, 1, 11, tzinfo=UTC), "LOG-201"),
        (LATER + timedelta(minutes=6), "LOG-202"),
        (MONDAY - timedelta(hours=1), "LOG-309"),
        (MONDAY + timedelta(hours=24), "LOG-306"),
    ],
)
def test_a_time_that_cannot_be_is_refused(book: Book, at: datetime, code: str) -> None:
    draft = book.draft("check", {"set": "N3", **FINE}, at=at, recorded=LATER)
    assert [f.code.id for f in gate(book).faults(draft)] == [code]


def test_a_correction_must_fit_the_kind_it_corrects(book: Book) -> None:
    check = next(e for e in book.events if e.kind == "check")
    good = book.draft("correction", {"of": check.id, "why": "x", "fields": {"done": "rehung"}}, at=LATER)
    bad = book.draft("correction", {"of": check.id, "why": "x", "fields": {"done": "dancing"}}, at=LATER)
    assert gate(book).faults(good) == []
    assert [f.code.id for f in gate(book).faults(bad)] == ["LOG-104"]
    correction = book.note("correction", {"of": check.id, "why": "x", "fields": {"done": "rehung"}}, at=LATER)
    again = book.draft("correction", {"of": correction.id, "why": "x"}, at=LATER)
    assert [f.code.id for f in gate(book).faults(again)] == ["LOG-310"]


def test_what_was_let_in_counts_for_the_next(book: Book) -> None:
    one = gate(book)
    first = book.draft("set-made", {"set": "N8", "tag": "108"}, at=LATER, place=(-78.0, 41.5))
    assert one.faults(first) == []
    one.let_in(first)
    second = book.draft("set-made", {"set": "N8", "tag": "108"}, at=LATER, place=(-78.0, 41.5))
    assert [f.code.id for f in one.faults(second)] == ["LOG-303"]


def test_a_clock_set_back_is_said_and_the_entry_kept(book: Book) -> None:
    early = book.draft("check", {"set": "N3", **FINE}, at=MONDAY + timedelta(hours=5))
    one = gate(book)
    assert one.faults(early) == []
    assert any("clock" in warning for warning in one.warnings(early))


def test_two_checks_at_one_instant_by_one_person_are_said(book: Book) -> None:
    book.made("N6", "106")
    draft = book.draft("check", {"set": "N6", **FINE}, at=MONDAY + timedelta(hours=24), recorded=LATER)
    assert any("same instant" in warning for warning in gate(book).warnings(draft))


def test_a_set_without_a_tag_is_said(book: Book) -> None:
    draft = book.draft("set-made", {"set": "N6"}, at=LATER, place=(-78.0, 41.5))
    assert any("tag" in warning for warning in gate(book).warnings(draft))


def test_a_set_made_in_the_past_may_not_take_a_name_used_since(book: Book) -> None:
    early = MONDAY - timedelta(hours=3)
    one = Gate(line_at(book.events, at=early), book.events, now=LATER, latest=line_at(book.events, at=LATER))
    draft = book.draft("set-made", {"set": "N3", "tag": "300"}, at=early, recorded=LATER, place=(-78.0, 41.5))
    assert [f.code.id for f in one.faults(draft)] == ["LOG-303"]
