"""What only the law asks for: kept, folded, and never taken for known when it is not."""

from datetime import timedelta
from typing import Any

import pytest

from tendline.core.line import HeightSeen, LineState
from tendline.core.words import Surface
from tendline.jobs.words_in import option_name
from tendline.logbook.bodies import body_faults
from tendline.logbook.fold import line_at
from tendline.logbook.kinds import KINDS
from tests.unit.logbook.made import MONDAY, Book


def line(book: Book, hours: float = 100) -> LineState:
    return line_at(book.events, at=MONDAY + timedelta(hours=hours))


def later(hours: float) -> dict[str, Any]:
    return {"at": MONDAY + timedelta(hours=hours)}


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_option_of_a_kind_has_a_name_of_its_own(kind: str) -> None:
    names = [option_name(field) for field in KINDS[kind].fields]
    assert sorted(set(names)) == sorted(names)


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("device-built", {"tag": "1", "breakaway_n": -1}),
        ("device-built", {"tag": "1", "breakaway_at": "elsewhere"}),
        ("device-built", {"tag": "1", "tag_says": ["name", "shoe size"]}),
        ("device-built", {"tag": "1", "swivels": 1.5}),
        ("adjusted", {"set": "N3", "slope_deg": 91}),
        ("adjusted", {"set": "N3", "taped": {"moon": 3.0}}),
        ("adjusted", {"set": "N3", "taped": {"den": -3.0}}),
        ("adjusted", {"set": "N3", "taped": ["den"]}),
        ("permission", {"parcel": "mill", "species": ["coyote", ""]}),
        ("catch-done", {"set": "N3", "act": "sing"}),
    ],
)
def test_a_value_that_cannot_be_is_refused(kind: str, body: dict[str, Any]) -> None:
    assert [f.code.id for f in body_faults(kind, body, has_place=True, where="")] == ["LOG-104"]


def test_how_a_device_was_built_stays_with_its_tag() -> None:
    book = Book()
    book.note("device-built", {"tag": "101", "loop_m": 0.3, "swivels": 2, "relaxing_lock": True, "note": "x"})
    assert line(book).devices["101"].build == {"loop_m": 0.3, "swivels": 2, "relaxing_lock": True}


def test_what_is_told_of_a_set_is_as_last_noted() -> None:
    book = Book()
    book.made(slope_deg=10, in_water=False, taped={"den": 4.0, "bait": 9.0})
    book.check(hours=5, slope_deg=20, taped={"bait": 12.0})
    assert line(book).sets["N3"].told == {
        "slope_deg": 20,
        "in_water": False,
        "taped": {"den": 4.0, "bait": 12.0},
    }
    assert line(book, hours=1).sets["N3"].told["slope_deg"] == 10


def test_a_height_goes_with_the_surface_and_snow_noted_with_it() -> None:
    book = Book()
    book.made(bottom_m=0.25, surface="ground", snow_m=0.0)
    book.check(hours=5, bottom_m=0.2)
    one = line(book).sets["N3"]
    assert one.bottom == HeightSeen(0.2, None, None, MONDAY + timedelta(hours=5))
    assert line(book, hours=1).sets["N3"].bottom == HeightSeen(0.25, Surface.GROUND, 0.0, MONDAY)


@pytest.mark.parametrize("done", ["adjusted", "rehung", "remade", "swapped"])
def test_a_loop_that_was_hung_anew_has_no_height_until_it_is_measured(done: str) -> None:
    book = Book()
    book.made(bottom_m=0.25, top_m=0.55, surface="ground")
    book.check(hours=5, found_as="knocked-down", what_happened="deer", done=done)
    one = line(book).sets["N3"]
    assert (one.bottom, one.top) == (None, None)
    assert one.bottom_m == 0.25  # what was last said is kept for the papers
    book.check(hours=6, bottom_m=0.2, surface="ground", done=done)
    again = line(book).sets["N3"]
    assert again.bottom is not None
    assert again.top is None


@pytest.mark.parametrize("done", ["looked", "dug-out", "searched"])
def test_a_loop_that_was_left_alone_keeps_its_heights(done: str) -> None:
    book = Book()
    book.made(bottom_m=0.25, top_m=0.55, surface="ground")
    book.check(hours=5, done=done)
    one = line(book).sets["N3"]
    assert one.bottom is not None
    assert one.top is not None


def test_a_bottom_found_elsewhere_says_that_the_top_is_elsewhere_too() -> None:
    book = Book()
    book.made(bottom_m=0.25, top_m=0.55, surface="ground")
    book.note("adjusted", {"set": "N3", "bottom_m": 0.25, "surface": "ground"}, **later(2))
    assert line(book).sets["N3"].top is not None
    book.note("adjusted", {"set": "N3", "bottom_m": 0.20, "surface": "ground"}, **later(3))
    assert line(book).sets["N3"].top is None


def test_an_adjustment_without_a_number_leaves_no_height_standing() -> None:
    book = Book()
    book.made(bottom_m=0.25, surface="ground")
    book.note("adjusted", {"set": "N3", "snow_m": 0.1}, **later(1))
    assert line(book).sets["N3"].bottom is not None
    book.note("adjusted", {"set": "N3", "why": "lifted a hand"}, **later(2))
    assert line(book).sets["N3"].bottom is None


def test_a_set_made_again_starts_with_a_clean_sheet() -> None:
    book = Book()
    book.made(bottom_m=0.25, surface="ground", in_water=True)
    book.note("pulled", {"set": "N3"}, **later(4))
    assert line(book).sets["N3"].pulled_at == MONDAY + timedelta(hours=4)
    book.made(at=MONDAY + timedelta(hours=9))
    one = line(book).sets["N3"]
    assert (one.bottom, one.told, one.pulled_at) == (None, {}, None)


def test_snow_is_kept_with_where_it_was_seen() -> None:
    book = Book()
    book.made(bottom_m=0.25, surface="packed-snow", snow_m=0.2)
    weather = {"snow_m": 0.3, "new_snow_m": 0.1, "surface": "loose-snow", "parcel": "mill"}
    book.note("weather-seen", weather, **later(3))
    book.note("weather-seen", {"air_c": -5}, **later(4))
    book.check(hours=5)
    first, second = line(book).snow
    assert (first.set_name, first.depth_m, first.surface) == ("N3", 0.2, Surface.PACKED_SNOW)
    assert (second.parcel, second.set_name, second.new_m) == ("mill", "", 0.1)


def test_what_was_done_about_a_catch_goes_to_the_last_one_at_the_set() -> None:
    book = Book()
    book.made()
    first = book.check(hours=5, what_happened="caught-kept", found_as="holding", species="coyote")
    book.note("catch-done", {"set": "N3", "act": "report", "to": "the office"}, **later(6))
    details = {"set": "N3", "species": "coyote", "standing": "target", "fate": "kept", "alive": True}
    book.note("catch", {**details, "check": first.id}, **later(7))
    book.check(hours=30, what_happened="caught-released", found_as="holding", species="red fox")
    book.note("catch-done", {"set": "N3", "act": "release"}, **later(31))
    one, two = line(book).catches
    assert (one.at, one.tag, one.told) == (MONDAY + timedelta(hours=5), "101", {"alive": True})
    assert [(a.act, a.to) for a in one.acts] == [("report", "the office")]
    assert [a.act for a in two.acts] == ["release"]


def test_something_done_about_no_catch_is_told() -> None:
    book = Book()
    book.made()
    book.note("catch-done", {"set": "N3", "act": "report"}, **later(1))
    assert "no catch" in line(book).warnings[0]


def test_what_a_leave_and_a_parcel_say_is_kept() -> None:
    square = [[[[0, 0], [1, 0], [1, 1], [0, 0]]]]
    book = Book()
    book.note("parcel", {"name": "mill", "outline": square, "county": "harrow", "owners": ["A", "B"]})
    book.note("permission", {"parcel": "mill", "signed": True, "species": ["coyote"], "filed": False})
    parcel = line(book).parcels["mill"]
    assert parcel.told == {"county": "harrow", "owners": ["A", "B"]}
    assert parcel.permissions[0].told == {"signed": True, "species": ["coyote"], "filed": False}
