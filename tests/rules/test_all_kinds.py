"""Every one of the 67 kinds of rule has a worked case: 1 to 14 beside this file, the rest in `kinds`."""

import tomllib
from pathlib import Path

from tendline.rules.judge_checks import KINDS_OF_FORM

HERE = Path(__file__).parent
ROOT = HERE.parents[1]

BY_HAND = {
    9: "by-class.cases.toml",
    10: "by-zone.cases.toml",
    12: "who.cases.toml",
    13: "legal-time.cases.toml",
}
"""Kinds of rule on checking that are no form of their own, with the cases that work them."""


def _forms_worked() -> set[str]:
    """Give the forms that stand in a profile for which there are cases."""
    found: set[str] = set()
    for path in HERE.glob("*.cases.toml"):
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        if "file" in held:
            law_at = ROOT / held["file"]
        else:
            law_at = ROOT / "src/tendline/rules/packs" / f"{held['profile'].replace('-', '/', 1)}.toml"
        law = tomllib.loads(law_at.read_text(encoding="utf-8"))
        found |= {
            term["form"] for rule in law.get("check", {}).values() for term in rule["since"] if "form" in term
        }
    return found


def test_all_67_kinds_of_rule_have_a_worked_case() -> None:
    worked = {kind for form, kinds in KINDS_OF_FORM.items() if form in _forms_worked() for kind in kinds}
    worked |= {kind for kind, name in BY_HAND.items() if (HERE / name).is_file()}
    for path in (HERE / "kinds").glob("*.cases.toml"):
        worked.add(tomllib.loads(path.read_text(encoding="utf-8"))["kind"])
    assert set(range(1, 68)) == worked
