"""Laws of the page: whatever stands in a name, a paper is set, stays inside its lines and passes PDF/UA-1."""

import io

import pypdfium2
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.report.ground_map import Ground, Mark, draw_ground
from tendline.report.page import (
    Block,
    Column,
    Gallery,
    Heading,
    Lines,
    NewPage,
    Page,
    Pairs,
    Picture,
    Table,
    Ticks,
    Words,
)
from tendline.report.say import plain
from tendline.report.typeset import paper_pdf

TRICKS = (
    "#set page(fill: red)",
    "*bold* _it_ `raw` $x^2$ <label> @ref \\ // /* */",
    '"); #panic("x")',
    "<svg onload='x'>&amp;]]>",
    "\u202egnp.exe",
    "漢字 नमस्ते 🐺 Ωδ\u0301 \ufffd",
    "x" * 300,
    "= heading\n- list\n+ number",
)
anything = st.one_of(st.sampled_from(TRICKS), st.text(max_size=30)).map(plain).map(lambda text: text or "-")


def page_of(words: list[str]) -> Page:
    """A page with those words in every part that takes some."""
    a, b, c = words
    drawn = draw_ground(
        Ground((Mark("set", a, LonLat(-78, 41)), Mark("house", b, LonLat(-78.001, 41)))), Units.US
    )
    picture = Picture("map.svg", a, 0.5, caption=c)
    columns = (Column(a, big=True), Column(b, lead=True), Column(c, write=True), Column("t", ticks=(a, b)))
    blocks: tuple[Block, ...] = (
        Heading(a),
        Heading(b, 3),
        *(Words(b, tone) for tone in ("plain", "strong", "note", "box")),
        Pairs(((a, b), (c, ""))),
        Table(columns, ((a, f"{b}\n{c}", c, a), (b, c, "", ""))),
        Ticks((a, b, c), columns=2),
        Lines((a, b), columns=2),
        Lines((c,), tall=2),
        NewPage(),
        picture,
        Gallery((picture, picture)),
    )
    return Page("us-letter", a, b, "made Fri 15 Jan 2027", a, blocks, b, c, {"map.svg": drawn.svg})


@settings(max_examples=40, deadline=None)
@given(st.lists(anything, min_size=3, max_size=3))
def test_any_words_make_a_page_that_can_be_read_aloud(words: list[str]) -> None:
    pdf = paper_pdf(page_of(words))
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    assert b"pdfuaid:part" in pdf
    assert len(document) >= 2
    for page in document:
        wide, tall = page.get_size()
        assert (wide, tall) == (612, 792)
        text = page.get_textpage()
        for i in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(i)
            assert -1 <= left <= right <= wide + 1
            assert -1 <= bottom <= top <= tall + 1
