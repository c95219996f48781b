"""The field page when it is made hard: many sets, kills at any moment, a name rebound, TLS."""

import base64
import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Error, Playwright, sync_playwright

from tests.browser import (
    SHOTS,
    Machine,
    arrive,
    browser_path,
    fine,
    killed_at_random,
    live_line,
    many_sets,
    open_phone,
    served,
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


NAMES = """[...document.querySelectorAll('.map .set-name')].filter(e => e.offsetWidth > 0).map(e => {
  const {left, top, right, bottom} = e.getBoundingClientRect();
  return [e.textContent, left, top, right, bottom];
})"""


def assert_apart(names: list[Any], wanted: str) -> None:
    """No name on the map lies over another; the next set's is there."""
    for n, (_, left, top, right, bottom) in enumerate(names):
        for _, west, north, east, south in names[n + 1 :]:
            assert right <= west or east <= left or bottom <= north or south <= top
    assert wanted in {name for name, *_ in names}


def test_three_hundred_sets(playwright: Playwright, machine: Machine, tmp_path: Path) -> None:
    file = tmp_path / "round.json"
    file.write_text(json.dumps(many_sets(machine.desk.carried(), 300)), encoding="utf-8")
    phone = open_phone(playwright, tmp_path / "phone")
    page = phone.pages[0]
    page.goto(machine.url)
    page.wait_for_selector("html[data-offline=ready]", state="attached")
    page.set_input_files("label.file input", file)
    page.wait_for_selector("h1.set")
    machine.stop()
    noted = [fine(page) for _ in range(3)]
    page.reload()
    page.wait_for_selector("text=3 to send")
    page.tap("nav >> text=Round")
    page.wait_for_selector("text=3 of 300 done")
    assert page.locator(".sets li").count() == 297
    page.tap("text=Nearest first")
    page.wait_for_selector("text=Always the nearest one next")
    page.tap("nav >> text=Next")
    coming = page.inner_text("h1.set")
    page.tap("nav >> text=Ground")
    page.wait_for_selector(".map .set-name:visible")
    page.wait_for_timeout(400)
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / "ground-300.png")
    assert len(set(noted)) == 3
    few = page.evaluate(NAMES)
    assert_apart(few, coming)
    for _ in range(3):
        page.tap(".leaflet-control-zoom-in")
        page.wait_for_timeout(500)  # a tap while the view still moves is not taken
    many = page.evaluate(NAMES)
    assert_apart(many, coming)
    assert len(many) > len(few) >= 1
    page.screenshot(path=SHOTS / "ground-300-near.png")
    phone.close()


def test_killed_at_random_moments_nothing_is_lost_or_doubled(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    """What was shown as saved comes to the record once; what a kill cut off, once or not at all."""
    shown, came = killed_at_random(playwright, machine, tmp_path / "phone", rounds=4, seed=7)
    assert shown
    assert set(shown) <= set(came)
    assert len(came) == len(set(came)) <= len(shown) + 4


def test_a_name_rebound_to_this_machine_reads_and_writes_nothing(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    """A page of evil.test whose name now leads here is of one origin with us, for the browser."""
    phone = open_phone(playwright, tmp_path / "phone", "--host-resolver-rules=MAP evil.test 127.0.0.1")
    page = phone.pages[0]
    before = len(machine.desk.space().events())
    answer = page.goto(f"http://evil.test:{machine.port}/")
    assert answer is not None
    assert (answer.status, page.inner_text("body")) == (421, "not the name of this machine")
    word = machine.desk.offer().word
    got = page.evaluate(
        """async (word) => {
          const headers = {'content-type': 'application/json', 'x-tendline': '1'};
          const body = JSON.stringify({word, label: ''});
          const found = [], pair = {method: 'POST', headers, body};
          for (const [path, options] of [['api/round', {}], ['', {}], ['api/pair', pair]])
            found.push((await fetch('/' + path, options)).status);
          return found;
        }""",
        word,
    )
    assert got == [421, 421, 421]
    assert len(machine.desk.space().events()) == before
    assert machine.desk.pair(word, "mine") is not None  # it was not used up
    phone.close()


def test_over_tls_by_the_private_authority_it_works_without_the_machine(
    playwright: Playwright, machine: Machine, tmp_path: Path
) -> None:
    """A browser that trusts this one certificate stands for a phone that has installed its authority."""
    machine.stop()
    keys = machine.on_lan("field.local")
    machine.start()
    leaf = x509.load_pem_x509_certificate(keys.certificate.read_bytes())
    leaf.verify_directly_issued_by(x509.load_der_x509_certificate(keys.authority))
    key = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    trusted = base64.b64encode(hashlib.sha256(key).digest()).decode()
    named = "--host-resolver-rules=MAP field.local 127.0.0.1"
    stranger = open_phone(playwright, tmp_path / "stranger", named)
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        stranger.pages[0].goto(machine.url)
    stranger.close()
    trusting = f"--ignore-certificate-errors-spki-list={trusted}"
    phone = open_phone(playwright, tmp_path / "phone", named, trusting)
    page = phone.pages[0]
    arrive(page, machine.pairing())
    assert page.url == machine.url
    machine.stop()
    page.reload()
    page.wait_for_selector("h1.set")
    noted = fine(page)
    machine.start()
    page.tap("nav >> text=Outbox")
    page.tap("text=Send now")
    page.wait_for_selector("text=all sent")
    assert machine.checks() == [noted]
    phone.close()
