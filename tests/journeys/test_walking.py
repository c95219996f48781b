"""Walks of a round as a person meets them: paths, barriers, snow by sinking, places that cannot be reached.

The ground is the invented plane of tests.plane_line; times are by Tobler's formula, written a second time.
"""

import json
import math
from pathlib import Path

import gpxpy.gpx
import pytest

from tests.journeys.run import done, run
from tests.plane_line import CORNERS, PARKING, lonlat, seconds, write_ground

AT = "2027-01-20T20:00-05:00"
ROUND = ("--start", "05:00", "--back", "12:00", "--all", "--iterations", "60", "--at", AT)


@pytest.fixture
def line(tmp_path: Path) -> str:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-81.0,40.6")
    done("bring", *write_ground(tmp_path), "--line", line, "--at", AT)
    return line


def tell(line: str, old: str, new: str) -> None:
    path = Path(line) / "line.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def first_walk_min(line: str) -> float:
    """Minutes on foot from the parking to the first set."""
    seen = done("round", "--line", line, *ROUND, "--json")
    visit = seen.data["stops"][0]["visits"][0]
    assert visit["set"] == "G1"
    return float(visit["walk_min"])


def test_paths_and_factors_change_the_walk_by_as_much_as_is_said(line: str, tmp_path: Path) -> None:
    # The parking lies 100 m west of G1, on the same row of cells.
    straight = seconds(PARKING, CORNERS[0], 1.0) / 60
    assert first_walk_min(line) == pytest.approx(straight, rel=0.02)

    tell(line, "# sink_in = 8 ", "sink_in = 8 ")
    # Pandolf and others (1976): 1.30 + 0.082 x 20.32 cm = 2.966 against light brush, 1.2; time with the root.
    assert first_walk_min(line) == pytest.approx(straight * math.sqrt(2.966 / 1.2), rel=0.02)
    tell(line, "\nsink_in = 8 ", "\n# sink_in = 8 ")

    gpx = gpxpy.gpx.GPX()
    segment = gpxpy.gpx.GPXTrackSegment()
    for x in (380.0, 1520.0):
        lon, lat = lonlat((x, -505.0))
        segment.points.append(gpxpy.gpx.GPXTrackPoint(lat, lon))
    gpx.tracks.append(gpxpy.gpx.GPXTrack(name="ride"))
    gpx.tracks[0].segments.append(segment)
    (tmp_path / "path.gpx").write_text(gpx.to_xml(version="1.1"))
    done("bring", str(tmp_path / "path.gpx"), "--line", line, "--at", AT)
    # On the path the 0.6 for going off it falls away.
    assert first_walk_min(line) == pytest.approx(straight * 0.6, rel=0.02)
    text = done("round", "--line", line, *ROUND).out
    assert "1 path(s): curve tobler-1993" in " ".join(text.split())
    assert "kcal" in text
    tell(line, 'paths = "drawn"', 'paths = "none"')
    assert first_walk_min(line) == pytest.approx(straight, rel=0.02)


def test_another_curve_and_what_cannot_be_meant(line: str) -> None:
    before = first_walk_min(line)
    tell(line, 'model = "tobler-1993"', 'model = "marquez-2017"')
    # 4.8 exp(-5.3 |0.7 x 0.08 + 0.03|) km/h against 6 exp(-3.5 |0.08 + 0.05|), both off the path.
    other = 6 * math.exp(-3.5 * 0.13) / (4.8 * math.exp(-5.3 * 0.086))
    assert first_walk_min(line) == pytest.approx(before * other, rel=0.02)
    tell(line, 'model = "marquez-2017"', 'model = "brisk"')
    seen = run("round", "--line", line, *ROUND)
    assert seen.code == 2
    assert "JOB-203" in seen.err
    assert "naismith-langmuir" in seen.err


def test_a_set_that_is_shut_in_is_named_with_what_to_do(line: str, tmp_path: Path) -> None:
    x, y = CORNERS[2]
    ring = [lonlat((x + dx, y + dy)) for dx, dy in ((-80, -80), (80, -80), (80, 80), (-80, 80), (-80, -80))]
    wall = {
        "type": "Feature",
        "properties": {"kind": "barrier", "name": "quarry wall"},
        "geometry": {"type": "LineString", "coordinates": [list(p) for p in ring]},
    }
    path = tmp_path / "wall.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [wall]}))
    done("bring", str(path), "--line", line, "--at", AT)
    seen = run("round", "--line", line, *ROUND)
    assert seen.code == 2
    assert "PLAN-104 G3: no parking reaches it on foot." in seen.err
    assert "look for a barrier that shuts it in" in seen.err


def test_sets_off_the_model_are_named_when_others_are_on_it(line: str) -> None:
    lon, lat = lonlat((-400.0, -500.0))
    done("note", "set-made", "G9", "--tag", "9", f"--at-place={lon},{lat}", "--line", line, "--at", AT)
    seen = run("round", "--line", line, *ROUND)
    assert seen.code == 2
    assert "TERR-101 G9" in seen.err
