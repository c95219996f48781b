"""Slope, distance, resistance and means on grids, against closed forms and scipy's image filters."""

import numpy as np
import pytest
from scipy.ndimage import distance_transform_edt, maximum_filter, uniform_filter

from tendline.core.grid import Grid
from tendline.terrain import strips
from tendline.terrain.draw import Frame
from tendline.terrain.layers import Layers
from tendline.terrain.pinch import peaks, smoothed
from tendline.terrain.surface import distance_to, resistance, slope
from tendline.terrain.weights import AnimalWeights, Weight


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


@pytest.fixture
def thin_strips(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut everything into strips of three rows or so."""
    monkeypatch.setattr(strips, "STRIP_CELLS", 200)


@pytest.mark.usefixtures("thin_strips")
def test_resistance_strip_by_strip_is_the_formula_with_distances_of_scipy() -> None:
    """Level ground: factor ** clip(1.5 - distance / reach, 0, 1), the barrier open near its crossing."""
    dx, dy = 10.0, 7.5
    chance = np.random.default_rng(8)
    drawn = {name: chance.random((70, 60)) < 0.004 for name in ("road", "barrier", "crossing")}
    weights = AnimalWeights(
        "coyote",
        (0.0, 1.0),
        (1.0, 10.0),
        1.2,
        "test",
        {
            "road": Weight(3.0, 1.3, 90.0, "test"),
            "barrier": Weight(40.0, 1.3, 30.0, "test"),
            "crossing": Weight(0.5, 1.3, 60.0, "test"),
        },
    )
    away = {name: distance_transform_edt(~mask, sampling=(dy, dx)) for name, mask in drawn.items()}
    felt = {name: np.clip(1.5 - away[name] / one.reach_m, 0.0, 1.0) for name, one in weights.things.items()}
    felt["barrier"] = np.where(away["crossing"] <= 60.0, 0.0, felt["barrier"])
    expected = np.prod([one.factor ** felt[name] for name, one in weights.things.items()], axis=0)
    grid = Grid(np.full((70, 60), 9.0, np.float32), "EPSG:32617", 500_000.0, 4_500_000.0, dx, dy)
    layers = Layers(Frame(70, 60, 0, 0, grid.west, grid.north, dx, dy), drawn)
    assert resistance(grid, layers, weights) == pytest.approx(expected, rel=1e-5)
    for name, far in away.items():
        assert layers.near(name, (33, 21)) == pytest.approx(far[33, 21])
    assert layers.near("house", (33, 21)) == np.inf


@pytest.mark.usefixtures("thin_strips")
def test_means_and_peaks_strip_by_strip_are_those_of_scipy() -> None:
    density = np.random.default_rng(5).random((61, 47)).astype(np.float32)
    everywhere = np.ones(density.shape, np.bool_)
    # Away from the edges, where scipy fills up and here only what there is counts.
    mean = smoothed(density, everywhere, (3, 2))[3:-3, 2:-2]
    assert mean == pytest.approx(uniform_filter(density.astype(float), (7, 5))[3:-3, 2:-2], rel=1e-5)
    found = peaks(density, apart=(8, 6), most=10_000)
    highest = density == maximum_filter(density, (9, 7), mode="nearest")
    assert {tuple(cell) for cell in found.tolist()} <= {tuple(cell) for cell in np.argwhere(highest).tolist()}
    values = density[tuple(found.T)]
    assert np.all(np.diff(values) <= 0)
    assert values[0] == density.max()
