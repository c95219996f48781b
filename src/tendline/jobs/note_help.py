"""Owns what the command line needs to know of the kinds of event: names, options, help.

Does not own the kinds (`logbook.kinds`).
"""

from dataclasses import dataclass

from tendline.jobs.words_in import option_name
from tendline.logbook.field_types import Field, FieldType
from tendline.logbook.kinds import KINDS, Kind

_METAVARS = {
    FieldType.LENGTH: "LENGTH",
    FieldType.LENGTHS: "NAME=LENGTH",
    FieldType.COUNTS: "NAME=COUNT",
    FieldType.MASS: "WEIGHT",
    FieldType.FORCE: "FORCE",
    FieldType.DEGREES: "DEGREES",
    FieldType.TEXTS: "WORDS",
    FieldType.CHOICES: "WORDS",
    FieldType.CELSIUS: "TEMPERATURE",
    FieldType.SPEED: "SPEED",
    FieldType.SECONDS: "DURATION",
    FieldType.FLAG: "yes|no",
    FieldType.DAY: "YYYY-MM-DD",
    FieldType.INSTANT: "WHEN",
    FieldType.NAMES: "NAMES",
    FieldType.ANSWERS: "QUESTION=ANSWER",
    FieldType.OUTLINE: "'LON,LAT LON,LAT ...'",
}


@dataclass(frozen=True)
class OptionHelp:
    """One option of a kind of event."""

    name: str
    field: str
    metavar: str
    help: str


@dataclass(frozen=True)
class KindHelp:
    """One kind of event as a sub-command."""

    name: str
    help: str
    subject_word: str
    options: tuple[OptionHelp, ...]


def kinds_help() -> tuple[KindHelp, ...]:
    """Give every kind that is noted in the plain way; corrections have a form of their own."""
    return tuple(_kind_help(kind) for kind in KINDS.values() if kind.name != "correction")


def _kind_help(kind: Kind) -> KindHelp:
    subject = kind.subject.upper() if kind.subject else ""
    word = f"{subject}..." if kind.name == "check" else f"[{subject}]" if subject else ""
    options = tuple(_option(f) for f in kind.fields if f.name not in (kind.subject, "source"))
    return KindHelp(kind.name, kind.meaning, word, options)


def _option(field: Field) -> OptionHelp:
    meaning = f"{field.meaning} {'Needed. ' if field.required else ''}"
    if field.choices:
        many = field.type in (FieldType.CHOICES, FieldType.LENGTHS)
        meaning += f"{'Some' if many else 'One'} of: {', '.join(field.choices)}."
    return OptionHelp(option_name(field), field.name, _METAVARS.get(field.type, "TEXT"), meaning.strip())
