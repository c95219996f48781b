"""Many days and many walks: plain ways, days at a time, people alike, own limits, a plan begun."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from tendline.plan.lp import Growing
from tendline.plan.lp_program import Ended, Matrix, Program
from tendline.plan.weeks_alike import alike, shared_out
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_master import Master
from tendline.plan.weeks_nouns import WeekOuting, WeeksPlan
from tendline.plan.weeks_price import grow
from tendline.plan.weeks_rolling import day_after_day
from tendline.plan.weeks_rounds import Pool, Round, rounds_of
from tendline.plan.weeks_search import make_ground, search
from tendline.plan.weeks_tolls import Tolls
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import every_hours, sites, windows


def two_people(days: int) -> tuple[WeekOuting, ...]:
    ann, ben = (windows(days, start_h=6, minutes=150, who=who) for who in ("Ann", "Ben"))
    return tuple(sorted((*ann, *ben), key=lambda one: (one.span.start, one.who)))


def test_people_with_the_same_windows_are_not_told_apart_and_share_the_rounds() -> None:
    problem = sites([every_hours(50)] * 4, two_people(4), days=4)
    groups = alike(problem, problem.outings)
    assert sorted(len(members) for members in groups.values()) == [2] * 4
    barred = tuple(
        replace(one, barred_to=frozenset({"Ben"})) if k == 0 else one for k, one in enumerate(problem.sets)
    )
    assert len(alike(replace(problem, sets=barred), problem.outings)) == 8
    ground = make_ground(problem)
    first = min(groups)
    both = list(rounds_of(ground.pool, first, starts=1))[:2]
    given = shared_out(both, groups, ground.pool.outings)
    assert {problem.outings[one.outing].who for one in given} == {"Ann", "Ben"}


def test_growing_finds_what_all_rounds_together_cost_at_least() -> None:
    # A lower bound over rounds that were priced is that over all of them, when nothing better turns up.
    problem = sites([every_hours(h) for h in (40, 50, 60, 70, 80)], two_people(6), days=6)
    ground = make_ground(problem)
    tolls = Tolls(problem, ground.blocks, ground.pool.outings)
    every, some = (Master(ground.pool, ground.groups, tolls) for _ in range(2))
    for k in ground.groups:
        every.add_rounds(rounds_of(ground.pool, k, starts=3))
        some.add_rounds(one for one in rounds_of(ground.pool, k, starts=1) if len(one.order) == 1)
    all_, few = grow(every, seconds=20, priced=False), grow(some, seconds=20)
    whole, priced = all_.solved, few.solved
    assert all_.settled
    assert few.settled
    assert len(some.rounds) < len(every.rounds)
    assert priced.cost >= whole.cost - 1e-6
    assert priced.cost <= 1.02 * whole.cost


def test_days_at_a_time_make_a_lawful_plan_of_the_whole() -> None:
    problem = sites([every_hours(50)] * 4, two_people(20), days=20)
    ground = make_ground(problem)

    def some_days(pool: Pool, limit: Limit) -> tuple[Sequence[Round], WeeksPlan | None]:
        found = search(replace(ground, problem=pool.clocks.problem, clocks=pool.clocks, pool=pool), limit)
        return found.rounds, found.plan

    rounds = day_after_day(ground.pool, Limit(20.0), some_days)
    assert rounds
    master = Master(ground.pool, ground.groups, Tolls(problem, ground.blocks, ground.pool.outings))
    master.add_rounds(rounds)
    assert master.tighten(np.ones(len(master.rounds))) == 0
    found = search(ground, Limit(6.0))
    assert found.plan is not None
    assert weeks_violations(problem, found.plan) == []


def test_ones_own_limit_is_kept_where_it_costs_little_and_never_before_the_law() -> None:
    law, own = every_hours(80), every_hours(30)
    problem = sites([law] * 2, windows(6, start_h=6, minutes=150), days=6)
    wishing = tuple(
        replace(one, wish=own, wish_due=one.last_look + timedelta(hours=30) if one.last_look else None)
        for one in problem.sets
    )
    plain = search(make_ground(problem), Limit(5.0)).plan
    dear = search(make_ground(replace(problem, sets=wishing, wish_s=1e5)), Limit(5.0)).plan
    cheap = search(make_ground(replace(problem, sets=wishing, wish_s=1.0)), Limit(5.0)).plan
    assert plain is not None
    assert dear is not None
    assert cheap is not None
    assert len(dear.rounds) > len(plain.rounds)
    assert len(cheap.rounds) == len(plain.rounds)
    gaps = [looks.largest_gap for looks in dear.looks]
    assert all(gap is not None and gap <= timedelta(hours=30) for gap in gaps)
    assert weeks_violations(problem, cheap) == []


def test_of_plans_alike_the_set_that_is_likely_to_hold_something_is_seen_first() -> None:
    problem = sites([every_hours(50)] * 2, windows(2, start_h=6, minutes=150), days=2)
    for likely in (0, 1):
        sets = tuple(replace(one, likely=0.5 if k == likely else 0.0) for k, one in enumerate(problem.sets))
        plan = search(make_ground(replace(problem, sets=sets)), Limit(5.0)).plan
        assert plan is not None
        for planned in plan.rounds:
            visits = planned.round.visits
            if len(visits) == 2:
                assert visits[0].set_name == problem.sets[likely].name


def test_a_program_that_grows_is_solved_as_if_it_had_been_whole() -> None:
    program = Program()
    program.at_most([], [], 1.0)
    growing = Growing(program)
    row = growing.at_least([], [], 1.0)
    growing.column(9.0, entries=[(row, 1.0)])
    assert growing.solve(seconds=5).cost == 9.0
    growing.column(2.0, entries=[(0, 1.0), (row, 0.5)])
    found = growing.solve(seconds=5)
    assert found.ended is Ended.BEST
    assert found.cost == 6.5  # one of the new, half of the old
    growing.at_least([0], [1.0], 1.0)
    assert growing.solve(seconds=5).cost == 9.0


def test_a_part_of_a_program_costs_what_the_whole_does_with_the_rest_held() -> None:
    program = Program()
    a, b, c = (program.column(cost, whole=True) for cost in (3.0, 2.0, 4.0))
    program.at_least([a, b], [1.0, 1.0], 1.0)
    program.at_least([b, c], [1.0, 1.0], 1.0)
    free = np.array([True, False, True])
    part = Matrix.of(program).part(program, free, np.array([0.0, 1.0, 0.0]))
    assert part.rows == []  # both rows are kept by what is held
    part = Matrix.of(program).part(program, free, np.array([0.0, 0.0, 0.0]))
    assert [(list(row[0]), row[2]) for row in part.rows] == [([0], 1.0), ([1], 1.0)]
    assert part.costs == [3.0, 4.0]
