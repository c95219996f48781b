"""Prediction against what was seen: the statistic against scipy, honesty against simulated seasons."""

from statistics import NormalDist

import numpy as np
import pytest
from scipy.stats import mannwhitneyu

from tendline.season.predicted import FEWEST, calibrate, wilson


def test_the_number_is_that_of_the_rank_test_of_mann_and_whitney() -> None:
    """U / (n m) of scipy.stats.mannwhitneyu is the chance that one is the greater, ties counted half."""
    chance = np.random.default_rng(1)
    elsewhere, seen = chance.integers(0, 20, 300).astype(float), chance.integers(4, 24, 40).astype(float)
    found = calibrate(seen.tolist(), elsewhere, None, seed=3)
    u = mannwhitneyu(seen, elsewhere, alternative="greater")
    assert found.better == pytest.approx(u.statistic / (300 * 40), rel=1e-12)


def test_where_there_is_nothing_in_it_chance_is_found_as_often_as_it_should_be() -> None:
    """Under the null p is spread evenly: of 200 seasons without skill one in twenty looks better."""
    chance = np.random.default_rng(5)
    elsewhere = chance.gamma(2.0, size=500)
    p = [
        calibrate(chance.choice(elsewhere, 15).tolist(), elsewhere, None, seed=k).by_chance
        for k in range(200)
    ]
    below = np.mean(np.array(p) <= 0.05)
    # Binomial(200, 0.05): 2 to 20 in all but a few of ten thousand cases.
    assert 2 / 200 <= below <= 20 / 200
    assert np.mean(np.array(p)) == pytest.approx(0.5, abs=0.09)


def test_a_prediction_with_something_in_it_is_found_and_the_bands_lean() -> None:
    chance = np.random.default_rng(9)
    elsewhere = chance.gamma(2.0, size=2000)
    seen = chance.choice(elsewhere, 60, p=elsewhere**2 / np.sum(elsewhere**2))
    found = calibrate(seen.tolist(), elsewhere, None, seed=1)
    assert found.verdict == "better than chance"
    assert found.bands[-1].share_low > found.bands[-1].expected
    assert sum(band.seen for band in found.bands) == 60
    assert sum(band.expected for band in found.bands) == pytest.approx(1.0)


def test_places_looked_at_more_count_more() -> None:
    """All catches at the one set that stood all season say nothing of the prediction."""
    found = calibrate([3.0] * 12, [1.0, 2.0, 3.0], [1.0, 1.0, 998.0], seed=1)
    assert found.by_chance is not None
    assert found.by_chance > 0.5
    assert found.verdict == "no better than chance so far"


def test_a_few_tell_nothing() -> None:
    found = calibrate([9.0] * (FEWEST - 1), list(range(10)), None, seed=1)
    assert found.verdict.startswith("too few to tell")
    assert calibrate([], [1.0, 2.0], None, seed=1).better is None
    assert calibrate([1.0], [], None, seed=1).bands == ()


@pytest.mark.parametrize(("count", "whole", "low", "high"), [(0, 10, 0.0, 0.2775), (5, 10, 0.2366, 0.7634)])
def test_wilsons_range(count: int, whole: int, low: float, high: float) -> None:
    """Newcombe (1998), Statistics in Medicine 17, 857-872, method 3 (values from memory)."""
    assert NormalDist().inv_cdf(0.975) == pytest.approx(1.959964, abs=1e-6)
    assert wilson(count, whole) == pytest.approx((low, high), abs=1e-4)
    assert wilson(0, 0) == (0.0, 1.0)
