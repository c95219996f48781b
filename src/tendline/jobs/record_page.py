"""Owns the job that turns the pages of the record: every event, what was changed of it, and what it replaced.

Does not own how corrections are applied (`logbook.corrected`) or writing any (`note`, `correct`).
"""

import json
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from tendline.core.when import day_start, parse_day, rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.event_words import event_data
from tendline.jobs.pictures import Pictures
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import Effective, effective, voided
from tendline.logbook.events import Event

CHANGES = ("correction", "void")
MOST = 200
"""Most events on one page."""


@dataclass(frozen=True)
class Sought:
    """Which events are wanted.

    Parameters
    ----------
    about
        Name of a set, tag, parcel or parking; of everything when empty.
    kind, by
        Only these.
    first, last
        Days, as written, both told.
    words
        All of them must stand somewhere in it.
    identity
        One event by its id.
    """

    about: str = ""
    kind: str = ""
    by: str = ""
    first: str = ""
    last: str = ""
    words: str = ""
    identity: str = ""


class Index:
    """The record sorted once; made again when it has grown.

    Parameters
    ----------
    events
        Every event.
    """

    def __init__(self, events: Sequence[Event]) -> None:
        self.by_id = {event.id: event for event in events}
        self.changes: dict[str, list[Event]] = defaultdict(list)
        for event in events:
            if event.kind in CHANGES:
                self.changes[event.body["of"]].append(event)
        shown = [event for event in events if event.kind not in CHANGES]
        self.shown = sorted(shown, key=lambda event: (event.happened_at, event.id), reverse=True)
        self.kinds = sorted({event.kind for event in shown})
        self.people = sorted({event.by for event in events})
        self._texts: dict[str, str] = {}

    def group(self, event: Event) -> list[Event]:
        """Give an event with all that was said of it later, and of that."""
        found = [event]
        for one in found:
            found += self.changes.get(one.id, ())
        return found

    def text(self, event: Event) -> str:
        """Give everything that is said in an event and its changes, for looking up words."""
        if event.id not in self._texts:
            parts = [
                f"{one.kind} {one.by} {one.via} {json.dumps(one.body, ensure_ascii=False)}"
                for one in self.group(event)
            ]
            self._texts[event.id] = " ".join(parts).replace("_", " ").lower()
        return self._texts[event.id]


def record_page(space: Workspace, sought: Sought, *, start: int = 0, index: Index | None = None) -> Answer:
    """Give one page of the record, newest first.

    Parameters
    ----------
    space
        The opened line.
    sought
        Which events.
    start
        How many of them to pass over.
    index
        The record sorted already.

    Returns
    -------
    Answer
        The events with what was changed, how many there are in all, and the kinds and people on record.

    Raises
    ------
    Refused
        CORE-202 for a day that is none.
    """
    index = Index(space.events()) if index is None else index
    pictures = Pictures(space)
    found = list(_found(space, index, sought))
    page = found[start : start + MOST]
    told = [_told(space, index, event, pictures) for event in page]
    data = {
        "events": told,
        "start": start,
        "total": len(found),
        "of": len(index.shown),
        "kinds": index.kinds,
        "people": index.people,
    }
    return Answer("\n".join(f"{one['happened_at']} {one['kind']}" for one in told), data)


def _found(space: Workspace, index: Index, sought: Sought) -> Iterator[Event]:
    if sought.identity:
        event = index.by_id.get(sought.identity)
        while event is not None and event.kind in CHANGES:
            event = index.by_id.get(event.body["of"])
        yield from [event] if event is not None else []
        return
    zone, about = space.settings.zone, sought.about.strip().lower()
    words = sought.words.replace("_", " ").lower().split()
    first = day_start(parse_day(sought.first, where="first"), zone) if sought.first else None
    last = day_start(parse_day(sought.last, where="last") + timedelta(days=1), zone) if sought.last else None
    for event in index.shown:
        if sought.kind and event.kind != sought.kind:
            continue
        if (first and event.happened_at < first) or (last and event.happened_at >= last):
            continue
        if about and about not in _names(event):
            continue
        if sought.by and all(one.by != sought.by for one in index.group(event)):
            continue
        if words and not all(word in index.text(event) for word in words):
            continue
        yield event


def _names(event: Event) -> set[str]:
    return {str(event.body.get(key, "")).lower() for key in ("set", "tag", "name", "parcel")}


def _told(space: Workspace, index: Index, event: Event, pictures: Pictures) -> dict[str, Any]:
    """Tell an event as first written, as it stands now, and every change with what it replaced."""
    group = index.group(event)
    now = next(iter(effective(group)), None)
    data = event_data(event, space)
    changes = sorted((one for one in group if one.kind in CHANGES), key=lambda one: (one.recorded_at, one.id))
    gone = voided(group)
    return {
        **data,
        "accuracy_m": event.fix.accuracy_m if event.fix else None,
        "photos": pictures.of(now.body if now else event.body, whole=event.kind == "set-made"),
        "void": now is None,
        "now": None if now is None else _as_it_stands(space, now),
        "changes": [
            {
                **event_data(one, space),
                "standing": one.id not in gone,
                "was": _was(space, one, [event, *(c for c in changes if c.id not in gone)]),
            }
            for one in changes
        ],
    }


def _as_it_stands(space: Workspace, now: Effective) -> dict[str, Any]:
    place = now.fix.place if now.fix else None
    return {
        "happened_at": rfc3339(now.happened_at, space.settings.zone),
        "place": None if place is None else [place.lon, place.lat],
        "body": dict(now.body),
    }


def _was(space: Workspace, change: Event, group: Sequence[Event]) -> dict[str, Any]:
    """Give what a correction replaced: as it stood when the correction was written."""
    if change.kind != "correction":
        return {}
    written = (change.recorded_at, change.id)
    before = [one for one in group if one.kind != "void" and (one.recorded_at, one.id) < written]
    stood = next(iter(effective(before)), None)
    if stood is None:
        return {}
    was: dict[str, Any] = {key: stood.body.get(key) for key in change.body.get("fields", {})}
    if "happened_at" in change.body:
        was["happened_at"] = rfc3339(stood.happened_at, space.settings.zone)
    if "place" in change.body:
        was["place"] = [stood.fix.place.lon, stood.fix.place.lat] if stood.fix else None
    return was
