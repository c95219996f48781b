"""Loose parts: had, used, counted; a count overrides and keeps how far the record was off."""

from datetime import timedelta
from typing import Any

from tendline.core.line import PartStock
from tendline.logbook.fold import line_at
from tests.unit.logbook.made import MONDAY, Book

LATER = MONDAY + timedelta(days=30)


def parts(book: Book) -> dict[tuple[str, float | None], PartStock]:
    return {(p.name, p.length_m): p for p in line_at(book.events, at=LATER).parts}


def noted(book: Book, kind: str, part: str, count: int, *, days: float = 0, **more: Any) -> None:
    book.note(kind, {"part": part, "count": count, **more}, at=MONDAY + timedelta(days=days))


def test_what_came_in_less_what_was_used_is_there() -> None:
    book = Book()
    noted(book, "parts-received", "swivel", 50)
    noted(book, "parts-used", "swivel", 8, days=1)
    found = parts(book)["swivel", None]
    assert (found.count, found.received, found.used, found.off) == (42, 50, 8, None)


def test_a_count_is_the_truth_and_the_difference_is_kept() -> None:
    book = Book()
    noted(book, "parts-received", "stop", 100)
    noted(book, "parts-used", "stop", 30, days=1)
    noted(book, "stock-count", "stop", 66, days=2)
    noted(book, "parts-used", "stop", 6, days=3)
    found = parts(book)["stop", None]
    assert (found.count, found.off) == (60, -4)
    assert found.counted_at == MONDAY + timedelta(days=2)
    assert found.count == found.received - found.used + (found.off or 0)


def test_a_first_count_is_off_by_nothing() -> None:
    book = Book()
    noted(book, "parts-used", "lock", 3)
    noted(book, "stock-count", "lock", 20, days=1)
    found = parts(book)["lock", None]
    assert (found.count, found.used, found.off) == (20, 0, None)


def test_a_device_takes_the_parts_it_says_and_a_rebuilding_its_own() -> None:
    book = Book()
    noted(book, "parts-received", "cable", 10)
    noted(book, "parts-received", "stop", 30)
    # Noted at the same instant as the parts came in: what others lean on comes first.
    book.note("device-built", {"tag": "101", "parts": {"cable": 1, "stop": 3, "wheel": 4}})
    book.note("device-rebuilt", {"tag": "101", "parts": {"cable": 1}}, at=MONDAY + timedelta(days=1))
    assert {name: p.count for (name, _), p in parts(book).items()} == {"cable": 8, "stop": 27}


def test_rolls_are_told_apart_by_their_length() -> None:
    book = Book()
    noted(book, "parts-received", "cable", 2, length_m=304.8)
    noted(book, "parts-received", "cable", 1, length_m=5.5)
    noted(book, "parts-used", "cable", 1, days=1, length_m=304.8)
    noted(book, "parts-received", "cable", 142, days=1)
    found = parts(book)
    assert {key: p.count for key, p in found.items()} == {
        ("cable", None): 142,
        ("cable", 5.5): 1,
        ("cable", 304.8): 1,
    }


def test_more_used_than_there_was_is_out_of_balance_once() -> None:
    book = Book()
    noted(book, "parts-received", "tag", 2)
    noted(book, "parts-used", "tag", 3, days=1)
    noted(book, "parts-used", "tag", 1, days=2)
    line = line_at(book.events, at=LATER)
    assert len(line.unbalanced) == 1
    assert "tag: 1 more used than there were" in line.unbalanced[0]


def test_a_correction_of_a_count_is_followed() -> None:
    book = Book()
    noted(book, "parts-received", "end", 40)
    book.note("stock-count", {"part": "end", "count": 4}, at=MONDAY + timedelta(days=1))
    wrong = book.events[-1].id
    fixed = {"of": wrong, "fields": {"count": 40}, "why": "a nought was left out"}
    book.note("correction", fixed, at=MONDAY + timedelta(days=2))
    assert parts(book)["end", None].off == 0
