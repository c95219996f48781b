"""Putting down, correcting, drawing and measuring on the map of the desk page, by mouse and by keyboard."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from tests.browser import browser_path, until
from tests.desk_browser import DeskMachine, browsing, desk_served, in_both_themes, shot, window
from tests.journeys.run import done
from tests.journeys.test_desk_ground import ready, tab
from tests.lines import MORNING, small_line


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
def small(tmp_path: Path) -> Iterator[DeskMachine]:
    with desk_served(small_line(tmp_path / "line"), at=MORNING) as machine:
        yield machine


def at(page: Page, across: float, down: float) -> None:
    """Click on the map, as shares of its size."""
    box = page.locator(".map").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + across * box["width"], box["y"] + down * box["height"])


def made(machine: DeskMachine, name: str) -> list[str]:
    """Give the kinds of events that name a thing, corrections of them included."""
    events = machine.desk.space().events()
    ids = {one.id for one in events if name in (one.body.get("set"), one.body.get("name"))}
    return [one.kind for one in events if one.id in ids or one.body.get("of") in ids]


def test_a_set_is_put_down_and_its_place_corrected(browser: Browser, small: DeskMachine) -> None:
    page = window(browser, small, "ground")
    ready(page)
    assert "No heights yet" in page.inner_text(".mark")
    tab(page, "Put down")
    at(page, 0.7, 0.4)
    until(page, lambda: page.input_value("#field-places") != "")
    page.fill("#field-set", "N9")
    page.fill("#field-tag", "190")
    page.fill("#field-loop_m", "ten")
    page.click("button.go")
    page.wait_for_selector("#field-loop_m[aria-invalid=true]")
    assert "ten" in page.inner_text("#field-loop_m-no")
    shot(page, "ground-wrong-field")
    assert made(small, "N9") == []
    page.fill("#field-loop_m", "10 in")
    page.click("button.go")
    page.wait_for_selector("text=Kept: a set N9.")
    assert made(small, "N9") == ["set-made"]
    tab(page, "Sets")
    page.click("th button:text-is('N9')")
    page.click("text=Correct its place")
    page.fill("#field-places", "-78.0151,41.5111,4")
    page.click("button.go")
    page.wait_for_selector(".faults, .wrong")
    assert made(small, "N9") == ["set-made"]
    page.fill("#field-why", "read off the wrong line")
    page.click("button.go")
    page.wait_for_selector("text=Kept: a corrected place.")
    assert made(small, "N9") == ["set-made", "correction"]
    tab(page, "Sets")
    page.wait_for_selector("tr:has(th button:text-is('N9')) >> text=-78.01510, 41.51110")


def test_a_parcel_and_a_house_are_drawn_by_keyboard_alone(browser: Browser, small: DeskMachine) -> None:
    page = window(browser, small, "ground")
    ready(page)
    page.focus(".tabs button:text-is('Put down')")
    page.keyboard.press("Enter")
    page.select_option("#add-what", "parcel")
    page.focus(".map")
    for keys in ("", "ArrowRight", "ArrowDown", "ArrowLeft"):
        if keys:
            page.keyboard.press(keys)
            page.wait_for_timeout(400)
        page.keyboard.press("Enter")
    until(page, lambda: page.input_value("#field-places").count("\n") == 3)
    page.focus("#field-name")
    page.keyboard.type("bog")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Kept: a parcel bog.")
    assert "bog" in small.desk.space().line().parcels
    page.select_option("#add-what", "feature")
    page.fill("#field-places", "-78.0105,41.5105")
    page.fill("#field-name", "Old Farm")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Kept: dwelling Old Farm.")
    tab(page, "Places")
    page.wait_for_selector("h2:text-is('Distances that rules keep')")
    shot(page, "ground-drawn-house", whole=True)
    page.click("button[aria-label='Take away Old Farm']")
    page.wait_for_selector("button[aria-label='Take away Old Farm']", state="detached")


def test_a_way_and_an_area_are_measured(browser: Browser, small: DeskMachine) -> None:
    page = window(browser, small, "ground")
    ready(page)
    tab(page, "Measure")
    page.fill("#field-places", "-78.02,41.50\n-78.0,41.50")
    page.wait_for_selector(".measured >> text=5479 ft (1.04 mi)")  # 1669.92 m by GeographicLib's algorithm
    for across, down in ((0.3, 0.3), (0.6, 0.3), (0.6, 0.6)):
        at(page, across, down)
    until(page, lambda: page.input_value("#field-places").count("\n") == 4)
    page.wait_for_selector(".measured >> text=acres")
    page.click("text=Take the last corner back")
    until(page, lambda: page.input_value("#field-places").count("\n") == 3)
    page.select_option("header select >> nth=0", "metric")
    page.wait_for_selector(".measured >> text=ha")


def test_what_others_call_a_thing_is_never_read_as_a_page(browser: Browser, small: DeskMachine) -> None:
    page = window(browser, small, "ground")
    ready(page)
    tab(page, "Put down")
    page.select_option("#add-what", "feature")
    page.fill("#field-places", "-78.0105,41.5105")
    page.fill("#field-name", "<img src=x onerror=alert(1)>")
    page.click("button.go")
    page.wait_for_selector("text=Kept: dwelling <img")
    page.wait_for_timeout(300)
    assert page.evaluate("document.querySelector('img[src=x]')") is None


def test_a_line_with_nothing_on_it_says_what_to_bring(browser: Browser, tmp_path: Path) -> None:
    line = str(tmp_path / "bare")
    done("start", line, "--zone", "America/New_York", "--home=-78.02,41.505")
    with desk_served(line, at=MORNING) as machine:
        page = window(browser, machine, "ground")
        ready(page)
        said = " ".join(page.locator(".mark").all_inner_texts())
        assert "Nothing stands on the ground yet." in said
        assert "No heights yet" in said
        in_both_themes(page, "ground-bare")
        page.click(".mark >> nth=0 >> text=Bring files in")
        page.wait_for_selector(".import .drop")
