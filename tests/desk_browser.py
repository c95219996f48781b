"""The desk page in a real browser: a line served at a moment of one's choice, and a window let in."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from tendline.jobs.round import Asked
from tendline.jobs.serve import open_desk
from tests.browser import ARGUMENTS, SHOTS, Machine, axe, browser_path, free_port
from tests.journeys.run import done

LAPTOP = {"width": 1366, "height": 768}
TABLET = {"width": 820, "height": 1180}
EVENING = "2027-01-15T20:00"
"""When the demo line is looked at."""
OUTING = Asked(start="05:00", back="12:00", seconds=None, iterations=50)
_DEMO: list[Path] = []


def demo_line(folder: Path, scratch: Path) -> str:
    """Give a copy of the demo line at `EVENING`; built once for all tests of a process."""
    if not _DEMO or not _DEMO[0].exists():
        made = scratch / "demo"
        done("demo", str(made), "--at", EVENING)
        _DEMO[:] = [made]
    shutil.copytree(_DEMO[0], folder)
    return str(folder)


class DeskMachine(Machine):
    """The machine at home with its desk page.

    Parameters
    ----------
    folder
        The line folder, or an empty one.
    at
        A moment to pretend; None for the present.
    """

    def __init__(self, folder: str, *, at: str | None = EVENING) -> None:
        self.line = folder
        self.port = free_port()
        self.url = f"http://localhost:{self.port}/"
        self.desk = open_desk(folder, at=at, units=None, asked=OUTING)
        self._running = None
        self._thread = None


@contextmanager
def desk_served(folder: str, *, at: str | None = EVENING) -> Iterator[DeskMachine]:
    """Serve a folder while a test runs."""
    machine = DeskMachine(folder, at=at)
    machine.start()
    try:
        yield machine
    finally:
        machine.stop()


@contextmanager
def window(playwright: Playwright, **more: Any) -> Iterator[BrowserContext]:
    """Open a browser as on a laptop."""
    browser: Browser = playwright.chromium.launch(
        executable_path=browser_path(),
        args=[*ARGUMENTS, *(["--no-sandbox"] if os.geteuid() == 0 else [])],
    )
    context = browser.new_context(**{"viewport": LAPTOP, "accept_downloads": True, **more})
    context.set_default_timeout(15_000)
    try:
        yield context
    finally:
        browser.close()


def let_in(context: BrowserContext, machine: DeskMachine, view: str = "tonight") -> Page:
    """Open the desk page at a view; whatever goes wrong inside the page fails the test."""
    page = context.new_page()
    page.on("pageerror", _fail)
    page.goto(f"{machine.url}desk#pair={machine.desk.offer(desk=True).word}")
    page.wait_for_selector("nav a")
    see(page, view)
    return page


def see(page: Page, view: str) -> None:
    """Go to a view."""
    page.evaluate("(view) => (location.hash = '#/' + view)", view)
    page.wait_for_selector(f"nav a[aria-current][href='#/{view.split('/', maxsplit=1)[0]}']")
    page.wait_for_selector("h1")


def _fail(problem: object) -> None:
    raise AssertionError(f"in the page: {problem}")


def looked_at(page: Page, name: str) -> None:
    """Check a view as it stands with axe-core in both lights, and keep a picture of each."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    for theme in ("dark", "light"):
        page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
        page.wait_for_timeout(80)
        page.screenshot(path=SHOTS / f"desk-{name}-{theme}.png")
        found = page.evaluate(axe() + ";axe.run()")
        told = [(v["id"], [n["html"][:160] for n in v["nodes"]][:4]) for v in found["violations"]]
        assert told == [], f"{name}, {theme}"
