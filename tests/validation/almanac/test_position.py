"""How good a place is, against the tables of the circular normal and against scipy's distributions."""

import math

import numpy as np
import pytest
from scipy import stats

from tendline.almanac.position import (
    chance_beyond,
    chance_inside,
    joint_sigma,
    margin_m,
    radius_m,
    sigma_of,
)


@pytest.mark.parametrize(
    ("share", "ratio"),
    # Usual table of the circular normal: CEP, DRMS, 68 %, R95, 2DRMS, R99 over sigma.
    [
        (0.5, 1.17741),
        (0.632121, 1.41421),
        (0.68, 1.50959),
        (0.95, 2.44775),
        (0.981684, 2.82843),
        (0.99, 3.03485),
    ],
)
def test_radii_are_those_of_the_circular_normal(share: float, ratio: float) -> None:
    assert radius_m(1.0, share=share) == pytest.approx(ratio, abs=6e-5)
    assert radius_m(1.0, share=share) == pytest.approx(float(stats.rayleigh.ppf(share)), rel=1e-12)


def test_the_usual_conversions_between_radii_hold() -> None:
    """R95/CEP 2.0789; R95/R68 1.6215."""
    assert radius_m(1.0, share=0.95) / radius_m(1.0, share=0.5) == pytest.approx(2.07892, abs=1e-5)
    assert radius_m(1.0, share=0.95) / radius_m(1.0, share=0.68) == pytest.approx(1.62146, abs=1e-5)


@pytest.mark.parametrize(
    ("distance", "sigma", "chance"),
    [(3, 3, 0.84134), (5, 3, 0.95221), (6, 3, 0.97725), (10, 3.3, 0.99878), (-5, 3, 0.04779)],
)
def test_the_chance_of_being_inside_is_the_normal_one(distance: float, sigma: float, chance: float) -> None:
    assert chance_inside(distance, sigma) == pytest.approx(chance, abs=1e-5)
    assert chance_inside(distance, sigma) == pytest.approx(float(stats.norm.cdf(distance / sigma)), rel=1e-12)


def test_in_a_right_angle_both_edges_count() -> None:
    """Five metres from both edges, sigma 3: 0.95221 squared."""
    assert chance_inside(5, 3) ** 2 == pytest.approx(0.90670, abs=1e-5)


def test_the_margin_for_99_percent() -> None:
    """A 68 % radius of 5 m: 5 / 1.50959 * 2.3263 = 7.705 m. A 95 % radius of 4.9 m: sigma 2.002, 4.657 m."""
    assert margin_m(sigma_of(5.0)) == pytest.approx(7.705, abs=5e-4)
    assert sigma_of(4.9, share=0.95) == pytest.approx(2.002, abs=5e-4)
    assert margin_m(sigma_of(4.9, share=0.95)) == pytest.approx(4.657, abs=5e-4)


@pytest.mark.parametrize("distance", [0.0, 1.0, 7.62, 15.0, 400.0])
@pytest.mark.parametrize("limit", [1.524, 7.62, 45.72, 390.0])
@pytest.mark.parametrize("sigma", [0.5, 3.3, 10.0])
def test_the_distance_between_two_points_follows_rice(distance: float, limit: float, sigma: float) -> None:
    """scipy's Rice distribution, and its non-central chi squared with two degrees of freedom."""
    expected = float(stats.ncx2.sf((limit / sigma) ** 2, 2, (distance / sigma) ** 2))
    if distance / sigma < 30:  # scipy's Rice loses its footing farther out
        assert float(stats.rice.sf(limit / sigma, distance / sigma)) == pytest.approx(expected, abs=1e-9)
    assert chance_beyond(distance, limit, sigma) == pytest.approx(expected, abs=1e-9)


def test_independent_errors_add_as_drawn_at_random() -> None:
    rng = np.random.default_rng(20270115)
    difference = rng.normal(0, 3.0, 200_000) - rng.normal(0, 4.0, 200_000)
    assert joint_sigma(3.0, 4.0) == 5.0
    assert float(np.std(difference)) == pytest.approx(5.0, rel=0.01)
    assert math.isclose(joint_sigma(2.0), 2.0)
