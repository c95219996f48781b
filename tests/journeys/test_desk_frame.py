"""The frame of the desk page in a real browser: who is let in, and what is seen on a laptop and a tablet."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser import axe
from tests.desk_browser import TABLET, browsing, desk_served, in_both_themes, visit, window
from tests.lines import MORNING, small_line


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


def test_the_views_of_the_frame(browser: Browser, tmp_path: Path) -> None:
    """Axe-core clean in both themes, no wider than the window, on a laptop and on a tablet."""
    with desk_served(small_line(tmp_path / "line"), at=MORNING, planned=True) as machine:
        page = window(browser, machine)
        page.wait_for_selector(".tonight[data-ready]")
        in_both_themes(page, "tonight")
        visit(page, "phones")
        page.wait_for_selector("main table")
        in_both_themes(page, "phones")
        page.set_viewport_size(TABLET)
        visit(page, "tonight")
        page.wait_for_selector(".tonight[data-ready]")
        in_both_themes(page, "tonight-tablet")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.tagName") in ("A", "BUTTON", "SUMMARY", "INPUT")
        stranger = browser.new_context().new_page()
        stranger.goto(f"{machine.url}desk")
        stranger.wait_for_selector("main.stranger")
        assert stranger.evaluate(axe() + ";axe.run()")["violations"] == []
