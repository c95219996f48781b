"""Owns the measure of one search: from one cell to all, and to 100 targets within a window, against scipy.

Does not own any promise: what it prints is what this machine did in this run.

TENDLINE_BENCH_CELLS says how many cells wide the ground is; 4000 when it is not set, for which scipy's graph
and search need some 4.5 gigabytes.
"""

import math
import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.walk import CELL_M, folder, hills, measured, part
from tendline.core.grid import Grid

TARGETS, WINDOW = 100, 1000


def worked(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Give what `work` gives, the processor's seconds, and by how much memory grew at its peak [MB].

    Both sides run on one thread: the processor's time leaves out what else the machine is doing.
    """
    start = time.process_time()
    result, _, grown = measured(work)
    return result, time.process_time() - start, grown


def cells() -> int:
    """Give the width of the ground [cells]."""
    return int(os.environ.get("TENDLINE_BENCH_CELLS", "4000"))


def ground() -> tuple[Grid, int, int]:
    """Read the ground, and give a cell near its middle that can be walked on."""
    grid = Grid(np.load(folder() / "z.npy"), "EPSG:32617", 500_000.0, 4_500_000.0, CELL_M, CELL_M)
    row, col = np.load(folder() / "start.npy")
    return grid, int(row), int(col)


def ours() -> dict[str, Any]:
    """Time one search to all cells."""
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415
    from tendline.core.settings import WalkCosts  # noqa: PLC0415
    from tendline.terrain.isochrone import time_to_all  # noqa: PLC0415
    from tendline.terrain.ready import warm_up  # noqa: PLC0415

    grid, row, col = ground()
    warm_up()
    start = Projector(grid.crs).to_lonlat(*grid.centre_of(row, col))
    field, seconds, grown = worked(lambda: time_to_all(grid, start, limit_s=1e6, costs=WalkCosts()))
    np.save(folder() / "ours.npy", field.seconds)
    return {"seconds": seconds, "grown_mb": grown}


def tiles() -> dict[str, Any]:
    """Time the same search in tiles, as is done where the ground is too large for one."""
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415
    from tendline.core.settings import WalkCosts  # noqa: PLC0415
    from tendline.terrain import isochrone  # noqa: PLC0415
    from tendline.terrain.ready import warm_up  # noqa: PLC0415

    grid, row, col = ground()
    warm_up()
    isochrone.WHOLE_CELLS = 0
    start = Projector(grid.crs).to_lonlat(*grid.centre_of(row, col))
    field, seconds, grown = worked(lambda: isochrone.time_to_all(grid, start, limit_s=1e6, costs=WalkCosts()))
    same = bool(np.array_equal(field.seconds, np.load(folder() / "ours.npy")))
    return {"seconds": seconds, "grown_mb": grown, "same": same}


def window() -> dict[str, Any]:
    """Time searches from one place to 100 others within a window of 1,000 x 1,000 cells, ways and all."""
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415
    from tendline.core.settings import WalkCosts  # noqa: PLC0415
    from tendline.terrain.ready import warm_up  # noqa: PLC0415
    from tendline.terrain.walk import walk_matrix  # noqa: PLC0415
    from tests.walk_reference import too_steep  # noqa: PLC0415

    grid, row, col = ground()
    half = WINDOW // 2
    part_of = grid.window(row - half, row + half, col - half, col + half)
    warm_up()
    open_cells = np.argwhere(~too_steep(part_of.z.astype(np.float64), CELL_M, CELL_M, 0.7))
    chosen = np.random.default_rng(4).permutation(open_cells)[: TARGETS + 1]
    to = Projector(part_of.crs).to_lonlat
    places = {f"p{k}": to(*part_of.centre_of(int(r), int(c))) for k, (r, c) in enumerate(chosen)}
    found, seconds, _ = worked(lambda: walk_matrix(part_of, places, costs=WalkCosts()))
    return {"seconds": seconds / len(places), "found": float(np.isfinite(found.seconds).mean())}


def theirs() -> dict[str, Any]:
    """Time scipy: the graph, and one search."""
    from scipy.sparse.csgraph import dijkstra  # noqa: PLC0415

    from tests.walk_reference import BLOCKED, graph, too_steep  # noqa: PLC0415

    grid, row, col = ground()
    z = grid.z.astype(np.float64)
    state = np.where(too_steep(z, CELL_M, CELL_M, 1.0), BLOCKED, 0).astype(np.uint8)
    none, steepest = np.zeros((1, 1), np.float32), math.tan(math.radians(45))
    edges, build, _ = worked(
        lambda: graph(z, state, none, dx=CELL_M, dy=CELL_M, factor=1 / 0.6, steepest=steepest)
    )
    held = (edges.data.nbytes + edges.indices.nbytes + edges.indptr.nbytes) / 1e6
    times, seconds, grown = worked(lambda: dijkstra(edges, indices=row * grid.shape[1] + col))
    np.save(folder() / "theirs.npy", times.reshape(grid.shape).astype(np.float32))
    return {"build": build, "solve": seconds, "grown_mb": held + grown}


def main() -> None:
    """Measure and print."""
    if not Path("/proc/self/clear_refs").exists():
        print("one to all: skipped, because peaks of memory are read from /proc, which this system lacks")
        return
    size = cells()
    with tempfile.TemporaryDirectory() as held:
        os.environ["TENDLINE_BENCH"] = held
        grid = hills(size)
        known = np.argwhere(np.isfinite(grid.z[size // 2 : size // 2 + 9, size // 2 : size // 2 + 9]))
        np.save(folder() / "z.npy", grid.z)
        np.save(folder() / "start.npy", known[0] + size // 2)
        told = {name: part(f"{name}()", of="everywhere") for name in ("ours", "tiles", "window", "theirs")}
        found, expected = np.load(folder() / "ours.npy"), np.load(folder() / "theirs.npy")
    our, scipy = told["ours"], told["theirs"]
    same = np.isfinite(found) & np.isfinite(expected)
    off = float(np.max(np.abs(found[same] - expected[same]) / np.maximum(expected[same], 1.0)))
    whole = scipy["build"] + scipy["solve"]
    print(f"one to all, {size} x {size} cells, 16 moves, one thread, processor time")
    print(f"  scipy, graph + solve {whole:7.1f} s, solve alone {scipy['solve']:7.1f} s")
    print(
        f"  ours {our['seconds']:7.1f} s: {whole / our['seconds']:.1f} and "
        f"{scipy['solve'] / our['seconds']:.1f} times as fast; wanted: 8 and 3"
    )
    memory = scipy["grown_mb"] / our["grown_mb"]
    print(f"  memory {our['grown_mb']:.0f} MB against {scipy['grown_mb']:.0f}: 1/{memory:.0f}; wanted: 1/10")
    print(f"  greatest difference of the times: {off:.1e}, reached alike: {same.mean():.3f}")
    tiled = told["tiles"]
    print(
        f"  in tiles: {tiled['seconds'] / our['seconds']:.1f} times as long, {tiled['grown_mb']:.0f} MB, "
        f"{'the very same times' if tiled['same'] else 'OTHER TIMES'}"
    )
    seconds = told["window"]["seconds"]
    print(f"  {TARGETS} targets in {WINDOW} x {WINDOW} cells: {seconds:.2f} s a start; wanted: 0.5")


if __name__ == "__main__":
    main()
