"""Owns whether what was predicted of travel came true: sign and catches against chance, in bands.

Does not own the prediction (`terrain.scouting`) or the record it is held against (`jobs`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

FEWEST = 8
"""Fewer things seen than this tell nothing (common practice, no source)."""

DRAWS = 4000
BANDS = 5
CHANCE = 0.05
"""What comes about by chance more often than this is no better than chance."""


@dataclass(frozen=True)
class BandSeen:
    """One band of the prediction, from the least travel to the most.

    Parameters
    ----------
    low, high
        Bounds of the prediction in it.
    expected
        Share of what is seen that would lie in it by chance.
    seen
        How many did.
    share, share_low, share_high
        Their share, with the range that holds the true one in 95 of 100 cases.
    """

    low: float
    high: float
    expected: float
    seen: int
    share: float
    share_low: float
    share_high: float


@dataclass(frozen=True)
class Calibration:
    """How a prediction fared.

    Parameters
    ----------
    seen
        How many things.
    better
        Chance that a thing was seen where more travel was predicted than at a place drawn by chance: 0.5 is
        no better than chance, 1 is always. None where nothing was seen.
    by_chance
        How often chance alone does as well or better; None likewise.
    bands
        Of the prediction; the points of a calibration plot: `share` over `expected`.
    """

    seen: int
    better: float | None
    by_chance: float | None
    bands: tuple[BandSeen, ...]

    @property
    def verdict(self) -> str:
        """Say it in words."""
        if self.by_chance is None or self.seen < FEWEST:
            return f"too few to tell: {self.seen} seen, {FEWEST} are the least"
        if self.by_chance > CHANCE:
            return "no better than chance so far"
        return "better than chance"


def calibrate(
    at_seen: Sequence[float],
    elsewhere: Sequence[float] | Floats,
    weights: Sequence[float] | Floats | None,
    *,
    seed: int,
) -> Calibration:
    """Hold what was seen against what was predicted.

    Parameters
    ----------
    at_seen
        The prediction at each thing seen.
    elsewhere
        The prediction at every place where one might have been seen.
    weights
        How likely each such place was looked at (device-nights of a set); all alike when None.
    seed
        Of the draws.

    References
    ----------
    Hanley and McNeil (1982), The meaning and use of the area under a receiver operating characteristic curve,
    Radiology 143, 29-36, for `better`; Phipson and Smyth (2010), Permutation p-values should never be zero,
    Statistical Applications in Genetics and Molecular Biology 9(1), 39, for the one added; Wilson (1927),
    JASA 22, 209-212, for the range of a share (all from memory).
    """
    values = np.asarray(elsewhere, np.float64)
    share = np.ones(values.size) if weights is None else np.asarray(weights, np.float64)
    seen = np.asarray(at_seen, np.float64)
    if values.size == 0 or not share.sum() > 0:
        return Calibration(len(seen), None, None, ())
    share = share / share.sum()
    order = np.argsort(values, kind="stable")
    values, share = values[order], share[order]
    bands = _bands(seen, values, share)
    if seen.size == 0:
        return Calibration(0, None, None, bands)
    rank = _Ranks(values, share)
    found = float(np.mean(rank(seen)))
    chance = np.random.default_rng(seed)
    drawn = rank(chance.choice(values, size=(DRAWS, seen.size), p=share)).mean(axis=1)
    as_good = int(np.sum(drawn >= found - 1e-12))
    return Calibration(len(seen), found, (as_good + 1) / (DRAWS + 1), bands)


class _Ranks:
    """Gives the share of places with less predicted, half of those with the same."""

    def __init__(self, values: Floats, share: Floats) -> None:
        self._values = values
        self._up_to = np.concatenate([[0.0], np.cumsum(share)])

    def __call__(self, at: Floats) -> Floats:
        low, high = (np.searchsorted(self._values, at, side=side) for side in ("left", "right"))
        found: Floats = (self._up_to[low] + self._up_to[high]) / 2.0
        return found


def _bands(seen: Floats, values: Floats, share: Floats) -> tuple[BandSeen, ...]:
    up_to = np.cumsum(share)
    # A band begins with the first value past its share; a hair more, since shares are sums.
    firsts = [int(np.searchsorted(up_to, k / BANDS + 1e-9)) for k in range(1, BANDS)]
    inner = [float(values[min(first, values.size - 1)]) for first in firsts]
    edges = [-np.inf, *inner, np.inf]
    made = []
    for low, high in pairwise(edges):
        expected = float(share[(values >= low) & (values < high)].sum())
        count = int(np.sum((seen >= low) & (seen < high)))
        ends = wilson(count, seen.size)
        first, last = max(low, float(values[0])), min(high, float(values[-1]))
        made.append(BandSeen(first, last, expected, count, count / max(seen.size, 1), *ends))
    return tuple(made)


def wilson(count: int, whole: int, *, z: float = 1.959964) -> tuple[float, float]:
    """Give the range of a share that holds the true one in 95 of 100 cases; 0 to 1 where nothing was counted.

    References
    ----------
    Wilson, E. B. (1927), Probable inference, the law of succession, and statistical inference, JASA 22,
    209-212.
    """
    if whole == 0:
        return 0.0, 1.0
    p = count / whole
    middle = (p + z * z / (2 * whole)) / (1 + z * z / whole)
    half = z * float(np.sqrt(p * (1 - p) / whole + z * z / (4 * whole * whole))) / (1 + z * z / whole)
    return max(0.0, middle - half), min(1.0, middle + half)
