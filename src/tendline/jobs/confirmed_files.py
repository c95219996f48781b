"""Owns what a person said of a profile's values, and reading it back from the line folder's `confirmed/`.

Does not own asking them (`confirm`).
"""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from tendline.core.errors import refuse
from tendline.core.settings import Confirmation
from tendline.jobs.faults import SHEET

AGREE, UNSURE = "agree", "don't know"


@dataclass(frozen=True)
class Said:
    """What the person said of one value: agree, don't know, or how it really is."""

    answer: str
    note: str = ""


def doubt_words(one: Said) -> str:
    """Say why a value is not agreed."""
    return "you do not know" if one.answer == UNSURE else f"you say it is '{one.answer}'"


def kept_words(one: Said) -> str:
    """Say what was said, as it is kept."""
    return f"{one.answer} ({one.note})" if one.note else one.answer


def read_confirmations(folder: Path) -> tuple[Confirmation, ...]:
    """Read every confirmation kept in a line folder.

    Raises
    ------
    Refused
        JOB-502 for a file that cannot be read, by name.
    """
    found = []
    for path in sorted(folder.glob("*.toml")):
        try:
            raw = tomllib.loads(path.read_text(encoding="utf-8"))
            doubts = {
                rule: doubt_words(Said(answer))
                for rule, answer in raw["said"].items()
                if answer != AGREE and not answer.startswith(f"{AGREE} (")
            }
            found.append(Confirmation(raw["profile"], raw["on"], raw["until"], raw.get("note", ""), doubts))
        except (OSError, ValueError, KeyError, AttributeError, TypeError) as problem:
            do = "Take it out of the folder and confirm again."
            raise refuse(SHEET, f"it cannot be read ({problem}).", str(path), do) from None
    return tuple(found)
