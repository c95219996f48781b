"""Owns finding rounds that a plan would gain from, by what every walk is worth to it.

Does not own the program (`plan.weeks_master`) or the drives (`plan.weeks_tours`).

The program over the rounds in hand, in fractions, says what walking a block at a moment is worth. Rounds that
take less time than their walks are worth are added, limits that are broken are written down, and the program
is solved again, until nothing better turns up.
"""

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from tendline.plan.lp_program import Ended, Floats, Solved
from tendline.plan.weeks_bound import earners
from tendline.plan.weeks_clocks import milliseconds
from tendline.plan.weeks_master import UNIT_MS, Master
from tendline.plan.weeks_rates import worth_of
from tendline.plan.weeks_rounds import Round, rounds_of
from tendline.plan.weeks_rows import Ints
from tendline.plan.weeks_tours import worthy_tours

_KEEP = 60
"""Choices followed up for each number of walks in each outing."""

_MOST = 1500
"""Rounds added at a time, shared by the outings; a few for each in any case."""

_GAIN = 5e-4
"""Less gain than this share, three times in a row, and the search for more rounds is over."""

_VAIN = 3

_HOLD = 0.8
"""In a large program the rates that gave the best bound so far weigh so much against the newest."""

Worth = dict[int, tuple[Ints, Floats]]


@dataclass(frozen=True)
class Grown:
    """What growing came to.

    Parameters
    ----------
    solved
        The last solution in fractions.
    settled
        It ended because nothing better was found.
    bound
        No plan of these walks costs less, whatever rounds are in hand [ms]; minus infinity when not known.
    """

    solved: Solved
    settled: bool
    bound: float = -np.inf


def grow(
    master: Master,
    *,
    seconds: float,
    priced: bool = True,
    should_stop: Callable[[], bool] = lambda: False,
) -> Grown:
    """Add rounds and limits until the program gains nothing more, or time is over.

    Parameters
    ----------
    seconds
        Time limit [s].
    priced
        Look for more rounds; otherwise only limits are added.

    References
    ----------
    Desaulniers, G., Desrosiers, J., Solomon, M. M., eds. (2005), Column Generation, Springer, chapter 1.
    """
    end, last, vain, rates = time.monotonic() + seconds, np.inf, 0, _Rates(master)
    found = good = master.solve(seconds=seconds)
    while found.ended is Ended.BEST and time.monotonic() < end and not should_stop():
        good = found
        early = priced and (last == np.inf or master.short_of(found))
        found, settled = settle(master, found, end=end, times=1 if master.large else 2 if early else None)
        if found.ended is not Ended.BEST:
            break
        good = found
        vain = vain + 1 if found.cost > (1.0 - _GAIN) * last else 0
        last = min(last, found.cost) if settled else last
        added = master.add_rounds(rates.wanted(found)) if priced and vain < _VAIN else 0
        if settled and not added:
            return Grown(found, settled=True, bound=rates.bound)
        found = master.solve(seconds=max(0.5, end - time.monotonic()))
    return Grown(found if found.ended is Ended.BEST else good, settled=False, bound=rates.bound)


@dataclass
class _Rates:
    """The rates that walks are paid at while rounds are looked for, and the best bound they gave.

    In a large program they are held near those that gave the best bound so far: they swing less.

    References
    ----------
    Wentges, P. (1997), Weighted Dantzig-Wolfe decomposition for linear mixed-integer programming,
    International Transactions in Operational Research 4(2), 151-162.
    """

    master: Master
    bound: float = -np.inf
    held: Floats | None = None

    def wanted(self, found: Solved) -> Iterable[Round]:
        """Give rounds that are worth more than they take."""
        plain = self.master.clocks.problem.price_s is None and self.master.period is None
        if not (self.master.large and plain):
            return _wanted(self.master, found)
        assert found.duals is not None
        duals, held = found.duals, self.held
        if held is not None:
            duals = (1.0 - _HOLD) * duals
            duals[: len(held)] += _HOLD * held[: len(duals)]
        bound, rounds = earners(self.master, replace(found, duals=duals), most=_most(self.master))
        if bound > self.bound:
            self.bound, self.held = bound, duals
        return rounds


def settle(master: Master, found: Solved, *, end: float, times: int | None = None) -> tuple[Solved, bool]:
    """Write down the limits that a solution breaks and solve again; say if it came to break none.

    References
    ----------
    Gomory, R. E., Hu, T. C. (1961), J. SIAM 9(4), 551-570: rows added where a solution breaks them.
    """
    last, vain, turn = -np.inf, 0, 0
    while found.ended is Ended.BEST and found.values is not None:
        vain = vain + 1 if found.cost < last * (1.0 + 2e-4) else 0
        last = found.cost
        if vain >= _VAIN or not master.tighten(master.chosen(found)):
            return found, True
        turn += 1
        stop = turn == times or time.monotonic() >= end
        found = master.solve(seconds=max(0.5, end - time.monotonic()))
        if stop:
            break
    return found, False


def _wanted(master: Master, found: Solved) -> Iterator[Round]:
    """Give rounds that are worth more than they take, for each outing the best of them."""
    assert found.duals is not None
    worth, pool = worth_of(master, UNIT_MS * found.duals), master.pool
    most = _most(master)
    for k in master.groups:
        outing = pool.outings[k]
        price = UNIT_MS * float(found.duals[master.outing_row[k]])
        longest = int(outing.span.seconds * 1000) - pool.clocks.early
        gain = _gain(master, worth, k)
        made = worthy_tours(pool.inst, pool.blocks, gain, longest=longest, keep=_KEEP, most=most)
        rounds = list(rounds_of(replace(pool, tours=made), k, starts=3))
        costs = np.array([master.tolls.of(one) - price - _worth(worth, one) for one in rounds])
        better = np.argsort(costs, kind="stable")[:most]
        yield from (rounds[r] for r in better if costs[r] < -1.0)


def _most(master: Master) -> int:
    return max(12, _MOST // max(1, len(master.groups)))


def _gain(master: Master, worth: Worth, k: int) -> Floats:
    """Give what each block is worth at best in an outing [ms], less what walking it there costs besides."""
    pool, outing = master.pool, master.pool.outings[k]
    start, end = (milliseconds(pool.clocks.problem, at) for at in (outing.span.start, outing.span.end))
    gain = np.zeros(len(pool.blocks))
    for block, (times, values) in worth.items():
        windows = pool.windows(block, outing)
        if windows:
            low = int(np.searchsorted(times, max(start, windows[0][0]), side="right")) - 1
            high = int(np.searchsorted(times, min(end, windows[-1][1]), side="right"))
            gain[block] = float(values[low:high].max()) - master.tolls.moved(k, block)
    return gain


def _worth(worth: Worth, one: Round) -> float:
    total = 0.0
    for block, at in zip(one.order, one.parked, strict=True):
        times, values = worth[block]
        total += float(values[int(np.searchsorted(times, at, side="right")) - 1])
    return total
