"""The view of gear in a real browser: a build edited, judged at once and kept; the cable cut on the roll."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.desk_browser import (
    DEMO_ROUND,
    EVENING,
    TABLET,
    DeskMachine,
    browsing,
    demo_line,
    desk_served,
    in_both_themes,
    window,
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[DeskMachine]:
    line = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    with desk_served(line, at=EVENING, asked=DEMO_ROUND) as machine:
        yield machine


def ready(page: Page) -> None:
    page.wait_for_selector("[data-ready=yes]")
    page.wait_for_selector("[data-parts=yes]")


def test_a_build_is_mended_and_kept(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "gear")
    ready(page)
    assert "lawful as confirmed" in page.locator("section", has=page.locator("#laws")).inner_text()
    in_both_themes(page, "gear")
    text = page.get_by_label("The build as text")
    before = text.input_value()
    chain = page.locator("section", has=page.locator("#chain"))
    text.fill(before.replace('soil = "hard"', 'soil = "soft"'))
    chain.locator("tr.wrong", has_text="anchor").wait_for()
    assert "gives way first" in chain.inner_text()
    text.fill(before.replace('make = "7x7"', 'make = "9x9"'))
    page.wait_for_selector(".comes [role=alert]")
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_selector("form [role=alert]")
    file = Path(machine.line) / "builds" / "coyote-and-fox.toml"
    assert file.read_text() == before
    after = before.replace('label = "285 lb"', 'label = "270 lb"')
    text.fill(after)
    page.get_by_label("File name").fill("lighter")
    page.get_by_role("button", name="Keep it in the line folder").click()
    page.wait_for_selector("text=Kept as builds/lighter.toml.")
    assert (file.parent / "lighter.toml").read_text() == after
    assert file.read_text() == before
    page.locator(".editor select").select_option("builds/coyote-and-fox.toml")
    assert text.input_value() == before


def test_the_cable_is_cut_on_the_roll(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "gear")
    ready(page)
    page.get_by_label("Cables to cut").focus()
    page.keyboard.type("30")
    page.keyboard.press("Tab")
    page.keyboard.type("100ft*2")
    rolls = page.locator(".rolls li")
    rolls.first.wait_for()
    rolls.filter(has_text="100.0 ft").first.wait_for()
    wide = page.evaluate(
        """() => [...document.querySelectorAll('.rolls svg')].map((svg) => {
            const width = (one) => Number(one.getAttribute('width'));
            const [roll] = svg.querySelectorAll('rect.left');
            return [...svg.querySelectorAll('rect.piece')].map((one) => width(one) / (width(roll) + 1));
        })"""
    )
    # A cable of 6 ft is 6 hundredths of a roll of 100 ft, wherever it lies on it.
    assert all(abs(share - 0.06) < 0.0005 for roll in wide for share in roll)
    page.get_by_label("Rolls").fill("nonsense")
    page.locator(".parts [role=alert]").wait_for()
    in_both_themes(page, "gear-fault")
    page.get_by_label("Rolls").fill("")
    page.get_by_label("Units").select_option("metric")
    page.wait_for_selector("#chain ~ p:has-text(' N')")
    page.set_viewport_size(TABLET)
    in_both_themes(page, "gear-tablet")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.emulate_media(media="print")
    assert not page.locator("textarea").is_visible()
    assert page.locator("#chain").is_visible()
