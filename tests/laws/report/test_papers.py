"""Laws of the papers: no owner's page holds a word of another's ground; stands agree with the fold."""

from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.settings import Settings
from tendline.core.when import local_day
from tendline.jobs.paper_farm import only_own, own_ground
from tendline.logbook.corrected import effective
from tendline.logbook.fold import line_at
from tendline.report.damage import damage_page
from tendline.report.landowner import OwnGround, landowner_page
from tendline.report.page import texts_of
from tendline.report.paper_head import Desk
from tendline.report.returns import Told
from tendline.report.stands import stands_of
from tests.laws.logbook.test_logbook_laws import diaries
from tests.unit.logbook.made import FINE, MONDAY, Book

ZONE = ZoneInfo("America/New_York")
PARCELS = ("aa", "bb", "cc")
KINDS = ("set", "check", "catch", "incident", "pulled", "lost")


def marked(parcel: str, what: str) -> str:
    """A word that stands on one parcel alone."""
    return f"zq{parcel}{what}"


def ground_of(book: Book) -> None:
    """Three parcels side by side, each with its own owner, parking, leave and words."""
    for k, name in enumerate(PARCELS):
        west = -78.0 + 0.05 * k
        ring = [[west, 41.5], [west + 0.02, 41.5], [west + 0.02, 41.52], [west, 41.52], [west, 41.5]]
        told = {key: marked(name, key) for key in ("title", "owner", "phone", "county", "note")}
        book.note("parcel", {"name": name, "outline": [[ring]], **told})
        book.note(
            "permission", {"parcel": name, "given_by": marked(name, "giver"), "note": marked(name, "leave")}
        )
        parking = {"name": f"park-{name}", "parcels": [name], "note": marked(name, "gate")}
        book.note("parking", parking, place=(west + 0.001, 41.501))
        book.note("landmark", {"name": f"mark-{name}"}, place=(west + 0.002, 41.502))


@st.composite
def lines(draw: st.DrawFn) -> Book:
    """A line on which sets of the same names stand now on one parcel, now on another."""
    book = Book()
    ground_of(book)
    stands: dict[str, str] = {}
    for step in range(draw(st.integers(2, 14))):
        at = MONDAY + timedelta(hours=1 + 7 * step)
        name, kind = draw(st.sampled_from(["N1", "N2"])), draw(st.sampled_from(KINDS))
        if kind == "set" or name not in stands:
            parcel = draw(st.sampled_from(PARCELS))
            west, tag = -78.0 + 0.05 * PARCELS.index(parcel), f"{marked(parcel, 'tag')}{step}"
            body = {
                "set": name,
                "tag": tag,
                "parcel": parcel,
                "landmark": marked(parcel, "oak"),
                "target": "fox",
            }
            book.note("device-built", {"tag": tag}, at=at)
            book.note(
                "set-made", {**body, "note": marked(parcel, "setnote")}, at=at, place=(west + 0.01, 41.51)
            )
            stands[name] = parcel
            continue
        here = stands[name]
        body = {"set": name, "note": marked(here, "seen")}
        if kind in ("check", "incident"):
            found: dict[str, Any] = (
                {"found_as": "tampered", "what_happened": "person"} if kind == "incident" else {}
            )
            book.note("check", {**FINE, **found, **body}, at=at, by=marked(here, "by"))
        elif kind == "catch":
            caught = {"species": marked(here, "animal"), "standing": "nontarget", "fate": "released"}
            book.note("catch", {**body, **caught}, at=at, by=marked(here, "by"))
        else:
            book.note(kind, {**({"why": marked(here, "why")} if kind == "lost" else {}), **body}, at=at)
            del stands[name]
    return book


@settings(max_examples=120, deadline=None)
@given(lines())
def test_no_page_of_one_owner_holds_a_word_of_anothers_ground(book: Book) -> None:
    at = MONDAY + timedelta(days=9)
    line = line_at(book.events, at=at)
    stands = stands_of(effective(book.events), line.catches, at=at)
    desk = Desk(Settings("line", ZONE, handler="Ann"), line, at, "the record")
    first, last = local_day(MONDAY, ZONE), local_day(at, ZONE)
    for name, own in line.parcels.items():
        here = tuple(stand for stand in stands if stand.parcel == name)
        narrow = only_own(desk, own)
        note = landowner_page(narrow, OwnGround(own, here, first, last, own_ground(narrow, own)))
        report = damage_page(narrow, own, Told(here, first, last))
        drawn = [data.decode() for page in (note, report) for data in page.files.values()]
        text = " ".join([*texts_of(note), *texts_of(report), *drawn])
        others = [other for other in PARCELS if other != name]
        assert not any(f"zq{other}" in text or f"-{other}" in text for other in others)
        # What happened on the own ground is not hidden either.
        animals = [catch for stand in here for catch in stand.taken]
        assert text.count(marked(name, "animal")) >= 2 * len(animals)
        assert marked(name, "owner") in text


@settings(max_examples=150, deadline=None)
@given(diaries())
def test_what_stands_is_what_the_fold_says_is_in_the_field(book: Book) -> None:
    at = MONDAY + timedelta(days=9)
    line = line_at(book.events, at=at)
    stands = stands_of(effective(book.events), line.catches, at=at)
    assert sorted(s.set_name for s in stands if s.out) == [one.name for one in line.in_field]
    for stand in stands:
        assert all(v.at <= (stand.ended or at) for v in stand.visits)
