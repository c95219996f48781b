"""Somebody cannot go: the least that must be done on the invented example, by whom, and when to phone."""

import json
import shlex
import shutil
from datetime import date, datetime, timedelta
from pathlib import Path

import jsonschema
import pytest

from tendline.jobs.workspace import open_workspace
from tests.journeys.run import done, run

AT = "2026-11-24T20:30"
SCHEMA = Path(__file__).parents[2] / "src/tendline/jobs/schemas/weeks-without.schema.json"
QUICK = ("--seconds", "6", "--at", AT)


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once; in it Ben may go and Cal may not."""
    folder = str(tmp_path_factory.mktemp("without") / "line")
    done("demo", folder, "--at", AT)
    return folder


def test_sick_for_three_days(line: str) -> None:
    seen = done("weeks", "--line", line, "--without", "ann example", *QUICK, "--json")
    data = seen.data
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(data)
    assert (data["first_day"], data["last_day"]) == ("2026-11-24", "2026-11-26")
    assert {one["who"]: one["may"] for one in data["who"]} == {"Ben Example": "may", "Cal Example": "may not"}
    assert {one["who"] for one in data["outings"]} == {"Ben Example"}
    # The example's law is 36 hours from the last look; over two days and more no single look is enough.
    assert {one["do"] for one in data["sets"]} == {"close"}
    for one in data["sets"]:
        if one["set"] not in {c["set"] for c in data["cannot_keep"]}:
            assert one["look_at"] <= one["due_at"], one["set"]
    # T5 was not found; its limit passes at 22:37 of this evening, before anybody's hours begin.
    assert [one["set"] for one in data["cannot_keep"]] == ["T5"]
    assert seen.code == 1
    (phone,) = data["phone"]
    first = next(one for one in data["outings"] if one["who"] == phone["who"])
    assert datetime.fromisoformat(phone["by"]) >= datetime.fromisoformat(first["leave"]) - timedelta(hours=1)
    words = shlex.split(data["sheet"])
    assert words[:4] == ["tendline", "paper", "finder-sheet", "--sets"]
    assert set(words[4].split(",")) == {one["set"] for one in data["sets"]}


def test_one_day_away_needs_a_look_that_lasts(line: str) -> None:
    # Away on the 25th only; limits must hold to noon of the 26th: a look after midnight lasts 36 hours.
    words = ("--without", "Ann Example", "--from", "2026-11-25", "--until", "2026-11-25")
    hours = ("--mornings", "05:00-12:00", "--who", "Ben Example")
    data = done("weeks", "--line", line, *words, *hours, *QUICK, "--json").data
    assert {one["do"] for one in data["sets"]} == {"look"}
    for one in data["sets"]:
        look = datetime.fromisoformat(one["look_at"])
        assert datetime.fromisoformat(data["kept_until"]) - look <= timedelta(hours=36), one["set"]


def test_the_text_says_whom_to_phone_first_and_ends_with_the_sheet(line: str) -> None:
    text = done("weeks", "--line", line, "--without", "Ann Example", *QUICK).out
    assert text.index("PHONE Ben Example") < text.index("CANNOT BE KEPT") < text.index("who else")
    assert "'trapping-licence'" in text
    assert "a closed set has no clock (Corran County Ordinance (invented), 6 (invented))" in " ".join(
        text.split()
    )
    assert text.rstrip().splitlines()[-1].startswith("  tendline paper finder-sheet --sets ")


def test_when_nobody_else_may_go_that_is_said_first(line: str) -> None:
    seen = done("weeks", "--line", line, "--without", "Ann Example", "--without", "Ben Example", *QUICK)
    assert seen.code == 1
    assert "NOBODY ON RECORD MAY GO" in seen.out.split("who else")[0]
    assert "whoever may go" in seen.out


def test_where_closing_is_not_known_to_help_sets_are_taken_up(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "pa")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    text = (Path(folder) / "line.toml").read_text(encoding="utf-8")
    (Path(folder) / "line.toml").write_text(text.replace("profiles = []", 'profiles = ["us-pa"]'), "utf-8")
    at = ("--line", folder, "--at", "2027-01-14T20:30-05:00")
    done("note", "parking", "P1", "--at-place=-84.3,36.5", *at)
    done("note", "set-made", "S1", "--tag", "1", "--at-place=-84.3,36.501", *at)
    away = ("--without", "Ann", "--until", "2027-01-20")
    data = done("weeks", *away, *at, "--seconds", "4", "--json").data
    assert data["closing"][0]["stops_clock"] is None
    assert [one["do"] for one in data["sets"]] == ["pull"]


def test_names_and_days_that_cannot_be_meant_are_refused_together(line: str) -> None:
    nobody = run("weeks", "--line", line, "--without", "Eve", "--without", "Moe", *QUICK)
    assert nobody.code == 2
    assert nobody.err.count("JOB-301") == 2
    assert "Ben Example" in nobody.err
    past = run(
        "weeks",
        "--line",
        line,
        "--without",
        "Ann Example",
        "--from",
        "2026-11-20",
        "--until",
        "2026-11-19",
        *QUICK,
    )
    assert past.code == 2
    assert "is past" in past.err
    assert "is before" in past.err


def test_days_may_be_said_in_words(line: str) -> None:
    words = ("--without", "Ann Example", "--from", "tomorrow", "--until", "2026-11-25")
    data = done("weeks", "--line", line, *words, *QUICK, "--json").data
    assert date.fromisoformat(data["first_day"]) == date(2026, 11, 25)


def test_whoever_goes_away_tomorrow_can_still_go_tonight(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "tonight")
    shutil.copytree(line, folder)
    at = ("--line", folder, "--at", AT)
    done("note", "available", "Ann Example", "--start", "2026-11-24T20:45", "--end", "2026-11-24T23:30", *at)
    done("note", "available", "Ben Example", "--start", "2026-11-25T05:00", "--end", "2026-11-25T13:00", *at)
    done("note", "available", "Ann Example", "--start", "2026-11-25T05:00", "--end", "2026-11-25T13:00", *at)
    words = ("--without", "Ann Example", "--from", "tomorrow", "--seconds", "10")
    seen = done("weeks", *at, *words, "--json")
    data = seen.data
    # T5 is due at 22:37 this evening; Ann is there in time, and nobody else could be.
    assert data["cannot_keep"] == []
    assert seen.code == 0
    by = {one["set"]: one["by"] for one in data["sets"]}
    assert by["T5"] == "Ann Example"
    ann = [one for one in data["outings"] if one["who"] == "Ann Example"]
    assert {one["leave"][:10] for one in ann} == {"2026-11-24"}
    assert {one["who"] for one in data["phone"]} == {"Ben Example"}


def test_where_laws_differ_somebody_goes_only_where_they_may(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "border")
    shutil.copytree(line, folder)
    at = ("--line", folder, "--at", AT)
    settings = Path(folder) / "line.toml"
    text = settings.read_text(encoding="utf-8").replace(
        'profiles = ["xx-demo"]', 'profiles = ["xx-demo", "us-nh"]'
    )
    settings.write_text(text, encoding="utf-8")
    place = open_workspace(folder, at=AT).line().sets["N1"].fix.place
    lon, lat = place.lon + 0.0004, place.lat + 0.0004
    ring = " ".join(f"{lon + a:.6f},{lat + b:.6f}" for a, b in ((-1e-3, -1e-3), (1e-3, -1e-3), (0, 1e-3)))
    done("note", "parcel", "border", f"--outline={ring}", "--zones", "profile=us-nh", *at)
    done("note", "set-made", "X1", "--tag", "9001", "--parcel", "border", f"--at-place={lon},{lat}", *at)
    data = done("weeks", "--without", "Ann Example", *QUICK, "--line", folder, "--json").data
    (ben,) = [one for one in data["who"] if one["who"] == "Ben Example"]
    # New Hampshire, RSA 210:13 as the pack holds it: only the named person, but in an emergency.
    assert ben["may"] == "not verified"
    assert "goes only to sets under xx-demo" in ben["why"]
    planned = {name for one in data["outings"] for stop in one["stops"] for name in stop["sets"]}
    assert "X1" not in planned
    assert "N1" in planned
    assert "X1" in {one["set"] for one in data["cannot_keep"]}


def test_who_was_away_goes_again_when_they_are_back(line: str) -> None:
    # Away on the 25th; back on the 26th, on which limits are to be kept until noon.
    words = ("--without", "Ann Example", "--from", "2026-11-25", "--until", "2026-11-25")
    hours = ("--mornings", "05:00-12:00")
    seen = done("weeks", "--line", line, *words, *hours, *QUICK, "--json")
    assert "Ann Example can go again from Thu 26 Nov on" in seen.data["said"]
    assert {one["who"] for one in seen.data["outings"] if one["leave"] < "2026-11-26"} == {"Ben Example"}
    # Hours given for somebody else are not theirs.
    other = done("weeks", "--line", line, *words, *hours, "--who", "Ben Example", *QUICK, "--json")
    assert {one["who"] for one in other.data["outings"]} == {"Ben Example"}
    assert not any("can go again" in one for one in other.data["said"])
    # Away this evening only: Ann herself goes in the morning.
    both = ("--mornings", "05:00-08:00", "--from", "2026-11-24", "--until", "2026-11-24", *QUICK, "--json")
    shared = done("weeks", "--line", line, "--without", "Ann Example", *both)
    assert "Ann Example" in {one["who"] for one in shared.data["outings"]}
