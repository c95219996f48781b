"""Walking speeds: shapes and the plain estimate."""

import numpy as np
import pytest

from tendline.almanac.travel import pace_tobler1993, speed_tobler1993, straight_walk_s, time_factor


def test_pace_is_the_inverse_of_speed_on_any_slope() -> None:
    slopes = np.linspace(-1.0, 1.0, 41)
    assert speed_tobler1993(slopes) * pace_tobler1993(slopes) == pytest.approx(np.ones(41))


def test_a_number_gives_a_number_and_an_array_an_array() -> None:
    assert isinstance(speed_tobler1993(0.1), float)
    assert pace_tobler1993(np.zeros((2, 3))).shape == (2, 3)


def test_a_straight_walk_is_level_with_detour_and_factor() -> None:
    # 1000 m x 1.3 at 5.0367 km/h = 0.71475 s/m, twice as slow: 1858 s.
    assert straight_walk_s(1000.0, 1.3, 2.0) == pytest.approx(1858.3, abs=0.1)
    assert straight_walk_s(np.array([0.0, 1000.0]), 1.0, 1.0)[0] == 0.0


def test_off_the_path_and_in_snow_multiply() -> None:
    assert time_factor(off_path=0.6, snow=1.5) == pytest.approx(2.5)
