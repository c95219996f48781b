"""Owns the working board of the fold: what each kind of event does to parcels, sets and devices.

Does not own the order of events or their corrections.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from tendline.core.line import (
    Availability,
    DeviceState,
    Landmark,
    LineState,
    Look,
    Parcel,
    Parking,
    Permission,
    SetStanding,
    SetState,
    SnowSeen,
)
from tendline.core.place import Fix, LonLat, Outline
from tendline.core.when import Span
from tendline.core.words import DeviceClass, Done, FoundAs, Happened, LeftAs
from tendline.logbook.catches import Catches
from tendline.logbook.corrected import Effective
from tendline.logbook.devices import HELD, Devices, spoilt_by
from tendline.logbook.events import instant_from
from tendline.logbook.law_fields import PARCEL_FIELDS, PERMISSION_FIELDS
from tendline.logbook.measured import Hanging, snow_seen, told_of
from tendline.logbook.stock import Stock

LATE_AFTER = timedelta(minutes=15)
"""An entry written down this long after it happened is marked as late (common practice, no source)."""


@dataclass
class _Set:
    """A set while the fold runs."""

    name: str
    body: dict[str, Any]
    fix: Fix
    made_at: datetime | None
    made_by: str
    tag: str | None
    standing: SetStanding
    last_seen: datetime | None
    looks: list[Look] = field(default_factory=list)
    not_found_since: datetime | None = None
    pulled_at: datetime | None = None
    hanging: Hanging = field(default_factory=Hanging)

    def freeze(self) -> SetState:
        """Give the set as the rest of tendline sees it."""
        body = self.body
        return SetState(
            name=self.name,
            tag=self.tag,
            device_class=DeviceClass(body.get("device_class", DeviceClass.LIVE_RESTRAINT)),
            fix=self.fix,
            parcel=body.get("parcel", ""),
            landmark=body.get("landmark", ""),
            loop_m=body.get("loop_m"),
            bottom_m=body.get("bottom_m"),
            surface=body.get("surface"),
            target=body.get("target", ""),
            made_at=self.made_at,
            made_by=self.made_by,
            standing=self.standing,
            looks=tuple(self.looks),
            last_seen=self.last_seen,
            not_found_since=self.not_found_since,
            remote_monitored=bool(body.get("monitored", False)),
            note=body.get("note", ""),
            bottom=self.hanging.bottom,
            top=self.hanging.top,
            pulled_at=self.pulled_at,
            told=dict(self.hanging.told),
        )


_MEASURES = ("loop_m", "bottom_m", "surface")


class Board:
    """Takes events one by one, in order, and gives the line."""

    def __init__(self) -> None:
        self._parcels: dict[str, Parcel] = {}
        self._permissions: dict[str, list[Permission]] = {}
        self._parkings: dict[str, Parking] = {}
        self._landmarks: dict[str, Landmark] = {}
        self._devices = Devices()
        self._stock = Stock()
        self._sets: dict[str, _Set] = {}
        self._catches = Catches()
        self._snow: list[SnowSeen] = []
        self._available: list[Availability] = []
        self._warnings: list[str] = []
        self._handlers: dict[str, Callable[[Effective], None]] = {
            "parcel": self._parcel,
            "permission": self._permission,
            "parking": self._parking,
            "landmark": self._landmark,
            "device-built": self._device_built,
            "device-rebuilt": self._device_rebuilt,
            "device-inspected": self._devices.inspected,
            "device-scrapped": self._devices.scrapped,
            "parts-received": self._stock.received,
            "parts-used": self._stock.used,
            "stock-count": self._stock.counted,
            "set-made": self._set_made,
            "check": self._check,
            "adjusted": self._adjusted,
            "catch": self._catch,
            "catch-done": self._catch_done,
            "pulled": self._pulled,
            "lost": self._lost,
            "found": self._found,
            "available": self._availability,
        }

    def apply(self, entry: Effective) -> None:
        """Let one event change the board; kinds that change nothing on it (sign) pass."""
        seen = snow_seen(entry)
        if seen is not None:
            self._snow.append(seen)
        handler = self._handlers.get(entry.event.kind)
        if handler is not None:
            handler(entry)

    def line(self, at: datetime) -> LineState:
        """Freeze the board."""
        parcels = {
            name: Parcel(**{**vars(parcel), "permissions": tuple(self._permissions.get(name, ()))})
            for name, parcel in self._parcels.items()
        }
        return LineState(
            at=at,
            parcels=parcels,
            parkings=dict(self._parkings),
            landmarks=dict(self._landmarks),
            devices=self._devices.frozen(),
            sets={name: one.freeze() for name, one in self._sets.items()},
            catches=self._catches.in_order(),
            available=tuple(self._available),
            warnings=tuple(self._warnings),
            unbalanced=(*self._devices.unbalanced, *self._stock.unbalanced),
            snow=tuple(self._snow),
            parts=self._stock.frozen(),
        )

    # --- the ground -----------------------------------------------------------------------------------

    def _parcel(self, entry: Effective) -> None:
        body = entry.body
        outline = Outline(
            tuple(
                tuple(tuple(LonLat(lon, lat) for lon, lat in ring) for ring in polygon)
                for polygon in body["outline"]
            )
        )
        self._parcels[body["name"]] = Parcel(
            name=body["name"],
            title=body.get("title", body["name"]),
            outline=outline,
            owner=body.get("owner", ""),
            phone=body.get("phone", ""),
            note=body.get("note", ""),
            zones=body.get("zones", {}),
            told=told_of(PARCEL_FIELDS, body),
        )

    def _permission(self, entry: Effective) -> None:
        body = entry.body
        first, last = body.get("first"), body.get("last")
        self._permissions.setdefault(body["parcel"], []).append(
            Permission(
                parcel=body["parcel"],
                first=date.fromisoformat(first) if first else None,
                last=date.fromisoformat(last) if last else None,
                given_by=body.get("given_by", ""),
                written=body.get("written"),
                names_cables=body.get("names_cables"),
                note=body.get("note", ""),
                told=told_of(PERMISSION_FIELDS, body),
            )
        )

    def _parking(self, entry: Effective) -> None:
        body, fix = entry.body, entry.fix
        if fix is not None:
            parcels = tuple(body.get("parcels", ()))
            self._parkings[body["name"]] = Parking(body["name"], fix.place, parcels, body.get("note", ""))

    def _landmark(self, entry: Effective) -> None:
        body, fix = entry.body, entry.fix
        if fix is not None:
            self._landmarks[body["name"]] = Landmark(body["name"], fix.place, body.get("note", ""))

    # --- devices and parts ----------------------------------------------------------------------------

    def _device_built(self, entry: Effective) -> None:
        if self._devices.built(entry):
            self._stock.built_with(entry)

    def _device_rebuilt(self, entry: Effective) -> None:
        self._devices.rebuilt(entry)
        self._stock.built_with(entry)

    # --- sets -----------------------------------------------------------------------------------------

    def _set_made(self, entry: Effective) -> None:
        body, name = dict(entry.body), entry.body["set"]
        before = self._sets.get(name)
        if before is not None and before.standing.in_field:
            self._warnings.append(
                f"set {name} was made again by event {entry.event.id} while it was in the field."
            )
            self._devices.from_field(before.tag, name, DeviceState.STOCK)
        if entry.fix is None:
            self._warnings.append(f"set {name} has no place (event {entry.event.id}) and is left out.")
            return
        known = body.get("time_known", True)
        unset = body.get("left_as") == LeftAs.UNSET
        self._sets[name] = _Set(
            name=name,
            body=body,
            fix=entry.fix,
            made_at=entry.happened_at if known else None,
            made_by=entry.event.by,
            tag=body.get("tag"),
            standing=SetStanding.UNSET if unset else SetStanding.WORKING,
            last_seen=entry.happened_at if known else None,
        )
        self._sets[name].hanging.take(entry)
        self._devices.to_field(body.get("tag"), name, entry)

    def _in_field(self, entry: Effective) -> _Set | None:
        name = entry.body.get("set")
        one = self._sets.get(name) if name else None
        if one is None or not one.standing.in_field:
            self._warnings.append(
                f"{entry.event.kind} {entry.event.id} names set {name}, which is not in the field."
            )
            return None
        return one

    def _check(self, entry: Effective) -> None:
        one = self._in_field(entry)
        if one is None:
            return
        look = _look(entry)
        one.looks.append(look)
        if not look.found_as.was_seen:
            if look.found_as is FoundAs.NOT_FOUND:
                one.not_found_since = one.not_found_since or entry.happened_at
            return
        if not look.from_distance:
            one.last_seen, one.not_found_since = entry.happened_at, None
        self._catches.seen(entry, tag=one.tag)
        self._spoilt(one, entry)
        self._measure(one, entry)
        self._swap(one, entry)
        self._leave(one, look, entry)

    def _spoilt(self, one: _Set, entry: Effective) -> None:
        why = spoilt_by(entry.body)
        if why:
            self._devices.out(one.tag, why, entry.happened_at)

    def _measure(self, one: _Set, entry: Effective) -> None:
        one.body.update({key: entry.body[key] for key in _MEASURES if key in entry.body})
        one.hanging.take(entry)

    def _swap(self, one: _Set, entry: Effective) -> None:
        tag = entry.body.get("tag")
        if tag is not None and tag != one.tag:
            self._devices.from_field(one.tag, one.name, DeviceState.STOCK)
            one.tag = tag
            self._devices.to_field(tag, one.name, entry)

    def _leave(self, one: _Set, look: Look, entry: Effective) -> None:
        if look.left_as is LeftAs.PULLED:
            self._take_up(one, entry.happened_at)
        elif look.left_as is LeftAs.UNSET or (
            look.left_as is LeftAs.AS_FOUND and look.found_as is FoundAs.UNSET
        ):
            one.standing = SetStanding.UNSET
        elif look.left_as is LeftAs.WORKING:
            one.standing = SetStanding.WORKING

    def _take_up(self, one: _Set, at: datetime) -> None:
        self._devices.from_field(one.tag, one.name, DeviceState.STOCK)
        one.standing, one.tag, one.pulled_at = SetStanding.PULLED, None, at

    def _adjusted(self, entry: Effective) -> None:
        one = self._in_field(entry)
        if one is not None:
            self._measure(one, entry)

    def _catch(self, entry: Effective) -> None:
        one = self._sets.get(entry.body["set"])
        catch = self._catches.noted(entry, tag=one.tag if one is not None else None)
        self._devices.out(catch.tag, HELD, catch.at)

    def _catch_done(self, entry: Effective) -> None:
        if not self._catches.done(entry):
            self._warnings.append(
                f"catch-done {entry.event.id} names set {entry.body['set']}, where no catch is on record."
            )

    def _pulled(self, entry: Effective) -> None:
        one = self._in_field(entry)
        if one is not None:
            self._take_up(one, entry.happened_at)

    def _lost(self, entry: Effective) -> None:
        body = entry.body
        if body.get("set"):
            one = self._in_field(entry)
            if one is not None:
                self._devices.from_field(one.tag, one.name, DeviceState.LOST)
                one.standing = SetStanding.LOST
        elif body.get("tag"):
            self._devices.lost(body["tag"], entry)

    def _found(self, entry: Effective) -> None:
        body = entry.body
        one = self._sets.get(body.get("set", ""))
        tag = body.get("tag") or (one.tag if one is not None else None)
        if tag is not None:
            self._devices.found(tag, entry)
        left = LeftAs(body.get("left_as", LeftAs.PULLED))
        if one is None or one.standing is not SetStanding.LOST:
            return
        if left is LeftAs.PULLED:
            one.standing, one.tag = SetStanding.PULLED, None
            return
        one.standing = SetStanding.UNSET if left is LeftAs.UNSET else SetStanding.WORKING
        one.last_seen, one.not_found_since = entry.happened_at, None
        self._devices.to_field(one.tag, one.name, entry)

    def _availability(self, entry: Effective) -> None:
        body = entry.body
        start, end = instant_from(body["start"]), instant_from(body["end"])
        if start <= end:
            self._available.append(Availability(body["who"], Span(start, end), body.get("vehicle", True)))


def _look(entry: Effective) -> Look:
    body = entry.body
    return Look(
        at=entry.happened_at,
        found_as=FoundAs(body["found_as"]),
        happened=Happened(body["what_happened"]),
        left_as=LeftAs(body["left_as"]),
        by=entry.event.by,
        from_distance=body.get("from_distance", False),
        event=entry.event.id,
        late_entry=entry.event.recorded_at - entry.happened_at > LATE_AFTER,
        done=Done(body["done"]),
        stay_s=body.get("minutes_s"),
    )
