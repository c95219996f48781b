"""Owns writing a file whole or not at all.

Does not own what is in it.
"""

import os
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is either there whole or not at all, also through a power cut.

    Raises
    ------
    OSError
        When the disk says no; a file that was there before is then still there.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        with part.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise
