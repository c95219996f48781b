"""Owns the devices while the fold runs: where each is, what holds it back from use, what does not balance.

Does not own the sets they hang in (`board`) or loose parts (`stock`).

A cable that held an animal, is kinked, frayed or bird-caged is out until it is rebuilt (common practice, no
source). Only a rebuilding puts it back: a later look that finds it sound does not.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from tendline.core.line import Device, DeviceState
from tendline.core.words import CableCondition, DeviceClass, FoundAs, Happened
from tendline.logbook.catches import CAUGHT
from tendline.logbook.corrected import Effective
from tendline.logbook.law_fields import BUILD_FIELDS
from tendline.logbook.measured import told_of

HELD = "held an animal"
_WHY: Mapping[str, str] = {
    **dict.fromkeys((what.value for what in CAUGHT), HELD),
    Happened.BROKE_AWAY.value: "its breakaway opened",
    Happened.CHEWED_OUT.value: "it was chewed",
}


def spoilt_by(body: Mapping[str, Any]) -> str:
    """Say why a check puts the device it found out until it is rebuilt; empty where it does not.

    Parameters
    ----------
    body
        Of a check.
    """
    why = _WHY.get(body["what_happened"])
    if why is not None:
        return why
    if body["found_as"] == FoundAs.BROKEN.value:
        return "found broken"
    return condition_words(body.get("cable"))


def condition_words(condition: str | None) -> str:
    """Say what is wrong with a cable; empty where it is sound or nobody said."""
    return "" if condition in (None, CableCondition.SOUND.value) else str(condition)


@dataclass
class _Device:
    """A device while the fold runs."""

    tag: str
    device_class: DeviceClass
    built_at: datetime
    state: DeviceState = DeviceState.STOCK
    at_set: str | None = None
    build: dict[str, Any] = field(default_factory=dict)
    rebuilt_at: datetime | None = None
    out_since: datetime | None = None
    out_why: str = ""


class Devices:
    """Every device so far, and where the ledger does not add up, one sentence each."""

    def __init__(self) -> None:
        self._by_tag: dict[str, _Device] = {}
        self.unbalanced: list[str] = []

    def frozen(self) -> dict[str, Device]:
        """Give the devices as the rest of tendline sees them."""
        return {tag: Device(**vars(device)) for tag, device in self._by_tag.items()}

    def built(self, entry: Effective) -> bool:
        """Let a device be built; False where there is one with its tag already."""
        tag = entry.body["tag"]
        if tag in self._by_tag:
            self.unbalanced.append(
                f"device {tag} was built twice; the second time by event {entry.event.id}."
            )
            return False
        kind = DeviceClass(entry.body.get("device_class", DeviceClass.LIVE_RESTRAINT))
        self._by_tag[tag] = _Device(tag, kind, entry.happened_at, build=_build_of(entry.body))
        self._in_order(entry)
        return True

    def rebuilt(self, entry: Effective) -> None:
        """Let a device be rebuilt: what is told of its build is new, and it may be used again."""
        device = self.known(entry.body["tag"], entry)
        if device.state in (DeviceState.LOST, DeviceState.SCRAPPED):
            self.unbalanced.append(f"device {device.tag} is {device.state.value} and yet was rebuilt.")
            return
        device.build.pop("good_order", None)
        device.build.update(_build_of(entry.body))
        device.rebuilt_at, device.out_since, device.out_why = entry.happened_at, None, ""
        self._in_order(entry)

    def _in_order(self, entry: Effective) -> None:
        if entry.body.get("good_order") is False:
            self.out(entry.body["tag"], "not in good order", entry.happened_at)

    def inspected(self, entry: Effective) -> None:
        """Let somebody look a device over."""
        device = self.known(entry.body["tag"], entry)
        why = condition_words(entry.body["cable"])
        if why:
            self.out(device.tag, why, entry.happened_at)

    def out(self, tag: str | None, why: str, at: datetime) -> None:
        """Put a device out until it is rebuilt, unless it was rebuilt since; the first reason stands."""
        device = self._by_tag.get(tag) if tag is not None else None
        if device is None or device.out_since is not None:
            return
        if device.rebuilt_at is None or at > device.rebuilt_at:
            device.out_since, device.out_why = at, why

    def scrapped(self, entry: Effective) -> None:
        """Let a device be used up."""
        device = self.known(entry.body["tag"], entry)
        if device.state is DeviceState.FIELD:
            self.unbalanced.append(
                f"device {device.tag} was scrapped while in the field at set {device.at_set}."
            )
        device.state, device.at_set = DeviceState.SCRAPPED, None

    def known(self, tag: str, entry: Effective) -> _Device:
        """Give a device; one that was never built is noted as out of balance, and made."""
        if tag not in self._by_tag:
            self.unbalanced.append(f"device {tag} is used by event {entry.event.id} but was never built.")
            self._by_tag[tag] = _Device(tag, DeviceClass.LIVE_RESTRAINT, entry.happened_at)
        return self._by_tag[tag]

    def to_field(self, tag: str | None, name: str, entry: Effective) -> None:
        """Let a device be put to work in a set."""
        if tag is None:
            return
        device = self.known(tag, entry)
        if device.state is DeviceState.FIELD and device.at_set != name:
            self.unbalanced.append(f"device {tag} is at set {device.at_set} and at set {name}.")
        elif device.state in (DeviceState.LOST, DeviceState.SCRAPPED):
            self.unbalanced.append(f"device {tag} is {device.state.value} and yet at set {name}.")
        device.state, device.at_set = DeviceState.FIELD, name

    def from_field(self, tag: str | None, name: str, to: DeviceState) -> None:
        """Let a device leave a set, if it is the one there."""
        device = self._by_tag.get(tag) if tag is not None else None
        if device is not None and device.at_set == name:
            device.state, device.at_set = to, None

    def lost(self, tag: str, entry: Effective) -> None:
        """Let a device that was in no set be given up as lost."""
        device = self.known(tag, entry)
        device.state, device.at_set = DeviceState.LOST, None

    def found(self, tag: str, entry: Effective) -> None:
        """Let a device turn up: a lost one is in stock again."""
        device = self.known(tag, entry)
        if device.state is DeviceState.LOST:
            device.state = DeviceState.STOCK


def _build_of(body: Mapping[str, Any]) -> dict[str, Any]:
    build = told_of(BUILD_FIELDS, body)
    if "loop_m" in body:
        build["loop_m"] = body["loop_m"]
    return build
