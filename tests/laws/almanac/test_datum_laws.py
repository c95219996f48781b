"""What must hold for a height over any snow."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendline.almanac.datum import Base, Snow, height_above
from tendline.core.words import Surface

snows = st.builds(
    Snow,
    st.none() | st.floats(0.0, 3.0),
    st.none() | st.sampled_from(Surface),
    st.none() | st.floats(0.0, 1.0),
)
heights = st.floats(0.0, 2.0)


@given(st.sampled_from(Base), heights, snows, st.none() | snows)
def test_a_range_is_a_range_and_a_gap_has_a_reason(
    base: Base, height: float, measured: Snow, later: Snow | None
) -> None:
    found = height_above(base, height, measured=measured, later=later)
    if found.low_m is None or found.high_m is None:
        assert found.low_m is found.high_m is None
        assert "measure again" in found.why
    else:
        assert found.low_m <= found.high_m + 1e-12


@given(heights, snows.filter(lambda s: s.depth_m is not None), snows.filter(lambda s: s.depth_m is not None))
def test_no_surface_is_below_the_ground_or_above_the_snow(height: float, measured: Snow, later: Snow) -> None:
    ground = height_above(Base.GROUND, height, measured=measured, later=later)
    if ground.low_m is None or ground.high_m is None or later.depth_m is None:
        return
    for base in Base:
        found = height_above(base, height, measured=measured, later=later)
        assert found.low_m is not None
        assert found.high_m is not None
        assert found.high_m <= ground.high_m + 1e-9
        assert found.low_m >= ground.low_m - later.depth_m - 1e-9


@given(st.sampled_from(Base), heights, snows, st.none() | snows, st.floats(0.0, 1.0))
def test_a_higher_loop_is_higher_over_every_surface(
    base: Base, height: float, measured: Snow, later: Snow | None, more: float
) -> None:
    one = height_above(base, height, measured=measured, later=later)
    two = height_above(base, height + more, measured=measured, later=later)
    if one.low_m is None or two.low_m is None:
        assert one.known == two.known
    else:
        assert two.low_m - one.low_m == pytest.approx(more, abs=1e-9)
