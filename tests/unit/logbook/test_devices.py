"""Devices out until rebuilt: what puts one out, what alone brings it back, what the gate says."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from tendline.core.line import Device
from tendline.logbook.admit import Gate
from tendline.logbook.fold import line_at
from tests.unit.logbook.made import FINE, MONDAY, Book

LATER = MONDAY + timedelta(days=10)
HELD = {**FINE, "found_as": "holding", "what_happened": "caught-kept", "done": "remade"}


def device(book: Book, tag: str = "101", *, at: datetime = LATER) -> Device:
    return line_at(book.events, at=at).devices[tag]


@pytest.mark.parametrize(
    ("told", "why"),
    [
        (HELD, "held an animal"),
        ({**FINE, "what_happened": "domestic-released", "found_as": "holding"}, "held an animal"),
        ({**FINE, "what_happened": "broke-away", "found_as": "broken"}, "its breakaway opened"),
        ({**FINE, "what_happened": "chewed-out"}, "it was chewed"),
        ({**FINE, "found_as": "broken"}, "found broken"),
        ({**FINE, "cable": "bird-caged"}, "bird-caged"),
        ({**FINE, "cable": "sound"}, ""),
        (FINE, ""),
    ],
)
def test_a_check_puts_the_device_it_found_out(told: dict[str, Any], why: str) -> None:
    book = Book()
    book.made("N3", "101")
    book.check(hours=20, **told)
    assert device(book).out is bool(why)
    assert device(book).out_why == why


def test_the_one_swapped_in_is_not_the_one_that_held() -> None:
    book = Book()
    book.made("N3", "101")
    book.note("device-built", {"tag": "102"})
    book.check(hours=20, **{**HELD, "done": "swapped", "tag": "102"})
    assert device(book, "101").out
    assert not device(book, "102").out


def test_only_a_rebuilding_brings_it_back() -> None:
    book = Book()
    book.note("device-built", {"tag": "101", "lock": "washer", "good_order": True})
    for hour, cable in ((1, "kinked"), (2, "sound")):
        book.note("device-inspected", {"tag": "101", "cable": cable}, at=MONDAY + timedelta(hours=hour))
    assert (device(book).out_why, device(book).out_since) == ("kinked", MONDAY + timedelta(hours=1))
    rebuilt = MONDAY + timedelta(hours=3)
    book.note("device-rebuilt", {"tag": "101", "construction": "7x19"}, at=rebuilt)
    found = device(book)
    assert (found.out, found.rebuilt_at) == (False, rebuilt)
    # What the new cable is, is new; what nobody spoke of stays; an old look says nothing of it.
    assert found.build == {"lock": "washer", "construction": "7x19"}


def test_a_catch_written_down_late_does_not_spoil_the_new_cable() -> None:
    book = Book()
    book.made("N3", "101")
    seen = book.check(hours=20, **HELD)
    book.note("device-rebuilt", {"tag": "101"}, at=MONDAY + timedelta(hours=21))
    told = {"set": "N3", "species": "coyote", "standing": "target", "fate": "kept", "check": seen.id}
    book.note("catch", told, at=MONDAY + timedelta(hours=22))
    assert not device(book).out


def test_a_catch_without_a_check_puts_it_out() -> None:
    book = Book()
    book.made("N3", "101")
    told = {"set": "N3", "species": "raccoon", "standing": "nontarget", "fate": "released"}
    book.note("catch", told, at=MONDAY + timedelta(hours=5))
    assert device(book).out_why == "held an animal"


def test_a_lost_device_cannot_be_rebuilt() -> None:
    book = Book()
    book.note("device-built", {"tag": "101"})
    book.note("lost", {"tag": "101", "why": "flood"}, at=MONDAY + timedelta(hours=1))
    book.note("device-rebuilt", {"tag": "101"}, at=MONDAY + timedelta(hours=2))
    assert "lost and yet was rebuilt" in line_at(book.events, at=LATER).unbalanced[0]


def gate(book: Book) -> Gate:
    return Gate(line_at(book.events, at=LATER), book.events, now=LATER)


@pytest.fixture
def book() -> Book:
    """N3 with 101 at work; 102 in stock, frayed; 103 in stock."""
    made = Book()
    made.made("N3", "101")
    for tag in ("102", "103"):
        made.note("device-built", {"tag": tag})
    made.note("device-inspected", {"tag": "102", "cable": "frayed"})
    return made


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("set-made", {"set": "N8", "tag": "102"}),
        ("check", {"set": "N3", **FINE, "done": "swapped", "tag": "102"}),
    ],
)
def test_a_cable_that_is_out_is_not_set_again(book: Book, kind: str, body: dict[str, Any]) -> None:
    judge = gate(book)
    draft = book.draft(kind, body, at=LATER, place=(-78.0, 41.5))
    (fault,) = judge.faults(draft)
    assert fault.code.id == "LOG-311"
    assert "frayed" in fault.what
    assert "device-rebuilt 102" in fault.do
    judge.let_in(book.draft("device-rebuilt", {"tag": "102"}, at=LATER))
    assert judge.faults(draft) == []


def test_a_catch_in_the_same_batch_counts_as_well(book: Book) -> None:
    judge = gate(book)
    judge.let_in(book.draft("check", {"set": "N3", **HELD, "done": "swapped", "tag": "103"}, at=LATER))
    again = book.draft("set-made", {"set": "N9", "tag": "101"}, at=LATER, place=(-78.0, 41.5))
    assert [fault.code.id for fault in judge.faults(again)] == ["LOG-311"]
    taken = book.draft("set-made", {"set": "N9", "tag": "103"}, at=LATER, place=(-78.0, 41.5))
    assert [fault.code.id for fault in judge.faults(taken)] == ["LOG-304"]


def test_what_happened_is_kept_and_warned_of(book: Book) -> None:
    draft = book.draft("check", {"set": "N3", **HELD}, at=LATER)
    judge = gate(book)
    assert judge.faults(draft) == []
    assert "left working on a cable that is out until rebuilt" in judge.warnings(draft)[0]
    for more in ({"left_as": "pulled"}, {"tag": "103"}):
        assert judge.warnings(book.draft("check", {"set": "N3", **HELD, **more}, at=LATER)) == []


def test_a_device_that_is_not_there_is_not_rebuilt_or_looked_over(book: Book) -> None:
    for kind, more in (("device-rebuilt", {}), ("device-inspected", {"cable": "sound"})):
        (fault,) = gate(book).faults(book.draft(kind, {"tag": "999", **more}, at=LATER))
        assert fault.code.id == "LOG-305"
