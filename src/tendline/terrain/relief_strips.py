"""Owns drawing light, shade and steepness of a large area strip by strip, side by side.

Does not own the sums (terrain.relief) or where they are done (terrain.side_by_side).
"""

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid
from tendline.terrain.side_by_side import side_by_side
from tendline.terrain.strips import strips

Drawn = npt.NDArray[Any]


def in_strips(
    draw: Callable[[Grid], Drawn], grid: Grid, *, scheduler: str | None = None, threads: int = 2
) -> Drawn:
    """Draw an area in strips that see one row of their neighbours.

    Parameters
    ----------
    draw
        `hillshade`, `slope_deg` or `steepness` of `terrain.relief`: any that looks no farther than one cell.
    grid
        Heights [m].
    scheduler, threads
        As of `terrain.side_by_side.side_by_side`.

    Returns
    -------
    ndarray
        What `draw` gives of the whole, to the last bit, the shape of the grid.

    Raises
    ------
    Refused
        TERR-131.
    """
    cuts = list(strips(grid.shape, beside=1))
    if len(cuts) == 1:
        return draw(grid)
    parts = [grid.window(cut.low, cut.high, 0, grid.shape[1]) for cut in cuts]
    drawn = side_by_side(partial(_drawn, draw), parts, scheduler=scheduler, threads=threads)
    return np.concatenate([part[cut.inner] for part, cut in zip(drawn, cuts, strict=True)])


def _drawn(draw: Callable[[Grid], Drawn], part: Grid) -> Drawn:
    return draw(part)
