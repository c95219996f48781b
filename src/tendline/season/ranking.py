"""Owns which sets and properties earn their check, when that can be told at all, and what would settle it.

Does not own the model (`earning`) or the hours (`tending`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from tendline.season.earning import Drawn, Floats, Worked, draw_rates

LEAST_CATCHES = 10
"""Own catches before a ranking is tried at all (common practice, no source)."""

SURE = 0.9
"""Chance from which a set is said to be over or under the middle of the line."""

SEED = 20261
"""Seed of the draws: the same record gives the same ranking. Any other would do."""


@dataclass(frozen=True)
class Worth:
    """What one set or property is worth.

    Parameters
    ----------
    name
        Which.
    caught, near, nights
        As counted.
    value, low, high
        Expected catches per 100 hours of tending, with the range that holds nine of ten.
    above
        Chance that it is over the middle of the line.
    fresh
        Words of fresh sign there; empty for none.
    hours_known
        Its own hours are on record; else the usual ones of the line stand in.
    """

    name: str
    caught: int
    near: int
    nights: float
    value: float
    low: float
    high: float
    above: float
    fresh: str = ""
    hours_known: bool = True

    @property
    def word(self) -> str:
        """What can be said of it."""
        if self.above >= SURE:
            return "over the middle"
        return "under the middle" if self.above <= 1 - SURE else "not told apart"


@dataclass(frozen=True)
class Ranking:
    """What earns its check.

    Parameters
    ----------
    sets, properties
        Fresh sign first, then by what is expected, or by name where no order may be read from it; empty when
        nothing was counted.
    ranked
        Whether an order may be read from them at all.
    why
        Why not, in words.
    more_nights
        Device-nights that each of two sets still needs before one twice as good as the other would show, four
        times of five; None when there is no rate to go by.
    near_speaks
        How far near-misses speak for catches, from 0 to 1.
    """

    sets: tuple[Worth, ...]
    properties: tuple[Worth, ...]
    ranked: bool
    why: str
    more_nights: float | None
    near_speaks: float | None = None


def rank(
    sets: Sequence[Worked],
    *,
    hours: Mapping[str, float],
    usual_hours: float,
    visits: Mapping[str, int],
    fresh: Mapping[str, str],
    seed: int = SEED,
) -> Ranking:
    """Say which sets and properties earn their check.

    Parameters
    ----------
    sets
        Every set, with or without effort.
    hours
        Hours a visit, by set, as far as on record.
    usual_hours
        Hours a visit where none is on record, over 0.
    visits
        Looks, by set.
    fresh
        Words of fresh sign, by set.
    seed
        Of the draws.
    """
    worked = [one for one in sets if one.nights > 0]
    caught = sum(one.caught for one in worked)
    if not worked:
        return Ranking((), (), ranked=False, why="there is no effort on record.", more_nights=None)
    drawn = draw_rates(worked, seed=seed)
    per_night = np.array(
        [
            max(hours.get(one.name, usual_hours), 1 / 60) * max(visits.get(one.name, 1), 1) / one.nights
            for one in worked
        ]
    )
    middle = np.median(drawn.rates / per_night * 100.0, axis=1)
    worths = [
        _worth(
            drawn, [i], per_night, middle=middle, name=one.name, known=hours, fresh=fresh.get(one.name, "")
        )
        for i, one in enumerate(worked)
    ]
    farms: dict[str, list[int]] = {}
    for i, one in enumerate(worked):
        farms.setdefault(one.property, []).append(i)
    places = [
        _worth(drawn, which, per_night, middle=middle, name=name, known=hours)
        for name, which in farms.items()
    ]
    told = any(w.above >= SURE or w.above <= 1 - SURE for w in (*worths, *places))
    why = ""
    if caught < LEAST_CATCHES:
        why = f"{caught} target catches are too few to rank by; from {LEAST_CATCHES} on it is tried."
    elif not told:
        why = "no set or property can be told from the middle of the line yet."
    return Ranking(
        _in_order(worths, ranked=not why),
        _in_order(places, ranked=not why),
        ranked=not why,
        why=why,
        more_nights=_to_settle(worked),
        near_speaks=_speaks(drawn),
    )


def _worth(
    drawn: Drawn,
    which: Sequence[int],
    per_night: Floats,
    *,
    middle: Floats,
    name: str,
    known: Mapping[str, float],
    fresh: str = "",
) -> Worth:
    """Weigh a set, or the sets of a property together, against the middle of the line in every draw."""
    nights = np.array([drawn.sets[i].nights for i in which])
    spent = float((per_night[list(which)] * nights).sum())
    rate = (drawn.rates[:, list(which)] * nights).sum(axis=1) / spent * 100.0
    low, high = np.quantile(rate, (0.05, 0.95))
    return Worth(
        name=name,
        caught=sum(drawn.sets[i].caught for i in which),
        near=sum(drawn.sets[i].near for i in which),
        nights=float(nights.sum()),
        value=float(rate.mean()),
        low=float(low),
        high=float(high),
        above=float((rate > middle).mean()),
        fresh=fresh,
        hours_known=all(drawn.sets[i].name in known for i in which),
    )


def _in_order(worths: Sequence[Worth], *, ranked: bool) -> tuple[Worth, ...]:
    return tuple(sorted(worths, key=lambda w: (not w.fresh, -w.value if ranked else 0.0, w.name)))


def _speaks(drawn: Drawn) -> float | None:
    """Turn the spread between near-misses and catches into a number from 0 (none) to 1 (they go together)."""
    if not any(one.near for one in drawn.sets):
        return None
    return float(np.mean(drawn.near_shape / (1.0 + drawn.near_shape)))


def _to_settle(sets: Sequence[Worked]) -> float | None:
    """Give the further nights per set after which a set twice as good as another shows, four times of five.

    References
    ----------
    Normal approximation for two Poisson counts of equal effort t, from memory:
    t = (z_0.975 + z_0.8)² (a + b) / (a - b)², a and b the rates; here b is the mean and a twice that.
    """
    nights, caught = sum(s.nights for s in sets), sum(s.caught for s in sets)
    if caught == 0:
        return None
    mean = caught / nights
    z = NormalDist().inv_cdf(0.975) + NormalDist().inv_cdf(0.8)
    return max(0.0, z * z * 3.0 / mean - nights / len(sets))
