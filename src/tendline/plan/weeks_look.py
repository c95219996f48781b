"""Owns one look for a choice of rounds: rounds put in hand, the program grown, then whole numbers.

Does not own what the program stands for: days that come once (`weeks_search`) or again (`weeks_cycle`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tendline.plan.lp_program import Ended
from tendline.plan.weeks_greedy import plain_ways
from tendline.plan.weeks_improve import choose
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_master import UNIT_MS, Master
from tendline.plan.weeks_price import grow
from tendline.plan.weeks_rounds import Pool, Round, rounds_of
from tendline.plan.weeks_small import Choice
from tendline.plan.weeks_tours import Tour

MOST_TIMED = 9000
"""So many rounds are all taken from the start; if there are more, those that are worth it are looked for."""

_LIKELY = 20
"""So many tours are put in hand for every outing before any is priced, beside those of one block."""

_SHARE = 0.4
"""Of the time, for growing the program."""


@dataclass(frozen=True)
class Looked:
    """What a look came to.

    Parameters
    ----------
    choice
        The best choice that keeps every limit, `best` when it was proved so; None when none was found.
    bound
        No choice of the rounds considered costs less [ms]; minus infinity when it was not worked out.
    none
        It was proved that there is none among the rounds considered.
    considered
        How many rounds.
    """

    choice: Choice | None
    bound: float
    none: bool
    considered: int


def look(master: Master, limit: Limit, *, word: str, first: Sequence[Sequence[Round]] = ()) -> Looked:
    """Look for the cheapest choice of rounds that keeps every limit.

    Parameters
    ----------
    master
        The program, without rounds.
    word
        What the first plan is called when it is told.
    first
        Ways to begin with, besides the plain ones.
    """
    everything = fill(master)
    ways = [*first, *plain_ways(master)]
    for way in ways:
        master.add_rounds(way)
    jumps = master.close()
    grown = grow(
        master,
        seconds=_SHARE * limit.left,
        priced=not everything and not jumps,
        should_stop=lambda: limit.over,
    )
    relaxed, settled = grown.solved, grown.settled
    considered = len(master.rounds)
    if relaxed.ended is Ended.NONE or (settled and master.short_of(relaxed)):
        return Looked(None, -np.inf, none=True, considered=considered)
    sure = settled and relaxed.ended is Ended.BEST and not jumps
    bound = UNIT_MS * relaxed.cost if sure else -np.inf if jumps else grown.bound

    def told(plan: Choice) -> None:
        limit.on_progress(f"{word}: {plan.cost / 3_600_000:.1f} h")

    choice = choose(master, relaxed, limit, told, ways=ways, settled=sure)
    if choice is None or choice.lacking:
        none = choice is not None and choice.best and everything
        return Looked(None, bound, none=none, considered=considered)
    best = choice.best and everything and not jumps
    return Looked(replace(choice, best=best), bound, none=False, considered=considered)


def fill(master: Master) -> bool:
    """Put rounds in hand: all there are, if they are few; else those that leave as early as may be."""
    pool = master.pool
    if pool.whole and len(pool.tours) * len(master.groups) <= MOST_TIMED:
        rounds = [one for k in master.groups for one in rounds_of(pool, k, starts=3)]
        if len(rounds) <= MOST_TIMED:
            master.add_rounds(rounds)
            return True
    jumps, few = not all(master.always), len(pool.tours) * len(master.groups) <= MOST_TIMED
    some = pool if jumps or few else replace(pool, tours=_likely(pool))
    for k in master.groups:
        master.add_rounds(rounds_of(some, k, starts=1 if few and not jumps else 3))
    return False


def _likely(pool: Pool) -> list[Tour]:
    """Give the tours of one block each, and those that save most over going to each block by itself."""
    alone = {tour.order[0]: tour.whole for tour in pool.tours if len(tour.order) == 1}
    share = [tour.whole / sum(alone.get(b, tour.whole) for b in tour.order) for tour in pool.tours]
    best = set(np.argsort(np.array(share), kind="stable")[:_LIKELY].tolist())
    return [tour for k, tour in enumerate(pool.tours) if k in best or len(tour.order) == 1]
