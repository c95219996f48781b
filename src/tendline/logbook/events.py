"""Owns the shape of an event, its canonical text, and the hash that chains it to the one before.

Does not own what the body of a kind may hold (`kinds`), nor where events are kept (`store`).
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from tendline.core.place import Fix

Body = Mapping[str, Any]


@dataclass(frozen=True)
class Draft:
    """An event before the store has chained it.

    Parameters
    ----------
    id
        UUID of version 7.
    kind, version
        What it is, and the version of its body.
    happened_at, recorded_at
        Aware UTC; when it took place, and when it was written down.
    by
        Who says so.
    via
        Which machine or phone wrote it down; hash chains run per `via`.
    fix
        Where, and how well measured; None when no place was taken.
    body
        Plain values that JSON can hold; SI units, `_m`, `_s`, `_kg`, `_c` at the end of a name say which.
    """

    id: str
    kind: str
    version: int
    happened_at: datetime
    recorded_at: datetime
    by: str
    via: str
    fix: Fix | None
    body: Body


@dataclass(frozen=True)
class Event(Draft):
    """An event as kept; `prev` is the hash of the one before it from the same `via`, empty for the first."""

    prev: str
    hash: str


def canonical(draft: Draft, prev: str) -> str:
    """Give the one text of an event that its hash is taken over: JSON, keys sorted, no spaces, UTC."""
    place = None
    if draft.fix is not None:
        place = [draft.fix.place.lon, draft.fix.place.lat, draft.fix.accuracy_m]
    return json.dumps(
        {
            "id": draft.id,
            "kind": draft.kind,
            "version": draft.version,
            "happened_at": instant_text(draft.happened_at),
            "recorded_at": instant_text(draft.recorded_at),
            "by": draft.by,
            "via": draft.via,
            "place": place,
            "body": draft.body,
            "prev": prev,
        },
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
        allow_nan=False,
    )


def chain(draft: Draft, prev: str) -> Event:
    """Bind a draft to the event before it.

    Parameters
    ----------
    draft
        What is to be kept.
    prev
        Hash of the last event from the same `via`; empty for the first.
    """
    return Event(**vars(draft), prev=prev, hash=digest(canonical(draft, prev)))


def digest(text: str) -> str:
    """Give the SHA-256 of a text, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def instant_text(instant: datetime) -> str:
    """Write an instant as the store keeps it: UTC, microseconds, one length, so that text sorts by time."""
    return instant.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def instant_from(text: str) -> datetime:
    """Read an instant as `instant_text` writes it.

    Raises
    ------
    ValueError
        When it is anything else.
    """
    return datetime.fromisoformat(text)
