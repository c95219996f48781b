"""Merging: a phone's file, another logbook; twice is once, either way round is the same, nothing is lost."""

import json
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.journeys.run import Seen, done, run
from tests.lines import MORNING, small_line
from tests.unit.field.told import entry, message

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "src/tendline/jobs/schemas/take.schema.json").read_text(encoding="utf-8")
)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> str:
    return small_line(tmp_path_factory.mktemp("lines") / "line")


@pytest.fixture
def lines(made: str, tmp_path: Path) -> tuple[str, str]:
    """Two machines with the same line."""
    for name in ("here", "there"):
        shutil.copytree(made, tmp_path / name)
    return str(tmp_path / "here"), str(tmp_path / "there")


def check(line: str, name: str, at: str = "05:40") -> None:
    done("note", "check", name, "--fine", "--happened", at, "--line", line, "--at", MORNING)


def record(line: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = done("note", "list", "--line", line, "--at", MORNING, "--json").data[
        "events"
    ]
    return sorted(found, key=lambda event: event["id"])


def take(line: str, source: Any) -> Seen:
    seen = done("take", str(source), "--line", line, "--at", MORNING, "--json")
    jsonschema.validate(seen.data, SCHEMA)
    return seen


def test_a_phones_file_is_taken_in_once_however_often(lines: tuple[str, str], tmp_path: Path) -> None:
    here, _ = lines
    file = tmp_path / "outbox.json"
    file.write_bytes(message(entry(1, hours=24.5), entry(2, hours=24.6, set="N1")))
    before = len(record(here))
    assert take(here, file).data["entered"] == 2
    again = take(here, file)
    assert (again.data["entered"], again.data["known"], again.code) == (0, 2, 0)
    assert len(record(here)) == before + 2
    assert done("audit", "--line", here, "--at", MORNING).code == 0


def test_two_logbooks_merge_to_the_same_either_way_round(lines: tuple[str, str]) -> None:
    here, there = lines
    check(here, "N1")
    check(there, "N2")
    check(there, "S1", "05:50")
    assert take(here, there).data["entered"] == 2
    assert take(there, here).data["entered"] == 1
    assert record(here) == record(there)
    assert take(here, there).data["entered"] == 0
    for line in lines:
        assert done("audit", "--line", line, "--at", MORNING).code == 0


def test_a_phone_that_told_two_machines_is_merged_once(lines: tuple[str, str], tmp_path: Path) -> None:
    here, there = lines
    one, both = tmp_path / "one.json", tmp_path / "both.json"
    one.write_bytes(message(entry(2, hours=24.6)))
    both.write_bytes(message(entry(1, hours=24.5, set="N1"), entry(2, hours=24.6)))
    take(here, one)
    take(there, both)
    assert take(here, there).data["entered"] == 1
    assert take(there, here).data["entered"] == 0
    assert record(here) == record(there)
    assert done("audit", "--line", here, "--at", MORNING).code == 0


def test_the_other_logbook_is_not_touched(lines: tuple[str, str]) -> None:
    here, there = lines
    before = {file.name: file.read_bytes() for file in Path(there).iterdir() if file.is_file()}
    take(here, Path(there) / "logbook.db")
    assert {file.name: file.read_bytes() for file in Path(there).iterdir() if file.is_file()} == before


def test_of_a_damaged_logbook_nothing_is_taken(lines: tuple[str, str]) -> None:
    here, there = lines
    check(there, "N2")
    with sqlite3.connect(Path(there) / "logbook.db") as database:
        database.execute("DROP TRIGGER events_are_not_altered")
        database.execute("UPDATE events SET by = 'somebody else' WHERE kind = 'check'")
    database.close()
    before = record(here)
    seen = run("take", there, "--line", here, "--at", MORNING)
    assert seen.code == 3
    assert "LOG-502" in seen.err
    assert record(here) == before


def test_a_file_that_is_none_is_refused_and_nothing_is_written(
    lines: tuple[str, str], tmp_path: Path
) -> None:
    here, _ = lines
    (tmp_path / "x.json").write_text("{}")
    assert "FLD-102" in run("take", str(tmp_path / "x.json"), "--line", here).err
    (tmp_path / "y.json").write_text("not JSON")
    assert "FLD-101" in run("take", str(tmp_path / "y.json"), "--line", here).err
    assert "JOB-101" in run("take", str(tmp_path / "nowhere"), "--line", here).err
    assert run("take", "--line", here).code == 2


def test_what_is_odd_is_listed_with_what_to_do(lines: tuple[str, str], tmp_path: Path) -> None:
    here, _ = lines
    file = tmp_path / "outbox.json"
    file.write_bytes(message(entry(1, hours=24.5, set="N9"), entry(2, hours=90)))
    seen = take(here, file)
    assert seen.code == 1
    assert (seen.data["flagged"], seen.data["held"]) == (1, 1)
    listed = done("take", "--odd", "--line", here, "--at", MORNING, "--json")
    jsonschema.validate(listed.data, SCHEMA)
    assert [one["stands"] for one in listed.data["odd"]] == ["entered", "held"]
    assert listed.data["odd"][1]["faults"][0]["code"] == "LOG-202"
    due = done("due", "--line", here, "--at", MORNING, "--json").data["sets"]
    assert {s["set"]: s["last_seen"] for s in due}["N3"] == "2027-01-11T06:00:00-05:00"
