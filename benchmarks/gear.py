"""The loop of an animal from a cold start of the command, beside a bound that cannot be beaten.

On the invented example, and on a record of twenty thousand events. The bound: starting Python, importing
click, and reading the rows of the same record with their JSON.
"""

import json
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

from benchmarks.command import NOW, best, long_record
from tendline.jobs.demo import demo
from tendline.jobs.workspace import open_workspace

GOAL_S = 0.5
AT = "2027-01-14T20:30-04:00"

_BARE = (
    "import click, json, sqlite3, sys\n"
    "for row in sqlite3.connect(sys.argv[1]).execute('SELECT * FROM events'): json.loads(row[11])\n"
)


def events(folder: Path) -> int:
    """Count the events of a line."""
    with sqlite3.connect(folder / "logbook.db") as raw:
        return int(raw.execute("SELECT count(*) FROM events").fetchone()[0])


def measure(name: str, folder: Path, at: str) -> None:
    """Print one line: seconds, and the ratio to the bound."""
    call = [sys.executable, "-m", "tendline.cli", "gear", "loop", "coyote", "--line", str(folder), "--at", at]
    bare = [sys.executable, "-c", _BARE, str(folder / "logbook.db")]
    asked = subprocess.run([*call, "--json"], check=False, capture_output=True, text=True)
    assert json.loads(asked.stdout)["animal"] == "coyote"
    whole = best(lambda: subprocess.run(call, check=False, stdout=subprocess.DEVNULL))
    floor = best(lambda: subprocess.run(bare, check=True))
    print(
        f"{name:<14}{events(folder):>8} events   {whole:6.3f} s = {whole / floor:4.1f} x the bound "
        f"(goal {GOAL_S:g} s)"
    )


def main() -> None:
    """Print a line for the example and one for a long record."""
    with tempfile.TemporaryDirectory() as scratch:
        demo(str(Path(scratch) / "demo"), at=AT, tell=lambda _: None)
        measure("the example", Path(scratch) / "demo", AT)
        space = long_record(str(Path(scratch) / "line"))
        measure("a long record", open_workspace(str(space.folder)).folder, NOW.isoformat())


if __name__ == "__main__":
    main()
