"""Owns the shape of a message that was kept although something about it is odd.

Does not own what is odd (`field.intake`) or the table it is kept in (`store`).
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from tendline.logbook.events import digest


class Stands(StrEnum):
    """What became of an odd message."""

    ENTERED = "entered"
    """It is an event on record, with a flag: the line as it stands does not fit it."""
    HELD = "held"
    """It is kept word for word, but counts for nothing until a person has settled it."""


@dataclass(frozen=True)
class OddMessage:
    """One odd message.

    Parameters
    ----------
    id
        The id it gave itself; may be empty.
    via
        The phone or machine it came from.
    received_at
        As `instant_text` writes it.
    stands
        Entered with a flag, or held.
    told
        The message as it came, JSON in ASCII.
    faults
        What is odd: code, what, what to do.
    """

    id: str
    via: str
    received_at: str
    stands: Stands
    told: str
    faults: Sequence[tuple[str, str, str]]

    def row(self) -> tuple[str, ...]:
        """Give the values in the order of the table."""
        faults = json.dumps([list(fault) for fault in self.faults], ensure_ascii=True)
        return (self.id, digest(self.told), self.via, self.received_at, self.stands.value, self.told, faults)

    @classmethod
    def from_row(cls, row: Sequence[Any]) -> "OddMessage":
        """Read the values of one row."""
        identity, _, via, received_at, stands, told, faults = row
        found = tuple((code, what, do) for code, what, do in json.loads(faults))
        return cls(identity, via, received_at, Stands(stands), told, found)
