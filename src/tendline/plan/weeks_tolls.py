"""Owns what a round costs besides its time: miles, going out at all, animals waiting, own prices.

Does not own the choice of rounds (`plan.weeks_master`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.weeks_blocks import Block
from tendline.plan.weeks_nouns import WeekOuting, WeeksProblem
from tendline.plan.weeks_rounds import Round

Floats = npt.NDArray[np.float64]

METRE_MS = 1.0
"""A metre counts as this much time: hours come first, and miles decide between plans of like hours [ms]."""

OUTING_MS = 60_000.0
"""Going out at all counts as this much time: of like plans the one with fewer outings is taken [ms]."""

WAIT_MS = 4.0
"""Each millisecond that a set past its limit is left waiting counts as so many of the person's."""

EARLY = 0.1
"""A minute that an animal to be expected waits in a round counts as so much of the person's: of plans of like
hours, sets that are likely to hold something are seen early."""


@dataclass(frozen=True, eq=False)
class Tolls:
    """What rounds cost.

    Parameters
    ----------
    problem, blocks, outings
        The days ahead, the walks and the outings.
    """

    problem: WeeksProblem
    blocks: Sequence[Block]
    outings: Sequence[WeekOuting]

    @cached_property
    def likely(self) -> Floats:
        """Animals expected in each block on a day."""
        return np.array([sum(self.problem.sets[i].likely for i in block.sets) for block in self.blocks])

    @cached_property
    def names(self) -> tuple[frozenset[str], ...]:
        """Names of the sets of each block."""
        return tuple(frozenset(self.problem.sets[i].name for i in block.sets) for block in self.blocks)

    def price(self, outing: int, order: Sequence[int]) -> float:
        """Give what a round costs by the problem's own price [ms]."""
        if self.problem.price_s is None:
            return 0.0
        names = frozenset[str]().union(*(self.names[b] for b in order))
        return 1000.0 * self.problem.price_s(self.outings[outing], names)

    def moved(self, outing: int, block: int) -> float:
        """Give what walking a block in an outing adds to that price, by itself [ms]."""
        return self.price(outing, (block,)) - self.price(outing, ())

    def of(self, one: Round) -> float:
        """Give what a round costs [ms]."""
        order = list(one.order)
        waits = np.array(one.parked, dtype=np.float64) - one.leave
        return float(
            one.length
            + METRE_MS * one.metres
            + OUTING_MS
            + self.price(one.outing, order)
            + EARLY * (self.likely[order] * waits).sum()
        )
