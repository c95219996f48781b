"""What must hold for any place and any loop."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.almanac.loops import across_of, hung_oval, oval_round, round_of, top_range
from tendline.almanac.position import chance_beyond, chance_inside, radius_m, sigma_of

metres = st.floats(0.0, 500.0)
spread = st.floats(0.1, 50.0)


@given(spread, st.floats(0.01, 0.99))
def test_the_spread_behind_a_radius_gives_the_radius(accuracy: float, share: float) -> None:
    assert radius_m(sigma_of(accuracy, share=share), share=share) == pytest.approx(accuracy)


@given(metres, metres, spread)
@settings(max_examples=60, deadline=None)
def test_farther_away_is_never_less_likely_to_be_beyond(distance: float, limit: float, sigma: float) -> None:
    near, far = (chance_beyond(d, limit, sigma) for d in (distance, distance + 1.0))
    assert 0.0 <= near <= far + 1e-9 <= 1.0 + 1e-9


@given(metres, metres, spread)
@settings(max_examples=60, deadline=None)
def test_a_point_is_no_likelier_to_be_too_near_than_an_edge(
    distance: float, limit: float, sigma: float
) -> None:
    """The disc round a point lies wholly behind the straight edge that touches it."""
    assert chance_beyond(distance, limit, sigma) >= chance_inside(distance - limit, sigma) - 1e-9


@given(st.floats(0.05, 1.0), st.floats(1.0, 3.0))
def test_a_hung_loop_keeps_its_length(across: float, ratio: float) -> None:
    oval = hung_oval(round_of(across), ratio=ratio)
    assert across_of(oval_round(oval.height_m, oval.width_m)) == pytest.approx(across)
    assert oval.height_m >= across >= oval.width_m - 1e-12 or ratio == 1.0


@given(st.floats(0.0, 1.0), st.floats(0.05, 1.0))
def test_a_top_is_above_its_bottom(bottom: float, across: float) -> None:
    top = top_range(bottom, across)
    assert bottom < top.low_m <= top.high_m
