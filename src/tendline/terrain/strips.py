"""Owns cutting a large array into strips of rows, so that what is worked out on the way stays small.

Does not own the work.
"""

from collections.abc import Iterator
from dataclasses import dataclass

STRIP_CELLS = 4_000_000
"""A strip has about so many cells: some hundred megabytes while sums are made on it."""


@dataclass(frozen=True)
class Strip:
    """Rows [first, last) of an array, and the rows [low, high) that are looked at for them.

    Parameters
    ----------
    first, last
        The strip.
    low, high
        The strip and its neighbours, as far as there are any.
    """

    first: int
    last: int
    low: int
    high: int

    @property
    def rows(self) -> slice:
        """The strip, in the array."""
        return slice(self.first, self.last)

    @property
    def seen(self) -> slice:
        """The strip and its neighbours, in the array."""
        return slice(self.low, self.high)

    @property
    def inner(self) -> slice:
        """The strip, in what is seen."""
        return slice(self.first - self.low, self.last - self.low)


def strips(shape: tuple[int, int], *, beside: int = 0, unit: int = 1) -> Iterator[Strip]:
    """Cut an array into strips of rows.

    Parameters
    ----------
    shape
        Rows and columns, at least one of each.
    beside
        So many rows above and below belong to what is seen.
    unit
        Every strip but the last has a multiple of so many rows.
    """
    rows, cols = shape
    high = max(unit, STRIP_CELLS // cols // unit * unit)
    for first in range(0, rows, high):
        last = min(first + high, rows)
        yield Strip(first, last, max(first - beside, 0), min(last + beside, rows))
