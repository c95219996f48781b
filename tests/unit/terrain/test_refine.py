"""Cutting coarse cells: heights between centres, the unknown, the frame."""

import numpy as np
import pytest

from tendline.terrain.refine import refine
from tests.terrain_ground import ground


def test_a_plane_stays_a_plane_inside_the_outermost_centres() -> None:
    rows, cols = np.mgrid[0:6, 0:5]
    grid = ground(100 + 9.0 * rows - 6.0 * cols, dx=60.0, dy=90.0)
    fine = refine(grid, at_most_m=30.0)
    assert fine.shape == (18, 10)
    assert (fine.dx, fine.dy, fine.west, fine.north) == (30.0, 30.0, grid.west, grid.north)
    # Centres of fine cells in old rows and columns: (k + 0.5) / 3 - 0.5 and (k + 0.5) / 2 - 0.5.
    down, across = (np.arange(18) + 0.5) / 3 - 0.5, (np.arange(10) + 0.5) / 2 - 0.5
    expected = 100 + 9.0 * np.clip(down, 0, 5)[:, None] - 6.0 * np.clip(across, 0, 4)
    assert fine.z == pytest.approx(expected, abs=1e-4)


def test_unknown_cells_stay_unknown_as_a_whole_and_no_others() -> None:
    z = np.arange(25.0).reshape(5, 5)
    z[2, 2] = np.nan
    z[0, 0] = np.nan
    fine = refine(ground(z, dx=30, dy=30), at_most_m=10.0)
    assert np.array_equal(np.isnan(fine.z), np.repeat(np.repeat(np.isnan(z), 3, 0), 3, 1))


def test_fine_cells_are_left_alone() -> None:
    grid = ground(np.zeros((4, 4)), dx=10, dy=10)
    assert refine(grid, at_most_m=10.0) is grid


def test_a_raster_of_one_row_can_be_cut() -> None:
    fine = refine(ground([[0.0, 10.0]], dx=20, dy=20), at_most_m=10.0)
    assert fine.z.tolist() == [[0.0, 2.5, 7.5, 10.0]] * 2
