"""Power of walking and the curves of speed, against values worked out from the papers' formulas by others."""

import math

import numpy as np
import pytest

from tendline.almanac.effort import (
    load_time_factor,
    power_lcda,
    power_pandolf,
    snow_time_factor,
    terrain_factor_snow,
    walking_power,
)
from tendline.almanac.travel import pace_langmuir, speed_campbell2019, speed_irmischer2018
from tendline.almanac.walk_models import MODELS


def test_snow_takes_the_factors_that_are_printed() -> None:
    # Older tables round them to 2.5, 3.3 and 4.1 at 15, 25 and 35 cm.
    for sink_m, eta, rounded in [(0.15, 2.53, 2.5), (0.25, 3.35, 3.3), (0.35, 4.17, 4.1)]:
        assert terrain_factor_snow(sink_m) == pytest.approx(eta, abs=5e-3)
        assert terrain_factor_snow(sink_m) == pytest.approx(rounded, abs=0.08)
    assert terrain_factor_snow(0.0) == 1.30


@pytest.mark.parametrize(
    ("body", "load", "speed", "grade", "eta", "watts"),
    # Worked by hand from the equation of 1977.
    [
        (70, 20, 1.34, 0.0, 1.0, 362.10),
        (70, 20, 1.34, 0.10, 1.0, 784.20),
        (80, 15, 1.0, 0.0, 2.94, 545.63),
        (80, 15, 1.0, 0.05, 1.2, 497.18),
    ],
)
def test_pandolf(  # noqa: PLR0917 - a row of the table
    body: float, load: float, speed: float, grade: float, eta: float, watts: float
) -> None:
    found = power_pandolf(speed, grade, body_kg=body, load_kg=load, terrain=eta)
    assert found == pytest.approx(watts, abs=0.01)


def test_lcda_on_the_level_and_on_a_grade() -> None:
    # Looney and others (2019), worked by hand; one public copy that prints 0.24 S^2 gives 4.0 at 1.34 m/s.
    for speed, watts in [
        (0.45, 2.8260),
        (0.7, 3.1618),
        (1.0, 3.6200),
        (1.34, 4.4140),
        (1.5, 4.9645),
        (1.97, 7.6514),
    ]:
        assert power_lcda(speed, 0.0) == pytest.approx(watts, abs=1e-4)
    assert power_lcda(1.34, 0.10) == pytest.approx(8.6393, abs=1e-4)
    assert power_lcda(1.34, -0.10) == pytest.approx(3.0738, abs=1e-4)


def test_power_with_load_and_ground_is_the_lcdas_where_there_is_neither() -> None:
    speeds, grades = np.array([0.7, 1.34, 1.34]), np.array([0.0, 0.1, -0.1])
    bare = walking_power(speeds, grades, body_kg=80.0, load_kg=0.0, terrain=1.0)
    np.testing.assert_allclose(bare, 80.0 * power_lcda(speeds, grades), rtol=1e-12)
    # Standing is not made harder by the ground: 1.44 W/kg x 95 kg.
    still = walking_power(0.0, 0.0, body_kg=80.0, load_kg=15.0, terrain=2.94)
    assert still == pytest.approx(1.44 * 95)


def test_time_in_snow_and_under_load_keeps_the_power() -> None:
    slow = 1.4 / snow_time_factor(0.20)
    before = power_pandolf(1.4, 0.0, body_kg=80, load_kg=10, terrain=1.2)
    assert power_pandolf(slow, 0.0, body_kg=80, load_kg=10, terrain=2.94) == pytest.approx(before)
    slow = 1.4 / load_time_factor(80, 15)
    bare = power_pandolf(1.4, 0.0, body_kg=80, load_kg=0, terrain=1.2)
    assert power_pandolf(slow, 0.0, body_kg=80, load_kg=15, terrain=1.2) == pytest.approx(bare)
    assert snow_time_factor(0.20) == pytest.approx(math.sqrt(2.94 / 1.2))
    assert load_time_factor(80, 0) == 1.0
    assert load_time_factor(80, 79) == math.inf


def test_the_curves_at_the_slopes_that_are_published() -> None:
    def at(curve: object, degrees: float) -> float:
        return float(curve(math.tan(math.radians(degrees))))  # type: ignore[operator]

    # Campbell and others (2019), the median's Lorentz curve at its coefficients.
    for degrees, speed in [
        (0, 1.1481),
        (10, 0.9162),
        (-10, 1.0128),
        (20, 0.6120),
        (30, 0.4061),
        (-30, 0.4741),
    ]:
        assert at(speed_campbell2019, degrees) == pytest.approx(speed, abs=1e-4)
    # Irmischer and Clarke (2018), on and off the path on the level.
    assert speed_irmischer2018(0.0) == pytest.approx(1.0962, abs=1e-4)
    model = MODELS["irmischer-2018"]
    assert model.off_path_speed is not None
    assert float(model.off_path_speed(np.zeros(1))[0]) == pytest.approx(0.7785, abs=1e-4)


def test_naismith_and_langmuir_on_their_own_examples() -> None:
    # 10 km and 600 m up: 3 h. 10 km, 400 m up, 300 m down gently or steeply: 150 or 170 min.
    assert 10_000 * pace_langmuir(0.06) / 60 == pytest.approx(180)
    level, up, down = 0.72 * 10_000, 400 * 6.0, 300 * 2.0
    gentle, steep = math.tan(math.radians(8)), math.tan(math.radians(20))
    assert (level + up - down) / 60 == pytest.approx(150)
    assert 300 / gentle * (pace_langmuir(-gentle) - 0.72) == pytest.approx(-600)
    assert 300 / steep * (pace_langmuir(-steep) - 0.72) == pytest.approx(600)
    assert pace_langmuir(-0.05) == 0.72  # 2.9 degrees: neither


@pytest.mark.parametrize("name", list(MODELS))
def test_every_curve_can_be_walked_on_all_slopes_and_says_which_and_why(name: str) -> None:
    model = MODELS[name]
    slopes = np.linspace(-1.75, 1.75, 3501)
    pace = model.pace(slopes)
    assert np.all(np.isfinite(pace))
    # The quickest is Langmuir's rule just above 12 degrees down: 0.72 - 2 tan 12 = 0.295 s/m.
    assert np.all(pace > 0.29)
    # Uphill every degree is slower.
    assert np.all(np.diff(pace[slopes >= 0]) > 0)
    assert 3.0 < 3.6 / float(model.pace(np.zeros(1))[0]) < 5.3
    assert model.fitted_to
    assert model.why
    share = model.off_path_share()
    assert share is None or 0.5 < share < 0.8
