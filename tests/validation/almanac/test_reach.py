"""How far a held animal reaches, against the rule of thumb of the course and plain trigonometry."""

import math

import pytest

from tendline.almanac.reach import drop_m, reach_circle

INCH = 0.0254


def test_the_closed_device_and_twelve_inches() -> None:
    """Study guide of the Pennsylvania course: 7 ft of cable reaches 84 + 12 = 96 in to anything."""
    circle = reach_circle(84 * INCH, extension_m=0.0, slope_deg=0.0)
    assert (circle.low_m, circle.high_m) == pytest.approx((96 * INCH, 96 * INCH))
    assert circle.said == ()


def test_cable_and_extension_together() -> None:
    """Michigan winter restraints: 60 in of cable and 36 in of extension, and 12 in: 108 in."""
    circle = reach_circle(60 * INCH, extension_m=36 * INCH, slope_deg=0.0)
    assert circle.high_m == pytest.approx(108 * INCH)
    assert (circle.device_low_m, circle.device_high_m) == pytest.approx((96 * INCH, 96 * INCH))


@pytest.mark.parametrize(("degrees", "drop"), [(0, 0.0), (30, 1.0), (90, 2.0)])
def test_the_drop_is_the_sine_of_the_slope(degrees: float, drop: float) -> None:
    assert drop_m(2.0, degrees) == pytest.approx(drop)


def test_what_is_not_noted_is_allowed_for() -> None:
    """2 m of cable: level 2.3048; with 0.9144 of extension at 45 degrees 2.9144 (1 + sin 45) + 0.3048."""
    circle = reach_circle(2.0, extension_m=None, slope_deg=None)
    assert circle.low_m == pytest.approx(2.3048)
    assert circle.high_m == pytest.approx(2.9144 * (1 + math.sqrt(0.5)) + 0.3048)
    assert len(circle.said) == 2
