"""Owns the one door to the linear-programming engine: a program in, values and bound out.

Does not own what a program stands for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, cast

import highspy
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


class Ended(StrEnum):
    """How a solve ended: proved best, proved without solution, or out of time (with or without values)."""

    BEST = "best"
    NONE = "none"
    STOPPED = "stopped"


@dataclass
class Program:
    """A linear program to be minimised, built up column by column and row by row.

    Parameters
    ----------
    costs, upper, whole
        Of each column: cost, upper bound (the lower is zero), whether it must be a whole number.
    rows
        Each: column numbers, their values, lower and upper bound.
    """

    costs: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[Sequence[int], Sequence[float], float, float]] = field(default_factory=list)

    def column(self, cost: float, *, upper: float = 1.0, whole: bool = False) -> int:
        """Add a column; give its number."""
        self.costs.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.costs) - 1

    def at_least(self, columns: Sequence[int], values: Sequence[float], bound: float) -> None:
        """Add a row that must reach `bound`."""
        self.rows.append((columns, values, bound, highspy.kHighsInf))

    def at_most(self, columns: Sequence[int], values: Sequence[float], bound: float) -> None:
        """Add a row that must not pass `bound`."""
        self.rows.append((columns, values, -highspy.kHighsInf, bound))


@dataclass(frozen=True, eq=False)
class Matrix:
    """The rows of a program as arrays, so that parts of it can be taken out quickly.

    Parameters
    ----------
    row, column, value
        Of each entry, in order of rows.
    low, high
        Of each row.
    """

    row: npt.NDArray[np.int64]
    column: npt.NDArray[np.int64]
    value: Floats
    low: Floats
    high: Floats

    @classmethod
    def of(cls, program: Program) -> "Matrix":
        """Read a program."""
        sizes = [len(one[0]) for one in program.rows]
        return cls(
            np.repeat(np.arange(len(sizes)), sizes),
            _joined([one[0] for one in program.rows], np.int64),
            _joined([one[1] for one in program.rows], np.float64),
            np.array([one[2] for one in program.rows], np.float64),
            np.array([one[3] for one in program.rows], np.float64),
        )

    def part(self, program: Program, free: npt.NDArray[np.bool_], held: Floats) -> Program:
        """Give the program over the free columns, the others at their values; rows kept anyway are left out.

        Parameters
        ----------
        program
            The program that was read.
        free
            Which columns may change; shape (columns,).
        held
            Values of the others.
        """
        fixed = np.bincount(
            self.row, weights=self.value * np.where(free, 0.0, held)[self.column], minlength=len(self.low)
        )
        low, high = self.low - fixed, self.high - fixed
        inside = free[self.column]
        least = np.bincount(
            self.row, weights=np.where(inside, np.minimum(self.value, 0.0), 0.0), minlength=len(low)
        )
        most = np.bincount(
            self.row, weights=np.where(inside, np.maximum(self.value, 0.0), 0.0), minlength=len(low)
        )
        wanted = (least < low - 1e-9) | (most > high + 1e-9)
        numbers = np.flatnonzero(free)
        index = np.full(len(free), -1, dtype=np.int64)
        index[numbers] = np.arange(len(numbers))
        taken = inside & wanted[self.row]
        row, column, value = self.row[taken], index[self.column[taken]], self.value[taken]
        rows = np.flatnonzero(wanted)
        starts, ends = np.searchsorted(row, rows), np.searchsorted(row, rows, side="right")
        small = Program(
            [program.costs[c] for c in numbers],
            [program.upper[c] for c in numbers],
            [program.whole[c] for c in numbers],
        )
        small.rows = [
            (column[a:b].tolist(), value[a:b].tolist(), float(low[r]), float(high[r]))
            for r, a, b in zip(rows, starts, ends, strict=True)
        ]
        return small


@dataclass(frozen=True, eq=False)
class Solved:
    """What came of a solve.

    Parameters
    ----------
    ended
        How it ended.
    values
        Of the columns; None when no solution is in hand.
    cost
        Of `values`.
    bound
        Nothing costs less, when it is finite.
    reduced
        Reduced cost of each column, for a program solved without whole numbers.
    duals
        What one more on the right-hand side of each row would cost, for a program solved likewise.
    """

    ended: Ended
    values: Floats | None
    cost: float
    bound: float
    reduced: Floats | None = None
    duals: Floats | None = None


class _Silent(highspy.Highs):
    """The engine, told to be silent before it can print its banner on standard output."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the engine's name
        """Silence the engine while it is being made, then go on as it would."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def solve(
    program: Program,
    *,
    seconds: float,
    seed: int = 1,
    relaxed: bool = False,
    held: Floats | None = None,
    fixed: npt.NDArray[np.bool_] | None = None,
    nodes: int | None = None,
    gap: float = 1e-4,
    should_stop: Callable[[], bool] | None = None,
) -> Solved:
    """Minimise a program.

    Parameters
    ----------
    seconds
        Time limit [s].
    seed
        Of the engine.
    relaxed
        Let every column be a fraction.
    held, fixed
        Values, and the columns that keep theirs. The engine is given no solution to begin with: version 1.16
        mapped one wrongly through its presolve and called the result the best (found by trial).
    nodes
        Limit on branching that does not depend on the machine.
    gap
        Being so near to the bound is near enough, as a share; then it is called the best only at `1e-4`.
    should_stop
        Asked now and then while branching.
    """
    engine = _Silent()  # type: ignore[no-untyped-call]
    for name, value in (("output_flag", False), ("threads", 1), ("random_seed", seed % (1 << 31))):
        engine.setOptionValue(name, value)
    engine.setOptionValue("time_limit", max(0.05, seconds))
    engine.setOptionValue("mip_rel_gap", gap)
    if nodes is not None:
        engine.setOptionValue("mip_max_nodes", nodes)
    _load(engine, program, relaxed=relaxed, held=held, fixed=fixed)
    if should_stop is not None and not relaxed:
        _listen(engine, should_stop)
    engine.run()
    return _read(engine, program, relaxed=relaxed)


_DUAL, _PRIMAL = 1, 4


class Growing:
    """A program in fractions that grows by columns and rows and is solved again from where it stood.

    Parameters
    ----------
    program
        Grows beside the engine, so that it can be solved in whole numbers at any time.
    """

    def __init__(self, program: Program) -> None:
        self.program = program
        program.rows = [([*columns], [*values], low, high) for columns, values, low, high in program.rows]
        self._engine = _Silent()  # type: ignore[no-untyped-call]
        for name, value in (("output_flag", False), ("threads", 1)):
            self._engine.setOptionValue(name, value)
        _load(self._engine, program, relaxed=True, held=None, fixed=None)
        self._wider = False

    def column(self, cost: float, *, entries: Sequence[tuple[int, float]], whole: bool = True) -> int:
        """Add a column with its entries in rows there are; give its number."""
        number = self.program.column(cost, whole=whole)
        rows = np.array([row for row, _ in entries], np.int32)
        values = np.array([value for _, value in entries], np.float64)
        self._engine.addCol(cost, 0.0, 1.0, len(rows), rows, values)
        self._wider = self._wider or whole
        for row, value in entries:
            columns, factors, _, _ = self.program.rows[row]
            cast("list[int]", columns).append(number)
            cast("list[float]", factors).append(value)
        return number

    def at_least(self, columns: Sequence[int], values: Sequence[float], bound: float) -> int:
        """Add a row that must reach `bound`; give its number."""
        self.program.at_least(list(columns), list(values), bound)
        indices = np.array(columns, np.int32)
        factors = np.array(values, np.float64)
        self._engine.addRow(bound, highspy.kHighsInf, len(indices), indices, factors)
        return len(self.program.rows) - 1

    def solve(self, *, seconds: float) -> Solved:
        """Minimise, in fractions.

        Parameters
        ----------
        seconds
            Time limit for this time [s].
        """
        # From where it stood, more columns leave a solution that is not the best, more rows one that breaks
        # them: the primal method goes on from the first, the dual from the second.
        self._engine.setOptionValue("simplex_strategy", _PRIMAL if self._wider else _DUAL)
        self._engine.setOptionValue("time_limit", self._engine.getRunTime() + max(0.05, seconds))
        self._wider = False
        self._engine.run()
        return _read(self._engine, self.program, relaxed=True)


def _load(
    engine: Any,
    program: Program,
    *,
    relaxed: bool,
    held: Floats | None,
    fixed: npt.NDArray[np.bool_] | None,
) -> None:
    count = len(program.costs)
    lower, upper = np.zeros(count), np.array(program.upper, dtype=np.float64)
    if fixed is not None and held is not None:
        lower = np.where(fixed, np.round(held), lower)
        upper = np.where(fixed, np.round(held), upper)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = count, len(program.rows)
    model.col_cost_, model.col_lower_, model.col_upper_ = np.array(program.costs, np.float64), lower, upper
    model.row_lower_ = np.array([row[2] for row in program.rows], np.float64)
    model.row_upper_ = np.array([row[3] for row in program.rows], np.float64)
    sizes = [len(row[0]) for row in program.rows]
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate(([0], np.cumsum(sizes, dtype=np.int64))).astype(np.int32)
    model.a_matrix_.index_ = _joined([row[0] for row in program.rows], np.int32)
    model.a_matrix_.value_ = _joined([row[1] for row in program.rows], np.float64)
    if not relaxed and any(program.whole):
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[whole] for whole in program.whole]
    engine.passModel(model)


def _joined(parts: Sequence[Sequence[float]], kind: Any) -> npt.NDArray[Any]:
    # One list is read faster than many small arrays are put together.
    return np.array([number for part in parts for number in part], kind)


def _listen(engine: Any, should_stop: Callable[[], bool]) -> None:
    def ask(event: Any) -> None:
        if should_stop():
            event.interrupt()

    engine.cbMipInterrupt.subscribe(ask)


def _read(engine: Any, program: Program, *, relaxed: bool) -> Solved:
    status, info = engine.getModelStatus(), engine.getInfo()
    kinds = highspy.HighsModelStatus
    if status == kinds.kInfeasible:
        return Solved(Ended.NONE, None, np.inf, np.inf)
    feasible = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    solution = engine.getSolution()
    values = np.array(solution.col_value, np.float64) if feasible else None
    # Added up here rather than taken on the engine's word; where the two differ nothing is proved.
    cost = float(np.dot(values, program.costs)) if values is not None else float(np.inf)
    told = float(info.objective_function_value)
    agreed = values is None or abs(cost - told) <= 1e-6 * max(1.0, abs(cost))
    ended = Ended.BEST if status == kinds.kOptimal and agreed else Ended.STOPPED
    if relaxed or not any(program.whole):
        bound = cost if ended is Ended.BEST else -np.inf
        if ended is not Ended.BEST:
            return Solved(ended, values, cost, bound)
        reduced, duals = (np.array(one, np.float64) for one in (solution.col_dual, solution.row_dual))
        return Solved(ended, values, cost, bound, reduced, duals)
    bound = float(info.mip_dual_bound) if agreed else -np.inf
    near = ended is Ended.BEST and cost - bound > 2e-4 * max(1.0, abs(cost))
    return Solved(Ended.STOPPED if near else ended, values, cost, bound)
