"""Owns a raster turned into a picture: warped to the projection of web maps, packed as WebP or PNG.

Does not own what the picture shows (terrain) or reading files (`elevation`).
"""

import io
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image
from rasterio.crs import CRS
from rasterio.enums import Resampling
from rasterio.transform import Affine
from rasterio.warp import reproject, transform_bounds

from tendline.core.grid import Grid

Bytes = npt.NDArray[np.uint8]
Bounds = tuple[float, float, float, float]
"""West, south, east, north."""

WEB_MERCATOR = CRS.from_epsg(3857)
WGS84 = CRS.from_epsg(4326)

MOST_SIDE = 4096
"""No picture is wider or higher [pixels]: more is not drawn by every telephone."""

_LEAST_SIDE = 64
_QUALITIES = (85, 70, 55, 40, 25)


@dataclass(frozen=True, eq=False)
class Warped:
    """A picture on the plane of web maps.

    Parameters
    ----------
    grey
        Brightness, uint8, (rows, cols), row 0 in the north.
    known
        Where there is anything to show, same shape.
    bounds
        Its outer edges [degrees]; straight in Web Mercator.
    """

    grey: Bytes
    known: npt.NDArray[np.bool_]
    bounds: Bounds


def warp(grey: Bytes, known: npt.NDArray[np.bool_], grid: Grid, *, most_side: int = MOST_SIDE) -> Warped:
    """Put a raster on the plane of web maps.

    Parameters
    ----------
    grey
        What is shown, uint8, the shape of the grid.
    known
        Where anything is.
    grid
        Where the raster lies.
    most_side
        Largest width and height [pixels]; pixels are never smaller than the cells.

    References
    ----------
    EPSG:3857, as in PROJ; resampling as in GDAL: bilinear where cells are of one size, mean where a pixel
    holds several.
    """
    source = Affine(grid.dx, 0.0, grid.west, 0.0, -grid.dy, grid.north)
    rows, cols = grid.shape
    crs = CRS.from_user_input(grid.crs)
    box = (grid.west, grid.north - rows * grid.dy, grid.west + cols * grid.dx, grid.north)
    west, south, east, north = transform_bounds(crs, WEB_MERCATOR, *box, densify_pts=21)
    cell = min((east - west) / cols, (north - south) / rows)
    pixel = max(cell, (east - west) / most_side, (north - south) / most_side)
    wide, high = max(math.ceil((east - west) / pixel), 1), max(math.ceil((north - south) / pixel), 1)
    target = Affine(pixel, 0.0, west, 0.0, -pixel, north)
    how = Resampling.average if pixel > 1.5 * cell else Resampling.bilinear
    # No data is told apart by a mask of its own, so that no shade is taken for it.
    shown, mask = np.zeros((high, wide), np.uint8), np.zeros((high, wide), np.uint8)
    places = {"src_transform": source, "src_crs": crs, "dst_transform": target, "dst_crs": WEB_MERCATOR}
    marked = np.where(known, np.maximum(grey, 1), 0).astype(np.uint8)
    reproject(marked, shown, **places, resampling=how, src_nodata=0, dst_nodata=0)
    reproject(known.astype(np.uint8), mask, **places, resampling=Resampling.nearest)
    bounds = transform_bounds(
        WEB_MERCATOR, WGS84, west, north - high * pixel, west + wide * pixel, north, densify_pts=21
    )
    return Warped(shown, (mask > 0) & (shown > 0), bounds)


def webp_within(picture: Warped, *, most_bytes: int) -> tuple[bytes, int, int]:
    """Pack a picture so that it is no larger than is wanted.

    Parameters
    ----------
    picture
        What is shown; clear glass where nothing is known.
    most_bytes
        Largest size [bytes].

    Returns
    -------
    tuple
        The WebP file, its width and its height [pixels]. Quality goes first, then pixels; the smallest that
        is tried has no side above 64 pixels, and is given even where it is still too large.

    References
    ----------
    RFC 9649, the WebP image format.
    """
    image = _image(picture)
    while True:
        for quality in _QUALITIES:
            data = _packed(image, "WEBP", quality=quality, method=4)
            if len(data) <= most_bytes:
                return data, image.width, image.height
        if max(image.size) <= _LEAST_SIDE:
            return data, image.width, image.height
        smaller = (max(round(image.width * 0.75), 1), max(round(image.height * 0.75), 1))
        image = image.resize(smaller, Image.Resampling.BOX)


def png_of(grey: Bytes, known: npt.NDArray[np.bool_]) -> bytes:
    """Pack a raster as it lies as a PNG without loss; clear glass where nothing is known."""
    return _packed(_image(Warped(grey, known, (0.0, 0.0, 0.0, 0.0))), "PNG", optimize=True)


def _image(picture: Warped) -> Image.Image:
    alpha = np.where(picture.known, 255, 0).astype(np.uint8)
    return Image.fromarray(np.stack([picture.grey, alpha], axis=2))


def _packed(image: Image.Image, kind: str, **how: int) -> bytes:
    out = io.BytesIO()
    image.save(out, format=kind, **how)
    return out.getvalue()
