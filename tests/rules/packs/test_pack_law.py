"""Runs every `*.law.toml` beside it: the main rules of a shipped profile, just under and over each limit.

A file names its profile; a case says what is right in words, the rule it is about, the facts, and the answer.
What is expected follows from the value in the law's own unit, converted by `tests.rules.kinds.told` and not
by the package. Times are New York's unless they carry an offset.
"""

import tomllib
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tendline.core.settings import Confirmation
from tendline.rules.finding import Finding
from tendline.rules.judge import judge
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.shape import Profile
from tests.rules.kinds.told import NOW, facts, instant

HERE = Path(__file__).parent
ASKED = {"says", "rule", "now", "expect", "due", "say", "status", "margin"}
TOLD = {"device", "set", "place", "person", "permissions", "catch", "answers", "quota", "holidays"}


@cache
def _profile(name: str) -> Profile:
    return load_profile(name)


def _cases() -> list[Any]:
    found = []
    for path in sorted(HERE.glob("*.law.toml")):
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        assert set(held) == {"profile", "case"}
        assert f"{held['profile']}.law.toml" == path.name
        for case in held["case"]:
            assert set(case) <= ASKED | TOLD, f"{path.name}, {case['says']}: {set(case) - ASKED - TOLD}"
            name = f"{held['profile']}, {case['rule']}: {case['says']}"
            found.append(pytest.param(held["profile"], case, id=name))
    return found


def _found(name: str, case: dict[str, Any]) -> Finding:
    profile = _profile(name)
    sworn = Confirmation(profile.id, date(2000, 1, 1), date(2099, 12, 31))
    found = judge(profile, facts(case), now=instant(case.get("now", NOW)), confirmation=sworn)
    matching = [finding for finding in found if finding.rule == case["rule"]]
    assert len(matching) == 1, [finding.rule for finding in found]
    return matching[0]


@pytest.mark.parametrize(("name", "case"), _cases())
def test_the_shipped_law_answers_as_the_case_says(name: str, case: dict[str, Any]) -> None:
    finding = _found(name, case)
    assert case["expect"] == finding.holds.value, f"{finding.said}\n{finding.confirm}"
    if "due" in case:
        assert instant(case["due"]) == finding.due_at
    if "status" in case:
        assert case["status"] == finding.status.value
    if "margin" in case:
        assert finding.shown is not None
        assert case["margin"] == pytest.approx(finding.shown.margin, abs=5e-4)
    for words in case.get("say", []):
        assert words in "\n".join(finding.said)


def test_every_shipped_profile_has_cases_that_answer_in_two_ways() -> None:
    """A case file whose answers are all alike would pass with the limits left out."""
    seen: dict[str, set[str]] = {}
    for param in _cases():
        name, case = param.values
        seen.setdefault(name, set()).add(case["expect"])
    assert set(shipped_profiles()) == set(seen)
    assert all(len(answers) >= 2 for name, answers in seen.items() if name != "us-sc"), seen
