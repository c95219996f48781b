"""Owns what the desk page asks of settings, and of the person's own word on a rule profile.

Does not own the answers (`jobs.settings_edit`, `jobs.confirm_form`).
"""

from tendline.jobs.answer import Answer
from tendline.jobs.confirm_form import confirm_all, confirm_form
from tendline.jobs.settings_edit import edit_settings, settings_form
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import LONG_TEXT, STRING, TEXT, WORDS

_SETTING = {
    "type": "object",
    "properties": {
        **dict.fromkeys(("key", "table", "words", "sort", "wanted", "value"), STRING),
        "choices": {"type": "array", "items": STRING},
    },
    "additionalProperties": False,
}
_VALUE = {
    "type": "object",
    "properties": {
        **dict.fromkeys(("rule", "words"), STRING),
        "sources": {"type": "array", "items": STRING},
    },
    "additionalProperties": False,
}


def _settings(here: Here, _body: Body) -> Answer:
    return settings_form(here.desk.space())


def _change(here: Here, body: Body) -> Answer:
    return edit_settings(here.desk.space(), body["values"])


def _profile(here: Here, body: Body) -> Answer:
    return confirm_form(here.desk.space(), body["profile"])


def _confirm(here: Here, body: Body) -> Answer:
    return confirm_all(here.desk.space(), body["profile"], body["answers"], note=body.get("note", ""))


SETTINGS = (
    Ask(
        "settings",
        "Give the settings a person may change, and how they are.",
        _settings,
        gives={"type": "object", "properties": {"settings": {"type": "array", "items": _SETTING}}},
    ),
    Ask(
        "settings-change",
        "Change settings: all of them, or, when anything is wrong, none.",
        _change,
        {"values": WORDS},
        ("values",),
        {"type": "object", "properties": {"changed": {"type": "array", "items": STRING}}},
    ),
    Ask(
        "profile-values",
        "Give every value of a rule profile with its source, to go through.",
        _profile,
        {"profile": TEXT},
        ("profile",),
        {
            "type": "object",
            "properties": {
                **dict.fromkeys(("profile", "title", "until"), STRING),
                "values": {"type": "array", "items": _VALUE},
                "word": {"type": ["object", "null"]},
            },
            "additionalProperties": False,
        },
    ),
    Ask(
        "confirm",
        "Keep what was said of every value of a rule profile.",
        _confirm,
        {"profile": TEXT, "answers": WORDS, "note": LONG_TEXT},
        ("profile", "answers"),
    ),
)
