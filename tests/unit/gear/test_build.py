"""A build laid out: stops along the cable with the lock counted, reach, weight, cost, what is refused."""

import math
from dataclasses import replace

import pytest

from tendline.core.errors import Refused
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.gear.build import Build, Cable, PartUsed, lay_out

# Pennsylvania steps as seen: cable under 84 in, stops at 38 in and 8 in round; the rest invented.
BUILD = Build(
    name="fox",
    cable=Cable("7x7", "galvanised", 3 / 32 * INCH, 84 * INCH),
    largest_m=38 * INCH,
    smallest_m=8 * INCH,
    lock_m=0.75 * INCH,
    tip_m=0.5 * INCH,
    end_m=3 * INCH,
    extension_m=18 * INCH,
    parts=(PartUsed("lock", 1, 0.010, 0.4), PartUsed("stop", 3, 0.002, 0.04)),
    cable_cost_per_m=0.5,
)


def test_the_locks_own_length_is_part_of_the_way_round() -> None:
    laid = lay_out(BUILD)
    # tip 0.5 + 38 - lock 0.75; tip 0.5 + 8 - lock 0.75
    assert laid.largest_stop_m / INCH == pytest.approx(37.75)
    assert laid.smallest_stop_m is not None
    assert laid.smallest_stop_m / INCH == pytest.approx(7.75)
    assert laid.largest_across_m / INCH == pytest.approx(12.0958, abs=5e-5)
    # 84 - eye 3 - 7.75, and 84 - 3 - 37.75
    assert laid.to_lock_m / INCH == pytest.approx(73.25)
    assert laid.to_lock_open_m / INCH == pytest.approx(43.25)


def test_between_the_stops_lies_the_difference_of_the_loops() -> None:
    laid = lay_out(BUILD)
    assert laid.smallest_stop_m is not None
    assert laid.largest_stop_m - laid.smallest_stop_m == pytest.approx(30 * INCH)


def test_reach_weight_and_cost_add_up() -> None:
    laid = lay_out(BUILD)
    # 73.25 + extension 18 + body 12
    assert laid.circle.high_m / INCH == pytest.approx(103.25)
    # 7 ft of 16 lb in 1,000 ft: 0.112 lb = 50.80 g; lock 10 g; stops 6 g
    assert laid.mass.total == pytest.approx(0.0508 + 0.016, abs=1e-5)
    # 84 in = 2.1336 m at 0.5; 0.4; 3 at 0.04
    assert laid.cost.total == pytest.approx(1.0668 + 0.4 + 0.12)
    assert laid.mass.missing == ()


def test_what_nobody_weighed_is_named_and_not_taken_as_nothing() -> None:
    bare = replace(BUILD, parts=(PartUsed("lock"),), cable_cost_per_m=None)
    laid = lay_out(bare)
    assert laid.mass.missing == ("lock",)
    assert laid.cost.missing == ("cable", "lock")


def test_a_build_without_a_smaller_stop_closes_all_the_way() -> None:
    laid = lay_out(replace(BUILD, smallest_m=None))
    assert laid.smallest_stop_m is None
    assert laid.to_lock_m / INCH == pytest.approx(84 - 3 - 0.5)


def test_a_largest_loop_smaller_than_the_smallest_is_refused() -> None:
    # The trap of the trade: 12 in across is 37.7 in round; written as round it is under 15 in round.
    with pytest.raises(Refused, match="GEAR-101"):
        lay_out(replace(BUILD, largest_m=12 * INCH, smallest_m=15 * INCH))


def test_a_cable_too_short_for_its_loop_is_refused() -> None:
    with pytest.raises(Refused, match="GEAR-107"):
        lay_out(replace(BUILD, cable=replace(BUILD.cable, length_m=38 * INCH)))


def test_lengths_that_cannot_be_are_told_together() -> None:
    with pytest.raises(Refused) as told:
        lay_out(replace(BUILD, largest_m=math.nan, lock_m=-1.0, end_m=-1.0))
    assert [fault.code.id for fault in told.value.faults] == ["GEAR-105"] * 3
