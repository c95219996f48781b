"""Owns writing files whole or not at all.

Does not own what is in it.
"""

import os
from collections.abc import Mapping
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is either there whole or not at all, also through a power cut.

    Raises
    ------
    OSError
        When the disk says no; a file that was there before is then still there.
    """
    write_all({path: content})


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
