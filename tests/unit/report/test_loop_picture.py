"""The side view in the terminal: rows of equal height, marks where a range lies, nothing too wide."""

import pytest

from tendline.almanac.loops import Oval, Reach
from tendline.core.errors import Refused
from tendline.core.units import Units
from tendline.report.loop_picture import Band, LoopPicture, loop_svg, loop_text

PICTURE = LoopPicture(
    title="coyote <trail>",
    base_m=0.20,
    new_m=0.10,
    walked=Reach(0.20, 0.30),
    loop=Oval(0.35, 0.25),
    bottom_m=0.45,
    law=(Band("law, bottom of the loop", Reach(0.35, 0.50)),),
    chest=Reach(0.50, 0.70),
    head=Reach(0.75, 1.05),
    deer=Reach(0.70, 0.90),
)


def test_each_mark_stands_on_the_rows_its_range_meets() -> None:
    lines = loop_text(PICTURE, Units.METRIC, rows=30).splitlines()
    assert lines[1].startswith("each line is 5 cm")
    rows = {line.split(" cm")[0].strip(): line for line in lines if " cm  " in line and "each" not in line}
    assert "OOO" in rows["45"]
    assert "OOO" not in rows["40"]
    assert "///" in rows["15"]
    assert "..." in rows["20"]
    assert "..." not in rows["30"]
    assert "hhh" in rows["100"]
    assert "|||" in rows["35"]


def test_the_text_keeps_to_the_width_and_the_rows_asked() -> None:
    lines = loop_text(PICTURE, Units.US, width=80, rows=12).splitlines()
    assert max(map(len, lines)) <= 80
    assert sum("in  " in line for line in lines) <= 16


def test_a_title_cannot_break_the_drawing() -> None:
    svg = loop_svg(PICTURE, Units.US)
    assert "<trail>" not in svg
    assert "&lt;trail&gt;" in svg


def test_too_little_room_is_refused() -> None:
    with pytest.raises(Refused, match="REP-103"):
        loop_text(PICTURE, Units.US, width=40)
