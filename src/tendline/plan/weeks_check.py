"""Owns writing chosen rounds out as a plan, and checking every limit again with the times of that plan.

Does not own choosing them. Here clocks are asked for the very instants of the looks, not read off a table.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

from tendline.core.when import Span
from tendline.plan.instance import Instance, instance_of, instant
from tendline.plan.itinerary import RoundPlan, RoundProblem, SetTask
from tendline.plan.schedule import plan_of
from tendline.plan.weeks_blocks import Block
from tendline.plan.weeks_nouns import PlannedOuting, SetLooks, WeekOuting, WeekSet, WeeksPlan, WeeksProblem
from tendline.plan.weeks_open import open_to
from tendline.plan.weeks_rounds import Round


@dataclass(frozen=True)
class Breach:
    """A limit that a plan does not keep: which set, the limit, and the look that came too late if any did."""

    set_name: str
    due: datetime
    look: datetime | None
    unavoidable: bool = False


def whole_problem(problem: WeeksProblem) -> RoundProblem:
    """Give the days ahead as one round problem over all of them, for its ways alone."""
    tasks = tuple(SetTask(one.name, one.service_s, (problem.span,), must=False) for one in problem.sets)
    return RoundProblem(
        start=problem.start,
        end=problem.end,
        outing=problem.span,
        sets=tasks,
        parkings=problem.parkings,
        park_s=problem.park_s,
        drive=problem.drive,
        walk=problem.walk,
    )


def written(
    problem: WeeksProblem,
    rounds: Sequence[Round],
    blocks: Sequence[Block],
    outings: Sequence[WeekOuting],
) -> WeeksPlan:
    """Write chosen rounds out, in order of time, with all their instants."""
    whole = whole_problem(problem)
    planned = []
    for one in sorted(rounds, key=lambda r: (r.leave, r.outing)):
        leave = instant(problem.span.start, one.leave)
        span = Span(leave, max(outings[one.outing].span.end, instant(problem.span.start, one.back)))
        planned.append(PlannedOuting(outings[one.outing], _round(whole, span, one, blocks)))
    planned = _with_dues(problem, planned)
    return WeeksPlan(tuple(planned), tuple(_looks(problem, one, planned) for one in problem.sets))


def under(problem: WeeksProblem, plan: WeeksPlan) -> WeeksPlan:
    """Write the limits and the slack of other clocks into a plan; its rounds stay as they are."""
    planned = _with_dues(problem, plan.rounds)
    return WeeksPlan(tuple(planned), tuple(_looks(problem, one, planned) for one in problem.sets))


def _round(
    whole: RoundProblem,
    span: Span,
    one: Round,
    blocks: Sequence[Block],
) -> RoundPlan:
    wanted = [i for b in one.order for i in blocks[b].sets]
    tasks = tuple(replace(whole.sets[i], windows=(span,), must=True) for i in wanted)
    problem = replace(whole, outing=span, sets=tasks)
    inst: Instance = instance_of(problem)
    index = {i: k for k, i in enumerate(wanted)}
    order = [[blocks[b].parking, *(index[i] for i in blocks[b].sets)] for b in one.order]
    return plan_of(problem, inst, order)


def _with_dues(problem: WeeksProblem, planned: Sequence[PlannedOuting]) -> list[PlannedOuting]:
    """Write the limit and the slack of every look into the rounds."""
    clocks = {one.name: one.clock for one in problem.sets}
    running = {one.name: None if one.go_now else one.due for one in problem.sets}
    looks = sorted((v.look, v.set_name) for p in planned for v in p.round.visits)
    due: dict[tuple[str, datetime], datetime | None] = {}
    for look, name in looks:
        due[name, look] = running[name]
        running[name] = clocks[name].next_due(look)
    return [
        replace(
            one,
            round=replace(
                one.round,
                stops=tuple(
                    replace(
                        stop,
                        visits=tuple(
                            replace(v, due=limit, slack_s=None if limit is None else (limit - v.look) / _S)
                            for v in stop.visits
                            for limit in (due[v.set_name, v.look],)
                        ),
                    )
                    for stop in one.round.stops
                ),
            ),
        )
        for one in planned
    ]


_S = timedelta(seconds=1)


def _looks(problem: WeeksProblem, one: WeekSet, planned: Sequence[PlannedOuting]) -> SetLooks:
    visits = sorted(
        (v for p in planned for v in p.round.visits if v.set_name == one.name), key=lambda v: v.look
    )
    looks = tuple(v.look for v in visits)
    known = [*([one.last_look] if one.last_look is not None else []), *looks, problem.span.end]
    slacks = [(timedelta(seconds=v.slack_s), v.look) for v in visits if v.slack_s is not None]
    least = min(slacks, default=None)
    return SetLooks(
        set_name=one.name,
        rule=one.clock.words,
        looks=looks,
        largest_gap=max((b - a for a, b in pairwise(known)), default=None),
        least_slack=None if least is None else least[0],
        tightest=None if least is None else least[1],
        overdue=one.go_now,
    )


def breaches(problem: WeeksProblem, plan: WeeksPlan) -> list[Breach]:
    """List every limit in the days ahead that a plan does not keep; a plan without any is lawful.

    A limit that had passed before the first outing is left out: no plan can mend it. Looks outside the lawful
    hours of a set, looks by people who may not make them, and rounds outside their outing count as well.
    """
    found: list[Breach] = []
    for one, looks in zip(problem.sets, plan.looks, strict=True):
        due = None if one.go_now else one.due
        for look in looks.looks:
            if due is not None and look > due:
                found.append(Breach(one.name, due, look))
            due = one.clock.next_due(look)
        if due is not None and due < problem.span.end:
            found.append(Breach(one.name, due, None))
    return [*found, *_outside(problem, plan)]


def _outside(problem: WeeksProblem, plan: WeeksPlan) -> list[Breach]:
    found, sets = [], {one.name: one for one in problem.sets}
    for planned in plan.rounds:
        span = planned.outing.span
        if planned.round.leave < span.start or planned.round.back > span.end:
            found.append(Breach("", span.end, planned.round.back))
        for visit in planned.round.visits:
            one = sets[visit.set_name]
            if not any(part.holds(visit.look) for part in open_to(one, planned.outing)):
                found.append(Breach(visit.set_name, span.end, visit.look))
    return found
