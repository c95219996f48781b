"""The invented example: built whole, says that it is invented, and stays what its diary says."""

import json
from pathlib import Path

import jsonschema
import pytest

from tests.journeys.run import done, run

AT = "2027-01-14T20:30-04:00"
SCHEMAS = Path(__file__).parents[2] / "src/tendline"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """The example and what it printed."""
    folder = str(tmp_path_factory.mktemp("demo") / "line")
    return folder, done("demo", folder, "--at", AT).out


def test_the_main_job_is_done_and_every_part_says_invented(demo: tuple[str, str]) -> None:
    folder, out = demo
    assert out.upper().count("INVENTED") >= 3
    assert "due by" in out
    assert "Route card for 2027-01-15" in out
    card = Path(folder) / "papers" / "route-card-2027-01-15.pdf"
    assert card.read_bytes().startswith(b"%PDF")


def test_the_line_is_as_the_diary_says(demo: tuple[str, str]) -> None:
    folder, _ = demo
    audit = done("audit", "--line", folder, "--at", AT, "--json").data
    assert audit["balanced"] is True
    assert audit["devices"]["in the field"] == 50
    # Every device that held an animal was swapped for a spare, but for one; a spare was found kinked.
    out = {one["tag"]: (one["set"], one["why"]) for one in audit["out_until_rebuilt"]}
    assert [set_name for set_name, why in out.values() if set_name] == ["R9"]
    assert sorted(why for _, why in out.values()) == ["held an animal"] * 5 + ["kinked"]
    stop = next(part for part in audit["parts"] if part["part"] == "stop")
    assert (stop["received"], stop["used"], stop["off"], stop["count"]) == (90, 9, -3, 78)
    board = done("due", "--line", folder, "--at", AT, "--json").data
    assert board["invented"] is True
    assert len(board["sets"]) == 50
    assert any("not found" in " ".join(s["marks"]) for s in board["sets"])
    checks = done("note", "list", "--kind", "check", "--line", folder, "--json").data["events"]
    happened = [e["body"]["what_happened"] for e in checks]
    assert len(checks) == 14 * 50
    for word, count in (("caught-kept", 5), ("nontarget-released", 1), ("deer", 4)):
        assert happened.count(word) == count, word
    assert sum(e["body"]["found_as"] == "not-found" for e in checks) == 1
    catches = done("note", "list", "--kind", "catch", "--line", folder, "--json").data["events"]
    assert len(catches) == 6
    assert all("check" in e["body"] for e in catches)


def test_the_round_brings_another_device_to_the_spoilt_one(demo: tuple[str, str]) -> None:
    folder, _ = demo
    words = ("--start", "05:00", "--back", "12:00", "--iterations", "50")
    data = done("round", *words, "--line", folder, "--at", AT, "--json").data
    bring = {v["set"]: v["bring"] for stop in data["stops"] for v in stop["visits"] if v["bring"]}
    assert list(bring) == ["R9"]
    assert "another device" in bring["R9"][0]


def test_one_can_go_on_with_it(demo: tuple[str, str]) -> None:
    folder, out = demo
    assert f"tendline due --line {folder} --at 2027-01-14T20:30" in out
    seen = done("due", "--line", folder, "--at", "2027-01-14T20:30", "--json")
    schema = json.loads((SCHEMAS / "jobs/schemas/due.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)


def test_it_builds_over_an_example_and_over_nothing_else(demo: tuple[str, str], tmp_path: Path) -> None:
    folder, _ = demo
    assert "JOB-103" in run("demo", folder, "--at", AT).err
    done("start", str(tmp_path / "mine"), "--zone", "UTC")
    assert run("demo", str(tmp_path / "mine"), "--fresh", "--at", AT).code == 2
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "thesis.txt").write_text("x")
    assert run("demo", str(tmp_path / "other"), "--fresh", "--at", AT).code == 2
    assert (tmp_path / "other" / "thesis.txt").exists()


def test_its_json_is_as_its_schema_says(tmp_path: Path) -> None:
    seen = done("demo", str(tmp_path / "line"), "--at", AT, "--json")
    schema = json.loads((SCHEMAS / "jobs/schemas/demo.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)


def test_the_example_can_be_scouted(demo: tuple[str, str]) -> None:
    """Its creek has bridges: travel is pinched at one of them at least."""
    folder, _ = demo
    seen = done("scout", "--line", folder, "--at", AT, "--variations", "2", "--json").data
    assert seen["invented"] is True
    spots = seen["spots"]
    assert len(spots) >= 4
    bridges = [one for one in spots if "crossing" in [reason["word"] for reason in one["reasons"]]]
    assert bridges
    assert all(one["access"]["walk_min"] > 0 for one in spots if one["access"] is not None)
    assert all(one["law"]["profile"] == "xx-demo" for one in spots)
    assert not any("allowed" in said for one in spots for said in one["law"]["said"])
    assert any("cover" in said for said in seen["not_known"])
