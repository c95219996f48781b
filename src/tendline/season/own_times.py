"""Owns what the record says of a person's own times: middle values with ranges, or how much is missing.

Does not own the recordings (terrain.along), the record (logbook) or writing anything down (jobs).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

CONFIDENCE = 0.9
"""Ranges hold the true value in so many of all cases."""

LEAST_OUTINGS = 3
"""Fewer recorded outings tell no range of a factor."""

LEAST_TIMES = 10
"""Fewer times tell no range of a middle value."""

LEAST_GAPS = 20
"""Fewer gaps between looks do not tell walking from looking."""

LEAST_CHECKS = 30
"""Fewer checks tell no share."""


@dataclass(frozen=True)
class Learned:
    """A value with its range.

    Parameters
    ----------
    value, low, high
        The middle, and a range that holds the true one in nine cases of ten.
    count
        How many outings, times, gaps or checks it rests on.
    """

    value: float
    low: float
    high: float
    count: int


def factor(ratios: Sequence[float]) -> Learned | None:
    """Give the factor by which a person is slower than a curve.

    Parameters
    ----------
    ratios
        Time taken over time by the curve, one for each outing: pieces of one outing are alike.

    Returns
    -------
    Learned or None
        Geometric mean with Student's range of its logarithm; None with fewer than three outings.

    References
    ----------
    Student (1908), The probable error of a mean, Biometrika 6(1), 1-25; on logarithms, as ratios are.
    """
    if len(ratios) < LEAST_OUTINGS:
        return None
    logs = np.log(np.asarray(ratios, np.float64))
    reach = float(stats.t.ppf((1 + CONFIDENCE) / 2, len(logs) - 1) * logs.std(ddof=1) / math.sqrt(len(logs)))
    middle = float(logs.mean())
    return Learned(math.exp(middle), math.exp(middle - reach), math.exp(middle + reach), len(logs))


def factor_against(ratios: Sequence[float], others: Sequence[float]) -> Learned | None:
    """Give the factor by which outings of one kind are slower than those of another: snow against bare.

    Parameters
    ----------
    ratios, others
        As of `factor`, for both kinds.

    Returns
    -------
    Learned or None
        Ratio of the geometric means with Welch's range; None with fewer than three outings of either.

    References
    ----------
    Welch, B. L. (1947), The generalization of Student's problem when several different population variances
    are involved, Biometrika 34, 28-35.
    """
    if min(len(ratios), len(others)) < LEAST_OUTINGS:
        return None
    a, b = np.log(np.asarray(ratios, np.float64)), np.log(np.asarray(others, np.float64))
    parts = np.array([a.var(ddof=1) / len(a), b.var(ddof=1) / len(b)])
    middle = float(a.mean() - b.mean())
    total = float(parts.sum())
    reach = 0.0
    if total > 0:
        freedom = total**2 / float((parts**2 / [len(a) - 1, len(b) - 1]).sum())
        reach = float(stats.t.ppf((1 + CONFIDENCE) / 2, freedom)) * math.sqrt(total)
    return Learned(math.exp(middle), math.exp(middle - reach), math.exp(middle + reach), len(a) + len(b))


def middle(values: Sequence[float]) -> Learned | None:
    """Give the median of times, which a few long ones do not move.

    Parameters
    ----------
    values
        Times.

    Returns
    -------
    Learned or None
        Median with the narrowest range of order statistics that holds in at least nine cases of ten, whatever
        the distribution; None with fewer than ten.

    References
    ----------
    Conover, W. J., Practical nonparametric statistics, confidence interval for a quantile: ranks from the
    binomial distribution with a half.
    """
    if len(values) < LEAST_TIMES:
        return None
    held = np.sort(np.asarray(values, np.float64))
    count = len(held)
    # Ranks r and n + 1 - r hold the median but for twice the chance of fewer than r values below it.
    rank = 1
    while 1 - 2 * float(stats.binom.cdf(rank, count, 0.5)) >= CONFIDENCE:
        rank += 1
    return Learned(float(np.median(held)), float(held[rank - 1]), float(held[count - rank]), count)


def share(some: int, out_of: int) -> Learned | None:
    """Give a share with Wilson's range; None with fewer than thirty.

    References
    ----------
    Wilson, E. B. (1927), Probable inference, the law of succession, and statistical inference, Journal of the
    American Statistical Association 22, 209-212.
    """
    if out_of < LEAST_CHECKS:
        return None
    z = float(stats.norm.ppf((1 + CONFIDENCE) / 2))
    p = some / out_of
    centre = (p + z * z / (2 * out_of)) / (1 + z * z / out_of)
    reach = z * math.sqrt(p * (1 - p) / out_of + z * z / (4 * out_of**2)) / (1 + z * z / out_of)
    return Learned(p, max(centre - reach, 0.0), min(centre + reach, 1.0), out_of)


def walk_and_look(walks: Sequence[float], gaps: Sequence[float]) -> tuple[Learned, Learned] | None:
    """Tell walking from looking by the times of looks alone.

    Parameters
    ----------
    walks
        Time by the curve from one set to the next [s].
    gaps
        Time between the two looks [s].

    Returns
    -------
    tuple of Learned or None
        The factor on walking, and the time of a look [s]: slope and intercept of a line that outliers do not
        move; the range of the second is of the rest that each gap leaves. None with fewer than twenty gaps,
        or when all walks take the same time.

    References
    ----------
    Theil, H. (1950), A rank-invariant method of linear and polynomial regression analysis; Sen, P. K. (1968),
    Estimates of the regression coefficient based on Kendall's tau, Journal of the American Statistical
    Association 63, 1379-1389; as in scipy.
    """
    if len(gaps) < LEAST_GAPS or len(set(walks)) < 2:
        return None
    x, y = np.asarray(walks, np.float64), np.asarray(gaps, np.float64)
    slope, _, low, high = stats.theilslopes(y, x, CONFIDENCE)
    rest = middle([float(one) for one in y - slope * x])
    assert rest is not None  # twenty are enough for ten
    return Learned(float(slope), float(low), float(high), len(y)), rest
