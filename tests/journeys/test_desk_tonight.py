"""The first evening view in a real browser: what it says, where it leads, and that it stays quick."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser import axe
from tests.desk_browser import (
    DEMO_ROUND,
    EVENING,
    TABLET,
    DeskMachine,
    browsing,
    demo_line,
    desk_served,
    in_both_themes,
    visit,
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
    with desk_served(line, at=EVENING, planned=True, asked=DEMO_ROUND) as machine:
        yield machine


def ready(page: Page) -> None:
    page.wait_for_selector("[data-ready=yes]")


def test_the_evening_is_told_on_one_screen(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine)
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
    in_both_themes(page, "tonight")
    page.set_viewport_size(TABLET)
    in_both_themes(page, "tonight-tablet")


def test_a_forecast_typed_in_says_what_it_spoils(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine)
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


def test_by_the_keyboard_alone(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine)
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


def test_a_phone_is_let_in_and_out_again(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "phones")
    page.get_by_role("button", name="Code for the field page").click()
    page.locator(".offer img").wait_for()
    in_both_themes(page, "phones")
    url = page.locator(".offer code").inner_text()
    phone = browser.new_context().new_page()
    phone.goto(url)
    phone.wait_for_selector("h1.set")
    page.reload()
    visit(page, "phones")
    row = page.locator("tr", has_text="phone-")
    row.get_by_role("button").click()
    page.locator("tr", has_text="let in no more").wait_for()
    phone.reload()
    phone.click("nav >> text=Outbox")
    phone.wait_for_selector("text=/paired/")


def test_a_stranger_and_a_used_address_see_nothing(browser: Browser, machine: DeskMachine) -> None:
    address = machine.pairing()
    for stranger in (False, True):
        page = browser.new_context().new_page()
        page.goto(address)
        page.wait_for_selector("main.stranger [role=alert]" if stranger else "main h1")
        assert ("Corran" in page.content()) is not stranger
    assert page.evaluate(axe() + ";axe.run()")["violations"] == []


def test_the_machine_goes_away_and_comes_back(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine)
    ready(page)
    machine.stop()
    page.wait_for_selector("text=The machine does not answer", timeout=20_000)
    assert page.locator("#card-law").is_visible()
    machine.start()
    page.wait_for_selector("text=The machine does not answer", state="detached", timeout=20_000)
