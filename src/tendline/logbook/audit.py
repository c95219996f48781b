"""Owns the judgement on a logbook's health: hash chains, readable events, the ledger of devices.

Does not own opening it (`store`), nor mending it: a damaged record is kept as it is.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from tendline.core.errors import Damaged, Fault
from tendline.core.line import DeviceState, LineState
from tendline.logbook.events import Event, canonical, digest
from tendline.logbook.faults import DAMAGED_CHAIN
from tendline.logbook.rows import event_from


@dataclass(frozen=True)
class ChainReport:
    """What the chains of a logbook say.

    Parameters
    ----------
    events
        Those that can be read, in the order of writing.
    faults
        LOG-502 and LOG-503, one for each event that is altered, unreadable or out of the chain.
    whole
        Number of events that are as they were written.
    chains
        Number of events by machine or phone.
    """

    events: tuple[Event, ...]
    faults: tuple[Fault, ...]
    whole: int
    chains: dict[str, int]


def check_chains(rows: Sequence[tuple[Any, ...]]) -> ChainReport:
    """Read raw rows and follow every chain.

    Parameters
    ----------
    rows
        As `Store.raw_rows` gives them.
    """
    heads: dict[str, str] = {}
    events: list[Event] = []
    faults: list[Fault] = []
    whole = 0
    chains: Counter[str] = Counter()
    for row in rows:
        try:
            event = event_from(row)
        except Damaged as problem:
            faults += problem.faults
            heads[row[6]] = row[12]
            continue
        events.append(event)
        chains[event.via] += 1
        found = _chain_faults(event, heads.get(event.via, ""))
        heads[event.via] = event.hash
        faults += found
        whole += not found
    return ChainReport(tuple(events), tuple(faults), whole, dict(chains))


def ledger(line: LineState) -> dict[DeviceState, int]:
    """Count the tagged devices by where they are; their sum is the number built."""
    count = Counter(device.state for device in line.devices.values())
    return {state: count.get(state, 0) for state in DeviceState}


def untagged_sets(line: LineState) -> tuple[str, ...]:
    """Name the sets in the field whose device has no tag on record."""
    return tuple(one.name for one in line.in_field if one.tag is None)


def _chain_faults(event: Event, head: str) -> Iterable[Fault]:
    where = f"event {event.id} ({event.kind}, via {event.via})"
    keep = "Keep the file as it is; compare with a copy, or with paper."
    found = []
    if event.prev != head:
        found.append(Fault(DAMAGED_CHAIN, "the event before it is missing or was altered.", where, keep))
    if digest(canonical(event, event.prev)) != event.hash:
        found.append(Fault(DAMAGED_CHAIN, "it was altered after it was written.", where, keep))
    return found
