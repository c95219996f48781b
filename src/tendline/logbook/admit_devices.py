"""Owns the gate for devices: which tags are taken, which cables are out until rebuilt, as drafts are let in.

Does not own the gate for sets, names and times (`admit`).
"""

from collections.abc import Mapping
from typing import Any

from tendline.core.errors import Fault
from tendline.core.line import DeviceState, LineState
from tendline.core.words import LeftAs
from tendline.logbook.devices import spoilt_by
from tendline.logbook.events import Draft
from tendline.logbook.faults import OUT, TAG_TAKEN, UNKNOWN_TAG

OF_A_DEVICE = (
    *("device-built", "device-rebuilt", "device-inspected", "device-scrapped"),
    *("lost", "found"),
)
"""Events that are about a device, by its tag or by the set it is in."""


class Tags:
    """Knows where every device is while drafts are let in.

    Parameters
    ----------
    line
        The line at the time the drafts happened.
    """

    def __init__(self, line: LineState) -> None:
        self._devices = line.devices
        self._at: dict[str, str | None] = {tag: device.at_set for tag, device in line.devices.items()}
        self._out = {tag: device.out_why for tag, device in line.devices.items() if device.out}
        self._in_set = {one.name: one.tag for one in line.in_field}

    def use_faults(self, tag: str | None, set_name: str, where: str) -> list[Fault]:
        """List why a device cannot be put to work in a set: LOG-304, LOG-311."""
        if tag is None:
            return []
        at, device = self._at.get(tag), self._devices.get(tag)
        if at is not None and at != set_name:
            do = "Check the tag; or note that the device was pulled there."
            return [Fault(TAG_TAKEN, f"device {tag} is at set {at}.", where, do)]
        if device is not None and device.state in (DeviceState.LOST, DeviceState.SCRAPPED):
            do = "Check the tag; or note that it was found."
            return [Fault(TAG_TAKEN, f"device {tag} is {device.state.value}.", where, do)]
        if at is None and tag in self._out:
            what = f"the cable of device {tag} is out until rebuilt: {self._out[tag]}."
            do = f"Note device-rebuilt {tag} once it has a new cable, or use another."
            return [Fault(OUT, what, where, do)]
        return []

    def event_faults(self, draft: Draft, where: str) -> list[Fault]:
        """List what is wrong with an event of `OF_A_DEVICE`, its set being known: LOG-304, LOG-305."""
        name, tag = draft.body.get("set"), draft.body.get("tag")
        if not name and not tag:
            return [Fault(UNKNOWN_TAG, "it needs a set or a tag.", where, "Name the set, or give --tag.")]
        known = tag in self._at
        if draft.kind == "device-built" and known:
            what = f"device {tag} is on record already."
            return [Fault(TAG_TAKEN, what, where, "Give the new device a tag of its own.")]
        if draft.kind != "device-built" and tag and not known:
            what = f"there is no device {tag} on record."
            return [Fault(UNKNOWN_TAG, what, where, "Check the tag; or note it with device-built first.")]
        return []

    def left_out(self, body: Mapping[str, Any]) -> list[str]:
        """Say that a check leaves a spoilt cable at work; what happened is kept all the same."""
        why, tag = spoilt_by(body), self._in_set.get(body["set"])
        stays = body.get("tag") in (None, tag) and body["left_as"] == LeftAs.WORKING.value
        if not why or not stays:
            return []
        what = f"set {body['set']} is left working on a cable that is out until rebuilt: {why}"
        do = f"note the new tag if it was swapped, or device-rebuilt {tag or 'TAG'} once it has a new cable"
        return [f"{what}; {do}."]

    def let_in(self, draft: Draft) -> None:
        """Remember what a draft does to devices."""
        body = draft.body
        if draft.kind == "device-built":
            self._at.setdefault(body["tag"], None)
        elif draft.kind == "device-rebuilt":
            self._out.pop(body["tag"], None)
        elif draft.kind == "set-made":
            self._hang(body.get("tag"), body["set"])
        elif draft.kind == "check":
            self._check(body)
        if draft.kind in ("pulled", "lost") or body.get("left_as") == LeftAs.PULLED.value:
            self._take_up(body.get("set", ""))

    def _take_up(self, set_name: str) -> None:
        tag = self._in_set.pop(set_name, None)
        if tag is not None:
            self._at[tag] = None

    def _check(self, body: Mapping[str, Any]) -> None:
        tag, why, new = self._in_set.get(body["set"]), spoilt_by(body), body.get("tag")
        if why and tag is not None:
            self._out[tag] = why
        if new is not None and new != tag:
            if tag is not None:
                self._at[tag] = None
            self._hang(new, body["set"])

    def _hang(self, tag: str | None, set_name: str) -> None:
        self._in_set[set_name] = tag
        if tag is not None:
            self._at[tag] = set_name
