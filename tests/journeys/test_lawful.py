"""The line judged by the rules in force; a profile gone through value by value; a profile of one's own."""

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.journeys.run import done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
PLACE = "--at-place=-78.01,41.51"
AT = "2027-01-12T06:00-05:00"


@pytest.fixture
def line(tmp_path: Path) -> str:
    """One measured device and set under the shipped Pennsylvania profile."""
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
    at = ("--line", folder, "--at", "2027-01-11T05:00-05:00")
    done("note", "device-built", "101", "--loop", "12in", "--cable-diameter", "3/32in", *at)
    words = ("--tag", "101", PLACE, "--bottom", "9in", "--surface", "ground", "--snow", "0in")
    done("note", "set-made", "N1", *words, *at)
    return folder


def findings(line: str, *words: str) -> dict[str, dict[str, Any]]:
    data = done("lawful", "--line", line, "--at", AT, "--json", *words).data
    schema = json.loads((SCHEMAS / "lawful.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)
    return {f["rule"]: f for f in data["findings"]}


def test_wrong_comes_first_then_what_cannot_be_told(line: str) -> None:
    done(
        "note",
        "adjusted",
        "N1",
        "--bottom",
        "14in",
        "--surface",
        "ground",
        "--snow",
        "0in",
        "--line",
        line,
        "--at",
        AT,
    )
    seen = run("lawful", "--line", line, "--at", AT)
    assert seen.code == 1
    assert seen.out.index("WRONG") < seen.out.index("CANNOT BE TOLD")
    assert "14 in" in seen.out
    assert "12 in" in seen.out
    assert "141.66" in seen.out


def test_a_measure_inside_the_limit_is_shown_with_its_margin_and_source(line: str) -> None:
    found = findings(line)
    cable = next(f for f in found.values() if "cable" in str(f["words"]).lower() and f["measured"])
    assert cable["citations"]
    assert cable["day"] == "2027-01-12"
    assert all(f["verified"] is False for f in found.values())  # nobody has confirmed the profile


def test_what_is_not_recorded_is_never_a_pass(line: str) -> None:
    found = findings(line)
    breakaway = [f for f in found.values() if "breakaway" in str(f["words"]).lower()]
    assert breakaway
    assert all(f["holds"] == "not verified" for f in breakaway)


def test_it_can_be_narrowed_to_one_set(line: str) -> None:
    done("note", "set-made", "N2", "--tag", "102", "--at-place=-78.02,41.51", "--line", line, "--at", AT)
    data = done("lawful", "--set", "N1", "--line", line, "--at", AT, "--json").data
    assert {f["name"] for f in data["findings"] if f["subject"] == "set"} == {"N1"}
    assert run("lawful", "--set", "N9", "--line", line, "--at", AT).code == 2


def test_a_profile_is_gone_through_on_a_sheet_and_expires(line: str) -> None:
    seen = done("lawful", "--confirm", "us-pa", "--line", line, "--at", AT, "--json").data
    sheet = Path(seen["sheet"])
    assert (
        "JOB-502"
        in run("lawful", "--confirm", "us-pa", "--sheet", str(sheet), "--line", line, "--at", AT).err
    )
    text = sheet.read_text(encoding="utf-8").replace('answer = ""', 'answer = "agree"')
    sheet.write_text(text, encoding="utf-8")
    kept = done(
        "lawful", "--confirm", "us-pa", "--sheet", str(sheet), "--note", "asked", "--line", line, "--at", AT
    )
    assert "confirmed on 2027-01-12, until 2027-06-30" in kept.out
    board = done("due", "--line", line, "--at", AT, "--json").data
    assert board["sets"][0]["verified"] is True
    later = done("due", "--line", line, "--at", "2027-07-02T06:00-04:00", "--json").data
    assert later["sets"][0]["verified"] is False


def test_a_value_that_is_not_agreed_stays_not_verified(line: str) -> None:
    sheet = Path(done("lawful", "--confirm", "us-pa", "--line", line, "--at", AT, "--json").data["sheet"])
    text = sheet.read_text(encoding="utf-8").replace('answer = ""', 'answer = "agree"')
    rule = done("due", "--line", line, "--at", AT, "--json").data["sets"][0]["rule"]
    text = re.sub(rf'(\["{rule}"\](?:\n#.*)*\nanswer = )"agree"', r'\1"24 hours, says the officer"', text)
    sheet.write_text(text, encoding="utf-8")
    seen = done("lawful", "--confirm", "us-pa", "--sheet", str(sheet), "--line", line, "--at", AT)
    assert "24 hours, says the officer" in seen.out
    first = done("due", "--line", line, "--at", AT, "--json").data["sets"][0]
    assert first["verified"] is False
    assert any("24 hours, says the officer" in words for words in first["confirm"])


def test_a_profile_of_ones_own_is_written_validated_and_used(line: str) -> None:
    seen = done("lawful", "--new", "us-xy", "--line", line, "--at", AT)
    assert "guided blank" in seen.out
    path = Path(line) / "rules" / "us-xy.toml"
    assert "JOB-503" in run("lawful", "--new", "us-xy", "--line", line, "--at", AT).err
    settings = Path(line) / "line.toml"
    settings.write_text(settings.read_text().replace('profiles = ["us-pa"]', 'profiles = ["us-xy"]'))
    board = done("due", "--line", line, "--at", AT, "--json").data
    assert board["sets"][0]["verdict"] == "not verified"  # its one source is still "unknown"
    path.write_text(path.read_text().replace('limit = "24 h"', 'limitt = "24 h"'))
    seen = run("due", "--line", line, "--at", AT)
    assert seen.code == 2
    assert "RULE-103" in seen.err
    assert "us-xy.toml" in seen.err
    copied = done("lawful", "--new", "us-pa", "--line", line, "--at", AT)
    assert "a copy of the shipped profile" in copied.out


def test_a_broken_confirmation_is_told_by_name(line: str) -> None:
    (Path(line) / "confirmed").mkdir()
    (Path(line) / "confirmed" / "us-pa-2027-01-01.toml").write_text("profile = 3")
    seen = run("due", "--line", line, "--at", AT)
    assert seen.code == 2
    assert "JOB-502" in seen.err


def test_what_a_held_animal_reaches_is_told_and_drawn(line: str) -> None:
    words = (
        "--obstacle-kind",
        "woody growth",
        "--obstacle",
        "3ft",
        "--obstacle-thick",
        "0.6in",
        "--stick",
        "yes",
    )
    at = ("--line", line, "--at", AT)
    done("note", "adjusted", "N1", *words, "--stick-thick", "1in", "--extension", "0in", "--slope", "0", *at)
    assert "not known: note the cable" in done("lawful", "--set", "N1", *at).out
    done("note", "device-built", "103", "--cable-length", "4ft", *at)
    done("note", "check", "N1", "--fine", "--done", "swapped", "--tag", "103", *at)
    seen = done("lawful", "--set", "N1", "--draw", *at)
    # 48 in of cable and 12 in for the body reach 60 in; the growth stands at 36 in.
    assert "60 in" in seen.out
    assert "counts as an entanglement" in seen.out
    assert "half an inch thick or more" in seen.out
    assert (Path(line) / "papers" / "reach-N1.svg").read_text(encoding="utf-8").startswith("<svg")


def test_who_may_look_is_told_with_its_source(line: str) -> None:
    settings = Path(line) / "line.toml"
    settings.write_text(settings.read_text().replace('profiles = ["us-pa"]', 'profiles = ["us-nh"]'))
    found = findings(line)["who-may-look"]
    assert found["kinds"] == [12]
    assert any("named" in str(words) or "person" in str(words) for words in found["said"])  # RSA 210:13
    assert found["citations"]
