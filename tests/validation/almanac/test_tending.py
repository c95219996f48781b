"""What tending costs, against the trade's figures (common practice, no source) and Tobler's walk."""

import pytest

from tendline.almanac.tending import AFTER_SNOW, FAIR, WALK_KMH, aside_seconds, set_seconds
from tendline.almanac.travel import speed_tobler1993


def test_walking_off_the_path_is_tobler_on_level_ground_times_three_fifths() -> None:
    # Tobler (1993): 5.04 km/h on level ground on a path, times 0.6 off it.
    assert pytest.approx(0.6 * float(speed_tobler1993(0.0)) * 3.6, rel=0.02) == WALK_KMH


def test_after_snow_three_kilometres_an_hour_become_two() -> None:
    assert WALK_KMH / AFTER_SNOW.snow == pytest.approx(2.0)
    assert FAIR.snow == 1.0
    assert FAIR.fix_share is None


def test_a_set_in_the_mean() -> None:
    # 1 min look + 0.1 x 6 min + 0.01 x 25 min = 1.85 min; after snow 1 + 0.8 x 4 + 0.25 = 4.45 min.
    fair = set_seconds(look_s=60, fix_share=0.1, fix_s=360, catch_share=0.01, catch_s=1500)
    assert fair / 60 == pytest.approx(1.85)
    assert AFTER_SNOW.fix_share is not None
    assert AFTER_SNOW.fix_s is not None
    snow = set_seconds(
        look_s=60,
        fix_share=AFTER_SNOW.fix_share,
        fix_s=AFTER_SNOW.fix_s,
        catch_share=0.01,
        catch_s=1500,
    )
    assert snow / 60 == pytest.approx(4.45)


def test_steps_aside_are_walked_there_and_back() -> None:
    assert aside_seconds(25.0, snow=1.0) == pytest.approx(60.0)
    assert aside_seconds(25.0, snow=1.5) == pytest.approx(90.0)
    assert aside_seconds(0.0, snow=2.0) == 0.0
