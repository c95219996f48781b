"""The record told set by set: where each stood, what it saw, what it held; nights counted by the calendar."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from tendline.logbook.corrected import effective
from tendline.logbook.fold import line_at
from tendline.report.stands import Stand, incidents_of, stands_of
from tests.unit.logbook.made import MONDAY, Book

NEW_YORK = ZoneInfo("America/New_York")
LATER = MONDAY + timedelta(days=30)


def told(book: Book, at: datetime = LATER) -> tuple[Stand, ...]:
    return stands_of(effective(book.events), line_at(book.events, at=at).catches, at=at)


def nights(stand: Stand, first: date = date(2027, 1, 1), last: date = date(2027, 3, 1)) -> int | None:
    return stand.nights(NEW_YORK, first=first, last=last, now=LATER)


def test_a_set_made_twice_is_two_stands_each_with_its_own() -> None:
    book = Book()
    book.made("N3", "101", parcel="mill")
    book.check("N3", hours=24, found_as="holding", what_happened="caught-kept", species="coyote")
    book.note("pulled", {"set": "N3"}, at=MONDAY + timedelta(hours=48))
    book.made("N3", "102", at=MONDAY + timedelta(hours=72), parcel="heron")
    book.check("N3", hours=96, found_as="holding", what_happened="nontarget-released", species="raccoon")
    first, second = told(book)
    assert (first.parcel, first.how, [t.catch.species for t in first.taken]) == ("mill", "pulled", ["coyote"])
    assert (second.parcel, second.out, [t.catch.species for t in second.taken]) == (
        "heron",
        True,
        ["raccoon"],
    )
    assert [len(s.visits) for s in (first, second)] == [1, 1]
    assert incidents_of([first]) == ()
    assert [one.what for one in incidents_of([second])] == ["raccoon, non-target released"]


def test_nights_are_those_that_are_over() -> None:
    # Made Monday 11 January 05:00, pulled Wednesday 13 January 05:00 local: the nights of the 11th and 12th.
    book = Book()
    book.made()
    book.note("pulled", {"set": "N3"}, at=MONDAY + timedelta(hours=48))
    (stand,) = told(book)
    assert nights(stand) == 2
    assert nights(stand, first=date(2027, 1, 12)) == 1
    assert nights(stand, last=date(2027, 1, 11)) == 1
    assert nights(stand, first=date(2027, 2, 1)) == 0
    standing = Book()
    standing.made()
    (out,) = told(standing)
    assert nights(out) == 30
    assert out.nights(NEW_YORK, first=date(2027, 1, 1), last=date(2027, 1, 11), now=MONDAY) == 0


def test_nights_are_not_moved_by_the_change_of_clocks() -> None:
    # Clocks go forward on 14 March 2027 in New York (second Sunday, 15 U.S.C. 260a): that night is one night.
    book = Book()
    made = datetime(2027, 3, 13, 12, tzinfo=UTC)
    book.made(at=made)
    book.note("pulled", {"set": "N3"}, at=datetime(2027, 3, 15, 4, 30, tzinfo=UTC))
    (stand,) = stands_of(effective(book.events), (), at=made + timedelta(days=9))
    # 04:30 UTC on the 15th is 00:30 on the 15th at UTC-4: the nights of the 13th and 14th are over.
    now = made + timedelta(days=9)
    assert stand.nights(NEW_YORK, first=date(2027, 3, 1), last=date(2027, 3, 31), now=now) == 2


def test_a_set_of_unknown_age_has_no_nights() -> None:
    book = Book()
    book.made(time_known=False)
    assert nights(told(book)[0]) is None


def test_lost_and_found_again() -> None:
    book = Book()
    book.made()
    book.note("lost", {"set": "N3", "why": "drift"}, at=MONDAY + timedelta(hours=10))
    (lost,) = told(book)
    assert lost.how == "lost"
    assert [one.what for one in incidents_of([lost])] == ["device given up as lost"]
    book.note("found", {"set": "N3", "left_as": "working"}, at=MONDAY + timedelta(hours=20))
    assert told(book)[0].out
    assert not told(book, at=MONDAY + timedelta(hours=15))[0].out


def test_theft_people_and_dogs_are_incidents_once_each() -> None:
    book = Book()
    book.made()
    book.check(hours=5, found_as="tampered", what_happened="person")
    seen = book.check(hours=6, found_as="holding", what_happened="domestic-released", species="dog")
    told_more = {"set": "N3", "species": "dog", "standing": "domestic", "fate": "released", "check": seen.id}
    book.note("catch", told_more, at=MONDAY + timedelta(hours=6))
    found = [one.what for one in incidents_of(told(book))]
    assert found == ["person, device tampered", "dog, domestic released"]
