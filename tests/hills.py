"""Invented hills under the lines of the tests of the field page."""

from pathlib import Path

import numpy as np

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.core.place import LonLat
from tendline.ground.raster_out import geotiff

CRS = "EPSG:32617"
CELL = 10.0


def hills_file(folder: Path) -> Path:
    """Write heights round 78.01 W, 41.51 N: ridges of 60 m, 900 m apart, on a slope, with knolls."""
    x, y = Projector(CRS).to_xy(LonLat(-78.06, 41.55))
    east, south = np.meshgrid(np.arange(800) * CELL, np.arange(800) * CELL)
    z = 400 + 60 * np.sin(2 * np.pi * (east + 0.4 * south) / 900) + 0.02 * south
    z += 12 * np.sin(east / 70) * np.cos(south / 90)
    path = folder / "ridges.tif"
    path.write_bytes(geotiff(Grid(np.ascontiguousarray(z, dtype=np.float32), CRS, x, y, CELL, CELL)))
    return path
