"""Files in, as people have them: good, changed, ugly, and killed half-way."""

import csv
import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import gpxpy.gpx
import pytest

from tests.journeys.run import Seen, done, run

AT = "2027-01-12T06:00-05:00"


@pytest.fixture
def line(tmp_path: Path) -> str:
    """A new, empty line."""
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    return folder


def bring(line: str, *words: str) -> Seen:
    return run("bring", *words, "--line", line, "--at", AT)


def sets_of(line: str) -> dict[str, Any]:
    return {s["set"]: s for s in done("due", "--line", line, "--at", AT, "--json").data["sets"]}


def write_gpx(path: Path, names: list[str | None], *, kind: str | None = "set") -> str:
    gpx = gpxpy.gpx.GPX()
    for k, name in enumerate(names):
        point = gpxpy.gpx.GPXWaypoint(41.5 + k * 1e-4, -78.0 - k * 1e-4, name=name, type=kind)
        gpx.waypoints.append(point)
    path.write_text(gpx.to_xml(version="1.1"), encoding="utf-8")
    return str(path)


def square(name: str, west: float, south: float) -> dict[str, Any]:
    ring = [
        [west, south],
        [west + 0.02, south],
        [west + 0.02, south + 0.02],
        [west, south + 0.02],
        [west, south],
    ]
    return feature({"type": "Polygon", "coordinates": [ring]}, {"kind": "parcel", "name": name})


def feature(geometry: dict[str, Any], properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def write_geojson(path: Path, *features: dict[str, Any]) -> str:
    path.write_text(json.dumps({"type": "FeatureCollection", "features": list(features)}), encoding="utf-8")
    return str(path)


def write_csv(path: Path, *rows: dict[str, Any]) -> str:
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return str(path)


def row(name: str, **more: Any) -> dict[str, Any]:
    base = {
        "kind": "set",
        "name": name,
        "lon": -78.001,
        "lat": 41.501,
        "set_at": "2027-01-11 06:00",
        "tag": f"T{name}",
    }
    return {**base, "loop_in": 11, "bottom_in": 10, "surface": "ground", **more}


def test_a_file_brought_again_changes_nothing_and_a_changed_one_says_what(line: str, tmp_path: Path) -> None:
    path = write_csv(tmp_path / "sets.csv", row("N1"), row("N2", lon=-78.002), row("N3", lon=-78.003))
    assert "3 new: N1, N2, N3" in bring(line, path).out
    before = done("note", "list", "--line", line, "--json").data
    assert "nothing changed" in bring(line, path).out
    assert done("note", "list", "--line", line, "--json").data == before
    write_csv(tmp_path / "sets.csv", row("N1", loop_in=9), row("N2", lon=-78.0021))
    seen = bring(line, path)
    assert "N1 changed: loop 11 in to 9 in" in seen.out
    assert "N2 changed: moved 9 yd" in seen.out
    assert "no longer in the file, kept on record: N3" in seen.out
    listed = done("note", "list", "N1", "--kind", "set-made", "--line", line, "--json").data["events"][0]
    assert listed["body"]["loop_m"] == pytest.approx(0.2794)
    assert listed["changes"][0]["body"]["fields"]["loop_m"] == pytest.approx(0.2286)


def test_the_same_thing_out_of_a_renamed_file_is_not_doubled(line: str, tmp_path: Path) -> None:
    bring(line, write_csv(tmp_path / "sets.csv", row("N1")))
    bring(line, write_csv(tmp_path / "sets-2.csv", row("N1", loop_in=9)))
    assert list(sets_of(line)) == ["N1"]


def test_parcels_parkings_and_sets_find_each_other(line: str, tmp_path: Path) -> None:
    parcels = write_geojson(
        tmp_path / "ground.geojson",
        square("mill", -78.01, 41.5),
        feature({"type": "Point", "coordinates": [-78.011, 41.51]}, {"kind": "parking", "name": "P1"}),
    )
    sets = write_csv(tmp_path / "sets.csv", row("N1"), row("N9", lon=-78.5))
    seen = bring(line, parcels, sets)
    assert seen.code == 0
    assert "set N9 lies outside every parcel" in seen.err
    assert sets_of(line)["N1"]["parcel"] == "mill"
    parking = done("note", "list", "--kind", "parking", "--line", line, "--json").data["events"][0]
    assert parking["body"]["parcels"] == ["mill"]


def test_an_ugly_gpx_gets_names_that_can_be_shouted(line: str, tmp_path: Path) -> None:
    names = [None, "Old Mill, upper pond", "Old Mill, upper pond", "北の罠", "N1", "n1", "Überlauf"]
    seen = bring(line, write_gpx(tmp_path / "ugly.gpx", names))
    assert seen.code == 0
    got = set(sets_of(line))
    assert {"old-mill", "old-mill-2", "N1", "n1-2", "uberlauf", "set-1", "set-2"} == got
    assert "'北の罠' is called set-" in seen.err
    assert all(s["verdict"] == "not verified" and s["go_now"] is False for s in sets_of(line).values())


def test_waypoints_that_do_not_say_what_they_are_are_asked_for(line: str, tmp_path: Path) -> None:
    path = write_gpx(tmp_path / "plain.gpx", ["a", "b"], kind=None)
    seen = bring(line, path)
    assert seen.code == 2
    assert "GND-011" in seen.err
    assert "--as set" in seen.err
    assert bring(line, path, "--as", "parking").code == 0


def test_ten_thousand_waypoints_come_in(line: str, tmp_path: Path) -> None:
    ground = write_geojson(
        tmp_path / "ground.geojson", *(square(f"p{k}", -78.1 + 0.02 * k, 41.5) for k in range(8))
    )
    path = write_gpx(tmp_path / "many.gpx", [f"w{k}" for k in range(10_000)])
    seen = bring(line, ground, path)
    assert seen.code == 0
    assert "10000 new" in seen.out
    assert done("audit", "--line", line, "--json").data["events"] == 10_008


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="1" lon="1"><name>&b;</name></wpt></gpx>'
)


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("bomb.gpx", BOMB, "GND-102"),
        ("broken.gpx", '<gpx version="1.1"><wpt lat="1" lon="1">', "GND-101"),
        (
            "far.gpx",
            '<gpx version="1.1" creator="x"><wpt lat="91" lon="1"><type>set</type></wpt></gpx>',
            "GND-013",
        ),
        ("empty.gpx", "", "GND-001"),
        ("photo.gpx", "\x89PNG....", "GND-002"),
        ("cut.geojson", '{"type": "FeatureColl', "GND-201"),
        ("nounit.csv", "kind,name,lon,lat,loop\nset,N1,-78,41.5,10\n", "GND-016"),
        ("speling.csv", "kind,name,lon,lat,landmrk\nset,N1,-78,41.5,post\n", "GND-302"),
        ("negative.csv", "kind,name,lon,lat,loop_in\nset,N1,-78,41.5,-10\n", "GND-015"),
        ("old.csv", "kind,name,lon,lat,set_at\nset,N1,-78,41.5,1926-01-11\n", "GND-014"),
        ("twice.csv", "kind,name,lon,lat,tag\nset,N1,-78,41.5,7\nset,N2,-78.1,41.5,7\n", "GND-019"),
    ],
)
def test_a_faulty_file_is_refused_whole_by_name(
    line: str, tmp_path: Path, name: str, content: str, code: str
) -> None:
    good = write_csv(tmp_path / "good.csv", row("N7"))
    path = tmp_path / name
    path.write_text(content, encoding="utf-8" if name != "photo.gpx" else "latin-1")
    seen = bring(line, good, str(path))
    assert seen.code == 2
    assert code in seen.err
    assert name in seen.err
    assert seen.out == ""
    assert done("audit", "--line", line, "--json").data["events"] == 0
    assert list((Path(line) / "ground").iterdir()) == []


def test_a_polygon_that_crosses_itself_is_refused_with_the_place(line: str, tmp_path: Path) -> None:
    bow = [[-78.0, 41.5], [-77.9, 41.6], [-77.9, 41.5], [-78.0, 41.6], [-78.0, 41.5]]
    bad = feature({"type": "Polygon", "coordinates": [bow]}, {"kind": "parcel", "name": "bow"})
    seen = bring(line, write_geojson(tmp_path / "bow.geojson", bad))
    assert seen.code == 2
    assert "GND-501" in seen.err
    assert "41.55" in seen.err  # the diagonals cross half-way


def test_a_tag_that_is_in_the_field_already_is_refused_with_the_row(line: str, tmp_path: Path) -> None:
    bring(line, write_csv(tmp_path / "a.csv", row("N1")))
    seen = bring(line, write_csv(tmp_path / "b.csv", row("N2", lon=-78.1, tag="TN1")))
    assert seen.code == 2
    assert "LOG-304" in seen.err
    assert "b.csv" in seen.err


def test_every_fault_of_every_file_is_told_in_one_go(line: str, tmp_path: Path) -> None:
    one = tmp_path / "one.csv"
    one.write_text("kind,name,lon,lat,loop_in,surface\nset,N1,-78,41.5,-1,ground\nset,N2,-78,95,9,mud\n")
    two = tmp_path / "two.gpx"
    two.write_text("<gpx>")
    seen = bring(line, str(one), str(two))
    for text in ("row 2", "row 3", "GND-015", "GND-013", "GND-018", "GND-101"):
        assert text in seen.err, text


def test_a_file_that_is_not_there_is_named(line: str, tmp_path: Path) -> None:
    seen = bring(line, str(tmp_path / "nothing.gpx"))
    assert seen.code == 2
    assert "GND-001" in seen.err


@pytest.mark.skipif(sys.platform == "win32", reason="no kill -9 there")
def test_killed_while_bringing_leaves_all_or_nothing(line: str, tmp_path: Path) -> None:
    path = write_csv(tmp_path / "sets.csv", *(row(f"N{k}", lon=-78.0 - k * 1e-3) for k in range(1, 400)))
    code = "import sys; from tendline.cli.main import main; sys.argv = ['tendline', *sys.argv[1:]]; main()"
    seen_counts = set()
    for wait_ms in (250, 350, 450, 550, 650, 900, 1500):
        words = [sys.executable, "-c", code, "bring", path, "--line", line, "--at", AT]
        child = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            child.wait(wait_ms / 1000)
        except subprocess.TimeoutExpired:
            os.kill(child.pid, signal.SIGKILL)
            child.wait()
        audit = run("audit", "--line", line, "--json")
        assert audit.code == 0, audit.err
        seen_counts.add(audit.data["events"])
    assert seen_counts <= {0, 798}  # 399 devices and 399 sets, or nothing
    assert bring(line, path).code == 0
    assert done("audit", "--line", line, "--json").data["events"] == 798
