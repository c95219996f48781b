"""Owns what the desk page asks to write on record: the forms, an event, a correction.

Does not own the answers (`jobs.note`, `jobs.correct`, `jobs.note_form`).
"""

from tendline.jobs.answer import Answer
from tendline.jobs.correct import correct
from tendline.jobs.note import note
from tendline.jobs.note_form import names_on_record, note_form
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import EVENT_ID, FLAG, LONG_TEXT, STRING, TEXT, WORDS

_FIELD = {
    "type": "object",
    "properties": {
        **dict.fromkeys(("field", "words", "type", "example"), STRING),
        "required": FLAG,
        "choices": {"type": "array", "items": STRING},
    },
    "additionalProperties": False,
}
_KIND = {
    "type": "object",
    "properties": {
        **dict.fromkeys(("kind", "words", "subject"), STRING),
        "needs_place": FLAG,
        "fields": {"type": "array", "items": _FIELD},
    },
    "additionalProperties": False,
}


def _kinds(_here: Here, _body: Body) -> Answer:
    return note_form()


def _names(here: Here, _body: Body) -> Answer:
    return here.kept("names", lambda: names_on_record(here.desk.space()))


def _note(here: Here, body: Body) -> Answer:
    subject = body.get("subject", "").strip()
    return note(
        here.desk.space(),
        body["kind"],
        subjects=(subject,) if subject else (),
        given=body.get("given", {}),
        happened=body.get("happened"),
        place=body.get("place"),
        by=body.get("by", ""),
        fine=body.get("fine", False),
        identity=body["id"],
    )


def _correct(here: Here, body: Body) -> Answer:
    return correct(
        here.desk.space(),
        body["of"],
        changes=body.get("changes", {}),
        happened_at=body.get("happened_at"),
        place=body.get("place"),
        why=body["why"],
        by=body.get("by", ""),
        as_id=body["id"],
    )


NOTE = (
    Ask(
        "kinds",
        "Give every kind of event with its fields, for a form.",
        _kinds,
        gives={"type": "object", "properties": {"kinds": {"type": "array", "items": _KIND}}},
    ),
    Ask(
        "names",
        "Give the names on record by the field they are written in.",
        _names,
        gives={
            "type": "object",
            "properties": {
                "names": {"type": "object", "additionalProperties": {"type": "array", "items": STRING}}
            },
        },
    ),
    Ask(
        "note",
        "Note one event. Sent twice with the same id, it is kept once.",
        _note,
        {
            "id": EVENT_ID,
            **dict.fromkeys(("kind", "subject", "happened", "place", "by"), TEXT),
            "given": WORDS,
            "fine": FLAG,
        },
        ("id", "kind"),
        "note",
    ),
    Ask(
        "correct",
        "Say that an earlier event was wrong; the old values stay on record.",
        _correct,
        {
            "id": EVENT_ID,
            **dict.fromkeys(("of", "happened_at", "place", "by"), TEXT),
            "why": LONG_TEXT,
            "changes": WORDS,
        },
        ("id", "of", "why"),
        "note",
    ),
)
