"""Ranges of a person's own times, against published tables and scipy's own intervals."""

import math

import numpy as np
import pytest
from scipy import stats

from tendline.season.own_times import factor, factor_against, middle, share, walk_and_look


def test_a_factor_has_students_range() -> None:
    # Student's t for 4 degrees of freedom, two-sided 90 %: 2.132 (any table). Logs 0.1 to 0.3 in steps of
    # 0.05 have mean 0.2 and deviation 0.0790569.
    ratios = [math.exp(x) for x in (0.10, 0.15, 0.20, 0.25, 0.30)]
    found = factor(ratios)
    assert found is not None
    reach = 2.132 * 0.0790569 / math.sqrt(5)
    assert found.value == pytest.approx(math.exp(0.2))
    assert found.count == 5
    assert found.low == pytest.approx(math.exp(0.2 - reach), rel=1e-4)
    assert found.high == pytest.approx(math.exp(0.2 + reach), rel=1e-4)
    assert factor(ratios[:2]) is None


def test_a_factor_against_another_is_welchs() -> None:
    chance = np.random.default_rng(1)
    snow, bare = chance.normal(0.5, 0.1, 7), chance.normal(0.1, 0.05, 5)
    found = factor_against(list(np.exp(snow)), list(np.exp(bare)))
    theirs = stats.ttest_ind(snow, bare, equal_var=False).confidence_interval(0.9)
    assert found is not None
    assert (math.log(found.low), math.log(found.high)) == pytest.approx((theirs.low, theirs.high), rel=1e-9)
    assert factor_against([1.0, 1.1], [1.0, 1.1, 1.2]) is None
    same = factor_against([1.5] * 3, [1.0] * 3)
    assert same is not None
    assert same.value == same.low == same.high == pytest.approx(1.5)


@pytest.mark.parametrize(
    # Ranks of the range of a median at 90 % or more, from tables of the sign test (Conover, table of the
    # binomial): n = 10: 2 and 9 (97.9 %, as 3 and 8 hold 89.1 %); 15: 4 and 12; 20: 6 and 15; 25: 8 and 18.
    ("count", "low", "high"),
    [(10, 2, 9), (15, 4, 12), (20, 6, 15), (25, 8, 18)],
)
def test_a_median_has_the_ranks_of_the_tables(count: int, low: int, high: int) -> None:
    found = middle([float(n) for n in range(1, count + 1)])
    assert found is not None
    assert (found.low, found.high, found.value) == (low, high, (count + 1) / 2)
    assert middle([1.0] * 9) is None


def test_a_share_has_wilsons_range() -> None:
    found = share(6, 60)
    theirs = stats.binomtest(6, 60).proportion_ci(0.9, method="wilson")
    assert found is not None
    assert (found.value, found.low, found.high) == pytest.approx((0.1, theirs.low, theirs.high))
    assert share(3, 29) is None


def test_walking_is_told_from_looking() -> None:
    chance = np.random.default_rng(3)
    walks = chance.uniform(60, 900, 60)
    gaps = 1.3 * walks + 90 + chance.normal(0, 20, 60)
    gaps[:6] += 1800  # somebody talked to the farmer
    found = walk_and_look(list(walks), list(gaps))
    assert found is not None
    factor_, look = found
    assert factor_.low < 1.3 < factor_.high
    assert factor_.value == pytest.approx(1.3, abs=0.05)
    assert look.low < 95 < look.high + 10
    assert walk_and_look(list(walks[:19]), list(gaps[:19])) is None
    assert walk_and_look([60.0] * 30, list(gaps[:30])) is None


def test_ranges_hold_as_often_as_they_say() -> None:
    chance = np.random.default_rng(8)
    held = [0, 0]
    for _ in range(600):
        found = factor(list(np.exp(chance.normal(0.2, 0.15, 6))))
        times = middle(list(chance.exponential(1.0, 21)))
        assert found is not None
        assert times is not None
        held[0] += found.low <= math.exp(0.2) <= found.high
        held[1] += times.low <= math.log(2) <= times.high
    # 90 % of 600 is 540, give or take 7; order statistics hold a little more often.
    assert 510 <= held[0] <= 570
    assert 525 <= held[1] <= 585
