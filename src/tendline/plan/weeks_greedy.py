"""Owns plain ways of going about the days ahead: what runs out first, and what lies near it.

Does not own a good plan: these are rounds to begin with, found in no time at all.
"""

from collections.abc import Iterator

import numpy as np

from tendline.plan.weeks_clocks import NEVER, milliseconds
from tendline.plan.weeks_master import Master
from tendline.plan.weeks_rounds import Pool, Round, rounds_of
from tendline.plan.weeks_tours import Tour, timed

_AHEAD_H = (0, 12, 24, 36, 48)
"""Ways differ in how far ahead they look for what runs out [h]."""


def plain_ways(master: Master) -> Iterator[list[Round]]:
    """Give some plain ways of going about it, each as its rounds; limits may be broken.

    Of each outing, walks that run out before the next one is over, or so many hours later, are taken, the
    first to run out first; then, where there is time, walks that are hardly out of the way.
    """
    if master.clocks.problem.was:
        yield _as_before(master)
    for ahead in _AHEAD_H:
        for spare in (0.0, 0.5):
            yield _one_way(master, ahead * 3_600_000, spare)


def _as_before(master: Master) -> list[Round]:
    """Give the rounds of an earlier plan, as far as they can still be driven."""
    pool, sets = master.pool, master.clocks.problem.sets
    found: list[Round] = []
    for first, members in master.groups.items():
        for k in members:
            names = master.clocks.problem.was.get(pool.outings[k], frozenset())
            best: Round | None = None
            for b, block in enumerate(pool.blocks):
                if all(sets[i].name in names for i in block.sets):
                    tour = _inserted(pool, () if best is None else best.order, b)
                    best = next(rounds_of(_only(pool, tour), first, starts=1), best)
            found += [] if best is None else [best]
    return found


def _one_way(master: Master, ahead: int, spare: float) -> list[Round]:
    pool, clocks = master.pool, master.clocks
    now = [master.period is not None or clocks.go_first(b) for b in range(len(pool.blocks))]
    due = [0 if now[b] else clocks.first_due(b) for b in range(len(pool.blocks))]
    groups = sorted(master.groups.items(), key=lambda one: pool.outings[one[0]].span.start)
    found: list[Round] = []
    for k, (first, members) in enumerate(groups):
        onward = groups[min(k + 1, len(groups) - 1)][0]
        horizon = milliseconds(clocks.problem, pool.outings[onward].span.end) + ahead
        for _ in members:
            one = _round(pool, first, due, horizon, spare)
            if one is None:
                break
            found.append(one)
            for block, at in zip(one.order, one.parked, strict=True):
                due[block] = int(clocks.after(block, np.array([at], dtype=np.int64))[0])
    return found


def _round(pool: Pool, outing: int, due: list[int], horizon: int, spare: float) -> Round | None:
    """Take walks one after the other as long as the round can be driven."""
    best: Round | None = None
    open_ = [b for b in range(len(pool.blocks)) if pool.windows(b, pool.outings[outing])]
    urgent = sorted((b for b in open_ if due[b] <= horizon), key=lambda b: due[b])
    later = sorted((b for b in open_ if horizon < due[b] < NEVER), key=lambda b: due[b])
    for b in (*urgent, *(later if spare and urgent else ())):
        tour = _inserted(pool, () if best is None else best.order, b)
        before = 0 if best is None else best.length
        if due[b] > horizon and tour.whole - before > (1.0 + spare) * pool.blocks[b].whole:
            continue
        one = next(rounds_of(_only(pool, tour), outing, starts=1), None)
        best = best if one is None else one
    return best


def _inserted(pool: Pool, order: tuple[int, ...], block: int) -> Tour:
    """Put a block where it costs least."""
    ways = [(*order[:k], block, *order[k:]) for k in range(len(order) + 1)]
    return min((timed(pool.inst, pool.blocks, way) for way in ways), key=lambda tour: tour.whole)


def _only(pool: Pool, tour: Tour) -> Pool:
    return Pool(pool.inst, pool.blocks, pool.clocks, pool.outings, [tour])
