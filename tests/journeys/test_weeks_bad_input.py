"""What cannot be meant, or kept, is named: windows, limits too near, people, a change of the clocks."""

import json
import shutil
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from tests.journeys.run import done, run

AT = "2026-11-24T20:30"
SPRING = "2027-03-12T20:30"
QUICK = ("--days", "2", "--seconds", "3")


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once."""
    folder = str(tmp_path_factory.mktemp("bad") / "line")
    done("demo", folder, "--at", AT)
    return folder


@pytest.fixture(scope="module")
def spring(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line two days before clocks go forward in its zone, on 14 March 2027."""
    folder = str(tmp_path_factory.mktemp("spring") / "line")
    done("demo", folder, "--at", SPRING)
    return folder


def available(folder: str, start: str, end: str) -> None:
    """Note a stretch in which Ann can go."""
    done("note", "available", "Ann Example", "--start", start, "--end", end, "--line", folder, "--at", AT)


def test_hours_on_record_that_overlap_are_named(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "overlap")
    shutil.copytree(line, folder)
    available(folder, "2026-11-25T05:00", "2026-11-25T11:00")
    available(folder, "2026-11-25T10:00", "2026-11-25T13:00")
    seen = run("weeks", "--line", folder, "--at", AT, *QUICK)
    assert seen.code == 2
    assert "PLAN-123" in seen.err
    assert "two windows of Ann Example overlap" in seen.err


def test_hours_on_record_that_are_past_are_no_hours(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "past")
    shutil.copytree(line, folder)
    available(folder, "2026-11-23T05:00", "2026-11-23T11:00")
    seen = run("weeks", "--line", folder, "--at", AT, *QUICK)
    assert seen.code == 2
    assert "JOB-401" in seen.err


def test_a_set_nobody_can_be_in_time_for_is_planned_first_and_named_with_both_times(line: str) -> None:
    # T5 is due at 22:37 this evening; a window from 22:20 leaves 17 minutes for a way of more.
    words = ("--mornings", "05:00-11:00", "--evenings", "22:20-23:30")
    data = done("weeks", "--line", line, "--at", AT, *words, *QUICK, "--json").data
    assert data["overdue"] == ["T5"]
    (told,) = [one for one in data["said"] if "T5" in one]
    assert "Tue 24 Nov 22:37" in told
    assert "passes before anybody can be there" in told


def test_a_window_at_an_hour_that_clocks_skip_is_refused_with_its_day(spring: str) -> None:
    seen = run("weeks", "--line", spring, "--at", SPRING, "--mornings", "02:30-08:00", *QUICK)
    assert seen.code == 2
    assert "CORE-203" in seen.err
    assert "2027-03-14" in seen.err
    assert "window 02:30-08:00" in seen.err


def test_over_a_change_of_the_clocks_hours_are_real_hours(spring: str) -> None:
    words = ("--mornings", "05:00-11:00", "--evenings", "15:00-19:00", "--days", "3", "--seconds", "6")
    data = done("weeks", "--line", spring, "--at", SPRING, *words, "--json").data
    assert data["status"] in ("optimal", "feasible")
    offsets = {one["leave"][-6:] for one in data["outings"]}
    assert offsets == {"-04:00", "-03:00"}
    for one in data["outings"]:
        assert one["window"]["from"][11:16] in ("05:00", "15:00")
    for one in data["sets"]:
        looks = [datetime.fromisoformat(look) for look in one["looks"]]
        assert all(b - a <= timedelta(hours=36) for a, b in pairwise(looks)), one["set"]


def test_the_autumn_change_refuses_the_hour_that_comes_twice(line: str, tmp_path: Path) -> None:
    folder = str(tmp_path / "autumn")
    done("demo", folder, "--at", "2026-10-31T20:30")
    seen = run("weeks", "--line", folder, "--at", "2026-10-31T20:30", "--mornings", "01:30-08:00", *QUICK)
    assert seen.code == 2
    assert "CORE-204" in seen.err
    assert "2026-11-01" in seen.err


def test_an_overdue_set_is_planned_first_and_said(line: str) -> None:
    # A day later nobody has gone: the whole line is overdue from Wednesday evening on.
    data = done(
        "weeks",
        "--line",
        line,
        "--at",
        "2026-11-25T23:30",
        "--mornings",
        "05:00-13:00",
        "--days",
        "2",
        "--seconds",
        "12",
        "--json",
    ).data
    assert set(data["overdue"]) == {one["set"] for one in data["sets"]}
    first = min(one["leave"] for one in data["outings"])[:10]
    assert first == "2026-11-26"
    assert {one["looks"][0][:10] for one in data["sets"]} == {"2026-11-26"}
    assert json.dumps(data)
