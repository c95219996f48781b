"""Reads the facts of a worked case as a person writes them, with conversions of its own.

Numbers go from the text to SI by the factors of NIST SP 811 as floats, not by the fractions of the package.
"""

import re
from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.core.units import METRES_PER, NEWTONS_PER_POUND
from tendline.core.words import DeviceClass
from tendline.rules.facts import (
    Across,
    ActDone,
    CatchFacts,
    Datum,
    Demand,
    DeviceFacts,
    Facts,
    LoopSize,
    Measure,
    Near,
    Neighbour,
    Obstacle,
    Paper,
    Part,
    PartAt,
    PermissionFacts,
    PersonFacts,
    PlaceFacts,
    Point,
    SetFacts,
    Tag,
)

ZONE = ZoneInfo("America/New_York")
AT = LonLat(-78.0, 41.5)
NOW = "2027-01-10 12:00"
_PER = {**METRES_PER, "lb": NEWTONS_PER_POUND, "kg": 9.80665, "N": 1.0}
_NUMBER = re.compile(r"^(?:(\d+) )?(\d+(?:\.\d+)?)(?:/(\d+))? (\S+)$")
_ACROSS = {"round": Across.CIRCUMFERENCE, "across": Across.DIAMETER}


def instant(text: str) -> datetime:
    """Read a local time."""
    stamp = datetime.fromisoformat(text)
    return (stamp if stamp.tzinfo else stamp.replace(tzinfo=ZONE)).astimezone(UTC)


def si(text: str) -> float:
    """Read a number with its unit: ``5 7/8 in``."""
    found = _NUMBER.match(text)
    assert found, text
    whole, number, below, unit = found.groups()
    return (float(number) / int(below or 1) + int(whole or 0)) * _PER[unit]


def measure(told: str | list[str]) -> Measure:
    """Read a value, or a range of two."""
    if isinstance(told, str):
        return Measure(si(told), text=told)
    low, high = si(told[0]), si(told[1])
    return Measure((low + high) / 2, low, high)


def loop(told: str | list[str]) -> LoopSize:
    """Read ``38 in round``, ``12 in across``, or a range with the word last."""
    if isinstance(told, list):
        return LoopSize(measure(told[:2]), _ACROSS[told[2]])
    number, word = told.rsplit(" ", 1)
    return LoopSize(measure(number), _ACROSS[word])


def facts(case: Mapping[str, Any]) -> Facts:
    """Read everything a case tells."""
    permissions = case.get("permissions")
    quota = {name: None if day == "not yet" else _day(day) for name, day in case.get("quota", {}).items()}
    holidays = case.get("holidays")
    return Facts(
        zone=ZONE,
        at=AT if case.get("place_known", True) else None,
        device=_device(case.get("device", {"class": "live-restraint"})),
        set=_set(case["set"]) if "set" in case else None,
        place=_place(case["place"]) if "place" in case else None,
        person=_person(case["person"]) if "person" in case else None,
        permissions=None if permissions is None else tuple(_permission(told) for told in permissions),
        catch=_catch(case["catch"]) if "catch" in case else None,
        answers=case.get("answers", {}),
        quota_reached=quota,
        holidays=None if holidays is None else frozenset(_day(day) for day in holidays),
    )


def _day(told: str | date) -> date:
    return date.fromisoformat(told) if isinstance(told, str) else told


def _plain(kind: type[Any], told: Mapping[str, Any], done: set[str]) -> dict[str, Any]:
    """Pass on what needs no reading: words and yes or no, under the field's name with dashes."""
    names = {field.name for field in fields(kind)}
    left = {key.replace("-", "_"): value for key, value in told.items() if key not in done}
    assert set(left) <= names, f"{kind.__name__}: {set(left) - names}"
    return left


def _device(told: Mapping[str, Any]) -> DeviceFacts:
    loops = {k: loop(told[k]) for k in ("loop-open", "loop-now", "stop") if k in told}
    sizes = {k: measure(told[k]) for k in ("breakaway", "cable-diameter", "extension") if k in told}
    lengths = {}
    for ends, length in told.get("lengths", {}).items():
        first, second = ends.split("..")
        lengths[(Point(first), Point(second))] = measure(length)
    parts = {Part(kind): tuple(_part(one) for one in held) for kind, held in told.get("parts", {}).items()}
    given: dict[str, Any] = {k.replace("-", "_"): v for k, v in {**loops, **sizes}.items()}
    done = {*loops, *sizes, "lengths", "parts", "tag", "class"}
    return DeviceFacts(
        name="T7",
        device_class=DeviceClass(told.get("class", "live-restraint")),
        lengths=lengths,
        parts=parts,
        tag=_tag(told["tag"]) if "tag" in told else None,
        **given,
        **_plain(DeviceFacts, told, done),
    )


def _part(told: Mapping[str, Any]) -> PartAt:
    at = Point(told["at"]) if "at" in told else None
    return PartAt(at, measure(told["length"]) if "length" in told else None, told.get("free"))


def _tag(told: Mapping[str, Any]) -> Tag:
    contents = frozenset(told["contents"])
    return Tag(contents, **_plain(Tag, told, {"contents"}))


def _set(told: Mapping[str, Any]) -> SetFacts:
    obstacles = told.get("obstacles")
    done = {"made", "bottom", "top", "reach", "stem-clear", "near", "looked-for", "obstacles"}
    return SetFacts(
        name="N3",
        made_at=instant(told["made"]) if "made" in told else None,
        bottom={Datum(k): measure(v) for k, v in told.get("bottom", {}).items()},
        top={Datum(k): measure(v) for k, v in told.get("top", {}).items()},
        reach=measure(told["reach"]) if "reach" in told else None,
        stem_clear=measure(told["stem-clear"]) if "stem-clear" in told else None,
        near=tuple(_near(one) for one in told.get("near", [])),
        looked_for=frozenset(told.get("looked-for", [])),
        obstacles=None
        if obstacles is None
        else tuple(
            Obstacle(o["name"], measure(o["distance"]), measure(o["height"]) if "height" in o else None)
            for o in obstacles
        ),
        **_plain(SetFacts, told, done),
    )


def _near(told: Mapping[str, Any]) -> Near:
    return Near(
        feature=told["feature"],
        distance=measure(told["distance"]),
        edge=told.get("edge", "nearest-point"),
        error95_m=si(told["error95"]) if "error95" in told else None,
        waivers=frozenset(told.get("waivers", [])),
        not_waived=frozenset(told.get("not-waived", [])),
        name=told.get("name", ""),
    )


def _place(told: Mapping[str, Any]) -> PlaceFacts:
    neighbours = told.get("neighbours")
    owners = told.get("owners")
    return PlaceFacts(
        name="back forty",
        owners=None if owners is None else tuple(owners),
        neighbours=None if neighbours is None else tuple(_neighbour(one) for one in neighbours),
        **_plain(PlaceFacts, told, {"owners", "neighbours"}),
    )


def _neighbour(told: Mapping[str, Any]) -> Neighbour:
    rest = _plain(Neighbour, told, {"name", "distance"})
    return Neighbour(told["name"], measure(told["distance"]), **rest)


def _permission(told: Mapping[str, Any]) -> PermissionFacts:
    lists: dict[str, Any] = {k: frozenset(told[k]) for k in ("methods", "species") if k in told}
    return PermissionFacts(**lists, **_plain(PermissionFacts, told, {"methods", "species"}))


def _person(told: Mapping[str, Any]) -> PersonFacts:
    return PersonFacts(
        name="Lena Orsk",
        papers=tuple(Paper(**paper) for paper in told.get("papers", [])),
        lacks=frozenset(told.get("lacks", [])),
        demands=tuple(Demand(d["what"], instant(d["at"]), d.get("met")) for d in told.get("demands", [])),
        **_plain(PersonFacts, told, {"papers", "lacks", "demands"}),
    )


def _catch(told: Mapping[str, Any]) -> CatchFacts:
    done = told.get("done")
    read = {"found", "harvested", "done", "permits", "lacks"}
    return CatchFacts(
        name="N3, one animal",
        found_at=instant(told["found"]) if "found" in told else None,
        harvested_at=instant(told["harvested"]) if "harvested" in told else None,
        done=None
        if done is None
        else tuple(ActDone(act["act"], instant(act["at"]) if "at" in act else None) for act in done),
        permits=frozenset(told.get("permits", [])),
        lacks=frozenset(told.get("lacks", [])),
        **_plain(CatchFacts, told, read),
    )
