"""A passphrase on the phone's own store, in a real browser: what lies on the disk, what a kill leaves."""

import contextlib
import json
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC
from PIL import Image
from playwright.sync_api import BrowserContext, Error, Page, Playwright, sync_playwright

from tests.browser import (
    SHOTS,
    SMALL,
    Machine,
    arrive,
    axe,
    browser_path,
    fine,
    kill_browser,
    live_line,
    open_phone,
    served,
    until,
)
from tests.journeys.run import done

WORDS = "frost on the third gate"
RARE = "Wq7ZkvP9hT4xB2rN"
"""No part of it repeats, so that packed files hold it as it is."""
NEW = "ravens over the north fence"
SECRETS = ("post 1", "post 7", "Jo Mill", "-78.01", "xx-demo", RARE)
"""What a thief would look for: landmarks, an owner, a place, a rule, a note."""


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[Machine]:
    line = live_line(tmp_path / "line")
    done("note", "landmark", "ford", "--note", RARE, "--at-place=-78.011,41.511", "--line", line)
    with served(line) as machine:
        yield machine


def on_disk(folder: Path) -> dict[str, list[str]]:
    """Find the secrets in every file the browser left, in the two forms in which it writes text."""
    found: dict[str, list[str]] = {}
    for file in folder.rglob("*"):
        if file.is_file():
            try:
                content = file.read_bytes()
            except FileNotFoundError:  # the browser has just taken it away
                continue
            for secret in SECRETS:
                if secret.encode() in content or secret.encode("utf-16-le") in content:
                    found.setdefault(secret, []).append(str(file.relative_to(folder)))
    return found


def crash(context: BrowserContext, folder: Path) -> None:
    kill_browser(folder)
    with contextlib.suppress(Error):  # it is gone already
        context.close()


def fill_new(page: Page, words: str) -> None:
    page.fill("label:has-text('New passphrase') input", words)
    page.fill("label:has-text('Once more') input", words)


def begin_to_seal(page: Page) -> None:
    page.tap("nav >> text=Outbox")
    page.tap("summary >> text=Set a passphrase")
    fill_new(page, WORDS)
    page.tap("button.wide >> text=Set a passphrase")


def unlock(page: Page, words: str) -> None:
    page.fill("label:has-text('Passphrase') input", words)
    page.tap("button.save")


def test_nothing_on_the_disk_can_be_read_without_the_passphrase(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    folder, picture = tmp_path / "phone", tmp_path / "picture.jpg"
    Image.new("RGB", (640, 480), "#8899aa").save(picture)
    phone = open_phone(playwright, folder)
    page = phone.pages[0]
    arrive(page, machine.pairing())
    machine.stop()
    other = phone.new_page()
    other.goto(machine.url)
    other.wait_for_selector("h1.set")
    page.bring_to_front()
    first = fine(page)
    assert set(on_disk(folder)) == {*SECRETS} - {"-78.01"}  # numbers are not written as text
    begin_to_seal(page)
    for tab in (page, other):
        tab.wait_for_selector("h1:has-text('store is sealed')")
        tab.wait_for_selector("text=1 to send")
    other.close()
    until(page, lambda: on_disk(folder) == {}, 30)  # the browser takes old files away by and by
    unlock(page, "frost on the third  fence")
    page.wait_for_selector("text=That is not the passphrase")
    unlock(page, WORDS)
    second = page.inner_text("h1.set")
    assert second != first
    page.tap("button.working")
    page.tap("summary")
    page.set_input_files("label.file input", picture)
    page.wait_for_selector("text=1 photo, without their place")
    page.tap("button.save")
    page.wait_for_selector(f"text={second} saved")
    crash(phone, folder)
    assert on_disk(folder) == {}

    phone = open_phone(playwright, folder)
    page = phone.pages[0]
    page.goto(machine.url)
    page.wait_for_selector("text=2 to send")
    machine.start()
    unlock(page, WORDS)
    page.wait_for_selector("text=all sent")
    assert machine.checks() == [first, second]
    until(page, lambda: list((Path(machine.line) / "photos/from-phones").glob("*.jpg")))
    phone.close()
    assert on_disk(folder) == {}


RAW = """async () => {
  const db = await new Promise(done => {
    const asked = indexedDB.open('tendline-sealed');
    asked.onsuccess = () => done(asked.result);
  });
  const text = bytes => btoa(String.fromCharCode(...new Uint8Array(bytes)));
  const got = (store, what) => new Promise(done => {
    const asked = db.transaction(store).objectStore(store)[what]();
    asked.onsuccess = () => done(asked.result);
  });
  const kept = await got('keep', 'getAll'), names = await got('keep', 'getAllKeys');
  const {rounds, salt, iv, wrapped} = kept[names.indexOf('lock')];
  const events = await got('events', 'getAll'), ids = await got('events', 'getAllKeys');
  db.close();
  return {rounds, salt: text(salt), iv: text(iv), wrapped: text(wrapped),
          events: events.map((box, n) => [ids[n], text(box)])};
}"""


def opened_elsewhere(raw: dict[str, Any], words: str) -> list[dict[str, Any]]:
    """Open what the browser sealed with another library: PBKDF2 (RFC 8018), AES-GCM (NIST SP 800-38D)."""
    salt, iv, wrapped = (b64decode(raw[key]) for key in ("salt", "iv", "wrapped"))
    kdf = PBKDF2HMAC(algorithm=SHA256(), length=32, salt=salt, iterations=raw["rounds"])
    key = AESGCM(AESGCM(kdf.derive(words.encode())).decrypt(iv, wrapped, None))
    found = []
    for identity, text in raw["events"]:
        box = b64decode(text)
        plain = key.decrypt(box[:12], box[12:], f"events/{identity}".encode())
        assert plain[0] == 0
        found.append(json.loads(plain[1:]))
    return found


def test_the_passphrase_can_be_changed_taken_away_and_forgotten(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    folder = tmp_path / "phone"
    phone = open_phone(playwright, folder)
    page = phone.pages[0]
    arrive(page, machine.pairing())
    machine.stop()
    name = fine(page)
    begin_to_seal(page)
    page.wait_for_selector("h1:has-text('store is sealed')")
    raw = page.evaluate(RAW)
    assert raw["rounds"] >= 600_000
    assert [one["body"]["set"] for one in opened_elsewhere(raw, WORDS)] == [name]
    unlock(page, WORDS)
    page.tap("nav >> text=Outbox")
    page.tap("summary >> text=Change the passphrase")
    fill_new(page, "short")
    page.wait_for_selector("text=At least 10 letters")
    fill_new(page, NEW)
    page.tap("button.wide >> text=Change the passphrase")
    page.wait_for_selector("text=That is not the passphrase")
    page.fill(".secret label:has-text('Passphrase') >> nth=0 >> input", WORDS)
    page.tap("button.wide >> text=Change the passphrase")
    page.wait_for_selector("text=Changed.")
    page.tap("text=Lock now")
    page.wait_for_selector("h1:has-text('store is sealed')")
    changed = page.evaluate(RAW)
    with pytest.raises(InvalidTag):
        opened_elsewhere(changed, WORDS)
    assert [one["body"]["set"] for one in opened_elsewhere(changed, NEW)] == [name]
    unlock(page, NEW)
    page.tap("nav >> text=Outbox")
    page.tap("summary >> text=Change the passphrase")
    page.fill(".secret label:has-text('Passphrase') >> nth=0 >> input", NEW)
    page.tap("text=Take the passphrase away")
    page.wait_for_selector("h1.set")
    page.wait_for_selector("text=1 to send")
    page.reload()
    page.wait_for_selector("h1.set")
    begin_to_seal(page)
    page.wait_for_selector("h1:has-text('store is sealed')")
    page.tap("text=Forgotten?")
    page.wait_for_selector("text=1 not sent yet would be LOST")
    page.tap("label.tick")
    page.tap("text=Erase this phone")
    page.wait_for_selector("text=No round on this phone yet")
    phone.close()


@pytest.mark.parametrize("theme", ["snow", "dawn"])
def test_the_views_of_the_passphrase_can_be_used_by_everybody(
    playwright: Playwright, machine: Machine, tmp_path: Path, theme: str
) -> None:
    phone = open_phone(playwright, tmp_path / "phone")
    page = phone.pages[0]
    arrive(page, machine.pairing())
    for name in ("passphrase", "unlock"):
        if name == "passphrase":
            page.tap("nav >> text=Outbox")
            page.tap("summary >> text=Set a passphrase")
            page.locator(".secret").last.scroll_into_view_if_needed()
        else:
            page.tap("nav >> text=Next")
            begin_to_seal(page)
            page.wait_for_selector("h1:has-text('store is sealed')")
            page.tap("text=Forgotten?")
        page.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
        SHOTS.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=SHOTS / f"{name}-{theme}.png")
        told = page.evaluate(axe() + ";axe.run()")["violations"]
        assert [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in told] == []
        assert page.evaluate(SMALL) == []
    phone.close()


def test_killed_while_it_is_being_sealed_nothing_is_lost(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    """Whenever it dies, the store is either as it was or sealed, and whole."""
    for turn, wait in enumerate((20, 250, 700)):
        folder = tmp_path / f"phone{turn}"
        phone = open_phone(playwright, folder)
        page = phone.pages[0]
        arrive(page, machine.pairing())
        machine.stop()
        noted = {fine(page), fine(page)}
        begin_to_seal(page)
        page.wait_for_timeout(wait)
        crash(phone, folder)
        phone = open_phone(playwright, folder)
        page = phone.pages[0]
        page.goto(machine.url)
        page.wait_for_selector("text=2 to send")
        if page.locator("h1:has-text('store is sealed')").count():
            unlock(page, WORDS)
        page.wait_for_selector("h1.set")
        before = len(machine.checks())
        machine.start()
        page.tap("nav >> text=Outbox")
        page.tap("text=Send now")
        page.wait_for_selector("text=all sent")
        assert set(machine.checks()[before:]) == noted
        phone.close()
