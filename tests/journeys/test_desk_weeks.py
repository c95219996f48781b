"""The calendar of looks and the round in a real browser: planned, a window left out, pulled, written down."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, sync_playwright

from tests.browser import until
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


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright, browsing(playwright) as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[DeskMachine]:
    line = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    with desk_served(line, at=EVENING, planned=True, asked=DEMO_ROUND) as machine:
        yield machine


def planned(page: Page, days: int) -> None:
    """Plan some days, and wait for the plan."""
    page.wait_for_selector("svg.body .limit", state="attached")
    page.get_by_label("Days", exact=True).fill(str(days))
    page.get_by_label("Seconds to search").fill("2")
    page.get_by_role("button", name="Plan", exact=True).click()
    page.wait_for_selector("text=every limit is kept", timeout=40_000)


def test_a_plan_is_drawn_and_a_window_left_out_shows_what_breaks(
    browser: Browser, machine: DeskMachine
) -> None:
    page = window(browser, machine, "weeks")
    events = len(machine.desk.space().events())
    planned(page, 3)
    in_both_themes(page, "weeks")
    assert page.locator("svg.body .bar").count() > 20
    outings = page.locator("g.outing")
    assert outings.count() >= 2
    outings.nth(0).focus()
    page.keyboard.press("Enter")
    assert outings.nth(0).get_attribute("aria-pressed") == "true"
    broken = page.locator("#breaks li")
    assert broken.count() >= 1
    first = broken.nth(0).inner_text()
    in_both_themes(page, "weeks-broken")
    page.keyboard.press("Enter")
    page.wait_for_selector("#breaks", state="detached")
    # The end pulled far to the left: the window no longer holds its outing, and the same limits break.
    box = outings.nth(0).locator(".edge.to").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 3, box["y"] + 4)
    page.mouse.down()
    page.mouse.move(box["x"] - 40, box["y"] + 4, steps=20)
    page.mouse.up()
    assert outings.nth(0).get_attribute("aria-pressed") == "true"
    assert page.locator("#breaks li").nth(0).inner_text() == first
    assert len(machine.desk.space().events()) == events, "trying writes nothing"


def test_a_plan_is_made_again_without_a_window_and_the_two_are_compared(
    browser: Browser, machine: DeskMachine
) -> None:
    page = window(browser, machine, "weeks", viewport=TABLET)
    planned(page, 3)
    page.locator("summary", has_text="Compare").click()
    page.get_by_role("button", name="Hold this plan").click()
    out = page.locator("details td input[type=checkbox]").nth(1)
    out.uncheck()
    page.get_by_role("button", name="Plan again with this").click()
    page.wait_for_selector("text=No plan keeps every limit.", timeout=40_000)
    assert page.locator("section.mark ol li").count() >= 1, "what would help is named"
    assert page.locator("table.both tbody tr").count() == 6
    in_both_themes(page, "weeks-tablet")


def test_a_window_is_written_down_changed_and_taken_off(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "weeks")
    page.locator("summary", has_text="Outings and windows").click()
    form = page.locator("form", has=page.get_by_role("button", name="Add a window"))
    form.get_by_label("From").fill("2027-01-17T05:00")
    form.get_by_label("To", exact=True).fill("2027-01-17T09:00")
    form.get_by_role("button", name="Add a window").click()
    page.wait_for_selector("ul.windows li")
    assert page.locator("svg.head .idle").count() == 1
    page.locator("ul.windows input").nth(1).fill("2027-01-17T10:30")
    page.get_by_role("button", name=re.compile("^Change")).click()
    page.wait_for_selector("ul.windows li button[disabled]")
    free = machine.desk.space().line().available
    assert [one.span.seconds for one in free] == [5.5 * 3600]
    page.get_by_role("button", name=re.compile("^Take off")).click()
    page.wait_for_selector("ul.windows li", state="detached")
    assert machine.desk.space().line().available == ()


def test_the_round_is_told_and_planned_otherwise(browser: Browser, machine: DeskMachine) -> None:
    page = window(browser, machine, "round")
    page.wait_for_selector("dl.times")
    in_both_themes(page, "round")
    assert page.locator("dl.times dt").count() == 4
    sets = page.locator("table.stop tbody tr").count()
    page.get_by_label("Back by").fill("06:30")
    page.get_by_label("Seconds to search").fill("1")
    page.get_by_role("button", name="Plan", exact=True).click()
    rows = page.locator("table.stop tbody tr")
    until(page, lambda: rows.count() < sets, 60)
    assert page.locator(".mark li").count() >= 1
    visit(page, "weeks")
    visit(page, "round")
    until(page, lambda: 0 < rows.count() < sets)


def test_a_thousand_sets_over_two_weeks_are_drawn_within_a_second(
    browser: Browser, machine: DeskMachine
) -> None:
    """The machine's answers are grown on the way: 20 copies of each set, looked at on each of 14 days."""
    page = window(browser, machine, "phones")

    def more_sets(route: Route) -> None:
        told = route.fetch().json()
        rows = told["answer"]["sets"]
        told["answer"]["sets"] = [{**one, "set": f"{one['set']}-{n}"} for n in range(20) for one in rows]
        route.fulfill(json=told)

    def plan(route: Route) -> None:
        route.fulfill(json={"answer": _large(sets), "bad_news": False, "warnings": []})

    sets = [f"{one}-{n}" for n in range(20) for one in machine.desk.space().line().sets]
    assert len(sets) >= 1000
    page.route("**/api/desk/due", more_sets)
    page.route(re.compile("/api/desk/work(-begin)?$"), plan)
    visit(page, "weeks")
    page.wait_for_selector("svg.body .limit", state="attached")
    drawn = page.evaluate(
        """async () => {
          document.querySelector('form.asks button.go').click();
          while (!document.querySelector('svg.body .look')) await new Promise(requestAnimationFrame);
          await new Promise(requestAnimationFrame);
          const there = performance.getEntriesByType('resource').filter((one) => one.name.endsWith('/work'));
          return performance.now() - there.at(-1).responseEnd; // read, worked out and drawn
        }"""
    )
    assert 0 < drawn < 1000
    assert page.locator("svg.body > g").count() < 60, "only the rows in sight are drawn"
    scrolled = page.evaluate(
        """async () => {
          const box = document.querySelector('.gaps'), took = [];
          for (let n = 1; n <= 30; n++) {
            const start = performance.now();
            box.scrollTop = n * 400;
            await new Promise(requestAnimationFrame);
            await new Promise(requestAnimationFrame);
            took.push(performance.now() - start);
          }
          return took.sort((a, b) => a - b)[15];
        }"""
    )
    assert scrolled < 200, "two frames, with the machine busy"
    assert page.locator("svg.body > g text").first.text_content() != "H1-0"


def _large(sets: list[str]) -> dict[str, Any]:
    """A piece of work that is done, with a plan in its own shape: every set at noon of each of 14 days."""
    days = [f"2027-01-{day}" for day in range(16, 30)]
    outings = [
        {
            "who": "Ann Example",
            "window": {"from": f"{day}T05:00:00-05:00", "to": f"{day}T19:00:00-05:00"},
            "leave": f"{day}T06:00:00-05:00",
            "back": f"{day}T18:00:00-05:00",
            "drive_m": 1000.0,
            "walk_m": 1000.0,
            "stops": [
                {
                    "parking": "gate",
                    "arrive": f"{day}T06:10:00-05:00",
                    "depart": f"{day}T17:00:00-05:00",
                    "looks": [
                        {"set": one, "at": f"{day}T12:00:00-05:00", "due_at": f"{day}T23:00:00-05:00"}
                        for one in sets
                    ],
                }
            ],
        }
        for day in days
    ]
    rows = [
        {
            "set": one,
            "rule": "every 36 hours",
            "looks": [f"{day}T12:00:00-05:00" for day in days],
            "largest_gap_h": 24.0,
            "least_slack_h": 11.0,
            "tightest_at": None,
            "overdue": False,
        }
        for one in sets
    ]
    empty = ("bound_h", "floor_h", "every_day", "as_before", "risk", "why")
    answer = {
        **dict.fromkeys(empty),
        "from": "2027-01-15T20:00:00-05:00",
        "to": "2027-01-29T20:00:00-05:00",
        "status": "feasible",
        "hours": 168.0,
        "drive_m": 14000.0,
        "outings": outings,
        "sets": rows,
        "overdue": [],
        "reliefs": [],
        "said": [],
    }
    work = {"id": "large", "job": "weeks", "state": "done", "told": "", "stopping": False, "bad_news": False}
    return {**work, "faults": [], "asked": {}, "answer": answer, "warnings": []}
