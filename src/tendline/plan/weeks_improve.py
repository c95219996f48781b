"""Owns choosing rounds in whole numbers: a first plan, then pieces of it chosen again.

Does not own which rounds and limits there are (`plan.weeks_master`).
"""

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tendline.plan.lp_program import Floats, Solved
from tendline.plan.weeks_clocks import milliseconds
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_master import UNIT_MS, Master
from tendline.plan.weeks_rounds import Round
from tendline.plan.weeks_small import Choice, Small

MOST_ROUNDS = 6000
"""A program of whole numbers gets no more rounds than this, those with the least reduced cost."""

_AGAIN = 60
"""So many pieces in a row without a better plan, each as large as can be solved, and the search is over."""

_FEW, _BEGIN_S = 800, 2.0
_NARROW = 2500
"""A piece of a few outings gets no more rounds than this."""

_WIDE, _TRIES = 8, 4
"""Every so many vain pieces one over all outings; a piece is chosen again at most so often."""

_QUICK_S, _SLOW_S, _PIECE_S = 0.5, 1.5, 4.0


def choose(
    master: Master,
    relaxed: Solved,
    limit: Limit,
    first: Callable[[Choice], None],
    *,
    ways: Iterable[Sequence[Round]] = (),
    settled: bool = True,
) -> Choice | None:
    """Choose rounds in whole numbers.

    Parameters
    ----------
    relaxed
        The solution in fractions.
    limit
        How long to look; better plans are told.
    first
        Called with the first plan that keeps every limit.
    ways
        Rounds to begin with, each a way of going about it; all of them in hand.
    settled
        What `relaxed` costs is a bound.
    """
    number = {one: r for r, one in enumerate(master.rounds)}
    plain = [tuple(sorted(number[one] for one in way)) for way in ways]
    kept = sorted({*_kept(master, relaxed), *(r for way in plain for r in way)})
    small = Small(master, kept)
    whole = len(kept) == len(master.rounds)
    rank = np.argsort(np.argsort(_price(master, relaxed)[kept], kind="stable"), kind="stable")
    for way in plain:
        small.write_down(way)
    start = min((small.priced(way) for way in plain), key=lambda one: one.cost, default=None)
    if start is not None and not start.lacking:
        first(start)
    found = _begin(small, rank, limit)
    if start is not None and (found is None or start.cost < found.cost):
        found = start
    elif found is not None and not found.lacking:
        _tell(found, start, limit, first)
    if found is None:
        return None
    if not (found.best and whole):
        bound = UNIT_MS * relaxed.cost if settled else -np.inf
        found = _by_pieces(small, found, limit, rank=rank, bound=bound, first=first)
    return replace(found, best=found.best and whole)


def _kept(master: Master, relaxed: Solved) -> list[int]:
    if len(master.rounds) <= MOST_ROUNDS or relaxed.reduced is None:
        return list(range(len(master.rounds)))
    return sorted(int(r) for r in np.argsort(_price(master, relaxed), kind="stable")[:MOST_ROUNDS])


def _price(master: Master, relaxed: Solved) -> Floats:
    """Give what each round takes over what it is worth; rounds that are younger than the prices come last."""
    price = np.full(len(master.rounds), np.inf)
    if relaxed.reduced is None:
        return np.zeros(len(master.rounds))
    columns = np.array(master.columns, dtype=np.int64)
    old = columns < len(relaxed.reduced)
    price[old] = relaxed.reduced[columns[old]]
    return price


def _begin(small: Small, rank: npt.NDArray[np.int64], limit: Limit) -> Choice | None:
    """Choose all at once: among all rounds when they are few, else for a short while among the likeliest."""
    few = len(small.kept) <= _FEW
    end = time.monotonic() + (0.5 * limit.left if few else min(_BEGIN_S, 0.3 * limit.left))
    choice = Choice((), np.inf, lacking=(0,))
    while choice.lacking and time.monotonic() < end and not limit.should_stop():
        small.ready()
        free = np.ones(len(small.outing), dtype=bool)
        free[: len(rank)] = few | (rank < _FEW)
        found = small.again(choice, free, limit, seconds=end - time.monotonic(), nodes=None)
        if found is None:
            break
        choice = replace(found, best=found.best and few)
        if choice.best:
            break
    return choice if np.isfinite(choice.cost) else None


def _by_pieces(
    small: Small,
    best: Choice,
    limit: Limit,
    *,
    rank: npt.NDArray[np.int64],
    bound: float,
    first: Callable[[Choice], None],
) -> Choice:
    """Choose again for some outings in a row while the others stay, among as many rounds as is quick.

    References
    ----------
    Shaw, P. (1998), CP98, LNCS 1520, 417-431: large neighbourhood search.
    """
    chance, vain = np.random.default_rng(limit.seed), 0
    there = np.array(sorted({k for k in small.outing.tolist() if k >= 0}), dtype=np.int64)
    size = _Size(float(_FEW), max(3.0, min(8.0, _NARROW / 2 * len(there) / max(1, len(rank)))))
    while not limit.over and vain < _AGAIN and best.cost > bound * (1.0 + 1e-4):
        narrow = vain % _WIDE < _WIDE - 1
        began = time.monotonic()
        small.ready()
        outings = _some(small, there, best, chance, size.outings if narrow else len(there))
        free, whole = _piece(small, rank, outings, best, _NARROW if narrow else int(size.rounds))
        found, sure = _settled(small, best, free, limit)
        if found is not None and found.cost < best.cost - 1.0:
            _tell(found, best, limit, first)
            best, vain = replace(found, best=found.best and whole), 0
        elif found is not None and found.best and whole and sure:
            return replace(best, best=True)
        else:
            vain += 1
        size.learn(time.monotonic() - began, narrow=narrow, most=(len(rank), len(there)))
    return best


def _settled(
    small: Small, best: Choice, free: npt.NDArray[np.bool_], limit: Limit
) -> tuple[Choice | None, bool]:
    """Choose a piece again, and again when it broke limits that were not written down; say if none."""
    found: Choice | None = None
    for _ in range(_TRIES):
        small.ready()
        wanted, rows = free, small.rows
        if len(free) < len(small.outing):  # limits written down since: they may be left unkept if others may
            wanted = np.concatenate((free, np.full(len(small.outing) - len(free), bool(best.lacking))))
        found = small.again(best, wanted, limit, seconds=_PIECE_S, nodes=300)
        if found is None or found.cost < best.cost - 1.0 or rows == len(small.master.rows):
            return found, True
        if limit.over:
            break
    return found, False


@dataclass
class _Size:
    """How much is chosen again at a time: many outings with few rounds each, or few with all of theirs."""

    rounds: float
    outings: float

    def learn(self, took: float, *, narrow: bool, most: tuple[int, int]) -> None:
        """Take more when it was quick, less when it was slow."""
        factor = 1.15 if took < _QUICK_S else 0.87 if took > _SLOW_S else 1.0
        if narrow:
            self.outings = min(float(most[1]), max(4.0, self.outings * factor))
        else:
            self.rounds = min(float(most[0]), max(200.0, self.rounds * factor))


def _some(
    small: Small,
    there: npt.NDArray[np.int64],
    best: Choice,
    chance: np.random.Generator,
    most: float,
) -> npt.NDArray[np.int64]:
    """Give some outings in a row: those round a limit that is left unkept, or any."""
    count, period = min(len(there), int(most)), small.master.period
    if not best.lacking:
        begin = int(chance.integers(0, len(there) - count + 1 if period is None else len(there)))
    else:
        clocks = small.master.clocks
        starts = [milliseconds(clocks.problem, small.master.pool.outings[k].span.start) for k in there]
        until = int(chance.choice(np.array(best.lacking)))
        until = until if period is None else until % period
        last = int(np.searchsorted(starts, until)) + int(chance.integers(0, count // 2 + 1))
        begin = last - count
    if period is None:
        return there[max(0, min(begin, len(there) - count)) :][:count]
    return there[np.arange(begin, begin + count) % len(there)]  # after the last day comes the first again


def _piece(
    small: Small, rank: npt.NDArray[np.int64], outings: npt.NDArray[np.int64], best: Choice, room: int
) -> tuple[npt.NDArray[np.bool_], bool]:
    """Give the columns that may change, and whether that is all of them."""
    free = (small.outing < 0) | np.isin(small.outing, outings)
    inside = np.flatnonzero(free[: len(rank)])
    chosen = set(best.rounds)
    near = set(inside[np.argsort(rank[inside], kind="stable")[:room]].tolist())
    left = [k for k in inside.tolist() if k not in near and small.kept[k] not in chosen]
    free[left] = False
    whole = not left and len(inside) == len(rank)
    if not best.lacking:  # from then on nothing may be left unkept
        free[len(rank) :] = [one is None for one in small.must]
    return free, whole


def _tell(found: Choice, before: Choice | None, limit: Limit, first: Callable[[Choice], None]) -> None:
    if found.lacking:
        return
    if before is None or before.lacking:
        first(found)
    else:
        limit.on_progress(f"better: {found.cost / 3_600_000:.1f} h")
