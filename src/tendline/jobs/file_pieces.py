"""Owns keeping a file that a phone sends piece by piece: whole, by its own hash, or not at all.

Does not own who may send (`server`) or which entry it belongs to: the entry names its hash.

The name of the file is made here, of the hash, which is checked, and of what it holds, which is looked at;
nothing a phone says becomes part of a path.
"""

import hashlib
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tendline.core.errors import refuse
from tendline.jobs.faults import PHONE_FILE

LARGEST_PIECE = 600_000
ROOM = 4_000_000_000
"""Most that all files of one sort may take up on a line [bytes]."""
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Sort:
    """One sort of file that a phone may send.

    Parameters
    ----------
    folder
        Inside the line folder.
    largest
        Largest file [bytes].
    marks
        Endings of names, each with the pattern that such a file begins with.
    """

    folder: str
    largest: int
    marks: Mapping[str, re.Pattern[bytes]]

    def ending(self, content: bytes) -> str | None:
        """Find the ending of its name by what a file holds; None when it is not of this sort."""
        return next((ending for ending, mark in self.marks.items() if mark.match(content)), None)


def _mark(pattern: bytes) -> re.Pattern[bytes]:
    return re.compile(pattern, re.DOTALL)


SORTS: Mapping[str, Sort] = {
    "photos": Sort("photos/from-phones", 5_000_000, {".jpg": _mark(rb"\xff\xd8\xff")}),
    "voices": Sort(
        "voices/from-phones",
        8_000_000,
        {
            ".webm": _mark(rb"\x1a\x45\xdf\xa3.{0,60}webm"),
            ".ogg": _mark(rb"OggS"),
            ".m4a": _mark(rb".{4}ftyp"),
            ".wav": _mark(rb"RIFF.{4}WAVE"),
            ".mp3": _mark(rb"ID3|\xff[\xfb\xf3\xf2]"),
        },
    ),
}
"""By the word in the address. The page makes photos of about half a megabyte, and two minutes of voice.

References
----------
JPEG: ITU-T T.81 B.1.1.3. WebM: RFC 8794 (EBML, 11.1) with the document type of RFC 9559. Ogg: RFC 3533
section 6. MP4: ISO/IEC 14496-12, 4.3. WAVE and MP3: common practice, from memory.
"""


def keep_piece(
    folder: Path, via: str, sort: str, sha256: str, *, start: int, total: int, piece: bytes
) -> int:
    """Keep one piece of a file.

    Parameters
    ----------
    folder
        The line folder.
    via
        The phone, by the name it was given here.
    sort
        A key of `SORTS`.
    sha256
        Of the whole file, in hexadecimal.
    start, total
        Where the piece begins, and how long the whole is [bytes].
    piece
        May be empty, to ask how far it has come.

    Returns
    -------
    int
        How much is kept; `total` when the file is whole and on the disk.

    Raises
    ------
    Refused
        JOB-602 when it is not of that sort, too large, not what its hash says, or there is no room.
    """
    of = SORTS[sort]
    if (
        not _SHA256.fullmatch(sha256)
        or not 0 < total <= of.largest
        or len(piece) > LARGEST_PIECE
        or start < 0
    ):
        raise refuse(
            PHONE_FILE, f"{total} bytes, hash '{sha256[:64]}'.", "", f"{of.largest} bytes is the most."
        )
    home = folder / of.folder
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = home / f".{via}-{sha256}.part"
    if any((home / f"{sha256}{ending}").is_file() for ending in of.marks):
        return total
    have = part.stat().st_size if part.is_file() else 0
    if start != have or not piece:
        return have
    if have + len(piece) > total or _used(home) + len(piece) > ROOM:
        what = "there is no room for it, or it is longer than it said."
        raise refuse(PHONE_FILE, what, "", f"Look at {of.folder}.")
    with part.open("ab") as stream:
        stream.write(piece)
        stream.flush()
        os.fsync(stream.fileno())
    have += len(piece)
    if have == total:
        _finish(of, part, home, sha256)
    return have


def _finish(of: Sort, part: Path, home: Path, sha256: str) -> None:
    content = part.read_bytes()
    ending = of.ending(content)
    if hashlib.sha256(content).hexdigest() != sha256 or ending is None:
        part.unlink()
        what = f"what came is not what its hash says, or none of {', '.join(of.marks)}."
        raise refuse(PHONE_FILE, what, "", "Send it again.")
    part.replace(home / f"{sha256}{ending}")


def _used(home: Path) -> int:
    return sum(entry.stat().st_size for entry in os.scandir(home) if entry.is_file())
