"""Owns the check that a body is what its kind says.

Does not own the table (`kinds`), the published schema (`schema`) or the line as it stands (`admit`).
"""

import difflib
import math
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

from tendline.core.errors import Fault
from tendline.core.ids import is_short_name
from tendline.logbook.faults import FIELD_MISSING, FIELD_UNKNOWN, FIELD_VALUE, KIND, PLACE_MISSING
from tendline.logbook.field_types import Field, FieldType
from tendline.logbook.kinds import KINDS, Kind

NUMBERS = {
    FieldType.LENGTH: "m",
    FieldType.MASS: "kg",
    FieldType.FORCE: "N",
    FieldType.DEGREES: "degrees",
    FieldType.CELSIUS: "°C",
    FieldType.SPEED: "km/h",
    FieldType.SECONDS: "s",
    FieldType.COUNT: "",
    FieldType.AMOUNT: "",
}
"""The kinds of field that hold a number, with the unit the message names."""

_MAX_TEXT = 4000


def body_faults(kind_name: str, body: Mapping[str, Any], *, has_place: bool, where: str) -> list[Fault]:
    """List everything that is wrong with a body, for its kind alone.

    Parameters
    ----------
    kind_name
        A key of `KINDS`.
    body
        The fields.
    has_place
        Whether the event carries a place.
    where
        What to point at.

    Returns
    -------
    list of Fault
        LOG-101 to LOG-105; empty when all is well.
    """
    kind = KINDS.get(kind_name)
    if kind is None:
        near = difflib.get_close_matches(kind_name, KINDS, 1)
        hint = f"Did you mean {near[0]}? " if near else ""
        return [
            Fault(KIND, f"there is no event kind '{kind_name}'.", where, f"{hint}Kinds: {', '.join(KINDS)}.")
        ]
    faults = [_unknown(kind, key, where) for key in body if kind.field(key) is None]
    for spec in kind.fields:
        value = body.get(spec.name)
        if value is None:
            if spec.required:
                faults.append(
                    Fault(
                        FIELD_MISSING,
                        f"a {kind.name} needs '{spec.name}'.",
                        where,
                        f"{spec.meaning} {_wanted(spec)}".strip(),
                    )
                )
        elif not _fits(spec, value):
            faults.append(
                Fault(
                    FIELD_VALUE,
                    f"'{spec.name}' cannot be {_shown(value)}.",
                    where,
                    f"Wanted: {_wanted(spec) or spec.type.value}",
                )
            )
    if kind.name == "available" and not faults:
        faults += _stretch_faults(body, where)
    if kind.needs_place and not has_place:
        faults.append(
            Fault(PLACE_MISSING, f"a {kind.name} needs a place.", where, "Give it as --at-place LON,LAT.")
        )
    return faults


def _stretch_faults(body: Mapping[str, Any], where: str) -> list[Fault]:
    """Refuse a stretch that ends before it starts: nobody can go out in it."""
    if datetime.fromisoformat(body["start"]) < datetime.fromisoformat(body["end"]):
        return []
    return [Fault(FIELD_VALUE, "'end' is before 'start'.", where, "Write a later end.")]


def _shown(value: Any) -> str:
    """Write a value for a message: a number without the last bits that its unit brought in."""
    return f"{value:.6g}" if isinstance(value, float) else repr(value)


def change_faults(kind_name: str, correction: Mapping[str, Any], *, where: str) -> list[Fault]:
    """List everything that is wrong with what a correction would change.

    Parameters
    ----------
    kind_name
        Kind of the event that is corrected; a key of `KINDS`.
    correction
        The body of the correction.
    where
        What to point at.

    Returns
    -------
    list of Fault
        LOG-102 to LOG-104: also for a needed value that would be taken away, and a place that is none.
    """
    change: Mapping[str, Any] = correction.get("fields", {})
    new = {key: value for key, value in change.items() if value is not None}
    found = body_faults(kind_name, new, has_place=True, where=where)
    faults = [fault for fault in found if fault.code is not FIELD_MISSING]
    for spec in KINDS[kind_name].fields:
        if spec.required and spec.name in change and change[spec.name] is None:
            what = f"a {kind_name} needs '{spec.name}': it cannot be taken away."
            faults.append(Fault(FIELD_MISSING, what, where, "Give another value, or void the event."))
    if "place" in correction and not _is_place_text(correction["place"]):
        do = "Wanted: longitude, latitude and, if known, accuracy in metres: -78.01,41.52,8"
        faults.append(Fault(FIELD_VALUE, f"'place' cannot be {correction['place']!r}.", where, do))
    return faults


def _is_place_text(text: Any) -> bool:
    try:
        numbers = [float(part) for part in text.split(",")]
    except (AttributeError, ValueError):
        return False
    if len(numbers) not in (2, 3) or not all(map(math.isfinite, numbers)):
        return False
    return abs(numbers[0]) <= 180 and abs(numbers[1]) <= 90 and (len(numbers) == 2 or numbers[2] >= 0)


def _unknown(kind: Kind, key: str, where: str) -> Fault:
    names = [f.name for f in kind.fields]
    near = difflib.get_close_matches(key, names, 1)
    hint = f"Did you mean '{near[0]}'? " if near else ""
    return Fault(
        FIELD_UNKNOWN, f"a {kind.name} has no field '{key}'.", where, f"{hint}Fields: {', '.join(names)}."
    )


def _wanted(spec: Field) -> str:
    if spec.choices:
        how = {FieldType.CHOICES: "Some of", FieldType.LENGTHS: "Metres by name, each one of"}
        return f"{how.get(spec.type, 'One of')}: {', '.join(spec.choices)}."
    if spec.type is FieldType.COUNTS:
        return f"Short names, each with a whole number from {spec.low:g} to {spec.high:g}."
    unit = NUMBERS.get(spec.type)
    if unit is not None and spec.low is not None and spec.high is not None:
        return f"From {spec.low:g} to {spec.high:g} {unit}".rstrip() + "."
    return ""


def _fits(spec: Field, value: Any) -> bool:
    if spec.type in NUMBERS:
        return _fits_number(spec, value)
    if spec.type is FieldType.CHOICE:
        return value in spec.choices
    if spec.type is FieldType.CHOICES:
        return isinstance(value, list) and all(word in spec.choices for word in value)
    if spec.type is FieldType.LENGTHS:
        return isinstance(value, dict) and all(
            name in spec.choices and _fits_number(spec, metres) for name, metres in value.items()
        )
    if spec.type is FieldType.COUNTS:
        return isinstance(value, dict) and all(
            _is_name(name) and _fits_number(spec, count) for name, count in value.items()
        )
    return _FITS.get(spec.type, _is_text)(value)


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and 0 < len(value.strip()) <= _MAX_TEXT


def _is_name(value: Any) -> bool:
    return isinstance(value, str) and is_short_name(value)


def _fits_number(spec: Field, value: Any) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return False
    if spec.type in (FieldType.COUNT, FieldType.COUNTS) and value != int(value):
        return False
    return (spec.low is None or value >= spec.low) and (spec.high is None or value <= spec.high)


def _fits_iso(value: Any, kind: type[date]) -> bool:
    if not isinstance(value, str):
        return False
    try:
        parsed = kind.fromisoformat(value)
    except ValueError:
        return False
    return not isinstance(parsed, datetime) or parsed.tzinfo is not None


def _fits_outline(value: Any) -> bool:
    try:
        return bool(value) and all(
            len(ring) >= 4
            and ring[0] == ring[-1]
            and all(math.isfinite(lon) and math.isfinite(lat) for lon, lat in ring)
            for polygon in value
            for ring in polygon
        )
    except (TypeError, ValueError, LookupError):
        return False


_FITS: Mapping[FieldType, Callable[[Any], bool]] = {
    FieldType.FLAG: lambda value: isinstance(value, bool),
    FieldType.TEXTS: lambda value: isinstance(value, list) and all(map(_is_text, value)),
    FieldType.NAME: _is_name,
    FieldType.NAMES: lambda value: isinstance(value, list) and all(map(_is_name, value)),
    FieldType.OUTLINE: _fits_outline,
    FieldType.ANSWERS: lambda value: isinstance(value, dict) and all(map(_is_text, value.values())),
    FieldType.FIELDS: lambda value: isinstance(value, dict),
    FieldType.DAY: lambda value: _fits_iso(value, date),
    FieldType.INSTANT: lambda value: _fits_iso(value, datetime),
}
