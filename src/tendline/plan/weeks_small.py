"""Owns the program in whole numbers over some rounds, parts of it chosen again, and what a choice costs.

Does not own which parts are chosen again (`plan.weeks_improve`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tendline.plan.lp import solve
from tendline.plan.lp_program import Ended, Floats, Matrix, Program, Solved
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_master import UNIT_MS, Master


@dataclass(frozen=True)
class Choice:
    """Some rounds of a program.

    Parameters
    ----------
    rounds
        By number.
    cost
        What they cost, with what they leave unkept [ms].
    lacking
        Limits that are left unkept [ms].
    best
        Nothing costs less.
    """

    rounds: tuple[int, ...]
    cost: float
    lacking: tuple[int, ...]
    best: bool = False


@dataclass
class Small:
    """The program in whole numbers over some of the rounds, made again by `ready` when limits were added.

    Parameters
    ----------
    master, kept
        The program in fractions, and the rounds taken from it, by number.
    program, matrix, rows
        As of the last `ready`: the program, as arrays, and how many limits were known.
    must
        Of each column after the rounds: the limit left unkept where it is chosen [ms]; None for a wish.
    outing
        The outing of every column; -1 for those that are no rounds.
    """

    master: Master
    kept: Sequence[int]
    program: Program = field(default_factory=Program)
    matrix: Matrix | None = None
    must: Sequence[int | None] = ()
    outing: npt.NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    rows: int = -1

    def ready(self) -> Program:
        """Give the program with all limits known by now."""
        if self.rows != len(self.master.rows):
            self.program, self.must = self.master.whole(self.kept)
            self.rows = len(self.master.rows)
            self.matrix = Matrix.of(self.program)
            rounds = [self.master.rounds[r].outing for r in self.kept]
            self.outing = np.array(rounds + [-1] * len(self.must), dtype=np.int64)
        return self.program

    def again(
        self,
        best: Choice,
        free: npt.NDArray[np.bool_],
        limit: Limit,
        *,
        seconds: float,
        nodes: int | None,
    ) -> Choice | None:
        """Choose among some columns again while the others stay; None when nothing was found."""
        program, held = self.ready(), self.held(best)
        assert self.matrix is not None
        found = solve(
            self.matrix.part(program, free, held),
            seconds=max(0.2, min(seconds, limit.left)),
            seed=limit.seed,
            nodes=nodes,
            should_stop=limit.should_stop,
        )
        if found.values is None:
            return None
        values = held.copy()
        values[free] = found.values
        return self.choice(Solved(found.ended, values, float(np.dot(values, program.costs)), -np.inf))

    def choice(self, solved: Solved) -> Choice:
        """Give the rounds a solution chooses, with all that they leave unkept written down."""
        assert solved.values is not None
        chosen = tuple(r for k, r in enumerate(self.kept) if solved.values[k] > 0.5)
        weight = self._weight(chosen)
        if not self.master.tighten(weight):
            over = solved.values[len(self.kept) :]
            lacking = [must for must, v in zip(self.must, over, strict=True) if must is not None and v > 1e-6]
            return Choice(chosen, UNIT_MS * solved.cost, tuple(lacking), solved.ended is Ended.BEST)
        self.write_down(chosen)
        return self.priced(chosen)

    def _weight(self, chosen: Sequence[int]) -> Floats:
        weight = np.zeros(len(self.master.rounds))
        weight[list(chosen)] = 1.0
        return weight

    def write_down(self, chosen: Sequence[int]) -> None:
        """Write down all limits that some rounds leave unkept."""
        weight = self._weight(chosen)
        while self.master.tighten(weight):
            pass

    def priced(self, chosen: Sequence[int]) -> Choice:
        """Work out what some rounds cost by every limit known."""
        program, inside = self.ready(), set(chosen)
        values = np.array([float(r in inside) for r in self.kept] + [0.0] * len(self.must))
        lacking: list[int] = []
        for columns, factors, low, _ in program.rows[len(self.master.groups) :]:
            slack = columns[[c >= len(self.kept) for c in columns].index(True)]
            short = low - float(np.dot(values[list(columns)], factors))
            if short > 1e-6:
                values[slack] = short
                must = self.must[slack - len(self.kept)]
                lacking += [] if must is None else [must]
        return Choice(tuple(chosen), UNIT_MS * float(np.dot(values, program.costs)), tuple(lacking))

    def held(self, choice: Choice) -> Floats:
        """Give a choice as values of the columns, as if nothing were left unkept."""
        chosen = set(choice.rounds)
        return np.array([float(r in chosen) for r in self.kept] + [0.0] * len(self.must))
