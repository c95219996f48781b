"""One season with plots, and an agency's ten years by county: seconds, memory, and how cost grows.

The record is invented, written straight into a logbook. The plain pass is one reading of the same rows out of
the same file: what any count must do at least.
"""

import os
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tendline.jobs.season_counties import by_counties
from tendline.jobs.start import start
from tendline.jobs.workspace import LOGBOOK, open_workspace
from tendline.season.columns_queries import KINDS

SEASONS, NIGHTS = 10, 66
LIMIT_ONE_S, LIMIT_TEN_S, LIMIT_KB = 3.0, 30.0, 2 * 1024 * 1024
SIZES = (10_000, 100_000, 1_000_000)
LONG = "TENDLINE_BENCH_LONG"
"""With this in the environment the five million events are counted as well; making them takes minutes."""

_FILL = """
INSERT INTO events
  (id, kind, version, happened_at, recorded_at, by, via, lon, lat, accuracy_m, body, prev, hash)
WITH RECURSIVE
  seasons(y) AS (SELECT 0 UNION ALL SELECT y + 1 FROM seasons WHERE y + 1 < :seasons),
  days(d) AS (SELECT 0 UNION ALL SELECT d + 1 FROM days WHERE d < :nights + 1),
  sets(s) AS (SELECT 0 UNION ALL SELECT s + 1 FROM sets WHERE s + 1 < :sets),
  all_of AS (SELECT y, d, s, (s * 7919 + d * 104729 + y * 1299709) % 1000 AS r FROM seasons, days, sets)
SELECT printf('%d-%d-%d', y, d, s),
  CASE WHEN d = 0 THEN 'set-made' WHEN d = :nights + 1 THEN 'pulled' ELSE 'check' END, 1,
  strftime('%Y-%m-%dT%H:%M:%S',
    julianday((2017 + y) || '-12-20 10:00:00') + d + (s % 300) / 2880.0) || '.000000Z',
  '2017-01-01T00:00:00.000000Z', 'Ann', 'desk', -78.0, 41.5, 5.0,
  CASE WHEN d = 0 THEN printf('{"parcel":"p%d","set":"S%d","tag":"%d","loop_m":0.254}', s % 40, s, s + 1)
    WHEN d = :nights + 1 THEN printf('{"set":"S%d"}', s)
    WHEN r < 9 THEN printf('{"done":"remade","found_as":"holding","left_as":"working","set":"S%d",'
      || '"species":"coyote","what_happened":"caught-kept"}', s)
    WHEN r < 25 THEN printf('{"done":"rehung","found_as":"knocked-down","left_as":"working","set":"S%d",'
      || '"what_happened":"deer"}', s)
    ELSE printf('{"done":"looked","found_as":"working","left_as":"working","set":"S%d",'
      || '"what_happened":"nothing"}', s) END,
  '', ''
FROM all_of ORDER BY y, d, s
"""

_SQUARE = "[[[[-79,41],[-77,41],[-77,42],[-79,42],[-79,41]]]]"


def make(folder: Path, events: int, seasons: int) -> str:
    """Write an invented line of about so many events; give its folder."""
    start(str(folder), zone="America/New_York", name="Invented", handler="Ann", profiles=(), invented=True)
    sets = max(1, round(events / seasons / (NIGHTS + 2)))
    db = sqlite3.connect(folder / LOGBOOK, isolation_level=None)
    db.execute("PRAGMA synchronous=OFF")
    db.execute("BEGIN")
    for i in range(40):
        body = f'{{"county":"County {i % 8}","name":"p{i}","outline":{_SQUARE}}}'
        at = "2017-01-01T00:00:00.000000Z"
        db.execute(
            "INSERT INTO events (id, kind, version, happened_at, recorded_at, by, via, body, prev, hash)"
            " VALUES (?, 'parcel', 1, ?, ?, 'Ann', 'desk', ?, '', '')",
            (f"p{i}", at, at, body),
        )
    db.execute(_FILL, {"seasons": seasons, "nights": NIGHTS, "sets": sets})
    db.execute("COMMIT")
    db.close()
    return str(folder)


def one_season(line: str, folder: Path) -> float:
    """Run the command on one season, plots and all, in a process of its own [s]."""
    words = ["season", "--line", line, "--at", "2018-03-01T12:00", "--plots", str(folder / "plots")]
    begun = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "tendline.cli", *words], check=False, capture_output=True, text=True
    )
    taken = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        sys.exit(done.stderr)
    return taken


def plain_pass(line: str) -> float:
    """Read the same rows once [s]."""
    begun = time.perf_counter()
    with open_workspace(line).store() as store:
        for _ in store.plain_rows(KINDS):
            pass
    return time.perf_counter() - begun


def main() -> None:
    """Print seconds, memory and ratios."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        line = make(folder / "one", 20_000, 1)
        best = min(one_season(line, folder) for _ in range(2))
        print(f"300 sets, 20,000 events, plots  {best:6.2f} s  (asked: {LIMIT_ONE_S:g} s)")
        sizes = (*SIZES, 5_000_000) if os.environ.get(LONG) else SIZES
        for size in sizes:
            line = make(folder / f"ten-{size}", size, SEASONS)
            begun = time.perf_counter()
            answer = by_counties(open_workspace(line), (), nights="half-interval")
            taken, plain = time.perf_counter() - begun, plain_pass(line)
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
            print(
                f"{size:>9,} events by county  {taken:6.2f} s  {1e6 * taken / size:6.2f} us an event  "
                f"{taken / plain:4.1f} x one plain reading  {peak / 1024:6.0f} MB at most so far  "
                f"{len(answer.data['counties'])} rows"
            )
        print(f"asked for: 5,000,000 events in {LIMIT_TEN_S:g} s and {LIMIT_KB / 1024:.0f} MB")


if __name__ == "__main__":
    main()
