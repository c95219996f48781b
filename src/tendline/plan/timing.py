"""Owns the clock of a given order: when everything happens, and how late it could.

Does not own which order is good.

An order is a list of stops in driving order, each a list of a parking's index and then the sets walked from
it. Every time is in milliseconds after the earliest start. The truck leaves at the earliest start; parking
takes its whole time before the walk; a person who comes before a window opens waits at the set. Arriving
later never ends earlier (first in, first out), so that for every place one number, the latest arrival, says
whether the rest holds.
"""

from bisect import bisect_left
from typing import NamedTuple

from tendline.plan.instance import Instance, Windows

Order = list[list[int]]


class Cost(NamedTuple):
    """What an order costs; the smaller is the better, compared from left to right.

    Parameters
    ----------
    loss
        Of the sets it leaves out: `instance.losses`.
    end
        Back at the end place.
    work
        `end` without the waiting, so that of two orders back together the one with less walking and driving
        wins.
    """

    loss: int
    end: int
    work: int


class Gaps(NamedTuple):
    """Every place in an order where one more set could go, one entry for each in both lists.

    Parameters
    ----------
    ahead
        The node before, the node after, and when the person walks on from the one before.
    behind
        For the node after: the latest arrival that keeps every limit from there on; the time from there to
        the end without waiting; and the end if the person were there at the beginning of time (waiting
        alone).
    """

    ahead: list[tuple[int, int, int]]
    behind: list[tuple[int, int, int]]


class Joint(NamedTuple):
    """A place in driving order where one more stop could go.

    Parameters
    ----------
    leave
        When the truck would leave the stop before (0 at the start).
    latest, tail, floor
        As `behind` in `Gaps`, for setting out on foot at the stop after, or for being back.
    """

    leave: int
    latest: int
    tail: int
    floor: int


class Clock(NamedTuple):
    """Everything a search wants to know about an order that keeps its limits."""

    end: int
    work: int
    gaps: Gaps
    joints: list[Joint]


def first_look(windows: Windows, arrival: int) -> int:
    """Give the first moment in a window at or after `arrival`, or -1 when there is none."""
    for opens, closes in windows:
        if arrival <= closes:
            return max(opens, arrival)
    return -1


def last_arrival(windows: Windows, look: int) -> int:
    """Give the latest arrival from which the look can be at `look` or before, or -1 when there is none."""
    index = bisect_left(windows, (look + 1,)) - 1
    return min(windows[index][1], look) if index >= 0 else -1


def clock(inst: Instance, order: Order) -> Clock | None:
    """Time an order from the earliest start; None when it breaks a window or the latest return."""
    there = _forward(inst, order)
    if there is None or there.end > inst.latest:
        return None
    behind, joints = _backward(inst, order, there)
    return Clock(there.end, there.end - there.waited, Gaps(there.ahead, behind), joints)


def cost(inst: Instance, order: Order) -> Cost | None:
    """Give the cost of an order alone; None when it breaks a limit."""
    there = _forward(inst, order)
    if there is None or there.end > inst.latest:
        return None
    visited = {i for stop in order for i in stop[1:]}
    loss = sum(amount for i, amount in enumerate(inst.loss) if i not in visited)
    return Cost(loss, there.end, there.end - there.waited)


def latest_start(inst: Instance, order: Order, now: Clock) -> int:
    """Give the latest moment to leave that keeps every limit [ms]."""
    return now.joints[0].latest - inst.go[order[0][0]] if order else inst.latest - inst.straight


class _There(NamedTuple):
    """An order timed forward: `Gaps.ahead`, the opening used at each visit, the truck leaving each stop."""

    end: int
    waited: int
    ahead: list[tuple[int, int, int]]
    opens: list[int]
    off: list[int]


def _forward(inst: Instance, order: Order) -> _There | None:
    walk, service, windows = inst.walk, inst.service, inst.windows
    now = waited = 0
    ahead: list[tuple[int, int, int]] = []
    used: list[int] = []
    off: list[int] = []
    drive = inst.go
    for stop in order:
        truck = here = inst.count + stop[0]
        now += drive[stop[0]]
        for i in stop[1:]:
            ahead.append((here, i, now))
            now += walk[here][i]
            for opens, closes in windows[i]:
                if now <= closes:
                    used.append(opens)
                    if now < opens:
                        waited += opens - now
                        now = opens
                    break
            else:
                return None
            now += service[i]
            here = i
        ahead.append((here, truck, now))
        now += walk[here][truck]
        off.append(now)
        drive = inst.hop[stop[0]]
    now += inst.home[order[-1][0]] if order else inst.straight
    return _There(now, waited, ahead, used, off)


def _backward(inst: Instance, order: Order, there: _There) -> tuple[list[tuple[int, int, int]], list[Joint]]:
    walk, service, windows, used = inst.walk, inst.service, inst.windows, there.opens
    last, tail, floor = inst.latest, 0, 0
    behind: list[tuple[int, int, int]] = []
    joints = [Joint(there.off[-1] if order else 0, last, tail, floor)]
    visit = len(used)
    for k in range(len(order) - 1, -1, -1):
        stop = order[k]
        truck = onward = inst.count + stop[0]
        leg = inst.hop[stop[0]][order[k + 1][0]] if k + 1 < len(order) else inst.home[stop[0]]
        last -= leg
        tail += leg
        for i in stop[:0:-1]:
            behind.append((last, tail, floor))
            visit -= 1
            leg = service[i] + walk[i][onward]
            last -= leg
            tail += leg
            spans = windows[i]
            closes = spans[0][1] if len(spans) == 1 else last_arrival(spans, last)
            # Plain comparisons: this is the innermost work of the search, and calling min doubles it.
            if closes < last:  # noqa: PLR1730
                last = closes
            if used[visit] + tail > floor:  # noqa: PLR1730
                floor = used[visit] + tail
            onward = i
        behind.append((last, tail, floor))
        leg = walk[truck][onward]
        last -= leg
        tail += leg
        joints.append(Joint(there.off[k - 1] if k else 0, last, tail, floor))
    behind.reverse()
    joints.reverse()
    return behind, joints
