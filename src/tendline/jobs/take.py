"""Owns the job `tendline take`: a phone's outbox, or another logbook of the same line, merged into this one.

Does not own what becomes of each entry (`field.intake`) or keeping it (`incoming`).
"""

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendline.core.errors import Damaged, Fault, refuse
from tendline.field.intake import sort_logbook
from tendline.field.wire import Told, read_entry, read_message
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_LINE
from tendline.jobs.incoming import (
    Record,
    odd_data,
    still_odd,
    take_phone,
    take_sorted,
    taken_data,
    taken_text,
)
from tendline.jobs.workspace import LOGBOOK, Workspace
from tendline.logbook.audit import check_chains
from tendline.logbook.events import Event, instant_text
from tendline.logbook.faults import DAMAGED_DATABASE
from tendline.logbook.store import Store

LARGEST_FILE = 200_000_000
"""Largest file taken in [bytes]: years of a line."""


def take(space: Workspace, name: str) -> Answer:
    """Merge a file that a phone's page saved, or another line folder or logbook.

    Parameters
    ----------
    space
        The opened line.
    name
        The file or folder.

    Returns
    -------
    Answer
        Bad news when something is held, or flagged.

    Raises
    ------
    Refused
        JOB-101 when there is nothing there; FLD-101, FLD-102 when it is no message.
    Damaged
        LOG-501 to LOG-503 when the other logbook is damaged: nothing of it is taken.
    """
    path = Path(name)
    book = path / LOGBOOK if path.is_dir() else path
    if not book.is_file() or book.stat().st_size > LARGEST_FILE:
        do = "Name the file the phone saved, or the other line's folder."
        raise refuse(NO_LINE, "there is no outbox and no logbook here.", name, do)
    with book.open("rb") as stream:
        is_database = stream.read(16) == b"SQLite format 3\0"
    if is_database:
        entries = _entries_of_logbook(book, space)
        with space.store() as store, store.transaction():
            taken = take_sorted(space, store, entries, sort_logbook)
    else:
        message = read_message(book.read_bytes(), most=None, where=name)
        taken = take_phone(space, message.entries)
    data = {"from": name, "logbook": is_database, **taken_data(taken)}
    return Answer(taken_text(taken), data, bad_news=bool(data["odd"]), warnings=tuple(data["warnings"]))


def odd_ones(space: Workspace) -> Answer:
    """List what came in odd: entered with a flag, or held."""
    with space.store() as store:
        record = Record()
        record.catch_up(store)
        odd = still_odd(store.odd(), record.by_id)
    lines = [f"{len(odd)} to look at." if odd else "Nothing odd has come in."]
    for one in odd:
        lines.append(
            f"{one.stands.value}  {one.received_at[:16]}Z  via {one.via}  {one.id or 'without an id'}"
        )
        lines += [f"  {code} {what} {do}" for code, what, do in one.faults]
        lines.append(f"  it says: {one.told[:400]}")
    return Answer("\n".join(lines), {"odd": [odd_data(one) for one in odd]}, bad_news=bool(odd))


def _entries_of_logbook(book: Path, space: Workspace) -> list[Told]:
    with _copied(book) as copy, Store(copy, now_text=instant_text(space.now)) as store:
        problems = store.integrity()
        report = check_chains(store.raw_rows()) if not problems else None
    if report is None:
        do = "Nothing of it was taken. Keep the file as it is; work on a copy."
        raise Damaged(*(Fault(DAMAGED_DATABASE, f"{problem}.", str(book), do) for problem in problems))
    if report.faults:
        raise Damaged(*report.faults)
    return [_told(event) for event in report.events]


@contextmanager
def _copied(book: Path) -> Iterator[Path]:
    """Copy a logbook with what stands in its journal, so that the other one is not touched."""
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / LOGBOOK
        for ending in ("", "-wal"):
            if Path(f"{book}{ending}").is_file():
                shutil.copyfile(f"{book}{ending}", f"{copy}{ending}")
        yield copy


def _told(event: Event) -> Told:
    place = event.fix.place if event.fix else None
    accuracy = event.fix.accuracy_m if event.fix else None
    entry = {
        "id": event.id,
        "kind": event.kind,
        "version": event.version,
        "happened_at": instant_text(event.happened_at),
        "recorded_at": instant_text(event.recorded_at),
        "by": event.by,
        "place": None if place is None else [place.lon, place.lat, accuracy],
        "body": json.loads(json.dumps(event.body)),
    }
    return read_entry(entry, via=event.via)
