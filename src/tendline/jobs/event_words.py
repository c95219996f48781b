"""Owns finding an event by part of its id, and an event as JSON can hold it.

Does not own events themselves (`logbook.events`).
"""

from collections.abc import Sequence
from typing import Any

from tendline.core.errors import refuse
from tendline.core.when import rfc3339
from tendline.jobs.faults import NO_EVENT
from tendline.jobs.workspace import Workspace
from tendline.logbook.board import LATE_AFTER
from tendline.logbook.events import Event


def find_event(identity: str, events: Sequence[Event]) -> Event:
    """Find the one event that an id, or its beginning or end, points at.

    Raises
    ------
    Refused
        JOB-302 when none or several answer to it.
    """
    wanted = identity.lower()
    if len(wanted) >= 6:
        found = [e for e in events if e.id == wanted] or [
            e for e in events if e.id.startswith(wanted) or e.id.endswith(wanted)
        ]
    else:
        found = []
    if len(found) != 1:
        many = "no event answers" if not found else f"{len(found)} events answer"
        raise refuse(
            NO_EVENT,
            f"{many} to '{identity}'.",
            "",
            "Give six or more of its characters; tendline note list shows them.",
        )
    return found[0]


def event_data(event: Event, space: Workspace) -> dict[str, Any]:
    """Give an event as JSON can hold it, times in the person's zone."""
    zone = space.settings.zone
    place = event.fix.place if event.fix else None
    return {
        "id": event.id,
        "kind": event.kind,
        "happened_at": rfc3339(event.happened_at, zone),
        "recorded_at": rfc3339(event.recorded_at, zone),
        "late": event.recorded_at - event.happened_at > LATE_AFTER,
        "by": event.by,
        "via": event.via,
        "place": None if place is None else [place.lon, place.lat],
        "body": dict(event.body),
    }
