"""The days ahead as one person wants them: own rounds, a plan begun, safe enough, papers that end."""

import json
import shutil
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.journeys.run import Seen, done, run

AT = "2026-11-24T20:30"
SCHEMA = Path(__file__).parents[2] / "src/tendline/jobs/schemas/weeks.schema.json"
WIDE = ("--mornings", "05:00-11:00", "--evenings", "15:00-18:00", "--days", "2", "--seconds", "3")


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once."""
    folder = str(tmp_path_factory.mktemp("own") / "line")
    done("demo", folder, "--at", AT)
    return folder


def told(seen: Seen) -> dict[str, Any]:
    """Give a document that has its shape."""
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(seen.data)
    return seen.data


def looks(data: dict[str, Any], name: str) -> list[datetime]:
    """Give the planned looks at a set."""
    return [
        datetime.fromisoformat(look) for one in data["sets"] if one["set"] == name for look in one["looks"]
    ]


def test_a_round_of_ones_own_is_in_the_plan(line: str) -> None:
    keep = "2026-11-26@15:00-18:00=H1,H2,H3,H4,H5,H6,H7"
    data = told(done("weeks", "--line", line, "--at", AT, *WIDE, "--keep", keep, "--json"))
    assert data["kept"] == ["Thu 26 Nov: H1, H2, H3, H4, H5, H6, H7"]
    for name in ("H1", "H4", "H7"):
        inside = [look for look in looks(data, name) if look.date().day == 26 and 15 <= look.hour < 18]
        assert inside, name
    for one in data["sets"]:
        found = looks(data, one["set"])
        assert all(b - a <= timedelta(hours=36) for a, b in pairwise(found)), one["set"]


def test_a_round_of_ones_own_may_name_who_makes_it(line: str) -> None:
    who = done("weeks", "--line", line, "--at", AT, *WIDE, "--json").data["outings"][0]["who"]
    keep = f"2026-11-26@15:00-18:00/{who.lower()}=H1,H2"
    data = told(done("weeks", "--line", line, "--at", AT, *WIDE, "--keep", keep, "--json"))
    assert data["kept"] == [f"Thu 26 Nov, {who}: H1, H2"]
    seen = run("weeks", "--line", line, "--at", AT, *WIDE, "--keep", "daily/Nobody Here=H1")
    assert seen.code == 2
    assert "'Nobody Here' has no window" in seen.err


def test_what_cannot_be_kept_is_refused_all_at_once(line: str) -> None:
    words = ["--keep", "sat", "--keep", "someday=H1", "--keep", "wed=H1,X9", "--keep", "2027-05-01=H1"]
    seen = run("weeks", "--line", line, "--at", AT, *WIDE, *words)
    assert seen.code == 2
    assert seen.err.count("JOB-301") == 4
    for word in ("'sat' is no round to keep", "'someday' is no day", "no set 'X9'", "2027-05-01 is not one"):
        assert word in seen.err


def test_a_plan_begun_is_not_changed_without_need(line: str, tmp_path: Path) -> None:
    first = done("weeks", "--line", line, "--at", AT, *WIDE, "--json")
    file = tmp_path / "plan.json"
    file.write_text(first.out, encoding="utf-8")
    later = ("--line", line, "--at", "2026-11-25T03:30", *WIDE[:-4], "--days", "1", "--seconds", "3")
    again = told(done("weeks", *later, "--was", str(file), "--json"))
    assert again["changes"] == []
    text = done("weeks", *later, "--was", str(file)).out
    assert f"Nothing changed against {file}".replace(" ", "") in "".join(text.split())


def test_a_plan_begun_that_lost_a_window_is_mended_and_each_change_told(line: str, tmp_path: Path) -> None:
    first = done("weeks", "--line", line, "--at", AT, *WIDE, "--json")
    file = tmp_path / "plan.json"
    file.write_text(first.out, encoding="utf-8")
    # Evenings have become shorter by an hour and a half: what was planned there has to go elsewhere.
    short = ("--mornings", "05:00-11:00", "--evenings", "15:00-16:30", "--days", "2", "--seconds", "3")
    data = told(done("weeks", "--line", line, "--at", AT, *short, "--was", str(file), "--json"))
    assert data["changes"]
    old = {
        (o["leave"][:13], look["set"])
        for o in first.data["outings"]
        for s in o["stops"]
        for look in s["looks"]
    }
    new = {(o["leave"][:13], look["set"]) for o in data["outings"] for s in o["stops"] for look in s["looks"]}
    moved = sum(len(one["added"]) + len(one["dropped"]) for one in data["changes"])
    # Counted again from the two documents, by day and half of day.
    assert moved == len(
        {(t[:10], t[11:] > "12", s) for t, s in old} ^ {(t[:10], t[11:] > "12", s) for t, s in new}
    )


def test_a_file_that_holds_no_plan_is_refused(line: str, tmp_path: Path) -> None:
    for text in ("not json", "{}", '{"outings": [{"who": "Ann"}]}'):
        file = tmp_path / "wrong.json"
        file.write_text(text, encoding="utf-8")
        seen = run("weeks", "--line", line, "--at", AT, *WIDE, "--was", str(file))
        assert seen.code == 2, text
        assert "JOB-301" in seen.err
        assert str(file) in seen.err


def test_safe_counts_coming_back_late_and_says_what_time_in_hand_buys(line: str) -> None:
    data = told(done("weeks", "--line", line, "--at", AT, *WIDE, "--safe", "95", "--json"))
    assert data["safe"]["asked"] == 0.95
    assert data["safe"]["kept"] == (data["risk"]["either"] <= 0.05)
    assert data["risk"]["either"] >= max(data["risk"]["any_late"], data["risk"]["back_late"])
    steps = data["tried"]
    assert [one["in_hand_min"] for one in steps] == sorted(one["in_hand_min"] for one in steps)
    assert min(one["either"] for one in steps) == data["risk"]["either"]
    assert run("weeks", "--line", line, "--safe", "120").code == 2


def test_storm_mornings_make_being_late_more_likely(line: str) -> None:
    words = ("weeks", "--line", line, "--at", AT, *WIDE, "--json")
    calm = told(done(*words, "--storm-mornings", "0"))
    rough = told(done(*words, "--storm-mornings", "50%"))
    assert rough["risk"]["either"] > calm["risk"]["either"]
    assert any("50% of mornings" in one for one in rough["said"])


def test_it_is_said_what_the_chances_rest_on_and_what_was_done_of_late(line: str) -> None:
    seen = done("weeks", "--line", line, "--at", AT, *WIDE)
    text = " ".join(seen.out.split())
    # The invented diary: fourteen mornings of fifty sets, and too few catches for a rate.
    assert "As in the last 14 days (14 rounds, 700 looks" in text
    assert "chances go by your own record for walking" in text
    assert "the catch rate (6 catches on record): too few on record" in text


def with_settings(line: str, folder: Path, old: str, new: str) -> str:
    """Copy a line and change its settings."""
    shutil.copytree(line, folder)
    file = folder / "line.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return str(folder)


def test_nobody_is_planned_after_their_licence_ends(line: str, tmp_path: Path) -> None:
    folder = with_settings(
        line,
        tmp_path / "ends",
        'kind = "trapping-licence"\nfirst = 2026-10-01\nlast = 2027-06-30',
        'kind = "trapping-licence"\nfirst = 2026-10-01\nlast = 2026-11-25',
    )
    both = ("--who", "Ann Example", "--who", "Ben Example")
    data = told(done("weeks", "--line", folder, "--at", AT, *WIDE, *both, "--json"))
    days = {one["leave"][:10] for one in data["outings"] if one["who"] == "Ann Example"}
    assert days <= {"2026-11-25"}
    assert {one["leave"][:10] for one in data["outings"]} > {"2026-11-25"}
    assert any(
        "Ann Example is not planned from 2026-11-26 on" in one and "ended on 2026-11-25" in one
        for one in data["said"]
    )


def test_a_person_without_licence_is_named_and_not_planned(line: str) -> None:
    both = ("--who", "Ann Example", "--who", "Cal Example")
    data = told(done("weeks", "--line", line, "--at", AT, *WIDE, *both, "--json"))
    assert {one["who"] for one in data["outings"]} == {"Ann Example"}
    assert any("Cal Example is not planned" in one and "trapping-licence" in one for one in data["said"])
    alone = run("weeks", "--line", line, "--at", AT, *WIDE, "--who", "Cal Example")
    assert alone.code == 2
    assert "JOB-401" in alone.err
    assert "Cal Example does not hold 'trapping-licence'" in alone.err


def test_a_stranger_is_not_planned_and_what_to_record_is_told(line: str) -> None:
    seen = run("weeks", "--line", line, "--at", AT, *WIDE, "--who", "Dee")
    assert seen.code == 2
    assert "not verified" in seen.err
    assert "[[people]]" in seen.err


def test_ones_own_limit_can_be_given_a_price(line: str) -> None:
    data = told(done("weeks", "--line", line, "--at", AT, *WIDE, "--own-costs", "120", "--json"))
    # A price is no bar: there is a plan, and it keeps the law; a bound on prices is not told as one on hours.
    assert data["status"] in ("optimal", "feasible")
    assert data["bound_h"] is None
    for one in data["sets"]:
        assert all(b - a <= timedelta(hours=36) for a, b in pairwise(looks(data, one["set"]))), one["set"]
