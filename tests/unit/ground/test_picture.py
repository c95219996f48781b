"""A raster as a picture for a web map: everything where it belongs, and no larger than is wanted."""

import io
import math

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.ground.picture import png_of, warp, webp_within

GRID = Grid(np.zeros((300, 400), np.float32), "EPSG:32617", 300_000.0, 4_500_000.0, 10.0, 10.0)
SHOWN = np.ones(GRID.shape, np.bool_)


def noise() -> npt.NDArray[np.uint8]:
    return np.random.default_rng(3).integers(1, 256, GRID.shape).astype(np.uint8)


def test_a_thing_on_the_ground_is_where_web_mercator_puts_it() -> None:
    grey = np.full(GRID.shape, 50, np.uint8)
    grey[200:203, 90:93] = 250
    warped = warp(grey, SHOWN, GRID)
    west, south, east, north = warped.bounds
    row, col = (np.argwhere(warped.grey > 200).mean(axis=0) + 0.5) / warped.grey.shape
    place = Projector(GRID.crs).to_lonlat(*GRID.centre_of(201, 91))

    def up(lat: float) -> float:
        # Spherical Mercator, EPSG Guidance Note 7-2, method 1024.
        return math.log(math.tan(math.pi / 4 + math.radians(lat) / 2))

    # A pixel is a cell of ten metres or more: half a pixel is 0.0012 of the picture's width.
    assert west + (east - west) * col == pytest.approx(place.lon, abs=1e-4)
    assert (up(north) - up(place.lat)) / (up(north) - up(south)) == pytest.approx(row, abs=2e-3)


def test_what_is_unknown_is_clear_and_darkens_nothing() -> None:
    grey, known = np.full(GRID.shape, 180, np.uint8), SHOWN.copy()
    known[100:200, 100:200] = False
    warped = warp(grey, known, GRID)
    assert np.all(warped.grey[warped.known] == 180)
    rows, cols = warped.grey.shape
    assert not warped.known[rows // 2, int(cols * 150 / 400)]
    assert warped.known[rows // 2, int(cols * 300 / 400)]
    with Image.open(io.BytesIO(webp_within(warped, most_bytes=10**6)[0])) as image:
        assert image.format == "WEBP"
        clear = np.array(image.convert("RGBA"))[..., 3] == 0
    assert (clear == ~warped.known).mean() > 0.999


@pytest.mark.parametrize("most_bytes", [100_000, 30_000, 5_000])
def test_a_picture_is_no_larger_than_is_wanted(most_bytes: int) -> None:
    warped = warp(noise(), SHOWN, GRID)
    data, width, height = webp_within(warped, most_bytes=most_bytes)
    assert len(data) <= most_bytes
    with Image.open(io.BytesIO(data)) as image:
        assert image.size == (width, height)
    assert width / height == pytest.approx(warped.grey.shape[1] / warped.grey.shape[0], rel=0.03)


def test_no_side_is_longer_than_is_wanted() -> None:
    assert max(warp(noise(), SHOWN, GRID, most_side=128).grey.shape) == 128


def test_a_png_is_the_raster_as_it_lies() -> None:
    grey = noise()
    with Image.open(io.BytesIO(png_of(grey, SHOWN))) as image:
        assert np.array_equal(np.array(image)[..., 0], grey)
