"""How unevenly wind lays snow, against the lognormal distribution of a reference library."""

import math

import numpy as np
import pytest
from scipy import stats

from tendline.almanac.drifts import VARIATION, Lie, log_mean, log_spread


@pytest.mark.parametrize("variation", [0.12, 0.17, 0.4, 0.5, 0.6, 0.9])
def test_the_lognormal_has_the_variation_and_keeps_the_mean(variation: float) -> None:
    # Liston (2004), lognormal depths; scipy.stats.lognorm with s = zeta and scale = exp(lambda).
    drawn = stats.lognorm(s=log_spread(variation), scale=math.exp(log_mean(variation)))
    assert drawn.mean() == pytest.approx(1.0)
    assert drawn.std() / drawn.mean() == pytest.approx(variation)


def test_open_ground_varies_more_than_forest() -> None:
    # From memory of Liston (2004): forest with little wind 0.11 to 0.17, open ground from 0.4, ridges to 0.9.
    assert 0.11 <= VARIATION[Lie.SHELTERED] <= 0.17
    assert 0.4 <= VARIATION[Lie.UNKNOWN] <= VARIATION[Lie.EXPOSED] <= 0.9


def test_a_worked_value() -> None:
    # zeta squared = ln(1 + 0.25) = 0.22314, zeta = 0.47238.
    assert log_spread(0.5) == pytest.approx(0.47238, abs=1e-5)
    assert log_mean(0.5) == pytest.approx(-0.11157, abs=1e-5)
    assert np.isclose(log_spread(0.0), 0.0)
