"""What is due, as a person sees it: deadlines, own limits, what is not verified, clock changes."""

import json
from pathlib import Path

import jsonschema
import pytest

from tests.journeys.run import done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
PLACE = "--at-place=-78.01,41.51"


def valid(data: object, name: str) -> None:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


@pytest.fixture
def line(tmp_path: Path) -> str:
    """Two sets under the shipped Pennsylvania profile, confirmed for the season."""
    folder = str(tmp_path / "line")
    done(
        "start",
        folder,
        "--zone",
        "America/New_York",
        "--handler",
        "Ann",
        "--home=-78,41.5",
        "--profile",
        "us-pa",
    )
    for name, hour in (("N1", "05:00"), ("N2", "05:20")):
        at = f"2027-01-11T{hour}-05:00"
        done("note", "set-made", name, "--tag", name, PLACE, "--line", folder, "--at", at)
    return folder


def confirm(line: str) -> None:
    with (Path(line) / "line.toml").open("a", encoding="utf-8") as settings:
        settings.write('\n[[confirmed]]\nprofile = "us-pa"\non = 2026-11-01\nuntil = 2027-02-22\n')


def test_a_deadline_is_36_hours_after_the_last_look_and_says_where_that_stands(line: str) -> None:
    confirm(line)
    seen = run("due", "--line", line, "--at", "2027-01-12T06:00-05:00", "--json")
    assert seen.code == 0
    valid(seen.data, "due")
    first = seen.data["sets"][0]
    assert first["set"] == "N1"
    assert first["due_at"] == "2027-01-12T17:00:00-05:00"  # Monday 05:00 and 36 hours
    assert first["hours_left"] == 11
    assert first["verified"] is True
    assert first["status"] == "secondary"
    assert "34 Pa.C.S." in first["citations"][0]
    assert first["own_due"] == "2027-01-12T05:00:00-05:00"
    assert first["own_hours_left"] == -1


def test_an_overdue_set_stands_on_top_and_is_bad_news(line: str) -> None:
    confirm(line)
    done("note", "check", "N1", "--fine", "--line", line, "--at", "2027-01-12T06:00-05:00")
    seen = run("due", "--line", line, "--at", "2027-01-12T18:00-05:00")
    assert seen.code == 1
    assert seen.out.index("N2") < seen.out.index("N1 ")
    assert "40 min late" in seen.out  # 17:20 to 18:00
    assert "1 overdue" in seen.out


def test_an_unconfirmed_profile_is_not_verified_and_says_what_to_confirm(line: str) -> None:
    seen = done("due", "--line", line, "--at", "2027-01-12T06:00-05:00")
    assert "not verified: confirm us-pa for 2026-27" in seen.out
    data = done("due", "--line", line, "--at", "2027-01-12T06:00-05:00", "--json").data
    assert all(s["verified"] is False for s in data["sets"])
    assert data["sets"][0]["due_at"] is not None


def test_a_set_that_was_not_found_is_marked_and_its_clock_runs_on(line: str) -> None:
    confirm(line)
    words = (
        "--found-as",
        "not-found",
        "--what-happened",
        "snow",
        "--done",
        "searched",
        "--left-as",
        "as-found",
    )
    done("note", "check", "N2", *words, "--line", line, "--at", "2027-01-12T06:00-05:00")
    seen = done("due", "--line", line, "--at", "2027-01-12T07:00-05:00")
    assert "not found since Tue 12 Jan 06:00" in " ".join(seen.out.split())
    data = done("due", "--line", line, "--at", "2027-01-12T07:00-05:00", "--json").data
    assert {s["set"]: s["due_at"] for s in data["sets"]}["N2"] == "2027-01-12T17:20:00-05:00"


def test_hours_clocks_do_not_jump_when_the_clocks_change(tmp_path: Path) -> None:
    # 14 March 2027, 02:00 EST becomes 03:00 EDT: 36 hours after Saturday 20:00 EST is Monday 09:00 EDT.
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--profile", "us-pa")
    done("note", "set-made", "N1", "--tag", "1", PLACE, "--line", folder, "--at", "2027-03-13T20:00-05:00")
    data = done("due", "--line", folder, "--at", "2027-03-14T12:00-04:00", "--json").data
    assert data["sets"][0]["due_at"] == "2027-03-15T09:00:00-04:00"


def test_without_a_profile_nothing_is_verified(tmp_path: Path) -> None:
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York")
    done("note", "set-made", "N1", "--tag", "1", PLACE, "--line", folder, "--at", "2027-01-11T05:00-05:00")
    seen = done("due", "--line", folder, "--at", "2027-01-11T06:00-05:00")
    assert "no rule profile is in use" in seen.out
    assert "not verified" in seen.out


def test_a_profile_of_ones_own_goes_before_the_shipped_one(line: str) -> None:
    shipped = Path(__file__).parents[2] / "src/tendline/rules/packs/us/pa.toml"
    text = shipped.read_text(encoding="utf-8")
    assert 'limit = "36 h"' in text
    (Path(line) / "rules").mkdir()
    (Path(line) / "rules" / "us-pa.toml").write_text(
        text.replace('limit = "36 h"', 'limit = "20 h"'), encoding="utf-8"
    )
    data = done("due", "--line", line, "--at", "2027-01-11T06:00-05:00", "--json").data
    assert data["sets"][0]["due_at"] == "2027-01-12T01:00:00-05:00"


def test_an_unknown_profile_is_refused_by_name(tmp_path: Path) -> None:
    seen = run("start", str(tmp_path / "line"), "--zone", "UTC", "--profile", "us-zz")
    assert seen.code == 2
    assert "RULE-102" in seen.err
    assert not (tmp_path / "line").exists()


def test_every_json_answer_is_as_its_schema_says(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-12T06:00-05:00", "--json")
    valid(done("note", "check", "N1", "--fine", *at).data, "note")
    valid(done("note", "list", *at).data, "note-list")
    valid(done("audit", *at).data, "audit")
    valid(done("start", line + "-2", "--zone", "UTC", "--json").data, "start")
