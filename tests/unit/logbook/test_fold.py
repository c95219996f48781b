"""What a diary of events adds up to."""

from datetime import timedelta

import pytest

from tendline.core.line import DeviceState, LineState, SetStanding
from tendline.logbook.fold import line_at
from tests.unit.logbook.made import MONDAY, Book

SQUARE = [[[[-78.1, 41.4], [-77.9, 41.4], [-77.9, 41.6], [-78.1, 41.6], [-78.1, 41.4]]]]


def line(book: Book, hours: float = 100) -> LineState:
    return line_at(book.events, at=MONDAY + timedelta(hours=hours))


def test_a_set_is_seen_when_it_is_made_and_at_each_check() -> None:
    book = Book()
    book.made(loop_m=0.254)
    book.check(hours=24)
    one = line(book).sets["N3"]
    assert one.standing is SetStanding.WORKING
    assert one.made_at == MONDAY
    assert one.last_seen == MONDAY + timedelta(hours=24)
    assert one.loop_m == 0.254
    assert line(book, hours=10).sets["N3"].last_seen == MONDAY


@pytest.mark.parametrize("found", ["not-found", "not-reached"])
def test_a_look_that_never_saw_the_set_leaves_the_clock_running(found: str) -> None:
    book = Book()
    book.made()
    book.check(hours=24, found_as=found, what_happened="snow", done="searched", left_as="as-found")
    one = line(book).sets["N3"]
    assert one.last_seen == MONDAY
    assert one.not_found_since == (MONDAY + timedelta(hours=24) if found == "not-found" else None)
    book.check(hours=30)
    assert line(book).sets["N3"].not_found_since is None


def test_seen_from_a_distance_is_kept_apart() -> None:
    book = Book()
    book.made()
    book.check(hours=24, from_distance=True)
    one = line(book).sets["N3"]
    assert one.last_seen == MONDAY
    assert one.looks[0].from_distance


def test_a_note_that_a_set_was_adjusted_starts_no_clock() -> None:
    book = Book()
    book.made(bottom_m=0.2)
    book.note("adjusted", {"set": "N3", "bottom_m": 0.25}, at=MONDAY + timedelta(hours=5))
    one = line(book).sets["N3"]
    assert one.bottom_m == 0.25
    assert one.last_seen == MONDAY


def test_devices_balance_through_swaps_losses_and_pulls() -> None:
    book = Book()
    book.made("N3", "101")
    book.made("N4", "102")
    book.note("device-built", {"tag": "103"})
    book.check("N3", hours=10, done="swapped", tag="103")
    book.note("device-scrapped", {"tag": "101", "why": "kinked"}, at=MONDAY + timedelta(hours=11))
    book.note("lost", {"set": "N4", "why": "under a drift"}, at=MONDAY + timedelta(hours=12))
    now = line(book)
    states = {tag: device.state for tag, device in now.devices.items()}
    assert states == {"101": DeviceState.SCRAPPED, "102": DeviceState.LOST, "103": DeviceState.FIELD}
    assert now.unbalanced == ()
    book.note("found", {"set": "N4"}, at=MONDAY + timedelta(hours=50))
    book.note("pulled", {"set": "N3"}, at=MONDAY + timedelta(hours=51))
    now = line(book)
    assert {d.state for d in now.devices.values()} == {DeviceState.STOCK, DeviceState.SCRAPPED}
    assert now.in_field == ()
    assert now.sets["N4"].standing is SetStanding.PULLED


def test_a_lost_set_found_working_is_back_on_the_line() -> None:
    book = Book()
    book.made()
    book.note("lost", {"set": "N3", "why": "snow"}, at=MONDAY + timedelta(hours=1))
    book.note("found", {"set": "N3", "left_as": "working"}, at=MONDAY + timedelta(hours=2))
    one = line(book).sets["N3"]
    assert one.standing is SetStanding.WORKING
    assert one.last_seen == MONDAY + timedelta(hours=2)
    assert line(book).devices["101"].state is DeviceState.FIELD


def test_a_device_in_two_places_is_out_of_balance() -> None:
    book = Book()
    book.made("N3", "101")
    book.note("set-made", {"set": "N9", "tag": "101"}, at=MONDAY + timedelta(hours=1), place=(-78, 41.5))
    book.note("set-made", {"set": "N8", "tag": "777"}, at=MONDAY + timedelta(hours=1), place=(-78, 41.5))
    assert any("101" in sentence and "N9" in sentence for sentence in line(book).unbalanced)
    assert any("777" in sentence and "never built" in sentence for sentence in line(book).unbalanced)


def test_left_as_decides_how_the_set_stands() -> None:
    book = Book()
    book.made()
    book.check(hours=1, left_as="unset", done="closed")
    assert line(book).sets["N3"].standing is SetStanding.UNSET
    book.check(hours=2, found_as="unset", left_as="as-found", done="none")
    assert line(book).sets["N3"].standing is SetStanding.UNSET
    book.check(hours=3, found_as="unset", left_as="working", done="rehung")
    assert line(book).sets["N3"].standing is SetStanding.WORKING
    book.check(hours=4, left_as="pulled", done="pulled")
    assert line(book).sets["N3"].standing is SetStanding.PULLED
    assert line(book).devices["101"].state is DeviceState.STOCK


def test_a_catch_told_twice_is_counted_once() -> None:
    book = Book()
    book.made()
    found = book.check(
        hours=24, found_as="holding", what_happened="caught-kept", done="remade", species="coyote"
    )
    assert [c.species for c in line(book).catches] == ["coyote"]
    more = {"set": "N3", "species": "coyote", "standing": "target", "fate": "kept", "weight_kg": 16.0}
    book.note("catch", {**more, "check": found.id}, at=MONDAY + timedelta(hours=24.2))
    assert len(line(book).catches) == 1


def test_a_correction_changes_what_is_said_and_erases_nothing() -> None:
    book = Book()
    book.made()
    check = book.check(hours=24)
    book.note(
        "correction",
        {
            "of": check.id,
            "why": "wrong hour",
            "happened_at": "2027-01-12T09:30:00+00:00",
            "fields": {"done": "rehung"},
        },
        at=MONDAY + timedelta(hours=30),
    )
    one = line(book).sets["N3"]
    assert one.last_seen == MONDAY + timedelta(hours=23.5)
    assert len(book.events) == 4
    then = line_at(book.events, at=MONDAY + timedelta(hours=26), known_at=MONDAY + timedelta(hours=26))
    assert then.sets["N3"].last_seen == MONDAY + timedelta(hours=24)


def test_a_void_takes_an_event_out_and_a_void_of_the_void_brings_it_back() -> None:
    book = Book()
    book.made()
    check = book.check(hours=24)
    void = book.note("void", {"of": check.id, "why": "other set"}, at=MONDAY + timedelta(hours=25))
    assert line(book).sets["N3"].last_seen == MONDAY
    book.note("void", {"of": void.id, "why": "it was right"}, at=MONDAY + timedelta(hours=26))
    assert line(book).sets["N3"].last_seen == MONDAY + timedelta(hours=24)


def test_a_correction_can_move_a_set_and_take_a_value_away() -> None:
    book = Book()
    made = book.made(landmark="third post")
    book.note(
        "correction",
        {"of": made.id, "why": "measured again", "place": "-78.02,41.51,4", "fields": {"landmark": None}},
        at=MONDAY + timedelta(hours=2),
    )
    one = line(book).sets["N3"]
    assert (one.fix.place.lon, one.fix.place.lat, one.fix.accuracy_m) == (-78.02, 41.51, 4)
    assert one.landmark == ""


def test_ground_people_and_parkings_are_kept() -> None:
    book = Book()
    book.note("parcel", {"name": "mill", "outline": SQUARE, "owner": "A. Farmer", "zones": {"side": "east"}})
    book.note("permission", {"parcel": "mill", "first": "2026-12-01", "last": "2027-02-22", "written": True})
    book.note("parking", {"name": "P1", "parcels": ["mill"]}, place=(-78.0, 41.5))
    book.note("landmark", {"name": "oak"}, place=(-78.0, 41.5))
    book.note("available", {"who": "Ann", "start": "2027-01-12T09:00:00Z", "end": "2027-01-12T12:00:00Z"})
    now = line(book)
    assert now.parcels["mill"].permissions[0].written
    assert now.parcels["mill"].zones == {"side": "east"}
    assert now.parkings["P1"].parcels == ("mill",)
    assert now.available[0].who == "Ann"
    assert "oak" in now.landmarks


def test_a_set_brought_without_a_time_has_no_known_clock() -> None:
    book = Book()
    book.made(time_known=False)
    one = line(book).sets["N3"]
    assert one.made_at is None
    assert one.last_seen is None


def test_what_cannot_be_settled_is_said() -> None:
    book = Book()
    book.check("N9", hours=1)
    book.made("N3", "101")
    book.made("N3", "102", at=MONDAY + timedelta(hours=1))
    warnings = line(book).warnings
    assert any("N9" in w for w in warnings)
    assert any("made again" in w for w in warnings)


def test_an_entry_written_down_hours_later_is_marked_late() -> None:
    book = Book()
    book.made()
    body = {
        "set": "N3",
        "found_as": "working",
        "what_happened": "nothing",
        "done": "looked",
        "left_as": "working",
    }
    book.note("check", body, at=MONDAY + timedelta(hours=1), recorded=MONDAY + timedelta(hours=9))
    assert line(book).sets["N3"].looks[0].late_entry
