"""Walking speeds against what was published, recomputed by hand from the formulas."""

import numpy as np
import pytest

from tendline.almanac.travel import speed_campbell2022, speed_marquez2017, speed_tobler1993


@pytest.mark.parametrize(
    ("slope", "kmh"),
    # 6 exp(-3.5 |S + 0.05|): at -0.05 the full 6; level 6 exp(-0.175) = 5.0367; 0.1 up 6 exp(-0.525); ...
    [(-0.05, 6.0), (0.0, 5.0367), (-0.1, 5.0367), (0.1, 3.5493), (0.2, 2.5012), (0.5, 0.8753)],
)
def test_tobler_walks_as_published(slope: float, kmh: float) -> None:
    """Tobler (1993), NCGIA Technical Report 93-1: six km/h at most, "about 5 km/h" on the level."""
    assert speed_tobler1993(slope) * 3.6 == pytest.approx(kmh, abs=5e-5)


@pytest.mark.parametrize(("slope", "kmh"), [(0.0, 4.0944), (-0.03 / 0.7, 4.8), (0.1, 2.8253)])
def test_marquez_walks_as_published(slope: float, kmh: float) -> None:
    """Marquez-Perez and others (2017), from memory: 4.8 exp(-5.3 |0.7 S + 0.03|) km/h."""
    assert speed_marquez2017(slope) * 3.6 == pytest.approx(kmh, abs=5e-5)


@pytest.mark.parametrize(
    ("degrees", "metres_per_second"), [(0, 1.1492), (10, 0.9660), (20, 0.6602), (30, 0.4413)]
)
def test_campbell_walks_as_published(degrees: int, metres_per_second: float) -> None:
    """Campbell and others (2022), median: level 80.88869 / 70.389209 = 1.1492 m/s; the same up and down."""
    for sign in (1, -1):
        slope = float(np.tan(np.radians(sign * degrees)))
        assert speed_campbell2022(slope) == pytest.approx(metres_per_second, abs=5e-5)
