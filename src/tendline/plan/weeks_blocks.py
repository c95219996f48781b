"""Owns putting sets together to walks: one parking, one fixed order, one clock.

Does not own which walks make up an outing (`plan.weeks_rounds`).

A block is always walked from the same parking in the same order, so that every set in it is looked at the
same time after the truck is parked. The gap between two looks at any of its sets is then exactly the gap
between two parkings, and a clock of the sets is a clock of the block: nothing is lost to rounding, and no
look is late that the block says is in time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

import numpy as np

from tendline.plan.instance import FAR, Instance
from tendline.plan.subsets import Tours
from tendline.plan.weeks_nouns import WeekSet, WeeksProblem

LONGEST_WALK_MS = 70 * 60_000
"""A walk longer than this is cut in two: outings fill better with pieces; measured in trials [ms]."""

_SAME_TURN = timedelta(hours=12)
"""Sets whose limits run out further apart than this are walked apart until they have been seen once."""
_EXACT = 11


@dataclass(frozen=True)
class Block:
    """One walk; times are whole milliseconds.

    Parameters
    ----------
    sets
        Indices of its sets in walking order.
    parking
        Index of its parking.
    offsets
        From being parked to each look.
    whole
        From being parked to being back at the truck.
    """

    sets: tuple[int, ...]
    parking: int
    offsets: tuple[int, ...]
    whole: int


def cut_blocks(problem: WeeksProblem, inst: Instance, *, longest: int = LONGEST_WALK_MS) -> tuple[Block, ...]:
    """Put sets together to walks.

    Parameters
    ----------
    problem, inst
        The days ahead, and its sets and ways in whole numbers. Sets without a parking are left out.
    longest
        Walks are cut until they are no longer than this, or one set [ms].
    """
    blocks: list[Block] = []
    for group in _groups(problem, inst):
        for parking, members in _from_parkings(inst, group):
            blocks += _cut(inst, parking, members, longest)
    return tuple(blocks)


def _groups(problem: WeeksProblem, inst: Instance) -> Iterator[list[int]]:
    """Give sets that share ground, rule and people and run out about together."""
    parts: dict[tuple[object, ...], list[int]] = {}
    ground = _grounds(inst)
    for i, one in enumerate(problem.sets):
        if inst.doors[i]:
            key = (ground[i], one.clock.key, one.barred_to, one.left_to)
            parts.setdefault(key, []).append(i)
    for part in parts.values():
        yield from _in_turn(problem.sets, part)


def _in_turn(sets: Sequence[WeekSet], part: list[int]) -> Iterator[list[int]]:
    """Split sets whose limits run out far apart; those that want seeing first go with the first."""
    ordered = sorted((due, i) for i in part if (due := sets[i].due) is not None and not sets[i].go_now)
    timed = {i for _, i in ordered}
    first = [i for i in part if i not in timed]
    if not ordered:
        yield first
        return
    turn = [*first, ordered[0][1]]
    for (before, _), (after, i) in pairwise(ordered):
        if after - before > _SAME_TURN:
            yield turn
            turn = []
        turn.append(i)
    yield turn


def _grounds(inst: Instance) -> list[int]:
    """Give each set the number of its ground: sets one can walk between, directly or over others."""
    ground = [-1] * inst.count
    for first in range(inst.count):
        reached = [first] if ground[first] < 0 else []
        while reached:
            i = reached.pop()
            ground[i] = first
            reached += [j for j in inst.near[i] if ground[j] < 0 and j not in reached]
    return ground


def _from_parkings(inst: Instance, group: list[int]) -> list[tuple[int, list[int]]]:
    """Share a group out over parkings: all to one that reaches all, or each to its nearest."""
    nearest: dict[int, list[int]] = {}
    for i in group:
        best = min(inst.doors[i], key=lambda p, i=i: (_there_and_back(inst, p, i), p))  # type: ignore[misc]
        nearest.setdefault(best, []).append(i)
    ways = [sorted(nearest.items())]
    common = set.intersection(*(set(inst.doors[i]) for i in group))
    ways += [[(p, group)] for p in sorted(common)]
    return min(ways, key=lambda way: sum(_price(inst, p, members) for p, members in way))


def _price(inst: Instance, parking: int, members: Sequence[int]) -> int:
    return walk_time(inst, parking, walk_order(inst, parking, members)) + inst.park


def _there_and_back(inst: Instance, parking: int, i: int) -> int:
    return inst.walk[inst.count + parking][i] + inst.walk[i][inst.count + parking]


def _cut(inst: Instance, parking: int, members: Sequence[int], longest: int) -> list[Block]:
    order = walk_order(inst, parking, members)
    whole = walk_time(inst, parking, order)
    if whole <= longest or len(order) == 1:
        return [_block(inst, parking, order, whole)]
    pieces = min(len(order), max(2, -(-whole // longest))) if whole < FAR else 2
    size, over = divmod(len(order), pieces)
    cuts = [0]
    for k in range(pieces):
        cuts.append(cuts[-1] + size + (k < over))
    return [block for a, b in pairwise(cuts) for block in _cut(inst, parking, order[a:b], longest)]


def _block(inst: Instance, parking: int, order: Sequence[int], whole: int) -> Block:
    offsets, now, here = [], 0, inst.count + parking
    for i in order:
        now += inst.walk[here][i]
        offsets.append(now)
        now += inst.service[i]
        here = i
    return Block(tuple(order), parking, tuple(offsets), whole)


def walk_time(inst: Instance, parking: int, order: Sequence[int]) -> int:
    """Give the whole time of a walk from a parking and back, with the looks [ms]."""
    truck = inst.count + parking
    places = [truck, *order, truck]
    return sum(inst.walk[a][b] for a, b in pairwise(places)) + sum(inst.service[i] for i in order)


def walk_order(inst: Instance, parking: int, members: Sequence[int]) -> list[int]:
    """Give a short order: the shortest for a few sets, else a good one."""
    if len(members) > _EXACT:
        return _mended(inst, parking, _nearest_next(inst, parking, members))
    truck, rows = inst.count + parking, list(members)
    walk = np.array(inst.walk, dtype=np.int64)
    legs = walk[np.ix_(rows, rows)].copy()
    np.fill_diagonal(legs, FAR)
    return [rows[k] for k in Tours(walk[truck, rows], legs, walk[rows, truck]).order((1 << len(rows)) - 1)]


def _nearest_next(inst: Instance, parking: int, members: Sequence[int]) -> list[int]:
    left, here, order = set(members), inst.count + parking, []
    while left:
        here = min(left, key=lambda i: (inst.walk[here][i], i))
        order.append(here)
        left.remove(here)
    return order


def _mended(inst: Instance, parking: int, order: list[int]) -> list[int]:
    """Turn stretches round and move short stretches elsewhere, until nothing helps.

    References
    ----------
    Croes, G. A. (1958), A method for solving traveling-salesman problems, Operations Research 6(6), 791-812
    (turning a stretch); Or, I. (1976), thesis, Northwestern University (moving one of up to three).
    """
    best, better = walk_time(inst, parking, order), True
    while better:
        better = False
        for other in _neighbours(order):
            time = walk_time(inst, parking, other)
            if time < best:
                order, best, better = other, time, True
                break
    return order


def _neighbours(order: list[int]) -> Iterator[list[int]]:
    n = len(order)
    for a in range(n):
        for b in range(a + 2, n + 1):
            yield order[:a] + order[a:b][::-1] + order[b:]
    for size in (1, 2, 3):
        for a in range(n - size + 1):
            moved, rest = order[a : a + size], order[:a] + order[a + size :]
            for b in range(len(rest) + 1):
                if b != a:
                    yield rest[:b] + moved + rest[b:]
