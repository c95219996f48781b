"""Owns the messages of a phone: how one is read, whatever version of the page wrote it.

Does not own whether an event fits the line (`intake`) or the round as it goes out (`carry`).

A message is one JSON document, the same over the air and as a file:

    {"tendline": "phone-events", "version": 1, "via": "phone-3f9a", "sent_at": "2027-01-12T11:02:09.120Z",
     "app": "1", "events": [{"id": ..., "kind": ..., "version": 1, "happened_at": ..., "recorded_at": ...,
     "by": ..., "place": [lon, lat, accuracy_m] or null, "body": {...}}]}

A version that has shipped is read for ever: `wire/fixtures` holds one message of each.
"""

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from tendline.core.errors import Fault, Refused, TendlineError, refuse
from tendline.core.ids import is_short_name
from tendline.core.place import Fix, LonLat
from tendline.field.faults import NO_EVENT, NOT_JSON, NOT_MESSAGE, TOO_MUCH
from tendline.logbook.events import Draft

MARK = "phone-events"
"""What the key ``tendline`` of a message says."""
VERSIONS = (1,)
"""Every version that has shipped."""
MAX_EVENTS = 500
"""Most events of one message over the air; a file may hold more."""
MAX_EVENT_CHARACTERS = 32_000
"""Longest event, as JSON."""
MAX_DEPTH = 12
"""Deepest nesting inside an event: the outline of a parcel needs five."""

_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_KIND = re.compile(r"[a-z]{1,20}(-[a-z]{1,20}){0,3}")
_VIA = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9.-]{0,38}[A-Za-z0-9])?")
_UNFIT = re.compile("[\ud800-\udfff\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
"""Half a letter, which no text outside can hold, and signs that steer a terminal when they are printed."""
_LARGEST = 2**53
"""Whole numbers up to this one mean the same to every reader of JSON."""


@dataclass(frozen=True)
class Told:
    """One entry of a message.

    Parameters
    ----------
    id
        The id it gives itself; empty when it gives none that can be one.
    raw
        As it came, JSON in ASCII with sorted keys.
    via
        The phone or machine it came from.
    draft
        The event; None when it cannot be read as one.
    faults
        Why not.
    """

    id: str
    raw: str
    via: str
    draft: Draft | None
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Message:
    """A phone's message.

    Parameters
    ----------
    via
        The phone's name as it gives it.
    sent_at
        Its clock when it was sent; None when not told.
    entries
        In the order told.
    """

    via: str
    sent_at: datetime | None
    entries: tuple[Told, ...]


def read_message(
    content: bytes, *, via: str | None = None, most: int | None = MAX_EVENTS, where: str = "message"
) -> Message:
    """Read a phone's message.

    Parameters
    ----------
    content
        The JSON document, UTF-8.
    via
        The phone it surely came from; None to believe the message.
    most
        Most events it may hold; None for any number.
    where
        What to point at.

    Raises
    ------
    Refused
        FLD-101 to FLD-103: the message as a whole cannot be read. One entry that cannot be is no reason.
    """
    found = _json(content, where)
    if not isinstance(found, dict) or found.get("tendline") != MARK:
        do = "Take the file that the page saved, as it is."
        raise refuse(NOT_MESSAGE, "this is no message of a phone.", where, do)
    if found.get("version") not in VERSIONS or isinstance(found.get("version"), bool):
        do = f"Versions {', '.join(map(str, VERSIONS))} are known. Keep the file; use a newer tendline."
        raise refuse(NOT_MESSAGE, f"its version {str(found.get('version'))[:40]!r} is not known.", where, do)
    events, said = found.get("events"), found.get("via")
    if not isinstance(events, list):
        raise refuse(NOT_MESSAGE, "it has no list of events.", where, "Take the file that the page saved.")
    if most is not None and len(events) > most:
        raise refuse(TOO_MUCH, f"{len(events)} events; {most} is the most.", where, "Send them in parts.")
    name = via if via is not None else (said if isinstance(said, str) and _VIA.fullmatch(said) else "")
    if not name:
        raise refuse(NOT_MESSAGE, "it does not say which phone it is from.", where, 'It needs "via".')
    try:
        sent = _instant(found.get("sent_at"), "sent_at")
    except Refused:
        sent = None
    return Message(name, sent, tuple(read_entry(entry, via=name) for entry in events))


def read_entry(entry: Any, *, via: str) -> Told:
    """Read one entry of a message; never refuses, so that nothing a phone says is lost."""
    raw = json.dumps(entry, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    identity = entry.get("id") if isinstance(entry, dict) else None
    name = identity if isinstance(identity, str) and _ID.fullmatch(identity) else ""
    if len(raw) > MAX_EVENT_CHARACTERS:
        what = f"an event of {len(raw)} characters; {MAX_EVENT_CHARACTERS} is the most."
        return Told(name, raw, via, None, (Fault(TOO_MUCH, what, name, "Note it by hand, shorter."),))
    try:
        return Told(name, raw, via, _draft(entry, name, via))
    except TendlineError as problem:
        return Told(name, raw, via, None, problem.faults)


def _json(content: bytes, where: str) -> Any:
    try:
        return json.loads(content.decode("utf-8-sig"), parse_constant=_no_constant)
    except (ValueError, RecursionError) as problem:
        what = "it is nested too deeply" if isinstance(problem, RecursionError) else str(problem)[:120]
        do = "Take the file as it was saved."
        raise refuse(NOT_JSON, f"it cannot be read ({what}).", where, do) from None


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _draft(entry: Any, identity: str, via: str) -> Draft:
    if not isinstance(entry, dict):
        raise _odd("", "it is no object")
    if not identity:
        raise _odd("id", "it is no UUID of version 7")
    kind, version, by, body = (entry.get(key) for key in ("kind", "version", "by", "body"))
    if not isinstance(kind, str) or not _KIND.fullmatch(kind):
        raise _odd("kind", "it is no kind of event")
    if not isinstance(version, int) or isinstance(version, bool) or not 1 <= version <= 99:
        raise _odd("version", "it is no version")
    if not isinstance(by, str) or not 0 < len(by.strip()) <= 80:
        raise _odd("by", "it is no name of up to 80 characters")
    if not isinstance(body, dict):
        raise _odd("body", "it is no object")
    _check_plain(entry, MAX_DEPTH)
    return Draft(
        id=identity,
        kind=kind,
        version=version,
        happened_at=_instant(entry.get("happened_at"), "happened_at"),
        recorded_at=_instant(entry.get("recorded_at"), "recorded_at"),
        by=by.strip(),
        via=via,
        fix=_fix(entry.get("place")),
        body=body,
    )


def _check_plain(value: Any, depth: int) -> None:
    """Refuse what other readers of JSON, the database or the hash cannot hold."""
    if depth == 0:
        raise _odd("", "it is nested too deeply")
    if isinstance(value, str):
        if _UNFIT.search(value):
            raise _odd("", "a text holds a sign that is no letter")
    elif isinstance(value, int | float):
        if abs(value) > _LARGEST or not math.isfinite(value):
            raise _odd("", "a number is too large")
    elif isinstance(value, Mapping):
        for key, each in value.items():
            _check_plain(key, depth - 1)
            _check_plain(each, depth - 1)
    elif isinstance(value, list):
        for each in value:
            _check_plain(each, depth - 1)


def _instant(text: Any, key: str) -> datetime:
    try:
        stamp = datetime.fromisoformat(text)
        if stamp.tzinfo is None or not 1901 <= stamp.year <= 2198:
            raise ValueError
    except (TypeError, ValueError):
        raise _odd(key, f"{str(text)[:40]!r} is no time with an offset") from None
    return stamp.astimezone(UTC)


def _fix(place: Any) -> Fix | None:
    if place is None:
        return None
    if not isinstance(place, list) or len(place) not in (2, 3):
        raise _odd("place", "it is not [longitude, latitude, accuracy]")
    lon, lat, accuracy = (*place, None)[:3]
    if not all(_number(part) for part in (lon, lat)) or not (accuracy is None or _number(accuracy)):
        raise _odd("place", "it is not made of numbers")
    if accuracy is not None and not 0 <= accuracy <= 1e6:
        raise _odd("place", "its accuracy is no distance")
    return Fix(LonLat(float(lon), float(lat)), None if accuracy is None else float(accuracy))


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _odd(key: str, what: str) -> Refused:
    said = f"'{key}': {what}." if key else f"{what}."
    return refuse(NO_EVENT, said, "", "It is kept as it came; look at it, and note it by hand if it is true.")


def same_event(one: Draft, other: Draft) -> bool:
    """Say whether two drafts of one id tell the same; which phone passed it on does not matter."""
    return _told(one) == _told(other)


def _told(draft: Draft) -> tuple[Any, ...]:
    body = json.dumps(draft.body, sort_keys=True)
    return (draft.kind, draft.version, draft.happened_at, draft.recorded_at, draft.by, draft.fix, body)


def well_named(name: str) -> bool:
    """Say whether a name can be one of a phone or machine, as hash chains run under it."""
    return bool(_VIA.fullmatch(name)) or is_short_name(name)
