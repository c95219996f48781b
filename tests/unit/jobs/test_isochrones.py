"""How far one gets from a parking of the invented example."""

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely

from tendline.core.errors import Refused
from tendline.jobs.bring import bring
from tendline.jobs.demo import NAME, ZONE
from tendline.jobs.example.files import example_files
from tendline.jobs.isochrones import Isochrones, isochrones
from tendline.jobs.start import start
from tendline.jobs.workspace import Workspace, clock, open_workspace
from tendline.terrain import isochrone, walk_tiles


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    folder = tmp_path_factory.mktemp("isochrones")
    start(str(folder / "line"), zone=ZONE, name=NAME, handler="", home=None, profiles=(), invented=True)
    files = example_files(clock() - timedelta(days=2))
    for name, content in files.items():
        (folder / name).write_bytes(content)
    bring(open_workspace(str(folder / "line")), [str(folder / name) for name in files])
    return open_workspace(str(folder / "line"))


@pytest.fixture(scope="module")
def found(line: Workspace) -> Isochrones:
    return isochrones(line, parking(line), minutes=(10, 20, 30))


def parking(line: Workspace) -> str:
    return min(line.line().parkings)


def shapes(found: Isochrones) -> list[Any]:
    return [shapely.geometry.shape(one["geometry"]) for one in found.bands["features"]]


def test_bands_lie_round_the_start_and_hold_the_sets_that_are_so_far(
    line: Workspace, found: Isochrones
) -> None:
    bands, told = shapes(found), [one["properties"] for one in found.bands["features"]]
    assert [(one["from_min"], one["to_min"]) for one in told] == [(0, 10), (10, 20), (20, 30)]
    place = line.line().parkings[parking(line)].place
    assert bands[0].contains(shapely.Point(place.lon, place.lat))
    assert not bands[1].contains(shapely.Point(place.lon, place.lat))
    near = {name: minutes for name, minutes in found.sets.items() if minutes is not None}
    assert near
    assert len(near) < len(found.sets)
    agree = []
    for name, minutes in near.items():
        spot = line.line().sets[name].fix.place
        number = min(int(np.digitize(minutes, [10.0, 20.0])), 2)
        agree.append(bands[number].buffer(3e-4).contains(shapely.Point(spot.lon, spot.lat)))
    assert all(agree)
    # Nobody gets farther in ten minutes than Tobler's best, 6 km/h: a circle of 1 km.
    assert 0 < told[0]["area_ha"] < np.pi * 100


def test_of_several_starts_the_nearest_counts(line: Workspace, found: Isochrones) -> None:
    state = line.line()
    one, other = sorted(state.parkings)[:2]
    mark = next(iter(state.in_field)).name
    both = isochrones(line, [one, other.upper()], minutes=(10, 20, 30))
    apart = [isochrones(line, name, minutes=(10, 20, 30)) for name in (one, other)]
    assert list(both.starts) == [one, other]
    for name, minutes in both.sets.items():
        each = [m for m in (alone.sets[name] for alone in apart) if m is not None]
        assert minutes == (min(each) if each else None)
    reached = [shapely.union_all([shape.buffer(0) for shape in shapes(each)]) for each in (both, *apart)]
    together = shapely.union_all(reached[1:])
    assert reached[0].symmetric_difference(together).area < 0.02 * together.area
    assert isochrones(line, mark, minutes=(10,)).sets[mark] == 0.0


def test_ground_too_large_for_one_search_gives_the_same_bands(
    line: Workspace, found: Isochrones, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(isochrone, "WHOLE_CELLS", 1000)
    monkeypatch.setattr(walk_tiles, "TILE_CELLS", 100)
    tiled = isochrones(line, parking(line), minutes=(10, 20, 30))
    assert tiled.document() == found.document()
    monkeypatch.setattr(isochrone, "DRAWN_CELLS", 20_000)
    thinned = isochrones(line, parking(line), minutes=(10, 20, 30))
    for shape, expected in zip(shapes(thinned), shapes(found), strict=True):
        assert shape.symmetric_difference(expected.buffer(0)).area < 0.08 * expected.area


def test_the_document_is_geojson_in_degrees(line: Workspace, found: Isochrones) -> None:
    told = json.loads(json.dumps(found.document(), allow_nan=False))
    assert [start["name"] for start in told["starts"]] == [parking(line)]
    assert {one["set"]: one["walk_min"] for one in told["sets"]} == found.sets
    for feature in told["bands"]["features"]:
        west, south, east, north = shapely.from_geojson(json.dumps(feature["geometry"])).bounds
        assert -180 <= west < east <= 180
        assert told["starts"][0]["lon"] == pytest.approx((west + east) / 2, abs=0.1)
        assert told["starts"][0]["lat"] == pytest.approx((south + north) / 2, abs=0.1)


def test_bands_keep_to_the_bytes_allowed(line: Workspace, found: Isochrones) -> None:
    coarse = isochrones(line, parking(line), minutes=(10, 20, 30), max_bytes=6000)
    assert len(json.dumps(coarse.bands, separators=(",", ":"))) <= 6000
    assert len(json.dumps(found.bands)) > 6000


def test_the_dark_and_snow_shrink_the_bands(line: Workspace, found: Isochrones, tmp_path: Path) -> None:
    toml = line.folder / "line.toml"
    before = toml.read_text(encoding="utf-8")
    try:
        toml.write_text(before.replace("# dark = 1.2 ", "dark = 1.5 "), encoding="utf-8")
        slow = isochrones(open_workspace(str(line.folder)), parking(line), minutes=(10, 20, 30), dark=True)
    finally:
        toml.write_text(before, encoding="utf-8")
    areas = [sum(one["properties"]["area_ha"] for one in each.bands["features"]) for each in (slow, found)]
    # On ground that is open all round, area goes with the square of the speed.
    assert areas[0] / areas[1] == pytest.approx(1 / 1.5**2, rel=0.12)
    assert "dark 1.50" in slow.said[0]


def test_what_cannot_be_meant_is_refused(line: Workspace, tmp_path: Path) -> None:
    for minutes in ((), (10, 5), (0, 10), (10, 900)):
        with pytest.raises(Refused, match="JOB-301"):
            isochrones(line, parking(line), minutes=minutes)
    for starts in ("nowhere", [parking(line), "nowhere"], []):
        with pytest.raises(Refused, match="JOB-301"):
            isochrones(line, starts)
    with pytest.raises(Refused, match="JOB-404"):
        isochrones(line, "-63.1,30.0")
    start(str(tmp_path / "bare"), zone=ZONE, name=NAME, handler="", home=None, profiles=(), invented=False)
    with pytest.raises(Refused, match="JOB-403"):
        isochrones(open_workspace(str(tmp_path / "bare")), "-63.1,41.5")
