"""Owns the question `plan_round`: one outing, the best order within every hard limit, or what would help.

Does not own the searches, the proofs or the reliefs; it says in which order they are asked.

What makes one plan better than another, first things first: fewer sets left out that must be visited; less
weight among those left out; more weight of sets that need not be visited but may be; back earlier, waiting
counted; less walking and driving.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime

from tendline.core.settings import TimeCosts
from tendline.plan.aftermath import bad_mornings, ratchets
from tendline.plan.asked import check
from tendline.plan.budget import Budget, Progress
from tendline.plan.explain import gives_first, leave_by
from tendline.plan.instance import Instance, instance_of, instant
from tendline.plan.itinerary import RoundPlan, RoundProblem, Verdict
from tendline.plan.optimum import Best, Quest, quest
from tendline.plan.proof import Shortfall, shortfall
from tendline.plan.relief import reliefs
from tendline.plan.schedule import plan_of
from tendline.plan.tables import tables_of
from tendline.plan.ties import settle_ties

__all__ = ["Progress", "plan_round"]


def plan_round(
    problem: RoundProblem,
    *,
    seed: int = 1,
    seconds: float | None = 10.0,
    iterations: int | None = None,
    last_looks: Mapping[str, datetime] | None = None,
    catch_s: float | None = None,
    on_progress: Callable[[Progress], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> Verdict:
    """Plan one outing: where to park, what to walk from there, in which order, within every hard limit.

    Parameters
    ----------
    problem
        What is asked. Sets that need not be visited are, wherever they fit beside those that must be: leave
        them out of the problem if they are not wanted.
    seed
        The same seed and iterations always give the same plan. With a time limit the search goes the same
        way, and how far it comes depends on the machine: the plan is the same again once nothing better is
        found on the rest of the way.
    seconds
        Time limit [s]; None for none. A small problem is often proved done long before.
    iterations
        Limit that does not depend on the machine; None for none. One of the two is needed, both may be given.
        When not everything fits, looking for reliefs takes up to as many again.
    last_looks
        When sets were last looked at, for `RoundPlan.ratchets`.
    catch_s
        What one catch takes [s], for `RoundPlan.bad_mornings`; the default of `core.settings.TimeCosts` if
        None.
    on_progress
        Told of every better plan.
    should_stop
        Asked at every step; True ends the search with the best so far (for Ctrl-C).

    Returns
    -------
    Verdict
        The best plan, whether all that must be visited is, and what would help if not.

    Raises
    ------
    Refused
        PLAN-101 to PLAN-110, all faults together.
    """
    check(problem, seed=seed, seconds=seconds, iterations=iterations)
    inst = instance_of(problem)
    budget = Budget(iterations, seconds, should_stop, on_progress)
    search = quest(inst, tables_of(inst), seed=seed, budget=budget)
    short = _settle(search, budget.part(0.5, doing="round"))
    rest = budget.part(0.5, doing="round")
    if short is None:
        search.run(rest)
    best = search.best
    plan = _finished(problem, inst, best, catch_s=catch_s, last_looks=last_looks or {})
    plan = replace(plan, seed=seed, iterations=search.turns.done)
    if short is None:
        return Verdict(plan, fits=True, proven=False, shortest=best.shortest)
    helps = reliefs(problem, best.found, short, seed=seed, budget=rest)
    return Verdict(plan, fits=False, proven=short.at_least > 0, reliefs=helps)


def _settle(search: Quest, budget: Budget) -> Shortfall | None:
    """Search, and prove what cannot be done; None when every set that must be visited is."""
    inst = search.turns.inst
    best = search.run(budget)
    while left := sum(inst.must[i] for i in best.found.missing):
        short = shortfall(inst, in_hand=left, budget=budget)
        if short.better is None or not search.offer(short.better, budget):
            return short
        best = search.best
    return None


def _finished(
    problem: RoundProblem,
    inst: Instance,
    best: Best,
    *,
    catch_s: float | None,
    last_looks: Mapping[str, datetime],
) -> RoundPlan:
    order = settle_ties(inst, best.found.order)
    plan = plan_of(problem, inst, order)
    first = gives_first(inst, order)
    catch_s = TimeCosts().catch_s if catch_s is None else catch_s
    return replace(
        plan,
        ratchets=ratchets(plan, last_looks),
        bad_mornings=bad_mornings(problem, plan, catch_s=catch_s),
        leave_by=instant(problem.outing.start, leave_by(inst, order)),
        gives_first="" if first is None else inst.names[first],
    )
