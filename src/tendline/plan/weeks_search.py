"""Owns looking for rounds that keep every limit: the program grown, then whole numbers, then a check.

Does not own the proofs that there are none (`plan.weeks_floor`) or what would help (`plan.weeks_relief`).
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from tendline.plan.instance import Instance, instance_of
from tendline.plan.weeks_alike import Alike, alike, shared_out
from tendline.plan.weeks_blocks import Block, cut_blocks
from tendline.plan.weeks_check import breaches, whole_problem, written
from tendline.plan.weeks_clocks import BlockClocks
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_look import look
from tendline.plan.weeks_master import Master
from tendline.plan.weeks_nouns import WeekOuting, WeeksPlan, WeeksProblem
from tendline.plan.weeks_rolling import day_after_day
from tendline.plan.weeks_rounds import Pool, Round, make_pool
from tendline.plan.weeks_tolls import Tolls

MANY = 500
"""With more outings times walks than this, a first plan is made some days at a time."""

_ROLLING = 0.35
"""Of the time, for that first plan."""

GRAIN_MS = 30 * 60_000
"""Moments share a row within this where a program asks only whether there is a plan [ms]."""

MOST_CHOICES = 24_000
"""Choices of blocks, over all outings, that are followed up before any is priced (six sizes share them)."""


@dataclass(frozen=True, eq=False)
class Ground:
    """Everything that stays the same while looking: ways, walks, clocks, rounds to choose from."""

    problem: WeeksProblem
    inst: Instance
    blocks: tuple[Block, ...]
    clocks: BlockClocks
    pool: Pool

    @cached_property
    def groups(self) -> Alike:
        """Outings that are alike."""
        return alike(self.problem, self.pool.outings)


@dataclass(frozen=True)
class Found:
    """What a search came to.

    Parameters
    ----------
    plan
        Checked with its own times; None when none was found.
    rounds
        What it is made of.
    bound
        No choice among the rounds considered costs less [ms]; infinite when there is none.
    best
        It was proved that none of them does better than `plan`.
    considered
        How many rounds.
    cost
        Of `plan`, with what the waiting of sets past their limit counts [ms].
    """

    plan: WeeksPlan | None
    rounds: tuple[Round, ...]
    bound: float
    best: bool
    considered: int
    cost: float = np.inf


def make_ground(
    problem: WeeksProblem, *, early: int = 0, outings: Sequence[WeekOuting] | None = None
) -> Ground:
    """Work out walks, clocks and tours.

    Parameters
    ----------
    early
        Time in hand that every limit and every return is kept with [ms].
    outings
        Other outings than those of the problem.
    """
    inst = instance_of(whole_problem(problem))
    outings = problem.outings if outings is None else outings
    blocks = cut_blocks(problem, inst, longest=_longest_walk(inst, outings))
    clocks = BlockClocks(problem, blocks, early)
    keep = max(120, MOST_CHOICES // (6 * max(1, len(outings))))
    return Ground(problem, inst, blocks, clocks, make_pool(inst, blocks, clocks, outings, keep=keep))


def _longest_walk(inst: Instance, outings: Sequence[WeekOuting]) -> int:
    """Give the walk that leaves room for two in an ordinary outing: from 15 to 70 min."""
    lengths = sorted(one.span.seconds * 1000 for one in outings)
    drive = min((g + h for g, h in zip(inst.go, inst.home, strict=True)), default=0)
    ordinary = lengths[len(lengths) // 3] - drive if lengths else 0.0
    return int(max(15 * 60_000, min(70 * 60_000, 0.55 * ordinary)))


def search(ground: Ground, limit: Limit, *, share: float = 1.0) -> Found:
    """Look for the cheapest choice of rounds that keeps every limit.

    Parameters
    ----------
    share
        Of the time; all of it, once a first plan has been made some days at a time.
    """
    whole, limit = limit, replace(limit, seconds=share * limit.left, begun=time.monotonic())
    ways: list[Sequence[Round]] = []
    if len(ground.groups) * len(ground.blocks) > MANY:
        part = Limit(_ROLLING * limit.left, limit.seed, should_stop=lambda: limit.over)
        rounds = day_after_day(ground.pool, part, lambda pool, some: _some_days(ground, pool, some))
        ways.append(rounds)
        if rounds:
            limit = whole
            limit.on_progress(f"a first plan: {sum(one.length for one in rounds) / 3_600_000:.1f} h")
    return _search(ground, limit, ways)


def _some_days(ground: Ground, pool: Pool, limit: Limit) -> tuple[Sequence[Round], WeeksPlan | None]:
    found = _search(replace(ground, problem=pool.clocks.problem, clocks=pool.clocks, pool=pool), limit, ())
    return found.rounds, found.plan


def _search(ground: Ground, limit: Limit, first: Sequence[Sequence[Round]]) -> Found:
    master = Master(ground.pool, ground.groups, Tolls(ground.problem, ground.blocks, ground.pool.outings))
    looked = look(master, limit, first=first, word="a first plan")
    considered, choice = looked.considered, looked.choice
    if choice is None:
        bound = np.inf if looked.none else looked.bound
        return Found(None, (), bound, best=False, considered=considered)
    found = _accepted(ground, [master.rounds[r] for r in choice.rounds], choice.cost)
    best = found.plan is not None and choice.best
    return replace(found, bound=choice.cost if best else looked.bound, best=best, considered=considered)


def _accepted(ground: Ground, chosen: Sequence[Round], cost: float) -> Found:
    """Write a choice out and check it with its own times; what does not pass is no plan."""
    given = shared_out(chosen, ground.groups, ground.pool.outings)
    plan = written(ground.problem, given, ground.blocks, ground.pool.outings)
    if breaches(ground.problem, plan):
        return Found(None, (), -np.inf, best=False, considered=0)
    return Found(plan, tuple(chosen), -np.inf, best=False, considered=0, cost=cost)
