"""Owns the one clock, the one source of chance, and an opened line folder: its settings and its logbook.

Does not own what is done with them: each job is a file of its own.
"""

import hashlib
import os
import platform
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Self

from tendline.core.errors import refuse
from tendline.core.ids import slug, uuid7
from tendline.core.line import LineState
from tendline.core.place import Fix
from tendline.core.settings import Settings
from tendline.core.units import Units
from tendline.core.when import parse_instant
from tendline.jobs.confirmed_files import read_confirmations
from tendline.jobs.faults import NO_LINE
from tendline.jobs.settings_file import read_settings
from tendline.logbook.events import Draft, Event, instant_text
from tendline.logbook.fold import line_at
from tendline.logbook.kinds import KINDS
from tendline.logbook.store import Store

LOGBOOK = "logbook.db"
SETTINGS = "line.toml"
GROUND = "ground"
PAPERS = "papers"
CONFIRMED = "confirmed"
PAIRED = "paired.db"
"""Name of the list of phones in the line folder."""


def clock() -> datetime:
    """Read the clock of this machine: the only place where tendline does."""
    return datetime.now(UTC)  # noqa: TID251 - this is the one clock


def machine() -> str:
    """Name this machine, the same each time: what its hash chain runs under."""
    host = slug(platform.node()) or "desk"
    mark = hashlib.sha256(str(uuid.getnode()).encode()).hexdigest()[:4]
    return f"{host[:20]}-{mark}"


@dataclass(frozen=True)
class Workspace:
    """An opened line folder.

    Parameters
    ----------
    folder
        Where it is.
    settings
        Read from `line.toml`.
    now
        The present, or the moment the person asked to pretend.
    """

    folder: Path
    settings: Settings
    now: datetime

    def store(self) -> Store:
        """Open the logbook."""
        return Store(self.folder / LOGBOOK, now_text=instant_text(clock()))

    def events(self) -> tuple[Event, ...]:
        """Read every event on record."""
        with self.store() as store:
            return store.events()

    def line(self) -> LineState:
        """Give the line as it stands now."""
        return line_at(self.events(), at=self.now)

    def with_walk(self, **costs: Any) -> "Workspace":
        """Give the same line with other ways of walking, for this work only."""
        walk = replace(self.settings.walk, **costs)
        return replace(self, settings=replace(self.settings, walk=walk))

    def with_units(self, units: str) -> Self:
        """Give the same line in the units of whoever reads it, ``us`` or ``metric``; as it is when empty."""
        if not units:
            return self
        return replace(self, settings=replace(self.settings, units=Units(units)))

    def draft(
        self,
        kind: str,
        body: Mapping[str, Any],
        *,
        happened_at: datetime | None = None,
        fix: Fix | None = None,
        by: str = "",
    ) -> Draft:
        """Make an event that is to be recorded now.

        Parameters
        ----------
        kind, body
            What is to be kept.
        happened_at
            When it took place; now when left out.
        fix
            Where.
        by
            Who says so; the handler of the line when left out.
        """
        return Draft(
            id=uuid7(clock(), os.urandom(8)),
            kind=kind,
            version=KINDS[kind].version if kind in KINDS else 1,
            happened_at=happened_at or self.now,
            recorded_at=self.now,
            by=by or self.settings.handler or "handler",
            via=machine(),
            fix=fix,
            body=dict(body),
        )


def find_folder(given: str | None) -> Path:
    """Find the line folder: the one named, the one stood in, or the one in TENDLINE_LINE.

    Raises
    ------
    Refused
        JOB-101 when there is none.
    """
    if given is not None:
        candidates = [Path(given)]
    else:
        candidates = [Path.cwd()]
        if os.environ.get("TENDLINE_LINE"):
            candidates.append(Path(os.environ["TENDLINE_LINE"]))
    for folder in candidates:
        if (folder / SETTINGS).is_file() and (folder / LOGBOOK).is_file():
            return folder
    raise refuse(
        NO_LINE,
        "this is no line folder: it has no line.toml and logbook.db.",
        str(candidates[-1]),
        "Stand in one, name it with --line FOLDER, set TENDLINE_LINE, or make one: tendline start FOLDER.",
    )


def open_workspace(line: str | None = None, *, at: str | None = None, units: str | None = None) -> Workspace:
    """Open a line folder.

    Parameters
    ----------
    line
        The folder as the person named it; None to find it.
    at
        A moment to pretend, as the person wrote it; None for the present.
    units
        ``us`` or ``metric`` for this call only; None for the person's own.

    Raises
    ------
    Refused
        JOB-101, JOB-2xx, JOB-502, CORE-201.
    """
    folder = find_folder(line)
    settings = read_settings(folder / SETTINGS)
    given = read_confirmations(folder / CONFIRMED)
    settings = replace(settings, confirmations=(*settings.confirmations, *given))
    if units is not None:
        settings = replace(settings, units=Units(units))
    now = clock()
    if at is not None:
        now = parse_instant(_spaced(at), zone=settings.zone, now=now, where="--at")
    return Workspace(folder, settings, now)


def _spaced(text: str) -> str:
    """Allow ``2026-01-15 05:40`` with one or more spaces."""
    return re.sub(r"\s+", " ", text.strip())
