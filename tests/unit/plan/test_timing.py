"""The clock of an order, worked out by hand: arriving, waiting, latest arrivals, one more set."""

import pytest

from tendline.plan.budget import Chance
from tendline.plan.instance import Instance, instance_of
from tendline.plan.recreate import best_place, put, recreate
from tendline.plan.timing import Cost, clock, cost, first_look, last_arrival, latest_start
from tests.validation.plan.build import invented, limited, one_loop, problem, table, task

MINUTE = 60_000


def track() -> Instance:
    """Parking p at minute 0 of a track, sets at 5 and 9; ten minutes to drive; b is open from 40 to 60."""
    sets = [task("a", due=30.0, service=2.0), task("b", windows=((40.0, 60.0),), service=3.0)]
    return instance_of(one_loop(sets, {"a": 5.0, "b": 9.0}, hours=2.0))


def test_an_order_is_timed_leg_by_leg() -> None:
    # Drive 10, walk 5: a at 15, leaves 17; walk 4: at b at 21, waits until 40, leaves 43;
    # back 9: 52; drive 10: 62.
    now = clock(track(), [[0, 0, 1]])
    assert now is not None
    assert now.end == 62 * MINUTE
    # 19 minutes of that were waiting.
    assert now.work == 43 * MINUTE


def test_latest_arrivals_follow_from_what_comes_after() -> None:
    now = clock(track(), [[0, 0, 1]])
    assert now is not None
    # Back by 120: off at 110, so at the truck by 110; b by 60 (closes) because 60 + 3 + 9 = 72 is well
    # before; a by 30 (its limit) because 30 + 2 + 4 = 36 is before 60.
    assert [latest for latest, _, _ in now.gaps.behind] == [30 * MINUTE, 60 * MINUTE, 110 * MINUTE]
    # To be at a by 30: leave the truck by 25, home by 15.
    assert latest_start(track(), [[0, 0, 1]], now) == 15 * MINUTE


def test_an_order_that_breaks_a_limit_has_no_clock() -> None:
    # b first: there at 19, waits until 40, leaves 43, at a at 47, which was due at 30.
    assert clock(track(), [[0, 1, 0]]) is None
    assert cost(track(), [[0, 1, 0]]) is None


def test_an_order_that_is_back_too_late_has_no_clock() -> None:
    sets = [task("a", service=2.0)]
    assert (
        clock(instance_of(one_loop(sets, {"a": 5.0}, hours=0.5)), [[0, 0]]) is None
    )  # 10+5+2+5+10 = 32 > 30
    assert clock(instance_of(one_loop(sets, {"a": 5.0}, hours=0.54)), [[0, 0]]) is not None  # 32.4


def test_what_is_left_out_is_counted_in_the_cost() -> None:
    inst = track()
    # a alone: 10 + 5 + 2 + 5 + 10 = 32 minutes.
    assert cost(inst, [[0, 0]]) == Cost(inst.loss[1], 32 * MINUTE, 32 * MINUTE)
    assert cost(inst, []) == Cost(sum(inst.loss), 0, 0)


def test_two_stops_pay_the_drive_and_the_parking_between_them() -> None:
    walk = table(
        ["p", "q", "a", "b"],
        [[0, 60, 2, 60], [60, 0, 60, 3], [2, 60, 0, 60], [60, 3, 60, 0]],
    )
    drive = table(["home", "p", "q"], [[0, 10, 20], [11, 0, 5], [21, 6, 0]])
    inst = instance_of(problem([task("a"), task("b")], walk=walk, drive=drive, parkings=("p", "q"), park=3.0))
    # 10 + 3 park + 2 + 1 look + 2 = 18; 5 + 3 + 3 + 1 + 3 = 33; home 21: 54.
    assert cost(inst, [[0, 0], [1, 1]]) == Cost(0, 54 * MINUTE, 54 * MINUTE)
    # 20 + 3 + 3 + 1 + 3 = 30; 6 + 3 + 2 + 1 + 2 = 44; home 11: 55.
    assert cost(inst, [[1, 1], [0, 0]]) == Cost(0, 55 * MINUTE, 55 * MINUTE)


def test_a_look_happens_in_the_first_window_that_is_not_over() -> None:
    windows = ((10, 20), (30, 40))
    assert [first_look(windows, t) for t in (0, 10, 20, 21, 40, 41)] == [10, 10, 20, 30, 40, -1]


def test_the_latest_arrival_for_a_look_lies_in_a_window() -> None:
    windows = ((10, 20), (30, 40))
    assert [last_arrival(windows, look) for look in (9, 10, 15, 25, 30, 99)] == [-1, 10, 15, 20, 30, 40]


def test_a_set_with_two_windows_is_looked_at_in_the_second_when_the_first_is_over() -> None:
    sets = [task("a", windows=((0.0, 12.0), (50.0, 55.0)), service=1.0)]
    now = clock(instance_of(one_loop(sets, {"a": 5.0})), [[0, 0]])
    assert now is not None
    # There at 15, after 12: waits until 50, leaves 51, truck 56, home 66.
    assert now.end == 66 * MINUTE
    assert now.gaps.behind[0] == (55 * MINUTE, 16 * MINUTE, 66 * MINUTE)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_end_promised_for_one_more_set_is_the_end_that_comes(seed: int) -> None:
    whole = invented(seed, properties=2, sets=10, parkings=4)
    inst = instance_of(limited(whole, seed, slack_min=60.0, opening_share=0.4)[0])
    order: list[list[int]] = []
    now, promised = clock(inst, order), []
    for i in range(inst.count):
        assert now is not None
        place = best_place(inst, i, order, now)
        if place is None:
            continue
        put(order, i, place)
        now = clock(inst, order)
        assert now is not None
        # Where waiting swallows the detour, a thousandth of it is taken off to tell places apart.
        promised.append(now.end - place.end)
        assert 0 <= promised[-1] <= now.end // 1000
    assert len(promised) >= 5
    assert promised.count(0) >= 3


def test_the_place_found_is_the_best_of_all_places() -> None:
    whole = limited(invented(7, properties=2, sets=8, parkings=4), 7, slack_min=40.0, opening_share=0.3)[0]
    inst = instance_of(whole)
    order: list[list[int]] = []
    recreate(inst, order, list(range(7)), Chance(3))
    now = clock(inst, order)
    assert now is not None
    ends = []
    for k, stop in enumerate(order):
        for slot in range(1, len(stop) + 1):
            tried = [*order[:k], [*stop[:slot], 7, *stop[slot:]], *order[k + 1 :]]
            ends.append(cost(inst, tried))
    for p in set(inst.doors[7]) - {stop[0] for stop in order}:
        ends += [cost(inst, [*order[:k], [p, 7], *order[k:]]) for k in range(len(order) + 1)]
    place = best_place(inst, 7, order, now)
    kept = [one.end for one in ends if one is not None]
    assert (place is None) == (not kept)
    if place is not None:
        put(order, 7, place)
        after = cost(inst, order)
        assert after is not None
        assert after.end == min(kept)
