"""Owns the one door to the linear-programming engine: a program in, values and bound out.

Does not own what a program stands for.
"""

from collections.abc import Callable, Sequence
from typing import Any, cast

import highspy
import numpy as np

from tendline.plan.lp_program import Ended, Program, Solved, joined


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
    inner: bool = False,
    nodes: int | None = None,
    gap: float = 1e-4,
    should_stop: Callable[[], bool] | None = None,
) -> Solved:
    """Minimise a program.

    The engine is given no solution to begin with: version 1.16 mapped one wrongly through its presolve and
    called the result the best (found by trial).

    Parameters
    ----------
    seconds
        Time limit [s].
    seed
        Of the engine.
    relaxed
        Let every column be a fraction.
    inner
        Go through the middle rather than along the edges, and stay there: quicker for large programs in
        fractions, right to about 1 in 10^7, and prices lie in the middle of those that would do.
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
    if inner:
        engine.setOptionValue("solver", "ipm")
        engine.setOptionValue("run_crossover", "off")
    _load(engine, program, relaxed=relaxed)
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
        _load(self._engine, program, relaxed=True)
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


def _load(engine: Any, program: Program, *, relaxed: bool) -> None:
    count = len(program.costs)
    lower, upper = np.zeros(count), np.array(program.upper, dtype=np.float64)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = count, len(program.rows)
    model.col_cost_, model.col_lower_, model.col_upper_ = np.array(program.costs, np.float64), lower, upper
    model.row_lower_ = np.array([row[2] for row in program.rows], np.float64)
    model.row_upper_ = np.array([row[3] for row in program.rows], np.float64)
    sizes = [len(row[0]) for row in program.rows]
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate(([0], np.cumsum(sizes, dtype=np.int64))).astype(np.int32)
    model.a_matrix_.index_ = joined([row[0] for row in program.rows], np.int32)
    model.a_matrix_.value_ = joined([row[1] for row in program.rows], np.float64)
    if not relaxed and any(program.whole):
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[whole] for whole in program.whole]
    engine.passModel(model)


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
