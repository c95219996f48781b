"""Owns the list of paired phones and browsers of a line: telling it, and letting one in no more.

Does not own pairing (`serve`) or the list itself (`logbook.paired`).
"""

from datetime import timedelta
from typing import Any

from tendline.core.errors import refuse
from tendline.core.when import rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_PHONE
from tendline.jobs.workspace import PAIRED, Workspace
from tendline.logbook.events import instant_from, instant_text
from tendline.logbook.paired import Paired

CLOCK_OFF = timedelta(minutes=2)
"""From where on a phone's clock is said to be wrong."""


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
            "desk": phone.desk,
        }
        for phone in phones
    ]


def clock_warnings(ahead: timedelta | None) -> list[str]:
    """Say that a phone's clock is wrong, when it is by more than `CLOCK_OFF`; None when it did not say."""
    if ahead is None or abs(ahead) <= CLOCK_OFF:
        return []
    minutes = round(abs(ahead.total_seconds()) / 60)
    return [f"the phone's clock is {minutes} min {'ahead' if ahead > timedelta(0) else 'behind'}: check it."]
