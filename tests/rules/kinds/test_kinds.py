"""Runs every `*.cases.toml` beside it: one kind of rule each, from the fixed season to the end of possession.

A case file names its kind, the real rule it is worded after, and the rule as data under `law`; then come
cases: what is right in words, the facts, the answer. All law here is invented; real rules are in the packs.
"""

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tendline.core.settings import Confirmation
from tendline.rules.finding import Finding
from tendline.rules.judge import judge
from tendline.rules.load import read_profile
from tests.rules.kinds.told import NOW, facts, instant

HERE = Path(__file__).parent
HEAD = (HERE.parents[1] / "data/rules/kinds/head.toml").read_text(encoding="utf-8")
FILE_KEYS = {"kind", "example", "law", "rule", "case"}
ASKED = {"says", "rule", "now", "sure", "expect", "due", "margin", "probability", "say", "confirm"}
TOLD = {
    *("device", "set", "place", "person", "permissions", "catch"),
    *("answers", "quota", "holidays", "place_known"),
}


def _files() -> list[Path]:
    return sorted(HERE.glob("*.cases.toml"))


def _cases() -> list[Any]:
    found = []
    for path in _files():
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        assert set(held) <= FILE_KEYS, f"{path.name}: {set(held) - FILE_KEYS}"
        for case in held["case"]:
            assert set(case) <= ASKED | TOLD, f"{path.name}, {case['says']}: {set(case) - ASKED - TOLD}"
            found.append(pytest.param(path.name, held, case, id=f"{path.stem.split('.')[0]}: {case['says']}"))
    return found


def _found(name: str, held: dict[str, Any], case: dict[str, Any]) -> Finding:
    profile = read_profile(f"{HEAD}\n{held['law']}", file=name)
    now = instant(case.get("now", NOW))
    sworn = Confirmation(profile.id, date(2000, 1, 1), date(2099, 12, 31))
    found = judge(profile, facts(case), now=now, confirmation=sworn, sure=case.get("sure", 0.99))
    wanted = case.get("rule", held.get("rule"))
    matching = [finding for finding in found if finding.rule == wanted]
    assert len(matching) == 1, [finding.rule for finding in found]
    return matching[0]


@pytest.mark.parametrize(("name", "held", "case"), _cases())
def test_the_law_answers_as_the_case_says(name: str, held: dict[str, Any], case: dict[str, Any]) -> None:
    finding = _found(name, held, case)
    said = "\n".join(finding.said)
    assert case["expect"] == finding.holds.value, f"{said}\n{finding.confirm}"
    assert held["kind"] in finding.kinds
    assert finding.citation is not None
    assert finding.verified is (case["expect"] not in ("not verified", "too close to call"))
    if "due" in case:
        assert instant(case["due"]) == finding.due_at
    if "margin" in case:
        assert finding.shown is not None
        assert case["margin"] == pytest.approx(finding.shown.margin, abs=5e-4)
    if "probability" in case:
        assert case["probability"] == pytest.approx(finding.probability, abs=5e-5)
    for words in case.get("say", []):
        assert words in said
    for words in case.get("confirm", []):
        assert words in "\n".join(finding.confirm)
    if finding.holds.value == "not verified":
        assert finding.confirm, "it must say what the person can do"


def test_every_kind_of_rule_from_15_to_67_has_its_case_file() -> None:
    """Kinds 1 to 14 are worked in the case files one folder up; `test_all_kinds` counts them too."""
    counted = {tomllib.loads(path.read_text(encoding="utf-8"))["kind"] for path in _files()}
    assert set(range(15, 68)) == counted


def test_every_case_file_answers_in_at_least_two_ways() -> None:
    """A case file whose answers are all alike would pass with the rule left out."""
    for path in _files():
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        assert len({case["expect"] for case in held["case"]}) >= 2, path.name
