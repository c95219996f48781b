"""Owns what SQLite says, turned into an error for a person.

Does not own the databases (`store`, `paired`).
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendline.core.errors import Damaged, Fault, TendlineError, refuse
from tendline.logbook.faults import BUSY, DAMAGED_DATABASE, DISK_FULL, NOT_WRITABLE


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Turn what SQLite says into an error for a person."""
    try:
        yield
    except sqlite3.IntegrityError:
        raise  # a fault of tendline, not of the file
    except sqlite3.Error as problem:
        raise _translate(problem, path) from problem


def _translate(problem: sqlite3.Error, path: Path) -> TendlineError:
    text = str(problem)
    if "full" in text:
        return refuse(DISK_FULL, f"no room left ({text}).", str(path), "Free some space and do it again.")
    if "locked" in text or "busy" in text:
        return refuse(
            BUSY, "another program is writing to it.", str(path), "Wait for it to finish and do it again."
        )
    if isinstance(problem, sqlite3.OperationalError) and "malformed" not in text:
        return refuse(
            NOT_WRITABLE, f"{text}.", str(path), "Check that the folder exists and may be written to."
        )
    return Damaged(
        Fault(DAMAGED_DATABASE, f"{text}.", str(path), "Keep the file as it is, and call: tendline audit.")
    )
