"""Owns reading a build file: TOML with lengths, loads and weights as people write them, all faults together.

Does not own what a build comes to (`gear.build`, `gear.chain`) or the law (`gear_build`).
"""

import difflib
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tendline.almanac.cable import MAKES, MATERIALS
from tendline.almanac.loops import round_of
from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.units import METRES_PER_FOOT, parse_length
from tendline.core.words import BuildPoint, TagWord
from tendline.gear.anchor import Anchor, AnchorMake
from tendline.gear.build import Build, Cable, PartUsed
from tendline.gear.faults import FILE
from tendline.jobs.words_in import force_value, mass_value, torque_value

Reader = Callable[[Any, str], Any]


@dataclass(frozen=True)
class BuildFile:
    """A build as read: the build, and every table with its values in SI."""

    build: Build
    tables: Mapping[str, Mapping[str, Any]]

    def value(self, table: str, key: str) -> Any:
        """Give a value; None where it was left out."""
        return self.tables.get(table, {}).get(key)

    def anchor(self) -> Anchor | None:
        """Give the anchor; None where none is described."""
        told = self.tables.get("anchor", {})
        if "make" not in told:
            return None
        return Anchor(
            make=AnchorMake(told["make"]),
            soil=told.get("soil", ""),
            long_m=told.get("long", 0.0),
            wide_m=told.get("wide", 0.0),
            torque_nm=told.get("torque", 0.0),
            frozen=told.get("frozen", False),
            pulled_n=told.get("pulled"),
        )


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

_NEEDED = ("make", "material", "diameter", "length")
_PARTS = ("lock", "breakaway", "swivel", "link", "end", "stop", "support", "anchor", "tag")


def read_build(path: Path) -> BuildFile:
    """Read a build file.

    Raises
    ------
    Refused
        GEAR-106, CORE-101, JOB-301 for what cannot be read; every fault of the file together.
    """
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as problem:
        raise refuse(FILE, f"{problem.strerror}.", str(path), "Give the path of a build file.") from problem
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise refuse(FILE, f"{problem}.", str(path), "Mend that line; it is a TOML file.") from problem
    faults = FaultList()
    top = {key: value for key, value in raw.items() if not isinstance(value, dict)}
    tables = {"": _table("", top, path, faults)}
    for name, given in raw.items():
        if not isinstance(given, dict):
            continue
        if name not in KEYS:
            faults.add(
                FILE, f"there is no table [{name}].", str(path), f"Tables: {', '.join(list(KEYS)[1:])}."
            )
        else:
            tables[name] = _table(name, given, path, faults)
    _needed(raw, path, faults)
    faults.refuse()
    return BuildFile(_build(tables, path.stem), tables)


def _table(name: str, given: Mapping[str, Any], path: Path, faults: FaultList) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in given.items():
        where = f"{path}, {name + '.' if name else ''}{key}"
        reader = KEYS[name].get(key)
        if reader is None:
            near = difflib.get_close_matches(key, KEYS[name], 1)
            hint = f"Did you mean '{near[0]}'?" if near else f"Keys: {', '.join(KEYS[name])}."
            faults.add(FILE, "there is no such key.", where, hint)
            continue
        try:
            found[key] = reader(value, where)
        except Refused as problem:
            faults.extend(problem.faults)
    return found


def _needed(raw: Mapping[str, Any], path: Path, faults: FaultList) -> None:
    given = raw.get("cable", {})
    for key in _NEEDED:
        if not isinstance(given, dict) or key not in given:
            faults.add(FILE, f"cable.{key} is missing.", str(path), "A build cannot be laid out without it.")
    loop = raw.get("loop", {})
    for end in ("largest", "smallest"):
        both = [key for key in (f"{end}_across", f"{end}_around") if isinstance(loop, dict) and key in loop]
        if len(both) == 2 or (end == "largest" and not both):
            what = f"the {end} loop is given {'twice' if both else 'nowhere'}."
            faults.add(FILE, what, f"{path}, loop", f"Write {end}_across or {end}_around, one of the two.")


def _build(tables: Mapping[str, Mapping[str, Any]], stem: str) -> Build:
    cable, loop = tables["cable"], tables.get("loop", {})
    largest = _around(loop, "largest")
    assert largest is not None
    cost = cable.get("cost_per_ft")
    smallest = _around(loop, "smallest")
    return Build(
        name=tables[""].get("name", stem),
        cable=Cable(cable["make"], cable["material"], cable["diameter"], cable["length"]),
        largest_m=largest,
        smallest_m=smallest,
        lock_m=tables.get("lock", {}).get("length", 0.0),
        tip_m=cable.get("tip", 0.0),
        end_m=cable.get("eye", 0.0),
        extension_m=tables.get("anchor", {}).get("extension"),
        parts=tuple(_part(name, tables[name], smallest) for name in _PARTS if name in tables),
        cable_cost_per_m=None if cost is None else cost / METRES_PER_FOOT,
    )


def _part(name: str, told: Mapping[str, Any], smallest: float | None) -> PartUsed:
    # Unless it is said: two stops for the two loops and one at the tip of the cable.
    usual = {"stop": 3 if smallest is not None else 2}.get(name, 1)
    return PartUsed(name, told.get("count", usual), told.get("mass"), told.get("cost"))


def _around(loop: Mapping[str, Any], end: str) -> float | None:
    if f"{end}_around" in loop:
        return float(loop[f"{end}_around"])
    across = loop.get(f"{end}_across")
    return None if across is None else round_of(float(across))
