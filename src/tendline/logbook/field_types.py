"""Owns what one field of an event is: its type, bounds and words.

Does not own which fields there are (`kinds`, `law_fields`) or the check of a value (`bodies`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class FieldType(StrEnum):
    """What a field holds, and how it is written on the command line."""

    TEXT = "text"
    TEXTS = "texts"
    NAME = "short name"
    NAMES = "short names"
    TAG = "tag"
    EVENT = "event id"
    CHOICE = "one of a list"
    CHOICES = "some of a list"
    FLAG = "yes or no"
    LENGTH = "length"
    LENGTHS = "lengths by name"
    MASS = "mass"
    FORCE = "force"
    DEGREES = "angle"
    CELSIUS = "temperature"
    SPEED = "speed"
    SECONDS = "duration"
    COUNT = "whole number"
    COUNTS = "whole numbers by name"
    AMOUNT = "amount of money"
    DAY = "date"
    INSTANT = "time"
    OUTLINE = "outline"
    ANSWERS = "answers"
    FIELDS = "fields"


@dataclass(frozen=True)
class Field:
    """One field of a body.

    Parameters
    ----------
    name
        Key in the body; the unit is its ending.
    type
        What it holds.
    meaning
        One sentence for the docs and the help text.
    required
        An event without it is refused.
    choices
        For `FieldType.CHOICE`, `CHOICES` and, as names, `LENGTHS`. The names of `COUNTS` are short names.
    low, high
        Bounds, both allowed, in the unit of the name; None for no bound.
    """

    name: str
    type: FieldType
    meaning: str
    required: bool = False
    choices: Sequence[str] = ()
    low: float | None = None
    high: float | None = None


def choice(name: str, words: type[StrEnum], meaning: str, *, required: bool = False) -> Field:
    """Make a field that holds one word of a closed list."""
    return Field(name, FieldType.CHOICE, meaning, required, tuple(w.value for w in words))


def choices(name: str, words: type[StrEnum], meaning: str) -> Field:
    """Make a field that holds some words of a closed list."""
    return Field(name, FieldType.CHOICES, meaning, choices=tuple(w.value for w in words))


def flag(name: str, meaning: str) -> Field:
    """Make a field that holds yes or no; left out, nobody has said."""
    return Field(name, FieldType.FLAG, meaning)
