"""Odds against scipy, which works them out another way (Fourier transform and incomplete beta function)."""

import numpy as np
import pytest
from scipy.stats import binom, poisson_binom

from tendline.report.odds import enough


@pytest.mark.parametrize(("sets", "chance"), [(7, 0.03), (20, 0.1), (60, 0.03), (300, 0.11)])
def test_enough_is_the_quantile_of_the_binomial_distribution(sets: int, chance: float) -> None:
    assert enough([chance] * sets) == int(binom.ppf(0.95, sets, chance))


@pytest.mark.parametrize("seed", range(5))
def test_enough_is_the_quantile_of_the_poisson_binomial_distribution(seed: int) -> None:
    chances = np.random.default_rng(seed).uniform(0.0, 0.3, size=40)
    counts = np.arange(41)
    expected = int(counts[poisson_binom.cdf(counts, chances) >= 0.95][0])
    assert enough(chances.tolist()) == expected
