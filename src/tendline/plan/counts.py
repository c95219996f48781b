"""Owns how many sets fit into a time when limits are left aside, exactly, from the tables of `plan.tables`.

Does not own which of them matter more.
"""

from dataclasses import dataclass

import numpy as np

from tendline.plan.instance import FAR
from tendline.plan.subsets import Ints
from tendline.plan.tables import Property, Tables, dealt, narrow
from tendline.plan.timing import Order


def ends_by_count(tables: Tables, must: list[bool]) -> list[int]:
    """Give the earliest end of a round over any 1, 2, ... of the sets in `must`, limits left aside [ms].

    Entry k is for k sets, whichever can be had soonest; entry 0 is 0.
    """
    return [0, *(int(end) for end in _count(tables, must).ends.min(axis=0)[1:])]


def order_of_most(tables: Tables, must: list[bool], *, latest: int) -> Order:
    """Give the round over as many of the sets in `must` as can be had by `latest`, limits left aside."""
    count = _count(tables, must)
    most = int(np.flatnonzero((count.ends <= latest).any(axis=0))[-1])
    if most == 0:
        return []
    choice = int(count.ends[:, most].argmin())
    walks: dict[int, list[int]] = {}
    for k in range(len(tables.properties) - 1, -1, -1):
        part, before, ground = count.parts[k][choice], count.sums[k][choice], tables.properties[k]
        here = next(
            n for n in range(len(part)) if _made(before, part, most, n) == count.sums[k + 1][choice][most]
        )
        most -= here
        walks |= dealt(ground, narrow(ground, choice), _subset(ground, must, narrow(ground, choice), here))
    return [[p, *walks[p]] for p in tables.drives.order(choice)]


@dataclass(frozen=True, eq=False)
class _Count:
    """Shortest walks for every choice of parkings (rows) and number of sets (columns) [ms].

    Parameters
    ----------
    parts
        Of each property by itself.
    sums
        Of the first 0, 1, 2, ... properties together.
    ends
        Of all, with the drive: the end of the round.
    """

    parts: list[Ints]
    sums: list[Ints]
    ends: Ints


def _count(tables: Tables, must: list[bool]) -> _Count:
    choices = range(len(tables.drives.lengths))
    sums = [np.zeros((len(choices), 1), dtype=np.int64)]
    parts = []
    for ground in tables.properties:
        parts.append(_by_count(ground, must)[[narrow(ground, choice) for choice in choices]])
        sums.append(_joined(sums[-1], parts[-1]))
    drive = tables.drives.lengths.copy()
    drive[0] = 0
    return _Count(parts, sums, sums[-1] + drive[:, None])


def _by_count(ground: Property, must: list[bool]) -> Ints:
    """Give for every choice of parkings the shortest walks over at least so many of the sets in `must`."""
    held = _held(ground, must)
    least = np.full((len(ground.cover), int(held.max()) + 1), FAR, dtype=np.int64)
    for choice, cover in enumerate(ground.cover):
        np.minimum.at(least[choice], held, cover)
    # Looking at more is also looking at that many.
    return np.minimum.accumulate(least[:, ::-1], axis=1)[:, ::-1]


def _held(ground: Property, must: list[bool]) -> Ints:
    """Give for every subset how many of its sets are in `must`."""
    wanted = sum(1 << bit for bit, i in enumerate(ground.sets) if must[i])
    return np.array([(subset & wanted).bit_count() for subset in range(1 << len(ground.sets))])


def _joined(first: Ints, second: Ints) -> Ints:
    """Add two properties up, row by row: entry k is the least over all ways to make k out of the two."""
    rows, size = len(first), first.shape[1] + second.shape[1] - 1
    total = np.full((rows, size), FAR, dtype=np.int64)
    for k in range(second.shape[1]):
        part = total[:, k : k + first.shape[1]]
        np.minimum(part, first + second[:, k : k + 1], out=part)
    return total


def _made(before: Ints, part: Ints, most: int, here: int) -> int:
    """Give the walks when `here` of the `most` sets are this property's; `FAR` when the others cannot be."""
    return int(before[most - here] + part[here]) if 0 <= most - here < len(before) else FAR


def _subset(ground: Property, must: list[bool], choice: int, count: int) -> int:
    """Give the subset with so many sets in `must` that is walked the soonest from the parkings chosen."""
    lengths = np.where(_held(ground, must) >= count, ground.cover[choice], FAR)
    return int(lengths.argmin())
