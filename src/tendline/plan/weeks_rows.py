"""Owns what a row of the program of the days ahead says, and lists of whole numbers that grow.

Does not own the program (`plan.weeks_master`).
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]


class Row(NamedTuple):
    """A block must be walked after one moment and no later than another.

    Parameters
    ----------
    block, after, until
        Which, and when [ms].
    given
        Only if it is walked within these moments [ms]; always, when None.
    soft
        What it costs not to [ms]; None for a limit that must be kept.
    """

    block: int
    after: int
    until: int
    given: tuple[int, int] | None = None
    soft: float | None = None


class Lists:
    """Rows of whole numbers that grow, read as one array."""

    def __init__(self, width: int) -> None:
        self._made: list[Sequence[int]] = []
        self._read = np.zeros((0, width), dtype=np.int64)

    def add(self, *numbers: int) -> None:
        """Add a row."""
        self._made.append(numbers)

    @property
    def array(self) -> Ints:
        """All rows, shape (count, width)."""
        if len(self._read) < len(self._made):
            new = np.array(self._made[len(self._read) :], dtype=np.int64)
            self._read = np.concatenate((self._read, new))
        return self._read
