"""Owns joining elevation models at the door: several tiles, of any system and cell, into one grid.

Does not own reading one of them (`elevation`) or which are on the line.

The finest model leads: its own cells are kept where they can be, and coarser ones fill what it does not know.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from rasterio.crs import CRS

from tendline.core.errors import refuse
from tendline.core.grid import Floats, Grid
from tendline.core.units import METRES_PER_FOOT
from tendline.ground.elevation import Bounds, read_window
from tendline.ground.faults import HEIGHTS_APART
from tendline.ground.raster import Lattice, Raster, as_grid, lattice_of, put_onto, straight

STEP_M = 3.0
"""Models that differ by more than this where both know the ground make a step at the seam [m] (common
practice, no source)."""

_ON_LATTICE = 1e-3
_FOOT_OFF = 0.06
_LEAST_HEIGHT_M = 20.0


@dataclass(frozen=True)
class Model:
    """One elevation model: its file, the name people know it by, the unit they said its heights are in."""

    path: Path
    name: str
    unit: str | None = None


@dataclass(frozen=True, eq=False)
class Joined:
    """Heights out of one model or several.

    Parameters
    ----------
    grid
        Heights [m].
    used
        Names of the models that they are out of, the finest first.
    said
        What a person should know, a sentence each.
    """

    grid: Grid
    used: tuple[str, ...]
    said: tuple[str, ...]


def read_joined(models: Sequence[Model], bounds: Bounds, *, least_m: float = 0.0) -> Joined | None:
    """Read the heights of a piece of ground out of all the models that reach it.

    Parameters
    ----------
    models
        In the order they were brought in; of equally fine ones the later leads.
    bounds
        Which ground, west, south, east, north [degrees]; no more of any file than that is read.
    least_m
        Much smaller cells are averaged to about this size while they are read [m].

    Returns
    -------
    Joined or None
        None where no model knows any of that ground. One model alone that is straight keeps its own cells
        and heights. Of several, the finest gives the cells; cells of others that lie on the same lattice are
        taken over as they are, all others once interpolated.

    Raises
    ------
    Refused
        GND-401 to GND-406 and GND-410 as of `elevation.read_elevation`; GND-411 when one model's heights are
        about 3.28 times another's: feet that say metres, or the other way round.
    """
    read = [(model, read_window(model.path, bounds, unit=model.unit, least_m=least_m)) for model in models]
    held = [(model, raster) for model, raster in read if raster is not None and np.isfinite(raster.z).any()]
    if not held:
        return None
    held = [held[n] for n in sorted(range(len(held)), key=lambda n: (_fineness(held[n][1]), -n))]
    if len(held) == 1:
        model, raster = held[0]
        return Joined(as_grid(raster)[0], (model.name,), ())
    lattice = lattice_of(held[0][1])
    corner, rows, cols = _cover(lattice, [raster for _, raster in held])
    z: Floats = np.full((rows, cols), np.nan, np.float32)
    used: list[str] = []
    said: list[str] = []
    for model, raster in held:
        layer = _on(raster, corner, rows, cols)
        said += _compare(z, layer, model.name, used)
        gaps = np.isnan(z) & np.isfinite(layer)
        if gaps.any():
            z[gaps] = layer[gaps]
            used.append(model.name)
    grid = Grid(z, corner.crs, corner.west, corner.north, corner.dx, corner.dy)
    return Joined(_trimmed(grid), tuple(used), tuple(said))


def _fineness(raster: Raster) -> int:
    """Sort cells by size, in steps of a fifth: tiles of one model in two zones are equally fine."""
    wide, high = raster.whole.cell_size()
    return round(math.log(wide * high) / 2 / math.log(1.2))


def _cover(lattice: Lattice, rasters: Sequence[Raster]) -> tuple[Lattice, int, int]:
    crs = CRS.from_user_input(lattice.crs)
    edges = [raster.site.edge(crs) for raster in rasters]
    return lattice.around([x for xs, _ in edges for x in xs], [y for _, ys in edges for y in ys])


def _on(raster: Raster, corner: Lattice, rows: int, cols: int) -> Floats:
    """Give a raster on the common lattice: as it is where its cells are the lattice's, else interpolated."""
    own = straight(raster)
    if own is None or own.crs != corner.crs or not _same_cells(own, corner):
        return put_onto(raster, corner, rows=rows, cols=cols).z
    z: Floats = np.full((rows, cols), np.nan, np.float32)
    row = round((corner.north - own.north) / corner.dy)
    col = round((own.west - corner.west) / corner.dx)
    high, wide = own.shape
    z[row : row + high, col : col + wide] = own.z
    return z


def _same_cells(grid: Grid, lattice: Lattice) -> bool:
    off = ((grid.west - lattice.west) / lattice.dx, (lattice.north - grid.north) / lattice.dy)
    aligned = all(abs(share - round(share)) < _ON_LATTICE for share in off)
    same = abs(grid.dx / lattice.dx - 1) < 1e-6 and abs(grid.dy / lattice.dy - 1) < 1e-6
    return aligned and same


def _compare(z: Floats, layer: Floats, name: str, used: Sequence[str]) -> list[str]:
    """Look at two models where both know the ground: refuse feet beside metres, tell of a step."""
    both = np.isfinite(z) & np.isfinite(layer)
    if not both.any():
        return []
    ours, theirs = z[both], layer[both]
    _refuse_feet(ours, theirs, name, used)
    step = float(np.median(np.abs(theirs - ours)))
    if step <= STEP_M:
        return []
    others = " and ".join(used)
    return [f"{name} and {others} differ by {step:.0f} m where they overlap: walks over the seam are off"]


def _refuse_feet(ours: Floats, theirs: Floats, name: str, used: Sequence[str]) -> None:
    high = np.minimum(np.abs(ours), np.abs(theirs)) > _LEAST_HEIGHT_M * METRES_PER_FOOT
    if not high.any():
        return
    ratio = float(np.median(theirs[high] / ours[high]))
    for feet, metres, share in ((name, " and ".join(used), ratio), (" and ".join(used), name, 1 / ratio)):
        if abs(share * METRES_PER_FOOT - 1) < _FOOT_OFF:
            what = f"heights of {feet} are {share:.2f} times those of {metres} on the same ground."
            do = "One foot is 0.3048 m: find out which is wrong, put its unit right and bring it again."
            raise refuse(HEIGHTS_APART, what, name, do)


def _trimmed(grid: Grid) -> Grid:
    """Leave out rows and columns at the rim of which nothing is known."""
    known: npt.NDArray[np.bool_] = np.isfinite(grid.z)
    rows, cols = np.flatnonzero(known.any(axis=1)), np.flatnonzero(known.any(axis=0))
    return grid.window(int(rows[0]), int(rows[-1]) + 1, int(cols[0]), int(cols[-1]) + 1)
