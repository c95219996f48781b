"""Owns the kinds of keys the desk page may send, as JSON Schema.

Does not own which ask takes which (`desk_asks`, `works_list`).
"""

from collections.abc import Mapping
from typing import Any

TEXT: Mapping[str, Any] = {"type": "string", "maxLength": 400}
"""A line of text."""
TEXTS: Mapping[str, Any] = {"type": "array", "items": TEXT, "maxItems": 2000}
"""Several."""
STRING: Mapping[str, Any] = {"type": "string"}
"""In answers, where nothing need be bounded."""
FLAG: Mapping[str, Any] = {"type": "boolean"}
DEGREES: Mapping[str, Any] = {
    "type": "array",
    "items": {"type": "number"},
    "minItems": 2,
    "maxItems": 2,
    "description": "Longitude, latitude [degrees, WGS84].",
}
"""A place."""


LONG_TEXT: Mapping[str, Any] = {"type": "string", "maxLength": 20_000}
"""A note of many lines, the corners of a parcel."""
WORDS: Mapping[str, Any] = {"type": "object", "additionalProperties": LONG_TEXT, "maxProperties": 200}
"""What a person wrote, by the field it is for."""
EVENT_ID: Mapping[str, Any] = {
    "type": "string",
    "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$",
    "description": "UUID of version 7 (RFC 9562), made by the page: sent again, nothing is kept twice.",
}


def count(least: int, most: int) -> Mapping[str, Any]:
    """Give the schema of a whole number."""
    return {"type": "integer", "minimum": least, "maximum": most}


def number(least: float, most: float) -> Mapping[str, Any]:
    """Give the schema of a number."""
    return {"type": "number", "minimum": least, "maximum": most}


def one_of(*words: str) -> Mapping[str, Any]:
    """Give the schema of one of several words."""
    return {"enum": list(words)}


UNITS: Mapping[str, Any] = {"enum": ["us", "metric"]}
"""Units in which an answer is worded."""
