"""A season, as a person asks for it: effort, ranges, withheld figures, plots, money, injuries, counties."""

import csv
import json
from datetime import timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import jsonschema
import numpy as np
import pytest
from PIL import Image

from tendline.jobs.workspace import open_workspace
from tests.journeys.run import Seen, done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
FIRST = "2027-01-11T06:00-05:00"
NOW = "2027-01-22T12:00-05:00"
SETS = ("A1", "A2", "B1", "B2")
FINE = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}
COYOTE = {
    **FINE,
    "found_as": "holding",
    "what_happened": "caught-kept",
    "done": "remade",
    "species": "coyote",
}
DEER = {**FINE, "found_as": "knocked-down", "what_happened": "deer", "done": "rehung"}
SQUARE = [[[[-78.1, 41.4], [-77.9, 41.4], [-77.9, 41.6], [-78.1, 41.6], [-78.1, 41.4]]]]


def valid(data: object, name: str = "season") -> None:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


def keep(line: str, kind: str, body: dict[str, Any], *, hours: float = 0.0, place: bool = False) -> str:
    """Keep an event as it would come from another logbook, unjudged; give its id."""
    from tendline.core.place import Fix, LonLat

    space = open_workspace(line, at=NOW)
    at = open_workspace(line, at=FIRST).now + timedelta(hours=hours)
    fix = Fix(LonLat(-78.0, 41.5), 5.0) if place else None
    with space.store() as store, store.transaction():
        return store.append([space.draft(kind, body, happened_at=at, fix=fix)])[0].id


@pytest.fixture
def line(tmp_path: Path) -> str:
    """Four sets on two properties, looked at on ten mornings; three coyotes and two knock-downs."""
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    for name, county in (("ash", "Elk"), ("birch", "Potter")):
        keep(folder, "parcel", {"name": name, "title": name.title(), "outline": SQUARE, "county": county})
    for number, name in enumerate(SETS):
        keep(folder, "device-built", {"tag": str(100 + number)})
        body = {"set": name, "tag": str(100 + number), "parcel": "ash" if name[0] == "A" else "birch"}
        told = {"target": "coyote", "location_type": "trail" if name[1] == "1" else "field edge"}
        keep(folder, "set-made", {**body, **told, "loop_m": 0.254}, place=True)
    odd = {(3, "A1"): COYOTE, (5, "A1"): COYOTE, (7, "B1"): COYOTE, (2, "B2"): DEER, (6, "B2"): DEER}
    for day in range(1, 11):
        for number, name in enumerate(SETS):
            keep(folder, "check", {"set": name, **odd.get((day, name), FINE)}, hours=24 * day + number / 6)
    return folder


def season(line: str, *words: str) -> Seen:
    return done("season", "--line", line, "--at", NOW, *words)


def test_a_season_is_told_with_every_range(line: str) -> None:
    seen = season(line, "--json")
    assert seen.code == 0
    data = seen.data
    valid(data)
    # 4 sets on 10 nights; five were found holding or down: half a night is taken off for each.
    assert data["total"]["nights_out"] == 40
    assert data["total"]["device_nights"] == 37.5
    assert data["total"]["target"] == 3
    assert data["rate_target_per_100"]["value"] == pytest.approx(8.0)
    # Garwood's limits for a count of 3 are 0.6187 and 8.7673, as tables print them.
    assert data["rate_target_per_100"]["low"] == pytest.approx(100 * 0.6187 / 37.5, abs=2e-3)
    assert data["rate_target_per_100"]["high"] == pytest.approx(100 * 8.7673 / 37.5, abs=2e-3)
    assert {name: t["target"] for name, t in data["by"]["property"].items()} == {"ash": 2, "birch": 1}
    assert not data["earning"]["ranked"]
    text = season(line).out
    assert "half-interval rule (Nelson & Clark 1973)" in " ".join(text.split())
    assert "No ranking: 3 target catches are too few" in text
    assert "not enough animals to judge" in " ".join(text.split())
    assert "No difference shown" in text
    assert "Fewer than 6 of a kind show nothing: knocked down by deer 2" in text


def test_each_convention_is_named_and_counts_otherwise(line: str) -> None:
    nights = {"raw": 40.0, "half-interval": 37.5, "functional": 39.0, "by-finding": 39.0}
    for name, wanted in nights.items():
        data = season(line, "--nights", name, "--json").data
        assert data["total"]["device_nights"] == wanted
        assert data["convention"]["name"] == name


def test_a_correction_changes_the_season(line: str) -> None:
    listed = done("note", "list", "B2", "--line", line, "--json", "--at", NOW).data["events"]
    deer = next(e["id"] for e in listed if e["body"].get("what_happened") == "deer")
    words = ("--set", "found_as=working", "--set", "what_happened=nothing", "--why", "wrong set")
    done("note", "correction", deer, *words, "--line", line, "--at", NOW)
    assert season(line, "--json").data["total"]["device_nights"] == 38.0
    rows = season(line, "--counties", "--json").data["counties"]
    assert sum(row["device_nights"] for row in rows) == 38.0


def test_without_effort_there_is_no_rate(tmp_path: Path) -> None:
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann")
    seen = season(folder, "--json")
    assert seen.code == 1
    valid(seen.data)
    assert [f["code"] for f in seen.data["faults"]] == ["SEA-101"]
    assert seen.data["rate_target_per_100"]["value"] is None
    assert "no rate to tell" in " ".join(season(folder).out.split())
    assert season(folder, "--counties").code == 1


def test_what_is_wrong_on_record_is_named_and_withheld(line: str) -> None:
    keep(line, "catch", {"set": "Q9", "species": "fox", "standing": "target", "fate": "kept"}, hours=30)
    keep(line, "catch", {"set": "A1", "species": "coyote", "standing": "target", "fate": "kept"}, hours=73)
    keep(line, "set-made", {"set": "C1", "tag": "100", "parcel": "ash"}, hours=100, place=True)
    keep(line, "check", {"set": "C1", **FINE, "minutes_s": -60.0}, hours=150)
    seen = season(line, "--json")
    assert seen.code == 1
    valid(seen.data)
    assert {f["code"] for f in seen.data["faults"]} == {"SEA-102", "SEA-103", "SEA-104", "SEA-105"}
    assert seen.data["total"]["target"] == 3
    text = season(line).out
    assert "WRONG ON RECORD: 4 THINGS" in text
    assert "device 100 is at set A1 and at set C1 at once" in " ".join(text.split())


def test_plots_are_black_and_white_with_their_numbers_beside(line: str, tmp_path: Path) -> None:
    folder = tmp_path / "plots"
    words = ("--plots", str(folder), "--format", "svg", "--format", "png", "--format", "pdf")
    written = season(line, *words, "--json").data["plots"]
    assert {Path(name).suffix for name in written} == {".svg", ".png", ".pdf", ".csv"}
    for name in written:
        path = Path(name)
        if path.suffix == ".svg":
            assert ET.parse(path).getroot().tag.endswith("svg")
        if path.suffix == ".png":
            pixels = np.asarray(Image.open(path).convert("RGB")).astype(int)
            assert np.ptp(pixels, axis=2).max() == 0, path
            assert pixels.min() < 60
        if path.suffix == ".pdf":
            assert path.read_bytes().startswith(b"%PDF")
    rows = list(csv.DictReader((folder / "rates-by-property.csv").read_text(encoding="utf-8").splitlines()))
    assert [(r["property"], r["target"]) for r in rows] == [("ash", "2"), ("birch", "1")]
    assert {r["method"] for r in rows} == {"exact Poisson"}
    again = tmp_path / "again"
    season(line, "--plots", str(again))
    assert (again / "waits.svg").read_bytes() == (folder / "waits.svg").read_bytes()


def test_the_legal_season_cuts_the_nights(tmp_path: Path) -> None:
    # Michigan's profile has cable restraints from 1 January to 1 March: nights before are in no rate.
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/Detroit", "--handler", "Ann", "--profile", "us-mi")
    keep(folder, "set-made", {"set": "A1", "tag": "1"}, hours=-24 * 20, place=True)
    for day in range(-19, 1):
        keep(folder, "check", {"set": "A1", **FINE}, hours=24 * day)
    data = season(folder, "--json").data
    assert data["legal_season"]["start"].startswith("2027-01-01")
    # 22 December to 11 January: ten nights to New Year's Eve, of which half the last lies inside.
    assert data["total"]["device_nights"] == 10.5
    assert data["total"]["nights_outside"] == 9.5
    assert data["waits"]["all"]["over_law"] is not None
    (county,) = season(folder, "--counties", "--json").data["counties"]
    assert (county["device_nights"], county["looks"]) == (10.5, data["total"]["looks"])


def test_waits_are_held_against_both_limits(line: str) -> None:
    keep(line, "check", {"set": "A1", **COYOTE}, hours=24 * 11 + 5)
    whole = season(line, "--json").data["waits"]
    assert whole["all"]["worst_h"] == pytest.approx(29.0)
    # The own limit is 24 hours; three first looks came ten, twenty and thirty minutes later than the making.
    assert whole["all"]["over_own"] == 4
    assert whole["all"]["over_law"] is None  # no profile is in use: not told, never "in time"
    assert whole["all"]["held_worst_h"] == pytest.approx(29.0)
    assert whole["by_weekday"][0]["name"] == "Mon"


def test_money_is_only_what_was_entered(line: str) -> None:
    assert "No money is on record" in season(line).out
    at = ("--line", line, "--at", NOW)
    done("note", "money", "fur", "--amount", "$120", *at)
    done("note", "money", "fuel", "--amount", "60", "--distance", "80mi", *at)
    data = season(line, "--mile", "0.25", "--json").data["money"]
    assert (data["income"], data["cost"], data["miles"]) == (120.0, 80.0, 80.0)
    # 3 catches: 80 / 3 each, and over Garwood's 8.7673 and 0.6187 at the ends.
    assert data["cost_per_catch"]["value"] == pytest.approx(26.67)
    assert data["cost_per_catch"]["low"] == pytest.approx(80 / 8.7673, abs=0.01)
    assert data["cost_per_catch"]["high"] == pytest.approx(80 / 0.6187, abs=0.02)
    assert data["breaks_even_at_catches"] == pytest.approx(2.0)
    assert "hours are not priced" in data["left_out"][0]


def test_injuries_are_scored_by_the_points_that_were_entered(line: str, tmp_path: Path) -> None:
    checks = [
        e["id"]
        for e in done("note", "list", "--line", line, "--json", "--at", NOW).data["events"]
        if e["body"].get("what_happened") == "caught-kept"
    ]
    told = {"species": "coyote", "standing": "target", "fate": "kept"}
    for check, name, injuries in zip(
        checks, ("A1", "A1", "B1"), (["claw loss", "swelling"], ["none"], ["bruise"]), strict=True
    ):
        keep(line, "catch", {"set": name, **told, "check": check, "injuries": injuries}, hours=200)
    data = season(line, "--json").data["study"]
    assert sorted(data["points"].values()) == [0.0, 7.0]
    assert data["unknown_injuries"] == ["bruise"]
    own = tmp_path / "points.toml"
    own.write_text('name = "ours"\n[points]\n"Claw loss" = 1\nswelling = 2\nbruise = 4\n', encoding="utf-8")
    mine = season(line, "--injuries", str(own), "--json").data["study"]
    assert sorted(mine["points"].values()) == [0.0, 3.0, 4.0]
    assert mine["standards"] == []
    until = season(line, "--until", "2027-02-01", "--json").data["study"]
    assert until["device_nights_ahead"] == pytest.approx(40.0)
    # Gamma(3.5, 37.5) after the record: the mean over 40 nights is 3.5 / 37.5 x 40.
    assert until["captures_still_to_come"]["value"] == pytest.approx(3.5 / 37.5 * 40)


def test_a_removal_index_by_hand_and_from_the_record(line: str) -> None:
    seen = season(line, "--rounds", "38,26,12", "--json")
    valid(seen.data)
    # Carle & Strub 1978, example 1.
    assert seen.data["removal"]["by_rounds"][0]["number"] == 91
    assert "removal index, not a count" in seen.data["removal"]["said"][0]
    text = season(line, "--removal", "coyote").out
    assert "REMOVAL INDEX OF COYOTE" in text
    assert "Stop rule, stated beforehand" in text


def test_fresh_sign_stands_above_the_average(line: str) -> None:
    told = {"species": "coyote", "set": "B2", "how_sure": "track-sure"}
    keep(line, "sign-seen", told, hours=24 * 10.5)
    assert "Fresh sign stands above any average: B2 (coyote Thu)" in season(line).out
    assert season(line, "--json").data["earning"]["sets"][0]["name"] == "B2"


def test_last_season_stands_beside_this_one(line: str) -> None:
    for name, back in (("A1", 365), ("B1", 366)):
        keep(line, "set-made", {"set": name, "tag": "200"}, hours=-24 * back, place=True)
        keep(line, "check", {"set": name, **FINE}, hours=-24 * (back - 1))
        keep(line, "pulled", {"set": name}, hours=-24 * (back - 1))
    data = season(line, "--json").data
    valid(data)
    assert data["last_season"]["rate"]["other"] == "2025-26"
    assert data["last_season"]["rate"]["said"] == "no difference shown"
    earlier = season(line, "--season", "2025-26", "--json").data
    assert earlier["total"]["nights_out"] == 2


def test_kinds_of_place_come_in_with_a_table(tmp_path: Path) -> None:
    folder, table = str(tmp_path / "line"), tmp_path / "sets.csv"
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    table.write_text(
        "kind,name,lon,lat,tag,set_at,location_type\n"
        "set,A1,-78.0,41.5,1,2027-01-11 06:00,Fence crossing\n"
        "set,A2,-78.001,41.501,2,2027-01-11 06:00,Trail\n",
        encoding="utf-8",
    )
    done("bring", str(table), "--line", folder, "--at", NOW)
    for name in ("A1", "A2"):
        keep(folder, "check", {"set": name, **FINE}, hours=48)
    by = season(folder, "--json").data["by"]["location type"]
    assert {name: t["device_nights"] for name, t in by.items()} == {"fence crossing": 2.0, "trail": 2.0}


def test_counties_of_two_lines_add_up(line: str, tmp_path: Path) -> None:
    seen = season(line, "--counties", "--with", line, "--json")
    valid(seen.data, "season-counties")
    rows = {row["county"]: row for row in seen.data["counties"]}
    assert {name: row["target"] for name, row in rows.items()} == {"Elk": 4, "Potter": 2}
    assert sum(row["device_nights"] for row in rows.values()) == 75.0
    assert rows["Elk"]["lines"] == 2
    assert "cut at that season's legal ends where they are known" in " ".join(
        season(line, "--counties").out.split()
    )


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--nights", "guess"), "SEA-201"),
        (("--counties", "--nights", "guess"), "SEA-201"),
        (("--season", "2027"), None),
        (("--season", "27-28"), "SEA-201"),
        (("--season", "2026-28"), "SEA-201"),
        (("--from", "2027-02-01", "--to", "2027-01-01"), "SEA-201"),
        (("--from", "soon"), "CORE-201"),
        (("--rounds", "5"), "SEA-201"),
        (("--rounds", "5,x"), "SEA-201"),
        (("--rounds", "5,2.5"), "SEA-201"),
        (("--rounds", "5,4,3", "--effort", "7,7"), "SEA-201"),
        (("--effort", "7,7"), "SEA-201"),
        (("--removal", "wolf"), "SEA-201"),
        (("--injuries", "nowhere.toml"), "SEA-202"),
        (("--counties", "--with", "nowhere"), "JOB-101"),
    ],
)
def test_what_cannot_be_asked_is_refused_by_name(line: str, words: tuple[str, ...], code: str | None) -> None:
    seen = run("season", "--line", line, "--at", NOW, *words)
    if code is None:
        assert seen.code in (0, 1)
        return
    assert seen.code == 2
    assert code in seen.err
    assert seen.out == ""


def test_a_list_of_points_that_cannot_be_used_is_refused_with_every_fault(line: str, tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text(
        'most = "x"\n[points]\na = -1\nb = "c"\n[[standard]]\npoints = 5\nshare = 7\n', encoding="utf-8"
    )
    seen = run("season", "--line", line, "--injuries", str(bad))
    assert seen.code == 2
    assert seen.err.count("SEA-202") == 4
    bad.write_text("[points\n", encoding="utf-8")
    assert "SEA-202" in run("season", "--line", line, "--injuries", str(bad)).err


def test_a_folder_that_cannot_be_written_is_refused(line: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    seen = run("season", "--line", line, "--plots", str(tmp_path / "file" / "plots"))
    assert seen.code == 2
    assert "JOB-104" in seen.err
