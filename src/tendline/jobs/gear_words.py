"""Owns a build given in words on the command line, ``cable.make=7x7``: alone, or over what a file says.

Does not own the tables and keys of a build or reading their values (`gear_file`).
"""

from collections.abc import Mapping, Sequence
from typing import Any

from tendline.core.errors import FaultList
from tendline.gear.faults import FILE

_FLAGS = {"yes": True, "true": True, "no": False, "false": False}
_EXAMPLE = "Write TABLE.KEY=VALUE, such as cable.make=7x7."

Shape = Mapping[str, Mapping[str, str]]
"""What each key of each table holds: text, flag, count, number or list."""


def overlaid(
    raw: Mapping[str, Any], changes: Sequence[str], shape: Shape, faults: FaultList
) -> dict[str, Any]:
    """Give the raw tables of a build with words put over them.

    Parameters
    ----------
    raw
        As read from a file; empty without one.
    changes
        As written: ``cable.make=7x7``, ``name=fox``; an empty value takes a key away.
    shape
        What each key holds.
    faults
        Takes GEAR-106 for each that cannot be read. A table or key that is not known is left for the reader
        of the file to name.
    """
    found = {name: dict(value) if isinstance(value, Mapping) else value for name, value in raw.items()}
    for text in changes:
        left, sign, value = text.partition("=")
        table, dot, key = left.strip().partition(".")
        if not dot:
            table, key = "", table
        if not sign or not key:
            faults.add(FILE, f"'{text}' cannot be read.", "--set", _EXAMPLE)
            continue
        into = found.setdefault(table, {}) if table else found
        if not isinstance(into, dict):
            faults.add(FILE, f"{table} is no table.", "--set", _EXAMPLE)
        elif not value.strip():
            into.pop(key, None)
        else:
            into[key] = _typed(value.strip(), shape.get(table, {}).get(key, "text"))
    return found


def _typed(text: str, kind: str) -> Any:
    """Turn words into what a file would hold; what cannot be turned stays text, for the reader to name."""
    if kind == "flag":
        return _FLAGS.get(text.lower(), text)
    if kind == "list":
        return [part.strip() for part in text.split(",") if part.strip()]
    if kind in ("count", "number"):
        try:
            return int(text) if kind == "count" else float(text)
        except ValueError:
            return text
    return text
