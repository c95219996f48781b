"""Plans that are kept, and what came of them, on the invented example: cards, days ahead, broken files."""

import json
import shutil
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.jobs.workspace import open_workspace
from tests.journeys.run import Seen, done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline"
AT = "2027-01-14T20:30-04:00"
NOW = "2027-01-18T12:00-04:00"
FINE = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}


def valid(data: object, name: str) -> None:
    schema = json.loads((SCHEMAS / name).read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once; nobody writes into it."""
    folder = str(tmp_path_factory.mktemp("plans") / "line")
    done("demo", folder, "--at", AT)
    return folder


@pytest.fixture
def line(example: str, tmp_path: Path) -> str:
    """Give a copy of the example to write into."""
    return str(shutil.copytree(example, tmp_path / "line"))


def papers(line: str) -> Path:
    return Path(line) / "papers"


def read(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def planned(card: Mapping[str, Any]) -> list[tuple[str, datetime]]:
    return [(v["set"], datetime.fromisoformat(v["look"])) for stop in card["stops"] for v in stop["visits"]]


def keep_looks(line: str, looks: Sequence[tuple[str, datetime]], at: str = NOW) -> None:
    """Keep looks as they would come from another logbook."""
    space = open_workspace(line, at=at)
    drafts = [space.draft("check", {"set": name, **FINE}, happened_at=when) for name, when in looks]
    with space.store() as store, store.transaction():
        store.append(drafts)


def slower(card: Mapping[str, Any], times: float, late: timedelta) -> list[tuple[str, datetime]]:
    """Give the looks of a card walked in its order, so many times as slow, begun so much later."""
    looks = planned(card)
    first = looks[0][1]
    return [(name, first + late + times * (when - first)) for name, when in looks]


def plans(line: str, *words: str, at: str = NOW) -> Seen:
    return done("season", "--plans", "--line", line, "--at", at, *words)


def test_cards_are_kept_and_held_against_the_looks(line: str) -> None:
    kept = read(papers(line) / "route-card-2027-01-15.json")
    valid(kept, "report/schemas/round.schema.json")
    before = plans(line, "--json", at=AT).data
    valid(before, "jobs/schemas/season-plans.schema.json")
    assert before["plans"]["cards"][0]["no_ratio"] == "the day is not over"
    # The first morning: a quarter slower than planned, begun ten minutes late, two sets left out.
    looks = slower(kept, 1.25, timedelta(minutes=10))
    keep_looks(line, looks[1:-1])
    one = plans(line, "--json").data["plans"]
    assert one["cards"][0]["skipped"] == [looks[0][0], looks[-1][0]]
    assert len(one["cards"][0]["looked"]) == one["cards"][0]["planned"] - 2 == len(looks) - 2
    assert one["pace"] is None
    assert "Too few outings" in " ".join(plans(line).out.split())
    keep_looks(line, [looks[0], looks[-1]])
    for day, times in ((16, 1.0), (17, 1.5)):
        words = (
            "--start",
            "05:00",
            "--back",
            "12:00",
            "--iterations",
            "20",
            "--at",
            f"2027-01-{day - 1}T20:30",
        )
        paper = done("paper", "route-card", "--line", line, *words, "--json").data
        valid(paper, "jobs/schemas/paper.schema.json")
        assert read(Path(paper["plan"])) == paper["round"]
        keep_looks(line, slower(paper["round"], times, timedelta(minutes=10)))
    found = plans(line, "--json").data
    valid(found, "jobs/schemas/season-plans.schema.json")
    assert [card["ratio"] for card in found["plans"]["cards"]] == [1.25, 1.0, 1.5]
    pace = found["plans"]["pace"]
    assert (pace["outings"], pace["ratio"], pace["low"], pace["high"]) == (3, 1.25, 1.0, 1.5)
    assert found["plans"]["cards"][1]["late_min"] == 10.0
    text = " ".join(plans(line).out.split())
    assert "Over 3 outings the looks took 1.25 times the planned minutes" in text
    assert "INVENTED" in text
    # Only the days that are asked for.
    some = plans(line, "--from", "2027-01-16", "--to", "2027-01-16", "--json").data["plans"]
    assert [card["file"] for card in some["cards"]] == ["route-card-2027-01-16.json"]


def test_only_who_was_at_a_set_looked_at_it(line: str) -> None:
    looks = planned(read(papers(line) / "route-card-2027-01-15.json"))
    keep_looks(line, looks[3:])
    (far, when), (unreached, then), (up, last) = looks[:3]
    space = open_workspace(line, at=NOW)
    drafts = [
        space.draft("check", {"set": far, **FINE, "from_distance": True}, happened_at=when),
        space.draft("check", {"set": unreached, **FINE, "found_as": "not-reached"}, happened_at=then),
        space.draft("pulled", {"set": up}, happened_at=last),
    ]
    with space.store() as store, store.transaction():
        store.append(drafts)
    card = plans(line, "--json").data["plans"]["cards"][0]
    assert card["skipped"] == [far, unreached]
    assert up in card["looked"]


def test_a_card_printed_elsewhere_is_kept_in_papers_all_the_same(line: str, tmp_path: Path) -> None:
    words = ("--start", "05:00", "--back", "12:00", "--iterations", "5", "--at", "2027-02-01T20:30")
    (tmp_path / "out").mkdir()
    out = tmp_path / "out" / "card.pdf"
    paper = done("paper", "route-card", "--line", line, *words, "--out", str(out), "--json").data
    assert [one.name for one in out.parent.iterdir()] == ["card.pdf"]
    assert Path(paper["plan"]) == papers(line) / "route-card-2027-02-02.json"
    # Where the PDF cannot be written, the plan is not kept either.
    Path(paper["plan"]).unlink()
    (tmp_path / "file").write_text("x", encoding="utf-8")
    bad = str(tmp_path / "file" / "card.pdf")
    seen = run("paper", "route-card", "--line", line, *words, "--out", bad)
    assert (seen.code, "JOB-104" in seen.err) == (2, True)
    assert not Path(paper["plan"]).exists()


def test_a_plan_of_days_is_kept_and_held_against_the_looks(line: str) -> None:
    words = ("--mornings", "05:00-10:00", "--evenings", "15:00-18:00", "--days", "2", "--seconds", "3")
    seen = done("weeks", "--line", line, *words, "--at", AT, "--record", "--json").data
    valid(seen, "jobs/schemas/weeks.schema.json")
    kept = read(papers(line) / "weeks-2027-01-14.json")
    valid(kept, "jobs/schemas/weeks.schema.json")
    assert {**kept, "recorded": str(papers(line) / "weeks-2027-01-14.json")} == seen
    looks = [
        (look["set"], datetime.fromisoformat(look["at"]), look["due_at"])
        for outing in kept["outings"]
        for stop in outing["stops"]
        for look in stop["looks"]
    ]
    # One set is never looked at; one with a single look is looked at a minute after its limit.
    names = [name for name, _, _ in looks]
    tardy, due = next((name, due) for name, _, due in looks if due is not None and names.count(name) == 1)
    missed = next(name for name in names if name != tardy)
    made = [(name, when) for name, when, _ in looks if name not in (missed, tardy)]
    keep_looks(line, [*made, (tardy, datetime.fromisoformat(due) + timedelta(minutes=1))])
    data = plans(line, "--json").data
    valid(data, "jobs/schemas/season-plans.schema.json")
    found = data["plans"]["weeks"][0]
    assert {one["set"] for one in found["never"]} == {missed}
    assert tardy in {one["set"] for one in found["late"]}
    assert found["planned"] == len(looks)
    # Every other look was made at the very planned time: late only where the plan itself was past the limit.
    past = sum(
        due is not None and when > datetime.fromisoformat(due)
        for name, when, due in looks
        if name not in (missed, tardy)
    )
    assert len(found["late"]) == past + 1
    assert found["in_time"] + found["no_limit"] == len(made) - past
    assert f"never: {missed}" in " ".join(plans(line).out.split())


def test_a_plan_that_cannot_be_found_or_kept_is_not_kept(line: str) -> None:
    late = ("--line", line, "--at", AT, "--days", "3", "--seconds", "4", "--record")
    none = done("weeks", *late, "--mornings", "05:00-06:30", "--json").data
    assert (none["outings"], none["recorded"]) == ([], None)
    assert not (papers(line) / "weeks-2027-01-14.json").exists()
    assert run("weeks", *late, "--without", "Ann Example").code == 2


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("notes.json", "{}", "no plan that is kept"),
        ("route-card-2027-04-01.json", "{", "cannot be used"),
        ("route-card-2027-04-01.json", "[]", "not an object"),
        ("route-card-2027-04-01.json", '{"line": "Other"}', "Other"),
        ("route-card-2027-04-01.json", '{"line": "Corran Hollow"}', "lacks 'kind'"),
        (
            "route-card-2027-04-01.json",
            '{"line": "Corran Hollow", "kind": "round", "version": 2}',
            "version 1",
        ),
        ("weeks-2027-04-01.json", '{"line": "Corran Hollow", "from": "2027-04-01", "to": 5}', "offset"),
        ("weeks-2027-04-01.json", '{"line": "Corran Hollow", "from": null}', "cannot be used"),
    ],
)
def test_a_file_that_is_no_kept_plan_is_named(line: str, name: str, content: str, says: str) -> None:
    bad = [papers(line) / name, papers(line) / "weeks-2027-04-02.json"]
    bad[0].write_text(content, encoding="utf-8")
    bad[1].write_bytes(b"\xff")
    try:
        before = {one: one.read_bytes() for one in papers(line).iterdir()}
        seen = run("season", "--plans", "--line", line, "--at", NOW)
        assert (seen.code, seen.out) == (2, "")
        assert seen.err.count("JOB-613") == 2
        assert all(str(one) in seen.err for one in bad)
        assert says in seen.err
        assert {one: one.read_bytes() for one in papers(line).iterdir()} == before
    finally:
        for one in bad:
            one.unlink()


def test_without_any_plan_it_says_how_to_keep_one(tmp_path: Path) -> None:
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann")
    seen = run("season", "--plans", "--line", folder)
    assert seen.code == 1
    assert "No plan is kept" in seen.out
    valid(plans(folder, "--json").data, "jobs/schemas/season-plans.schema.json")
    assert run("season", "--plans", "--counties", "--line", folder).code == 2
