"""The weather ahead, as a person sees it: raise, close, take up; by which law and animal; what is refused."""

import json
from pathlib import Path

import jsonschema
import numpy as np
import pytest
import rasterio
from affine import Affine

from tests.journeys.run import done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
PLACE = "--at-place=-78.01,41.51"
NOW = "2027-01-15T13:00-05:00"


def valid(data: object, name: str) -> None:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


def started(folder: Path, profile: str) -> str:
    line = str(folder / "line")
    zone = "America/Detroit" if profile == "us-mi" else "America/New_York"
    done("start", line, "--zone", zone, "--handler", "Ann", "--home=-78,41.5", "--profile", profile)
    return line


def made(line: str, name: str, *words: str) -> None:
    told = ("--tag", name, PLACE, "--line", line, "--at", "2027-01-14T08:00-05:00")
    done("note", "set-made", name, *told, "--loop", "12in", "--target", "coyote", *words)


@pytest.fixture
def line(tmp_path: Path) -> str:
    """Two sets under the shipped Pennsylvania profile: one right, one four inches up."""
    folder = started(tmp_path, "us-pa")
    made(folder, "N1", "--bottom", "10in", "--surface", "ground", "--snow", "0in")
    made(folder, "N2", "--bottom", "4in", "--surface", "ground", "--snow", "0in")
    return folder


def sets_of(data: dict[str, object]) -> dict[str, dict[str, object]]:
    found = data["sets"]
    assert isinstance(found, list)
    return {one["set"]: one for one in found}


def test_words_are_enough_and_sets_are_named(line: str) -> None:
    seen = run("weather", "--words", "6 in tonight, 5 to 20 F, wind 20 mph", "--line", line, "--at", NOW)
    assert seen.code == 1
    assert "A forecast is not a measurement" in seen.out
    assert "N2" in seen.out
    assert "raise" in seen.out
    assert "58 Pa. Code" in " ".join(seen.out.split())
    assert "wind chill" in seen.out


def test_pennsylvania_measures_the_bottom_from_the_first_hard_surface(line: str) -> None:
    words = ("--words", "6 in tonight, 5 to 20 F", "--json")
    data = done("weather", *words, "--line", line, "--at", NOW).data
    valid(data, "weather")
    law = sets_of(data)["N1"]["days"][-1]["laws"][0]  # type: ignore[index]
    assert law["who"] == "us-pa bottom"
    assert law["point"] == "bottom"
    assert law["above"] == "first-hard-surface"
    # 6 and 12 in.
    assert (law["least_m"], law["most_m"]) == pytest.approx((0.1524, 0.3048))
    # Six inches of powder do not count until they bear: 10 in stay 10 in.
    assert law["height_m"] == pytest.approx([0.254, 0.254])
    assert law["wrong_low"] == law["wrong_high"] == 0
    # N2 hangs at 4 in: from 2 to 8 in higher it is lawful, before and after.
    low = sets_of(data)["N2"]
    assert low["do"] == "raise"
    assert low["tonight"] is True


def test_michigan_measures_the_top_from_a_footprint_and_a_thaw_makes_it_too_high(tmp_path: Path) -> None:
    folder = started(tmp_path, "us-mi")
    made(folder, "M1", "--bottom", "9in", "--top", "23in", "--surface", "packed-snow", "--snow", "10in")
    warm = "60 F; tomorrow 65 F, rain 1 in; tomorrow night 60 F, rain 1 in"
    data = done("weather", "--words", warm, "--line", folder, "--at", NOW, "--json").data
    valid(data, "weather")
    days = sets_of(data)["M1"]["days"]
    assert isinstance(days, list)
    law = days[-1]["laws"][0]
    assert (law["point"], law["above"], law["least_m"]) == ("top", "footprint", None)
    assert law["most_m"] == pytest.approx(0.6096)  # 24 in
    # 23 in over ten inches of packed snow: at most 33 in over the ground, and more than 24 once it goes.
    assert 0.6096 < law["height_m"][1] <= 33 * 0.0254 + 1e-4
    assert law["wrong_high"] > 0.9
    assert days[0]["laws"][0]["height_m"][0] == pytest.approx(23 * 0.0254, abs=0.001)
    cold = done("weather", "--words", "0 to 10 F", "--line", folder, "--at", NOW, "--json").data
    still = sets_of(cold)["M1"]["days"][-1]["laws"][0]  # type: ignore[index]
    assert still["height_m"] == pytest.approx([0.5842, 0.5842], abs=0.01)  # 23 in
    assert still["wrong_high"] == 0


def test_a_thaw_asks_for_the_anchor_of_a_set_made_in_frost(line: str) -> None:
    done("note", "weather-seen", "--air", "15F", "--line", line, "--at", "2027-01-14T07:00-05:00")
    words = "35 to 50 F; tomorrow 40 to 50 F; tomorrow night 35 to 45 F"
    seen = done("weather", "--words", words, "--line", line, "--at", NOW)
    text = " ".join(seen.out.split())
    assert "try the anchor again" in text
    assert "keep off the ice" in text
    rock = ("--anchor-kind", "rock", "--line", line, "--at", "2027-01-14T09:00-05:00")
    for name in ("N1", "N2"):
        done("note", "adjusted", name, *rock)
    assert "try the anchor again" not in done("weather", "--words", words, "--line", line, "--at", NOW).out


def test_a_table_and_a_saved_document_are_read(line: str, tmp_path: Path) -> None:
    table = tmp_path / "ahead.csv"
    table.write_text(
        "time,temp_f,snow_in,precip_in,wind_mph\n"
        "2027-01-15 13:00,20,0,0,5\n2027-01-15 19:00,15,30,2,10\n2027-01-16 01:00,14,30,2,10\n"
        "2027-01-16 07:00,14,0,0,10\n",
        encoding="utf-8",
    )
    data = done("weather", str(table), "--line", line, "--at", NOW, "--json").data
    valid(data, "weather")
    # Five feet of snow: taken up.
    assert sets_of(data)["N1"]["do"] == "pull"
    gridpoint = tmp_path / "ahead.json"
    properties = {
        "updateTime": "2027-01-15T16:00:00+00:00",
        "temperature": {
            "uom": "wmoUnit:degC",
            "values": [{"validTime": "2027-01-15T18:00:00+00:00/PT24H", "value": -12}],
        },
        "quantitativePrecipitation": {
            "uom": "wmoUnit:mm",
            "values": [{"validTime": "2027-01-15T18:00:00+00:00/PT24H", "value": 0}],
        },
    }
    place = {"type": "Point", "coordinates": [-78.01, 41.51]}
    gridpoint.write_text(json.dumps({"geometry": place, "properties": properties}), encoding="utf-8")
    found = done("weather", str(gridpoint), "--line", line, "--at", NOW, "--json").data
    assert found["forecast"]["issued_at"] == "2027-01-15T11:00:00-05:00"
    assert found["forecast"]["measured"] is False
    assert sets_of(found)["N1"]["do"] == "leave"


def test_wrong_forecasts_are_refused_by_name_and_nothing_is_recorded(line: str, tmp_path: Path) -> None:
    before = done("audit", "--line", line, "--json").data["events"]
    table = tmp_path / "ahead.csv"
    good = (
        "time,hours,temp_f,snow_in,lon,lat\n"
        "2027-01-15 13:00,12,20,3,-78,41.5\n2027-01-16 01:00,12,20,0,-78,41.5\n"
    )
    cases = (
        (("2027-01", "2026-01"), "GND-704"),
        (("2027-01-16 01:00", "2027-01-16 05:00"), "GND-705"),
        (("2027-01-15 13:00", "2027-01-15T13:00+01:00"), "GND-706"),
        (("temp_f", "temp"), "GND-703"),
        (("41.5", "45.5"), "GND-707"),
        ((",20,3,", ",20,-3,"), "GND-708"),
    )
    for change, code in cases:
        table.write_text(good.replace(*change), encoding="utf-8")
        seen = run("weather", str(table), "--line", line, "--at", NOW)
        assert seen.code == 2, change
        assert code in seen.err
        assert seen.out == ""
    for words in (("--words", "much snow"), (), (str(table), "--words", "3 in, 20 F")):
        assert run("weather", *words, "--line", line, "--at", NOW).code == 2
    many = run("weather", "--words", "3 in, 20 F", "--days", "40", "--line", line, "--at", NOW)
    assert many.code == 2
    assert "PLAN-120" in many.err
    lost = run("weather", "--words", "3 in, 20 F", "--set", "Z9", "--line", line, "--at", NOW)
    assert lost.code == 2
    assert "JOB-301" in lost.err
    assert done("audit", "--line", line, "--json").data["events"] == before


def test_the_same_forecast_gives_the_same_answer_in_either_units(line: str) -> None:
    words = ("weather", "--words", "6 in tonight, 5 to 20 F", "--line", line, "--at", NOW)
    assert done(*words, "--json").data == done(*words, "--json").data
    metric = done(*words, "--units", "metric", "--all")
    assert " cm" in metric.out
    assert " C" in metric.out
    assert "walks on" in metric.out


def test_an_exposed_set_has_a_wider_depth_and_says_so(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-14T09:00-05:00")
    done("note", "adjusted", "N1", "--exposure", "exposed", *at)
    done("note", "adjusted", "N2", "--exposure", "sheltered", *at)
    words = ("--words", "12 in tonight, 5 to 15 F, wind 30 mph", "--line", line, "--at", NOW)
    sets = sets_of(done("weather", *words, "--json").data)
    wide = {name: one["days"][-1]["depth_m"] for name, one in sets.items()}  # type: ignore[index]
    assert wide["N1"][0] < wide["N2"][0] < wide["N2"][1] < wide["N1"][1]
    text = " ".join(done("weather", *words).out.split())
    assert "exposed): its depth is drawn 60 in 100 wide" in text
    assert "sheltered): its depth is drawn 12 in 100 wide" in text
    # Under the wind that moves snow, all sets are the same but for how they lie.
    calm = ("--words", "12 in tonight, 5 to 15 F, wind 3 mph", "--line", line, "--at", NOW, "--json")
    still = {n: one["days"][-1]["depth_m"] for n, one in sets_of(done("weather", *calm).data).items()}  # type: ignore[index]
    assert still["N1"][1] < wide["N1"][1]


def test_the_animals_band_is_that_of_the_kind_of_place(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-14T09:00-05:00")
    done("note", "adjusted", "N1", "--place-kind", "under-fence", *at)
    done("note", "adjusted", "N2", "--place-kind", "log-crossing", *at)
    words = ("--words", "5 to 15 F", "--line", line, "--at", NOW)
    sets = sets_of(done("weather", *words, "--json").data)
    band = sets["N1"]["days"][0]["animal"]  # type: ignore[index]
    # Colorado State University, fact sheet 6.517: coyote under a fence, bottom 2 in up.
    assert (band["least_m"], band["most_m"]) == pytest.approx((2 * 0.0254, 2 * 0.0254))
    assert band["who"] == "coyote, under fence"
    assert sets["N2"]["days"][0]["animal"] is None  # type: ignore[index]
    assert "hangs over a log" in " ".join(done("weather", *words).out.split())


def test_rain_below_is_snow_on_the_hill_by_the_lines_own_raster(tmp_path: Path) -> None:
    folder = started(tmp_path, "us-pa")
    # Two made-up terraces, 300 m and 1,500 m up, in a grid of degrees.
    west, north, cell = -78.03, 41.53, 0.001
    z = np.full((40, 40), 300.0, dtype=np.float32)
    z[:, 20:] = 1500.0
    with rasterio.open(
        tmp_path / "hills.tif",
        "w",
        driver="GTiff",
        height=40,
        width=40,
        count=1,
        dtype="float32",
        crs="EPSG:4326",
        transform=Affine(cell, 0, west, 0, -cell, north),
    ) as out:
        out.write(z, 1)
        out.units = ("m",)
    done("bring", str(tmp_path / "hills.tif"), "--line", folder, "--at", "2027-01-14T07:00-05:00")
    at = ("--line", folder, "--at", "2027-01-14T08:00-05:00", "--loop", "12in", "--surface", "ground")
    low, high = "--at-place=-78.02,41.51", "--at-place=-78.0,41.51"
    done("note", "set-made", "LOW", "--tag", "1", low, "--bottom", "10in", "--snow", "0in", *at)
    done("note", "set-made", "HIGH", "--tag", "2", high, "--bottom", "10in", "--snow", "0in", *at)
    table = tmp_path / "ahead.csv"
    head = "time,hours,temp_c,precip_mm,wind_kmh,lon,lat,elevation_m\n"
    rows = "".join(f"2027-01-15 {hour}:00,6,6,10,5,-78.01,41.51,300\n" for hour in ("13", "19"))
    table.write_text(head + rows, encoding="utf-8")
    sets = sets_of(done("weather", str(table), "--line", folder, "--at", NOW, "--json").data)
    fallen = {name: one["days"][-1]["fallen_m"] for name, one in sets.items()}  # type: ignore[index]
    # 1,200 m up at 6.5 degrees a kilometre (ICAO standard atmosphere) 6 degrees are -1.8: snow.
    # Twenty millimetres of it at 80 to 200 kg/m3 (new snow near freezing) are 10 to 25 cm.
    assert fallen["LOW"][1] < 0.03
    assert 0.05 < fallen["HIGH"][0] < 0.25
    # Without a height in the forecast nothing is said of the hill: both are alike.
    bare = head.replace(",elevation_m", "") + rows.replace(",300\n", "\n")
    table.write_text(bare, encoding="utf-8")
    flat = sets_of(done("weather", str(table), "--line", folder, "--at", NOW, "--json").data)
    assert flat["HIGH"]["days"][-1]["fallen_m"][1] < 0.03  # type: ignore[index]


def test_the_example_line_has_an_outlook(tmp_path: Path) -> None:
    folder = str(tmp_path / "demo")
    done("demo", folder, "--at", "2027-01-15T20:00")
    data = done(
        "weather", "--words", "8 in tonight, 20 to 34 F", "--line", folder, "--at", NOW, "--json"
    ).data
    valid(data, "weather")
    assert data["invented"] is True
    assert len(data["sets"]) > 10
    sure = " ".join(said for one in data["sets"] for said in one["unsure"])
    assert "(exposed): its depth is drawn 60 in 100 wide" in sure
    assert "(sheltered): its depth is drawn 12 in 100 wide" in sure
    covered = [one["days"][-1]["landmark_covered"] for one in data["sets"]]
    assert all(chance is not None for chance in covered)
