"""Owns identity: time-ordered event ids (UUID version 7) and short names a person can shout.

Does not own clocks or chance: both are handed in.
"""

import re
import unicodedata
import uuid
from collections.abc import Collection
from datetime import UTC, datetime, timedelta

_SHOUTABLE = re.compile(r"^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MAX_NAME = 12
"""Longest short name [characters]; longer ones do not fit a route card."""


def uuid7(instant: datetime, chance: bytes) -> str:
    """Make a time-ordered event id.

    Parameters
    ----------
    instant
        Aware UTC time of recording. Its whole milliseconds are the first 48 bits; the microseconds of the
        last one fill the next 12, so that ids made one after the other by one machine sort in that order.
    chance
        Eight random bytes.

    Returns
    -------
    str
        A UUID of version 7 in its usual form of 36 characters.

    References
    ----------
    RFC 9562, section 5.7, and section 6.2, method 3.
    """
    if len(chance) != 8:
        raise ValueError("eight random bytes are needed")
    whole = (instant - _EPOCH) // timedelta(microseconds=1)
    millis, micros = divmod(whole, 1000)
    raw = bytearray(millis.to_bytes(6, "big") + (micros * 4096 // 1000).to_bytes(2, "big") + chance)
    raw[6] = (raw[6] & 0x0F) | 0x70
    raw[8] = (raw[8] & 0x3F) | 0x80
    return str(uuid.UUID(bytes=bytes(raw)))


def is_short_name(text: str) -> bool:
    """Say whether `text` is a short name: letters, digits and single dashes, at most `MAX_NAME` long."""
    return len(text) <= MAX_NAME and bool(_SHOUTABLE.match(text))


def slug(text: str) -> str:
    """Boil any text down to lower-case letters, digits and dashes, accents dropped; may come out empty."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


def short_name(wanted: str, *, fallback: str, taken: Collection[str]) -> str:
    """Give a stable short name that is not taken.

    A `wanted` that already is a short name and is free is kept letter for letter. Otherwise its first words
    are taken, and a number is put behind until it is free.

    Parameters
    ----------
    wanted
        What the file called it; may be empty, long or in any script.
    fallback
        The stem when nothing of `wanted` can be used, for example ``set``.
    taken
        Names in use, in lower case: a shout has no capitals, so case does not tell names apart.

    Returns
    -------
    str
        A name for which `is_short_name` holds.
    """
    wanted = wanted.strip()
    if is_short_name(wanted) and wanted.lower() not in taken:
        return wanted
    stem = _stem(wanted) or fallback
    if stem.lower() not in taken and (is_short_name(wanted) or stem != fallback):
        return stem
    number = 2 if stem != fallback else 1
    while True:
        tail = f"-{number}"
        candidate = stem[: MAX_NAME - len(tail)].rstrip("-") + tail
        if candidate.lower() not in taken:
            return candidate
        number += 1


def _stem(wanted: str) -> str:
    words = wanted if is_short_name(wanted) else slug(wanted)
    stem = ""
    for word in words.split("-"):
        longer = f"{stem}-{word}" if stem else word
        if len(longer) > MAX_NAME:
            break
        stem = longer
    return stem or words[:MAX_NAME].rstrip("-")
