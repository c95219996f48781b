"""A real elevation model, brought in by several roads, against independent interpolation.

The model is the Jacksboro fault in Tennessee, three arc-seconds, from the Shuttle Radar Topography Mission,
as it ships with matplotlib's sample data. The reference is scipy's bilinear interpolation of the array
itself, at places that pyproj puts back into degrees.
"""

from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from matplotlib import cbook
from pyproj import Geod, Transformer
from rasterio.transform import Affine
from scipy.ndimage import map_coordinates

from tendline.core.grid import Grid
from tendline.ground.elevation import read_elevation
from tests.unit.ground.support import write_tif

CELL = 3.0 / 3600.0
FOOT, SURVEY_FOOT = 0.3048, 1200.0 / 3937.0  # NIST SP 811 (2008), appendix B.8


@pytest.fixture(scope="module")
def model() -> tuple[npt.NDArray[np.float64], Affine]:
    held: Any = cbook.get_sample_data("jacksboro_fault_dem.npz")
    with held:
        heights = held["elevation"].astype(np.float64)
        west, north = float(held["xmin"]), max(float(held["ymin"]), float(held["ymax"]))
    return heights, Affine(CELL, 0.0, west, 0.0, -CELL, north)


def reference(
    grid: Grid, heights: npt.NDArray[np.float64], place: Affine
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    """Give the height that belongs in the middle of each cell, and which cells lie inside the model."""
    rows, cols = np.mgrid[0 : grid.shape[0], 0 : grid.shape[1]]
    x, y = grid.west + (cols + 0.5) * grid.dx, grid.north - (rows + 0.5) * grid.dy
    lon, lat = Transformer.from_crs(grid.crs, "EPSG:4326", always_xy=True).transform(x, y)
    col, row = ~place @ (lon, lat)
    # The height of a cell belongs to its middle, half a cell from its corner.
    expected = map_coordinates(heights, [row - 0.5, col - 0.5], order=1, mode="nearest")
    inside = (row > 0.5) & (row < heights.shape[0] - 0.5) & (col > 0.5) & (col < heights.shape[1] - 0.5)
    return expected, inside


@pytest.mark.parametrize(("unit", "metres"), [("m", 1.0), ("ft", FOOT), ("us-ft", SURVEY_FOOT)])
def test_a_real_model_in_degrees_is_interpolated_as_scipy_does(
    tmp_path: Path, model: Any, unit: str, metres: float
) -> None:
    heights, place = model
    path = write_tif(
        tmp_path / "a.tif", (heights / metres).astype(np.float32), crs="EPSG:4326", transform=place, unit=unit
    )
    grid, facts = read_elevation(path)
    expected, inside = reference(grid, heights, place)
    assert inside.sum() > 130_000
    off = np.abs(grid.z[inside] - expected[inside])
    # Places may be wrong by a thousandth of a cell: that much of the rise from cell to cell, on both axes.
    rise = [np.abs(np.diff(heights, axis=axis)) for axis in (0, 1)]
    assert np.isfinite(off).all()
    assert off.max() < 0.001 * (rise[0].max() + rise[1].max())
    assert off.mean() < 0.001 * (rise[0].mean() + rise[1].mean())
    assert facts.low_m >= heights.min() - 1e-2
    assert facts.high_m <= heights.max() + 1e-2


def test_the_size_of_a_cell_is_what_geodesics_say(tmp_path: Path, model: Any) -> None:
    heights, place = model
    path = write_tif(tmp_path / "a.tif", heights.astype(np.int16), crs="EPSG:4326", transform=place, unit="m")
    _, facts = read_elevation(path)
    lon, lat = place @ (heights.shape[1] / 2, heights.shape[0] / 2)
    geod = Geod(ellps="WGS84")
    wide = geod.inv(lon - CELL / 2, lat, lon + CELL / 2, lat)[2]
    high = geod.inv(lon, lat - CELL / 2, lon, lat + CELL / 2)[2]
    assert facts.cell_in == pytest.approx((wide, high), rel=1e-4)
    assert facts.cell_out[0] == pytest.approx(wide, rel=1e-4)
    west, south, east, north = facts.bbox
    assert west == pytest.approx(place.c, abs=0.02)
    assert north == pytest.approx(place.f, abs=0.02)
    assert east - west == pytest.approx(heights.shape[1] * CELL, abs=0.03)
    assert north - south == pytest.approx(heights.shape[0] * CELL, abs=0.03)


def test_a_hole_in_a_real_model_stays_a_hole(tmp_path: Path, model: Any) -> None:
    heights, place = model
    holed = heights.astype(np.float32)
    holed[100:150, 200:260] = -32768.0
    path = write_tif(tmp_path / "a.tif", holed, crs="EPSG:4326", transform=place, unit="m", nodata=-32768.0)
    grid, facts = read_elevation(path)
    expected, inside = reference(grid, heights, place)
    known = np.isfinite(grid.z) & inside
    # 50 x 60 of 344 x 403 cells are lost, within a cell's width of its rim.
    assert (~known & inside).sum() / inside.sum() == pytest.approx(50 * 60 / (344 * 403), rel=0.03)
    # Away from the rim nothing has changed; at the rim only known heights count: none is pulled to -32768.
    assert grid.z[known].min() >= heights.min() - 1e-2
    rows, cols = np.nonzero(~known & inside)
    far = known.copy()
    far[rows.min() - 2 : rows.max() + 3, cols.min() - 2 : cols.max() + 3] = False
    assert np.abs(grid.z[far] - expected[far]).max() < 0.1
    assert facts.known_share < 1.0


def test_a_real_model_in_feet_is_read_when_the_person_says_so(tmp_path: Path, model: Any) -> None:
    heights, place = model
    path = write_tif(
        tmp_path / "a.tif", (heights / FOOT).astype(np.float32), crs="EPSG:4326", transform=place
    )
    grid, _ = read_elevation(path, unit="ft")
    expected, inside = reference(grid, heights, place)
    assert np.abs(grid.z[inside] - expected[inside]).max() < 0.1
