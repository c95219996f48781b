"""Owns asking whether rounds over the days ahead can keep every limit at all: a plan, a proof, or neither.

Does not own what is counted by it (`plan.room_weeks`) or the rounds (`plan.weeks_rounds`).

It is asked without a price: any choice of rounds that keeps every limit will do. What is found is timed and
checked again as every plan of the days ahead is; "impossible" is said to be proved only where the hopeful
model of `plan.weeks_floor` says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tendline.core.when import Span
from tendline.plan.instance import instance_of
from tendline.plan.lp import solve
from tendline.plan.room_nouns import Fit
from tendline.plan.weeks_blocks import cut_blocks
from tendline.plan.weeks_check import breaches, whole_problem, written
from tendline.plan.weeks_clocks import BlockClocks
from tendline.plan.weeks_floor import Floor, explain, impossible
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_model import build
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.plan.weeks_rounds import Pool, Round, make_pool, rounds_of
from tendline.plan.weeks_search import GRAIN_MS, Ground, make_ground

_KEEP = 400
"""So many choices of walks of each size are followed up where walks are not cut."""

_ONE_S = 2.5
"""Longest time for one question that is not answered by then [s]."""


@dataclass(frozen=True)
class WeeksSearch:
    """How the days ahead are searched.

    Parameters
    ----------
    limit
        For everything together.
    early_s
        Time in hand that every limit and every return is kept with [s].
    """

    limit: Limit
    early_s: float = 0.0

    def fit(self, problem: WeeksProblem) -> Fit:
        """Say whether rounds can be found that keep every limit; give them, or whether none was proved."""
        fit = self.quick(problem)
        return fit if fit.plan is not None else self.rest(problem)

    def quick(self, problem: WeeksProblem) -> Fit:
        """Look among full rounds that leave as early as may be: those with no room for another walk.

        Walks are taken whole first, which is shorter, then cut, which fits more windows.
        """
        whole = self._ground(problem, cut=False)
        fit = self._chosen(whole, _full(whole.pool, starts=1), grain=None)
        if fit.plan is not None:
            return fit
        ground = self._ground(problem)
        return (
            fit
            if ground.blocks == whole.blocks
            else self._chosen(ground, _full(ground.pool, starts=1), grain=None)
        )

    def rest(self, problem: WeeksProblem) -> Fit:
        """Look for a proof that there are none, and among full rounds at other hours."""
        ground = self._ground(problem)
        if self._impossible(ground, whole=False):
            return Fit(None, proved=True)
        fit = self._chosen(ground, _full(ground.pool, starts=3), grain=GRAIN_MS)
        whole = self._ground(problem, cut=False)
        if fit.plan is None and whole.blocks != ground.blocks:
            fit = self._chosen(whole, _full(whole.pool, starts=3), grain=GRAIN_MS)
        if fit.plan is None:
            return Fit(None, proved=self._impossible(ground, whole=True))
        return fit

    def _ground(self, problem: WeeksProblem, *, cut: bool = True) -> Ground:
        """Work out walks, clocks and tours; without `cut`, walks are only cut where no window holds them."""
        early = int(self.early_s * 1000.0)
        if cut:
            return make_ground(problem, early=early)
        inst = instance_of(whole_problem(problem))
        longest = int(max((one.span.seconds for one in problem.outings), default=0.0) * 1000.0)
        blocks = cut_blocks(problem, inst, longest=max(1, longest - early))
        clocks = BlockClocks(problem, blocks, early)
        pool = make_pool(inst, blocks, clocks, problem.outings, keep=_KEEP)
        return Ground(problem, inst, blocks, clocks, pool)

    def _chosen(self, ground: Ground, rounds: Sequence[Round], *, grain: int | None) -> Fit:
        if not rounds:
            return Fit(None)
        model = build(rounds, ground.clocks, grain=grain)
        model.program.costs[: len(rounds)] = [0.0] * len(rounds)
        seconds = min(_ONE_S, max(0.5, self.limit.left))
        solved = solve(
            model.program, seconds=seconds, seed=self.limit.seed, should_stop=self.limit.should_stop
        )
        if solved.values is None:
            return Fit(None)
        chosen = [one for r, one in enumerate(rounds) if solved.values[r] > 0.5]
        plan = written(ground.problem, chosen, ground.blocks, ground.pool.outings)
        return Fit(None if breaches(ground.problem, plan) else plan)

    def _impossible(self, ground: Ground, *, whole: bool) -> bool:
        """Say whether the hopeful model proves it; time in hand is only wished for, and left out of it."""
        floor = self.floor(ground)
        end = int(ground.problem.span.seconds * 1000)
        return impossible(floor, floor.kinds, end, seconds=_ONE_S / 3, whole=whole)

    def too_many(self, problem: WeeksProblem) -> bool:
        """Say whether the hopeful model proves at once, in fractions, that not every limit can be kept."""
        floor = Floor(instance_of(whole_problem(problem)), BlockClocks(problem, ()))
        return impossible(floor, floor.kinds, int(problem.span.seconds * 1000), seconds=_ONE_S, whole=False)

    def floor(self, ground: Ground) -> Floor:
        """Give the hopeful model of the days ahead."""
        return Floor(ground.inst, replace(ground.clocks, early=0))

    def lacking(self, problem: WeeksProblem) -> float:
        """Give the time that is lacking at least, where it is proved that not everything fits [s]."""
        ground = make_ground(problem)
        why = explain(self.floor(ground), seconds=1.0, whole=True, over=lambda: self.limit.over)
        return why.lacking_s


def _full(pool: Pool, *, starts: int) -> list[Round]:
    """Give the rounds of every outing that have no room for another walk: more looks break no limit."""
    by_length: dict[float, set[frozenset[int]]] = {}
    rounds: list[Round] = []
    for k, outing in enumerate(pool.outings):
        wanted = by_length.setdefault(outing.span.seconds, _full_choices(pool, outing.span))
        made = list(rounds_of(pool, k, starts=starts, only=wanted))
        if len({frozenset(one.order) for one in made}) < len(wanted):
            # Some hours are not lawful for some set: what is full there is found by itself.
            wanted = _widest({frozenset(one.order) for one in rounds_of(pool, k, starts=1)})
            made = list(rounds_of(pool, k, starts=starts, only=wanted))
        rounds += made
    return rounds


def _full_choices(pool: Pool, span: Span) -> set[frozenset[int]]:
    longest = int(span.seconds * 1000) - pool.clocks.early
    return _widest({frozenset(tour.order) for tour in pool.tours if tour.whole <= longest})


def _widest(choices: set[frozenset[int]]) -> set[frozenset[int]]:
    """Keep the choices that are part of no other."""
    masks = np.array(sorted(sum(1 << b for b in choice) for choice in choices), dtype=np.int64)
    full = {int(m) for m in masks if not ((masks & m == m) & (masks != m)).any()}
    return {choice for choice in choices if sum(1 << b for b in choice) in full}
