"""Owns what the desk page asks about the line as a whole: its name and state, and its paired phones.

Does not own the answers (`jobs`).
"""

import io

import segno

from tendline.core.when import rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.due import due
from tendline.jobs.phones import list_phones, revoke
from tendline.server.desk_ask import Ask, Body, Here, Sent
from tendline.server.desk_fields import TEXT


def _line(here: Here, _body: Body) -> Answer:
    if not here.desk.begun:
        return Answer("", {"begun": False, "folder": here.desk.folder.name})
    space = here.desk.space()
    settings = space.settings
    return Answer(
        "",
        {
            "begun": True,
            "folder": here.desk.folder.name,
            "name": settings.name,
            "zone": str(settings.zone),
            "units": settings.units.value,
            "handler": settings.handler,
            "home": None if settings.home is None else [settings.home.lon, settings.home.lat],
            "profiles": list(settings.profiles),
            "invented": settings.invented,
            "now": rfc3339(space.now, settings.zone),
            "stamp": space.kept.stamp(space),
        },
    )


def _due(here: Here, _body: Body) -> Answer:
    return due(here.desk.space())


def _phones(here: Here, _body: Body) -> Answer:
    return list_phones(here.desk.space())


def _revoke(here: Here, body: Body) -> Answer:
    return revoke(here.desk.space(), body["via"])


def _offer(here: Here, body: Body) -> Answer:
    offer = here.desk.offer(body.get("person", ""), desk=body.get("for") == "desk")
    page = "desk" if body.get("for") == "desk" else ""
    url = f"{here.url}{page}#pair={offer.word}"
    return Answer("", {"url": url, "until": rfc3339(offer.until)})


def _code(_here: Here, body: Body) -> Sent:
    out = io.BytesIO()
    segno.make(body["text"], error="m", micro=False).save(out, kind="svg", scale=4, border=4, light="#ffffff")
    return Sent(out.getvalue(), "image/svg+xml")


LINE = (
    Ask(
        "line",
        "Say which line this is, what time it is there, and a stamp that changes with its record.",
        _line,
    ),
    Ask("due", "Put up the due board.", _due, gives="due"),
    Ask("phones", "List every phone and browser that ever was paired.", _phones),
    Ask("revoke", "Let a phone or browser in no more.", _revoke, {"via": TEXT}, ("via",)),
    Ask(
        "offer",
        "Make a pairing address, good once and for five minutes.",
        _offer,
        {"person": TEXT, "for": {"enum": ["field", "desk"]}},
    ),
    Ask("code", "Draw a QR code.", _code, {"text": {"type": "string", "maxLength": 1000}}, ("text",), None),
)
