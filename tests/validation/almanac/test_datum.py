"""Heights carried over, against the worked examples of handbooks and of the trade."""

import pytest

from tendline.almanac import datum
from tendline.almanac.datum import Base, Snow, height_above
from tendline.core.words import Surface

INCH = 0.0254


def test_six_inches_of_new_snow_packed() -> None:
    """New snow about 8 % water, settled 20 to 30 %: 6 in become about 1.6 to 2.4 in."""
    assert pytest.approx(1.6, abs=0.01) == 6 * datum.PACKED_LEAST
    assert pytest.approx(2.4, abs=0.01) == 6 * datum.PACKED_MOST


def test_new_powder_on_a_packed_trail_does_not_count_for_the_hard_surface() -> None:
    """Bottom 10 in over a trail packed 8 in deep; 6 in of powder on it: still 10 in by the hard surface."""
    then = Snow(8 * INCH, Surface.PACKED_SNOW)
    now = Snow(14 * INCH, Surface.LOOSE_SNOW, 6 * INCH)
    height = height_above(Base.FIRST_HARD, 10 * INCH, measured=then, later=now)
    assert (height.low_m, height.high_m) == pytest.approx((10 * INCH, 10 * INCH))


def test_once_it_has_crusted_it_counts_in_full() -> None:
    """10 in over 8 in of packed snow is 18 in over the ground; a crust 14 in up leaves 4 in."""
    then = Snow(8 * INCH, Surface.PACKED_SNOW)
    height = height_above(
        Base.FIRST_HARD, 10 * INCH, measured=then, later=Snow(14 * INCH, Surface.CRUST, 6 * INCH)
    )
    assert (height.low_m, height.high_m) == pytest.approx((4 * INCH, 4 * INCH))


def test_a_thaw_lifts_the_loop() -> None:
    """10 in over 8 in of packed snow, gone to bare ground: 18 in, over a limit of 12."""
    height = height_above(
        Base.FIRST_HARD, 10 * INCH, measured=Snow(8 * INCH, Surface.PACKED_SNOW), later=Snow(0.0)
    )
    assert (height.low_m, height.high_m) == pytest.approx((18 * INCH, 18 * INCH))


def test_a_top_by_the_footprint() -> None:
    """Top 24 in over bare ground; 6 in of powder, trodden to 1.6 to 2.4 in: 21.6 to 22.4 in."""
    height = height_above(
        Base.FOOTPRINT,
        24 * INCH,
        measured=Snow(0.0, Surface.GROUND),
        later=Snow(6 * INCH, Surface.LOOSE_SNOW, 6 * INCH),
    )
    assert (height.low_m, height.high_m) == pytest.approx((21.6 * INCH, 22.4 * INCH))


def test_the_worked_loop_over_new_snow() -> None:
    """Bottom 25.4 cm over a packed trail, 17.08 cm of new snow: 8.32 cm above the top of the snow."""
    height = height_above(
        Base.SNOW_SURFACE,
        0.254,
        measured=Snow(0.20, Surface.PACKED_SNOW),
        later=Snow(0.3708, Surface.LOOSE_SNOW, 0.1708),
    )
    assert (height.low_m, height.high_m) == pytest.approx((0.0832, 0.0832))
