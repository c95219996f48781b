"""Owns the measure of current over 100 million cells in bands, on two workers of a cluster of this machine.

Does not own any promise: what it prints is what this machine did in this run.

The ground is one of 2,500 cells a side, four by four times side by side without a seam.
"""

import os
import sys
import time
from pathlib import Path

import numpy as np

from benchmarks.current import ground

PIECE, TIMES = 2500, 4
WORKERS, LIMIT_GIB = 2, 4.0
RESIDUAL = 1e-6


def peak_gib() -> float:
    """Give the peak of memory of this process [GiB]."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(float(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 2**20


def compile_here() -> None:
    """Compile in a worker, so that it is not in the times."""
    from tendline.terrain.ready import warm_up_current  # noqa: PLC0415

    warm_up_current()


def main() -> None:
    """Measure and print."""
    if not Path("/proc/self/status").exists():
        print("county: skipped, because peaks of memory are read from /proc, which this system lacks")
        return
    from distributed import LocalCluster  # noqa: PLC0415

    from tendline.terrain.across import Direction  # noqa: PLC0415
    from tendline.terrain.bands import across_in_bands  # noqa: PLC0415

    times = int(os.environ.get("TENDLINE_COUNTY", TIMES))
    r = np.tile(ground("smooth", PIECE), (times, times))
    with LocalCluster(
        n_workers=WORKERS, threads_per_worker=1, processes=True, dashboard_address=None, memory_limit=0
    ) as cluster:
        client = cluster.get_client()
        client.run(compile_here)
        start = time.perf_counter()
        found = across_in_bands(
            r, Direction.WEST_EAST, tolerance=RESIDUAL, scheduler=cluster.scheduler_address
        )
        seconds = time.perf_counter() - start
        peaks = sorted(client.run(peak_gib).values())
        client.close()
    print(f"current over {r.size:,} cells in bands on {WORKERS} workers: {seconds:.0f} s")
    print(f"  {found.flow.steps} steps, residual {found.flow.residual:.1e}, imbalance {found.imbalance:.1e}")
    met = "" if max(peaks) <= LIMIT_GIB else ", NOT MET"
    print(f"  peak of memory: workers {', '.join(f'{peak:.2f}' for peak in peaks)} GiB", end="")
    print(f" (wanted: {LIMIT_GIB:g} each{met}), here {peak_gib():.2f} GiB")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
