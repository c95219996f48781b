"""Many phones at once, and the machine killed at any instant: nothing lost, nothing doubled; and how long.

Real processes over real sockets. The bound beside the time of a message is what the disk asks for one
transaction of the same rows (SQLite, WAL, synchronous=FULL).
"""

import json
import os
import signal
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import numpy as np

from tendline.core.ids import uuid7
from tendline.jobs.demo import demo

PHONES, EVENTS, BATCH = 30, 2_000, 200
KILLS = 100
SMALL = 20
FINE = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}


def entries(count: int, names: Sequence[str], rng: np.random.Generator) -> list[dict[str, Any]]:
    """Make checks of the last hours, as a phone writes them."""
    now = datetime.now(UTC)  # noqa: TID251 - the server has the real clock
    made = []
    for number in range(count):
        at = (now - timedelta(seconds=int(rng.integers(60, 70_000)), microseconds=number)).isoformat()
        made.append(
            {
                "id": uuid7(now + timedelta(microseconds=number), rng.bytes(8)),
                "kind": "check",
                "version": 1,
                "happened_at": at,
                "recorded_at": at,
                "by": "Ann",
                "place": None,
                "body": {"set": str(names[number % len(names)]), **FINE},
            }
        )
    return made


class Machine:
    """`tendline serve` in a process of its own, that can be killed."""

    def __init__(self, line: str, port: int) -> None:
        self.line, self.port, self.url = line, port, f"http://localhost:{port}"
        self._process: subprocess.Popen[str] | None = None
        self.pair = ""
        self.said: dict[str, Any] = {}

    def start(self) -> None:
        """Start it, and wait until it answers."""
        words = ["serve", "--line", self.line, "--port", str(self.port), "--json", "--iterations", "1"]
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tendline.cli", *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert self._process.stdout is not None
        self.said = json.loads(self._process.stdout.readline())
        self.pair = str(self.said["pair"]).split("=", 1)[1]

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop or kill it."""
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(30)
            assert self._process.stdout is not None
            self._process.stdout.close()

    def headers(self, key: str = "") -> dict[str, str]:
        """Give what the page sends with everything."""
        sent = {"origin": self.url, "x-tendline": "1", "content-type": "application/json"}
        return {**sent, "authorization": f"Bearer {key}"} if key else sent

    def key(self) -> str:
        """Pair, and give the phone's key."""
        answer = httpx.post(f"{self.url}/api/pair", json={"word": self.pair}, headers=self.headers())
        return str(answer.json()["key"])


def message(batch: Sequence[dict[str, Any]]) -> bytes:
    """Wrap entries as they go over the air."""
    return json.dumps({"tendline": "phone-events", "version": 1, "via": "x", "events": batch}).encode()


def send(machine: Machine, key: str, left: Sequence[dict[str, Any]]) -> httpx.Response:
    """Send the first of what is left."""
    content = message(left[:BATCH])
    return httpx.post(f"{machine.url}/api/events", content=content, headers=machine.headers(key), timeout=60)


def many_phones(machine: Machine, names: Sequence[str]) -> None:
    """Send everything of every phone at once; each sends again until it is acknowledged."""
    from tendline.jobs.round import Asked  # noqa: PLC0415
    from tendline.jobs.serve import open_desk  # noqa: PLC0415

    desk = open_desk(machine.line, at=None, units=None, asked=Asked())
    told = [entries(EVENTS, names, np.random.default_rng(n)) for n in range(PHONES)]
    times: list[float] = []

    def phone(number: int) -> None:
        paired = desk.pair(desk.offer().word, f"phone {number}")
        assert paired is not None
        headers, left = machine.headers(paired[1]), list(told[number])
        with httpx.Client(timeout=60) as client:
            while left:
                began = time.perf_counter()
                content = message(left[:BATCH])
                answer = client.post(f"{machine.url}/api/events", content=content, headers=headers)
                if answer.status_code in (429, 503):
                    time.sleep(0.5)
                    continue
                times.append(time.perf_counter() - began)
                acked = set(answer.json()["acked"])
                left = [one for one in left if one["id"] not in acked]

    threads = [threading.Thread(target=phone, args=(n,)) for n in range(PHONES)]
    began = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    whole = time.perf_counter() - began
    lost, doubled = accounts(machine.line, [one["id"] for each in told for one in each])
    print(f"{PHONES} phones x {EVENTS} events: lost {lost}, doubled {doubled}; {whole:.1f} s in all")
    print(
        f"  a message of {BATCH} with {PHONES} in line: median {statistics.median(times) * 1e3:.0f} ms,"
        f" p95 {sorted(times)[int(len(times) * 0.95)] * 1e3:.0f} ms"
    )


def accounts(line: str, ids: Sequence[str]) -> tuple[int, int]:
    """Count what was offered and is not on record, and what is there more than once."""
    with sqlite3.connect(Path(line) / "logbook.db") as raw:
        kept = [row[0] for row in raw.execute("SELECT id FROM events")]
    raw.close()
    return len(set(ids) - set(kept)), len(kept) - len(set(kept))


def one_message(machine: Machine, names: Sequence[str]) -> None:
    """Time 300 events alone, beside what the disk asks for the same rows."""
    headers, times = machine.headers(machine.key()), []
    with httpx.Client(timeout=60) as client:
        for number in range(12):
            batch = message(entries(300, names, np.random.default_rng(1000 + number)))
            began = time.perf_counter()
            client.post(f"{machine.url}/api/events", content=batch, headers=headers).raise_for_status()
            times.append(time.perf_counter() - began)
    bound = bare_disk(300)
    best = statistics.median(times[2:])
    print(f"300 events in one message: median {best * 1e3:.1f} ms, {best / bound:.1f} x the bare disk")


def bare_disk(rows: int) -> float:
    """Time one transaction of so many rows, and nothing else [s]."""
    with tempfile.TemporaryDirectory() as folder:
        raw = sqlite3.connect(Path(folder) / "x.db", isolation_level=None)
        raw.execute("PRAGMA journal_mode=WAL")
        raw.execute("PRAGMA synchronous=FULL")
        raw.execute("CREATE TABLE t (id TEXT UNIQUE, body TEXT)")
        found = []
        for turn in range(8):
            began = time.perf_counter()
            raw.execute("BEGIN IMMEDIATE")
            raw.executemany("INSERT INTO t VALUES (?, ?)", [(f"{turn}-{k}", "x" * 400) for k in range(rows)])
            raw.execute("COMMIT")
            found.append(time.perf_counter() - began)
        raw.close()
    return statistics.median(found)


def killed_machine(machine: Machine, names: Sequence[str], kills: int = KILLS) -> tuple[int, int, int]:
    """Kill the machine while a phone sends, again and again; the phone sends until it is acknowledged.

    Returns
    -------
    int, int, int
        Events offered, lost and doubled.
    """
    rng = np.random.default_rng(7)
    machine.start()
    key, offered, left = machine.key(), [], []
    for turn in range(kills):
        made = entries(SMALL, names, np.random.default_rng(5000 + turn))
        offered += [one["id"] for one in made]
        left += made
        killer = threading.Timer(float(rng.uniform(0, 0.03)), machine.stop, [signal.SIGKILL])
        killer.start()
        try:
            while left:
                answer = send(machine, key, left)
                acked = set(answer.json()["acked"])
                left = [one for one in left if one["id"] not in acked]
        except httpx.HTTPError:
            pass
        killer.join()
        machine.start()
    while left:
        answer = send(machine, key, left)
        acked = set(answer.json()["acked"])
        left = [one for one in left if one["id"] not in acked]
    machine.stop()
    lost, doubled = accounts(machine.line, offered)
    return len(offered), lost, doubled


def tell_kills(machine: Machine, names: Sequence[str]) -> None:
    """Print what came of the kills."""
    offered, lost, doubled = killed_machine(machine, names)
    print(f"killed at {KILLS} random instants, {offered} events offered: lost {lost}, doubled {doubled}")


def main() -> None:
    """Print every figure."""
    with tempfile.TemporaryDirectory() as folder:
        line, other = os.path.join(folder, "line"), os.path.join(folder, "other")  # noqa: PTH118
        for one in (line, other):
            demo(one, tell=lambda _: None)
        from tendline.jobs.workspace import open_workspace  # noqa: PLC0415

        names = [one.name for one in open_workspace(line).line().in_field]
        machine = Machine(line, 18_765)
        machine.start()
        try:
            one_message(machine, names)
            many_phones(machine, names)
        finally:
            machine.stop()
        tell_kills(Machine(other, 18_766), names)


if __name__ == "__main__":
    main()
