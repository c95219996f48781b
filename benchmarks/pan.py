"""How smoothly the map of the desk page is dragged with 1,000 sets on hills, without a GPU.

A real server, the Chromium on this machine with its GPU off, and a mouse that drags the map to and fro while
every frame is counted. The bound beside it is the same mouse over a page with nothing on it.
"""

import shutil
import statistics
import tempfile
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.desk import EVENING, SETS, Served, let_in
from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.core.place import LonLat
from tendline.ground.raster_out import geotiff
from tendline.jobs.bring import bring
from tendline.jobs.start import start
from tendline.jobs.workspace import open_workspace

PORT = 8873
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-software-rasterizer"]
DRAGS, MOVES = 6, 40
EMPTY = {"x": 170.0, "y": 120.0, "width": 700.0, "height": 580.0}

COUNT = """() => {
  window.frames_ = [];
  const step = (now) => { window.frames_.push(now); window.counting = requestAnimationFrame(step); };
  window.counting = requestAnimationFrame(step);
}"""
COUNTED = "() => { cancelAnimationFrame(window.counting); return window.frames_; }"


def crowded_line(scratch: Path) -> str:
    """Make a line of 1,000 sets scattered over 7 by 5 km of hills, all on record since this morning."""
    rng = np.random.default_rng(8)
    line, crs = str(scratch / "line"), "EPSG:32617"
    start(line, zone="America/New_York", handler="Ann Example", profiles=("xx-demo",))
    places = rng.uniform((-78.04, 41.49), (-77.96, 41.54), (SETS, 2))
    rows = [
        f"set,N{n},{lon:.6f},{lat:.6f},2027-01-15 07:00,{1000 + n}" for n, (lon, lat) in enumerate(places)
    ]
    (scratch / "sets.csv").write_text("\n".join(["kind,name,lon,lat,set_at,tag", *rows]))
    x, y = Projector(crs).to_xy(LonLat(-78.06, 41.56))
    east, south = np.meshgrid(np.arange(1000) * 10.0, np.arange(1000) * 10.0)
    z = 400 + 60 * np.sin((east + 0.4 * south) / 143) + 12 * np.sin(east / 70) * np.cos(south / 90)
    (scratch / "hills.tif").write_bytes(geotiff(Grid(z.astype(np.float32), crs, x, y, 10.0, 10.0)))
    bring(open_workspace(line, at=EVENING), [str(scratch / "sets.csv"), str(scratch / "hills.tif")])
    return line


def dragged(page: Any, box: Any) -> list[float]:
    """Drag to and fro; give how long each frame took [ms]."""
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.evaluate(COUNT)
    for drag in range(DRAGS):
        side = 1 if drag % 2 else -1
        page.mouse.move(*middle)
        page.mouse.down()
        for move in range(1, MOVES + 1):
            page.mouse.move(middle[0] + side * move * 6, middle[1] + side * move * 3)
        page.mouse.up()
    frames = page.evaluate(COUNTED)
    return [after - before for before, after in pairwise(frames)]


def told(name: str, frames: list[float]) -> float:
    """Print one line; give the frames a second in the middle of all."""
    middle = statistics.median(frames)
    slow = sorted(frames)[int(len(frames) * 0.95)]
    mean = 1000 * len(frames) / sum(frames)
    print(
        f"{name}: {mean:.0f} frames a second, median frame {middle:.1f} ms, p95 {slow:.1f} ms,"
        f" longest {max(frames):.0f} ms"
    )
    return mean


def main() -> None:
    """Print the table."""
    chromium = shutil.which("chromium")
    if chromium is None:
        print("no Chromium on this machine")
        return
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        served = Served(crowded_line(Path(scratch)), EVENING, PORT)
        browser = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        try:
            page = browser.new_page(viewport={"width": 1366, "height": 768})
            page.goto("about:blank")
            bare = told("nothing on the page", dragged(page, EMPTY))
            word = let_in(served.address).post("api/desk/offer", json={"for": "desk"}).json()["answer"]["url"]
            page.goto(f"{served.address.split('#')[0]}#{word.split('#')[1]}")
            page.wait_for_selector("main h1")
            page.evaluate("location.hash = '#/ground'")
            page.wait_for_selector(".ground[data-ready]", timeout=120_000)
            page.wait_for_timeout(1000)
            box = page.locator(".map").bounding_box()
            assert box is not None
            rate = told(f"hills with {SETS:,} sets", dragged(page, box))
            print(f"  {rate / bare:.0%} of what the empty page has")
        finally:
            browser.close()
            served.stop()


if __name__ == "__main__":
    main()
