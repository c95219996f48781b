"""Effort against worked numbers of the literature and of published restraint studies."""

import numpy as np
import pytest

from tendline.season.effort import WEIGHT, Convention
from tendline.season.intervals import clopper_pearson, meets, rate_per_100, rate_ratio, wilson
from tendline.season.stretches import Ending


def effort(convention: Convention, counts: dict[Ending, int]) -> float:
    return sum(WEIGHT[convention][ending] * n for ending, n in counts.items())


def test_sprung_devices_are_taken_off_by_halves() -> None:
    # Nelson & Clark 1973, J. Mammal. 54:295-298: 100 C / (DN - S/2), S for all causes, captures included.
    # Worked: 50 devices on 4 nights, 12 caught, 20 sprung and empty.
    counts = {Ending.OPERATIVE: 168, Ending.TARGET: 12, Ending.SPRUNG: 20}
    assert rate_per_100(12, effort(Convention.NELSON_CLARK, counts)).value == pytest.approx(6.5217, abs=5e-5)


def test_the_two_rules_in_use_differ_as_worked() -> None:
    # 240 device-nights, 9 target, 3 non-target, 17 knocked down.
    counts = {Ending.OPERATIVE: 211, Ending.TARGET: 9, Ending.OTHER: 3, Ending.SPRUNG: 17}
    rates = {c: rate_per_100(9, effort(c, counts)).value for c in Convention}
    assert rates[Convention.RAW] == pytest.approx(3.75)
    assert rates[Convention.NELSON_CLARK] == pytest.approx(3.9911, abs=5e-5)
    assert rates[Convention.FUNCTIONAL] == pytest.approx(3.9130, abs=5e-5)


@pytest.mark.parametrize("convention", list(Convention))
def test_corrected_effort_is_never_under_half(convention: Convention) -> None:
    for ending in (Ending.OPERATIVE, Ending.TARGET, Ending.OTHER, Ending.SPRUNG):
        assert WEIGHT[convention][ending] >= 0.5


def test_a_published_study_of_two_restraints_is_derived_again() -> None:
    # Etter & Belant 2011, Wildl. Soc. Bull.: restraints with a stop of 10.8 and of 8.9 cm in Michigan;
    # 3,166 and 1,175 trap-nights, efficiency 64 % (n = 22) and 100 % (n = 11), selectivity 100 and 79 %.
    large, small = wilson(14, 22), wilson(11, 11)
    assert round(100 * (large.value or 0)) == 64
    assert (100 * large.low, 100 * large.high) == pytest.approx((42.95, 80.27), abs=0.005)
    assert round(100 * (wilson(11, 14).value or 0)) == 79
    assert meets(14, 22, 0.60) is None  # passes 60 % as it stands, and does not show it
    assert meets(11, 11, 0.60) is True
    assert small.value == 1.0
    assert rate_per_100(14, 3166).value == pytest.approx(0.442, abs=5e-4)
    assert rate_per_100(11, 1175).value == pytest.approx(0.936, abs=5e-4)
    ratio = rate_ratio((14, 3166), (11, 1175))
    assert (ratio.ratio, ratio.low, ratio.high, ratio.p) == pytest.approx(
        (0.47235, 0.19921, 1.14975, 0.10203), abs=5e-6
    )
    assert not ratio.shown
    assert clopper_pearson(11, 11).low == pytest.approx(0.7151, abs=5e-5)


@pytest.mark.parametrize("hazard", [0.008, 0.012, 0.02])
def test_on_simulated_lines_the_half_interval_range_holds_the_true_rate(hazard: float) -> None:
    # 2,000 invented lines of 60 devices on 60 nights. A device works until an animal is held (at the true
    # rate) or something springs it (three in a hundred nights); in the morning it works again. The
    # half-interval rule is there to get the rate per night of working back, which raw nights miss.
    chance = np.random.default_rng(int(1e4 * hazard))
    nights, sprung_at = 3600, 0.03
    stopped = 1 - np.exp(-(hazard + sprung_at))
    ends = chance.binomial(nights, stopped, 2000)
    caught = chance.binomial(ends, hazard / (hazard + sprung_at))
    inside = np.zeros(2000, dtype=bool)
    for run, (c, e) in enumerate(zip(caught, ends, strict=True)):
        counts = {Ending.OPERATIVE: nights - e, Ending.TARGET: c, Ending.SPRUNG: e - c}
        found = rate_per_100(int(c), effort(Convention.NELSON_CLARK, counts))
        inside[run] = found.low <= 100 * hazard <= found.high
    assert 0.93 <= inside.mean() <= 0.97


def test_score_ranges_of_a_share_hold_the_truth_on_average() -> None:
    # Newcombe 1998: Wilson's range holds the truth in 95 of 100 on average over the share; 2,000 draws each.
    chance = np.random.default_rng(8)
    kept = []
    for share in np.linspace(0.1, 0.9, 33):
        parts, times = np.unique(chance.binomial(40, share, 2000), return_counts=True)
        found = [wilson(int(part), 40) for part in parts]
        kept.append(np.average([one.low <= share <= one.high for one in found], weights=times))
    assert 0.93 <= np.mean(kept) <= 0.97
