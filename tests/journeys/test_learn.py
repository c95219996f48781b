"""A person who walks at 1.2 times Tobler's curve, and 1.5 times that in snow, has it told back by the record.

The ground is an invented tilted plane. The walker is made with Tobler's formula written down a second time
(tests.walk_reference), so that what is learned is checked against what was put in.
"""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import gpxpy.gpx
import jsonschema
import numpy as np
import pytest

from tendline.jobs.workspace import SETTINGS, open_workspace
from tests.journeys.run import done, run
from tests.plane_line import CORNERS, lonlat, seconds, write_ground

SCHEMA = Path(__file__).parents[2] / "src/tendline/jobs/schemas/learn.schema.json"
AT = "2027-01-20T20:00-05:00"
OWN, SNOW, LOOK_S = 1.2, 1.5, 90.0


def write_walks(path: Path, days: dict[int, float]) -> str:
    """Write one recorded round of the four sets for each day, with a stop at each."""
    chance = np.random.default_rng(6)
    gpx = gpxpy.gpx.GPX()
    for day, factor in days.items():
        clock = datetime(2027, 1, day, 12, tzinfo=UTC)
        mood = factor * float(np.exp(chance.normal(0, 0.03)))
        segment = gpxpy.gpx.GPXTrackSegment()
        for a, b in zip([*CORNERS, CORNERS[0]], [*CORNERS[1:], CORNERS[0]], strict=False):
            steps = 80
            for k in range(steps):
                spot = tuple(p + (q - p) * k / steps for p, q in zip(a, b, strict=True))
                lon, lat = lonlat((spot[0] + chance.normal(0, 1.5), spot[1] + chance.normal(0, 1.5)))
                segment.points.append(gpxpy.gpx.GPXTrackPoint(lat, lon, time=clock))
                clock += timedelta(seconds=seconds(a, b, mood) / steps)
            lon, lat = lonlat(b)
            for _ in range(9):
                segment.points.append(gpxpy.gpx.GPXTrackPoint(lat, lon, time=clock))
                clock += timedelta(seconds=LOOK_S / 9)
        track = gpxpy.gpx.GPXTrack(name=f"round {day}")
        track.segments.append(segment)
        gpx.tracks.append(track)
    path.write_text(gpx.to_xml(version="1.1"))
    return str(path)


def write_record(line: str, days: dict[int, float]) -> None:
    """Put checks of three sets a day, and the snow of that day, on record."""
    space = open_workspace(line, at=AT)
    chance = np.random.default_rng(5)
    drafts = []
    for day, factor in days.items():
        clock = datetime(2027, 1, day, 12, tzinfo=UTC)
        snow_m = 0.2 if factor > OWN else 0.0
        drafts.append(space.draft("weather-seen", {"snow_m": snow_m}, happened_at=clock - timedelta(hours=1)))
        for k, name in enumerate(["G1", "G2", "G3", "G4"]):
            if k:
                walk = seconds(CORNERS[k - 1], CORNERS[k], factor)
                clock += timedelta(seconds=walk + LOOK_S + float(chance.normal(0, 8)))
            body = {
                "set": name,
                "found_as": "working",
                "what_happened": "nothing",
                "done": "looked",
                "left_as": "working",
            }
            drafts.append(space.draft("check", body, happened_at=clock))
    with space.store() as store, store.transaction():
        store.append(drafts)


DAYS = {day: OWN * (SNOW if day >= 11 else 1.0) for day in range(6, 18)}
"""Mornings of January: six on bare ground, then six in snow."""


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("learn")
    line = str(folder / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-81.0,40.6")
    done("bring", *write_ground(folder), "--line", line, "--at", AT)
    return line


def offers(line: str, *words: str) -> dict[str, dict[str, float]]:
    seen = done("learn", "--line", line, "--at", AT, "--json", *words)
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(seen.data)
    return {one["key"]: one for one in seen.data["offers"]}


def test_the_record_tells_back_how_the_person_walks(line: str, tmp_path: Path) -> None:
    seen = done("learn", "--line", line, "--at", AT)
    assert "Not enough on record yet" in seen.out
    assert "bring GPX tracks with times" in seen.out
    assert "3 outings, or 20 times from look to look, are needed" in seen.out
    assert "JOB-301" in run("learn", "--line", line, "--at", AT, "--accept", "walk.own").err

    write_record(line, DAYS)
    only_checks = offers(line)
    # 15 gaps on bare ground are too few to tell walking from looking.
    assert "walk.own" not in only_checks

    done("bring", write_walks(tmp_path / "walks.gpx", DAYS), "--line", line, "--at", AT)
    found = offers(line)
    own, snow, look = found["walk.own"], found["walk.snow"], found["time.look_min"]
    assert own["low"] <= OWN <= own["high"] or own["value"] == pytest.approx(OWN, rel=0.03)
    assert own["value"] == pytest.approx(OWN, rel=0.04)
    assert snow["value"] == pytest.approx(SNOW, rel=0.06)
    assert snow["low"] < SNOW < snow["high"]
    assert look["value"] == pytest.approx(LOOK_S / 60, abs=0.3)
    assert "within 20 m of the set on recorded walks" in str(look["basis"])
    assert "8 in" in str(snow["basis"]) or "7.9 in" in str(snow["basis"])

    before = (Path(line) / SETTINGS).read_text(encoding="utf-8")
    assert "own = 1.0" in before
    text = done("learn", "--line", line, "--at", AT).out
    assert "Nothing was changed" in text
    assert (Path(line) / SETTINGS).read_text(encoding="utf-8") == before

    assert "JOB-301" in run("learn", "--line", line, "--at", AT, "--accept", "walk.pace").err
    assert (
        "Written into line.toml: walk.own."
        in done("learn", "--line", line, "--at", AT, "--accept", "walk.own").out
    )
    after = open_workspace(line).settings
    assert after.walk.own == pytest.approx(own["value"])
    assert after.walk.snow == 1.0
    kept = (Path(line) / SETTINGS).read_text(encoding="utf-8")
    assert "# until 2027-01-20: own = 1.0" in kept
    assert "learned: " in kept

    done("learn", "--line", line, "--at", AT, "--accept", "all")
    assert open_workspace(line).settings.walk.snow == pytest.approx(snow["value"])
    # What is offered does not depend on what was accepted before.
    assert offers(line)["walk.own"]["value"] == own["value"]


def test_the_times_of_looks_alone_tell_the_pace_when_there_are_enough(tmp_path: Path) -> None:
    line = str(tmp_path / "line")
    done("start", line, "--zone", "America/New_York", "--handler", "Ann", "--home=-81.0,40.6")
    done("bring", *write_ground(tmp_path), "--line", line, "--at", AT)
    write_record(line, dict.fromkeys(range(6, 18), OWN))
    found = offers(line)
    # 36 gaps; ways over sixteen directions are a few percent long at most.
    assert found["walk.own"]["value"] == pytest.approx(OWN, rel=0.06)
    assert found["time.look_min"]["value"] == pytest.approx(LOOK_S / 60, abs=0.5)
    assert found["time.fix_share"]["value"] == 0.0
