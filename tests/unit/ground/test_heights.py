"""Arrays of heights: what is known, means of blocks, slopes that cannot be."""

import numpy as np
import numpy.typing as npt
import pytest

from tendline.core.errors import Refused
from tendline.core.grid import Floats, Grid
from tendline.ground.heights import block_mean, check_heights, known_heights, median_slope, odd_zeros
from tests.unit.ground.support import codes_of

NAN = float("nan")


def grid(z: Floats) -> Grid:
    return Grid(z, crs="EPSG:32617", west=500_000.0, north=4_500_000.0, dx=10.0, dy=10.0)


@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_numbers_that_stand_for_no_data_become_unknown(kind: type) -> None:
    raw: npt.NDArray[np.floating] = np.array(
        [[1.5, -9999, -32768, -32767], [np.nan, -3.4028235e38, np.inf, -9998]], dtype=kind
    )
    known = known_heights(raw, np.ones((2, 4), dtype=bool), scale=1.0, offset=0.0)
    assert known.dtype == np.float32
    np.testing.assert_array_equal(known, np.array([[1.5, NAN, NAN, NAN], [NAN, NAN, NAN, -9998]], np.float32))


def test_what_the_file_calls_unknown_is_unknown_and_the_scale_is_used() -> None:
    raw = np.array([[10, 0, -32768]], dtype=np.int16)
    valid = np.array([[True, False, True]])
    known = known_heights(raw, valid, scale=0.1, offset=100.0)
    # 10 x 0.1 + 100 = 101.
    np.testing.assert_allclose(known, np.array([[101.0, NAN, NAN]]), rtol=1e-7)


def test_the_mean_of_a_block_counts_known_cells_only() -> None:
    z = np.array(
        [[1, 2, NAN, NAN, 9], [3, NAN, NAN, 8, 9], [5, 5, 7, 7, 9], [5, 5, NAN, NAN, 9], [9, 9, 9, 9, 9]],
        np.float32,
    )
    # (1 + 2 + 3) / 3 = 2; one cell of four is less than half; two of four are half.
    np.testing.assert_array_equal(block_mean(z, 2), np.array([[2, NAN], [5, 7]], np.float32))
    np.testing.assert_array_equal(block_mean(z, 1), z)


def test_the_median_slope_of_a_plane_is_its_slope() -> None:
    rows, cols = np.mgrid[0:50, 0:60]
    # 3 m to the east over 10 m, 4 m to the south over 10 m: hypot(0.3, 0.4) = 0.5.
    z = (3.0 * cols + 4.0 * rows).astype(np.float32)
    assert median_slope(z, dx=10.0, dy=10.0) == pytest.approx(0.5, abs=1e-6)
    z[10:20, 10:20] = NAN
    assert median_slope(z, dx=10.0, dy=10.0) == pytest.approx(0.5, abs=1e-6)


def test_a_large_plane_is_sampled_and_gives_the_same_slope() -> None:
    z = np.broadcast_to(np.arange(4000, dtype=np.float32), (3001, 4000))
    assert median_slope(z, dx=2.0, dy=1.0) == pytest.approx(0.5, abs=1e-6)


def test_a_single_row_has_no_slope() -> None:
    assert np.isnan(median_slope(np.zeros((1, 5), np.float32), dx=1.0, dy=1.0))


def test_heights_that_no_ground_has_are_refused() -> None:
    flat = np.full((4, 4), 300.0, np.float32)
    assert check_heights(grid(flat), unit="metre", file_name="a.tif") == (1.0, 300.0, 300.0)
    for height in (-501.0, 9001.0):
        odd = flat.copy()
        odd[0, 0] = height
        with pytest.raises(Refused, match="GND-407"):
            check_heights(grid(odd), unit="metre", file_name="a.tif")
    steep = flat + 10.2 * np.arange(4, dtype=np.float32)
    with pytest.raises(Refused, match="half of the ground is steeper than 102 %") as caught:
        check_heights(grid(steep), unit="metre (its unit tag)", file_name="a.tif")
    assert caught.value.faults[0].code.id == "GND-408"
    assert "metre (its unit tag)" in caught.value.faults[0].do
    check_heights(grid(flat + 9.8 * np.arange(4, dtype=np.float32)), unit="metre", file_name="a.tif")


def test_a_raster_without_any_height_is_refused() -> None:
    nothing = np.full((4, 4), NAN, np.float32)
    assert codes_of(lambda: check_heights(grid(nothing), unit="metre", file_name="a.tif")) == ["GND-409"]


def test_many_exact_zeros_below_hills_are_told() -> None:
    z = np.full((10, 10), 300.0, np.float32)
    assert odd_zeros(z, file_name="a.tif") == ()
    z[:2] = 0.0
    (warning,) = odd_zeros(z, file_name="a.tif")
    assert warning.startswith("a.tif: 20 % of the cells are exactly 0 m and no other is below 300 m")
    z[5, 5] = 4.0  # a shore: zero may well be the sea
    assert odd_zeros(z, file_name="a.tif") == ()
    assert odd_zeros(np.zeros((3, 3), np.float32), file_name="a.tif") == ()
