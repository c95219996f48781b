"""Spoken notes in a real browser: recorded or chosen, kept with the machine gone, sent whole."""

import contextlib
import hashlib
import wave
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Error, Playwright, sync_playwright

from tests.browser import (
    SHOTS,
    Machine,
    arrive,
    axe,
    browser_path,
    kill_browser,
    live_line,
    open_phone,
    served,
    until,
)


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[Machine]:
    with served(live_line(tmp_path / "line")) as machine:
        yield machine


def spoken(path: Path) -> Path:
    """A second of silence as another recorder would keep it."""
    with wave.open(str(path), "wb") as tone:
        tone.setparams((1, 2, 8000, 8000, "NONE", ""))
        tone.writeframes(bytes(16_000))
    return path


def test_a_spoken_note_is_kept_on_the_phone_and_reaches_the_record(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    folder, file = tmp_path / "phone", spoken(tmp_path / "note.wav")
    phone = open_phone(playwright, folder, permissions=["geolocation", "microphone"])
    page = phone.pages[0]
    arrive(page, machine.pairing())
    machine.stop()
    page.tap("button.knocked-down")
    page.tap("text=Deer")
    page.tap("summary")
    page.tap("text=Speak a note")
    page.wait_for_selector("text=/Stop: [1-9] of 120 s/")
    page.tap("text=/Stop: /")
    page.wait_for_selector("[aria-label='Spoken note 1']")
    page.set_input_files("label.file:has-text('A recording') input", file)
    page.wait_for_selector("[aria-label='Spoken note 2']")
    page.locator("[aria-label='Spoken note 2']").scroll_into_view_if_needed()
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / "voice.png")
    assert page.evaluate(axe() + ";axe.run()")["violations"] == []
    page.tap("button.save")
    page.wait_for_selector("text=1 to send")
    kill_browser(folder)
    with contextlib.suppress(Error):  # it is gone already
        phone.close()

    phone = open_phone(playwright, folder)
    page = phone.pages[0]
    page.goto(machine.url)
    page.tap("nav >> text=Outbox")
    page.wait_for_selector("text=2 spoken notes to send")
    machine.start()
    page.tap("text=Send now")
    page.wait_for_selector("text=all sent")
    home = Path(machine.line) / "voices/from-phones"
    until(page, lambda: len(list(home.glob("[!.]*"))) == 2)
    phone.close()
    (check,) = (e for e in machine.desk.space().events() if e.kind == "check")
    kept = {path.stem: path for path in home.iterdir()}
    assert set(kept) == set(check.body["voices"])
    assert all(hashlib.sha256(path.read_bytes()).hexdigest() == name for name, path in kept.items())
    assert sorted(path.suffix for path in kept.values()) == [".wav", ".webm"]
    assert kept[hashlib.sha256(file.read_bytes()).hexdigest()].read_bytes() == file.read_bytes()


def test_where_the_phone_may_not_listen_a_note_can_be_written(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    phone = open_phone(playwright, tmp_path / "phone")
    page = phone.pages[0]
    arrive(page, machine.pairing())
    page.evaluate("void (navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('no')))")
    page.tap("button.knocked-down")
    page.tap("text=Deer")
    page.tap("summary")
    page.tap("text=Speak a note")
    page.wait_for_selector("text=does not let this page listen")
    page.fill("label:has-text('Note') >> textarea", "drift to the top wire")
    page.tap("button.save")
    page.wait_for_selector("text=1 to send")
    page.tap("nav >> text=Outbox")
    page.tap("text=Send now")
    page.wait_for_selector("text=all sent")
    (check,) = (e for e in machine.desk.space().events() if e.kind == "check")
    assert check.body["note"] == "drift to the top wire"
    phone.close()
