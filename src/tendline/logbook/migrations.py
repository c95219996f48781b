"""Owns the shape of the database, as named steps that each run once, in one transaction, and are recorded.

Does not own what is read or written afterwards: that is `store`.
"""

import sqlite3
from collections.abc import Mapping

from tendline.core.errors import refuse
from tendline.logbook.faults import NEWER

STEPS: Mapping[str, tuple[str, ...]] = {
    "0001 events": (
        """
        CREATE TABLE events (
            seq INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            kind TEXT NOT NULL,
            version INTEGER NOT NULL,
            happened_at TEXT NOT NULL,
            recorded_at TEXT NOT NULL,
            by TEXT NOT NULL,
            via TEXT NOT NULL,
            lon REAL,
            lat REAL,
            accuracy_m REAL,
            body TEXT NOT NULL,
            prev TEXT NOT NULL,
            hash TEXT NOT NULL
        ) STRICT
        """,
        "CREATE INDEX events_via ON events (via, seq)",
        """
        CREATE TRIGGER events_are_not_altered BEFORE UPDATE ON events
        BEGIN SELECT RAISE(ABORT, 'an event is never altered; note a correction'); END
        """,
        """
        CREATE TRIGGER events_are_not_removed BEFORE DELETE ON events
        BEGIN SELECT RAISE(ABORT, 'an event is never removed; note a void'); END
        """,
    ),
    "0002 sources": (
        """
        CREATE TABLE sources (
            sha256 TEXT PRIMARY KEY,
            file_name TEXT NOT NULL,
            format TEXT NOT NULL,
            brought_at TEXT NOT NULL,
            kept_as TEXT NOT NULL,
            options TEXT NOT NULL
        ) STRICT
        """,
    ),
    "0003 odd messages": (
        """
        CREATE TABLE odd (
            id TEXT NOT NULL,
            told_sha256 TEXT NOT NULL,
            via TEXT NOT NULL,
            received_at TEXT NOT NULL,
            stands TEXT NOT NULL,
            told TEXT NOT NULL,
            faults TEXT NOT NULL,
            PRIMARY KEY (id, told_sha256)
        ) STRICT
        """,
    ),
}
"""Steps in order. A step that has shipped is never edited; a new one is put behind it."""


def applied(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Give the names of the steps this database has been through, in order."""
    known = connection.execute(
        "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'migrations'"
    ).fetchone()
    if known is None:
        return ()
    return tuple(row[0] for row in connection.execute("SELECT name FROM migrations ORDER BY name"))


def pending(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Give the names of the steps still to come.

    Raises
    ------
    Refused
        LOG-404 when the database has been through a step that this tendline does not know.
    """
    done = applied(connection)
    newer = [name for name in done if name not in STEPS]
    if newer:
        raise refuse(
            NEWER,
            f"the logbook has been through step '{newer[0]}', which this tendline does not know.",
            "logbook.db",
            "Use the tendline that made it, or a newer one.",
        )
    return tuple(name for name in STEPS if name not in done)


def migrate(connection: sqlite3.Connection, *, now_text: str) -> tuple[str, ...]:
    """Bring the database up to date, each step and its record in one transaction.

    Parameters
    ----------
    connection
        In autocommit mode.
    now_text
        The present, for the record of the step.

    Returns
    -------
    tuple of str
        The steps that were run.
    """
    steps = pending(connection)
    for name in steps:
        connection.execute("BEGIN IMMEDIATE")
        try:
            connection.execute(
                "CREATE TABLE IF NOT EXISTS migrations"
                " (name TEXT PRIMARY KEY, applied_at TEXT NOT NULL) STRICT"
            )
            if name not in applied(connection):
                for statement in STEPS[name]:
                    connection.execute(statement)
                connection.execute("INSERT INTO migrations VALUES (?, ?)", (name, now_text))
            connection.execute("COMMIT")
        except BaseException:
            connection.execute("ROLLBACK")
            raise
    return steps
