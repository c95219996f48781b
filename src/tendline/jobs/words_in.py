"""Owns turning what a person writes for a field of an event into the value that is kept, in SI.

Does not own which fields there are (`logbook.kinds`).
"""

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.errors import Refused, refuse
from tendline.core.place import Fix, LonLat
from tendline.core.units import (
    KILOGRAMS_PER_POUND,
    METRES_PER_FOOT,
    METRES_PER_MILE,
    NEWTONS_PER_POUND,
    parse_length,
)
from tendline.core.when import parse_day, parse_instant, rfc3339
from tendline.jobs.faults import WORD
from tendline.logbook.field_types import Field, FieldType

_QUANTITY = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*°?\s*([a-zA-Z]+)\s*$")
_YES = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}


def option_name(field: Field) -> str:
    """Give the name of the option for a field: without its unit, which the person writes with the number."""
    return re.sub(r"_(m|kg|n|deg|c|kmh|s)$", "", field.name).replace("_", "-")


def field_value(field: Field, text: str, *, zone: ZoneInfo, now: datetime) -> Any:
    """Read what a person wrote for one field.

    Parameters
    ----------
    field
        Which.
    text
        As written.
    zone, now
        For times.

    Returns
    -------
    Any
        A value JSON can hold; whether it fits the field's bounds is for `logbook.bodies` to say.

    Raises
    ------
    Refused
        JOB-301, CORE-101, CORE-2xx.
    """
    where = f"--{option_name(field)}"
    match field.type:
        case FieldType.LENGTH:
            return parse_length(text, where=where)
        case FieldType.INSTANT:
            return rfc3339(parse_instant(text, zone=zone, now=now, where=where))
        case FieldType.DAY:
            return parse_day(text, where=where).isoformat()
    reader = _READERS.get(field.type)
    return reader(text, where) if reader else text


def place_value(text: str, *, where: str) -> Fix:
    """Read a place as ``LON,LAT`` or ``LON,LAT,ACCURACY`` (degrees, metres).

    Raises
    ------
    Refused
        JOB-301, CORE-301.
    """
    parts = text.split(",")
    try:
        numbers = [float(part) for part in parts]
    except ValueError:
        numbers = []
    if len(numbers) not in (2, 3):
        raise refuse(
            WORD,
            f"'{text}' is not a place.",
            where,
            "Write LON,LAT such as -78.01,41.52; add ,8 for 8 m accuracy.",
        )
    try:
        return Fix(LonLat(numbers[0], numbers[1]), numbers[2] if len(numbers) == 3 else None)
    except Refused as problem:
        raise refuse(WORD, problem.faults[0].what, where, problem.faults[0].do) from None


def _quantity(text: str, where: str, units: Mapping[str, Callable[[float], float]], example: str) -> float:
    found = _QUANTITY.match(text)
    unit = found[2].lower() if found else ""
    if found is None or unit not in units:
        raise refuse(
            WORD, f"'{text}' cannot be read.", where, f"Write a number and a unit, such as {example}."
        )
    return units[unit](float(found[1]))


def _mass(text: str, where: str) -> float:
    units = {"kg": lambda v: v, "g": lambda v: v / 1000, "lb": lambda v: v * KILOGRAMS_PER_POUND}
    return _quantity(text, where, {**units, "lbs": units["lb"]}, "35 lb or 16 kg")


def _force(text: str, where: str) -> float:
    # A breakaway is sold by the pound and the kilogram it parts at; one kilogram of force is 9.80665 N.
    units = {
        "n": lambda v: v,
        "kn": lambda v: v * 1000,
        "kg": lambda v: v * 9.80665,
        "lb": lambda v: v * NEWTONS_PER_POUND,
    }
    same = {"lbs": units["lb"], "lbf": units["lb"], "kgf": units["kg"]}
    return _quantity(text, where, {**units, **same}, "285 lb or 1250 N")


def _degrees(text: str, where: str) -> float:
    plain = text.strip().removesuffix("°").removesuffix("degrees").removesuffix("deg").strip()
    try:
        return float(plain)
    except ValueError:
        raise refuse(WORD, f"'{text}' is not an angle.", where, "Write degrees, such as 20.") from None


def _texts(text: str, _where: str) -> list[str]:
    return [part for part in (" ".join(each.split()) for each in re.split(r"[,;]", text)) if part]


def _lengths(text: str, where: str) -> dict[str, float]:
    pairs = [part.partition("=") for part in _texts(text, where)]
    if not pairs or not all(sign and name.strip() for name, sign, _ in pairs):
        raise refuse(
            WORD, f"'{text}' cannot be read.", where, "Write NAME=LENGTH, such as den=6ft; bait=30ft."
        )
    return {name.strip(): parse_length(length, where=where) for name, _, length in pairs}


def _celsius(text: str, where: str) -> float:
    return _quantity(text, where, {"c": lambda v: v, "f": lambda v: (v - 32) * 5 / 9}, "20F or -7C")


def _speed(text: str, where: str) -> float:
    units = {"kmh": lambda v: v, "mph": lambda v: v * METRES_PER_MILE / 1000, "ms": lambda v: v * 3.6}
    return _quantity(text, where, {**units, "kt": lambda v: v * 1.852}, "15 mph or 24 kmh")


def _seconds(text: str, where: str) -> float:
    return _quantity(
        text, where, {"s": lambda v: v, "min": lambda v: v * 60, "h": lambda v: v * 3600}, "6 min"
    )


def _flag(text: str, where: str) -> bool:
    if text.lower() not in _YES:
        raise refuse(WORD, f"'{text}' is neither yes nor no.", where, "Write yes or no.")
    return _YES[text.lower()]


def _names(text: str, _where: str) -> list[str]:
    return [name for name in re.split(r"[\s,;]+", text) if name]


def _count(text: str, where: str) -> int:
    if not text.strip().lstrip("+-").isdigit():
        raise refuse(WORD, f"'{text}' is not a whole number.", where, "Write digits only.")
    return int(text)


def _counts(text: str, where: str) -> dict[str, int]:
    pairs = [part.partition("=") for part in _texts(text, where)]
    if not pairs or not all(name.strip() and count.strip().isdigit() for name, _, count in pairs):
        raise refuse(WORD, f"'{text}' cannot be read.", where, "Write NAME=COUNT, such as cable=1; stop=3.")
    return {name.strip(): int(count) for name, _, count in pairs}


def _amount(text: str, where: str) -> float:
    plain = text.strip().replace(",", "").lstrip("$€£").strip()
    try:
        return float(plain)
    except ValueError:
        raise refuse(WORD, f"'{text}' is not an amount.", where, "Write a number, such as 36.50.") from None


def _answers(text: str, where: str) -> dict[str, str]:
    pairs = [part.partition("=") for part in text.split(";")]
    if not all(sign and key.strip() and value.strip() for key, sign, value in pairs):
        raise refuse(
            WORD, f"'{text}' cannot be read.", where, "Write QUESTION=ANSWER; several with ; between."
        )
    return {key.strip(): value.strip() for key, _, value in pairs}


def _outline(text: str, where: str) -> list[list[list[list[float]]]]:
    fixes = [place_value(part, where=where) for part in text.split()]
    ring = [[fix.place.lon, fix.place.lat] for fix in fixes]
    if ring and ring[0] != ring[-1]:
        ring.append(ring[0])
    return [[ring]]


_READERS: Mapping[FieldType, Callable[[str, str], Any]] = {
    FieldType.MASS: _mass,
    FieldType.FORCE: _force,
    FieldType.DEGREES: _degrees,
    FieldType.TEXTS: _texts,
    FieldType.CHOICES: _names,
    FieldType.LENGTHS: _lengths,
    FieldType.CELSIUS: _celsius,
    FieldType.SPEED: _speed,
    FieldType.SECONDS: _seconds,
    FieldType.FLAG: _flag,
    FieldType.NAMES: _names,
    FieldType.COUNT: _count,
    FieldType.COUNTS: _counts,
    FieldType.AMOUNT: _amount,
    FieldType.ANSWERS: _answers,
    FieldType.OUTLINE: _outline,
}


def force_value(text: str, where: str) -> float:
    """Read a load such as ``285 lb`` or ``1250 N`` [N].

    Raises
    ------
    Refused
        JOB-301.
    """
    return _force(text, where)


def mass_value(text: str, where: str) -> float:
    """Read a weight such as ``12 g`` or ``0.5 oz`` [kg].

    Raises
    ------
    Refused
        JOB-301.
    """
    units = {"g": lambda v: v / 1000, "kg": lambda v: v, "lb": lambda v: v * KILOGRAMS_PER_POUND}
    ounces = {"oz": lambda v: v * KILOGRAMS_PER_POUND / 16}
    return _quantity(text, where, {**units, **ounces}, "12 g or 0.5 oz")


def torque_value(text: str, where: str) -> float:
    """Read a torque such as ``40 ftlb`` or ``54 Nm`` [N m].

    Raises
    ------
    Refused
        JOB-301.
    """
    foot = METRES_PER_FOOT * NEWTONS_PER_POUND
    units = {"nm": lambda v: v, "ftlb": lambda v: v * foot, "inlb": lambda v: v * foot / 12}
    return _quantity(text, where, units, "40 ftlb or 54 Nm")
