"""The parts that planning the days ahead is made of: walks, tours, clocks, the program."""

import itertools
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from tendline.plan.instance import Instance, instance_of
from tendline.plan.lp import solve
from tendline.plan.lp_program import Ended, Matrix, Program
from tendline.plan.weeks_blocks import Block, cut_blocks, walk_order, walk_time
from tendline.plan.weeks_check import whole_problem, written
from tendline.plan.weeks_clocks import GRID_MS, NEVER, BlockClocks, in_order, meet
from tendline.plan.weeks_nouns import WeekClock, WeeksProblem
from tendline.plan.weeks_rounds import Round
from tendline.plan.weeks_tours import shortest_tours, timed
from tests.weeks_lines import MIDNIGHT, every_days, every_hours, sites, windows


def ready(problem: WeeksProblem) -> Instance:
    """Give the ways of a problem in whole numbers."""
    return instance_of(whole_problem(problem))


def uneven(problem: WeeksProblem, seed: int) -> WeeksProblem:
    """Give every drive and walk a length of its own, different each way."""
    chance = np.random.default_rng(seed)
    drive = problem.drive.seconds * chance.uniform(0.5, 2.0, problem.drive.seconds.shape)
    walk = problem.walk.seconds * chance.uniform(0.5, 2.0, problem.walk.seconds.shape)
    return replace(
        problem, drive=replace(problem.drive, seconds=drive), walk=replace(problem.walk, seconds=walk)
    )


def test_walks_cover_every_set_once_and_none_is_too_long() -> None:
    problem = uneven(sites([every_days(2)] * 2, windows(2, start_h=6, minutes=300), days=2, per_site=9), 1)
    inst = ready(problem)
    longest = 100 * 60_000
    blocks = cut_blocks(problem, inst, longest=longest)
    assert sorted(i for block in blocks for i in block.sets) == list(range(18))
    assert all(block.whole <= longest or len(block.sets) == 1 for block in blocks)
    for block in blocks:
        assert block.whole == walk_time(inst, block.parking, block.sets)


def test_sets_under_different_rules_or_due_days_apart_are_walked_apart() -> None:
    problem = sites([every_days(2)], windows(4, start_h=6, minutes=300), days=4, per_site=3, service_min=2)
    first, second, third = problem.sets
    other = replace(second, clock=every_hours(30))
    later = replace(third, due=MIDNIGHT + timedelta(days=3, hours=12))
    problem = replace(problem, sets=(replace(first, due=MIDNIGHT + timedelta(days=1)), other, later))
    assert [block.sets for block in cut_blocks(problem, ready(problem))] == [(0,), (2,), (1,)]


def test_a_short_walk_is_the_shortest_by_trying_every_order() -> None:
    problem = uneven(sites([every_days(2)], windows(2, start_h=6, minutes=300), days=2, per_site=6), 4)
    inst = ready(problem)
    best = min(walk_time(inst, 0, order) for order in itertools.permutations(range(6)))
    assert walk_time(inst, 0, walk_order(inst, 0, range(6))) == best


def test_a_long_walk_is_no_longer_than_going_to_the_nearest_next() -> None:
    problem = uneven(sites([every_days(2)], windows(2, start_h=6, minutes=900), days=2, per_site=16), 4)
    inst = ready(problem)
    order = walk_order(inst, 0, range(16))
    assert sorted(order) == list(range(16))
    here, left, nearest = inst.count, set(range(16)), list[int]()
    while left:
        here = min(left, key=lambda i: inst.walk[here][i])
        nearest.append(here)
        left.remove(here)
    assert walk_time(inst, 0, order) <= walk_time(inst, 0, nearest)


def test_the_tours_are_the_shortest_over_every_choice_that_fits() -> None:
    problem = uneven(sites([every_days(2)] * 5, windows(2, start_h=6, minutes=300), days=2), 7)
    inst = ready(problem)
    blocks = cut_blocks(problem, inst)
    longest = 160 * 60_000
    every, whole = shortest_tours(inst, blocks, longest=longest, keep=10_000)
    assert whole
    tours = {frozenset(t.order): t for t in every}
    for size in range(1, 6):
        for choice in itertools.combinations(range(5), size):
            best = min(timed(inst, blocks, order).whole for order in itertools.permutations(choice))
            if best <= longest:
                assert tours[frozenset(choice)].whole == best
                assert timed(inst, blocks, tours[frozenset(choice)].order) == tours[frozenset(choice)]
            else:
                assert frozenset(choice) not in tours
    few, whole = shortest_tours(inst, blocks, longest=longest, keep=2)
    assert not whole
    # Cut short, there are fewer choices, each a way that can be driven in the time told.
    assert len(few) < len(tours)
    assert all(timed(inst, blocks, t.order) == t and t.whole >= tours[frozenset(t.order)].whole for t in few)


@pytest.mark.parametrize("clock", [every_hours(36), every_hours(25.5), every_days(1), every_days(3)])
def test_a_table_gives_the_limit_of_the_rule_or_an_earlier_one(clock: WeekClock) -> None:
    problem = sites([clock], windows(3, start_h=6, minutes=300), days=3)
    clocks = BlockClocks(problem, cut_blocks(problem, ready(problem)))
    looks = np.random.default_rng(1).integers(0, 3 * 86_400_000, 300)
    found = clocks.tables[clock.key].after(looks)
    for look, limit in zip(looks.tolist(), found.tolist(), strict=True):
        due = clock.next_due(problem.span.start + timedelta(milliseconds=look))
        assert due is not None
        true = (due - problem.span.start) / timedelta(milliseconds=1)
        # Never later than the rule says; earlier by a day at most, and only in the cell in which a day ends.
        near_jump = (look + 20 * 3_600_000) % 86_400_000 > 86_400_000 - GRID_MS or "h" in clock.key
        assert limit <= true
        assert limit >= true - (86_400_000 if near_jump and "d" in clock.key else 1)


def test_a_rule_without_a_clock_never_falls_due() -> None:
    problem = sites([WeekClock("none", lambda _: None)], windows(3, start_h=6, minutes=300), days=3)
    clocks = BlockClocks(problem, cut_blocks(problem, ready(problem)))
    assert clocks.after(0, np.array([0, 10**8])).tolist() == [NEVER, NEVER]
    assert clocks.first_due(0) == NEVER


def test_the_clock_of_a_block_is_that_of_the_set_that_runs_out_first() -> None:
    rule = every_days(1)
    problem = sites([rule], windows(3, start_h=6, minutes=300), days=3, per_site=2, service_min=5)
    clocks = BlockClocks(problem, (Block((0, 1), 0, (60_000, 360_000), 500_000),))
    parked = 34 * 3_600_000 - 20 * 3_600_000
    # Looks at 10:01 and 10:06 on day 1; both due by 23:59:59 on day 2; the second is 6 min after parking.
    end_of_day_2 = (
        datetime(2027, 1, 12, 23, 59, 59, tzinfo=MIDNIGHT.tzinfo) - problem.span.start
    ) / timedelta(milliseconds=1)
    assert clocks.after(0, np.array([parked])).tolist() == [end_of_day_2 - 360_000]


def test_stretches_meet_where_both_are() -> None:
    assert meet([(0, 5), (8, 12)], [(3, 9), (11, 20)]) == [(3, 5), (8, 9), (11, 12)]
    assert meet([(0, 1)], [(2, 3)]) == []
    assert in_order([1, 1, 2])
    assert not in_order([1, 3, 2])


def test_a_program_is_solved_in_fractions_and_in_whole_numbers() -> None:
    # Three sites, each pair of outings covers two: fractions take half of each, whole numbers two.
    program = Program()
    a, b, c = (program.column(1.0, whole=True) for _ in range(3))
    for pair in ((a, b), (b, c), (a, c)):
        program.at_least(pair, (1.0, 1.0), 1.0)
    loose = solve(program, seconds=5, relaxed=True)
    assert loose.ended is Ended.BEST
    assert loose.cost == pytest.approx(1.5)
    whole = solve(program, seconds=5)
    assert whole.ended is Ended.BEST
    assert whole.cost == pytest.approx(2.0)
    assert whole.bound == pytest.approx(2.0)


def test_a_program_without_a_solution_is_said_to_have_none() -> None:
    program = Program()
    a = program.column(1.0, whole=True)
    program.at_least([a], [1.0], 2.0)
    assert solve(program, seconds=5, relaxed=True).ended is Ended.NONE
    assert solve(program, seconds=5).ended is Ended.NONE


def test_columns_that_are_held_keep_their_values() -> None:
    program = Program()
    a, b = program.column(5.0, whole=True), program.column(1.0, whole=True)
    program.at_least([a, b], [1.0, 1.0], 1.0)
    free, held = np.array([False, True]), np.array([1.0, 0.0])
    found = solve(Matrix.of(program).part(program, free, held), seconds=5)
    assert found.values is not None
    held[free] = found.values
    assert held.tolist() == [1.0, 0.0]


def test_another_walk_from_where_the_truck_stands_takes_no_drive() -> None:
    problem = sites([every_days(2)], windows(2, start_h=6, minutes=600), days=2, per_site=8, service_min=20)
    problem = replace(problem, park_s=300.0)
    inst = ready(problem)
    blocks = cut_blocks(problem, inst, longest=60 * 60_000)
    assert len(blocks) > 1
    begin = int((problem.outings[0].span.start - problem.span.start) / timedelta(milliseconds=1))
    tour = timed(inst, blocks, range(len(blocks)))
    parked = tuple(begin + at for at in tour.parked)
    one = Round(0, begin, begin + tour.whole, tour.order, parked, 0.0)
    stops = written(problem, [one], blocks, problem.outings).rounds[0].round.stops
    assert stops[0].drive_s > 0
    for before, after in itertools.pairwise(stops):
        assert after.drive_s == 0
        assert after.arrive == before.depart
