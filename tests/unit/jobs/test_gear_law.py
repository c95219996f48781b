"""What is taken out of the shipped profiles for a loop, against the texts as they were seen."""

from datetime import date

import pytest

from tendline.almanac.datum import Base
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.gear.loop import LoopLaw
from tendline.jobs.gear_law import loop_law
from tendline.rules.load import load_profile


def law(name: str, *, snow: bool = False, **answers: str) -> LoopLaw:
    return loop_law(
        load_profile(name), day=date(2027, 1, 12), confirmation=None, snow_lies=snow, answers=answers
    )


def test_pennsylvania_gives_lengths_round_and_a_band_above_the_first_hard_surface() -> None:
    found = law("us-pa")
    assert found.open_most_m is not None
    assert found.open_most_m / INCH == pytest.approx(12.0958, abs=5e-5)  # 38 in round
    assert found.stop_least_m is not None
    assert found.stop_least_m / INCH == pytest.approx(2.5465, abs=5e-5)  # 8 in round
    (limit,) = found.heights
    assert (limit.part, limit.base) == ("bottom", Base.FIRST_HARD)
    assert limit.low_m == pytest.approx(6 * INCH)
    assert limit.high_m == pytest.approx(12 * INCH)
    assert not found.verified


def test_michigan_measures_from_a_footprint_once_there_is_snow() -> None:
    assert law("us-mi").heights[0].base is Base.GROUND
    (limit,) = law("us-mi", snow=True).heights
    assert (limit.part, limit.base, limit.low_m) == ("top", Base.FOOTPRINT, None)
    assert limit.high_m == pytest.approx(24 * INCH)
    assert law("us-mi").open_most_m == pytest.approx(15 * INCH)


def test_a_rule_that_hangs_on_a_height_is_kept_to_and_said() -> None:
    # Virginia: a stop of 2 1/2 in where the top of the loop is over 12 in.
    found = law("us-va")
    assert found.stop_least_m == pytest.approx(2.5 * INCH)
    assert any("condition" in said for said in found.said)


def test_rules_for_another_type_of_device_are_left_out_and_said() -> None:
    # Minnesota: at most 10 in but for a wolf snare of 10 to 18 in.
    found = law("us-mn")
    assert found.open_most_m == pytest.approx(10 * INCH)
    assert any("'wolf-loop' is for another type" in said for said in found.said)


def test_a_place_without_figures_says_nothing_of_them() -> None:
    found = law("us-ky")
    assert found.open_most_m is None
    assert found.heights == ()


def test_what_is_only_remembered_is_kept_to_and_never_verified() -> None:
    found = law("us-wi")
    assert found.open_most_m == pytest.approx(38 / 3.141592653589793 * INCH)
    assert any("from memory" in said for said in found.said)
