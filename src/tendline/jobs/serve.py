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

from tendline.core.errors import Refused, refuse
from tendline.core.when import rfc3339
from tendline.field.wire import read_message
from tendline.jobs.answer import Answer
from tendline.jobs.carry_relief import ReliefKept
from tendline.jobs.carry_round import carry_round, try_plan
from tendline.jobs.faults import NO_PHONE
from tendline.jobs.incoming import Record, still_odd, take_phone, taken_data
from tendline.jobs.photo_pieces import keep_piece
from tendline.jobs.round import Asked, Planned
from tendline.jobs.workspace import Workspace, clock, open_workspace
from tendline.logbook.events import instant_from, instant_text
from tendline.logbook.paired import Paired, Phone

__all__ = ["Desk", "Offer", "Phone", "list_phones", "open_desk", "phones_data", "revoke"]

PAIRED = "paired.db"
"""Name of the list of phones in the line folder."""
WORD_LIVES = timedelta(minutes=5)
"""How long a pairing word can be used."""
CLOCK_OFF = timedelta(minutes=2)
"""From where on a phone's clock is said to be wrong."""

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
    space
        The opened line; its `now` is where time starts.
    asked
        Which outing to carry.
    """

    def __init__(self, space: Workspace, asked: Asked) -> None:
        self._space = space
        self._asked = asked
        self._began = clock()
        self._lock = threading.Lock()
        self._record = Record()
        self._relief = ReliefKept()
        self._seen: dict[str, datetime] = {}
        self._planned: Planned | None = None
        self._why = "the round is still being planned."

    @property
    def folder(self) -> Path:
        """Where the line lies."""
        return self._space.folder

    def space(self) -> Workspace:
        """Give the line with the present moment."""
        return replace(self._space, now=self._space.now + (clock() - self._began))

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

    def carried(self, person: str = "") -> dict[str, Any]:
        """Give the round as a phone takes it, from the record as it stands now.

        Raises
        ------
        Refused
            As `carry_round.carry_round`.
        """
        with self._lock:
            planned, why = self._planned, self._why
        carried = carry_round(self.space(), planned, why, kept=self._relief)
        return {**carried, "who": person or carried["who"]}

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
            space = self.space()
            taken = take_phone(space, message.entries, record=self._record)
        self._saw(phone.via, space.now)
        ahead = None if message.sent_at is None else message.sent_at - space.now
        data = taken_data(taken)
        if ahead is not None and abs(ahead) > CLOCK_OFF:
            data["warnings"] = [*data["warnings"], _clock_words(ahead)]
        return {
            "acked": [outcome.told.id for outcome in taken.outcomes if outcome.told.id],
            "now": rfc3339(space.now),
            "clock_ahead_s": None if ahead is None else round(ahead.total_seconds(), 1),
            **data,
        }

    def _saw(self, via: str, now: datetime) -> None:
        """Note that a phone called; once a minute is enough, and spares the disk."""
        before = self._seen.get(via)
        if before is None or now - before > SEEN_EVERY:
            self._seen[via] = now
            with self._paired() as paired:
                paired.saw(via, now=instant_text(now))

    def keep_photo(self, phone: Phone, sha256: str, *, start: int, total: int, piece: bytes) -> int:
        """Keep a piece of a photo; give how much of it is kept.

        Raises
        ------
        Refused
            JOB-602.
        """
        with self._lock:
            return keep_piece(self.folder, phone.via, sha256, start=start, total=total, piece=piece)

    # --- who may ask ----------------------------------------------------------------------------------

    def offer(self, person: str = "") -> Offer:
        """Make a pairing word for a person; the handler when left out."""
        now = self.space().now
        offer = Offer(_secret(16), now + WORD_LIVES)
        who = person or self._space.settings.handler or "handler"
        with self._paired() as paired:
            paired.offer(offer.word, until=instant_text(offer.until), person=who, now=instant_text(now))
        return offer

    def pair(self, word: str, label: str) -> tuple[Phone, str] | None:
        """Use up a pairing word.

        Returns
        -------
        tuple or None
            The phone and its key, which is told once and not kept; None when the word is not good (any more).
        """
        now = instant_text(self.space().now)
        key = _secret(32)
        with self._paired() as paired:
            person = paired.redeem(word, now=now)
            if person is None:
                return None
            shown = "".join(letter for letter in label if letter.isprintable())[:60]
            phone = Phone(f"phone-{os.urandom(4).hex()}", person, shown, now, now, None)
            paired.add(phone, key)
        return phone, key

    def phone_with(self, key: str) -> Phone | None:
        """Find the phone that holds a key and was not revoked."""
        with self._paired() as paired:
            return paired.phone_with(key)

    def state(self) -> dict[str, Any]:
        """Give what the desk page shows of phones and of what came in odd."""
        space = self.space()
        record = Record()
        with space.store() as store:
            record.catch_up(store)
            odd = still_odd(store.odd(), record.by_id)
        return {"now": rfc3339(space.now), "phones": phones_data(space), "odd": len(odd), "plan": self._why}

    def _paired(self) -> Paired:
        return Paired(self._space.folder / PAIRED)


def open_desk(line: str | None, *, at: str | None, units: str | None, asked: Asked) -> Desk:
    """Open a line for phones.

    Raises
    ------
    Refused
        As `workspace.open_workspace`.
    """
    return Desk(open_workspace(line, at=at, units=units), asked)


def list_phones(space: Workspace) -> Answer:
    """List every phone that ever was paired."""
    phones = phones_data(space)
    lines = [
        f"{p['via']}  {p['person']}  {p['label'] or 'no name'}  paired {p['paired_at'][:16]}"
        + (f"  REVOKED {p['revoked_at'][:16]}" if p["revoked_at"] else f"  last seen {p['seen_at'][:16]}")
        for p in phones
    ]
    return Answer("\n".join(lines) or "No phone is paired.", {"phones": phones})


def revoke(space: Workspace, via: str) -> Answer:
    """Let a phone in no more; what it sent stays on record.

    Raises
    ------
    Refused
        JOB-601 when there is no such phone.
    """
    with Paired(space.folder / PAIRED) as paired:
        if not paired.revoke(via, now=instant_text(space.now)):
            names = ", ".join(p.via for p in paired.phones() if p.revoked_at is None) or "none"
            raise refuse(NO_PHONE, f"no paired phone is called '{via}'.", "", f"Paired: {names}.")
    return Answer(
        f"{via} is let in no more. What it sent stays on record; what lies on it is still on it.",
        {"revoked": via, "phones": phones_data(space)},
    )


def phones_data(space: Workspace) -> list[dict[str, Any]]:
    """Give every phone as JSON can hold it, times in the person's zone."""
    with Paired(space.folder / PAIRED) as paired:
        phones = paired.phones()

    def told(stamp: str | None) -> str | None:
        return None if stamp is None else rfc3339(instant_from(stamp), space.settings.zone)

    return [
        {
            "via": phone.via,
            "person": phone.person,
            "label": phone.label,
            "paired_at": told(phone.paired_at),
            "seen_at": told(phone.seen_at),
            "revoked_at": told(phone.revoked_at),
        }
        for phone in phones
    ]


def _secret(size: int) -> str:
    return urlsafe_b64encode(os.urandom(size)).rstrip(b"=").decode()


def _clock_words(ahead: timedelta) -> str:
    minutes = round(abs(ahead.total_seconds()) / 60)
    return f"the phone's clock is {minutes} min {'ahead' if ahead > timedelta(0) else 'behind'}: check it."
