"""Owns reading the weights of travel: those that come with tendline, or a file of the person's own.

Does not own what they do (`terrain.weights`, `terrain.surface`).
"""

import difflib
import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, refuse
from tendline.core.words import FeatureClass
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE, WEIGHTS, WORD
from tendline.jobs.files import write_whole
from tendline.terrain.layers import BARRIER, CROSSING, DEER_SEEN, SIGN
from tendline.terrain.weights import AnimalWeights, Weight

SHIPPED = Path(__file__).parent / "scout_weights.toml"
"""The weights that come with tendline."""

THINGS = (*(word.value for word in FeatureClass), BARRIER, CROSSING, SIGN)
RANK = "rank"
"""The table of what a thing nearby does to the worth of a spot, for every animal."""

_KEYS = ("factor", "spread", "reach_m", "source")
_RANGES = {"factor": (0.01, 1000.0), "spread": (1.0, 10.0), "reach_m": (0.0, 2000.0)}


def read_weights(path: Path | None, animal: str) -> AnimalWeights:
    """Read the weights of one animal.

    Parameters
    ----------
    path
        A file of the person's own; the one that comes with tendline when None.
    animal
        Its name.

    Raises
    ------
    Refused
        JOB-412 with every fault of the file; JOB-301 when the animal is not in it.
    """
    file = SHIPPED if path is None else path
    try:
        told = tomllib.loads(file.read_text(encoding="utf-8"))
    except OSError as problem:
        raise refuse(
            WEIGHTS, f"it cannot be read: {problem.strerror}.", file.name, "Name a file that can."
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise refuse(WEIGHTS, f"it is no TOML: {problem}.", file.name, "Mend it.") from None
    if animal not in told or animal == RANK:
        near = difflib.get_close_matches(animal, told, 1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        raise refuse(
            WORD,
            f"there are no weights for '{animal}'.{hint}",
            "--animal",
            f"One of: {', '.join(name for name in told if name != RANK)}; or your own with --weights FILE.",
        )
    faults = FaultList()
    found = _animal(animal, told[animal], _Where(file.name, animal, faults))
    found = replace(
        found, rank=_things(told.get(RANK), _Where(file.name, RANK, faults), (*THINGS, DEER_SEEN))
    )
    faults.refuse()
    return found


def write_weights(path: Path) -> Answer:
    """Write the weights that come with tendline to a file, to be edited; never over one that is there.

    Raises
    ------
    Refused
        JOB-412 when the file is there already, JOB-104 when it cannot be written.
    """
    if path.exists():
        raise refuse(
            WEIGHTS, "the file is there already.", str(path), "Choose another name, or move it away."
        )
    try:
        write_whole(path, SHIPPED.read_bytes())
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"it cannot be written: {problem.strerror}.", str(path), "Choose another."
        ) from None
    text = f"{path} holds the weights. Change what you know better, and give it with --weights."
    return Answer(text, {"written": [str(path)]})


class _Where:
    """Notes faults of one animal of one file."""

    def __init__(self, file: str, animal: str, faults: FaultList) -> None:
        self._start, self._faults = f"{file}, {animal}", faults

    def note(self, key: str, what: str, do: str) -> None:
        self._faults.add(WEIGHTS, what, f"{self._start}.{key}", do)


def _animal(animal: str, told: Any, where: _Where) -> AnimalWeights:
    table = told if isinstance(told, Mapping) else {}
    at, resistance, spread, source = _slope(table.get("slope"), where)
    return AnimalWeights(animal, at, resistance, spread, source, _things(table.get("things"), where, THINGS))


def _things(listed: Any, where: _Where, known: Sequence[str]) -> dict[str, Weight]:
    things: dict[str, Weight] = {}
    for name, values in (listed if isinstance(listed, Mapping) else {}).items():
        if name in known:
            things[name] = _weight(name, values, where)
            continue
        near = difflib.get_close_matches(name, known, 1)
        hint = f"Did you mean '{near[0]}'? " if near else ""
        where.note(f"things.{name}", "there is no such thing.", f"{hint}One of: {', '.join(known)}.")
    return things


def _slope(told: Any, where: _Where) -> tuple[tuple[float, ...], tuple[float, ...], float, str]:
    table = told if isinstance(told, Mapping) else {}
    at, resistance = (_numbers(table.get(key)) for key in ("at", "resistance"))
    if len(at) < 2 or len(at) != len(resistance) or list(at) != sorted(set(at)) or min(at) < 0:
        where.note(
            "slope",
            "'at' and 'resistance' do not make a curve.",
            "Give as many of both, at ascending from 0.",
        )
        at, resistance = (0.0, 1.0), (1.0, 1.0)
    elif not all(0.01 <= r <= 1000.0 for r in resistance):
        where.note("slope.resistance", "a resistance is out of range.", "Give 0.01 to 1000.")
    spread = _number("slope", "spread", table.get("spread", 1.0), where)
    return at, resistance, spread, _source("slope", table, where)


def _numbers(told: Any) -> tuple[float, ...]:
    values = told if isinstance(told, list) else []
    fine = all(isinstance(v, int | float) and not isinstance(v, bool) and math.isfinite(v) for v in values)
    return tuple(float(v) for v in values) if fine else ()


def _weight(name: str, told: Any, where: _Where) -> Weight:
    table = told if isinstance(told, Mapping) else {}
    for key in table:
        if key not in _KEYS:
            where.note(f"things.{name}.{key}", "there is no such key.", f"Keys: {', '.join(_KEYS)}.")
    factor, spread, reach = (
        _number(f"things.{name}", key, table.get(key, default), where)
        for key, default in (("factor", None), ("spread", 1.5), ("reach_m", 0.0))
    )
    return Weight(factor, spread, reach, _source(f"things.{name}", table, where))


def _number(where_key: str, key: str, value: Any, where: _Where) -> float:
    low, high = _RANGES[key]
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not low <= value <= high:
        said = "is not there" if value is None else f"cannot be {value!r}"
        where.note(f"{where_key}.{key}", f"'{key}' {said}.", f"Give {low:g} to {high:g}.")
        return 1.0
    return float(value)


def _source(key: str, table: Mapping[str, Any], where: _Where) -> str:
    source = table.get("source")
    if not isinstance(source, str) or not source.strip():
        where.note(f"{key}.source", "no source is given.", "Say where the number is from, if only 'my own'.")
        return ""
    return source
