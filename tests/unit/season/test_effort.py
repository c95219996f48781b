"""Device-nights out of a diary: conventions, losses, corrections, overlaps, the season's end."""

from datetime import UTC, datetime, timedelta

import pytest

from tendline.core.when import Span
from tendline.season.effort import Convention, by_group, every_group, total
from tendline.season.stretches import Ending, nights_between
from tests.unit.logbook.made import FINE, MONDAY, Book
from tests.unit.season.walks import CLOSED, COYOTE, DOWN, GONE, RACCOON, YEAR, ZONE, codes, walk


def effort(book: Book, convention: Convention = Convention.NELSON_CLARK, **how: float) -> float:
    return total(walk(book, **how).stretches, convention).effort  # type: ignore[arg-type]


def mornings(book: Book, found: dict[int, dict[str, str]], nights: int, name: str = "N3") -> None:
    for n in range(1, nights + 1):
        book.check(name, hours=24 * n, **found.get(n, {}))


def test_a_night_is_told_by_its_midnight_whatever_the_hours() -> None:
    evening = datetime(2027, 1, 11, 22, tzinfo=UTC)  # 17:00
    assert nights_between(evening, evening + timedelta(hours=13), YEAR, ZONE) == (1.0, 0.0)
    assert nights_between(evening, evening + timedelta(hours=6), YEAR, ZONE) == (0.0, 0.0)
    assert nights_between(evening, evening + timedelta(hours=37), YEAR, ZONE) == (2.0, 0.0)


def test_a_night_over_the_change_of_the_clocks_is_one_night() -> None:
    before = datetime(2027, 3, 13, 22, tzinfo=UTC)
    assert nights_between(before, before + timedelta(hours=13), YEAR, ZONE) == (1.0, 0.0)


def test_a_night_is_split_at_the_legal_end() -> None:
    end = datetime(2027, 1, 13, 5, tzinfo=UTC)  # the end of 12 January
    window = Span(YEAR.start, end)
    start = datetime(2027, 1, 11, 10, tzinfo=UTC)
    # 11/12 lies inside; of 12/13, noon to noon, half does; 13/14 lies outside.
    assert nights_between(start, start + timedelta(days=3), window, ZONE) == (1.5, 1.5)
    noon = Span(YEAR.start, datetime(2027, 1, 12, 17, tzinfo=UTC))
    assert nights_between(start, start + timedelta(days=3), noon, ZONE) == (1.0, 2.0)
    book = Book()
    book.made()
    mornings(book, {3: COYOTE}, 3)
    found = total(walk(book, window=window).stretches, Convention.RAW)
    assert (found.effort, found.outside) == (1.5, 1.5)
    assert found.target == 0  # taken after the end: in no rate


CONVENTIONS = {
    # 4 nights: fine, closed, down, coyote; then a raccoon and a night under snow.
    Convention.RAW: 6.0,
    Convention.NELSON_CLARK: 6 - 5 / 2,
    Convention.FUNCTIONAL: 6 - 4 / 2,
    Convention.BY_FINDING: 6 - 2 / 2 - 1,
}


@pytest.mark.parametrize("convention", list(Convention))
def test_each_convention_counts_as_it_says(convention: Convention) -> None:
    book = Book()
    book.made()
    buried = {"found_as": "buried", "what_happened": "snow", "done": "dug-out"}
    mornings(book, {2: CLOSED, 3: DOWN, 4: COYOTE, 5: RACCOON, 6: buried}, 6)
    assert effort(book, convention) == CONVENTIONS[convention]


def test_half_of_a_longer_interval_is_taken_off() -> None:
    book = Book()
    book.made()
    book.check(hours=96, **CLOSED)
    assert effort(book) == 2.0


def test_a_lost_or_stolen_device_counts_from_the_last_look() -> None:
    book = Book()
    book.made()
    mornings(book, {}, 2)
    book.check(hours=72, found_as="not-found", what_happened="snow", done="searched", left_as="as-found")
    book.note("lost", {"set": "N3", "why": "plough"}, at=MONDAY + timedelta(hours=200))
    found = walk(book)
    tally = total(found.stretches, Convention.RAW)
    assert (tally.effort, tally.lost, found.failed) == (2.0, 1, 1)
    stolen = Book()
    stolen.made()
    mornings(stolen, {3: GONE}, 3)
    assert effort(stolen, Convention.RAW) == 2.0
    assert walk(stolen).still_open == ()


def test_a_search_in_vain_keeps_the_nights_once_it_is_found() -> None:
    book = Book()
    book.made()
    book.check(hours=24, found_as="not-found", what_happened="snow", done="searched", left_as="as-found")
    book.check(hours=48)
    assert effort(book) == 2.0


def test_nights_after_the_last_look_are_not_counted_yet() -> None:
    book = Book()
    book.made()
    mornings(book, {}, 2)
    found = walk(book, hours=24 * 5)
    assert total(found.stretches, Convention.RAW).effort == 2.0
    assert found.still_open[0].nights == 3.0


def test_closed_devices_earn_nothing() -> None:
    book = Book()
    book.made()
    book.check(hours=24, done="closed", left_as="unset")
    book.check(hours=72, found_as="unset", done="rehung", left_as="working")
    book.check(hours=96)
    assert effort(book, Convention.RAW) == 2.0
    kinds = [one.ending for one in walk(book).stretches]
    assert kinds == [Ending.OPERATIVE, Ending.DOWN, Ending.OPERATIVE]


def test_left_as_it_lay_is_not_working() -> None:
    book = Book()
    book.made()
    book.check(hours=24, **{**DOWN, "done": "none", "left_as": "as-found"})
    book.check(hours=48, **DOWN)
    assert effort(book) == 0.5


def test_a_correction_moves_the_night_and_a_void_takes_it_away() -> None:
    book = Book()
    book.made()
    first = book.check(hours=24)
    book.check(hours=48, **CLOSED)
    assert effort(book) == 1.5
    wrong = {"of": first.id, "fields": CLOSED, "why": "misread"}
    change = book.note("correction", wrong, at=MONDAY + timedelta(hours=50))
    assert effort(book) == 1.0
    book.note("void", {"of": change.id, "why": "was right"}, at=MONDAY + timedelta(hours=51))
    assert effort(book) == 1.5
    book.note("void", {"of": first.id, "why": "never went"}, at=MONDAY + timedelta(hours=52))
    assert effort(book) == 1.0  # one interval of two nights, found closed


def test_a_look_from_the_road_ends_nothing() -> None:
    book = Book()
    book.made()
    book.check(hours=24, from_distance=True)
    book.check(hours=48, **CLOSED)
    assert effort(book) == 1.0


def test_made_again_while_out_counts_each_night_once_and_is_named() -> None:
    book = Book()
    book.made()
    mornings(book, {}, 1)
    book.note("set-made", {"set": "N3", "tag": "101"}, at=MONDAY + timedelta(hours=48), place=(-78.0, 41.5))
    book.check(hours=72)
    found = walk(book)
    assert total(found.stretches, Convention.RAW).effort == 3.0
    assert codes(found) == ["SEA-106"]


def test_a_device_in_two_places_counts_once_and_is_named() -> None:
    book = Book()
    book.made("N3", "101")
    mornings(book, {}, 2)
    book.made("H1", "101", at=MONDAY + timedelta(hours=50))
    for n in (3, 4):
        book.check("N3", hours=24 * n)
        book.check("H1", hours=24 * n + 1)
    found = walk(book)
    assert codes(found) == ["SEA-104"]
    by_set = by_group(found.stretches, Convention.RAW, "set")
    assert {name: tally.effort for name, tally in by_set.items()} == {"H1": 2.0, "N3": 2.0}


def test_a_device_that_went_back_to_an_earlier_set_counts_there() -> None:
    book = Book()
    book.made("N3", "101")
    mornings(book, {}, 1)
    book.note("pulled", {"set": "N3"}, at=MONDAY + timedelta(hours=25))
    book.made("H1", "101", at=MONDAY + timedelta(hours=26))
    book.check("H1", hours=48)
    book.made("N3", "101", at=MONDAY + timedelta(hours=50))
    for n in (3, 4):
        book.check("H1", hours=24 * n)
        book.check("N3", hours=24 * n + 1)
    found = walk(book)
    assert codes(found) == ["SEA-104"]
    by_set = by_group(found.stretches, Convention.RAW, "set")
    assert {name: tally.effort for name, tally in by_set.items()} == {"H1": 1.0, "N3": 3.0}


def test_two_records_of_one_animal_are_one_and_are_named() -> None:
    book = Book()
    book.made()
    look = book.check(hours=24, **COYOTE)
    told = {"set": "N3", "species": "coyote", "standing": "target", "fate": "kept"}
    book.note("catch", {**told, "check": look.id}, at=MONDAY + timedelta(hours=24.2))
    assert codes(walk(book)) == []
    book.note("catch", told, at=MONDAY + timedelta(hours=25))
    found = walk(book)
    assert codes(found) == ["SEA-103"]
    assert total(found.stretches, Convention.RAW).target == len(found.catches) == 1


def test_a_catch_without_a_set_is_in_no_rate_and_is_named() -> None:
    book = Book()
    book.made()
    book.check(hours=24)
    told = {"set": "Q9", "species": "coyote", "standing": "target", "fate": "kept"}
    book.note("catch", told, at=MONDAY + timedelta(hours=24))
    found = walk(book)
    assert codes(found) == ["SEA-102"]
    assert total(found.stretches, Convention.RAW).target == 0


def test_what_cannot_be_is_named_and_left_out() -> None:
    book = Book()
    book.made()
    book.check(hours=24, minutes_s=-120.0)
    book.check("Q9", hours=24)
    late = {"set": "N3", **FINE}
    book.note("check", late, at=MONDAY + timedelta(days=40), recorded=MONDAY + timedelta(hours=25))
    book.check(hours=24 * 41)  # written down when it happened: at the moment asked about it was not yet so
    found = walk(book, hours=48)
    assert codes(found) == ["SEA-105", "SEA-107", "SEA-108"]
    assert found.stretches[0].minutes_s is None
    assert total(found.stretches, Convention.RAW).effort == 1.0


def test_groups_add_up_to_the_whole() -> None:
    book = Book()
    weather = {"new_snow_m": 0.1, "snow_m": 0.15}
    book.made("N3", "101", parcel="mill", location_type="Trail ", loop_m=0.254)
    book.made("H1", "102", parcel="heron", loop_m=0.2286)
    book.note("weather-seen", weather, at=MONDAY + timedelta(hours=47))
    for n in range(1, 10):
        book.check("N3", hours=24 * n, **({} if n != 4 else COYOTE))
        book.check("H1", hours=24 * n + 1, **({} if n != 5 else DOWN))
    found = walk(book).stretches
    whole = total(found, Convention.NELSON_CLARK)
    for name, groups in every_group(found, Convention.NELSON_CLARK).items():
        assert sum(g.effort for g in groups.values()) == pytest.approx(whole.effort), name
        assert sum(g.target for g in groups.values()) == whole.target == 1
        assert sum(g.looks for g in groups.values()) == whole.looks == 18
    told = every_group(found, Convention.NELSON_CLARK)
    assert list(told["property"]) == ["heron", "mill"]
    assert list(told["location type"]) == ["not told", "trail"]
    assert list(told["loop"]) == ["10 in", "9 in"]
    assert told["weather"]["new snow"].nights == 2
    assert told["weather"]["snow lying"].nights == 12  # a depth holds for a week
    assert list(told["week"]) == ["2027-01-11", "2027-01-18"]


def test_a_long_interval_is_shared_between_its_weeks() -> None:
    book = Book()
    book.made()
    book.check(hours=24 * 9)
    weeks = by_group(walk(book).stretches, Convention.RAW, "week")
    assert {k: round(t.effort, 6) for k, t in weeks.items()} == {"2027-01-11": 6.0, "2027-01-18": 3.0}
