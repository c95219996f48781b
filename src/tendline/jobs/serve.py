"""Owns the job `tendline serve`: what a paired phone and the desk page may ask of an opened line.

Does not own HTTP, addresses or certificates (`server`), the round (`carry_round`) or the intake (`incoming`).
"""

import contextlib
import os
import threading
from base64 import urlsafe_b64encode
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from tendline.core.errors import Refused
from tendline.core.when import rfc3339
from tendline.field.carry_relief import without_known
from tendline.field.wire import read_message
from tendline.jobs.carry_relief import ReliefKept
from tendline.jobs.carry_round import carry_round, try_plan
from tendline.jobs.file_pieces import keep_piece
from tendline.jobs.incoming import Record, still_odd, take_phone, taken_data
from tendline.jobs.kept_line import Kept, KeptWorkspace, files_stamp
from tendline.jobs.phones import clock_warnings, phones_data
from tendline.jobs.relief import MOST_BYTES
from tendline.jobs.round import Asked, Planned
from tendline.jobs.start import may_start_in
from tendline.jobs.workspace import LOGBOOK, PAIRED, SETTINGS, clock, find_folder, open_workspace
from tendline.logbook.events import instant_text
from tendline.logbook.held_open import hold_open
from tendline.logbook.paired import Paired, Phone

__all__ = ["Desk", "Offer", "Phone", "open_desk"]

WORD_LIVES = timedelta(minutes=5)
"""How long a pairing word can be used."""
SEEN_EVERY = timedelta(minutes=1)
"""How often it is written down that a phone called."""


@dataclass(frozen=True)
class Offer:
    """A pairing word and until when it can be used."""

    word: str
    until: datetime


class Desk:
    """One opened line, asked by many threads.

    Parameters
    ----------
    folder
        Where the line lies, or shall lie: an empty folder, until the desk page has started a line there.
    asked
        Which outing to carry.
    at, units
        As `workspace.open_workspace` takes them; time goes on from `at`.
    """

    def __init__(
        self, folder: Path, asked: Asked, *, at: str | None = None, units: str | None = None
    ) -> None:
        self._folder, self._asked = folder, asked
        self._at, self._units = at, units
        self._ahead = timedelta(0)
        self._opened: KeptWorkspace | None = None
        self._stamp: tuple[object, ...] = ()
        self._kept = Kept()
        self._opening = threading.Lock()
        self._lock = threading.Lock()
        self._record = Record()
        self._relief = ReliefKept()
        self._relief_wide = ReliefKept(MOST_BYTES)
        self._seen: dict[str, datetime] = {}
        self._planned: Planned | None = None
        self._why = "the round is still being planned."
        self._let_go: Callable[[], None] | None = None

    @property
    def folder(self) -> Path:
        """Where the line lies."""
        return self._folder

    @property
    def begun(self) -> bool:
        """Whether there is a line here yet."""
        return (self._folder / SETTINGS).is_file() and (self._folder / LOGBOOK).is_file()

    def now(self) -> datetime:
        """Give the present, or the moment pretended to be, going on."""
        return clock() + self._ahead

    @property
    def units(self) -> str | None:
        """Units asked for when it was opened; None for the line's own."""
        return self._units

    def pretended(self) -> str | None:
        """Give the moment it is pretended to be by now; None for the present."""
        return None if self._at is None else rfc3339(self.space().now)

    def space(self) -> KeptWorkspace:
        """Give the line with the present moment; settings are read again when their files changed.

        Raises
        ------
        Refused
            As `workspace.open_workspace`; JOB-101 while there is no line yet.
        """
        with self._opening:
            stamp = files_stamp(self._folder)
            if self._opened is None or stamp != self._stamp:
                first = self._opened is None
                found = open_workspace(str(self._folder), at=self._at if first else None, units=self._units)
                if first and self._at is not None:
                    self._ahead = found.now - clock()
                self._opened = KeptWorkspace(found.folder, found.settings, found.now, self._kept)
                self._stamp = stamp
            return replace(self._opened, now=self.now())

    def stamp(self) -> tuple[object, ...]:
        """Give what is another whenever the record or the settings are."""
        space = self.space()
        return (space.kept.stamp(space), self._stamp)

    # --- the round ------------------------------------------------------------------------------------

    def plan(
        self, *, tell: Callable[[str], None] = lambda _: None, should_stop: Callable[[], bool] | None = None
    ) -> str:
        """Plan the outing to carry; give why not, empty when it is planned."""
        planned, why = try_plan(self.space(), self._asked, tell=tell, should_stop=should_stop)
        with self._lock:
            self._planned, self._why = planned, why
        with contextlib.suppress(Refused):  # a record that cannot be read is told when the round is asked for
            space = self.space()
            self._relief.of(space, space.line())  # drawn before a phone waits for it
        return why

    def planned(self) -> tuple[Planned | None, str]:
        """Give the outing planned last, and why there is none."""
        with self._lock:
            return self._planned, self._why

    def relief(self) -> tuple[dict[str, Any] | None, str]:
        """Give the ground under a map on a large screen, and why there is none."""
        space = self.space()
        return self._relief_wide.of(space, space.line())

    def carried(self, person: str = "", *, ground: str = "") -> dict[str, Any]:
        """Give the round as a phone takes it, from the record as it stands now.

        The ground whose id is `ground` lies on the phone already, and is not sent again.

        Raises
        ------
        Refused
            As `carry_round.carry_round`.
        """
        planned, why = self.planned()
        carried = carry_round(self.space(), planned, why, kept=self._relief)
        told = {"who": person or carried["who"], "relief": without_known(carried["relief"], ground)}
        return {**carried, **told}

    # --- messages -------------------------------------------------------------------------------------

    def take(self, phone: Phone, content: bytes) -> dict[str, Any]:
        """Take in a phone's message; what is acknowledged is on the disk.

        Raises
        ------
        Refused
            FLD-101 to FLD-103, LOG-401 to LOG-403; nothing is written then.
        """
        message = read_message(content, via=phone.via)
        with self._lock:
            self._let_go = self._let_go or hold_open(self._folder / LOGBOOK)
            space = self.space()
            taken = take_phone(space, message.entries, record=self._record)
        self._saw(phone.via, space.now)
        ahead = None if message.sent_at is None else message.sent_at - space.now
        data = taken_data(taken)
        data["warnings"] = [*data["warnings"], *clock_warnings(ahead)]
        return {
            "acked": [outcome.told.id for outcome in taken.outcomes if outcome.told.id],
            "now": rfc3339(space.now),
            "clock_ahead_s": None if ahead is None else round(ahead.total_seconds(), 1),
            **data,
        }

    def close(self) -> None:
        """Let go of the logbook; the next message holds it again."""
        with self._lock:
            if self._let_go is not None:
                self._let_go()
            self._let_go = None

    def _saw(self, via: str, now: datetime) -> None:
        """Note that a phone called; once a minute is enough, and spares the disk."""
        before = self._seen.get(via)
        if before is None or now - before > SEEN_EVERY:
            self._seen[via] = now
            with self._paired() as paired:
                paired.saw(via, now=instant_text(now))

    def keep_file(self, phone: Phone, sort: str, sha256: str, *, start: int, total: int, piece: bytes) -> int:
        """Keep a piece of a photo or voice note; give how much of it is kept.

        Raises
        ------
        Refused
            JOB-602.
        """
        with self._lock:
            return keep_piece(self.folder, phone.via, sort, sha256, start=start, total=total, piece=piece)

    # --- who may ask ----------------------------------------------------------------------------------

    def offer(self, person: str = "", *, desk: bool = False) -> Offer:
        """Make a pairing word for a person, the handler when left out; for the desk page when so asked."""
        now = self.now()
        who = person or (self.space().settings.handler if self.begun else "") or "handler"
        offer = Offer(_secret(16), now + WORD_LIVES)
        until = instant_text(offer.until)
        with self._paired() as paired:
            paired.offer(offer.word, until=until, person=who, now=instant_text(now), desk=desk)
        return offer

    def pair(self, word: str, label: str) -> tuple[Phone, str] | None:
        """Use up a pairing word.

        Returns
        -------
        tuple or None
            The phone and its key, which is told once and not kept; None when the word is not good (any more).
        """
        now = instant_text(self.now())
        key = _secret(32)
        with self._paired() as paired:
            found = paired.redeem(word, now=now)
            if found is None:
                return None
            person, desk = found
            shown = "".join(letter for letter in label if letter.isprintable())[:60]
            name = f"{'desk' if desk else 'phone'}-{os.urandom(4).hex()}"
            phone = Phone(name, person, shown, now, now, None, desk)
            paired.add(phone, key)
        return phone, key

    def phone_with(self, key: str) -> Phone | None:
        """Find the phone that holds a key and was not revoked."""
        with self._paired() as paired:
            return paired.phone_with(key)

    def state(self) -> dict[str, Any]:
        """Give what the desk page shows of phones and of what came in odd."""
        space = self.space()
        with self._lock, space.store() as store:
            self._record.catch_up(store)
            odd = still_odd(store.odd(), self._record.by_id)
        return {"now": rfc3339(space.now), "phones": phones_data(space), "odd": len(odd), "plan": self._why}

    def _paired(self) -> Paired:
        return Paired(self._folder / PAIRED)


def open_desk(line: str | None, *, at: str | None, units: str | None, asked: Asked) -> Desk:
    """Open a line for phones and for the desk page.

    A folder that is empty or not there yet is opened as well: the desk page starts the line in it.

    Raises
    ------
    Refused
        As `workspace.open_workspace`.
    """
    try:
        folder = find_folder(line)
    except Refused:
        folder = Path(line) if line is not None else Path.cwd()
        if line is None or not may_start_in(folder):
            raise
        folder.mkdir(parents=True, exist_ok=True)
    desk = Desk(folder, asked, at=at, units=units)
    if desk.begun:
        desk.space()
    return desk


def _secret(size: int) -> str:
    return urlsafe_b64encode(os.urandom(size)).rstrip(b"=").decode()
