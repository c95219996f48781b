"""Whole numbers: nothing gets better by rounding, and losses rank what is left out."""

from datetime import timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.instance import FAR, instance_of, losses, milliseconds_up, narrowed
from tests.validation.plan.build import START, one_loop, problem, table, task


def test_travel_is_rounded_up_to_the_millisecond_and_whole_ones_stay() -> None:
    # 1.001 * 1000 is 1000.9999999999999 in floats; 0.0001 s is a tenth of a millisecond.
    seconds = np.array([0.0, 1.001, 2.0, 0.0001, 59.9999, float("inf")])
    assert milliseconds_up(seconds).tolist() == [0, 1001, 2000, 1, 60000, FAR]


def test_rounding_up_keeps_the_straight_way_the_shortest() -> None:
    dice = np.random.default_rng(5)
    spots = dice.uniform(0.0, 1000.0, (40, 2))
    ways = np.hypot(*(spots[:, None] - spots[None]).transpose(2, 0, 1))
    whole = milliseconds_up(ways)
    assert (whole[:, None, :] <= whole[:, :, None] + whole[None, :, :]).all()


def test_windows_open_no_earlier_and_close_no_later_than_they_do() -> None:
    one = task("a")
    ragged = Span(START + timedelta(microseconds=1500), START + timedelta(microseconds=9999))
    inst = instance_of(one_loop([type(one)("a", 0.0, (ragged,))], {"a": 1.0}))
    # 1.5 ms becomes 2, 9.999 ms becomes 9.
    assert inst.windows == [((2, 9),)]


def test_windows_are_cut_off_at_the_limit_and_dropped_when_over() -> None:
    windows = ((-60.0, -1.0), (5.0, 20.0), (30.0, 40.0))
    inst = instance_of(one_loop([task("a", windows=windows, due=12.0)], {"a": 1.0}))
    assert inst.windows == [((5 * 60_000, 12 * 60_000),)]


def test_drives_hold_the_time_to_park_where_the_truck_arrives() -> None:
    drive = table(["home", "p", "q"], [[0, 10, 20], [11, 0, 5], [21, 6, 0]])
    walk = table(["p", "q", "a"], [[0, 9, 1], [9, 0, 1], [1, 1, 0]])
    inst = instance_of(problem([task("a")], walk=walk, drive=drive, parkings=("p", "q"), park=3.0))
    minute = 60_000
    assert inst.go == [13 * minute, 23 * minute]
    assert inst.hop[0][1] == 8 * minute
    assert inst.home == [11 * minute, 21 * minute]


def test_one_set_more_that_must_be_visited_outweighs_any_weight() -> None:
    sets = (
        task("a", weight=1),
        task("b", weight=9),
        task("c", weight=5),
        *(task(f"o{k}", must=False, weight=7) for k in range(9)),
    )
    a, b, c, *optional = losses(sets)
    # Two sets left out are worse than the heaviest one alone; of two, the heavier is worse; one set that
    # must be visited is worse than every other together.
    assert a + c > b
    assert a < c < b
    assert a > sum(optional)


def test_a_narrowed_instance_has_no_way_longer_than_a_detour() -> None:
    walk = table(["p", "a", "b"], [[0, 1, 9], [1, 0, 2], [9, 2, 0]])
    drive = table(["home", "p"], [[0, 1], [1, 0]])
    inst = narrowed(instance_of(problem([task("a"), task("b")], walk=walk, drive=drive)), {1})
    # From p (node 2) to b over a: 1 + 2 instead of 9 minutes.
    assert inst.walk[2][1] == 3 * 60_000
    assert inst.open_sets == [1]
