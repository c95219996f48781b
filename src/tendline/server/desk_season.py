"""Owns what the desk page asks of a season: its figures with every plot drawn, and plans held against it.

Does not own the answers (`jobs.season_drawn`, `jobs.season_plans`).
"""

import json

from tendline.jobs.answer import Answer
from tendline.jobs.season import AskedSeason
from tendline.jobs.season_drawn import season_drawn
from tendline.jobs.season_plans import against_plans
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import FLAG, TEXT, TEXTS, UNITS, number, one_of

_DAYS = dict.fromkeys(("season", "first", "last"), TEXT)


def _season(here: Here, body: Body) -> Answer:
    space = here.desk.space().with_units(body.get("units", ""))
    asked = AskedSeason(**{key: value for key, value in body.items() if key not in ("units", "by")})
    stamp = (here.desk.stamp(), json.dumps(body, sort_keys=True))
    return here.answers.get(
        "season", stamp, here.desk.now(), lambda: season_drawn(space, asked, by=body.get("by", ()))
    )


def _plans(here: Here, body: Body) -> Answer:
    return against_plans(here.desk.space(), **body)


SEASON = (
    Ask(
        "season",
        "Say what a season came to, with every plot and its numbers.",
        _season,
        {
            **_DAYS,
            "until": TEXT,
            "nights": one_of("half-interval", "functional", "by-finding", "raw"),
            "exact": FLAG,
            "score": FLAG,
            "hour": number(0, 1e6),
            "mile": number(0, 1e6),
            "by": TEXTS,
            "units": UNITS,
        },
        gives="season-drawn",
    ),
    Ask("season-plans", "Hold kept plans against what was done.", _plans, _DAYS, gives="season-plans"),
)
