"""Owns the choice between rounds that are back together: which way round to walk a loop or drive the line.

Does not own anything that makes a round longer. On flat ground a loop is as long the other way round; which
way is taken decides who waits longest and how much time there is to spare.
"""

from collections.abc import Iterator

from tendline.plan.instance import Instance
from tendline.plan.timing import Cost, Order, clock, cost, latest_start

_Key = tuple[Cost, int, int]


def settle_ties(inst: Instance, order: Order) -> Order:
    """Turn loops and the tour round where that costs nothing and is better.

    Better is, first, that one could leave later and still keep every limit: more time to spare. Second, that
    heavier sets are come to sooner.

    Parameters
    ----------
    order
        Keeps its limits.

    Returns
    -------
    Order
        Costs no more.
    """
    best, key = order, _key(inst, order)
    improved = key is not None
    while improved:
        improved = False
        for tried in _turned(best):
            other = _key(inst, tried)
            if key is not None and other is not None and other < key:
                best, key, improved = tried, other, True
    return best


def _key(inst: Instance, order: Order) -> _Key | None:
    known, now = cost(inst, order), clock(inst, order)
    if known is None or now is None:
        return None
    looks = 0
    for before, after, leave in now.gaps.ahead:
        if after < inst.count:
            looks += inst.weight[after] * (leave + inst.walk[before][after])
    return known, -latest_start(inst, order, now), looks


def _turned(order: Order) -> Iterator[Order]:
    """Give the order with one loop turned round, and with the tour turned round, its loops kept or turned."""
    for k, stop in enumerate(order):
        if len(stop) > 2:
            yield [*order[:k], [stop[0], *stop[:0:-1]], *order[k + 1 :]]
    if len(order) > 1:
        yield order[::-1]
        yield [[stop[0], *stop[:0:-1]] for stop in reversed(order)]
