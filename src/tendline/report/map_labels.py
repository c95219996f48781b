"""Owns where the names on a map stand, so that as few as can be lie on one another.

Does not own what is named or how it is drawn (`report.ground_map`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tendline.report.table import cells_wide

LETTER, TALL = 8.5, 14.0
"""Width of a letter and height of a line [px], in the letters of the map."""


@dataclass(frozen=True)
class Box:
    """A rectangle from its upper left corner [px]."""

    x: float
    y: float
    wide: float
    tall: float

    def over(self, other: "Box") -> float:
        """Give the area common to both [px2]."""
        wide = min(self.x + self.wide, other.x + other.wide) - max(self.x, other.x)
        tall = min(self.y + self.tall, other.y + other.tall) - max(self.y, other.y)
        return max(wide, 0.0) * max(tall, 0.0)

    def outside(self, wide: float, tall: float) -> float:
        """Give how much of it lies outside a drawing of that size [px2]."""
        return self.wide * self.tall - self.over(Box(0.0, 0.0, wide, tall))


def place_labels(
    at: Sequence[tuple[float, float]], names: Sequence[str], *, taken: Sequence[Box], wide: float, tall: float
) -> tuple[Box, ...]:
    """Choose a place for each name beside its sign.

    Parameters
    ----------
    at
        Middles of the signs [px].
    names
        As long as `at`.
    taken
        What no name should cover: the signs.
    wide, tall
        Size of the drawing [px].

    Returns
    -------
    tuple of Box
        One by one, each where it covers least: to the right if it can, else one of seven other places.
    """
    placed: list[Box] = []
    for (x, y), name in zip(at, names, strict=True):
        best = min(_choices(x, y, name), key=lambda box: _cost(box, (*taken, *placed), wide, tall))
        placed.append(best)
    return tuple(placed)


def _choices(x: float, y: float, name: str) -> list[Box]:
    long = LETTER * cells_wide(name)
    right, left, middle = x + 10, x - 10 - long, x - long / 2
    up, down, level = y - 9 - TALL, y + 9, y - TALL / 2
    spots = [(right, level), (left, level), (middle, up), (middle, down)]
    spots += [(right, up), (right, down), (left, up), (left, down)]
    return [Box(left_edge, top, long, TALL) for left_edge, top in spots]


def _cost(box: Box, taken: Sequence[Box], wide: float, tall: float) -> float:
    return sum(box.over(other) for other in taken) + 4 * box.outside(wide, tall)
