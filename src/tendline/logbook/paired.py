"""Owns the list of paired phones and of pairing words not yet used: a small database beside the logbook.

Does not own how a word is made or shown, or what a phone may do (`server`).

Nothing in it opens a door by itself: words and keys are kept as SHA-256 only. It is no part of the record,
and is not merged: a phone is paired with one machine.
"""

import os
import sqlite3
from dataclasses import dataclass, replace
from pathlib import Path
from types import TracebackType
from typing import Any

from tendline.logbook.events import digest
from tendline.logbook.sqlite_words import translated

_TABLES = (
    """
    CREATE TABLE IF NOT EXISTS words (
        sha256 TEXT PRIMARY KEY,
        until TEXT NOT NULL,
        person TEXT NOT NULL,
        desk INTEGER NOT NULL DEFAULT 0
    ) STRICT
    """,
    """
    CREATE TABLE IF NOT EXISTS phones (
        via TEXT PRIMARY KEY,
        person TEXT NOT NULL,
        label TEXT NOT NULL,
        key_sha256 TEXT NOT NULL UNIQUE,
        paired_at TEXT NOT NULL,
        seen_at TEXT,
        revoked_at TEXT,
        desk INTEGER NOT NULL DEFAULT 0
    ) STRICT
    """,
)


_PHONES = "SELECT via, person, label, paired_at, seen_at, revoked_at, desk FROM phones"


@dataclass(frozen=True)
class Phone:
    """A paired phone, or a browser that may open the desk page.

    Instants as `instant_text` writes them, None for never.
    """

    via: str
    person: str
    label: str
    paired_at: str
    seen_at: str | None
    revoked_at: str | None
    desk: bool = False


class Paired:
    """The open list. Use it as a context manager; it closes itself."""

    def __init__(self, path: Path) -> None:
        """Open the list at `path`, readable by its owner only; made when it is not there.

        Raises
        ------
        Refused
            LOG-402, LOG-403 when it cannot be opened.
        Damaged
            LOG-501 when the file is no database.
        """
        self._path = path
        with translated(path):
            if not path.exists():
                os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
            self._db = sqlite3.connect(path, isolation_level=None, timeout=10)
        try:
            with translated(path):
                self._db.execute("PRAGMA synchronous=FULL")
                for table in _TABLES:
                    self._db.execute(table)
                self._widen()
        except BaseException:
            self._db.close()
            raise

    def __enter__(self) -> "Paired":
        """Give the list itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the database."""
        self._db.close()

    def _widen(self) -> None:
        """Give a list from before the desk page its column: everybody in it is a phone."""
        for table in ("words", "phones"):
            columns = {row[1] for row in self._db.execute(f"PRAGMA table_info({table})")}
            if "desk" not in columns:
                self._db.execute(f"ALTER TABLE {table} ADD COLUMN desk INTEGER NOT NULL DEFAULT 0")

    def offer(self, word: str, *, until: str, person: str, now: str, desk: bool = False) -> None:
        """Keep a pairing word until it is used or its time is over; older ones whose time is over go."""
        with translated(self._path):
            self._db.execute("DELETE FROM words WHERE until <= ?", (now,))
            self._db.execute("INSERT INTO words VALUES (?, ?, ?, ?)", (digest(word), until, person, desk))

    def redeem(self, word: str, *, now: str) -> tuple[str, bool] | None:
        """Use up a pairing word; the same statement checks and deletes it.

        Returns
        -------
        tuple or None
            The person it was made for, and whether for the desk page; None when there is no such word, or no
            longer.
        """
        with translated(self._path):
            row = self._db.execute(
                "DELETE FROM words WHERE sha256 = ? AND until > ? RETURNING person, desk", (digest(word), now)
            ).fetchone()
        return None if row is None else (str(row[0]), bool(row[1]))

    def add(self, phone: Phone, key: str) -> None:
        """Pair a phone; `key` is kept as its SHA-256."""
        seen, desk = phone.seen_at, phone.desk
        values = (phone.via, phone.person, phone.label, digest(key), phone.paired_at, seen, None, desk)
        with translated(self._path):
            self._db.execute("INSERT INTO phones VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values)

    def phone_with(self, key: str) -> Phone | None:
        """Find the phone that holds a key; None when there is none, or it was revoked."""
        with translated(self._path):
            row = self._db.execute(
                _PHONES + " WHERE key_sha256 = ? AND revoked_at IS NULL",
                (digest(key),),
            ).fetchone()
        return None if row is None else _phone(row)

    def phones(self) -> tuple[Phone, ...]:
        """Read every phone that ever was paired, oldest first."""
        with translated(self._path):
            rows = self._db.execute(_PHONES + " ORDER BY paired_at, via").fetchall()
        return tuple(_phone(row) for row in rows)

    def saw(self, via: str, *, now: str) -> None:
        """Note that a phone called."""
        with translated(self._path):
            self._db.execute("UPDATE phones SET seen_at = ? WHERE via = ?", (now, via))

    def revoke(self, via: str, *, now: str) -> bool:
        """Let a phone in no more; False when there is no such phone, or it was revoked before."""
        with translated(self._path):
            done = self._db.execute(
                "UPDATE phones SET revoked_at = ? WHERE via = ? AND revoked_at IS NULL", (now, via)
            )
        return done.rowcount == 1


def _phone(row: tuple[Any, ...]) -> Phone:
    return replace(Phone(*row), desk=bool(row[-1]))
