"""Elevation models of every kind, written as a user's program would."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from pyproj import Transformer
from rasterio.transform import Affine

from tendline.core.grid import Floats, Grid
from tendline.ground import elevation
from tendline.ground.elevation import read_elevation
from tendline.ground.heights import ElevationFacts
from tests.unit.ground.support import codes_of, faults_of, origin, write_tif

ROWS, COLS = np.mgrid[0:40, 0:50]
HILL: Floats = (300.0 + 2.0 * COLS + 1.0 * ROWS).astype(np.float32)
"""A plane: 2 m up for each cell east, 1 m up for each cell south."""

UTM = "EPSG:32617"
PLACE = origin(500_000.0, 4_500_000.0, 10.0)


def bring(path: Path, z: Any = HILL, **more: Any) -> tuple[Grid, ElevationFacts]:
    options = {"crs": UTM, "transform": PLACE, "unit": "m", **more}
    read: dict[str, Any] = {key: options.pop(key) for key in ("told", "average_to_m") if key in options}
    write_tif(path / "dem.tif", z, **options)
    if "told" in read:
        read["unit"] = read.pop("told")
    return read_elevation(path / "dem.tif", **read)


def test_a_raster_in_true_metres_is_kept_to_the_last_bit(tmp_path: Path) -> None:
    grid, facts = bring(tmp_path)
    np.testing.assert_array_equal(grid.z, HILL)
    assert (grid.crs, grid.west, grid.north, grid.dx, grid.dy) == (UTM, 500_000.0, 4_500_000.0, 10.0, 10.0)
    assert not facts.resampled
    assert (facts.unit, facts.unit_from, facts.crs_in) == ("metre", "its unit tag", UTM)
    # 300 + 2 x 49 + 39 = 437.
    assert (facts.known_share, facts.low_m, facts.high_m) == (1.0, 300.0, 437.0)
    # UTM is 0.9996 of true length on its middle meridian (from memory): a cell is 10 / 0.9996 = 10.004 m.
    assert facts.cell_in == pytest.approx((10.004, 10.004), abs=2e-3)
    assert facts.notes == ()
    west, south, east, north = facts.bbox
    back = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True)
    assert (west, north) == pytest.approx(back.transform(500_000.0, 4_500_000.0), abs=1e-5)
    assert (east, south) == pytest.approx(back.transform(500_500.0, 4_499_600.0), abs=1e-5)


def test_a_raster_that_runs_from_south_to_north_is_turned_over_without_resampling(tmp_path: Path) -> None:
    grid, facts = bring(tmp_path, HILL[::-1], transform=Affine(10.0, 0.0, 5e5, 0.0, 10.0, 4_499_600.0))
    np.testing.assert_array_equal(grid.z, HILL)
    assert grid.north == 4_500_000.0
    assert not facts.resampled


@pytest.mark.parametrize(("unit", "metres"), [("ft", 0.3048), ("US survey foot", 1200 / 3937), ("m", 1.0)])
def test_feet_become_metres(tmp_path: Path, unit: str, metres: float) -> None:
    grid, _ = bring(tmp_path, unit=unit)
    np.testing.assert_allclose(grid.z, HILL * np.float32(metres), rtol=2e-7)


def test_the_person_may_say_the_unit_that_the_file_does_not(tmp_path: Path) -> None:
    assert codes_of(lambda: bring(tmp_path, unit=None)) == ["GND-404"]
    grid, facts = bring(tmp_path, unit=None, told="ft")
    assert facts.unit_from == "--elevation-unit"
    np.testing.assert_allclose(grid.z, HILL * np.float32(0.3048), rtol=2e-7)


def test_a_person_who_disagrees_with_the_file_is_refused(tmp_path: Path) -> None:
    assert codes_of(lambda: bring(tmp_path, told="ft")) == ["GND-405"]
    assert codes_of(lambda: bring(tmp_path, told="fathom")) == ["GND-406"]


@pytest.mark.parametrize(("vertical", "metres"), [(5703, 1.0), (6360, 1200 / 3937), (8228, 0.3048)])
def test_the_vertical_axis_of_a_compound_system_says_the_unit(
    tmp_path: Path, vertical: int, metres: float
) -> None:
    # NAVD88 height in metres, in US survey feet, in feet: EPSG 5703, 6360, 8228.
    grid, facts = bring(tmp_path, crs=f"EPSG:26917+{vertical}", unit=None)
    np.testing.assert_allclose(grid.z, HILL * np.float32(metres), rtol=2e-7)
    assert grid.crs == "EPSG:26917"
    assert not facts.resampled


def test_unknown_cells_stay_unknown_however_they_are_written(tmp_path: Path) -> None:
    z = HILL.copy()
    z[3, 4], z[5, 6], z[7, 8], z[9, 9] = -9999.0, np.nan, -3.4028235e38, -1.0
    grid, facts = bring(tmp_path, z, nodata=-1.0)
    unknown = np.isnan(grid.z)
    assert sorted(zip(*np.nonzero(unknown), strict=True)) == [(3, 4), (5, 6), (7, 8), (9, 9)]
    np.testing.assert_array_equal(grid.z[~unknown], HILL[~unknown])
    # 4 of 40 x 50 cells.
    assert facts.known_share == pytest.approx(1 - 4 / 2000)


def test_whole_numbers_with_a_scale_are_read(tmp_path: Path) -> None:
    write_tif(tmp_path / "a.tif", (HILL * 10).astype(np.int32), crs=UTM, transform=PLACE, unit="m")
    import rasterio

    with rasterio.open(tmp_path / "a.tif", "r+") as out:
        out.scales, out.offsets = (0.1,), (5.0,)
    grid, _ = read_elevation(tmp_path / "a.tif")
    np.testing.assert_allclose(grid.z, HILL + 5.0, rtol=1e-6)


def plane_at(grid: Grid, crs: str, height: Any) -> Floats:
    """Give what a height that is linear in the coordinates of `crs` must be in the middle of each cell."""
    rows, cols = np.mgrid[0 : grid.shape[0], 0 : grid.shape[1]]
    x, y = grid.west + (cols + 0.5) * grid.dx, grid.north - (rows + 0.5) * grid.dy
    expected: Floats = height(*Transformer.from_crs(grid.crs, crs, always_xy=True).transform(x, y))
    return expected


@pytest.mark.parametrize(
    ("crs", "place", "slope"),
    [
        ("EPSG:4326", origin(-81.3, 40.6, 0.0001), 5e4),  # degrees
        ("EPSG:4326", origin(-81.3, 40.6, 0.0002, 0.0001), 5e4),  # not square
        ("EPSG:3857", origin(-9_050_000.0, 4_950_000.0, 12.0), 0.5),  # Web Mercator "metres"
        ("EPSG:2272", origin(1_900_000.0, 300_000.0, 30.0), 0.1),  # Pennsylvania South, US survey feet
        (UTM, Affine(8.0, 6.0, 500_000.0, 6.0, -8.0, 4_500_000.0), 0.5),  # turned
        ("EPSG:32610", origin(4_000_000.0, 5_000_000.0, 10.0), 0.5),  # a zone far from home
    ],
)
def test_any_other_raster_is_put_into_the_local_zone_once(
    tmp_path: Path, crs: str, place: Affine, slope: float
) -> None:
    # Bilinear interpolation gives back a plane exactly, so that only the geometry is tested here.
    x0, y0 = place @ (25, 20)
    x, y = place @ (COLS + 0.5, ROWS + 0.5)
    z = (500.0 + slope * (x - x0) - 0.3 * slope * (y - y0)).astype(np.float32)
    grid, facts = bring(tmp_path, z, crs=crs, transform=place)
    assert facts.resampled
    assert grid.crs.startswith("EPSG:326")
    assert grid.dx == grid.dy
    expected = plane_at(grid, crs, lambda x, y: 500.0 + slope * (x - x0) - 0.3 * slope * (y - y0))
    # Within half a cell of the raster's edge the warper has no neighbour to go by: look one cell inside.
    col, row = inside(grid, crs, place)
    deep = (col > 1) & (col < 49) & (row > 1) & (row < 39)
    assert deep.sum() > 800
    rise = abs(slope) * max(abs(place.a), abs(place.e))
    np.testing.assert_allclose(grid.z[deep], expected[deep], atol=max(0.01, 0.005 * rise))


def inside(grid: Grid, crs: str, place: Affine) -> tuple[Any, Any]:
    rows, cols = np.mgrid[0 : grid.shape[0], 0 : grid.shape[1]]
    x, y = grid.west + (cols + 0.5) * grid.dx, grid.north - (rows + 0.5) * grid.dy
    col, row = ~place @ Transformer.from_crs(grid.crs, crs, always_xy=True).transform(x, y)
    return col, row


def test_the_cell_is_the_finer_side_of_the_cell_in_the_file(tmp_path: Path) -> None:
    _, facts = bring(tmp_path, crs="EPSG:4326", transform=origin(-81.3, 40.6, 0.0001))
    # At 40.6 N, 0.0001 degree is 8.47 m of longitude and 11.10 m of latitude (WGS84, GeographicLib).
    assert facts.cell_in == pytest.approx((8.47, 11.10), abs=0.01)
    assert facts.cell_out == pytest.approx((8.47, 8.47), abs=0.01)


def test_an_unknown_height_is_never_mixed_into_a_known_one(tmp_path: Path) -> None:
    z = np.full((40, 50), 300.0, np.float32)
    z[10:20, 10:20] = -9999.0  # not declared as unknown
    z[25:30, 30:40] = -32768.0
    grid, facts = bring(tmp_path, z, crs="EPSG:4326", transform=origin(-81.3, 40.6, 0.0001))
    known = grid.z[np.isfinite(grid.z)]
    np.testing.assert_allclose(known, 300.0, atol=1e-3)
    # What is nearest to an unknown cell is unknown, neither more nor less.
    col, row = inside(grid, "EPSG:4326", origin(-81.3, 40.6, 0.0001))
    col, row = np.floor(col), np.floor(row)
    lost = ((col >= 10) & (col < 20) & (row >= 10) & (row < 20)) | (
        (col >= 30) & (col < 40) & (row >= 25) & (row < 30)
    )
    within = (col >= 0) & (col < 50) & (row >= 0) & (row < 40)
    assert (np.isnan(grid.z[within]) == lost[within]).mean() > 0.999
    assert facts.known_share < 1.0


def test_small_cells_are_averaged_to_five_metres_and_said_so(tmp_path: Path) -> None:
    grid, facts = bring(tmp_path, transform=origin(500_000.0, 4_500_000.0, 1.0), z=HILL * np.float32(0.1))
    assert grid.shape == (8, 10)
    assert (grid.dx, facts.cell_out) == (5.0, (5.0, 5.0))
    # The mean of a plane over a block is its height in the middle: 0.1 x (300 + 2 x 2 + 2) = 30.6.
    assert grid.z[0, 0] == pytest.approx(30.6, abs=1e-4)
    assert facts.resampled
    assert facts.notes == ("dem.tif: cells were averaged by 5 x 5.",)
    kept, facts = bring(
        tmp_path, transform=origin(500_000.0, 4_500_000.0, 1.0), z=HILL * np.float32(0.1), average_to_m=None
    )
    assert kept.shape == (40, 50)
    assert not facts.resampled


def test_several_bands_are_told_and_the_first_is_read(tmp_path: Path) -> None:
    grid, facts = bring(tmp_path, np.stack([HILL, HILL + 50]))
    np.testing.assert_array_equal(grid.z, HILL)
    assert facts.notes == ("dem.tif: 2 bands; only the first is read.",)


def test_a_picture_is_not_an_elevation_model(tmp_path: Path) -> None:
    picture = np.zeros((3, 4, 5), np.uint8)
    (fault,) = faults_of(lambda: bring(tmp_path, picture, photometric="RGB"))
    assert (fault.code.id, fault.where) == ("GND-401", "dem.tif")
    assert "picture" in fault.what
    assert codes_of(lambda: bring(tmp_path, np.zeros((4, 5), np.complex64), unit=None)) == ["GND-401"]


@pytest.mark.parametrize("data", [b"", b"II*\0", b"II*\0\x08\0\0\0\0\0", b"not a raster", b"<VRTDataset/>"])
def test_what_is_no_raster_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "dem.tif"
    path.write_bytes(data)
    (fault,) = faults_of(lambda: read_elevation(path))
    assert (fault.code.id, fault.where) == ("GND-401", "dem.tif")
    assert str(tmp_path) not in str(fault)


def test_a_file_that_points_at_other_files_is_refused(tmp_path: Path) -> None:
    bring(tmp_path)
    pointing = (
        '<VRTDataset rasterXSize="50" rasterYSize="40"><SRS>EPSG:32617</SRS>'
        "<GeoTransform>500000, 10, 0, 4500000, 0, -10</GeoTransform>"
        '<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType><SimpleSource>'
        '<SourceFilename relativeToVRT="1">dem.tif</SourceFilename><SourceBand>1</SourceBand>'
        "</SimpleSource></VRTRasterBand></VRTDataset>"
    )
    (tmp_path / "other.tif").write_text(pointing)
    assert codes_of(lambda: read_elevation(tmp_path / "other.tif")) == ["GND-401"]


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    assert codes_of(lambda: read_elevation(tmp_path / "dem.tif")) == ["GND-401"]


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
@pytest.mark.parametrize("compress", ["none", "deflate"])
def test_a_raster_that_is_cut_short_is_refused(tmp_path: Path, share: float, compress: str) -> None:
    rough = np.random.default_rng(4).normal(300, 5, (200, 200)).astype(np.float32)
    write_tif(tmp_path / "a.tif", rough, crs=UTM, transform=PLACE, unit="m", compress=compress)
    whole = (tmp_path / "a.tif").read_bytes()
    (tmp_path / "a.tif").write_bytes(whole[: int(len(whole) * share)])
    (fault,) = faults_of(lambda: read_elevation(tmp_path / "a.tif"))
    assert fault.code.id in ("GND-401", "GND-402")
    assert str(tmp_path) not in str(fault)


def test_a_damaged_block_is_refused(tmp_path: Path) -> None:
    rough = np.random.default_rng(4).normal(300, 5, (200, 200)).astype(np.float32)
    write_tif(tmp_path / "a.tif", rough, crs=UTM, transform=PLACE, unit="m", compress="deflate")
    data = bytearray((tmp_path / "a.tif").read_bytes())
    data[len(data) // 2 : len(data) // 2 + 2000] = bytes(2000)
    (tmp_path / "a.tif").write_bytes(data)
    assert codes_of(lambda: read_elevation(tmp_path / "a.tif")) == ["GND-402"]


def test_a_raster_without_a_place_on_the_earth_is_refused(tmp_path: Path) -> None:
    assert codes_of(lambda: bring(tmp_path, crs=None)) == ["GND-403"]
    local = 'LOCAL_CS["survey",LOCAL_DATUM["here",0],UNIT["metre",1],AXIS["x",EAST],AXIS["y",NORTH]]'
    assert codes_of(lambda: bring(tmp_path, crs=local)) == ["GND-403"]


@pytest.mark.parametrize(
    ("crs", "place", "said"),
    [
        (UTM, origin(-81.0, 40.0, 0.0001), "a cell would be 9.97"),  # degrees, named as metres
        ("EPSG:4326", origin(500_000.0, 4_500_000.0, 10.0), "nowhere on earth"),  # metres, named as degrees
        ("EPSG:4326", origin(-81.0, 40.0, 0.1), "a cell would be"),  # ten kilometres
    ],
)
def test_a_raster_with_the_wrong_coordinate_system_is_refused(
    tmp_path: Path, crs: str, place: Affine, said: str
) -> None:
    (fault,) = faults_of(lambda: bring(tmp_path, crs=crs, transform=place))
    assert (fault.code.id, fault.where) == ("GND-403", "dem.tif")
    assert said in fault.what


def test_longitudes_from_0_to_360_are_read(tmp_path: Path) -> None:
    z = HILL * np.float32(0.1)
    near, _ = bring(tmp_path, z, crs="EPSG:4326", transform=origin(-81.3, 40.6, 0.0001))
    far, facts = bring(tmp_path, z, crs="EPSG:4326", transform=origin(278.7, 40.6, 0.0001))
    assert near.crs == far.crs == "EPSG:32617"
    assert (far.west, far.north) == pytest.approx((near.west, near.north), abs=1e-3)
    np.testing.assert_allclose(far.z, near.z, atol=1e-3)
    assert facts.bbox[0] == pytest.approx(-81.3, abs=0.001)


def test_a_raster_of_one_row_is_refused(tmp_path: Path) -> None:
    assert codes_of(lambda: bring(tmp_path, HILL[:1])) == ["GND-401"]


def test_a_raster_without_a_corner_is_refused(tmp_path: Path) -> None:
    with pytest.warns(match="no geotransform"):
        write_tif(tmp_path / "a.tif", HILL, crs=UTM, transform=None, unit="m")
    assert codes_of(lambda: read_elevation(tmp_path / "a.tif")) == ["GND-403"]


def test_heights_that_no_ground_has_are_refused(tmp_path: Path) -> None:
    assert codes_of(lambda: bring(tmp_path, HILL * np.float32(30))) == ["GND-407"]
    assert codes_of(lambda: bring(tmp_path, HILL, transform=origin(5e5, 45e5, 2.0), average_to_m=None)) == [
        "GND-408"
    ]
    assert codes_of(lambda: bring(tmp_path, np.full((4, 5), -9999, np.float32))) == ["GND-409"]


def test_zeros_that_may_mean_no_data_are_told(tmp_path: Path) -> None:
    z = HILL.copy()
    z[:, :5] = 0.0
    _, facts = bring(tmp_path, z)
    assert "10 % of the cells are exactly 0 m" in facts.notes[0]


def test_a_raster_that_is_too_large_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(elevation, "MOST_CELLS", 1999)
    assert codes_of(lambda: bring(tmp_path)) == ["GND-410"]
