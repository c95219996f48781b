"""Owns the measure of current across an area: 1,000 to 4,000 cells a side against pyamg and a direct solver.

Does not own any promise: what it prints is what this machine did in this run.

Everybody gets the same ground and the same equations, and is stopped at the same residual. Each part runs in
a process of its own on one thread, so that its peak of memory and its processor time are its own.
"""

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from benchmarks.walk import measured

SIZES = (1000, 2000, 4000)
WANTED_S = {1000: 1.0, 2000: 5.0, 4000: 30.0}
THEIRS = (1000, 2000)
DIRECT = (1000,)
CHOLMOD = find_spec("sksparse_minimal") is not None
"""Whether the wheel `sksparse-minimal`, which has CHOLMOD inside, is installed: nothing else needs it."""

RESIDUAL = 1e-6
GROUNDS = ("smooth", "rough")
LIBRARY = {"splu": "scipy splu", "cholmod": "CHOLMOD"}
"""Those that solve directly; the others iterate."""


def ground(kind: str, size: int) -> npt.NDArray[np.float32]:
    """Make resistances from 1 to 100, two percent of the cells closed in blobs.

    ``smooth`` varies over hundreds of cells. ``rough`` has five classes of land with sharp borders, noise of
    a half, sixty lines one cell wide that are fifteen times easier, and twenty long walls with gaps.
    """
    chance = np.random.default_rng(1)
    height = field(size, 1.8, chance)
    height = (height - height.min()) / (height.max() - height.min())
    r = 10.0 ** (2.0 * height)
    if kind == "rough":
        r = 10.0 ** (np.floor(5.0 * np.minimum(height, 0.999)) / 2.0)
        r *= 1.0 + 0.5 * chance.uniform(-1.0, 1.0, r.shape)
        for _ in range(60):
            row, col, long = (int(chance.integers(size)) for _ in range(3))
            if chance.random() < 0.5:
                r[row, col : col + long] /= 15.0
            else:
                r[row : row + long, col] /= 15.0
    blobs = field(size, 1.6, chance)
    r[blobs > np.quantile(blobs, 0.98)] = np.inf
    if kind == "rough":
        for _ in range(20):
            row, col, gap = (int(chance.integers(size)) for _ in range(3))
            held = r[row, gap : gap + 8].copy()
            r[row, col : col + size // 3] = np.inf
            r[row, gap : gap + 8] = held
    return np.asarray(r, np.float32)


def field(size: int, fall: float, chance: np.random.Generator) -> npt.NDArray[np.float64]:
    """Make smooth random relief by filtering noise with a power law."""
    wave = np.hypot(np.fft.fftfreq(size)[:, None], np.fft.rfftfreq(size)[None, :])
    wave[0, 0] = np.inf
    noise = chance.normal(size=(2, *wave.shape))
    made: npt.NDArray[np.float64] = np.fft.irfft2((noise[0] + 1j * noise[1]) * wave**-fall, s=(size, size))
    return made


def ours(kind: str, size: int) -> dict[str, Any]:
    """Time one direction of `terrain.across`, all that belongs to it."""
    from tendline.terrain.across import Direction, across  # noqa: PLC0415
    from tendline.terrain.ready import warm_up_current  # noqa: PLC0415

    r = ground(kind, size)
    warm_up_current()
    found, seconds, grown, own = timed(lambda: across(r, Direction.WEST_EAST, tolerance=RESIDUAL))
    return {
        "s": seconds,
        "cpu": own,
        "mb": grown,
        "steps": found.flow.steps,
        "residual": found.flow.residual,
        "conductance": found.conductance,
    }


def equations(kind: str, size: int) -> tuple[Any, npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Give the matrix, what is let in, and the western ties, for the cells that current reaches."""
    from scipy.sparse import coo_array  # noqa: PLC0415

    from tendline.terrain.current import solve, ties_of  # noqa: PLC0415

    r = ground(kind, size)
    ties = ties_of(r)
    into, out = np.zeros(r.shape), np.zeros(r.shape)
    with np.errstate(divide="ignore"):
        into[:, 0], out[:, -1] = 2.0 / r[:, 0].astype(np.float64), 2.0 / r[:, -1].astype(np.float64)
    live = ~np.isnan(solve(ties, into + out, into, tolerance=1.0).v)
    number = np.cumsum(live.ravel()).reshape(r.shape) - 1
    parts = [
        (number[:, :-1], number[:, 1:], ties.e[1:-1, 1:-2]),
        (number[:-1], number[1:], ties.s[1:-2, 1:-1]),
    ]
    alive = [live[:, :-1] & live[:, 1:], live[:-1] & live[1:]]
    tied = [both & (tie > 0) for both, (_, _, tie) in zip(alive, parts, strict=True)]
    i = np.concatenate([a[t] for (a, _, _), t in zip(parts, tied, strict=True)])
    j = np.concatenate([b[t] for (_, b, _), t in zip(parts, tied, strict=True)])
    c = np.concatenate([tie[t] for (_, _, tie), t in zip(parts, tied, strict=True)]).astype(np.float64)
    count = int(live.sum())
    diagonal = np.bincount(i, c, count) + np.bincount(j, c, count) + (into + out)[live]
    n = np.arange(count)
    matrix = coo_array(
        (np.concatenate([-c, -c, diagonal]), (np.concatenate([i, j, n]), np.concatenate([j, i, n]))),
        shape=(count, count),
    ).tocsr()
    return matrix, into[live], into[live]


def theirs(kind: str, size: int, how: str) -> dict[str, Any]:
    """Time pyamg (``ruge-stueben``, ``aggregation``) with conjugate gradients, ``splu`` or ``cholmod``."""
    matrix, into, west = equations(kind, size)
    steps: list[float] = []

    def iterate() -> npt.NDArray[np.float64]:
        import pyamg  # noqa: PLC0415
        from scipy.sparse import csr_matrix  # noqa: PLC0415

        held = csr_matrix(matrix)
        make = pyamg.ruge_stuben_solver if how == "ruge-stueben" else pyamg.smoothed_aggregation_solver
        found: npt.NDArray[np.float64] = make(held).solve(into, tol=RESIDUAL, accel="cg", residuals=steps)
        return found

    def direct() -> npt.NDArray[np.float64]:
        from scipy.sparse.linalg import splu  # noqa: PLC0415

        held = splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
        found: npt.NDArray[np.float64] = held.solve(into)
        return found

    def factored() -> npt.NDArray[np.float64]:
        from scipy.sparse import csc_matrix  # noqa: PLC0415

        solver = import_module("sksparse_minimal").SparseCholesky(csc_matrix(matrix))
        found: npt.NDArray[np.float64] = solver.solve_A(into)
        return found

    v, seconds, grown, own = timed({"splu": direct, "cholmod": factored}.get(how, iterate))
    residual = float(np.linalg.norm(into - matrix @ v) / np.linalg.norm(into))
    conductance = float(west @ (1.0 - v))
    return {
        "s": seconds,
        "cpu": own,
        "mb": grown,
        "steps": max(len(steps) - 1, 0),
        "residual": residual,
        "conductance": conductance,
    }


def timed(work: Callable[[], Any]) -> tuple[Any, float, float, float]:
    """Measure, with the processor time of this process besides [s]: on a busy machine the fairer one."""
    before = time.process_time()
    found, seconds, grown = measured(work)
    return found, seconds, grown, time.process_time() - before


def first_run() -> dict[str, Any]:
    """Time the compiling that only the first run on a machine does."""
    from tendline.terrain.ready import warm_up_current  # noqa: PLC0415

    told, seconds, _ = measured(warm_up_current)
    assert told, "the compiler's store was not empty"
    return {"s": seconds}


def part(call: str, **extra: str) -> dict[str, Any]:
    """Run one part in a process of its own, on one thread."""
    code = f"import json; from benchmarks import current; print(json.dumps(current.{call}))"
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", **extra}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def main() -> None:
    """Measure and print."""
    import tempfile  # noqa: PLC0415

    if not Path("/proc/self/clear_refs").exists():
        print("current: skipped, because peaks of memory are read from /proc, which this system lacks")
        return
    with tempfile.TemporaryDirectory() as store:
        compiling = part("first_run()", NUMBA_CACHE_DIR=store)
    part("ours('smooth', 200)")
    print(f"current from west to east, four neighbours, residual {RESIDUAL:g}, one thread")
    print(f"  {'':34}{'s':>8}{'cpu s':>8}{'ratio':>8}{'MB':>8}{'steps':>7}{'residual':>10}")
    for kind in GROUNDS:
        per_cell = {}
        for size in SIZES:
            our = part(f"ours({kind!r}, {size})")
            per_cell[size] = our["cpu"] / size**2
            told(f"{kind}, {size:,}, ours", our, our)
            for how in (
                *(("ruge-stueben", "aggregation") if size in THEIRS else ()),
                *(("splu",) if size in DIRECT else ()),
                *(("cholmod",) if size in THEIRS and CHOLMOD else ()),
            ):
                their = part(f"theirs({kind!r}, {size}, {how!r})")
                told(f"{kind}, {size:,}, {LIBRARY.get(how, f'pyamg {how}')}", their, our)
                off = abs(our["conductance"] / their["conductance"] - 1.0)
                most = (
                    1e-4 * (size / SIZES[0]) ** 2
                )  # what is left of the equations counts for more on more cells
                assert how not in LIBRARY or off < most, f"the direct solver gives another answer: {off:.1e}"
                print(f"    whole conductance: ours off that by {off:.1e}")
            late = "" if our["s"] <= WANTED_S[size] else f", NOT MET; processor time {our['cpu']:.1f} s"
            print(f"    wanted: {WANTED_S[size]:g} s{late}")
        first, last = SIZES[0], SIZES[-1]
        growth = per_cell[last] / per_cell[first]
        print(
            f"  {kind}: processor time a cell at {last:,} over that at {first:,}: {growth:.2f}; 1 is linear"
        )
    if not CHOLMOD:
        print("  CHOLMOD: not measured, because sksparse-minimal is not installed here")
    print(f"  first run on a machine, compiling: {compiling['s']:.1f} s, once")


def told(name: str, one: dict[str, Any], our: dict[str, Any]) -> None:
    """Print one row."""
    row = f"{one['s']:8.2f}{one['cpu']:8.2f}{one['cpu'] / our['cpu']:8.1f}{one['mb']:8.0f}{one['steps']:7}"
    print(f"  {name:34}{row}{one['residual']:10.1e}", flush=True)


if __name__ == "__main__":
    main()
