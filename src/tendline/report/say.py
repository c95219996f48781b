"""Owns how a report words times and durations, and the cleaning of text that others wrote.

Does not own the units of length: those are `core.units`. Local times are always of a zone that is handed in.
"""

import unicodedata
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

NEAR = timedelta(days=6)
"""Within this a day of the week says which day is meant; beyond it the date is written."""

_LOOSE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}

INVENTED = "INVENTED EXAMPLE: the place, the people and the rules do not exist."
"""What stands over every screen of an invented example."""


def plain(text: str) -> str:
    """Make `text` safe to print on one line: no control, direction or unassigned characters, single spaces.

    A name with terminal control sequences in it must not reach the terminal, and a turned writing direction
    must not turn the times beside it. Invisible breaks inside a word are dropped, the two joiners that some
    scripts are spelled with are kept, and any other such character is a space.
    """
    return " ".join("".join(_safe(c) for c in text).split())


def _safe(char: str) -> str:
    if char in "\u200b\ufeff\u00ad":
        return ""
    return " " if unicodedata.category(char) in _LOOSE and char not in "\u200c\u200d" else char


def clock(instant: datetime, zone: ZoneInfo) -> str:
    """Write the local time: ``05:10``; on the hour that comes twice, with the zone's letters as well."""
    local = instant.astimezone(zone)
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return f"{local:%H:%M} {local.tzname()}" if twice else f"{local:%H:%M}"


def day_word(day: date, near: date) -> str:
    """Write a day as ``Thu``, or as ``7 Jan`` when a day of the week would not say which."""
    return f"{day:%a}" if abs(day - near) <= NEAR else f"{day.day} {day:%b}"


def day_and_clock(instant: datetime, zone: ZoneInfo, *, near: date) -> tuple[str, str]:
    """Write an instant as day and time, to be set side by side or one above the other."""
    return day_word(instant.astimezone(zone).date(), near), clock(instant, zone)


def limit_words(instant: datetime, zone: ZoneInfo, *, near: date) -> tuple[str, str]:
    """Write a limit as day and time; one at midnight belongs to the day it ends: ``Thu 24:00``.

    References
    ----------
    ISO 8601:2004, 4.2.3: midnight at the end of a day is 24:00.
    """
    local = instant.astimezone(zone)
    if (local.hour, local.minute, local.second) == (0, 0, 0):
        return day_word(local.date() - timedelta(days=1), near), "24:00"
    return day_and_clock(instant, zone, near=near)


def at(words: tuple[str, str]) -> str:
    """Join a day and a time."""
    return " ".join(words)


def long_day(day: date) -> str:
    """Write a day in full: ``Thursday 15 January 2026``."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def stretch(seconds: float) -> str:
    """Write how much time is left, never too much: ``7 min``, ``2 h 05``, ``2 d 4 h``, ``7 d``.

    Parameters
    ----------
    seconds
        Duration [s], zero or more; it is cut to the unit shown, so that a limit never looks further off.
    """
    minutes = int(seconds // 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return f"{minutes // 60} h {minutes % 60:02d}"
    if minutes < 72 * 60:
        return f"{minutes // 1440} d {minutes % 1440 // 60} h"
    return f"{minutes // 1440} d"


def count(number: int, one: str, many: str = "") -> str:
    """Write a number with its noun: ``1 set``, ``3 sets``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
