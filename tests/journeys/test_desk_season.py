"""The season in a real browser: figures with ranges, plots with their numbers, days and groups chosen."""

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
from tests.journeys.run import done


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


def test_the_season_is_told_with_its_plots(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "season")
    ready(page)
    data = done("season", "--line", machine.line, "--at", EVENING, "--json").data
    told = page.locator("section", has=page.locator("#all")).inner_text()
    assert f"{data['total']['looks']} looks" in told
    assert f"{data['rate_target_per_100']['value']:.2f}" in told
    assert "exact Poisson" in told
    left = page.locator("section", has=page.locator("#left")).inner_text()
    assert data["earning"]["why_not"] in left
    plots = page.locator("section.plot")
    assert plots.count() == 5
    for place in range(5):
        assert plots.nth(place).locator("img").get_attribute("alt")
        assert plots.nth(place).locator("tbody tr").count() > 0
    week = page.locator("section", has=page.locator("#nights-by-week")).locator("tbody tr")
    assert week.count() == len(data["by"]["week"])
    in_both_themes(page, "season")
    page.set_viewport_size(TABLET)
    in_both_themes(page, "season-tablet")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.emulate_media(media="print")
    assert not page.locator("form.fields").is_visible()
    assert plots.first.locator("img").is_visible()


def test_days_and_groups_are_chosen_by_the_keyboard(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "season")
    ready(page)
    page.get_by_label("Season, such as").focus()
    page.keyboard.type("2020-21")
    page.wait_for_selector("text=No effort on record in these days")
    page.get_by_label("Season, such as").fill("soon")
    page.locator("[role=alert]", has_text="SEA-201").wait_for()
    page.get_by_label("Season, such as").fill("")
    page.get_by_label("From this day instead").fill("2027-01-11")
    page.get_by_label("Rates by").select_option("weather")
    page.locator("#rates-by-weather").wait_for()
    week = page.locator("section", has=page.locator("#nights-by-week")).locator("tbody tr")
    assert week.count() == 1
    assert "2027-01-11" in week.inner_text()
    assert "route-card-2027-01-16" in page.locator("section", has=page.locator("#plans")).inner_text()
