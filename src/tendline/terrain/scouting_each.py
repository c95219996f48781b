"""Owns scouting several areas, or one by several weights, side by side.

Does not own scouting one (terrain.scouting) or where the work is done (terrain.side_by_side).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from tendline.core.grid import Grid
from tendline.terrain.draw import Mask
from tendline.terrain.layers import Layers
from tendline.terrain.scouting import SIDE_BY_SIDE_CELLS, WHOLE_CELLS, Asked, Scouted, scout
from tendline.terrain.side_by_side import side_by_side
from tendline.terrain.weights import AnimalWeights


@dataclass(frozen=True, eq=False)
class Area:
    """What one scouting is made of; as the arguments of `terrain.scouting.scout`."""

    grid: Grid
    layers: Layers
    weights: AnimalWeights
    within: Mask


def scout_each(areas: Sequence[Area], asked: Asked) -> list[Scouted]:
    """Scout several areas; each comes out as it would alone.

    Parameters
    ----------
    areas
        At least one. Those of up to `WHOLE_CELLS` cells are scouted side by side, the larger ones one after
        the other, for each of them keeps every worker busy.
    asked
        Of all of them.

    Raises
    ------
    Refused
        As `terrain.scouting.scout`.
    """
    if len(areas) == 1:
        return [_scout(areas[0], asked)]
    small = [k for k, area in enumerate(areas) if area.grid.z.size <= WHOLE_CELLS]
    largest = max((areas[k].grid.z.size for k in small), default=0)
    found = side_by_side(
        partial(_scout, asked=replace(asked, scheduler=None, threads=1)),
        [areas[k] for k in small],
        scheduler=asked.scheduler,
        threads=asked.threads if largest <= SIDE_BY_SIDE_CELLS else 1,
    )
    done = dict(zip(small, found, strict=True))
    return [done[k] if k in done else _scout(area, asked) for k, area in enumerate(areas)]


def _scout(area: Area, asked: Asked) -> Scouted:
    return scout(area.grid, area.layers, area.weights, within=area.within, asked=asked)
