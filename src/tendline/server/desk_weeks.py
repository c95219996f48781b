"""Owns what the desk page asks for its calendar: the days ahead, windows on record, plans that are kept.

Does not own the plans (`works_list`) or the answers (`jobs.days_ahead`, `jobs.note`).
"""

from tendline.jobs.answer import Answer
from tendline.jobs.correct import correct
from tendline.jobs.days_ahead import days_ahead, in_order, kept_weeks
from tendline.jobs.note import note
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import FLAG, TEXT, count

_DAY = {
    "type": "object",
    "properties": {
        "day": {"type": "string", "format": "date"},
        **{key: {"type": ["string", "null"]} for key in ("dawn", "sunrise", "sunset", "dusk")},
    },
    "required": ["day", "dawn", "sunrise", "sunset", "dusk"],
}
_WINDOW = {
    "type": "object",
    "properties": {
        **{key: {"type": "string"} for key in ("id", "who", "from", "to")},
        "vehicle": {"type": "boolean"},
    },
    "required": ["id", "who", "from", "to", "vehicle"],
}
_DAYS = {
    "type": "object",
    "properties": {
        "days": {"type": "array", "items": _DAY},
        "windows": {"type": "array", "items": _WINDOW},
        "snow": {"type": "array", "items": {"type": "object"}},
        "people": {"type": "array", "items": {"type": "string"}},
        "kept": {"type": "array", "items": {"type": "string"}},
    },
    "required": ["days", "windows", "snow", "people", "kept"],
    "additionalProperties": False,
}


def _days(here: Here, body: Body) -> Answer:
    return days_ahead(here.desk.space(), days=body.get("days", 14))


def _add(here: Here, body: Body) -> Answer:
    in_order(here.desk.space(), body["from"], body["to"])
    given = {
        "start": body["from"],
        "end": body["to"],
        "vehicle": "yes" if body.get("vehicle", True) else "no",
    }
    return note(
        here.desk.space(), "available", subjects=[body["who"]] if body.get("who") else [], given=given
    )


def _change(here: Here, body: Body) -> Answer:
    in_order(here.desk.space(), body["from"], body["to"])
    changes = {"start": body["from"], "end": body["to"]}
    return correct(
        here.desk.space(), body["id"], changes=changes, why=body.get("why") or "changed on the calendar"
    )


def _remove(here: Here, body: Body) -> Answer:
    why = body.get("why") or "taken off the calendar"
    return note(here.desk.space(), "void", subjects=[body["id"]], given={"why": why})


def _kept(here: Here, body: Body) -> Answer:
    return Answer("", kept_weeks(here.desk.space(), body["name"]))


WEEKS = (
    Ask("days", "Give light, windows, snow seen and plans kept.", _days, {"days": count(1, 60)}, gives=_DAYS),
    Ask(
        "window-add",
        "Put down a stretch in which somebody can go.",
        _add,
        {"who": TEXT, "from": TEXT, "to": TEXT, "vehicle": FLAG},
        ("from", "to"),
        "note",
    ),
    Ask(
        "window-change",
        "Say when such a stretch really begins and ends; the old one stays on record.",
        _change,
        dict.fromkeys(("id", "from", "to", "why"), TEXT),
        ("id", "from", "to"),
        "note",
    ),
    Ask("window-remove", "Take such a stretch back.", _remove, {"id": TEXT, "why": TEXT}, ("id",), "note"),
    Ask("weeks-kept", "Read a plan of the days that is kept.", _kept, {"name": TEXT}, ("name",), "weeks"),
)
