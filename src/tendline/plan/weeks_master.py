"""Owns the choice of rounds as a program that grows: rounds that are worth it, limits where they matter.

Does not own finding rounds (`plan.weeks_price`) or choosing in whole numbers (`plan.weeks_improve`).

For a block and any moment, at least one walk must come after that moment and no later than the limit that
would run from it. The row need not ask whether the block was walked at that moment: the last walk at or
before it forces the next within its own limit, which is no later, as long as a later look never has an
earlier limit. Where a law is such that it may (`weeks_clocks.in_order`), the row asks.

There are as many rows as moments, so rows are added only where a solution breaks them: at the walks it holds.
When none is broken there, none is broken anywhere; so what the program costs in fractions is a bound for
every plan made of the rounds in hand, and a whole choice that breaks no row keeps every limit to the second.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np

from tendline.plan.lp import Growing, solve
from tendline.plan.lp_program import Floats, Program, Solved
from tendline.plan.weeks_alike import Alike
from tendline.plan.weeks_clocks import NEVER, BlockClocks, in_order, milliseconds
from tendline.plan.weeks_rounds import Pool, Round
from tendline.plan.weeks_rows import Ints, Lists, Row
from tendline.plan.weeks_thin import thin
from tendline.plan.weeks_tolls import WAIT_MS, Tolls

LACKING_MS = 1000 * 3_600_000.0
"""A limit not kept counts as so much time while rounds are being looked for [ms]: more than any wish."""

UNIT_MS = 60_000.0
"""The program counts in minutes."""

_GRAIN_MS = 30 * 60_000
_MANY = 300
"""Where a later look may have an earlier limit, so many moments share rows by the half hour."""

_GRID_MS = 24 * 3_600_000
_HAIR = 1e-4
_BUCKET_MS = 8 * 3_600_000
MANY_NUMBERS = 300_000
"""A program with more numbers is solved with running counts, by a method that goes through the middle."""

_EACH = 2
"""At most so many rows are added for each block and each stretch of eight hours at a time."""


class Master:
    """The program.

    Parameters
    ----------
    pool, groups, tolls
        What rounds are made from, outings that are alike, what rounds cost.
    period
        The days ahead come again and again after so long [ms]: every walk is followed by those of the next
        time, and no limit runs at the beginning. None for days that come once.
    """

    def __init__(self, pool: Pool, groups: Alike, tolls: Tolls, *, period: int | None = None) -> None:
        self.pool, self.groups, self.tolls = pool, groups, tolls
        self.clocks: BlockClocks = pool.clocks
        self.period = period
        self.end = (
            milliseconds(self.clocks.problem, self.clocks.problem.span.end) if period is None else NEVER
        )
        self.rounds: list[Round] = []
        self.columns: list[int] = []
        self.rows: dict[Row, int] = {}
        self.limits = [Lists(5) for _ in pool.blocks]
        self._walks = [Lists(2) for _ in pool.blocks]
        self.beside: dict[int, list[tuple[int, float]]] = {}
        self._numbers = 0
        self.lacking: dict[int, int] = {}
        self.outing_row: dict[int, int] = {}
        self._waits: dict[int, list[tuple[int, int]]] = defaultdict(list)
        self._known: set[Round] = set()
        program = Program()
        for first, members in groups.items():
            self.outing_row[first] = len(program.rows)
            program.at_most([], [], float(len(members)))
        self.program = Growing(program)
        self.always = [self._in_order(b) for b in range(len(pool.blocks))]
        for block in range(len(pool.blocks)):
            self._begin(block)

    def _moments(self, block: int) -> Ints:
        """Give the moments at which a block may be walked: every ten minutes, and the ends."""
        spans = [span for k in self.groups for span in self.pool.windows(block, self.pool.outings[k])]
        parts = [np.append(np.arange(a, b, 600_000, dtype=np.int64), b) for a, b in spans]
        return np.unique(np.concatenate(parts)) if parts else np.zeros(0, dtype=np.int64)

    def _in_order(self, block: int) -> bool:
        moments = self._moments(block)
        free = self.period is not None or self.clocks.go_first(block)
        due = [] if free else [self.clocks.first_due(block)]
        return NEVER not in due and in_order([*due, *self.clocks.after(block, moments).tolist()])

    def _begin(self, block: int) -> None:
        """Write the rows that hold before any round is known."""
        if self.period is not None:
            self.add_row(Row(block, -1, self.period - 1))
            return
        if self.clocks.go_first(block):
            ends = sorted({milliseconds(self.clocks.problem, o.span.end) for o in self.pool.outings})
            for k, end in enumerate(ends):
                onward = ends[k + 1] if k + 1 < len(ends) else end + 30 * 86_400_000
                self.add_row(Row(block, -NEVER, end, soft=WAIT_MS * (onward - end)))
                self._waits[block].append((end, len(self.program.program.costs) - 1))
        due = self.clocks.first_due(block)
        if due < self.end:
            self.add_row(Row(block, -NEVER, due))
        wish = self.clocks.wished(block)
        if wish > 0.0 and (due := self.clocks.softer.first_due(block)) < self.end:
            self.add_row(Row(block, -NEVER, due, soft=wish))
        if self.always[block]:
            moments = self._moments(block)
            _, some = np.unique(moments // _GRID_MS, return_index=True)
            moments = moments[some] if not self.clocks.go_first(block) else moments[:0]
            limits = self.clocks.after(block, moments)
            for moment, limit in zip(moments.tolist(), limits.tolist(), strict=True):
                if limit < self.end:
                    self.add_row(Row(block, moment, limit))

    def add_row(self, row: Row) -> bool:
        """Add a row; say whether it is a new one."""
        if row in self.rows:
            return False
        walks, entries = self._walks[row.block].array, defaultdict[int, float](float)
        for r in walks[(row.after < walks[:, 0]) & (walks[:, 0] <= row.until), 1]:
            entries[self.columns[r]] += 1.0
        waits: list[int] = []
        if row.given is not None:
            low, high = row.given
            for r in walks[(low <= walks[:, 0]) & (walks[:, 0] <= high), 1]:
                entries[self.columns[r]] -= self._share(int(r))
        elif row.soft is None and (waits := [c for end, c in self._waits[row.block] if end <= row.after]):
            entries[waits[-1]] += 1.0  # not walked at all until then: no limit runs from that moment
        bound = 0.0 if row.given is not None else 1.0
        self.rows[row] = self.program.at_least(list(entries), list(entries.values()), bound)
        given = row.given or (1, 0)
        self.limits[row.block].add(row.after, row.until, *given, self.rows[row])
        cost = LACKING_MS if row.soft is None else row.soft
        slack = self.program.column(cost / UNIT_MS, entries=[(self.rows[row], 1.0)], whole=False)
        self.beside[self.rows[row]] = [(column, 1.0) for column in (*waits[-1:], slack)]
        self._numbers += len(entries)
        if row.soft is None:
            self.lacking[slack] = row.until
        return True

    def _share(self, r: int) -> float:
        """Give how far one of several people's walks at one moment sets a limit going: all of theirs do."""
        return 1.0 / len(self.groups.get(self.rounds[r].outing, (0,)))

    def _walked(self, one: Round) -> list[tuple[int, int]]:
        """Give the walks of a round; where the days come again, those of the next time as well."""
        walks = list(zip(one.order, one.parked, strict=True))
        return walks if self.period is None else [*walks, *((b, at + self.period) for b, at in walks)]

    def add_rounds(self, rounds: Iterable[Round]) -> int:
        """Add rounds that are not in hand yet; give how many there were."""
        added = 0
        for one in rounds:
            if one in self._known:
                continue
            self._known.add(one)
            added += 1
            self.rounds.append(one)
            entries: dict[int, float] = defaultdict(float, {self.outing_row[one.outing]: 1.0})
            for block, at in self._walked(one):
                rows = self.limits[block].array
                for row in rows[(rows[:, 0] < at) & (at <= rows[:, 1]), 4]:
                    entries[int(row)] += 1.0
                for row in rows[(rows[:, 2] <= at) & (at <= rows[:, 3]), 4]:
                    entries[int(row)] -= self._share(len(self.rounds) - 1)
                self._walks[block].add(at, len(self.rounds) - 1)
            self._numbers += len(entries)
            self.columns.append(
                self.program.column(self.tolls.of(one) / UNIT_MS, entries=list(entries.items()))
            )
        return added

    def close(self) -> bool:
        """Write down all limits of blocks whose later looks may have earlier limits; say if there are any.

        No rounds may be added afterwards. Where there are many moments some share a row, which then counts
        only what comes after the last of them and within the earliest limit.
        """
        for block in np.flatnonzero(~np.array(self.always, dtype=bool)).tolist():
            walks = self._walks[block].array
            moments = np.unique(walks[:, 0])
            grain = moments // _GRAIN_MS if len(moments) > _MANY else moments
            limits = self.clocks.after(block, moments)
            for one in np.unique(grain):
                some, until = moments[grain == one], int(limits[grain == one].min())
                low, high = int(some[0]), int(some[-1])
                if until < self.end:
                    self.add_row(Row(block, high, until, (low, high)))
        return not all(self.always)

    def walks(self, weight: Floats) -> dict[int, tuple[Ints, Floats]]:
        """Give, for each block, when it is walked and how often, by what is chosen of each round."""
        found: dict[int, dict[int, float]] = defaultdict(lambda: defaultdict(float))
        for r in np.flatnonzero(weight > 1e-9):
            for block, at in self._walked(self.rounds[r]):
                found[block][at] += float(weight[r])
        ordered = {block: sorted(times.items()) for block, times in found.items()}
        return {
            block: (np.array([t for t, _ in times], dtype=np.int64), np.array([w for _, w in times]))
            for block, times in ordered.items()
        }

    def tighten(self, weight: Floats) -> int:
        """Add the rows that a choice of rounds breaks, the worst of each stretch; give how many."""
        added = 0
        for block, (at, much) in self.walks(weight).items():
            limits = self.clocks.after(block, at)
            added += self._tighten(block, at, much, limits, soft=None)
            wish = self.clocks.wished(block)
            if wish > 0.0:
                softer = self.clocks.softer.after(block, at)
                added += self._tighten(block, at, much, softer, soft=wish)
        return added

    def _tighten(self, block: int, at: Ints, much: Floats, limits: Ints, *, soft: float | None) -> int:
        total = np.concatenate(([0.0], np.cumsum(much)))
        after = np.arange(1, len(at) + 1)
        covered = total[np.searchsorted(at, limits, side="right")] - total[after]
        needed = np.ones(len(at)) if self.always[block] and soft is None else np.minimum(much, 1.0)
        once = limits < self.end if self.period is None else (at < self.period) & (limits < NEVER)
        broken = np.where(once, needed - covered, 0.0)
        added, seen, waits = 0, defaultdict[int, int](int), self._waits[block]
        for k in np.argsort(-broken, kind="stable"):
            if broken[k] <= _HAIR:
                break
            bucket = int(at[k]) // _BUCKET_MS
            if seen[bucket] < _EACH:
                seen[bucket] += 1
                always = self.always[block] and soft is None and (not waits or waits[0][0] <= at[k])
                given = None if always else (int(at[k]), int(at[k]))
                added += self.add_row(Row(block, int(at[k]), int(limits[k]), given, soft))
        return added

    @property
    def large(self) -> bool:
        """Say whether there are so many numbers that it is solved with running counts."""
        return self._numbers > MANY_NUMBERS

    def solve(self, *, seconds: float) -> Solved:
        """Choose rounds in fractions."""
        if not self.large:
            return self.program.solve(seconds=seconds)
        source = self.program.program
        blocks = ((rows.array, walks.array) for rows, walks in zip(self.limits, self._walks, strict=True))
        small = thin(source, np.array(self.columns, dtype=np.int64), blocks, self.beside)
        return solve(small, seconds=seconds, relaxed=True, inner=True).first(
            len(source.costs), len(source.rows)
        )

    def chosen(self, solved: Solved) -> Floats:
        """Give how much of each round a solution chooses."""
        assert solved.values is not None
        weight: Floats = solved.values[self.columns]
        return weight

    def short_of(self, solved: Solved) -> bool:
        """Say whether a solution leaves a limit unkept."""
        if solved.values is None:
            return False
        return any(solved.values[c] > 1e-6 for c in self.lacking if c < len(solved.values))

    def whole(self, kept: Sequence[int]) -> tuple[Program, list[int | None]]:
        """Give the program in whole numbers over some of the rounds.

        Returns
        -------
        tuple of Program and list of int or None
            The first columns are the rounds; of each column after them, the limit that must be kept and is
            not where it is chosen [ms], None for a wish.
        """
        source = self.program.program
        known = set(self.columns)
        rest = [c for c in range(len(source.costs)) if c not in known]
        numbers = [*(self.columns[r] for r in kept), *rest]
        index = np.full(len(source.costs), -1, dtype=np.int64)
        index[numbers] = np.arange(len(numbers))
        small = Program()
        for k, c in enumerate(numbers):
            small.column(source.costs[c], upper=source.upper[c], whole=k < len(kept))
        for columns, values, low, high in source.rows:
            inside = index[np.array(columns, dtype=np.int64)] if len(columns) else np.zeros(0, np.int64)
            some = inside >= 0
            factors = np.array(values, dtype=np.float64)[some]
            small.rows.append((inside[some].tolist(), factors.tolist(), low, high))
        return small, [self.lacking.get(c) for c in rest]
