"""The circle that a held animal can reach, drawn to scale and said in words."""

import xml.etree.ElementTree as ET

import pytest

from tendline.almanac.reach import reach_circle
from tendline.core.units import Units
from tendline.report.reach_drawing import Clear, ReachPicture, clear_of, reach_svg, reach_text

KNOWN = reach_circle(1.8288, extension_m=0.0, slope_deg=0.0)
"""Six feet of cable: 72 + 12 = 84 in, 2.1336 m."""

LOOSE = reach_circle(1.8288, extension_m=None, slope_deg=None)

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize(
    ("metres", "looked", "expected"),
    [
        (None, None, Clear.NOT_VERIFIED),
        (None, True, Clear.CLEAR),
        (None, False, Clear.NOT_CLEAR),
        (2.13, None, Clear.NOT_CLEAR),
        (2.14, None, Clear.CLEAR),
        (2.14, False, Clear.NOT_CLEAR),
        (2.13, True, Clear.NOT_CLEAR),
    ],
)
def test_a_measured_obstacle_decides_and_no_look_is_no_clear_circle(
    metres: float | None, looked: bool | None, expected: Clear
) -> None:
    assert clear_of(ReachPicture("N3", KNOWN, obstacle_m=metres, looked=looked)) is expected


def test_between_the_least_and_the_most_it_cannot_be_told() -> None:
    middle = (LOOSE.low_m + LOOSE.high_m) / 2
    assert clear_of(ReachPicture("N3", LOOSE, obstacle_m=middle)) is Clear.NOT_VERIFIED
    assert clear_of(ReachPicture("N3", LOOSE, obstacle_m=LOOSE.high_m)) is Clear.CLEAR


def test_the_words_say_how_far_what_stands_there_and_what_is_guessed() -> None:
    text = reach_text(ReachPicture("N3", KNOWN, "thorn bush", 2.0), Units.US)
    assert "Set N3: not clear. A held animal reaches 84 in from the anchor." in text
    assert "thorn bush at 78.7 in" in text
    guessed = reach_text(ReachPicture("N3", LOOSE), Units.METRIC)
    assert "213.4 cm to" in guessed
    assert guessed.count("Taken for granted") == 2
    assert "go round it and look" in guessed


def test_the_drawing_is_to_scale() -> None:
    """Device 72 in, animal 84 in: radii as 6 to 7."""
    root = ET.fromstring(reach_svg(ReachPicture("N3", KNOWN), Units.US))
    outer, device = (float(ring.get("r", "nan")) for ring in root.iter(f"{SVG}circle"))
    assert device / outer == pytest.approx(6 / 7, abs=1e-3)
    assert root.findtext(f"{SVG}title") == "Set N3: not verified"


def test_an_obstacle_is_drawn_at_its_distance_and_all_stays_on_the_sheet() -> None:
    """An obstacle at twice the reach: the scale follows it."""
    picture = ReachPicture("N3", KNOWN, "a <fence> & wire", 2 * KNOWN.high_m)
    root = ET.fromstring(reach_svg(picture, Units.US))
    ring = next(root.iter(f"{SVG}circle"))
    square = next(root.iter(f"{SVG}rect"))
    away = float(ring.get("cy", "nan")) - (float(square.get("y", "nan")) + 6)
    assert away / float(ring.get("r", "nan")) == pytest.approx(2.0, abs=1e-3)
    assert float(square.get("y", "nan")) > 0
    assert any("a <fence> & wire" in (text.text or "") for text in root.iter(f"{SVG}text"))


def test_what_may_be_reached_and_what_surely_is_are_two_rings() -> None:
    root = ET.fromstring(reach_svg(ReachPicture("N3", LOOSE), Units.US))
    radii = [float(ring.get("r", "nan")) for ring in root.iter(f"{SVG}circle")]
    assert len(radii) == 3
    assert radii[0] > radii[1]
