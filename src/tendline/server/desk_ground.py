"""Owns what the desk page asks for its map: what stands on the ground, what lies under it, what is drawn.

Does not own the answers (`jobs`), nor noting what stands there (`desk_note`).
"""

from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.draw import FACTS, draw, erase
from tendline.jobs.ground_shown import ground_shown, measured
from tendline.jobs.round import walks_of
from tendline.jobs.scout_files import newest_layers
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT, one_of

_PLACES = {"type": "array", "items": TEXT, "maxItems": 2000}


def _ground(here: Here, _body: Body) -> Answer:
    return here.kept("ground", lambda: ground_shown(here.desk.space()))


def _relief(here: Here, _body: Body) -> Answer:
    relief, why = here.desk.relief()
    return Answer("", {"relief": relief, "why": why})


def _walks(here: Here, _body: Body) -> Answer:
    planned, why = here.desk.planned()
    walks = [] if planned is None else walks_of(planned)
    return Answer("", {"walks": [[[p.lon, p.lat] for p in walk] for walk in walks], "why": why})


def _scouted(here: Here, _body: Body) -> Answer:
    return Answer("", {"layers": newest_layers(here.desk.space())})


def _measure(here: Here, body: Body) -> Answer:
    return measured(here.desk.space(), body["places"])


def _draw(here: Here, body: Body) -> Answer:
    given: dict[str, Any] = body.get("given", {})
    return draw(
        here.desk.space(),
        body["feature"],
        shape=body["shape"],
        places=body["places"],
        name=body.get("name", ""),
        given=given,
    )


def _erase(here: Here, body: Body) -> Answer:
    return erase(here.desk.space(), body["drawn"])


GROUND = (
    Ask("ground", "Show all that stands on the ground.", _ground, gives="ground"),
    Ask("ground-relief", "Draw light and shade and lines of equal height.", _relief),
    Ask("ground-walks", "Give the ways on foot of the planned round.", _walks),
    Ask("ground-scouted", "Give the newest kept map of travel for each animal.", _scouted),
    Ask(
        "ground-measure",
        "Measure a way, and the area it goes round.",
        _measure,
        {"places": _PLACES},
        ("places",),
    ),
    Ask(
        "ground-draw",
        "Draw a house, a trail or another feature that a law measures from.",
        _draw,
        {
            "feature": TEXT,
            "shape": one_of("point", "line", "area"),
            "places": _PLACES,
            "name": TEXT,
            "given": {
                "type": "object",
                "properties": dict.fromkeys(FACTS, TEXT),
                "additionalProperties": False,
            },
        },
        ("feature", "shape", "places"),
    ),
    Ask("ground-erase", "Take away what was drawn.", _erase, {"drawn": TEXT}, ("drawn",)),
)
