"""What becomes of each entry: entered, known, entered with a flag, or held; nothing is dropped."""

from datetime import datetime, timedelta

import pytest

from tendline.field.intake import Became, Outcome, sort_logbook, sort_phone
from tendline.field.wire import Told, read_entry
from tendline.logbook.admit import Gate
from tendline.logbook.fold import line_at
from tests.unit.field.told import PHONE, entry, told
from tests.unit.logbook.made import MONDAY, Book


@pytest.fixture
def book() -> Book:
    """N3 in the field since Monday; N4 pulled on Monday at noon."""
    made = Book()
    made.made("N3", "101")
    made.made("N4", "102")
    made.note("pulled", {"set": "N4"}, at=MONDAY + timedelta(hours=7))
    return made


NOW = MONDAY + timedelta(hours=30)


def sort(book: Book, *entries: Told) -> list[Outcome]:
    def gate(at: datetime) -> Gate:
        return Gate(line_at(book.events, at=at), book.events, now=NOW)

    known = {event.id: event for event in book.events}
    return sort_phone(entries, known=known, gate=gate(NOW), gate_then=lambda draft: gate(draft.happened_at))


def test_a_good_entry_is_entered_and_known_the_second_time(book: Book) -> None:
    first, again = sort(book, told(1), told(1))
    assert (first.became, again.became) == (Became.ENTERED, Became.KNOWN)


def test_the_same_id_with_another_body_keeps_the_first_and_says_so(book: Book) -> None:
    first, other = sort(book, told(1), told(1, note="no, it was turned"))
    assert first.became is Became.ENTERED
    assert other.became is Became.HELD
    assert other.faults[0].code.id == "FLD-201"


@pytest.mark.parametrize(
    ("odd", "code"),
    [
        (told(1, set="N9"), "LOG-301"),
        (told(1, set="N4", hours=8), "LOG-302"),
        (told(1, hours=-3), "LOG-309"),
    ],
    ids=["unknown set", "pulled set", "before it was made"],
)
def test_what_the_line_does_not_fit_is_entered_with_a_flag(book: Book, odd: Told, code: str) -> None:
    (outcome,) = sort(book, odd)
    assert outcome.became is Became.FLAGGED
    assert outcome.draft is not None
    assert outcome.faults[0].code.id == code


def test_a_late_entry_is_judged_by_the_line_as_it_stood_then(book: Book) -> None:
    (outcome,) = sort(book, told(1, set="N4", hours=6))  # pulled an hour later
    assert outcome.became is Became.ENTERED


def test_a_look_from_the_future_is_held_because_it_would_stop_a_deadline(book: Book) -> None:
    (outcome,) = sort(book, told(1, hours=54))
    assert outcome.became is Became.HELD
    assert outcome.draft is None
    assert outcome.faults[0].code.id == "LOG-202"


@pytest.mark.parametrize(
    "odd",
    [
        told(1, found_as="levitating"),
        told(1, "party", set="N3"),
        told(1, "set-made", set="N3", tag="9"),
        told(1, "void", of="01a21fee-35eb-7000-8501-71f9719fba78", why="x"),
    ],
    ids=["no such word", "no such kind", "a name in use", "a void of nothing"],
)
def test_what_would_harm_the_reading_of_the_record_is_held(book: Book, odd: Told) -> None:
    (outcome,) = sort(book, odd)
    assert outcome.became is Became.HELD


def test_a_correction_may_not_take_away_what_an_event_needs(book: Book) -> None:
    first, away, place = sort(
        book,
        told(1),
        told(2, "correction", of=told(1).id, fields={"found_as": None}, why="x"),
        told(3, "correction", of=told(1).id, place="here", why="x"),
    )
    assert first.became is Became.ENTERED
    assert [f.code.id for f in (*away.faults, *place.faults)] == ["LOG-103", "LOG-104"]


def test_a_set_pulled_in_the_same_message_frees_its_name(book: Book) -> None:
    again = read_entry({**entry(2, "set-made", hours=3, set="N3"), "place": [-78.0, 41.5, 4.0]}, via=PHONE)
    pulled = told(1, "pulled", hours=2, set="N3")
    assert [o.became for o in sort(book, again)] == [Became.HELD]
    assert [o.became for o in sort(book, pulled, again)] == [Became.ENTERED, Became.ENTERED]


def test_of_another_logbook_only_the_form_can_hold_an_event(book: Book) -> None:
    known = {event.id: event for event in book.events}
    entries = [told(1, set="N9"), told(2, found_as="levitating"), told(3, hours=54)]
    outcomes = sort_logbook(entries, known=known, now=NOW)
    assert [o.became for o in outcomes] == [Became.ENTERED, Became.HELD, Became.ENTERED]
    assert outcomes[2].warnings
