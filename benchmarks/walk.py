"""Owns the measure of walking times: a matrix of 60 points on 2,000 x 2,000 cells against scipy's Dijkstra.

Does not own any promise: what it prints is what this machine did in this run.

Both sides get the same ground, the same moves and the same time for each move. Each part runs in a process of
its own, so that its peak of memory is its own.
"""

import json
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.core.grid import Grid

SIZE, CELL_M, POINTS = 2000, 5.0, 60
SCIPY_SOURCES = 8
"""Scipy is timed for so many of the 60 points, and the solving scaled to all of them."""


def hills(size: int = SIZE) -> Grid:
    """Make fractal hills: 5 m cells, mean slope 30 percent, 2 percent of the cells unknown, in blobs."""
    chance = np.random.default_rng(7)

    def field(fall: float) -> npt.NDArray[np.float64]:
        wave = np.hypot(np.fft.fftfreq(size)[:, None], np.fft.rfftfreq(size)[None, :])
        wave[0, 0] = np.inf
        noise = chance.normal(size=(2, *wave.shape))
        return np.fft.irfft2((noise[0] + 1j * noise[1]) * wave**-fall, s=(size, size))

    z = field(1.8)
    z *= 0.3 / np.hypot(*np.gradient(z, CELL_M)).mean()
    blobs = field(1.6)
    z[blobs > np.quantile(blobs, 0.98)] = np.nan
    return Grid(z.astype(np.float32), "EPSG:32617", 500_000.0, 4_500_000.0, CELL_M, CELL_M)


def spots(grid: Grid) -> npt.NDArray[np.int64]:
    """Choose 60 cells that can be walked on, anywhere."""
    from tests.walk_reference import too_steep  # noqa: PLC0415 - scipy stays out of the other process

    steep = too_steep(grid.z.astype(np.float64), CELL_M, CELL_M, 1.0)
    # A cell well inside the open ground: the few that are shut in would measure something else.
    inside = ~steep
    for shift in (-3, 3):
        for axis in (0, 1):
            inside &= ~np.roll(steep, shift, axis)
    cells = np.argwhere(inside)
    return np.random.default_rng(11).permutation(cells)[:POINTS]


def ours(threads: int) -> dict[str, Any]:
    """Time the matrix of `terrain.walk`."""
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415
    from tendline.core.settings import WalkCosts  # noqa: PLC0415
    from tendline.terrain.ready import warm_up  # noqa: PLC0415
    from tendline.terrain.walk import walk_matrix  # noqa: PLC0415

    grid, cells = handed_over()
    warm_up()
    to = Projector(grid.crs).to_lonlat
    places = {f"p{k}": to(*grid.centre_of(int(r), int(c))) for k, (r, c) in enumerate(cells)}
    found, seconds, grown = measured(lambda: walk_matrix(grid, places, costs=WalkCosts(), threads=threads))
    np.save(folder() / "ours.npy", found.seconds)
    return {"seconds": seconds, "grown_mb": grown}


def theirs() -> dict[str, Any]:
    """Time scipy: the graph, and Dijkstra from some of the points."""
    from scipy.sparse.csgraph import dijkstra  # noqa: PLC0415

    from tests.walk_reference import BLOCKED, graph, too_steep  # noqa: PLC0415

    grid, cells = handed_over()
    z = grid.z.astype(np.float64)
    state = np.where(too_steep(z, CELL_M, CELL_M, 1.0), BLOCKED, 0).astype(np.uint8)
    none = np.zeros((1, 1), np.float32)
    edges, build, _ = measured(
        lambda: graph(
            z, state, none, dx=CELL_M, dy=CELL_M, factor=1 / 0.6, steepest=math.tan(math.radians(45))
        )
    )
    numbers = cells[:, 0] * SIZE + cells[:, 1]
    held = (edges.data.nbytes + edges.indices.nbytes + edges.indptr.nbytes) / 1e6
    times = np.empty((SCIPY_SOURCES, POINTS))

    def solve() -> None:
        for k in range(SCIPY_SOURCES):
            times[k] = dijkstra(edges, indices=int(numbers[k]))[numbers]

    _, seconds, grown = measured(solve)
    np.save(folder() / "theirs.npy", times)
    return {
        "build": build,
        "solve": seconds / SCIPY_SOURCES * POINTS,
        "graph_mb": held,
        "grown_mb": held + grown,
    }


def first_run() -> dict[str, Any]:
    """Time the compiling that only the first run on a machine does, with an empty store."""
    from tendline.terrain.ready import warm_up  # noqa: PLC0415

    told, seconds, _ = measured(warm_up)
    assert told, "the compiler's store was not empty"
    return {"seconds": seconds}


def measured(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Give what `work` gives, the wall clock's seconds, and by how much memory grew at its peak [MB]."""
    before = memory_mb("VmRSS")
    Path("/proc/self/clear_refs").write_text("5")  # the peak starts again from here
    start = time.perf_counter()
    result = work()
    return result, time.perf_counter() - start, memory_mb("VmHWM") - before


def memory_mb(which: str) -> float:
    """Read this process's memory in use (VmRSS) or its peak (VmHWM)."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(float(line.split()[1]) for line in lines if line.startswith(which)) / 1e3


def folder() -> Path:
    """Where the parts hand things to each other."""
    return Path(os.environ["TENDLINE_BENCH"])


def handed_over() -> tuple[Grid, npt.NDArray[np.int64]]:
    """Read the ground and the points that every part gets."""
    return (
        Grid(np.load(folder() / "z.npy"), "EPSG:32617", 500_000.0, 4_500_000.0, CELL_M, CELL_M),
        np.load(folder() / "cells.npy"),
    )


def part(name: str, *, of: str = "walk", **extra: str) -> dict[str, Any]:
    """Run one part in a process of its own."""
    code = f"import json; from benchmarks import {of}; print(json.dumps({of}.{name}))"
    environment = {**os.environ, **extra}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def main() -> None:
    """Measure and print."""
    if not Path("/proc/self/clear_refs").exists():
        print("walking times: skipped, because peaks of memory are read from /proc, which this system lacks")
        return
    with tempfile.TemporaryDirectory() as held:
        os.environ["TENDLINE_BENCH"] = held
        grid = hills()
        np.save(folder() / "z.npy", grid.z)
        np.save(folder() / "cells.npy", spots(grid))
        compiling = part("first_run()", NUMBA_CACHE_DIR=str(folder() / "store"))
        part("ours(1)")  # once for the store, so that no compiling is in the times
        scipy, one, two = part("theirs()"), part("ours(1)"), part("ours(2)")
        found, expected = np.load(folder() / "ours.npy"), np.load(folder() / "theirs.npy")
    whole = scipy["build"] + scipy["solve"]
    off = np.nanmax(np.abs(found[:SCIPY_SOURCES] - expected) / np.maximum(expected, 1.0))
    print(f"walking times, {POINTS} points on {SIZE} x {SIZE} cells, 16 moves, the same for both")
    print(f"  scipy {SCIPY_SOURCES} points timed and scaled, times only; ours all {POINTS}, with the ways")
    print(f"  {'':24}{'s':>8}{'ratio':>8}{'MB':>8}{'ratio':>8}")
    print(f"  {'scipy, graph + solve':24}{whole:8.1f}{1:8.1f}{scipy['grown_mb']:8.0f}{1:8.1f}")
    print(f"  {'scipy, solve alone':24}{scipy['solve']:8.1f}{whole / scipy['solve']:8.1f}")
    print(f"  {'scipy, graph alone':24}{scipy['build']:8.1f}{'':8}{scipy['graph_mb']:8.0f}")
    for name, our in (("ours, one thread", one), ("ours, two threads", two)):
        ratio, less = whole / our["seconds"], scipy["grown_mb"] / our["grown_mb"]
        print(f"  {name:24}{our['seconds']:8.1f}{ratio:8.1f}{our['grown_mb']:8.0f}{less:8.1f}")
    print(f"  greatest difference of the times: {off:.1e}; wanted: 5 times faster, a tenth of the memory")
    print(f"  first run on a machine, compiling: {compiling['seconds']:.1f} s, once")


if __name__ == "__main__":
    main()
