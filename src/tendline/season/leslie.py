"""Owns the estimates of a local number from catch and effort that fall together: Leslie & Davis, DeLury.

Does not own the estimates from rounds of equal effort (`removal`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from tendline.core.errors import refuse
from tendline.season.faults import ASKED


@dataclass(frozen=True)
class Fallen:
    """One estimate by regression.

    Parameters
    ----------
    method
        Whose.
    number, se
        Animals at the start and its standard error; None when catch per effort does not fall.
    q, q_se
        Share taken by one unit of effort, and its standard error.
    low, high
        Range of `number` that holds 95 of 100, by Student's t.
    r2
        Share of the scatter that the line explains.
    """

    method: str
    number: float | None
    se: float | None = None
    q: float | None = None
    q_se: float | None = None
    low: float | None = None
    high: float | None = None
    r2: float | None = None


@dataclass(frozen=True)
class _Line:
    slope: float
    intercept: float
    var_slope: float
    var_intercept: float
    covariance: float
    r2: float
    df: int


def leslie(catches: Sequence[float], effort: Sequence[float], *, ricker: bool = False) -> Fallen:
    """Estimate by the fall of catch per effort with the catch so far.

    Parameters
    ----------
    catches, effort
        By round; effort over 0.
    ricker
        Count half of a round's own catch as taken before it.

    Raises
    ------
    Refused
        SEA-201 for lists that do not match, or fewer than three rounds.

    References
    ----------
    Leslie & Davis 1939, *J. Animal Ecol.* 8:94-113; Ricker 1975, *Bull. Fish. Res. Board Can.* 191, eq. 6.4.
    """
    _check(catches, effort)
    before = [0.0, *accumulate(catches)][: len(catches)]
    if ricker:
        before = [k + c / 2 for k, c in zip(before, catches, strict=True)]
    line = _fit(before, [c / f for c, f in zip(catches, effort, strict=True)])
    name = "Leslie & Davis, Ricker's variant" if ricker else "Leslie & Davis"
    if line.slope >= 0:
        return Fallen(name, None, r2=line.r2)
    q = -line.slope
    number = line.intercept / q
    variance = (line.var_intercept + 2 * number * line.covariance + number**2 * line.var_slope) / q**2
    return _fallen(name, number, variance, line)


def delury(catches: Sequence[float], effort: Sequence[float], *, ricker: bool = False) -> Fallen:
    """Estimate by the fall of the logarithm of catch per effort with the effort so far.

    Parameters
    ----------
    catches, effort, ricker
        As for `leslie`; each catch over 0.

    Raises
    ------
    Refused
        SEA-201 as for `leslie`.

    References
    ----------
    DeLury 1947, *Biometrics* 3:145-167; Ricker 1975, *Bull. Fish. Res. Board Can.* 191, eq. 6.7.
    """
    _check(catches, effort)
    name = "DeLury, Ricker's variant" if ricker else "DeLury"
    if min(catches) <= 0:
        return Fallen(name, None)
    before = [0.0, *accumulate(effort)][: len(effort)]
    if ricker:
        before = [e + f / 2 for e, f in zip(before, effort, strict=True)]
    line = _fit(before, [math.log(c / f) for c, f in zip(catches, effort, strict=True)])
    if line.slope >= 0:
        return Fallen(name, None, r2=line.r2)
    q = -line.slope
    number = math.exp(line.intercept) / q
    variance = number**2 * (line.var_intercept + 2 * line.covariance / q + line.var_slope / q**2)
    return _fallen(name, number, variance, line)


def _fallen(name: str, number: float, variance: float, line: _Line) -> Fallen:
    import scipy.special  # noqa: PLC0415 - slow to load; only when asked for

    se = math.sqrt(variance)
    t = float(scipy.special.stdtrit(line.df, 0.975))
    return Fallen(
        name, number, se, -line.slope, math.sqrt(line.var_slope), number - t * se, number + t * se, line.r2
    )


def _check(catches: Sequence[float], effort: Sequence[float]) -> None:
    bad = len(catches) != len(effort) or len(catches) < 3 or min(effort, default=0) <= 0
    if bad or min(catches) < 0:
        what = f"{len(catches)} catches and {len(effort)} efforts cannot be fitted."
        do = "Give as many efforts as catches, three or more, each effort over 0."
        raise refuse(ASKED, what, "--rounds, --effort", do)


def _fit(x: Sequence[float], y: Sequence[float]) -> _Line:
    """Fit a straight line by least squares."""
    n = len(x)
    mx, my = sum(x) / n, sum(y) / n
    sxx = sum((v - mx) ** 2 for v in x)
    slope = sum((v - mx) * (w - my) for v, w in zip(x, y, strict=True)) / sxx if sxx else 0.0
    intercept = my - slope * mx
    rest = sum((w - intercept - slope * v) ** 2 for v, w in zip(x, y, strict=True))
    whole = sum((w - my) ** 2 for w in y)
    s2 = rest / (n - 2)
    return _Line(
        slope,
        intercept,
        s2 / sxx if sxx else math.inf,
        s2 * (1 / n + (mx * mx / sxx if sxx else 0.0)),
        -mx * s2 / sxx if sxx else 0.0,
        1 - rest / whole if whole else 0.0,
        n - 2,
    )
