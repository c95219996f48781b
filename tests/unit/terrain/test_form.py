"""The ground in the trade's words, on surfaces whose form is given by their formula."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest

from tendline.core.grid import Grid
from tendline.terrain.form import Form, form_at

Heights = npt.NDArray[np.float64]
Surface = Callable[[Heights, Heights], Heights]


def ground(surface: Surface, *, cell: float = 10.0) -> Grid:
    """Make 81 x 81 cells with the spot in the middle; x east, y north [m]."""
    at = (np.arange(81) - 40) * cell
    x, y = np.meshgrid(at, -at)
    return Grid(surface(x, y).astype(np.float32), "EPSG:32617", 500_000.0, 4_500_000.0, cell, cell)


SURFACES: dict[Form, Surface] = {
    # The hyperbolic paraboloid is the pass by definition.
    Form.SADDLE: lambda x, y: (x**2 - y**2) / 400.0,
    Form.DRAW: lambda x, y: 0.1 * y + 0.4 * np.abs(x),
    Form.RIDGE: lambda x, y: 0.1 * y - 0.4 * np.abs(x),
    Form.KNOB: lambda x, y: -(x**2 + y**2) / 300.0,
    Form.HOLLOW: lambda x, y: (x**2 + y**2) / 300.0,
    Form.BENCH: lambda x, y: 0.4 * (np.sign(y) * np.maximum(np.abs(y) - 45.0, 0.0)) + 0.02 * y + 0.0 * x,
    Form.SLOPE: lambda x, y: 0.3 * x + 0.2 * y,
    Form.LEVEL: lambda x, y: 0.001 * x + 0.0 * y,
}


@pytest.mark.parametrize("form", list(SURFACES))
@pytest.mark.parametrize("turned", [0.0, 0.5, 1.1])
def test_a_form_is_known_however_it_lies(form: Form, turned: float) -> None:
    surface = SURFACES[form]
    c, s = np.cos(turned), np.sin(turned)
    found = form_at(ground(lambda x, y: surface(c * x - s * y, s * x + c * y)), (40, 40))
    assert found is not None
    assert found.form is form


def test_a_saddle_says_how_deep_it_lies() -> None:
    """x^2 / 400 at forty metres is four metres up, and as much down."""
    found = form_at(ground(SURFACES[Form.SADDLE]), (40, 40))
    assert found is not None
    assert found.depth_m == pytest.approx(4.0, rel=0.1)


def test_at_the_edge_of_what_is_known_nothing_is_told() -> None:
    assert form_at(ground(SURFACES[Form.SADDLE]), (0, 40)) is None
