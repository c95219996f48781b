"""Owns how ground looks from above: light and shade, steepness; arrays in, arrays out.

Does not own contour lines (terrain.contour), pictures or map projections (ground.picture).
"""

import math

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Floats, Grid

Shade = npt.NDArray[np.uint8]

LIGHT_FROM_DEG, LIGHT_ABOVE_DEG = 315.0, 45.0
"""Light from the north-west, half way up: what map readers are used to (common practice, no source)."""

STEEP_DEG = (15.0, 25.0, 35.0, 45.0)
"""Where one class of steepness ends and the next begins [degrees] (common practice, no source)."""

Pair = tuple[Floats, Floats]


def gradient(grid: Grid) -> Pair:
    """Give the rise of the ground eastward and northward.

    Parameters
    ----------
    grid
        Heights [m], unknown cells NaN.

    Returns
    -------
    tuple of ndarray
        Rise over run [m/m], float32, eastward and northward, the shape of the grid; NaN where the height is
        unknown. An unknown neighbour is taken as no higher and no lower; outside the grid the slope goes on.

    References
    ----------
    Horn, B. K. P. (1981), Hill shading and the reflectance map, Proceedings of the IEEE 69(1), 14-47, eq. for
    the weighted differences over three rows and three columns; as in GDAL's gdaldem.
    """
    framed = _framed(grid.z)
    rows, cols = grid.shape

    def beside(down: int, across: int) -> Floats:
        near = framed[1 + down : 1 + down + rows, 1 + across : 1 + across + cols]
        return np.where(np.isnan(near), grid.z, near)

    north_west, north_east, south_west, south_east = (beside(d, a) for d in (-1, 1) for a in (-1, 1))
    east = north_east + south_east + 2 * beside(0, 1) - north_west - south_west - 2 * beside(0, -1)
    north = north_west + north_east + 2 * beside(-1, 0) - south_west - south_east - 2 * beside(1, 0)
    return east / np.float32(8 * grid.dx), north / np.float32(8 * grid.dy)


def _framed(z: Floats) -> Floats:
    """Give the heights with one more row and column on every side, on which the slope goes on."""
    framed = np.pad(z, 1, mode="edge")
    if z.shape[0] > 1:
        framed[0], framed[-1] = 2 * framed[1] - framed[2], 2 * framed[-2] - framed[-3]
    if z.shape[1] > 1:
        framed[:, 0], framed[:, -1] = (
            2 * framed[:, 1] - framed[:, 2],
            2 * framed[:, -2] - framed[:, -3],
        )
    return framed


def hillshade(
    grid: Grid,
    *,
    from_deg: float = LIGHT_FROM_DEG,
    above_deg: float = LIGHT_ABOVE_DEG,
    exaggerate: float = 1.0,
) -> Shade:
    """Shade the ground as a single light would.

    Parameters
    ----------
    grid
        Heights [m].
    from_deg
        Where the light comes from, clockwise from the grid's north [degrees].
    above_deg
        How high it stands [degrees], 0 to 90.
    exaggerate
        Heights are multiplied by this, above 0: 1 is true, 2 makes gentle farmland plainer.

    Returns
    -------
    ndarray
        uint8, the shape of the grid: 1 (no light) to 255 (full light), 181 on the level at half height; 0
        where the height is unknown.

    References
    ----------
    Horn (1981), as for `gradient`, the Lambertian surface. GDAL contributors, gdaldem hillshade: the scale
    1 + 254 cos(i), and 1 where cos(i) is not above 0.
    """
    east, north = gradient(grid)
    east, north = east * np.float32(exaggerate), north * np.float32(exaggerate)
    flat, up = math.cos(math.radians(above_deg)), math.sin(math.radians(above_deg))
    to_east, to_north = flat * math.sin(math.radians(from_deg)), flat * math.cos(math.radians(from_deg))
    light = (up - to_east * east - to_north * north) / np.sqrt(1 + east * east + north * north)
    shade = np.where(light <= 0, 1.0, 1.0 + 254.0 * light)
    return np.where(np.isnan(shade), 0, np.floor(shade + 0.5)).astype(np.uint8)


def slope_deg(grid: Grid) -> Floats:
    """Give how steep the ground is.

    Returns
    -------
    ndarray
        Degrees, float32, 0 to 90; NaN where the height is unknown.

    References
    ----------
    Horn (1981), as for `gradient`.
    """
    east, north = gradient(grid)
    return np.degrees(np.arctan(np.hypot(east, north)))


def steepness(grid: Grid) -> Shade:
    """Sort the ground by `STEEP_DEG`.

    Returns
    -------
    ndarray
        uint8: 0 below the first, 4 at or above the last; 255 where the height is unknown.
    """
    slope = slope_deg(grid)
    return np.where(np.isnan(slope), 255, np.digitize(slope, STEEP_DEG)).astype(np.uint8)
