"""The finder sheet says where every device is, and what it does not know."""

import io
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pypdfium2
import pytest

from tendline.core.line import HeightSeen, LineState, Parcel, Parking, Permission, SetStanding, SetState
from tendline.core.place import Fix, LonLat, Outline
from tendline.core.settings import Settings
from tendline.core.units import Units
from tendline.core.words import DeviceClass, Surface
from tendline.report.finder import finder_page
from tendline.report.finder_facts import FinderFacts, Found, Leg, Property, Stop
from tendline.report.ground_map import Ground, Mark
from tendline.report.page import Column, Table, texts_of
from tendline.report.paper_head import Desk
from tendline.report.paper_words import fine_text, leave_text, way_text
from tendline.report.typeset import paper_pdf

NOW = datetime(2027, 1, 16, 0, 30, tzinfo=UTC)
SPOT = LonLat(-78.0, 41.5)


def a_set(name: str, **more: object) -> SetState:
    fields: dict[str, object] = {
        "name": name,
        "tag": "217",
        "device_class": DeviceClass.LIVE_RESTRAINT,
        "fix": Fix(SPOT, 4.0),
        "parcel": "mill",
        "landmark": "split oak on the bank",
        "loop_m": 0.2794,
        "bottom_m": 0.2286,
        "surface": "packed-snow",
        "target": "coyote",
        "made_at": NOW,
        "made_by": "Ann",
        "standing": SetStanding.WORKING,
        "looks": (),
        "last_seen": None,
        "bottom": HeightSeen(0.2286, Surface.PACKED_SNOW, None, NOW),
    }
    return SetState(**{**fields, **more})  # type: ignore[arg-type]


def a_parcel(**more: object) -> Parcel:
    ring = tuple(LonLat(-78 + x, 41.5 + y) for x, y in ((0, 0), (0.01, 0), (0.01, 0.01), (0, 0)))
    return Parcel("mill", "Mill Farm", Outline(((ring,),)), owner="R. Owner", **more)  # type: ignore[arg-type]


def a_page(**more: object) -> FinderFacts:
    settings = Settings("the line", ZoneInfo("America/New_York"), units=Units.US, handler="Ann")
    line = LineState(NOW, {}, {}, {}, {}, {})
    parking = Parking("mill-gate", LonLat(-78.001, 41.5), ("mill",), "key under the third brick")
    leg = Leg("mill-gate", 83.5, 90.2, 95.0, 90.0, meets=("creek",))
    found = Found(a_set("M1"), (leg,), "no limit can be told")
    marks = (Mark("set", "M1", SPOT), Mark("parking", "mill-gate", parking.place))
    one = Property(a_parcel(), (Stop(parking, ("8 min from home",), (found,)),), Ground(marks))
    law = ("Whether you may look: NOT VERIFIED.",)
    fields: dict[str, object] = {
        "desk": Desk(settings, line, NOW, "logbook of 3 events"),
        "properties": (one,),
        "whole": None,
        "law": law,
        "calls": (("agency", "555-0100"), ("helper", "")),
    }
    return FinderFacts(**{**fields, **more})  # type: ignore[arg-type]


def words_of(pdf: bytes) -> str:
    return " ".join(
        " ".join(p.get_textpage().get_text_range().split()) for p in pypdfium2.PdfDocument(io.BytesIO(pdf))
    )


def test_a_finder_has_the_way_the_tag_the_landmark_and_the_law_on_paper() -> None:
    text = words_of(paper_pdf(finder_page(a_page())))
    # 83.5 m is 91 yards (exact by definition: 0.9144 m) and 110 steps of 30 in.
    for words in (
        "made Fri 15 Jan 2027 19:30 (EST)",
        "logbook of 3 events",
        "agency 555-0100",
        "NOT VERIFIED",
        "tag 217",
        "split oak on the bank",
        "41.50000 N, 78.00000 W",
        "91 yd, 110 paces, bearing 090 (E)",
        "the straight line meets creek: go round",
        "key under the third brick",
        "8 min from home",
        "WORKING; for coyote",
        "bottom 9 in over packed snow",
        "top not measured since it was last hung",
        "last look no record",
        "no leave on record",
        "taken up, left in place, not found: must make 1".capitalize(),
    ):
        assert words in text, words


def test_the_pdf_says_that_it_can_be_read_aloud() -> None:
    pdf = paper_pdf(finder_page(a_page()))
    # ISO 14289-1, clause 5: a file that conforms says so in its metadata.
    assert b"pdfuaid:part" in pdf
    assert pdf == paper_pdf(finder_page(a_page()))


def test_a_set_with_nothing_on_record_is_on_the_sheet_all_the_same() -> None:
    bare = a_set("X", tag=None, parcel="", landmark="", loop_m=None, bottom=None, target="", fix=Fix(SPOT))
    one = Property(
        None, (Stop(None, (), (Found(bare, (), "no limit can be told"),)),), Ground((Mark("set", "X", SPOT),))
    )
    text = " ".join(texts_of(finder_page(a_page(properties=(one,)))))
    for words in (
        "no tag on record",
        "no landmark on record",
        "no parking on record",
        "loop not recorded",
        "X",
    ):
        assert words in text


def test_a_leave_is_told_as_it_stands_on_the_day() -> None:
    run_out = Permission("mill", date(2026, 10, 1), date(2027, 1, 10), "R. Owner", written=True)
    assert leave_text(a_parcel(permissions=(run_out,)), date(2027, 1, 11)).endswith("in writing; HAS RUN OUT")
    assert leave_text(a_parcel(permissions=(run_out,)), date(2027, 1, 10)).endswith("in writing")
    later = Permission("mill", date(2027, 2, 1), None, told={"withdrawn": "2027-02-05"})
    assert leave_text(a_parcel(permissions=(run_out, later)), date(2027, 1, 11)).endswith("NOT YET")
    assert leave_text(a_parcel(permissions=(run_out, later)), date(2027, 2, 5)).endswith("WITHDRAWN")


def test_ways_and_thin_lengths_are_written_as_the_trade_does() -> None:
    assert way_text(100.0, 359.7, Units.METRIC) == "100 m, 131 paces, bearing 000 (N)"
    assert fine_text(0.00238125, Units.US) == "3/32 in"
    assert fine_text(0.00238125, Units.METRIC) == "2.4 mm"


def test_a_row_that_does_not_fit_its_columns_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="one cell for each column"):
        Table((Column("a"), Column("b")), (("only one",),))
