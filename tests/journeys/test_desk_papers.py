"""Papers in a real browser; the first evening, from an empty folder to a printed card, no command typed."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.desk_browser import browsing, desk_served, in_both_themes, visit, window
from tests.lines import EVENING, MORNING, small_line


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


def keep(page: Page, kind: str, fields: dict[str, str], place: str = "") -> None:
    """Fill in the form of one kind of event and keep it."""
    page.wait_for_function("kind => document.querySelector('form.note select')?.value === kind", arg=kind)
    for field, value in fields.items():
        if page.is_hidden(f"#field-{field}"):
            page.click("form.note summary")
        page.fill(f"#field-{field}", value)
    if place:
        page.fill("label:has-text('Latitude') input", place)  # both at once, as copied from a map
    page.click("form.note button.go")
    subject = next(iter(fields.values()))
    page.wait_for_selector(f'.said:has-text("{kind.replace("-", " ")} {subject}")')


def test_the_first_evening(browser: Browser, tmp_path: Path) -> None:
    with desk_served(str(tmp_path / "new"), at=EVENING) as machine:
        page = window(browser, machine)
        page.wait_for_selector("h1 >> text=A new line")
        page.fill("label:has-text('What the line is called') input", "First evening")
        page.fill("label:has-text('Who does the work') input", "Ann Example")
        assert page.input_value("label:has-text('Time zone') select") == "America/New_York"
        page.select_option("label:has-text('Rule profile') select", "us-pa")
        page.wait_for_selector("text=were not read in the law")
        page.fill("label:has-text('Latitude') input", "41.505, -78.02")
        assert page.input_value("label:has-text('Longitude') input") == "-78.02"
        in_both_themes(page, "start")
        page.click("button.go")
        page.wait_for_selector(".steps li.todo")
        in_both_themes(page, "first-steps")
        page.click("a:has-text('A parcel')")
        corners = "-78.02,41.50\n-78.00,41.50\n-78.00,41.52\n-78.02,41.52"
        keep(page, "parcel", {"name": "mill", "outline": corners, "owner": "Jo Mill (invented)"})
        page.click("text=First steps")
        page.click("a:has-text('Leave')")
        keep(page, "permission", {"parcel": "mill", "given_by": "Jo Mill (invented)", "last": "2027-03-01"})
        page.click("text=First steps")
        page.click("a:has-text('A parking')")
        keep(page, "parking", {"name": "gate", "parcels": "mill"}, "41.509, -78.009")
        page.click("text=First steps")
        page.click("a:has-text('A set')")
        for number in (1, 2):
            told = {"set": f"N{number}", "tag": str(100 + number), "parcel": "mill", "landmark": "split oak"}
            keep(page, "set-made", told, f"41.51{number}, -78.01{number}")
        in_both_themes(page, "note-set")
        page.click("text=First steps")
        page.wait_for_selector(".steps li.done >> text=A set")
        page.click("text=Plan a round and print its card")
        page.fill("#option-start", "06:00")
        page.fill("#option-back", "12:00")
        page.keyboard.press("Enter")
        page.wait_for_selector(".pages img", timeout=60_000)
        page.wait_for_selector("text=Kept as papers/route-card-2027-01-12.pdf")
        in_both_themes(page, "route-card")
        page.evaluate("window.print = () => { window.printed = true }")
        page.click("button:text-is('Print')")
        assert page.evaluate("window.printed")
        page.emulate_media(media="print")
        assert page.is_hidden("form.card")
        assert page.is_visible(".pages img")
        printed = page.pdf(prefer_css_page_size=True)
        assert printed.startswith(b"%PDF")
        page.emulate_media(media="null")
        page.wait_for_selector("form.card")
        with page.expect_download() as saved:
            page.click("section button:has-text('Save the PDF')")
        content = Path(str(saved.value.path())).read_bytes()
        assert content == (tmp_path / "new/papers/route-card-2027-01-12.pdf").read_bytes()
        with page.context.expect_page() as opened:
            page.click("section button:has-text('Open the PDF')")
        assert opened.value.url.startswith("blob:")


def test_every_paper_is_made_or_says_why_not(browser: Browser, tmp_path: Path) -> None:
    with desk_served(small_line(tmp_path / "line"), at=MORNING) as machine:
        page = window(browser, machine, "papers/invoice")
        page.select_option("#option-parcel", "mill")
        page.fill("#option-items", "visits;12;a lot")
        page.click("text=Make it")
        page.wait_for_selector(".faults >> text=is no line of an invoice", timeout=30_000)
        page.fill("#option-items", "visits;12;35.00\nfuel;1;20.00")
        page.click("text=Make it")
        page.wait_for_selector("text=Kept as papers/invoice-mill-2027-01-12.pdf", timeout=30_000)
        visit(page, "papers/set-card")
        page.wait_for_selector("#option-sets")
        page.fill("#option-sets", "N1, N2")
        page.click("text=Make it")
        page.wait_for_selector(".pages img >> nth=1", timeout=30_000)
        in_both_themes(page, "set-card")
        page.click("summary:has-text('Files for others')")
        page.select_option("label:has-text('Format') select", "geojson")
        page.click("text=Write the file")
        page.wait_for_selector("text=Places are blurred")
        with page.expect_download() as saved:
            page.click("button:has-text('Save line-2027-01-12-blurred.geojson')")
        sent = json.loads(Path(str(saved.value.path())).read_text(encoding="utf-8"))
        assert sent["type"] == "FeatureCollection"  # RFC 7946, section 3.3
        assert "-78.01,41.51" not in json.dumps(sent, separators=(",", ":"))
        page.click("summary:has-text('Kept papers')")
        page.wait_for_selector("li:has-text('invoice-mill-2027-01-12.pdf')")
        in_both_themes(page, "papers")
