"""Files sent: every format there and back, places blurred unless asked, calendars that replace themselves."""

import io
import json
from datetime import datetime
from pathlib import Path
from typing import Any

import gpxpy
import icalendar
import jsonschema
import pytest
from PIL import Image

from tests.journeys.run import done, run

AT = "2027-01-15T20:30"
SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The example line."""
    folder = str(tmp_path_factory.mktemp("send") / "line")
    done("demo", folder, "--at", AT)
    return folder


def send(line: str, *words: str, at: str = AT) -> dict[str, Any]:
    seen = done("send", *words, "--line", line, "--at", at, "--json")
    schema = json.loads((SCHEMAS / "send.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    return seen.data


def places(path: str) -> dict[str, tuple[float, float]]:
    parsed = gpxpy.parse(Path(path).read_text(encoding="utf-8"))
    return {w.name or "": (w.longitude, w.latitude) for w in parsed.waypoints if w.type == "set"}


@pytest.mark.parametrize("form", ["geojson", "kml", "gpkg", "gpx", "csv"])
def test_a_line_sent_exactly_can_be_brought_as_it_was(line: str, tmp_path: Path, form: str) -> None:
    sent = send(line, form, "--exact", "--out", str(tmp_path / f"a.{form}"))
    assert sent["held"]["set"] == 50
    fresh = str(tmp_path / "fresh")
    done("start", fresh, "--zone", "America/Halifax", "--profile", "xx-demo", "--home=-63.2,41.6")
    if form == "csv":
        # A table holds no outline: the bounds come first, out of a file that does.
        (bounds,) = (Path(line) / "ground").glob("*corran-farms.geojson")
        done("bring", str(bounds), "--line", fresh, "--at", AT)
    done("bring", sent["file"], "--line", fresh, "--at", AT)
    before, after = (
        {s["set"]: s for s in done("due", "--line", where, "--at", AT, "--json").data["sets"]}
        for where in (line, fresh)
    )
    assert set(after) == set(before)
    assert all(after[name]["parcel"] == before[name]["parcel"] for name in before)
    again = send(fresh, "gpx", "--exact", "--out", str(tmp_path / "again.gpx"))
    first = send(line, "gpx", "--exact", "--out", str(tmp_path / "first.gpx"))
    assert places(again["file"]) == places(first["file"])
    assert done("audit", "--line", fresh).code == 0


def test_places_are_blurred_unless_asked_and_always_the_same(line: str) -> None:
    sent = send(line, "gpx")
    assert (sent["exact"], sent["grid_m"], Path(sent["file"]).name) == (
        False,
        1000.0,
        "corran-hollow-2027-01-15-blurred.gpx",
    )
    text = Path(sent["file"]).read_text(encoding="utf-8")
    for word in ("Ostrander", "mill-gate", "culvert", "stone pile", "creek"):
        assert word not in text
    assert "blurred to squares of 1000 m" in text
    assert Path(send(line, "gpx")["file"]).read_text(encoding="utf-8") == text
    exact = places(send(line, "gpx", "--exact")["file"])
    moved = places(sent["file"])
    assert all(moved[name] != exact[name] for name in exact)
    assert {one["what"] for one in sent["lost"]} >= {
        "parcel",
        "parking",
        "landmark, parcel and note",
        "device",
    }


@pytest.mark.parametrize("grid", ["5m", "300km", "seven"])
def test_a_grid_that_hides_nothing_or_is_no_length_is_refused(line: str, grid: str, tmp_path: Path) -> None:
    out = tmp_path / "x.gpx"
    seen = run("send", "gpx", "--grid", grid, "--line", line, "--at", AT, "--out", str(out))
    assert seen.code == 2
    assert ("CORE-101" if grid == "seven" else "JOB-301") in seen.err
    assert not out.exists()


def test_a_calendar_imported_again_replaces_what_was_there(line: str, tmp_path: Path) -> None:
    def read(name: str, at: str) -> dict[str, Any]:
        sent = send(line, "ics", "--out", str(tmp_path / name), "--ahead", "90", at=at)
        calendar = icalendar.Calendar.from_ical(Path(sent["file"]).read_bytes())
        return {str(e["UID"]): e for e in calendar.walk("VEVENT")}

    before = read("a.ics", AT)
    assert len(before) == 49  # the closed set has no clock
    due = {s["set"]: s for s in done("due", "--line", line, "--at", AT, "--json").data["sets"]}
    by_name = {str(e["SUMMARY"]).split()[2]: e for e in before.values()}
    for name, event in by_name.items():
        wanted = due[name].get("act_by") or due[name]["due_at"]
        assert event["DTSTART"].dt == datetime.fromisoformat(wanted)
        assert "GEO" not in event
    done("note", "pulled", "M4", "--line", line, "--at", "2027-01-15T21:00")
    later = read("b.ics", "2027-01-15T21:00")
    assert set(later) == set(before)
    gone = [e for e in later.values() if e.get("STATUS") == "CANCELLED"]
    assert [str(e["SUMMARY"]) for e in gone] == ["M4: taken up"]
    assert all(later[uid]["SEQUENCE"] > before[uid]["SEQUENCE"] for uid in before)


def test_photographs_go_along_without_their_place(line: str, tmp_path: Path) -> None:
    photos = Path(line) / "photos"
    photos.mkdir()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    for name in ("H2_2.jpg", "M4.jpg"):
        Image.new("RGB", (40, 30), (9, 90, 9)).save(photos / name, exif=exif)
    sent = send(line, "kml", "--exact", "--photos", "--parcels", "heron", "--out", str(tmp_path / "b.kml"))
    assert sent["photos"] == ["H2_2.jpg"]
    copy = (tmp_path / "b-photos" / "H2_2.jpg").read_bytes()
    assert dict(Image.open(io.BytesIO(copy)).getexif()) == {}
    for path in photos.iterdir():
        path.unlink()
    photos.rmdir()


def test_a_viewer_sees_no_more_than_the_parcels_named(line: str, tmp_path: Path) -> None:
    for form in ("geojson", "kml", "gpx", "csv", "ics"):
        sent = send(line, form, "--exact", "--parcels", "Heron,nook", "--out", str(tmp_path / f"p.{form}"))
        text = Path(sent["file"]).read_text(encoding="utf-8")
        assert "H2" in text
        assert "N7" in text
        for word in ("Ostrander", "mill", "M4", "K1", "ridge", "toll", "creek", "Brandt", "orchard"):
            assert word not in text, (form, word)
    seen = run("send", "gpx", "--parcels", "heron,nowhere", "--line", line, "--at", AT)
    assert seen.code == 2
    assert "JOB-301" in seen.err


def test_an_empty_line_has_nothing_to_send(tmp_path: Path) -> None:
    folder = str(tmp_path / "empty")
    done("start", folder, "--zone", "America/New_York")
    for form in ("gpx", "ics"):
        seen = run("send", form, "--line", folder)
        assert seen.code == 2
        assert "JOB-611" in seen.err


def test_a_line_whose_limits_nobody_knows_has_no_calendar(tmp_path: Path) -> None:
    folder = str(tmp_path / "unknown")
    done("start", folder, "--zone", "America/New_York")
    places = tmp_path / "a.csv"
    places.write_text("kind,name,lon,lat\nset,A,-78,41.5\n")
    done("bring", str(places), "--line", folder)
    seen = run("send", "ics", "--line", folder)
    assert seen.code == 2
    assert "no limit can be told for any set" in seen.err
    sent = send(folder, "csv", "--exact", at="2027-01-01T00:00")
    assert sent["held"] == {"set": 1}
