"""What must hold of any loop, build and count of parts, whatever goes in."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.almanac.animals import ANIMALS
from tendline.almanac.datum import Base
from tendline.almanac.loop_tables import recommended
from tendline.core.words import PlaceKind
from tendline.gear.build import Build, Cable, lay_out
from tendline.gear.chances import Rate, pack_need, season_need
from tendline.gear.loop import HeightLimit, LoopLaw, advise
from tendline.gear.snowpack import Pack

DEPTHS = st.floats(0.0, 1.5)
LIMITS = st.builds(
    HeightLimit,
    st.sampled_from(["bottom", "top"]),
    st.sampled_from(list(Base)),
    st.none() | st.floats(0.0, 0.3),
    st.none() | st.floats(0.31, 1.0),
    st.just("a limit"),
)


@settings(max_examples=200, deadline=None)
@given(
    animal=st.sampled_from(list(ANIMALS)),
    pack=st.builds(Pack, DEPTHS, DEPTHS, st.none(), DEPTHS),
    limits=st.lists(LIMITS, max_size=3),
    most=st.none() | st.floats(0.1, 0.6),
)
def test_what_is_advised_keeps_the_law_wherever_a_surface_may_lie(
    animal: str, pack: Pack, limits: list[HeightLimit], most: float | None
) -> None:
    law = LoopLaw("xx", open_most_m=most, heights=tuple(limits))
    found = advise(animal, PlaceKind.TRAIL, rows=recommended(animal, PlaceKind.TRAIL), pack=pack, law=law)
    assert most is None or found.across.high_m <= most
    assert found.across.low_m <= found.across.high_m
    if found.law_bottom is None or found.law_bottom.low_m > found.law_bottom.high_m:
        return
    assert found.bottom.low_m <= found.bottom.high_m + 1e-9
    for limit in limits:
        surface = pack.surface(limit.base)
        for bottom in (found.bottom.low_m, found.bottom.high_m):
            for ground in (surface.low_m, surface.high_m):
                # The top lies anywhere from a round loop to the longest oval: the worse end for each limit.
                low = bottom - ground
                high = low + (found.ovals[1].height_m if limit.part == "top" else 0.0)
                assert limit.low_m is None or low >= limit.low_m - 1e-9
                assert limit.high_m is None or high <= limit.high_m + 1e-9


@given(pack=st.builds(Pack, DEPTHS, DEPTHS, st.none(), st.none() | DEPTHS), base=st.sampled_from(list(Base)))
def test_every_surface_lies_between_the_ground_and_the_top_of_the_snow(pack: Pack, base: Base) -> None:
    for reach in (pack.surface(base), pack.walked_on()):
        assert -1e-9 <= reach.low_m <= reach.high_m + 1e-9 <= pack.top_m + 2e-9


@given(
    smallest=st.floats(0.1, 0.5),
    more=st.floats(0.01, 1.0),
    lock=st.floats(0.0, 0.09),
    spare=st.floats(0.01, 2.0),
)
def test_stops_give_back_the_loops_they_were_placed_for(
    smallest: float, more: float, lock: float, spare: float
) -> None:
    cable = Cable("7x7", "galvanised", 0.00238125, smallest + more + spare)
    laid = lay_out(Build("any", cable, smallest + more, smallest, lock_m=lock))
    assert laid.smallest_stop_m is not None
    # Cable from the tip to the stop, and the lock between: the way round the loop.
    assert laid.largest_stop_m + lock == pytest.approx(smallest + more)
    assert laid.smallest_stop_m + lock == pytest.approx(smallest)
    assert laid.to_lock_m - laid.to_lock_open_m == pytest.approx(more)
    assert math.pi * laid.largest_across_m == pytest.approx(smallest + more)


@settings(max_examples=60, deadline=None)
@given(
    events=st.floats(0.5, 50.0),
    known=st.floats(10.0, 5000.0),
    nights=st.floats(0.0, 3000.0),
    risk=st.floats(0.001, 0.5),
)
def test_the_count_keeps_the_risk_and_no_smaller_one_does(
    events: float, known: float, nights: float, risk: float
) -> None:
    rate = Rate(events, known)
    need = season_need([rate], nights, risk=risk)
    assert need.chance_short <= risk + 1e-9
    assert season_need([rate], nights, risk=risk / 2).count >= need.count
    assert season_need([rate, rate], nights, risk=risk).count >= need.count
    assert pack_need(20, min(1.0, rate.mean), risk=risk).count <= 20
