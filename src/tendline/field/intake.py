"""Owns what becomes of each entry that comes in: new, known already, entered with a flag, or held.

Does not own reading messages (`wire`), the form of events or the gate (`logbook`), or keeping anything.

Nothing is dropped. What has the form of an event and does not fit the line is entered with a flag, and the
fold passes it over or warns. Held is what would harm the reading of the record: a form that no reader knows,
the id of another event, a look from the future that would stop a running deadline, a set made in the name of
one that is out there.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from tendline.core.errors import Code, Fault
from tendline.field.faults import OTHER_BODY
from tendline.field.wire import Told, same_event
from tendline.logbook.admit import CLOCK_SLACK, Gate
from tendline.logbook.bodies import body_faults
from tendline.logbook.events import Draft
from tendline.logbook.faults import (
    BEFORE_SET,
    NOT_IN_FIELD,
    SAME_INSTANT,
    TAG_TAKEN,
    TOO_OLD,
    UNKNOWN_PARCEL,
    UNKNOWN_SET,
    UNKNOWN_TAG,
)

FLAGGED: frozenset[Code] = frozenset(
    {TOO_OLD, UNKNOWN_SET, NOT_IN_FIELD, TAG_TAKEN, UNKNOWN_TAG, SAME_INSTANT, UNKNOWN_PARCEL, BEFORE_SET}
)
"""Faults with which an event of a phone is entered all the same; the fold knows what to do with it."""


PATIENCE = 20
"""How many odd entries of one message are judged again by the line as it stood when they happened."""


class Became(StrEnum):
    """What became of an entry."""

    ENTERED = "entered"
    KNOWN = "known"
    FLAGGED = "flagged"
    HELD = "held"


@dataclass(frozen=True)
class Outcome:
    """One entry and what became of it; `draft` is there for what is to be entered."""

    told: Told
    became: Became
    draft: Draft | None = None
    faults: tuple[Fault, ...] = ()
    warnings: tuple[str, ...] = ()


GateThen = Callable[[Draft], Gate]
"""Gives a gate for what an entry is about, as it stood when it happened."""


def sort_phone(
    entries: Iterable[Told], *, known: Mapping[str, Draft], gate: Gate, gate_then: GateThen
) -> list[Outcome]:
    """Sort the entries of a phone.

    Parameters
    ----------
    entries
        In the order told.
    known
        Every event on record, by id.
    gate
        For the line as it stands now; is told of what is let in.
    gate_then
        Makes one for an earlier moment: a late entry is judged by the line as it stood then.
    """
    seen: dict[str, Draft] = {}
    outcomes: list[Outcome] = []
    asked_again = 0
    for told in entries:
        outcome = _known_or_odd(told, known, seen) or _by_gate(told, gate)
        if outcome.became is Became.FLAGGED and asked_again < PATIENCE:
            asked_again += 1
            outcome = _then(outcome, gate_then)
        if outcome.draft is not None:
            seen[outcome.draft.id] = outcome.draft
            gate.let_in(outcome.draft)
        outcomes.append(outcome)
    return outcomes


def sort_logbook(entries: Iterable[Told], *, known: Mapping[str, Draft], now: datetime) -> list[Outcome]:
    """Sort the events of another logbook: union, whatever the line looks like; only the form can hold one."""
    outcomes, seen = [], dict[str, Draft]()
    for told in entries:
        outcome = _known_or_odd(told, known, seen)
        if outcome is None:
            draft = _draft_of(told)
            faults = body_faults(draft.kind, draft.body, has_place=draft.fix is not None, where=draft.id)
            early = draft.happened_at > now + CLOCK_SLACK
            warned = (f"{draft.kind} {draft.id} has not happened yet by this clock.",) if early else ()
            became = Became.HELD if faults else Became.ENTERED
            outcome = Outcome(told, became, None if faults else draft, tuple(faults), warned)
        if outcome.draft is not None:
            seen[outcome.draft.id] = outcome.draft
        outcomes.append(outcome)
    return outcomes


def _known_or_odd(told: Told, known: Mapping[str, Draft], seen: Mapping[str, Draft]) -> Outcome | None:
    if told.draft is None:
        return Outcome(told, Became.HELD, faults=told.faults)
    first = known.get(told.draft.id) or seen.get(told.draft.id)
    if first is None:
        return None
    if same_event(first, told.draft):
        return Outcome(told, Became.KNOWN)
    what = f"event {first.id} is on record as a {first.kind} of {first.happened_at:%Y-%m-%d %H:%M} UTC."
    fault = Fault(OTHER_BODY, what, told.id, "The first one stays. If this one is true, note a correction.")
    return Outcome(told, Became.HELD, faults=(fault,))


def _by_gate(told: Told, gate: Gate) -> Outcome:
    draft = _draft_of(told)
    faults = tuple(gate.faults(draft, draft.id))
    if not faults:
        return Outcome(told, Became.ENTERED, draft, (), tuple(gate.warnings(draft)))
    if all(fault.code in FLAGGED for fault in faults):
        return Outcome(told, Became.FLAGGED, draft, faults)
    return Outcome(told, Became.HELD, faults=faults)


def _then(flagged: Outcome, gate_then: GateThen) -> Outcome:
    """Ask again about the line as it stood when it happened; the milder answer counts."""
    draft = _draft_of(flagged.told)
    if gate_then(draft).faults(draft, draft.id):
        return flagged
    return Outcome(flagged.told, Became.ENTERED, draft)


def _draft_of(told: Told) -> Draft:
    assert told.draft is not None, "an entry without a draft is held before"
    return told.draft
