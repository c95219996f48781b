"""Owns what the calendar of the days ahead is drawn on: light, windows on record, snow seen, plans kept.

Does not own the plan itself (`weeks`) or the limits (`due`).
"""

import json
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from tendline.core.errors import refuse
from tendline.core.line import LineState
from tendline.core.when import local_day, local_instant, parse_instant, rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.faults import KEPT_PLAN, WORD
from tendline.jobs.kept_plans import WEEKS
from tendline.jobs.round_facts import sun_of
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.logbook.corrected import effective


def days_ahead(space: Workspace, *, days: int = 14) -> Answer:
    """Give the days ahead, today the first.

    Parameters
    ----------
    space
        The opened line.
    days
        How many days after today.
    """
    line, zone = space.line(), space.settings.zone
    first = local_day(space.now, zone)
    snow = [
        {"at": rfc3339(one.at, zone), "depth_m": one.depth_m, "new_m": one.new_m, "where": one.set_name}
        for one in line.snow[-20:]
    ]
    data = {
        "days": [_day(space, line, first + timedelta(days=k)) for k in range(days + 1)],
        "windows": _windows(space, first),
        "snow": snow,
        "people": list(dict.fromkeys((space.settings.handler, *(p.name for p in space.settings.people)))),
        "kept": sorted(path.name for path in (space.folder / PAPERS).glob(f"{WEEKS}-*.json")),
    }
    return Answer("", data)


def _day(space: Workspace, line: LineState, day: date) -> dict[str, Any]:
    zone = space.settings.zone
    noon = local_instant(day, datetime.min.time().replace(hour=12), zone, where="the day")
    sun = sun_of(space, line, noon)
    told = {name: getattr(sun, name, None) for name in ("dawn", "sunrise", "sunset", "dusk")}
    return {
        "day": day.isoformat(),
        **{n: None if at is None else rfc3339(at, zone) for n, at in told.items()},
    }


def _windows(space: Workspace, first: date) -> list[dict[str, Any]]:
    """Give the stretches on record in which somebody can go, with the entry that says so."""
    zone, found = space.settings.zone, []
    for entry in effective(space.events()):
        if entry.event.kind == "available":
            body = entry.body
            if local_day(datetime.fromisoformat(body["end"]), zone) >= first:
                found.append(
                    {
                        "id": entry.event.id,
                        "who": body["who"],
                        "from": rfc3339(datetime.fromisoformat(body["start"]), zone),
                        "to": rfc3339(datetime.fromisoformat(body["end"]), zone),
                        "vehicle": body.get("vehicle", True),
                    }
                )
    return sorted(found, key=lambda one: (one["from"], one["who"]))


def in_order(space: Workspace, start: str, end: str) -> None:
    """Refuse a window, as written, that ends before it starts: on record it would count for nothing.

    Raises
    ------
    Refused
        JOB-301; CORE-201 when it cannot be read.
    """
    zone, now = space.settings.zone, space.now
    if parse_instant(end, zone=zone, now=now, where="to") <= parse_instant(
        start, zone=zone, now=now, where="from"
    ):
        raise refuse(WORD, "the window ends before it starts.", "to", "Write a later end.")


def kept_weeks(space: Workspace, name: str) -> Mapping[str, Any]:
    """Read a plan of the days that is kept in `papers/`.

    Parameters
    ----------
    space, name
        The opened line, and the file as `days_ahead` names it.

    Raises
    ------
    Refused
        JOB-613 when there is none of that name, or it cannot be read.
    """
    found = {path.name: path for path in (space.folder / PAPERS).glob(f"{WEEKS}-*.json")}
    try:
        document = json.loads(found[name].read_text(encoding="utf-8"))
    except (KeyError, OSError, ValueError):
        raise refuse(KEPT_PLAN, "there is no such plan that can be read.", name, "Choose another.") from None
    if not isinstance(document, dict):
        raise refuse(KEPT_PLAN, "it is no plan.", name, "Choose another.")
    return document
