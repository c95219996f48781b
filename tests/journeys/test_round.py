"""From files to tomorrow's card on a real elevation model; times and limits worked out again by other means.

Elevation: Jacksboro fault, Tennessee, from the SRTM (public domain), as matplotlib ships it in its sample
data. The places on it are made up.
"""

import json
import math
import re
import signal
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import gpxpy.gpx
import jsonschema
import matplotlib.cbook
import numpy as np
import pypdfium2
import pytest
import rasterio
from affine import Affine

from tendline.jobs.round import Asked, plan
from tendline.jobs.workspace import open_workspace
from tests.journeys.run import Seen, done, run
from tests.validation.plan.verify import violations

REPORT = Path(__file__).parents[2] / "src/tendline"
AT = "2027-01-14T20:30-05:00"
ROUND = ("--start", "05:00", "--back", "10:00", "--iterations", "300", "--at", AT)


def write_heights(path: Path, *, feet: bool = False) -> str:
    """Write the real model as a GeoTIFF in degrees; north row first."""
    with np.load(str(matplotlib.cbook.get_sample_data("jacksboro_fault_dem.npz", asfileobj=False))) as found:
        z = found["elevation"].astype(np.float32)
        west, east = float(found["xmin"]), float(found["xmax"])
        north, south = max(found["ymin"], found["ymax"]), min(found["ymin"], found["ymax"])
    rows, cols = z.shape
    cell = Affine((east - west) / cols, 0, west, 0, -(float(north) - float(south)) / rows, float(north))
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=rows,
        width=cols,
        count=1,
        dtype="float32",
        crs="EPSG:4326",
        transform=cell,
    ) as out:
        out.write(z / np.float32(0.3048) if feet else z, 1)
        out.units = ("ft" if feet else "m",)
    return str(path)


SPOTS = [(-84.30, 36.50), (-84.26, 36.52), (-84.22, 36.47)]
"""Where three made-up parkings stand: longitude, latitude."""


def write_places(path: Path, *, sets: int = 12) -> str:
    """Write parkings and sets round them as GPX."""
    gpx = gpxpy.gpx.GPX()
    for k, (lon, lat) in enumerate(SPOTS):
        gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(lat, lon, name=f"P{k + 1}", type="parking"))
    for k in range(sets):
        lon, lat = SPOTS[k % 3]
        angle = 2.4 * k  # golden angle, so that no two stand together
        when = datetime(2027, 1, 14, 10, 0, tzinfo=UTC) + timedelta(minutes=7 * k)
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                lat + 0.004 * math.sin(angle),
                lon + 0.005 * math.cos(angle),
                name=f"S{k + 1}",
                type="set",
                time=when,
            )
        )
    path.write_text(gpx.to_xml(version="1.1"), encoding="utf-8")
    return str(path)


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A line on real ground: twelve sets, three parkings, heights in degrees, a confirmed profile."""
    folder = tmp_path_factory.mktemp("real")
    line = str(folder / "line")
    done(
        "start",
        line,
        "--zone",
        "America/New_York",
        "--handler",
        "Ann",
        "--home=-84.28,36.49",
        "--profile",
        "us-pa",
    )
    with (Path(line) / "line.toml").open("a", encoding="utf-8") as settings:
        settings.write('\n[[confirmed]]\nprofile = "us-pa"\non = 2026-11-01\nuntil = 2027-02-22\n')
    places, heights = write_places(folder / "places.gpx"), write_heights(folder / "heights.tif")
    seen = done("bring", places, heights, "--line", line, "--at", AT)
    found = re.search(r"heights (\d+) to (\d+) m, read as metre", seen.out)
    assert found is not None
    # The model runs from 236 to 1076 m; between its cells heights are a little less extreme.
    assert 236 <= int(found[1]) <= 260
    assert 1060 <= int(found[2]) <= 1076
    return line


def test_start_bring_round_and_paper_on_real_ground(ground: str, tmp_path: Path) -> None:
    seen = done("round", "--line", ground, *ROUND, "--json")
    schema = json.loads((REPORT / "report/schemas/round.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    text = done("round", "--line", ground, *ROUND)
    assert all(f"S{k}" in text.out for k in range(1, 13))
    card = tmp_path / "card.pdf"
    paper = done("paper", "route-card", "--line", ground, *ROUND, "--out", str(card), "--json")
    schema = json.loads((REPORT / "jobs/schemas/paper.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(paper.data)
    assert paper.data["round"]["stops"] == seen.data["stops"]
    pages = pypdfium2.PdfDocument(card)
    words = "\n".join(page.get_textpage().get_text_bounded() for page in pages)
    assert all(f"S{k}" in words for k in range(1, 13))
    pages.close()


def test_every_time_and_limit_of_the_plan_is_worked_out_again(ground: str) -> None:
    space = open_workspace(ground, at=AT)
    asked = Asked(start="05:00", back="10:00", iterations=300, seconds=None)
    planned = plan(space, asked)
    assert planned.verdict.fits
    assert violations(planned.problem, planned.verdict.plan) == []
    line = space.line()
    for visit in planned.verdict.plan.visits:
        last = line.sets[visit.set_name].last_seen
        assert last is not None
        assert visit.look <= last + timedelta(hours=36)  # the rule, without asking the rules room
        assert visit.due is not None
        assert abs(visit.due - last - timedelta(hours=36)) <= timedelta(seconds=1)


def test_the_same_seed_and_steps_give_the_same_plan(ground: str) -> None:
    first = done("round", "--line", ground, *ROUND, "--json").data
    assert done("round", "--line", ground, *ROUND, "--json").data == first


def test_heights_in_feet_give_the_same_walk(ground: str, tmp_path: Path) -> None:
    line = str(tmp_path / "feet")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    done(
        *("bring", write_places(tmp_path / "places.gpx"), write_heights(tmp_path / "heights.tif", feet=True)),
        *("--line", line, "--at", AT),
    )
    feet = done("round", "--line", line, *ROUND, "--json").data
    metres = done("round", "--line", ground, *ROUND, "--json").data
    assert _minutes_on_foot(feet) == pytest.approx(_minutes_on_foot(metres), abs=1.0)


def _minutes_on_foot(data: dict[str, Any]) -> float:
    return math.fsum(visit["walk_min"] for stop in data["stops"] for visit in stop["visits"])


def test_without_heights_straight_distance_is_used_and_said(tmp_path: Path) -> None:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    done("bring", write_places(tmp_path / "places.gpx"), "--line", line, "--at", AT)
    seen = done("round", "--line", line, *ROUND)
    assert "no elevation model" in seen.out


def test_what_does_not_fit_is_said_first_and_is_bad_news(ground: str) -> None:
    seen = run(
        "round",
        "--line",
        ground,
        "--start",
        "05:00",
        "--back",
        "05:40",
        "--iterations",
        "200",
        "--at",
        AT,
        "--all",
    )
    assert seen.code == 1
    assert seen.out.index("NOT ON THIS ROUND") < seen.out.index("leave home")
    for relief in ("Least to drop:", "Or start earlier:", "Or return later:"):
        assert relief in seen.out


def test_a_set_off_the_heights_is_named(ground: str, tmp_path: Path) -> None:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    gpx = gpxpy.gpx.GPX()
    gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(30.0, -84.3, name="P1", type="parking"))
    gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(30.001, -84.3, name="S1", type="set"))
    (tmp_path / "far.gpx").write_text(gpx.to_xml(version="1.1"), encoding="utf-8")
    done(
        "bring",
        str(tmp_path / "far.gpx"),
        write_heights(tmp_path / "heights.tif"),
        "--line",
        line,
        "--at",
        AT,
    )
    seen = run("round", "--line", line, *ROUND)
    assert seen.code == 2
    assert "JOB-404" in seen.err
    assert "S1" in seen.err


def test_a_set_that_no_parking_serves_is_named(tmp_path: Path) -> None:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    done("note", "set-made", "S1", "--tag", "1", "--at-place=-84.3,36.5", "--line", line, "--at", AT)
    assert "JOB-402" in run("round", "--line", line, *ROUND).err


def test_a_line_without_a_home_or_without_sets_is_told(tmp_path: Path) -> None:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York")
    assert "JOB-401" in run("round", "--line", line, *ROUND).err
    other = str(tmp_path / "other")
    done("start", other, "--zone", "America/New_York", "--home=-84.28,36.49")
    assert "JOB-401" in run("round", "--line", other, *ROUND).err


def test_a_set_named_that_is_none_is_told(ground: str) -> None:
    seen = run("round", "--line", ground, *ROUND, "--must", "S1,S99")
    assert seen.code == 2
    assert "S99" in seen.err


def seen_text(seen: Seen) -> str:
    return " ".join(seen.out.split())


def test_hours_on_record_are_taken_when_none_are_given(ground: str) -> None:
    at = ("--line", ground, "--at", AT)
    done("note", "available", "Ann", "--start", "2027-01-15T05:00", "--end", "2027-01-15T10:00", *at)
    seen = done("round", *at, "--iterations", "100", "--json")
    assert seen.data["latest_return"] == "2027-01-15T10:00:00-05:00"


def test_a_round_can_start_where_the_truck_stands(ground: str) -> None:
    seen = done("round", "--line", ground, *ROUND, "--from", "P2", "--to", "home", "--json")
    assert seen.data["stops"][0]["drive_min"] == 0
    assert seen.data["stops"][0]["parking"] == "P2"
    assert seen.data["start"] == "P2 (start)"
    assert seen.data["end"] == "home"
    assert "JOB-301" in run("round", "--line", ground, *ROUND, "--from", "nowhere").err


READY = """
import signal, sys, threading, time
from tendline.cli.main import main

def tell():
    while signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        time.sleep(0.02)
    print("ready", file=sys.stderr, flush=True)

threading.Thread(target=tell, daemon=True).start()
sys.argv = ["tendline", *sys.argv[1:]]
main()
"""
"""Runs the command line, and says when Ctrl-C will be heard."""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_ctrl_c_ends_the_search_with_the_best_so_far(ground: str) -> None:
    words = ["round", "--line", ground, "--start", "05:00", "--back", "10:00", "--seconds", "600"]
    child = subprocess.Popen(
        [sys.executable, "-c", READY, *words, "--at", AT, "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stderr is not None
    assert child.stderr.readline() == b"ready\n"
    child.send_signal(signal.SIGINT)
    out, err = child.communicate(timeout=60)
    assert child.returncode == 0, err.decode()
    assert sum(len(stop["visits"]) for stop in json.loads(out)["stops"]) == 12
