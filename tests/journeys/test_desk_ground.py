"""The view of the ground in a real browser: looking at the demo line, and long work on it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from tests.browser import browser_path
from tests.desk_browser import (
    DEMO_ROUND,
    EVENING,
    TABLET,
    DeskMachine,
    browsing,
    demo_line,
    desk_served,
    in_both_themes,
    shot,
    visit,
    window,
)


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    with browsing(playwright) as found:
        yield found


@pytest.fixture
def demo(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[DeskMachine]:
    line = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    with desk_served(line, at=EVENING, planned=True, asked=DEMO_ROUND) as machine:
        yield machine


def ready(page: Page) -> None:
    page.wait_for_selector(".ground[data-ready]")
    page.wait_for_timeout(300)


def tab(page: Page, name: str) -> None:
    page.click(f".tabs button:text-is('{name}')")


def test_the_demo_line_lies_on_its_hills(browser: Browser, demo: DeskMachine) -> None:
    page = window(browser, demo, "ground")
    ready(page)
    assert page.evaluate("document.querySelector('.map img.shade').complete")
    assert "leave lapsed on 2027-01-10" in page.locator(".map .parcel-name", has_text="kiln").inner_text()
    inked = page.evaluate(
        "(() => { const c = document.querySelector('.leaflet-sets-pane canvas'); return c.getContext('2d')"
        ".getImageData(0, 0, c.width, c.height).data.filter((v, n) => n % 4 === 3 && v > 0).length })()"
    )
    assert inked > 5_000
    in_both_themes(page, "ground")
    page.click(".side tbody tr:first-child button")
    name = page.inner_text(".card.chosen h2").split()[0]
    assert name in page.inner_text(".side tr.chosen")
    for one in ("Parcels", "Places", "Put down", "Measure", "On foot", "Scout", "Layers"):
        tab(page, one)
        page.wait_for_timeout(100)
        name = f"ground-{one.lower().replace(' ', '-')}"
        if one in ("Places", "Put down", "Layers"):  # every sort of thing that stands beside the map
            in_both_themes(page, name)
        else:
            shot(page, name)
    page.set_viewport_size(TABLET)
    visit(page, "tonight")
    visit(page, "ground/T5")
    ready(page)
    page.wait_for_selector(".card.chosen h2:has-text('T5')")
    in_both_themes(page, "ground-tablet")


def test_how_far_on_foot_is_worked_out_beside_the_page(browser: Browser, demo: DeskMachine) -> None:
    page = window(browser, demo, "ground")
    ready(page)
    tab(page, "On foot")
    page.fill("#foot-from", "heron-lane")
    page.click("button.go")
    page.wait_for_selector(".side tbody tr:nth-child(7)", timeout=60_000)
    assert "H3" in page.inner_text(".side tbody tr:first-child")
    shot(page, "ground-on-foot-bands")
    page.fill("#foot-from", "nowhere")
    page.click("button.go")
    page.wait_for_selector(".faults >> text=nowhere")
