"""Owns holding a logbook open while a server runs, so that each message costs the disk only its own write.

Does not own reading or writing it (`store`).
"""

import sqlite3
from collections.abc import Callable
from pathlib import Path

from tendline.logbook.sqlite_words import translated


def hold_open(path: Path) -> Callable[[], None]:
    """Hold a database open while a server runs, reading and writing nothing.

    The last one to close a database copies its log into it and asks the disk twice more (SQLite, WAL); with
    this, nobody who opens and closes it for one message is the last. Call what is given to let go.
    """
    with translated(path):
        held = sqlite3.connect(
            f"{path.absolute().as_uri()}?mode=rw", uri=True, isolation_level=None, check_same_thread=False
        )
        held.execute("SELECT 1 FROM sqlite_schema").fetchall()  # only then it counts as open
    return held.close
