"""Owns keeping a photo that a phone sends piece by piece: whole, by its own hash, or not at all.

Does not own who may send (`server`) or which entry it belongs to: the entry names its hash.

The name of the file is made here, of the hash, which is checked; nothing a phone says becomes part of a path.
"""

import hashlib
import os
import re
from pathlib import Path

from tendline.core.errors import refuse
from tendline.jobs.faults import PHOTO

PHOTOS = "photos/from-phones"
LARGEST = 5_000_000
"""Largest photo [bytes]; the page makes them about a tenth of that."""
LARGEST_PIECE = 600_000
ROOM = 4_000_000_000
"""Most that all photos of a line may take up [bytes]."""
_SHA256 = re.compile(r"[0-9a-f]{64}")
_JPEG = b"\xff\xd8\xff"


def keep_piece(folder: Path, via: str, sha256: str, *, start: int, total: int, piece: bytes) -> int:
    """Keep one piece of a photo.

    Parameters
    ----------
    folder
        The line folder.
    via
        The phone, by the name it was given here.
    sha256
        Of the whole photo, in hexadecimal.
    start, total
        Where the piece begins, and how long the whole is [bytes].
    piece
        May be empty, to ask how far it has come.

    Returns
    -------
    int
        How much is kept; `total` when the photo is whole and on the disk.

    Raises
    ------
    Refused
        JOB-602 when it is no photo, too large, not what its hash says, or there is no room.
    """
    if not _SHA256.fullmatch(sha256) or not 0 < total <= LARGEST or len(piece) > LARGEST_PIECE or start < 0:
        raise refuse(PHOTO, f"{total} bytes, hash '{sha256[:64]}'.", "", f"{LARGEST} bytes is the most.")
    home = folder / PHOTOS
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    whole, part = home / f"{sha256}.jpg", home / f".{via}-{sha256}.part"
    if whole.is_file():
        return total
    have = part.stat().st_size if part.is_file() else 0
    if start != have or not piece:
        return have
    if have + len(piece) > total or _used(home) + len(piece) > ROOM:
        raise refuse(PHOTO, "there is no room for it, or it is longer than it said.", "", "Look at photos/.")
    with part.open("ab") as stream:
        stream.write(piece)
        stream.flush()
        os.fsync(stream.fileno())
    have += len(piece)
    if have == total:
        _finish(part, whole, sha256)
    return have


def _finish(part: Path, whole: Path, sha256: str) -> None:
    content = part.read_bytes()
    if hashlib.sha256(content).hexdigest() != sha256 or not content.startswith(_JPEG):
        part.unlink()
        raise refuse(PHOTO, "what came is not what its hash says, or no JPEG.", "", "Send it again.")
    part.replace(whole)


def _used(home: Path) -> int:
    return sum(entry.stat().st_size for entry in os.scandir(home) if entry.is_file())
