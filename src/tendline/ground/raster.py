"""Owns heights as they lie in a file and the way onto a lattice: cell sizes, averaging, reprojecting.

Does not own opening files (`elevation`) or joining several (`mosaic`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from rasterio.crs import CRS
from rasterio.enums import Resampling
from rasterio.io import MemoryFile
from rasterio.transform import Affine
from rasterio.vrt import WarpedVRT
from rasterio.warp import transform as warp_points

from tendline.almanac.geodesy import distance_m, utm_crs
from tendline.core.errors import refuse
from tendline.core.grid import Floats, Grid
from tendline.core.place import LonLat
from tendline.ground.faults import RASTER_PLACE
from tendline.ground.heights import block_mean

WGS84 = CRS.from_epsg(4326)

SMALLEST_M, LARGEST_M = 0.1, 5000.0
"""Cells outside belong to a raster whose coordinate system is named wrongly (common practice, no source)."""

_TRUE_SCALE = 0.005
"""A grid whose metres are within this share of true metres, in every direction, is kept as it is."""

_EXACT = 0.001
"""Largest error of place while reprojecting [cells of the source]."""


@dataclass(frozen=True)
class Site:
    """Where a raster lies.

    Parameters
    ----------
    transform
        Column and row to x and y.
    crs
        Its coordinate system.
    rows, cols
        Its size [cells].
    name
        Of the file, for a person.
    """

    transform: Affine
    crs: CRS
    rows: int
    cols: int
    name: str

    def lonlat(self, points: Sequence[tuple[float, float]]) -> list[LonLat]:
        """Give places of points in the raster's own system, refusing those that lie nowhere (GND-403)."""
        xs, ys = zip(*points, strict=True)
        lons, lats = warp_points(self.crs, WGS84, xs, ys)[:2]
        if not all(math.isfinite(lon) and abs(lat) <= 90.0 for lon, lat in zip(lons, lats, strict=True)):
            what = f"the raster reaches to {points[-1]} in {crs_text(self.crs)}: nowhere on earth."
            raise refuse(RASTER_PLACE, what, self.name, "Export it again with its true coordinate system.")
        return [LonLat((lon + 180.0) % 360.0 - 180.0, lat) for lon, lat in zip(lons, lats, strict=True)]

    def cell_size(self) -> tuple[float, float]:
        """Measure a cell in the middle along its two sides [m], refusing what no model has (GND-403)."""
        corner = (self.cols / 2 - 0.5, self.rows / 2 - 0.5)
        points = [corner, (corner[0] + 1, corner[1]), (corner[0], corner[1] + 1)]
        start, along, down = self.lonlat([self.transform @ point for point in points])
        wide, high = distance_m(start, along), distance_m(start, down)
        if min(wide, high) < SMALLEST_M or max(wide, high) > LARGEST_M:
            what = f"a cell would be {wide:.4g} m wide and {high:.4g} m high."
            do = f"Its coordinate system is named as {crs_text(self.crs)}; export it with the true one."
            raise refuse(RASTER_PLACE, what, self.name, do)
        return wide, high

    def middle(self) -> LonLat:
        """Give the place of its middle."""
        return self.lonlat([self.transform @ (self.cols / 2, self.rows / 2)])[0]

    def is_straight(self) -> bool:
        """Say whether it is north-up (or south-up) and in true metres, in the middle and all corners."""
        t = self.transform
        if not (self.crs.is_projected and t.b == 0.0 and t.d == 0.0 and t.a > 0.0):
            return False
        rows, cols = self.rows, self.cols
        for col, row in [(cols / 2, rows / 2), (0, 0), (cols, 0), (0, rows), (cols, rows)]:
            x, y = t @ (col, row)
            # 200 units are 200 metres east, north and slantwise.
            start, *ends = self.lonlat([(x, y), (x + 200.0, y), (x, y + 200.0), (x + 120.0, y + 160.0)])
            if any(abs(distance_m(start, end) / 200.0 - 1.0) > _TRUE_SCALE for end in ends):
                return False
        return True

    def edge(self, crs: CRS) -> tuple[Sequence[float], Sequence[float]]:
        """Give x and y in `crs` of points all along its edge."""
        shares = [n / 20 for n in range(21)]
        points = [(s * self.cols, float(row)) for s in shares for row in (0, self.rows)]
        points += [(float(col), s * self.rows) for s in shares for col in (0, self.cols)]
        x, y = zip(*(self.transform @ point for point in points), strict=True)
        xs, ys = warp_points(self.crs, crs, x, y)[:2]
        return xs, ys


@dataclass(frozen=True)
class Raster:
    """Heights as they lie in the file, in metres, or a window of them.

    Parameters
    ----------
    z
        Heights [m], the shape of `site`.
    site
        Where they lie.
    whole
        Where the whole of the file lies, in the same cells.
    """

    z: Floats
    site: Site
    whole: Site


@dataclass(frozen=True)
class Lattice:
    """A north-up plane cut into cells, on which several rasters can lie.

    Parameters
    ----------
    crs
        As text that PROJ understands.
    west, north
        A corner of a cell [m].
    dx, dy
        Size of a cell [m].
    """

    crs: str
    west: float
    north: float
    dx: float
    dy: float

    def around(self, xs: Sequence[float], ys: Sequence[float]) -> tuple["Lattice", int, int]:
        """Give the block of whole cells that holds all points: its own corner, rows and columns."""
        # A point on the edge of a cell, but for rounding, asks for no cell more.
        col0 = math.floor((min(xs) - self.west) / self.dx + 1e-6)
        row0 = math.floor((self.north - max(ys)) / self.dy + 1e-6)
        col1 = math.ceil((max(xs) - self.west) / self.dx - 1e-6)
        row1 = math.ceil((self.north - min(ys)) / self.dy - 1e-6)
        corner = replace(self, west=self.west + col0 * self.dx, north=self.north - row0 * self.dy)
        return corner, max(row1 - row0, 1), max(col1 - col0, 1)


def averaged(raster: Raster, block: int) -> Raster:
    """Average heights over square blocks of cells, counted from the file's own corner."""
    return Raster(block_mean(raster.z, block), coarser(raster.site, block), coarser(raster.whole, block))


def coarser(site: Site, block: int) -> Site:
    """Give the same place in cells of so many cells each way; what is left over is left out."""
    return replace(
        site,
        transform=site.transform @ Affine.scale(block, block),
        rows=site.rows // block,
        cols=site.cols // block,
    )


def lattice_of(raster: Raster) -> Lattice:
    """Give the plane on which a raster is put: its own where that is straight, else the local UTM zone's.

    Square cells of the raster's finer side, on multiples of their size, in the zone of the middle of the
    whole file, so that every window of one file lies on the same lattice.
    """
    whole = raster.whole
    t = whole.transform
    if whole.is_straight():
        north = t.f if t.e < 0.0 else t.f + t.e * whole.rows
        return Lattice(crs_text(whole.crs), t.c, north, t.a, abs(t.e))
    size = min(whole.cell_size())
    return Lattice(utm_crs(whole.middle()), 0.0, 0.0, size, size)


def straight(raster: Raster) -> Grid | None:
    """Give a raster as a grid, to the last bit, if it is straight; else None."""
    t = raster.site.transform
    if not raster.whole.is_straight():
        return None
    z, north = raster.z, t.f
    if t.e > 0.0:
        z, north = np.ascontiguousarray(z[::-1]), t.f + t.e * z.shape[0]
    return Grid(z, crs=crs_text(raster.site.crs), west=t.c, north=north, dx=t.a, dy=abs(t.e))


def put_onto(raster: Raster, lattice: Lattice, *, rows: int, cols: int) -> Grid:
    """Interpolate a raster on a block of a lattice, bilinear; what is nearest to the unknown is unknown."""
    profile = {
        "driver": "GTiff",
        "count": 1,
        "dtype": "float32",
        "nodata": float("nan"),
        "width": raster.z.shape[1],
        "height": raster.z.shape[0],
        "crs": raster.site.crs,
        "transform": raster.site.transform,
    }
    with MemoryFile() as memory:
        with memory.open(**profile) as held:
            held.write(raster.z, 1)
        with (
            memory.open() as held,
            # Given NaN for no data, the warper weighs known cells only, and leaves a cell unknown whose
            # nearest cell is unknown: the tests hold it to both.
            WarpedVRT(
                held,
                crs=lattice.crs,
                transform=Affine(lattice.dx, 0.0, lattice.west, 0.0, -lattice.dy, lattice.north),
                width=cols,
                height=rows,
                resampling=Resampling.bilinear,
                tolerance=_EXACT,
                nodata=float("nan"),
            ) as warped,
        ):
            z: Floats = warped.read(1)
    return Grid(np.ascontiguousarray(z), lattice.crs, lattice.west, lattice.north, lattice.dx, lattice.dy)


def as_grid(raster: Raster) -> tuple[Grid, bool]:
    """Give a raster as a grid in true metres, and whether it had to be interpolated for that."""
    own = straight(raster)
    if own is not None:
        return own, False
    lattice = lattice_of(raster)
    corner, rows, cols = lattice.around(*raster.site.edge(CRS.from_user_input(lattice.crs)))
    return put_onto(raster, corner, rows=rows, cols=cols), True


def bbox_of(grid: Grid) -> tuple[float, float, float, float]:
    """Give west, south, east and north of a grid [degrees]."""
    where = Affine(grid.dx, 0.0, grid.west, 0.0, -grid.dy, grid.north)
    lons, lats = Site(where, CRS.from_user_input(grid.crs), *grid.shape, "").edge(WGS84)
    return min(lons), min(lats), max(lons), max(lats)


def crs_text(crs: CRS) -> str:
    """Name a coordinate system: by its EPSG code where it has one."""
    code = crs.to_epsg(confidence_threshold=100)
    return f"EPSG:{code}" if code is not None else str(crs.to_wkt())
