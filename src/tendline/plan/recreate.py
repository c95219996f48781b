"""Owns putting sets back on a round, each at its cheapest place; opens another parking when that is cheaper.

Does not own which sets are taken off: that is `plan.ruin`.
"""

from typing import NamedTuple

from tendline.plan.budget import Chance
from tendline.plan.instance import FAR, Instance
from tendline.plan.timing import Clock, Order, clock

_BLINK = 100
"""One place in so many is passed over by chance, so that a ruin is not always put back the same way."""


class Place(NamedTuple):
    """Where a set could go: the end of the round it would bring, and the gap or the new stop.

    Parameters
    ----------
    end
        Of the whole round, to the millisecond but for sets with several windows, where it may be too early.
    at
        The gap's number, or for a new stop the number of the stop it goes before.
    parking
        Of a new stop; -1 for a gap.
    """

    end: int
    at: int
    parking: int


def recreate(
    inst: Instance, order: Order, missing: list[int], chance: Chance
) -> tuple[Clock | None, list[int]]:
    """Put the `missing` back into `order` one after another; give the clock and those that have no place.

    The clock is None when `order` breaks a limit as it is, which taking sets off can bring about only where a
    straight way is longer than a way with a stop in it.
    """
    now = clock(inst, order)
    left = []
    for i in missing:
        if now is None:
            return None, []
        place = best_place(inst, i, order, now, blink=chance.below(_BLINK))
        if place is None:
            left.append(i)
            continue
        put(order, i, place)
        now = clock(inst, order)
    return now, left


def best_place(inst: Instance, i: int, order: Order, now: Clock, *, blink: int = -1) -> Place | None:
    """Find the place for set `i` that ends the round the earliest within every limit; None for none."""
    in_gap = _best_gap(inst, i, now, blink)
    new_stop = _best_stop(inst, i, order, now)
    if in_gap is None or new_stop is None:
        return in_gap or new_stop
    return min(in_gap, new_stop)


def put(order: Order, i: int, place: Place) -> None:
    """Put set `i` where `place` says, changing `order`."""
    if place.parking >= 0:
        order.insert(place.at, [place.parking, i])
        return
    at = place.at
    for stop in order:
        if at < len(stop):
            stop.insert(at + 1, i)
            return
        at -= len(stop)


def _best_gap(inst: Instance, i: int, now: Clock, blink: int) -> Place | None:
    to, onward, service = inst.walk_to[i], inst.walk[i], inst.service[i]
    best, where = FAR, -1
    for opens, closes in inst.windows[i]:
        gap = -1
        for (before, after, leave), (latest, tail, floor) in zip(*now.gaps, strict=True):
            gap += 1
            look = leave + to[before]
            if look > closes or gap == blink:
                continue
            there = (look if look > opens else opens) + service + onward[after]
            if there > latest:
                continue
            end = there + tail
            if end < floor:
                # Waiting swallows the whole detour; a thousandth of it still decides between places.
                end = floor - ((floor - end) >> 10)
            if end < best:
                best, where = end, gap
    return None if where < 0 else Place(best, where, -1)


def _best_stop(inst: Instance, i: int, order: Order, now: Clock) -> Place | None:
    used = {stop[0] for stop in order}
    best: Place | None = None
    for parking in inst.doors[i]:
        if parking in used:
            continue
        node = inst.count + parking
        out, back = inst.walk[node][i], inst.service[i] + inst.walk[i][node]
        for k, joint in enumerate(now.joints):
            legs = inst.hop[order[k - 1][0]] if k else inst.go
            onward = inst.hop[parking][order[k][0]] if k < len(order) else inst.home[parking]
            end = _stop_end(inst, i, joint.leave + legs[parking] + out, back + onward, joint)
            if end < FAR and (best is None or end < best.end):
                best = Place(end, k, parking)
    return best


def _stop_end(inst: Instance, i: int, arrival: int, onward: int, joint: tuple[int, int, int, int]) -> int:
    _, latest, tail, floor = joint
    for opens, closes in inst.windows[i]:
        if arrival <= closes:
            there = max(arrival, opens) + onward
            return max(there + tail, floor) if there <= latest else FAR
    return FAR
