"""A browser at the desk page for journeys: a served folder, letting in, looking, pictures."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Playwright, ViewportSize

from tendline.jobs.round import Asked
from tendline.jobs.serve import open_desk
from tendline.server.run import LOOPBACK, Address
from tests.browser import ARGUMENTS, SHOTS, Machine, axe, browser_path, free_port
from tests.journeys.run import done

LAPTOP: ViewportSize = {"width": 1366, "height": 768}
TABLET: ViewportSize = {"width": 820, "height": 1180}
THEMES = ("light", "dark")
EVENING = "2027-01-15T20:00"
"""When the demo line is looked at."""
MORNING_ROUND = Asked(start="06:10", back="12:00", seconds=None, iterations=50)
DEMO_ROUND = Asked(start="05:00", back="12:00", seconds=None, iterations=50)
_MADE: list[Path] = []


def demo_line(folder: Path, scratch: Path) -> str:
    """Give a copy of the demo line at `EVENING`; built once, in `scratch`, for all tests of a process."""
    if not _MADE or not _MADE[0].exists():
        _MADE[:] = [scratch / "demo"]
        done("demo", str(_MADE[0]), "--at", EVENING)
    shutil.copytree(_MADE[0], folder)
    return str(folder)


class DeskMachine(Machine):
    """A line folder, or an empty one, served from threads of this process; can be stopped and started.

    Parameters
    ----------
    line
        The folder.
    at
        The moment to pretend; None for the present.
    planned
        Plan tomorrow's round before anything is served.
    asked
        Which round that is.
    """

    def __init__(
        self, line: str, *, at: str | None = None, planned: bool = False, asked: Asked = MORNING_ROUND
    ) -> None:
        self.line = line
        self.port = free_port()
        self.where = Address("127.0.0.1", self.port, LOOPBACK)
        self.url = self.where.url
        self.desk = open_desk(line, at=at, units=None, asked=asked)
        if planned:
            assert self.desk.plan() == ""
        self._running, self._thread = None, None

    def pairing(self, person: str = "") -> str:
        """Give an address to open in a browser, once."""
        return f"{self.url}desk#pair={self.desk.offer(person, desk=True).word}"


@contextmanager
def desk_served(
    line: str, *, at: str | None = None, planned: bool = False, asked: Asked = MORNING_ROUND
) -> Iterator[DeskMachine]:
    """Serve a folder while a test runs."""
    machine = DeskMachine(line, at=at, planned=planned, asked=asked)
    machine.start()
    try:
        yield machine
    finally:
        machine.stop()


@contextmanager
def browsing(playwright: Playwright) -> Iterator[Browser]:
    """Start a browser; each window of it is a `window`."""
    browser = playwright.chromium.launch(executable_path=browser_path(), args=[*ARGUMENTS, "--no-sandbox"])
    try:
        yield browser
    finally:
        browser.close()


def window(browser: Browser, machine: DeskMachine, view: str = "", **more: Any) -> Page:
    """Open a window of its own (nothing shared with another), let it in, and go to a view.

    Parameters
    ----------
    browser, machine
        Which.
    view
        As behind the ``#/`` of the address.
    more
        As `Browser.new_context` takes them: another `viewport`, a `geolocation` with `permissions`.
    """
    options: dict[str, Any] = {"viewport": LAPTOP, "locale": "en-US", "timezone_id": "America/New_York"}
    context: BrowserContext = browser.new_context(**{**options, **more})
    context.set_default_timeout(15_000)
    page = context.new_page()
    page.on("pageerror", _fail)
    page.goto(machine.pairing())
    page.wait_for_selector("main h1")
    if view:
        visit(page, view)
    return page


def _fail(problem: object) -> None:
    raise AssertionError(f"in the page: {problem}")


def visit(page: Page, view: str) -> None:
    """Go to a view by its address, and wait until its heading is there."""
    page.evaluate("view => { location.hash = '#/' + view }", view)
    name = view.partition("/")[0]
    page.wait_for_selector(f"#desk > nav a[href='#/{name}'][aria-current]")
    page.wait_for_selector("main h1")


def shot(page: Page, name: str, *, whole: bool = False) -> None:
    """Keep a picture of the page among the test artefacts."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / f"desk-{name}.png", full_page=whole)


def in_both_themes(page: Page, name: str) -> None:
    """Have axe-core (WCAG 2.2 A and AA, best practice) find nothing in light and in dark; keep both pictures.

    Nothing may be wider than the window either.
    """
    for theme in THEMES:
        page.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
        page.wait_for_timeout(50)
        shot(page, f"{name}-{theme}")
        found: dict[str, Any] = page.evaluate(axe() + ";axe.run()")
        told = [(v["id"], [n["html"][:160] for n in v["nodes"]]) for v in found["violations"]]
        assert told == [], f"{name}, {theme}: {told}"
    wide = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide[0] <= wide[1], f"{name} is wider than its window: {wide}"
