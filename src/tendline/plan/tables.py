"""Owns the shortest round when limits are left aside, exactly, by tables over all subsets of sets.

Does not own rounds in which a limit binds; for those what stands here is a lower bound. "Property" here
means sets and parkings that share ground on foot.
"""

from dataclasses import dataclass

import numpy as np

from tendline.plan.instance import FAR, Instance
from tendline.plan.subsets import Ints, Tours, divided, split
from tendline.plan.timing import Order

_MOST_PARKINGS = 13
_MOST_SETS = 16
_MOST_PAIRS = 60_000_000
"""Most pairs of disjoint subsets, over all choices of parkings, that are worked through: some seconds."""


@dataclass(frozen=True, eq=False)
class Property:
    """The tables of one property.

    Parameters
    ----------
    sets, parkings
        Which, by index; bits below count along these.
    loops
        For each parking, the closed walks from it.
    cover
        For each choice of parkings (entry 0 for none), the shortest walks that together look at each
        subset, with a walk from every parking chosen [ms].
    """

    sets: list[int]
    parkings: list[int]
    loops: list[Tours]
    cover: list[Ints]


@dataclass(frozen=True, eq=False)
class Tables:
    """What the shortest rounds without limits are put together from.

    Parameters
    ----------
    properties
        One for each stretch of shared ground with sets on it.
    drives
        The drives over every choice of parkings of the line.
    """

    properties: list[Property]
    drives: Tours


def tables_of(inst: Instance) -> Tables | None:
    """Work the tables out for the sets that can be visited; None when they would be too large."""
    grounds = _grounds(inst)
    if not grounds or len(inst.parkings) > _MOST_PARKINGS or any(not _small(*ground) for ground in grounds):
        return None
    # A stop is for walking from it: no other parking is driven to, even where that were a short cut.
    go = [way if any(p in parkings for _, parkings in grounds) else FAR for p, way in enumerate(inst.go)]
    hop = _ints(inst.hop)
    hop[:, [p for p, way in enumerate(go) if way >= FAR]] = FAR
    drives = Tours(_ints(go), hop, _ints(inst.home))
    return Tables([_property(inst, *ground) for ground in grounds], drives)


def shortest_end(tables: Tables) -> int:
    """Give the earliest end of a round over every set, limits left aside [ms]."""
    return int(_whole(tables).min())


def shortest_order(tables: Tables) -> Order:
    """Give a round over every set that ends then."""
    choice = int(_whole(tables).argmin())
    walks: dict[int, list[int]] = {}
    for ground in tables.properties:
        walks |= dealt(ground, narrow(ground, choice), (1 << len(ground.sets)) - 1)
    return [[p, *walks[p]] for p in tables.drives.order(choice)]


def narrow(ground: Property, choice: int) -> int:
    """Turn a choice among the parkings of the line into one among those of a property."""
    return sum((choice >> p & 1) << bit for bit, p in enumerate(ground.parkings))


def dealt(ground: Property, choice: int, subset: int) -> dict[int, list[int]]:
    """Give the sets of a property's subset walked from each of its parkings chosen, in walking order."""
    walks = {}
    while choice:
        last = choice.bit_length() - 1
        choice ^= 1 << last
        loops, part = ground.loops[last], subset
        if choice:
            subset, part = divided(ground.cover[choice], loops.lengths, subset)
        walks[ground.parkings[last]] = [ground.sets[bit] for bit in loops.order(part)]
    return walks


def _ints(values: object) -> Ints:
    return np.array(values, dtype=np.int64)


def _grounds(inst: Instance) -> list[tuple[list[int], list[int]]]:
    """Group the sets that can be visited by shared ground, each group with the parkings that reach it."""
    rest = list(inst.open_sets)
    grounds = []
    while rest:
        sets, parkings, fresh = {rest[0]}, set[int](), {rest[0]}
        while fresh:
            parkings |= {p for i in fresh for p in inst.doors[i]}
            fresh = {
                j
                for j in rest
                if j not in sets and (parkings.intersection(inst.doors[j]) or _joins(inst, j, sets))
            }
            sets |= fresh
        grounds.append((sorted(sets), sorted(parkings)))
        rest = [j for j in rest if j not in sets]
    return grounds


def _joins(inst: Instance, j: int, sets: set[int]) -> bool:
    return any(inst.walk[i][j] < FAR or inst.walk[j][i] < FAR for i in sets)


def _small(sets: list[int], parkings: list[int]) -> bool:
    pairs = (2 ** len(parkings) - len(parkings) - 1) * 3 ** len(sets)
    return len(sets) <= _MOST_SETS and pairs <= _MOST_PAIRS


def _property(inst: Instance, sets: list[int], parkings: list[int]) -> Property:
    walk, service = _ints(inst.walk), _ints(inst.service)[sets]
    loops = [
        Tours(
            walk[inst.count + p, sets] + service,
            walk[np.ix_(sets, sets)] + service,
            walk[sets, inst.count + p],
        )
        for p in parkings
    ]
    nothing = np.full(1 << len(sets), FAR, dtype=np.int64)
    nothing[0] = 0
    cover = [nothing]
    for choice in range(1, 1 << len(parkings)):
        last = choice.bit_length() - 1
        rest = choice ^ 1 << last
        cover.append(loops[last].lengths if rest == 0 else split(cover[rest], loops[last].lengths))
    return Property(sets, parkings, loops, cover)


def _whole(tables: Tables) -> Ints:
    """Give for every choice of parkings the end of the shortest round over every set [ms]."""
    ends = tables.drives.lengths.copy()
    for ground in tables.properties:
        complete = _ints([cover[-1] for cover in ground.cover])
        ends += complete[[narrow(ground, choice) for choice in range(len(ends))]]
    return np.minimum(ends, FAR)
