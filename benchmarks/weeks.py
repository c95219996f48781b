"""Owns the measure of `plan.weeks`: hours against a plain way of going about it, cost against another engine.

Does not own the planner. Run it with ``python -m benchmarks weeks``; lines are invented.

Against: every set on every day; "what runs out first, then the nearest" (each outing takes the walks that run
out before the next but one, nearest first, as long as they fit); and CP-SAT of OR-Tools on the very program
of the rough choice, in the same time.
"""

import time
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
from ortools.sat.python import cp_model

from tendline.core.when import Span
from tendline.plan.itinerary import Travel
from tendline.plan.lp import solve
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_clocks import NEVER, milliseconds
from tendline.plan.weeks_compare import every_day
from tendline.plan.weeks_model import Model, build
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksProblem
from tendline.plan.weeks_rounds import rounds_of
from tendline.plan.weeks_search import Ground, make_ground
from tendline.plan.weeks_tours import timed

DAY_0 = datetime(2027, 1, 10, tzinfo=UTC)
SECONDS = 20.0


def line(
    seed: int, *, hours: Sequence[float], properties: int = 10, sets: int = 150, days: int = 14
) -> WeeksProblem:
    """Give an invented line: properties on 12 by 12 km, sets on half a kilometre round each parking."""
    chance = np.random.default_rng(seed)
    home, parked = np.zeros((1, 2)), chance.uniform(-6000, 6000, (properties, 2))
    owner = np.arange(sets) % properties
    stood = parked[owner] + chance.uniform(-250, 250, (sets, 2))
    parkings, names = [f"P{k}" for k in range(properties)], [f"S{k}" for k in range(sets)]
    feet, roads = np.vstack([parked, stood]), np.vstack([home, parked])
    ground = np.concatenate([np.arange(properties), owner])
    metres = np.linalg.norm(feet[:, None] - feet[None], axis=2) * 1.3
    metres = np.where(ground[:, None] == ground[None], metres, np.inf)
    driven = np.linalg.norm(roads[:, None] - roads[None], axis=2) * 1.4
    rules = [_every(h) for h in hours]
    now = DAY_0 + timedelta(hours=21)
    made = []
    for k, name in enumerate(names):
        rule, seen = rules[owner[k] % len(rules)], now - timedelta(hours=float(4 + owner[k] * 7 % 20))
        made.append(WeekSet(name, 96.0, rule, seen, rule.next_due(seen)))
    return WeeksProblem(
        Span(now, DAY_0 + timedelta(days=days + 1)),
        tuple(made),
        tuple(outing for day in range(1, days + 1) for outing in _windows(DAY_0 + timedelta(days=day))),
        "home",
        "home",
        tuple(parkings),
        180.0,
        Travel(("home", *parkings), driven / (40 / 3.6), driven, np.ones(driven.shape, bool)),
        Travel((*parkings, *names), metres / 1.1, metres, np.zeros(metres.shape, bool)),
    )


def _every(hours: float) -> WeekClock:
    return WeekClock(f"{hours} h", lambda look: look + timedelta(hours=hours))


def _windows(day: datetime) -> list[WeekOuting]:
    hours = ((6, 11), (12, 17)) if day.weekday() >= 5 else ((5, 8.5), (16, 18.5))
    return [WeekOuting("Ann", Span(day + timedelta(hours=a), day + timedelta(hours=b))) for a, b in hours]


def first_due_first(ground: Ground) -> tuple[float, int]:
    """Go about it plainly; give the hours away and how many limits were broken."""
    problem, clocks = ground.problem, ground.clocks
    due = [clocks.first_due(b) for b in range(len(ground.blocks))]
    away = broken = 0
    for k, outing in enumerate(problem.outings):
        begin, end = (milliseconds(problem, at) for at in (outing.span.start, outing.span.end))
        later = problem.outings[min(k + 2, len(problem.outings) - 1)].span.start
        order: list[int] = []
        wanted = {b for b, limit in enumerate(due) if limit <= milliseconds(problem, later) and limit < NEVER}
        while wanted:
            nearest = min(wanted, key=lambda b: timed(ground.inst, ground.blocks, [*order, b]).whole)
            wanted.remove(nearest)
            if begin + timed(ground.inst, ground.blocks, [*order, nearest]).whole <= end:
                order.append(nearest)
        if order:
            tour = timed(ground.inst, ground.blocks, order)
            away += tour.whole
            for b, at in zip(tour.order, tour.parked, strict=True):
                broken += begin + at > due[b]
                due[b] = int(clocks.after(b, np.array([begin + at]))[0])
    return away / 3_600_000, broken + sum(limit < milliseconds(problem, problem.span.end) for limit in due)


def rough_model(ground: Ground) -> Model:
    """Give the program of the rough choice."""
    pool = ground.pool
    return build(
        [one for k in range(len(pool.outings)) for one in rounds_of(pool, k, starts=1)],
        ground.clocks,
        grain=None,
    )


def by_cp_sat(model: Model) -> tuple[float, float]:
    """Give the cost and the bound that CP-SAT comes to on the same program in the same time."""
    other = cp_model.CpModel()
    taken = [other.new_bool_var(f"{k}") for k in range(len(model.program.costs))]
    for columns, values, low, high in model.program.rows:
        total = sum(int(v) * taken[c] for c, v in zip(columns, values, strict=True))
        other.add(total >= int(low)) if np.isfinite(low) else other.add(total <= int(high))
    other.minimize(sum(int(cost) * one for cost, one in zip(model.program.costs, taken, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = 8
    status = solver.solve(other)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (solver.objective_value if found else np.inf), solver.best_objective_bound


def main() -> None:
    """Print one row for each line."""
    print(
        "away: hours of the plan; bound: of plans of the rounds considered; every day, first due: away as a"
    )
    print(
        "share of theirs (limits that way broke); HiGHS: its cost over that of CP-SAT, same program and time"
    )
    print("line             away   bound  gap %    s  every day  first due    HiGHS")
    for name, seed, hours in (("72 h", 2, (72.0,)), ("96 h", 1, (96.0,)), ("72 and 120 h", 1, (72.0, 120.0))):
        problem = line(seed, hours=hours)
        began = time.perf_counter()
        verdict = plan_weeks(problem, seconds=1.5 * SECONDS, helps=False)
        took = time.perf_counter() - began
        ground = make_ground(problem)
        plain, broken = first_due_first(ground)
        model = rough_model(ground)
        ours, theirs = solve(model.program, seconds=SECONDS), by_cp_sat(model)
        if verdict.plan is None or verdict.bound_s is None:
            print(f"{name:15}  no plan: {verdict.status}")
            continue
        away = verdict.plan.seconds / 3600
        daily = every_day(problem, days=14).seconds / 3600
        bound = verdict.bound_s / 3600
        print(
            f"{name:15}  {away:4.1f}  {bound:6.1f}  {100 * (away / bound - 1):5.1f}  {took:3.0f}  "
            f"{away / daily:9.2f}  {away / plain:5.2f} ({broken})  {ours.cost / theirs[0]:7.3f}"
        )


if __name__ == "__main__":
    main()
