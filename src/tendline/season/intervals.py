"""Owns ranges for counts, shares and rates, and the tests that match them, each named by its method.

Does not own what is counted (`effort`) or how a range is worded (`report.season_text`).

scipy is loaded when the first range is asked for, never before.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

LEVEL = 0.95


@dataclass(frozen=True)
class Estimate:
    """A value with its range; `value` is None where nothing can be told, and the range then says nothing.

    Parameters
    ----------
    value, low, high
        In the unit of what is estimated; `high` may be infinite.
    method
        By what the range was worked out.
    level
        Chance that such a range holds the truth, at least (exact methods) or about (score methods).
    """

    value: float | None
    low: float
    high: float
    method: str
    level: float = LEVEL


@dataclass(frozen=True)
class Compared:
    """Two rates side by side: their ratio with its range, and the matching two-sided p-value."""

    ratio: float | None
    low: float
    high: float
    p: float
    method: str = "exact conditional (binomial)"

    @property
    def shown(self) -> bool:
        """Whether a difference is shown: the range leaves out 1."""
        return not self.low <= 1.0 <= self.high


def _special() -> Any:
    import scipy.special  # noqa: PLC0415 - slow to load; only when a range is wanted

    return scipy.special


def poisson_exact(count: int, *, level: float = LEVEL) -> Estimate:
    """Give the exact range of the mean behind one count.

    References
    ----------
    Garwood 1936, *Biometrika* 28:437-442: half the quantiles of chi-square with 2x and 2x + 2 degrees.
    """
    special, tail = _special(), (1.0 - level) / 2.0
    low = float(special.gammaincinv(count, tail)) if count else 0.0
    high = float(special.gammainccinv(count + 1, tail))
    return Estimate(float(count), low, high, "exact Poisson", level)


def rate_per_100(count: int, nights: float, *, level: float = LEVEL) -> Estimate:
    """Give catches per 100 device-nights; no value, and a range from 0 without end, when there is no effort.

    Parameters
    ----------
    count
        Catches, 0 or more.
    nights
        Device-nights, 0 or more.
    """
    if nights <= 0:
        return Estimate(None, 0.0, math.inf, "no effort", level)
    exact = poisson_exact(count, level=level)
    scale = 100.0 / nights
    return Estimate(count * scale, exact.low * scale, exact.high * scale, exact.method, level)


def clopper_pearson(part: int, whole: int, *, level: float = LEVEL) -> Estimate:
    """Give the exact range of a share.

    References
    ----------
    Clopper & Pearson 1934, *Biometrika* 26:404-413; quantiles of the beta distribution.
    """
    if whole == 0:
        return Estimate(None, 0.0, 1.0, "nothing counted", level)
    special, tail = _special(), (1.0 - level) / 2.0
    low = 0.0 if part == 0 else float(special.betaincinv(part, whole - part + 1, tail))
    high = 1.0 if part == whole else float(special.betaincinv(part + 1, whole - part, 1.0 - tail))
    return Estimate(part / whole, low, high, "Clopper-Pearson", level)


def wilson(part: int, whole: int, *, level: float = LEVEL, corrected: bool = False) -> Estimate:
    """Give the score range of a share.

    Parameters
    ----------
    part, whole
        Counts, 0 <= part <= whole.
    corrected
        With the correction for continuity.

    References
    ----------
    Wilson 1927; Newcombe 1998, *Statistics in Medicine* 17:857-872, methods 3 and 4.
    """
    if whole == 0:
        return Estimate(None, 0.0, 1.0, "nothing counted", level)
    z = NormalDist().inv_cdf(0.5 + level / 2.0)
    p, n = part / whole, float(whole)
    below = 2 * (n + z * z)
    if not corrected:
        middle, half = 2 * n * p + z * z, z * math.sqrt(z * z + 4 * n * p * (1 - p))
        low, high, method = (middle - half) / below, (middle + half) / below, "Wilson"
    else:
        down = z * math.sqrt(z * z - 2 - 1 / n + 4 * p * (n * (1 - p) + 1))
        up = z * math.sqrt(max(0.0, z * z + 2 - 1 / n + 4 * p * (n * (1 - p) - 1)))
        low, high = (2 * n * p + z * z - 1 - down) / below, (2 * n * p + z * z + 1 + up) / below
        method = "Wilson, corrected"
    low = 0.0 if part == 0 else max(0.0, low)
    high = 1.0 if part == whole else min(1.0, high)
    return Estimate(p, low, high, method, level)


def mid_p(part: int, whole: int, *, level: float = LEVEL) -> Estimate:
    """Give the range of a share by the mid-p tail areas.

    References
    ----------
    Newcombe 1998, *Statistics in Medicine* 17:857-872, method 6.
    """
    if whole == 0:
        return Estimate(None, 0.0, 1.0, "nothing counted", level)
    special, tail = _special(), (1.0 - level) / 2.0

    def under(p: float) -> float:  # chance of fewer than `part`, and half that of `part`
        fewer = float(special.bdtr(part - 1, whole, p)) if part else 0.0
        return (fewer + float(special.bdtr(part, whole, p))) / 2.0

    low = 0.0 if part == 0 else _bisect(lambda p: 1.0 - under(p), tail)
    high = 1.0 if part == whole else _bisect(lambda p: -under(p), -tail)
    return Estimate(part / whole, low, high, "mid-p", level)


def _bisect(rising: Any, wanted: float) -> float:
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < wanted else (low, middle)
    return (low + high) / 2


def share_difference(first: tuple[int, int], second: tuple[int, int], *, level: float = LEVEL) -> Estimate:
    """Give the first share less the second, with its hybrid score range.

    References
    ----------
    Newcombe 1998, *Statistics in Medicine* 17:873-890, method 10.
    """
    if first[1] == 0 or second[1] == 0:
        return Estimate(None, -1.0, 1.0, "nothing counted", level)
    a, b = wilson(*first, level=level), wilson(*second, level=level)
    assert a.value is not None
    assert b.value is not None
    gap = a.value - b.value
    low = gap - math.hypot(a.value - a.low, b.high - b.value)
    high = gap + math.hypot(a.high - a.value, b.value - b.low)
    return Estimate(gap, max(-1.0, low), min(1.0, high), "Newcombe hybrid score", level)


def rate_ratio(first: tuple[int, float], second: tuple[int, float], *, level: float = LEVEL) -> Compared:
    """Compare two rates, each a count and its effort: first over second.

    Returns
    -------
    Compared
        The range and the p-value are of one method, so that they never contradict each other.

    References
    ----------
    Ederer & Mantel 1974, *Am. J. Epidemiol.* 100:165-167; Fay 2010, *R Journal* 2(1):53-58.
    """
    (x, t), (y, u) = first, second
    if t <= 0 or u <= 0 or x + y == 0:
        return Compared(None, 0.0, math.inf, 1.0)
    share = clopper_pearson(x, x + y, level=level)
    times = u / t
    low = share.low / (1 - share.low) * times if share.low < 1 else math.inf
    high = share.high / (1 - share.high) * times if share.high < 1 else math.inf
    special, p0 = _special(), t / (t + u)
    at_most = float(special.bdtr(x, x + y, p0))
    at_least = 1.0 if x == 0 else float(special.bdtrc(x - 1, x + y, p0))
    ratio = x / y * times if y else math.inf
    return Compared(ratio, low, high, min(1.0, 2 * min(at_most, at_least)))


def ratio_by_score(first: tuple[int, float], second: tuple[int, float], *, level: float = LEVEL) -> Compared:
    """Compare two rates by the score method.

    References
    ----------
    Gu, Ng, Tang & Schucany 2008, *Biometrical Journal* 50:283-298: the score statistic; its range is the
    Wilson range of the first count among both.
    """
    (x, t), (y, u) = first, second
    if t <= 0 or u <= 0 or x + y == 0:
        return Compared(None, 0.0, math.inf, 1.0, "score")
    share, times = wilson(x, x + y, level=level), u / t
    low = share.low / (1 - share.low) * times if share.low < 1 else math.inf
    high = share.high / (1 - share.high) * times if share.high < 1 else math.inf
    d = t / u
    z = (x - y * d) / math.sqrt((x + y) * d)
    p = 2 * (1 - NormalDist().cdf(abs(z)))
    return Compared(x / y * times if y else math.inf, low, high, p, "score")


def meets(part: int, whole: int, standard: float, *, level: float = LEVEL) -> bool | None:
    """Say whether a share is shown to reach a standard: True, False (shown to miss it), or None.

    Parameters
    ----------
    part, whole
        Counts.
    standard
        The share wanted, 0 to 1.

    Returns
    -------
    bool or None
        By the one-sided exact limit; None when there are not enough animals to judge.
    """
    if whole == 0:
        return None
    one_sided = clopper_pearson(part, whole, level=2 * level - 1)
    if one_sided.low >= standard:
        return True
    return False if one_sided.high < standard else None
