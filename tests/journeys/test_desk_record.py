"""The record in a real browser: a mistake mended, two windows at once, the machine gone and back."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Route, sync_playwright

from tests.browser import until
from tests.desk_browser import TABLET, DeskMachine, browsing, desk_served, in_both_themes, visit, window
from tests.lines import MORNING, small_line


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[DeskMachine]:
    with desk_served(small_line(tmp_path / "line"), at=MORNING) as found:
        yield found


def notes(machine: DeskMachine) -> list[str]:
    """Give what was noted of snow, in the order of writing."""
    return [str(e.body.get("note")) for e in machine.desk.space().events() if e.kind == "weather-seen"]


def note_weather(page: Page, words: str) -> None:
    visit(page, "record/new:weather-seen")
    page.fill("#field-snow_m", "6 in")
    page.fill("#field-note", words)
    page.click("button.go")


def test_a_mistake_is_mended_by_keyboard_alone(browser: Browser, machine: DeskMachine) -> None:
    """Noted, corrected, the correction undone: all of it stays to be seen, in both units."""
    photos = Path(machine.line) / "photos"
    photos.mkdir()
    Image.new("RGB", (1600, 1200), "#8899aa").save(photos / "N1.jpg")
    page = window(browser, machine, "record/new:adjusted")
    keys = page.keyboard
    page.focus("#field-set")
    keys.type("N1")
    keys.press("Tab")
    page.focus("#field-bottom_m")
    keys.type("12 in")
    keys.press("Enter")
    page.wait_for_selector("text=Kept: adjusted N1")
    visit(page, "record")
    first = page.locator(".entry").first
    first.locator("b", has_text="12 in").wait_for()
    first.locator("button", has_text="Correct it").focus()
    keys.press("Enter")
    page.focus("form[aria-label='Correct it'] #field-bottom_m")
    keys.type("10 in")
    page.focus("form[aria-label='Correct it'] > label input")
    keys.type("read the wrong end of the stick")
    keys.press("Enter")
    first.locator(".changes s", has_text="12 in").wait_for()
    first.locator(".values b", has_text="10 in").wait_for()
    in_both_themes(page, "record")
    page.select_option("header select", "metric")
    first.locator(".changes s", has_text="30.5 cm").wait_for()
    first.locator("button", has_text="Undo this").focus()
    keys.press("Enter")
    page.focus("form[aria-label='Undo this'] input")
    keys.type("it was right")
    keys.press("Enter")
    first.locator(".changes .undone").wait_for()
    first.locator(".values b", has_text="30.5 cm").wait_for()
    (event,) = [e for e in machine.desk.space().events() if e.kind == "adjusted"]
    assert event.body["bottom_m"] == pytest.approx(0.3048)
    assert [e.kind for e in machine.desk.space().events()][-2:] == ["correction", "void"]
    page.select_option(".filter select >> nth=0", "set-made")
    page.wait_for_selector(".photo img")
    page.fill(".filter input[type=search]", "post N3")
    page.wait_for_selector("text=1 to 1 of 1")
    page.set_viewport_size(TABLET)
    in_both_themes(page, "record-tablet")
    page.emulate_media(media="print")
    assert page.is_hidden(".filter")
    assert page.is_visible(".entry")


def test_two_windows_see_each_other_and_double_nothing(browser: Browser, machine: DeskMachine) -> None:
    one, two = window(browser, machine, "record"), window(browser, machine, "record")
    for page in (one, two):
        page.wait_for_selector(".entry")
    note_weather(one, "first window")
    note_weather(two, "second window")
    for page in (one, two):
        page.wait_for_selector("text=Kept: weather seen")
        visit(page, "record/weather")
        visit(page, "record")
        page.wait_for_selector(".entry >> text=first window")
        page.wait_for_selector(".entry >> text=second window")
    note_weather(one, "later")
    two.wait_for_selector(".entry >> text=later", timeout=20_000)  # nobody touched it
    assert notes(machine) == ["first window", "second window", "later"]


def test_the_machine_goes_and_comes_back(browser: Browser, machine: DeskMachine) -> None:
    """Gone before it heard, or after it had written: the page says so, and pressing again keeps it once."""
    page = window(browser, machine, "record")
    page.wait_for_selector(".entry")
    machine.stop()
    note_weather(page, "said to nobody")
    page.wait_for_selector(".faults >> text=does not answer")
    page.wait_for_selector("main .alarm")
    in_both_themes(page, "record-away")
    machine.start()
    page.click("button.go")
    page.wait_for_selector("text=Kept: weather seen")
    page.wait_for_selector("main .alarm", state="detached")
    lost: list[int] = []

    def lose_first(route: Route) -> None:
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().status)  # it was written, and nobody heard of it
        route.abort()

    page.route("**/api/desk/note", lose_first)
    note_weather(page, "written once")
    page.wait_for_selector(".faults >> text=kept once at most")
    until(page, lambda: lost == [200])
    page.click("button.go")
    page.wait_for_selector("text=Kept: weather seen")
    assert notes(machine) == ["said to nobody", "written once"]
