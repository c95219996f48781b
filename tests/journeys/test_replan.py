"""In the middle of a round on the invented example: what is noted so far, the rest, what no longer fits."""

import json
from datetime import datetime, timedelta
from pathlib import Path

import jsonschema
import pytest

from tendline.core.line import SetState
from tendline.jobs.round import end_named
from tendline.jobs.round_ground import find_ways
from tendline.jobs.workspace import open_workspace
from tests.journeys.run import done, run

EVENING = "2026-11-24T20:30"
NOW = "2026-11-25T05:40"
SCHEMA = Path(__file__).parents[2] / "src/tendline/report/schemas/round.schema.json"
LOOKED = ("--found-as", "working", "--what-happened", "nothing", "--done", "looked", "--left-as", "working")
QUICK = ("--replan", "--iterations", "150", "--at", NOW)


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line on a morning on which three sets were looked at and one was not found."""
    folder = str(tmp_path_factory.mktemp("replan") / "line")
    done("demo", folder, "--at", EVENING)
    for name, clock in (("R4", "05:20"), ("R5", "05:32"), ("R3", "05:37")):
        done("note", "check", name, *LOOKED, "--line", folder, "--at", f"2026-11-25T{clock}")
    lost = (
        "--found-as",
        "not-found",
        "--what-happened",
        "snow",
        "--done",
        "searched",
        "--left-as",
        "as-found",
    )
    done("note", "check", "R1", *lost, "--line", folder, "--at", "2026-11-25T05:39")
    return folder


def test_what_is_done_is_not_planned_again_and_what_was_not_found_is(line: str) -> None:
    data = done("round", "--line", line, *QUICK, "--back", "12:00", "--json").data
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(data)
    planned = [visit["set"] for stop in data["stops"] for visit in stop["visits"]]
    assert not {"R3", "R4", "R5"} & set(planned)
    assert "R1" in planned
    told = {one["set"]: one["seen"] for one in data["replan"]["done"]}
    assert told == {"R4": True, "R5": True, "R3": True, "R1": False}
    assert data["replan"]["stands_at"] == "set R3"
    assert data["replan"]["begun"] == "2026-11-25T05:20:00-04:00"


def test_the_first_leg_is_the_walk_from_where_one_stands(line: str) -> None:
    data = done("round", "--line", line, *QUICK, "--back", "12:00", "--json").data
    first = data["stops"][0]
    visit = first["visits"][0]
    space = open_workspace(line, at=NOW)
    state = space.line()
    home = end_named(space, state, "", "start")
    sets: list[SetState] = [state.sets["R3"], state.sets[visit["set"]]]
    ways = find_ways(space, state, sets, ends=(home,), tell=lambda _: None)
    row, col = ways.walk.names.index("R3"), ways.walk.names.index(visit["set"])
    walk = timedelta(seconds=float(ways.walk.seconds[row, col]))
    park = timedelta(seconds=space.settings.time.park_s)
    there = datetime.fromisoformat(visit["look"])
    # Straight over from R3, without parking; a walk shorter than parking takes as long as parking would.
    assert first["parking"] == "ridge-low"
    assert (
        timedelta(0)
        <= there - (datetime.fromisoformat(data["leave"]) + max(walk, park))
        <= timedelta(seconds=1)
    )


def test_with_little_time_left_each_limit_that_breaks_is_named(line: str) -> None:
    seen = run("round", "--line", line, *QUICK, "--back", "06:40")
    assert seen.code == 1
    text = " ".join(seen.out.split())
    assert text.index("INVENTED") < text.index("The rest of the round, from set R3 at 05:40: 3 sets done")
    assert "Not found or not reached, their limits run on: R1" in text
    assert "CANNOT WAIT for the next outing (Thu 05:20)" in text
    data = run("round", "--line", line, *QUICK, "--back", "06:40", "--json").data
    limits = {
        one["set"]: datetime.fromisoformat(one["due_at"])
        for one in data["replan"]["not_on_this_round"]
        if not one["can_wait"] and one["due_at"] is not None
    }
    # K2 was last seen on Tuesday at 06:18; its 36 hours end on Wednesday at 18:18.
    assert limits["K2"].isoformat() == "2026-11-25T18:18:00-04:00"
    assert "K2 Wed 18:18" in text
    ahead = {name: due for name, due in limits.items() if due > datetime.fromisoformat(f"{NOW}-04:00")}
    first = min(ahead, key=lambda name: ahead[name])
    minutes = int((datetime.fromisoformat("2026-11-26T05:20-04:00") - ahead[first]).total_seconds()) // 60
    told = f"of {first}, passes {minutes // 60} h {minutes % 60:02d} before the next outing begins"
    assert told in text


def test_where_one_stands_can_be_said(line: str) -> None:
    words = ("--line", line, *QUICK, "--back", "12:00", "--json")
    parked = done("round", *words, "--from", "toll-gate").data
    assert parked["replan"]["stands_at"] == "toll-gate"
    assert parked["stops"][0]["parking"] == "toll-gate"
    assert parked["stops"][0]["drive_min"] == 0
    on_foot = done("round", *words, "--from", "R5", "--truck", "ridge-top").data
    assert on_foot["replan"]["stands_at"] == "set R5"
    assert on_foot["start"] == "R5 (on foot)"
    nowhere = run("round", "--line", line, *QUICK, "--back", "12:00", "--truck", "nowhere")
    assert nowhere.code == 2
    assert "JOB-301" in nowhere.err
    assert run("round", "--line", line, "--truck", "ridge-top").code == 2


def test_hours_on_record_say_until_when_and_without_any_that_is_asked(line: str, tmp_path: Path) -> None:
    asked = run("round", "--line", line, *QUICK)
    assert asked.code == 2
    assert "JOB-401" in asked.err
    assert "--back" in asked.err
    folder = str(tmp_path / "hours")
    done("demo", folder, "--at", EVENING)
    at = ("--line", folder, "--at", EVENING)
    done("note", "available", "Ann Example", "--start", "2026-11-25T05:00", "--end", "2026-11-25T11:00", *at)
    done("note", "available", "Ann Example", "--start", "2026-11-26T05:00", "--end", "2026-11-26T11:00", *at)
    done("note", "check", "R4", *LOOKED, "--line", folder, "--at", "2026-11-25T05:20")
    data = done("round", "--line", folder, *QUICK, "--json").data
    assert data["latest_return"] == "2026-11-25T11:00:00-04:00"
    assert data["replan"]["begun"] == "2026-11-25T05:00:00-04:00"
    assert data["replan"]["next_outing"] == "2026-11-26T05:00:00-04:00"


def test_when_nothing_is_left_that_is_said(tmp_path: Path) -> None:
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-84.28,36.49")
    at = ("--line", folder, "--at", "2027-01-14T20:30-05:00")
    done("note", "parking", "P1", "--at-place=-84.3,36.5", *at)
    done("note", "set-made", "S1", "--tag", "1", "--at-place=-84.3,36.501", *at)
    done("note", "check", "S1", *LOOKED, "--line", folder, "--at", "2027-01-15T06:00-05:00")
    words = ("--line", folder, "--replan", "--back", "09:00", "--at", "2027-01-15T06:05-05:00")
    seen = run("round", *words)
    assert seen.code == 2
    assert "nothing is left" in seen.err
