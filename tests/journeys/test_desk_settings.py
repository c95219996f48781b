"""Settings in a real browser: a limit changed, home moved, a rule profile gone through by keyboard."""

from pathlib import Path

from playwright.sync_api import sync_playwright

from tendline.jobs.settings_file import read_settings
from tests.desk_browser import TABLET, browsing, desk_served, in_both_themes, visit, window
from tests.lines import MORNING, small_line


def test_what_a_person_changes_later(tmp_path: Path) -> None:
    line = small_line(tmp_path / "line")
    with (
        sync_playwright() as playwright,
        browsing(playwright) as browser,
        desk_served(line, at=MORNING) as machine,
    ):
        page = window(browser, machine, "settings")
        page.wait_for_selector("#setting-personal-hours")
        in_both_themes(page, "settings")
        page.fill("#setting-personal-hours", "a day")
        page.keyboard.press("Enter")
        page.wait_for_selector(".faults >> text=hours, 0.5 to 8760")
        page.fill("#setting-personal-hours", "20")
        page.fill("label:has-text('Latitude') input", "41.49, -78.03")
        page.keyboard.press("Enter")
        page.wait_for_selector("text=2 settings changed.")
        found = read_settings(tmp_path / "line" / "line.toml")
        assert found.home is not None
        assert (found.personal.hours, found.home.lat) == (20, 41.49)
        visit(page, "settings/profiles")
        page.click("text=Go through xx-demo")
        page.wait_for_selector("form.sheet")
        page.focus("form.sheet fieldset input >> nth=0")
        page.keyboard.press("Space")
        page.set_viewport_size(TABLET)
        in_both_themes(page, "profile-tablet")
        page.click("text=All that is left")
        page.fill("form.sheet > label input", "read the digest")
        page.click("form.sheet button.go")
        page.wait_for_selector("text=Kept: 1 of")
        assert len(list((tmp_path / "line" / "confirmed").glob("xx-demo-2027-01-12.toml"))) == 1
