"""What the law is told of a line: as recorded, with its ranges, and nothing that nobody recorded."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.almanac.datum import Base
from tendline.almanac.position import Side
from tendline.core.feature import Feature
from tendline.core.line import LineState
from tendline.core.people import PaperHeld
from tendline.core.place import LonLat, Outline
from tendline.core.settings import LawSettings, PersonTold, Settings
from tendline.core.words import (
    BuildPoint,
    CatchAct,
    Edge,
    FeatureClass,
    LandClass,
    TagWord,
)
from tendline.jobs.law_set import reach_picture
from tendline.jobs.lawful_facts import LawCase, lawful_cases
from tendline.logbook.fold import line_at
from tendline.report.reach_drawing import Clear, clear_of
from tendline.rules import nouns
from tendline.rules.facts import Across, Datum, Facts, Part, Point, SetFacts, Subject
from tests.unit.logbook.made import MONDAY, Book

INCH = 0.0254
SQUARE = [[[[-78.1, 41.4], [-77.9, 41.4], [-77.9, 41.6], [-78.1, 41.6], [-78.1, 41.4]]]]
STRIP = [[[[-78.01, 41.49], [-77.99, 41.49], [-77.99, 41.51], [-78.01, 41.51], [-78.01, 41.49]]]]
MINE = Settings("line", ZoneInfo("America/New_York"), handler="Ann", profiles=("xx-demo",))


def line(book: Book, hours: float = 100) -> LineState:
    return line_at(book.events, at=MONDAY + timedelta(hours=hours))


def cases(book: Book, features: Sequence[Feature] = (), settings: Settings = MINE) -> tuple[LawCase, ...]:
    return lawful_cases(line(book), features, settings=settings)


def the(found: Sequence[LawCase], subject: Subject, name: str | None = None) -> Facts:
    (one,) = [c for c in found if c.subject is subject and name in (None, c.name)]
    return one.facts


def the_set(book: Book, features: Sequence[Feature] = (), settings: Settings = MINE) -> SetFacts:
    found = the(cases(book, features, settings), Subject.SET).set
    assert found is not None
    return found


def later(hours: float) -> dict[str, Any]:
    return {"at": MONDAY + timedelta(hours=hours)}


def test_the_words_of_the_record_are_those_of_the_law() -> None:
    assert {w.value for w in TagWord} == set(nouns.TAG_WORDS)
    assert {w.value for w in CatchAct} == set(nouns.ACTS)
    assert {w.value for w in LandClass} == set(nouns.LAND_CLASSES)
    assert {w.value for w in Edge} == set(nouns.EDGES)
    assert set(nouns.FEATURES) <= {w.value for w in FeatureClass}
    assert {w.value for w in BuildPoint} <= {p.value for p in Point}
    assert {b.value for b in Base} == {d.value for d in Datum}


def test_a_bare_record_tells_the_law_nothing_it_does_not_hold() -> None:
    book = Book()
    book.made()
    found = the(cases(book), Subject.SET)
    assert found.device is not None
    assert found.set is not None
    assert (found.device.loop_open, found.device.stop, found.device.tag, found.device.parts) == (
        None,
        None,
        None,
        {},
    )
    assert (found.set.bottom, found.set.top, found.set.reach, found.set.obstacles) == ({}, {}, None, None)
    assert (found.set.snow_at_set, found.set.species) == (None, None)
    assert found.set.looked_for == {"other-set"}
    assert (found.place, found.permissions, found.holidays) == (None, None, None)
    assert found.about == frozenset({Subject.SET})


def test_a_device_is_told_as_built() -> None:
    book = Book()
    body = {
        "tag": "101",
        "loop_m": 12 * INCH,
        "loop_min_m": 2.5 * INCH,
        "cable_length_m": 1.5,
        "breakaway_n": 1267.0,
        "breakaway_at": "lock",
        "has_breakaway": True,
        "swivels": 2,
        "swivel_at": ["anchor"],
        "swivel_length_m": 0.05,
        "has_stop": False,
        "tag_says": ["name", "address"],
        "tag_ferrous": False,
        "relaxing_lock": True,
        "construction": "7x7",
    }
    book.note("device-built", body)
    book.made("N3", "101", extension_m=0.9, anchor_kind="woody-stem", loop_m=10 * INCH)
    found = the(cases(book), Subject.DEVICE, "101").device
    assert found is not None
    assert found.loop_open is not None
    assert found.loop_now is not None
    assert (found.loop_open.measure.value, found.loop_open.across) == (12 * INCH, Across.DIAMETER)
    assert found.loop_now.measure.value == 10 * INCH
    assert found.lengths[Point.EXTENSION_END, Point.LOCK_AT_STOP].value == 1.5
    assert found.lengths[Point.ANCHOR, Point.LOCK_AT_STOP].value == pytest.approx(2.4)
    assert [part.at for part in found.parts[Part.SWIVEL]] == [Point.ANCHOR, None]
    assert found.parts[Part.STOP] == ()
    assert found.parts[Part.BREAKAWAY][0].at is Point.LOCK
    assert found.tag is not None
    assert (found.tag.contents, found.tag.ferrous, found.tag.durable) == (
        frozenset({"name", "address"}),
        False,
        None,
    )
    assert (found.relaxing_lock, found.single_piece_lock, found.construction) == (True, None, "7x7")
    assert (found.anchor_woody_stem, found.drag, found.anchor_immovable) == (True, False, None)


def test_without_an_extension_on_record_the_length_from_the_anchor_is_unknown() -> None:
    book = Book()
    book.note("device-built", {"tag": "101", "cable_length_m": 1.5})
    book.made("N3", "101", anchor_kind="drag")
    found = the(cases(book), Subject.SET).device
    assert found is not None
    assert list(found.lengths) == [(Point.EXTENSION_END, Point.LOCK_AT_STOP)]
    assert (found.drag, found.anchor_immovable) == (True, False)


def test_heights_are_told_by_every_surface_that_can_be_told() -> None:
    """Bottom 10 in over 8 in of packed snow; then 6 in of powder: 10 in by the old surface, 4 by the new."""
    book = Book()
    book.made(bottom_m=10 * INCH, loop_m=12 * INCH, surface="packed-snow", snow_m=8 * INCH)
    weather = {"snow_m": 14 * INCH, "new_snow_m": 6 * INCH, "surface": "loose-snow"}
    book.note("weather-seen", weather, **later(4))
    found = the_set(book)
    assert found.snow_at_set is True
    hard, top = found.bottom[Datum.FIRST_HARD], found.top[Datum.FIRST_HARD]
    assert (hard.least, hard.most) == pytest.approx((10 * INCH, 10 * INCH))
    assert found.bottom[Datum.GROUND].value == pytest.approx(18 * INCH)
    assert found.bottom[Datum.SNOW_SURFACE].value == pytest.approx(4 * INCH)
    # Top of a 12 in loop: 12 in higher when round, 13.903 in when hung as a long oval.
    assert (top.least, top.most) == pytest.approx((22 * INCH, 23.903 * INCH), abs=1e-4)
    assert "drifts differ" in hard.how


def test_snow_noted_elsewhere_says_nothing_of_a_set() -> None:
    book = Book()
    book.made("N3", "101", bottom_m=0.25, surface="packed-snow", snow_m=0.2)
    book.made("N4", "102")
    book.note("adjusted", {"set": "N4", "snow_m": 0.6, "surface": "crust"}, **later(2))
    book.note("weather-seen", {"snow_m": 0.7, "surface": "crust", "parcel": "hill"}, **later(3))
    found = the(cases(book), Subject.SET, "N3").set
    assert found is not None
    assert found.bottom[Datum.FIRST_HARD].value == 0.25


def test_a_top_that_was_measured_goes_before_one_worked_out() -> None:
    book = Book()
    book.made(bottom_m=0.25, top_m=0.5, loop_m=0.3, surface="ground", snow_m=0.0)
    found = the_set(book)
    assert found.top[Datum.GROUND].value == 0.5
    assert found.snow_at_set is False


def feature(kind: FeatureClass, lon: float = -77.999, **more: Any) -> Feature:
    return Feature(f"the {kind.value}", kind, place=LonLat(lon, 41.5), **more)


def test_what_is_drawn_is_told_with_how_good_it_is_and_what_waives_it() -> None:
    """Set good to 5 m, house to 10 m, 68 % radii: joint sigma sqrt(5^2 + 10^2) / 1.50959, times 2.44775."""
    book = Book()
    book.made(in_water=False)
    house = feature(FeatureClass.DWELLING, accuracy_m=10.0, consent=True, notice=False, own=False)
    (near,) = the_set(book, [house]).near
    assert near.feature == "dwelling"
    assert near.error95_m == pytest.approx(125**0.5 * 2.44775 / 1.50959, rel=1e-4)
    assert near.waivers == {"consent"}
    assert near.not_waived == {"notice", "ownership", "in-water"}
    assert near.distance.value == pytest.approx(83.5, abs=0.5)
    assert near.distance.least == pytest.approx(near.distance.value - 15.0)


def test_a_taped_distance_goes_before_a_drawn_one() -> None:
    book = Book()
    book.made(taped={"den": 4.0})
    (near,) = the_set(book, [feature(FeatureClass.DEN)]).near
    assert (near.distance.value, near.error95_m) == (4.0, None)


def test_other_sets_are_near_and_always_looked_for() -> None:
    book = Book()
    book.made("N3", "101")
    book.made("N4", "102")
    found = the(cases(book), Subject.SET, "N3").set
    assert found is not None
    assert [(n.feature, n.name, n.distance.value) for n in found.near] == [("other-set", "set N4", 0.0)]
    # 5 m and 5 m: sqrt(50) / 1.50959 x 2.44775.
    assert found.near[0].error95_m == pytest.approx(11.466, abs=0.01)


def test_features_looked_for_are_those_noted_and_those_drawn_in_full() -> None:
    book = Book()
    book.made(looked_for=["den", "bait"])
    mine = Settings("line", MINE.zone, law=LawSettings(drawn=("road",)))
    assert the_set(book, (), mine).looked_for == {"den", "bait", "road", "other-set"}


@pytest.mark.parametrize(
    ("drawn", "shift", "expected"),
    [((), 0.0, True), ((), 1.0, None), (("livestock-enclosure",), 1.0, False), ((), 0.05, None)],
)
def test_standing_with_livestock_is_told_by_what_is_drawn(
    drawn: tuple[str, ...], shift: float, expected: bool | None
) -> None:
    """The pen is about 8 km half across: 1 degree off is far outside, 0.05 degrees is on its very edge."""
    corners = ((-78.05, 41.45), (-77.95, 41.45), (-77.95, 41.55), (-78.05, 41.55), (-78.05, 41.45))
    ring = tuple(LonLat(lon + shift, lat) for lon, lat in corners)
    pen = Feature("pen", FeatureClass.LIVESTOCK_ENCLOSURE, outline=Outline(((ring,),)))
    book = Book()
    book.made()
    mine = Settings("line", MINE.zone, law=LawSettings(drawn=drawn))
    assert the_set(book, [pen], mine).in_livestock_enclosure is expected


def test_reach_and_obstacles() -> None:
    """1.5 m of cable, 0.5 m of extension, level: the device reaches 2 m; what stands at 2.4 m is told."""
    book = Book()
    book.note("device-built", {"tag": "101", "cable_length_m": 1.5})
    book.made("N3", "101", extension_m=0.5, slope_deg=0, obstacle_m=2.4, obstacle_kind="thorn bush")
    found = the_set(book)
    assert found.reach is not None
    assert (found.reach.least, found.reach.most) == pytest.approx((2.0, 2.0))
    assert found.obstacles is not None
    assert [(o.name, o.distance.value) for o in found.obstacles] == [("thorn bush", 2.4)]


def test_unmeasured_reach_is_as_long_as_it_may_be() -> None:
    """1.5 m, up to 0.9144 m of extension, up to 45 degrees: 2.4144 (1 + sin 45)."""
    book = Book()
    book.note("device-built", {"tag": "101", "cable_length_m": 1.5})
    book.made("N3", "101")
    found = the_set(book)
    assert found.reach is not None
    assert found.reach.least == pytest.approx(1.5)
    assert found.reach.most == pytest.approx(2.4144 * (1 + 0.5**0.5))


def test_the_circle_can_be_drawn_from_the_record() -> None:
    book = Book()
    book.note("device-built", {"tag": "101", "cable_length_m": 1.5})
    book.made("N3", "101", extension_m=0, slope_deg=0, obstacle_m=1.9, obstacle_kind="thorn bush")
    now = line(book)
    picture = reach_picture(now.sets["N3"], now.devices["101"])
    assert picture is not None
    assert picture.circle.high_m == pytest.approx(1.8048)  # 1.5 + 0.3048
    assert picture.obstacle_m == 1.9
    assert clear_of(picture) is Clear.CLEAR
    assert reach_picture(now.sets["N3"], None) is None


@pytest.mark.parametrize(("said", "expected"), [(True, []), (False, [0.0])])
def test_a_word_on_the_reach_is_a_word_on_obstacles(said: bool, expected: list[float]) -> None:
    book = Book()
    book.made(reach_clear=said)
    found = the_set(book).obstacles
    assert found is not None
    assert [o.distance.value for o in found] == expected


def test_a_set_fastened_to_a_fence_by_its_anchor_is_fastened_to_a_fence() -> None:
    book = Book()
    book.made(anchor_kind="fence")
    assert the_set(book).attached_to_fence is True


def farm(book: Book, **more: Any) -> None:
    book.note("parcel", {"name": "mill", "outline": SQUARE, "owner": "Jo Mill", **more})


def test_a_leave_is_told_with_all_it_says() -> None:
    book = Book()
    farm(book, county="harrow", land_class="private")
    leave = {
        "parcel": "mill",
        "first": "2026-10-01",
        "last": "2027-03-01",
        "given_by": "jo mill",
        "written": True,
        "signed": True,
        "names_cables": True,
        "species": ["coyote"],
        "filed": False,
    }
    book.note("permission", leave)
    book.made(parcel="mill", target="coyote")
    found = the(cases(book), Subject.PARCEL, "mill")
    assert found.place is not None
    assert found.permissions is not None
    assert (found.place.owners, found.place.county) == (("Jo Mill",), "harrow")
    (told,) = found.permissions
    assert (told.owner, told.issued, told.until) == ("Jo Mill", date(2026, 10, 1), date(2027, 3, 1))
    assert (told.signed, told.carried, told.filed, told.filed_known) == (True, None, None, True)
    assert told.methods is not None
    assert "snare" in told.methods
    assert told.species == frozenset({"coyote"})
    assert found.set is not None
    assert found.set.species == "coyote"


def test_over_a_right_of_way_every_leave_is_needed() -> None:
    book = Book()
    farm(book)
    book.note("parcel", {"name": "strip", "outline": STRIP, "owners": ["Line company", "Township"]})
    book.note("permission", {"parcel": "mill"})
    book.note("permission", {"parcel": "strip", "given_by": "Township"})
    book.made(parcel="mill")
    found = the(cases(book), Subject.PARCEL, "mill")
    assert found.place is not None
    assert found.place.owners == ("Jo Mill", "Line company", "Township")
    assert found.permissions is not None
    assert [p.owner for p in found.permissions] == ["Jo Mill", "Township"]


def test_whose_leave_is_needed_is_unknown_until_somebody_says() -> None:
    book = Book()
    book.note("parcel", {"name": "mill", "outline": SQUARE})
    book.made(parcel="mill")
    place = the(cases(book), Subject.PARCEL).place
    assert place is not None
    assert place.owners is None


def test_on_own_land_nobody_is_asked() -> None:
    book = Book()
    farm(book, own_land=True)
    place = the(cases(book), Subject.PARCEL).place
    assert place is not None
    assert (place.owners, place.own_land) == ((), True)


def test_each_animal_is_asked_of_a_leave_and_strays_are_asked_too() -> None:
    book = Book()
    farm(book)
    book.made("N3", "101", parcel="mill", target="coyote")
    book.made("N4", "102", parcel="mill", target="coyote")
    book.made("N5", "103", parcel="mill", target="red fox")
    book.note("set-made", {"set": "N6", "tag": "101"}, place=(-70.0, 41.5))
    names = [c.name for c in cases(book) if c.subject is Subject.PARCEL]
    assert names == ["no parcel", "mill (coyote)", "mill (red fox)"]
    assert the(cases(book), Subject.PARCEL, "no parcel").place is None


def test_a_set_noted_on_no_parcel_is_asked_on_the_one_that_holds_it() -> None:
    book = Book()
    farm(book)
    book.made()
    place = the(cases(book), Subject.PARCEL, "mill").place
    assert place is not None
    assert place.owners == ("Jo Mill",)


def test_neighbours_are_known_only_where_somebody_has_gone_round() -> None:
    book = Book()
    farm(book)
    book.made("N3", "101", parcel="mill")
    houses = [
        feature(FeatureClass.DWELLING, notice=True),
        feature(FeatureClass.DWELLING, -78.5, occupied=False),
    ]
    place = the(cases(book, houses), Subject.PARCEL).place
    assert place is not None
    assert place.neighbours is None
    mine = Settings("line", MINE.zone, law=LawSettings(drawn=("dwelling",)))
    place = the(cases(book, houses, mine), Subject.PARCEL).place
    assert place is not None
    assert place.neighbours is not None
    assert [(n.name, n.told, n.consented) for n in place.neighbours] == [("the dwelling", True, None)]


def test_a_set_by_the_edge_of_its_parcel_is_too_close_to_call() -> None:
    """Eastern edge at -77.9; five metres good: sigma 3.31, so within 7.7 m of the edge it cannot be told."""
    book = Book()
    farm(book)
    for name, tag, lon in (("N1", "1", -77.95), ("N2", "2", -77.90002), ("N3", "3", -77.899)):
        book.note("device-built", {"tag": tag})
        book.note("set-made", {"set": name, "tag": tag, "parcel": "mill"}, place=(lon, 41.5))
    sides = [c.on_parcel.side for c in cases(book) if c.on_parcel is not None]
    assert sides == [Side.RIGHT, Side.TOO_CLOSE, Side.WRONG]


def test_the_person_is_told_with_papers_and_what_they_lack() -> None:
    mine = Settings(
        "line",
        MINE.zone,
        handler="Ann",
        papers=(PaperHeld("course", last=date(2027, 6, 30), carried=True),),
        person=PersonTold(resident=True, lacks=("bobcat-permit",)),
    )
    person = the(cases(Book(), (), mine), Subject.PERSON).person
    assert person is not None
    assert (person.name, person.lacks, person.resident, person.landowner) == (
        "Ann",
        frozenset({"bobcat-permit"}),
        True,
        None,
    )
    assert (person.papers[0].kind, person.papers[0].until, person.papers[0].carried) == (
        "course",
        date(2027, 6, 30),
        True,
    )


def test_a_catch_is_told_with_what_was_done_about_it() -> None:
    book = Book()
    book.made()
    book.check(hours=5, found_as="holding", what_happened="caught-kept", species="coyote", done="remade")
    book.note("catch-done", {"set": "N3", "act": "report"}, **later(9))
    mine = Settings("line", MINE.zone, papers=(PaperHeld("licence"), PaperHeld("old", last=date(2026, 1, 1))))
    facts = the(cases(book, (), mine), Subject.CATCH)
    found = facts.catch
    assert found is not None
    assert (found.name, found.species, found.wish, found.domestic) == (
        "N3 2027-01-11",
        "coyote",
        "keep",
        False,
    )
    assert found.done is not None
    assert [(act.act, act.at) for act in found.done] == [
        ("report", MONDAY + timedelta(hours=9)),
        ("keep", MONDAY + timedelta(hours=5)),
    ]
    assert (found.alive, found.permits) == (None, frozenset({"licence"}))
    assert facts.device is not None
    assert facts.device.name == "101"


def test_devices_that_are_lost_or_scrapped_are_not_asked() -> None:
    book = Book()
    book.made("N3", "101")
    book.made("N4", "102")
    book.note("device-built", {"tag": "103"})
    book.note("device-built", {"tag": "104"})
    book.note("device-scrapped", {"tag": "104", "why": "kinked"})
    book.note("lost", {"set": "N4", "why": "drift"}, **later(2))
    found = cases(book)
    assert [c.name for c in found if c.subject is Subject.DEVICE] == ["101", "103"]
    assert [c.name for c in found if c.subject is Subject.SET] == ["N3"]
    assert {c.profile for c in found} == {"xx-demo"}
