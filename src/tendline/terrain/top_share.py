"""Owns the areas that hold the densest travel, as polygons for a map.

Does not own the travel (terrain.scouting).
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from contourpy import FillType, contour_generator

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.core.place import LonLat
from tendline.terrain.compiling import Float32
from tendline.terrain.draw import Mask

SHARES = (0.2, 0.05, 0.01)
"""Which top shares of the area are drawn."""

MOST_CELLS = 60_000
"""Drawn on cells so coarse that there are no more: a map layer must stay small."""

Areas = tuple[tuple[tuple[LonLat, ...], ...], ...]


def top_shares(
    grid: Grid, density: Float32, within: Mask, shares: Sequence[float] = SHARES
) -> list[tuple[float, Areas]]:
    """Give, for each share, the areas in which the densest such share of the cells lies.

    Parameters
    ----------
    grid
        Where the cells lie.
    density
        (rows, cols).
    within
        The cells that count, (rows, cols).
    shares
        Of the cells that count, above 0 and below 1.

    Returns
    -------
    list
        Share and polygons, each an outer ring and holes, closed, as places.
    """
    step = max(1, int(np.ceil(np.sqrt(density.size / MOST_CELLS))))
    kept = np.where(within, density, np.float32(0.0))[::step, ::step]
    x = grid.west + (np.arange(kept.shape[1]) * step + 0.5) * grid.dx
    y = grid.north - (np.arange(kept.shape[0]) * step + 0.5) * grid.dy
    values = kept[within[::step, ::step]]
    if values.size == 0 or min(kept.shape) < 2:
        return []
    # A rim of nothing closes every area.
    edged = np.pad(kept, 1)
    xs, ys = (np.concatenate([[2 * v[0] - v[1]], v, [2 * v[-1] - v[-2]]]) for v in (x, y))
    # From south to north, so that outer rings run counter-clockwise as GeoJSON wants them.
    lines = contour_generator(xs, ys[::-1], edged[::-1], fill_type=FillType.OuterOffset)
    turn = Projector(grid.crs)
    found: list[tuple[float, Areas]] = []
    for share in shares:
        level = float(np.quantile(values, 1.0 - share))
        filled: Any = lines.filled(level, float(values.max()) * 2.0 + 1.0)
        areas = []
        for ring, bounds in zip(filled[0], filled[1], strict=True):
            places = turn.to_lonlats(np.asarray(ring, np.float64))
            areas.append(tuple(places[a:b] for a, b in pairwise(np.asarray(bounds).tolist())))
        found.append((share, tuple(areas)))
    return found
