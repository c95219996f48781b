"""Snow that falls, settles and melts, against published formulas worked by hand or in other code."""

import math
from datetime import date

import numpy as np
import pytest

from tendline.almanac.melt import (
    lapsed_c,
    melt_by_rain_mm,
    melt_factor,
    melt_factor_by_density,
    melt_mm,
    snow_share,
)
from tendline.almanac.snow import (
    DELTA_SNOW,
    GRAVITY,
    SnowClass,
    cold_settling,
    cover_density,
    fresh_density_by_air,
    fresh_density_by_cloud,
    pressed_by_new_snow,
    settled_by_delta_snow,
    settled_by_snow17,
    warm_densest,
)

AIR = (-20.0, -15.0, -10.0, -5.0, -2.0, -1.0, 0.0)


def test_new_snow_is_as_dense_as_hedstrom_and_pomeroy_say() -> None:
    # 67.92 + 51.25 exp(T / 2.59), each worked apart.
    expected = (67.94, 68.08, 69.00, 75.36, 91.60, 102.75, 119.17)
    assert fresh_density_by_cloud(AIR) == pytest.approx(expected, abs=0.006)


def test_the_constants_agree_with_the_rounded_ones_of_published_code() -> None:
    # Brown and Brasnett's land surface code: 67.9 + 51.3 exp(T / 2.6).
    seen = (67.92, 68.06, 69.00, 75.40, 91.67, 102.82, 119.20)
    assert fresh_density_by_cloud(AIR) == pytest.approx(seen, abs=0.1)


def test_new_snow_is_as_dense_as_anderson_says() -> None:
    # 50 + 1.7 (T + 15)^1.5 above -15; Anderson (1976).
    expected = (50.0, 50.0, 69.01, 103.76, 129.68, 139.05, 148.76)
    assert fresh_density_by_air(AIR) == pytest.approx(expected, abs=0.006)


def test_ten_mm_of_water_fall_as_so_much_snow() -> None:
    # 10 mm / 69.00 kg/m3 = 14.49 cm; 10 / 91.60 = 10.92 cm.
    assert 1000.0 / fresh_density_by_cloud([-10.0, -2.0]) == pytest.approx([14.49, 10.92], abs=0.005)


def test_a_layer_settles_as_in_snow_17() -> None:
    # 20 mm of water at 100 kg/m3 are 20 cm; worked apart from Anderson's equations.
    six = float(settled_by_snow17(100.0, water_mm=20.0, snow_c=-5.0, hours=6))
    assert six == pytest.approx(103.15, abs=0.006)
    assert 2000.0 / six == pytest.approx(19.389, abs=0.001)
    day = float(settled_by_snow17(100.0, water_mm=20.0, snow_c=-5.0, hours=24))
    assert 2000.0 / day == pytest.approx(17.660, abs=0.001)
    steps = 100.0
    for _ in range(4):
        steps = float(settled_by_snow17(steps, water_mm=20.0, snow_c=-5.0, hours=6))
    assert 2000.0 / steps == pytest.approx(17.750, abs=0.001)
    warm = float(settled_by_snow17(100.0, water_mm=20.0, snow_c=-1.0, hours=24))
    assert 2000.0 / warm == pytest.approx(16.706, abs=0.001)
    dense = float(settled_by_snow17(200.0, water_mm=60.0, snow_c=-5.0, hours=24))
    assert dense == pytest.approx(205.30, abs=0.006)


def test_thirty_cm_of_new_snow_settle_as_in_delta_snow() -> None:
    # From the authors' constants: 30 cm at 81.19417 kg/m3 hold 24.358 mm.
    water, depth = 0.30 * DELTA_SNOW.fresh, 0.30
    assert water == pytest.approx(24.358, abs=0.001)
    for expected in (24.728, 21.942, 20.180, 18.942, 18.013):
        depth = float(settled_by_delta_snow(depth, water_mm=water, pressing_mm=water, hours=24))
        assert 100.0 * depth == pytest.approx(expected, abs=0.001)
    assert water / depth == pytest.approx(135.23, abs=0.01)


def test_new_snow_presses_old_snow_as_in_delta_snow() -> None:
    # Day 2 is seen at 45 cm: 20.272 cm more than the 24.728 cm expected; 161.467 Pa of load.
    water, old = 0.30 * DELTA_SNOW.fresh, 0.2472806
    load = (0.45 - old) * DELTA_SNOW.fresh * GRAVITY
    assert load == pytest.approx(161.467, abs=0.01)
    pressed = float(pressed_by_new_snow(old, water_mm=water, load_pa=load))
    assert 1.0 - pressed / old == pytest.approx(0.072873, abs=2e-6)
    assert 100.0 * pressed == pytest.approx(22.926, abs=0.001)
    assert water + (0.45 - pressed) * DELTA_SNOW.fresh == pytest.approx(42.281, abs=0.002)


@pytest.mark.parametrize(
    ("climate", "density", "water"),
    [
        (SnowClass.ALPINE, 285.78, 142.9),
        (SnowClass.MARITIME, 311.43, 155.7),
        (SnowClass.PRAIRIE, 292.39, 146.2),
        (SnowClass.TUNDRA, 273.89, 136.9),
        (SnowClass.TAIGA, 217.00, 108.5),
    ],
)
def test_half_a_metre_on_1_february_weighs_as_sturm_says(
    climate: SnowClass, density: float, water: float
) -> None:
    found = float(cover_density(climate, depth_m=0.5, winter_day=32))
    assert found == pytest.approx(density, abs=0.006)
    assert 0.5 * found == pytest.approx(water, abs=0.06)


def test_cold_snow_settles_as_brown_and_brasnett_say() -> None:
    assert float(cold_settling(200.0, water_mm=20.0, snow_c=-5.0)) == pytest.approx(0.26134, abs=1e-5)
    assert warm_densest([0.5, 0.3]) == pytest.approx([485.36, 454.59], abs=0.006)


def test_the_melt_factor_swings_with_the_year() -> None:
    # MFMAX 1.05, MFMIN 0.60 for 6 hours: 0.825 on day 80, 1.05 on 172, 0.6001 on 355; four times that a day.
    found = [melt_factor(day, hours=6) for day in (80, 172, 355)]
    assert found == pytest.approx([0.8250, 1.0500, 0.6001], abs=1e-4)
    assert [melt_factor(day) for day in (80, 172, 355)] == pytest.approx([3.30, 4.20, 2.40], abs=0.001)
    assert date(2027, 3, 21).timetuple().tm_yday == 80


def test_dense_snow_melts_as_kuusisto_says() -> None:
    assert float(melt_factor_by_density(300.0, sheltered=False)) == pytest.approx(0.55)
    assert float(melt_factor_by_density(300.0, sheltered=True)) == pytest.approx(0.86)
    assert melt_factor_by_density([0.0, 1000.0], sheltered=False) == pytest.approx([0.1, 5.5])


def test_a_degree_day_melts_what_the_handbook_says() -> None:
    # 2.74 mm for each degree in a day, five degrees: 13.7 mm.
    assert melt_mm(2.74, air_c=[5.0, 0.0, -3.0]) == pytest.approx([13.7, 0.0, 0.0])


def test_rain_melts_little_by_its_own_heat() -> None:
    # 20 mm at 5 degrees: 20 * 5 * 4.187 / 334 = 1.254 mm; SNOW-17 writes 0.0125 for the last factor.
    assert float(melt_by_rain_mm(20.0, air_c=5.0)) == pytest.approx(1.2536, abs=1e-4)
    assert float(melt_by_rain_mm(20.0, air_c=5.0)) == pytest.approx(20 * 5 * 0.0125, rel=0.01)


def test_snow_turns_to_rain_over_three_degrees() -> None:
    assert snow_share([-1.0, 0.0, 1.5, 3.0, 9.0]) == pytest.approx([1.0, 1.0, 0.5, 0.0, 0.0])


def test_it_is_colder_up_the_hill() -> None:
    # ICAO standard atmosphere: 15 degrees at sea level, 8.5 at 1,000 m.
    assert float(lapsed_c(15.0, up_m=1000.0)) == pytest.approx(8.5)


def test_the_loop_over_a_packed_trail_stands_as_worked_by_hand() -> None:
    # 10 in are 25.4 cm; 12 mm at -8 degrees fall at 70.25 kg/m3 as 17.08 cm, which leaves 8.32 cm; after a
    # day at -8 they have settled to 77.60 kg/m3 and 15.46 cm, which leaves 9.94 cm.
    fresh = float(fresh_density_by_cloud(-8.0))
    assert fresh == pytest.approx(70.25, abs=0.006)
    assert 25.4 - 1200.0 / fresh == pytest.approx(8.32, abs=0.005)
    later = float(settled_by_snow17(fresh, water_mm=12.0, snow_c=-8.0, hours=24))
    assert later == pytest.approx(77.60, abs=0.01)
    assert 25.4 - 1200.0 / later == pytest.approx(9.94, abs=0.005)


def test_arrays_go_through_unchanged_in_shape() -> None:
    shape = (3, 4)
    air = np.linspace(-20.0, 5.0, 12).reshape(shape)
    assert fresh_density_by_cloud(air).shape == shape
    settled = settled_by_snow17(np.full(shape, 100.0), water_mm=10.0, snow_c=np.minimum(air, 0), hours=6)
    assert settled.shape == shape
    assert math.isclose(
        float(settled[0, 0]), float(settled_by_snow17(100.0, water_mm=10.0, snow_c=-20.0, hours=6))
    )
