"""The loop for an animal under a law and snow: ranges, what binds, what is refused."""

import pytest

from tendline.almanac.datum import Base
from tendline.almanac.loop_tables import recommended
from tendline.core.errors import Refused
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.core.words import PlaceKind
from tendline.gear.loop import HeightLimit, LoopAdvice, LoopLaw, advise
from tendline.gear.snowpack import Pack

# 58 Pa. Code 141.66 as seen: at most 38 in round, bottom 6 to 12 in above the first hard surface.
PA = LoopLaw(
    "us-pa",
    open_most_m=38 * INCH / 3.141592653589793,
    heights=(HeightLimit("bottom", Base.FIRST_HARD, 6 * INCH, 12 * INCH, "bottom 6 to 12 in"),),
)
# Michigan winter page as seen: top at most 24 in above ground, on snow above a footprint.
MI_SNOW = LoopLaw(
    "us-mi",
    open_most_m=15 * INCH,
    heights=(HeightLimit("top", Base.FOOTPRINT, None, 24 * INCH, "top at most 24 in"),),
)


def coyote(pack: Pack, law: LoopLaw | None) -> LoopAdvice:
    return advise("coyote", PlaceKind.TRAIL, rows=recommended("coyote", PlaceKind.TRAIL), pack=pack, law=law)


def inches(metres: float) -> float:
    return metres / INCH


def test_on_bare_ground_the_table_and_the_law_agree() -> None:
    found = coyote(Pack(), PA)
    assert found.agree
    assert (inches(found.across.low_m), inches(found.across.high_m)) == pytest.approx((9, 12))
    assert (inches(found.bottom.low_m), inches(found.bottom.high_m)) == pytest.approx((10, 12))
    # 12 in across hangs 13.9 in high at its longest: 12 + 13.9.
    assert inches(found.top.high_m) == pytest.approx(25.903, abs=5e-4)
    assert "two o'clock" in found.lock


def test_new_powder_does_not_lift_the_laws_surface_but_it_lifts_the_animal() -> None:
    found = coyote(Pack(base_m=0.0, new_m=6 * INCH), PA)
    assert found.law_bottom is not None
    assert inches(found.law_bottom.low_m) == pytest.approx(6)
    assert inches(found.law_bottom.high_m) == pytest.approx(12)
    # Trodden to 8 % water of 30 %: 1.6 in; or bearing it: 6 in.
    assert inches(found.walked_on.low_m) == pytest.approx(1.6)
    assert inches(found.walked_on.high_m) == pytest.approx(6)
    assert inches(found.bottom.high_m) == pytest.approx(12)  # the law binds


def test_a_deep_crust_lifts_both() -> None:
    found = coyote(Pack(base_m=10 * INCH), PA)
    assert (inches(found.bottom.low_m), inches(found.bottom.high_m)) == pytest.approx((20, 22))
    above = found.above(Base.FIRST_HARD)
    assert (inches(above.low_m), inches(above.high_m)) == pytest.approx((10, 12))


def test_a_top_limit_counts_the_loop_at_its_longest_and_the_deepest_footprint() -> None:
    found = coyote(Pack(new_m=6 * INCH), MI_SNOW)
    assert found.law_bottom is not None
    # 24 + 1.6 (the lowest footprint) - 13.903 (the tallest oval).
    assert inches(found.law_bottom.high_m) == pytest.approx(24 + 1.6 - 13.903, abs=1e-3)


def test_a_round_loop_of_twelve_inches_at_twelve_is_just_under_twenty_four() -> None:
    found = coyote(Pack(), PA)
    assert inches(found.bottom.high_m + found.across.high_m) == pytest.approx(24)


def test_where_they_disagree_the_law_binds_and_it_is_said() -> None:
    low = LoopLaw("xx-low", heights=(HeightLimit("bottom", Base.GROUND, None, 4 * INCH, "at most 4 in"),))
    found = coyote(Pack(), low)
    assert not found.agree
    assert inches(found.bottom.high_m) == pytest.approx(4)
    assert inches(found.animal_bottom.low_m) == pytest.approx(10)
    assert any("the law binds" in said for said in found.said)


def test_a_law_that_no_height_can_keep_is_told() -> None:
    limits = (
        HeightLimit("bottom", Base.GROUND, 6 * INCH, None, "bottom at least 6 in"),
        HeightLimit("top", Base.GROUND, None, 15 * INCH, "top at most 15 in"),
    )
    found = coyote(Pack(), LoopLaw("xx-none", heights=limits))
    assert not found.agree
    assert any("no height keeps" in said for said in found.said)


def test_a_narrow_law_cuts_the_loop() -> None:
    found = coyote(Pack(), LoopLaw("xx-narrow", open_most_m=10 * INCH))
    assert (inches(found.across.low_m), inches(found.across.high_m)) == pytest.approx((9, 10))
    tiny = coyote(Pack(), LoopLaw("xx-tiny", open_most_m=6 * INCH))
    assert inches(tiny.across.high_m) == pytest.approx(6)
    assert not tiny.agree


def test_without_a_profile_nothing_is_called_lawful() -> None:
    found = coyote(Pack(), None)
    assert found.law_bottom is None
    assert any("not verified" in said for said in found.said)


def test_measured_tracks_make_the_range_a_point() -> None:
    found = coyote(Pack(base_m=4 * INCH, new_m=6 * INCH, sink_m=5 * INCH), None)
    assert found.walked_on.low_m == found.walked_on.high_m == pytest.approx(5 * INCH)


def test_snow_that_cannot_be_is_refused_all_at_once() -> None:
    with pytest.raises(Refused) as told:
        Pack(base_m=-0.1, new_m=-0.2).check()
    assert [fault.code.id for fault in told.value.faults] == ["GEAR-103", "GEAR-103"]
    with pytest.raises(Refused, match="GEAR-103"):
        Pack(base_m=0.1, sink_m=0.5).check()


def test_a_fence_and_a_log_carry_their_own_word() -> None:
    rows = recommended("coyote", PlaceKind.UNDER_FENCE)
    fence = advise("coyote", PlaceKind.UNDER_FENCE, rows=rows, pack=Pack(), law=None)
    assert inches(fence.bottom.high_m) == pytest.approx(2)
    assert any("fence" in said for said in fence.said)
    log = recommended("coyote", PlaceKind.LOG_CROSSING)
    over = advise("coyote", PlaceKind.LOG_CROSSING, rows=log, pack=Pack(raised_m=None), law=None)
    assert any("top of the log" in said for said in over.said)
    assert over.pack.zero == "top of the log"


def test_the_height_of_a_log_comes_to_every_height_but_those_of_the_animal() -> None:
    rows = recommended("coyote", PlaceKind.LOG_CROSSING)
    pack = Pack(base_m=3 * INCH, raised_m=20 * INCH)
    low = HeightLimit("bottom", Base.FIRST_HARD, 6 * INCH, 12 * INCH, "bottom")
    top = HeightLimit("top", Base.GROUND, None, 48 * INCH, "top")
    law = LoopLaw("made-up", heights=(low, top))
    found = advise("coyote", PlaceKind.LOG_CROSSING, rows=rows, pack=pack, law=law)
    # 20 in of log and 3 in of hard snow under the animal: 10 to 12 in over that is 33 to 35 in.
    assert inches(found.animal_bottom.low_m) == pytest.approx(33)
    assert inches(found.above_walked().low_m) == pytest.approx(10)
    assert inches(found.above(Base.FIRST_HARD).low_m) == pytest.approx(10)
    # The top of the largest loop, 13.903 in high, is at most 48 in over the ground.
    assert found.law_bottom is not None
    assert inches(found.law_bottom.high_m) == pytest.approx(48 - 13.903, abs=1e-3)


def test_a_law_from_the_ground_is_not_told_over_a_log_of_unknown_height() -> None:
    rows = recommended("coyote", PlaceKind.LOG_CROSSING)
    limits = [HeightLimit("top", base, None, 24 * INCH, "top") for base in (Base.GROUND, Base.FOOTPRINT)]
    low = HeightLimit("bottom", Base.FIRST_HARD, 6 * INCH, 12 * INCH, "bottom")
    law = LoopLaw("made-up", heights=(*limits, low))
    found = advise("coyote", PlaceKind.LOG_CROSSING, rows=rows, pack=Pack(raised_m=None), law=law)
    assert found.law is not None
    assert found.law.heights == (low,)
    assert any("until you give the height of the log" in said for said in found.said)
    # A footprint may be on the log or beside it: with a known height both are kept to.
    known = Pack(raised_m=20 * INCH).surface(Base.FOOTPRINT)
    assert [inches(known.low_m), inches(known.high_m)] == pytest.approx([0, 20])
