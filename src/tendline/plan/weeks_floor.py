"""Owns the hopeful model of the days ahead: what no plan whatever can do better, and the proofs from it.

Does not own plans. Every row of it holds for every way to go about the days, whatever the walks and orders:
so what is impossible here is impossible.

Of each outing it only asks which grounds are gone to and which share of the sets of a kind is looked at
there. Going to a ground takes at least the shortest way in, once, and its parking; each set its look and at
least the shortest way to it on foot; coming home the shortest way home. A look may be made at any moment of
the outing that is lawful, whichever suits.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

import numpy as np

from tendline.plan.instance import FAR, Instance, instant
from tendline.plan.lp import solve
from tendline.plan.lp_program import Ended, Program
from tendline.plan.weeks_clocks import NEVER, BlockClocks, in_order, milliseconds
from tendline.plan.weeks_nouns import Why
from tendline.plan.weeks_open import open_to

_MINUTE = 60_000.0
_HAIR = 0.01
"""Outings are taken to be this much longer than they are, so that rounding never makes a proof [min]."""


@dataclass(frozen=True)
class Kind:
    """Sets of one ground that share rule, limit and people; times in milliseconds.

    Parameters
    ----------
    ground
        Index of the ground.
    sets
        Indices.
    work
        Looks and shortest ways to them, all together.
    reach
        For each outing: the earliest and the latest look at any of them; None when there is none.
    """

    ground: int
    sets: tuple[int, ...]
    work: int
    reach: tuple[tuple[int, int] | None, ...]


@dataclass(frozen=True, eq=False)
class Floor:
    """The hopeful model.

    Parameters
    ----------
    inst, clocks
        Ways and clocks.
    """

    inst: Instance
    clocks: BlockClocks

    @cached_property
    def grounds(self) -> list[int]:
        """Give the ground of every set: sets that share a parking or a way; -1 for none."""
        inst, ground, parking = self.inst, [-1] * self.inst.count, [-1] * len(self.inst.parkings)
        number = 0
        for first in range(inst.count):
            if ground[first] >= 0 or not inst.doors[first]:
                continue
            todo = [first]
            while todo:
                i = todo.pop()
                ground[i] = number
                for p in inst.doors[i]:
                    parking[p] = number
                todo += [
                    j
                    for j in range(inst.count)
                    if ground[j] < 0
                    and j not in todo
                    and (inst.walk[i][j] < FAR or set(inst.doors[i]) & set(inst.doors[j]))
                ]
            number += 1
        return ground

    @cached_property
    def kinds(self) -> list[Kind]:
        """Put sets together that the model cannot tell apart."""
        found: dict[tuple[object, ...], list[int]] = {}
        reach = [self._reach(i) for i in range(self.inst.count)]
        outings = self.clocks.problem.outings
        for i, one in enumerate(self.clocks.problem.sets):
            if self.inst.doors[i]:
                # Limits that pass between the same two outings ask for the same things.
                due = None if one.due is None else sum(o.span.start <= one.due for o in outings)
                key = (self.grounds[i], one.clock.key, one.go_now, due, one.barred_to, one.left_to)
                found.setdefault(key, []).append(i)
        return [
            Kind(self.grounds[m[0]], tuple(m), sum(self._work(i) for i in m), _widest([reach[i] for i in m]))
            for m in found.values()
        ]

    def _work(self, i: int) -> int:
        inst = self.inst
        return inst.service[i] + min(
            [inst.walk[j][i] for j in range(inst.count) if j != i]
            + [inst.walk[inst.count + p][i] for p in inst.doors[i]]
        )

    def _reach(self, i: int) -> tuple[tuple[int, int] | None, ...]:
        inst, problem = self.inst, self.clocks.problem
        if not inst.doors[i]:
            return (None,) * len(problem.outings)
        there = min(inst.go[p] + inst.walk[inst.count + p][i] for p in inst.doors[i])
        home = inst.service[i] + min(inst.walk[i][inst.count + p] + inst.home[p] for p in inst.doors[i])
        found: list[tuple[int, int] | None] = []
        for outing in problem.outings:
            begin = milliseconds(problem, outing.span.start) + there
            end = milliseconds(problem, outing.span.end) - home
            parts = open_to(problem.sets[i], outing)
            inside = [
                (max(begin, milliseconds(problem, p.start)), min(end, milliseconds(problem, p.end) + 1))
                for p in parts
            ]
            inside = [part for part in inside if part[0] <= part[1]]
            found.append((inside[0][0], inside[-1][1]) if inside else None)
        return tuple(found)

    def needs(self, kind: Kind, until: int) -> list[list[int]]:
        """Give, for each row of a kind, the outings of which one must go there, for limits before `until`."""
        problem, one = self.clocks.problem, self.clocks.problem.sets[kind.sets[0]]
        dues = [d for i in kind.sets if (d := problem.sets[i].due) is not None]
        if one.go_now or not dues:
            return []
        due = milliseconds(problem, max(dues))
        open_ = [(k, span) for k, span in enumerate(kind.reach) if span is not None]
        rows = [[k for k, (a, _) in open_ if a <= due]] if due < until else []
        table = self.clocks.tables[one.clock.key]
        if not in_order([due, *table.after(np.arange(0, until, 600_000)).tolist()]):
            return rows
        for _, (_, last) in open_:
            limit = milliseconds_due(self.clocks, one.clock.key, last)
            if limit < until:
                rows.append([k for k, (a, b) in open_ if b > last and a <= limit])
        return rows

    def program(
        self, kinds: Sequence[Kind], until: int, *, lacking: bool = False
    ) -> tuple[Program, list[int]]:
        """Write the model for some kinds and the days up to `until`; give the columns of lacking minutes."""
        program, extra = Program(), []
        shares: dict[tuple[int, int], int] = {}
        for k, outing in enumerate(self.clocks.problem.outings):
            if milliseconds(self.clocks.problem, outing.span.start) >= until:
                continue
            columns, values = self._outing(program, shares, k, kinds, cost=0.0 if lacking else 1.0)
            if not columns:
                continue
            if lacking:
                extra.append(program.column(1.0, upper=1e6))
                columns, values = [*columns, extra[-1]], [*values, -1.0]
            program.at_most(columns, values, outing.span.seconds / 60.0 + _HAIR)
        for c, kind in enumerate(kinds):
            for row in self.needs(kind, until):
                used = [shares[k, c] for k in row if (k, c) in shares]
                program.at_least(used, [1.0] * len(used), 1.0)
        return program, extra

    def _outing(
        self,
        program: Program,
        shares: dict[tuple[int, int], int],
        k: int,
        kinds: Sequence[Kind],
        *,
        cost: float,
    ) -> tuple[list[int], list[float]]:
        columns: list[int] = []
        values: list[float] = []
        going: dict[int, int] = {}
        here = [(c, kind) for c, kind in enumerate(kinds) if kind.reach[k] is not None]
        if not here:
            return columns, values
        home = min(self._way_home(kind.ground) for _, kind in here) / _MINUTE
        out = program.column(cost * home, whole=True)
        columns, values = [out], [home]
        for c, kind in here:
            if kind.ground not in going:
                time = self._way_in(kind.ground) / _MINUTE
                going[kind.ground] = program.column(cost * time, whole=True)
                columns.append(going[kind.ground])
                values.append(time)
                program.at_most([going[kind.ground], out], [1.0, -1.0], 0.0)
            work = kind.work / _MINUTE
            shares[k, c] = program.column(cost * work, whole=len(kind.sets) == 1)
            columns.append(shares[k, c])
            values.append(work)
            program.at_most([shares[k, c], going[kind.ground]], [1.0, -1.0], 0.0)
        return columns, values

    def _parkings(self, ground: int) -> list[int]:
        return sorted({p for i, g in enumerate(self.grounds) if g == ground for p in self.inst.doors[i]})

    def _way_in(self, ground: int) -> int:
        """Give the shortest drive to a ground with its parking, and the shortest walk back."""
        inst, own = self.inst, self._parkings(ground)
        others = [p for p in range(len(inst.parkings)) if p not in own]
        drive = min(min([inst.go[p], *(inst.hop[q][p] for q in others)]) for p in own)
        back = min(
            inst.walk[i][inst.count + p]
            for i, g in enumerate(self.grounds)
            if g == ground
            for p in inst.doors[i]
        )
        return drive + back

    def _way_home(self, ground: int) -> int:
        return min(self.inst.home[p] for p in self._parkings(ground))


def milliseconds_due(clocks: BlockClocks, key: str, look: int) -> int:
    """Give the limit after a look, asked of the clock itself rather than its table [ms]."""
    problem = clocks.problem
    clock = next(one.clock for one in problem.sets if one.clock.key == key)
    due = clock.next_due(_instant(clocks, look))
    return NEVER if due is None else milliseconds(problem, due) + 1


def _widest(spans: Sequence[tuple[tuple[int, int] | None, ...]]) -> tuple[tuple[int, int] | None, ...]:
    found: list[tuple[int, int] | None] = []
    for column in zip(*spans, strict=True):
        real = [span for span in column if span is not None]
        found.append((min(a for a, _ in real), max(b for _, b in real)) if real else None)
    return tuple(found)


def _instant(clocks: BlockClocks, at: int) -> datetime:
    return instant(clocks.problem.span.start, at)


def least_seconds(floor: Floor, *, seconds: float) -> float | None:
    """Give a time that no plan is shorter than [s]; None when there is no plan or it took too long."""
    program, _ = floor.program(floor.kinds, _end(floor))
    found = solve(program, seconds=seconds, relaxed=True)
    return found.cost * 60.0 if found.ended is Ended.BEST else None


def impossible(floor: Floor, kinds: Sequence[Kind], until: int, *, seconds: float, whole: bool) -> bool:
    """Say whether it is proved that the limits of these kinds up to `until` cannot all be kept."""
    program, _ = floor.program(kinds, until)
    return solve(program, seconds=seconds, relaxed=not whole).ended is Ended.NONE


def explain(floor: Floor, *, seconds: float, whole: bool, over: Callable[[], bool]) -> Why:
    """Find a smallest part of an impossible problem that is impossible by itself: first days, then kinds.

    References
    ----------
    Chinneck, J. W., Dravnieks, E. W. (1991), ORSA Journal on Computing 3(2), 157-168: the deletion filter.
    """
    problem = floor.clocks.problem
    ends = sorted({milliseconds(problem, one.span.end) for one in problem.outings} | {_end(floor)})
    low, high = 0, len(ends) - 1
    while low < high:  # more days never make it possible, so the first day can be found by halving
        middle = (low + high) // 2
        if impossible(floor, floor.kinds, ends[middle], seconds=seconds, whole=whole):
            high = middle
        else:
            low = middle + 1
    until, kinds = ends[high], list(floor.kinds)
    for kind in list(kinds):
        if over():
            break
        fewer = [one for one in kinds if one is not kind]
        if fewer and impossible(floor, fewer, until, seconds=seconds, whole=whole):
            kinds = fewer
    program, extra = floor.program(kinds, until, lacking=True)
    found = solve(program, seconds=seconds, relaxed=not whole)
    lacking = found.bound if np.isfinite(found.bound) and extra else 0.0
    names = [problem.sets[i].name for kind in kinds for i in kind.sets]
    return Why(_instant(floor.clocks, until), tuple(names), max(0.0, lacking) * 60.0)


def _end(floor: Floor) -> int:
    return milliseconds(floor.clocks.problem, floor.clocks.problem.span.end)


def unreached(floor: Floor) -> Collection[str]:
    """Name the sets whose running limit passes before anybody can be there, in any outing."""
    found = []
    for kind in floor.kinds:
        rows = floor.needs(kind, _end(floor))
        if any(not row for row in rows):
            found += [floor.clocks.problem.sets[i].name for i in kind.sets]
    return found
