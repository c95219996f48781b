"""Owns the kinds of keys the desk page may send, as JSON Schema.

Does not own which ask takes which (`desk_asks`, `works_list`).
"""

from collections.abc import Mapping
from typing import Any

TEXT: Mapping[str, Any] = {"type": "string", "maxLength": 400}
"""A line of text."""
TEXTS: Mapping[str, Any] = {"type": "array", "items": TEXT, "maxItems": 2000}
"""Several."""
FLAG: Mapping[str, Any] = {"type": "boolean"}


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
