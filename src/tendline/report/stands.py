"""Owns telling the record set by set: each stand from its making to its taking up, with looks and catches.

Does not own rates or ranges (`season`): here things are listed and counted, nothing more. A set of one name
may stand here in one winter and there in the next; each stand keeps the parcel it was made on, so that no
paper shows one owner what happened on another's ground.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.line import Catch
from tendline.core.place import Fix
from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.logbook.corrected import Effective
from tendline.report.paper_words import spoken

_NOTHING_TOLD: Mapping[str, Any] = {}


@dataclass(frozen=True)
class Visit:
    """One check, as it stands after corrections."""

    at: datetime
    found_as: FoundAs
    happened: Happened
    done: str
    left_as: LeftAs
    species: str
    how_sure: str
    by: str
    note: str


@dataclass(frozen=True)
class Taken:
    """One animal held, with everything its catch event says; `told` is empty when only a check says it."""

    catch: Catch
    told: Mapping[str, Any] = field(default_factory=dict)


@dataclass
class Stand:
    """One set from its making to its taking up.

    Parameters
    ----------
    set_name, parcel, tag, target
        As made; the tag is the last that hung there.
    made_at
        None when the record does not say when.
    fix
        Where; None when that is not on record.
    ended, how
        When and how it ended: ``pulled``, ``lost``, ``made again``; None and empty while it stands.
    visits, taken
        Oldest first.
    """

    set_name: str
    parcel: str
    tag: str
    target: str
    device_class: str
    made_at: datetime | None
    fix: Fix | None
    ended: datetime | None = None
    how: str = ""
    visits: list[Visit] = field(default_factory=list)
    taken: list[Taken] = field(default_factory=list)

    @property
    def out(self) -> bool:
        """Whether its device is still out there."""
        return self.ended is None

    def nights(self, zone: ZoneInfo, *, first: date, last: date, now: datetime) -> int | None:
        """Count the nights it stood, each by the day on which the night begins.

        Parameters
        ----------
        zone
            For the days.
        first, last
            Nights that begin on these days or between them count.
        now
            The night that begins on this day is not over, and does not count yet.

        Returns
        -------
        int or None
            None when the record does not say when it was made. A night in which the device was down, closed
            or under snow counts as well: that is for the season's figures to take off.
        """
        if self.made_at is None:
            return None
        start = max(self.made_at.astimezone(zone).date(), first)
        stood_to = self.ended if self.ended is not None else now
        end = min(stood_to.astimezone(zone).date(), last + timedelta(days=1))
        return max((end - start).days, 0)


def stands_of(entries: Sequence[Effective], catches: Iterable[Catch], *, at: datetime) -> tuple[Stand, ...]:
    """Give every stand on record.

    Parameters
    ----------
    entries
        The record after corrections, oldest first.
    catches
        As the line holds them.
    at
        The moment asked about: what happened later is left out.

    Returns
    -------
    tuple of Stand
        In order of making. A visit to a set that does not stand is left out: the line warns of it.
    """
    stands: list[Stand] = []
    open_now: dict[str, Stand] = {}
    for entry in entries:
        if entry.happened_at > at:
            continue
        name = entry.body.get("set", "")
        if entry.event.kind == "set-made":
            _end(open_now, name, entry.happened_at, "made again")
            stands.append(_made(entry))
            open_now[name] = stands[-1]
        elif entry.event.kind == "check" and name in open_now:
            _visit(open_now, entry)
        elif entry.event.kind in ("pulled", "lost"):
            _end(open_now, name, entry.happened_at, entry.event.kind)
        elif entry.event.kind == "found":
            _found(stands, open_now, entry)
    told = {entry.event.id: entry.body for entry in entries if entry.event.kind == "catch"}
    for catch in catches:
        held = _stand_at(stands, catch)
        if held is not None and catch.at <= at:
            held.taken.append(Taken(catch, told.get(catch.event, _NOTHING_TOLD)))
    return tuple(stands)


def _made(entry: Effective) -> Stand:
    body = entry.body
    return Stand(
        set_name=body["set"],
        parcel=body.get("parcel", ""),
        tag=body.get("tag", ""),
        target=body.get("target", ""),
        device_class=body.get("device_class", ""),
        made_at=entry.happened_at if body.get("time_known", True) else None,
        fix=entry.fix,
    )


def _visit(open_now: dict[str, Stand], entry: Effective) -> None:
    body, name = entry.body, entry.body["set"]
    stand = open_now[name]
    stand.tag = body.get("tag", stand.tag)
    stand.visits.append(
        Visit(
            at=entry.happened_at,
            found_as=FoundAs(body["found_as"]),
            happened=Happened(body["what_happened"]),
            done=body["done"],
            left_as=LeftAs(body["left_as"]),
            species=body.get("species", ""),
            how_sure=body.get("how_sure", ""),
            by=entry.event.by,
            note=body.get("note", ""),
        )
    )
    if body["left_as"] == LeftAs.PULLED:
        _end(open_now, name, entry.happened_at, "pulled")


def _end(open_now: dict[str, Stand], name: str, at: datetime, how: str) -> None:
    stand = open_now.pop(name, None)
    if stand is not None:
        stand.ended, stand.how = at, how


def _found(stands: Sequence[Stand], open_now: dict[str, Stand], entry: Effective) -> None:
    """Let a lost set that was found and left in place stand on."""
    name = entry.body.get("set", "")
    lost = next((s for s in reversed(stands) if s.set_name == name), None)
    if lost is None or lost.how != "lost":
        return
    if entry.body.get("left_as", LeftAs.PULLED) == LeftAs.PULLED:
        lost.how = "lost, found later"
    else:
        lost.ended, lost.how = None, ""
        open_now[name] = lost


def _stand_at(stands: Sequence[Stand], catch: Catch) -> Stand | None:
    """Give the stand that held an animal: the last of its name that was made before."""
    named = [s for s in stands if s.set_name == catch.set_name]
    before = [s for s in named if s.made_at is None or s.made_at <= catch.at]
    return before[-1] if before else None


_INCIDENTS = {
    Happened.NONTARGET_RELEASED,
    Happened.NONTARGET_INJURED,
    Happened.NONTARGET_DEAD,
    Happened.DOMESTIC_RELEASED,
    Happened.FOUND_DEAD,
    Happened.BROKE_AWAY,
    Happened.CHEWED_OUT,
    Happened.ANCHOR_PULLED,
    Happened.TAKEN_BY_PREDATOR,
    Happened.PERSON,
    Happened.MISSING,
}
_INCIDENTS_FOUND = {FoundAs.TAMPERED, FoundAs.GONE, FoundAs.BROKEN, FoundAs.NOT_FOUND}


@dataclass(frozen=True)
class Incident:
    """Something an owner or officer must not learn from somebody else."""

    at: datetime
    set_name: str
    what: str


def incidents_of(stands: Iterable[Stand]) -> tuple[Incident, ...]:
    """List every incident: other animals held, losses, people, devices not found or not whole."""
    found = []
    for stand in stands:
        found += [
            Incident(visit.at, stand.set_name, _what(visit))
            for visit in stand.visits
            if visit.happened in _INCIDENTS or visit.found_as in _INCIDENTS_FOUND
        ]
        for taken in stand.taken:
            seen = any(v.at == taken.catch.at and v.happened in _INCIDENTS for v in stand.visits)
            if taken.catch.standing != "target" and not seen:
                words = f"{taken.catch.species} ({spoken(taken.catch.standing)}): {spoken(taken.catch.fate)}"
                found.append(Incident(taken.catch.at, stand.set_name, words))
        if stand.how.startswith("lost") and stand.ended is not None:
            found.append(Incident(stand.ended, stand.set_name, "device given up as lost"))
    return tuple(sorted(found, key=lambda one: (one.at, one.set_name)))


def _what(visit: Visit) -> str:
    parts = [visit.species, spoken(visit.happened.value)]
    if visit.found_as is not FoundAs.HOLDING:
        parts.append(f"device {spoken(visit.found_as.value)}")
    return ", ".join(part for part in parts if part)
