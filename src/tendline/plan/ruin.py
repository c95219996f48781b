"""Owns taking part of a round apart: runs of sets that lie together, whole stops, the order of the stops.

Does not own putting it together again: that is `plan.recreate`.

Removing runs ("strings") of neighbouring visits follows Christiaens and Vanden Berghe (2020), Slack
induction by string removals for vehicle routing problems, Transportation Science 54(2), 417-433, section
5.1; the moves that open, close and exchange parkings are our own.
"""

from tendline.plan.budget import Chance
from tendline.plan.instance import Instance
from tendline.plan.timing import Order

_LONGEST = 10
"""Longest run taken from one stop, as in the paper."""

_MEAN = 8
"""Mean number of sets taken off in one go; the paper's 10 is for hundreds of customers."""


def ruin(inst: Instance, order: Order, chance: Chance) -> list[int]:
    """Take `order` apart by one move drawn by chance, changing it; give the sets taken off."""
    draw = chance()
    if draw < 0.06 and len(order) > 1:
        return order.pop(chance.below(len(order)))[1:]
    if draw < 0.15 and len(order) < len(inst.parkings):
        return _open(inst, order, chance)
    if draw < 0.18 and len(order) > 1:
        order.insert(chance.below(len(order)), order.pop(chance.below(len(order))))
        return []
    if draw < 0.20 and order:
        _turn(order, chance)
        return []
    if draw < 0.25 and order:
        _exchange(inst, order, chance)
        return []
    return _strings(inst, order, chance)


def _turn(order: Order, chance: Chance) -> None:
    """Walk one loop the other way round, or drive part of the stops in reverse."""
    if len(order) > 2 and chance() < 0.5:
        first, last = sorted((chance.below(len(order)), chance.below(len(order))))
        order[first : last + 1] = order[first : last + 1][::-1]
        return
    stop = order[chance.below(len(order))]
    stop[1:] = stop[:0:-1]


def _exchange(inst: Instance, order: Order, chance: Chance) -> None:
    """Walk one stop's sets from another parking: the loop is entered where that is shortest."""
    used = {stop[0] for stop in order}
    k = chance.below(len(order))
    loop = order[k][1:]
    others = [p for p in range(len(inst.parkings)) if p not in used and all(p in inst.doors[i] for i in loop)]
    if not others or not loop:
        return
    parking = others[chance.below(len(others))]
    walk, node = inst.walk, inst.count + parking

    def detour(at: int) -> int:
        return walk[loop[at - 1]][node] + walk[node][loop[at]] - walk[loop[at - 1]][loop[at]]

    first = min(range(len(loop)), key=detour)
    order[k] = [parking, *loop[first:], *loop[:first]]
    if chance() < 0.5:
        stop = order.pop(k)
        order.insert(_cheapest_joint(inst, order, parking), stop)


def _open(inst: Instance, order: Order, chance: Chance) -> list[int]:
    """Stop at one more parking, as if that cost nothing, and take off the sets nearest to it."""
    used = {stop[0] for stop in order}
    closed = [p for p in range(len(inst.parkings)) if p not in used]
    parking = closed[chance.below(len(closed))]
    out = inst.walk[inst.count + parking]
    near = sorted((i for i in inst.open_sets if parking in inst.doors[i]), key=out.__getitem__)
    if not near:
        return []
    taken = set(near[: 1 + chance.below(min(12, len(near)))])
    removed = _take(order, taken)
    order.insert(_cheapest_joint(inst, order, parking), [parking])
    return removed


def _cheapest_joint(inst: Instance, order: Order, parking: int) -> int:
    """Say before which stop a visit to `parking` adds the least driving."""

    def detour(k: int) -> int:
        here = inst.hop[order[k - 1][0]] if k else inst.go
        if k == len(order):
            return here[parking] + inst.home[parking] - (inst.home[order[-1][0]] if order else inst.straight)
        return here[parking] + inst.hop[parking][order[k][0]] - here[order[k][0]]

    return min(range(len(order) + 1), key=detour)


def _take(order: Order, taken: set[int]) -> list[int]:
    """Take the sets in `taken` off `order`; give those that were on it."""
    removed = []
    for stop in order:
        removed += [i for i in stop[1:] if i in taken]
        stop[1:] = [i for i in stop[1:] if i not in taken]
    return removed


def _strings(inst: Instance, order: Order, chance: Chance) -> list[int]:
    """Take runs of visits near one set off the stops that hold its neighbours, one run from each stop."""
    wanted = 1 + chance.below(2 * _MEAN)
    centre = chance.below(inst.count)
    where = {i: k for k, stop in enumerate(order) for i in stop[1:]}
    removed: list[int] = []
    touched: set[int] = set()
    for i in (centre, *inst.near[centre]):
        k = where.get(i, -1)
        if k < 0 or k in touched:
            continue
        touched.add(k)
        longest = min(_LONGEST, len(order[k]) - 1, wanted - len(removed))
        removed += _run(order[k], i, 1 + chance.below(longest), chance)
        if len(removed) >= wanted:
            break
    return removed


def _run(stop: list[int], i: int, length: int, chance: Chance) -> list[int]:
    """Cut `length` visits, `i` among them, out of one stop; at times a piece in the middle stays."""
    kept = 0
    if length > 1 and chance() < 0.5:
        while length + kept < len(stop) - 1 and chance() < 0.5:
            kept += 1
    at, whole = stop.index(i), length + kept
    first = max(1, at - whole + 1)
    first += chance.below(min(at, len(stop) - whole) - first + 1)
    skip = first + 1 + chance.below(length - 1) if kept else first + whole
    removed = stop[first:skip] + stop[skip + kept : first + whole]
    stop[first : first + whole] = stop[skip : skip + kept]
    return removed
