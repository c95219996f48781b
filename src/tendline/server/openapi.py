"""Owns the description of everything that can be asked of the server, as an OpenAPI document.

Does not own the answers: schemas of the documents stand in `jobs/schemas`.

References
----------
OpenAPI Specification 3.1.1, https://spec.openapis.org/oas/v3.1.1; schemas are JSON Schema 2020-12.
"""

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from tendline.jobs.file_pieces import SORTS
from tendline.server.desk_ask import Ask
from tendline.server.desk_asks import ASKS
from tendline.server.works_list import LONG

Json = dict[str, Any]

FAULTS: Json = {
    "type": "object",
    "description": "What was wrong, all of it; the one shape of faults.",
    "properties": {
        "faults": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "properties": {
                    "code": {
                        "type": "string",
                        "description": "As in docs/reference; may be empty.",
                    },
                    "what": {"type": "string"},
                    "where": {"type": "string", "description": "Key, file or row; empty for phones."},
                    "do": {"type": "string"},
                },
                "required": ["code", "what", "where", "do"],
                "additionalProperties": False,
            },
        }
    },
    "required": ["faults"],
    "additionalProperties": False,
}
_REFUSED = {"$ref": "#/components/responses/Refused"}
_KEY: list[dict[str, list[str]]] = [{"key": []}]
_TEXT: Json = {"type": "string"}
_BYTES: Json = {"type": "string", "format": "binary"}


def openapi_document() -> Json:
    """Describe the server."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "tendline serve",
            "version": "1",
            "description": "What the field page and the desk page ask of the machine. What may write comes "
            "from the page itself: its Origin is the address asked, and it sends the header x-tendline.",
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "http://localhost:8765", "description": "on this machine"}],
        "paths": {**_field_paths(), **{f"/api/desk/{ask.name}": _desk_path(ask) for ask in ASKS}},
        "components": {
            "schemas": {"Faults": FAULTS, **_documents()},
            "responses": {
                "Refused": {
                    "description": "Refused; nothing was changed.",
                    "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Faults"}}},
                }
            },
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer", "description": "From pairing."}},
        },
    }


def _desk_path(ask: Ask) -> Json:
    kind = "application/octet-stream" if ask.gives is None else "application/json"
    return {
        "post": {
            "operationId": ask.name,
            "summary": ask.words,
            "tags": ["desk page"],
            "security": _KEY,
            "requestBody": {"required": True, "content": {"application/json": {"schema": _taken(ask)}}},
            "responses": {
                "200": {"description": "The answer.", "content": {kind: {"schema": _given(ask)}}},
                "default": _REFUSED,
            },
        }
    }


def _taken(ask: Ask) -> Json:
    if ask.name != "work-begin":
        return ask.schema
    works = [
        {
            "type": "object",
            "description": long.words,
            "properties": {
                "job": {"const": name},
                "asked": {
                    "type": "object",
                    "properties": dict(long.takes),
                    "additionalProperties": False,
                },
            },
            "required": ["job"],
        }
        for name, long in LONG.items()
    ]
    return {"oneOf": works}


def _given(ask: Ask) -> Json:
    if ask.gives is None:
        return _BYTES
    if isinstance(ask.gives, str):
        answer: Json = {"$ref": f"#/components/schemas/{ask.gives}"}
    else:
        answer = dict(ask.gives)
    return {
        "type": "object",
        "properties": {
            "answer": answer,
            "bad_news": {"type": "boolean", "description": "Something has to be done about it."},
            "warnings": {"type": "array", "items": _TEXT},
        },
        "required": ["answer", "bad_news", "warnings"],
        "additionalProperties": False,
    }


def _documents() -> dict[str, Json]:
    """Give the schema of every document that is named, its own definitions inside it."""
    names = {ask.gives for ask in ASKS if isinstance(ask.gives, str)}
    names |= {long.gives for long in LONG.values() if long.gives}
    return {name: _moved(name, schema_of(name)) for name in sorted(names)}


def schema_of(name: str) -> Json:
    """Read the schema of a document of a job."""
    for room in ("jobs", "report"):
        file = files("tendline") / room / "schemas" / f"{name}.schema.json"
        if file.is_file():
            return dict(json.loads(file.read_text(encoding="utf-8")))
    raise KeyError(name)


def _moved(name: str, schema: Mapping[str, Any]) -> Json:
    """Have a schema point at its own definitions from where it now stands."""
    text = json.dumps({key: value for key, value in schema.items() if key not in ("$schema", "$id")})
    return dict(json.loads(text.replace('"#/', f'"#/components/schemas/{name}/')))


def _field_paths() -> dict[str, Json]:
    """Describe what a phone asks."""
    told = {"type": "object", "properties": {"via": _TEXT, "person": _TEXT}, "required": ["via", "person"]}
    word = {"type": "object", "properties": {"word": _TEXT, "label": _TEXT}, "required": ["word"]}
    key = {"properties": {"key": _TEXT}, "required": ["key"]}
    wire = {"type": "object", "description": "As wire/fixtures show it."}
    numbers = [
        {"name": name, "in": "query", "required": True, "schema": {"type": "integer", "minimum": 0}}
        for name in ("from", "of")
    ]
    named = {
        "name": "sha256",
        "in": "path",
        "required": True,
        "schema": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
    }
    have = {"type": "object", "properties": {"have": {"type": "integer"}}, "required": ["have"]}
    return {
        "/api/pair": {"post": _op("pair", "Use up a pairing word.", word, {"allOf": [told, key]}, free=True)},
        "/api/me": {"get": _op("me", "Say who calls.", None, told)},
        "/api/round": {"get": _op("round-carried", "Give the round to take along.", None, wire)},
        "/api/events": {"post": _op("events", "Take in what was written down, exactly once.", wire, wire)},
        **{
            f"/api/{sort}/{{sha256}}": {
                "parameters": [named, *numbers],
                "put": _op(f"piece-of-{sort}", "Keep a piece of a file that an entry names.", _BYTES, have),
            }
            for sort in SORTS
        },
    }


def _op(name: str, words: str, takes: Json | None, gives: Json, *, free: bool = False) -> Json:
    found: Json = {
        "operationId": name,
        "summary": words,
        "tags": ["field page"],
        "responses": {
            "200": {"description": "The answer.", "content": {"application/json": {"schema": gives}}},
            "default": _REFUSED,
        },
    }
    if not free:
        found["security"] = _KEY
    if takes is not None:
        kind = "application/octet-stream" if takes.get("format") == "binary" else "application/json"
        found["requestBody"] = {"required": True, "content": {kind: {"schema": takes}}}
    return found
