"""Owns a linear program as data: columns, rows, parts of it, and what came of a solve.

Does not own solving it (`plan.lp`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

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
        self.rows.append((columns, values, bound, np.inf))

    def at_most(self, columns: Sequence[int], values: Sequence[float], bound: float) -> None:
        """Add a row that must not pass `bound`."""
        self.rows.append((columns, values, -np.inf, bound))


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
            joined([one[0] for one in program.rows], np.int64),
            joined([one[1] for one in program.rows], np.float64),
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

    def first(self, columns: int, rows: int) -> "Solved":
        """Give what it says of the first columns and rows."""
        return replace(
            self,
            values=None if self.values is None else self.values[:columns],
            reduced=None if self.reduced is None else self.reduced[:columns],
            duals=None if self.duals is None else self.duals[:rows],
        )


def joined(parts: Sequence[Sequence[float]], kind: Any) -> npt.NDArray[Any]:
    """Put the parts of all rows in one array, of `kind`."""
    # One list is read faster than many small arrays are put together.
    return np.array([number for part in parts for number in part], kind)
