"""Owns what the desk page asks while a line begins: the profiles to choose from, beginning, what comes next.

Does not own the answers (`jobs.start`, `jobs.profile_list`, `jobs.first_steps`).
"""

from tendline.core.place import LonLat
from tendline.core.when import local_day, zone_named
from tendline.jobs.answer import Answer
from tendline.jobs.first_steps import first_steps
from tendline.jobs.profile_list import profile_list
from tendline.jobs.start import start
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import DEGREES, FLAG, STRING, TEXT, TEXTS, one_of

_PROFILE = {
    "type": "object",
    "properties": {
        **dict.fromkeys(("id", "title", "about", "state"), STRING),
        "good_until": {"type": "string", "format": "date"},
        **dict.fromkeys(("invented", "own"), FLAG),
        "values": {"type": "integer", "description": "How many values of the law it holds."},
        "unsure": {
            "type": "integer",
            "description": "Those not read in the law's text or on an agency page.",
        },
        "unsure_words": {"type": "array", "items": {"type": "string"}},
    },
    "additionalProperties": False,
}
_STEP = {
    "type": "object",
    "properties": {
        "step": one_of("parcel", "permission", "parking", "home", "set-made", "heights", "confirm"),
        "done": {"type": "boolean"},
        "said": {"type": "string"},
    },
    "required": ["step", "done", "said"],
    "additionalProperties": False,
}


def _profiles(here: Here, body: Body) -> Answer:
    zone = zone_named(body.get("zone", "UTC"), where="zone")
    space = here.desk.space() if here.desk.begun else None
    return profile_list(local_day(here.desk.now(), zone), space)


def _start(here: Here, body: Body) -> Answer:
    home = body.get("home")
    return start(
        str(here.desk.folder),
        zone=body["zone"],
        name=body.get("name", "").strip(),
        units=body.get("units", "us"),
        handler=body.get("handler", "").strip(),
        home=None if home is None else LonLat(*home),
        profiles=tuple(body.get("profiles", ())),
    )


def _steps(here: Here, _body: Body) -> Answer:
    return first_steps(here.desk.space())


START = (
    Ask(
        "profiles",
        "List the rule profiles to choose from, and how surely each is known.",
        _profiles,
        {"zone": TEXT},
        gives={"type": "object", "properties": {"profiles": {"type": "array", "items": _PROFILE}}},
    ),
    Ask(
        "start",
        "Begin a line in the empty folder that is served.",
        _start,
        {
            **dict.fromkeys(("zone", "name", "handler"), TEXT),
            "units": one_of("us", "metric"),
            "home": DEGREES,
            "profiles": TEXTS,
        },
        ("zone",),
        "start",
    ),
    Ask(
        "first-steps",
        "Say what a new line still needs.",
        _steps,
        gives={
            "type": "object",
            "properties": {"steps": {"type": "array", "items": _STEP}, "done": {"type": "boolean"}},
        },
    ),
)
