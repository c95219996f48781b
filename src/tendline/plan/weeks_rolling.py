"""Owns a first plan for many days: some days at a time, the first of them held, the next planned from there.

Does not own planning some days (`plan.weeks_search` hands it in) or mending the whole afterwards.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from tendline.core.when import Span
from tendline.plan.weeks_clocks import BlockClocks
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_nouns import WeekSet, WeeksPlan, WeeksProblem
from tendline.plan.weeks_rounds import Pool, Round

AHEAD, HELD = timedelta(days=9), timedelta(days=5)
"""So many days are planned at a time, and so many of them held."""

Part = tuple[Sequence[Round], WeeksPlan | None]
"""Rounds of some days, and the plan they make."""


def day_after_day(pool: Pool, limit: Limit, search: Callable[[Pool, Limit], Part]) -> list[Round]:
    """Plan some days, hold the first of them, and go on from there.

    Parameters
    ----------
    pool
        The whole of the days ahead.
    limit
        For all of it together.
    search
        Plans the days of a smaller pool.

    Returns
    -------
    list of Round
        Empty when some of the days have no plan.

    References
    ----------
    Sethi, S., Sorger, G. (1991), Annals of Operations Research 29, 387-416: rolling horizons.
    """
    problem = pool.clocks.problem
    begin, found = problem.span.start, list[Round]()
    parts = max(1, -(-(problem.span.end - begin) // HELD))
    while begin < problem.span.end and not limit.over:
        last = begin + AHEAD >= pool.clocks.problem.span.end
        until = pool.clocks.problem.span.end if last else begin + AHEAD
        some = [k for k, one in enumerate(pool.outings) if begin <= one.span.start < until]
        small = replace(
            problem,
            span=Span(problem.span.start, until),
            outings=tuple(pool.outings[k] for k in some),
        )
        clocks = BlockClocks(small, pool.blocks, pool.clocks.early)
        part = replace(pool, clocks=clocks, outings=small.outings)
        rounds, plan = search(part, Limit(limit.left / parts, limit.seed, should_stop=limit.should_stop))
        if plan is None:
            return []
        edge = until if last else begin + HELD
        found += [
            replace(one, outing=some[one.outing])
            for one in rounds
            if small.outings[one.outing].span.start < edge
        ]
        problem = replace(problem, sets=tuple(_seen(problem, one, plan, edge) for one in problem.sets))
        begin, parts = edge, max(1, parts - 1)
    return found if begin >= problem.span.end else []


def _seen(problem: WeeksProblem, one: WeekSet, plan: WeeksPlan, edge: datetime) -> WeekSet:
    """Give a set as it stands once the held days are over."""
    looks = next(known.looks for known in plan.looks if known.set_name == one.name)
    held = {
        visit.look
        for planned in plan.rounds
        if planned.outing.span.start < edge
        for visit in planned.round.visits
        if visit.set_name == one.name
    }
    last = max((look for look in looks if look in held), default=None)
    if last is None:
        return one
    assert last >= problem.span.start
    return replace(one, last_look=last, due=one.clock.next_due(last), go_now=False)
