"""Owns the gate: whether a new event fits the line as it stands, before it is written.

Does not own the form of a body (`bodies`) or who asks (`jobs.note`, `jobs.bring`).
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from tendline.core.errors import Fault
from tendline.core.line import LineState, SetStanding
from tendline.logbook.admit_devices import OF_A_DEVICE, Tags
from tendline.logbook.bodies import body_faults, change_faults
from tendline.logbook.events import Draft, Event
from tendline.logbook.faults import (
    BEFORE_SET,
    IN_FUTURE,
    NAME_TAKEN,
    NOT_IN_FIELD,
    SAME_INSTANT,
    TARGET_KIND,
    TOO_OLD,
    UNKNOWN_EVENT,
    UNKNOWN_PARCEL,
    UNKNOWN_SET,
)

EARLIEST = datetime(1990, 1, 1, tzinfo=UTC)
"""Nothing on a line is older than this; a date before it is a typing error."""

HOME = "home"
"""The name of the place where outings start; no parking, landmark or set may carry it."""

CLOCK_SLACK = timedelta(minutes=5)
"""How far ahead of the present an event may lie: clocks of two machines differ."""

_AT_A_SET = frozenset({"check", "adjusted", "catch", "catch-done", "pulled"})
_ALSO_LATER = ("catch", "catch-done")
"""What may be noted of a set that is no longer out there."""


class Gate:
    """Judges drafts against a line, and remembers those it has let in.

    Parameters
    ----------
    line
        The line at the time the drafts happened.
    events
        Every event on record, to find what a correction points at.
    now
        The present; may be moved on between drafts.
    latest
        The line as it stands now, when that is another moment: a name or a tag taken since is taken.
    """

    def __init__(
        self, line: LineState, events: Iterable[Event], *, now: datetime, latest: LineState | None = None
    ) -> None:
        self._line = line
        self.now = now
        self._kinds: dict[str, str] = {}
        self._checks: dict[tuple[str, datetime], str] = {}
        self._by_instant: dict[tuple[str, datetime], str] = {}
        self._last_recorded: dict[str, datetime] = {}
        self._standing = {name: one.standing for name, one in line.sets.items()}
        self._made_at = {name: one.made_at for name, one in line.sets.items()}
        self._parcels = set(line.parcels) | (set(latest.parcels) if latest is not None else set())
        spots = {n.lower() for n in (HOME, *line.parkings, *line.landmarks)}
        self._names = {"parcel": {n.lower() for n in line.parcels}, "parking": spots, "landmark": spots}
        self._tags = Tags(line)
        self._in_field = {one.name.lower() for one in line.in_field}
        self._in_field |= {one.name.lower() for one in latest.in_field} if latest is not None else set()
        for event in events:
            self._remember(event)

    def faults(self, draft: Draft, where: str = "") -> list[Fault]:
        """List everything that is wrong with a draft; empty when it may be written."""
        found = body_faults(draft.kind, draft.body, has_place=draft.fix is not None, where=where)
        found += self._time_faults(draft, where)
        if found:
            return found
        if draft.kind in ("correction", "void"):
            return self._target_faults(draft, where)
        if draft.kind == "set-made":
            return self._new_set_faults(draft, where)
        if draft.kind in _AT_A_SET:
            return self._at_set_faults(draft, where)
        return self._other_faults(draft, where)

    def warnings(self, draft: Draft) -> list[str]:
        """List what a person should know about a draft that is let in."""
        said = []
        last = self._last_recorded.get(draft.via)
        if last is not None and draft.recorded_at < last:
            said.append(
                f"the clock of {draft.via} stands before its last entry ({last:%Y-%m-%d %H:%M} UTC): "
                "the entry is kept, check the clock."
            )
        if draft.kind == "check":
            other = self._by_instant.get((draft.by, draft.happened_at))
            if other is not None and other != draft.body["set"]:
                said.append(
                    f"{draft.by} has two checks at the same instant: {other} and {draft.body['set']}."
                )
        if draft.kind == "check":
            said += self._tags.left_out(draft.body)
        if draft.kind == "set-made" and not draft.body.get("tag"):
            said.append(f"set {draft.body['set']} has no device tag: it cannot be accounted for by number.")
        return said

    def let_in(self, draft: Draft) -> None:
        """Remember a draft, so that the next ones are judged with it."""
        body = draft.body
        self._remember(draft)
        self._tags.let_in(draft)
        if draft.kind == "set-made":
            self._standing[body["set"]] = SetStanding.WORKING
            self._in_field.add(body["set"].lower())
            self._made_at[body["set"]] = draft.happened_at
        elif draft.kind in ("pulled", "lost") or body.get("left_as") == "pulled":
            self._take_up(body.get("set", ""))
        elif draft.kind in self._names:
            self._names[draft.kind].add(body["name"].lower())
            if draft.kind == "parcel":
                self._parcels.add(body["name"])

    def _take_up(self, name: str) -> None:
        if name in self._standing:
            self._standing[name] = SetStanding.PULLED
            self._in_field.discard(name.lower())

    def _remember(self, event: Draft) -> None:
        self._kinds[event.id] = event.kind
        last = self._last_recorded.get(event.via)
        self._last_recorded[event.via] = max(last, event.recorded_at) if last else event.recorded_at
        if event.kind == "check":
            self._checks[event.body["set"], event.happened_at] = event.id
            self._by_instant[event.by, event.happened_at] = event.body["set"]

    def _time_faults(self, draft: Draft, where: str) -> list[Fault]:
        when = f"{draft.happened_at:%Y-%m-%d %H:%M} UTC"
        if draft.happened_at < EARLIEST:
            return [Fault(TOO_OLD, f"{when} is too long ago.", where, "Check the year.")]
        if draft.happened_at > self.now + CLOCK_SLACK:
            return [
                Fault(
                    IN_FUTURE,
                    f"{when} has not come yet; it is {self.now:%Y-%m-%d %H:%M} UTC.",
                    where,
                    "Note what has happened, with --happened; or check this machine's clock.",
                )
            ]
        return []

    def _target_faults(self, draft: Draft, where: str) -> list[Fault]:
        target = draft.body["of"]
        kind = self._kinds.get(target)
        if kind is None:
            return [
                Fault(
                    UNKNOWN_EVENT, f"there is no event {target}.", where, "tendline note list shows the ids."
                )
            ]
        if draft.kind == "void":
            return []
        if kind in ("correction", "void"):
            return [
                Fault(
                    TARGET_KIND,
                    f"event {target} is a {kind}.",
                    where,
                    "Void it, and correct the event itself.",
                )
            ]
        return change_faults(kind, draft.body, where=where)

    def _new_set_faults(self, draft: Draft, where: str) -> list[Fault]:
        body, faults = draft.body, self._parcel_faults(draft, where)
        name = body["set"]
        if name.lower() in self._in_field:
            do = "Give the new set another name, or note that the old one was pulled."
            faults.append(Fault(NAME_TAKEN, f"set {name} is in the field already.", where, do))
        elif name.lower() in self._names["parking"]:
            do = "Give the set another name: a shout must mean one place."
            faults.append(Fault(NAME_TAKEN, f"{name} is the name of a parking or a landmark.", where, do))
        return faults + self._tags.use_faults(body.get("tag"), name, where)

    def _at_set_faults(self, draft: Draft, where: str) -> list[Fault]:
        name = draft.body["set"]
        standing = self._standing.get(name)
        if standing is None:
            return [self._unknown_set(name, where)]
        if not standing.in_field and draft.kind not in _ALSO_LATER:
            do = "Check the name; or note the set again with set-made."
            return [Fault(NOT_IN_FIELD, f"set {name} is {standing.value} at that time.", where, do)]
        made = self._made_at.get(name)
        if made is not None and draft.happened_at < made:
            what = f"set {name} was made later, at {made:%Y-%m-%d %H:%M} UTC."
            return [Fault(BEFORE_SET, what, where, "Check the time.")]
        if draft.kind == "check":
            return self._check_faults(draft, where)
        return []

    def _check_faults(self, draft: Draft, where: str) -> list[Fault]:
        name = draft.body["set"]
        twin = self._checks.get((name, draft.happened_at))
        if twin is not None:
            what = f"set {name} already has a check at that instant (event {twin})."
            return [Fault(SAME_INSTANT, what, where, "Correct that one, or give this one its own time.")]
        return self._tags.use_faults(draft.body.get("tag"), name, where)

    def _other_faults(self, draft: Draft, where: str) -> list[Fault]:
        if draft.kind in OF_A_DEVICE:
            return self._device_faults(draft, where)
        if "name" in draft.body:
            return self._name_faults(draft, where) + self._parcel_faults(draft, where)
        return self._parcel_faults(draft, where)

    def _device_faults(self, draft: Draft, where: str) -> list[Fault]:
        name = draft.body.get("set")
        if name and name not in self._standing:
            return [self._unknown_set(name, where)]
        return self._tags.event_faults(draft, where)

    def _name_faults(self, draft: Draft, where: str) -> list[Fault]:
        name = draft.body["name"]
        sets = {n.lower() for n in self._standing} if draft.kind != "parcel" else set()
        if name.lower() not in self._names[draft.kind] | sets:
            return []
        what = f"the name {name} is taken already."
        return [Fault(NAME_TAKEN, what, where, "Give another name, or correct the one there is.")]

    def _parcel_faults(self, draft: Draft, where: str) -> list[Fault]:
        named = [draft.body.get("parcel"), *draft.body.get("parcels", ())]
        return [
            Fault(
                UNKNOWN_PARCEL,
                f"there is no parcel '{name}'.",
                where,
                f"Parcels: {', '.join(sorted(self._parcels)) or 'none yet; bring or note them first'}.",
            )
            for name in named
            if name and name not in self._parcels
        ]

    def _unknown_set(self, name: str, where: str) -> Fault:
        near = ", ".join(sorted(n for n in self._standing if n.lower().startswith(name.lower()[:1]))[:12])
        return Fault(UNKNOWN_SET, f"there is no set '{name}'.", where, f"Sets near that: {near or 'none'}.")
