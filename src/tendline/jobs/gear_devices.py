"""Owns putting devices of one build on record: one event for each tag, with all that the build says.

Does not own the build (`gear_file`) or the rules of the record (`logbook.admit`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tendline.core.words import DeviceClass
from tendline.gear.build import Laid
from tendline.gear.parts import ANY_OTHER, USED_UP
from tendline.jobs.answer import Answer
from tendline.jobs.gear_file import BuildFile
from tendline.jobs.note import judge, kept_answer
from tendline.jobs.workspace import Workspace

_SAME = {
    "breakaway": {"at": "breakaway_at", "method": "breakaway_method", "bought": "commercial_breakaway"},
    "lock": {
        "name": "lock",
        "count": "locks",
        "relaxing": "relaxing_lock",
        "moving_parts": "lock_moving_parts",
        "mechanical": "mechanical_lock",
        "single_piece": "single_piece_lock",
        "power_assisted": "power_assisted",
        "choke": "compression_choke",
    },
    "swivel": {"length": "swivel_length_m", "free": "swivel_free"},
    "tag": {
        "material": "tag_material",
        "ferrous": "tag_ferrous",
        "durable": "tag_durable",
        "attached": "tag_attached",
    },
    "": {"finish": "finish", "subtype": "subtype"},
}
"""Keys of a build file by table, and the fields of the record that say the same."""


@dataclass(frozen=True)
class Recorded:
    """Which devices of a build are put on record.

    Parameters
    ----------
    tags
        New ones.
    rebuilt
        Those on record that were rebuilt.
    bought
        They came ready-made: no loose parts leave the stock.
    """

    tags: Sequence[str] = ()
    rebuilt: Sequence[str] = ()
    bought: bool = False


NONE = Recorded()


def record_devices(space: Workspace, read: BuildFile, laid: Laid, devices: Recorded) -> Answer:
    """Put devices on record.

    Parameters
    ----------
    space
        The opened line.
    read, laid
        The build, and as laid out.
    devices
        Which.

    Raises
    ------
    Refused
        LOG-xxx for a tag that is taken or a value that the record does not hold; nothing is written then.
    """
    body = device_body(read, laid)
    new, again = ({} if devices.bought else _parts(read, wholly=wholly) for wholly in (True, False))
    renewed = {name: value for name, value in body.items() if name != "device_class"}
    with space.store() as store, store.transaction():
        events = store.events()
        drafts = [space.draft("device-built", {"tag": tag, **body, **new}) for tag in devices.tags]
        drafts += [space.draft("device-rebuilt", {"tag": tag, **renewed, **again}) for tag in devices.rebuilt]
        warnings = judge(space, drafts, events)
        kept = store.append(drafts)
    return kept_answer(space, kept, warnings)


def _parts(read: BuildFile, *, wholly: bool) -> dict[str, Any]:
    """Give the loose parts that a device takes: all of them, or what a rebuilding always uses up."""
    parts = {"cable": 1, **{part.name: part.count for part in read.build.parts if part.count}}
    if not wholly:
        parts = {name: count for name, count in parts.items() if USED_UP.get(name, ANY_OTHER) == 1.0}
    return {"parts": parts}


def device_body(read: BuildFile, laid: Laid) -> dict[str, Any]:
    """Give what a build says of a device, in the fields of the record; what it does not say is left out."""
    value, cable = read.value, read.build.cable
    label, pulls = value("breakaway", "label"), value("breakaway", "pulls")
    body: dict[str, Any] = {
        "device_class": DeviceClass.LIVE_RESTRAINT.value,
        "loop_m": laid.largest_across_m,
        "loop_min_m": laid.smallest_across_m,
        "has_stop": laid.smallest_across_m is not None,
        "cable_diameter_m": cable.diameter_m,
        "construction": cable.make,
        "cable_length_m": laid.to_lock_m,
        "cable_whole_m": cable.length_m,
        "breakaway_n": sum(pulls) / len(pulls) if pulls else label,
        "has_breakaway": True if "breakaway" in read.tables else None,
        "multi_strand": None if cable.make == "1x19" else True,
        "galvanised": cable.material == "galvanised",
        "swivel_at": _words(value("swivel", "at")),
        "tag_says": _words(value("tag", "says")),
        "built_as": read.build.name,
        **_counts(read),
        **{field: value(table, key) for table, keys in _SAME.items() for key, field in keys.items()},
    }
    if pulls:
        body["breakaway_method"] = "static-load"
    return {name: held for name, held in body.items() if held is not None}


def _words(words: tuple[str, ...] | None) -> list[str] | None:
    return None if words is None else list(words)


def _counts(read: BuildFile) -> Mapping[str, int]:
    names = {"swivel": "swivels", "stop": "stops", "support": "supports"}
    return {names[part.name]: part.count for part in read.build.parts if part.name in names}
