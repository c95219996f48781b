"""Slope and distance on grids, against closed forms and scipy's distance transform."""

import numpy as np
import pytest
from scipy.ndimage import distance_transform_edt

from tendline.core.grid import Grid
from tendline.terrain.surface import distance_to, slope


def test_a_plane_has_its_slope_everywhere() -> None:
    """z = 0.3 x - 0.4 y has the slope 0.5."""
    y, x = np.mgrid[0:30, 0:40]
    z = (0.3 * x * 5.0 + 0.4 * y * 10.0).astype(np.float32)
    grid = Grid(z, "EPSG:32617", 500_000.0, 4_500_000.0, 5.0, 10.0)
    assert slope(grid) == pytest.approx(0.5, rel=1e-5)
    z[10, 10] = np.nan
    found = slope(Grid(z, "EPSG:32617", 500_000.0, 4_500_000.0, 5.0, 10.0))
    assert found[10, 10] == 0.0
    assert np.delete(found.ravel(), 10 * 40 + 10) == pytest.approx(0.5, rel=1e-4)


@pytest.mark.parametrize(("dx", "dy"), [(1.0, 1.0), (10.0, 7.5)])
def test_distances_are_those_of_scipy(dx: float, dy: float) -> None:
    """scipy.ndimage.distance_transform_edt, exact Euclidean, with the same size of cell."""
    for share in (0.001, 0.02, 0.4):
        mask = np.random.default_rng(4).random((83, 120)) < share
        mask[40, 3] = True
        expected = distance_transform_edt(~mask, sampling=(dy, dx))
        assert distance_to(mask, dx, dy) == pytest.approx(expected, rel=1e-6)


def test_nothing_drawn_is_infinitely_far() -> None:
    assert np.all(np.isinf(distance_to(np.zeros((5, 6), np.bool_), 1.0, 1.0)))
