"""Owns reading a build: a TOML file, words, or words over a file; all faults together.

Does not own its tables and keys (`gear_keys`), what it comes to (`gear.build`, `gear.chain`) or the law
(`gear_build`).
"""

import difflib
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tendline.almanac.loops import round_of
from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.units import METRES_PER_FOOT
from tendline.gear.anchor import Anchor, AnchorMake
from tendline.gear.build import Build, Cable, PartUsed
from tendline.gear.faults import FILE
from tendline.jobs.gear_keys import KEYS, SHAPE
from tendline.jobs.gear_pulls import read_pulls
from tendline.jobs.gear_words import overlaid


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


_NEEDED = ("make", "material", "diameter", "length")
_PARTS = ("lock", "breakaway", "swivel", "link", "end", "stop", "support", "anchor", "tag")


def read_build(path: Path | None, changes: Sequence[str] = (), *, text: str | None = None) -> BuildFile:
    """Read a build: from a file, from its text, from words, or words over a file.

    Parameters
    ----------
    path
        The file; None for a build that is told in words alone.
    changes
        Words as written: ``cable.make=7x7``.
    text
        What the file would hold, where it is not to be read; `path` then says what it is called, and where
        tables beside it lie.

    Raises
    ------
    Refused
        GEAR-106, CORE-101, JOB-301 for what cannot be read; every fault of the build together.
    """
    if path is None and not changes:
        do = "Give the path of a build file, or --set cable.make=7x7 and so on."
        raise refuse(FILE, "there is no build.", "", do)
    faults = FaultList()
    named = path or Path("--set")
    held = {} if path is None else _raw(path) if text is None else _parsed(text, path)
    raw = overlaid(held, changes, SHAPE, faults)
    top = {key: value for key, value in raw.items() if not isinstance(value, dict)}
    tables = {"": _table("", top, named, faults)}
    for name, given in raw.items():
        if not isinstance(given, dict):
            continue
        if name not in KEYS:
            faults.add(
                FILE, f"there is no table [{name}].", str(named), f"Tables: {', '.join(list(KEYS)[1:])}."
            )
        else:
            tables[name] = _table(name, given, named, faults)
    _needed(raw, named, faults)
    _pulled(tables, named, faults, sent=text is not None)
    faults.refuse()
    return BuildFile(_build(tables, "build" if path is None else path.stem), tables)


def _raw(path: Path) -> dict[str, Any]:
    try:
        return _parsed(path.read_text(encoding="utf-8"), path)
    except OSError as problem:
        raise refuse(FILE, f"{problem.strerror}.", str(path), "Give the path of a build file.") from problem
    except UnicodeDecodeError as problem:
        raise refuse(FILE, f"{problem}.", str(path), "Mend that line; it is a TOML file.") from problem


def _parsed(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise refuse(FILE, f"{problem}.", str(path), "Mend that line; it is a TOML file.") from problem


def _pulled(tables: dict[str, dict[str, Any]], path: Path, faults: FaultList, *, sent: bool) -> None:
    """Add the pulls of a table beside the file to those in it; a text that was sent reads no other folder."""
    told = tables.get("breakaway", {})
    name = told.get("pulls_file")
    if name is None:
        return
    if sent and Path(name).name != name:
        what = "a table of pulls lies beside the build."
        faults.add(FILE, what, f"{path}, breakaway.pulls_file", "Put it there, and give its name alone.")
        return
    try:
        told["pulls"] = (*told.get("pulls", ()), *read_pulls(path.parent / name))
    except Refused as problem:
        faults.extend(problem.faults)


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
