import io
import xml.etree.ElementTree as ET
from datetime import timedelta

import numpy as np
import pypdfium2
import pytest
import typst

from tendline.report.loop_clock import (
    LoopClock,
    Reading,
    draw,
    loop_clock_svg,
    loop_clock_text,
    mark,
    read_clock,
)
from tests.unit.report.example_round import local

BEGAN, DUE = local(5, 0, day=14), local(5, 0)


def rendered(svg: str) -> np.ndarray:
    """The drawing as another program renders it, 400 by 400 grey pixels."""
    source = (
        "#set page(width: 100pt, height: 100pt, margin: 0pt)\n"
        '#image(bytes(sys.inputs.svg), format: "svg", width: 100pt, alt: "x")'
    )
    pdf = typst.compile(source.encode(), format="pdf", sys_inputs={"svg": svg})
    picture = pypdfium2.PdfDocument(io.BytesIO(pdf))[0].render(scale=4, grayscale=True).to_numpy()
    return np.asarray(picture, dtype=float).reshape(400, 400)


def ink(svg: str) -> float:
    """Dark area of the drawing, as a share of the square."""
    return float((255.0 - rendered(svg)).mean() / 255.0)


def test_half_the_interval_left_is_half_the_arc_in_ink() -> None:
    empty, half, full = (ink(loop_clock_svg(share)) for share in (0.0, 0.5, 1.0))
    assert (half - empty) / (full - empty) == pytest.approx(0.5, abs=0.01)


def test_the_gap_stands_at_two_oclock() -> None:
    # Two o'clock is 60 degrees clockwise from twelve; on the ring of radius 9 about (12, 12) that is
    # (12 + 9 sin 60, 12 - 9 cos 60) = (19.79, 7.50) of 24, so (330, 125) of 400. Ten o'clock mirrors it.
    picture = rendered(loop_clock_svg(1.0))
    assert picture[125, 330] == 255
    assert picture[125, 70] == 0


def test_the_four_forms_differ_in_shape_alone() -> None:
    forms = [
        loop_clock_svg(0.5),
        loop_clock_svg(None),
        loop_clock_svg(0.5, late=True),
        loop_clock_svg(None, stopped=True),
    ]
    colours = {
        value
        for form in forms
        for piece in ET.fromstring(form).iter()
        for key, value in piece.attrib.items()
        if key in ("stroke", "fill")
    }
    assert colours == {"black", "none"}
    # Arc lengths and strokes of each form, without the words for a screen reader.
    assert len({form.split(">", 1)[1] for form in forms}) == 4
    assert "stroke-dasharray" in forms[1]
    assert [form.count("<path") for form in forms] == [2, 3, 2, 2]


def test_the_drawing_says_in_words_what_it_shows() -> None:
    assert 'aria-label="37 per cent of the interval left"' in loop_clock_svg(0.379)
    assert 'aria-label="not known how much is left"' in loop_clock_svg(float("nan"))
    assert 'aria-label="the limit has passed"' in loop_clock_svg(0.2, late=True)


def test_an_ink_with_markup_in_it_stays_an_attribute() -> None:
    assert (
        ET.fromstring(loop_clock_svg(0.5, ink='"><script/>')).find("{http://www.w3.org/2000/svg}script")
        is None
    )


@pytest.mark.parametrize(
    ("minutes_before", "verified", "reading", "share"),
    [
        (360, True, Reading.LEFT, 0.25),  # 6 of 24 hours
        (20, True, Reading.TIGHT, 20 / 1440),  # under the 25 minutes of a catch
        (0, True, Reading.TIGHT, 0.0),  # at the limit is still in time
        (-1, True, Reading.LATE, 0.0),
        (360, False, Reading.NOT_VERIFIED, None),
        (-1, False, Reading.LATE, 0.0),  # lateness is told whether or not the rule is confirmed
    ],
)
def test_a_reading_is_a_word_a_number_and_a_share(
    minutes_before: int, verified: bool, reading: Reading, share: float | None
) -> None:
    at = DUE - timedelta(minutes=minutes_before)
    clock = read_clock(began=BEGAN, due=DUE, at=at, verified=verified, tight_s=1500.0)
    assert clock == LoopClock(reading, share, minutes_before * 60.0)


def test_no_limit_is_no_clock_only_when_the_rule_is_verified() -> None:
    known = read_clock(began=BEGAN, due=None, at=DUE, verified=True)
    unknown = read_clock(began=BEGAN, due=None, at=DUE, verified=False)
    assert (known.reading, unknown.reading) == (Reading.NO_CLOCK, Reading.NOT_VERIFIED)
    assert (loop_clock_text(known), loop_clock_text(unknown)) == ("- no clock", "? not verified")


def test_an_unknown_beginning_leaves_the_share_unknown_but_not_the_time() -> None:
    clock = read_clock(began=None, due=DUE, at=local(4, 0), verified=True)
    assert (clock.share, clock.number, clock.reading) == (None, "1 h 00", Reading.LEFT)
    assert "stroke-dasharray" in draw(clock)


def test_the_sign_in_a_terminal() -> None:
    clocks = [LoopClock(Reading.LEFT, share, share * 86400.0) for share in (1.0, 0.76, 0.5, 0.25, 0.02)]
    assert [mark(clock) for clock in clocks] == ["●", "◕", "◑", "◔", "○"]
    assert [mark(clock, ascii_only=True) for clock in clocks] == ["9", "7", "5", "2", "0"]
    assert loop_clock_text(clocks[1]) == "◕ 18 h 14 left"  # 0.76 of 24 h is 18 h 14.4 min
    late = LoopClock(Reading.LATE, 0.0, -2100.0)
    assert (loop_clock_text(late), mark(late, ascii_only=True)) == ("× 35 min late", "!")
