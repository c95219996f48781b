"""Owns a grid of heights as the bytes of a GeoTIFF, for the example and for tests; touches no disk.

Does not own reading one (`elevation`).
"""

from tendline.core.grid import Grid


def geotiff(grid: Grid) -> bytes:
    """Give a single-band GeoTIFF: float32 metres, unknown cells as NaN, the unit of heights written down.

    Parameters
    ----------
    grid
        What to write.
    """
    import rasterio  # noqa: PLC0415 - heavy, and only for rasters
    from affine import Affine  # noqa: PLC0415
    from rasterio.io import MemoryFile  # noqa: PLC0415

    rows, cols = grid.shape
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff",
            height=rows,
            width=cols,
            count=1,
            dtype="float32",
            crs=rasterio.CRS.from_string(grid.crs),
            transform=Affine(grid.dx, 0.0, grid.west, 0.0, -grid.dy, grid.north),
            nodata=float("nan"),
            compress="deflate",
            predictor=3,
        ) as out:
            out.write(grid.z, 1)
            out.units = ("metre",)
        data: bytes = memory.read()
    return data
