"""Owns what helps when not everything fits: sets to leave, an earlier start, a later return.

Does not own the round itself. Every relief is checked by planning the outing again with it.
"""

from dataclasses import dataclass, replace
from datetime import timedelta

from tendline.core.when import Span
from tendline.plan.anneal import Found
from tendline.plan.budget import Budget
from tendline.plan.instance import Instance, instance_of, only
from tendline.plan.itinerary import Relief, RoundProblem, SetTask
from tendline.plan.optimum import quest
from tendline.plan.proof import Shortfall, every_round, hopeless_sets, least_end, self_contained
from tendline.plan.tables import Tables, tables_of
from tendline.plan.timing import Order, clock, cost, latest_start

_FARTHEST = 6 * 60
"""No start so many minutes earlier, and no return so many minutes later, is looked for."""

_MINUTE = 60_000


@dataclass(frozen=True)
class _Wider:
    """The outing with minutes added before or after it, to be planned for sets that must be visited alone.

    Parameters
    ----------
    wanted
        The sets that could be visited in it, each by itself; only these are.
    tables
        For those sets.
    certain
        What is proved of rounds over those sets holds for all rounds.
    """

    problem: RoundProblem
    inst: Instance
    earlier: int
    wanted: frozenset[int]
    tables: Tables | None
    certain: bool

    def minutes_for(self, order: Order) -> int:
        """Say how many minutes before the outing as asked one has to leave for `order`."""
        now = clock(self.inst, order)
        assert now is not None
        return self.earlier - latest_start(self.inst, order, now) // _MINUTE

    @property
    def given_up(self) -> list[SetTask]:
        """Sets that must be visited and cannot be even so."""
        return [task for i, task in enumerate(self.problem.sets) if task.must and i not in self.wanted]


def reliefs(
    problem: RoundProblem, best: Found, short: Shortfall, *, seed: int, budget: Budget
) -> tuple[Relief, ...]:
    """Name the smallest relief of each kind that helps.

    Parameters
    ----------
    best
        The best round of the outing as it is: it leaves out sets that must be visited.
    short
        What was proved about how many.
    """
    halves = [budget.part(0.5, doing=kind) for kind in ("earlier start", "later return")]
    start = _earlier_start(problem, best, short, seed=seed, budget=halves[0])
    back = _later_return(problem, best, seed=seed, budget=halves[1])
    return tuple(relief for relief in (drop(problem, best, short), start, back) if relief is not None)


def drop(problem: RoundProblem, best: Found, short: Shortfall) -> Relief:
    """Say which sets the best round leaves out, and when their limits pass."""
    left = [problem.sets[i] for i in best.missing if problem.sets[i].must]
    names = tuple(task.name for task in left)
    return Relief(
        kind="drop",
        what=f"Leave {', '.join(names)} out of this round.",
        sets=names,
        proven_smallest=short.at_least >= len(left),
        breaks={task.name: task.due for task in left if task.due is not None},
    )


def _later_return(problem: RoundProblem, best: Found, *, seed: int, budget: Budget) -> Relief | None:
    wide = _wider(problem, later=_FARTHEST)
    if not _helps(wide, best):
        return None
    tried = _plan(wide, best.order, seed=seed, budget=budget, enough=False)
    if tried.order is None:
        return None
    minutes = -((instance_of(problem).latest - tried.end) // _MINUTE)
    return _moved(wide, "later return", "Be back {} later", minutes, proved=tried.proved)


def _earlier_start(
    problem: RoundProblem, best: Found, short: Shortfall, *, seed: int, budget: Budget
) -> Relief | None:
    wide = _wider(problem, earlier=_FARTHEST)
    if not _helps(wide, best):
        return None
    tried = _plan(wide, best.order, seed=seed, budget=budget.part(0.3, doing=budget.doing), enough=True)
    if tried.order is None:
        return None
    order = tried.order
    failed = _too_little(problem, wide)
    proved = failed if failed > 0 or short.at_least > len(wide.given_up) else -1
    minutes = max(failed + 1, wide.minutes_for(order))
    step = failed + 1
    while minutes - failed > 1 and not budget.out_of_time:
        closer = _wider(problem, earlier=step, like=wide)
        tried = _plan(closer, order, seed=seed, budget=budget.part(0.1, doing=budget.doing), enough=True)
        if tried.order is None:
            failed = step
            proved = step if tried.proved else proved
        else:
            order = tried.order
            minutes = max(failed + 1, closer.minutes_for(order))
        step = (failed + minutes) // 2
    return _moved(wide, "earlier start", "Start {} earlier", minutes, proved=proved == minutes - 1)


def _helps(wide: _Wider, best: Found) -> bool:
    """Say whether the wider outing could leave out fewer sets than the best round does."""
    left = sum(wide.problem.sets[i].must for i in best.missing)
    return len(wide.given_up) < left


def _moved(wide: _Wider, kind: str, what: str, minutes: int, *, proved: bool) -> Relief | None:
    if minutes <= 0:
        return None
    names = tuple(task.name for task in wide.given_up)
    still = f"; even so {', '.join(names)} must stay out" if names else ""
    return Relief(
        kind=kind,
        what=f"{what.format(_said(minutes))}{still}.",
        sets=names,
        minutes=minutes,
        proven_smallest=proved,
        breaks={task.name: task.due for task in wide.given_up if task.due is not None},
    )


def _wider(problem: RoundProblem, *, earlier: int = 0, later: int = 0, like: _Wider | None = None) -> _Wider:
    """Widen an outing; for the sets of `like`, or for all that must be visited and could be."""
    span = Span(
        problem.outing.start - timedelta(minutes=earlier), problem.outing.end + timedelta(minutes=later)
    )
    wide = replace(problem, outing=span)
    inst = instance_of(wide)
    if like is not None:
        return replace(like, problem=wide, inst=only(inst, set(like.wanted)), earlier=earlier)
    lost = hopeless_sets(inst)
    wanted = frozenset(i for i in range(inst.count) if inst.must[i] and i not in lost)
    certain = self_contained(inst, set(wanted))
    inst = only(inst, set(wanted))
    return _Wider(wide, inst, earlier, wanted, tables_of(inst), certain)


@dataclass(frozen=True)
class _Tried:
    """What came of planning a wider outing.

    Parameters
    ----------
    order, end
        A round over every set wanted, None when none was found, and its end [ms].
    proved
        That this is the shortest, or that there is none.
    """

    order: Order | None
    end: int
    proved: bool


def _plan(wide: _Wider, first: Order, *, seed: int, budget: Budget, enough: bool) -> _Tried:
    """Plan the wider outing, starting from what holds of `first`."""
    if not wide.wanted:
        return _Tried(None, 0, proved=False)
    if wide.wanted.intersection(hopeless_sets(wide.inst)):
        return _Tried(None, 0, proved=True)
    start = _kept(wide.inst, first)
    search = quest(wide.inst, wide.tables, seed=seed, budget=budget, start=start, enough=enough)
    best = search.run(budget)
    if not wide.wanted.intersection(best.found.missing):
        return _Tried(best.found.order, best.found.cost.end, best.shortest and wide.certain)
    order, none = every_round(wide.inst, sorted(wide.wanted), spare=0, budget=budget)
    known = None if order is None else cost(wide.inst, order)
    if known is None:
        return _Tried(None, 0, proved=none and wide.certain)
    return _Tried(order, known.end, proved=wide.certain)


def _kept(inst: Instance, order: Order) -> Order:
    """Give what is left of an order when every set that breaks a limit is passed over."""
    kept: Order = []
    for stop in order:
        kept.append([stop[0]])
        for i in stop[1:]:
            kept[-1].append(i)
            if not inst.windows[i] or clock(inst, kept) is None:
                kept[-1].pop()
        if len(kept[-1]) == 1:
            kept.pop()
    return kept


def _too_little(problem: RoundProblem, wide: _Wider) -> int:
    """Give minutes of earlier start that are too few by the length of the round alone; 0 for none."""
    latest = instance_of(problem).latest
    end = least_end(wide.inst, set(wide.wanted), wide.tables)
    return max(0, -((latest - end) // _MINUTE) - 1)


def _said(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"
