"""Owns the rounds a plan of the days ahead is made of: which walks, in which order, starting when.

Does not own which of them are driven (`plan.weeks_model`).
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tendline.core.when import Span
from tendline.plan.instance import Instance
from tendline.plan.weeks_blocks import Block
from tendline.plan.weeks_clocks import BlockClocks, meet, milliseconds
from tendline.plan.weeks_nouns import WeekOuting
from tendline.plan.weeks_tours import Tour, shortest_tours, timed

Windows = Sequence[list[tuple[int, int]]]


@dataclass(frozen=True, slots=True)
class Round:
    """One round that could be driven; times are milliseconds after the beginning of the days ahead.

    Parameters
    ----------
    outing
        Index of the outing.
    leave, back
        Leaving home, being back.
    order, parked
        Blocks in driving order, and when the truck is parked for each.
    metres
        Driven [m].
    """

    outing: int
    leave: int
    back: int
    order: tuple[int, ...]
    parked: tuple[int, ...]
    metres: float

    @property
    def length(self) -> int:
        """Time away [ms]."""
        return self.back - self.leave


@dataclass(frozen=True, eq=False)
class Pool:
    """Everything rounds are made from.

    Parameters
    ----------
    inst, blocks, clocks
        Ways, walks and their clocks.
    outings
        The outings.
    tours
        The shortest tour over every choice of blocks that was followed up.
    whole
        Every choice was followed up.
    """

    inst: Instance
    blocks: Sequence[Block]
    clocks: BlockClocks
    outings: Sequence[WeekOuting]
    tours: Sequence[Tour]
    whole: bool = True

    def windows(self, block: int, outing: WeekOuting) -> list[tuple[int, int]]:
        """Give the stretches of an outing in which its person may park for a block; none when barred from it.

        Times are milliseconds after the beginning of the days ahead.
        """
        return self.clocks.windows(block, outing)


def make_pool(
    inst: Instance, blocks: Sequence[Block], clocks: BlockClocks, outings: Sequence[WeekOuting], *, keep: int
) -> Pool:
    """Work out the tours for the longest outing."""
    longest = max((_length(one.span) for one in outings), default=0) - clocks.early
    tours, whole = shortest_tours(inst, blocks, longest=longest, keep=keep)
    return Pool(inst, blocks, clocks, outings, tours, whole)


def rounds_of(
    pool: Pool, outing: int, *, starts: int, only: Collection[frozenset[int]] | None = None
) -> Iterator[Round]:
    """Give the rounds of one outing.

    Parameters
    ----------
    starts
        1: each choice of blocks once, as early as may be; 3: early, in the middle and late, both ways round.
    only
        Choices of blocks that are wanted; None for all.
    """
    one = pool.outings[outing]
    begin = milliseconds(pool.clocks.problem, one.span.start)
    end = milliseconds(pool.clocks.problem, one.span.end) - pool.clocks.early
    windows = [pool.windows(b, one) for b in range(len(pool.blocks))]
    for tour in pool.tours:
        if begin + tour.whole > end or (only is not None and frozenset(tour.order) not in only):
            continue
        ways = [tour] if starts == 1 else _both_ways(pool, tour)
        for way in ways:
            metres = metres_of(pool, way.order)
            for leave in _starts(way, windows, (begin, end - way.whole), starts):
                parked = tuple(leave + at for at in way.parked)
                yield Round(outing, leave, leave + way.whole, way.order, parked, metres)


def _length(span: Span) -> int:
    return int(span.seconds * 1000)


def _both_ways(pool: Pool, tour: Tour) -> list[Tour]:
    if len(tour.order) == 1:
        return [tour]
    return [tour, timed(pool.inst, pool.blocks, tour.order[::-1])]


def _starts(way: Tour, windows: Windows, span: tuple[int, int], count: int) -> list[int]:
    """Give starts for which nobody waits anywhere: the earliest, the latest, and one in the middle."""
    if span[1] < span[0]:
        return []
    free = [span]
    for block, at in zip(way.order, way.parked, strict=True):
        free = meet(free, [(a - at, b - at) for a, b in windows[block]])
    if not free:
        return []
    if count == 1:
        return [free[0][0]]
    last = free[-1][1]
    middle = (free[0][0] + last) // 2
    inside = [middle] if any(a <= middle <= b for a, b in free) else []
    return sorted({free[0][0], *inside, last})


def metres_of(pool: Pool, order: Sequence[int]) -> float:
    """Give what is driven in a round [m]."""
    problem, names = pool.clocks.problem, pool.inst.parkings
    places = [problem.start, *(names[pool.blocks[b].parking] for b in order), problem.end]
    rows = [problem.drive.names.index(name) for name in places]
    return float(sum(problem.drive.metres[a, b] for a, b in pairwise(rows)))
