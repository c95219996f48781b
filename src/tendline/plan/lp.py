"""Owns the one door to the linear-programming engine: a program in, values and bound out.

Does not own what a program stands for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

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
    """

    ended: Ended
    values: Floats | None
    cost: float
    bound: float
    reduced: Floats | None = None


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
    should_stop
        Asked now and then while branching.
    """
    engine = _Silent()  # type: ignore[no-untyped-call]
    for name, value in (("output_flag", False), ("threads", 1), ("random_seed", seed % (1 << 31))):
        engine.setOptionValue(name, value)
    engine.setOptionValue("time_limit", max(0.05, seconds))
    if nodes is not None:
        engine.setOptionValue("mip_max_nodes", nodes)
    _load(engine, program, relaxed=relaxed, held=held, fixed=fixed)
    if should_stop is not None and not relaxed:
        _listen(engine, should_stop)
    engine.run()
    return _read(engine, program, relaxed=relaxed)


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
    return np.concatenate([np.asarray(part, kind) for part in parts]) if parts else np.zeros(0, kind)


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
        reduced = np.array(solution.col_dual, np.float64) if ended is Ended.BEST else None
        return Solved(ended, values, cost, bound, reduced)
    return Solved(ended, values, cost, float(info.mip_dual_bound) if agreed else -np.inf)
