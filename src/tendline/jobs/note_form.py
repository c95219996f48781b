"""Owns what a form for noting an event needs to know: every kind with its fields, and the names on record.

Does not own the kinds (`logbook.kinds`) or reading what was filled in (`note`, `words_in`).
"""

from collections import Counter
from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.workspace import Workspace
from tendline.logbook.field_types import Field, FieldType
from tendline.logbook.kinds import KINDS, Kind

_EXAMPLES = {
    FieldType.LENGTH: "10 in, 25 cm, 6 ft, 40 m",
    FieldType.LENGTHS: "den=6ft; bait=30ft",
    FieldType.COUNTS: "cable=1; stop=3",
    FieldType.MASS: "35 lb, 16 kg",
    FieldType.FORCE: "285 lb, 1250 N",
    FieldType.DEGREES: "20",
    FieldType.TEXTS: "first, second",
    FieldType.CELSIUS: "20 F, -7 C",
    FieldType.SPEED: "15 mph, 24 kmh",
    FieldType.SECONDS: "6 min, 2 h",
    FieldType.NAMES: "mill, kiln",
    FieldType.NAME: "M4",
    FieldType.TAG: "1234",
    FieldType.COUNT: "12",
    FieldType.AMOUNT: "36.50",
    FieldType.ANSWERS: "question=answer; question=answer",
    FieldType.INSTANT: "2027-01-15 05:40",
    FieldType.OUTLINE: "-78.02,41.50 -78.00,41.50 -78.00,41.52",
    FieldType.EVENT: "six or more characters of its id",
}
_MOST = 200
"""Most names of one sort that are offered."""
_OFFERED = (
    "species",
    "anchor",
    "target",
    "location_type",
    "heading",
    "given_by",
    "part",
    "who",
    "to",
    "from",
)
"""Text fields whose words on record are offered again, the most frequent first."""


def note_form() -> Answer:
    """Give every kind of event with its fields, as a form wants them."""
    kinds = [_kind(kind) for kind in KINDS.values()]
    text = "\n".join(f"{one['kind']}: {one['words']}" for one in kinds)
    return Answer(text, {"kinds": kinds})


def names_on_record(space: Workspace) -> Answer:
    """Give the names on record by the field they are written in: sets, tags, parcels, words used before."""
    line = space.line()
    told: dict[str, Counter[str]] = {name: Counter() for name in _OFFERED}
    for event in space.events():
        for name in _OFFERED:
            if isinstance(word := event.body.get(name), str):
                told[name][word] += 1
    names: dict[str, list[str]] = {
        name: [w for w, _ in words.most_common(_MOST)] for name, words in told.items()
    }
    names["set"] = sorted(line.sets)
    names["tag"] = sorted(line.devices)
    names["parcel"] = sorted(line.parcels)
    names["parking"] = sorted(line.parkings)
    names["landmark"] = sorted(line.landmarks)
    return Answer("", {"names": names})


def _kind(kind: Kind) -> dict[str, Any]:
    return {
        "kind": kind.name,
        "words": kind.meaning,
        "subject": kind.subject,
        "needs_place": kind.needs_place,
        "fields": [_field(field) for field in kind.fields if field.name != "source"],
    }


def _field(field: Field) -> dict[str, Any]:
    return {
        "field": field.name,
        "words": field.meaning,
        "type": field.type.value,
        "required": field.required,
        "choices": list(field.choices),
        "example": _EXAMPLES.get(field.type, ""),
    }
