"""A set made on the round, told by the phone: judged by the same rules as one noted by hand."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, sync_playwright

from tests.browser import (
    SHOTS,
    SMALL,
    WHERE,
    Machine,
    arrive,
    axe,
    browser_path,
    live_line,
    open_phone,
    served,
)
from tests.journeys.run import done


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[Machine]:
    line = live_line(tmp_path / "line")
    done("note", "device-built", "900", "--line", line)
    with served(line) as machine:
        yield machine


def test_a_set_made_on_the_round_comes_to_the_line(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    phone = open_phone(playwright, tmp_path / "phone")
    page = phone.pages[0]
    arrive(page, machine.pairing())
    machine.stop()
    page.tap("nav >> text=Round")
    page.tap("text=A set made just now")
    page.wait_for_selector("text=Stand at the set: your place is taken, good to 26 ft")  # 8 m
    for wrong, says in (
        ("n3", "That name is taken"),
        ("gate", "That name is taken"),
        ("by the oak", "Up to 12"),
    ):
        page.fill("label:has-text('Short name') input", wrong)
        page.wait_for_selector(f"text={says}")
        assert page.is_disabled("button.save")
    page.fill("label:has-text('Short name') input", "Z9")
    page.select_option("label:has-text('Tag of the device') select", "900")
    page.select_option("label:has-text('Whose ground') select", "mill")
    page.fill("label:has-text('Landmark') input", "split rail")
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / "made.png", full_page=True)
    assert page.evaluate(axe() + ";axe.run()")["violations"] == []
    assert page.evaluate(SMALL) == []
    page.tap("button.save")
    page.wait_for_selector("text=1 to send")
    page.tap("nav >> text=Round")
    page.tap("text=A set made just now")
    page.fill("label:has-text('Short name') input", "z9")
    page.wait_for_selector("text=That name is taken")
    assert page.locator("label:has-text('Tag of the device') option").all_inner_texts() == ["not said"]
    machine.start()
    page.tap("nav >> text=Outbox")
    page.tap("text=Send now")
    page.wait_for_selector("text=all sent")
    one = machine.desk.space().line().sets["Z9"]
    assert (one.tag, one.parcel, one.landmark) == ("900", "mill", "split rail")
    assert (one.fix.place.lon, one.fix.place.lat) == (WHERE["longitude"], WHERE["latitude"])
    assert one.fix.accuracy_m == WHERE["accuracy"]
    assert machine.desk.state()["odd"] == 0
    page.wait_for_selector("text=all sent")
    page.tap("nav >> text=Round")
    page.wait_for_selector("text=split rail")  # the machine's next round has it
    phone.close()
