"""The ground under the map of the field page, in a real browser, with the machine gone."""

import json
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page, Playwright, sync_playwright
from pyproj import Transformer

from tests.browser import SHOTS, Machine, arrive, axe, browser_path, live_line, open_phone, served
from tests.hills import hills_file
from tests.journeys.run import done


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as found:
        yield found


@pytest.fixture
def machine(tmp_path: Path) -> Iterator[Machine]:
    line = live_line(tmp_path / "line")
    done("bring", str(hills_file(tmp_path)), "--line", line)
    with served(line) as machine:
        yield machine


PICTURE = """() => {
  const image = document.querySelector('.map img.shade');
  const box = (found) => (({left, top, right, bottom}) => [left, top, right, bottom])(
    found.getBoundingClientRect());
  return {
    loaded: image.complete && image.naturalWidth > 0, kind: image.src.slice(0, 23), box: box(image),
    labels: [...document.querySelectorAll('.map .height')].map(e => [e.textContent, ...box(e).slice(0, 2)]),
    inked: [...document.querySelectorAll('.leaflet-heights-pane canvas')].map(c =>
      c.getContext('2d').getImageData(0, 0, c.width, c.height).data
        .filter((v, n) => n % 4 === 3 && v > 0).length),
  };
}"""


@pytest.mark.parametrize("theme", ["snow", "dawn"])
def test_the_ground_is_under_the_sets_without_the_machine(
    playwright: Playwright, machine: Machine, tmp_path: Path, theme: str
) -> None:
    relief = machine.desk.carried()["relief"]
    phone = open_phone(playwright, tmp_path / "phone")
    page = phone.pages[0]
    arrive(page, machine.pairing())
    machine.stop()
    page.reload()
    page.wait_for_selector("h1.set")
    stopped: list[str] = []
    page.on("console", lambda said: stopped.append(said.text) if "Content Security" in said.text else None)
    page.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
    page.tap("nav >> text=Ground")
    page.wait_for_selector(".map .height span")
    page.wait_for_selector("text=/Thin lines: equal height, [0-9]+ ft apart. Heights from ridges.tif./")
    page.wait_for_timeout(400)
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / f"ground-relief-{theme}.png")
    seen = page.evaluate(PICTURE)
    assert seen["loaded"]
    assert seen["kind"] == "data:image/webp;base64,"
    assert min(seen["inked"]) > 1000
    assert_in_place(relief, seen)
    assert not stopped
    assert_sent_once(machine, page)
    assert_shaded(page)
    told: dict[str, Any] = page.evaluate(axe() + ";axe.run()")
    assert [v["id"] for v in told["violations"]] == []
    for _ in range(2):
        page.tap(".leaflet-control-zoom-out")
        page.wait_for_timeout(500)  # a tap while the view still moves is not taken
    page.wait_for_selector(".map .height", state="detached")
    phone.close()


def assert_sent_once(machine: Machine, page: Page) -> None:
    """The next round comes without the picture, and the map still has it."""
    before = machine.desk.carried()["relief"]
    assert machine.desk.carried(ground="another")["relief"] == before
    machine.start()
    with page.expect_response("**/api/round?*") as answered:
        page.evaluate("dispatchEvent(new Event('online'))")
    sent = answered.value.json()
    assert sent["relief"] == {"id": before["id"]}
    whole = len(answered.value.body()) + len(json.dumps(before))
    assert len(answered.value.body()) < 0.6 * whole
    page.wait_for_selector(".map .height span")
    page.reload()
    page.tap("nav >> text=Ground")
    page.wait_for_selector(".map .height span")
    page.wait_for_timeout(400)
    assert page.evaluate(PICTURE)["loaded"]


def assert_in_place(relief: dict[str, Any], seen: dict[str, Any]) -> None:
    """A height stands on the picture where PROJ's web Mercator (EPSG:3857) has its place."""
    turn = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    west, south = turn.transform(relief["west"], relief["south"])
    east, north = turn.transform(relief["east"], relief["north"])
    left, top, right, bottom = seen["box"]
    assert len(seen["labels"]) == len(relief["labels"]) > 0
    for label, (text, x, y) in zip(relief["labels"], seen["labels"], strict=True):
        across, up = turn.transform(*label["place"])
        assert text == label["text"]
        assert re.fullmatch(r"\d+ ft", text)
        assert x == pytest.approx(left + (across - west) / (east - west) * (right - left), abs=2)
        assert y == pytest.approx(top + (north - up) / (north - south) * (bottom - top), abs=2)


def assert_shaded(page: Page) -> None:
    """What the eye gets is light and shade: with the picture taken away, the map has fewer tones."""

    def spread() -> float:
        grey = np.array(Image.open(BytesIO(page.locator(".map").screenshot())).convert("L"), float)
        low, high = np.percentile(grey, [20, 80])
        return float(high - low)

    with_it = spread()
    page.evaluate("document.querySelector('.map img.shade').hidden = true")
    assert with_it > spread() + 5
    page.evaluate("document.querySelector('.map img.shade').hidden = false")
