"""Loops against published worked numbers and scipy's elliptic integral."""

import math

import pytest
from scipy.special import ellipe

from tendline.almanac.loops import across_of, hung_oval, oval_round, round_of, top_range

INCH = 0.0254


@pytest.mark.parametrize(
    ("round_in", "across_in"),
    # 38 in round is 12.10 in across; 8 in is 2.55 in; 4 1/4 and 15 in across are 13.35 and 47.12 in round.
    [(38, 12.0958), (8, 2.5465), (13.3518, 4.25), (47.1239, 15), (7.8540, 2.5), (47, 14.9606)],
)
def test_round_and_across_are_told_apart(round_in: float, across_in: float) -> None:
    assert across_of(round_in * INCH) / INCH == pytest.approx(across_in, abs=5e-5)
    assert round_of(across_in * INCH) / INCH == pytest.approx(round_in, abs=2e-4)


def test_the_oval_of_the_extension_sheet() -> None:
    """Fact sheet 6.517: a 12 in round loop hangs about 14 high and 10 wide.

    An ellipse of 14 by 10 is 37.961 round; a loop of 37.699 at a ratio of 1.4 is 13.903 by 9.931.
    """
    assert oval_round(14, 10) == pytest.approx(37.961, abs=5e-4)
    oval = hung_oval(12 * math.pi)
    assert (oval.height_m, oval.width_m) == pytest.approx((13.903, 9.931), abs=5e-4)


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.4, 2.0, 3.0])
def test_the_length_round_an_oval_is_the_elliptic_integral(ratio: float) -> None:
    """Perimeter = 4 a E(1 - b^2/a^2), a and b half axes (Abramowitz and Stegun 17.3.3; scipy)."""
    exact = 4 * (ratio / 2) * float(ellipe(1 - 1 / ratio**2))
    assert oval_round(ratio, 1.0) == pytest.approx(exact, rel=5e-7)


@pytest.mark.parametrize(
    ("bottom", "across", "low", "high"),
    # 12 in up, 12 in across: a round loop ends at 24 in; as an oval at 12 + 13.903. Fox: 8 + 10 = 18.
    [(12, 12, 24, 25.903), (8, 10, 18, 8 + 13.903 * 10 / 12)],
)
def test_the_top_lies_between_round_and_oval(bottom: float, across: float, low: float, high: float) -> None:
    top = top_range(bottom, across)
    assert (top.low_m, top.high_m) == pytest.approx((low, high), abs=6e-4)
