"""Owns loose parts in stock and devices out until rebuilt, in words and for JSON.

Does not own the ledger (`logbook.stock`, `logbook.devices`) or what is needed (`parts_text`).
"""

from collections.abc import Iterable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.line import Device, PartStock
from tendline.core.units import METRES_PER_FOOT, Units, format_small
from tendline.core.when import clock_text, rfc3339

REBUILD = (
    "A cable that held an animal, is kinked, frayed or bird-caged is out until rebuilt (common practice, no "
    "source): note device-rebuilt once it has a new one."
)


def out_devices(devices: Iterable[Device]) -> tuple[Device, ...]:
    """Give the devices that are out until rebuilt: those in the field first, then by tag."""
    return tuple(sorted((d for d in devices if d.out), key=lambda d: (d.at_set is None, d.tag)))


def out_words(devices: Sequence[Device]) -> str:
    """Name devices that are out, each with its set, by reason: ``206 at set R9, 211 (held an animal)``."""
    by_why: dict[str, list[str]] = {}
    for device in devices:
        name = f"{device.tag} at set {device.at_set}" if device.at_set else device.tag
        by_why.setdefault(device.out_why, []).append(name)
    return "; ".join(f"{', '.join(names)} ({why})" for why, names in by_why.items())


def part_name(part: PartStock, units: Units) -> str:
    """Name a part: ``swivel``, ``cable of 1000 ft``."""
    if part.length_m is None:
        return part.name
    return f"{part.name} of {long_words(part.length_m, units)}"


def long_words(metres: float, units: Units) -> str:
    """Write the length of a roll or an offcut."""
    if units is Units.US:
        return f"{metres / METRES_PER_FOOT:.1f} ft" if metres > 3.0 else format_small(metres, units)
    return f"{metres:.2f} m"


def stock_words(parts: Sequence[PartStock], zone: ZoneInfo, units: Units) -> list[str]:
    """Write the stock of loose parts, a line each, with the last count and how far it was off."""
    return [f"  {part_name(part, units)}: {part.count}{_counted(part, zone)}" for part in parts]


def _counted(part: PartStock, zone: ZoneInfo) -> str:
    if part.counted_at is None:
        return ", never counted"
    said = f", counted {clock_text(part.counted_at, zone)}"
    if not part.off:
        return said
    way = "more" if part.off > 0 else "fewer"
    return f"{said}: {abs(part.off)} {way} than the record said"


def stock_data(parts: Sequence[PartStock], zone: ZoneInfo) -> list[dict[str, Any]]:
    """Write the stock of loose parts for JSON."""
    return [
        {
            "part": part.name,
            "length_m": part.length_m,
            "count": part.count,
            "received": part.received,
            "used": part.used,
            "counted_at": None if part.counted_at is None else rfc3339(part.counted_at, zone),
            "off": part.off,
        }
        for part in parts
    ]


def out_data(devices: Sequence[Device], zone: ZoneInfo) -> list[dict[str, Any]]:
    """Write devices that are out until rebuilt for JSON."""
    return [
        {
            "tag": d.tag,
            "set": d.at_set,
            "why": d.out_why,
            "since": None if d.out_since is None else rfc3339(d.out_since, zone),
        }
        for d in devices
    ]
