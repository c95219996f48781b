"""Owns the files that were made for a person: papers kept in `papers/`, what was sent in `sent/`.

Does not own making them. A file is looked up in the list of its folder: no name becomes part of a path.
"""

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tendline.core.errors import refuse
from tendline.core.when import rfc3339
from tendline.jobs.faults import NOTHING
from tendline.jobs.workspace import Workspace


def kept_files(space: Workspace, folder: str, endings: Mapping[str, str]) -> list[dict[str, Any]]:
    """List the files of a folder of the line that have one of some endings, newest first."""
    found = sorted(_files(space, folder, endings).values(), key=lambda path: -path.stat().st_mtime)
    return [
        {
            "name": path.name,
            "made_at": rfc3339(datetime.fromtimestamp(path.stat().st_mtime, UTC), space.settings.zone),
            "bytes": path.stat().st_size,
        }
        for path in found
    ]


def kept_file(space: Workspace, folder: str, name: str, endings: Mapping[str, str]) -> tuple[bytes, str]:
    """Give one of them, and what type it is of.

    Parameters
    ----------
    space, folder
        Which line, and which folder of it.
    name
        As `kept_files` lists it.
    endings
        Media types by ending.

    Raises
    ------
    Refused
        JOB-611 when there is none by that name.
    """
    path = _files(space, folder, endings).get(name)
    try:
        if path is not None:
            return path.read_bytes(), endings[path.suffix.lower()]
    except OSError:
        pass
    raise refuse(NOTHING, f"there is no file '{name[:100]}' in {folder}/.", "", "Make it again.")


def _files(space: Workspace, folder: str, endings: Mapping[str, str]) -> Mapping[str, Path]:
    home = space.folder / folder
    found = home.iterdir() if home.is_dir() else ()
    return {path.name: path for path in found if path.suffix.lower() in endings and path.is_file()}
