"""Owns taking entries from outside into the logbook: entered or held, in one transaction, exactly once.

Does not own where they came from: `take` reads files and folders, `desk` answers phones.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from tendline.field.faults import OTHER_BODY
from tendline.field.intake import Became, Outcome, sort_phone
from tendline.field.wire import Told, read_entry, same_event
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import Gate
from tendline.logbook.events import Draft, Event, instant_text
from tendline.logbook.faults import UNKNOWN_EVENT
from tendline.logbook.fold import line_at
from tendline.logbook.odd import OddMessage, Stands
from tendline.logbook.store import Store


@dataclass
class Record:
    """Every event on record, kept between messages and brought up to date from the logbook.

    Parameters
    ----------
    events
        In the order of writing.
    by_id
        The same, by id.
    seq
        The newest row read.
    gate
        Judges by the line as these events make it; None when it has to be made (again).
    """

    events: list[Event] = field(default_factory=list)
    by_id: dict[str, Draft] = field(default_factory=dict)
    seq: int = 0
    gate: Gate | None = None

    def catch_up(self, store: Store) -> None:
        """Read what was written since; call inside a transaction, so that nobody writes meanwhile."""
        if self._read(store):
            self.gate = None

    def own(self, store: Store, kept: Sequence[Event]) -> None:
        """Add what was just written here, in the same transaction, and let in by the gate itself."""
        self.seq = store.newest()
        self._add(kept)
        if any(event.kind in _TURNS for event in kept):
            self.gate = None

    def forget(self) -> None:
        """Read everything again next time: what was written was not kept."""
        self.events, self.by_id, self.seq, self.gate = [], {}, 0, None

    def about(self, name: str) -> list[Event]:
        """Give the events of one set, with every correction: what a look at it is judged by."""
        return [e for e in self.events if e.body.get("set") == name or e.kind in ("correction", "void")]

    def _read(self, store: Store) -> Sequence[Event]:
        self.seq, new = store.events_after(self.seq)
        self._add(new)
        return new

    def _add(self, new: Sequence[Event]) -> None:
        self.events.extend(new)
        self.by_id.update((event.id, event) for event in new)


_TURNS = frozenset({"correction", "void", "found"})
"""Kinds that can change what a gate has learnt before."""


@dataclass(frozen=True)
class Taken:
    """What one message or file came to; `outcomes` in the order told, `freed` were held before."""

    outcomes: tuple[Outcome, ...]
    freed: tuple[Outcome, ...] = ()

    def count(self, became: Became) -> int:
        """Count what became that."""
        return sum(outcome.became is became for outcome in self.outcomes)


Sort = Callable[[Sequence[Told]], list[Outcome]]


def take_phone(space: Workspace, entries: Sequence[Told], *, record: Record | None = None) -> Taken:
    """Take in what a phone tells; every entry ends on record, or is held word for word.

    Parameters
    ----------
    space
        The opened line.
    entries
        As `wire.read_message` gives them.
    record
        What was read before, to spare reading it again; None to read it all.
    """
    record = record if record is not None else Record()
    try:
        with space.store() as store, store.transaction():
            record.catch_up(store)
            sort = _phone_sorter(space, record)
            outcomes = sort(entries)
            kept = _keep(store, outcomes, now=space.now)
            freed = _free(store, sort, {o.draft.id for o in outcomes if o.draft is not None})
            record.own(store, [*kept, *_keep(store, freed, now=space.now)])
    except BaseException:
        record.forget()
        raise
    return Taken(tuple(outcomes), tuple(freed))


def take_sorted(
    space: Workspace, store: Store, entries: Iterable[Told], sort: Callable[..., list[Outcome]]
) -> Taken:
    """Take in entries sorted in a way of their own; call inside a transaction of `store`."""
    record = Record()
    record.catch_up(store)
    outcomes = sort(entries, known=record.by_id, now=space.now)
    _keep(store, outcomes, now=space.now)
    return Taken(tuple(outcomes))


def _phone_sorter(space: Workspace, record: Record) -> Sort:
    now = space.now

    def gate_then(draft: Draft) -> Gate:
        about = record.about(str(draft.body.get("set", "")))
        return Gate(line_at(about, at=draft.happened_at), about, now=now)

    if record.gate is None:
        record.gate = Gate(line_at(record.events, at=now), record.events, now=now)
    gate = record.gate
    gate.now = now
    return lambda entries: sort_phone(entries, known=record.by_id, gate=gate, gate_then=gate_then)


def _keep(store: Store, outcomes: Sequence[Outcome], *, now: datetime) -> Sequence[Event]:
    kept = store.append(outcome.draft for outcome in outcomes if outcome.draft is not None)
    for outcome in outcomes:
        if outcome.became in (Became.FLAGGED, Became.HELD):
            store.keep_odd(_odd_message(outcome, now))
    return kept


def _odd_message(outcome: Outcome, now: datetime) -> OddMessage:
    return OddMessage(
        id=outcome.told.id,
        via=outcome.told.via,
        received_at=instant_text(now),
        stands=Stands.ENTERED if outcome.became is Became.FLAGGED else Stands.HELD,
        told=outcome.told.raw,
        faults=tuple((fault.code.id, fault.what, fault.do) for fault in outcome.faults),
    )


def _free(store: Store, sort: Sort, entered: set[str]) -> list[Outcome]:
    """Find what was held only because what it points at had not come yet, and has come now."""
    if not entered:
        return []
    waiting = [
        read_entry(json.loads(odd.told), via=odd.via)
        for odd in store.odd()
        if odd.stands is Stands.HELD and all(code == UNKNOWN_EVENT.id for code, _, _ in odd.faults)
    ]
    due = [told for told in waiting if told.draft is not None and told.draft.body.get("of") in entered]
    return [outcome for outcome in sort(due) if outcome.draft is not None]


def still_odd(odd: Iterable[OddMessage], known: Mapping[str, Draft]) -> list[OddMessage]:
    """Give what a person should look at: flags, and what is held and has not been entered since."""
    return [one for one in odd if one.stands is Stands.ENTERED or not _settled(one, known)]


def _settled(one: OddMessage, known: Mapping[str, Draft]) -> bool:
    told = read_entry(json.loads(one.told), via=one.via)
    first = known.get(one.id)
    return first is not None and told.draft is not None and same_event(first, told.draft)


def odd_data(one: OddMessage) -> dict[str, Any]:
    """Give an odd message as JSON can hold it."""
    return {
        "id": one.id,
        "via": one.via,
        "received_at": one.received_at,
        "stands": one.stands.value,
        "faults": [{"code": code, "what": what, "do": do} for code, what, do in one.faults],
        "told": json.loads(one.told),
    }


def taken_data(taken: Taken) -> dict[str, Any]:
    """Give what a message came to as JSON can hold it."""
    odd = [o for o in (*taken.outcomes, *taken.freed) if o.became in (Became.FLAGGED, Became.HELD)]
    return {
        **{became.value: taken.count(became) for became in Became},
        "freed": len(taken.freed),
        "conflicts": [o.told.id for o in odd if any(f.code is OTHER_BODY for f in o.faults)],
        "odd": [
            {
                "id": outcome.told.id,
                "became": outcome.became.value,
                "faults": [{"code": f.code.id, "what": f.what, "do": f.do} for f in outcome.faults],
            }
            for outcome in odd
        ],
        "warnings": sorted({warning for outcome in taken.outcomes for warning in outcome.warnings}),
    }


def taken_text(taken: Taken) -> str:
    """Say what a message came to."""
    count = Counter(outcome.became for outcome in taken.outcomes)
    entered = count[Became.ENTERED] + count[Became.FLAGGED]
    lines = [f"{entered} entered, {count[Became.KNOWN]} known already, {count[Became.HELD]} held."]
    for outcome in taken.outcomes:
        if outcome.became in (Became.FLAGGED, Became.HELD):
            lines += [f"{outcome.became.value}: {fault}" for fault in outcome.faults]
    if taken.freed:
        lines.append(f"{len(taken.freed)} that were held before are entered now.")
    return "\n".join(lines)
