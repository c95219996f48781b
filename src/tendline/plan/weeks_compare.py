"""Owns what the plan of the days ahead is held against: every set every day, and what was done of late.

Does not own the plan.
"""

from dataclasses import dataclass
from itertools import pairwise

from tendline.plan.instance import Instance
from tendline.plan.weeks_blocks import Block
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.plan.weeks_search import Ground, make_ground


@dataclass(frozen=True)
class EveryDay:
    """One tour over everything, each day; whether that fits any window is not asked.

    Parameters
    ----------
    seconds, metres
        Of all days together [s], driven [m].
    days
        How many.
    """

    seconds: float
    metres: float
    days: int


@dataclass(frozen=True)
class AsBefore:
    """What was done of late, by the record.

    Parameters
    ----------
    seconds, metres
        Away in all [s], driven as planned [m].
    rounds, looks
        How many.
    days
        Over so many days.
    """

    seconds: float
    metres: float
    rounds: int
    looks: int
    days: float

    def hours_in(self, days: float) -> float:
        """Give the hours it comes to over so many days [h]."""
        return self.seconds / 3600.0 * days / self.days

    def metres_in(self, days: float) -> float:
        """Give what is driven over so many days [m]."""
        return self.metres * days / self.days


def every_day(problem: WeeksProblem, *, days: int) -> EveryDay:
    """Give what looking at every set on each of so many days takes, by the same walks and a good drive."""
    ground = make_ground(problem)
    order = _tour(ground)
    inst, names = ground.inst, ground.inst.parkings
    places = [problem.start, *(names[ground.blocks[b].parking] for b in order), problem.end]
    row = {name: k for k, name in enumerate(problem.drive.names)}
    metres = sum(float(problem.drive.metres[row[a], row[b]]) for a, b in pairwise(places))
    return EveryDay(_time(inst, ground.blocks, order) / 1000.0 * days, metres * days, days)


def _time(inst: Instance, blocks: tuple[Block, ...], order: list[int]) -> int:
    stops = [blocks[b] for b in order]
    hops = sum(inst.hop[a.parking][b.parking] for a, b in pairwise(stops))
    return inst.go[stops[0].parking] + hops + sum(b.whole for b in stops) + inst.home[stops[-1].parking]


def _tour(ground: Ground) -> list[int]:
    """Drive to the nearest next, then turn stretches round while that helps (Croes 1958)."""
    inst, blocks = ground.inst, ground.blocks
    left, order, legs = set(range(len(blocks))), list[int](), inst.go
    while left:
        b = min(left, key=lambda k: (legs[blocks[k].parking], k))
        order.append(b)
        left.remove(b)
        legs = inst.hop[blocks[b].parking]
    best, better = _time(inst, blocks, order), True
    while better:
        better = False
        for a in range(len(order)):
            for b in range(a + 2, len(order) + 1):
                other = order[:a] + order[a:b][::-1] + order[b:]
                if (time := _time(inst, blocks, other)) < best:
                    order, best, better = other, time, True
    return order
