"""Owns what a measured place is worth: the spread behind an accuracy, and the chance of being on one side.

Does not own distances (`geodesy`, `ground.measure`) or what the law makes of them (`rules`).

The model is the circular normal: the error east and the error north are independent, without bias, and each
has the same standard deviation. It leaves out blunders, reflected signals and the slow drift that makes fixes
taken within minutes of each other err together: averaging those does not help.
"""

import math
from enum import StrEnum
from statistics import NormalDist

import numpy as np

ACCURACY_SHARE = 0.68
"""The share of fixes that the accuracy radius of a phone is meant to hold."""

UNSAID_ACCURACY_M = 15.0
"""Radius taken where a fix does not say how good it is [m]: the far end of 5 to 15 m under trees (common
practice, no source). Whoever uses it must say so."""

SURE_ENOUGH = 0.99
"""Chance at which a place counts as being on one side, unless the person has set another (our own choice)."""

_NORMAL = NormalDist()
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(200)


class Side(StrEnum):
    """On which side of a limit a place is, as far as it can be told."""

    RIGHT = "right side"
    WRONG = "wrong side"
    TOO_CLOSE = "too close to call"


def radius_m(sigma_m: float, *, share: float) -> float:
    """Give the radius that holds a share of all fixes: CEP for 0.5, R95 for 0.95.

    Parameters
    ----------
    sigma_m
        Standard deviation along one axis [m], 0 or more.
    share
        Between 0 and 1, both excluded.

    Returns
    -------
    float
        Radius [m].

    References
    ----------
    Rayleigh distribution, P(r < R) = 1 - exp(-R^2 / 2 sigma^2); Leick, Rapoport and Tatarnikov (2015), GPS
    satellite surveying, 4th edition, on circular error measures (from memory).
    """
    _check_share(share)
    return sigma_m * math.sqrt(-2.0 * math.log1p(-share))


def sigma_of(accuracy_m: float | None, *, share: float = ACCURACY_SHARE) -> float:
    """Give the standard deviation along one axis behind an accuracy radius.

    Parameters
    ----------
    accuracy_m
        Radius that holds `share` of all fixes [m], 0 or more; None where nobody said, which is read as
        `UNSAID_ACCURACY_M`.
    share
        0.68 for a phone; 0.95 where a receiver quotes that.

    Returns
    -------
    float
        Standard deviation [m].

    References
    ----------
    The inverse of `radius_m`.
    """
    given = UNSAID_ACCURACY_M if accuracy_m is None else accuracy_m
    return given / radius_m(1.0, share=share)


def joint_sigma(*sigmas_m: float) -> float:
    """Give the spread of the difference between places that err independently [m].

    References
    ----------
    Variances of independent errors add.
    """
    return math.hypot(*sigmas_m)


def chance_inside(signed_distance_m: float, sigma_m: float) -> float:
    """Give the chance that the true place lies on the near side of a straight edge.

    Parameters
    ----------
    signed_distance_m
        From the edge to the measured place [m]: positive on the wanted side.
    sigma_m
        Standard deviation along one axis [m], 0 or more.

    Returns
    -------
    float
        0 to 1. Near a corner the true chance is smaller: take the product for a right angle.

    References
    ----------
    Normal distribution function, Phi(d / sigma); with no spread, 1 on the edge itself.
    """
    if sigma_m <= 0.0:
        return 1.0 if signed_distance_m >= 0.0 else 0.0
    return _NORMAL.cdf(signed_distance_m / sigma_m)


def chance_beyond(distance_m: float, limit_m: float, sigma_m: float) -> float:
    """Give the chance that a point is at least `limit_m` away from another.

    Parameters
    ----------
    distance_m
        Between the two as measured [m], 0 or more.
    limit_m
        The least distance wanted [m], 0 or more.
    sigma_m
        Standard deviation of the difference along one axis [m], 0 or more.

    Returns
    -------
    float
        0 to 1: one less the weight of a circular normal inside a disc off its centre.

    References
    ----------
    Rice, S. O. (1945), Mathematical analysis of random noise, Bell System Technical Journal 24, 46-156,
    section 3.10: the distribution of the length of an offset vector; also the Marcum Q function of order 1.
    """
    if sigma_m <= 0.0:
        return 1.0 if distance_m >= limit_m else 0.0
    away, edge = distance_m / sigma_m, limit_m / sigma_m
    # Beyond nine deviations nothing is left to count.
    low, high = max(-edge, away - 9.0), min(edge, away + 9.0)
    if low >= high:
        return 1.0
    # Slices across the disc: x = edge sin t keeps the integrand smooth where the slice closes.
    start, end = math.asin(low / edge), math.asin(min(1.0, high / edge))
    angles = 0.5 * (end - start) * _NODES + 0.5 * (end + start)
    x, half = edge * np.sin(angles), edge * np.cos(angles)
    slices = np.array([math.erf(h / math.sqrt(2.0)) for h in half])
    density = np.exp(-0.5 * (x - away) ** 2) / math.sqrt(2.0 * math.pi)
    inside = 0.5 * (end - start) * float(np.sum(_WEIGHTS * density * slices * half))
    return min(1.0, max(0.0, 1.0 - inside))


def side(chance: float, *, sure: float = SURE_ENOUGH) -> Side:
    """Say on which side a place is, or that it is too close to call.

    Parameters
    ----------
    chance
        Of being on the right side, 0 to 1.
    sure
        Chance from which one side counts as certain, above 0.5 and below 1.

    References
    ----------
    Our own rule: the same proof is asked for both sides.
    """
    if not 0.5 < sure < 1.0:
        raise ValueError("a side is sure from a chance above a half and below 1")
    if chance >= sure:
        return Side.RIGHT
    return Side.WRONG if chance <= 1.0 - sure else Side.TOO_CLOSE


def margin_m(sigma_m: float, *, sure: float = SURE_ENOUGH) -> float:
    """Give how far from a straight edge a measured place must be for one side to be sure [m].

    References
    ----------
    Quantile of the normal distribution: 2.3263 sigma for 0.99.
    """
    return _NORMAL.inv_cdf(sure) * sigma_m


def _check_share(share: float) -> None:
    if not 0.0 < share < 1.0:
        raise ValueError("a share lies between 0 and 1")
