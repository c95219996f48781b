"""The side view in the terminal: rows of equal height, marks where a range lies, nothing too wide."""

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from tendline.almanac.loops import Oval, Reach
from tendline.core.errors import Refused
from tendline.core.units import Units
from tendline.report.loop_picture import WIDE, Band, LoopPicture, loop_svg
from tendline.report.loop_terminal import loop_text

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
    assert "O" in rows["45"]
    assert "O" not in rows["40"]
    assert "///" in rows["15"]
    assert "..." in rows["20"]
    assert "..." not in rows["30"]
    assert "hhh" in rows["100"]
    assert "|||" in rows["35"]


def test_the_scene_is_to_scale_both_ways() -> None:
    step = 0.05
    lines = loop_text(PICTURE, Units.METRIC, width=100, rows=30).splitlines()
    drawn = [(k, line.index("O"), line.rindex("O")) for k, line in enumerate(lines[3:]) if "OO" in line]
    rows = max(k for k, _, _ in drawn) - min(k for k, _, _ in drawn) + 1
    columns = max(b for _, _, b in drawn) - min(a for _, a, _ in drawn) + 1
    # A row is a step and a column half of one: letters are twice as high as wide.
    assert rows * step == pytest.approx(PICTURE.loop.height_m, abs=step)
    assert columns * step / 2 == pytest.approx(PICTURE.loop.width_m, abs=step)
    (lock,) = [line for line in lines if "@" in line]
    middle = (min(a for _, a, _ in drawn) + max(b for _, _, b in drawn)) / 2
    assert lock.index("@") > middle


def test_a_narrow_terminal_has_the_loop_as_a_bar() -> None:
    lines = loop_text(PICTURE, Units.METRIC, width=60, rows=30).splitlines()
    assert " loop " in lines[2]
    assert any("OOO" in line for line in lines)
    assert max(map(len, lines)) <= 60


def test_the_chest_of_ones_own_stands_beside_the_tables() -> None:
    mine = replace(PICTURE, own_chest=Reach(0.55, 0.60))
    text = loop_text(mine, Units.METRIC, width=100, rows=30)
    assert "yyy" in text
    assert "yours: the chest of those you measured, 55 cm to 60 cm" in text
    assert "those you measured" in loop_svg(mine, Units.METRIC)


def test_every_bar_and_its_words_stand_inside_the_drawing() -> None:
    full = replace(
        PICTURE, own_chest=Reach(0.5, 0.6), law=(PICTURE.law[0], Band("law, top", Reach(0.4, 0.9)))
    )
    root = ET.fromstring(loop_svg(full, Units.US))
    space = "{http://www.w3.org/2000/svg}"
    bars = [float(r.get("x", "0")) for r in root.iter(f"{space}rect") if r.get("width") == "14"]
    assert len(bars) == 7
    assert max(bars) + 14 < WIDE
    turned = [t.get("transform", "") for t in root.iter(f"{space}text") if t.get("transform")]
    spots = [float(text.split("(")[1].split(",")[0]) for text in turned]
    assert max(spots) < WIDE
    assert all(b > a + 13 for a, b in pairwise(bars))


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
