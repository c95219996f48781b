"""Light, shade and steepness against GDAL's own program; contour lines against functions that are known.

Real heights: Jacksboro fault, Tennessee, from the SRTM (public domain), as matplotlib ships it in its sample
data. GDAL comes inside rasterio, which does not offer its DEM program: it is called in the library itself.
"""

import ctypes
from collections.abc import Callable
from pathlib import Path
from typing import Any

import contourpy
import numpy as np
import numpy.typing as npt
import pytest
import rasterio
from distributed import LocalCluster
from matplotlib.cbook import get_sample_data
from rasterio.transform import Affine

from tendline.core.grid import Grid
from tendline.terrain import strips
from tendline.terrain.contour import contours, smoothed
from tendline.terrain.relief import hillshade, slope_deg, steepness
from tendline.terrain.relief_strips import in_strips

CELL = (75.0, 93.0)
"""Width and height of a cell [m]: about what three arc-seconds are there."""


@pytest.fixture(scope="module")
def real() -> Grid:
    held: Any = get_sample_data("jacksboro_fault_dem.npz")
    with held:
        z = np.ascontiguousarray(held["elevation"], np.float32)
    z[100:130, 200:240] = np.nan
    return Grid(z, "EPSG:32616", 700_000.0, 4_070_000.0, *CELL)


def gdal_says(
    grid: Grid, folder: Path, *words: str, dtype: type[np.generic]
) -> tuple[npt.NDArray[Any], npt.NDArray[np.bool_]]:
    """Call GDAL's DEM program (gdaldem) in the library that rasterio brings; give its answer, and where."""
    found = sorted((Path(rasterio.__file__).parents[1] / "rasterio.libs").glob("libgdal*"))
    if not found:
        pytest.skip("this rasterio does not bring a GDAL of its own")
    gdal = ctypes.CDLL(str(found[0]))
    gdal.GDALOpen.restype = gdal.GDALDEMProcessing.restype = ctypes.c_void_p
    gdal.GDALDEMProcessingOptionsNew.restype = ctypes.c_void_p
    gdal.GDALAllRegister()
    source, target = folder / "dem.tif", folder / f"{words[0]}.tif"
    with rasterio.open(
        source,
        "w",
        driver="GTiff",
        width=grid.shape[1],
        height=grid.shape[0],
        count=1,
        dtype="float32",
        crs=grid.crs,
        nodata=float("nan"),
        transform=Affine(grid.dx, 0.0, grid.west, 0.0, -grid.dy, grid.north),
    ) as out:
        out.write(grid.z, 1)
    mode, *options = words
    told = (ctypes.c_char_p * (len(options) + 1))(*(word.encode() for word in options), None)
    settings = ctypes.c_void_p(gdal.GDALDEMProcessingOptionsNew(told, None))
    held = ctypes.c_void_p(gdal.GDALOpen(str(source).encode(), 0))
    made = gdal.GDALDEMProcessing(str(target).encode(), held, mode.encode(), None, settings, None)
    assert made
    for handle in (ctypes.c_void_p(made), held):
        gdal.GDALClose(handle)
    gdal.GDALDEMProcessingOptionsFree(settings)
    with rasterio.open(target) as answer:
        assert np.dtype(answer.dtypes[0]) == dtype
        return answer.read(1), answer.read_masks(1) > 0


@pytest.mark.parametrize(
    ("from_deg", "above_deg", "exaggerate"), [(315.0, 45.0, 1.0), (200.0, 30.0, 3.0), (90.0, 60.0, 0.5)]
)
def test_shade_is_gdals(
    real: Grid, tmp_path: Path, from_deg: float, above_deg: float, exaggerate: float
) -> None:
    options = ("-az", str(from_deg), "-alt", str(above_deg), "-z", str(exaggerate))
    theirs, known = gdal_says(real, tmp_path, "hillshade", *options, dtype=np.uint8)
    ours = hillshade(real, from_deg=from_deg, above_deg=above_deg, exaggerate=exaggerate)
    # GDAL leaves the rim and the cells beside the unknown empty; ours go on there.
    assert known.mean() > 0.97
    assert np.abs(ours[known].astype(int) - theirs[known].astype(int)).max() <= 1
    assert (ours[known] == theirs[known]).mean() > 0.999
    assert np.array_equal(ours == 0, np.isnan(real.z))


def test_shade_at_the_rim_is_gdals_too(real: Grid, tmp_path: Path) -> None:
    theirs, known = gdal_says(real, tmp_path, "hillshade", "-compute_edges", dtype=np.uint8)
    ours = hillshade(real)
    rim = np.zeros(real.shape, bool)
    rim[[0, -1]] = rim[:, [0, -1]] = True
    # A corner has no neighbours on two sides: how the slope goes on there is a matter of taste.
    rim[:: real.shape[0] - 1, :: real.shape[1] - 1] = False
    assert known[rim].all()
    assert np.abs(ours[rim].astype(int) - theirs[rim].astype(int)).max() <= 1


def test_steepness_is_gdals(real: Grid, tmp_path: Path) -> None:
    theirs, known = gdal_says(real, tmp_path, "slope", dtype=np.float32)
    np.testing.assert_allclose(slope_deg(real)[known], theirs[known], atol=2e-3)


def test_level_ground_is_as_bright_as_the_light_is_high() -> None:
    # sin 45 degrees of full light: 1 + 254 x 0.7071 = 180.6.
    assert np.all(hillshade(Grid(np.zeros((5, 6), np.float32), "EPSG:32616", 0.0, 0.0, 10.0, 10.0)) == 181)


def length_m(lines: Any) -> float:
    """Give the length of lines together [m]."""
    return sum(float(np.hypot(*np.diff(points, axis=0).T).sum()) for points in lines)


def ground(height: Any, *, n: int = 81, cell: float = 10.0) -> Grid:
    """Make ground of a function of x and y from the middle [m]."""
    middle = (n - 1) / 2 * cell
    y, x = np.mgrid[middle : -middle - 1 : -cell, -middle : middle + 1 : cell]
    edge = middle + cell / 2
    return Grid(np.ascontiguousarray(height(x, y), np.float32), "EPSG:32616", -edge, edge, cell, cell)


def test_contours_of_a_plane_are_exact() -> None:
    lines = contours(ground(lambda x, y: 100.0 + 0.3 * x - 0.4 * y), 10.0)
    # Heights run from 100 - 280 to 100 + 280: every multiple of ten strictly between.
    assert [line.height_m for line in lines] == [float(h) for h in range(-170, 380, 10)]
    assert [line.height_m for line in lines if line.main] == [float(h) for h in range(-150, 380, 50)]
    for line in lines:
        x, y = line.points.T
        np.testing.assert_allclose(100.0 + 0.3 * x - 0.4 * y, line.height_m, atol=1e-4)


def test_contours_of_a_bowl_are_circles() -> None:
    # z = r^2 / 100, so that the line of height h lies at r = 10 sqrt(h). Heights linear across a cell of 10 m
    # err by at most 10^2 / 8 x the second derivative, 2 / 100, each way: 0.25 m for each axis.
    for line in contours(ground(lambda x, y: (x * x + y * y) / 100.0), 200.0):
        r = np.hypot(*line.points.T)
        assert np.abs(r * r / 100.0 - line.height_m).max() <= 0.5
        assert bool(np.all(line.points[0] == line.points[-1])) == (line.height_m < 1600.0)


def test_contours_of_real_ground_are_those_of_contourpy_by_another_of_its_ways(real: Grid) -> None:
    x = real.west + (np.arange(real.shape[1]) + 0.5) * real.dx
    y = real.north - (np.arange(real.shape[0]) + 0.5) * real.dy
    other = contourpy.contour_generator(x, y, np.ma.masked_invalid(real.z), name="threaded", thread_count=1)
    mine = contours(real, 50.0)
    for height in (400.0, 650.0, 900.0):
        theirs = other.lines(height)
        ours = [line.points for line in mine if line.height_m == height]
        assert len(ours) == len(theirs)
        assert len(ours) > 0
        assert length_m(ours) == pytest.approx(length_m(theirs), rel=1e-6)


def test_smoothing_keeps_planes_and_holes_and_takes_a_spike_down_to_a_quarter() -> None:
    plane = ground(lambda x, y: 50.0 + 0.1 * x + 0.2 * y, n=21)
    np.testing.assert_allclose(smoothed(plane).z[1:-1, 1:-1], plane.z[1:-1, 1:-1], atol=1e-3)
    plane.z[5, 5] = np.nan
    assert np.isnan(smoothed(plane).z[5, 5])
    assert np.isfinite(smoothed(plane).z).sum() == plane.z.size - 1
    spike = ground(lambda x, y: np.where((x == 0) & (y == 0), 16.0, 0.0), n=21)
    # The weights 1 2 1 both ways put 4 / 16 on the middle cell.
    assert smoothed(spike).z[10, 10] == pytest.approx(4.0)


@pytest.mark.filterwarnings("ignore")
def test_strips_are_the_whole_to_the_last_bit(real: Grid, monkeypatch: pytest.MonkeyPatch) -> None:
    """At every cell, beside unknown ground and at the edges too; strips of one row, a few, most rows."""
    draws: tuple[Callable[[Grid], npt.NDArray[Any]], ...] = (hillshade, slope_deg, steepness)
    wholes = [draw(real) for draw in draws]
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        for rows, scheduler in ((1, None), (7, None), (300, None), (50, cluster.scheduler_address)):
            monkeypatch.setattr(strips, "STRIP_CELLS", rows * real.shape[1])
            for draw, whole in zip(draws, wholes, strict=True):
                found = in_strips(draw, real, scheduler=scheduler)
                np.testing.assert_array_equal(found, whole)
                assert found.dtype == whole.dtype
