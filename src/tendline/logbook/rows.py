"""Owns the form of an event as a row of the database, both ways.

Does not own the database (`store`).
"""

import json
from typing import Any

from tendline.core.errors import Damaged, Fault, TendlineError
from tendline.core.place import Fix, LonLat
from tendline.logbook.events import Event, instant_from, instant_text
from tendline.logbook.faults import DAMAGED_EVENT

COLUMNS = "id, kind, version, happened_at, recorded_at, by, via, lon, lat, accuracy_m, body, prev, hash"
"""Names of the columns, in the order of the values."""


def row_of(event: Event) -> tuple[Any, ...]:
    """Give the values of an event, in the order of `COLUMNS`."""
    place = event.fix.place if event.fix else None
    return (
        event.id,
        event.kind,
        event.version,
        instant_text(event.happened_at),
        instant_text(event.recorded_at),
        event.by,
        event.via,
        place.lon if place else None,
        place.lat if place else None,
        event.fix.accuracy_m if event.fix else None,
        json.dumps(event.body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False),
        event.prev,
        event.hash,
    )


def event_from(row: tuple[Any, ...]) -> Event:
    """Read the values of one row, in the order of `COLUMNS`.

    Raises
    ------
    Damaged
        LOG-503 when they are no event.
    """
    identity, kind, version, happened, recorded, by, via, lon, lat, accuracy, body, prev, digest = row
    try:
        fix = None if lon is None else Fix(LonLat(lon, lat), accuracy)
        return Event(
            identity,
            kind,
            version,
            instant_from(happened),
            instant_from(recorded),
            by,
            via,
            fix,
            json.loads(body),
            prev,
            digest,
        )
    except (ValueError, TypeError, TendlineError) as problem:
        raise Damaged(
            Fault(
                DAMAGED_EVENT, f"it cannot be read ({problem}).", f"event {identity}", "Call: tendline audit."
            )
        ) from problem
