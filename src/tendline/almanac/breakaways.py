"""Owns what is known of breakaways: how far they scatter, the margin above them, and what a batch test tells.

Does not own the legal limit (`rules`) or the chain they sit in (`gear.chain`).
"""

from dataclasses import dataclass

from tendline.core.units import NEWTONS_PER_POUND

SEEN_LOW_N, SEEN_HIGH_N = 142 * NEWTONS_PER_POUND, 486 * NEWTONS_PER_POUND
"""Lowest and highest load at which single breakaways of seven kinds parted on a testing machine [N]:
Phillips, Blom and Johnson (1990), 14th Vertebrate Pest Conference."""

MARGIN = 1.25
"""How much stronger than the breakaway everything else should be: an engineering choice, not published."""


@dataclass(frozen=True)
class Batch:
    """What pull tests of one batch came to [N].

    Parameters
    ----------
    count
        How many were pulled.
    low_n, high_n, mean_n
        Lowest, highest, mean.
    spread_n
        Standard deviation with n - 1; 0 for a single pull.
    chance_within
        Chance that the next one of the batch parts between the lowest and the highest.
    """

    count: int
    low_n: float
    high_n: float
    mean_n: float
    spread_n: float
    chance_within: float


def batch_of(pulls_n: tuple[float, ...]) -> Batch:
    """Sum up pull tests of a batch, one at least [N].

    References
    ----------
    Order statistics: of n + 1 loads alike in distribution, the last lies between the lowest and the highest
    of the first n with chance (n - 1) / (n + 1), whatever the distribution (Wilks 1941, Annals of
    Mathematical Statistics 12, 91-96, from memory).
    """
    count = len(pulls_n)
    mean = sum(pulls_n) / count
    spread = (sum((p - mean) ** 2 for p in pulls_n) / (count - 1)) ** 0.5 if count > 1 else 0.0
    return Batch(count, min(pulls_n), max(pulls_n), mean, spread, (count - 1) / (count + 1))
