"""The first evening view in a real browser: what it says, where it leads, and that it stays quick."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, sync_playwright

from tests.browser import browser_path
from tests.desk_browser import (
    EVENING,
    TABLET,
    DeskMachine,
    demo_line,
    desk_served,
    let_in,
    looked_at,
    see,
    window,
)
from tests.journeys.run import done


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[DeskMachine]:
    line = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    with desk_served(line) as machine:
        assert machine.desk.plan() == ""
        yield machine


@pytest.fixture
def context(playwright: Playwright) -> Iterator[BrowserContext]:
    with window(playwright) as found:
        yield found


def ready(page: Page) -> None:
    page.wait_for_selector("[data-ready=yes]")


def test_the_evening_is_told_on_one_screen(context: BrowserContext, machine: DeskMachine) -> None:
    page = let_in(context, machine)
    ready(page)
    said = done("due", "--line", machine.line, "--at", EVENING, "--json").data["sets"]
    first = next(one for one in said if one["verdict"] == "due")
    due = page.locator("section", has=page.locator("#card-due"))
    assert first["set"] in due.locator("li").first.inner_text()
    assert "go tonight" in due.locator("li").first.inner_text()
    law = page.locator("section", has=page.locator("#card-law")).inner_text()
    wrong = done("lawful", "--line", machine.line, "--at", EVENING, "--json").data["summary"]
    assert (
        f"{wrong['fail'] + wrong['overdue since'] + wrong['prohibited outright']} things are not lawful"
        in law
    )
    round_ = page.locator("section.round").inner_text()
    assert "05:00" in round_
    assert "Everything that must be looked at fits." in round_
    for card in ("due", "law"):
        box = page.locator(f"#card-{card}").bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < 768
    looked_at(page, "tonight")
    page.set_viewport_size({"width": TABLET["width"], "height": TABLET["height"]})
    looked_at(page, "tonight-tablet")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_forecast_typed_in_says_what_it_spoils(context: BrowserContext, machine: DeskMachine) -> None:
    page = let_in(context, machine)
    ready(page)
    card = page.locator("section", has=page.locator("#card-weather"))
    card.get_by_label("Forecast in words").fill("snow, or none")
    card.get_by_role("button").click()
    card.locator("[role=alert]").wait_for()
    card.get_by_label("Forecast in words").fill("6 in tonight, 20 to 34 F")
    card.get_by_role("button").click()
    card.locator("li").first.wait_for()
    said = done(
        "weather", "--words", "6 in tonight, 20 to 34 F", "--line", machine.line, "--at", EVENING, "--json"
    )
    lowered = [one["set"] for one in said.data["sets"] if one["tonight"] and one["do"] != "leave"]
    assert card.locator("li b").first.inner_text() == lowered[0]
    assert "not a measurement" in card.inner_text()


def test_by_the_keyboard_alone(context: BrowserContext, machine: DeskMachine) -> None:
    page = let_in(context, machine)
    ready(page)
    for _ in range(60):  # from the heading back to the very first thing
        page.keyboard.press("Shift+Tab")
        if page.evaluate("document.activeElement.className") == "skip":
            break
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_a_phone_is_let_in_and_out_again(context: BrowserContext, machine: DeskMachine) -> None:
    page = let_in(context, machine, "phones")
    page.get_by_role("button", name="Code for the field page").click()
    page.locator(".offer img").wait_for()
    looked_at(page, "phones")
    url = page.locator(".offer code").inner_text()
    phone = context.new_page()
    phone.goto(url)
    phone.wait_for_selector("h1.set")
    page.reload()
    see(page, "phones")
    row = page.locator("tr", has_text="phone-")
    row.get_by_role("button").click()
    page.locator("tr", has_text="let in no more").wait_for()
    phone.reload()
    phone.click("nav >> text=Outbox")
    phone.wait_for_selector("text=/paired/")


def test_a_stranger_and_a_used_address_see_nothing(playwright: Playwright, machine: DeskMachine) -> None:
    word = machine.desk.offer(desk=True).word
    with window(playwright) as first, window(playwright) as second:
        let = first.new_page()
        let.goto(f"{machine.url}desk#pair={word}")
        let.wait_for_selector("nav a")
        late = second.new_page()
        late.goto(f"{machine.url}desk#pair={word}")
        late.wait_for_selector("[role=alert]")
        assert "Corran" not in late.content()


def test_the_machine_goes_away_and_comes_back(context: BrowserContext, machine: DeskMachine) -> None:
    page = let_in(context, machine)
    ready(page)
    machine.stop()
    page.wait_for_selector("text=The machine does not answer", timeout=20_000)
    assert page.locator("#card-law").is_visible()
    machine.start()
    page.wait_for_selector("text=The machine does not answer", state="detached", timeout=20_000)
