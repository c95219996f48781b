"""Owns what the events say once corrections and voids are applied; nothing is erased by either.

Does not own the state of the line that follows: that is `fold`.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from tendline.core.place import Fix, LonLat
from tendline.logbook.events import Event, instant_from

FOUNDATIONS = frozenset({"parcel", "device-built", "device-rebuilt", "parts-received", "stock-count"})
"""Kinds that others of the same instant lean on."""


@dataclass(frozen=True)
class Effective:
    """An event as it stands now.

    Parameters
    ----------
    event
        As first recorded.
    happened_at, fix, body
        After every correction known.
    corrected_by
        Ids of the corrections, in the order they were applied.
    """

    event: Event
    happened_at: datetime
    fix: Fix | None
    body: Mapping[str, Any]
    corrected_by: tuple[str, ...] = ()


def effective(events: Iterable[Event], *, known_at: datetime | None = None) -> list[Effective]:
    """Apply corrections and voids, and sort by when things happened.

    The result does not depend on the order in which the events are handed in, so two logbooks merged either
    way say the same.

    Parameters
    ----------
    events
        Any events, each id once.
    known_at
        Leave out what was recorded later than this; None for everything.

    Returns
    -------
    list of Effective
        Without corrections, voids and voided events; sorted by when they happened. At one instant what later
        events lean on (`FOUNDATIONS`) comes first, then what was recorded first.
    """
    known = [e for e in events if known_at is None or e.recorded_at <= known_at]
    gone = voided(known)
    corrections: dict[str, list[Event]] = defaultdict(list)
    for event in known:
        if event.kind == "correction" and event.id not in gone:
            corrections[event.body["of"]].append(event)
    standing = [
        _corrected(event, corrections[event.id]) if event.id in corrections else _as_told(event)
        for event in known
        if event.kind not in ("correction", "void") and event.id not in gone
    ]
    standing.sort(
        key=lambda e: (e.happened_at, e.event.kind not in FOUNDATIONS, e.event.recorded_at, e.event.id)
    )
    return standing


def voided(events: Iterable[Event]) -> set[str]:
    """Find the ids that are void; a void that is itself void does nothing."""
    by_target: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if event.kind == "void":
            by_target[event.body["of"]].append(event)
    settled: dict[str, bool] = {}

    def is_void(identity: str, asking: frozenset[str]) -> bool:
        if identity not in settled:
            voids = [v for v in by_target.get(identity, ()) if v.id not in asking]
            settled[identity] = any(not is_void(v.id, asking | {v.id}) for v in voids)
        return settled[identity]

    return {identity for identity in by_target if is_void(identity, frozenset({identity}))}


def _as_told(event: Event) -> Effective:
    return Effective(event, event.happened_at, event.fix, event.body)


def _corrected(event: Event, corrections: Iterable[Event]) -> Effective:
    standing = _as_told(event)
    for correction in sorted(corrections, key=lambda c: (c.recorded_at, c.id)):
        standing = _apply(standing, correction)
    return standing


def _apply(standing: Effective, correction: Event) -> Effective:
    change = correction.body
    body = {**standing.body, **change.get("fields", {})}
    fix = standing.fix
    if "place" in change:
        lon, lat, *accuracy = (float(part) for part in change["place"].split(","))
        fix = Fix(LonLat(lon, lat), accuracy[0] if accuracy else None)
    return replace(
        standing,
        body={key: value for key, value in body.items() if value is not None},
        fix=fix,
        happened_at=instant_from(change["happened_at"]) if "happened_at" in change else standing.happened_at,
        corrected_by=(*standing.corrected_by, correction.id),
    )
