"""Owns files handed over by the desk page: streamed into a folder of the line, looked at, taken or let go.

Does not own what becomes of them (`jobs.bring`). A name that comes along is a label: what is not a letter,
a digit, a dash, a dot or a space is taken out of it, and it never says where a file goes.
"""

import os
import re
import shutil
import threading
from collections.abc import AsyncIterator
from pathlib import Path

from starlette.concurrency import run_in_threadpool

from tendline.core.errors import refuse
from tendline.server.answering import Stop
from tendline.server.faults import CANNOT_HOLD, NO_FILES
from tendline.server.limits import MAX_FILE, MAX_FILES

COMING = ".coming"
"""Folder in the line folder where files wait until they are taken; emptied when the server starts."""
_BATCHES = 4
"""So many handfuls are held at once; the oldest goes when another comes."""
_PARTS = {".shx", ".dbf", ".prj", ".cpg"}
_NOT_IN_A_NAME = re.compile(r"[^\w.\- ]+")


def label_of(name: str) -> str:
    """Make a file name of what a browser calls a file: no folders, no marks, not too long."""
    last = re.split(r"[\\/]", name)[-1]
    clean = _NOT_IN_A_NAME.sub("-", last).strip(" .-_")
    return f"{Path(clean).stem[:80] or 'file'}{Path(clean).suffix[:12]}"


class Uploads:
    """The files that wait, by handful."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._folders: dict[str, Path] = {}

    def begin(self, line: Path) -> str:
        """Make room for a handful; give its name."""
        root = line / COMING
        with self._lock:
            if not self._folders:
                shutil.rmtree(root, ignore_errors=True)  # left by a server that was killed
            while len(self._folders) >= _BATCHES:
                self._let_go(next(iter(self._folders)))
            name = os.urandom(8).hex()
            try:
                (root / name).mkdir(parents=True)
            except OSError as problem:
                raise _cannot(problem, name) from problem
            self._folders[name] = root / name
        return name

    async def keep(self, batch: str, name: str, content: AsyncIterator[bytes]) -> dict[str, object]:
        """Write one file as it comes; one of the same name in the handful is replaced.

        Raises
        ------
        Stop
            413 for more than `MAX_FILE`, or more than `MAX_FILES` of them.
        Refused
            SRV-109, SRV-110; nothing of it is left then.
        """
        folder = self._folder(batch)
        label = label_of(name)
        if len(self.files(batch)) >= MAX_FILES:
            raise Stop(413, "", f"more than {MAX_FILES} files at once.", "Bring some of them first.")
        part, size = folder / f".{os.urandom(4).hex()}", 0
        try:
            with part.open("wb") as stream:
                async for piece in content:
                    size += len(piece)
                    if size > MAX_FILE:
                        what = f"{label} is larger than {MAX_FILE // 1_000_000} MB."
                        raise Stop(413, "", what, "Cut it to the ground of the line, or call tendline bring.")
                    await run_in_threadpool(stream.write, piece)
            part.replace(folder / label)
        except OSError as problem:
            raise _cannot(problem, label) from problem
        finally:
            part.unlink(missing_ok=True)
        return {"file": label, "size": size}

    def files(self, batch: str) -> list[str]:
        """Give the paths of a handful to bring: of a shapefile its `.shp`, which finds its own parts.

        Raises
        ------
        Refused
            SRV-109.
        """
        found = sorted(path for path in self._folder(batch).iterdir() if not path.name.startswith("."))
        whole = {path.stem for path in found if path.suffix.lower() == ".shp"}
        return [str(p) for p in found if p.suffix.lower() not in _PARTS or p.stem not in whole]

    def let_go(self, batch: str) -> None:
        """Throw a handful away."""
        with self._lock:
            self._let_go(batch)

    def close(self) -> None:
        """Throw everything away."""
        with self._lock:
            for name in list(self._folders):
                self._let_go(name)

    def _let_go(self, batch: str) -> None:
        folder = self._folders.pop(batch, None)
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)
            if not self._folders:
                shutil.rmtree(folder.parent, ignore_errors=True)

    def _folder(self, batch: str) -> Path:
        folder = self._folders.get(batch)
        if folder is None or not folder.is_dir():
            raise refuse(NO_FILES, "these files are no longer held.", "", "Choose them again.")
        return folder


def _cannot(problem: OSError, label: str) -> Exception:
    what = f"{problem.strerror or type(problem).__name__}."
    return refuse(CANNOT_HOLD, what, label, "Free some space on the machine and do it again.")
