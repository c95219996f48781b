"""Owns the JSON Schema of an event, made from the table of kinds.

Does not own the check itself (`bodies`), which says more than a schema can.
"""

from typing import Any

from tendline.logbook.bodies import NUMBERS
from tendline.logbook.field_types import Field, FieldType
from tendline.logbook.kinds import KINDS, Kind


def body_schema(kind: Kind) -> dict[str, Any]:
    """Give the JSON Schema (draft 2020-12) of one kind's body."""
    return {
        "type": "object",
        "description": kind.meaning,
        "additionalProperties": False,
        "required": [f.name for f in kind.fields if f.required],
        "properties": {f.name: {**_type_schema(f), "description": f.meaning} for f in kind.fields},
    }


def event_schema() -> dict[str, Any]:
    """Give the JSON Schema of a whole event, all kinds."""
    instant = {"type": "string", "format": "date-time"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "tendline event",
        "type": "object",
        "additionalProperties": False,
        "required": [
            "id",
            "kind",
            "version",
            "happened_at",
            "recorded_at",
            "by",
            "via",
            "place",
            "body",
            "prev",
        ],
        "properties": {
            "id": {"type": "string", "format": "uuid", "description": "UUID of version 7."},
            "kind": {"enum": list(KINDS)},
            "version": {"type": "integer", "minimum": 1},
            "happened_at": {**instant, "description": "When it took place."},
            "recorded_at": {**instant, "description": "When it was written down."},
            "by": {"type": "string", "description": "Who says so."},
            "via": {"type": "string", "description": "Which machine or phone wrote it down."},
            "place": {
                "description": "Longitude, latitude [degrees, WGS84], accuracy [m] or null; or null.",
                "oneOf": [
                    {"type": "null"},
                    {
                        "type": "array",
                        "prefixItems": [{"type": "number"}, {"type": "number"}, {"type": ["number", "null"]}],
                        "minItems": 3,
                        "maxItems": 3,
                    },
                ],
            },
            "body": {"type": "object"},
            "prev": {"type": "string", "description": "Hash of the event before it from the same machine."},
            "hash": {"type": "string", "description": "SHA-256 of the canonical text."},
        },
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": k.name}}},
                "then": {"properties": {"body": body_schema(k)}},
            }
            for k in KINDS.values()
        ],
    }


def _type_schema(spec: Field) -> dict[str, Any]:
    if spec.type in NUMBERS:
        bounds = {"minimum": spec.low, "maximum": spec.high}
        return {"type": "number"} | {k: v for k, v in bounds.items() if v is not None}
    shapes: dict[FieldType, dict[str, Any]] = {
        FieldType.CHOICE: {"enum": list(spec.choices)},
        FieldType.CHOICES: {"type": "array", "items": {"enum": list(spec.choices)}},
        FieldType.TEXTS: {"type": "array", "items": {"type": "string"}},
        FieldType.LENGTHS: {
            "type": "object",
            "propertyNames": {"enum": list(spec.choices)},
            "additionalProperties": {"type": "number"},
        },
        FieldType.COUNTS: {"type": "object", "additionalProperties": {"type": "integer"}},
        FieldType.FLAG: {"type": "boolean"},
        FieldType.NAMES: {"type": "array", "items": {"type": "string"}},
        FieldType.OUTLINE: {"type": "array", "description": "GeoJSON MultiPolygon coordinates."},
        FieldType.ANSWERS: {"type": "object", "additionalProperties": {"type": "string"}},
        FieldType.FIELDS: {"type": "object"},
        FieldType.DAY: {"type": "string", "format": "date"},
        FieldType.INSTANT: {"type": "string", "format": "date-time"},
        FieldType.EVENT: {"type": "string", "format": "uuid"},
    }
    return shapes.get(spec.type, {"type": "string"})
