"""Owns one band of whole rows of a large grid: its ties, its levels, its potentials, and each step on them.

Does not own the order of the steps or what goes from band to band (terrain.bands).

Rows are solved whole and every second one at a time, so a band needs from its neighbours no more than the row
next to it. What the bands work out together is what one grid would, to the last steps of rounding.
"""

from dataclasses import dataclass, replace

import numpy as np

from tendline.terrain.across import flow_density
from tendline.terrain.compiling import Float32, Float64
from tendline.terrain.current import leading_ties, ties_of
from tendline.terrain.gradient import dot, product, step, turn
from tendline.terrain.levels import Level, coarser, level_of, slimmer
from tendline.terrain.relax import correct, restrict, solve_rows

Rows = tuple[Float32, ...]


@dataclass(frozen=True, eq=False)
class Slab:
    """What a band is made of.

    Parameters
    ----------
    resistance
        Of its rows and of `above` and `below` more on both sides, (above + rows + below, cols).
    above, below
        Multiples of two to the power of `levels`, or what there is.
    levels
        How many levels the band holds.
    weak
        As of `terrain.current.leading_ties`; no tie is exactly so much.
    west, east
        Ties of its rows to where current enters in the west and leaves in the east, for the whole slab.
    north, south
        Ties of the first and last row of the slab to where current enters or leaves, (cols,); zero inside.
    upward
        Current enters in the south.
    start
        A guess at the potentials of its rows, (rows, cols).
    dx, dy
        Size of a cell.
    """

    resistance: Float32
    above: int
    below: int
    levels: int
    weak: float
    west: Float64
    east: Float64
    north: Float64
    south: Float64
    upward: bool
    start: Float64
    dx: float
    dy: float


class Band:
    """A band: arrays of shape (rows + 2, cols + 2) with the row next to it on both sides."""

    def __init__(self, slab: Slab) -> None:
        rows = slab.resistance.shape[0] - slab.above - slab.below
        cut = slice(slab.above, slab.above + rows)
        ties = ties_of(slab.resistance, dx=slab.dx, dy=slab.dy)
        ground = np.zeros(slab.resistance.shape)
        into = np.zeros(slab.resistance.shape)
        into[:, 0] += slab.west
        ground[:, -1] += slab.east
        for k, edge, enters in ((0, slab.north, not slab.upward), (-1, slab.south, slab.upward)):
            (into if enters else ground)[k] += edge
        ground += into
        d, e, s = leading_ties(ties, np.pad(ground, 1), slab.weak)
        del ties
        self._levels: list[Level] = []
        self._slab = replace(slab, resistance=np.empty((0, 0), np.float32), start=np.empty((0, 0)))
        self._below = self._build(d, e, s, cut)
        earth = np.pad(ground[cut], 1)
        self._at = np.flatnonzero(earth.ravel() > 0)
        self._held = earth.ravel()[self._at]
        self._v, self._left = np.pad(slab.start, 1), np.pad(into[cut], 1)
        self._way = np.zeros_like(self._v)
        self._out = self._shared()

    def _shared(self) -> Float64:
        """Lay what the finest level works on into what a product fills: they are never needed at once."""
        out = np.zeros_like(self._v)
        b, x = out.reshape(-1).view(np.float32).reshape(2, *out.shape)
        self._levels[0] = replace(self._levels[0], b=b, x=x)
        return out

    def _build(self, d: Float32, e: Float32, s: Float32, cut: slice) -> Rows:
        """Make the levels on the whole slab, cut each to the band; give the rows of the level below them."""
        none = np.zeros((0, 0), np.float32)
        held: Rows = (d, e, s, none, none)
        start, end = cut.start, cut.stop
        for _ in range(self._slab.levels):
            whole = level_of(*held, last=False)
            assert whole.p is not None
            rows = slice(start, end)
            held = coarser(whole)
            start, end = start // 2, (end + 1) // 2
            d, e, s, se, sw, m = (
                _cut(part, rows) for part in (whole.d, whole.e, whole.s, whole.se, whole.sw, whole.m)
            )
            p = _cut(whole.p, slice(start, end))
            self._levels.append(slimmer(Level(d, e, s, se, sw, m, p, b=np.zeros_like(d), x=np.zeros_like(d))))
        return tuple(part[start + 1 : end + 1] for part in held)

    def coarse(self) -> Rows:
        """Give its rows of the level below its own: `d`, `e`, `s`, `se`, `sw`. Once: it lets go of them."""
        rows, self._below = self._below, ()
        return rows

    def begin(self) -> tuple[float, Float64, Float64]:
        """Give the square of what goes in, and the first and last row of potentials."""
        return dot(self._left, self._left), self._v[1].copy(), self._v[-2].copy()

    def first_left(self, above: Float64 | None, below: Float64 | None) -> float:
        """Work out what is left of the equations at the start; give the square of it."""
        self._next_to(self._v, above, below)
        self._product(self._v)
        self._left -= self._out
        # Cells without any tie, and those of no height, have nothing to be left.
        self._left[self._levels[0].m == 0.0] = 0.0
        self._left[0] = self._left[-1] = 0.0
        return dot(self._left, self._left)

    def down_start(self, n: int) -> Float32:
        """Solve the coarse rows of level `n` alone; give the first."""
        level = self._levels[n]
        if n == 0:
            level.b[:] = self._left
            level.x[:] = 0.0
        self._solve(level, 1, fresh=1)
        return _row(level.x, 1)

    def down_between(self, n: int, below: Float32 | None) -> Float32:
        """Solve the rows between; give the last."""
        self._next_to(self._levels[n].x, None, below)
        self._solve(self._levels[n], 2)
        return _row(self._levels[n].x, -2)

    def down_restrict(self, n: int, above: Float32 | None) -> Float32 | None:
        """Give what is left to the level below, where the bands do not hold that themselves."""
        level = self._levels[n]
        self._next_to(level.x, above, None)
        assert level.p is not None
        inside = n + 1 < len(self._levels)
        coarse = self._levels[n + 1].b if inside else np.zeros(level.p.shape[:2], np.float32)
        restrict(level.b, level.x, level.d, level.e, level.s, level.se, level.sw, level.p, coarse)
        return None if inside else coarse[1:-1].copy()

    def up_correct(self, n: int, found: Float32 | None) -> Float32:
        """Take in the level below, as handed in or as the band holds it; give the first row."""
        level = self._levels[n]
        assert level.p is not None
        coarse = self._levels[n + 1].x if found is None else np.pad(found, ((1, 1), (0, 0)))
        correct(level.x, np.ascontiguousarray(coarse), level.p)
        return _row(level.x, 1)

    def up_between(self, n: int, below: Float32 | None) -> Float32:
        """Solve the rows between once more; give the last."""
        return self.down_between(n, below)

    def up_end(self, n: int, above: Float32 | None) -> float:
        """Solve the coarse rows once more; give, on the finest level, the product with what is left."""
        level = self._levels[n]
        self._next_to(level.x, above, None)
        self._solve(level, 1)
        if n > 0:
            return 0.0
        level.x[0] = level.x[-1] = 0.0
        return dot(self._left, level.x)

    def turn(self, share: float) -> tuple[Float64, Float64]:
        """Turn to the next way to go; give its first and last row."""
        turn(share, self._levels[0].x, self._way)
        return self._way[1].copy(), self._way[-2].copy()

    def pull(self, above: Float64 | None, below: Float64 | None) -> float:
        """Give the way times what it changes."""
        self._next_to(self._way, above, below)
        return self._product(self._way)

    def go(self, size: float) -> float:
        """Go along the way; give the square of what is left."""
        return step(size, self._way, self._out, self._v, self._left)

    def ends(self) -> tuple[float, float, Float64, Float64]:
        """Give what enters and leaves, and the first and last row of potentials."""
        slab, inner = self._slab, self._v[1:-1, 1:-1]
        cut = slice(slab.above, slab.above + inner.shape[0])
        enters = float(slab.west[cut] @ (1.0 - inner[:, 0]))
        leaves = float(slab.east[cut] @ inner[:, -1])
        for edge, row, first in ((slab.north, inner[0], True), (slab.south, inner[-1], False)):
            if (slab.above if first else slab.below) == 0:
                if first != slab.upward:
                    enters += float(edge @ (1.0 - row))
                else:
                    leaves += float(edge @ row)
        return enters, leaves, self._v[1].copy(), self._v[-2].copy()

    def density(self, above: Float64 | None, below: Float64 | None) -> Float32:
        """Give the flow through the middle of each cell, (rows, cols)."""
        slab = self._slab
        self._next_to(self._v, above, below)
        rows, cols = self._v.shape[0] - 2, self._v.shape[1] - 2
        cut = slice(slab.above, slab.above + rows)
        none = np.zeros(cols)
        north, south = (slab.north if slab.above == 0 else none), (slab.south if slab.below == 0 else none)
        out = np.zeros((rows, cols), np.float32)
        west, east = np.ascontiguousarray(slab.west[cut]), np.ascontiguousarray(slab.east[cut])
        e, s, edges = self._levels[0].e, self._levels[0].s, (west, east, north, south)
        flow_density(self._v, e, s, *edges, int(slab.upward), slab.weak, slab.dx, slab.dy, out)
        return out

    def _solve(self, level: Level, first: int, *, fresh: int = 0) -> None:
        solve_rows(first, fresh, level.b, level.x, level.e, level.s, level.se, level.sw, level.m)

    def _product(self, v: Float64) -> float:
        level = self._levels[0]
        self._out[:] = 0.0
        weak = self._slab.weak
        return product(v, level.e, level.s, level.se, level.sw, self._at, self._held, weak, self._out)

    @staticmethod
    def _next_to(
        values: Float32 | Float64, above: Float32 | Float64 | None, below: Float32 | Float64 | None
    ) -> None:
        if above is not None:
            values[0] = above
        if below is not None:
            values[-1] = below


def _row(values: Float32, number: int) -> Float32:
    return np.array(values[number])


def _cut(values: Float32, rows: slice) -> Float32:
    """Cut a padded array to some rows and the one next to them on both sides."""
    if values.size == 0:
        return values
    return np.ascontiguousarray(values[rows.start : rows.stop + 2])
