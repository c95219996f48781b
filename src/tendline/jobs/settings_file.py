"""Owns the file `line.toml`: reading it strictly, with every fault told, and writing a first one.

Does not own what the settings mean (`core.settings`).
"""

import difflib
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.people import Helper, PaperHeld
from tendline.core.place import LonLat
from tendline.core.settings import (
    Confirmation,
    DriveCosts,
    LawSettings,
    PersonalLimits,
    PersonTold,
    Settings,
    TimeCosts,
    WalkCosts,
    WeeksSettings,
)
from tendline.core.units import KILOGRAMS_PER_POUND, METRES_PER_INCH, METRES_PER_MILE, Units
from tendline.core.when import zone_named
from tendline.jobs.faults import SETTING_MISSING, SETTING_UNKNOWN, SETTING_VALUE, SETTINGS_BROKEN
from tendline.jobs.settings_keys import KEYS, NEEDED, NOT_YET, ONE_OF, text

_TABLES = ("personal", "time", "walk", "drive", "person", "law", "weeks")
_LISTS = ("confirmed", "papers", "people")


def read_settings(path: Path) -> Settings:
    """Read `line.toml`.

    Raises
    ------
    Refused
        JOB-201 to JOB-204, every fault of the file in one go.
    """
    try:
        text_ = path.read_text(encoding="utf-8")
    except OSError as problem:
        raise refuse(
            SETTINGS_BROKEN, f"{problem.strerror}.", str(path), "Check that it is there and may be read."
        ) from problem
    except UnicodeDecodeError as problem:
        do = "Save it as UTF-8."
        raise refuse(SETTINGS_BROKEN, f"{problem}.", str(path), do) from problem
    return parse_settings(text_, where=str(path))


def parse_settings(text_: str, *, where: str) -> Settings:
    """Read settings out of text.

    Raises
    ------
    Refused
        JOB-201 to JOB-204, every fault in one go.
    """
    try:
        raw = tomllib.loads(text_)
    except tomllib.TOMLDecodeError as problem:
        raise refuse(SETTINGS_BROKEN, f"{problem}.", where, "Mend that line; it is a TOML file.") from problem
    return _settings(raw, where)


def _settings(raw: Mapping[str, Any], where: str) -> Settings:
    faults = FaultList()
    top = {k: v for k, v in raw.items() if k not in (*_TABLES, *_LISTS, "answers")}
    _check(top, "", where, faults)
    for table in _TABLES:
        _check(raw.get(table, {}), table, where, faults)
    for name in _LISTS:
        _check_list(raw.get(name, []), name, where, faults)
    for key in ("name", "zone"):
        if key not in raw:
            faults.add(SETTING_MISSING, f"'{key}' is missing.", where, f'Add a line such as: {key} = "..."')
    answers = raw.get("answers", {})
    if not isinstance(answers, dict) or not all(map(text, answers.values())):
        faults.add(SETTING_VALUE, "'answers' must hold text.", where, 'Write: river-side = "east"')
    faults.refuse()
    try:
        zone = zone_named(raw["zone"], where=f"{where}, zone")
        home = LonLat(*raw["home"]) if "home" in raw else None
    except Refused as problem:
        faults.extend(problem.faults)
    faults.refuse()
    return Settings(
        name=raw["name"],
        zone=zone,
        units=Units(raw.get("units", "us")),
        handler=raw.get("handler", ""),
        home=home,
        profiles=tuple(raw.get("profiles", ())),
        answers=answers,
        confirmations=tuple(
            Confirmation(c["profile"], c["on"], c["until"], c.get("note", ""))
            for c in raw.get("confirmed", ())
        ),
        time=_time_costs(raw.get("time", {})),
        walk=_walk_costs(raw.get("walk", {})),
        drive=_drive_costs(raw.get("drive", {})),
        personal=PersonalLimits(**raw.get("personal", {})),
        invented=raw.get("invented", False),
        papers=tuple(PaperHeld(**paper) for paper in raw.get("papers", ())),
        person=PersonTold(**_tupled(raw.get("person", {}), "lacks")),
        law=_law(raw.get("law", {})),
        people=tuple(_helper(one) for one in raw.get("people", ())),
        weeks=WeeksSettings(**_tupled(raw.get("weeks", {}), "keep")),
    )


def _helper(raw: Mapping[str, Any]) -> Helper:
    papers = tuple(PaperHeld(**paper) for paper in raw.get("papers", ()))
    return Helper(**{**_tupled(raw, "lacks"), "papers": papers})


def _law(raw: Mapping[str, Any]) -> LawSettings:
    given = _tupled(raw, "drawn")
    if "holidays" in given:
        given["holidays"] = frozenset(given["holidays"])
    if "quotas" in given:
        given["quotas"] = {rule: None if day == NOT_YET else day for rule, day in given["quotas"].items()}
    return LawSettings(**given)


def _tupled(raw: Mapping[str, Any], name: str) -> dict[str, Any]:
    return {**raw, name: tuple(raw[name])} if name in raw else dict(raw)


def _check_list(entries: Any, name: str, where: str, faults: FaultList) -> None:
    if not isinstance(entries, list):
        do = f"Write [[{name}]] on a line of its own, once for each."
        faults.add(SETTING_VALUE, f"'{name}' must be a list of tables.", where, do)
        return
    for entry in entries:
        before = len(faults.found)
        _check(entry, name, where, faults)
        if name == "people" and len(faults.found) == before:
            _check_list(entry.get("papers", []), "papers", where, faults)
        if name == "papers" and len(faults.found) == before and _backwards(entry):
            what = f"'papers': {entry['kind']} ends on {entry['last']}, before it begins."
            faults.add(SETTING_VALUE, what, where, "Correct its dates first and last.")


def _backwards(paper: Mapping[str, Any]) -> bool:
    return "first" in paper and "last" in paper and bool(paper["last"] < paper["first"])


def _check(table: Any, name: str, where: str, faults: FaultList) -> None:
    known = KEYS[name]
    prefix = f"{name}." if name else ""
    if not isinstance(table, dict):
        faults.add(
            SETTING_VALUE, f"'{name}' must be a table.", where, f"Write [{name}] on a line of its own."
        )
        return
    for key, value in table.items():
        if key not in known:
            near = difflib.get_close_matches(key, known, 1)
            hint = f"Did you mean '{near[0]}'? " if near else ""
            faults.add(
                SETTING_UNKNOWN,
                f"'{prefix}{key}' is not known.",
                where,
                f"{hint}Keys here: {', '.join(known)}.",
            )
        elif not known[key][0](value):
            faults.add(SETTING_VALUE, f"'{prefix}{key}' is {value!r}.", where, f"Wanted: {known[key][1]}.")
    for keys in ONE_OF.get(name, ()):
        told = [key for key in keys if key in table]
        if len(told) > 1 and not (told[0] == "snow" and table["snow"] == 1):
            what = f"{' and '.join(f'{prefix}{key}' for key in told)} say the same thing twice."
            faults.add(SETTING_VALUE, what, where, "Keep one of them.")
    for key in NEEDED.get(name, ()):
        if key not in table:
            what = f"'{name}.{key}' is missing."
            faults.add(SETTING_MISSING, what, where, f"Wanted: {known[key][1]}.")


def _time_costs(raw: Mapping[str, float]) -> TimeCosts:
    given: dict[str, float] = {}
    for key, value in raw.items():
        if key.endswith("_min"):
            given[key.removesuffix("_min") + "_s"] = value * 60
        elif key == "catches_per_100_nights":
            given["catches_per_night"] = value / 100
        else:
            given[key] = value
    return TimeCosts(**given)


def _walk_costs(raw: Mapping[str, Any]) -> WalkCosts:
    given = dict(raw)
    for key, metric, times in (
        ("sink_cm", "sink_m", 0.01),
        ("sink_in", "sink_m", METRES_PER_INCH),
        ("load_lb", "load_kg", KILOGRAMS_PER_POUND),
        ("body_lb", "body_kg", KILOGRAMS_PER_POUND),
    ):
        if key in given:
            given[metric] = given.pop(key) * times
    return WalkCosts(**given)


def _drive_costs(raw: Mapping[str, float]) -> DriveCosts:
    given = dict(raw)
    if "speed_mph" in given:
        given["speed_kmh"] = given.pop("speed_mph") * METRES_PER_MILE / 1000
    return DriveCosts(**given)
