"""Lengths as people write them; conversions by NIST SP 811 (2008), appendix B.8 (exact by definition)."""

import pytest

from tendline.core.errors import Refused
from tendline.core.units import (
    METRES_PER_MILE,
    NEWTONS_PER_POUND,
    Units,
    format_area,
    format_distance,
    format_minutes,
    format_small,
    parse_length,
)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("10in", 0.254),
        ('10"', 0.254),
        ("3/32 in", 3 / 32 * 0.0254),
        ("1 1/2 in", 1.5 * 0.0254),
        ("25.4 cm", 0.254),
        ("5 ft", 1.524),
        ("150 yd", 137.16),
        ("1 mi", 1609.344),
        ("-3in", -0.0762),
    ],
)
def test_a_length_is_read_with_its_unit(text: str, metres: float) -> None:
    assert parse_length(text) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize("text", ["10", "ten inches", "10 furlongs", "1/0 in", "", "in"])
def test_a_length_without_a_unit_that_is_known_is_refused(text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_length(text, where="--loop")
    assert caught.value.faults[0].code.id == "CORE-101"
    assert "--loop" in str(caught.value)


def test_the_pound_force_is_the_standard_one() -> None:
    # 0.45359237 kg x 9.80665 m/s2 = 4.4482216152605 N
    assert pytest.approx(0.45359237 * 9.80665, rel=1e-15) == NEWTONS_PER_POUND


def test_small_lengths_are_written_in_the_persons_units() -> None:
    assert format_small(0.254, Units.US) == "10 in"
    assert format_small(0.254, Units.METRIC) == "25.4 cm"
    assert format_small(0.2413, Units.US) == "9.5 in"


def test_distances_change_unit_when_they_grow() -> None:
    assert format_distance(91.44, Units.US) == "100 yd"
    assert format_distance(1609.344, Units.US) == "1.0 mi"
    assert format_distance(850, Units.METRIC) == "850 m"
    assert format_distance(1850, Units.METRIC) == "1.9 km" or format_distance(1850, Units.METRIC) == "1.8 km"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "0 min"), (89, "1 min"), (90, "2 min"), (3600, "1 h 00"), (7500, "2 h 05"), (-300, "-5 min")],
)
def test_minutes_are_rounded_to_the_nearest(seconds: float, text: str) -> None:
    assert format_minutes(seconds) == text


def test_an_area_is_written_in_acres_or_hectares() -> None:
    # A square mile is 640 acres, 259 hectares (NIST SP 811 (2008), appendix B.8).
    assert format_area(METRES_PER_MILE**2, Units.US) == "640 acres"
    assert format_area(METRES_PER_MILE**2, Units.METRIC) == "259 ha"
