"""Owns the question `plan_weeks`: rounds for the days ahead that keep every limit, or why there are none.

Does not own the searches, the proofs, the reliefs or the chances; it says in which order they are asked.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from tendline.plan.weeks_asked import check_weeks
from tendline.plan.weeks_floor import Floor, explain, impossible, least_seconds, unreached
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_nouns import WeekOuting, WeeksProblem, WeeksStatus, WeeksVerdict
from tendline.plan.weeks_relief import reliefs
from tendline.plan.weeks_search import Found, Ground, make_ground, search

_SHARE = 0.75
"""Of the time, for the plan; the rest for proofs and reliefs, which are asked only when there is no plan."""


def plan_weeks(
    problem: WeeksProblem,
    *,
    seconds: float = 30.0,
    seed: int = 1,
    early_s: float = 0.0,
    windows: Sequence[WeekOuting] = (),
    people: Sequence[WeekOuting] = (),
    helps: bool = True,
    on_progress: Callable[[str], None] = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> WeeksVerdict:
    """Plan the days ahead.

    Parameters
    ----------
    problem
        What is asked.
    seconds
        Time limit, about [s].
    seed
        Of the search. Under a time limit two runs may differ in how far they come.
    early_s
        Time in hand that every limit and every return is kept with [s].
    windows, people
        Outings that could be added if there is no plan: more time, another person.
    helps
        Look for reliefs when there is no plan.
    on_progress, should_stop
        Told of better plans; asked whether to end with the best so far.

    Returns
    -------
    WeeksVerdict
        Every plan in it has been checked with its own times.

    Raises
    ------
    Refused
        PLAN-121 to PLAN-125, all faults together.
    """
    check_weeks(problem)
    ground = make_ground(problem, early=int(early_s * 1000))
    limit = Limit(seconds, seed, on_progress, should_stop)
    floor = Floor(ground.inst, replace(ground.clocks, early=0))
    overdue = tuple(one.name for one in problem.sets if one.go_now)
    blocks = tuple(tuple(problem.sets[i].name for i in block.sets) for block in ground.blocks)
    told = WeeksVerdict(WeeksStatus.UNKNOWN, blocks=blocks, overdue=overdue)
    told = replace(told, floor_s=least_seconds(floor, seconds=0.3 * seconds))
    if told.floor_s is None and impossible(
        floor, floor.kinds, _end(ground), seconds=0.2 * seconds, whole=False
    ):
        return _no_plan(told, ground, floor, limit, (windows, people), proved=True, whole=False, helps=helps)
    found = search(ground, limit, share=_SHARE)
    told = replace(told, considered=found.considered, bound_s=_bound(found))
    if found.plan is not None:
        known = [bound for bound in (told.bound_s, told.floor_s) if bound is not None]
        told = replace(told, bound_s=max(known, default=None))
        status = WeeksStatus.OPTIMAL if found.best else WeeksStatus.FEASIBLE
        return replace(told, status=status, plan=found.plan)
    proved = early_s == 0 and impossible(
        floor, floor.kinds, _end(ground), seconds=max(2.0, min(0.15 * seconds, limit.left)), whole=True
    )
    return _no_plan(told, ground, floor, limit, (windows, people), proved=proved, whole=True, helps=helps)


def _end(ground: Ground) -> int:
    return int(ground.problem.span.seconds * 1000)


def _bound(found: Found) -> float | None:
    """Give the bound as time away: what miles and outings are counted as is taken off as far as it can be."""
    if not np.isfinite(found.bound) or found.plan is None:
        return None
    beside = found.cost - sum(one.length for one in found.rounds)
    return max(0.0, (found.bound - beside) / 1000.0)


def _no_plan(
    told: WeeksVerdict,
    ground: Ground,
    floor: Floor,
    limit: Limit,
    more: tuple[Sequence[WeekOuting], Sequence[WeekOuting]],
    *,
    proved: bool,
    whole: bool,
    helps: bool,
) -> WeeksVerdict:
    """Say why there is no plan, as far as that was proved, and what would help."""
    if proved:
        rest = Limit(max(2.0, 0.3 * limit.left), limit.seed, should_stop=limit.should_stop)
        why = explain(floor, seconds=max(1.0, 0.1 * limit.seconds), whole=whole, over=lambda: rest.over)
        told = replace(told, status=WeeksStatus.IMPOSSIBLE, why=why)
    said = tuple(f"{name}: its limit passes before anybody can be there" for name in unreached(floor))
    told = replace(told, said=said)
    if helps and not limit.over:
        limit.on_progress("no plan; looking for what would help")
        told = replace(told, reliefs=reliefs(ground, limit, windows=more[0], people=more[1]))
    return told
