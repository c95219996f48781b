"""Owns the model of what each set is worth: catches per night, pooled by kind of place and by property.

Does not own the counts it starts from (`effort`) or the ranking made of it (`ranking`).

Catches y and near-misses n of set i, over effort E:

    y_i ~ Poisson(m · k_i · p_i · s_i · E_i)
    n_i ~ Poisson(c · w_i · m · k_i · p_i · s_i · E_i)

m is the rate of the line; k, p and s are factors of the kind of place, the property and the set, gamma with
mean 1 and a spread that is learned; c is how many near-misses go with a catch; w lets a set be refused more
than others, and its spread, learned as well, says how far near-misses speak for catches.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SHAPES = np.geomspace(0.5, 60.0, 24)
"""Spreads that are weighed: shape of a gamma with mean 1; 60 is hardly any spread, 0.5 a great one."""

PRIOR_SHAPE, PRIOR_NIGHTS = 1.0, 100.0
"""Before any record: one catch in a hundred device-nights, and little sure of that (practice: 45 to 250)."""

BURN, KEPT = 300, 1000


@dataclass(frozen=True)
class Worked:
    """What one set came to.

    Parameters
    ----------
    name, kind, property
        Which set, its kind of place, its property.
    caught, near
        Target animals held; near-misses.
    nights
        Device-nights.
    """

    name: str
    kind: str
    property: str
    caught: int
    near: int
    nights: float


@dataclass(frozen=True)
class Drawn:
    """Draws from what is believed after the record.

    Parameters
    ----------
    sets
        As handed in.
    rates
        Catches per device-night, one row a draw, one column a set.
    near_shape
        Draws of the spread between near-misses and catches: great when they go together.
    """

    sets: tuple[Worked, ...]
    rates: Floats
    near_shape: Floats


class _Pool:
    """One family of factors with mean 1 and a spread that is learned."""

    def __init__(self, member: NDArray[np.int64], size: int) -> None:
        self.member, self.size = member, size
        self.factor: Floats = np.ones(size)
        self.shape = 4.0

    @property
    def each(self) -> Floats:
        """The factor of each set."""
        return self.factor[self.member]

    def draw(self, events: Floats, exposure: Floats, chance: np.random.Generator) -> None:
        """Draw factors, then the spread, given events and what they would be at factor 1, set by set."""
        seen = np.bincount(self.member, events, self.size)
        due = np.bincount(self.member, exposure, self.size)
        self.factor = np.maximum(chance.gamma(self.shape + seen, 1.0 / (self.shape + due)), 1e-12)
        self.shape = _draw_shape(self.factor, chance)


def _draw_shape(factors: Floats, chance: np.random.Generator) -> float:
    total = float(np.log(factors).sum() - factors.sum())
    logs = factors.size * (SHAPES * np.log(SHAPES) - _LOG_GAMMA) + SHAPES * total
    weights = np.exp(logs - logs.max())
    return float(chance.choice(SHAPES, p=weights / weights.sum()))


def _log_gamma(values: Floats) -> Floats:
    from math import lgamma  # noqa: PLC0415 - numpy has none

    return np.array([lgamma(float(v)) for v in values])


_LOG_GAMMA = _log_gamma(SHAPES)


def draw_rates(sets: Sequence[Worked], *, seed: int, kept: int = KEPT, burn: int = BURN) -> Drawn:
    """Draw what each set may be worth, given the whole record, by Gibbs sampling.

    Parameters
    ----------
    sets
        Every set with effort; at least one.
    seed
        The same seed gives the same draws.
    kept, burn
        Draws kept, and draws thrown away before.

    References
    ----------
    Gelman et al. 2013, *Bayesian Data Analysis*, 3rd ed., sections 2.6 and 5.3: the gamma-Poisson model and
    its pooling. Every step here is conjugate, but for the spreads, which are drawn from a grid.
    """
    chance = np.random.default_rng(seed)
    caught = np.array([s.caught for s in sets], dtype=np.float64)
    near = np.array([s.near for s in sets], dtype=np.float64)
    nights = np.array([s.nights for s in sets], dtype=np.float64)
    pools = [_pool([s.kind for s in sets]), _pool([s.property for s in sets]), _pool([s.name for s in sets])]
    wary = _pool([s.name for s in sets])
    base, per_catch = (caught.sum() + PRIOR_SHAPE) / (nights.sum() + PRIOR_NIGHTS), 1.0
    rates, shapes = np.empty((kept, len(sets))), np.empty(kept)
    for step in range(burn + kept):
        times = _product(pools)
        seen = 1.0 + per_catch * wary.each
        base = chance.gamma(
            PRIOR_SHAPE + (caught + near).sum(), 1.0 / (PRIOR_NIGHTS + (nights * times * seen).sum())
        )
        for pool in pools:
            others = times / pool.each
            pool.draw(caught + near, base * nights * others * seen, chance)
            times = others * pool.each
        expected = base * nights * times
        per_catch = chance.gamma(1.0 + near.sum(), 1.0 / (0.5 + (expected * wary.each).sum()))
        wary.draw(near, per_catch * expected, chance)
        if step >= burn:
            rates[step - burn], shapes[step - burn] = base * times, wary.shape
    return Drawn(tuple(sets), rates, shapes)


def _pool(names: Sequence[str]) -> _Pool:
    _, member = np.unique(np.array(names), return_inverse=True)
    return _Pool(member.astype(np.int64), int(member.max()) + 1)


def _product(pools: Sequence[_Pool]) -> Any:
    times: Floats = np.ones(pools[0].member.size)
    for pool in pools:
        times = times * pool.each
    return times
