"""Owns the builds that lie in a line folder: which there are, and keeping one that was edited.

Does not own reading a build (`gear_file`) or what it comes to (`gear_build`).
"""

import re
import tomllib
from pathlib import Path
from typing import Any

from tendline.core.errors import refuse
from tendline.gear.build import lay_out
from tendline.gear.faults import FILE
from tendline.jobs.answer import Answer
from tendline.jobs.example.build import BUILD
from tendline.jobs.faults import CANNOT_WRITE, WORD
from tendline.jobs.files import write_whole
from tendline.jobs.gear_file import read_build
from tendline.jobs.workspace import SETTINGS, Workspace

BUILDS = "builds"
"""Folder inside the line folder where builds lie."""

MOST_BYTES = 100_000
_NAME = re.compile(r"[a-z0-9][a-z0-9 _-]{0,40}", re.IGNORECASE)


def list_builds(space: Workspace) -> Answer:
    """Give every build in the line folder with its text, and a beginning for a new one.

    Builds lie in `BUILDS`, whether they can be read or not; beside `line.toml` lies what has a table [cable].
    """
    inside = sorted((space.folder / BUILDS).glob("*.toml"))
    beside = [path for path in sorted(space.folder.glob("*.toml")) if path.name != SETTINGS and _is_one(path)]
    found = [_told(space, path) for path in (*inside, *beside)]
    return Answer("", {"builds": [one for one in found if one is not None], "beginning": BUILD})


def build_path(space: Workspace, file: str) -> Path:
    """Find where a build of a name lies, or would lie.

    Parameters
    ----------
    file
        ``builds/fox.toml``, ``fox.toml`` beside the settings.

    Raises
    ------
    Refused
        JOB-301 for a name that leads elsewhere.
    """
    folder, _, name = file.rpartition("/")
    stem, dot, kind = name.rpartition(".")
    if (
        folder not in ("", BUILDS)
        or (dot, kind) != (".", "toml")
        or not _NAME.fullmatch(stem)
        or name == SETTINGS
    ):
        do = f"Call it {BUILDS}/NAME.toml: letters without accents, digits, spaces, - and _."
        raise refuse(WORD, f"'{file}' is no name for a build.", file, do)
    return space.folder / file


def keep_build(space: Workspace, file: str, text: str) -> Answer:
    """Keep an edited build in the line folder, whole; one that cannot be laid out is not kept at all.

    Parameters
    ----------
    file
        As of `build_path`; what is there by that name is replaced.
    text
        What it holds.

    Raises
    ------
    Refused
        As `gear_build`, with every fault; JOB-301, JOB-104.
    """
    path = build_path(space, file)
    if len(text.encode()) > MOST_BYTES:
        raise refuse(FILE, "it is too large for a build.", file, "A build is a page of text.")
    read = read_build(path, text=text)
    lay_out(read.build)
    try:
        path.parent.mkdir(exist_ok=True)
        write_whole(path, text.encode())
    except OSError as problem:
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), "See to the disk.") from problem
    return Answer(f"Kept: {file}", {"file": file, "name": read.build.name})


def _is_one(path: Path) -> bool:
    try:
        return "cable" in tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return False


def _told(space: Workspace, path: Path) -> dict[str, Any] | None:
    """Give a build as it lies there; None for one that is no text, or far too long."""
    try:
        if path.stat().st_size > MOST_BYTES:
            return None
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    return {"file": path.relative_to(space.folder).as_posix(), "name": path.stem, "text": text}
