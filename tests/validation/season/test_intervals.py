"""Ranges against printed tables and against two reference libraries."""

import math

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats import rates as reference
from statsmodels.stats.proportion import proportion_confint

from tendline.season.intervals import (
    clopper_pearson,
    meets,
    mid_p,
    poisson_exact,
    rate_per_100,
    rate_ratio,
    ratio_by_score,
    share_difference,
    wilson,
)

# Newcombe 1998, Stat. Med. 17:857-872, Table I: 81/263, 15/148, 0/20, 1/29; the others worked out by others.
TABLE = {
    (81, 263): ((0.2553, 0.3662), (0.2535, 0.3682), (0.2527, 0.3676), (0.2544, 0.3658)),
    (15, 148): ((0.0624, 0.1605), (0.0598, 0.1644), (0.0578, 0.1617), (0.0601, 0.1581)),
    (0, 20): ((0.0, 0.1611), (0.0, 0.2005), (0.0, 0.1684), (0.0, 0.1391)),
    (1, 29): ((0.0061, 0.1718), (0.0018, 0.1963), (0.0009, 0.1776), (0.0017, 0.1585)),
    (14, 22): ((0.4295, 0.8027), (0.4083, 0.8197), (0.4066, 0.8280), (0.4241, 0.8147)),
    (11, 11): ((0.7412, 1.0), (0.6786, 1.0), (0.7151, 1.0), (0.7616, 1.0)),
    (11, 14): ((0.5241, 0.9243), (0.4882, 0.9429), (0.4920, 0.9534), (0.5205, 0.9424)),
}


@pytest.mark.parametrize("counts", list(TABLE))
def test_shares_are_those_of_the_table(counts: tuple[int, int]) -> None:
    found = (wilson(*counts), wilson(*counts, corrected=True), clopper_pearson(*counts), mid_p(*counts))
    for one, printed in zip(found, TABLE[counts], strict=True):
        assert (one.low, one.high) == pytest.approx(printed, abs=5.1e-5), one.method


def test_shares_agree_with_statsmodels() -> None:
    chance = np.random.default_rng(1)
    for _ in range(200):
        whole = int(chance.integers(1, 400))
        part = int(chance.integers(0, whole + 1))
        for one, method in ((wilson(part, whole), "wilson"), (clopper_pearson(part, whole), "beta")):
            assert (one.low, one.high) == pytest.approx(
                proportion_confint(part, whole, method=method), abs=1e-9
            )


def test_poisson_is_exact() -> None:
    # Garwood's limits, as tables of the Poisson distribution print them.
    for count, printed in {
        0: (0.0, 3.6889),
        1: (0.02532, 5.57164),
        5: (1.62349, 11.66833),
        10: (4.79539, 18.39036),
        51: (37.97285, 67.05558),
    }.items():
        found = poisson_exact(count)
        assert (found.low, found.high) == pytest.approx(printed, abs=5.1e-5)
        assert stats.poisson.sf(count - 1, found.low) == pytest.approx(0.025 if count else 1.0)
        assert stats.poisson.cdf(count, found.high) == pytest.approx(0.025)


def test_the_published_rate_of_a_modified_restraint() -> None:
    # Pruss et al. 2002, Wildl. Soc. Bull. 30:508-516: 51 coyotes in 9,379 trap-nights.
    found = rate_per_100(51, 9379)
    assert found.value == pytest.approx(0.5438, abs=5e-5)
    assert (found.low, found.high) == pytest.approx((0.4049, 0.7150), abs=5e-5)


def test_the_ratio_of_fay() -> None:
    # Fay 2010, R Journal 2(1):53-58: 2 in 17,877 against 9 in 16,660.
    found = rate_ratio((2, 17877), (9, 16660))
    assert found.ratio == pytest.approx(0.207094155743, rel=1e-11)
    assert (found.low, found.high) == pytest.approx((0.0217740627591, 1.00054910449), rel=1e-9)
    assert found.p == pytest.approx(0.0501064956141, rel=1e-9)
    assert not found.shown  # the range holds 1 and p is over 0.05: one method, one answer


def test_ratios_agree_with_published_data_and_statsmodels() -> None:
    # Gu et al. 2008: 60 in 51,477.5 against 30 in 54,308.7.
    exact = rate_ratio((60, 51477.5), (30, 54308.7))
    assert exact.ratio == pytest.approx(2.109998, abs=5e-7)
    assert (exact.low, exact.high) == pytest.approx((1.339736, 3.388366), abs=5e-7)
    score = ratio_by_score((60, 51477.5), (30, 54308.7))
    assert (score.low, score.high) == pytest.approx((1.365962, 3.259306), abs=5e-7)
    assert score.p == pytest.approx(0.00063222, abs=5e-9)
    for x, t, y, u in ((60, 51477.5, 30, 54308.7), (5, 300.0, 9, 410.0), (14, 3166.0, 11, 1175.0)):
        theirs = reference.confint_poisson_2indep(x, t, y, u, method="score", compare="ratio")
        ours = ratio_by_score((x, t), (y, u))
        assert (ours.low, ours.high) == pytest.approx(theirs, rel=1e-6)
        p = reference.test_poisson_2indep(x, t, y, u, method="score", compare="ratio").pvalue
        assert ours.p == pytest.approx(p, rel=1e-6)
    # 41 in 28,010 against 15 in 19,017 (Li, Tang & Wong 2013): exact, worked out by others.
    third = rate_ratio((41, 28010), (15, 19017))
    assert (third.ratio, third.low, third.high) == pytest.approx((1.855759, 1.005684, 3.609300), abs=5e-7)
    assert third.p == pytest.approx(0.047660, abs=5e-7)
    assert third.shown


def test_a_range_and_its_p_never_contradict_each_other() -> None:
    chance = np.random.default_rng(2)
    for _ in range(400):
        x, y = (int(v) for v in chance.integers(0, 12, 2))
        t, u = (float(v) for v in chance.uniform(50, 2000, 2))
        found = rate_ratio((x, t), (y, u))
        assert found.shown == (found.p < 0.05)


def test_the_difference_of_newcombe() -> None:
    # Newcombe 1998, Stat. Med. 17:873-890, Table II, method 10: 56/70 - 48/80.
    found = share_difference((56, 70), (48, 80))
    assert (found.value, found.low, found.high) == pytest.approx((0.2, 0.0524, 0.3339), abs=5e-5)
    other = share_difference((11, 11), (14, 22))
    assert (other.value, other.low, other.high) == pytest.approx((0.3636, 0.0560, 0.5705), abs=5e-5)


def test_how_many_animals_show_a_standard() -> None:
    # One-sided 95 % Clopper-Pearson limits of 0.70 and 0.60: the smallest counts that reach them.
    for part, whole in ((18, 20), (26, 30), (34, 40)):
        assert meets(part, whole, 0.70) is True
        assert meets(part - 1, whole, 0.70) is None
    for part, whole in ((17, 20), (23, 30), (30, 40)):
        assert meets(part, whole, 0.60) is True
    # A published restraint: 14 of 22 is over 60 % and does not show it; 2 of 20 is shown to miss it.
    assert meets(14, 22, 0.60) is None
    assert meets(2, 20, 0.60) is False
    assert meets(0, 0, 0.60) is None


def test_without_effort_there_is_no_rate() -> None:
    found = rate_per_100(3, 0.0)
    assert found.value is None
    assert math.isinf(found.high)
    assert rate_ratio((1, 0.0), (1, 5.0)).ratio is None
    assert wilson(0, 0).value is clopper_pearson(0, 0).value is mid_p(0, 0).value is None
    assert share_difference((0, 0), (1, 2)).value is None
    assert ratio_by_score((0, 3.0), (0, 3.0)).ratio is None


def test_ranges_of_rates_hold_the_truth_as_often_as_they_say() -> None:
    # 2,000 invented seasons for each of four true rates; exact ranges may hold it more often, never less.
    # Their midpoint in coverage is checked over many rates, where it must lie in 93 to 97 of 100.
    chance = np.random.default_rng(3)
    nights, kept = 1500.0, []
    for rate in np.linspace(0.3, 2.5, 40):
        counts, times = np.unique(chance.poisson(rate * nights / 100, 2000), return_counts=True)
        found = [rate_per_100(int(c), nights) for c in counts]
        inside = [one.low <= rate <= one.high for one in found]
        kept.append(float(np.average(inside, weights=times)))
    assert min(kept) > 0.935
    assert 0.93 <= np.mean(kept) <= 0.975
