"""How long a person waits for `--help` and for `due` on a long record, beside bounds that cannot be beaten.

Bounds: for `--help`, starting Python and importing click; for `due`, reading the same rows and their JSON.
"""

import json
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendline.jobs.due import due
from tendline.jobs.start import start
from tendline.jobs.workspace import Workspace, open_workspace

SETS, EVENTS = 300, 20_000
NOW = datetime(2027, 1, 12, 11, tzinfo=UTC)
FINE = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}


def best(work: Callable[[], object], times: int = 5) -> float:
    """Give the shortest of several runs [s]."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)


def long_record(folder: str) -> Workspace:
    """Make a line of `SETS` sets with `EVENTS` events."""
    start(folder, zone="America/New_York", handler="Ann", profiles=("us-pa",))
    space = open_workspace(folder, at=NOW.isoformat())
    first = NOW - timedelta(days=70)
    from tendline.core.place import Fix, LonLat  # noqa: PLC0415

    drafts = []
    for k in range(SETS):
        fix = Fix(LonLat(-78.0 - k * 1e-3, 41.5))
        drafts.append(space.draft("device-built", {"tag": str(k)}, happened_at=first))
        drafts.append(space.draft("set-made", {"set": f"N{k}", "tag": str(k)}, happened_at=first, fix=fix))
    day = 0
    while len(drafts) < EVENTS:
        day += 1
        for k in range(min(SETS, EVENTS - len(drafts))):
            when = first + timedelta(days=day, seconds=k)
            drafts.append(space.draft("check", {"set": f"N{k}", **FINE}, happened_at=when))
    with space.store() as store, store.transaction():
        store.append(drafts)
    return space


def bare_read(space: Workspace) -> None:
    """Read the rows and their JSON, and nothing more."""
    with sqlite3.connect(space.folder / "logbook.db") as raw:
        for row in raw.execute("SELECT * FROM events"):
            json.loads(row[11])


def main() -> None:
    """Print the table."""
    python = best(lambda: subprocess.run([sys.executable, "-c", "import click"], check=True))
    call = [sys.executable, "-m", "tendline.cli", "--help"]
    shown = best(lambda: subprocess.run(call, check=True, stdout=subprocess.DEVNULL))
    print(f"tendline --help          {shown:6.3f} s = {shown / python:4.1f} x Python with click (goal 0.3 s)")
    with tempfile.TemporaryDirectory() as scratch:
        space = long_record(str(Path(scratch) / "line"))
        floor = best(lambda: bare_read(space))
        job = best(lambda: due(space))
        whole = best(
            lambda: subprocess.run(
                [
                    sys.executable,
                    "-m",
                    "tendline.cli",
                    "due",
                    "--line",
                    str(space.folder),
                    "--at",
                    NOW.isoformat(),
                ],
                check=False,
                stdout=subprocess.DEVNULL,
            ),
            times=3,
        )
    print(f"due, {SETS} sets, {EVENTS} events: job {job:5.3f} s = {job / floor:4.1f} x reading rows and JSON")
    with tempfile.TemporaryDirectory() as scratch:
        folder = str(Path(scratch) / "line")
        words = [sys.executable, "-m", "tendline.cli", "demo", folder]
        example = best(
            lambda: subprocess.run([*words, "--fresh"], check=True, stdout=subprocess.DEVNULL), times=1
        )
    print(f"tendline demo            {example:6.1f} s (goal 60 s)")
    print(f"the whole due command    {whole:6.3f} s (goal 1 s)")


if __name__ == "__main__":
    main()
