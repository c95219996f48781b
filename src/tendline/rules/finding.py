"""Owns what the law says of one thing under one rule, and in which order findings are told.

Does not own how it comes about (`rules.judge`) or how it is printed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from tendline.core.source import Citation, Status
from tendline.rules.nouns import Subject


class Holds(StrEnum):
    """What a finding comes to."""

    PROHIBITED = "prohibited outright"
    FAIL = "fail"
    OVERDUE = "overdue since"
    CLOSE = "too close to call"
    NOT_VERIFIED = "not verified"
    DUE = "due at"
    ADVISORY = "advisory"
    PASS = "pass"  # noqa: S105  no password
    NOT_APPLICABLE = "not applicable"


WRONG = (Holds.PROHIBITED, Holds.FAIL, Holds.OVERDUE)
"""What is wrong."""

OPEN = (Holds.CLOSE, Holds.NOT_VERIFIED)
"""What cannot be told."""


@dataclass(frozen=True)
class Shown:
    """A value beside its limit.

    Parameters
    ----------
    value
        Best value, SI.
    low, high
        Bounds of the truth, SI.
    unit
        The law's own.
    value_words, limit_words
        Both in the law's unit, for people.
    margin
        How far inside the limit, in the law's unit; negative is outside. Of two limits, the nearer one.
    """

    value: float
    low: float
    high: float
    unit: str
    value_words: str
    limit_words: str
    margin: float


@dataclass(frozen=True)
class Finding:
    """What the law says of one thing under one rule.

    Parameters
    ----------
    rule, topic, kinds
        Id of the rule, its table, and the kinds of rule it is an example of.
    subject, name
        What it is about, and which one.
    holds
        The answer.
    verified
        The person has confirmed the profile for this season and nothing is open. False is never "allowed".
    words
        The rule in one plain sentence.
    shown
        Value, limit and margin; None where nothing is measured.
    due_at
        By when, for what is due, overdue, or must end; None where there is no number.
    probability
        Chance of being on the right side of a limit, where position error decides.
    said
        What must be told with it, in plain sentences.
    confirm
        What the person can do so that the answer holds.
    citations
        Where it was read; the first is the one it rests on.
    day
        The day it was judged for.
    """

    rule: str
    topic: str
    kinds: tuple[int, ...]
    subject: Subject
    name: str
    holds: Holds
    verified: bool
    words: str
    day: date
    shown: Shown | None = None
    due_at: datetime | None = None
    probability: float | None = None
    said: tuple[str, ...] = ()
    confirm: tuple[str, ...] = ()
    citations: tuple[Citation, ...] = ()

    @property
    def citation(self) -> Citation | None:
        """The source the answer rests on."""
        return self.citations[0] if self.citations else None

    @property
    def status(self) -> Status:
        """How surely the rule is known."""
        return self.citations[0].status if self.citations else Status.UNKNOWN


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Put findings in the order to tell them: wrong, cannot be told, due, then the rest."""
    order = {holds: place for place, holds in enumerate(Holds)}
    return tuple(sorted(findings, key=lambda f: (order[f.holds], _by_time(f), f.subject, f.name, f.rule)))


def first_things_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Put the duties of a catch in the order of doing: those without a number first, then by their hour."""
    duties = (f for f in findings if f.holds in (Holds.DUE, Holds.OVERDUE))
    return tuple(sorted(duties, key=lambda f: (_by_time(f), f.topic, f.rule)))


def _by_time(finding: Finding) -> float:
    return finding.due_at.timestamp() if finding.due_at is not None else 0.0
