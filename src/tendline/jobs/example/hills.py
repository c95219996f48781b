"""Owns the invented hills of the example, made from a seed: ridges, hollows and one creek.

Does not own writing them as a file (`ground.raster_out`) or the farms on them (`farms`).
"""

import itertools

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid

CRS = "EPSG:32620"
WEST, SOUTH = 480_000.0, 4_600_000.0
"""Lower left corner of the example [m in `CRS`]: open ocean, south of any land."""

WIDTH, HEIGHT, CELL = 8000.0, 7000.0, 10.0
"""Size of the example and of its cells [m]."""

_CREEK = (
    (900.0, 0.0),
    (1700.0, 1500.0),
    (2600.0, 2700.0),
    (3000.0, 4100.0),
    (3900.0, 5400.0),
    (4300.0, 7000.0),
)


def creek() -> tuple[tuple[float, float], ...]:
    """Give the line of the creek [m in `CRS`], from its mouth upwards."""
    return tuple((WEST + x, SOUTH + y) for x, y in _CREEK)


def hills(seed: int = 7) -> Grid:
    """Make the heights: rolling country between 180 and 520 m, steeper in the north-east.

    Parameters
    ----------
    seed
        Of the random number generator; the same seed gives the same hills.

    Returns
    -------
    Grid
        `WIDTH` by `HEIGHT`, cells of `CELL`.
    """
    rows, cols = int(HEIGHT / CELL), int(WIDTH / CELL)
    x = (np.arange(cols) + 0.5) * CELL
    y = HEIGHT - (np.arange(rows) + 0.5) * CELL
    east, north = np.meshgrid(x, y)
    rough = _rough(rows, cols, seed)
    tilt = 180.0 + 120.0 * east / WIDTH + 60.0 * north / HEIGHT
    ridges = 45.0 * np.sin(east / 900.0 + north / 2100.0) + 30.0 * np.cos(north / 700.0 - east / 3100.0)
    depth = 55.0 * np.exp(-((_distance_to_creek(east, north) / 260.0) ** 2))
    z = tilt + ridges * (0.6 + 0.6 * east / WIDTH) + 38.0 * rough - depth
    return Grid(np.ascontiguousarray(z, dtype=np.float32), CRS, WEST, SOUTH + HEIGHT, CELL, CELL)


def _rough(rows: int, cols: int, seed: int) -> npt.NDArray[np.float64]:
    """Make smooth random relief by filtering noise with a power law; mean 0, deviation 1."""
    noise = np.random.default_rng(seed).standard_normal((rows, cols))
    ky = np.fft.fftfreq(rows)[:, None] * rows
    kx = np.fft.rfftfreq(cols)[None, :] * cols
    wave = np.hypot(ky, kx)
    wave[0, 0] = np.inf
    shaped = np.fft.irfft2(np.fft.rfft2(noise) * np.maximum(wave, 3.0) ** -2.1, s=(rows, cols))
    shaped -= shaped.mean()
    result: npt.NDArray[np.float64] = shaped / shaped.std()
    return result


def _distance_to_creek(
    east: npt.NDArray[np.float64], north: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64]:
    best = np.full(east.shape, np.inf)
    for (ax, ay), (bx, by) in itertools.pairwise(_CREEK):
        dx, dy = bx - ax, by - ay
        along = np.clip(((east - ax) * dx + (north - ay) * dy) / (dx * dx + dy * dy), 0, 1)
        best = np.minimum(best, np.hypot(east - ax - along * dx, north - ay - along * dy))
    return best
