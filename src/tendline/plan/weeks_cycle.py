"""Owns a week that can be repeated: rounds that keep every limit when the same week follows it, and again.

Does not own the way into it from how the line stands today (`plan.weeks`).

A plan for some days need not be one that can be gone on with: it may leave every set due the day after. A
week that can be repeated is the honest answer to how much work a line is.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.weeks_alike import shared_out
from tendline.plan.weeks_asked import check_weeks
from tendline.plan.weeks_check import breaches, written
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_look import look
from tendline.plan.weeks_master import Master
from tendline.plan.weeks_nouns import WeeksPlan, WeeksProblem
from tendline.plan.weeks_rounds import Round
from tendline.plan.weeks_search import Ground, make_ground
from tendline.plan.weeks_tolls import Tolls

WEEK = timedelta(days=7)
WEEKS = 3
"""A week is checked by going through it so many times, with the clocks themselves."""


@dataclass(frozen=True)
class Cycle:
    """A week that can be repeated.

    Parameters
    ----------
    plan
        Its first time; None when none was found.
    bound_s
        No such week of the rounds considered takes less [s]; None when not worked out.
    proved
        There is no such week among the rounds considered.
    """

    plan: WeeksPlan | None
    bound_s: float | None = None
    proved: bool = False


def plan_cycle(
    problem: WeeksProblem,
    *,
    seconds: float = 30.0,
    seed: int = 1,
    on_progress: Callable[[str], None] = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Cycle:
    """Plan a week that can be repeated.

    Parameters
    ----------
    problem
        Seven days or more; the outings of its first seven days come again every week. How the line stands
        now is left out of it.
    seconds, seed, on_progress, should_stop
        As for `plan.weeks.plan_weeks`.

    Raises
    ------
    Refused
        PLAN-121 to PLAN-125, all faults together.
    """
    week = _week(problem)
    check_weeks(week)
    limit = Limit(seconds, seed, on_progress, should_stop)
    ground = make_ground(week)
    master = Master(
        ground.pool,
        ground.groups,
        Tolls(week, ground.blocks, ground.pool.outings),
        period=WEEK // timedelta(milliseconds=1),
    )
    looked = look(master, limit, word="a first week")
    choice = looked.choice
    if choice is None:
        return Cycle(None, proved=looked.none)
    rounds = [master.rounds[r] for r in choice.rounds]
    plan = _checked(problem, ground, rounds)
    beside = choice.cost - sum(one.length for one in rounds)
    bound = max(0.0, looked.bound - beside) / 1000.0 if np.isfinite(looked.bound) else None
    return Cycle(plan, bound_s=bound)


def _week(problem: WeeksProblem) -> WeeksProblem:
    """Give the first seven days, with every set as if it had just been looked at all along."""
    end = problem.span.start + WEEK
    sets = tuple(replace(one, last_look=None, due=None, go_now=False) for one in problem.sets)
    outings = tuple(one for one in problem.outings if one.span.end <= end)
    return replace(problem, span=Span(problem.span.start, end), sets=sets, outings=outings)


def _checked(problem: WeeksProblem, ground: Ground, rounds: list[Round]) -> WeeksPlan | None:
    """Go through the week again and again and ask every clock; give its first time if nothing is broken."""
    own, outings = ground.pool.outings, list(ground.pool.outings)
    given = list(shared_out(rounds, ground.groups, own))
    again = list(given)
    for k in range(1, WEEKS):
        by, shift = k * WEEK, k * (WEEK // timedelta(milliseconds=1))
        outings += [replace(one, span=Span(one.span.start + by, one.span.end + by)) for one in own]
        again += [_later(one, k * len(own), shift) for one in given]
    end = problem.span.start + WEEKS * WEEK
    whole = replace(
        ground.problem, span=Span(problem.span.start, end), outings=tuple(outings), sets=ground.problem.sets
    )
    plan = written(whole, again, ground.blocks, outings)
    if breaches(whole, plan):
        return None
    return written(ground.problem, given, ground.blocks, own)


def _later(one: Round, outings: int, by: int) -> Round:
    return replace(
        one,
        outing=one.outing + outings,
        leave=one.leave + by,
        back=one.back + by,
        parked=tuple(at + by for at in one.parked),
    )
