"""From an order to instants and lengths, worked out by hand."""

from dataclasses import replace

import numpy as np

from tendline.plan.instance import instance_of
from tendline.plan.itinerary import LeftOut, RoundProblem
from tendline.plan.schedule import alone, first_wait, plan_of
from tests.validation.plan.build import at, one_loop, problem, span, table, task
from tests.validation.plan.verify import violations


def two_farms() -> RoundProblem:
    """Sets a and b at parking p, c at parking q; every time in minutes."""
    far = float("inf")
    walk = table(
        ["p", "q", "a", "b", "c"],
        [
            [0, far, 5, 9, far],
            [far, 0, far, far, 3],
            [6, far, 0, 4, far],
            [8, far, 5, 0, far],
            [far, 3, far, far, 0],
        ],
    )
    drive = table(["home", "p", "q"], [[0, 10, 20], [11, 0, 7], [21, 8, 0]])
    sets = [task("a", service=2.0, due=60.0), task("b", service=3.0), task("c", windows=((70.0, 90.0),))]
    whole = problem(sets, walk=walk, drive=drive, parkings=("p", "q"), hours=3.0, park=4.0)
    estimated = np.zeros((3, 3), dtype=np.bool_)
    estimated[0, 1] = estimated[2, 0] = True
    return replace(whole, drive=replace(whole.drive, estimated=estimated))


def test_every_instant_and_length_follows_from_the_tables() -> None:
    whole = two_farms()
    plan = plan_of(whole, instance_of(whole), [[0, 0, 1], [1, 2]])
    first, second = plan.stops
    a, b = first.visits
    (c,) = second.visits
    # 10 drive, 4 park, 5 walk: a at 19, leaves 21; 4: b at 25, leaves 28; 8 back: 36.
    assert (plan.leave, first.arrive) == (at(0), at(10))
    assert (a.look, a.leave, b.look, b.leave, first.depart) == (at(19), at(21), at(25), at(28), at(36))
    # 7 drive: 43; 4 park, 3 walk: 50, the window opens at 70: 20 waited; leaves 71; 3 back: 74; 21 home: 95.
    assert (second.arrive, c.look, c.leave, second.depart, plan.back) == (
        at(43),
        at(70),
        at(71),
        at(74),
        at(95),
    )
    assert (a.wait_s, b.wait_s, c.wait_s) == (0.0, 0.0, 1200.0)
    assert (a.walk_s, b.walk_s, first.back_s, first.back_m) == (300.0, 240.0, 480.0, 480.0)
    assert (a.due, a.slack_s) == (at(60), 41 * 60.0)
    assert (b.due, b.slack_s) == (None, None)
    assert (first.drive_s, first.drive_estimated, second.drive_estimated) == (600.0, True, False)
    assert (plan.home_s, plan.home_m, plan.home_estimated) == (1260.0, 1260.0, True)
    assert plan.spare_s == 85 * 60.0
    assert violations(whole, plan) == []


def test_one_leaves_later_by_the_wait_at_the_first_set_and_no_look_gets_later() -> None:
    whole = two_farms()
    whole = replace(whole, sets=(task("a", service=2.0, due=100.0), *whole.sets[1:]))
    inst = instance_of(whole)
    plan = plan_of(whole, inst, [[1, 2], [0, 0]])
    # 20 + 4 + 3 = 27; c opens at 70: leave at 43 instead of waiting 43 minutes there.
    assert first_wait(inst, [[1, 2], [0, 0]]) == 43 * 60_000
    assert plan.leave == at(43)
    assert plan.stops[0].visits[0].look == at(70)
    assert plan.stops[0].visits[0].wait_s == 0.0
    # 71, truck 74, drive 8 to 82, park 86, a at 91, as it would be had one left at once.
    assert plan.stops[1].visits[0].slack_s == 9 * 60.0


def test_what_is_left_out_is_told_with_its_reason() -> None:
    sets = [
        task("a"),
        task("late", due=12.0),
        task("shut", windows=(), must=False),
        task("cut off", must=False),
        task("more", must=False, due=30.0),
        task("over"),
    ]
    whole = one_loop(sets, {"a": 5.0, "late": 5.0, "shut": 5.0, "cut off": 5.0, "more": 6.0, "over": 7.0})
    seconds = whole.walk.seconds.copy()
    seconds[4, :] = seconds[:, 4] = float("inf")
    whole = replace(whole, walk=replace(whole.walk, seconds=seconds))
    plan = plan_of(whole, instance_of(whole), [[0, 0]])
    assert plan.left_out == (
        LeftOut("late", True, at(12), "It cannot be looked at in time on this outing, not even by itself."),
        LeftOut("shut", False, None, "There is no moment left in which it may be looked at."),
        LeftOut("cut off", False, None, "No parking reaches it on foot."),
        LeftOut("more", False, at(30), "There was no room for it beside the sets that must be visited."),
        LeftOut("over", True, None, "Not everything that must be visited fits into this outing."),
    )


def test_a_set_alone_is_in_time_when_look_and_return_are() -> None:
    # 10 + 5 = 15 there, 16 done, 31 back.
    for due, hours, fine in ((15.0, 31 / 60, True), (14.9, 2.0, False), (60.0, 30.9 / 60, False)):
        inst = instance_of(one_loop([task("a", due=due)], {"a": 5.0}, hours=hours))
        assert alone(inst, 0) is fine


def test_a_round_without_visits_is_the_drive_from_start_to_end() -> None:
    drive = table(["home", "p", "cabin"], [[0, 10, 25], [10, 0, 30], [25, 30, 0]])
    whole = one_loop([task("a", must=False)], {"a": 5.0})
    whole = replace(whole, drive=drive, end="cabin", outing=span(0, 120))
    plan = plan_of(whole, instance_of(whole), [])
    assert (plan.leave, plan.back, plan.stops, plan.home_s) == (at(0), at(25), (), 1500.0)
    assert violations(whole, plan) == []
