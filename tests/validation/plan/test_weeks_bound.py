"""The bound for all plans of some walks against every plan tried; running counts against the plain program.

That any prices give a bound: Geoffrion (1974), Mathematical Programming Study 2, 82-114.
"""

from dataclasses import replace

import numpy as np
import pytest

from tendline.plan import weeks_master
from tendline.plan.lp_program import Ended
from tendline.plan.weeks_bound import earners
from tendline.plan.weeks_master import Master
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.plan.weeks_price import grow
from tendline.plan.weeks_rounds import rounds_of
from tendline.plan.weeks_search import Ground, make_ground
from tendline.plan.weeks_tolls import Tolls
from tests.validation.plan.test_weeks_exact import drives, least_cost
from tests.weeks_lines import every_days, every_hours, sites, windows

DAYS = 5


def tiny(seed: int) -> tuple[WeeksProblem, float | None]:
    """Give a tiny calendar and what its best plan costs [ms]; None when there is none."""
    chance = np.random.default_rng(1000 + seed)
    gaps = tuple(int(g) for g in chance.integers(1, 4, 3))
    most, drive = float(chance.integers(90, 130)), drives(seed, 3)
    line = sites(
        [every_days(g) for g in gaps],
        windows(DAYS, start_h=6, minutes=most),
        days=DAYS,
        service_min=20.0,
    )
    best = least_cost(drive, gaps, DAYS, most)
    return replace(line, drive=drive), None if best is None else 1000.0 * best


def program(ground: Ground, *, starts: int) -> Master:
    master = Master(ground.pool, ground.groups, Tolls(ground.problem, ground.blocks, ground.pool.outings))
    for k in ground.groups:
        master.add_rounds(rounds_of(ground.pool, k, starts=starts))
    return master


@pytest.mark.parametrize("seed", range(8))
def test_no_prices_give_a_bound_over_the_best_of_all_plans(seed: int) -> None:
    problem, best = tiny(seed)
    if best is None:
        pytest.skip("no plan, no best one")
    master = program(make_ground(problem), starts=1)
    solved = grow(master, seconds=10, priced=False).solved
    assert solved.duals is not None
    chance = np.random.default_rng(seed)
    near, _ = earners(master, solved, most=5)
    assert near <= best + 1.0
    for _ in range(5):
        other = solved.duals * chance.uniform(0.0, 2.0, len(solved.duals))
        bound, _ = earners(master, replace(solved, duals=other), most=5)
        assert bound <= best + 1.0


def test_where_nothing_can_be_done_at_another_time_the_bound_is_the_program_itself() -> None:
    # Ten minutes out and back, a minute on foot each way, 30 at the set: a window holds one, to the minute.
    problem = sites([every_hours(50), every_hours(30)], windows(6, start_h=6, minutes=52), days=6)
    master = program(make_ground(problem), starts=1)
    solved = grow(master, seconds=10, priced=False).solved
    bound, rounds = earners(master, solved, most=5)
    assert rounds == []
    assert 60_000 * solved.cost == pytest.approx(bound, rel=1e-3)


def test_rounds_that_earn_more_are_found_where_they_are_not_in_hand() -> None:
    problem = sites([every_hours(h) for h in (40, 50, 60, 70)], windows(6, start_h=6, minutes=200), days=6)
    ground = make_ground(problem)
    every = program(ground, starts=3)
    few = Master(ground.pool, ground.groups, every.tolls)
    few.add_rounds(one for one in every.rounds if len(one.order) == 1)
    whole = grow(every, seconds=20, priced=False).solved
    solved = grow(few, seconds=20, priced=False).solved
    assert solved.cost > 1.1 * whole.cost
    for _ in range(40):
        _, rounds = earners(few, solved, most=30)
        few.add_rounds(rounds)
        solved = grow(few, seconds=20, priced=False).solved
    # Leaving at any moment is never worse than early, in the middle or late.
    assert solved.cost <= whole.cost + 1e-6


@pytest.mark.parametrize("hours", [(40, 50, 60), (30, 30, 72)])
@pytest.mark.parametrize("again", [False, True])
def test_running_counts_are_the_same_program(
    hours: tuple[int, ...], again: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = sites([every_hours(h) for h in hours], windows(7, start_h=6, minutes=200), days=7)
    problem = replace(problem, sets=(replace(problem.sets[0], go_now=not again), *problem.sets[1:]))
    ground = make_ground(problem)
    costs = []
    for limit in (10**9, 0):
        monkeypatch.setattr(weeks_master, "MANY_NUMBERS", limit)
        tolls = Tolls(problem, ground.blocks, ground.pool.outings)
        master = Master(ground.pool, ground.groups, tolls, period=7 * 86_400_000 if again else None)
        for k in ground.groups:
            master.add_rounds(rounds_of(ground.pool, k, starts=3))
        assert master.large == (limit == 0)
        solved = master.solve(seconds=20)
        assert solved.ended is Ended.BEST
        assert solved.duals is not None
        assert len(solved.duals) == len(master.program.program.rows)
        costs.append(solved.cost)
    assert costs[1] == pytest.approx(costs[0], rel=1e-6)
