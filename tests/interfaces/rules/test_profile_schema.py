"""The published schema of a profile: it is what the code makes, the loader agrees, every profile fits."""

import json
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.core.errors import FaultList
from tendline.core.source import Citation, Status
from tendline.rules import load_catch, load_forms, load_needs, load_season
from tendline.rules.load_rules import Known
from tendline.rules.schema import profile_schema
from tendline.rules.schema_needs import CATCHES, CHECKS, NEEDS, REPORTS, SEASONS
from tendline.rules.shape import Question
from tendline.rules.tables import Table

ROOT = Path(__file__).resolve().parents[3]
PUBLISHED = ROOT / "src/tendline/rules/schemas/profile.schema.json"
SHIPPED = sorted((ROOT / "src/tendline/rules/packs").glob("*/*.toml"))
TESTED = sorted((ROOT / "tests/data/rules").glob("*.toml"))
KINDS = sorted((ROOT / "tests/rules/kinds").glob("*.cases.toml"))
HEAD = ROOT / "tests/data/rules/kinds/head.toml"
VALIDATOR = jsonschema.Draft202012Validator(profile_schema())


def _plain(value: Any) -> Any:
    """Write TOML dates as strings, as JSON has none."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    return [_plain(inner) for inner in value] if isinstance(value, list) else value


def _known() -> Known:
    cite = Citation("Act", "", "", None, Status.INVENTED)
    return Known({"act": cite}, {"q": Question("q", "?", {"yes": "Yes"})})


def test_the_published_schema_is_what_the_code_makes() -> None:
    assert json.loads(PUBLISHED.read_text(encoding="utf-8")) == profile_schema()


def test_the_schema_is_itself_a_schema() -> None:
    """Checked by the draft's own meta-schema."""
    jsonschema.Draft202012Validator.check_schema(profile_schema())


@pytest.mark.parametrize("path", [*SHIPPED, *TESTED], ids=lambda p: p.stem)
def test_every_profile_fits_the_schema(path: Path) -> None:
    VALIDATOR.validate(_plain(tomllib.loads(path.read_text(encoding="utf-8"))))


@pytest.mark.parametrize("path", KINDS, ids=lambda p: p.stem)
def test_every_kind_of_rule_fits_the_schema(path: Path) -> None:
    law = tomllib.loads(path.read_text(encoding="utf-8"))["law"]
    VALIDATOR.validate(_plain(tomllib.loads(f"{HEAD.read_text(encoding='utf-8')}\n{law}")))


@pytest.mark.parametrize(
    ("key", "value"),
    [("limit", "24 weeks"), ("form", "whenever"), ("cite", []), ("surprise", 1)],
)
def test_a_broken_rule_does_not_fit(key: str, value: object) -> None:
    text = (ROOT / "tests/data/rules/elapsed.toml").read_text(encoding="utf-8")
    held = _plain(tomllib.loads(text))
    VALIDATOR.validate(held)
    next(iter(held["check"].values()))["since"][0][key] = value
    assert list(VALIDATOR.iter_errors(held))


def _example(keys: dict[str, Any]) -> dict[str, Any]:
    """Make a value for each key from its schema: enough for a reader to go on reading."""
    made: dict[str, Any] = {}
    for key, schema in keys.items():
        if "enum" in schema:
            made[key] = str(schema["enum"][0])
        elif "const" in schema:
            made[key] = schema["const"]
        elif schema.get("type") == "boolean":
            made[key] = True
        elif schema.get("type") == "integer":
            made[key] = max(schema["minimum"], 2)
        elif "pattern" in schema:
            made[key] = _fitting(schema["pattern"])
        elif "$ref" in schema:
            made[key] = "1 in"
    return made


def _fitting(pattern: str) -> str:
    return "24 h" if "min" in pattern else "12-26" if "-(" in pattern else "07:00"


def _asked(reader: Any, raw: dict[str, Any], *further: object) -> set[str]:
    table = Table(raw, "x", "", FaultList())
    reader(table, *further)
    return set(table._asked) - {"form"}


def test_the_schema_and_the_loader_know_the_same_needs_and_keys() -> None:
    assert {name for name, _, _ in NEEDS} == set(load_needs.NEEDS)
    for name, must, may in NEEDS:
        if name in ("all_of", "any_of"):
            continue
        raw = _example(dict(must))
        if name == "answer":
            raw["answer"] = "q"
        assert _asked(load_needs.NEEDS[name], raw, _known()) == set(must) | set(may), name


def test_the_schema_and_the_loader_know_the_same_forms_and_keys() -> None:
    assert set(CHECKS) == set(load_forms._READERS)
    for form, (must, may) in CHECKS.items():
        assert _asked(load_forms._READERS[form], {}) == set(must) | set(may), form
    assert set(CATCHES) == set(load_catch.CATCH_FORMS)
    for form, (must, may) in CATCHES.items():
        if form == "possession-end":
            continue  # asks for until, or for season and days
        assert _asked(load_catch.CATCH_FORMS[form], {}, _known()) == set(must) | set(may), form
    assert set(SEASONS) == set(load_season.SEASON_FORMS)
    for form, (must, may) in SEASONS.items():
        raw = {"to": "02-15"} if form == "window" else {}
        assert _asked(load_season.SEASON_FORMS[form], raw, _known()) == set(must) | set(may), form
    assert set(REPORTS) == set(load_catch.REPORT_FORMS)
    for form, (must, may) in REPORTS.items():
        raw = {"form": form, **_example(dict(must)), "from": "season-close"}
        assert _asked(load_catch.read_report, raw, _known()) >= set(must) - {"from"} | (
            set(may) - {"season"}
        ), form
