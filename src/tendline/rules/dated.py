"""Owns a value of the law through time: dated, cited terms, and a number with its unit as written.

Does not own what kind of value it is (`rules.shape`, `rules.needs`) or reading one (`rules.load_rules`).
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import Generic, TypeVar

from tendline.core.source import Citation, Status

T = TypeVar("T")


class Began(StrEnum):
    """What the first day of a value is."""

    IN_FORCE = "in force"
    SEEN = "seen"


class Severity(StrEnum):
    """Whether a rule binds."""

    DUTY = "duty"
    ADVICE = "advice"


@dataclass(frozen=True)
class Term(Generic[T]):
    """One value of the law and the day from which it is known to stand.

    Parameters
    ----------
    day
        The first day.
    began
        That day is the first in force, or only the first day for which the source vouches.
    value
        What holds from then; None when the rule ended that day.
    cites
        Where it was read; the first is the one the value rests on. Never empty.
    note
        Anything more, in plain words.
    """

    day: date
    began: Began
    value: T | None
    cites: tuple[Citation, ...]
    note: str = ""

    @property
    def status(self) -> Status:
        """How surely the value is known."""
        return self.cites[0].status


@dataclass(frozen=True)
class History(Generic[T]):
    """The terms of one value, first day rising; nothing is known before the first."""

    terms: tuple[Term[T], ...]

    def on(self, day: date) -> Term[T] | None:
        """Give the term that stands on `day`, or None before the first."""
        held = None
        for term in self.terms:
            if term.day > day:
                break
            held = term
        return held

    def stretches(self) -> tuple[tuple[Term[T], date | None], ...]:
        """Give each term with the day on which the next one takes over, None for the last."""
        following = [term.day for term in self.terms[1:]]
        return tuple(zip(self.terms, [*following, None], strict=True))


@dataclass(frozen=True)
class Quantity:
    """A number with its unit as written, beside its exact value: ``3/32 in``."""

    text: str
    unit: str
    exact: Fraction
