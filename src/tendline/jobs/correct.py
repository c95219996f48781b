"""Owns the job `tendline note correction`: an earlier event was wrong, and this is how it really was.

Does not own how corrections are applied (`logbook.corrected`).
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tendline.core.errors import refuse
from tendline.core.place import Fix
from tendline.core.when import rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.event_words import find_event
from tendline.jobs.faults import WORD
from tendline.jobs.note import judge, kept_answer, when_happened
from tendline.jobs.words_in import field_value, option_name, place_value
from tendline.jobs.workspace import Workspace
from tendline.logbook.events import Event
from tendline.logbook.kinds import KINDS


def correct(
    space: Workspace,
    identity: str,
    *,
    changes: Mapping[str, str],
    happened_at: str | None = None,
    place: str | None = None,
    why: str,
    by: str = "",
    as_id: str = "",
) -> Answer:
    """Record that an earlier event was wrong; the old values stay on record.

    Parameters
    ----------
    space
        The opened line.
    identity
        The event's id, or six or more characters that begin or end it.
    changes
        New values as written, by field or option name; ``none`` takes a value away.
    happened_at, place
        When and where it really was, as written.
    why
        The reason.
    by
        Who says so.
    as_id
        The id to give the correction, as `note.note` takes it.

    Raises
    ------
    Refused
        JOB-301, JOB-302, LOG-xxx.
    """
    with space.store() as store, store.transaction():
        events = store.events()
        if before := [event for event in events if event.id == as_id]:
            return kept_answer(space, before, [])
        target = find_event(identity, events)
        body: dict[str, Any] = {"of": target.id, "why": why}
        fields = dict(_change(space, target, key, text) for key, text in changes.items())
        if fields:
            body["fields"] = fields
        if happened_at is not None:
            body["happened_at"] = rfc3339(when_happened(space, happened_at))
        if place is not None:
            body["place"] = _place_text(place_value(place, where="--place"))
        if len(body) == 2:
            raise refuse(
                WORD, "nothing is corrected.", identity, "Give --set FIELD=VALUE, --happened-at or --place."
            )
        draft = space.draft("correction", body, by=by)
        draft = replace(draft, id=as_id) if as_id else draft
        judge(space, [draft], events)
        kept = store.append([draft])
    return kept_answer(space, kept, [])


def _place_text(fix: Fix) -> str:
    accuracy = "" if fix.accuracy_m is None else f",{fix.accuracy_m!r}"
    return f"{fix.place.lon!r},{fix.place.lat!r}{accuracy}"


def _change(space: Workspace, target: Event, key: str, text: str) -> tuple[str, Any]:
    kind = KINDS[target.kind]
    field = next(
        (f for f in kind.fields if key in (f.name, option_name(f), option_name(f).replace("-", "_"))), None
    )
    if field is None:
        names = ", ".join(option_name(f) for f in kind.fields)
        raise refuse(WORD, f"a {target.kind} has no field '{key}'.", "--set", f"Fields: {names}.")
    if text.lower() == "none":
        return field.name, None
    return field.name, field_value(field, text, zone=space.settings.zone, now=space.now)
