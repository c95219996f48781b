"""Owns the JSON Schema of a rule profile, made from the tables that the loader reads by.

Does not own the loader, which checks more: names, dates, citations, what goes together.
"""

from collections.abc import Mapping
from typing import Any

from tendline.core.source import Status
from tendline.core.words import DeviceClass
from tendline.rules.dated import Severity
from tendline.rules.load_land import KINDS
from tendline.rules.rule import Gear, Topic, Use
from tendline.rules.schema_needs import (
    CATCHES,
    CHECKS,
    DATE,
    FLAG,
    NEED_LIST,
    NEEDS,
    QUANTITY,
    REPORTS,
    SEASONS,
    TEXT,
    TEXTS,
    Keys,
    Schema,
    one_of,
    some_of,
)
from tendline.rules.shape import ProfileState, WhoForm
from tendline.rules.tables import UNITS

_NAMED: Schema = {"type": "object"}
_TERM: Keys = {"day": DATE, "seen": DATE, "cite": TEXTS, "note": TEXT}
_ZONES: Schema = {"type": "object", "additionalProperties": TEXTS}
_FORMS = {Topic.SEASON: SEASONS, Topic.CATCH: CATCHES, Topic.REPORT: REPORTS}


def profile_schema() -> Schema:
    """Make the JSON Schema of a profile; TOML dates are written as strings there."""
    tables = {
        "profile": _profile(),
        "legal_time": _table({"zone": TEXT}, {"called": TEXT, "cite": TEXTS, "note": TEXT}),
        "cite": _each(_cite()),
        "question": _each(
            _table({"ask": TEXT, "answers": {"type": "object", "additionalProperties": TEXT}}, {})
        ),
        "zone": _each(_zone()),
        "check": _each(_check()),
        "who": _each(_who()),
        "ban": _each(_ban()),
        "closed_set": _table({"since": _since([({"clock": one_of(("stops", "runs"))}, {})])}, {}),
        "from_distance": _table(
            {"since": _since([({"look": one_of(("counts", "does not count"))}, {})])}, {}
        ),
        "fact": _each(_fact()),
        **{topic.value: _each(_rule(topic)) for topic in Topic},
    }
    schema = _table({"format": {"const": 1}, **{k: tables[k] for k in ("profile", "legal_time")}}, tables)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rule profile",
        "$defs": {
            "quantity": {"type": "string", "pattern": _quantity_pattern()},
            "need": {"oneOf": [_table(must, may) for _, must, may in NEEDS]},
            "choice": {"oneOf": [_table(must, {**may, "then": NEED_LIST}) for _, must, may in NEEDS]},
        },
        **schema,
    }


def _table(must: Keys, may: Keys) -> Schema:
    """Give the schema of a table with keys it must have and keys it may have, and no others."""
    properties = {**must, **{key: kind for key, kind in may.items() if key not in must}}
    return {
        "type": "object",
        "properties": properties,
        "required": list(must),
        "additionalProperties": False,
    }


def _each(table: Schema) -> Schema:
    return {**_NAMED, "additionalProperties": table}


def _since(values: list[tuple[Keys, Keys]]) -> Schema:
    """Give the schema of dated terms, each with one of several values, or ended."""
    rows = [_table({**must, "cite": TEXTS}, {**may, **_TERM}) for must, may in values]
    rows.append(_table({"ended": {"const": True}, "cite": TEXTS}, _TERM))
    rows = [{**row, "oneOf": [{"required": ["day"]}, {"required": ["seen"]}]} for row in rows]
    return {"type": "array", "minItems": 1, "items": {"oneOf": rows}}


def _by_form(forms: Mapping[str, tuple[Keys, Keys]]) -> list[tuple[Keys, Keys]]:
    return [({"form": {"const": name}, **must}, may) for name, (must, may) in forms.items()]


def _scope() -> dict[str, Any]:
    return {"meaning": TEXT, "classes": some_of(DeviceClass)}


def _rule(topic: Topic) -> Schema:
    not_known: list[tuple[Keys, Keys]] = [({"form": {"const": "not-known"}}, {})]
    forms = _FORMS.get(topic)
    values = _by_form(forms) if forms is not None else [(must, may) for _, must, may in NEEDS]
    kinds: Schema = {"type": "array", "minItems": 1, "items": {"enum": sorted(KINDS[topic])}}
    must: dict[str, Schema] = {"meaning": TEXT, "kinds": kinds, "since": _since([*values, *not_known])}
    may: dict[str, Schema] = {
        "classes": some_of(DeviceClass),
        "severity": one_of(Severity),
        "zones": _ZONES,
        "if": NEED_LIST,
        "unless": NEED_LIST,
        "rival": TEXT,
        "replaces": TEXTS,
    }
    if topic not in (Topic.PERSON, Topic.PAPER):
        must["classes"] = may["classes"]
    if forms is not None:
        may["species"] = TEXTS
    if topic is Topic.SEASON:
        must["use"] = one_of(Use)
        may["gear"] = one_of(Gear)
    return _table(must, may)


def _profile() -> Schema:
    return _table(
        {
            **dict.fromkeys(("id", "title", "about", "country", "region"), TEXT),
            "state": one_of(ProfileState),
            "reviewed": DATE,
            "good_until": DATE,
        },
        {"invented": FLAG},
    )


def _cite() -> Schema:
    return _table(
        {"title": TEXT, "status": one_of(Status)},
        {"section": TEXT, "address": TEXT, "retrieved": DATE, "note": TEXT},
    )


def _zone() -> Schema:
    pair = {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}}
    ring = {"type": "array", "minItems": 4, "items": pair}
    return _table({"question": TEXT, "answer": TEXT, "ring": ring, "cite": TEXTS}, {"note": TEXT})


def _check() -> Schema:
    must = {**_scope(), "severity": one_of(Severity), "since": _since(_by_form(CHECKS))}
    return _table(must, {"zones": _ZONES, "rival": TEXT})


def _who() -> Schema:
    since = _since([({"form": one_of(WhoForm)}, {"emergency_leave": FLAG})])
    return _table({**_scope(), "since": since}, {"zones": _ZONES})


def _ban() -> Schema:
    return _table({**_scope(), "since": _since([({}, {})])}, {"zones": _ZONES})


def _fact() -> Schema:
    values: list[tuple[Keys, Keys]] = [
        ({"quantity": QUANTITY}, {}),
        ({"text": TEXT}, {}),
        ({"list": TEXTS}, {}),
        ({"flag": FLAG}, {}),
    ]
    return _table({"meaning": TEXT, "since": _since(values)}, {})


def _quantity_pattern() -> str:
    units = "|".join(UNITS)
    return rf"^([0-9]+ )?[0-9]+(\.[0-9]+)?(/[1-9][0-9]*)?( ({units}))?$"
