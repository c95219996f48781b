"""Owns the job `tendline note`: one event, written down by hand, checked against the line, and kept.

Does not own what an event may say (`logbook.bodies`, `logbook.admit`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from tendline.core.errors import Fault, FaultList, Refused, refuse
from tendline.core.when import clock_text, parse_instant
from tendline.core.words import Done, FoundAs, Happened, LeftAs
from tendline.jobs.answer import Answer
from tendline.jobs.event_words import event_data, find_event
from tendline.jobs.faults import WORD
from tendline.jobs.words_in import field_value, place_value
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import Gate
from tendline.logbook.board import LATE_AFTER
from tendline.logbook.catches import CAUGHT
from tendline.logbook.events import Draft, Event
from tendline.logbook.field_types import FieldType
from tendline.logbook.fold import line_at
from tendline.logbook.kinds import KINDS, Kind

CAUGHT_WORDS = frozenset(what.value for what in CAUGHT)
"""What a check says happened when an animal was held."""

ALL_FINE: Mapping[str, str] = {
    "found_as": FoundAs.WORKING,
    "what_happened": Happened.NOTHING,
    "done": Done.LOOKED,
    "left_as": LeftAs.WORKING,
}
"""The four answers of a check with nothing to tell."""


def note(
    space: Workspace,
    kind_name: str,
    *,
    subjects: Sequence[str] = (),
    given: Mapping[str, str],
    happened: str | None = None,
    place: str | None = None,
    by: str = "",
    fine: bool = False,
    identity: str = "",
) -> Answer:
    """Record one event, or one check each for several sets.

    Parameters
    ----------
    space
        The opened line.
    kind_name
        A key of `KINDS`.
    subjects
        What it is about; several only for a check.
    given
        Values as written, by field name.
    happened
        When, as written; now when left out.
    place
        Where, as written.
    by
        Who says so.
    fine
        A check with `ALL_FINE`, where nothing else was given.
    identity
        The id to give the only event, a UUID of version 7: noted twice, it is kept once; else one is made.

    Returns
    -------
    Answer
        What was written, with ids.

    Raises
    ------
    Refused
        LOG-1xx to LOG-4xx, JOB-3xx, CORE-xxx; nothing is written then.
    """
    kind = KINDS.get(kind_name)
    if kind is None:
        raise refuse(WORD, f"there is no event kind '{kind_name}'.", "", f"Kinds: {', '.join(KINDS)}.")
    if len(subjects) > 1 and kind_name != "check":
        raise refuse(WORD, f"a {kind_name} is about one thing.", " ".join(subjects), "Note them one by one.")
    when = None if happened is None else when_happened(space, happened)
    with space.store() as store, store.transaction():
        events = store.events()
        if before := [event for event in events if event.id == identity]:
            return kept_answer(space, before, [])
        body = _body(space, kind, given, events)
        if fine:
            body = {**ALL_FINE, **body}
        fix = place_value(place, where="--at-place") if place else None
        drafts = [
            space.draft(kind_name, {**body, **subject}, happened_at=when, fix=fix, by=by)
            for subject in _subjects(kind, subjects, events)
        ]
        drafts = [replace(draft, id=identity) for draft in drafts] if identity else drafts
        drafts = completed(space, drafts, events)
        warnings = judge(space, drafts, events)
        kept = store.append(drafts)
    return kept_answer(space, kept, warnings)


_USES = ("set-made", "check")
"""Events that put a device to work."""


def with_devices(space: Workspace, drafts: Sequence[Draft], events: Sequence[Event]) -> list[Draft]:
    """Put a `device-built` before the first use of a tag not on record, so that the ledger balances.

    A device that comes with the same drafts and has no day of its own was built when it was first used.
    """
    used: dict[str, datetime] = {}
    for draft in drafts:
        tag = draft.body.get("tag")
        if tag and draft.kind in _USES:
            used[tag] = min(used.get(tag, draft.happened_at), draft.happened_at)
    known = {draft.body["tag"] for draft in (*events, *drafts) if draft.kind == "device-built"}
    out: list[Draft] = []
    for draft in drafts:
        tag = draft.body.get("tag")
        if tag and tag not in known and draft.kind in _USES:
            known.add(tag)
            out.append(_built(space, draft))
        out.append(_built_in_time(draft, used, space.now))
    return out


def _built(space: Workspace, use: Draft) -> Draft:
    """Make the `device-built` of a device first met with its use."""
    body = {
        "tag": use.body["tag"],
        "note": f"first on record with {use.kind} {use.body.get('set', '')}".strip(),
    }
    if use.body.get("device_class"):
        body["device_class"] = use.body["device_class"]
    return space.draft("device-built", body, happened_at=use.happened_at, by=use.by)


def _built_in_time(draft: Draft, used: Mapping[str, datetime], now: datetime) -> Draft:
    first = used.get(draft.body.get("tag", "")) if draft.kind == "device-built" else None
    undated = draft.happened_at == now
    return replace(draft, happened_at=first) if first is not None and undated and first < now else draft


CATCH_AFTER = timedelta(hours=3)
"""A catch noted within this time after a check that found an animal is the same one."""


def completed(space: Workspace, drafts: Sequence[Draft], events: Sequence[Event]) -> list[Draft]:
    """Add what the record needs and nobody has to type: devices met first here, the check of a catch."""
    checks = [
        e for e in (*events, *drafts) if e.kind == "check" and e.body.get("what_happened") in CAUGHT_WORDS
    ]
    return with_devices(space, [_linked(draft, checks) for draft in drafts], events)


def _linked(draft: Draft, checks: Sequence[Draft]) -> Draft:
    if draft.kind != "catch" or "check" in draft.body:
        return draft
    early = draft.happened_at - CATCH_AFTER
    of_it = [
        c
        for c in checks
        if c.body.get("set") == draft.body.get("set") and early <= c.happened_at <= draft.happened_at
    ]
    if not of_it:
        return draft
    found = max(of_it, key=lambda c: c.happened_at)
    return replace(draft, body={**draft.body, "check": found.id})


def judge(space: Workspace, drafts: Sequence[Draft], events: Sequence[Event]) -> list[str]:
    """Check drafts against the line as it stood when they happened.

    Returns
    -------
    list of str
        Warnings.

    Raises
    ------
    Refused
        With every fault of every draft.
    """
    then = line_at(events, at=max(d.happened_at for d in drafts))
    gate = Gate(then, events, now=space.now, latest=line_at(events, at=space.now))
    return let_through(gate, drafts, where=_said_of)


def _said_of(draft: Draft) -> str:
    return f"{draft.kind} {draft.body.get(KINDS[draft.kind].subject, '')}".strip()


def let_through(gate: Gate, drafts: Sequence[Draft], *, where: Callable[[Draft], str]) -> list[str]:
    """Let drafts through a gate, each judged with those before it.

    Parameters
    ----------
    gate
        Judges them.
    drafts
        In order.
    where
        What to point at for each.

    Returns
    -------
    list of str
        Warnings.

    Raises
    ------
    Refused
        With every fault of every draft.
    """
    faults, warnings = FaultList(), []
    for draft in drafts:
        found = gate.faults(draft, where(draft))
        faults.extend(found)
        if not found:
            warnings += gate.warnings(draft)
            gate.let_in(draft)
    faults.refuse()
    return warnings


def when_happened(space: Workspace, happened: str) -> datetime:
    """Read when something happened, as the person wrote it."""
    return parse_instant(happened, zone=space.settings.zone, now=space.now, where="--happened")


def _subjects(kind: Kind, subjects: Sequence[str], events: Sequence[Event]) -> list[dict[str, str]]:
    if not subjects:
        return [{}]
    field = kind.field(kind.subject)
    if field is None:
        raise refuse(WORD, f"a {kind.name} takes no name.", " ".join(subjects), "Use its options only.")
    if field.type is FieldType.EVENT:
        return [{kind.subject: find_event(subject, events).id} for subject in subjects]
    return [{kind.subject: subject} for subject in subjects]


def _body(space: Workspace, kind: Kind, given: Mapping[str, str], events: Sequence[Event]) -> dict[str, Any]:
    body: dict[str, Any] = {}
    faults: list[Fault] = []
    for name, text in given.items():
        field = kind.field(name)
        if field is None:
            raise refuse(
                WORD, f"a {kind.name} has no field '{name}'.", "", "tendline note KIND --help lists them."
            )
        try:
            if field.type is FieldType.EVENT:
                body[name] = find_event(text, events).id
            elif field.type is not FieldType.FIELDS:
                body[name] = field_value(field, text, zone=space.settings.zone, now=space.now)
        except Refused as problem:
            faults += problem.faults
    if faults:
        raise Refused(*faults)
    return body


def kept_answer(space: Workspace, kept: Sequence[Event], warnings: Sequence[str]) -> Answer:
    """Say what was kept, with ids."""
    zone = space.settings.zone
    lines, data = [], []
    for event in kept:
        late = event.recorded_at - event.happened_at > LATE_AFTER
        subject = str(event.body.get(KINDS[event.kind].subject, ""))
        mark = "  written down late" if late else ""
        lines.append(
            f"Kept: {event.kind} {subject} at {clock_text(event.happened_at, zone)}{mark}  [{event.id}]"
        )
        data.append(event_data(event, space))
    return Answer("\n".join(lines), {"kept": data}, warnings=tuple(warnings))
