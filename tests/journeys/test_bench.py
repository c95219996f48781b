"""At the bench: parts laid in, counted, built up; a spoilt cable is kept off the line until it is rebuilt."""

import json
from pathlib import Path

import jsonschema
import pytest

from tests.journeys.run import Seen, done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
AT = "2027-01-12T06:00-05:00"

BUILD = """
name = "fox"
[cable]
make = "7x7"
material = "galvanised"
diameter = "3/32 in"
length = "60 in"
[loop]
largest_across = "8 in"
smallest_across = "3 in"
[lock]
[stop]
[swivel]
"""


@pytest.fixture
def line(tmp_path: Path) -> str:
    folder = str(tmp_path / "line")
    zone = ("--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    done("start", folder, *zone, "--profile", "us-pa")
    return folder


@pytest.fixture
def build(tmp_path: Path) -> str:
    path = tmp_path / "fox.toml"
    path.write_text(BUILD, encoding="utf-8")
    return str(path)


def valid(seen: Seen, name: str) -> dict:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    return seen.data


def stock(data: dict) -> dict[tuple[str, bool], int]:
    return {(part["part"], part["length_m"] is not None): part["count"] for part in data["parts"]}


def test_parts_leave_the_stock_with_the_devices_made_of_them(line: str, build: str) -> None:
    at = ("--line", line, "--at", AT)
    for part, count in (("cable", 10), ("stop", 20), ("lock", 4)):
        done("note", "parts-received", part, "--count", str(count), *at)
    run("gear", "build", build, "--tag", "1", "--tag", "2", *at)
    run("gear", "build", build, "--tag", "3", "--bought", *at)
    held = stock(valid(done("audit", *at, "--json"), "audit"))
    # Two made of one cable, three stops and one lock each; the third came ready-made.
    assert held == {("cable", False): 8, ("stop", False): 14, ("lock", False): 2}
    done("note", "stock-count", "stop", "--count", "11", *at)
    words = ("gear", "parts", build, "--devices", "12", "--nights", "10", *at)
    data = valid(run(*words, "--json"), "gear-parts")
    parts = {part["part"]: part for part in data["parts"]}
    assert parts["stop"]["have"] == 11
    assert parts["swivel"]["have"] is None
    # Twelve wanted, three there: nine more of three stops each, and spares.
    assert parts["stop"]["order"] == 9 * 3 + parts["stop"]["spares"] - 11
    seen = run(*words)
    assert seen.code == 1
    assert "3 fewer than the record said" in seen.out
    assert "Stock not known: swivel" in seen.out
    assert f"{parts['stop']['order']} stop" in seen.out
    # What is said for one call goes before the record.
    said = run("gear", "parts", build, "--devices", "12", "--have", "stop=500", *at, "--json").data
    assert {p["part"]: p["have"] for p in said["parts"]}["stop"] == 500


def test_devices_of_another_build_are_not_counted(line: str, build: str, tmp_path: Path) -> None:
    at = ("--line", line, "--at", AT)
    other = tmp_path / "coyote.toml"
    other.write_text(BUILD.replace('"fox"', '"coyote"').replace("8 in", "11 in"), encoding="utf-8")
    run("gear", "build", build, "--tag", "1", "--tag", "2", *at)
    run("gear", "build", str(other), "--tag", "3", *at)
    done("note", "device-built", "4", *at)
    for path, ready, others in ((build, 3, 1), (str(other), 2, 2)):
        data = valid(run("gear", "parts", path, "--devices", "9", *at, "--json"), "gear-parts")
        # The one that nobody said the build of counts for any.
        assert (data["ledger"]["in_stock"], data["ledger"]["other_builds"]) == (ready, others)
    assert "1 of other builds are not counted" in run("gear", "parts", build, *at).out


def test_cable_is_cut_from_the_rolls_on_record(line: str, build: str) -> None:
    at = ("--line", line, "--at", AT)
    done("note", "parts-received", "cable", "--count", "1", "--length", "100ft", *at)
    done("note", "stock-count", "cable", "--count", "5", *at)
    words = ("gear", "parts", build, "--devices", "10", "--nights", "1", *at)
    data = valid(run(*words, "--json"), "gear-parts")
    cable = next(part for part in data["parts"] if part["part"] == "cable")
    assert cable["have"] == 5
    cut = data["cut_list"]["cuts"][0]
    assert [(one["piece"], one["count"]) for one in cut["pieces"]] == [("cable", cable["order"])]
    assert data["cut_list"]["proved"]
    more = run("gear", "parts", build, "--devices", "60", "--nights", "1", *at)
    assert more.code == 1
    assert "rolls of cable on record are not enough" in " ".join(more.out.split())


def test_a_cable_that_held_an_animal_is_not_set_again_until_rebuilt(line: str, build: str) -> None:
    at = ("--line", line, "--at", AT)
    run("gear", "build", build, "--tag", "1", "--tag", "2", *at)
    done("note", "set-made", "N1", "--tag", "1", "--at-place=-78.01,41.51", *at)
    later = ("--line", line, "--at", "2027-01-13T06:00-05:00")
    four = ("--found-as", "holding", "--what-happened", "caught-kept", "--done", "remade")
    seen = done("note", "check", "N1", *four, "--left-as", "working", *later)
    assert "out until rebuilt: held an animal" in seen.err
    audit = run("audit", *later, "--json")
    assert audit.code == 1
    (out,) = valid(audit, "audit")["out_until_rebuilt"]
    assert (out["tag"], out["set"], out["why"]) == ("1", "N1", "held an animal")
    judged = run("lawful", *later, "--json").data["findings"]
    assert [f["holds"] for f in judged if f["rule"] == "rebuilt"] == ["fail"]
    done("note", "pulled", "N1", *later)
    again = run("note", "set-made", "N2", "--tag", "1", "--at-place=-78.01,41.51", *later)
    assert (again.code, "LOG-311" in again.err) == (2, True)
    parts = run("gear", "parts", build, *later, "--json").data
    assert parts["ledger"] == {"in_stock": 1, "in_field": 0, "out_until_rebuilt": ["1"], "other_builds": 0}
    run("gear", "build", build, "--rebuilt", "1", *later)
    done("note", "set-made", "N2", "--tag", "1", "--at-place=-78.01,41.51", *later)
    assert run("audit", *later).code == 0


@pytest.mark.parametrize("cable", ["kinked", "frayed", "bird-caged", "worn"])
def test_a_look_that_finds_a_fault_keeps_a_device_off_the_line(line: str, build: str, cable: str) -> None:
    at = ("--line", line, "--at", AT)
    run("gear", "build", build, "--tag", "1", *at)
    done("note", "device-inspected", "1", "--cable", cable, *at)
    seen = run("note", "set-made", "N1", "--tag", "1", "--at-place=-78.01,41.51", *at)
    assert seen.code == 2
    assert cable in seen.err
    assert cable in done("audit", *at).out


def test_what_cannot_be_a_part_is_refused_and_nothing_is_kept(line: str) -> None:
    at = ("--line", line, "--at", AT)
    before = done("audit", "--line", line, "--json").data["events"]
    for words in (
        ("parts-received", "cable", "--count", "0"),
        ("parts-received", "cable", "--count", "-3"),
        ("parts-received", "two words", "--count", "3"),
        ("stock-count", "cable", "--count", "many"),
        ("device-built", "9", "--parts", "cable=many"),
        ("device-built", "9", "--parts", "cable=1000"),
        ("device-rebuilt", "9"),
    ):
        assert run("note", *words, *at).code == 2, words
    assert done("audit", "--line", line, "--json").data["events"] == before
