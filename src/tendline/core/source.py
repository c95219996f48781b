"""Owns where a thing is known from: how surely a text was seen, and the citation that says so.

Does not own what follows from it: the law is asked in `rules`.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Status(StrEnum):
    """How a value is known, surest first."""

    TEXT = "text seen"
    AGENCY = "agency page"
    SECONDARY = "secondary"
    MEMORY = "from memory"
    UNKNOWN = "unknown"
    INVENTED = "invented"

    @property
    def may_bind(self) -> bool:
        """Whether an answer may rest on it at all, once the person has confirmed the profile."""
        return self not in (Status.MEMORY, Status.UNKNOWN)


@dataclass(frozen=True)
class Citation:
    """Where a value of the law was read.

    Parameters
    ----------
    title
        Name of the law, page or notice.
    section
        The paragraph, as the source numbers it; may be empty.
    address
        Where it was read, without any promise that it still stands there.
    retrieved
        The day it was read; None when unknown.
    status
        How surely it is known.
    """

    title: str
    section: str
    address: str
    retrieved: date | None
    status: Status

    def __str__(self) -> str:
        """``Title, section (status, read 2026-11-25)``."""
        name = f"{self.title}, {self.section}" if self.section else self.title
        read = f", read {self.retrieved}" if self.retrieved else ""
        return f"{name} ({self.status.value}{read})"
