"""Events made by hand for the tests of the record; invented line, invented people."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from tendline.core.ids import uuid7
from tendline.core.place import Fix, LonLat
from tendline.logbook.events import Draft, Event, chain

MONDAY = datetime(2027, 1, 11, 10, 0, tzinfo=UTC)
"""05:00 in New York."""

FINE = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}


class Book:
    """Makes drafts and events with ids in order; a test reads like a diary."""

    def __init__(self, via: str = "desk-1", *, first: int = 0) -> None:
        self.via = via
        self.events: list[Event] = []
        self._count = first

    def draft(
        self,
        kind: str,
        body: Mapping[str, Any],
        *,
        at: datetime = MONDAY,
        recorded: datetime | None = None,
        place: tuple[float, float] | None = None,
        by: str = "Ann",
    ) -> Draft:
        """Make one draft."""
        self._count += 1
        chance = self._count.to_bytes(8, "big")
        fix = Fix(LonLat(*place), 5.0) if place else None
        when = recorded or at
        return Draft(uuid7(when, chance), kind, 1, at, when, by, self.via, fix, dict(body))

    def note(self, kind: str, body: Mapping[str, Any], **more: Any) -> Event:
        """Make one event, chained to the one before."""
        prev = self.events[-1].hash if self.events else ""
        event = chain(self.draft(kind, body, **more), prev)
        self.events.append(event)
        return event

    def made(self, name: str = "N3", tag: str = "101", *, at: datetime = MONDAY, **body: Any) -> Event:
        """A device built, and put to work."""
        if not any(e.kind == "device-built" and e.body["tag"] == tag for e in self.events):
            self.note("device-built", {"tag": tag}, at=at)
        return self.note("set-made", {"set": name, "tag": tag, **body}, at=at, place=(-78.0, 41.5))

    def check(self, name: str = "N3", *, hours: float, **body: Any) -> Event:
        """A check so many hours after `MONDAY`."""
        return self.note("check", {"set": name, **FINE, **body}, at=MONDAY + timedelta(hours=hours))
