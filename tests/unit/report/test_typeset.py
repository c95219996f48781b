import ctypes
import hashlib
import io
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pypdfium2
import pytest
import typst
from pypdfium2 import raw

from tendline.core.errors import Refused
from tendline.core.units import Units
from tendline.plan.itinerary import Verdict
from tendline.report import typeset
from tendline.report.card import build_card
from tendline.report.card_template import ROUTE_CARD
from tendline.report.page import Heading, Page
from tendline.report.typeset import letters_without_shape, paper_pdf, route_card_pdf
from tests.unit.report.example_round import example_facts, example_short, example_verdict, names_of

MM = 72.0 / 25.4
"""Points in a millimetre."""
BIG = [("mill-lane", "mill", 9), ("quarry", "N", 9), ("ford", "ford", 12), ("saddle-road", "saddle-road", 12)]


@cache
def opened(which: str) -> pypdfium2.PdfDocument:
    """The example cards, each made once."""
    if which == "short":
        return pypdfium2.PdfDocument(io.BytesIO(route_card_pdf(build_card(example_short(), example_facts()))))
    ground = {"one": [("mill-lane", "mill", 4), ("quarry", "N", 4)], "big": BIG}[which]
    card = build_card(example_verdict(ground), example_facts(ground))
    return pypdfium2.PdfDocument(io.BytesIO(route_card_pdf(card)))


def words(document: pypdfium2.PdfDocument) -> list[str]:
    """The text of each page, line ends as blanks."""
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def letter_sizes(document: pypdfium2.PdfDocument) -> Counter[tuple[str, float]]:
    """Every visible letter with its size [pt]."""
    found: Counter[tuple[str, float]] = Counter()
    for page in document:
        text = page.get_textpage()
        for i in range(text.count_chars()):
            letter = chr(raw.FPDFText_GetUnicode(text, i))
            if letter.strip() and not raw.FPDFText_IsGenerated(text, i):
                found[letter, round(raw.FPDFText_GetFontSize(text, i), 1)] += 1
    return found


def size_of(document: pypdfium2.PdfDocument, text: str) -> float:
    """The size of the first letter where `text` first stands on the first page [pt]."""
    page = document[0].get_textpage()
    index, _ = page.search(text).get_next()
    return round(float(raw.FPDFText_GetFontSize(page, index)), 1)


def test_a_small_round_is_one_page_and_a_big_one_says_page_of_pages() -> None:
    assert len(opened("one")) == 1
    assert "page 1 of 1" in words(opened("one"))[0]
    pages = words(opened("big"))
    assert len(pages) == 3
    assert [f"page {i} of 3" in page for i, page in enumerate(pages, 1)] == [True, True, True]


def test_every_page_repeats_line_day_headings_and_banner() -> None:
    for page in words(opened("big")):
        assert page.startswith("Corran Hollow Thursday 15 January 2026 page")
        assert "INVENTED EXAMPLE" in page
        assert "Not legal advice:" in page
        assert "outcome time" in page


def test_every_set_stands_on_the_card_in_order_with_its_limit() -> None:
    text, at = " ".join(words(opened("big"))), 0
    card = build_card(example_verdict(BIG), example_facts(BIG))
    for row in (row for stop in card.stops for row in stop.rows):
        at = text.index(f" {row.order} {row.name} ", at)
        limit = text.index(f"{row.due_day} {row.due_clock}", at)
        assert row.landmark[:20] in text[at:limit]
        assert limit - at < 220
    assert len(names_of(BIG)) == 42


def test_a_truck_stop_that_runs_over_the_page_is_named_again() -> None:
    pages = words(opened("big"))
    assert "TRUCK 1 mill-lane" in pages[0]
    carried_on = [page.index("TRUCK") for page in pages[1:]]
    assert all(at < 250 for at in carried_on)


def test_what_does_not_fit_stands_first_and_large() -> None:
    text = words(opened("short"))[0]
    assert text.index("NOT ON THIS ROUND: 2 sets") < text.index("leave home")
    assert text.index("far-1 due Thu 06:00") < text.index("mill-1")
    assert size_of(opened("short"), "NOT ON THIS ROUND") >= 15.0
    assert size_of(opened("short"), "far-1") >= 14.0


def test_nothing_is_under_nine_points_and_names_and_limits_are_fourteen() -> None:
    document = opened("one")
    assert min(size for _, size in letter_sizes(document)) >= 9.0
    for text in ("mill-1", "quarry", "Thu 05:40", "N-4"):
        assert size_of(document, text) >= (12.0 if text == "quarry" else 14.0)


def strokes(page: pypdfium2.PdfPage, width: float) -> list[tuple[float, float, float, float]]:
    """Left, bottom, right, top of every stroke of a width, along its middle [pt]."""
    found = []
    for piece in page.get_objects(max_depth=10):
        thick = ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(piece, thick)
        if piece.type == raw.FPDF_PAGEOBJ_PATH and abs(thick.value - width) < 0.01:
            left, bottom, right, top = piece.get_bounds()
            found.append(
                (left + width, bottom + width, right - width, top - width)
            )  # bounds are a stroke wider
    return found


def test_the_boxes_to_write_in_are_at_least_nine_millimetres_high() -> None:
    # Strokes of the boxes are 1.1 pt wide. Upright ones span the rows of a truck stop, level ones part them.
    lines = strokes(opened("one")[0], 1.1)
    level = sorted((bottom + top) / 2 for left, bottom, right, top in lines if right - left > 40 * MM)
    uprights = {(round(bottom), round(top)) for left, bottom, right, top in lines if top - bottom > 9 * MM}
    heights = []
    for bottom, top in uprights:
        parts = [bottom, *(y for y in level if bottom + 2 < y < top - 2), top]
        heights += [high - low for low, high in pairwise(parts)]
    assert len(heights) == 8  # four rows at each of two stops
    assert min(heights) >= 9.0 * MM
    # Outcome and time, side by side: from the first upright to the last, in three lines.
    edges = sorted({round(left) for left, bottom, right, top in lines if top - bottom > 9 * MM})
    assert len(edges) == 3
    assert edges[1] - edges[0] >= 22 * MM
    assert edges[2] - edges[1] >= 15 * MM


def test_the_card_needs_no_colour() -> None:
    picture = opened("short")[0].render(scale=1).to_numpy()
    assert (picture.max(axis=2).astype(int) - picture.min(axis=2).astype(int)).max() == 0


def test_the_sheet_follows_the_units() -> None:
    # US letter is 8.5 by 11 inches of 72 points; A4 is 210 by 297 mm (ISO 216).
    assert opened("one")[0].get_size() == pytest.approx((612.0, 792.0), abs=0.5)
    card = build_card(example_verdict(), example_facts(units=Units.METRIC))
    page = pypdfium2.PdfDocument(io.BytesIO(route_card_pdf(card)))[0]
    assert page.get_size() == pytest.approx((210 * MM, 297 * MM), abs=0.5)


def test_the_same_card_gives_the_same_bytes() -> None:
    card = build_card(example_short(), example_facts())
    prints = {hashlib.sha256(route_card_pdf(card)).hexdigest() for _ in range(3)}
    assert len(prints) == 1
    assert opened("one").get_metadata_value("CreationDate") == ""


def test_the_page_engine_has_nothing_to_warn_of() -> None:
    card = build_card(example_short(), example_facts())
    content = typeset.page_data(card)
    fonts = typst.Fonts(include_system_fonts=False)
    _, warnings = typst.compile_with_warnings(
        ROUTE_CARD.encode(), format="pdf", font_paths=fonts, sys_inputs={"card": content}
    )
    assert warnings == []


def test_markup_in_names_is_only_text() -> None:
    facts = example_facts()
    ugly = '#panic("x") *a* _b_ $c$ @d <e> `f` // /* \\ ] ) " \' = - + ~'
    sets = {**facts.sets, "mill-1": replace(facts.sets["mill-1"], landmark=ugly)}
    pdf = route_card_pdf(build_card(example_verdict(), replace(facts, line="#pagebreak() $", sets=sets)))
    text = words(pypdfium2.PdfDocument(io.BytesIO(pdf)))[0]
    assert text.startswith("#pagebreak() $ Thursday")
    assert ugly.replace(" ", "") in text.replace(" ", "")


def test_letters_no_font_has_are_found_and_told() -> None:
    # Unicode: U+1F98A is FOX FACE; U+6F22 a Han letter. Neither is in the fonts of the engine.
    assert letters_without_shape("Müller Łódź Борис 🦊漢 שלום") == {"🦊", "漢"}
    facts = example_facts()
    sets = {**facts.sets, "mill-1": replace(facts.sets["mill-1"], landmark="🦊 den, 漢")}
    pages = words(
        pypdfium2.PdfDocument(
            io.BytesIO(route_card_pdf(build_card(example_verdict(), replace(facts, sets=sets))))
        )
    )
    assert "[fox face] den, □" in pages[0]
    assert "Some letters are not in the fonts of this card" in pages[-1]


def test_a_round_with_no_stop_and_one_with_sixty_left_out_are_still_cards() -> None:
    verdict, facts = example_short(), example_facts()
    empty = Verdict(replace(verdict.plan, stops=()), fits=False, proven=False)
    assert "BACK home" in " ".join(
        words(pypdfium2.PdfDocument(io.BytesIO(route_card_pdf(build_card(empty, facts)))))
    )
    many = tuple(replace(verdict.plan.left_out[0], set_name=f"far-{i}") for i in range(1, 61))
    sets = {**facts.sets, **{left.set_name: facts.sets["far-1"] for left in many}}
    pages = words(
        pypdfium2.PdfDocument(
            io.BytesIO(
                route_card_pdf(
                    build_card(
                        Verdict(replace(verdict.plan, left_out=many), fits=False, proven=False),
                        replace(facts, sets=sets),
                    )
                )
            )
        )
    )
    assert all(f"far-{i} due Thu 06:00" in " ".join(pages) for i in range(1, 61))


def test_a_page_the_engine_refuses_is_told_as_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typeset, "ROUTE_CARD", "#panic()")
    with pytest.raises(Refused) as refused:
        route_card_pdf(build_card(example_verdict(), example_facts()))
    assert refused.value.faults[0].code.id == "REP-102"
    assert refused.value.faults[0].do


def test_a_card_can_be_read_aloud_and_a_page_that_cannot_is_set_all_the_same() -> None:
    # ISO 14289-1, clause 5: a file that conforms says so in its metadata.
    assert b"pdfuaid:part" in route_card_pdf(build_card(example_verdict(), example_facts()))
    # A heading of level 3 straight under one of level 1 is against it: 7.4.2.
    skipped = Page("a4", "t", "s", "day", "", (Heading("x", 3),), "foot", "made")
    pdf = paper_pdf(skipped)
    assert b"pdfuaid:part" not in pdf
    assert "x" in words(pypdfium2.PdfDocument(io.BytesIO(pdf)))[0]
