"""Papers for others: what is recorded stands on them, what is not is a blank, nothing is hidden."""

from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from tendline.core.people import PaperHeld
from tendline.core.settings import Settings
from tendline.core.units import Units
from tendline.logbook.corrected import effective
from tendline.logbook.fold import line_at
from tendline.report.damage import Item, damage_page, invoice_page
from tendline.report.fur_list import buyer_page
from tendline.report.page import Page, Table, texts_of
from tendline.report.paper_head import Desk
from tendline.report.returns import Told, agency_page, warden_page
from tendline.report.set_card import card_page, incident_page
from tendline.report.stands import stands_of
from tendline.report.study import study_page
from tests.unit.logbook.made import MONDAY, Book

ZONE = ZoneInfo("America/New_York")
LATER = MONDAY + timedelta(days=10)
RING = [[-78.01, 41.49], [-77.99, 41.49], [-77.99, 41.51], [-78.01, 41.51], [-78.01, 41.49]]
HELD = (
    PaperHeld(
        "trapping-licence", number="12-345", first=date(2026, 10, 1), last=date(2027, 6, 30), carried=True
    ),
)


def book() -> Book:
    """A parcel with a county, one without; four animals, told in different depth."""
    made = Book()
    made.note(
        "parcel",
        {"name": "mill", "title": "Mill Farm", "outline": [[RING]], "owner": "R. Owner", "county": "Potter"},
    )
    made.note("parcel", {"name": "bare", "outline": [[RING]]})
    made.made("N1", "101", parcel="mill", device_class="live-restraint", target="coyote")
    made.made("N2", "102", parcel="bare", device_class="live-restraint")
    made.made("N3", "103", parcel="mill", device_class="live-restraint", time_known=False)
    kept = {"found_as": "holding", "what_happened": "caught-kept"}
    first = made.check("N1", hours=26, **kept, species="coyote")
    caught = {"set": "N1", "species": "coyote", "standing": "target", "fate": "kept", "check": first.id}
    more = {"sex": "female", "weight_kg": 15.4, "held_by": "neck", "condition": "mange on the tail"}
    made.note("catch", {**caught, **more}, at=MONDAY + timedelta(hours=26))
    made.check("N2", hours=50, **kept, species="red fox")
    unknown = {"set": "N2", "species": "red fox", "standing": "target", "fate": "kept", "sex": "unknown"}
    made.note("catch", unknown, at=MONDAY + timedelta(hours=74))
    made.check("N1", hours=99, found_as="holding", what_happened="nontarget-released", species="raccoon")
    return made


def desk_of(made: Book) -> tuple[Desk, Told]:
    line = line_at(made.events, at=LATER)
    settings = Settings("the line", ZONE, units=Units.US, handler="Ann", papers=HELD)
    stands = stands_of(effective(made.events), line.catches, at=LATER)
    return Desk(settings, line, LATER, "the record"), Told(stands, date(2027, 1, 1), date(2027, 1, 31))


def rows_of(page: Page, head: str) -> list[Mapping[str, str]]:
    """The rows of every table that has a column of that heading."""
    tables = [b for b in page.blocks if isinstance(b, Table) and any(c.head == head for c in b.columns)]
    return [
        dict(zip([column.head for column in table.columns], row, strict=True))
        for table in tables
        for row in table.rows
    ]


def test_an_agency_gets_every_animal_and_blanks_where_nobody_said() -> None:
    page = agency_page(*desk_of(book()))
    rows = rows_of(page, "species")
    assert [(r["date"], r["species"], r["sex"], r["county"]) for r in rows] == [
        ("12 Jan 2027", "coyote", "female", "Potter"),
        ("13 Jan 2027", "red fox", "", ""),
        ("14 Jan 2027", "red fox", "", ""),
        ("15 Jan 2027", "raccoon", "", "Potter"),
    ]
    assert rows[3]["what became of it"] == "released (non-target)"
    effort = {r["county"]: r for r in rows_of(page, "device-nights")}
    # Ten nights are over since Monday 11 January for N1 and N2; when N3 was made nobody knows.
    assert (effort["Potter"]["sets made"], effort["Potter"]["device-nights"]) == ("2", "10")
    assert effort[""]["device-nights"] == "10"
    text = " ".join(texts_of(page))
    assert "Not counted, because nobody recorded when they were made: N3." in text
    assert "12-345; good 1 Oct 2026 to 30 Jun 2027, carried" in text


def test_a_buyer_gets_what_was_kept_and_no_price() -> None:
    desk, told = desk_of(book())
    rows = rows_of(buyer_page(desk, told), "kind")
    assert [r["kind"] for r in rows] == ["coyote", "red fox", "red fox"]
    # 15.4 kg is 33.95 lb (0.45359237 kg to the pound, exact).
    assert (rows[0]["weight"], rows[0]["sex"], rows[0]["county"]) == ("34.0 lb", "female", "Potter")
    assert all(r["price"] == "" for r in rows)
    only = buyer_page(desk, told, species=("Red Fox",))
    assert "2 red fox" in texts_of(only)


def test_a_study_says_how_long_an_animal_can_have_been_held() -> None:
    page = study_page(*desk_of(book()))
    texts = texts_of(page)
    # Made 05:00 Monday, found 07:00 Tuesday; the raccoon 99 h after the making, last seen at 26 h.
    assert "at most 26.0 h" in texts
    assert "at most 73.0 h" in texts
    assert "neck" in texts
    assert "mange on the tail" in texts
    contacts = rows_of(page, "how it ended")
    assert [r["species"] for r in contacts] == ["coyote", "red fox", "raccoon"]
    assert "not known" in {r["nights"] for r in rows_of(page, "nights")}


def test_a_client_sees_days_animals_and_incidents_of_their_own_ground() -> None:
    desk, told = desk_of(book())
    here = Told(tuple(s for s in told.stands if s.parcel == "mill"), told.first, told.last)
    page = damage_page(desk, desk.line.parcels["mill"], here)
    text = " ".join(texts_of(page))
    assert "raccoon, non-target released" in text
    assert "red fox" not in text
    assert [r["species"] for r in rows_of(page, "species")] == ["coyote", "raccoon"]
    assert "Sets without a time of making, not counted: 1." in text


def test_an_invoice_adds_what_was_entered() -> None:
    desk, _ = desk_of(book())
    items = (
        Item("visits", Decimal("3"), Decimal("35.005")),
        Item("miles", Decimal("10.50"), Decimal("0.655")),
    )
    work = (date(2027, 1, 11), date(2027, 1, 15))
    page = invoice_page(desk, desk.line.parcels["mill"], items, number="7", currency="", work=work)
    # 3 x 35.005 = 105.015, half a cent up: 105.02; 10.5 x 0.655 = 6.8775: 6.88.
    assert [r["amount"] for r in rows_of(page, "amount")] == ["105.02", "6.88", "111.90"]
    assert [r["each"] for r in rows_of(page, "number")] == ["35.005", "0.655", ""]
    assert rows_of(page, "number")[1]["number"] == "10.5"


def test_a_warden_sees_what_is_not_recorded_as_not_recorded() -> None:
    desk, _ = desk_of(book())
    rows = rows_of(warden_page(desk, desk.line.in_field), "how it is built")
    assert len(rows) == 3
    assert all("breakaway not recorded" in r["how it is built"] for r in rows)
    assert all(r["tag says"] == "not recorded" for r in rows)


def test_a_card_and_a_form_are_filled_as_far_as_the_record_goes() -> None:
    desk, told = desk_of(book())
    one = desk.line.sets["N1"]
    card = " ".join(texts_of(card_page(desk, [(one, told.stands[0])])))
    assert "Since it was made: 2 looks" in card
    assert "Not recorded: cable, laid" in card
    blank, filled = incident_page(desk, None), incident_page(desk, one)
    assert "R. Owner" not in texts_of(blank)
    assert {"R. Owner", "101", "Mill Farm"} <= set(texts_of(filled))
