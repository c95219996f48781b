"""Owns the settings a person may change in a form: which, what they mean, how they are now, changing them.

Does not own the keys and their bounds (`settings_keys`) or writing them into the file (`settings_change`).
"""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from tendline.almanac.walk_models import MODELS
from tendline.core.errors import FaultList, Refused
from tendline.core.units import Units
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import SETTING_UNKNOWN, SETTING_VALUE
from tendline.jobs.profiles import profile_named
from tendline.jobs.settings_change import Change, change_settings
from tendline.jobs.settings_keys import KEYS, ONE_OF, PATHS
from tendline.jobs.workspace import SETTINGS, Workspace

_YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True)
class Offered:
    """One setting of a form.

    Parameters
    ----------
    key
        ``table.key``, or the key alone at the head of the file.
    words
        What it means.
    sort
        ``text``, ``number``, ``flag``, ``place`` (longitude, latitude), ``names`` (with commas between).
    choices
        The only values it may have.
    units
        Only offered to who has these units.
    """

    key: str
    words: str
    sort: str = "number"
    choices: tuple[str, ...] = ()
    units: Units | None = None


OFFERED = (
    Offered("name", "What the line is called.", "text"),
    Offered("handler", "Who does the work.", "text"),
    Offered("zone", "Time zone, such as America/New_York.", "text"),
    Offered("units", "Units of every paper and answer.", "text", ("us", "metric")),
    Offered("home", "Where outings start and end.", "place"),
    Offered("profiles", "Rule profiles in use; the first is the default.", "names"),
    Offered("personal.hours", "Your own longest time between looks; the law stays beside it."),
    Offered("personal.before", "Every working set looked at by this time of day; empty for none.", "text"),
    Offered("time.park_min", "Minutes at each parking: gearing up, locking, writing."),
    Offered("time.look_min", "Minutes for a look with nothing to do."),
    Offered("time.fix_min", "Minutes for a repair."),
    Offered("time.fix_share", "Share of sets that need a repair."),
    Offered("time.catch_min", "Minutes for one catch, with the remake."),
    Offered("time.catches_per_100_nights", "Animals held in a hundred nights of one device."),
    Offered(
        "walk.model", "Which walking curve; the how-to page of the round says why.", "text", tuple(MODELS)
    ),
    Offered("walk.own", "Your time against that curve."),
    Offered("walk.off_path", "Speed off the path as a share of speed on it."),
    Offered("walk.sink_in", "How deep a foot sinks today, in inches.", units=Units.US),
    Offered("walk.sink_cm", "How deep a foot sinks today, in centimetres.", units=Units.METRIC),
    Offered("walk.load_lb", "What you carry, in pounds.", units=Units.US),
    Offered("walk.load_kg", "What you carry, in kilograms.", units=Units.METRIC),
    Offered("walk.body_lb", "Your own weight, in pounds.", units=Units.US),
    Offered("walk.body_kg", "Your own weight, in kilograms.", units=Units.METRIC),
    Offered("walk.dark", "Time in the dark against daylight."),
    Offered("walk.paths", "Which lines brought in are paths.", "text", PATHS),
    Offered("walk.steepest_deg", "Steeper ground than this is not walked, in degrees."),
    Offered(
        "drive.speed_mph", "Driving speed where no minutes were given, in miles an hour.", units=Units.US
    ),
    Offered("drive.speed_kmh", "Driving speed where no minutes were given, in km/h.", units=Units.METRIC),
    Offered("weeks.storm_mornings", "Share of mornings on which all travel takes longer."),
    Offered("weeks.storm_factor", "How many times longer."),
    Offered("person.landowner", "You own the land the sets stand on.", "flag"),
    Offered("person.resident", "You are a resident, as your profile means it.", "flag"),
    Offered("law.sure", "Chance from which a distance is no longer too close to call."),
)
"""In the order of the form; whatever else `line.toml` may hold is written there."""


def settings_form(space: Workspace) -> Answer:
    """Give every setting of the form with what it is now; empty where the file says nothing."""
    raw = tomllib.loads((space.folder / SETTINGS).read_text(encoding="utf-8"))
    data = [
        {
            "key": one.key,
            "table": _parts(one.key)[0],
            "words": one.words,
            "sort": one.sort,
            "choices": list(one.choices),
            "wanted": _known(one.key)[1],
            "value": _shown(_value(raw, one.key)),
        }
        for one in _offered(space)
    ]
    return Answer("\n".join(f"{one['key']} = {one['value']}" for one in data), {"settings": data})


def edit_settings(space: Workspace, given: Mapping[str, str]) -> Answer:
    """Change settings: all of them, or, when anything is wrong, none.

    Parameters
    ----------
    space
        The opened line.
    given
        Values as written, by key; an empty one takes the key away.

    Raises
    ------
    Refused
        JOB-202, JOB-203 for every key that is not offered or cannot have its value; RULE-102; as
        `change_settings`.
    """
    offered = {one.key: one for one in _offered(space)}
    day = local_day(space.now, space.settings.zone)
    faults, changes = FaultList(), []
    for key, text in given.items():
        one = offered.get(key)
        if one is None:
            faults.add(SETTING_UNKNOWN, f"'{key}' cannot be changed here.", key, "Change it in line.toml.")
            continue
        value = _read(one, text.strip())
        if value is not None and not _known(key)[0](value):
            faults.add(SETTING_VALUE, f"'{key}' is {text!r}.", key, f"Wanted: {_known(key)[1]}.")
        elif key == "profiles":
            _check_profiles(space, value or [], faults)
        changes.append(_change(one, value, day))
    faults.refuse()
    change_settings(space.folder / SETTINGS, changes, day=day)
    said = ", ".join(change.key for change in changes)
    return Answer(f"Changed: {said or 'nothing'}.", {"changed": sorted(given)})


def _check_profiles(space: Workspace, names: list[str], faults: FaultList) -> None:
    for name in names:
        try:
            profile_named(space, name)
        except Refused as problem:
            faults.extend(problem.faults)


def _change(one: Offered, value: Any, day: date) -> Change:
    table, key = _parts(one.key)
    same = next((group for group in ONE_OF.get(table, ()) if key in group), ())
    others = tuple(other for other in same if other != key) if value is not None else ()
    written = None if value is None else json.dumps(value, ensure_ascii=False)
    return Change(table, key, written, f"changed on the desk page, {day}", others)


def _offered(space: Workspace) -> list[Offered]:
    return [one for one in OFFERED if one.units in (None, space.settings.units)]


def _parts(key: str) -> tuple[str, str]:
    table, _, name = key.rpartition(".")
    return table, name


def _known(key: str) -> Any:
    table, name = _parts(key)
    return KEYS[table][name]


def _value(raw: Mapping[str, Any], key: str) -> Any:
    table, name = _parts(key)
    return (raw.get(table, {}) if table else raw).get(name)


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _read(one: Offered, text: str) -> Any:
    """Read what was written; what cannot be read stays text, and is refused as such."""
    if text == "":
        return None
    if one.sort == "names":
        return [name for name in text.replace(",", " ").split() if name]
    if one.sort == "flag":
        return _YES_NO.get(text, text)
    if one.sort == "place":
        numbers = [_number(part) for part in text.split(",")]
        return numbers if len(numbers) == 2 else text
    return _number(text) if one.sort == "number" else text


def _number(text: str) -> Any:
    try:
        value = float(text)
    except ValueError:
        return text
    return int(value) if value.is_integer() and abs(value) < 10**9 else value
