"""Owns the clocks of blocks in whole numbers: when the next look at a block falls due after one at any time.

Does not own the law: a clock is handed in as a function from a look to the next limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from tendline.core.when import Span
from tendline.plan.weeks_blocks import Block
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeeksProblem
from tendline.plan.weeks_open import open_to

Ints = npt.NDArray[np.int64]

NEVER = 1 << 50
"""No clock runs [ms]."""

GRID_MS = 600_000
"""Clocks are asked this often; between, a limit that moves evenly is read off, one that jumps is taken from
before the jump, which is the earlier and so the cautious one [ms]."""

_MILLISECOND = timedelta(milliseconds=1)


def milliseconds(problem: WeeksProblem, instant: datetime) -> int:
    """Give an instant in milliseconds after the beginning of the days ahead, rounded down."""
    return (instant - problem.span.start) // _MILLISECOND


@dataclass(frozen=True, eq=False)
class Table:
    """One clock, asked on a grid from the first outing to the last."""

    first: int
    dues: Ints

    def after(self, looks: Ints) -> Ints:
        """Give the limit after each look [ms]."""
        cell = np.clip((looks - self.first) // GRID_MS, 0, len(self.dues) - 2)
        low, high = self.dues[cell], self.dues[cell + 1]
        even = (high - low <= GRID_MS) & (high >= low) & (low < NEVER)
        into = np.clip(looks - self.first - cell * GRID_MS, 0, GRID_MS)
        limit: Ints = np.where(even, low + into * (high - low) // GRID_MS, np.minimum(low, high))
        return limit


@dataclass(frozen=True, eq=False)
class BlockClocks:
    """The clocks of every block; times are milliseconds after the beginning of the days ahead.

    Parameters
    ----------
    problem, blocks
        The days ahead and the walks.
    early
        Every limit is kept by this much time in hand [ms].
    """

    problem: WeeksProblem
    blocks: Sequence[Block]
    early: int = 0
    _known: dict[tuple[int, WeekOuting], list[tuple[int, int]]] = field(default_factory=dict)

    @cached_property
    def tables(self) -> dict[str, Table]:
        """Every clock, by key."""
        clocks = {one.clock.key: one.clock for one in self.problem.sets}
        return {key: self._table(clock) for key, clock in clocks.items()}

    def _table(self, clock: WeekClock) -> Table:
        problem, first = self.problem, -GRID_MS
        cells = int(milliseconds(problem, problem.span.end) + 24 * 3_600_000 - first) // GRID_MS + 2
        dues = np.full(cells, NEVER, dtype=np.int64)
        for k in range(cells):
            due = clock.next_due(problem.span.start + timedelta(milliseconds=first + k * GRID_MS))
            if due is not None:
                dues[k] = milliseconds(problem, due)
        return Table(first, dues)

    def after(self, block: int, parked: Ints) -> Ints:
        """Give when a block must be walked again (parked by then), for each time it was."""
        one = self.blocks[block]
        limits = np.full(len(parked), NEVER, dtype=np.int64)
        for i, offset in zip(one.sets, one.offsets, strict=True):
            table = self.tables[self.problem.sets[i].clock.key]
            due = table.after(parked + offset)
            limits = np.minimum(limits, np.where(due < NEVER, due - offset - self.early, NEVER))
        return limits

    def first_due(self, block: int) -> int:
        """Give by when a block must be walked first, by the limits that can be kept; else `NEVER`."""
        one, due = self.blocks[block], NEVER
        for i, offset in zip(one.sets, one.offsets, strict=True):
            limit = self.problem.sets[i].due
            if limit is not None and not self.problem.sets[i].go_now:
                due = min(due, milliseconds(self.problem, limit) - offset - self.early)
        return due

    @cached_property
    def softer(self) -> "BlockClocks":
        """The same walks with the person's own limits in place of the law's, where there are any."""
        sets = tuple(
            replace(one, clock=one.wish or one.clock, due=one.wish_due, go_now=False)
            for one in self.problem.sets
        )
        return BlockClocks(replace(self.problem, sets=sets), self.blocks)

    def wished(self, block: int) -> float:
        """Give what walking a block later than the person's own limit costs [ms]; 0 for no such limit."""
        sets = [self.problem.sets[i] for i in self.blocks[block].sets]
        own = all(one.wish is not None for one in sets)
        return 1000.0 * self.problem.wish_s * len(sets) if own else 0.0

    def go_first(self, block: int) -> bool:
        """Say whether a block wants walking first: overdue, or nobody knows."""
        return any(self.problem.sets[i].go_now for i in self.blocks[block].sets)

    def windows(self, block: int, outing: WeekOuting) -> list[tuple[int, int]]:
        """Give the stretches of an outing in which its person may park for a block: every look is lawful."""
        if (block, outing) not in self._known:
            self._known[block, outing] = self._windows(block, outing)
        return self._known[block, outing]

    def _windows(self, block: int, outing: WeekOuting) -> list[tuple[int, int]]:
        one, span = self.blocks[block], outing.span
        start, end = milliseconds(self.problem, span.start), milliseconds(self.problem, span.end)
        common = [(start, end)]
        for i, offset in zip(one.sets, one.offsets, strict=True):
            parts = [
                (-((self.problem.span.start - part.start) // _MILLISECOND) - offset, self._ms(part) - offset)
                for part in open_to(self.problem.sets[i], outing)
            ]
            common = meet(common, parts)
        return common

    def _ms(self, part: Span) -> int:
        return milliseconds(self.problem, part.end)


def meet(ones: Sequence[tuple[int, int]], others: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Give the stretches common to two lists, both in order."""
    found = [(max(a, c), min(b, d)) for a, b in ones for c, d in others]
    return sorted((a, b) for a, b in found if a <= b)


def in_order(limits: Sequence[int]) -> bool:
    """Say whether a later look never has an earlier limit, so that rows need not ask whether it was made."""
    return all(a <= b for a, b in pairwise(limits))
