"""Owns turning the record of one device, and of the set it hangs in, into what the law looks at of a device.

Does not own the law (`rules`) or the record (`logbook`). What is not recorded stays None.
"""

from collections.abc import Mapping
from typing import Any

from tendline.core.line import Device, SetState
from tendline.core.words import AnchorKind
from tendline.logbook.devices import HELD
from tendline.rules.facts import Across, DeviceFacts, LoopSize, Measure, Part, PartAt, Point, Tag

_SAME_NAME = (
    *("relaxing_lock", "mechanical_lock", "single_piece_lock", "lock_moving_parts", "power_assisted"),
    *("compression_choke", "multi_strand", "galvanised", "commercial_breakaway", "good_order"),
    *("has_stop", "has_breakaway", "subtype", "breakaway_method", "breakaway_at", "construction", "lock"),
)
"""Fields that the record and the law call alike."""


def device_facts(device: Device, *, hung: SetState | None) -> DeviceFacts:
    """Give a device as the law looks at it.

    Parameters
    ----------
    device
        From the record.
    hung
        The set it hangs in, for its anchor, its extension and the loop as hung; None when it is in stock.
    """
    build = device.build
    told: Mapping[str, Any] = hung.told if hung is not None else {}
    extension = _measure(told, "extension_m")
    return DeviceFacts(
        name=device.tag,
        device_class=device.device_class,
        loop_open=_loop(build.get("loop_m"), "as built"),
        stop=_loop(build.get("loop_min_m"), "as built"),
        loop_now=_loop(hung.loop_m, "as hung") if hung is not None else None,
        breakaway=_measure(build, "breakaway_n"),
        cable_diameter=_measure(build, "cable_diameter_m"),
        lengths=_lengths(build, extension),
        extension=extension,
        parts=_parts(build, extension),
        tag=tag_facts(build),
        **_same(build, device),
        **_anchor(told),
    )


def _measure(told: Mapping[str, Any], name: str) -> Measure | None:
    return Measure(float(told[name])) if name in told else None


def _loop(width_m: float | None, how: str) -> LoopSize | None:
    return None if width_m is None else LoopSize(Measure(float(width_m), how=how), Across.DIAMETER)


def _lengths(build: Mapping[str, Any], extension: Measure | None) -> dict[tuple[Point, Point], Measure]:
    """Give lengths from the end of the extension, and from the anchor where the extension is known too."""
    found: dict[tuple[Point, Point], Measure] = {}
    for name, end in (("cable_length_m", Point.LOCK_AT_STOP), ("cable_whole_m", Point.CABLE_END)):
        length = _measure(build, name)
        if length is not None:
            found[Point.EXTENSION_END, end] = length
            if extension is not None:
                found[Point.ANCHOR, end] = length.plus(extension)
    return found


def _parts(build: Mapping[str, Any], extension: Measure | None) -> dict[Part, tuple[PartAt, ...]]:
    parts: dict[Part, tuple[PartAt, ...]] = {}
    for name, part in (("locks", Part.LOCK), ("stops", Part.STOP), ("supports", Part.SUPPORT)):
        if name in build:
            parts[part] = (PartAt(),) * int(build[name])
    if "swivels" in build:
        parts[Part.SWIVEL] = _swivels(build)
    for name, part in (
        ("has_stop", Part.STOP),
        ("has_breakaway", Part.BREAKAWAY),
        ("tag_attached", Part.TAG),
    ):
        if name in build and part not in parts:
            at = build.get("breakaway_at") if part is Part.BREAKAWAY else None
            parts[part] = (PartAt(at=Point(at) if at else None),) if build[name] else ()
    if extension is not None:
        parts[Part.EXTENSION] = (PartAt(length=extension),) if extension.value > 0 else ()
    return parts


def _swivels(build: Mapping[str, Any]) -> tuple[PartAt, ...]:
    # The record holds the longest swivel: what keeps a limit for that one keeps it for all.
    places = [Point(word) for word in build.get("swivel_at", ())]
    count = int(build["swivels"])
    length, free = _measure(build, "swivel_length_m"), build.get("swivel_free")
    return tuple(PartAt(places[k] if k < len(places) else None, length, free) for k in range(count))


def tag_facts(build: Mapping[str, Any]) -> Tag | None:
    """Give what is noted of a tag; None when nobody noted what stands on it."""
    if "tag_says" not in build:
        return None
    return Tag(
        contents=frozenset(build["tag_says"]),
        material=build.get("tag_material", ""),
        ferrous=build.get("tag_ferrous"),
        durable=build.get("tag_durable"),
        attached=build.get("tag_attached"),
    )


def _same(build: Mapping[str, Any], device: Device) -> dict[str, Any]:
    found = {name: build.get(name) for name in _SAME_NAME}
    if device.out:
        # An animal in it makes an older look worthless; a fault that was seen is a fault.
        found["good_order"] = None if device.out_why == HELD else False
    return found


def _anchor(told: Mapping[str, Any]) -> dict[str, Any]:
    kind = told.get("anchor_kind")
    drag = None if kind is None else kind == AnchorKind.DRAG
    return {
        "drag": drag,
        "anchor_woody_stem": None if kind is None else kind == AnchorKind.WOODY_STEM,
        # A drag is made to move; of any other anchor only the person can say that it holds.
        "anchor_immovable": False if drag else told.get("anchor_immovable"),
        "kill_pole": told.get("kill_pole"),
    }
