"""Owns taking windows one after another when no plan keeps every limit: as much as fits into each.

Does not own the search for one round (`plan.route`) or for a plan that keeps everything (`plan.weeks`).
"""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.itinerary import RoundProblem, SetTask
from tendline.plan.route import plan_round
from tendline.plan.weeks_check import whole_problem
from tendline.plan.weeks_nouns import PlannedOuting, WeekOuting, WeekSet, WeeksProblem
from tendline.plan.weeks_open import open_to


def one_after_another(
    problem: WeeksProblem, *, seconds: float, seed: int = 1
) -> tuple[list[PlannedOuting], list[str]]:
    """Look once at as many sets as can be, window by window; what falls due soonest weighs most.

    Parameters
    ----------
    problem
        Sets that need one look each, and the windows.
    seconds
        Time limit in all, about [s].

    Returns
    -------
    tuple
        The outings, each with a lawful round, and the sets that nobody comes to in time.
    """
    left = {one.name: one for one in problem.sets}
    rounds: list[PlannedOuting] = []
    for outing in sorted(problem.outings, key=lambda one: (one.span.start, one.who)):
        tasks = [task for one in left.values() if (task := _task(problem, one, outing.span, outing.who))]
        small = replace(whole_problem(problem), outing=outing.span, sets=tuple(tasks))
        if not tasks or not _there_and_back(small):
            continue
        share = max(0.5, seconds / len(problem.outings))
        plan = plan_round(small, seconds=share, seed=seed).plan
        if plan.visits:
            rounds.append(PlannedOuting(outing, plan))
        for visit in plan.visits:
            del left[visit.set_name]
    return rounds, list(left)


def _task(problem: WeeksProblem, one: WeekSet, span: Span, who: str) -> SetTask | None:
    """Give a set as something to visit in a window; None when no moment of it is lawful and in time."""
    due = None if one.go_now else one.due
    parts = [part for part in open_to(one, WeekOuting(who, span)) if due is None or part.start <= due]
    windows = tuple(Span(part.start, part.end if due is None else min(part.end, due)) for part in parts)
    if not windows:
        return None
    wait = (problem.span.end - (due or problem.span.start)).total_seconds() / 3600.0
    return SetTask(one.name, one.service_s, windows, due=due, must=True, weight=1 + max(0, int(wait)))


def _there_and_back(small: RoundProblem) -> bool:
    """Say whether some set can be gone to and back inside the window at all."""
    return any(_shortest(small, task.name, task.service_s) <= small.outing.seconds for task in small.sets)


def _shortest(problem: RoundProblem, name: str, service_s: float) -> float:
    return min((out + service_s + back for out, back in _ways(problem, name)), default=np.inf)


def _ways(problem: RoundProblem, name: str) -> list[tuple[float, float]]:
    """Give, for every parking, the time from the start to a set and from it to the end [s]."""
    road = {place: k for k, place in enumerate(problem.drive.names)}
    foot = {place: k for k, place in enumerate(problem.walk.names)}
    start, end, here = road[problem.start], road[problem.end], foot[name]
    return [
        (
            float(
                problem.drive.seconds[start, road[p]] + problem.park_s + problem.walk.seconds[foot[p], here]
            ),
            float(problem.walk.seconds[here, foot[p]] + problem.drive.seconds[road[p], end]),
        )
        for p in problem.parkings
    ]


def leave_home_by(problem: WeeksProblem, one: WeekSet) -> datetime | None:
    """Give the latest start for somebody who drives straight to one set; None when nobody knows its limit."""
    if one.due is None or one.go_now:
        return None
    out = min((out for out, _ in _ways(whole_problem(problem), one.name)), default=np.inf)
    return one.due - timedelta(seconds=out) if np.isfinite(out) else None
