"""Owns the geometry of a loop of cable: round the loop and across it, hung as an oval, where its top comes.

Does not own limits of the law (`rules`) or what suits an animal (`gear`).
"""

import math
from dataclasses import dataclass

HUNG_RATIO = 1.4
"""Height over width of a loop that hangs as an oval: 14 by 10 inches for a 12 inch round one (Colorado State
University Cooperative Extension, fact sheet 6.517)."""


@dataclass(frozen=True)
class Oval:
    """A hanging loop: its height and width [m]."""

    height_m: float
    width_m: float


@dataclass(frozen=True)
class Reach:
    """A height that is only known within bounds [m], `low` <= `high`."""

    low_m: float
    high_m: float


def round_of(width_m: float) -> float:
    """Give the length round a circle from its width [m].

    References
    ----------
    Circumference of a circle.
    """
    return math.pi * width_m


def across_of(length_m: float) -> float:
    """Give the width of a circle from the length round it [m].

    References
    ----------
    Circumference of a circle.
    """
    return length_m / math.pi


def oval_round(height_m: float, width_m: float) -> float:
    """Give the length round an ellipse from its height and width [m], both positive.

    References
    ----------
    Ramanujan, S. (1914), Modular equations and approximations to pi, Quarterly Journal of Mathematics 45,
    350-372, second approximation; off by less than 5e-7 of the whole up to a ratio of 3.
    """
    half_sum = (height_m + width_m) / 2.0
    h = ((height_m - width_m) / (height_m + width_m)) ** 2
    return math.pi * half_sum * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))


def hung_oval(loop_round_m: float, *, ratio: float = HUNG_RATIO) -> Oval:
    """Give height and width of a loop of known length that hangs as an ellipse.

    Parameters
    ----------
    loop_round_m
        Length round the loop [m].
    ratio
        Height over width, 1 or more.

    References
    ----------
    Ramanujan (1914), as for `oval_round`, which is linear in the size at a fixed ratio. The ratio: Colorado
    State University Cooperative Extension, fact sheet 6.517.
    """
    if ratio < 1.0:
        raise ValueError("a hung loop is at least as high as it is wide")
    width = loop_round_m / oval_round(ratio, 1.0)
    return Oval(ratio * width, width)


def top_range(bottom_m: float, loop_across_m: float, *, ratio: float = HUNG_RATIO) -> Reach:
    """Give where the top of a loop can be when only its bottom was measured.

    Parameters
    ----------
    bottom_m
        Height of the lowest point [m].
    loop_across_m
        Width of the loop as a circle [m].
    ratio
        The longest oval it may hang as.

    Returns
    -------
    Reach
        From a round loop to an oval of `ratio`, above the surface that `bottom_m` was measured from [m].

    References
    ----------
    As for `hung_oval`.
    """
    oval = hung_oval(round_of(loop_across_m), ratio=ratio)
    return Reach(bottom_m + loop_across_m, bottom_m + oval.height_m)
