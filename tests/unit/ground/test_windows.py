"""A corner of a large elevation model: the same heights as out of the whole, and only that part is read."""

import tracemalloc
from pathlib import Path

import numpy as np
import pytest
from rasterio.transform import Affine

from tendline.almanac.geodesy import Projector
from tendline.core.errors import Refused
from tendline.core.grid import Floats
from tendline.ground import elevation
from tendline.ground.elevation import read_elevation, read_window, survey_elevation
from tendline.ground.raster import as_grid
from tests.unit.ground.support import codes_of, origin, write_tif

UTM = "EPSG:32617"
PLACE = origin(500_000.0, 4_500_000.0, 10.0)
COUNTED = Path("/proc/self/io")


def rough(side: int) -> Floats:
    """Ground without any rule, so that no cell can be taken for another."""
    return np.random.default_rng(5).normal(300.0, 2.0, (side, side)).astype(np.float32)


def bounds_of(west: float, south: float, east: float, north: float) -> tuple[float, float, float, float]:
    """Turn edges in UTM into bounds in degrees, for a small piece of ground."""
    turn = Projector(UTM)
    low, high = turn.to_lonlat(west, south), turn.to_lonlat(east, north)
    return low.lon, low.lat, high.lon, high.lat


CORNER = bounds_of(500_200.0, 4_499_400.0, 500_500.0, 4_499_700.0)


@pytest.mark.parametrize(
    ("crs", "place"),
    [
        (UTM, PLACE),
        (UTM, Affine(10.0, 0.0, 5e5, 0.0, 10.0, 4_498_000.0)),
        ("EPSG:4326", origin(-81.0, 40.65, 0.0001)),
        (UTM, origin(500_000.0, 4_500_000.0, 2.0)),
    ],
    ids=["as it is", "upside down", "in degrees", "averaged"],
)
def test_a_window_holds_what_the_whole_holds_there(tmp_path: Path, crs: str, place: Affine) -> None:
    z = rough(400) if place.a > 3 or place.a < 1 else rough(1000)
    path = write_tif(tmp_path / "a.tif", z, crs=crs, transform=place, unit="m")
    whole, _ = read_elevation(path)
    raster = read_window(path, CORNER)
    assert raster is not None
    part, _ = as_grid(raster)
    assert part.z.size < whole.z.size / 10
    row, col = (whole.north - part.north) / whole.dy, (part.west - whole.west) / whole.dx
    assert (row, col) == pytest.approx((round(row), round(col)), abs=1e-6)
    rows, cols = part.shape
    same = whole.z[round(row) : round(row) + rows, round(col) : round(col) + cols]
    # The outermost cells have fewer neighbours to be interpolated from; places may be off by 0.001 of a cell.
    np.testing.assert_allclose(part.z[2:-2, 2:-2], same[2:-2, 2:-2], atol=5e-3)
    turn = Projector(part.crs)
    for x, y in ((500_200.0, 4_499_400.0), (500_500.0, 4_499_700.0)):
        assert part.cell_of(*turn.to_xy(Projector(UTM).to_lonlat(x, y))) is not None


def test_of_a_file_whose_other_half_is_damaged_the_rest_is_still_read(tmp_path: Path) -> None:
    path = write_tif(tmp_path / "a.tif", rough(600), crs=UTM, transform=PLACE, unit="m", compress="deflate")
    data = bytearray(path.read_bytes())
    half, end = len(data) // 2, len(data) - 20_000  # where the parts lie is written at the very end
    data[half:end] = bytes(end - half)
    path.write_bytes(data)
    assert codes_of(lambda: read_elevation(path)) == ["GND-402"]
    part = read_window(path, CORNER)
    assert part is not None
    assert np.isfinite(part.z).all()
    south = bounds_of(500_200.0, 4_494_200.0, 500_500.0, 4_494_500.0)
    assert codes_of(lambda: read_window(path, south)) == ["GND-402"]


@pytest.mark.skipif(not COUNTED.is_file(), reason="this system does not count what a process reads")
def test_no_more_of_a_large_file_is_read_than_the_corner(tmp_path: Path) -> None:
    path = write_tif(
        tmp_path / "a.tif", rough(3000), crs=UTM, transform=PLACE, unit="m", tiled=True, blockxsize=256,
        blockysize=256,
    )  # fmt: skip

    def bytes_read() -> int:
        # proc(5): rchar, the bytes that this process has caused to be read.
        return int(COUNTED.read_text().split("rchar:")[1].split()[0])

    read_window(path, CORNER)  # whatever is loaded once
    before = bytes_read()
    read_window(path, CORNER)
    # 36 MB in tiles of 0.26 MB; the corner lies in one, and at most four are touched.
    assert bytes_read() - before < path.stat().st_size / 20
    before = bytes_read()
    read_elevation(path)
    assert bytes_read() - before > path.stat().st_size * 0.9


def test_a_window_outside_is_none_and_one_too_large_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_tif(tmp_path / "a.tif", rough(200), crs=UTM, transform=PLACE, unit="m")
    assert read_window(path, bounds_of(520_000.0, 4_499_400.0, 520_300.0, 4_499_700.0)) is None
    monkeypatch.setattr(elevation, "MOST_CELLS", 500)
    with pytest.raises(Refused) as caught:
        read_window(path, CORNER)
    (fault,) = caught.value.faults
    assert (fault.code.id, fault.where) == ("GND-410", "a.tif")
    assert "38 x 36 cells of it are needed" in fault.what


def test_strips_are_averaged_as_the_whole_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = origin(500_000.0, 4_500_000.0, 1.0)
    path = write_tif(tmp_path / "a.tif", rough(203), crs=UTM, transform=place, unit="m")
    whole, _ = read_elevation(path)
    assert whole.shape == (40, 40)
    monkeypatch.setattr(elevation, "_STRIP_CELLS", 3000)
    strips, _ = read_elevation(path)
    np.testing.assert_array_equal(strips.z, whole.z)


def test_a_very_large_model_is_looked_at_by_a_sample(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows, cols = np.mgrid[0:900, 0:1200]
    z = (200.0 + rows * 0.5 + cols * 0.25).astype(np.float32)
    path = write_tif(tmp_path / "a.tif", z, crs=UTM, transform=PLACE, unit="m")
    monkeypatch.setattr(elevation, "SURVEY_CELLS", 1000)
    monkeypatch.setattr(elevation, "_SAMPLE_SIDE", 100)
    facts = survey_elevation(path)
    # 200 + 899 / 2 + 1199 / 4 = 949.25 in the far corner; one in 12 x 12 cells is looked at.
    assert facts.low_m == pytest.approx(200.0, abs=12.0)
    assert facts.high_m == pytest.approx(949.25, abs=12.0)
    assert facts.cell_out == pytest.approx((10.0, 10.0), rel=1e-3)
    assert "1200 x 900 cells; one in 144 was looked at" in facts.notes[0]
    steep = write_tif(tmp_path / "b.tif", z * 40 - 7000, crs=UTM, transform=PLACE, unit="m")
    assert codes_of(lambda: survey_elevation(steep)) == ["GND-408"]


def test_steep_ground_in_metres_is_asked_about(tmp_path: Path) -> None:
    _, cols = np.mgrid[0:40, 0:50]
    z = (300.0 + 5.0 * cols).astype(np.float32)  # a slope of one half: 27 degrees, or 9 if it is feet
    path = write_tif(tmp_path / "a.tif", z, crs=UTM, transform=PLACE, unit="m")
    _, facts = read_elevation(path)
    assert "27 degrees" in facts.notes[0]
    assert "feet that say metres, and it is 9 degrees" in facts.notes[0]
    gentle = write_tif(tmp_path / "b.tif", 300 + (z - 300) / 2, crs=UTM, transform=PLACE, unit="m")
    assert read_elevation(gentle)[1].notes == ()


def test_a_large_model_is_averaged_while_it_is_read_and_never_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Means over blocks of five cells, by numpy; a twelfth of the memory of the fine cells."""
    monkeypatch.setattr(elevation, "_STRIP_CELLS", 20_000)
    z = rough(1500)
    path = write_tif(tmp_path / "a.tif", z, crs=UTM, transform=PLACE, unit="m")
    everywhere = bounds_of(500_000.0, 4_485_000.0, 515_000.0, 4_500_000.0)
    tracemalloc.start()
    try:
        raster = read_window(path, everywhere, least_m=52.0)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert raster is not None
    expected = z.astype(np.float64).reshape(300, 5, 300, 5).mean(axis=(1, 3))
    np.testing.assert_allclose(raster.z, expected, rtol=1e-6)
    assert peak < z.nbytes / 3
    monkeypatch.setattr(elevation, "MOST_CELLS", 100_000)
    with pytest.raises(Refused):
        read_window(path, everywhere)
    averaged = read_window(path, everywhere, least_m=52.0)
    assert averaged is not None
    assert averaged.z.shape == (300, 300)
