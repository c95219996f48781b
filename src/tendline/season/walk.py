"""Owns the walk through the record that cuts it into stretches, set by set, and names what cannot be.

Does not own corrections (`logbook.corrected` has applied them) or how many nights count (`effort`).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.errors import Fault
from tendline.core.line import Catch, LineState
from tendline.core.when import Span, local_day, rfc3339
from tendline.core.words import Done, FoundAs, Happened, LeftAs
from tendline.logbook.corrected import Effective
from tendline.season.faults import AFTER_NOW, CATCH_TWICE, CATCH_WITHOUT_SET, MINUTES, NOT_OUT, SET_TWICE
from tendline.season.groups import Grouping, tell
from tendline.season.overlaps import one_place_at_a_time
from tendline.season.stretches import (
    Ending,
    Open,
    Stretch,
    confirms,
    ending_of,
    nights_between,
    stands_after,
)

MEASURES = ("loop_m", "bottom_m", "snow_m")
"""What a stretch carries along."""

ONE_ANIMAL = timedelta(hours=12)
"""Two catches of one kind at one set within this look like one animal (common practice, no source)."""


@dataclass(frozen=True)
class Walked:
    """What the walk came to.

    Parameters
    ----------
    stretches
        In order of their end.
    still_open
        Sets still out, with the nights since their last look, which are not counted yet.
    catches
        Every animal counted, whether or not a stretch holds it.
    failed
        Looks that did not see the set: not found, not reached.
    faults
        What was met that cannot be, one by one.
    """

    stretches: tuple[Stretch, ...]
    still_open: tuple[Open, ...]
    catches: tuple[Catch, ...]
    failed: int
    faults: tuple[Fault, ...]


@dataclass
class _Out:
    """A set while it is out."""

    since: datetime
    stands: Ending
    tag: str | None
    told: dict[str, Any]


@dataclass
class _Walk:
    line: LineState
    window: Span
    zone: ZoneInfo
    grouping: Grouping
    now: datetime
    catches: dict[tuple[str, datetime], Catch]
    out: dict[str, _Out] = field(default_factory=dict)
    stretches: list[Stretch] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    failed: int = 0

    def take(self, entry: Effective) -> None:
        if entry.happened_at > self.now:
            if entry.event.recorded_at <= self.now:  # else it was simply not yet so, then
                what = f"{entry.event.kind} is dated {rfc3339(entry.happened_at, self.zone)}, still to come."
                self._fault(AFTER_NOW, what, entry, "Correct its time: tendline note correction.")
            return
        handler = _HANDLERS.get(entry.event.kind)
        if handler is not None:
            handler(self, entry)

    # --- one kind after another -----------------------------------------------------------------------

    def made(self, entry: Effective) -> None:
        body = dict(entry.body)
        name = body["set"]
        if name in self.out:
            do = "Note the taking up, or void one of the two."
            self._fault(SET_TWICE, f"set {name} was made again while it was out.", entry, do)
            self._end(self.out[name], entry, Ending.UNTOLD)
        stands = Ending.DOWN if body.get("left_as") == LeftAs.UNSET else Ending.OPERATIVE
        if not body.get("time_known", True):
            stands = Ending.GONE  # nobody knows since when: the first look begins the effort
        self.out[name] = _Out(entry.happened_at, stands, body.get("tag"), body)

    def check(self, entry: Effective) -> None:
        body = entry.body
        found = FoundAs(body["found_as"])
        if not found.was_seen:
            self.failed += 1
        one = self._one(entry)
        left, far = LeftAs(body["left_as"]), bool(body.get("from_distance", False))
        if one is None or not confirms(found, left, from_distance=far):
            return
        happened = Happened(body["what_happened"])
        catch = self.catches.pop((body["set"], entry.happened_at), None)
        ending = ending_of(found, happened, catch)
        self._end(one, entry, ending, found=found, happened=happened, catch=catch)
        stands = stands_after(found, left)
        if stands is None:
            del self.out[body["set"]]
            return
        one.since, one.stands, one.tag = entry.happened_at, stands, body.get("tag", one.tag)
        tell(one.told, body)

    def adjusted(self, entry: Effective) -> None:
        one = self._one(entry)
        if one is not None:
            tell(one.told, {"done": Done.ADJUSTED, **entry.body})

    def pulled(self, entry: Effective) -> None:
        one = self._one(entry)
        if one is not None:
            self._end(one, entry, Ending.OPERATIVE)
            del self.out[entry.body["set"]]

    def lost(self, entry: Effective) -> None:
        if "set" not in entry.body:
            return
        one = self._one(entry)
        if one is not None:
            self._end(one, entry, Ending.GONE)
            del self.out[entry.body["set"]]

    def found(self, entry: Effective) -> None:
        name, left = entry.body.get("set"), LeftAs(entry.body.get("left_as", LeftAs.PULLED))
        if name is None or left is LeftAs.PULLED:
            return
        if name in self.out:
            self._end(self.out[name], entry, Ending.UNTOLD)
        before = next((s for s in reversed(self.stretches) if s.set_name == name), None)
        stands = Ending.DOWN if left is LeftAs.UNSET else Ending.OPERATIVE
        tag = entry.body.get("tag") or (before.tag if before else None)
        told = dict(self.grouping.last_told.get(name, {"set": name}))
        self.out[name] = _Out(entry.happened_at, stands, tag, told)

    def _one(self, entry: Effective) -> _Out | None:
        name = str(entry.body.get("set", ""))
        one = self.out.get(name)
        if one is None:
            what = f"{entry.event.kind} names set '{name}', which was not out."
            self._fault(NOT_OUT, what, entry, "Note when it was made, or correct the name.")
        return one

    def _end(self, one: _Out, entry: Effective, ending: Ending, **seen: Any) -> None:
        if one.stands is Ending.DOWN and ending not in (Ending.TARGET, Ending.OTHER, Ending.GONE):
            ending = Ending.DOWN
        if one.stands is Ending.GONE:
            ending = Ending.GONE
        inside, outside = nights_between(one.since, entry.happened_at, self.window, self.zone)
        name = str(entry.body.get("set", ""))
        self.grouping.last_told[name] = one.told
        self.stretches.append(
            Stretch(
                set_name=name,
                tag=one.tag,
                start=one.since,
                end=entry.happened_at,
                ending=ending,
                nights=inside,
                outside=outside,
                groups=self.grouping.of(one.told, one.tag, one.since, entry.happened_at),
                found_as=seen.get("found"),
                happened=seen.get("happened"),
                species=str(entry.body.get("species", "")),
                catch=seen.get("catch"),
                day=local_day(entry.happened_at, self.zone),
                minutes_s=self._minutes(entry),
                event=entry.event.id,
                measures={k: float(one.told[k]) for k in MEASURES if one.told.get(k) is not None},
                by=entry.event.by,
            )
        )

    def _minutes(self, entry: Effective) -> float | None:
        seconds = entry.body.get("minutes_s")
        if seconds is not None and seconds < 0:
            what = f"{seconds / 60:g} minutes at set {entry.body.get('set', '')} cannot be."
            self._fault(MINUTES, what, entry, "Correct 'minutes_s'.")
            return None
        return None if seconds is None else float(seconds)

    def _fault(self, code: Any, what: str, entry: Effective, do: str) -> None:
        self.faults.append(Fault(code, what, f"event {entry.event.id}", do))


_HANDLERS: Mapping[str, Callable[[_Walk, Effective], None]] = {
    "set-made": _Walk.made,
    "check": _Walk.check,
    "adjusted": _Walk.adjusted,
    "pulled": _Walk.pulled,
    "lost": _Walk.lost,
    "found": _Walk.found,
}


def walked(
    entries: Iterable[Effective],
    line: LineState,
    *,
    window: Span,
    zone: ZoneInfo,
    grouping: Grouping,
    now: datetime,
) -> Walked:
    """Cut a record into stretches.

    Parameters
    ----------
    entries
        What the events say once corrected, in order of time.
    line
        The line as it stands at `now`, for the animals held.
    window
        The season asked about.
    zone
        The local zone, for midnights.
    grouping
        What a stretch is counted under.
    now
        The present: what is dated later is named and left out.
    """
    catches, faults = _each_once(line.catches)
    walk = _Walk(line, window, zone, grouping, now, {(c.set_name, c.at): c for c in catches})
    for entry in entries:
        walk.take(entry)
    faults += walk.faults
    faults += [_homeless(c) for c in walk.catches.values() if window.holds(c.at)]
    stretches, twice = one_place_at_a_time(walk.stretches)
    still = [_still(name, one, walk) for name, one in sorted(walk.out.items())]
    return Walked(
        tuple(sorted(stretches, key=lambda s: s.end)),
        tuple(still),
        tuple(c for c in catches if window.holds(c.at)),
        walk.failed,
        (*faults, *twice),
    )


def _still(name: str, one: _Out, walk: _Walk) -> Open:
    nights, _ = nights_between(one.since, walk.now, walk.window, walk.zone)
    works = one.stands is Ending.OPERATIVE
    return Open(name, one.tag, one.since, nights if works else 0.0, works)


def _homeless(catch: Catch) -> Fault:
    what = f"a {catch.species} at set '{catch.set_name}', {catch.at:%Y-%m-%d %H:%M} UTC, belongs to no look."
    do = "Note the check that found it, or correct set or time."
    return Fault(CATCH_WITHOUT_SET, what, f"event {catch.event}", do)


def _each_once(catches: Sequence[Catch]) -> tuple[list[Catch], list[Fault]]:
    """Leave out the later of two records that look like one animal."""
    kept: list[Catch] = []
    faults: list[Fault] = []
    last: dict[str, int] = {}
    for catch in sorted(catches, key=lambda c: (c.at, c.event)):
        place = last.get(catch.set_name)
        before = kept[place] if place is not None else None
        if before is None or catch.at - before.at >= ONE_ANIMAL or not _alike(before, catch):
            last[catch.set_name] = len(kept)
            kept.append(catch)
            continue
        assert place is not None
        what = f"two records of a {catch.species} at set {catch.set_name} within twelve hours."
        do = f"Void one, or correct its time; the other is event {before.event}."
        faults.append(Fault(CATCH_TWICE, what, f"event {catch.event}", do))
        if before.species == _UNKNOWN:
            kept[place] = replace(catch, at=before.at)
    return kept, faults


_UNKNOWN = "unknown"


def _alike(one: Catch, other: Catch) -> bool:
    return one.species == other.species or _UNKNOWN in (one.species, other.species)
