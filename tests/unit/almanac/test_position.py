"""The edges of what is said about a place."""

import pytest

from tendline.almanac.position import (
    UNSAID_ACCURACY_M,
    Side,
    chance_beyond,
    chance_inside,
    radius_m,
    side,
    sigma_of,
)


def test_an_accuracy_nobody_said_is_read_as_a_poor_one() -> None:
    assert sigma_of(None) == sigma_of(UNSAID_ACCURACY_M) > sigma_of(5.0)


def test_without_spread_the_measured_place_decides() -> None:
    assert chance_inside(0.0, 0.0) == 1.0
    assert chance_inside(-0.01, 0.0) == 0.0
    assert chance_beyond(5.0, 5.0, 0.0) == 1.0
    assert chance_beyond(4.99, 5.0, 0.0) == 0.0


def test_no_distance_is_asked_for() -> None:
    assert chance_beyond(3.0, 0.0, 2.0) == 1.0


@pytest.mark.parametrize(
    ("chance", "expected"),
    [
        (1.0, Side.RIGHT),
        (0.99, Side.RIGHT),
        (0.9899, Side.TOO_CLOSE),
        (0.5, Side.TOO_CLOSE),
        (0.0101, Side.TOO_CLOSE),
        (0.009, Side.WRONG),
    ],
)
def test_one_side_is_said_only_when_it_is_sure(chance: float, expected: Side) -> None:
    assert side(chance) is expected


def test_the_person_may_ask_for_less_proof() -> None:
    assert side(0.96, sure=0.95) is Side.RIGHT
    with pytest.raises(ValueError, match="above a half"):
        side(0.9, sure=0.5)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1])
def test_a_share_that_is_none_is_not_taken(share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        radius_m(1.0, share=share)
