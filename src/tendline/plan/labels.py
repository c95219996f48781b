"""Owns proof by exhaustion under limits: every round worth looking at, kept or thrown away for a reason.

Does not own finding good rounds in large problems: it gives up when there are too many states.

A state is what has been visited, which parkings have been used, which one the truck stands at, and the set
where the person is. Arriving earlier is never worse, so of two ways into one state only the earlier is
kept. A state is thrown away when what must still be done cannot be, by a bound that is never too late.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from tendline.plan.budget import Budget
from tendline.plan.instance import FAR, Instance
from tendline.plan.timing import Order, first_look


class Answer(StrEnum):
    """What came of looking at every round."""

    FOUND = "found"
    NONE = "none"
    TOO_MANY = "too many"


@dataclass(frozen=True)
class Exhausted:
    """The answer, and for `FOUND` the order that ends the earliest."""

    answer: Answer
    order: Order


class _Key(NamedTuple):
    visited: int
    used: int
    parking: int
    at: int


class _Bounds(NamedTuple):
    """Times that are never too long.

    Parameters
    ----------
    soonest
        From leaving one set to arriving at another, on foot or by truck, shape (n, n).
    home
        From leaving a set to being back at the end place.
    work
        Of each set: its look and the shortest way to it from anywhere.
    """

    soonest: list[list[int]]
    home: list[int]
    work: list[int]


_Layer = dict[_Key, int]
_Parents = dict[_Key, _Key | None]


def exhaust(inst: Instance, *, needed: list[int], spare: int, before: int, budget: Budget) -> Exhausted:
    """Look for the earliest end, before `before`, of a round over all but `spare` of the `needed` sets.

    Parameters
    ----------
    needed
        Sets to visit, each with a window and a parking; no others are visited.
    spare
        How many of them may be left out.
    before
        The end to beat [ms]; the latest return holds besides.
    budget
        Says after how many steps from set to set to give up.

    Returns
    -------
    Exhausted
        ``none`` is a proof that there is no such round (going by way of other places being no quicker).
    """
    if len(needed) <= spare:
        return Exhausted(Answer.FOUND, [])
    search = _Search(inst, needed, spare, min(before, inst.latest + 1), budget.steps)
    return search.run(budget)


class _Search:
    def __init__(self, inst: Instance, needed: list[int], spare: int, before: int, cap: int) -> None:
        self.inst = inst
        self.needed = needed
        self.spare = spare
        self.before = before
        self.cap = cap
        self.bounds = _bounds(inst, needed)
        self.steps = 0
        self.parents: _Parents = {}
        self.best: _Key | None = None

    def run(self, budget: Budget) -> Exhausted:
        """Go through the states by number of sets visited."""
        layer = self._first()
        for visited in range(1, len(self.needed) + 1):
            if visited >= len(self.needed) - self.spare:
                self._finish(layer)
            following: _Layer = {}
            for number, (key, time) in enumerate(layer.items()):
                self._expand(key, time, following)
                if self.steps > self.cap or (number % 64 == 0 and budget.out_of_time):
                    return Exhausted(Answer.TOO_MANY, [])
            layer = following
        if self.best is None:
            return Exhausted(Answer.NONE, [])
        return Exhausted(Answer.FOUND, self._order(self.best))

    def _first(self) -> _Layer:
        layer: _Layer = {}
        for bit, i in enumerate(self.needed):
            for p in self.inst.doors[i]:
                arrival = self.inst.go[p] + self.inst.walk[self.inst.count + p][i]
                self._reach(_Key(1 << bit, 1 << p, p, i), arrival, None, layer)
        return layer

    def _expand(self, key: _Key, time: int, layer: _Layer) -> None:
        inst = self.inst
        rest = [(bit, i) for bit, i in enumerate(self.needed) if not key.visited >> bit & 1]
        if not self._worth_while(key, time, rest):
            return
        foot = inst.walk[key.at]
        off = time + foot[inst.count + key.parking]
        for bit, i in rest:
            visited = key.visited | 1 << bit
            self._reach(_Key(visited, key.used, key.parking, i), time + foot[i], key, layer)
            for p in inst.doors[i]:
                if not key.used >> p & 1:
                    arrival = off + inst.hop[key.parking][p] + inst.walk[inst.count + p][i]
                    self._reach(_Key(visited, key.used | 1 << p, p, i), arrival, key, layer)

    def _reach(self, key: _Key, arrival: int, parent: _Key | None, layer: _Layer) -> None:
        self.steps += 1
        look = first_look(self.inst.windows[key.at], arrival)
        leave = look + self.inst.service[key.at]
        if look < 0 or leave >= layer.get(key, FAR) or leave + self.bounds.home[key.at] >= self.before:
            return
        layer[key] = leave
        self.parents[key] = parent

    def _worth_while(self, key: _Key, time: int, rest: list[tuple[int, int]]) -> bool:
        """Say whether enough of the rest can still be visited, one by one and all together."""
        soonest, windows = self.bounds.soonest[key.at], self.inst.windows
        alive = []
        lost = 0
        for _, i in rest:
            look = first_look(windows[i], time + soonest[i])
            if look < 0 or look + self.inst.service[i] + self.bounds.home[i] >= self.before:
                lost += 1
            else:
                alive.append(self.bounds.work[i])
        to_go = len(rest) - self.spare
        if len(alive) < to_go:
            return False
        if lost + self.spare:
            alive.sort()
        return time + sum(alive[: max(to_go, 0)]) + min(self.bounds.home) < self.before

    def _finish(self, layer: _Layer) -> None:
        for key, time in layer.items():
            end = time + self.inst.walk[key.at][self.inst.count + key.parking] + self.inst.home[key.parking]
            if end < self.before:
                self.before = end
                self.best = key

    def _order(self, last: _Key) -> Order:
        order: Order = []
        key: _Key | None = last
        while key is not None:
            if not order or order[-1][0] != key.parking:
                order.append([key.parking])
            order[-1].append(key.at)
            key = self.parents[key]
        return [[stop[0], *stop[:0:-1]] for stop in reversed(order)]


def _bounds(inst: Instance, needed: list[int]) -> _Bounds:
    """Work out the bounds: shortest ways over everything, limits, looks and used parkings left aside."""
    n, parked = inst.count, len(inst.parkings)
    walk = np.array(inst.walk, dtype=np.int64)
    hop = np.array(inst.hop, dtype=np.int64).reshape(parked, parked)
    # From set to set by truck: back to p, drive to q, walk from q.
    truck = (walk[:n, n:][:, :, None] + hop[None]).min(axis=1)
    truck = (truck[:, :, None] + walk[None, n:, :n]).min(axis=1)
    soonest = np.minimum(walk[:n, :n], truck)
    for k in range(n):
        soonest = np.minimum(soonest, soonest[:, k : k + 1] + soonest[k : k + 1])
    home = (walk[:n, n:] + np.array(inst.home, dtype=np.int64)).min(axis=1)
    home = np.minimum(home, (soonest + home).min(axis=1))
    first = (np.array(inst.go, dtype=np.int64)[:, None] + walk[n:, :n]).min(axis=0)
    members = np.array(needed, dtype=np.int64)
    between = soonest[np.ix_(members, members)]
    np.fill_diagonal(between, FAR)
    work = [0] * n
    for k, i in enumerate(needed):
        work[i] = inst.service[i] + int(min(between[:, k].min(), first[i]))
    return _Bounds(soonest.tolist(), home.tolist(), work)
