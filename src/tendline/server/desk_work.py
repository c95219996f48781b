"""Owns what the desk page asks of long work: begin it, see how far it is, stop it.

Does not own the work itself (`works`, `works_list`).
"""

from tendline.jobs.answer import Answer
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT
from tendline.server.works_list import LONG
from tendline.server.works_run import Place

_BRIEF = {
    "type": "object",
    "properties": {
        "id": {"type": "string"},
        "job": {"type": "string"},
        "state": {"enum": ["waiting", "running", "done", "stopped", "failed"]},
        "told": {"type": "string", "description": "How far it is, in words."},
        "stopping": {"type": "boolean"},
        "bad_news": {"type": "boolean"},
        "faults": {"type": "array", "items": {"type": "object"}},
    },
    "required": ["id", "job", "state", "told", "stopping", "bad_news", "faults"],
}


def _begin(here: Here, body: Body) -> Answer:
    asked = body.get("asked", {})
    Ask("", "", _begin, LONG[body["job"]].takes).check(asked)
    space = here.desk.space()
    place = Place(str(space.folder), here.desk.pretended(), here.desk.units)
    return Answer("", here.works.begin(place, body["job"], asked).data(whole=False))


def _state(here: Here, body: Body) -> Answer:
    return Answer("", here.works.state(body["id"]).data(whole=True))


def _stop(here: Here, body: Body) -> Answer:
    return Answer("", here.works.stop(body["id"]).data(whole=False))


def _all(here: Here, _body: Body) -> Answer:
    return Answer("", {"works": [work.data(whole=False) for work in here.works.all()]})


WORK = (
    Ask(
        "work-begin",
        "Begin a piece of long work; it goes on while other things are asked.",
        _begin,
        {"job": {"enum": sorted(LONG)}, "asked": {"type": "object"}},
        ("job",),
        _BRIEF,
    ),
    Ask("work", "Say how far a piece of work is; its answer when it has one.", _state, {"id": TEXT}, ("id",)),
    Ask(
        "work-stop", "End a piece of work with its best answer so far.", _stop, {"id": TEXT}, ("id",), _BRIEF
    ),
    Ask("works", "List the work of this server, newest first.", _all),
)
