"""How long a person waits for Tonight, and how much the desk page weighs.

Real processes over real sockets; the browser is the Chromium on this machine, where there is one. The bound
beside the answers is what reading the same rows and their JSON takes, and nothing more.
"""

import gzip
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx

from benchmarks import command
from tendline.jobs.demo import demo
from tendline.jobs.workspace import Workspace, open_workspace
from tendline.server.pages import load_pages

EVENING = "2027-01-15T20:00"
SETS, EVENTS = 1_000, 50_000
ASKS = ("tonight", "tonight-law", "tonight-weather")


def seconds(work: Callable[[], object]) -> float:
    """Time one call [s]."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


class Served:
    """`tendline serve` in a process of its own."""

    def __init__(self, line: str, at: str, port: int) -> None:
        words = ["--line", line, "--at", at, "--start", "05:00", "--back", "12:00", "--iterations", "20"]
        call = [sys.executable, "-m", "tendline.cli", "serve", *words, "--port", str(port), "--json"]
        self._process = subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        assert self._process.stdout is not None
        self.address = str(json.loads(self._process.stdout.readline())["desk"])

    def stop(self) -> None:
        """End it."""
        self._process.terminate()
        self._process.wait(20)


def let_in(address: str) -> httpx.Client:
    """Pair as a browser does."""
    url, word = address.split("desk#pair=")
    ours = {"origin": url.rstrip("/"), "sec-fetch-site": "same-origin", "x-tendline": "1"}
    client = httpx.Client(base_url=url, headers=ours, timeout=120)
    key = client.post("api/pair", json={"word": word}).json()["key"]
    client.headers["authorization"] = f"Bearer {key}"
    return client


def shown(address: str) -> list[float]:
    """Open the page three times in a browser; give when Tonight was whole [s]."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    found = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1366, "height": 768})
        for turn in range(3):
            began = time.perf_counter()
            page.goto(address) if turn == 0 else page.reload()
            page.wait_for_selector("[data-ready=yes]")
            found.append(time.perf_counter() - began)
        browser.close()
    return found


def tell(name: str, space: Workspace, at: str, port: int) -> None:
    """Print the times of one line."""
    floor = command.best(lambda: command.bare_read(space), 3)
    served = Served(str(space.folder), at, port)
    try:
        client = let_in(served.address)

        def ask() -> Any:
            return [client.post(f"api/desk/{one}", json={}).raise_for_status() for one in ASKS]

        cold = seconds(ask)
        warm = min(seconds(ask) for _ in range(3))
        print(f"{name}: Tonight in {cold:.2f} s just after the start, {warm:.2f} s after that,")
        print(f"  {warm / floor:.1f} x reading the rows alone")
        if shutil.which("chromium"):
            word = client.post("api/desk/offer", json={"for": "desk"}).json()["answer"]["url"]
            local = f"{served.address.split('desk#')[0]}desk#{word.split('#')[1]}"
            times = ", ".join(f"{one:.2f}" for one in shown(local))
            print(f"  in a browser: whole after {times} s")
    finally:
        served.stop()


def weight() -> None:
    """Print how much the page weighs, as it is sent and gzipped."""
    pages = load_pages().content
    wanted = {name: content for name, content in pages.items() if name.endswith((".js", ".css", "desk.html"))}
    phone = sum(len(gzip.compress(c)) for n, c in wanted.items() if "desk" not in n)
    own = sum(len(gzip.compress(c)) for n, c in wanted.items() if "desk" in n)
    print(
        f"desk page: {own / 1000:.0f} kB gzipped of its own, {(own + phone) / 1000:.0f} kB with all it shares"
    )


def main() -> None:
    """Print the table."""
    weight()
    with tempfile.TemporaryDirectory() as scratch:
        line = str(Path(scratch) / "demo")
        demo(line, at=EVENING, tell=lambda _: None)
        tell("demo line", open_workspace(line, at=EVENING), EVENING, 8871)
        command.SETS, command.EVENTS = SETS, EVENTS
        space = command.long_record(str(Path(scratch) / "long"))
        tell(f"{SETS} sets, {EVENTS} events", space, command.NOW.isoformat(), 8872)


if __name__ == "__main__":
    main()
