"""Gear and weather that cannot be: each named with its code and what to do, exit 2, nothing changed."""

import hashlib
from pathlib import Path

import pytest

from tests.journeys.run import done, run

AT = "2027-01-15T13:00-05:00"
HEAD = "time,hours,temp_f,snow_in,lon,lat\n"
GOOD = HEAD + "2027-01-15 13:00,12,20,3,-78,41.5\n2027-01-16 01:00,12,20,0,-78,41.5\n"
GRID = """{"geometry": {"type": "Point", "coordinates": [-78, %s]}, "properties": {
 "updateTime": "2027-01-15T16:00:00+00:00",
 "temperature": {"uom": "wmoUnit:%s", "values": [{"validTime": "%s", "value": %s}]},
 "quantitativePrecipitation": {"uom": "wmoUnit:mm", "values": [
  {"validTime": "2027-01-15T18:00:00+00:00/PT6H", "value": %s},
  {"validTime": "2027-01-1%s:00:00+00:00/PT6H", "value": 0}]}}}"""
BUILD = (
    *("cable.make=7x7", "cable.material=galvanised", "cable.diameter=3/32 in", "cable.length=60 in"),
    *("loop.largest_across=12 in", "end.kind=swaged-sleeve", "breakaway.label=285 lb"),
)


def grid(
    *,
    lat: str = "41.5",
    unit: str = "degC",
    valid: str = "2027-01-15T18:00:00+00:00/PT12H",
    air: str = "-5",
    snow: str = "10",
    second: str = "6T00",
) -> str:
    return GRID % (lat, unit, valid, air, snow, second)


@pytest.fixture
def line(tmp_path: Path) -> str:
    folder = str(tmp_path / "line")
    zone = ("--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    done("start", folder, *zone, "--profile", "us-pa")
    at = ("--line", folder, "--at", "2027-01-14T08:00-05:00")
    loop = ("--loop", "12in", "--bottom", "10in", "--surface", "ground", "--snow", "0in")
    done("note", "set-made", "N1", "--tag", "1", "--at-place=-78.01,41.51", *loop, *at)
    return folder


def prints(folder: str) -> dict[str, str]:
    """Give the fingerprint of every file of a line."""
    files = sorted(path for path in Path(folder).rglob("*") if path.is_file())
    return {str(path): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def refused(line: str, *words: str) -> str:
    before = prints(line)
    seen = run(*words, "--line", line, "--at", AT)
    assert (seen.code, seen.out) == (2, "")
    assert "Traceback" not in seen.err
    assert prints(line) == before
    return seen.err


def test_the_good_ones_are_read(line: str, tmp_path: Path) -> None:
    for name, text in (("good.csv", GOOD), ("good.json", grid())):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert done("weather", str(tmp_path / name), "--line", line, "--at", AT).code in (0, 1)


@pytest.mark.parametrize(
    ("name", "text", "wanted"),
    [
        ("past.csv", GOOD.replace("2027-01", "2026-01"), ("GND-704", "ended")),
        ("past.json", grid().replace("2027-01", "2026-01"), ("GND-704", "ended")),
        ("gap.csv", GOOD.replace("16 01:00", "16 05:00"), ("GND-705", "gap")),
        ("gap.json", grid(second="6T06"), ("GND-705", "gap")),
        ("zone.csv", GOOD.replace("15 13:00", "15T13:00+01:00"), ("GND-706", "another zone")),
        ("unit.csv", GOOD.replace("temp_f", "temp_k"), ("GND-703", "Known units")),
        ("none.csv", GOOD.replace("temp_f", "temp"), ("GND-703", "no unit")),
        ("unit.json", grid(unit="K", air="268"), ("GND-703", "Known units")),
        ("far.csv", GOOD.replace("41.5", "45.5"), ("GND-707", "km (")),
        ("far.json", grid(lat="45.5"), ("GND-707", "km (")),
        ("less.csv", GOOD.replace(",20,3,", ",20,-3,"), ("GND-708", "negative")),
        ("less.json", grid(snow="-4"), ("GND-708", "negative")),
    ],
)
def test_a_forecast_that_cannot_be_used(
    line: str, tmp_path: Path, name: str, text: str, wanted: tuple[str, str]
) -> None:
    assert text not in (GOOD, grid())
    (tmp_path / name).write_text(text, encoding="utf-8")
    said = refused(line, "weather", str(tmp_path / name))
    for words in (name, *wanted):
        assert words in said


def test_the_distance_of_another_place_is_told(line: str, tmp_path: Path) -> None:
    (tmp_path / "far.csv").write_text(GOOD.replace("41.5", "42.5"), encoding="utf-8")
    said = refused(line, "weather", str(tmp_path / "far.csv"))
    # From 41.51 to 42.5 north: 0.99 degrees of 111.1 km (science tables of WGS84), 110 km or 68 mi.
    assert "110 km (68 mi)" in said


@pytest.mark.parametrize("text", ["-6 in tonight, 20 F", "6 furlongs tonight, 20 F", "tonight 3 in, 300 F"])
def test_words_that_cannot_be_used(line: str, text: str) -> None:
    assert "GND-70" in refused(line, "weather", "--words", text)


@pytest.mark.parametrize("job", ["build", "chain", "parts"])
@pytest.mark.parametrize(
    ("changed", "code", "words"),
    [
        ("loop.smallest_across=14 in", "GEAR-101", "not larger than its smallest"),
        ("breakaway.label=1200 lb", "GEAR-102", "as strong as the cable"),
        ("cable.length=30 in", "GEAR-107", "do not reach round"),
        ("cable.length=-60 in", "GEAR-105", "more than nothing"),
    ],
)
def test_a_build_that_cannot_be(line: str, job: str, changed: str, code: str, words: str) -> None:
    sets = [part for each in (*BUILD, changed) for part in ("--set", each)]
    if (job, code) == ("parts", "GEAR-102"):
        return  # counting parts asks nothing of the chain
    said = refused(line, "gear", job, *sets)
    assert code in said
    assert words in said


@pytest.mark.parametrize("option", ["--base-snow", "--new-snow", "--sinking"])
def test_less_than_no_snow_for_a_loop(line: str, option: str) -> None:
    said = refused(line, "gear", "loop", "coyote", f"{option}=-3in")
    assert "GEAR-103" in said
    assert option in said
    assert "-7.6 cm (-3.0 in)" in said


def test_less_than_no_snow_on_record(line: str) -> None:
    for words in (("weather-seen", "--snow=-3in"), ("weather-seen", "--new-snow=-3in")):
        said = refused(line, "note", *words)
        assert "LOG-104" in said
        assert "-0.0762" in said
        assert "-0.07619" not in said
    assert "LOG-104" in refused(line, "note", "check", "N1", "--fine", "--snow=-1cm")


def test_a_round_refuses_the_same_forecasts(line: str, tmp_path: Path) -> None:
    (tmp_path / "far.csv").write_text(GOOD.replace("41.5", "45.5"), encoding="utf-8")
    words = ("round", "--start", "05:00", "--back", "10:00", "--forecast", str(tmp_path / "far.csv"))
    assert "GND-707" in refused(line, *words)
