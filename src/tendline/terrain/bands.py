"""Owns current across an area too large for one piece: bands of rows that solve it together.

Does not own the steps on a band (terrain.band). The bands lie in this process, or on the workers of a
cluster; between them go single rows, and a coarse level that is solved in one piece here.

It is the same iteration as on one grid, and stops at the same residual: there is no error of cutting.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.core.errors import refuse
from tendline.terrain.across import Crossing, Direction, edge_ties, ends, even_slope, width
from tendline.terrain.band import Band, Slab
from tendline.terrain.compiling import Float32
from tendline.terrain.current import MOST_STEPS, TOLERANCE, Flow, reachable, ties_of
from tendline.terrain.faults import NO_CURRENT, NOT_SOLVED
from tendline.terrain.levels import Cycle
from tendline.terrain.side_by_side import Crew

COARSE_CELLS = 2_000_000
"""The level solved in one piece has no more cells than this."""

BAND_CELLS = 3_000_000
"""A band has about so many cells: what is needed while it is made stays small beside the whole."""

WEAK = 1e-3
PAD = 8
"""Rows of the coarsest level of a band that are worked out beyond it, so that its own are as on one grid."""


@dataclass(frozen=True)
class Cut:
    """How an area is cut: first row of each band and the last, and how many levels a band holds."""

    rows: tuple[int, ...]
    levels: int


def cut_into_bands(shape: tuple[int, int], *, bands: int | None = None, levels: int | None = None) -> Cut:
    """Say how an area is cut.

    Parameters
    ----------
    shape
        Rows and columns.
    bands, levels
        How many of each; by `BAND_CELLS` and `COARSE_CELLS` when None. No more bands than there is room for.
    """
    size = shape[0] * shape[1]
    if levels is None:
        levels = 1
        while size / 4**levels > COARSE_CELLS:
            levels += 1
    count = bands or max(1, round(size / BAND_CELLS))
    unit = 2**levels
    per_band = max(unit, -(-shape[0] // count // unit) * unit)
    starts = [*range(0, shape[0], per_band), shape[0]]
    return Cut(tuple(starts), levels)


def across_in_bands(
    resistance: npt.ArrayLike,
    direction: Direction,
    *,
    dx: float = 1.0,
    dy: float = 1.0,
    tolerance: float = TOLERANCE,
    scheduler: str | None = None,
    cut: Cut | None = None,
) -> Crossing:
    """Let current flow across an area, in bands; the arguments and the answer are those of `terrain.across`.

    Parameters
    ----------
    scheduler
        Address of a dask scheduler on whose workers the bands lie; this process when None.
    cut
        How it is cut; by size when None.

    Raises
    ------
    Refused
        As `terrain.across.across`, and TERR-131.

    Notes
    -----
    A cell takes about 75 bytes where its band lies. Here it takes 20 while islands are looked for, then 8.
    """
    area = _Area(np.array(resistance, np.float32), direction, dx, dy)
    islands = area.close_islands()
    cut = cut or cut_into_bands(area.r.shape)
    with Crew(Band, area.slabs(cut), scheduler=scheduler) as crew:
        run = _Run(crew, Cycle(*_whole(crew.call("coarse"))), cut)
        residual, steps = run.solve(tolerance)
        told = crew.call("ends")
        put_in, got_out = (sum(one[k] for one in told) for k in (0, 1))
        flow = crew.call("density", *_neighbours([one[2] for one in told], [one[3] for one in told]))
        density = np.concatenate(flow)
    density *= np.float32(width(direction, density.shape, dx, dy) / got_out)
    # The potentials stay where the bands are: nobody asks for them, and they would not fit.
    potentials = Flow(np.empty((0, 0)), residual, steps, islands)
    return Crossing(direction, density, got_out, potentials, abs(put_in - got_out) / got_out)


class _Area:
    """The area before it is cut; arrays (rows, cols)."""

    def __init__(self, r: Float32, direction: Direction, dx: float, dy: float) -> None:
        self.r, self._direction, self._dx, self._dy = r, direction, dx, dy
        self._ends = ends(direction, r.shape)
        self._sides = edge_ties(r, self._ends, dx, dy)
        self._weak = 0.0

    def close_islands(self) -> int:
        """Close what no way leads to; give how many cells that was."""
        r, upward = self.r, self._ends.upward
        ties = ties_of(r, dx=self._dx, dy=self._dy)
        west, east, north, south = self._sides
        enters, leaves = np.zeros(r.shape, np.bool_), np.zeros(r.shape, np.bool_)
        enters[:, 0] |= west > 0
        leaves[:, -1] |= east > 0
        (leaves if upward else enters)[0] |= north > 0
        (enters if upward else leaves)[-1] |= south > 0
        if not np.any(reachable(ties, enters) & leaves):
            what = f"no way leads across, {self._direction}."
            raise refuse(NO_CURRENT, what, "", "Choose an area that can be walked across.")
        apart = np.isfinite(r) & ~reachable(ties, enters | leaves)
        e, s = ties.e > 0, ties.s > 0
        tied = e[1:-1, 1:-1] | e[1:-1, :-2] | s[1:-1, 1:-1] | s[:-2, 1:-1]
        r[apart] = np.inf
        self._weak = _weak(ties.e, ties.s)
        return int(np.sum(apart & tied))

    def slabs(self, cut: Cut) -> list[Callable[[], Slab]]:
        """Give what each band is made of, made when it is asked for."""
        return [partial(self._slab, cut.levels, first, last) for first, last in pairwise(cut.rows)]

    def _slab(self, levels: int, first: int, last: int) -> Slab:
        r, pad, none = self.r, PAD * 2**levels, np.zeros(self.r.shape[1])
        west, east, north, south = self._sides
        low, high = max(0, first - pad), min(r.shape[0], last + pad)
        slope = even_slope(self._direction, r.shape)(first, last)
        return Slab(
            resistance=r[low:high],
            above=first - low,
            below=high - last,
            levels=levels,
            weak=self._weak,
            west=west[low:high],
            east=east[low:high],
            north=north if low == 0 else none,
            south=south if high == r.shape[0] else none,
            upward=self._ends.upward,
            start=np.where(np.isfinite(r[first:last]), slope, 0.0),
            dx=self._dx,
            dy=self._dy,
        )


def _weak(*ties: Float32) -> float:
    """Give a weak tie that no tie there is exactly like, so that it is known again."""
    found = np.float32(WEAK) * np.float32(np.mean(ties[0][ties[0] > 0]))
    while any(np.any(one == found) for one in ties):
        found = np.nextafter(found, np.float32(np.inf))
    return float(found)


def _whole(parts: Sequence[tuple[Float32, ...]]) -> list[Float32]:
    """Put the rows of the coarse level together, with a rim of nothing above and below."""
    return [np.pad(np.concatenate([part[k] for part in parts]), ((1, 1), (0, 0))) for k in range(5)]


def _neighbours(firsts: Sequence[Any], lasts: Sequence[Any]) -> tuple[list[Any], list[Any]]:
    """Give to each band the last row of the one above and the first of the one below."""
    return [None, *lasts[:-1]], [*firsts[1:], None]


class _Run:
    """The iteration over all bands."""

    def __init__(self, crew: Crew[Band], cycle: Cycle, cut: Cut) -> None:
        self._crew, self._cycle, self._levels = crew, cycle, cut.levels
        unit = 2**cut.levels
        self._coarse_rows = [-(-row // unit) for row in cut.rows]

    def solve(self, tolerance: float) -> tuple[float, int]:
        """Iterate until no more than `tolerance` is left; give what is, and how many steps it took."""
        told = self._crew.call("begin")
        whole = float(np.sqrt(sum(one[0] for one in told)))
        rows = _neighbours([one[1] for one in told], [one[2] for one in told])
        residual = float(np.sqrt(sum(self._crew.call("first_left", *rows)))) / whole
        before, n = 0.0, 0
        while residual > tolerance:
            now = self._go_down(0)
            way = self._crew.call_all("turn", now / before if before else 0.0)
            pull = sum(self._crew.call("pull", *_neighbours([a for a, _ in way], [b for _, b in way])))
            if n == MOST_STEPS or not pull > 0.0:
                raise refuse(
                    NOT_SOLVED,
                    f"after {n} steps {residual:.1e} of the current is not accounted for.",
                    "",
                    "Make the largest and least resistance less different.",
                )
            residual = float(np.sqrt(sum(self._crew.call_all("go", now / pull)))) / whole
            before, n = now, n + 1
        return residual, n

    def _go_down(self, n: int) -> float:
        """Go through one cycle from level `n`."""
        crew = self._crew
        firsts = crew.call_all("down_start", n)
        lasts = crew.call("down_between", *self._each(n, [*firsts[1:], None]))
        left = crew.call("down_restrict", *self._each(n, [None, *lasts[:-1]]))
        found: list[Any] = [None] * len(left)
        if n + 1 < self._levels:
            self._go_down(n + 1)
        else:
            self._cycle.levels[0].b[1:-1] = np.concatenate(left)
            x = self._cycle.solve()
            found = [x[a + 1 : b + 1].copy() for a, b in pairwise(self._coarse_rows)]
        firsts = crew.call("up_correct", *self._each(n, found))
        lasts = crew.call("up_between", *self._each(n, [*firsts[1:], None]))
        return float(sum(crew.call("up_end", *self._each(n, [None, *lasts[:-1]]))))

    @staticmethod
    def _each(n: int, values: list[Any]) -> tuple[list[int], list[Any]]:
        return [n] * len(values), values
