"""Owns what the desk page asks of the gear: builds in the line folder, what one comes to, parts, stock.

Does not own the answers (`jobs.gear_build`, `jobs.gear_builds`, `jobs.gear_parts`, `jobs.gear_stock`).
"""

from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.gear_build import gear_build
from tendline.jobs.gear_builds import MOST_BYTES, build_path, keep_build, list_builds
from tendline.jobs.gear_parts import PartsAsked, gear_parts
from tendline.jobs.gear_stock import stock_now
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT, TEXTS, UNITS, count, number

_BUILD = {"file": TEXT, "text": {"type": "string", "maxLength": MOST_BYTES}}


def _builds(here: Here, _body: Body) -> Answer:
    return list_builds(here.desk.space())


def _build(here: Here, body: Body) -> Answer:
    space = here.desk.space().with_units(body.get("units", ""))
    return gear_build(space, str(build_path(space, body["file"])), text=body["text"])


def _keep(here: Here, body: Body) -> Answer:
    return keep_build(here.desk.space(), body["file"], body["text"])


def _parts(here: Here, body: Body) -> Answer:
    space = here.desk.space().with_units(body.get("units", ""))
    said = {key: value for key, value in body.items() if key not in ("file", "units")}
    told: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in said.items()
    }
    return gear_parts(space, str(build_path(space, body["file"])), PartsAsked(**told))


def _stock(here: Here, _body: Body) -> Answer:
    return stock_now(here.desk.space())


GEAR = (
    Ask("gear-builds", "List the builds in the line folder, with their text.", _builds),
    Ask(
        "gear-build",
        "Lay out a build: stops, reach, laws, strength chain.",
        _build,
        {**_BUILD, "units": UNITS},
        ("file", "text"),
        "gear-build",
    ),
    Ask("gear-keep", "Keep an edited build, whole or not at all.", _keep, _BUILD, ("file", "text")),
    Ask(
        "gear-parts",
        "Count parts for the season and today; cut the cable with least waste.",
        _parts,
        {
            **_BUILD,
            "units": UNITS,
            "devices": count(0, 100_000),
            "nights": number(0, 100_000),
            "risk": number(0.0001, 0.5),
            **dict.fromkeys(("have", "rolls", "pieces"), TEXTS),
            "cut": count(0, 100_000),
            "kerf": TEXT,
        },
        ("file", "text"),
        "gear-parts",
    ),
    Ask("gear-stock", "Say what stock is on record, and which devices are out until rebuilt.", _stock),
)
