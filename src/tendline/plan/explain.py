"""Owns what holds a round where it is: how late one may leave, and what gives first.

Does not own the round.
"""

from tendline.plan.instance import Instance
from tendline.plan.timing import Order, clock, first_look, latest_start


def leave_by(inst: Instance, order: Order) -> int:
    """Give the latest moment to leave at which everything is still in time, if nothing else is lost [ms]."""
    now = clock(inst, order)
    assert now is not None
    return latest_start(inst, order, now)


def gives_first(inst: Instance, order: Order) -> int | None:
    """Give the set whose limit breaks first when one leaves later still; None for the latest return."""
    now = leave_by(inst, order) + 1
    legs = inst.go
    for stop in order:
        here = truck = inst.count + stop[0]
        now += legs[stop[0]]
        for i in stop[1:]:
            look = first_look(inst.windows[i], now + inst.walk[here][i])
            if look < 0:
                return i
            now = look + inst.service[i]
            here = i
        now += inst.walk[here][truck]
        legs = inst.hop[stop[0]]
    return None
