"""The model of what a set is worth, on invented lines whose true rates are known."""

import numpy as np
import pytest

from tendline.season.earning import Worked, draw_rates
from tendline.season.ranking import rank


def invented(
    chance: np.random.Generator, sets: int = 40, nights: float = 60.0
) -> tuple[list[Worked], np.ndarray]:
    """A line whose rates are drawn as the model says, with near-misses."""
    kinds, farms = chance.gamma(4, 1 / 4, 4), chance.gamma(4, 1 / 4, 6)
    kind, farm = chance.integers(0, 4, sets), chance.integers(0, 6, sets)
    rates = chance.gamma(1.0, 0.01) * 2 + 0.002
    true = rates * kinds[kind] * farms[farm] * chance.gamma(4, 1 / 4, sets)
    caught = chance.poisson(true * nights)
    near = chance.poisson(2.0 * chance.gamma(4, 1 / 4, sets) * true * nights)
    return [
        Worked(f"S{i}", f"k{kind[i]}", f"f{farm[i]}", int(caught[i]), int(near[i]), nights)
        for i in range(sets)
    ], true


def test_ranges_hold_the_truth_and_ranks_are_calibrated() -> None:
    # Simulation-based calibration (Talts et al. 2018): over lines drawn as the model says, the truth lies in
    # nine ranges of ten; where it is said with chance q that one set beats another, it does in q of cases.
    chance = np.random.default_rng(5)
    inside, said, came = [], [], []
    for line in range(50):
        sets, true = invented(chance)
        drawn = draw_rates(sets, seed=line, kept=600, burn=250)
        low, high = np.quantile(drawn.rates, (0.05, 0.95), axis=0)
        inside.append(np.mean((low <= true) & (true <= high)))
        a, b = chance.permutation(len(sets))[:20].reshape(2, 10)
        said += list(np.mean(drawn.rates[:, a] > drawn.rates[:, b], axis=0))
        came += list(true[a] > true[b])
    assert np.mean(inside) == pytest.approx(0.90, abs=0.035)
    chances, truth = np.array(said), np.array(came)
    for floor in (0.1, 0.3, 0.5, 0.7):
        among = (chances >= floor) & (chances < floor + 0.2)
        assert among.sum() > 40
        assert truth[among].mean() == pytest.approx(chances[among].mean(), abs=0.13)


def test_without_pooling_or_near_misses_it_is_the_gamma_poisson_of_the_book() -> None:
    # Gelman et al., Bayesian Data Analysis, section 2.6: y ~ Poisson(rate E), rate ~ Gamma(a, b) gives
    # Gamma(a + y, b + E). One set alone: the factors have mean 1 and the line's rate carries the count.
    one = [Worked("A", "k", "f", 30, 0, 2000.0)]
    drawn = draw_rates(one, seed=3)
    assert drawn.rates.mean() == pytest.approx(31 / 2100, rel=0.08)


def test_near_misses_lift_a_set_and_its_kind() -> None:
    quiet = [Worked(f"S{i}", "edge", "f", 1 if i < 3 else 0, 0, 60.0) for i in range(10)]
    busy = [Worked(f"T{i}", "trail", "f", 1 if i < 3 else 0, 5, 60.0) for i in range(10)]
    drawn = draw_rates([*quiet, *busy], seed=1)
    means = drawn.rates.mean(axis=0)
    assert means[10:].mean() > 1.5 * means[:10].mean()


def test_thin_records_are_not_ranked_and_it_says_what_would_settle_it() -> None:
    thin = [Worked(f"S{i}", "k", "f", int(i == 0), 0, 30.0) for i in range(20)]
    found = rank(thin, hours={}, usual_hours=0.1, visits={}, fresh={})
    assert not found.ranked
    assert "1 target catches are too few" in found.why
    # 1 in 600 nights; to tell twice that from it: (1.959964 + 0.841621)² x 3 x 600, less the 30 behind each.
    assert found.more_nights == pytest.approx(7.848880 * 3 * 600 - 30, rel=1e-6)
    empty = rank([Worked("A", "k", "f", 0, 0, 0.0)], hours={}, usual_hours=0.1, visits={}, fresh={})
    assert not empty.ranked
    assert empty.sets == ()


def test_an_even_line_is_not_ranked_whatever_the_count() -> None:
    even = [Worked(f"S{i}", "k", "f", 2, 0, 100.0) for i in range(12)]
    found = rank(even, hours={}, usual_hours=0.1, visits={}, fresh={})
    assert not found.ranked
    assert "told from the middle" in found.why


def test_a_clear_line_is_ranked_and_fresh_sign_stands_first() -> None:
    sets = [Worked(f"S{i}", "k", "f", 12 if i == 3 else 1, 0, 200.0) for i in range(12)]
    found = rank(sets, hours={}, usual_hours=0.1, visits={}, fresh={})
    assert found.ranked
    assert found.sets[0].name == "S3"
    assert found.sets[0].word == "over the middle"
    signed = rank(sets, hours={}, usual_hours=0.1, visits={}, fresh={"S7": "coyote track on Tuesday"})
    assert [w.name for w in signed.sets[:2]] == ["S7", "S3"]


def test_a_set_that_costs_twice_the_hours_is_worth_half() -> None:
    sets = [Worked(f"S{i}", "k", "f", 3, 0, 100.0) for i in range(8)]
    hours = {f"S{i}": 0.2 if i == 0 else 0.1 for i in range(8)}
    found = rank(sets, hours=hours, usual_hours=0.1, visits=dict.fromkeys(hours, 100), fresh={})
    worth = {w.name: w.value for w in found.sets}
    assert worth["S0"] == pytest.approx(np.mean([v for k, v in worth.items() if k != "S0"]) / 2, rel=0.1)
