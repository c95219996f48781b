"""A real browser for the tests of the field page, and a server beside it that can be stopped and started."""

import contextlib
import json
import os
import shutil
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tendline.jobs.round import Asked
from tendline.jobs.serve import Desk, open_desk
from tendline.server.authority import Keys, keys_for
from tendline.server.run import LOOPBACK, Address, Running
from tests.journeys.run import done

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
ARGUMENTS = [
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--use-fake-device-for-media-stream",
]
PHONE = {"width": 412, "height": 915}
WHERE = {"longitude": -78.0095, "latitude": 41.5095, "accuracy": 8.0}
SETS = 12
ROOT = Path(__file__).parents[1]
SHOTS = ROOT / "build" / "screenshots"
SMALL = (
    "[...document.querySelectorAll('main button, main summary, label.file, dialog button')].filter("
    "e => e.offsetHeight > 0 && (e.offsetHeight < 56 || e.offsetWidth < 56)).map(e => e.outerHTML)"
)
"""Gives, in the page, what is too small to be tapped with gloves on."""
AXE = ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js"


def browser_path() -> str:
    """Find a browser; skip where there is none, fail where there must be one."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        why = "no Chromium on this machine: apt-get install chromium, or another system's package of it"
        if os.environ.get("CI"):
            pytest.fail(why)
        pytest.skip(why)
    return found


def axe() -> str:
    """Give the source of axe-core, which the build of the pages brings."""
    if not AXE.is_file():
        end = pytest.fail if os.environ.get("CI") else pytest.skip
        end("axe-core is not here: remove the built pages and call make web")
    return AXE.read_text(encoding="utf-8")


def open_phone(playwright: Playwright, folder: Path, *flags: str, **more: Any) -> BrowserContext:
    """Start a browser that keeps everything in a folder, as a phone does; `flags` are the browser's own."""
    options: dict[str, Any] = {
        "executable_path": browser_path(),
        "args": [*ARGUMENTS, *flags, *(["--no-sandbox"] if os.geteuid() == 0 else [])],
        "viewport": PHONE,
        "has_touch": True,
        "geolocation": WHERE,
        "permissions": ["geolocation"],
        **more,
    }
    context = playwright.chromium.launch_persistent_context(folder, **options)
    context.set_default_timeout(15_000)
    return context


def kill_browser(folder: Path) -> None:
    """Kill every process of the browser that lives in a folder, as a flat battery would."""
    mark = f"--user-data-dir={folder}".encode()
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                ours = mark in (entry / "cmdline").read_bytes()
            except OSError:
                continue
            if ours:
                os.kill(int(entry.name), signal.SIGKILL)


def live_line(folder: Path) -> str:
    """A line whose sets were looked at this time yesterday, so that the browser's own clock fits it."""
    line, now = str(folder), datetime.now(UTC)  # noqa: TID251 - the browser has the real clock
    made = (now - timedelta(hours=23)).isoformat(timespec="seconds")
    done(
        *("start", line, "--zone", "America/New_York", "--handler", "Ann Example", "--home=-78.02,41.505"),
        *("--profile", "xx-demo"),
    )
    square = "-78.02,41.50 -78.00,41.50 -78.00,41.52 -78.02,41.52"
    note = ("--line", line)
    done("note", "parcel", "mill", "--outline", square, "--owner", "Jo Mill (invented)", *note)
    done("note", "parking", "gate", "--parcels", "mill", "--at-place=-78.009,41.509", *note)
    for number in range(1, SETS + 1):
        place = f"--at-place=-78.01{number % 10},41.51{number // 3},5"
        told = ("--happened", made, place, "--tag", str(100 + number), "--landmark", f"post {number}")
        done("note", "set-made", f"N{number}", "--parcel", "mill", *told, *note)
    return line


def free_port() -> int:
    """Find a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Machine:
    """The machine at home: a line, served from threads of this process, that can be stopped and started.

    Parameters
    ----------
    line
        The line folder.
    """

    def __init__(self, line: str) -> None:
        self.line = line
        self.port = free_port()
        self.where = Address("127.0.0.1", self.port, LOOPBACK)
        self.url = self.where.url
        start = datetime.now(UTC) + timedelta(minutes=1)  # noqa: TID251 - as above
        asked = Asked(
            start=start.isoformat(timespec="seconds"),
            back=(start + timedelta(hours=8)).isoformat(timespec="seconds"),
            seconds=None,
            iterations=50,
        )
        self.desk: Desk = open_desk(line, at=None, units=None, asked=asked)
        assert self.desk.plan() == ""
        self._running: Running | None = None
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Serve."""
        ready = threading.Event()
        self._running = Running(self.desk, [self.where])
        self._thread = threading.Thread(target=self._running.serve, args=(ready.set,), daemon=True)
        self._thread.start()
        assert ready.wait(10)

    def stop(self) -> None:
        """Be gone, as a machine that sleeps."""
        if self._running is not None and self._thread is not None:
            self._running.stop()
            self._thread.join(10)
            assert not self._thread.is_alive()
        self._running = None

    def on_lan(self, name: str) -> Keys:
        """Be reached by a private name over TLS from now on."""
        keys = keys_for(self.desk.folder, (name,), now=self.desk.now())
        self.where = Address("127.0.0.1", self.port, (name,), keys)
        self.url = self.where.url
        return keys

    def pairing(self, person: str = "") -> str:
        """Give an address to open on a phone."""
        return f"{self.url}#pair={self.desk.offer(person).word}"

    def checks(self) -> list[str]:
        """Give the sets checked on record, in the order of writing."""
        return [str(event.body["set"]) for event in self.desk.space().events() if event.kind == "check"]


@contextmanager
def served(line: str) -> Iterator[Machine]:
    """Serve a line while a test runs."""
    machine = Machine(line)
    machine.start()
    try:
        yield machine
    finally:
        machine.stop()


def arrive(page: Page, url: str) -> None:
    """Open the page for the first time, until it can do without the machine."""
    page.goto(url)
    page.wait_for_selector("h1.set")
    page.wait_for_selector("html[data-offline=ready]", state="attached")


def fine(page: Page) -> str:
    """Note the next set as fine, with two taps; give its name."""
    name = page.inner_text("h1.set")
    page.tap("button.working")
    page.tap("button.save")
    page.wait_for_selector(f"text={name} saved")
    return name


def many_sets(carried: dict[str, Any], count: int) -> dict[str, Any]:
    """Give a round like another one, of so many sets in a grid, without a plan."""
    first = carried["sets"][0]
    lon, lat = first["place"]
    sets = [
        {
            **first,
            "name": f"K{n}",
            "landmark": f"oak {n}",
            "place": [lon + n % 20 * 6e-4, lat + n // 20 * 6e-4],
        }
        for n in range(1, count + 1)
    ]
    return {**carried, "sets": sets, "plan": None, "why_no_plan": "it has none.", "walks": []}


def killed_at_random(
    playwright: Playwright, machine: Machine, folder: Path, *, rounds: int, seed: int
) -> tuple[list[str], list[str]]:
    """Note one set after the other as fine, and kill the browser at random moments, again and again.

    Returns
    -------
    list, list
        Sets that were shown as saved, and sets whose checks came to the machine in the end.
    """
    chance, shown, file = np.random.default_rng(seed), list[str](), folder.with_suffix(".json")
    phone = open_phone(playwright, folder)
    arrive(phone.pages[0], machine.pairing())
    file.write_text(json.dumps(many_sets(machine.desk.carried(), 300)), encoding="utf-8")
    machine.stop()
    phone.pages[0].tap("nav >> text=Outbox")
    phone.pages[0].set_input_files("label.file input", file)
    phone.pages[0].wait_for_selector("text=The round is taken in")
    for _ in range(rounds):
        killer = threading.Timer(chance.uniform(0, 1.2), kill_browser, [folder])
        killer.start()
        with contextlib.suppress(Error):  # it dies at any tap
            page = phone.pages[0]
            page.tap("nav >> text=Next")
            while True:
                page.wait_for_selector("h1.set")
                shown.append(fine(page))
        killer.join()
        with contextlib.suppress(Error):
            phone.close()
        phone = open_phone(playwright, folder)
        phone.pages[0].goto(machine.url)
        phone.pages[0].wait_for_selector("h1.set")
    machine.start()
    page = phone.pages[0]
    page.tap("nav >> text=Outbox")
    page.tap("text=Send now")
    page.wait_for_selector("text=all sent", timeout=60_000)
    phone.close()
    return shown, machine.checks()


def until(page: Page, say: Callable[[], object], seconds: float = 15.0) -> None:
    """Wait for something to hold; the page goes on meanwhile."""
    end = time.monotonic() + seconds
    while not say():
        assert time.monotonic() < end, "it did not come to hold"
        page.wait_for_timeout(50)
