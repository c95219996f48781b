"""Owns the tables and keys of a build file, and how each value is read into SI.

Does not own reading the file (`gear_file`) or what a build comes to (`gear.build`).
"""

from collections.abc import Callable, Mapping
from typing import Any

from tendline.almanac.cable import MAKES, MATERIALS
from tendline.core.errors import refuse
from tendline.core.units import parse_length
from tendline.core.words import BuildPoint, TagWord
from tendline.gear.anchor import AnchorMake
from tendline.gear.faults import FILE
from tendline.jobs.gear_words import Shape
from tendline.jobs.words_in import force_value, mass_value, torque_value

Reader = Callable[[Any, str], Any]


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str):
        raise refuse(FILE, f"{value!r} is not text.", where, "Put it between quotes.")
    return value


def _flag(value: Any, where: str) -> bool:
    if not isinstance(value, bool):
        raise refuse(FILE, f"{value!r} is neither true nor false.", where, "Write true or false.")
    return value


def _count(value: Any, where: str) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= 20:
        raise refuse(FILE, f"{value!r} is no count.", where, "Write a whole number from 0 to 20.")
    return value


def _cost(value: Any, where: str) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool) or not 0 <= value <= 1e6:
        raise refuse(FILE, f"{value!r} is no price.", where, "Write a number such as 0.35.")
    return float(value)


def _length(value: Any, where: str) -> float:
    return parse_length(_text(value, where), where=where)


def _force(value: Any, where: str) -> float:
    return force_value(_text(value, where), where)


def _mass(value: Any, where: str) -> float:
    return mass_value(_text(value, where), where)


def _torque(value: Any, where: str) -> float:
    return torque_value(_text(value, where), where)


def _forces(value: Any, where: str) -> tuple[float, ...]:
    if not isinstance(value, list):
        raise refuse(FILE, f"{value!r} is not a list.", where, 'Write ["270 lb", "281 lb"].')
    return tuple(_force(one, where) for one in value)


def _one_of(*words: str) -> Reader:
    def read(value: Any, where: str) -> str:
        if value not in words:
            raise refuse(FILE, f"'{value}' is not known.", where, f"Words: {', '.join(words)}.")
        return str(value)

    return read


def _some_of(*words: str) -> Reader:
    def read(value: Any, where: str) -> tuple[str, ...]:
        if not isinstance(value, list):
            raise refuse(FILE, f"{value!r} is not a list.", where, f'Write ["{words[0]}"].')
        return tuple(_one_of(*words)(one, where) for one in value)

    return read


_POINT = tuple(point.value for point in BuildPoint)
_PART: dict[str, Reader] = {"count": _count, "mass": _mass, "cost": _cost}
KEYS: Mapping[str, Mapping[str, Reader]] = {
    "": {"name": _text, "finish": _text, "subtype": _text},
    "cable": {
        "make": _one_of(*MAKES),
        "material": _one_of(*MATERIALS),
        "diameter": _length,
        "length": _length,
        "tip": _length,
        "eye": _length,
        "cost_per_ft": _cost,
    },
    "loop": {
        "largest_across": _length,
        "largest_around": _length,
        "smallest_across": _length,
        "smallest_around": _length,
    },
    "lock": {
        **_PART,
        "name": _text,
        "length": _length,
        **dict.fromkeys(
            ("relaxing", "moving_parts", "mechanical", "single_piece", "power_assisted", "choke"), _flag
        ),
    },
    "breakaway": {
        **_PART,
        "label": _force,
        "pulls": _forces,
        "pulls_file": _text,
        "at": _one_of(*_POINT),
        "method": _one_of("static-load", "maker"),
        "bought": _flag,
    },
    "swivel": {**_PART, "at": _some_of(*_POINT), "length": _length, "holds": _force, "free": _flag},
    "link": {**_PART, "holds": _force},
    "end": {**_PART, "kind": _text, "pulled": _force},
    "stop": {**_PART},
    "support": {**_PART},
    "anchor": {
        **_PART,
        "make": _one_of(*(make.value for make in AnchorMake)),
        "soil": _text,
        "long": _length,
        "wide": _length,
        "torque": _torque,
        "frozen": _flag,
        "pulled": _force,
        "extension": _length,
        "immovable": _flag,
    },
    "tag": {
        **_PART,
        "says": _some_of(*(word.value for word in TagWord)),
        "material": _text,
        "ferrous": _flag,
        "durable": _flag,
        "attached": _flag,
    },
}
"""What a build file may hold, table by table, with how each is read."""

_KINDS: Mapping[Reader, str] = {_flag: "flag", _count: "count", _cost: "number", _forces: "list"}
_LISTS = (("swivel", "at"), ("tag", "says"))
SHAPE: Shape = {
    table: {
        key: "list" if (table, key) in _LISTS else _KINDS.get(reader, "text") for key, reader in keys.items()
    }
    for table, keys in KEYS.items()
}
"""What each key holds, for a build that is told in words."""
