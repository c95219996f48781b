"""Owns the job `tendline note list`: what is on record, corrections and voids shown beside what they change.

Does not own the state that follows from it.
"""

from collections import defaultdict
from typing import Any

from tendline.core.when import clock_text
from tendline.jobs.answer import Answer
from tendline.jobs.event_words import event_data
from tendline.jobs.workspace import Workspace
from tendline.logbook.events import Event
from tendline.logbook.kinds import KINDS


def history(
    space: Workspace, *, about: str | None = None, kind: str | None = None, last: int | None = None
) -> Answer:
    """List events in order of time, newest last.

    Parameters
    ----------
    space
        The opened line.
    about
        Only events that name this set, tag, parcel or parking.
    kind
        Only this kind.
    last
        Only so many, the newest.
    """
    events = space.events()
    changes: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if event.kind in ("correction", "void"):
            changes[event.body["of"]].append(event)
    shown = sorted(
        (e for e in events if e.kind not in ("correction", "void") and _answers_to(e, about, kind)),
        key=lambda e: (e.happened_at, e.id),
    )
    shown = shown[-last:] if last is not None else shown
    lines: list[str] = []
    data: list[dict[str, Any]] = []
    for event in shown:
        lines.append(_line(event, space))
        lines += [f"    {change.kind}: {_words(change)}  [{change.id}]" for change in changes[event.id]]
        data.append(
            {**event_data(event, space), "changes": [event_data(c, space) for c in changes[event.id]]}
        )
    return Answer("\n".join(lines) or "Nothing is on record.", {"events": data})


def _answers_to(event: Event, about: str | None, kind: str | None) -> bool:
    if kind is not None and event.kind != kind:
        return False
    if about is None:
        return True
    named = {str(event.body.get(key, "")).lower() for key in ("set", "tag", "name", "parcel")}
    return about.lower() in named


def _line(event: Event, space: Workspace) -> str:
    subject = str(event.body.get(KINDS[event.kind].subject, ""))
    when = clock_text(event.happened_at, space.settings.zone)
    return f"{when}  {event.kind} {subject}  {_words(event)}  [{event.id}]"


def _words(event: Event) -> str:
    skipped = {"set", "tag", "name", "of", "outline", "source"}
    return ", ".join(
        f"{key.replace('_', ' ')} {value}" for key, value in event.body.items() if key not in skipped
    )
