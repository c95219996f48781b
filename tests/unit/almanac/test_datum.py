"""What is said of a height when the record is thin, and that a range is never narrower than what is known."""

import pytest

from tendline.almanac.datum import Base, Snow, height_above
from tendline.core.words import Surface


@pytest.mark.parametrize("base", list(Base))
def test_a_height_over_nobody_knows_what_must_be_measured_again(base: Base) -> None:
    height = height_above(base, 0.25, measured=Snow(0.1, None))
    assert not height.known
    assert "measure again" in height.why


@pytest.mark.parametrize(
    ("base", "surface"),
    [
        (Base.GROUND, Surface.GROUND),
        (Base.FIRST_HARD, Surface.GROUND),
        (Base.FIRST_HARD, Surface.ICE),
        (Base.FIRST_HARD, Surface.CRUST),
        (Base.FIRST_HARD, Surface.PACKED_SNOW),
        (Base.PACKED_SNOW, Surface.PACKED_SNOW),
        (Base.FOOTPRINT, Surface.BOOTPRINT),
        (Base.FOOTPRINT, Surface.PACKED_SNOW),
        (Base.SNOW_SURFACE, Surface.LOOSE_SNOW),
    ],
)
def test_measured_from_the_very_surface_it_stands_as_it_is(base: Base, surface: Surface) -> None:
    height = height_above(base, 0.25, measured=Snow(None, surface))
    assert (height.low_m, height.high_m) == (0.25, 0.25)


@pytest.mark.parametrize("base", [Base.FOOTPRINT, Base.PACKED_SNOW, Base.SNOW_SURFACE])
def test_measured_from_the_ground_with_no_word_of_snow_other_surfaces_are_unknown(base: Base) -> None:
    height = height_above(base, 0.25, measured=Snow(None, Surface.GROUND))
    assert not height.known
    assert "depth of snow there now" in height.why


@pytest.mark.parametrize("base", list(Base))
def test_on_bare_ground_every_surface_is_the_same(base: Base) -> None:
    height = height_above(base, 0.25, measured=Snow(0.0, Surface.GROUND))
    assert (height.low_m, height.high_m) == (0.25, 0.25)


@pytest.mark.parametrize(
    "surface", [Surface.PACKED_SNOW, Surface.CRUST, Surface.LOOSE_SNOW, Surface.BOOTPRINT]
)
def test_over_snow_of_unknown_depth_the_ground_is_unknown(surface: Surface) -> None:
    assert not height_above(Base.GROUND, 0.25, measured=Snow(None, surface)).known


def test_over_ice_the_ground_is_unknown() -> None:
    height = height_above(Base.GROUND, 0.25, measured=Snow(0.0, Surface.ICE))
    assert not height.known
    assert "ice" in height.why


def test_measured_over_powder_the_hard_surface_is_anywhere_under_it() -> None:
    """20 cm over 15 cm of powder: the hard surface is 20 cm below, or as much as 35."""
    height = height_above(Base.FIRST_HARD, 0.20, measured=Snow(0.15, Surface.LOOSE_SNOW))
    assert (height.low_m, height.high_m) == pytest.approx((0.20, 0.35))


def test_a_crust_that_has_been_snowed_in_may_have_gone_soft() -> None:
    height = height_above(
        Base.FIRST_HARD,
        0.25,
        measured=Snow(0.10, Surface.CRUST),
        later=Snow(0.16, Surface.LOOSE_SNOW, 0.06),
    )
    assert (height.low_m, height.high_m) == pytest.approx((0.25, 0.35))


def test_a_packed_trail_that_has_shrunk_may_be_anywhere() -> None:
    """25 cm over 20 cm of packed snow; 12 cm are left and loose: 45 - 12 to 45."""
    height = height_above(
        Base.FIRST_HARD,
        0.25,
        measured=Snow(0.20, Surface.PACKED_SNOW),
        later=Snow(0.12, Surface.LOOSE_SNOW),
    )
    assert (height.low_m, height.high_m) == pytest.approx((0.33, 0.45))


def test_a_crust_is_not_surely_packed_snow() -> None:
    height = height_above(Base.PACKED_SNOW, 0.25, measured=Snow(0.10, Surface.CRUST))
    assert (height.low_m, height.high_m) == pytest.approx((0.25, 0.35))


def test_a_crust_may_give_way_under_a_person() -> None:
    """A footprint in 30 cm under a crust: it bears, or goes down to 30 * 8 / 30 = 8 cm."""
    height = height_above(
        Base.FOOTPRINT, 0.5, measured=Snow(0.0, Surface.GROUND), later=Snow(0.30, Surface.CRUST)
    )
    assert (height.low_m, height.high_m) == pytest.approx((0.20, 0.42))
