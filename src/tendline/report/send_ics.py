"""Owns writing the due board as a calendar: an event for each set, one alarm for each due time.

Does not own the board (`plan.due`). A calendar holds no place unless places are sent exactly.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar

from tendline.core.place import LonLat
from tendline.report.outgoing import Lost
from tendline.report.paper_words import when_text
from tendline.report.say import INVENTED, count, plain

CANCELLED_FOR = timedelta(days=30)
"""So long after a set was taken up its event is called off, for calendars that still show it."""

_MINUTE = 60


@dataclass(frozen=True)
class DueEvent:
    """One set and its limit.

    Parameters
    ----------
    set_name, parcel, landmark
        Which set.
    due
        By when it must be looked at; for one that is off, when it was taken up.
    words
        The rule in a few words.
    verified
        The person has confirmed the rule.
    place
        Where; None to leave it out.
    off
        It is taken up: its event is called off.
    """

    set_name: str
    due: datetime
    words: str = ""
    verified: bool = False
    parcel: str = ""
    landmark: str = ""
    place: LonLat | None = None
    off: bool = False


@dataclass(frozen=True)
class DueCalendar:
    """What goes into the calendar.

    Parameters
    ----------
    name
        Of the line.
    line_id
        The same for this line for ever: it makes the ids of the events.
    now, zone
        When it is made, and the zone of times in words. Times that a machine reads are UTC.
    ahead
        How long before a due time the alarm rings.
    events
        In any order, each set once.
    without
        Sets for which no limit can be told.
    invented
        The line is an example, and every event says so.
    """

    name: str
    line_id: str
    now: datetime
    zone: ZoneInfo
    ahead: timedelta
    events: Sequence[DueEvent]
    without: tuple[str, ...] = ()
    invented: bool = False


def event_id(line_id: str, set_name: str) -> str:
    """Make the id of a set's event: the same whenever it is made, so that importing again replaces it.

    References
    ----------
    RFC 5545, section 3.8.4.7, and RFC 7986, section 5.3: unique for the world, and it should tell nothing of
    the person or the machine.
    """
    return f"{hashlib.sha256(f'{line_id}/{set_name.lower()}'.encode()).hexdigest()[:32]}@tendline"


def write_calendar(calendar: DueCalendar) -> tuple[bytes, tuple[Lost, ...]]:
    """Write a calendar.

    Returns
    -------
    bytes, lost
        Sets without a limit are lost: there is no time to put them at.

    References
    ----------
    RFC 5545, sections 3.3.5 (form 2: UTC, the same instant in every zone), 3.6.1, 3.6.6 (alarm before the
    start), 3.8.1.11 (called off), 3.8.7.4 (a later one has a higher number).
    """
    out = icalendar.Calendar()
    out.add("prodid", "-//tendline//due board//EN")
    out.add("version", "2.0")
    out.add("method", "PUBLISH")
    out.add("name", plain(calendar.name))
    ordered = sorted(calendar.events, key=lambda e: (e.off, e.due, e.set_name))
    at_once: dict[datetime, list[DueEvent]] = {}
    for event in ordered:
        if not event.off:
            at_once.setdefault(event.due, []).append(event)
    for event in ordered:
        out.add_component(_event(calendar, event, at_once))
    lost = (Lost("set", len(calendar.without), "no limit can be told for it"),) if calendar.without else ()
    return out.to_ical(), lost


def _event(
    calendar: DueCalendar, event: DueEvent, at_once: Mapping[datetime, Sequence[DueEvent]]
) -> icalendar.Event:
    entry = icalendar.Event()
    entry.add("uid", event_id(calendar.line_id, event.set_name))
    entry.add("dtstamp", calendar.now)
    entry.add("sequence", int(calendar.now.timestamp()) // _MINUTE)
    entry.add("dtstart", event.due)
    entry.add("transp", "TRANSPARENT")
    entry.add("class", "PRIVATE")
    name = plain(event.set_name)
    if event.off:
        entry.add("summary", f"{name}: taken up")
        entry.add("status", "CANCELLED")
        return entry
    same = at_once[event.due]
    entry.add("summary", f"Look at {name} by now")
    entry.add("description", _description(calendar, event, same))
    if event.place is not None:
        entry.add("geo", (event.place.lat, event.place.lon))
        entry.add("location", ", ".join(plain(w) for w in (event.landmark, event.parcel) if w))
    if event is same[0]:
        entry.add_component(_alarm(calendar, same))
    return entry


def _description(calendar: DueCalendar, event: DueEvent, same: Sequence[DueEvent]) -> str:
    rule = plain(event.words) or "no rule"
    lines = [
        f"{rule}{'' if event.verified else ', NOT VERIFIED'}.",
        f"Due {when_text(event.due, calendar.zone)} ({calendar.zone.key}).",
        f"As the record stood {when_text(calendar.now, calendar.zone)}: a look since then moves it.",
    ]
    if len(same) > 1:
        lines.append(f"Due at the same time: {', '.join(plain(e.set_name) for e in same)}.")
    if calendar.invented:
        lines.append(INVENTED)
    return "\n".join(lines)


def _alarm(calendar: DueCalendar, same: Sequence[DueEvent]) -> icalendar.Alarm:
    alarm = icalendar.Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", -calendar.ahead)
    names = ", ".join(plain(event.set_name) for event in same)
    alarm.add("description", f"{count(len(same), 'set')} to look at: {names}")
    return alarm
