"""Files dropped on the desk page in a real browser: a bad one changes nothing, a good one is taken."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser import browser_path
from tests.desk_browser import DeskMachine, browsing, desk_served, in_both_themes, visit, window
from tests.hills import hills_file
from tests.interfaces.server.test_desk_import import BAD, GOOD, state
from tests.lines import MORNING, small_line


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    browser_path()
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[DeskMachine]:
    with desk_served(small_line(tmp_path / "line"), at=MORNING) as found:
        yield found


DROP = """([name, content]) => {
  const held = new DataTransfer();
  held.items.add(new File([content], name));
  const box = document.querySelector('.drop');
  for (const kind of ['dragover', 'drop']) {
    box.dispatchEvent(new DragEvent(kind, {bubbles: true, cancelable: true, dataTransfer: held}));
  }
}"""


def drop(page: Page, name: str, content: str) -> None:
    page.evaluate(DROP, [name, content])


def test_a_bad_file_that_is_dropped_shows_every_fault_and_changes_nothing(
    browser: Browser, machine: DeskMachine
) -> None:
    before = state(machine.desk)
    page = window(browser, machine, "import")
    assert "No heights are here yet" in page.inner_text(".mark")
    drop(page, "more.csv", GOOD)
    page.wait_for_selector("text=Nothing is wrong. This would be taken:")
    drop(page, "bad.csv", BAD)
    page.wait_for_selector("text=2 things are wrong.")
    faults = page.locator(".faults li").all_inner_texts()
    assert ["row 2" in one and "bad.csv" in one for one in faults] == [True, True]
    assert page.is_disabled("button:text-is('Take them')")
    assert "1 new" in page.inner_text("tr:has(th:text-is('more.csv'))")
    in_both_themes(page, "import-bad")
    assert state(machine.desk) == before
    page.click("text=Let them go")
    page.wait_for_selector("text=Nothing was taken.")
    assert state(machine.desk) == before
    drop(page, "bad.csv", GOOD)  # the same name again, mended
    page.wait_for_selector("text=Nothing is wrong. This would be taken:")
    page.click("summary")
    page.wait_for_selector("td:has-text('bad.csv, row 2')")
    in_both_themes(page, "import-good")
    page.click("text=Take them")
    page.wait_for_selector("text=Taken.")
    assert "N8" in machine.desk.space().line().sets
    visit(page, "ground/N8")
    page.wait_for_selector(".card.chosen h2:has-text('N8')")


def test_what_a_file_does_not_say_can_be_said(browser: Browser, machine: DeskMachine, tmp_path: Path) -> None:
    page = window(browser, machine, "import")
    gpx = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">'
    drop(page, "places.gpx", f'{gpx}<wpt lat="41.512" lon="-78.012"><name>pine</name></wpt></gpx>')
    page.wait_for_selector("text=One thing is wrong.")
    page.select_option("label:has-text('do not say what they are') select", "landmark")
    page.wait_for_selector("text=Nothing is wrong.")
    page.set_input_files("input[type=file]", hills_file(tmp_path))
    page.wait_for_selector("tr:has-text('ridges.tif'):has-text('heights')")
    page.click("text=Take them")
    page.wait_for_selector("text=Taken.")
    page.wait_for_selector("text=No heights are here yet", state="detached")
    assert "pine" in machine.desk.space().line().landmarks
    visit(page, "ground")
    page.wait_for_selector(".map img.shade")
