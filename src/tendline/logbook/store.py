"""Owns the database of events: the only SQL there is; append and read, nothing else.

Does not own what an event may say (`bodies`, `admit`) or what events add up to (`fold`).

One transaction takes everything of one command or nothing: SQLite in WAL mode with `synchronous=FULL`, so
that what was acknowledged survives a power cut.
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tendline.logbook.events import Draft, Event, chain
from tendline.logbook.migrations import migrate, pending
from tendline.logbook.odd import OddMessage
from tendline.logbook.rows import COLUMNS, event_from, row_of
from tendline.logbook.sqlite_words import translated

_IS_CHANGED = (
    "kind IN ('correction', 'void') OR id IN"
    " (SELECT json_extract(body, '$.of') FROM events WHERE kind IN ('correction', 'void'))"
)
"""Events that corrections and voids are, or are about."""


@dataclass(frozen=True)
class SourceFile:
    """A file that was brought in, as received.

    Parameters
    ----------
    sha256
        Of its bytes.
    file_name, format
        As it came: ``gpx``, ``geojson``, ``csv``, ``elevation``, ``drives``.
    brought_at
        When, as `instant_text` writes it.
    kept_as
        Its name in the folder's `ground/`.
    options
        What the person said about it: the unit of heights, the kind of its places.
    """

    sha256: str
    file_name: str
    format: str
    brought_at: str
    kept_as: str
    options: Mapping[str, str]


class Store:
    """An open logbook. Use as a context manager; it closes itself."""

    def __init__(self, path: Path, *, now_text: str, create: bool = False) -> None:
        """Open the database at `path`; `create` makes a new one.

        Raises
        ------
        Refused
            LOG-402 to LOG-404 when it cannot be opened.
        Damaged
            LOG-501 when the file is no database.
        """
        self._path = path
        mode = "rwc" if create else "rw"
        with translated(path):
            self._db = sqlite3.connect(
                f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, timeout=10
            )
        try:
            with translated(path):
                self._db.execute("PRAGMA journal_mode=WAL")
                self._db.execute("PRAGMA synchronous=FULL")
                if pending(self._db):
                    migrate(self._db, now_text=now_text)
        except BaseException:
            self._db.close()
            raise

    def __enter__(self) -> "Store":
        """Give the store itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the database."""
        self._db.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Hold the write lock; everything inside is kept, or nothing is."""
        with translated(self._path):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
                raise

    def events(self) -> tuple[Event, ...]:
        """Read every event, in the order of writing.

        Raises
        ------
        Damaged
            LOG-501 or LOG-503.
        """
        with translated(self._path):
            rows = self._db.execute(f"SELECT {COLUMNS} FROM events ORDER BY seq").fetchall()  # noqa: S608 - constant
        return tuple(event_from(row) for row in rows)

    def changed(self) -> tuple[Event, ...]:
        """Read every correction and void, and every event that one of them is about, at any remove.

        Raises
        ------
        Damaged
            LOG-501 or LOG-503.
        """
        with translated(self._path):
            rows = self._db.execute(
                f"SELECT {COLUMNS} FROM events WHERE {_IS_CHANGED} ORDER BY seq"  # noqa: S608 - constants
            ).fetchall()
        return tuple(event_from(row) for row in rows)

    def first_placed(self, kind: str) -> Event | None:
        """Read the first event of a kind that has a place; None when there is none.

        Raises
        ------
        Damaged
            LOG-501 or LOG-503.
        """
        with translated(self._path):
            asked = "FROM events WHERE kind = ? AND lon IS NOT NULL ORDER BY seq LIMIT 1"
            row = self._db.execute(f"SELECT {COLUMNS} {asked}", (kind,)).fetchone()
        return None if row is None else event_from(row)

    def plain_rows(
        self, kinds: Sequence[str], *, size: int = 100_000
    ) -> Iterator[list[tuple[int, str, str, str, str]]]:
        """Read events that nothing was ever said about again, in batches, for records too long to hold.

        Parameters
        ----------
        kinds
            Only these.
        size
            Rows in a batch.

        Yields
        ------
        list of tuple
            Order of writing, id, kind, instant as `instant_text` writes it, body as JSON text.
        """
        marks = ", ".join("?" * len(kinds))
        with translated(self._path):
            cursor = self._db.execute(
                "SELECT seq, id, kind, happened_at, body FROM events"  # noqa: S608 - constants and marks
                f" WHERE kind IN ({marks}) AND NOT ({_IS_CHANGED}) ORDER BY seq",
                tuple(kinds),
            )
            while batch := cursor.fetchmany(size):
                yield batch

    def raw_rows(self) -> tuple[tuple[Any, ...], ...]:
        """Read the rows as they are, for the audit, which must be able to look at damaged ones."""
        with translated(self._path):
            return tuple(self._db.execute(f"SELECT {COLUMNS} FROM events ORDER BY seq"))  # noqa: S608 - constant

    def append(self, drafts: Iterable[Draft]) -> tuple[Event, ...]:
        """Chain and keep events, in the order given; call inside `transaction`.

        Returns
        -------
        tuple of Event
            As kept, with their hashes.
        """
        heads: dict[str, str] = {}
        kept = []
        for draft in drafts:
            if draft.via not in heads:
                heads[draft.via] = self._head(draft.via)
            event = chain(draft, heads[draft.via])
            heads[draft.via] = event.hash
            kept.append(event)
        self._db.executemany(
            f"INSERT INTO events ({COLUMNS}) VALUES ({', '.join('?' * 13)})",  # noqa: S608 - constant
            [row_of(event) for event in kept],
        )
        return tuple(kept)

    def events_after(self, seq: int) -> tuple[int, tuple[Event, ...]]:
        """Read what was written after a row number, in the order of writing.

        Returns
        -------
        int
            The newest row number; `seq` itself when nothing is newer.
        tuple of Event
            Those events.
        """
        with translated(self._path):
            rows = self._db.execute(
                f"SELECT seq, {COLUMNS} FROM events WHERE seq > ? ORDER BY seq",  # noqa: S608 - constant
                (seq,),
            ).fetchall()
        return (rows[-1][0] if rows else seq), tuple(event_from(row[1:]) for row in rows)

    def newest(self) -> int:
        """Give the newest row number; 0 when there is none."""
        with translated(self._path):
            return int(self._db.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()[0])

    def keep_odd(self, message: OddMessage) -> None:
        """Keep a message that the rules find odd; the same message again changes nothing."""
        self._db.execute("INSERT INTO odd VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING", message.row())

    def odd(self) -> tuple[OddMessage, ...]:
        """Read every odd message, oldest first."""
        with translated(self._path):
            rows = self._db.execute(
                "SELECT id, told_sha256, via, received_at, stands, told, faults FROM odd"
                " ORDER BY received_at, id, told_sha256"
            ).fetchall()
        return tuple(OddMessage.from_row(row) for row in rows)

    def _head(self, via: str) -> str:
        row = self._db.execute(
            "SELECT hash FROM events WHERE via = ? ORDER BY seq DESC LIMIT 1", (via,)
        ).fetchone()
        return row[0] if row else ""

    def sources(self) -> tuple[SourceFile, ...]:
        """Read the list of files brought in, oldest first."""
        with translated(self._path):
            rows = self._db.execute(
                "SELECT sha256, file_name, format, brought_at, kept_as, options FROM sources"
                " ORDER BY brought_at, sha256"
            ).fetchall()
        return tuple(
            SourceFile(sha256, name, form, at, kept, json.loads(options))
            for sha256, name, form, at, kept, options in rows
        )

    def add_source(self, source: SourceFile) -> None:
        """Note a file that was brought in; the same bytes again change only what was newly said of them."""
        self._db.execute(
            "INSERT INTO sources VALUES (?, ?, ?, ?, ?, ?)"
            " ON CONFLICT (sha256) DO UPDATE SET options ="
            " CASE excluded.options WHEN '{}' THEN options ELSE excluded.options END",
            (
                source.sha256,
                source.file_name,
                source.format,
                source.brought_at,
                source.kept_as,
                json.dumps(dict(source.options), sort_keys=True),
            ),
        )

    def integrity(self) -> Sequence[str]:
        """Let SQLite check the whole file; empty when it is whole."""
        try:
            rows = [row[0] for row in self._db.execute("PRAGMA integrity_check(20)")]
        except sqlite3.DatabaseError as problem:
            return [str(problem)]
        return [] if rows == ["ok"] else rows
