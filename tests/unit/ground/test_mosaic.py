"""Elevation models in several tiles, of different systems and cells, joined into one grid."""

from pathlib import Path

import numpy as np
import pytest
from pyproj import Transformer
from rasterio.transform import Affine

from tendline.core.grid import Floats
from tendline.ground.mosaic import Joined, Model, read_joined
from tests.unit.ground.support import codes_of, faults_of, origin, write_tif

UTM = "EPSG:32617"
EVERYWHERE = (-81.2, 40.5, -80.8, 40.8)
WEST, NORTH = 500_000.0, 4_500_000.0


def hill(x: Floats, y: Floats) -> Floats:
    """Heights [m] that are a plane in UTM: bilinear interpolation gives them back."""
    return 300.0 + 0.05 * (x - WEST) + 0.02 * (NORTH - y)


def tile(
    folder: Path, name: str, place: Affine, shape: tuple[int, int], *, crs: str = UTM, times: float = 1.0
) -> Model:
    """Write a tile of the hill."""
    rows, cols = np.mgrid[0 : shape[0], 0 : shape[1]]
    x, y = place @ (cols + 0.5, rows + 0.5)
    x, y = Transformer.from_crs(crs, UTM, always_xy=True).transform(x, y)
    z = (hill(x, y) * times).astype(np.float32)
    write_tif(folder / name, z, crs=crs, transform=place, unit="m")
    return Model(folder / name, name)


def check_hill(found: Joined, atol: float, *, rim: int = 1) -> None:
    grid = found.grid
    rows, cols = np.mgrid[0 : grid.shape[0], 0 : grid.shape[1]]
    x, y = grid.west + (cols + 0.5) * grid.dx, grid.north - (rows + 0.5) * grid.dy
    x, y = Transformer.from_crs(grid.crs, UTM, always_xy=True).transform(x, y)
    inner = np.isfinite(grid.z)
    # Within half a cell of a tile's rim the warper has neighbours on one side only.
    known = np.pad(np.isfinite(grid.z), rim)
    for axis in (0, 1):
        for step in (-rim, rim):
            inner &= np.roll(known, step, axis=axis)[rim:-rim, rim:-rim]
    np.testing.assert_allclose(grid.z[inner], hill(x, y)[inner], atol=atol)


def test_tiles_of_one_lattice_are_joined_to_the_last_bit(tmp_path: Path) -> None:
    left = tile(tmp_path, "left.tif", origin(WEST, NORTH, 10.0), (40, 30))
    right = tile(tmp_path, "right.tif", origin(WEST + 300, NORTH + 100, 10.0), (40, 30))
    found = read_joined([left, right], EVERYWHERE)
    assert found is not None
    assert found.grid.shape == (50, 60)
    assert sorted(found.used) == ["left.tif", "right.tif"]
    assert found.said == ()
    # Two corners of the block are in neither tile.
    assert np.isnan(found.grid.z[:10, :30]).all()
    assert np.isnan(found.grid.z[40:, 30:]).all()
    assert np.isfinite(found.grid.z).sum() == 2 * 40 * 30
    check_hill(found, atol=5e-4)


@pytest.mark.parametrize("first", [0, 1])
def test_a_fine_model_leads_and_a_coarse_one_in_degrees_fills_round_it(tmp_path: Path, first: int) -> None:
    fine = tile(tmp_path, "fine.tif", origin(WEST, NORTH, 5.0), (60, 60))
    coarse = tile(tmp_path, "coarse.tif", origin(-81.01, 40.655, 0.0003), (40, 60), crs="EPSG:4326")
    found = read_joined([fine, coarse][:: 1 if first == 0 else -1], EVERYWHERE)
    assert found is not None
    assert found.used == ("fine.tif", "coarse.tif")
    assert (found.grid.dx, found.grid.dy) == (5.0, 5.0)
    row, col = round((found.grid.north - NORTH) / 5), round((WEST - found.grid.west) / 5)
    own = found.grid.z[row : row + 60, col : col + 60]
    x, y = np.meshgrid(WEST + (np.arange(60) + 0.5) * 5, NORTH - (np.arange(60) + 0.5) * 5)
    np.testing.assert_array_equal(own, hill(x, y).astype(np.float32))
    assert found.grid.z.size > 5 * own.size
    check_hill(found, atol=0.05, rim=5)


def test_tiles_in_two_zones_join_without_a_gap(tmp_path: Path) -> None:
    # Zones 17 and 18 meet at 78 degrees west.
    there = Transformer.from_crs("EPSG:4326", UTM, always_xy=True)
    x, y = there.transform(-78.0, 40.6)
    west = tile(tmp_path, "west.tif", origin(round(x) - 900.0, round(y) + 500.0, 10.0), (100, 100))
    x18, y18 = Transformer.from_crs("EPSG:4326", "EPSG:32618", always_xy=True).transform(-78.0, 40.6)
    east = tile(
        tmp_path,
        "east.tif",
        origin(round(x18) - 100.0, round(y18) + 500.0, 10.0),
        (100, 100),
        crs="EPSG:32618",
    )
    found = read_joined([west, east], (-78.1, 40.5, -77.9, 40.7))
    assert found is not None
    middle = found.grid.z[found.grid.shape[0] // 2]
    assert np.isfinite(middle[5:-5]).all()
    assert len(middle) > 150
    check_hill(found, atol=0.05)


def test_only_the_ground_asked_for_is_joined(tmp_path: Path) -> None:
    near = tile(tmp_path, "near.tif", origin(WEST, NORTH, 10.0), (200, 200))
    far = tile(tmp_path, "far.tif", origin(WEST + 20_000, NORTH, 10.0), (40, 40))
    found = read_joined([near, far], (-80.998, 40.647, -80.994, 40.649))
    assert found is not None
    assert found.used == ("near.tif",)
    assert found.grid.z.size < 200 * 200 / 10
    assert read_joined([near, far], (-70.0, 40.0, -69.9, 40.1)) is None
    assert read_joined([], EVERYWHERE) is None


def test_a_hole_in_one_model_is_filled_from_another(tmp_path: Path) -> None:
    lower = tile(tmp_path, "a.tif", origin(WEST, NORTH, 10.0), (50, 50))
    rows, cols = np.mgrid[0:50, 0:50]
    z = hill(WEST + (cols + 0.5) * 10.0, NORTH - (rows + 0.5) * 10.0).astype(np.float32)
    z[20:30, 20:30] = -9999.0
    write_tif(tmp_path / "b.tif", z, crs=UTM, transform=origin(WEST, NORTH, 10.0), unit="m", nodata=-9999.0)
    found = read_joined([lower, Model(tmp_path / "b.tif", "b.tif")], EVERYWHERE)
    assert found is not None
    assert found.used == ("b.tif", "a.tif")  # the later of two equally fine ones leads
    assert np.isfinite(found.grid.z).all()


def test_feet_beside_metres_are_found_out(tmp_path: Path) -> None:
    metres = tile(tmp_path, "metres.tif", origin(WEST, NORTH, 10.0), (40, 40))
    # A file of feet whose tag says metres.
    feet = tile(tmp_path, "feet.tif", origin(WEST + 200, NORTH, 10.0), (40, 40), times=1 / 0.3048)
    for models in ([metres, feet], [feet, metres]):
        (fault,) = faults_of(lambda models=models: read_joined(models, EVERYWHERE))  # type: ignore[misc]
        assert fault.code.id == "GND-411"
        assert "heights of feet.tif are 3.28 times those of metres.tif" in fault.what
        assert "0.3048" in fault.do


def test_a_step_between_models_is_told(tmp_path: Path) -> None:
    one = tile(tmp_path, "one.tif", origin(WEST, NORTH, 10.0), (40, 40))
    other = tile(tmp_path, "other.tif", origin(WEST + 200, NORTH, 10.0), (40, 40), times=1.05)
    found = read_joined([one, other], EVERYWHERE)
    assert found is not None
    # 5 % of about 320 m.
    assert "differ by 16 m where they overlap" in found.said[0]


def test_a_model_that_cannot_be_read_any_more_is_told(tmp_path: Path) -> None:
    assert codes_of(lambda: read_joined([Model(tmp_path / "gone.tif", "gone.tif")], EVERYWHERE)) == [
        "GND-401"
    ]
