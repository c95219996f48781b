"""Scouting as a person sees it: spots before boots go there, a map layer, and whether it came true."""

import json
from dataclasses import replace
from pathlib import Path

import gpxpy
import jsonschema
import numpy as np
import pytest
import shapely

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.ground.raster_out import geotiff
from tests.journeys.run import Seen, done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
AT = "2027-01-15T20:30-05:00"
CRS, WEST, NORTH, CELL = "EPSG:32617", 740_000.0, 4_600_000.0, 20.0
ROWS, COLS = 90, 100
TURN = Projector(CRS)


def valid(data: object, name: str) -> None:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


def pair(x: float, y: float) -> list[float]:
    """Give longitude and latitude of metres from the north-west corner, y southward."""
    place = TURN.to_lonlat(WEST + x, NORTH - y)
    return [place.lon, place.lat]


def feature(kind: str, shape: str, coordinates: object, **more: object) -> dict[str, object]:
    return {
        "type": "Feature",
        "geometry": {"type": shape, "coordinates": coordinates},
        "properties": {"kind": kind, **more},
    }


def ring(x0: float, y0: float, x1: float, y1: float) -> list[list[list[float]]]:
    return [[pair(*p) for p in ((x0, y0), (x0, y1), (x1, y1), (x1, y0), (x0, y0))]]


@pytest.fixture
def line(tmp_path: Path) -> str:
    """The line without any law."""
    return made(tmp_path)


def made(tmp_path: Path, *words: str) -> str:
    """Make a line on a ridge with one saddle in it; a farm round it, a parking and a trail in the south."""
    y, x = np.mgrid[0:ROWS, 0:COLS] * CELL
    crest = 340.0 - 140.0 * np.exp(-(((x - 900.0) / 120.0) ** 2))
    z = 180.0 + (crest - 180.0) * np.exp(-(((y - 900.0) / 150.0) ** 2))
    heights = Grid(np.ascontiguousarray(z, np.float32), CRS, WEST, NORTH, CELL, CELL)
    (tmp_path / "heights.tif").write_bytes(geotiff(heights))
    layer = {
        "type": "FeatureCollection",
        "features": [
            feature("parcel", "Polygon", ring(400, 400, 1500, 1400), name="hill", title="Hill (invented)"),
            feature("parking", "Point", pair(900, 1350), name="gate"),
            feature("feature", "LineString", [pair(700, 1300), pair(1200, 1300)], feature="trail"),
        ],
    }
    (tmp_path / "hill.geojson").write_text(json.dumps(layer), encoding="utf-8")
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5", *words)
    done("bring", str(tmp_path / "heights.tif"), str(tmp_path / "hill.geojson"), "--line", folder, "--at", AT)
    return folder


def scouted(line: str, *words: str) -> Seen:
    return done("scout", "--line", line, "--at", AT, "--variations", "2", *words)


def test_heights_alone_find_the_saddle_and_say_what_is_not_known(line: str, tmp_path: Path) -> None:
    out = tmp_path / "map"
    seen = scouted(line, "--json", "--out", str(out), "--between", "gate", ",".join(map(str, pair(900, 500))))
    valid(seen.data, "scout")
    first = seen.data["spots"][0]
    x, y = TURN.to_xy(place := type(TURN.to_lonlat(WEST, NORTH))(first["lon"], first["lat"]))
    assert place.lon == first["lon"]
    assert np.hypot(x - WEST - 900.0, NORTH - y - 900.0) < 120.0
    assert "saddle" in [reason["word"] for reason in first["reasons"]]
    assert first["parcel"] == "hill"
    assert first["leave"] == "hill: no leave on record"
    assert first["access"]["parking"] == "gate"
    # 450 m off the path at 3 km/h and some climbing: eight to fifteen minutes.
    assert 8 <= first["access"]["walk_min"] <= 15
    assert first["law"]["profile"] is None
    assert "not verified" in first["law"]["said"][0]
    assert any("cover" in said for said in seen.data["not_known"])
    assert any("water" in said for said in seen.data["not_known"])
    # The way over the ridge goes through the saddle.
    path = [TURN.to_xy(type(place)(lon, lat)) for lon, lat in seen.data["corridors"][0]["path"]]
    assert min(np.hypot(px - WEST - 900.0, NORTH - py - 900.0) for px, py in path) < 80.0
    layer = json.loads((out / "scout-coyote.geojson").read_text(encoding="utf-8"))
    whats = [each["properties"]["what"] for each in layer["features"]]
    assert whats[:4] == ["travel", "travel", "travel", "corridor"]
    for each in layer["features"]:
        assert shapely.from_geojson(json.dumps(each["geometry"])).is_valid
    points = gpxpy.parse((out / "scout-coyote.gpx").read_text(encoding="utf-8")).waypoints
    assert [point.name for point in points] == [spot["spot"] for spot in seen.data["spots"]]
    assert (points[0].longitude, points[0].latitude) == pytest.approx((first["lon"], first["lat"]))


def test_in_words_it_says_that_it_is_no_answer_and_never_that_a_place_is_allowed(line: str) -> None:
    seen = scouted(line)
    flat = " ".join(seen.out.split())
    assert "a reason to go and look, not an answer" in flat
    assert "saddle" in flat
    assert "1-1" in flat  # the rank in both tries; a narrow table may break the cell
    assert "allowed" not in flat
    assert "common practice, no source" in flat


def test_a_house_too_near_deer_and_people_are_told_and_lower_the_rank(tmp_path: Path) -> None:
    """The invented law asks for 150 ft from dwellings; the house stands 30 m off the saddle."""
    line = made(tmp_path, "--profile", "xx-demo")
    before = scouted(line, "--json").data["spots"][0]
    x, y = TURN.to_xy(type(TURN.to_lonlat(WEST, NORTH))(before["lon"], before["lat"]))
    near = pair(x - WEST + 30.0, NORTH - y)
    told = {"type": "FeatureCollection", "features": [feature("feature", "Point", near, feature="dwelling")]}
    (tmp_path / "house.geojson").write_text(json.dumps(told), encoding="utf-8")
    done("bring", str(tmp_path / "house.geojson"), "--line", line, "--at", AT)
    done(
        "note", "sign-seen", "deer", f"--at-place={before['lon']},{before['lat']}", "--line", line, "--at", AT
    )
    dates = ("--first", "2026-10-01", "--last", "2027-01-10")
    done("note", "permission", "hill", *dates, "--line", line, "--at", AT)
    spots = scouted(line, "--json", "--weights", str(unmoved_by_houses(tmp_path))).data["spots"]
    spot = min(spots, key=lambda one: abs(one["lon"] - before["lon"]) + abs(one["lat"] - before["lat"]))
    assert {"dwelling", "deer"} <= {each["what"] for each in spot["lower_for"]}
    assert spot["worth"] < 0.5 * spot["travel"]
    assert any("150 ft of a dwelling" in said for said in spot["law"]["against"])
    assert spot["leave"] == "hill: leave lapsed on 2027-01-10"
    assert spot["law"]["profile"] == "xx-demo"


def unmoved_by_houses(folder: Path) -> Path:
    """Write weights in which a house does nothing to travel, so that the spot stays where it is."""
    file = folder / "calm.toml"
    done("scout", "--write-weights", str(file))
    text = file.read_text(encoding="utf-8")
    start = text.index("\ndwelling = {") + 1
    file.write_text(text.replace(text[start : text.index("\n", start)], "", 1), encoding="utf-8")
    return file


def test_holes_short_margins_islands_and_larger_cells_are_said(line: str, tmp_path: Path) -> None:
    y, x = np.mgrid[0:ROWS, 0:COLS] * CELL
    z = (200.0 + 0.02 * x).astype(np.float32)
    hole = (x > 700) & (x < 1100) & (y > 700) & (y < 1100)
    z[hole & ~((x > 800) & (x < 1000) & (y > 800) & (y < 1000))] = np.nan
    broken = Grid(np.ascontiguousarray(z), CRS, WEST, NORTH, CELL, CELL)
    (tmp_path / "broken.tif").write_bytes(geotiff(broken))
    done("bring", str(tmp_path / "broken.tif"), "--line", line, "--at", AT)
    filled = scouted(line, "--json").data
    # The other model knows the ground in the hole.
    assert not any("has no height" in said for said in filled["not_known"])
    assert "heights from broken.tif, heights.tif" in filled["not_known"]
    (tmp_path / "heights.tif").write_bytes(geotiff(replace(broken, z=broken.z + np.float32(0.5))))
    done("bring", str(tmp_path / "heights.tif"), "--line", line, "--at", AT)
    fine = scouted(line, "--json").data
    assert any("of the area has no height and counts as closed" in said for said in fine["not_known"])
    # Inside the ring without heights lie 9 x 9 cells that nothing reaches.
    assert fine["islands_cells"] == 81
    large = scouted(line, "--json", "--cell", "40m").data
    assert large["cell_m"] == pytest.approx(40.0)
    assert large["cells"] < fine["cells"] / 3.5
    west, south = pair(60, 1700)
    east, north = pair(900, 100)
    short = scouted(line, "--json", "--box", f"{west},{south},{east},{north}").data
    assert any("ends close to the area" in said for said in short["not_known"])
    west, south = pair(-500, 1700)
    beyond = scouted(line, "--json", f"--box={west},{south},{east},{north}").data
    assert any("lies outside the elevation model" in said for said in beyond["not_known"])


def test_the_same_seed_gives_the_same_and_animals_differ(line: str) -> None:
    one, other = (scouted(line, "--json", "--seed", "5").data for _ in range(2))
    assert one == other
    fox = scouted(line, "--json", "--animal", "red fox").data
    assert fox["animal"] == "red fox"
    assert fox["spots"][0]["travel"] != one["spots"][0]["travel"]


def test_weights_are_a_file_to_edit(line: str, tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    done("scout", "--write-weights", str(file))
    assert run("scout", "--write-weights", str(file)).code == 2
    told = file.read_text(encoding="utf-8")
    file.write_text(
        told.replace("resistance = [1.0, 1.1, 1.4, 2.5, 6.0, 20.0]", "resistance = [1, 1, 1, 1, 1, 1]")
    )
    flat = scouted(line, "--json", "--weights", str(file)).data
    assert flat["spots"] == [] or flat["spots"][0]["travel"] < 1.3
    assert flat["weights"] == "mine.toml"
    file.write_text(
        told.replace("factor = 0.9", "factor = -1")
        .replace("\nbrush =", "\nbrusch =")
        .replace("at = [0.0, 0.1", "at = [0.3, 0.1"),
    )
    seen = run("scout", "--line", line, "--at", AT, "--weights", str(file))
    assert seen.code == 2
    assert seen.err.count("JOB-412") == 3
    assert "Did you mean 'brush'?" in seen.err


def test_what_cannot_be_scouted_is_refused_by_name(line: str, tmp_path: Path) -> None:
    bare = str(tmp_path / "bare")
    done("start", bare, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    for words, code, said in (
        (("--line", bare), "JOB-411", "tendline bring heights.tif"),
        (("--line", line, "--box", "10,10,10.1,10.1"), "JOB-413", "outside the elevation model"),
        (("--line", line, "--box=-75,41,-76,42"), "JOB-413", "no inside"),
        (("--line", line, "--parcel", "hall"), "JOB-301", "there is no parcel 'hall'"),
        (("--line", line, "--animal", "coyot"), "JOB-301", "Did you mean 'coyote'?"),
        (("--line", line, "--between", "gate", "nowhere"), "JOB-301", "'nowhere' is no parking"),
        (("--line", line, "--count", "0", "--apart", "1m"), "JOB-301", "--count"),
        (("--line", line, "--compare"), "JOB-414", "--keep"),
    ):
        seen = run("scout", *words, "--at", AT)
        assert seen.code == 2, words
        assert code in seen.err
        assert said in seen.err


def test_a_prediction_kept_is_held_against_what_is_seen_afterwards(line: str) -> None:
    kept = scouted(line, "--keep", "--json").data
    assert kept["written"][0].startswith("scouted/coyote-2027")
    first = kept["spots"][0]
    early = ("--line", line, "--at", "2027-01-14T12:00-05:00")
    done("note", "sign-seen", "coyote", "--at-place", f"{first['lon']},{first['lat']}", *early)
    later = ("--line", line, "--at", "2027-01-20T12:00-05:00")
    few = done("scout", "--compare", "--json", *later).data
    valid(few, "scout-compare")
    sign = few["predictions"][0]["sign"]
    # What was seen before the prediction does not count.
    assert sign["seen"] == 0
    assert sign["verdict"].startswith("too few to tell")
    for hour in range(9):
        at = ("--line", line, "--at", f"2027-01-18T{hour + 8:02d}:00-05:00")
        done("note", "sign-seen", "coyote", f"--at-place={first['lon']},{first['lat']}", *at)
    seen = done("scout", "--compare", "--out", str(Path(line) / "plots"), *later)
    (plot,) = (Path(line) / "plots").glob("coyote-2027*.svg")
    assert "better than chance" in plot.read_text(encoding="utf-8")
    assert "Sign seen since: better than chance" in seen.out
    assert "Catches since, by device-nights: too few to tell" in seen.out


def test_lines_animals_and_weights_side_by_side_are_each_as_alone(line: str, tmp_path: Path) -> None:
    """Two animals by two weights on two lines in one call: eight scoutings, and what they have in common."""
    file, other = tmp_path / "mine.toml", tmp_path / "other"
    done("scout", "--write-weights", str(file))
    told = file.read_text(encoding="utf-8")
    file.write_text(told.replace("resistance = [1.0, 1.1, 1.4", "resistance = [1.0, 1.4, 2.4"))
    other.mkdir()
    second = made(other)
    words = ("--animal", "coyote", "--animal", "red fox", "--weights", "shipped", "--weights", str(file))
    out = tmp_path / "map"
    seen = scouted(line, "--json", "--with", second, *words, "--out", str(out), "--keep").data
    valid(seen, "scout")
    every = [seen, *seen["also"]]
    of = [(one["line"], one["animal"], one["weights"]) for one in every]
    shipped = "those that come with tendline"
    assert of == [
        ("line", a, w) for _ in range(2) for a in ("coyote", "red fox") for w in (shipped, file.name)
    ]
    for one, animal, weights in ((every[2], "red fox", "shipped"), (every[1], "coyote", str(file))):
        alone = scouted(line, "--json", "--animal", animal, "--weights", weights).data
        assert alone["spots"] == one["spots"]
        assert alone["residual"] == one["residual"]
    assert every[0]["spots"][0]["travel"] != every[1]["spots"][0]["travel"]
    assert len(list(out.glob("*.geojson"))) == 8
    assert len(list((Path(line) / "scouted").glob("*.npz"))) == 4
    assert len(list((Path(second) / "scouted").glob("*.npz"))) == 4
    assert all(0 <= pair["spots"] <= pair["of"] for pair in seen["shared"])
    # The saddle is a spot whatever the weights.
    assert any(pair["one"]["animal"] == "coyote" and pair["spots"] >= 1 for pair in seen["shared"])
    spoken = " ".join(scouted(line, *words[4:]).out.split())
    assert "coyote by mine.toml" in spoken
    refused = run("scout", "--line", line, "--at", AT, "--with", second, "--parcel", "hill")
    assert refused.code == 2
    assert "--parcel" in refused.err


def test_more_than_fits_is_refused_before_it_begins(line: str, monkeypatch: pytest.MonkeyPatch) -> None:
    cells = scouted(line, "--json").data["cells"]
    monkeypatch.setattr("tendline.jobs.scout.LARGEST_CELLS", int(1.5 * cells))
    assert run("scout", "--line", line, "--at", AT, "--variations", "0").code == 0
    seen = run("scout", "--line", line, "--at", AT, "--animal", "coyote", "--animal", "red fox")
    assert seen.code == 2
    assert f"{2 * cells:,} cells together" in seen.err
