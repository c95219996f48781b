"""Laws of the loop clock, read off the drawing itself by the arc rules of SVG 2, section 9.3.8."""

import math
import re
import xml.etree.ElementTree as ET
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendline.report.loop_clock import FULL_DEG, GAP_AT_DEG, loop_clock_svg, loop_clock_text, read_clock

shares = st.floats(0.0, 1.0)
START = datetime(2026, 1, 14, tzinfo=UTC)


def arc(svg: str) -> tuple[float, float] | None:
    """Start and sweep of the thick arc, in degrees clockwise from twelve; None when none is drawn."""
    paths = [
        p.attrib for p in ET.fromstring(svg) if "A" in p.attrib["d"] and float(p.attrib["stroke-width"]) > 3
    ]
    if not paths:
        return None
    x0, y0, _, _, _, large, clockwise, x1, y1 = map(float, re.findall(r"[-\d.]+", paths[0]["d"]))
    assert clockwise == 1.0
    first, last = (math.degrees(math.atan2(x - 12.0, 12.0 - y)) % 360.0 for x, y in ((x0, y0), (x1, y1)))
    sweep = (last - first) % 360.0
    assert (sweep > 180.0) == (large == 1.0)
    return first, sweep


@given(shares)
def test_the_arc_is_the_share_that_is_left(share: float) -> None:
    drawn = arc(loop_clock_svg(share))
    sweep = drawn[1] if drawn else 0.0
    assert sweep == pytest.approx(share * FULL_DEG, abs=0.06)


@given(shares)
def test_the_arc_always_ends_at_the_gap_and_never_enters_it(share: float) -> None:
    drawn = arc(loop_clock_svg(share))
    if drawn:
        first, sweep = drawn
        near_edge = GAP_AT_DEG - (360.0 - FULL_DEG) / 2
        assert (first + sweep) % 360.0 == pytest.approx(near_edge, abs=0.05)
        assert sweep <= FULL_DEG + 0.05


@given(st.floats(allow_nan=True, allow_infinity=True) | st.none(), st.booleans(), st.booleans())
def test_any_share_gives_a_drawing_that_can_be_read(share: float | None, late: bool, stopped: bool) -> None:
    drawing = ET.fromstring(loop_clock_svg(share, late=late, stopped=stopped))
    assert drawing.attrib["aria-label"]


@given(
    st.none() | st.integers(-100_000, 100_000),
    st.none() | st.integers(-100_000, 100_000),
    st.booleans(),
    st.integers(0, 5000),
)
def test_a_reading_never_claims_more_than_is_known(
    began: int | None, due: int | None, verified: bool, tight: int
) -> None:
    def moment(seconds: int | None) -> datetime | None:
        return None if seconds is None else START + timedelta(seconds=seconds)

    clock = read_clock(
        began=moment(began), due=moment(due), at=START, verified=verified, tight_s=float(tight)
    )
    if due is not None and due < 0:
        assert clock.reading == "late"
    elif not verified:
        assert clock.reading == "not verified"
        assert clock.share is None
    if clock.share is not None:
        assert 0.0 <= clock.share <= 1.0
    assert loop_clock_text(clock, ascii_only=True).isascii()
    assert clock.reading.value in loop_clock_text(clock)
