"""Owns how many of something to have so that the chance of running out is no more than a stated one.

Does not own which parts a device takes (`gear.parts`). Own history is pooled with a stated prior: a rate is a
gamma distribution, its count over a known number of device-nights a negative binomial.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tendline.core.errors import FaultList
from tendline.gear.faults import FIGURE

_TAIL = 1e-12
_MOST = 1_000_000


@dataclass(frozen=True)
class Rate:
    """What is known of a rate: as if `events` had been counted over `nights` device-nights."""

    events: float
    nights: float

    @property
    def mean(self) -> float:
        """Mean rate [1/device-night]."""
        return self.events / self.nights

    def with_seen(self, events: float, nights: float) -> "Rate":
        """Pool with what was counted: gamma prior and Poisson counts make a gamma again."""
        return Rate(self.events + events, self.nights + nights)

    def share(self, part: float) -> "Rate":
        """Give the rate of the share of events that use a part up: a thinned Poisson count is one again."""
        return Rate(self.events, self.nights / part)


@dataclass(frozen=True)
class Enough:
    """How many to have, and the chance that even so they run out."""

    count: int
    chance_short: float
    mean: float


def season_need(rates: Sequence[Rate], nights: float, *, risk: float) -> Enough:
    """Give how many will be enough over a season for events of several kinds together.

    Parameters
    ----------
    rates
        One for each kind of event, each by itself of the others.
    nights
        Device-nights planned, 0 or more.
    risk
        Chance of running out that is taken, between 0 and 1.

    Raises
    ------
    Refused
        GEAR-105 for figures that cannot be.
    """
    _check(nights, risk)
    mean = sum(rate.mean * nights for rate in rates)
    if nights == 0.0 or not rates:
        return Enough(0, 0.0, 0.0)
    chances = np.ones(1)
    for rate in rates:
        chances = np.convolve(chances, negative_binomial(rate, nights))
    return _enough(chances, risk, mean)


def pack_need(count: int, chance: float, *, risk: float) -> Enough:
    """Give how many will be enough for one round of `count` sets, each needing one with `chance`.

    Where the chances of the sets differ, their mean stands for them: the sum then scatters less than taken
    here, so that it errs on the side of too many.

    Raises
    ------
    Refused
        GEAR-105 for figures that cannot be.

    References
    ----------
    Hoeffding, W. (1956), On the distribution of the number of successes in independent trials, Annals of
    Mathematical Statistics 27, 713-721.
    """
    _check(float(count), risk)
    if not 0.0 <= chance <= 1.0:
        faults = FaultList()
        faults.add(FIGURE, f"{chance} is no chance.", "pack", "Give a number from 0 to 1.")
        faults.refuse()
    if chance in (0.0, 1.0) or count == 0:
        sure = count if chance == 1.0 else 0
        return Enough(sure, 0.0, float(sure))
    k = np.arange(count + 1, dtype=float)
    logs = np.array([_log_choose(count, int(i)) for i in k])
    chances = np.exp(logs + k * math.log(chance) + (count - k) * math.log1p(-chance))
    return _enough(chances, risk, count * chance)


def negative_binomial(rate: Rate, nights: float) -> NDArray[np.float64]:
    """Give the chances of 0, 1, 2 ... events over `nights`, to all but a millionth of a millionth.

    References
    ----------
    Gamma-Poisson mixture: size r = events, success p = nights known over nights known and to come, `nights`
    more than none.
    """
    whole = rate.nights + nights
    p, log_q = rate.nights / whole, math.log(nights) - math.log(whole)
    log_p = math.log(p)
    mean, spread = rate.mean * nights, math.sqrt(rate.mean * nights * (1.0 / p))
    top = min(_MOST, int(mean + 12.0 * spread + 40.0 / max(1e-6, -log_q)) + 20)
    k = np.arange(top, dtype=float)
    logs = np.array([math.lgamma(rate.events + i) - math.lgamma(i + 1.0) for i in k])
    found: NDArray[np.float64] = np.exp(logs - math.lgamma(rate.events) + rate.events * log_p + k * log_q)
    return found


def _enough(chances: NDArray[np.float64], risk: float, mean: float) -> Enough:
    short = np.maximum(0.0, 1.0 - np.cumsum(chances))
    enough = short <= risk + _TAIL
    if not enough[-1]:
        faults = FaultList()
        what = f"more than {_MOST} parts cannot be counted out."
        faults.add(FIGURE, what, "--nights", "Plan fewer devices or fewer nights.")
        faults.refuse()
    count = int(np.argmax(enough))
    return Enough(count, float(short[count]), mean)


def _log_choose(n: int, k: int) -> float:
    return math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)


def _check(exposure: float, risk: float) -> None:
    faults = FaultList()
    if not (math.isfinite(exposure) and exposure >= 0.0):
        faults.add(FIGURE, f"{exposure} sets or nights cannot be.", "parts", "Give a number, 0 or more.")
    if not 0.0 < risk < 1.0:
        faults.add(FIGURE, f"a chance of running out of {risk} cannot be.", "--risk", "Give 0.01 to 0.5.")
    faults.refuse()
