"""Owns making compiled loops ready: those of walking, those of current; the compiler keeps them.

Does not own telling the person (the command line) or where the compiler keeps it.
"""

from collections.abc import Callable

import numpy as np
from numba.core import event

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.settings import WalkCosts
from tendline.terrain import across, gradient, kernel, lay, least_cost, levels, relax, surface
from tendline.terrain.walk import walk_matrix

_LOOPS = (lay.mark_line, lay.lay_ground, lay.allow_steps, lay.allow_moves, kernel.search, kernel.trace)

_CURRENT_LOOPS = (
    *(relax.pivots, relax.solve_rows, relax.restrict, relax.correct, relax.interpolate, relax.coarsen),
    *(levels.factor, levels.solve_dense, across.flow_density, least_cost.spread_cost, surface.envelope),
    *(gradient.product, gradient.dot, gradient.step, gradient.turn, gradient.flood),
)


def compiled(*, current: bool = False) -> bool:
    """Whether the kernel is ready in this process, or that of current; if not, `warm_up` makes it so."""
    return all(getattr(loop, "signatures", ()) for loop in (_CURRENT_LOOPS if current else _LOOPS))


def warm_up_current(on_compile: Callable[[], None] | None = None) -> bool:
    """Make the loops of current ready, as `warm_up` does those of walking."""
    watch = _Watch(on_compile)
    with event.install_listener("numba:compile", watch):
        # More nodes than are solved outright, so that every loop is gone through.
        even = np.ones((24, 24), np.float32)
        across.across(even, across.Direction.WEST_EAST)
        least_cost.costs_from(even, (0, 0), dx=1.0, dy=1.0)
        surface.distance_to(even > 0, 1.0, 1.0)
    return watch.seen


def warm_up(on_compile: Callable[[], None] | None = None) -> bool:
    """Make the kernel ready: from what an earlier run kept, in a blink, or by compiling, in some seconds.

    Parameters
    ----------
    on_compile
        Called once, before anything is compiled, and only then: the moment to say that it takes some seconds.

    Returns
    -------
    bool
        Whether anything had to be compiled.
    """
    watch = _Watch(on_compile)
    with event.install_listener("numba:compile", watch):
        # The smallest walk that goes through every loop: two cells on a level, and a fence.
        grid = Grid(
            np.zeros((8, 8), np.float32), "EPSG:32617", west=500_000.0, north=4_500_000.0, dx=10.0, dy=10.0
        )
        to = Projector(grid.crs).to_lonlat
        a, b = to(500_005.0, 4_499_965.0), to(500_075.0, 4_499_965.0)
        fence = Barrier(
            "fence", lines=((to(500_045.0, 4_500_010.0), to(500_045.0, 4_499_900.0)),), seconds=30.0
        )
        walk_matrix(grid, {"a": a, "b": b}, costs=WalkCosts(), barriers=(fence,))
    return watch.seen


class _Watch(event.Listener):  # type: ignore[misc, unused-ignore]
    """Hears the compiler start."""

    def __init__(self, on_compile: Callable[[], None] | None) -> None:
        self.seen = False
        self._on_compile = on_compile

    def on_start(self, event: object) -> None:  # noqa: ARG002 - the compiler's own signature
        """Call back the first time."""
        if not self.seen and self._on_compile is not None:
            self._on_compile()
        self.seen = True

    def on_end(self, event: object) -> None:
        """Nothing to do."""
