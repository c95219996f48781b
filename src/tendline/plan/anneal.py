"""Owns the search by ruin and recreate: take part of a round off, put it back cheaply, keep it when it pays.

Does not own the moves (`plan.ruin`, `plan.recreate`) nor when to use which search (`plan.portfolio`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import log

from tendline.plan.budget import Budget, Chance
from tendline.plan.instance import Instance
from tendline.plan.recreate import recreate
from tendline.plan.ruin import ruin
from tendline.plan.timing import Clock, Cost, Order, clock

_HOT, _COLD = 150_000.0, 2_000.0
"""A round longer by so many milliseconds is accepted at the beginning and at the end in 37 of 100 cases."""


@dataclass(frozen=True)
class Found:
    """An order that keeps every limit, what it costs, and the sets that it leaves out."""

    order: Order
    cost: Cost
    missing: tuple[int, ...]


def empty(inst: Instance) -> Found:
    """Give the round that visits nothing and drives from start to end."""
    return Found([], Cost(sum(inst.loss), inst.straight, inst.straight), tuple(range(inst.count)))


def construct(inst: Instance, chance: Chance) -> Found:
    """Build a first round from nothing."""
    order: Order = []
    now, _ = recreate(inst, order, _queue(inst, list(inst.open_sets), [0] * inst.count, chance), chance)
    return found(inst, order, now) or empty(inst)


def found(inst: Instance, order: Order, now: Clock | None) -> Found | None:
    """Put together what is known of an order; None when it breaks a limit."""
    if now is None:
        return None
    visited = {i for stop in order for i in stop[1:]}
    missing = tuple(i for i in range(inst.count) if i not in visited)
    return Found(order, Cost(sum(inst.loss[i] for i in missing), now.end, now.work), missing)


def anneal(
    inst: Instance,
    start: Found,
    *,
    chance: Chance,
    budget: Budget,
    steps: int,
    enough: bool = False,
    keep: Callable[[Found], None] = lambda _: None,
) -> Found:
    """Improve `start` by ruin and recreate under falling temperature.

    Parameters
    ----------
    steps
        Length of the cooling.
    enough
        Stop as soon as every set that must be visited is.
    keep
        Handed the start and every order better than those before it, as soon as it is found.

    Returns
    -------
    Found
        The best met, never worse than `start`.
    """
    current = best = start
    keep(start)
    absent = [0] * inst.count
    cooling = (_COLD / _HOT) ** (1.0 / steps)
    heat = _HOT
    for _ in range(steps):
        if not budget.spend():
            break
        heat *= cooling
        new = _neighbour(inst, current, absent, chance)
        if new is None or not _accept(new, current, absent, heat, chance):
            continue
        current = new
        if new.cost < best.cost:
            best = new
            keep(best)
            if enough and not any(inst.must[i] for i in best.missing):
                break
    return best


def tell(inst: Instance, best: Found, budget: Budget) -> None:
    """Pass a better order on to whoever watches."""
    must = sum(inst.must[i] for i in best.missing)
    budget.tell(best.cost, must_left_out=must, left_out=len(best.missing))


def _neighbour(inst: Instance, current: Found, absent: list[int], chance: Chance) -> Found | None:
    order = [stop[:] for stop in current.order]
    removed = ruin(inst, order, chance)
    if chance() < 0.7:
        # An emptied stop stays at times, so that it may be filled again without the price of opening it.
        order = [stop for stop in order if len(stop) > 1 or not removed]
    waiting = [i for i in current.missing if inst.windows[i] and inst.doors[i]]
    now, left = recreate(inst, order, _queue(inst, removed + waiting, absent, chance), chance)
    for i in left:
        absent[i] += 1
    if now is not None and any(len(stop) == 1 for stop in order):
        order = [stop for stop in order if len(stop) > 1]
        now = clock(inst, order)
    return found(inst, order, now)


def _queue(inst: Instance, sets: list[int], absent: list[int], chance: Chance) -> list[int]:
    """Put sets in the order in which they look for a place: those that must be visited first."""
    draw = chance()
    dice = {i: chance() for i in sets}
    if draw < 0.4:
        return sorted(sets, key=lambda i: (not inst.must[i], dice[i]))
    if draw < 0.6:
        return sorted(sets, key=lambda i: (not inst.must[i], -absent[i], dice[i]))
    if draw < 0.8:
        return sorted(sets, key=lambda i: (not inst.must[i], inst.windows[i][-1][1], dice[i]))
    nearest = {i: min(inst.walk_to[i][inst.count :]) for i in sets}
    sign = 1 if draw < 0.9 else -1
    return sorted(sets, key=lambda i: (not inst.must[i], sign * nearest[i], dice[i]))


def _accept(new: Found, current: Found, absent: list[int], heat: float, chance: Chance) -> bool:
    """Take a better round, at times a longer one, and one that leaves out what is seldom left out."""
    if new.cost.loss != current.cost.loss:
        if new.cost.loss < current.cost.loss:
            return True
        return sum(absent[i] for i in new.missing) < sum(absent[i] for i in current.missing)
    longer = new.cost.end - current.cost.end + (new.cost.work - current.cost.work) / 1024.0
    return longer < -heat * log(chance() + 1e-300)
