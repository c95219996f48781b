"""Owns writing files whole or not at all.

Does not own what is in it.
"""

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path

_PIECE = 1 << 20


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is either there whole or not at all, also through a power cut.

    Raises
    ------
    OSError
        When the disk says no; a file that was there before is then still there.
    """
    write_all({path: content})


def copy_whole(source: Path, path: Path, *, sha256: str) -> bool:
    """Copy a file piece by piece, whole or not at all, also through a power cut.

    Parameters
    ----------
    source, path
        From where and to where.
    sha256
        The hash it has.

    Returns
    -------
    bool
        False, and nothing is written, where its hash is another: it was changed since.

    Raises
    ------
    OSError
        When either disk says no.
    """
    part, digest = path.with_name(f".{path.name}.part"), hashlib.sha256()
    try:
        with source.open("rb") as given, part.open("wb") as stream:
            while piece := given.read(_PIECE):
                digest.update(piece)
                stream.write(piece)
            stream.flush()
            os.fsync(stream.fileno())
        same = digest.hexdigest() == sha256
        if same:
            part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return same


def write_all(contents: Mapping[Path, bytes]) -> None:
    """Write files that belong together: none takes its place before all of them are on the disk.

    Raises
    ------
    OSError
        When the disk says no; files that were there before are then still there.
    """
    parts = {path: path.with_name(f".{path.name}.part") for path in contents}
    try:
        for path, part in parts.items():
            with part.open("wb") as stream:
                stream.write(contents[path])
                stream.flush()
                os.fsync(stream.fileno())
        for path, part in parts.items():
            part.replace(path)
    except OSError:
        for part in parts.values():
            part.unlink(missing_ok=True)
        raise
