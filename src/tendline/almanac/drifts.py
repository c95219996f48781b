"""Owns how unevenly wind lays snow: how far the depth at one spot may lie from the mean round it.

Does not own when wind moves snow or drawing depths (`plan`).

This is a spread over ground of one kind, not a map of drifts: where a drift comes to lie it does not say.
"""

import math
from enum import StrEnum


class Lie(StrEnum):
    """How a spot lies to the wind."""

    SHELTERED = "sheltered"
    UNKNOWN = "unknown"
    EXPOSED = "exposed"


VARIATION = {Lie.SHELTERED: 0.12, Lie.UNKNOWN: 0.4, Lie.EXPOSED: 0.6}
"""Standard deviation of the depth over its mean: forest with little wind 0.11 to 0.17, open ground 0.4 to
0.6, ridges to 0.9 (Liston 2004, from memory). Where nobody said, the least of open ground."""


def log_spread(variation: float) -> float:
    """Give the spread of the logarithm of a depth from its standard deviation over its mean.

    References
    ----------
    Lognormal depths, zeta squared = ln(1 + CV squared): Liston, G. E. (2004), Representing subgrid snow cover
    heterogeneities in regional and global models, Journal of Climate 17, 1381-1397, as written out in the
    description of a land model that uses it.
    """
    return math.sqrt(math.log(1.0 + variation**2))


def log_mean(variation: float) -> float:
    """Give the mean of that logarithm for which the mean depth stays what it was: minus half its square.

    References
    ----------
    As for `log_spread`: lambda = ln(mean) - zeta squared / 2.
    """
    return -0.5 * log_spread(variation) ** 2
