"""Owns what a person asks while somebody cannot go: who, from when, until when, in the words they wrote.

Does not own the answer (`weeks_without`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from tendline.core.errors import FaultList
from tendline.core.line import LineState
from tendline.core.when import Span, day_start, local_day, local_instant, parse_day
from tendline.jobs.faults import WORD
from tendline.jobs.workspace import Workspace

DAYS = 3
"""How many days somebody is taken to be away when nobody says until when."""


@dataclass(frozen=True)
class AskedWithout:
    """What a person asks, as written.

    Parameters
    ----------
    without
        Who cannot go.
    since, until
        First and last day; today, and three days in all, when left out. ``today`` and ``tomorrow`` are read.
    mornings, evenings, who
        When others can go, and who; else what is on record, else anybody on record at any hour of the day.
    seed, seconds
        How long to search.
    """

    without: tuple[str, ...]
    since: str = ""
    until: str = ""
    mornings: str = ""
    evenings: str = ""
    who: tuple[str, ...] = ()
    seed: int = 1
    seconds: float = 30.0


def away_span(space: Workspace, asked: AskedWithout) -> tuple[Span, date, date]:
    """Give the stretch to be kept without them: up to noon of the day after, when they are about again."""
    zone = space.settings.zone
    today = local_day(space.now, zone)
    first = _day(asked.since, today, "--from") if asked.since else today
    last = _day(asked.until, today, "--until") if asked.until else first + timedelta(days=DAYS - 1)
    faults = FaultList()
    if first < today:
        faults.add(WORD, f"{first} is past.", "--from", "Give today or a day to come.")
    if last < first:
        faults.add(WORD, f"{last} is before {first}.", "--until", "Give the last day of the absence.")
    if (last - first).days > 60:
        faults.add(WORD, "that is more than 60 days.", "--until", "Give at most 60 days.")
    faults.refuse()
    noon = local_instant(last + timedelta(days=1), time(12), zone)
    return Span(max(space.now, day_start(first, zone)), noon), first, last


def _day(text: str, today: date, where: str) -> date:
    words = {"today": today, "tomorrow": today + timedelta(days=1)}
    return words.get(text.strip().lower()) or parse_day(text, where=where)


def names_known(space: Workspace, line: LineState, asked: AskedWithout) -> tuple[str, ...]:
    """Give the names as the record spells them; refuse one that nobody bears."""
    known = {name.casefold(): name for name in people_known(space, line, asked.who)}
    faults = FaultList()
    for name in asked.without:
        if name.casefold() not in known:
            told = ", ".join(known.values()) or "nobody"
            faults.add(WORD, f"nobody is called '{name}'.", "--without", f"On record: {told}.")
    faults.refuse()
    return tuple(known[name.casefold()] for name in asked.without)


def people_known(space: Workspace, line: LineState, also: Sequence[str]) -> list[str]:
    """Give everybody the record knows, the handler first, each once however spelled."""
    settings = space.settings
    names = [
        settings.handler,
        *(one.name for one in settings.people),
        *(a.who for a in line.available),
        *also,
    ]
    return list({name.casefold(): name for name in reversed(names) if name}.values())[::-1]


def folded(names: Sequence[str]) -> set[str]:
    """Give names as they are compared."""
    return {name.casefold() for name in names}
