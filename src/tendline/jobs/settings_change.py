"""Owns changing single values in `line.toml`: the line is replaced, the old one kept beside it as a comment.

Does not own which values are changed, or what the keys mean (`settings_keys`).
"""

import contextlib
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tendline.core.errors import refuse
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_whole
from tendline.jobs.settings_file import parse_settings


@dataclass(frozen=True)
class Change:
    """One value to be changed.

    Parameters
    ----------
    table, key
        Which; no table for a key at the head of the file.
    value
        As TOML writes it; None to take it away, so that what holds by default holds again.
    why
        Said in the comment beside it, on one line.
    instead_of
        Other keys of the table that say the same thing: their lines are turned into comments.
    """

    table: str
    key: str
    value: str | None
    why: str
    instead_of: tuple[str, ...] = ()


def change_settings(path: Path, changes: Iterable[Change], *, day: date) -> None:
    """Change values in a settings file: all of them, or, when anything is wrong, none.

    Parameters
    ----------
    path
        The file.
    changes
        What to change.
    day
        Until when the old values held.

    Raises
    ------
    Refused
        JOB-201 to JOB-204 when the file is not whole before or after; JOB-104 when it cannot be written.
    """
    text = path.read_text(encoding="utf-8")
    parse_settings(text, where=str(path))
    for change in changes:
        text = changed(text, change, day=day)
    parse_settings(text, where=str(path))
    try:
        write_whole(path, text.encode())
    except OSError as problem:
        do = "Free some space and do it again."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), do) from problem


def changed(text: str, change: Change, *, day: date) -> str:
    """Change one value in the text of a settings file; the rest stays to the last letter."""
    lines = text.splitlines()
    begin, end = _table(lines, change.table)
    if begin is None and change.value is None:
        return text
    new = [] if change.value is None else [f"{change.key} = {change.value}   # {change.why}"]
    if begin is None:
        return "\n".join([*lines, "", f"[{change.table}]", *new, ""])
    body = lines[begin:end]
    where = next((n for n, line in enumerate(body) if _is_key(line, change.key)), None)
    if where is None:
        at = _last_key(body) + 1 if change.table == "" else 1
        body[at:at] = new
    else:
        last = where + _extent(body[where:])
        body[where:last] = [*(f"# until {day}: {line.strip()}" for line in body[where:last]), *new]
    body = [
        f"# until {day}: {line.strip()}" if any(_is_key(line, key) for key in change.instead_of) else line
        for line in body
    ]
    return "\n".join([*lines[:begin], *body, *lines[end:], ""])


def _table(lines: list[str], name: str) -> tuple[int | None, int]:
    heads = [n for n, line in enumerate(lines) if re.match(r"\s*\[", line)]
    if name == "":
        return 0, heads[0] if heads else len(lines)
    begin = next((n for n in heads if re.match(rf"\s*\[\s*{re.escape(name)}\s*\]", lines[n])), None)
    if begin is None:
        return None, len(lines)
    return begin, next((n for n in heads if n > begin), len(lines))


def _extent(lines: list[str]) -> int:
    """Say over how many lines the value at the first of them goes: a list may be written over several."""
    for number in range(1, len(lines) + 1):
        with contextlib.suppress(tomllib.TOMLDecodeError):
            tomllib.loads("\n".join(lines[:number]))
            return number
    return 1


def _last_key(lines: list[str]) -> int:
    """Find the last line that gives a key."""
    return max((n for n, line in enumerate(lines) if re.match(r"\s*[\w-]+\s*=", line)), default=-1)


def _is_key(line: str, key: str) -> bool:
    return re.match(rf"\s*{re.escape(key)}\s*=", line) is not None
