"""A week that can be repeated, on the invented example, as a person would ask for it."""

import json
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest

from tests.journeys.run import done, run

AT = "2026-11-24T20:30"
SCHEMA = Path(__file__).parents[2] / "src/tendline/jobs/schemas/weeks-routine.schema.json"
WIDE = ("--mornings", "04:00-12:00", "--evenings", "13:00-20:00", "--at", AT, "--routine")


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once."""
    folder = str(tmp_path_factory.mktemp("routine") / "line")
    done("demo", folder, "--at", AT)
    return folder


def test_the_week_keeps_the_36_hours_of_the_example_over_its_end(line: str) -> None:
    data = done("weeks", "--line", line, *WIDE, "--seconds", "25", "--json").data
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(data)
    assert data["found"]
    assert data["invented"]
    for one in data["sets"]:
        assert one["largest_gap_h"] <= 36.0, one["set"]
    # Told by the outings alone: nobody stays away from a set for longer than the hours between two of them.
    for one in data["sets"]:
        spans = [(o["leave"], o["back"]) for o in data["outings"] if one["set"] in o["sets"]]
        spans.append((_week_later(spans[0][0]), _week_later(spans[0][1])))
        for (_, back), (leave, _) in pairwise(spans):
            gone = datetime.fromisoformat(leave) - datetime.fromisoformat(back)
            assert gone <= timedelta(hours=36), one["set"]


def _week_later(text: str) -> str:
    return (datetime.fromisoformat(text) + timedelta(days=7)).isoformat()


def test_when_there_is_no_such_week_that_is_said_and_the_exit_is_1(line: str) -> None:
    words = ("--mornings", "08:00-09:00", "--at", AT, "--routine", "--seconds", "4")
    seen = run("weeks", "--line", line, *words)
    assert seen.code == 1 or "PLAN-124" in seen.err
    if seen.code == 1:
        assert "NO WEEK THAT CAN BE REPEATED" in seen.out
        assert run("weeks", "--line", line, *words, "--json").data["found"] is False


def test_what_goes_by_today_has_no_meaning_with_it(line: str) -> None:
    seen = run("weeks", "--line", line, *WIDE, "--keep", "sat=H1", "--safe", "95")
    assert seen.code == 2
    assert seen.err.count("JOB-301") == 2
