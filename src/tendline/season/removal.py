"""Owns the estimates of a local number from falling catches: Carle & Strub, Moran, Zippin, Seber.

Does not own the estimates from catch and effort (`leslie`), nor what they may be called: "local removal
index", never "animals left", for coyotes move in within days.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate

from tendline.core.errors import refuse
from tendline.season.faults import ASKED

ASSUMES = (
    "nothing comes in, leaves or dies otherwise while it lasts (for coyotes true for days at best)",
    "every animal is as likely to be taken in each round",
    "every round is the same effort",
)
"""What each estimate takes for granted, in words."""


@dataclass(frozen=True)
class Removed:
    """One estimate.

    Parameters
    ----------
    method
        Whose.
    number
        Animals at the start; None when the catches do not fall enough to tell.
    p
        Chance of taking each animal in one round.
    se
        Standard error of `number`; None when the method gives none.
    """

    method: str
    number: float | None
    p: float | None = None
    se: float | None = None


def checked(catches: Sequence[int]) -> tuple[int, ...]:
    """Refuse what is no list of rounds.

    Raises
    ------
    Refused
        SEA-201 for fewer than two rounds, less than no animal, or none at all.
    """
    if len(catches) < 2 or any(c < 0 for c in catches) or sum(catches) == 0:
        what = f"{', '.join(map(str, catches)) or 'nothing'} cannot be a list of catches by round."
        raise refuse(ASKED, what, "--rounds", "Give two rounds or more, such as 38,26,12.")
    return tuple(catches)


def _sums(catches: Sequence[int]) -> tuple[int, int, int]:
    k = len(catches)
    return k, sum(catches), sum((k - i) * c for i, c in enumerate(catches, start=1))


def _standard_error(number: float, k: int, p: float) -> float | None:
    """Give the large-sample standard error: Zippin 1956; Seber 1982, equation 7.21."""
    missed = (1 - p) ** k
    below = (1 - missed) ** 2 - (p * k) ** 2 * (1 - p) ** (k - 1)
    return math.sqrt(number * (1 - missed) * missed / below) if below > 0 else None


def carle_strub(catches: Sequence[int], *, alpha: float = 1.0, beta: float = 1.0) -> Removed:
    """Estimate by weighted maximum likelihood; always gives a number.

    References
    ----------
    Carle & Strub 1978, *Biometrics* 34:621-630, equation 7.
    """
    k, total, x = _sums(checked(catches))
    number = total
    while _carle(number, k, total, x, alpha, beta) > 1.0:
        number += 1
    p = total / (k * number - x)
    return Removed("Carle & Strub", float(number), p, _standard_error(number, k, p))


def _carle(n: int, k: int, total: int, x: int, alpha: float, beta: float) -> float:  # noqa: PLR0917 - the equation's
    product = (n + 1) / (n - total + 1)
    for i in range(1, k + 1):
        product *= (k * n - x - total + beta + k - i) / (k * n - x + alpha + beta + k - i)
    return product


def moran(catches: Sequence[int]) -> Removed:
    """Estimate by maximum likelihood over any number, whole or not.

    References
    ----------
    Moran 1951, *Biometrika* 38:307-311, in the form of Schnute 1983, *Can. J. Fish.
    Aquat. Sci.* 40:2153-2169.
    """
    catches = checked(catches)
    k, total, x = _sums(catches)
    if 2 * x <= (k - 1) * total:
        return Removed("Moran", None)

    def loss(n: float) -> float:
        p = total / (k * n - x)
        left, out = n, 0.0
        for c in catches:
            out -= math.lgamma(left + 1) - math.lgamma(c + 1) - math.lgamma(left - c + 1)
            left -= c
        return out - total * math.log(p) - ((k * n - x - total) * math.log1p(-p) if p < 1 else 0.0)

    number = _lowest(loss, total + 1e-9, total * 50.0 + 100)
    p = total / (k * number - x)
    return Removed("Moran", number, p)


def zippin(catches: Sequence[int]) -> Removed:
    """Estimate by the continuous maximum likelihood.

    References
    ----------
    Zippin 1956, *Biometrics* 12:163-189; 1958, *J. Wildl. Manage.* 22:82-90.
    """
    k, total, x = _sums(checked(catches))
    if 2 * x <= (k - 1) * total:
        return Removed("Zippin", None)
    wanted = sum((i - 1) * c for i, c in enumerate(catches, start=1)) / total

    def ratio(q: float) -> float:
        return q / (1 - q) - k * q**k / (1 - q**k)

    low, high = 0.0, 1.0 - 1e-9
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if ratio(middle) < wanted else (low, middle)
    q = (low + high) / 2
    number = total / (1 - q**k)
    return Removed("Zippin", number, 1 - q, _standard_error(number, k, 1 - q))


def seber_two(catches: Sequence[int]) -> Removed:
    """Estimate from the first two rounds.

    References
    ----------
    Seber & Le Cren 1967, *J. Animal Ecol.* 36:631-643.
    """
    first, second = checked(catches)[:2]
    if second >= first:
        return Removed("Seber, two rounds", None)
    gap = first - second
    se = first * second * math.sqrt(first + second) / gap**2
    return Removed("Seber, two rounds", first**2 / gap, gap / first, se)


def seber_three(catches: Sequence[int]) -> Removed:
    """Estimate from the first three rounds, in closed form.

    References
    ----------
    Seber 1982, *The Estimation of Animal Abundance*, 2nd ed., p. 315; Cowx 1983, *Fish. Mgmt* 14:67-82.
    """
    if len(checked(catches)) < 3:
        return Removed("Seber, three rounds", None)
    first, second, third = catches[:3]
    total, x = first + second + third, 2 * first + second
    root = total**2 + 6 * x * total - 3 * x**2
    if x <= total or root < 0:
        return Removed("Seber, three rounds", None)
    number = (6 * x**2 - 3 * x * total - total**2 + total * math.sqrt(root)) / (18 * (x - total))
    return Removed("Seber, three rounds", number, None)


def every_method(catches: Sequence[int]) -> tuple[Removed, ...]:
    """Give every estimate from rounds of equal effort."""
    return carle_strub(catches), moran(catches), zippin(catches), seber_two(catches), seber_three(catches)


def _lowest(loss: Callable[[float], float], low: float, high: float) -> float:
    """Find the lowest point of a curve with one valley, by golden section."""
    golden = (math.sqrt(5) - 1) / 2
    a, b = low, high
    c, d = b - golden * (b - a), a + golden * (b - a)
    for _ in range(200):
        if loss(c) < loss(d):
            b, d = d, c
            c = b - golden * (b - a)
        else:
            a, c = c, d
            d = a + golden * (b - a)
    return (a + b) / 2


@dataclass(frozen=True)
class StopRule:
    """When to stop, stated beforehand.

    Parameters
    ----------
    sure
        Chance wanted.
    nights
        Nights without a catch after which an animal that is still there would have been taken with that
        chance.
    """

    sure: float
    nights: int


def taken_within(rate_per_night: float, nights: Sequence[int]) -> tuple[float, ...]:
    """Give the chance that one animal that uses the place is taken within so many nights.

    Parameters
    ----------
    rate_per_night
        Chance in one night, all devices together, 0 to 1.
    nights
        How many.
    """
    return tuple(1.0 - (1.0 - rate_per_night) ** n for n in nights)


def stop_rule(rate_per_night: float, *, sure: float = 0.95) -> StopRule | None:
    """Give the nights without a catch after which to stop; None when nothing is known of the chance."""
    if not 0 < rate_per_night < 1:
        return None
    return StopRule(sure, math.ceil(math.log(1 - sure) / math.log(1 - rate_per_night)))


def running(catches: Sequence[int]) -> tuple[int, ...]:
    """Give the catch so far before each round."""
    return (0, *accumulate(catches))[: len(catches)]
