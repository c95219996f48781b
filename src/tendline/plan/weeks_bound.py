"""Owns a bound for every plan of the walks there are, from what a plan in fractions pays for each walk.

Does not own the program (`plan.weeks_master`) or its rounds; the bound holds for rounds it has not in hand.

Whatever is paid for walks, at no matter what rates: a plan gives up at least what all limits are worth, less
what the best round of every outing earns over what it takes. So the bound holds at any moment, and is as high
as the program itself once no round earns more. The best round is not found but enclosed: rounds grow walk by
walk, and one that could not earn more by any rest of the way is left, at what it could have earned at most.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.lp_program import Solved
from tendline.plan.weeks_clocks import milliseconds
from tendline.plan.weeks_master import UNIT_MS, Master
from tendline.plan.weeks_rates import promised, worth_of
from tendline.plan.weeks_rounds import Round, metres_of
from tendline.plan.weeks_rows import Ints
from tendline.plan.weeks_tolls import EARLY, METRE_MS, OUTING_MS
from tendline.plan.weeks_tours import timed

Floats = npt.NDArray[np.float64]

_CELL_MS = 60_000
_LEAVE = 5
"""Rounds that leave within so many cells are looked at together, each walk at what it is worth at best."""

_NEAR_MS = 10_000.0
"""A round that cannot earn this much more than the best in hand is left."""

_MOST = 400
"""So many rounds are followed up at each number of walks; the others are left at what they could earn."""


_TIMED = 300
"""So many of them are timed to the moment; of the others it is taken what they hoped for."""


def earners(master: Master, solved: Solved, *, most: int) -> tuple[float, list[Round]]:
    """Give what no plan of these walks costs less than [ms], and rounds that earn more than those in hand.

    Parameters
    ----------
    solved
        The program in fractions; any prices do, those near the best give a bound near it.
    most
        Up to so many rounds are given for each outing.

    Returns
    -------
    tuple of float and list of Round
        The bound is for plans in which nobody waits on the way, leaving at any moment. It is minus infinity
        where rounds have a price by their sets, and where the days come again.

    References
    ----------
    Geoffrion, A. M. (1974), Lagrangean relaxation for integer programming, Mathematical Programming Study 2,
    82-114.
    """
    assert solved.duals is not None
    prices = np.zeros(len(master.program.program.rows))
    prices[: len(solved.duals)] = np.maximum(0.0, UNIT_MS * solved.duals)
    total, worth, found = promised(master, prices), worth_of(master, prices), list[Round]()
    for k, members in master.groups.items():
        in_hand = min(0.0, UNIT_MS * float(solved.duals[master.outing_row[k]]))
        outing = _Outing(master, k, worth)
        total += len(members) * min(0.0, outing.least(in_hand - _NEAR_MS))
        found += outing.best(in_hand - 1.0, most)
    free = master.clocks.problem.price_s is None and master.period is None
    return (float(total) if free else -np.inf), found


@dataclass(frozen=True)
class _Rounds:
    """Rounds of one number of walks: blocks in order, when the last is parked for, cost, and earnings.

    Earnings are for every cell of leaving, shape (rounds, cells).
    """

    masks: Ints
    orders: Ints
    parked: Ints
    costs: Floats
    earned: Floats

    @property
    def lasts(self) -> Ints:
        last: Ints = self.orders[:, -1]
        return last


@dataclass(frozen=True, eq=False)
class _Outing:
    """One outing: the walks that may be taken there, ways, and what they are worth; times in ms."""

    master: Master
    k: int
    worth: dict[int, tuple[Ints, Floats]]
    ends: list[tuple[float, Round]] = field(default_factory=list)

    @cached_property
    def some(self) -> list[int]:
        return [b for b, (_, values) in self.worth.items() if self._windows(b) and values.max() > 0.0]

    @cached_property
    def begin(self) -> int:
        return milliseconds(self.master.clocks.problem, self.master.pool.outings[self.k].span.start)

    @cached_property
    def length(self) -> int:
        end = milliseconds(self.master.clocks.problem, self.master.pool.outings[self.k].span.end)
        return end - self.master.clocks.early - self.begin

    def _windows(self, block: int) -> list[tuple[int, int]]:
        return self.master.pool.windows(block, self.master.pool.outings[self.k])

    @cached_property
    def ways(self) -> tuple[Ints, Ints, Ints, Floats, Floats, Floats]:
        """Time out, from one parking to the next with the walk, and home with it; then metres of each."""
        pool, problem = self.master.pool, self.master.clocks.problem
        inst, at = pool.inst, [pool.blocks[b].parking for b in self.some]
        walks = np.array([pool.blocks[b].whole for b in self.some], dtype=np.int64)
        names = problem.drive.names
        stands = [names.index(inst.parkings[p]) for p in at]
        metres, start, end = problem.drive.metres, names.index(problem.start), names.index(problem.end)
        return (
            np.array([inst.go[p] for p in at], dtype=np.int64),
            np.array(inst.hop, dtype=np.int64)[np.ix_(at, at)] + walks[:, None],
            np.array([inst.home[p] for p in at], dtype=np.int64) + walks,
            metres[start, stands],
            metres[np.ix_(stands, stands)],
            metres[stands, end],
        )

    @cached_property
    def earns(self) -> Floats:
        """What a walk is worth at best for which one parks within a cell, shape (walks, cells)."""
        cells = self.length // _CELL_MS + 1
        found = np.full((len(self.some), cells), -np.inf)
        edges = self.begin + np.arange(cells + 1, dtype=np.int64) * _CELL_MS
        for row, block in enumerate(self.some):
            times, values = self.worth[block]
            cuts = np.unique(np.concatenate((edges, times[(edges[0] < times) & (times < edges[-1])])))
            steps = values[np.searchsorted(times, cuts[:-1], side="right") - 1]
            best = np.maximum.reduceat(steps, np.searchsorted(cuts, edges[:-1]))
            for low, high in self._windows(block):
                inside = (edges[1:] > low) & (edges[:-1] <= high)
                found[row, inside] = best[inside]
        return found

    @cached_property
    def rest(self) -> Floats:
        """What the rest of the way costs at least, less what it earns, once one has parked within a cell.

        Walks may come again in it: that only makes it cheaper.
        """
        _, hop, home, _, hop_m, home_m = self.ways
        earns, count = self.earns, len(self.some)
        cells = earns.shape[1]
        steps, here = hop // _CELL_MS, np.arange(count)
        gain = np.full((count, cells + 2), np.inf)
        found = np.full((count, cells), np.inf)
        end = home + METRE_MS * home_m
        for c in range(cells - 1, -1, -1):
            best = np.where(c * _CELL_MS + home <= self.length, end, np.inf)
            after = np.minimum(c + steps, cells)
            onward = np.minimum(gain[here, after], gain[here, after + 1]) + hop + METRE_MS * hop_m
            np.fill_diagonal(onward, np.inf)
            found[:, c] = np.minimum(best, onward.min(axis=1))
            gain[:, c] = found[:, c] - earns[:, c]
        return found

    def least(self, enough: float) -> float:
        """Give what no round costs less than, less what it earns; no more than `enough` [ms]."""
        if not self.some or self.length <= 0:
            return 0.0
        pairs = (_widened(self.earns, np.maximum), _widened(self.rest, np.minimum))
        rounds, bound = self._first(pairs), enough
        while len(rounds.masks):
            open_ = np.where(
                self._fits(rounds), rounds.costs[:, None] - rounds.earned + self._end(rounds)[:, None], np.inf
            )
            bound = min(bound, self._ended(rounds.orders, open_.min(axis=1), bound))
            rounds, left = self._longer(rounds, pairs, bound)
            bound = min(bound, left)
        return bound

    @cached_property
    def leaves(self) -> Ints:
        return np.arange(0, self.earns.shape[1], _LEAVE, dtype=np.int64)

    def _fits(self, rounds: _Rounds) -> npt.NDArray[np.bool_]:
        back = rounds.parked + self.ways[2][rounds.lasts]
        fits: npt.NDArray[np.bool_] = self.leaves * _CELL_MS + back[:, None] <= self.length
        return fits

    def _end(self, rounds: _Rounds) -> Floats:
        end: Floats = self.ways[2][rounds.lasts] + METRE_MS * self.ways[5][rounds.lasts]
        return end

    def _first(self, pairs: tuple[Floats, Floats]) -> _Rounds:
        out, _, _, out_m, _, _ = self.ways
        lasts = np.arange(len(self.some))
        costs = OUTING_MS + out + METRE_MS * out_m + self._waits(lasts, out)
        earned = _at(pairs[0], lasts, self.leaves + out[:, None] // _CELL_MS, -np.inf)
        return _Rounds(np.int64(1) << lasts.astype(np.int64), lasts[:, None], out, costs, earned)

    def _waits(self, lasts: Ints, parked: Ints) -> Floats:
        likely = self.master.tolls.likely[self.some]
        waits: Floats = EARLY * likely[lasts] * parked
        return waits

    def _longer(self, rounds: _Rounds, pairs: tuple[Floats, Floats], bound: float) -> tuple[_Rounds, float]:
        """Add a walk to every round; leave those that cannot get under the bound, and say at what."""
        _, hop, _, _, hop_m, _ = self.ways
        made: list[tuple[Ints, Ints, Ints, Floats, Floats, Floats]] = []
        for j in range(len(self.some)):
            old = np.flatnonzero((rounds.masks >> j & 1) == 0)
            lasts = rounds.lasts[old]
            parked = rounds.parked[old] + hop[lasts, j]
            near = parked <= self.length
            old, lasts, parked = old[near], lasts[near], parked[near]
            here = np.full(len(old), j)
            orders = np.column_stack((rounds.orders[old], here))
            costs = rounds.costs[old] + hop[lasts, j] + METRE_MS * hop_m[lasts, j] + self._waits(here, parked)
            cell = self.leaves + parked[:, None] // _CELL_MS
            earned = rounds.earned[old] + _at(pairs[0], here, cell, -np.inf)
            best = costs + (_at(pairs[1], here, cell, np.inf) - earned).min(axis=1, initial=np.inf)
            good = best < bound
            masks = rounds.masks[old] | np.int64(1) << j
            made.append((masks[good], orders[good], parked[good], costs[good], earned[good], best[good]))
        masks, orders, parked, costs, earned, best = (
            np.concatenate(part) for part in zip(*made, strict=True)
        )
        kept = np.argsort(best, kind="stable")
        left = float(best[kept[_MOST]]) if len(kept) > _MOST else np.inf
        kept = kept[:_MOST]
        return _Rounds(masks[kept], orders[kept], parked[kept], costs[kept], earned[kept]), left

    def _ended(self, orders: Ints, hoped: Floats, bound: float) -> float:
        """Time the rounds that may get under a bound; give what none of them, less earnings, gets under."""
        ranked = np.argsort(hoped, kind="stable")
        ranked = ranked[hoped[ranked] < bound]
        for row in ranked[:_TIMED]:
            cost, one = self._timed([self.some[b] for b in orders[row]])
            bound = min(bound, cost)
            if one is not None:
                self.ends.append((cost, one))
        return min(bound, float(hoped[ranked[_TIMED]])) if len(ranked) > _TIMED else bound

    def best(self, enough: float, most: int) -> list[Round]:
        """Give the rounds found that earn most over what they cost, each leaving when it earns most."""
        ranked = sorted((end for end in self.ends if end[0] < enough), key=lambda end: end[0])
        return [one for _, one in ranked[:most]]

    def _timed(self, order: list[int]) -> tuple[float, Round | None]:
        """Give a round that leaves when its walks are worth most, and what it costs less what it earns."""
        pool = self.master.pool
        tour = timed(pool.inst, pool.blocks, order)
        low, high = self.begin, self.begin + self.length - tour.whole
        moments = [np.array([low, high], dtype=np.int64)]
        for block, at in zip(order, tour.parked, strict=True):
            times = self.worth[block][0]
            first, last = np.searchsorted(times, (low + at, high + at + 1))
            moments += [times[first:last] - at, np.array(self._windows(block)).ravel() - at]
        tried = np.concatenate(moments)
        tried = tried[(low <= tried) & (tried <= high)]
        earned = np.zeros(len(tried))
        for block, at in zip(order, tour.parked, strict=True):
            times, values = self.worth[block]
            earned += values[np.searchsorted(times, tried + at, side="right") - 1]
            inside = [(a <= tried + at) & (tried + at <= b) for a, b in self._windows(block)]
            earned[~np.any(inside, axis=0)] = -np.inf
        if not len(tried) or earned.max() == -np.inf:
            return np.inf, None
        leave = int(tried[earned.argmax()])
        parked = tuple(leave + at for at in tour.parked)
        one = Round(self.k, leave, leave + tour.whole, tuple(order), parked, metres_of(pool, order))
        return self.master.tolls.of(one) - float(earned.max()), one


def _widened(values: Floats, best: np.ufunc) -> Floats:
    """Give the best of each cell and the next few: where one may be that left within `_LEAVE` cells."""
    wide, count = values.copy(), values.shape[1]
    for k in range(1, _LEAVE + 1):
        wide[:, : count - k] = best(wide[:, : count - k], values[:, k:])
    return wide


def _at(values: Floats, rows: Ints, cells: Ints, beyond: float) -> Floats:
    last = values.shape[1] - 1
    found: Floats = np.where(cells <= last, values[rows[:, None], np.minimum(cells, last)], beyond)
    return found
